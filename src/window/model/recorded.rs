//! The piece of a recording that a drill is heard from.

use std::path::Path;

use crate::live::Piece;
use crate::words::{Words, id, say};

/// Why no drill begins.
#[derive(Debug, thiserror::Error)]
pub enum NoDrill {
    /// The system gives no thread: another time.
    #[error("{0}")]
    TryAgain(#[from] std::io::Error),
    /// Find the recording that the lesson names.
    #[error("the recording was not searched for")]
    FindTheRecording,
    /// Mend or replace the recording.
    #[error("{0}")]
    MendTheRecording(String),
    /// Choose a lesson that has a drill.
    #[error("no drill")]
    ChooseAnother,
}

impl NoDrill {
    /// In the words of a language; what the system said stands in it in English.
    pub fn said(&self, words: Words) -> String {
        match self {
            NoDrill::TryAgain(fault) => say!(words, "sound-cannot-open", said = fault.to_string()),
            NoDrill::FindTheRecording => words.plain(id!("lesson-not-found")).to_owned(),
            NoDrill::MendTheRecording(said) => say!(words, "fault-no-recording", said = said),
            NoDrill::ChooseAnother => words.plain(id!("lesson-no-drill")).to_owned(),
        }
    }
}

/// Reads the piece around a return.
#[cfg(feature = "bedside")]
pub(super) fn read(file: &Path, return_s: f64) -> Result<Piece, NoDrill> {
    Piece::read(file, return_s).map_err(|fault| NoDrill::MendTheRecording(fault.to_string()))
}

/// A page in a browser reads no files by their paths.
#[cfg(not(feature = "bedside"))]
pub(super) fn read(_: &Path, _: f64) -> Result<Piece, NoDrill> {
    Err(NoDrill::FindTheRecording)
}
