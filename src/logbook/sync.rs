//! Several laptops by way of one shared folder or stick: each leaves there what the folder lacks of its chains, and
//! takes in what it lacks itself.
//!
//! The folder is a shelf (`super::shelf`) with `recordings/`. Names alone say what is there, so an unchanged
//! book reads and writes nothing, and a visit costs its own size. Files are written whole and are the same whoever
//! writes them, so the folder needs no locks and no server; a sync that was interrupted is simply done again.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::chain::EntryKind;
use super::check;
use super::fault::{BookFault, file, store};
use super::forget::{self, Forget};
use super::lines::{self, Lines};
use super::merge::{From, Merged};
use super::schema;
use super::shelf::{self, Piece};
use super::sounds;
use super::source::Source;
use super::watch::Walk;
use super::writer::{self, Writer};

/// Where older programs left whole books in the shared folder.
const BOOKS: &str = "books";
/// Which shared folders were already cleared of deleted texts, in the book's own folder.
const CLEARED: &str = "cleared.json";

/// With whom a book is shared.
#[derive(Debug, Clone, Default)]
pub struct Sharing {
    /// The clinic's own folder inside the shared one; none where all laptops are of one clinic.
    pub clinic: Option<String>,
    /// Those of all other clinics are read too.
    pub all: bool,
}

/// What a sync did.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct Synced {
    /// Other chains and books that were found.
    pub others: u64,
    /// What they brought, together.
    pub taken: Merged,
    /// Entries that were left in the shared folder.
    pub left_entries: u64,
    /// Recordings that were left in the shared folder.
    pub left: u64,
    /// Bytes that were written there.
    pub left_bytes: u64,
    /// What could not be taken in, and why; the rest was done.
    pub failed: Vec<String>,
}

impl Writer {
    /// Takes in what a shared folder has more, then leaves there what it lacks.
    ///
    /// # Errors
    /// The shared folder or this book cannot be written. Another's broken chain is named in the answer instead.
    pub fn sync(&mut self, shared: &Path) -> Result<Synced, BookFault> {
        self.sync_as(shared, &Sharing::default())
    }

    /// As [`Writer::sync`], for a clinic among several.
    ///
    /// # Errors
    /// As there; or the clinic's name cannot be a folder's.
    pub fn sync_as(&mut self, shared: &Path, sharing: &Sharing) -> Result<Synced, BookFault> {
        if !shared.is_dir() {
            let said = "is no folder: is the stick in, the share connected?";
            return Err(BookFault::Refused(format!("{}: {said}", shared.display())));
        }
        let own = match &sharing.clinic {
            None => shared.to_owned(),
            Some(name) if sounds::is_plain(name) && !RESERVED.contains(&name.as_str()) => {
                shared.join(name)
            }
            Some(name) => {
                return Err(BookFault::Refused(format!(
                    "`{name}` is no name for a clinic's folder: use letters, digits, - and _"
                )));
            }
        };
        make(&own.join(shelf::FOLDER))?;
        let mut synced = Synced::default();
        let mut shelves = vec![own.clone()];
        if sharing.all {
            shelves.extend(shelves_in(shared)?.into_iter().filter(|shelf| *shelf != own));
        }
        for shelf in &shelves {
            self.staged(|writer| writer.take_shelf(shelf, &mut synced))?;
            self.take_old_books(shelf, &mut synced)?;
        }
        self.leave(shared, &own, &mut synced)?;
        self.clear_stage()?;
        Ok(synced)
    }

    /// Takes in what a clinic's folder has more, and leaves nothing there: for whoever gathers and writes no visits.
    ///
    /// # Errors
    /// The folder cannot be read, or this book cannot be written.
    pub fn take_all(&mut self, shelf: &Path) -> Result<Synced, BookFault> {
        let mut synced = Synced::default();
        self.staged(|writer| writer.take_shelf(shelf, &mut synced))?;
        self.clear_stage()?;
        Ok(synced)
    }

    fn take_shelf(&mut self, shelf: &Path, synced: &mut Synced) -> Result<(), BookFault> {
        let entries = Source::shelf(shelf)?;
        let own = self.own_lines()?;
        synced.others += entries.lines()?.iter().filter(|id| !own.contains(id)).count() as u64;
        let sounds = shelf.join(sounds::FOLDER);
        let merged = self.take_in(&From { entries, sounds: &sounds, strict: false })?;
        synced
            .failed
            .extend(merged.refused.iter().map(|why| format!("{}: {why}", shelf.display())));
        synced.taken.add(merged);
        Ok(())
    }

    /// Books that older programs left whole.
    fn take_old_books(&mut self, shelf: &Path, synced: &mut Synced) -> Result<(), BookFault> {
        let own: Vec<String> = self.own_lines()?.iter().map(|id| id.simple().to_string()).collect();
        let entries = std::fs::read_dir(shelf.join(BOOKS)).into_iter().flatten().flatten();
        let mut books: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        books.retain(|path| path.extension().is_some_and(|e| e == "sqlite"));
        books.sort();
        for book in books {
            if own.iter().any(|id| book.file_stem().is_some_and(|stem| *stem == **id)) {
                // Its own, from before: the shelf has all of it.
                std::fs::remove_file(&book).map_err(|e| file(&book, e))?;
                continue;
            }
            synced.others += 1;
            match self.take_old(&book, shelf) {
                Ok(merged) => synced.taken.add(merged),
                Err(fault) => synced.failed.push(fault.to_string()),
            }
        }
        Ok(())
    }

    fn take_old(&mut self, book: &Path, shelf: &Path) -> Result<Merged, BookFault> {
        schema::private_folder(&self.stage())?;
        let copy = self.stage().join("other.sqlite");
        sounds::copy_whole(book, &copy)?;
        let sounds = shelf.join(sounds::FOLDER);
        self.take_database(&copy, &sounds).map_err(|fault| match fault {
            BookFault::Damaged { said, .. } => BookFault::Damaged { path: book.to_owned(), said },
            fault => fault,
        })
    }

    /// The chains that this book wrote, here and in earlier places.
    fn own_lines(&self) -> Result<Vec<uuid::Uuid>, BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let Some(current) = lines::current(self.connection()).map_err(fault)? else {
            return Ok(Vec::new());
        };
        let of = Lines::of(self.connection(), &[current].into()).map_err(fault)?;
        Ok(of.own(current))
    }

    /// Leaves what the shelf lacks, and takes deleted texts and sounds away there.
    fn leave(&mut self, shared: &Path, shelf: &Path, synced: &mut Synced) -> Result<(), BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let (here, own) = (shelf::pieces(shelf)?, self.own_lines()?);
        let mut elsewhere = Vec::new();
        for other in shelves_in(shared)?.into_iter().filter(|other| other != shelf) {
            elsewhere.extend(shelf::pieces(&other)?.into_keys());
        }
        let lines = check::lines(self.connection()).map_err(fault)?;
        let mut walk = Walk::of(self.watch(), self.lacking(&lines, &here)?);
        for (no, id) in lines {
            // Another clinic's chain stays in that clinic's folder. One that nobody leaves is left by whoever has it.
            let pieces = here.get(&id);
            if pieces.is_none() && !own.contains(&id) && elsewhere.contains(&id) {
                continue;
            }
            let after = pieces.map_or(0, |pieces| shelf::reach(pieces));
            make(&shelf.join(shelf::FOLDER).join(id.to_string()))?;
            let mut bytes = 0;
            synced.left_entries +=
                shelf::write(self.connection(), (no, after), self.folder(), |piece, text| {
                    bytes += text.len() as u64;
                    put_bytes(text, &shelf::path(shelf, id, piece))?;
                    // What was left so far is whole, and the next sync goes on behind it.
                    walk.by(piece.to + 1 - piece.from)
                })?;
            synced.left_bytes += bytes;
        }
        self.leave_sounds(shelf, synced)?;
        self.clear_shelf(shelf, &here)
    }

    /// How many entries of these lines the shelf lacks.
    fn lacking(&self, lines: &[(i64, uuid::Uuid)], here: &shelf::Pieces) -> Result<u64, BookFault> {
        let mut all = 0;
        for (no, id) in lines {
            let last = writer::last(self.connection(), *no);
            let last = last.map_err(|e| store(self.folder(), &e))?.0;
            all += last.saturating_sub(here.get(id).map_or(0, |pieces| shelf::reach(pieces)));
        }
        Ok(all)
    }

    /// Leaves recordings that the shelf lacks; takes deleted ones away there too.
    fn leave_sounds(&self, shelf: &Path, synced: &mut Synced) -> Result<(), BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let every = sounds::every(self.connection()).map_err(fault)?;
        let mut walk = Walk::of(self.watch(), every.len() as u64);
        for (visit, sound) in every {
            walk.on()?;
            let source = sounds::folder(self.folder(), visit).join(&sound.file);
            // The shared folder keeps recordings as a book does.
            let folder = sounds::folder(shelf, visit);
            let target = folder.join(&sound.file);
            if !sounds::is_plain(&sound.file) || target.exists() || !source.is_file() {
                continue;
            }
            make(&folder)?;
            put(&source, &target)?;
            synced.left += 1;
            synced.left_bytes += sound.bytes;
        }
        for (visit, stone) in forget::stones(self.connection()).map_err(fault)? {
            forget::bury(shelf, visit, &stone)?;
        }
        Ok(())
    }

    /// Writes those pieces anew, without the texts, that hold a visit which was deleted since they were left.
    fn clear_shelf(&self, shelf: &Path, here: &shelf::Pieces) -> Result<(), BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let stones = forget::stones(self.connection()).map_err(fault)?;
        let stones: Vec<_> = stones.iter().filter(|(_, s)| s.what == Forget::Visit).collect();
        let memo = self.folder().join(CLEARED);
        let mut cleared: BTreeMap<String, usize> = std::fs::read(&memo)
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default();
        let name = shelf.display().to_string();
        let done = cleared.get(&name).copied().unwrap_or(0);
        if done == stones.len() {
            return Ok(());
        }
        let mut all = true;
        for (visit, _) in &stones {
            let of = "SELECT line.no, line.id, seq FROM entry JOIN line ON line.no = entry.line
                WHERE visit = ?1 AND kind IN (?2, ?3)";
            let mut query = self.connection().prepare_cached(of).map_err(fault)?;
            let kinds = (visit.0.as_bytes(), EntryKind::Event as i64, EntryKind::Sound as i64);
            let rows = query.query_map(kinds, |row| {
                Ok((row.get(0)?, uuid::Uuid::from_bytes(row.get(1)?), row.get::<_, i64>(2)?))
            });
            let mut places = BTreeMap::new();
            for row in rows.map_err(fault)? {
                let (no, id, seq): (i64, _, _) = row.map_err(fault)?;
                let pieces = here.get(&id).into_iter().flatten();
                let holds = |p: &&Piece| (p.from..=p.to).contains(&seq.unsigned_abs());
                places.extend(pieces.filter(holds).map(|p| ((id, p.from, p.to), (no, p.clone()))));
            }
            for ((id, ..), (no, piece)) in places {
                all &= self.write_anew(shelf, (no, id), &piece)?;
            }
        }
        if !all {
            return Ok(());
        }
        cleared.insert(name, stones.len());
        let bytes = serde_json::to_vec(&cleared).unwrap_or_default();
        crate::files::write_atomic(&memo, &bytes).map_err(|e| file(&memo, e))
    }

    /// Writes a piece as this book has its entries now; false where it has not all of them yet.
    fn write_anew(
        &self,
        shelf: &Path,
        (no, id): (i64, uuid::Uuid),
        piece: &Piece,
    ) -> Result<bool, BookFault> {
        let path = shelf::path(shelf, id, piece);
        let text = shelf::text(self.connection(), no, piece, self.folder())?;
        text.map_or(Ok(false), |text| put_bytes(&text, &path).map(|()| true))
    }
}

/// Names in a shared folder that are no clinic's.
const RESERVED: [&str; 3] = [shelf::FOLDER, BOOKS, sounds::FOLDER];

/// The shelves in a shared folder: its own, and one for each clinic.
fn shelves_in(shared: &Path) -> Result<Vec<PathBuf>, BookFault> {
    let entries = std::fs::read_dir(shared).map_err(|e| file(shared, e))?;
    let mut found: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    found.push(shared.to_owned());
    found.retain(|path| path.join(shelf::FOLDER).is_dir());
    found.sort();
    Ok(found)
}

impl Merged {
    fn add(&mut self, other: Merged) {
        self.entries += other.entries;
        self.new_visits += other.new_visits;
        self.grown_visits += other.grown_visits;
        self.recordings += other.recordings;
        self.forgotten += other.forgotten;
        self.aside += other.aside;
        self.notes.extend(other.notes);
        self.refused.extend(other.refused);
    }
}

/// A folder in a shared place: who may look into it is that place's affair.
fn make(folder: &Path) -> Result<(), BookFault> {
    std::fs::create_dir_all(folder).map_err(|e| file(folder, e))
}

/// Copies a file so that others see it whole or not at all.
fn put(from: &Path, to: &Path) -> Result<(), BookFault> {
    let part = part(to);
    sounds::copy_whole(from, &part)?;
    std::fs::rename(&part, to).map_err(|e| file(to, e))
}

/// Writes a file so that others see it whole or not at all.
fn put_bytes(bytes: &[u8], to: &Path) -> Result<(), BookFault> {
    use std::io::Write;
    let part = part(to);
    let mut target = schema::private_file(&part)?;
    let fault = |e| file(&part, e);
    target.set_len(0).map_err(fault)?;
    target.write_all(bytes).and_then(|()| target.sync_all()).map_err(fault)?;
    std::fs::rename(&part, to).map_err(|e| file(to, e))
}

/// The name that a file has until it is whole. Two laptops that leave the same file do not meet in it.
fn part(to: &Path) -> PathBuf {
    to.with_extension(format!("{}.part", std::process::id()))
}
