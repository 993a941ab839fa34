//! Visits as tables: a row a visit as CSV, out and in again; a row an attempt as Parquet.
//!
//! A spreadsheet runs cells that begin with certain signs: such cells begin with an apostrophe here, which is
//! taken off again when the table is read. Every cell stands in quotation marks.

mod cells;
mod columns;
mod dialect;
mod read;
#[cfg(feature = "parquet")]
mod rows;

pub use columns::COLUMNS;
pub use dialect::Dialect;
pub use read::{Refused, Table, TableFault, Taken, read};
#[cfg(feature = "parquet")]
pub use rows::{ParquetFault, parquet};

use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

/// The bytes of a table of visits, a row each, in the order given; the header is [`COLUMNS`].
pub fn csv(visits: &[(&Visit, &VisitResult)], dialect: Dialect) -> Vec<u8> {
    let rows = visits.iter().map(|(visit, result)| columns::row(visit, result, dialect));
    let names = COLUMNS.iter().map(|name| (*name).to_owned()).collect();
    written(std::iter::once(names).chain(rows), dialect)
}

/// Any rows as the bytes of a table, each cell made harmless and quoted.
pub(super) fn written(rows: impl Iterator<Item = Vec<String>>, dialect: Dialect) -> Vec<u8> {
    let mut bytes = Vec::new();
    if dialect == Dialect::Semicolon {
        bytes.extend_from_slice("\u{FEFF}".as_bytes());
    }
    let between = if dialect == Dialect::Comma { "," } else { ";" };
    for row in rows {
        let cells: Vec<String> = row.iter().map(|cell| cells::quoted(cell)).collect();
        bytes.extend_from_slice(cells.join(between).as_bytes());
        bytes.extend_from_slice(b"\r\n");
    }
    bytes
}
