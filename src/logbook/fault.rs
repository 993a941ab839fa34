//! Why the record book could not do something: variants by what the reader can do next, each a sentence.

use std::io;
use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

/// What went wrong with a record book.
#[derive(Debug, thiserror::Error)]
pub enum BookFault {
    /// Another program writes in this book.
    #[error(
        "{path}: another program has this record book open for writing: close it there first, or read only"
    )]
    InUse {
        /// The book's folder.
        path: PathBuf,
    },
    /// The book was made by a newer program.
    #[error(
        "{path}: this record book has form {found}, and this program knows forms up to {known}: open it with the newer program; nothing was changed"
    )]
    Newer {
        /// The book's file.
        path: PathBuf,
        /// Its form.
        found: i64,
        /// The newest form this program knows.
        known: i64,
    },
    /// The disk is full.
    #[error("{path}: the disk is full: make room on it; what was kept before stays")]
    NoSpace {
        /// The book's folder.
        path: PathBuf,
    },
    /// The place may be read and not written.
    #[error("{path}: cannot be written to ({said}): check who may write there")]
    ReadOnly {
        /// The book's folder.
        path: PathBuf,
        /// What the system said.
        said: String,
    },
    /// The file is no record book, or no longer a whole one.
    #[error(
        "{path}: the record book is damaged ({said}): keep it as it is, and restore a backup beside it"
    )]
    Damaged {
        /// The book's folder or file.
        path: PathBuf,
        /// What was found.
        said: String,
    },
    /// The book's file is empty or gone, and recordings or reports still lie beside it.
    #[error(
        "{path}: is empty or gone, and what belongs to it still lies beside it: no new book is made in its place. Leave everything as it is, and restore a backup in another folder"
    )]
    Emptied {
        /// The book's file.
        path: PathBuf,
    },
    /// The book went away while it was open.
    #[error(
        "{path}: the record book is no longer there: its folder was removed or moved, its disk was taken out, or its file was replaced. Put it back in its place"
    )]
    Gone {
        /// The book's file.
        path: PathBuf,
    },
    /// A newer program wrote in this visit.
    #[error("visit {visit} waits for a newer program: {said}; nothing of it is lost")]
    NewerVisit {
        /// The visit.
        visit: String,
        /// What was found.
        said: String,
    },
    /// Entries of this visit were changed behind the chain.
    #[error(
        "visit {visit} is damaged ({said}): nothing of it is shown, for it could be a wrong number. `cuffnote book check` names all that was changed; a backup or another laptop still has the visit"
    )]
    DamagedVisit {
        /// The visit.
        visit: String,
        /// What was found.
        said: String,
    },
    /// There is no such visit.
    #[error("there is no visit {0} in this book")]
    NoVisit(String),
    /// Whoever waited wanted no more; what was being written is as it was before.
    #[error("stopped after {done} of {of}")]
    Stopped {
        /// Steps that were done.
        done: u64,
        /// Steps in all.
        of: u64,
    },
    /// What was asked does not fit what the book holds.
    #[error("{0}")]
    Refused(String),
    /// The file system refused.
    #[error("{path}: {said}")]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        said: io::Error,
    },
    /// The database refused in another way.
    #[error("{path}: {said}")]
    Store {
        /// The book's folder.
        path: PathBuf,
        /// What the database said.
        said: String,
    },
}

/// The sentence of a file system's refusal.
pub(super) fn file(path: &Path, source: io::Error) -> BookFault {
    let path = path.to_owned();
    match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => BookFault::NoSpace { path },
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            BookFault::ReadOnly { path, said: source.to_string() }
        }
        _ => BookFault::File { path, said: source },
    }
}

/// The sentence of a database's refusal.
pub(super) fn store(path: &Path, fault: &rusqlite::Error) -> BookFault {
    let (path, said) = (path.to_owned(), fault.to_string());
    let extended = fault.sqlite_error().map(|e| e.extended_code);
    match fault.sqlite_error_code() {
        // The log's index could not be made long enough: there is no other way that this fails.
        _ if extended == Some(rusqlite::ffi::SQLITE_IOERR_SHMSIZE) => BookFault::NoSpace { path },
        Some(ErrorCode::DiskFull) => BookFault::NoSpace { path },
        Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            BookFault::ReadOnly { path, said }
        }
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => BookFault::InUse { path },
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
            BookFault::Damaged { path, said }
        }
        _ => BookFault::Store { path, said },
    }
}
