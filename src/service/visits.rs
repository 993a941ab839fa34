//! Visits out of record books, one after the other: those that cannot be read are named, and hide no other.

use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};

use super::said::note;
use crate::clinical::event::Event;
use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::result::VisitResult;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::logbook::{Book, VisitId};

/// A visit, worked out with the guidance that it was shown with.
pub(super) struct Worked {
    pub(super) events: Vec<Event>,
    pub(super) visit: Visit,
    pub(super) result: VisitResult,
    pub(super) sets: Vec<GuidanceSet>,
}

/// Opens a book for reading, as any number of programs may while another one writes; it is never changed.
///
/// # Errors
/// There is none in the folder, or it cannot be read.
pub(super) fn open(folder: &Path) -> anyhow::Result<Book> {
    ensure!(
        folder.join("book.sqlite").is_file(),
        "{}: there is no record book in it: name the folder of one with --book",
        folder.display()
    );
    let opened = Book::open_as_it_lies(folder)?;
    opened.notes.iter().for_each(|words| note(&words.to_string()));
    Ok(opened.book)
}

/// One visit of a book.
///
/// # Errors
/// It is damaged, or a newer program wrote it.
pub(super) fn read(book: &Book, id: VisitId) -> anyhow::Result<Worked> {
    let events = book.events(id)?;
    let visit = Visit::read(&events).with_context(|| format!("visit {id}"))?;
    let sets = match visit.shown.last().map(guidance::shown_with) {
        Some(Some(sets)) => sets,
        _ => usual()?,
    };
    let result = work_out(&visit, &sets, Assumed::default());
    Ok(Worked { events, visit, result, sets })
}

/// The guidance where a visit was shown with none.
fn usual() -> anyhow::Result<Vec<GuidanceSet>> {
    Ok(vec![guidance::shipped(guidance::DEFAULT).context("the usual guidance")??])
}

/// The folders that were named, each once.
pub(super) fn folders(named: &[PathBuf]) -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = Vec::new();
    for folder in named {
        let real = folder.canonicalize().unwrap_or_else(|_| folder.clone());
        if !all.contains(&real) {
            all.push(real);
        }
    }
    all
}
