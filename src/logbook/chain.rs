//! The hash chain: how each entry of a book seals all entries before it. The bytes are described in docs/book.md.
//!
//! It is unkeyed: it shows that something was changed by accident or clumsily, not by someone who works the
//! whole chain out anew. A printed head shows that too.

use sha2::{Digest, Sha256};
use uuid::Uuid;

/// What every sealed entry begins with; the number is the version of the form.
const MARK: &[u8] = b"cuffnote entry 1\n";

/// A SHA-256.
pub type Hash = [u8; 32];

/// What stands before the first entry of a line.
pub const START: Hash = [0; 32];

/// What kinds of entries there are; the number stands in the sealed bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// The line begins: a new book, or one that was copied or restored.
    Began = 0,
    /// An event of a visit.
    Event = 1,
    /// A finished recording.
    Sound = 2,
    /// Something was deleted.
    Forgotten = 3,
    /// Another book's lines were taken in.
    Merged = 4,
}

impl EntryKind {
    /// From its number.
    pub fn of(number: i64) -> Option<Self> {
        [Self::Began, Self::Event, Self::Sound, Self::Forgotten, Self::Merged]
            .into_iter()
            .find(|kind| *kind as i64 == number)
    }
}

/// The hash of an entry's text, with its salt before it: a deleted text cannot be found by trying readings.
pub fn of_body(salt: &[u8], body: &str) -> Hash {
    Sha256::new().chain_update(salt).chain_update(body.as_bytes()).finalize().into()
}

/// What seals one entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sealed {
    /// The line that it stands in.
    pub line: Uuid,
    /// Its place in that line, from 1.
    pub seq: u64,
    /// The hash of the entry before it; [`START`] before the first.
    pub prev: Hash,
    /// Its kind.
    pub kind: EntryKind,
    /// The visit that it belongs to; nil where it belongs to none.
    pub visit: Uuid,
    /// The hash of its text.
    pub body: Hash,
}

impl Sealed {
    /// The entry's hash: SHA-256 over mark, line, place, hash before, kind, visit and the text's hash.
    pub fn hash(&self) -> Hash {
        self.hash_of_kind(self.kind as u8)
    }

    /// The same for an entry of a kind that only a newer program knows.
    pub fn hash_of_kind(&self, kind: u8) -> Hash {
        Sha256::new()
            .chain_update(MARK)
            .chain_update(self.line.as_bytes())
            .chain_update(self.seq.to_be_bytes())
            .chain_update(self.prev)
            .chain_update([kind])
            .chain_update(self.visit.as_bytes())
            .chain_update(self.body)
            .finalize()
            .into()
    }
}

/// Lower-case hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::with_capacity(2 * bytes.len()), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Bytes from hexadecimal; none of anything else.
pub fn bytes(text: &str) -> Option<Vec<u8>> {
    if !text.len().is_multiple_of(2) || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    (0..text.len()).step_by(2).map(|at| u8::from_str_radix(&text[at..at + 2], 16).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The expected values were worked out with Python's `hashlib` from the description in docs/book.md.
    #[test]
    fn the_sealed_bytes_are_those_of_the_description() {
        let body = of_body(&[7; 16], r#"{"a":1}"#);
        assert_eq!(hex(&body), BODY);
        let sealed = Sealed {
            line: Uuid::from_u128(1),
            seq: 2,
            prev: START,
            kind: EntryKind::Sound,
            visit: Uuid::from_u128(3),
            body,
        };
        assert_eq!(hex(&sealed.hash()), ENTRY);
    }
    const BODY: &str = "bcbc1e4ac732bfdafbf7209140181c48f2c2ca4340a81a9dae012256e1d97408";
    const ENTRY: &str = "012bbc637c1a0b4e430bbf95923421d7c0578a051d93f73405cbe45d34c88dc1";
}
