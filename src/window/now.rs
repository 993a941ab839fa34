//! One instant on both clocks.

use crate::clinical::moment::Moment;
use crate::units::Instant;

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
        Self { at: Instant::now(), wall: Moment::new(utc, offset(utc)) }
    }
}

#[cfg(not(target_arch = "wasm32"))]
fn offset(utc: jiff::Timestamp) -> jiff::tz::Offset {
    jiff::tz::TimeZone::system().to_offset(utc)
}

/// A browser has no list of the world's clocks; it tells by how much its own is off now.
#[cfg(target_arch = "wasm32")]
fn offset(_: jiff::Timestamp) -> jiff::tz::Offset {
    let behind_min = js_sys::Date::new_0().get_timezone_offset();
    jiff::tz::Offset::from_seconds((-60.0 * behind_min) as i32).unwrap_or(jiff::tz::Offset::UTC)
}
