//! A table as text: its columns, its rows with the lines an editor shows, and what is wrong with either.
//!
//! Read row by row, so that a table may be of any length. Comma, semicolon or tab between cells is told by the first
//! line. UTF-8, with or without a byte order mark; other encodings are named, not guessed at.

use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use std::io::{self, Cursor, Read};
use std::rc::Rc;

/// So much is looked at to tell what stands between cells, bytes.
const FIRST: u64 = 1 << 20;

/// A table, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The columns' names, trimmed.
    pub names: Vec<String>,
    /// The line of the names, from 1.
    pub head_line: u64,
    /// The rows that are not empty, in their order.
    pub rows: Vec<SheetRow>,
}

/// A table whose rows are read one after the other.
pub struct SheetRows<R> {
    /// The columns' names, trimmed.
    pub names: Vec<String>,
    /// The line of the names, from 1.
    pub head_line: u64,
    reader: csv::Reader<Counted<Chained<R>>>,
    lines: Rc<RefCell<Lines>>,
    record: csv::ByteRecord,
}

/// What was looked at, and the rest.
type Chained<R> = io::Chain<Cursor<Vec<u8>>, R>;

/// A record's line, and its cells where all of them are text.
type Cells = (u64, Result<Vec<String>, ()>);

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRow {
    /// Its first line in the file, from 1.
    pub line: u64,
    /// As many cells as there are columns, as they stand; or what is wrong with the row.
    pub cells: Result<Vec<String>, String>,
}

/// Why bytes are no table.
#[derive(Debug, thiserror::Error)]
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
    /// The system could not read on.
    #[error("cannot be read")]
    Unread(#[from] io::Error),
}

const UTF_16: &str = "this is UTF-16 text";
const LATIN: &str = "this is no UTF-8 text; it looks like Latin-1 (Windows-1252)";

impl Sheet {
    /// Reads a whole table. Two columns whose names `key` makes the same are one column twice.
    ///
    /// # Errors
    /// See [`SheetFault`]. A bad row is no error: it stands among the rows with what is wrong.
    pub fn read(bytes: &[u8], key: impl Fn(&str) -> String) -> Result<Self, SheetFault> {
        let mut table = SheetRows::open(bytes, key)?;
        let mut rows = Vec::new();
        while let Some(row) = table.row()? {
            rows.push(row);
        }
        Ok(Self { names: table.names, head_line: table.head_line, rows })
    }
}

impl<R: Read> SheetRows<R> {
    /// Reads the names of a table. Two columns whose names `key` makes the same are one column twice.
    ///
    /// # Errors
    /// See [`SheetFault`].
    pub fn open(mut from: R, key: impl Fn(&str) -> String) -> Result<Self, SheetFault> {
        let first = first_line(&mut from)?;
        if first.starts_with(b"\xFF\xFE")
            || first.starts_with(b"\xFE\xFF")
            || first.get(1) == Some(&0)
        {
            return Err(SheetFault::NotText { line: 1, what: UTF_16 });
        }
        let mark = if first.starts_with(b"\xEF\xBB\xBF") { 3 } else { 0 };
        let between = delimiter(&first[mark..]);
        let mut begun = Cursor::new(first);
        begun.set_position(mark as u64);
        let lines = Rc::new(RefCell::new(Lines { line: 1, ..Lines::default() }));
        let counted = Counted { inner: begun.chain(from), lines: lines.clone() };
        let reader = csv::ReaderBuilder::new()
            .delimiter(between)
            .has_headers(false)
            .flexible(true)
            .from_reader(counted);
        let record = csv::ByteRecord::new();
        let mut table = Self { names: Vec::new(), head_line: 1, reader, lines, record };
        while let Some((line, cells)) = table.record()? {
            let cells = cells.map_err(|()| SheetFault::NotText { line, what: LATIN })?;
            if cells.iter().any(|cell| !cell.trim().is_empty()) {
                table.names = cells.iter().map(|name| name.trim().to_owned()).collect();
                table.head_line = line;
                twice(&table.names, line, &key)?;
                return Ok(table);
            }
        }
        Err(SheetFault::Empty)
    }

    /// The next row that is not empty.
    ///
    /// # Errors
    /// The system could not read on. A bad row is no error: it says what is wrong.
    pub fn row(&mut self) -> Result<Option<SheetRow>, SheetFault> {
        while let Some((line, cells)) = self.record()? {
            let cells = cells.map_err(|()| format!("{LATIN}: save the table as CSV UTF-8"));
            if cells.as_ref().is_ok_and(|cells| cells.iter().all(|cell| cell.trim().is_empty())) {
                continue;
            }
            let cells = cells.and_then(|cells| fitting(cells, self.names.len()));
            return Ok(Some(SheetRow { line, cells }));
        }
        Ok(None)
    }

    /// Bytes that were read so far.
    pub fn read_bytes(&self) -> u64 {
        self.reader.position().byte()
    }

    /// The next record with its line; its cells, where all of them are text.
    fn record(&mut self) -> Result<Option<Cells>, SheetFault> {
        match self.reader.read_byte_record(&mut self.record) {
            Ok(true) => {}
            Ok(false) => return Ok(None),
            Err(fault) => {
                return match fault.into_kind() {
                    csv::ErrorKind::Io(fault) => Err(fault.into()),
                    // Bytes that are taken as bytes, of any number of cells, have no other fault.
                    _ => Ok(None),
                };
            }
        }
        let at = self.record.position().map_or(0, csv::Position::byte);
        let line = self.lines.borrow_mut().at(at);
        let cells = self.record.iter().map(|cell| std::str::from_utf8(cell).map(str::to_owned));
        Ok(Some((line, cells.collect::<Result<_, _>>().map_err(|_| ()))))
    }
}

/// The beginning of a table, with its first line that is not blank in it.
fn first_line(from: &mut impl Read) -> io::Result<Vec<u8>> {
    let mut first = Vec::new();
    let ends = |byte: &u8| matches!(byte, b'\r' | b'\n');
    loop {
        let begins = first.iter().position(|byte: &u8| !byte.is_ascii_whitespace());
        let whole = begins.is_some_and(|at| first[at..].iter().any(ends));
        let before = first.len();
        if whole || before as u64 >= FIRST {
            return Ok(first);
        }
        from.by_ref().take(8192).read_to_end(&mut first)?;
        if first.len() == before {
            return Ok(first);
        }
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

/// Where lines begin, counted as an editor does: they end with LF, CR LF or CR alone.
#[derive(Debug, Default)]
struct Lines {
    /// Bytes that went by.
    bytes: u64,
    /// The line of the next byte, from 1.
    line: u64,
    /// The last byte was a CR, which an LF would belong to.
    returned: bool,
    /// True once the line has a byte besides its end.
    begun: bool,
    /// For each line that is not empty: its first byte, and its number.
    begins: VecDeque<(u64, u64)>,
}

impl Lines {
    fn take(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            match byte {
                b'\n' if self.returned => {}
                b'\n' | b'\r' => {
                    self.line += 1;
                    self.begun = false;
                }
                _ if !self.begun => {
                    self.begun = true;
                    self.begins.push_back((self.bytes, self.line));
                }
                _ => {}
            }
            self.returned = byte == b'\r';
            self.bytes += 1;
        }
    }

    /// The line of the row that begins at this byte, or after the line ends there; rows are asked for in their order.
    fn at(&mut self, byte: u64) -> u64 {
        while self.begins.front().is_some_and(|(begin, _)| *begin < byte) {
            self.begins.pop_front();
        }
        self.begins.front().map_or(self.line, |(_, line)| *line)
    }
}

/// A reader whose lines are counted as they go by.
struct Counted<R> {
    inner: R,
    lines: Rc<RefCell<Lines>>,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.inner.read(into)?;
        self.lines.borrow_mut().take(&into[..read]);
        Ok(read)
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

    /// A reader that gives few bytes at a time.
    struct Slow<'a>(&'a [u8], usize);

    impl Read for Slow<'_> {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            let most = self.1.min(into.len());
            Read::read(&mut self.0, &mut into[..most])
        }
    }

    proptest::proptest! {
        /// However few bytes come at a time, rows and lines are the same; and the lines are those that are counted by hand.
        #[test]
        fn a_table_that_comes_in_pieces_is_the_same(
            text in "(a,b|\\PC{0,6}|\"x\ny\"|,|;|\r\n|\n|\r| ){0,40}",
            piece in 1usize..9,
        ) {
            let text = format!("a,b\n{text}");
            let whole = Sheet::read(text.as_bytes(), str::to_owned);
            let mut rows = SheetRows::open(Slow(text.as_bytes(), piece), str::to_owned).unwrap();
            let mut slow = Vec::new();
            while let Some(row) = rows.row().unwrap() {
                slow.push(row);
            }
            let whole = whole.unwrap();
            proptest::prop_assert_eq!(&slow, &whole.rows);
            proptest::prop_assert_eq!(rows.read_bytes(), text.len() as u64);
            for row in &slow {
                // The line is not empty, and rows stand in the order of their lines.
                let line = text.replace("\r\n", "\n").replace('\r', "\n");
                let line = line.split('\n').nth(row.line as usize - 1);
                proptest::prop_assert!(line.is_some_and(|line| !line.is_empty()), "{:?}", row);
            }
            let lines: Vec<u64> = slow.iter().map(|row| row.line).collect();
            proptest::prop_assert!(lines.windows(2).all(|two| two[0] < two[1]), "{:?}", lines);
        }
    }

    #[test]
    fn a_reader_that_fails_is_said() {
        struct Failing;
        impl Read for Failing {
            fn read(&mut self, _: &mut [u8]) -> io::Result<usize> {
                Err(io::Error::other("the stick was taken out"))
            }
        }
        let mut rows = SheetRows::open(b"a,b\n1,2\n".chain(Failing), str::to_owned);
        let said = match &mut rows {
            Err(fault) => format!("{fault:?}"),
            Ok(rows) => {
                let mut said = String::new();
                for _ in 0..3 {
                    match rows.row() {
                        Ok(_) => {}
                        Err(fault) => said = format!("{fault:?}"),
                    }
                }
                said
            }
        };
        assert!(said.contains("the stick was taken out"), "{said}");
    }
}
