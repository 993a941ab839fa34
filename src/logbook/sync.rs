//! Several laptops by way of one shared folder or stick: each leaves its whole book there and takes in those
//! of the others.
//!
//! Nobody writes in another's file, so the folder needs no locks and no server. Every step is whole or not
//! done, so a sync that was interrupted is simply done again.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::fault::{BookFault, file, store};
use super::forget;
use super::merge::{self, From, Merged};
use super::schema;
use super::sounds;
use super::writer::Writer;

/// Where the books lie in the shared folder.
const BOOKS: &str = "books";

/// What a sync did.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct Synced {
    /// Other books that were found.
    pub others: u64,
    /// What they brought, together.
    pub taken: Merged,
    /// Recordings that were left in the shared folder.
    pub left: u64,
    /// Books that could not be taken in, and why; the rest was done.
    pub failed: Vec<String>,
}

impl Writer {
    /// Takes in every other book of a shared folder, then leaves this one there.
    ///
    /// # Errors
    /// The shared folder or this book cannot be written. Another's broken book is told in the answer instead.
    pub fn sync(&mut self, shared: &Path) -> Result<Synced, BookFault> {
        if !shared.is_dir() {
            let said = "is no folder: is the stick in, the share connected?";
            return Err(BookFault::Refused(format!("{}: {said}", shared.display())));
        }
        let books = shared.join(BOOKS);
        make(&books)?;
        let mut synced = Synced::default();
        for other in self.others(&books)? {
            synced.others += 1;
            match self.take_shared(&other, shared) {
                Ok(merged) => synced.taken.add(merged),
                Err(fault) => synced.failed.push(fault.to_string()),
            }
        }
        synced.left = self.leave_sounds(shared)?;
        self.leave_book(&books)?;
        Ok(synced)
    }

    /// Books in the shared folder that no line of this book's own made.
    fn others(&self, books: &Path) -> Result<Vec<PathBuf>, BookFault> {
        let own: Vec<String> = self.own_lines()?;
        let entries = std::fs::read_dir(books).map_err(|e| file(books, e))?;
        let mut others: Vec<PathBuf> = entries
            .flatten()
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|e| e == "sqlite"))
            .filter(|path| !own.iter().any(|id| path.file_stem().is_some_and(|s| *s == **id)))
            .collect();
        others.sort();
        Ok(others)
    }

    /// This book's lines, the current one last.
    fn own_lines(&self) -> Result<Vec<String>, BookFault> {
        let read = || -> rusqlite::Result<Vec<String>> {
            let own = "SELECT lower(hex(id)) FROM line WHERE own = 1 ORDER BY no";
            let mut query = self.connection().prepare(own)?;
            query.query_map([], |row| row.get(0))?.collect()
        };
        read().map_err(|e| store(self.folder(), &e))
    }

    fn take_shared(&mut self, other: &Path, shared: &Path) -> Result<Merged, BookFault> {
        schema::private_folder(&self.stage())?;
        let copy = self.stage().join("other.sqlite");
        merge::copy_whole(other, &copy)?;
        let sounds = shared.join(sounds::FOLDER);
        self.take_in(From { file: &copy, sounds: &sounds }).map_err(|fault| match fault {
            BookFault::Damaged { said, .. } => BookFault::Damaged { path: other.to_owned(), said },
            fault => fault,
        })
    }

    /// Leaves recordings that the shared folder lacks; takes deleted ones away there too.
    fn leave_sounds(&self, shared: &Path) -> Result<u64, BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let mut left = 0;
        for (visit, sound) in merge::every_sound(self.connection()).map_err(fault)? {
            let source = sounds::folder(self.folder(), visit).join(&sound.file);
            // The shared folder keeps recordings as a book does.
            let folder = sounds::folder(shared, visit);
            let target = folder.join(&sound.file);
            if !sounds::is_plain(&sound.file) || target.exists() || !source.is_file() {
                continue;
            }
            make(&folder)?;
            put(&source, &target)?;
            left += 1;
        }
        for (visit, stone) in forget::stones(self.connection()).map_err(fault)? {
            forget::bury(shared, visit, &stone)?;
        }
        Ok(left)
    }

    /// Leaves a whole copy of this book, and takes away those of its earlier places.
    fn leave_book(&self, books: &Path) -> Result<(), BookFault> {
        let own = self.own_lines()?;
        let Some((current, earlier)) = own.split_last() else { return Ok(()) };
        schema::private_folder(&self.stage())?;
        let copy = self.stage().join("own.sqlite");
        schema::copy_to(self.connection(), &copy)?;
        put(&copy, &books.join(format!("{current}.sqlite")))?;
        for id in earlier {
            let path = books.join(format!("{id}.sqlite"));
            if path.is_file() {
                std::fs::remove_file(&path).map_err(|e| file(&path, e))?;
            }
        }
        self.clear_stage()
    }
}

impl Merged {
    fn add(&mut self, other: Merged) {
        self.entries += other.entries;
        self.new_visits += other.new_visits;
        self.grown_visits += other.grown_visits;
        self.recordings += other.recordings;
        self.forgotten += other.forgotten;
        self.notes.extend(other.notes);
    }
}

/// A folder in a shared place: who may look into it is that place's affair.
fn make(folder: &Path) -> Result<(), BookFault> {
    std::fs::create_dir_all(folder).map_err(|e| file(folder, e))
}

/// Copies a file so that others see it whole or not at all.
fn put(from: &Path, to: &Path) -> Result<(), BookFault> {
    let part = to.with_extension("part");
    merge::copy_whole(from, &part)?;
    std::fs::rename(&part, to).map_err(|e| file(to, e))
}
