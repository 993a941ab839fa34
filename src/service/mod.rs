//! The second program, `cuffnote-service`: results to a patient's record, and figures over many clinics.
