//! From spectrum frames to positions in the sound as it was pushed.

use super::bands::{FRAME, HOP};
use super::intake::WORKING_HZ;
use crate::units::{SampleIndex, SampleRate};

/// Knows the sound's rate, and by how much the intake delays it.
#[derive(Debug, Clone, Copy)]
pub struct FrameClock {
    /// Of the sound as it is pushed.
    pub rate: SampleRate,
    /// Of the intake, samples at that rate.
    pub delay: f64,
}

impl FrameClock {
    /// The position of working-rate sample `at`.
    pub fn working(self, at: f64) -> SampleIndex {
        let ratio = f64::from(self.rate.hz()) / f64::from(WORKING_HZ);
        SampleIndex((at * ratio - self.delay).round().max(0.0) as u64)
    }

    /// The middle of a spectrum frame.
    pub fn middle(self, frame: u64) -> SampleIndex {
        self.working((frame * HOP as u64) as f64 + FRAME as f64 / 2.0)
    }
}
