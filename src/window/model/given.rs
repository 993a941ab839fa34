//! A file that is given to practice: dropped on it, opened by a button, or named by a path.

use std::path::PathBuf;
use std::sync::Arc;

use crate::live::MOST_BYTES;
use crate::words::{Words, say};

/// A file that was given.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenFile {
    /// Its name.
    pub name: String,
    /// Where it lies, where that is known.
    pub path: Option<PathBuf>,
    /// What is in it, where that was read already.
    pub bytes: Option<Arc<[u8]>>,
}

impl GivenFile {
    /// The file of this path.
    pub fn at(path: PathBuf) -> Self {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        Self { name, path: Some(path), bytes: None }
    }

    /// What is in it.
    ///
    /// # Errors
    /// It cannot be read, or is too large to be anything of ours.
    pub fn read(&self) -> Result<Arc<[u8]>, FileRefused> {
        if let Some(bytes) = &self.bytes {
            return Ok(bytes.clone());
        }
        let path = self.path.clone().unwrap_or_default();
        let failed = |fault| FileRefused::CannotRead { name: self.name.clone(), fault };
        let long = std::fs::metadata(&path).map_err(failed)?.len();
        if long > MOST_BYTES {
            return Err(FileRefused::GiveASmaller(self.name.clone()));
        }
        Ok(std::fs::read(&path).map_err(failed)?.into())
    }

    /// Whether its name ends so.
    pub fn ends_in(&self, ending: &str) -> bool {
        self.name.to_ascii_lowercase().ends_with(ending)
    }
}

/// Why a file that was given is not taken.
#[derive(Debug, thiserror::Error)]
pub enum FileRefused {
    /// See whether it is there.
    #[error("cannot read {name}: {fault}")]
    CannotRead {
        /// The file.
        name: String,
        /// What the system said.
        fault: std::io::Error,
    },
    /// Give a smaller one.
    #[error("too large: {0}; give a file of 64 MB or less")]
    GiveASmaller(String),
    /// Give something that practice knows.
    #[error("no sound (.wav), lesson (.toml), examination (.exam) or class file (.jsonl): {0}")]
    GiveAnother(String),
}

impl FileRefused {
    /// In the words of a language; what the system said stands in it in English.
    pub fn said(&self, words: Words) -> String {
        match self {
            FileRefused::CannotRead { name, fault } => {
                say!(words, "lesson-cannot-read", name = name, said = fault.to_string())
            }
            FileRefused::GiveASmaller(name) => say!(words, "lesson-too-large", name = name),
            FileRefused::GiveAnother(name) => say!(words, "lesson-give-another", name = name),
        }
    }
}
