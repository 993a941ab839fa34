//! Visits as tables: a row a visit as CSV, out and in again.
//!
//! A spreadsheet runs cells that begin with certain signs: such cells begin with an apostrophe here, which is
//! taken off again when the table is read. Every cell stands in quotation marks.

mod cells;
mod columns;
mod dialect;
mod origin;
mod read;
mod sheet;
mod typed;

pub use cells::quoted;
pub use columns::COLUMNS;
pub use dialect::Dialect;
pub use origin::{Origin, TableVisit};
pub use read::{ReadTable, Reading, RefusedRow, TableFault, Taken, read};
pub use sheet::{Sheet, SheetFault, SheetRow, SheetRows};
pub use typed::{ColumnValues, Columns};

/// The bytes of a table of visits, a row each, in the order given; the header is [`COLUMNS`].
pub fn csv(visits: &[TableVisit<'_>], dialect: Dialect) -> Vec<u8> {
    let mut bytes = header(dialect);
    visits.iter().for_each(|one| bytes.extend(row(one, dialect)));
    bytes
}

/// The begin of a table of visits: its header.
pub fn header(dialect: Dialect) -> Vec<u8> {
    let names = COLUMNS.iter().map(|name| (*name).to_owned()).collect();
    written(std::iter::once(names), dialect)
}

/// One row of a table of visits.
pub fn row((visit, result, from): &TableVisit<'_>, dialect: Dialect) -> Vec<u8> {
    line(&columns::row(visit, result, *from, dialect), dialect)
}

/// Typed columns as the bytes of a CSV file, as [`csv()`] writes them.
pub fn typed_csv(columns: &Columns) -> Vec<u8> {
    written(typed::rows(columns), Dialect::Comma)
}

/// Any rows as the bytes of a table, each cell made harmless and quoted.
pub(super) fn written(rows: impl Iterator<Item = Vec<String>>, dialect: Dialect) -> Vec<u8> {
    let mut bytes = Vec::new();
    if dialect == Dialect::Semicolon {
        bytes.extend_from_slice("\u{FEFF}".as_bytes());
    }
    for row in rows {
        bytes.extend(line(&row, dialect));
    }
    bytes
}

fn line(row: &[String], dialect: Dialect) -> Vec<u8> {
    let between = if dialect == Dialect::Comma { "," } else { ";" };
    let cells: Vec<String> = row.iter().map(|cell| cells::quoted(cell)).collect();
    (cells.join(between) + "\r\n").into_bytes()
}
