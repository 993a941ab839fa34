//! What there is to say when a book is opened: kept as what it is, and said in the language of whoever reads it.

use std::fmt;
use std::path::{Path, PathBuf};

use crate::words::{Words, id, say};

/// See the file's purpose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BookNote {
    /// The disk is full: the book is only read.
    FullOnlyRead(PathBuf),
    /// It cannot be written to: the book is only read.
    OnlyRead(PathBuf),
    /// A file was left by a program that was ended, and is deleted.
    Left(PathBuf),
    /// A recording was cut short, and is now registered.
    CutShort(PathBuf),
    /// The book's own chain was turned back.
    TurnedBack,
    /// The book was moved, copied or restored.
    Moved,
    /// Other users of the computer may look into it.
    OthersMayLook {
        /// The folder.
        path: PathBuf,
        /// Its mode, as Unix has it.
        mode: u32,
    },
    /// It was brought to a newer form.
    NewForm {
        /// The form.
        form: usize,
        /// Where it lies as it was before.
        copy: PathBuf,
    },
    /// The computer's clock does not fit the newest visit.
    Clock {
        /// What the clock says.
        now: String,
        /// When the newest visit was.
        last: String,
    },
    /// Something failed and is tried again at the next opening, in English.
    Failed(String),
}

impl BookNote {
    /// In the words of a language, beginning small.
    pub fn said(&self, words: Words) -> String {
        let at = |path: &Path| path.display().to_string();
        match self {
            BookNote::FullOnlyRead(path) => say!(words, "book-full-only-read", path = at(path)),
            BookNote::OnlyRead(path) => say!(words, "book-only-read", path = at(path)),
            BookNote::Left(path) => say!(words, "book-left", path = at(path)),
            BookNote::CutShort(path) => say!(words, "book-cut-short", path = at(path)),
            BookNote::TurnedBack => words.plain(id!("book-turned-back")).to_owned(),
            BookNote::Moved => words.plain(id!("book-moved")).to_owned(),
            BookNote::OthersMayLook { path, mode } => {
                say!(words, "book-others-look", path = at(path), mode = format!("{mode:03o}"))
            }
            BookNote::NewForm { form, copy } => {
                say!(words, "book-new-form", form = *form, path = at(copy))
            }
            BookNote::Clock { now, last } => say!(words, "book-clock", now = now, last = last),
            BookNote::Failed(said) => said.clone(),
        }
    }
}

impl fmt::Display for BookNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}
