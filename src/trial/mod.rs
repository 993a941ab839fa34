//! The benchmark: grids of simulated deflations through the listener, scored against the truth.
//!
//! Pure: sounds for the rooms are handed in, tables come out.
