//! What every verb prints with: to stdout, a fault in words, so many of a thing.

use anyhow::Context;

use super::manner::colored;

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

/// Wrong words that only the verb itself can tell: status 2, as for those that the command line refuses.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(super) struct Misuse(String);

/// Words that are wrong, and why.
pub(super) fn misuse(words: impl Into<String>) -> anyhow::Error {
    Misuse(words.into()).into()
}

/// So many of a thing: `1 visit`, `2 visits`.
pub(super) fn many(count: impl std::fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let ending = if count == "1" { "" } else { "s" };
    format!("{count} {one}{ending}")
}

/// Writes to stdout, and says where that did not go: a closed pipe or a full disk, too.
pub(super) fn say(text: &str) -> anyhow::Result<()> {
    say_bytes(text.as_bytes())
}

/// As [`say`], for bytes.
pub(super) fn say_bytes(bytes: &[u8]) -> anyhow::Result<()> {
    use std::io::{ErrorKind, Write};
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(fault) if fault.kind() == ErrorKind::BrokenPipe => {
            anyhow::bail!("standard output was closed before everything was written")
        }
        written => written.context("standard output"),
    }
}

/// A line on stderr. Where stderr takes none, the work goes on.
pub(super) fn aside(words: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr().lock(), "{words}");
}

/// The first fault of this run, for the log.
static FIRST: std::sync::OnceLock<String> = std::sync::OnceLock::new();

/// The first fault that this run told.
pub(super) fn first_fault() -> Option<String> {
    FIRST.get().cloned()
}

/// A fault on stderr, with the program's name before it.
pub(super) fn fault(words: &str) {
    FIRST.get_or_init(|| words.to_owned());
    let name = if colored() { "\u{1b}[1;31mcuffnote:\u{1b}[0m" } else { "cuffnote:" };
    aside(&format!("{name} {words}"));
}
