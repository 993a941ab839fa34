//! Where the book lies, and how its verbs read an id and tell what they found.

use std::path::PathBuf;

use anyhow::{Context, bail};

use crate::cli::described::{Described, line};
use crate::cli::layers;
use crate::cli::output::say;
use crate::cli::progress::note;
use crate::logbook::{Book, NoVisitId, VisitId, Writer};
use crate::settings::book_folder;

/// The folder that was named, if any.
pub(in crate::cli) struct Place(pub(in crate::cli) Option<PathBuf>);

impl Place {
    /// The book's folder.
    pub(in crate::cli) fn folder(&self) -> anyhow::Result<PathBuf> {
        if let Some(folder) = &self.0 {
            return Ok(folder.clone());
        }
        book_folder(&layers::settings()?)
            .context("this system names no folder for data: give the book's with --book")
    }

    /// The book for reading; one that is not there is not made.
    pub(super) fn open(&self) -> anyhow::Result<Book> {
        let folder = self.there()?;
        let opened = Book::open(&folder)?;
        opened.notes.iter().for_each(|words| note(&words.to_string()));
        Ok(opened.book)
    }

    /// The book as it lies there, for a check: nothing is brought to a newer form, nothing is ended or cleared.
    pub(super) fn open_as_it_lies(&self) -> anyhow::Result<Book> {
        let opened = Book::open_as_it_lies(&self.there()?)?;
        opened.notes.iter().for_each(|words| note(&words.to_string()));
        Ok(opened.book)
    }

    /// The folder of a book that is there.
    pub(super) fn there(&self) -> anyhow::Result<PathBuf> {
        let folder = self.folder()?;
        let file = folder.join("book.sqlite").metadata();
        if file.as_ref().is_err_and(|e| e.kind() == std::io::ErrorKind::PermissionDenied) {
            bail!("{}: permission denied: this is another user's record book", folder.display());
        }
        if !file.is_ok_and(|file| file.is_file()) {
            bail!(
                "{}: there is no record book yet: the window makes one at its first visit; --book names another place",
                folder.display()
            );
        }
        Ok(folder)
    }

    /// The book for writing; one that is not there is not made.
    pub(super) fn write(&self) -> anyhow::Result<Writer> {
        self.there()?;
        self.write_or_make()
    }

    /// The book for writing, made where there is none.
    pub(super) fn write_or_make(&self) -> anyhow::Result<Writer> {
        let writer = Writer::open(&self.folder()?)?;
        writer.notes().iter().for_each(|words| note(&words.to_string()));
        Ok(writer)
    }
}

/// A person's code or a reason as it was typed: never empty.
pub(super) fn said(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("it may not be empty".into()) } else { Ok(text.to_owned()) }
}

/// A visit's id as it was typed.
pub(in crate::cli) fn id(text: &str) -> Result<VisitId, String> {
    text.trim().parse().map_err(|e: NoVisitId| e.to_string())
}

/// Lines of JSON, or else text. What was typed elsewhere cannot steer the terminal.
pub(super) fn tell<T: Described>(json: bool, value: &T, words: &str) -> anyhow::Result<()> {
    if json {
        return say(&line(value)?);
    }
    let steers = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
    };
    say(&words.replace(steers, " "))
}
