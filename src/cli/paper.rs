//! A visit's result as text for a terminal: the readings as a table, then a paragraph a sentence.

use std::fmt::Write;

use crate::clinical::event::Phase;
use crate::clinical::exact::Hundredths;
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::{Artery, Side, Site};

/// Characters in a line.
const WIDTH: usize = 78;

const DISCLAIMER: &str = "For training and for recording what a clinician measured. It does not diagnose. The clinician's ear and gauge are the record; local policy decides.";

/// The whole result.
pub(super) fn visit(result: &VisitResult) -> String {
    let mut page = String::new();
    readings(&mut page, result);
    if result.guidance.len() > 1 {
        side_by_side(&mut page, result);
    }
    for side in Side::BOTH {
        heading(&mut page, &format!("{} leg", side.words()));
        result.leg(side).words.iter().for_each(|words| paragraph(&mut page, words));
    }
    if !result.wanted.is_empty() {
        heading(&mut page, "Asked for by a rule");
        for wanted in &result.wanted {
            paragraph(&mut page, &format!("{}: {}.", wanted.site, wanted.why));
        }
    }
    heading(&mut page, "Notes");
    result.notes.iter().for_each(|note| paragraph(&mut page, note));
    heading(&mut page, "Sources");
    for set in &result.guidance {
        let note = if set.note.is_empty() { String::new() } else { format!(" {}", set.note) };
        paragraph(
            &mut page,
            &format!(
                "{}: {} ({}; to be looked at again by {}).{note}",
                set.name,
                set.source,
                set.status.words(),
                set.look_again
            ),
        );
    }
    let _ = write!(page, "\n{}", wrap(DISCLAIMER, "", ""));
    page
}

fn readings(page: &mut String, result: &VisitResult) {
    row(page, "", Side::BOTH.map(|side| side.words().to_owned()));
    for artery in [
        Artery::Brachial,
        Artery::DorsalisPedis,
        Artery::PosteriorTibial,
        Artery::Peroneal,
        Artery::GreatToe,
    ] {
        let optional = matches!(artery, Artery::Peroneal | Artery::GreatToe);
        let cells = Side::BOTH.map(|side| outcome(result, Site::new(side, artery)));
        if !optional || cells.iter().any(|c| c != "not yet measured") {
            let name = if artery == Artery::Brachial { "arm" } else { artery.words() };
            row(page, name, cells);
        }
    }
    row(page, "index", Side::BOTH.map(|side| index(result.leg(side))));
    if Side::BOTH.iter().any(|side| result.leg(*side).toe.is_some()) {
        let toe = |side| {
            let toe = result.leg(side).toe.as_ref();
            toe.map_or(String::new(), |t| with_ends(t.index, t.low, t.high))
        };
        row(page, "toe index", Side::BOTH.map(toe));
    }
}

/// Each set by itself: where they differ, both stand.
fn side_by_side(page: &mut String, result: &VisitResult) {
    heading(page, "the sets side by side; none of them is merged with another");
    for set in &result.guidance {
        let bands = |leg: &LegResult| {
            let of_set = leg.bands.iter().filter(|band| band.id == set.id);
            let bands: Vec<String> =
                of_set.map(|band| format!("\"{}\" ({})", band.name, band.limits)).collect();
            if bands.is_empty() { "no band".to_owned() } else { bands.join("; ") }
        };
        let [right, left] = Side::BOTH.map(|side| bands(result.leg(side)));
        paragraph(page, &format!("{}. Right: {right}. Left: {left}.", set.name));
    }
}

fn outcome(result: &VisitResult, site: Site) -> String {
    let found = result.sites.iter().find(|s| s.site == site && s.phase == Phase::Rest);
    found.map_or("not yet measured".into(), |s| s.outcome.clone())
}

fn index(leg: &LegResult) -> String {
    match leg.more_than {
        Some(lowest) => format!("above {lowest}"),
        None => with_ends(leg.index, leg.low, leg.high),
    }
}

/// An index with its interval, or `no index`.
pub(super) fn with_ends(
    index: Option<Hundredths>,
    low: Option<Hundredths>,
    high: Option<Hundredths>,
) -> String {
    match (index, low, high) {
        (Some(index), Some(low), Some(high)) => format!("{index} ({low} to {high})"),
        (Some(index), ..) => index.to_string(),
        _ => "no index".into(),
    }
}

/// Characters of the first column, and of each of the two others with the blanks behind it.
const NAMES: usize = 18;
const COLUMN: usize = 30;

/// A row of the table; what is wider than its column goes on in the next line.
fn row(page: &mut String, name: &str, cells: [String; 2]) {
    let [right, left] = cells.map(|cell| lines_of(&cell, COLUMN - 2));
    for n in 0..right.len().max(left.len()).max(1) {
        let cell = |lines: &[String]| lines.get(n).cloned().unwrap_or_default();
        let name = if n == 0 { name } else { "" };
        let line = format!("{name:NAMES$}{:COLUMN$}{}", cell(&right), cell(&left));
        let _ = writeln!(page, "{}", line.trim_end());
    }
}

/// Words in lines of at most so many characters; a longer word has a line of its own.
fn lines_of(words: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn heading(page: &mut String, words: &str) {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let _ = writeln!(page, "\n{first}{}", letters.as_str());
}

fn paragraph(page: &mut String, words: &str) {
    page.push_str(&wrap(words, "  - ", "    "));
}

/// Breaks words into lines of at most [`WIDTH`] characters.
fn wrap(words: &str, first: &str, rest: &str) -> String {
    let mut text = String::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in words.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(text, "{line}");
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(text, "{line}");
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_wider_than_its_column_never_runs_into_the_next() {
        let mut page = String::new();
        let long = "readings of 140 and 166 mmHg contradict each other".to_owned();
        row(&mut page, "arm", [long, "not measured: the wound lay just there".into()]);
        row(&mut page, "index", ["no index".into(), String::new()]);
        let expected = "arm               readings of 140 and 166 mmHg  not measured: the wound lay
                  contradict each other         just there
index             no index
";
        assert_eq!(page, expected);
    }
}
