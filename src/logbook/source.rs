//! Where another book's entries come from: a copy of its database, or a shelf of text.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, params};
use uuid::Uuid;

use super::chain::{self, Hash};
use super::check;
use super::entry::{ENTRY, Entry};
use super::fault::{BookFault, store};
use super::lines::hash_at;
use super::shelf::{self, Pieces};
use super::writer::{self, Torn};

/// Another book's entries.
pub(super) enum Source<'a> {
    /// A database that nobody writes at this time.
    Database { connection: &'a Connection, file: &'a Path },
    /// A shelf.
    Shelf { folder: PathBuf, pieces: Pieces },
}

impl Source<'_> {
    /// What lies in this shelf.
    pub(super) fn shelf(folder: &Path) -> Result<Self, BookFault> {
        Ok(Self::Shelf { folder: folder.to_owned(), pieces: shelf::pieces(folder)? })
    }

    /// What a fault is to be named by.
    pub(super) fn path(&self) -> PathBuf {
        match self {
            Source::Database { file, .. } => (*file).to_owned(),
            Source::Shelf { folder, .. } => folder.clone(),
        }
    }

    /// The lines that it holds.
    pub(super) fn lines(&self) -> Result<Vec<Uuid>, BookFault> {
        match self {
            Source::Database { connection, file } => {
                let lines = check::lines(connection).map_err(|e| store(file, &e))?;
                Ok(lines.into_iter().map(|(_, id)| id).collect())
            }
            Source::Shelf { pieces, .. } => Ok(pieces.keys().copied().collect()),
        }
    }

    fn no(&self, id: Uuid) -> rusqlite::Result<i64> {
        match self {
            Source::Database { connection, .. } => {
                let find = "SELECT no FROM line WHERE id = ?1";
                connection.query_row(find, [id.as_bytes()], |row| row.get(0))
            }
            Source::Shelf { .. } => Ok(0),
        }
    }

    /// Whether a line, of which this book has `own` entries, went another way there. `mine` gives the hash here.
    pub(super) fn forked(
        &self,
        id: Uuid,
        own: u64,
        mine: impl Fn(u64) -> rusqlite::Result<Option<Hash>>,
    ) -> Result<bool, Torn> {
        match self {
            Source::Database { connection, file } => {
                let there = |e: rusqlite::Error| store(file, &e);
                let no = self.no(id).map_err(there)?;
                let shared = own.min(writer::last(connection, no).map_err(there)?.0);
                let theirs = hash_at(connection, no, shared).map_err(there)?;
                Ok(shared > 0 && theirs != mine(shared)?)
            }
            Source::Shelf { pieces, .. } => {
                // The last hash that both have stands for all before it.
                let known = pieces.get(&id).into_iter().flatten().filter(|piece| piece.to <= own);
                let Some(piece) = known.max_by_key(|piece| piece.to) else { return Ok(false) };
                let here = mine(piece.to)?.map(|hash| chain::hex(&hash));
                Ok(!here.is_some_and(|here| here.starts_with(&piece.head)))
            }
        }
    }

    /// How many entries of a line there are after this one.
    pub(super) fn ahead(&self, id: Uuid, own: u64) -> Result<u64, BookFault> {
        let last = match self {
            Source::Database { connection, file } => {
                let there = |e: rusqlite::Error| store(file, &e);
                writer::last(connection, self.no(id).map_err(there)?).map_err(there)?.0
            }
            Source::Shelf { pieces, .. } => {
                pieces.get(&id).into_iter().flatten().map(|piece| piece.to).max().unwrap_or(0)
            }
        };
        Ok(last.saturating_sub(own))
    }

    /// Gives every entry of a line after this one, in order.
    pub(super) fn after(
        &self,
        id: Uuid,
        own: u64,
        mut take: impl FnMut(Entry) -> Result<(), Torn>,
    ) -> Result<(), Torn> {
        match self {
            Source::Database { connection, file } => {
                let there = |e: rusqlite::Error| store(file, &e);
                let no = self.no(id).map_err(there)?;
                let text =
                    format!("SELECT {ENTRY} FROM entry WHERE line = ?1 AND seq > ?2 ORDER BY seq");
                let mut query = connection.prepare(&text).map_err(there)?;
                let rows = query.query_map(params![no, own as i64], Entry::read).map_err(there)?;
                for row in rows {
                    take(row.map_err(there)?)?;
                }
                Ok(())
            }
            Source::Shelf { folder, pieces } => {
                let mut reached = own;
                for piece in pieces.get(&id).into_iter().flatten() {
                    // A gap is closed by whoever has the rest, at a later time.
                    if piece.to <= reached || piece.from > reached + 1 {
                        continue;
                    }
                    let path = shelf::path(folder, id, piece);
                    shelf::read(&path, |entry| {
                        if entry.seq <= reached {
                            return Ok::<(), Torn>(());
                        }
                        reached = entry.seq;
                        take(entry)
                    })
                    .map_err(|torn| match torn {
                        // Whoever waited wanted no more: the line is whole.
                        Torn::Fault(stopped @ BookFault::Stopped { .. }) => Torn::Fault(stopped),
                        Torn::Fault(fault) => Torn::Line(id, fault),
                        other => other,
                    })?;
                }
                Ok(())
            }
        }
    }
}
