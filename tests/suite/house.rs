//! House rules as tests: who may import whom, and that every file opens with its purpose.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Room, and the rooms it may import. A room that is not listed here may not exist.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("files", &[]),
    ("words", &[]),
    ("settings", &["units", "files", "words"]),
    ("signal", &["units"]),
    ("clinical", &["units", "words"]),
    ("conduct", &["units", "words", "clinical"]),
    ("sim", &["units"]),
    ("trial", &["units", "signal", "sim"]),
    ("practice", &["units", "words", "clinical", "conduct", "sim"]),
    ("report", &["units", "words", "clinical"]),
    ("audio", &["units", "files"]),
    ("live", &["units", "settings", "signal", "clinical", "sim", "audio"]),
    ("logbook", &["units", "files", "words", "settings", "clinical", "audio"]),
    ("service", &["units", "files", "words", "clinical", "report", "logbook"]),
    (
        "window",
        &[
            "units", "files", "words", "settings", "clinical", "conduct", "practice", "report",
            "live", "logbook",
        ],
    ),
    ("web", &["units", "words", "signal", "sim", "practice", "live", "window"]),
    (
        "cli",
        &[
            "units", "files", "words", "settings", "signal", "clinical", "conduct", "sim", "trial",
            "practice", "report", "audio", "live", "logbook", "window",
        ],
    ),
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found
}

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The room a source file belongs to; `None` for the crate's own two roots.
fn room(path: &Path) -> Option<String> {
    let inside = path.strip_prefix(src()).unwrap();
    let first = inside.iter().next().unwrap().to_str().unwrap();
    let name = first.trim_end_matches(".rs");
    (!["main", "lib"].contains(&name)).then(|| name.to_owned())
}

/// Rooms named after `crate::` in code; comments and doc links do not count.
fn imported(text: &str) -> BTreeSet<String> {
    let mut rooms = BTreeSet::new();
    for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
        for (at, _) in line.match_indices("crate::") {
            let rest = &line[at + 7..];
            let names = match rest.strip_prefix('{') {
                Some(group) => group.split('}').next().unwrap_or(""),
                None => rest,
            };
            for part in names.split(',').take(if rest.starts_with('{') { 99 } else { 1 }) {
                let name: String =
                    part.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                if !name.is_empty() {
                    rooms.insert(name);
                }
            }
        }
    }
    rooms
}

#[test]
fn rooms_import_only_what_the_table_allows() {
    let mut faults = Vec::new();
    for path in sources(&src()) {
        let Some(room) = room(&path) else { continue };
        let Some((_, allowed)) = MAY_IMPORT.iter().find(|(name, _)| *name == room) else {
            faults.push(format!("{}: room `{room}` is not in the table", path.display()));
            continue;
        };
        for other in imported(&fs::read_to_string(&path).unwrap()) {
            if other != room && !allowed.contains(&other.as_str()) {
                faults.push(format!("{}: `{room}` may not import `{other}`", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_reader_of_imports_sees_single_and_grouped_ones() {
    let text = "use crate::signal::Listener;\nuse crate::{units, sim::Patient};\n// crate::window";
    let expected = ["signal", "sim", "units"].map(str::to_owned);
    assert_eq!(imported(text), BTreeSet::from(expected));
}

#[test]
fn every_file_opens_with_its_purpose_and_has_no_banned_name() {
    const BANNED: &[&str] =
        &["utils", "common", "helpers", "misc", "manager", "prelude", "types", "core"];
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    for path in sources(&src()).into_iter().chain(sources(&tests)) {
        let text = fs::read_to_string(&path).unwrap();
        let first = text.lines().next().unwrap_or("");
        let opens = first.starts_with("//!") || first.starts_with("#![doc = include_str!");
        assert!(opens, "{} does not open with its purpose", path.display());
        let stem = path.file_stem().unwrap().to_str().unwrap();
        assert!(!BANNED.contains(&stem), "{} has a banned name", path.display());
    }
}

/// The names of all tests that run by themselves.
fn tests() -> BTreeSet<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut names = BTreeSet::new();
    for path in sources(&src()).into_iter().chain(sources(&root.join("tests/suite"))) {
        let text = fs::read_to_string(path).unwrap();
        for (at, _) in text.match_indices("#[test]") {
            let rest = &text[at..];
            let head = &rest[..rest.find('{').unwrap_or(rest.len())];
            let name = head.split("fn ").nth(1).and_then(|rest| rest.split('(').next());
            names.extend(name.filter(|_| !head.contains("#[ignore")).map(str::to_owned));
        }
    }
    names
}

/// Names in backticks within the last column of the tables.
fn named(page: &str) -> Vec<String> {
    let rows = page.lines().filter(|line| line.starts_with("| ") && line.contains('`'));
    let last = rows.filter_map(|row| row.trim_end_matches([' ', '|']).rsplit('|').next());
    last.flat_map(|cell| cell.split('`').skip(1).step_by(2).map(str::to_owned)).collect()
}

#[test]
fn every_hazard_names_tests_that_exist_and_run() {
    let page = include_str!("../../docs/hazards.md");
    let (tests, named) = (tests(), named(page));
    assert!(named.len() > 40, "{} tests are named", named.len());
    let missing: Vec<&String> = named.iter().filter(|name| !tests.contains(*name)).collect();
    assert!(missing.is_empty(), "no such test, or one that is ignored: {missing:?}");
    assert!(!tests.contains("figures"), "an ignored one does not count");
    let rows = page.lines().filter(|l| l.starts_with("| ") && !l.starts_with("| hazard"));
    let bare: Vec<&str> = rows.filter(|row| !row.contains('`')).collect();
    assert!(bare.is_empty(), "without a test: {bare:?}");
}

/// The names of types that a file gives to other rooms.
fn public_types(text: &str) -> BTreeSet<String> {
    let kinds = ["pub struct ", "pub enum ", "pub trait ", "pub type "];
    let after =
        |line: &str| kinds.iter().find_map(|kind| Some(line.strip_prefix(kind)?.to_owned()));
    let names = text.lines().filter_map(|line| after(line.trim_start()));
    names.map(|rest| rest.chars().take_while(|c| c.is_alphanumeric()).collect()).collect()
}

#[test]
fn a_type_that_other_rooms_may_use_has_a_name_of_its_own() {
    let mut at: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for path in sources(&src()) {
        for name in public_types(&fs::read_to_string(&path).unwrap()) {
            at.entry(name).or_default().push(path.display().to_string());
        }
    }
    assert!(at.len() > 200, "the reader of names sees too little: {}", at.len());
    at.retain(|_, files| files.len() > 1);
    assert!(at.is_empty(), "{at:#?}");
}
