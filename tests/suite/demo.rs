//! The demonstration as a whole program, and what its report is.
