//! An instant of a visit: on the visit's own clock, on the wall, and in the sound. Whoever drives a visit passes it
//! in; nothing here asks a clock.

use crate::clinical::event::SoundTime;
use crate::clinical::moment::Moment;
use crate::units::{SampleIndex, SampleRate};

/// Samples a second of the clock that stands in where there is no sound.
const CLOCK_HZ: u32 = 8_000;

/// One instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// Seconds on the visit's own clock, which never jumps.
    pub s: f64,
    /// The wall clock with its offset.
    pub wall: Moment,
    /// Where it lies in the sound; `None` where there is no sound.
    pub sound: Option<SoundTime>,
}

impl At {
    /// Where it lies in the sound, or on the visit's clock where there is none: then the stream's number is 0.
    pub fn in_sound(&self) -> SoundTime {
        self.sound.unwrap_or_else(|| SoundTime {
            epoch: 0,
            sample: SampleIndex((self.s.max(0.0) * f64::from(CLOCK_HZ)) as u64),
            rate_hz: CLOCK_HZ,
        })
    }
}

/// A stream of sound on the visit's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stream {
    /// Its number.
    pub epoch: u32,
    /// Samples a second.
    pub rate: SampleRate,
    /// The visit's clock less the stream's, seconds.
    pub ahead_s: f64,
}
