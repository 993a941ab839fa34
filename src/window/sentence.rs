//! How words are set in the window: a sentence's first letter, a day.

/// The first letter large.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The date of a moment, as people read it here: `2026-11-25`.
pub fn date(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}
