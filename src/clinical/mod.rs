//! What a measurement means: sites, attempts and outcomes, the index of each leg, its doubt, the words
//! of cited guidance, cautions. A visit is an ordered list of events; all else is worked out from them.
//!
//! Pure: no samples, no clock. A typed reading is equal to a heard one (it may not import `signal`).
