//! Entries as lines of text outside a database: in a shared folder, and in a backup.
//!
//! A shelf is a folder `entries/CHAIN/FROM-TO-HASH.jsonl`. A file holds the entries FROM to TO of one chain, one JSON
//! object a line, and HASH begins the last one's hash: names alone say what is there. A file is written whole
//! and changes only when a deletion takes texts out of it.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::chain::{self, Hash, START};
use super::entry::{self, ENTRY, Entry};
use super::fault::{BookFault, file, store};

/// The folder of all entries.
pub(super) const FOLDER: &str = "entries";
/// A file is ended after so many bytes.
const PIECE: usize = 4 << 20;
/// No entry is longer; a file that has a longer line is none of ours.
const LONGEST: u64 = 16 << 20;
/// How many signs of the last hash stand in a file's name.
const SIGNS: usize = 16;

/// One entry as a line of text. What follows from the others is left out.
#[derive(Debug, Serialize, Deserialize)]
struct Written {
    seq: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    prev: Option<String>,
    hash: String,
    kind: i64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    visit: Option<Uuid>,
    /// Only where it is not the one that the text says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    n: Option<i64>,
    sealed: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    salt: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    body: Option<String>,
}

/// A file of entries, from its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) from: u64,
    pub(super) to: u64,
    /// The first signs of the last hash.
    pub(super) head: String,
}

impl Piece {
    pub(super) fn name(&self) -> String {
        format!("{:010}-{:010}-{}.jsonl", self.from, self.to, self.head)
    }

    pub(super) fn of_name(name: &str) -> Option<Self> {
        let mut parts = name.strip_suffix(".jsonl")?.split('-');
        let (from, to) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
        let head = parts.next()?.to_owned();
        let good = parts.next().is_none()
            && head.len() == SIGNS
            && head.bytes().all(|b| b.is_ascii_hexdigit())
            && (1..=to).contains(&from);
        good.then_some(Self { from, to, head })
    }
}

/// Entries of one line as text, in pieces; each is given on with its bytes.
pub(super) fn write(
    connection: &Connection,
    (no, after): (i64, u64),
    folder: &Path,
    mut give: impl FnMut(&Piece, &[u8]) -> Result<(), BookFault>,
) -> Result<u64, BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    let text = format!("SELECT {ENTRY} FROM entry WHERE line = ?1 AND seq > ?2 ORDER BY seq");
    let mut query = connection.prepare_cached(&text).map_err(fault)?;
    let rows = query.query_map(rusqlite::params![no, after as i64], Entry::read).map_err(fault)?;
    let mut open = Open::default();
    let mut count = 0;
    for row in rows {
        let entry = row.map_err(fault)?;
        open.add(&entry)?;
        count += 1;
        if open.bytes.len() >= PIECE {
            open.give(&mut give)?;
        }
    }
    open.give(&mut give)?;
    Ok(count)
}

/// The text of a piece as this book has its entries; none where it has not all of them.
pub(super) fn text(
    connection: &Connection,
    no: i64,
    piece: &Piece,
    folder: &Path,
) -> Result<Option<Vec<u8>>, BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    let text =
        format!("SELECT {ENTRY} FROM entry WHERE line = ?1 AND seq BETWEEN ?2 AND ?3 ORDER BY seq");
    let mut query = connection.prepare_cached(&text).map_err(fault)?;
    let of = rusqlite::params![no, piece.from as i64, piece.to as i64];
    let rows = query.query_map(of, Entry::read).map_err(fault)?;
    let mut open = Open::default();
    for row in rows {
        open.add(&row.map_err(fault)?)?;
    }
    let whole = open.last.is_some_and(|(to, _)| to == piece.to) && open.from == piece.from;
    Ok(whole.then_some(open.bytes))
}

/// A piece that is being filled.
#[derive(Default)]
struct Open {
    bytes: Vec<u8>,
    from: u64,
    last: Option<(u64, Hash)>,
}

impl Open {
    fn add(&mut self, entry: &Entry) -> Result<(), BookFault> {
        let written = Written::of(entry, self.last.map(|(_, hash)| hash));
        serde_json::to_writer(&mut self.bytes, &written)
            .map_err(|e| BookFault::Refused(format!("this entry cannot be written: {e}")))?;
        self.bytes.push(b'\n');
        if self.last.is_none() {
            self.from = entry.seq;
        }
        self.last = Some((entry.seq, entry.hash));
        Ok(())
    }

    fn give(
        &mut self,
        give: &mut impl FnMut(&Piece, &[u8]) -> Result<(), BookFault>,
    ) -> Result<(), BookFault> {
        let Some((to, hash)) = self.last.take() else { return Ok(()) };
        let head = chain::hex(&hash)[..SIGNS].to_owned();
        give(&Piece { from: self.from, to, head }, &self.bytes)?;
        self.bytes.clear();
        Ok(())
    }
}

impl Written {
    fn of(entry: &Entry, before: Option<Hash>) -> Self {
        let said = entry.body.as_deref().filter(|_| entry.kind == 1).and_then(entry::number);
        Self {
            seq: entry.seq,
            prev: (before != Some(entry.prev)).then(|| chain::hex(&entry.prev)),
            hash: chain::hex(&entry.hash),
            kind: entry.kind,
            visit: entry.visit,
            n: entry.n.filter(|n| said != Some(*n)),
            sealed: chain::hex(&entry.sealed),
            salt: entry.salt.as_deref().map(chain::hex),
            body: entry.body.clone(),
        }
    }

    fn entry(self, before: Option<Hash>) -> Option<Entry> {
        let hash = |text: &str| chain::bytes(text)?.try_into().ok();
        let said = self.body.as_deref().filter(|_| self.kind == 1).and_then(entry::number);
        let prev = match &self.prev {
            Some(prev) => hash(prev)?,
            None => before?,
        };
        let salt = match &self.salt {
            Some(salt) => Some(chain::bytes(salt)?),
            None => None,
        };
        Some(Entry {
            seq: self.seq,
            prev,
            hash: hash(&self.hash)?,
            kind: self.kind,
            visit: self.visit,
            n: self.n.or(said),
            sealed: hash(&self.sealed)?,
            salt,
            body: self.body,
        })
    }
}

/// The pieces of each line in a shelf, in order.
pub(super) type Pieces = BTreeMap<Uuid, Vec<Piece>>;

/// What lies in a shelf, by names alone; none of it was read.
pub(super) fn pieces(shelf: &Path) -> Result<Pieces, BookFault> {
    let folder = shelf.join(FOLDER);
    let mut found = Pieces::new();
    let lines = match std::fs::read_dir(&folder) {
        Ok(lines) => lines,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(found),
        Err(e) => return Err(file(&folder, e)),
    };
    for line in lines {
        let line = line.map_err(|e| file(&folder, e))?;
        let Some(id) = line.file_name().to_str().and_then(|name| name.parse::<Uuid>().ok()) else {
            continue;
        };
        let names = std::fs::read_dir(line.path()).map_err(|e| file(&line.path(), e))?;
        let names = names.flatten().map(|name| name.file_name().to_string_lossy().into_owned());
        let mut pieces: Vec<Piece> = names.filter_map(|name| Piece::of_name(&name)).collect();
        pieces.sort_by_key(|piece| (piece.from, std::cmp::Reverse(piece.to)));
        found.insert(id, pieces);
    }
    Ok(found)
}

/// Up to which entry a line is there without a gap.
pub(super) fn reach(pieces: &[Piece]) -> u64 {
    pieces.iter().fold(0, |reach, p| if p.from <= reach + 1 { reach.max(p.to) } else { reach })
}

/// Where a piece lies.
pub(super) fn path(shelf: &Path, line: Uuid, piece: &Piece) -> PathBuf {
    shelf.join(FOLDER).join(line.to_string()).join(piece.name())
}

/// Reads the entries of a piece, one after the other.
pub(super) fn read<E: From<BookFault>>(
    path: &Path,
    mut take: impl FnMut(Entry) -> Result<(), E>,
) -> Result<(), E> {
    let damaged = |line: usize| {
        let said = format!("line {line} is no entry of a record book");
        E::from(BookFault::Damaged { path: path.to_owned(), said })
    };
    let mut from = BufReader::new(File::open(path).map_err(|e| E::from(file(path, e)))?);
    let (mut text, mut before) = (Vec::new(), None);
    for line in 1.. {
        text.clear();
        let mut limited = (&mut from).take(LONGEST);
        if limited.read_until(b'\n', &mut text).map_err(|e| E::from(file(path, e)))? == 0 {
            break;
        }
        let written: Written = serde_json::from_slice(&text).map_err(|_| damaged(line))?;
        let seq = written.seq;
        let first = if seq == 1 { Some(START) } else { None };
        let entry = written.entry(before.or(first)).ok_or_else(|| damaged(line))?;
        before = Some(entry.hash);
        take(entry)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_tells_what_is_in_a_piece() {
        let piece = Piece { from: 1, to: 12, head: "0123456789abcdef".into() };
        assert_eq!(Piece::of_name(&piece.name()), Some(piece));
        for other in ["", "1-2.jsonl", "5-2-0123456789abcdef.jsonl", "1-2-0123456789abcdeg.jsonl"] {
            assert_eq!(Piece::of_name(other), None, "{other}");
        }
        let of = |from, to| Piece { from, to, head: String::new() };
        assert_eq!(reach(&[of(1, 4), of(3, 9), of(12, 15)]), 9);
        assert_eq!(reach(&[of(2, 4)]), 0);
    }
}
