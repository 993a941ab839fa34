//! Holds a whole book against itself: pages, chain, texts, rows, visits, recordings. Changes nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rusqlite::{Connection, Row};
use serde::Serialize;
use uuid::Uuid;

use super::book::{Book, Search};
use super::chain::{self, Hash, Kind, START, Sealed};
use super::fault::BookFault;
use super::sounds::{self, SoundState};
use super::visits::{self, VisitId, VisitRow};
use crate::clinical::visit::Visit;

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct Checked {
    /// Entries that were read, of all lines.
    pub entries: u64,
    /// Lines: the book's own chain, its earlier ones, and those taken in from other books.
    pub lines: u64,
    /// Visits.
    pub visits: u64,
    /// Recordings whose bytes were read.
    pub recordings: u64,
    /// What is damaged, each named; empty in a whole book.
    pub damage: Vec<Damage>,
    /// What is worth knowing and no damage.
    pub notes: Vec<String>,
}

/// One damaged thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Damage {
    /// `file`, `chain`, `text`, `row`, `visit` or `recording`.
    pub kind: &'static str,
    /// Where: an entry, a visit, a file.
    pub place: String,
    /// What is wrong, in a sentence.
    pub words: String,
}

/// One entry as it lies in the file.
pub(super) struct Entry {
    pub(super) seq: u64,
    pub(super) prev: Hash,
    pub(super) hash: Hash,
    pub(super) kind: i64,
    pub(super) visit: Option<Uuid>,
    pub(super) n: Option<i64>,
    pub(super) sealed: Hash,
    pub(super) salt: Option<Vec<u8>>,
    pub(super) body: Option<String>,
}

/// The columns that [`Entry::read`] reads, in its order.
pub(super) const ENTRY: &str = "seq, prev, hash, kind, visit, n, sealed, salt, body";

impl Entry {
    pub(super) fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            seq: row.get::<_, i64>(0)?.unsigned_abs(),
            prev: row.get(1)?,
            hash: row.get(2)?,
            kind: row.get(3)?,
            visit: row.get::<_, Option<[u8; 16]>>(4)?.map(Uuid::from_bytes),
            n: row.get(5)?,
            sealed: row.get(6)?,
            salt: row.get(7)?,
            body: row.get(8)?,
        })
    }

    /// What is wrong with this entry after one with this number and hash. `gone` holds the visits that were
    /// forgotten: their texts may be missing.
    pub(super) fn faults(
        &self,
        line: Uuid,
        before: (u64, Hash),
        gone: &BTreeSet<Uuid>,
    ) -> Vec<(&'static str, String)> {
        let mut faults = Vec::new();
        if self.seq != before.0 + 1 {
            let words =
                format!("entry {} should follow entry {}: entries are missing", self.seq, before.0);
            faults.push(("chain", words));
        } else if self.prev != before.1 {
            faults.push(("chain", "it does not continue the entry before it".into()));
        }
        let Some(kind) = Kind::of(self.kind) else {
            faults.push(("chain", format!("its kind {} is unknown", self.kind)));
            return faults;
        };
        let (seq, prev, visit) = (self.seq, self.prev, self.visit.unwrap_or(Uuid::nil()));
        let sealed = Sealed { line, seq, prev, kind, visit, body: self.sealed };
        if sealed.hash() != self.hash {
            faults.push(("chain", "its hash does not fit: it was changed".into()));
        }
        match (&self.salt, &self.body) {
            (Some(salt), Some(body)) => {
                if chain::of_body(salt, body) != self.sealed {
                    faults.push(("text", "its text is not the one that was sealed".into()));
                }
            }
            (None, None) if self.visit.is_some_and(|visit| gone.contains(&visit)) => {}
            _ => {
                faults.push(("text", "its text is missing and no deletion is written down".into()))
            }
        }
        faults
    }
}

/// Visits whose texts were deleted on purpose.
pub(super) fn gone(connection: &Connection) -> rusqlite::Result<BTreeSet<Uuid>> {
    let mut query = connection.prepare_cached(
        "SELECT visit, body FROM entry WHERE kind = 3 AND visit IS NOT NULL AND body IS NOT NULL",
    )?;
    let rows =
        query.query_map([], |row| Ok((Uuid::from_bytes(row.get(0)?), row.get::<_, String>(1)?)))?;
    let mut gone = BTreeSet::new();
    for row in rows {
        let (visit, body) = row?;
        if super::forget::is_of_visit(&body) {
            gone.insert(visit);
        }
    }
    Ok(gone)
}

/// The lines of a book: number and id.
pub(super) fn lines(connection: &Connection) -> rusqlite::Result<Vec<(i64, Uuid)>> {
    let mut query = connection.prepare("SELECT no, id FROM line ORDER BY no")?;
    let rows = query.query_map([], |row| Ok((row.get(0)?, Uuid::from_bytes(row.get(1)?))))?;
    rows.collect()
}

impl Book {
    /// Checks the whole book. `heads` are heads printed in reports, or their first 16 signs at least: each must
    /// be found in a chain.
    ///
    /// # Errors
    /// The book cannot be read at all, or a head is none; anything less is damage in the answer.
    pub fn check(&self, heads: &[String]) -> Result<Checked, BookFault> {
        let mut checked = Checked::default();
        let heads: Vec<String> = heads.iter().map(|h| h.trim().to_ascii_lowercase()).collect();
        let is_head = |head: &&String| {
            (16..=64).contains(&head.len()) && head.bytes().all(|b| b.is_ascii_hexdigit())
        };
        if let Some(other) = heads.iter().find(|head| !is_head(head)) {
            return Err(BookFault::Refused(format!(
                "`{other}` is no head of a chain: type 16 to 64 signs of 0-9 and a-f, as a report shows them"
            )));
        }
        self.pages(&mut checked);
        for kind in ["chain", "row", "recording"] {
            let done = match kind {
                "chain" => self.chains(&mut checked),
                "row" => self.lists(&mut checked),
                _ => self.sounds(&mut checked),
            };
            if let Err(fault) = done {
                let words = format!("could not be read to the end: {fault}");
                checked.add(kind, super::schema::FILE.into(), words);
            }
        }
        for head in &heads {
            self.look_for(head, &mut checked).map_err(self.fault())?;
        }
        Ok(checked)
    }

    /// SQLite's own check of its pages and indexes.
    fn pages(&self, checked: &mut Checked) {
        let read = || -> rusqlite::Result<Vec<String>> {
            let mut query = self.connection().prepare("PRAGMA integrity_check(20)")?;
            query.query_map([], |row| row.get(0))?.collect()
        };
        let told = read().unwrap_or_else(|fault| vec![fault.to_string()]);
        for words in told.into_iter().filter(|words| words != "ok") {
            checked.add("file", super::schema::FILE.into(), words);
        }
    }

    fn chains(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        let gone = gone(self.connection())?;
        for (no, id) in lines(self.connection())? {
            checked.lines += 1;
            let text = format!("SELECT {ENTRY} FROM entry WHERE line = ?1 ORDER BY seq");
            let mut query = self.connection().prepare_cached(&text)?;
            let mut before = (0, START);
            for entry in query.query_map([no], Entry::read)? {
                let entry = entry?;
                for (kind, words) in entry.faults(id, before, &gone) {
                    let of = entry.visit.map_or(String::new(), |v| format!(" of visit {v}"));
                    checked.add(kind, format!("entry {} of chain {id}{of}", entry.seq), words);
                }
                before = (entry.seq, entry.hash);
                checked.entries += 1;
            }
            if before.0 == 0 {
                checked.add("chain", format!("chain {id}"), "it has no entries".into());
            }
        }
        Ok(())
    }

    /// Rows held against what their entries say; and every visit against the rules of its acts.
    fn lists(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        let rows = self.visits(&Search::default()).unwrap_or_default();
        let mut rows: BTreeMap<VisitId, VisitRow> =
            rows.into_iter().map(|row| (row.id, row)).collect();
        for visit in self.written()? {
            checked.visits += 1;
            let stored = visits::stored(self.connection(), visit)?;
            let place = || format!("visit {visit}");
            let row = rows.remove(&visit);
            if row != visits::row_of(visit, &stored) {
                let words = "the list says something else than its events: the list was changed";
                checked.add("row", place(), words.into());
            }
            let made = visits::events(&stored)
                .map_err(|e| e.to_string())
                .and_then(|events| Visit::from_events(&events).map_err(|e| e.to_string()));
            if let Err(words) = made {
                checked.add("visit", place(), words);
            }
        }
        for id in rows.into_keys() {
            checked.add("row", format!("visit {id}"), "the list has it and no entry does".into());
        }
        Ok(())
    }

    /// Every visit that has an event whose text is there.
    fn written(&self) -> rusqlite::Result<Vec<VisitId>> {
        let mut query = self.connection().prepare(
            "SELECT DISTINCT visit FROM entry WHERE kind IN (1, 2) AND visit IS NOT NULL AND body IS NOT NULL",
        )?;
        let rows = query.query_map([], |row| Ok(VisitId(Uuid::from_bytes(row.get(0)?))))?;
        rows.collect()
    }

    fn sounds(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        for visit in self.written()? {
            let found = self.recordings(visit).unwrap_or_default();
            for sound in found {
                let place = sound.file.display().to_string();
                match (sound.state, &sound.sha256) {
                    (SoundState::Deleted, _) => {}
                    (SoundState::Missing, _) => {
                        checked.add("recording", place, "it is missing, and no deletion is written down".into());
                    }
                    (SoundState::There, None) => checked.notes.push(format!(
                        "{place}: never registered, so that nothing vouches for it: the program was ended while it was recorded"
                    )),
                    (SoundState::There, Some(hash)) => {
                        checked.recordings += 1;
                        let wrong = altered(&sound.file, sound.bytes, hash);
                        wrong.into_iter().for_each(|words| checked.add("recording", place.clone(), words));
                    }
                }
            }
        }
        Ok(())
    }

    fn look_for(&self, head: &str, checked: &mut Checked) -> rusqlite::Result<()> {
        let known: i64 = self.connection().query_row(
            "SELECT count(*) FROM entry WHERE substr(lower(hex(hash)), 1, length(?1)) = ?1",
            [head],
            |row| row.get(0),
        )?;
        if known == 0 {
            let words = "no entry has this hash: the book is not the one that the report was made from, or entries were taken away or written anew";
            checked.add("chain", format!("head {head}"), words.into());
        }
        Ok(())
    }
}

/// What is wrong with a recording's bytes.
fn altered(path: &Path, bytes: u64, sha256: &str) -> Option<String> {
    match sounds::measure(path) {
        Ok((_, found)) if found == sha256 => None,
        Ok((found, _)) if found != bytes => {
            Some(format!("it has {found} bytes where {bytes} were registered: it was altered"))
        }
        Ok(_) => Some("its bytes are not the ones that were registered: it was altered".into()),
        Err(fault) => Some(format!("it cannot be read: {fault}")),
    }
}

impl Checked {
    fn add(&mut self, kind: &'static str, place: String, words: String) {
        self.damage.push(Damage { kind, place, words });
    }
}
