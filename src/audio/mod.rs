//! Devices, streams, the real-time callback, the ring, sound files.
//!
//! A shell. It moves samples and never says what they mean. [`device`] lists what is there, [`capture`]
//! opens an input whose [`callback`] fills rings, [`recorder`] empties one of them into a WAV file,
//! and [`through`] plays another to an output, so that a cable does not silence the examination: [`spout`] is
//! its callback. [`host`] is what the streams of both directions share.
//!
//! Real-time rules: the callbacks of capture and through never allocate, lock, log, format or panic.

pub mod callback;
#[cfg(feature = "bedside")]
pub mod capture;
#[cfg(feature = "bedside")]
pub mod charger;
#[cfg(feature = "bedside")]
pub mod device;
pub mod given;
#[cfg(feature = "bedside")]
pub mod host;
#[cfg(feature = "bedside")]
mod packed;
#[cfg(all(feature = "bedside", target_os = "linux"))]
mod pulse;
pub mod recorder;
#[cfg(feature = "bedside")]
mod riff;
#[cfg(feature = "bedside")]
pub mod sound;
#[cfg(feature = "bedside")]
pub mod sound_fault;
#[cfg(feature = "bedside")]
pub mod spout;
#[cfg(feature = "bedside")]
pub mod through;
pub mod tone;
#[cfg(feature = "bedside")]
pub mod wav;
