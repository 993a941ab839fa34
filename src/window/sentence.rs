//! How words are set in the window: a sentence's first letter, a day.

#[cfg(feature = "bedside")]
use crate::words::Words;

pub use crate::clinical::sentences::capital as sentence;

/// The date of a moment, as a file writes it: `2026-11-25`.
pub fn date(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}

/// The day of a moment or of a day, in the figures of the language.
#[cfg(feature = "bedside")]
pub fn day(words: Words, moment: impl ToString) -> String {
    let moment = moment.to_string();
    let day = date(&moment);
    day.parse().map_or_else(|_| day.to_owned(), |day| words.short_day(day))
}
