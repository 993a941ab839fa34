//! A visit to bytes: one content model, then a writer for each form.
//!
//! Pure: returns bytes, writes nothing.
