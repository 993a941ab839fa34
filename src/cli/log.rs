//! The local log: one line a run, why one failed, and where a panic happened. Never a record code, a path or a sound.
//!
//! Written here, since a logging library would be larger than what it is needed for.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::output::fault;
use crate::{files, settings};

/// A log this long, in bytes, is set aside as `cuffnote.1.log`, and the one before it dropped.
const LONGEST: u64 = 256 * 1024;

/// The log file, where the platform names a folder for it.
pub fn path() -> Option<PathBuf> {
    settings::log_folder().map(|folder| folder.join("cuffnote.log"))
}

/// Appends a line with the time before it. A log that cannot be written stops no work.
pub fn note(line: &str) {
    if let Some(path) = path() {
        let _ = append(&path, line);
    }
}

fn append(path: &Path, line: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        files::private_folder(folder)?;
    }
    if fs::metadata(path).is_ok_and(|m| m.len() > LONGEST) {
        fs::rename(path, path.with_extension("1.log"))?;
    }
    let mut file = files::private().create(true).append(true).open(path)?;
    writeln!(file, "{} {} {line}", crate::units::wall_clock(), env!("CARGO_PKG_VERSION"))
}

/// What is written for a part of a sentence that may name a record, a file or a person.
const LEFT_OUT: &str = "[...]";

/// Why something failed, without what may name a record, a file or a person: what stands in quotation marks, whatever was
/// typed, and each word that is more than small letters or a short number.
pub(super) fn reason(sentence: &str, typed: &[String]) -> String {
    let mut words: Vec<&str> = Vec::new();
    for (n, part) in sentence.split(['`', '"', '\u{201c}', '\u{201d}']).enumerate() {
        let inside = n % 2 == 1;
        let kept =
            |word: &str, first: bool| !inside && may_stay(word, first) && !was_typed(word, typed);
        for (at, word) in part.split_whitespace().enumerate() {
            let word = if kept(word, n == 0 && at == 0) { word } else { LEFT_OUT };
            if word != LEFT_OUT || words.last() != Some(&LEFT_OUT) {
                words.push(word);
            }
        }
    }
    words.join(" ")
}

/// Whether a word was typed: a whole word of the command line, or a part of one that is long enough to tell something.
fn was_typed(word: &str, typed: &[String]) -> bool {
    let word = bare(word);
    let parts =
        |typed: &String| typed.split(|c: char| !c.is_alphanumeric()).any(|part| part == word);
    !word.is_empty() && typed.iter().any(|one| one == word || (word.len() > 3 && parts(one)))
}

fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| c.is_ascii_punctuation())
}

/// A plain word of a sentence, or a number too short to name anything.
fn may_stay(word: &str, first: bool) -> bool {
    let word = bare(word);
    let small = |c: char| c.is_ascii_lowercase() || c == '\'' || c == '-';
    let mut letters = word.chars();
    let begins = letters.next().is_none_or(|c| small(c) || (first && c.is_ascii_uppercase()));
    let plain = begins && letters.all(small);
    plain || (word.len() <= 3 && word.chars().all(|c| c.is_ascii_digit()))
}

/// On a panic: the place goes to the log, and a sentence says where that is. The message itself may hold
/// what was typed, so it is shown but not kept.
pub fn keep_panics() {
    let shown = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        shown(panic);
        let place = panic.location().map_or("an unknown place".into(), ToString::to_string);
        note(&format!("panic at {place}"));
        if let Some(path) = path() {
            let path = path.display();
            fault(&format!("this is a fault of the program; where it happened is noted in {path}"));
        }
    }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_names_no_record_file_or_person() {
        let typed = ["book".to_owned(), "show".to_owned(), "anna-7".to_owned()];
        for (sentence, kept) in [
            (
                "/home/anna/book.sqlite: there is no record book yet: the window makes one",
                "[...] there is no record [...] yet: the window makes one",
            ),
            ("there is no record `tm 0142` in this book", "there is no record [...] in this [...]"),
            ("anna-7: no such visit", "[...] no such visit"),
            ("visits.csv, line 12: Berta is no code", "[...] line 12: [...] is no code"),
            ("the disk is full", "the disk is full"),
            ("9434765919 is no pressure of 2026-01-05", "[...] is no pressure of [...]"),
        ] {
            assert_eq!(reason(sentence, &typed), kept);
        }
    }

    #[test]
    fn a_long_log_is_set_aside_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log").join("cuffnote.log");
        append(&path, "first").unwrap();
        fs::write(&path, vec![b'x'; LONGEST as usize + 1]).unwrap();
        append(&path, "listen ended with 0").unwrap();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.trim_end().ends_with("listen ended with 0") && text.len() < 100);
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 2);
    }
}
