//! A seeded patient: arterial pressure, a cuff worked by hand, the sound of the artery below it, the
//! room and the device, and the truth of it all.
//!
//! Pure. Same seed, same sound on every machine: a named generator (ChaCha8), no platform mathematics.
