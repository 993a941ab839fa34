//! Where backups of a book were put, so that a later deletion can name them.

use std::io::Write;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::book::Book;
use super::page;
use crate::clinical::moment::Moment;

/// Where it is written down which backups were made of a book.
const MADE: &str = "backups.jsonl";

/// A backup that was made of this book and may still lie where it was put.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Copy {
    /// When.
    pub at: Moment,
    /// Where.
    pub file: PathBuf,
    /// True where it is encrypted.
    pub encrypted: bool,
}

impl Book {
    /// Writes down where a backup lies, so that a later deletion can name it; a sentence where that fails.
    pub(super) fn write_down(&self, target: &Path, encrypted: bool) -> Option<String> {
        let file = std::path::absolute(target).unwrap_or_else(|_| target.to_owned());
        let copy = Copy { at: page::now(), file, encrypted };
        let line = serde_json::to_string(&copy).ok()? + "\n";
        let mut options = crate::files::private();
        let made = options.create(true).append(true).open(self.folder().join(MADE));
        let done = made
            .and_then(|mut made| made.write_all(line.as_bytes()).and_then(|()| made.sync_all()));
        done.err().map(|e| format!("this backup could not be written down in the book's folder ({e}): a later deletion will not name it"))
    }

    /// The backups that were made of this book and may still hold what was deleted since.
    pub fn copies(&self) -> Vec<Copy> {
        let text = std::fs::read_to_string(self.folder().join(MADE)).unwrap_or_default();
        text.lines().filter_map(|line| serde_json::from_str(line).ok()).collect()
    }
}
