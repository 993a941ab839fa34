//! The same twelve visits under every set, and the sets themselves, as tables in docs/clinical.md. The test
//! works them out and compares, so that the document cannot go stale; `CUFFNOTE_WRITE_DOCS=1` writes them.

use std::fmt::Write;
use std::path::Path;

use cuffnote::clinical::cautions;
use cuffnote::clinical::result::LegResult;

use super::bedside::{all_sets, events, opened, result_of};

/// Constructed for this table: what it shows, and the readings. Each has one leg of interest, the right.
const VISITS: [(&str, &str); 12] = [
    ("plain, no limit near", "right-arm 128, left-arm 124, right-pt 126, right-dp 138"),
    ("a borderline value", "right-arm 128, left-arm 124, right-pt 118, right-dp 120"),
    ("exactly 0.90", "right-arm 140, left-arm 130, right-pt 112, right-dp 126"),
    ("rounded down to 0.90", "right-arm 126, left-arm 124, right-pt 114, right-dp 110"),
    ("rounded up to 1.00", "right-arm 200, left-arm 196, right-pt 199, right-dp 190"),
    ("exactly 0.80", "right-arm 150, left-arm 146, right-pt 120, right-dp 110"),
    ("between 0.5 and 0.8, ankle 100", "right-arm 150, left-arm 146, right-pt 100, right-dp 96"),
    ("ankle 70, toe 30", "right-arm 140, left-arm 138, right-pt 70, right-dp 64, right-toe 30"),
    ("ankle 55", "right-arm 120, left-arm 118, right-pt 55, right-dp 50"),
    ("severe", "right-arm 150, left-arm 148, right-pt 45, right-dp 40, right-toe 20"),
    ("above 1.30", "right-arm 120, left-arm 118, right-pt 164, right-dp 160"),
    (
        "not compressible, toe 60",
        "right-arm 130, left-arm 128, right-pt nc, right-dp nc, right-toe 60",
    ),
];

fn number(leg: &LegResult) -> String {
    match (leg.index, leg.low, leg.high, leg.more_than) {
        (Some(index), Some(low), Some(high), _) => format!("{index} ({low} to {high})"),
        (.., Some(lowest)) => format!("above {lowest}"),
        _ => "none".into(),
    }
}

fn twelve() -> String {
    let sets = all_sets();
    let mut table = String::from("| visit | readings (mmHg) | index |");
    sets.iter().for_each(|set| table += &format!(" {} |", set.name));
    table += "\n|---|---|---|";
    table += &"---|".repeat(sets.len());
    for (name, words) in VISITS {
        let result = result_of(&events(opened(Default::default()), words, Vec::new()), &sets);
        let leg = &result.right;
        let readings = words.replace("right-", "").replace("left-arm", "other arm");
        let _ = write!(table, "\n| {name} | {readings} | {} |", number(leg));
        for set in &sets {
            let bands: Vec<String> = leg
                .bands
                .iter()
                .filter(|b| b.id == set.id)
                .map(|b| format!("\"{}\" ({})", b.name, b.limits))
                .collect();
            let doubt = leg.crossings.iter().any(|c| c.guidance == set.name);
            let mut cell = if bands.is_empty() { "no band".into() } else { bands.join("; ") };
            if doubt {
                cell += " *";
            }
            let _ = write!(table, " {cell} |");
        }
    }
    table + "\n"
}

fn sets() -> String {
    let mut table = String::from(
        "| set | band | holds for | words | source and status | look again |\n|---|---|---|---|---|---|\n",
    );
    for set in all_sets() {
        for band in &set.bands {
            let words =
                if band.quoted { format!("\"{}\"", band.words) } else { band.words.clone() };
            let more =
                if band.more.is_empty() { String::new() } else { format!("; {}", band.more) };
            let _ = writeln!(
                table,
                "| {} (`{}`) | {} | {} | {words}{more} | {} | {} |",
                set.name,
                set.id,
                band.name,
                band.when,
                set.source_of(band, cuffnote::words::Words::english()),
                set.look_again
            );
        }
    }
    table
}

fn flags() -> String {
    let mut table = String::from(
        "| item | weight | asked first | words | source and status |\n|---|---|---|---|---|\n",
    );
    for item in cautions::list() {
        let weight = match item.weight {
            cautions::Weight::RedFlag => "red flag",
            cautions::Weight::Caution => "caution",
        };
        let ask = if item.ask { "yes" } else { "no" };
        let _ = writeln!(
            table,
            "| `{}` | {weight} | {ask} | {} | {} ({}) |",
            item.id,
            item.words,
            item.source,
            item.status.words()
        );
    }
    table
}

/// The document with the part between its two marks replaced.
fn replaced(document: &str, name: &str, table: &str) -> String {
    let (open, close) = (format!("<!-- {name} -->\n"), format!("<!-- end of {name} -->"));
    let start = document.find(&open).expect("the opening mark stands in the document") + open.len();
    let end = document.find(&close).expect("the closing mark stands in the document");
    format!("{}{table}{}", &document[..start], &document[end..])
}

#[test]
fn the_tables_in_the_document_are_those_worked_out_now() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/clinical.md");
    let document = std::fs::read_to_string(&path).unwrap();
    let fresh = replaced(&document, "twelve visits", &twelve());
    let fresh = replaced(&fresh, "sets", &sets());
    let fresh = replaced(&fresh, "cautions", &flags());
    if std::env::var_os("CUFFNOTE_WRITE_DOCS").is_some() {
        std::fs::write(&path, &fresh).unwrap();
    }
    assert!(
        fresh == document || std::env::var_os("CUFFNOTE_WRITE_DOCS").is_some(),
        "docs/clinical.md is stale: run the tests once with CUFFNOTE_WRITE_DOCS=1 and read what changed"
    );
}
