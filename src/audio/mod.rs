//! Devices, streams, the real-time callback, the ring, WAV files.
//!
//! A shell. It moves samples and never says what they mean.

pub mod wav;
