//! What is sent to whoever supports a computer: one text, to be read before it is sent, in which no record, no sound and no
//! name stands. What may name somebody is left out, and what is known to do so is looked for once more at the end.

use std::collections::BTreeSet;
use std::path::Path;

use super::log;
use super::settings::Stands;
use crate::logbook::{Book, Search};
use crate::settings::{KEYS, Settings};

/// So many of the log's last lines.
const LINES: usize = 400;

/// The whole text: what `doctor` said, the settings, the log.
pub(super) fn text(looked: &str, settings: &Settings, book: Option<&Path>) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let now = crate::units::wall_clock();
    let mut text = format!(
        "For support: cuffnote {version}, {now:.0}\n\
         Made by `cuffnote doctor --bundle`. It holds no record, no sound and no name; read it before it is sent.\n\
         \n== What was looked at\n{looked}\n== Settings\n"
    );
    for key in KEYS {
        text += &format!("{}\n", Stands::of(key, settings).in_words(true));
    }
    text += &format!("\n== The log's last lines\n{}", logged());
    without(&text, &names(settings, book))
}

/// The last lines of the log.
fn logged() -> String {
    let read = log::path().and_then(|path| std::fs::read(path).ok());
    let Some(bytes) = read else { return "There is no log.\n".into() };
    let text = String::from_utf8_lossy(&bytes);
    let lines: Vec<&str> = text.lines().collect();
    lines[lines.len().saturating_sub(LINES)..].iter().map(|line| format!("{line}\n")).collect()
}

/// What is known to name a person, a place or a record here, with what stands in its place; the longest first.
fn names(settings: &Settings, book: Option<&Path>) -> Vec<(String, &'static str)> {
    let mut found = BTreeSet::new();
    if let Some(book) = book {
        // Where the book lies is a path of this computer; its records are codes of patients.
        found.insert((book.display().to_string(), "BOOK"));
        let rows = book.join("book.sqlite").is_file().then(|| Book::open_as_it_lies(book).ok());
        let rows = rows.flatten().and_then(|o| o.book.visits(&Search::default()).ok());
        found.extend(rows.into_iter().flatten().map(|row| (row.record.to_string(), "RECORD")));
    }
    let private = KEYS.iter().filter(|key| key.private);
    let said = private.filter_map(|key| Some((settings.text(key.name)?.to_owned(), "LEFT-OUT")));
    found.extend(said.filter(|(text, _)| !["off", "usual", "in use"].contains(&text.as_str())));
    for (variable, word) in [
        ("HOME", "HOME"),
        ("USERPROFILE", "HOME"),
        ("USER", "USER"),
        ("USERNAME", "USER"),
        ("LOGNAME", "USER"),
        ("HOSTNAME", "COMPUTER"),
        ("COMPUTERNAME", "COMPUTER"),
    ] {
        found.extend(std::env::var(variable).ok().map(|text| (text, word)));
    }
    let mut found: Vec<(String, &str)> =
        found.into_iter().filter(|(text, _)| text.trim().len() > 1).collect();
    found.sort_by_key(|(text, _)| std::cmp::Reverse(text.len()));
    found
}

/// The text without these names, wherever they stand as a whole word, in large letters or small.
fn without(text: &str, names: &[(String, &'static str)]) -> String {
    let mut text = text.to_owned();
    let small = text.to_lowercase();
    // Most records of a long book stand nowhere in it.
    for (name, word) in names.iter().filter(|(name, _)| small.contains(&name.to_lowercase())) {
        let mut at = 0;
        while let Some((from, to)) = find(&text, name, at) {
            text.replace_range(from..to, word);
            at = from + word.len();
        }
    }
    text
}

/// Where a name stands as a whole word from `at` on, in bytes.
fn find(text: &str, name: &str, at: usize) -> Option<(usize, usize)> {
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    let starts = text[at..].char_indices().map(|(n, _)| at + n);
    starts
        .filter_map(|from| {
            let to = from + name.len();
            let there = text.get(from..to)?;
            let same = there == name || there.to_lowercase() == name.to_lowercase();
            (same && edge(text[..from].chars().next_back()) && edge(text[to..].chars().next()))
                .then_some((from, to))
        })
        .next()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_go_wherever_they_stand_and_words_that_hold_them_stay() {
        let names = [("/home/anna".to_owned(), "HOME"), ("anna".to_owned(), "USER")];
        assert_eq!(
            without("/home/anna/book, ANNA's, hannah, anna", &names),
            "HOME/book, USER's, hannah, USER"
        );
        assert_eq!(without("Ärger mit Ägnes", &[("ägnes".to_owned(), "X")]), "Ärger mit X");
    }
}
