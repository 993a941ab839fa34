//! House rule as a test: in the pages one sentence stands on a line, so that a change shows which sentence it changes.
//! Tables, code, headings, pictures and generated lists are left out.

use std::fs;
use std::path::{Path, PathBuf};

/// What ends with a dot and ends no sentence.
const SHORT: &[&str] = &[
    "e.g.", "i.e.", "cf.", "vs.", "no.", "No.", "Nos.", "fig.", "Fig.", "al.", "approx.", "Dr.",
    "Mr.", "Ms.", "St.", "p.", "pp.", "etc.", "ca.", "min.", "max.", "J.", "Eur.", "Int.", "Vol.",
    "resp.", "vol.",
];

/// The lines of prose with their numbers; markers of lists and bold leads are taken off.
fn prose(page: &str) -> Vec<(usize, String)> {
    let (mut fenced, mut generated, mut found) = (false, false, Vec::new());
    for (n, line) in page.lines().enumerate() {
        let text = line.trim();
        let kept =
            fenced || generated || ["|", "#", "<", "!["].iter().any(|sign| text.starts_with(sign));
        if text.starts_with("```") {
            fenced = !fenced;
        } else if text.starts_with("<!-- end of") {
            generated = false;
        } else if text.starts_with("<!--") {
            generated = true;
        } else if !kept && !text.is_empty() {
            found.push((n + 1, without_lead(without_marker(text)).to_owned()));
        }
    }
    found
}

fn without_marker(text: &str) -> &str {
    let (head, rest) = text.split_once(' ').unwrap_or((text, ""));
    let number = head.strip_suffix('.').is_some_and(|n| n.parse::<u32>().is_ok());
    if number || ["-", "*", "+"].contains(&head) { rest } else { text }
}

/// Without a bold lead (`**Pedal.** A pedal is a key`), which stays with its first sentence.
fn without_lead(text: &str) -> &str {
    let rest = text.strip_prefix("**");
    let lead = rest.and_then(|r| r.split_once(".** ").or_else(|| r.split_once("?** ")));
    lead.map_or(text, |(_, rest)| rest)
}

/// Code and the targets of links as one sign each: dots in them end nothing.
fn masked(text: &str) -> String {
    let mut out = String::new();
    for (n, part) in text.split('`').enumerate() {
        out.push_str(if n % 2 == 0 { part } else { "X" });
    }
    while let Some(at) = out.find("](") {
        let end = out[at..].find(')').map_or(out.len(), |end| at + end + 1);
        out.replace_range(at..end, "]");
    }
    out
}

/// How many sentences begin after another one on this line.
fn further(text: &str) -> usize {
    let words: Vec<String> = masked(text).split_whitespace().map(str::to_owned).collect();
    let (mut open, mut count) = (0_i32, 0);
    for (word, next) in words.iter().zip(words.iter().skip(1)) {
        open += word.matches('(').count() as i32 - word.matches(')').count() as i32;
        let bare = word.trim_end_matches([')', '"', '\'', '*', '_']);
        let initial = bare.len() == 2 && bare.starts_with(char::is_uppercase);
        let ends = bare.ends_with(['.', '!', '?']) && !bare.ends_with("..");
        let known = SHORT.contains(&bare.trim_start_matches('(')) || initial;
        let first = next.trim_start_matches(['"', '\'', '(', '[', '*', '_']).chars().next();
        count += usize::from(ends && !known && open <= 0 && first.is_some_and(char::is_uppercase));
    }
    count
}

#[test]
fn one_sentence_stands_on_a_line_of_the_pages() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let entries = fs::read_dir(root).unwrap().chain(fs::read_dir(root.join("docs")).unwrap());
    let mut pages: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    // docs/forms.md is written by the program from its schemas, whose descriptions are paragraphs.
    let made = |path: &PathBuf| path.file_name().is_some_and(|name| name == "forms.md");
    pages.retain(|path| path.extension().is_some_and(|e| e == "md") && !made(path));
    assert!(pages.len() > 15, "{} pages were read", pages.len());
    let mut faults = Vec::new();
    for page in pages {
        for (n, line) in prose(&fs::read_to_string(&page).unwrap()) {
            if further(&line) > 0 {
                faults.push(format!("{}:{n}: {line}", page.display()));
            }
        }
    }
    assert!(faults.is_empty(), "more than one sentence:\n{}", faults.join("\n"));
}

#[test]
fn the_finder_of_sentences_knows_abbreviations_numbers_code_and_brackets() {
    assert_eq!(further("One. Two. Three."), 2);
    assert_eq!(further("Is it so? \"It is.\" Yes."), 2);
    assert_eq!(further("At 2.5 mmHg, e.g. Korotkoff's, or `a. B` in [one](x. Y) by J. Smith."), 0);
    assert_eq!(further("A number (see above. Or below) stands."), 0);
    let page = "- **Pedal.** A key. Another.\n1. One.\n\n```\nA. B.\n```\n| A. B. |\n<!-- list -->\nA. B.\n<!-- end of list -->";
    let lines: Vec<usize> =
        prose(page).into_iter().filter(|(_, l)| further(l) > 0).map(|l| l.0).collect();
    assert_eq!(lines, [1]);
    assert_eq!(prose(page).len(), 2);
}
