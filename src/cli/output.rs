//! What every verb prints with: to stdout, a fault in words, so many of a thing.

/// What is printed of a long sentence, in characters from its beginning and its end: a fault may quote a stranger's file.
const SHOWN: [usize; 2] = [1200, 300];

/// A fault for whoever reads it: without the system's own numbers, and of a length that can be read.
pub(super) fn sentence(fault: &anyhow::Error) -> String {
    let mut text = format!("{fault:#}");
    while let Some(at) = text.find(" (os error ") {
        let end = text[at..].find(')').map_or(text.len(), |end| at + end + 1);
        text.replace_range(at..end, "");
    }
    let letters: Vec<char> = text.chars().collect();
    let [first, last] = SHOWN;
    if letters.len() <= first + last {
        return text;
    }
    let (start, end) = (&letters[..first], &letters[letters.len() - last..]);
    [start, &[' ', '…', ' '], end].concat().into_iter().collect()
}

/// So many of a thing: `1 visit`, `2 visits`.
pub(super) fn many(count: impl std::fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let ending = if count == "1" { "" } else { "s" };
    format!("{count} {one}{ending}")
}

/// Writes to stdout; a reader that has gone away ends the work quietly.
pub(super) fn say(text: &str) -> anyhow::Result<()> {
    use std::io::Write;
    pipe(std::io::stdout().lock().write_all(text.as_bytes()))
}

/// A pipe whose reader has gone is no fault; anything else is.
pub(super) fn pipe(written: std::io::Result<()>) -> anyhow::Result<()> {
    match written {
        Err(fault) if fault.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => Ok(other?),
    }
}
