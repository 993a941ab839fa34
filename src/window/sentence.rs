//! How words are set in the window: a sentence's first letter, a day.

pub use crate::clinical::sentences::capital as sentence;

/// The date of a moment, as people read it here: `2026-11-25`.
pub fn date(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}
