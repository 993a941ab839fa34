//! Rows as lines that PostgreSQL copies in.

use super::facts::{Cell, Row};

/// Adds a row to the text of a copy.
pub(super) fn line(row: &Row, into: &mut Vec<u8>) {
    for (at, cell) in row.iter().enumerate() {
        if at > 0 {
            into.push(b'\t');
        }
        match cell {
            Cell::Empty => into.extend_from_slice(b"\\N"),
            Cell::Text(text) => escaped(text, into),
            Cell::Whole(n) => into.extend_from_slice(n.to_string().as_bytes()),
            Cell::Number(n) => into.extend_from_slice(n.to_string().as_bytes()),
            Cell::Truth(it_is) => into.push(if *it_is { b't' } else { b'f' }),
            Cell::Day(day) => into.extend_from_slice(day.to_string().as_bytes()),
            Cell::Instant(us) => match jiff::Timestamp::from_microsecond(*us) {
                Ok(at) => into.extend_from_slice(at.to_string().as_bytes()),
                Err(_) => into.extend_from_slice(b"\\N"),
            },
        }
    }
    into.push(b'\n');
}

/// Text as a copy reads it; the database holds no NUL.
fn escaped(text: &str, into: &mut Vec<u8>) {
    for byte in text.bytes() {
        match byte {
            b'\\' => into.extend_from_slice(b"\\\\"),
            b'\t' => into.extend_from_slice(b"\\t"),
            b'\n' => into.extend_from_slice(b"\\n"),
            b'\r' => into.extend_from_slice(b"\\r"),
            0 => into.push(b' '),
            _ => into.push(byte),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_begins_a_row_or_a_column_of_its_own() {
        let mut bytes = Vec::new();
        line(&vec![Cell::Text("a\tb\\.\nc\0".into()), Cell::Empty, Cell::Truth(true)], &mut bytes);
        assert_eq!(bytes, b"a\\tb\\\\.\\nc \t\\N\tt\n");
    }
}
