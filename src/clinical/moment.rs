//! A moment of wall time: the instant in UTC and the local offset that the act was made under; and a day.

use std::fmt;

use jiff::Timestamp;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use serde::{Deserialize, Serialize};

/// An instant and its local offset, written `2026-11-03T10:15:02+01:00` (RFC 3339).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(try_from = "String", into = "String")]
pub struct Moment {
    utc: Timestamp,
    offset: Offset,
}

/// Text that is no moment.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no time: expected one such as 2026-11-03T10:15:02+01:00")]
pub struct NoMoment(pub String);

impl Moment {
    /// The moment from its instant and local offset.
    pub const fn new(utc: Timestamp, offset: Offset) -> Self {
        Self { utc, offset }
    }

    /// Reads RFC 3339 text.
    ///
    /// # Errors
    /// Text that is no time, or has no offset.
    pub fn parse(text: &str) -> Result<Self, NoMoment> {
        let fault = || NoMoment(text.to_owned());
        let utc: Timestamp = text.parse().map_err(|_| fault())?;
        let pieces = Pieces::parse(text).map_err(|_| fault())?;
        let offset = pieces.to_numeric_offset().ok_or_else(fault)?;
        // RFC 3339 has no seconds there; written out again they would be dropped, and the instant moved.
        if offset.seconds() % 60 != 0 {
            return Err(fault());
        }
        Ok(Self { utc, offset })
    }

    /// The day of the calendar where it happened.
    pub fn day(self) -> Day {
        Day(self.offset.to_datetime(self.utc).date())
    }

    /// The instant.
    pub const fn utc(self) -> Timestamp {
        self.utc
    }
}

impl fmt::Display for Moment {
    /// As exactly as it is known; `{:.3}` writes so many decimals of the second.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = self.utc.display_with_offset(self.offset);
        match f.precision() {
            Some(digits) => write!(f, "{at:.digits$}"),
            None => write!(f, "{at}"),
        }
    }
}

/// What the note of a visit says that a table gave no time of: it then opens at midnight.
pub const ONLY_THE_DAY: &str = "Only the day of the visit is known.";

/// A day of the calendar, written `2026-11-03` (ISO 8601).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
pub struct Day(pub jiff::civil::Date);

/// Text that is no day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no day: expected one such as 2026-11-03")]
pub struct NoDay(pub String);

impl std::str::FromStr for Day {
    type Err = NoDay;

    fn from_str(text: &str) -> Result<Self, NoDay> {
        text.parse().map(Self).map_err(|_| NoDay(text.to_owned()))
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl TryFrom<String> for Day {
    type Error = NoDay;

    fn try_from(text: String) -> Result<Self, NoDay> {
        text.parse()
    }
}

impl From<Day> for String {
    fn from(day: Day) -> String {
        day.to_string()
    }
}

impl TryFrom<String> for Moment {
    type Error = NoMoment;

    fn try_from(text: String) -> Result<Self, NoMoment> {
        Self::parse(&text)
    }
}

impl From<Moment> for String {
    fn from(moment: Moment) -> String {
        moment.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instant_and_offset_both_survive() {
        let moment = Moment::parse("2026-11-03T10:15:02.25+01:00").unwrap();
        assert_eq!(moment.to_string(), "2026-11-03T10:15:02.25+01:00");
        assert_eq!(moment.utc().to_string(), "2026-11-03T09:15:02.25Z");
        assert!(Moment::parse("2026-11-03T10:15:02").is_err());
        assert!(Moment::parse("soon").is_err());
        assert!(Moment::parse("2026-11-03T10:15:02+01:00:02").is_err(), "no seconds in an offset");
        assert_eq!("2026-11-03".parse::<Day>().unwrap().to_string(), "2026-11-03");
        assert!("2026-02-30".parse::<Day>().is_err());
    }
}
