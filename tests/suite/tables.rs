//! Visits as tables: out and in again, harmless in a spreadsheet, every bad row named.

use assert_cmd::Command;
use cuffnote::clinical::event::{Act, Event};
use cuffnote::report::table::{COLUMNS, Dialect, csv, read};
use proptest::prelude::*;

use super::visits::{ten, worked};

fn table_of(visits: &[Vec<Event>], dialect: Dialect) -> Vec<u8> {
    let worked: Vec<_> = visits.iter().map(|events| worked(events)).collect();
    let pairs: Vec<_> =
        worked.iter().map(|(visit, result)| (visit, result, Default::default())).collect();
    csv(&pairs, dialect)
}

fn cells(bytes: &[u8], separator: u8) -> Vec<Vec<String>> {
    let text = std::str::from_utf8(bytes).unwrap().trim_start_matches('\u{FEFF}');
    let mut reader = ::csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect());
    rows.collect()
}

/// The demonstration's kind of visit out and in again: the table of what came in is the same table, but for
/// the count of attempts where one was taken back.
#[test]
fn our_own_table_comes_back_the_same_in_both_dialects() {
    let all: Vec<Vec<Event>> = ten().into_iter().map(|(_, events)| events).collect();
    for (dialect, separator) in [(Dialect::Comma, b','), (Dialect::Semicolon, b';')] {
        let first = table_of(&all, dialect);
        let found = read(&first).unwrap();
        assert_eq!((found.refused.len(), found.ignored.len()), (0, 0), "{:?}", found.refused);
        let again: Vec<Vec<Event>> = found.taken.iter().map(|taken| taken.events.clone()).collect();
        let (one, two) = (cells(&first, separator), cells(&table_of(&again, dialect), separator));
        assert_eq!(one.len(), 11);
        for (row, back) in one.iter().zip(&two) {
            for (column, (was, is)) in COLUMNS.iter().zip(row.iter().zip(back)) {
                // The doubt of an index is smaller with measured deflation rates, which a table has not.
                let of_doubt = column.ends_with("_low") || column.ends_with("_high");
                let of_attempts = column.starts_with("attempts");
                if !of_doubt && !of_attempts {
                    assert_eq!(was, is, "{column} of {}", row[0]);
                }
            }
        }
        assert_eq!(table_of(&again, dialect), table_of(&read_again(&again, dialect), dialect));
    }
}

fn read_again(visits: &[Vec<Event>], dialect: Dialect) -> Vec<Vec<Event>> {
    let found = read(&table_of(visits, dialect)).unwrap();
    found.taken.into_iter().map(|taken| taken.events).collect()
}

#[test]
fn a_spreadsheet_with_semicolons_gets_decimal_commas() {
    let text = String::from_utf8(table_of(&[ten().remove(0).1], Dialect::Semicolon)).unwrap();
    assert!(text.starts_with('\u{FEFF}') && text.contains("\"0,70\";"), "{text}");
    let text = String::from_utf8(table_of(&[ten().remove(0).1], Dialect::Comma)).unwrap();
    assert!(text.starts_with("\"record\",") && text.contains("\"0.70\","), "{text}");
}

#[test]
fn every_bad_row_is_named_and_none_is_half_taken() {
    let table = "record,measured,right-arm,left-arm,right-pt,right-dp,left-pt,left-dp,extra\n\
        K-1,2026-03-04,148,142,104,96,146,152,x\n\
        K-2,2026-03-05,148,142,104,96,146,400,x\n\
        K-3,yesterday,148,142,104,96,146,152,x\n\
        K-4,2026-03-06,148,142,0,96,146,152,x\n\
        K-5,2026-03-07,,,,,,,x\n\
        K-1,2026-03-04,120,142,104,96,146,152,x\n\
        K-6,2026-03-08,148,142\n\
        K-7,2026-03-09T10:00:00+01:00,nc,none,skipped: wound,\"96,5\",146 | 148,unfinished,x\n";
    let found = read(table.as_bytes()).unwrap();
    assert_eq!(found.ignored, ["extra"]);
    let taken: Vec<u64> = found.taken.iter().map(|taken| taken.line).collect();
    assert_eq!(taken, [2, 9]);
    let named: Vec<String> = found.refused.iter().map(ToString::to_string).collect();
    let expected = [
        ("line 3, left-dp", "outside 0 to 300"),
        ("line 4, measured", "is no time"),
        ("line 5, right-pt", "0 mmHg is no pressure"),
        ("line 6, the row", "no site has an outcome"),
        ("line 7, measured", "the same visit stands in line 2"),
        ("line 8, the row", "4 cells"),
    ];
    assert_eq!(named.len(), expected.len(), "{named:?}");
    for (words, (place, why)) in named.iter().zip(expected) {
        assert!(words.starts_with(place) && words.contains(why), "{words}");
    }
    let day_only = &found.taken[0].events;
    assert!(day_only.iter().any(
        |event| matches!(&event.act, Act::Note { words, .. } if words.contains("Only the day"))
    ));
}

#[test]
fn what_is_no_table_is_refused() {
    assert!(read(b"\xff\xfe").is_err());
    assert!(read(b"").is_err());
    assert!(read(b"name,age\nx,3\n").unwrap_err().to_string().contains("right-arm"));
    assert!(read(b"right-arm,right-arm\n1,2\n").unwrap_err().to_string().contains("twice"));
    // No row is left out without a word, however many there are.
    let rows = "1,148\n".repeat(100_001);
    let refused = read(format!("measured,right-arm\n{rows}").as_bytes()).unwrap().refused;
    assert_eq!(refused.len(), 100_001);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is typed: no cell begins like a formula, and the text comes back whole.
    #[test]
    fn typed_text_is_harmless_and_comes_back(words in prop_oneof![any::<String>(), "[=+@\\-\t\r\n;,\"' a-z|]{1,12}"]) {
        let (_, mut events) = ten().remove(0);
        if let Act::VisitOpened(opened) = &mut events[0].act {
            opened.reason.clone_from(&words);
        }
        for (dialect, separator) in [(Dialect::Comma, b','), (Dialect::Semicolon, b';')] {
            let bytes = table_of(&[events.clone()], dialect);
            for cell in cells(&bytes, separator).concat() {
                prop_assert!(!cell.trim_start().starts_with(['=', '+', '-', '@']), "{:?}", cell);
            }
            let found = read(&bytes).unwrap();
            prop_assert_eq!(found.taken.len(), 1, "{:?}", found.refused);
            let Act::VisitOpened(opened) = &found.taken[0].events[0].act else { unreachable!() };
            prop_assert_eq!(&opened.reason, &words);
        }
    }

    #[test]
    fn no_bytes_make_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), text in "[a-z,;\"|\n0-9-]{0,200}") {
        let _ = read(&bytes);
        let _ = read(format!("right-arm,measured,{text}").as_bytes());
    }
}

/// docs/exchange.md lists every field: of the table, of the bundle, of the rows of attempts.
#[test]
fn every_field_that_leaves_is_listed_with_its_source() {
    let listed = include_str!("../../docs/exchange.md");
    let (bundles, rest) = listed.split_once("## CSV").unwrap();
    let (tables, _) = rest.split_once("## Audit").unwrap();
    let words = |text: &'static str| -> std::collections::BTreeSet<&str> {
        let is_name = |c: char| c.is_alphanumeric() || "_-".contains(c);
        text.split(|c| !is_name(c)).collect()
    };
    let (bundles, tables) = (words(bundles), words(tables));
    for column in COLUMNS.iter().filter(|column| !column.contains("left-")) {
        assert!(tables.contains(column.trim_end_matches("/after")), "{column}");
    }
    for (name, events) in ten() {
        let bundle: serde_json::Value =
            serde_json::from_slice(&super::visits::bundle(&events)).unwrap();
        for entry in bundle["entry"].as_array().unwrap() {
            let resource = entry["resource"].as_object().unwrap();
            assert!(bundles.contains(resource["resourceType"].as_str().unwrap()));
            for field in resource.keys().filter(|field| *field != "resourceType") {
                assert!(
                    bundles.contains(field.as_str()),
                    "{name}: {field} of {}",
                    resource["resourceType"]
                );
            }
        }
    }
}

/// The demonstration's visit by the program itself: to PDF, FHIR and CSV, and back in by import.
#[test]
fn the_demonstration_goes_out_and_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let run = |words: &[&str]| {
        let mut command = Command::cargo_bin("cuffnote").unwrap();
        command.env("XDG_STATE_HOME", folder.path()).args(words).output().unwrap()
    };
    assert!(run(&["demo", "--out", &path("out")]).status.success());
    let visit = path("out/visit.json");
    for name in ["r.pdf", "r.fhir.json", "r.csv", "r.html", "r.json"] {
        let done = run(&["report", &visit, "--out", &path(name), "--service", "Tidemill"]);
        assert!(done.status.success(), "{name}: {done:?}");
    }
    let done = run(&["import", &path("r.csv"), "--out", &path("in")]);
    assert!(done.status.success(), "{done:?}");
    let done = run(&["report", &path("in/line-00002.json"), "--out", &path("again.csv")]);
    assert!(done.status.success(), "{done:?}");
    let read_rows = |name: &str| cells(&std::fs::read(path(name)).unwrap(), b',');
    let (out, back) = (read_rows("r.csv"), read_rows("again.csv"));
    for (i, column) in COLUMNS.iter().enumerate() {
        // Who measured is named anew each time.
        if !column.ends_with("_low") && !column.ends_with("_high") && *column != "service" {
            assert_eq!(out[1][i], back[1][i], "{column}");
        }
    }
    let done = run(&["audit", &visit, "--out", &path("a.html")]);
    assert!(done.status.success(), "{done:?}");
    let done = run(&["report", &visit, "--out", &path("r.parquet")]);
    let told = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.code() == Some(2) && told.contains("end the name"), "{told}");
}

/// A table that goes on and on, as it comes from a disk.
struct Endless {
    rows: u32,
    made: u32,
    left: Vec<u8>,
}

impl std::io::Read for Endless {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.left.is_empty() && self.made < self.rows {
            let row = format!("TM-{},2026-11-03,148,140\r\n", self.made);
            self.left = row.into_bytes();
            self.made += 1;
        }
        let length = into.len().min(self.left.len());
        into[..length].copy_from_slice(&self.left[..length]);
        self.left.drain(..length);
        Ok(length)
    }
}

/// A table may be of any length: it is read row by row, and only a digest of each visit is held, so that one which
/// stands there twice is named still.
#[test]
fn a_long_table_is_read_row_by_row_with_little_memory() {
    let rows = 150_000;
    let left = b"record,measured,right-arm,right-dp\r\n".to_vec();
    let (mut taken, mut refused) = (0, Vec::new());
    let most = super::allocations::most_held(|| {
        let endless = Endless { rows, made: 0, left };
        let again: &[u8] = b"TM-7,2026-11-03,148,140\r\n";
        let both = std::io::Read::chain(endless, again);
        let mut table = cuffnote::report::table::Reading::open(both).unwrap();
        while let Some(row) = table.row().unwrap() {
            match row {
                Ok(_) => taken += 1,
                Err(why) => refused.push(why.to_string()),
            }
        }
    });
    assert_eq!(taken, rows);
    assert_eq!(refused, ["line 150002, measured: the same visit stands in line 9"]);
    // 24 bytes a visit, and room to grow; the table whole would be a hundred times that.
    assert!(most < 24 << 20, "{most} bytes");
}
