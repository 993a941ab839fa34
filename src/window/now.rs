//! One instant on both clocks.

use std::time::Instant;

use crate::clinical::moment::Moment;

/// One instant on both clocks: the computer's own, and the wall's with its offset.
#[derive(Debug, Clone, Copy)]
pub struct Now {
    /// The computer's own clock.
    pub at: Instant,
    /// The wall clock.
    pub wall: Moment,
}

impl Now {
    /// This instant.
    pub fn here() -> Self {
        let utc = crate::units::wall_clock();
        let offset = jiff::tz::TimeZone::system().to_offset(utc);
        Self { at: Instant::now(), wall: Moment::new(utc, offset) }
    }
}
