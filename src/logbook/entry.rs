//! One entry as it lies in the file, and what is wrong with it: each column is sealed, or said by the sealed text.

use std::collections::BTreeSet;

use rusqlite::Row;
use uuid::Uuid;

use super::chain::{self, EntryKind, Hash, Sealed};

/// The highest number that an event of a visit may have; no visit comes near it.
const MOST_EVENTS: i64 = 1_000_000;

/// One entry as it lies in the file.
#[derive(Debug, Clone)]
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
pub(super) const ENTRY: &str = "entry.seq, entry.prev, entry.hash, entry.kind, entry.visit, entry.n, entry.sealed, entry.salt, entry.body";
/// How many they are.
pub(super) const ENTRY_COLUMNS: usize = 9;

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
        let mut faults: Vec<_> = self.follows(before).into_iter().collect();
        faults.extend(self.alone(line));
        let missing = self.salt.is_none() && self.body.is_none();
        if missing && !self.visit.is_some_and(|visit| gone.contains(&visit)) {
            faults.push(("text", "its text is missing and no deletion is written down".into()));
        }
        faults
    }

    /// What is wrong with this entry's place after one with this number and hash.
    pub(super) fn follows(&self, before: (u64, Hash)) -> Option<(&'static str, String)> {
        if self.seq != before.0 + 1 {
            let words =
                format!("entry {} should follow entry {}: entries are missing", self.seq, before.0);
            return Some(("chain", words));
        }
        let words = "it does not continue the entry before it";
        (self.prev != before.1).then(|| ("chain", words.into()))
    }

    /// What is wrong with this entry by itself: each of its columns is sealed, or said by its sealed text.
    pub(super) fn alone(&self, line: Uuid) -> Option<(&'static str, String)> {
        let known = EntryKind::of(self.kind);
        let kind = known.unwrap_or(EntryKind::Event);
        let (seq, prev, visit) = (self.seq, self.prev, self.visit.unwrap_or(Uuid::nil()));
        let sealed = Sealed { line, seq, prev, kind, visit, body: self.sealed };
        let number_of_kind = u8::try_from(self.kind).ok();
        if number_of_kind.map(|kind| sealed.hash_of_kind(kind)) != Some(self.hash) {
            return Some(("chain", "its hash does not fit: it was changed".into()));
        }
        if known.is_none() {
            return Some((
                "newer",
                format!("its kind {} is known to a newer program only", self.kind),
            ));
        }
        match (&self.salt, &self.body) {
            (Some(salt), Some(body)) if chain::of_body(salt, body) != self.sealed => {
                return Some(("text", "its text is not the one that was sealed".into()));
            }
            (Some(_), Some(body)) => {
                let said = (kind == EntryKind::Event).then(|| number(body)).flatten();
                if said != self.n {
                    let words =
                        "its number is not the one that was sealed: it was put in another place";
                    return Some(("number", words.into()));
                }
            }
            (None, None) => {}
            _ => return Some(("text", "half of its text is missing".into())),
        }
        match self.n {
            Some(n) if !(1..=MOST_EVENTS).contains(&n) => {
                Some(("number", format!("no visit has an event {n}")))
            }
            _ => None,
        }
    }
}

/// The number that an event's text says.
pub(super) fn number(body: &str) -> Option<i64> {
    #[derive(serde::Deserialize)]
    struct Numbered {
        n: i64,
    }
    serde_json::from_str::<Numbered>(body).ok().map(|event| event.n)
}
