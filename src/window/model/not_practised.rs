//! Why practice does not go on.

use super::drill::Missing;
use super::given::FileRefused;
use super::kept_class::{NotStored, class_fault};
use super::recorded::NoDrill;
use crate::practice::class::ClassFault;
use crate::practice::examination::NotSet;
use crate::practice::seal::NotOpened;
use crate::words::{Words, id, say};

/// Why practice does not go on.
#[derive(Debug)]
pub enum NotPractised {
    /// Type a seed.
    TypeASeed(String),
    /// Type the student's code.
    TypeACode,
    /// Begin a lesson.
    BeginALesson,
    /// Mend or replace the teacher's lesson.
    #[cfg(feature = "bedside")]
    MendTheLesson(super::teacher::NoLesson),
    /// See why the drill does not begin.
    NoDrill(NoDrill),
    /// Do what is missing.
    DoFirst(Missing),
    /// See why it is not kept.
    NotStored(NotStored),
    /// See to the seal.
    SeeToTheSeal(NotOpened),
    /// See to the examination's file.
    SeeToTheExamination(NotSet),
    /// Write it down elsewhere: JSON cannot hold it.
    NoText(serde_json::Error),
    /// Give another file.
    GiveAnother(FileRefused),
    /// Give the teacher's lesson.
    GiveALesson,
    /// Take the program for such a lesson: a page reads no other file.
    #[cfg(not(feature = "bedside"))]
    NothingBeside,
    /// Mend the lesson's text.
    #[cfg(not(feature = "bedside"))]
    MendTheText(crate::practice::lesson::LessonFault),
    /// Mend a class file.
    MendTheClass {
        /// The file.
        name: String,
        /// What is wrong with it.
        fault: ClassFault,
    },
}

macro_rules! from {
    ($($fault:ty => $variant:ident),*) => { $(impl From<$fault> for NotPractised {
        fn from(fault: $fault) -> Self {
            Self::$variant(fault)
        }
    })* };
}
from!(NoDrill => NoDrill, Missing => DoFirst, NotStored => NotStored, NotOpened => SeeToTheSeal,
      NotSet => SeeToTheExamination, serde_json::Error => NoText, FileRefused => GiveAnother);
#[cfg(feature = "bedside")]
from!(super::teacher::NoLesson => MendTheLesson);
#[cfg(not(feature = "bedside"))]
from!(crate::practice::lesson::LessonFault => MendTheText);

impl NotPractised {
    /// In the words of a language. What is wrong within a file, and what a system said, stand in it in English.
    pub fn said(&self, words: Words) -> String {
        let id = match self {
            NotPractised::TypeASeed(typed) => return say!(words, "lesson-no-seed", typed = typed),
            NotPractised::TypeACode => id!("lesson-no-code"),
            NotPractised::BeginALesson => id!("lesson-none"),
            #[cfg(feature = "bedside")]
            NotPractised::MendTheLesson(fault) => return fault.said(words),
            NotPractised::NoDrill(fault) => return fault.said(words),
            NotPractised::DoFirst(missing) => return missing.said(words).to_owned(),
            NotPractised::NotStored(fault) => return fault.said(words),
            NotPractised::SeeToTheSeal(fault) => return fault.said(words),
            NotPractised::SeeToTheExamination(fault) => return fault.said(words),
            NotPractised::NoText(fault) => return fault.to_string(),
            NotPractised::GiveAnother(fault) => return fault.said(words),
            NotPractised::GiveALesson => id!("lesson-give-one"),
            #[cfg(not(feature = "bedside"))]
            NotPractised::NothingBeside => id!("lesson-nothing-beside"),
            #[cfg(not(feature = "bedside"))]
            NotPractised::MendTheText(fault) => {
                return say!(words, "lesson-mend", said = fault.to_string());
            }
            NotPractised::MendTheClass { name, fault } => return class_fault(words, name, fault),
        };
        words.plain(id).to_owned()
    }
}
