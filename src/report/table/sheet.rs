//! A table as text: its columns, its rows with the lines an editor shows, and what is wrong with either.
//!
//! Comma, semicolon or tab between cells is told by the first line. UTF-8, with or without a byte order mark; other
//! encodings are named, not guessed at.

use std::collections::BTreeMap;

/// A table, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The columns' names, trimmed.
    pub names: Vec<String>,
    /// The line of the names, from 1.
    pub head_line: u64,
    /// The rows that are not empty, in their order.
    pub rows: Vec<Row>,
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its first line in the file, from 1.
    pub line: u64,
    /// As many cells as there are columns, as they stand; or what is wrong with the row.
    pub cells: Result<Vec<String>, String>,
}

/// Why bytes are no table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetFault {
    /// Nothing but blanks.
    #[error("there is no table in it")]
    Empty,
    /// Text in another encoding.
    #[error("line {line}: {what}: save the table as CSV UTF-8")]
    NotText {
        /// Where the first sign stands that is none.
        line: u64,
        /// What it seems to be.
        what: &'static str,
    },
    /// A name twice among the columns.
    #[error(
        "line {line}: the column `{name}` stands twice (columns {first} and {second}): take one out"
    )]
    Twice {
        /// Of the names.
        line: u64,
        /// The name.
        name: String,
        /// Its first place, from 1.
        first: usize,
        /// Its second.
        second: usize,
    },
}

const UTF_16: &str = "this is UTF-16 text";
const LATIN: &str = "this is no UTF-8 text; it looks like Latin-1 (Windows-1252)";

impl Sheet {
    /// Reads a table. Two columns whose names `key` makes the same are one column twice.
    ///
    /// # Errors
    /// See [`SheetFault`]. A bad row is no error: it stands among the rows with what is wrong.
    pub fn read(bytes: &[u8], key: impl Fn(&str) -> String) -> Result<Self, SheetFault> {
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        if bytes.starts_with(b"\xFF\xFE")
            || bytes.starts_with(b"\xFE\xFF")
            || bytes.get(1) == Some(&0)
        {
            return Err(SheetFault::NotText { line: 1, what: UTF_16 });
        }
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter(bytes))
            .has_headers(false)
            .flexible(true)
            .from_reader(bytes);
        let mut lines = Lines { bytes, at: 0, line: 1 };
        let mut record = csv::ByteRecord::new();
        let (mut names, mut head_line, mut rows) = (Vec::new(), 1, Vec::new());
        // A table in memory that is taken as bytes has no fault of its own.
        while reader.read_byte_record(&mut record).unwrap_or(false) {
            let line = lines.at(record.position().map_or(0, csv::Position::byte));
            let cells: Result<Vec<String>, _> =
                record.iter().map(|cell| std::str::from_utf8(cell).map(str::to_owned)).collect();
            if names.is_empty() {
                let cells = cells.map_err(|_| SheetFault::NotText { line, what: LATIN })?;
                if cells.iter().any(|cell| !cell.trim().is_empty()) {
                    names = cells.iter().map(|name| name.trim().to_owned()).collect();
                    head_line = line;
                    twice(&names, line, &key)?;
                }
                continue;
            }
            let cells = cells.map_err(|_| format!("{LATIN}: save the table as CSV UTF-8"));
            if cells.as_ref().is_ok_and(|cells| cells.iter().all(|cell| cell.trim().is_empty())) {
                continue;
            }
            let cells = cells.and_then(|cells| fitting(cells, names.len()));
            rows.push(Row { line, cells });
        }
        if names.is_empty() { Err(SheetFault::Empty) } else { Ok(Self { names, head_line, rows }) }
    }
}

/// A row that has another number of cells has slipped: nobody knows which cell is which.
fn fitting(cells: Vec<String>, wanted: usize) -> Result<Vec<String>, String> {
    if cells.len() == wanted {
        return Ok(cells);
    }
    let many = if cells.len() > wanted {
        "a decimal comma in a table with commas makes two cells of one; put it in quotation marks"
    } else {
        "leave a cell empty where there is nothing"
    };
    Err(format!("{} cells where the header has {wanted}: {many}", cells.len()))
}

fn twice(names: &[String], line: u64, key: impl Fn(&str) -> String) -> Result<(), SheetFault> {
    let mut seen = BTreeMap::new();
    for (at, name) in names.iter().enumerate() {
        if let Some(first) = seen.insert(key(name), at + 1).filter(|_| !name.is_empty()) {
            return Err(SheetFault::Twice { line, name: name.clone(), first, second: at + 1 });
        }
    }
    Ok(())
}

/// What stands between cells: of comma, semicolon and tab the one that the first line has most of.
fn delimiter(bytes: &[u8]) -> u8 {
    let text = bytes.iter().skip_while(|b| b.is_ascii_whitespace());
    let mut quoted = false;
    let mut counts = [(0, b','), (0, b';'), (0, b'\t')];
    for &byte in text.take_while(|b| !matches!(b, b'\r' | b'\n')) {
        quoted ^= byte == b'"';
        if !quoted && let Some(count) = counts.iter_mut().find(|(_, between)| *between == byte) {
            count.0 += 1;
        }
    }
    // Of equal counts the first, which is the comma.
    counts.iter().rev().max_by_key(|(count, _)| *count).map_or(b',', |(_, between)| *between)
}

/// Counts lines as an editor does: they end with LF, CR LF or CR alone.
struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line, from 1, of the row that begins at this byte; rows are asked for in their order.
    fn at(&mut self, byte: u64) -> u64 {
        let mut to = usize::try_from(byte).map_or(self.bytes.len(), |to| to.min(self.bytes.len()));
        while self.bytes.get(to).is_some_and(|b| matches!(b, b'\r' | b'\n')) {
            to += 1;
        }
        for at in self.at..to {
            let ends = match self.bytes[at] {
                b'\n' => true,
                b'\r' => self.bytes.get(at + 1) != Some(&b'\n'),
                _ => false,
            };
            self.line += u64::from(ends);
        }
        self.at = to.max(self.at);
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Sheet {
        Sheet::read(text.as_bytes(), str::to_lowercase).unwrap()
    }

    #[test]
    fn lines_are_an_editors_with_any_ending() {
        let text = "a,b\n1,2\n\n\"x\ny\",4\n5,6\n";
        for ending in ["\n", "\r\n", "\r"] {
            for mark in ["", "\u{FEFF}"] {
                let sheet = read(&(mark.to_owned() + &text.replace('\n', ending)));
                let lines: Vec<u64> = sheet.rows.iter().map(|row| row.line).collect();
                assert_eq!((sheet.head_line, lines), (1, vec![2, 4, 6]), "{ending:?}");
            }
        }
    }

    #[test]
    fn the_first_line_tells_what_stands_between_cells() {
        for (text, wanted) in [
            ("a;b\n1,5;2\n", ["1,5", "2"]),
            ("a\tb\n1,5\t2\n", ["1,5", "2"]),
            ("\"a;b\",c\n\"1,5\",2\n", ["1,5", "2"]),
        ] {
            assert_eq!(read(text).rows[0].cells.as_ref().unwrap(), &wanted, "{text}");
        }
    }

    #[test]
    fn what_slipped_what_stands_twice_and_what_is_no_text_is_named() {
        let refused = |bytes: &[u8]| Sheet::read(bytes, str::to_lowercase).unwrap_err().to_string();
        assert!(
            refused(b"\r\nright-dp,Right-DP\n")
                .starts_with("line 2: the column `Right-DP` stands twice")
        );
        assert!(refused(b"\xff\xfea\0,\0").contains("UTF-16"));
        assert!(refused(b"na\xefve,b\n").contains("Latin-1"));
        assert!(refused(b"\r\n\r\n").contains("no table"));
        let sheet =
            Sheet::read(b"a,b\r\n1,2,3\r\n\r\n1\r\n,\r\n\xe9,2\r\n", str::to_owned).unwrap();
        let said: Vec<_> =
            sheet.rows.iter().map(|r| (r.line, r.cells.clone().unwrap_err())).collect();
        assert_eq!(said.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 4, 6]);
        assert!(said[0].1.contains("3 cells") && said[0].1.contains("decimal comma"));
        assert!(said[1].1.contains("1 cells") && said[2].1.contains("Latin-1"));
    }
}
