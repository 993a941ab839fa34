//! What the program says: answers on standard output, everything else on standard error, never a secret.

use std::io::Write;

use anyhow::Context;

/// What is printed of a sentence, characters: a server may answer with anything.
const SHOWN: usize = 600;

/// An answer, on standard output.
///
/// # Errors
/// Standard output takes nothing.
pub(super) fn say(words: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{words}").and_then(|()| out.flush()).context("standard output")
}

/// A note on standard error. Where that takes none, the work goes on.
pub(super) fn note(words: &str) {
    let _ = writeln!(std::io::stderr().lock(), "cuffnote-service: {words}");
}

/// A fault in one sentence of a length that can be read, without signs that steer a terminal.
pub(super) fn sentence(fault: &anyhow::Error) -> String {
    plain(&format!("{fault:#}"))
}

/// Words from elsewhere as they may be shown and kept: one line, of a length that can be read.
pub(super) fn plain(words: &str) -> String {
    let steers =
        |c: char| c.is_control() || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    let one: String = words.chars().map(|c| if steers(c) { ' ' } else { c }).collect();
    let one = one.split_whitespace().collect::<Vec<_>>().join(" ");
    match one.char_indices().nth(SHOWN) {
        Some((at, _)) => format!("{} …", &one[..at]),
        None => one,
    }
}

/// So many of a thing: `1 visit`, `2 visits`.
pub(super) fn many(count: u64, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_server_says_is_one_line_and_steers_nothing() {
        assert_eq!(plain("a\u{1b}[2J\r\nb\u{202e}c"), "a [2J b c");
        assert!(plain(&"é".repeat(2000)).chars().count() < 700);
    }
}
