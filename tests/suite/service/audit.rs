//! The audit of a book as the library counts it, to hold SQL against.

use std::path::Path;

use cuffnote::logbook::{Book, Search};
use cuffnote::report::audit::{AuditChoices, audit, csv};
use cuffnote::report::table::Dialect;

/// One figure: what, how many, of how many; or median and quartiles.
#[derive(Debug, Clone, PartialEq, PartialOrd)]
pub struct Told {
    measure: String,
    class: String,
    count: u64,
    of: Option<u64>,
    spread: Option<[String; 3]>,
}

impl Told {
    /// A row of a query with its columns' names.
    pub fn of(names: &[String], cells: Vec<Option<String>>) -> Self {
        let cell = |name: &str| {
            let at = names.iter().position(|own| own == name)?;
            cells[at].clone()
        };
        let whole = |text: String| text.parse::<f64>().unwrap() as u64;
        let exact =
            |name: &str| cell(name).map(|text| format!("{:.3}", text.parse::<f64>().unwrap()));
        let spread = exact("median").map(|m| [m, exact("low").unwrap(), exact("high").unwrap()]);
        Self {
            measure: cell("measure").unwrap(),
            class: cell("class").unwrap(),
            count: whole(cell("count").unwrap()),
            of: cell("of").map(whole),
            spread,
        }
    }
}

/// What the program's own audit says.
pub fn counted(book: &Path) -> Vec<Told> {
    let book = Book::open(book).unwrap().book;
    let ids = book.ids(&Search::default()).unwrap();
    let all: Vec<_> =
        ids.iter().map(|id| super::super::visits::worked(&book.events(*id).unwrap())).collect();
    let pairs: Vec<_> = all.iter().map(|(visit, result)| (visit, result)).collect();
    let table = csv(&audit(&pairs, &AuditChoices::default()), Dialect::Comma);
    let mut reader = csv_reader(&table);
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| {
        let text = |at: usize| row[at].to_owned();
        let is_spread = row[1].contains("quartiles");
        let class = if &row[1] == "gauge" {
            row[2].split(": ").next().unwrap().to_owned()
        } else {
            text(2)
        };
        Told {
            measure: text(1),
            class,
            count: row[3].parse().unwrap(),
            of: row[4].parse().ok(),
            spread: (is_spread && !row[5].is_empty()).then(|| [text(5), text(6), text(7)]),
        }
    })
    .collect()
}

fn csv_reader(bytes: &[u8]) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new().from_reader(bytes)
}

/// Both say the same.
pub fn same(mut found: Vec<Told>, mut wanted: Vec<Told>) {
    assert!(wanted.len() > 25, "{}", wanted.len());
    let order = |all: &mut Vec<Told>| all.sort_by(|a, b| a.partial_cmp(b).unwrap());
    order(&mut found);
    order(&mut wanted);
    for (found, wanted) in found.iter().zip(&wanted) {
        assert_eq!(found, wanted);
    }
    assert_eq!(found.len(), wanted.len());
}
