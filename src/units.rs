//! Every number with a meaning, as its own type with one checked constructor, so that a sample count
//! cannot be added to a pressure and two positions in a sound cannot be summed.

use std::fmt;

use serde::{Deserialize, Serialize};

/// The computer's own clock: the standard library's; in a browser, which has none of that kind, the page's.
pub use web_time::Instant;

/// The computer's wall clock; one that stands beyond what a calendar holds gives its end instead of breaking anything.
pub fn wall_clock() -> jiff::Timestamp {
    use jiff::Timestamp;
    let epoch = Timestamp::UNIX_EPOCH;
    match web_time::SystemTime::now().duration_since(web_time::UNIX_EPOCH) {
        Ok(after) => epoch.checked_add(after).unwrap_or(Timestamp::MAX),
        Err(before) => epoch.checked_sub(before.duration()).unwrap_or(Timestamp::MIN),
    }
}

/// A pressure that was read or typed, in tenths of a millimetre of mercury, 0 to 300 mmHg.
///
/// An integer, so that equality, order and rounding are exact.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(try_from = "f64", into = "f64")]
pub struct Mmhg(i32);

/// Why a pressure was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PressureRefused {
    /// Outside what a gauge for this purpose shows.
    #[error("{0} mmHg is outside 0 to 300 mmHg")]
    OutOfRange(f64),
    /// Not a number at all.
    #[error("the pressure is not a number")]
    NotANumber,
}

impl Mmhg {
    /// The highest pressure that a cuff is pumped to here, and the end of the gauge, mmHg.
    pub const LIMIT: Mmhg = Mmhg(3000);

    /// A whole number of mmHg.
    pub fn whole(mmhg: i32) -> Result<Self, PressureRefused> {
        Self::tenths(mmhg.saturating_mul(10))
    }

    /// Tenths of a mmHg.
    pub fn tenths(tenths: i32) -> Result<Self, PressureRefused> {
        if (0..=3000).contains(&tenths) {
            Ok(Self(tenths))
        } else {
            Err(PressureRefused::OutOfRange(f64::from(tenths) / 10.0))
        }
    }

    /// The value in tenths of a mmHg.
    pub const fn as_tenths(self) -> i32 {
        self.0
    }

    /// The value in mmHg.
    pub fn as_f64(self) -> f64 {
        f64::from(self.0) / 10.0
    }
}

impl TryFrom<f64> for Mmhg {
    type Error = PressureRefused;

    /// Rounds to the nearest tenth; refuses what is no number or lies outside 0 to 300.
    fn try_from(mmhg: f64) -> Result<Self, PressureRefused> {
        if !mmhg.is_finite() {
            return Err(PressureRefused::NotANumber);
        }
        if !(0.0..=300.0).contains(&mmhg) {
            return Err(PressureRefused::OutOfRange(mmhg));
        }
        Self::tenths((mmhg * 10.0).round() as i32)
    }
}

impl From<Mmhg> for f64 {
    fn from(value: Mmhg) -> f64 {
        value.as_f64()
    }
}

impl fmt::Display for Mmhg {
    /// Whole numbers without a decimal, others with one.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0 / 10, self.0 % 10) {
            (whole, 0) => write!(f, "{whole}"),
            (whole, tenth) => write!(f, "{whole}.{tenth}"),
        }
    }
}

/// Samples a second of one channel, 4,000 to 384,000.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, schemars::JsonSchema,
)]
pub struct SampleRate(u32);

impl SampleRate {
    /// A rate in hertz; `None` outside 4,000 to 384,000.
    pub fn new(hz: u32) -> Option<Self> {
        (4_000..=384_000).contains(&hz).then_some(Self(hz))
    }

    /// The rate in hertz.
    pub const fn hz(self) -> u32 {
        self.0
    }
}

/// A position in one sound stream: frames (one sample of every channel) since the stream began.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
pub struct SampleIndex(pub u64);

impl SampleIndex {
    /// Seconds since the stream began.
    pub fn seconds(self, rate: SampleRate) -> f64 {
        self.0 as f64 / f64::from(rate.hz())
    }

    /// The position nearest to `seconds` after the stream began; a negative time is the beginning.
    pub fn at(seconds: f64, rate: SampleRate) -> Self {
        Self((seconds * f64::from(rate.hz())).round().max(0.0) as u64)
    }

    /// This position moved on by a count.
    #[must_use]
    pub fn plus(self, count: SampleCount) -> Self {
        Self(self.0 + count.0)
    }
}

/// A number of frames.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
pub struct SampleCount(pub u64);

/// A plain picture of sound: power over time and frequency, ready to paint, without knowledge of
/// how it was made. Column-major: column `c` holds `rows` levels, lowest frequency first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Sonogram {
    /// Time of the first column's centre, seconds from the start of the sound.
    pub start_s: f64,
    /// Time from one column to the next, seconds.
    pub column_s: f64,
    /// Frequency of the upper edge of the top row, hertz; the bottom row begins at 0.
    pub top_hz: f64,
    /// Levels in each column.
    pub rows: usize,
    /// `columns * rows` levels: 0 is the background of that row, 255 is 30 dB or more above it.
    pub levels: Vec<u8>,
}

impl Sonogram {
    /// The number of columns.
    pub fn columns(&self) -> usize {
        self.levels.len().checked_div(self.rows).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pressure_is_held_in_tenths_and_refused_outside_the_gauge() {
        assert_eq!(Mmhg::whole(148).unwrap().as_tenths(), 1480);
        assert_eq!(Mmhg::try_from(94.5).unwrap().to_string(), "94.5");
        assert_eq!(Mmhg::whole(300).unwrap(), Mmhg::LIMIT);
        assert!(Mmhg::whole(301).is_err());
        assert!(Mmhg::try_from(-0.1).is_err());
        assert!(Mmhg::try_from(f64::NAN).is_err());
        assert!(Mmhg::whole(i32::MAX).is_err());
    }

    #[test]
    fn a_position_and_its_time_agree() {
        let rate = SampleRate::new(48_000).unwrap();
        assert_eq!(SampleIndex::at(1.5, rate), SampleIndex(72_000));
        assert_eq!(SampleIndex(72_000).seconds(rate), 1.5);
        assert_eq!(SampleIndex::at(-1.0, rate), SampleIndex(0));
        assert!(SampleRate::new(3_999).is_none());
    }
}
