//! Where what was practised is kept: the class file, and pages that are given out. In a folder here; a browser brings its
//! own place.

use std::path::PathBuf;

use crate::practice::class::{Class, ClassFault};
use crate::words::{Spoken, Words, say};

#[cfg(feature = "bedside")]
use crate::files;

/// Why what was practised is not kept, or cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum NotStored {
    /// Mend the class file: a line of it is no session.
    #[error("{}, {fault}", path.display())]
    MendTheClass {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        fault: ClassFault,
    },
    /// The class cannot be written down.
    #[error("{0}")]
    NoClassText(#[from] serde_json::Error),
    /// See who may read there.
    #[error("cannot read {}: {fault}", path.display())]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        fault: std::io::Error,
    },
    /// See who may write there.
    #[error("cannot write {}: {fault}", path.display())]
    CannotWrite {
        /// The file.
        path: PathBuf,
        /// What the system said.
        fault: std::io::Error,
    },
    /// Save the class file now: the browser keeps nothing.
    #[error("this browser keeps nothing ({0}): save the class file before you close the page")]
    SaveItNow(String),
}

impl NotStored {
    /// In the words of a language; what the system said, and what is wrong in a line, stand in it in English.
    pub fn said(&self, words: Words) -> String {
        let at = |path: &std::path::Path| path.display().to_string();
        match self {
            NotStored::MendTheClass { path, fault } => class_fault(words, &at(path), fault),
            NotStored::NoClassText(fault) => fault.to_string(),
            NotStored::CannotRead { path, fault } => {
                say!(words, "lesson-cannot-read", name = at(path), said = fault.to_string())
            }
            NotStored::CannotWrite { path, fault } => {
                say!(words, "lesson-cannot-write", name = at(path), said = fault.to_string())
            }
            NotStored::SaveItNow(said) => say!(words, "lesson-save-now", said = said),
        }
    }
}

/// What is wrong with a class file, and in which line.
pub(super) fn class_fault(words: Words, name: &str, fault: &ClassFault) -> String {
    say!(words, "class-line", name = name, line = fault.line, said = fault.why)
}

/// A place for the class file and for pages.
pub trait ClassPlace {
    /// The class file's path or name.
    fn file(&self) -> PathBuf;
    /// The class file's text; none where there is no file yet.
    ///
    /// # Errors
    /// It cannot be read.
    fn text(&self) -> Result<Option<String>, NotStored>;
    /// Replaces the class file.
    ///
    /// # Errors
    /// It cannot be written.
    fn keep(&self, text: &str) -> Result<(), NotStored>;
    /// Gives out a page or file of this name; says where it is.
    ///
    /// # Errors
    /// It cannot be written.
    fn give(&self, name: &str, bytes: &[u8]) -> Result<Spoken, NotStored>;
}

/// The class as it is kept there.
///
/// # Errors
/// It cannot be read, or a line of it is no session.
pub fn class_in(place: &dyn ClassPlace) -> Result<Class, NotStored> {
    let Some(text) = place.text()? else { return Ok(Class::default()) };
    Class::parse(&text).map_err(|fault| NotStored::MendTheClass { path: place.file(), fault })
}

/// A folder of the computer, for its owner alone.
#[cfg(feature = "bedside")]
pub struct ClassFolder(pub PathBuf);

#[cfg(feature = "bedside")]
impl ClassFolder {
    fn write(&self, path: PathBuf, bytes: &[u8]) -> Result<PathBuf, NotStored> {
        let made = files::private_folder(&self.0);
        match made.and_then(|()| files::write_atomic(&path, bytes)) {
            Ok(()) => Ok(path),
            Err(fault) => Err(NotStored::CannotWrite { path, fault }),
        }
    }
}

#[cfg(feature = "bedside")]
impl ClassPlace for ClassFolder {
    fn file(&self) -> PathBuf {
        self.0.join("class.jsonl")
    }

    fn text(&self) -> Result<Option<String>, NotStored> {
        let path = self.file();
        match std::fs::read_to_string(&path) {
            Ok(text) => Ok(Some(text)),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(fault) => Err(NotStored::CannotRead { path, fault }),
        }
    }

    fn keep(&self, text: &str) -> Result<(), NotStored> {
        self.write(self.file(), text.as_bytes()).map(drop)
    }

    fn give(&self, name: &str, bytes: &[u8]) -> Result<Spoken, NotStored> {
        let path = self.write(self.0.join(name), bytes)?.display().to_string();
        Ok(Spoken::of(move |_| path.clone()))
    }
}
