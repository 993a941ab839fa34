//! Devices, streams, the real-time callback, the ring, WAV files.
//!
//! A shell. It moves samples and never says what they mean. [`device`] lists what is there, [`capture`]
//! opens an input whose [`callback`] fills rings, [`recorder`] empties one of them into a WAV file,
//! and [`through`] plays another to an output, so that a cable does not silence the examination: [`spout`] is
//! its callback. [`host`] is what the streams of both directions share.
//!
//! Real-time rules: the callbacks of capture and through never allocate, lock, log, format or panic.

pub mod callback;
pub mod capture;
pub mod charger;
pub mod device;
pub mod host;
#[cfg(target_os = "linux")]
mod pulse;
pub mod recorder;
pub mod spout;
pub mod through;
pub mod tone;
pub mod wav;
