//! How words are set in the window: a sentence's first letter, a day.

#[cfg(feature = "bedside")]
use crate::words::Words;

pub use crate::clinical::sentences::capital as sentence;

/// The day of a moment or of a day, in the figures of the language.
#[cfg(feature = "bedside")]
pub fn day(words: Words, moment: impl ToString) -> String {
    words.day_of(&moment.to_string())
}
