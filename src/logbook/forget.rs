//! Deletion with a tombstone: texts, sounds and reports go, the sealed hashes stay, and who deleted what, when and why.
//!
//! It reaches every file of the book's folder, also what killed programs left there and copies from before a new form,
//! and says so where it could not.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::chain::EntryKind;
use super::fault::{BookFault, file, store};
use super::lines::Lines;
use super::sounds;
use super::visits::{self, VisitId};
use super::writer::{self, Page, Writer};
use crate::clinical::moment::Moment;

/// The folder of reports that were written from this book.
pub const REPORTS: &str = "reports";

/// How many deletions were ended in all files of the book's folder.
const BURIED: &str = "deletions-ended";
/// What stands before a visit's id in a report.
const NAMED: &str = "Record book: visit ";

/// What is deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Forget {
    /// The whole visit: events, recordings, reports, its row.
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
    /// The chain that it stands in, and where.
    #[serde(skip)]
    pub(super) line: Uuid,
    #[serde(skip)]
    pub(super) seq: u64,
}

/// True of a tombstone that stands for a whole visit.
pub(super) fn is_of_visit(body: &str) -> bool {
    serde_json::from_str::<Tombstone>(body).is_ok_and(|stone| stone.what == Forget::Visit)
}

impl Writer {
    /// Deletes a visit, or its recordings alone, for good. What stays: that there was a visit with this id,
    /// how many events it had, their sealed hashes, and `who` and `why`. Copies of the book made before
    /// still hold everything: [`super::Book::copies`] lists those that are known.
    ///
    /// # Errors
    /// There is no such visit, nobody or no reason is named, or the disk refuses: then nothing was deleted. Where
    /// another program still reads the text that was deleted, the sentence says that this is not finished.
    pub fn forget(
        &mut self,
        visit: VisitId,
        what: Forget,
        who: &str,
        why: &str,
    ) -> Result<(), BookFault> {
        if who.trim().is_empty() || why.trim().is_empty() {
            return Err(BookFault::Refused(
                "nothing was deleted: say whose decision it is, and why".into(),
            ));
        }
        let known =
            visits::highest(self.connection(), visit).map_err(|e| store(self.folder(), &e))?;
        if known == 0 {
            return Err(BookFault::NoVisit(visit.to_string()));
        }
        let files = match what {
            Forget::Visit => Vec::new(),
            Forget::Sounds => names(&sounds::folder(self.folder(), visit)),
        };
        let (who, why) = (who.to_owned(), why.to_owned());
        let (line, seq) = (Uuid::nil(), 0);
        let stone = Tombstone { what, at: writer::now(), who, why, files, line, seq };
        let body = serde_json::to_string(&stone)
            .map_err(|e| BookFault::Refused(format!("this cannot be written down: {e}")))?;
        // One that was written down and could not be ended, a file in use for instance, is ended now.
        let stones = stones(self.connection()).map_err(|e| store(self.folder(), &e))?;
        let same = |(of, old): &(VisitId, Tombstone)| {
            *of == visit && (old.what, &old.files) == (what, &stone.files)
        };
        if !stones.iter().any(same) {
            self.commit(|page| {
                page.append(EntryKind::Forgotten, Some(visit), None, &body)?;
                Ok(page.wipe(visit, what)?)
            })?;
        }
        self.clear_leftovers()?;
        self.bury_all()
    }

    /// Takes what was deleted out of the log beside the book too.
    ///
    /// # Errors
    /// Another program reads what stood there before: the deletion then is not finished.
    pub(super) fn scrub(&self) -> Result<(), BookFault> {
        // Waits for readers as long as a writer waits for another.
        let held: bool = self
            .connection()
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))
            .map_err(|e| store(self.folder(), &e))?;
        if held {
            return Err(BookFault::Refused(format!(
                "{}: deleted, but NOT FINISHED: another program still reads the book, so the text lies in the book's log until it ends. Close it, then delete once more",
                self.folder().display()
            )));
        }
        Ok(())
    }

    /// Ends every deletion that is not ended yet: recordings, reports, copies, the log. What was ended before is not
    /// looked for again.
    pub(super) fn bury_all(&self) -> Result<(), BookFault> {
        let stones = stones(self.connection()).map_err(|e| store(self.folder(), &e))?;
        let memo = self.folder().join(BURIED);
        let ended = std::fs::read_to_string(&memo).ok().and_then(|n| n.trim().parse().ok());
        if ended.unwrap_or(0) == stones.len() {
            return Ok(());
        }
        stones.iter().try_for_each(|(visit, stone)| bury(self.folder(), *visit, stone))?;
        let visits = stones.iter().filter(|(_, stone)| stone.what == Forget::Visit);
        bury_reports(self.folder(), &visits.map(|(visit, _)| visit.to_string()).collect())?;
        self.bury_copies(&stones)?;
        self.scrub()?;
        crate::files::write_atomic(&memo, stones.len().to_string().as_bytes())
            .map_err(|e| file(&memo, e))
    }

    /// A deleted text came once more and went at once: the log is cleared of it too.
    pub(super) fn deletions_again(&self) {
        // Where it is not there, nothing was ended yet.
        let _ = std::fs::remove_file(self.folder().join(BURIED));
    }

    /// Takes forgotten visits out of the copies that were left before a new form.
    fn bury_copies(&self, stones: &[(VisitId, Tombstone)]) -> Result<(), BookFault> {
        let copies = copies_of_forms(self.folder());
        for path in copies {
            let wiped = || -> rusqlite::Result<()> {
                let mut copy = Connection::open(&path)?;
                copy.execute_batch(
                    "PRAGMA secure_delete=ON; PRAGMA journal_mode=MEMORY; PRAGMA synchronous=FULL;",
                )?;
                let tx = copy.transaction()?;
                for (visit, _) in stones.iter().filter(|(_, stone)| stone.what == Forget::Visit) {
                    wipe(&tx, *visit)?;
                }
                tx.commit()
            };
            wiped().map_err(|e| store(&path, &e))?;
        }
        Ok(())
    }

    /// Takes away what programs that were killed left in the book's folder; gives their names.
    pub(super) fn clear_leftovers(&self) -> Result<Vec<PathBuf>, BookFault> {
        let mut gone = Vec::new();
        for path in leftovers(self.folder()) {
            std::fs::remove_file(&path).map_err(|e| file(&path, e))?;
            gone.push(path);
        }
        Ok(gone)
    }
}

/// Files in a book's folder that only a killed program can have left: parts of copies, among them whole plain copies
/// of the book that older programs made on the way to a backup.
pub(super) fn leftovers(folder: &Path) -> Vec<PathBuf> {
    let is_left = |name: &str| {
        name.ends_with(".part")
            || (name.starts_with("backup-") && name.contains(".sqlite"))
            || (name.starts_with("backup-") && name.ends_with(".part-journal"))
            || (name.starts_with("book-before-form-") && name.ends_with("-journal"))
    };
    let mut left: Vec<PathBuf> = names(folder)
        .into_iter()
        .filter(|name| is_left(name))
        .map(|name| folder.join(name))
        .collect();
    let reports = folder.join(REPORTS);
    let parts = names(&reports).into_iter().filter(|name| name.ends_with(".part"));
    left.extend(parts.map(|name| reports.join(name)));
    left
}

/// The copies that were left before a new form.
pub(super) fn copies_of_forms(folder: &Path) -> Vec<PathBuf> {
    let is_copy =
        |name: &String| name.starts_with("book-before-form-") && name.ends_with(".sqlite");
    names(folder).into_iter().filter(is_copy).map(|name| folder.join(name)).collect()
}

impl Page<'_> {
    /// Takes the texts of a forgotten visit out of the book; what is overwritten is zeroed by SQLite.
    pub(super) fn wipe(&mut self, visit: VisitId, what: Forget) -> rusqlite::Result<()> {
        if what == Forget::Sounds { Ok(()) } else { wipe(&self.tx, visit) }
    }
}

fn wipe(connection: &Connection, visit: VisitId) -> rusqlite::Result<()> {
    let texts = "UPDATE entry SET salt = NULL, body = NULL
        WHERE visit = ?1 AND kind IN (?2, ?3) AND body IS NOT NULL";
    let of = params![visit.0.as_bytes(), EntryKind::Event as i64, EntryKind::Sound as i64];
    connection.execute(texts, of)?;
    connection.execute("DELETE FROM visit WHERE id = ?1", [visit.0.as_bytes()])?;
    Ok(())
}

/// Every tombstone of a book.
pub(super) fn stones(connection: &Connection) -> rusqlite::Result<Vec<(VisitId, Tombstone)>> {
    // Said twice, so that SQLite knows that the index `entry_kind` holds them all.
    let mut query = connection.prepare_cached(
        "SELECT entry.visit, entry.body, line.id, entry.seq FROM entry JOIN line ON line.no = entry.line
         WHERE kind = 3 AND kind NOT IN (1, 2) AND visit IS NOT NULL AND body IS NOT NULL ORDER BY entry.no",
    )?;
    let rows = query.query_map([], |row| {
        let visit = VisitId(Uuid::from_bytes(row.get(0)?));
        let place = (Uuid::from_bytes(row.get(2)?), row.get::<_, i64>(3)?.unsigned_abs());
        Ok((visit, row.get::<_, String>(1)?, place))
    })?;
    let mut stones = Vec::new();
    for row in rows {
        let (visit, body, (line, seq)) = row?;
        let stone = serde_json::from_str::<Tombstone>(&body).ok();
        stones.extend(stone.map(|stone| (visit, Tombstone { line, seq, ..stone })));
    }
    Ok(stones)
}

/// Whether the chain that deleted a visit had it: nobody deletes what he only knows by its id.
pub(super) fn had_it(
    connection: &Connection,
    visit: VisitId,
    stone: &Tombstone,
) -> rusqlite::Result<bool> {
    let first = "SELECT line.id, entry.seq FROM entry JOIN line ON line.no = entry.line
        WHERE visit = ?1 AND kind = 1 ORDER BY n, line.id LIMIT 1";
    let found: Option<([u8; 16], i64)> = connection
        .prepare_cached(first)?
        .query_row([visit.0.as_bytes()], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let Some((line, seq)) = found else { return Ok(true) };
    let opening = (Uuid::from_bytes(line), seq.unsigned_abs());
    let lines = Lines::of(connection, &[stone.line, opening.0].into())?;
    Ok(lines.knows((stone.line, stone.seq), opening))
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

/// Deletes the reports of visits: those in the visits' own folders, and older ones that name one of them.
fn bury_reports(book: &Path, visits: &BTreeSet<String>) -> Result<(), BookFault> {
    let reports = book.join(REPORTS);
    for own in visits.iter().map(|visit| reports.join(visit)).filter(|own| own.is_dir()) {
        std::fs::remove_dir_all(&own).map_err(|e| file(&own, e))?;
    }
    for name in names(&reports).into_iter().filter(|name| name.ends_with(".html")) {
        let path = reports.join(&name);
        let text = std::fs::read(&path).map_err(|e| file(&path, e))?;
        let text = String::from_utf8_lossy(&text);
        let named = text.split(NAMED).skip(1).filter_map(|rest| rest.get(..36));
        if named.into_iter().any(|id| visits.contains(id)) {
            for path in [path.with_extension("pdf"), path] {
                if path.is_file() {
                    std::fs::remove_file(&path).map_err(|e| file(&path, e))?;
                }
            }
        }
    }
    Ok(())
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
