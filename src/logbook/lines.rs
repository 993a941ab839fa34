//! The chains of a book: how each began, which others it took in and when, and so what each of its entries can have
//! known. All of it is read from sealed texts; a claim to have known an entry counts only with that entry's hash.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};
use serde::Deserialize;
use uuid::Uuid;

use super::chain::{self, Hash};

/// The form of the text with which this program begins a chain. From 2 on it says where the chain is written, and
/// what its laptop may add to another's visit is held against the causal order.
pub(super) const BEGAN: u64 = 2;

/// Where an entry stands: its line and its place in it.
pub(super) type Place = (Uuid, u64);

/// A line up to an entry, with that entry's hash.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Told {
    pub(super) line: Uuid,
    pub(super) entries: u64,
    pub(super) head: String,
}

/// The text of an entry that begins a line.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Began {
    #[serde(default)]
    pub(super) v: u64,
    /// A hash of the place that the line is written at.
    #[serde(default)]
    pub(super) place: Option<String>,
    /// True where the same book in the same place goes on, in a newer form.
    #[serde(default)]
    pub(super) goes_on: bool,
    /// The line that the book wrote before.
    #[serde(default)]
    pub(super) after: Option<Told>,
}

#[derive(Deserialize)]
struct MergedText {
    lines: Vec<Told>,
}

/// One line.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) no: i64,
    pub(super) id: Uuid,
    pub(super) began: Began,
    /// What it took in: at which of its entries, which line up to which entry.
    pub(super) met: Vec<(u64, Told)>,
}

/// Lines by their ids.
#[derive(Debug, Default)]
pub(super) struct Lines(BTreeMap<Uuid, Line>);

impl Lines {
    /// All lines of a book.
    pub(super) fn all(connection: &Connection) -> rusqlite::Result<Self> {
        let mut query = connection.prepare_cached("SELECT id FROM line ORDER BY no")?;
        let ids = query.query_map([], |row| row.get(0).map(Uuid::from_bytes))?;
        let ids = ids.collect::<rusqlite::Result<BTreeSet<Uuid>>>()?;
        Self::of(connection, &ids)
    }

    /// These lines and those that they go on from, with what they knew of each other.
    pub(super) fn of(connection: &Connection, ids: &BTreeSet<Uuid>) -> rusqlite::Result<Self> {
        let mut lines = Self::default();
        let mut open: Vec<Uuid> = ids.iter().copied().collect();
        while let Some(id) = open.pop() {
            if lines.0.contains_key(&id) {
                continue;
            }
            if let Some(line) = Line::load(connection, id)? {
                open.extend(line.began.after.as_ref().map(|after| after.line));
                lines.0.insert(id, line);
            }
        }
        let known: BTreeSet<Uuid> = lines.0.keys().copied().collect();
        for line in lines.0.values_mut() {
            line.met.retain(|(_, told)| known.contains(&told.line));
            let mut kept = Vec::new();
            for (at, told) in std::mem::take(&mut line.met) {
                if is_there(connection, &told)? != Some(false) {
                    kept.push((at, told));
                }
            }
            line.met = kept;
            if let Some(after) = &line.began.after
                && is_there(connection, after)? == Some(false)
            {
                line.began.after = None;
            }
        }
        Ok(lines)
    }

    pub(super) fn get(&self, id: Uuid) -> Option<&Line> {
        self.0.get(&id)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Line> {
        self.0.values()
    }

    /// How many entries of line `of` the writer of the entry at this place had.
    fn known(&self, at: Place, of: Uuid) -> u64 {
        let (mut id, mut seq) = at;
        let mut most = 0;
        for _ in 0..=self.0.len() {
            if id == of {
                return most.max(seq.saturating_sub(1));
            }
            let Some(line) = self.0.get(&id) else { break };
            let met = line.met.iter().filter(|(at, told)| *at < seq && told.line == of);
            most = met.map(|(_, told)| told.entries).fold(most, u64::max);
            match &line.began.after {
                Some(after) => (id, seq) = (after.line, after.entries.saturating_add(1)),
                None => break,
            }
        }
        most
    }

    /// True where the writer of one entry had the other.
    pub(super) fn knows(&self, at: Place, other: Place) -> bool {
        self.known(at, other.0) >= other.1
    }

    /// One id for all lines that the same book wrote in the same place.
    pub(super) fn laptop(&self, id: Uuid) -> Uuid {
        let mut first = id;
        for _ in 0..=self.0.len() {
            match self.0.get(&first).map(|line| &line.began) {
                Some(Began { goes_on: true, after: Some(after), .. }) => first = after.line,
                _ => break,
            }
        }
        first
    }

    /// The lines that a book wrote, in this place and in earlier ones: this one first, then those before it.
    pub(super) fn own(&self, id: Uuid) -> Vec<Uuid> {
        let mut own = vec![id];
        while let Some(after) =
            self.0.get(own.last().unwrap_or(&id)).and_then(|l| l.began.after.as_ref())
        {
            if own.contains(&after.line) {
                break;
            }
            own.push(after.line);
        }
        own
    }

    /// True where a book that was moved, copied or restored by an older program went on from one line to the other.
    pub(super) fn went_on(&self, from: Uuid, to: Uuid) -> bool {
        let own = self.own(to);
        let Some(at) = own.iter().position(|id| *id == from) else { return false };
        own[..at]
            .iter()
            .all(|id| self.is_old(*id) || self.get(*id).is_some_and(|l| l.began.goes_on))
    }

    /// True of a line that an older program began.
    pub(super) fn is_old(&self, id: Uuid) -> bool {
        self.get(id).is_some_and(|line| line.began.v < BEGAN)
    }
}

impl Line {
    fn load(connection: &Connection, id: Uuid) -> rusqlite::Result<Option<Self>> {
        let find = "SELECT no FROM line WHERE id = ?1";
        let no: Option<i64> = connection
            .prepare_cached(find)?
            .query_row([id.as_bytes()], |row| row.get(0))
            .optional()?;
        let Some(no) = no else { return Ok(None) };
        let began = Began { v: 1, place: None, goes_on: false, after: None };
        let mut line = Self { no, id, began, met: Vec::new() };
        // SQLite learns here how rare they are, else it reads the whole line instead of the index `entry_met`.
        let mut query = connection.prepare_cached(
            "SELECT seq, kind, body FROM entry WHERE line = ?1 AND kind IN (0, 4)
             AND likelihood(kind IN (0, 4), 0.0001) AND body IS NOT NULL ORDER BY seq",
        )?;
        let rows = query.query_map([no], |row| {
            Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?, row.get::<_, String>(2)?))
        })?;
        for row in rows {
            let (seq, kind, body) = row?;
            match kind {
                0 if seq == 1 => line.began = serde_json::from_str(&body).unwrap_or(line.began),
                4 => {
                    let told = serde_json::from_str::<MergedText>(&body).map(|text| text.lines);
                    let told = told.unwrap_or_default().into_iter();
                    line.met.extend(told.map(|told| (seq.unsigned_abs(), told)));
                }
                _ => {}
            }
        }
        Ok(Some(line))
    }
}

/// Whether the entry named is the one in the book; none where the book has none there.
pub(super) fn is_there(connection: &Connection, told: &Told) -> rusqlite::Result<Option<bool>> {
    let find =
        "SELECT hash FROM entry JOIN line ON line.no = entry.line WHERE line.id = ?1 AND seq = ?2";
    let found: Option<[u8; 32]> = connection
        .prepare_cached(find)?
        .query_row(params![told.line.as_bytes(), told.entries as i64], |row| row.get(0))
        .optional()?;
    Ok(found.map(|hash| chain::hex(&hash) == told.head))
}

/// The line that this book writes.
pub(super) fn current(connection: &Connection) -> rusqlite::Result<Option<Uuid>> {
    let find = "SELECT line.id FROM book JOIN line ON line.no = book.line";
    let found = connection.prepare_cached(find)?.query_row([], |row| row.get(0)).optional()?;
    Ok(found.map(Uuid::from_bytes))
}

/// The hash of an entry of a line, by the line's number.
pub(super) fn hash_at(
    connection: &Connection,
    line: i64,
    seq: u64,
) -> rusqlite::Result<Option<Hash>> {
    let find = "SELECT hash FROM entry WHERE line = ?1 AND seq = ?2";
    connection.query_row(find, params![line, seq as i64], |row| row.get(0)).optional()
}
