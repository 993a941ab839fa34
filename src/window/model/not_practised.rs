//! Why practice does not go on.

use super::drill::Missing;
use super::given::FileRefused;
use super::kept_class::NotStored;
use super::recorded::NoDrill;
use crate::practice::class::ClassFault;
use crate::practice::examination::NotSet;
use crate::practice::seal::NotOpened;

/// Why practice does not go on.
#[derive(Debug, thiserror::Error)]
pub enum NotPractised {
    /// Type a seed.
    #[error("`{0}` is no seed: a whole number")]
    TypeASeed(String),
    /// Type the student's code.
    #[error("type a code for the student first: no name is needed")]
    TypeACode,
    /// Begin a lesson.
    #[error("there is no lesson")]
    BeginALesson,
    /// Mend or replace the teacher's lesson.
    #[error(transparent)]
    #[cfg(feature = "bedside")]
    MendTheLesson(#[from] super::teacher::NoLesson),
    /// See why the drill does not begin.
    #[error(transparent)]
    NoDrill(#[from] NoDrill),
    /// Do what is missing.
    #[error(transparent)]
    DoFirst(#[from] Missing),
    /// See why it is not kept.
    #[error(transparent)]
    NotStored(#[from] NotStored),
    /// See to the seal.
    #[error(transparent)]
    SeeToTheSeal(#[from] NotOpened),
    /// See to the examination's file.
    #[error(transparent)]
    SeeToTheExamination(#[from] NotSet),
    /// Write it down elsewhere: JSON cannot hold it.
    #[error("{0}")]
    NoText(#[from] serde_json::Error),
    /// Give another file.
    #[error(transparent)]
    GiveAnother(#[from] FileRefused),
    /// Give the teacher's lesson.
    #[error("give the teacher's lesson first: name its path, open it or drop it here")]
    GiveALesson,
    /// Take the program for such a lesson: a page reads no other file.
    #[error("this lesson names recordings or room sounds: a page reads no file but its own")]
    #[cfg(not(feature = "bedside"))]
    NothingBeside,
    /// Mend the lesson's text.
    #[error(transparent)]
    #[cfg(not(feature = "bedside"))]
    MendTheText(#[from] crate::practice::lesson::LessonFault),
    /// Mend a class file.
    #[error("{name}, {fault}")]
    MendTheClass {
        /// The file.
        name: String,
        /// What is wrong with it.
        fault: ClassFault,
    },
}
