//! Deletion with a tombstone: texts and sounds go, the sealed hashes stay, and who deleted what, when and why.

use std::path::Path;

use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};

use super::chain::Kind;
use super::fault::{BookFault, file};
use super::sounds;
use super::visits::{self, VisitId};
use super::writer::{self, Page, Writer};
use crate::clinical::moment::Moment;

/// What is deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Forget {
    /// The whole visit: events, recordings, its row.
    Visit,
    /// Its recordings alone; every number stays.
    Sounds,
}

/// What stays of something deleted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Tombstone {
    pub(super) what: Forget,
    pub(super) at: Moment,
    pub(super) who: String,
    pub(super) why: String,
    /// The recordings that went, by their names in the visit's folder; only where sounds alone went.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) files: Vec<String>,
}

/// True of a tombstone that stands for a whole visit.
pub(super) fn is_of_visit(body: &str) -> bool {
    serde_json::from_str::<Tombstone>(body).is_ok_and(|stone| stone.what == Forget::Visit)
}

impl Writer {
    /// Deletes a visit, or its recordings alone, for good. What stays: that there was a visit with this id,
    /// how many events it had, their sealed hashes, and `who` and `why`. Copies of the book made before
    /// still hold everything.
    ///
    /// # Errors
    /// There is no such visit, or the disk refuses: then nothing was deleted.
    pub fn forget(
        &mut self,
        visit: VisitId,
        what: Forget,
        who: &str,
        why: &str,
    ) -> Result<(), BookFault> {
        let known = visits::highest(self.connection(), visit)
            .map_err(|e| super::fault::store(self.folder(), &e))?;
        if known == 0 {
            return Err(BookFault::NoVisit(visit.to_string()));
        }
        let files = match what {
            Forget::Visit => Vec::new(),
            Forget::Sounds => names(&sounds::folder(self.folder(), visit)),
        };
        let (who, why) = (who.to_owned(), why.to_owned());
        let stone = Tombstone { what, at: writer::now(), who, why, files };
        let body = serde_json::to_string(&stone)
            .map_err(|e| BookFault::Refused(format!("this cannot be written down: {e}")))?;
        // One that was written down and could not be ended, a file in use for instance, is ended now.
        let stones =
            stones(self.connection()).map_err(|e| super::fault::store(self.folder(), &e))?;
        let same = |(of, old): &(VisitId, Tombstone)| {
            *of == visit && (old.what, &old.files) == (what, &stone.files)
        };
        if !stones.iter().any(same) {
            self.commit(|page| {
                page.append(Kind::Forgotten, Some(visit), None, &body)?;
                Ok(page.wipe(visit, what)?)
            })?;
        }
        bury(self.folder(), visit, &stone)?;
        self.scrub()
    }

    /// Takes what was deleted out of the log beside the book too.
    pub(super) fn scrub(&self) -> Result<(), BookFault> {
        self.connection()
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .map_err(|e| super::fault::store(self.folder(), &e))
    }

    /// Deletes files of forgotten visits that are still there: a deletion that was cut short is ended.
    pub(super) fn bury_all(&self) -> Result<(), BookFault> {
        let stones =
            stones(self.connection()).map_err(|e| super::fault::store(self.folder(), &e))?;
        stones.iter().try_for_each(|(visit, stone)| bury(self.folder(), *visit, stone))
    }
}

impl Page<'_> {
    /// Takes the texts of a forgotten visit out of the book; what is overwritten is zeroed by SQLite.
    pub(super) fn wipe(&mut self, visit: VisitId, what: Forget) -> rusqlite::Result<()> {
        if what == Forget::Sounds {
            return Ok(());
        }
        let texts = "UPDATE entry SET salt = NULL, body = NULL
            WHERE visit = ?1 AND kind IN (?2, ?3) AND body IS NOT NULL";
        let of = params![visit.0.as_bytes(), Kind::Event as i64, Kind::Sound as i64];
        self.tx.execute(texts, of)?;
        self.tx.execute("DELETE FROM visit WHERE id = ?1", [visit.0.as_bytes()])?;
        Ok(())
    }
}

/// Every tombstone of a book.
pub(super) fn stones(connection: &Connection) -> rusqlite::Result<Vec<(VisitId, Tombstone)>> {
    let mut query = connection.prepare_cached(
        "SELECT visit, body FROM entry WHERE kind = 3 AND visit IS NOT NULL AND body IS NOT NULL",
    )?;
    let rows = query.query_map([], |row| {
        Ok((VisitId(uuid::Uuid::from_bytes(row.get(0)?)), row.get::<_, String>(1)?))
    })?;
    let mut stones = Vec::new();
    for row in rows {
        let (visit, body) = row?;
        stones.extend(serde_json::from_str(&body).ok().map(|stone| (visit, stone)));
    }
    Ok(stones)
}

/// Deletes the recordings that a tombstone stands for, in a book's folder or a shared one.
pub(super) fn bury(book: &Path, visit: VisitId, stone: &Tombstone) -> Result<(), BookFault> {
    let folder = sounds::folder(book, visit);
    let gone = match stone.what {
        Forget::Visit if folder.is_dir() => std::fs::remove_dir_all(&folder),
        Forget::Visit => Ok(()),
        Forget::Sounds => {
            let files = stone.files.iter().filter(|name| sounds::is_plain(name));
            let mut there = files.map(|name| folder.join(name)).filter(|path| path.is_file());
            there.try_for_each(std::fs::remove_file)
        }
    };
    gone.map_err(|e| file(&folder, e))
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
