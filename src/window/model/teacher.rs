//! A teacher's lesson from its file, with what it names found: recordings beside it or in the record book, and a folder
//! of room sounds. Nothing outside the lesson's own folder and the book is touched.

use std::path::{Path, PathBuf};

use super::replay::recording_of;
use crate::clinical::doubts::deflation;
use crate::clinical::event::Made;
use crate::clinical::visit::{Visit, VisitFault};
use crate::live::room;
use crate::logbook::{Book, BookFault, VisitId};
use crate::practice::lesson::{Drill, Lesson, LessonFault};
use crate::practice::recording::{Confirmed, ConfirmedRecording, Whence, falling};
use crate::words::{Words, id, say};

use super::refused;

/// Why there is no lesson.
#[derive(Debug, thiserror::Error)]
pub enum NoLesson {
    /// See whether it is there, and who may read it.
    #[error("cannot read {}: {fault}", path.display())]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        fault: std::io::Error,
    },
    /// Mend the lesson's text.
    #[error(transparent)]
    MendTheText(#[from] LessonFault),
    /// Mend what one drill names.
    #[error("lesson `{lesson}`: drill {drill}: {fault}")]
    MendTheDrill {
        /// The lesson's file.
        lesson: String,
        /// The drill, from 1.
        drill: usize,
        /// What is wrong.
        fault: Box<NoLesson>,
    },
    /// Put it into the lesson's folder.
    #[error("{0} lies outside the lesson's folder")]
    MoveItInside(String),
    /// Mend or replace the room sounds.
    #[error("{0}")]
    MendTheRooms(String),
    /// Put sounds there.
    #[error("{} holds no WAV file", .0.display())]
    PutSoundsThere(PathBuf),
    /// Name the book.
    #[error("there is no record book to look in")]
    NameTheBook,
    /// Name a visit as the book does.
    #[error("`{0}` is no visit's name")]
    NameAVisit(String),
    /// See to the book.
    #[error(transparent)]
    SeeToTheBook(#[from] BookFault),
    /// Choose another visit: this one is not whole.
    #[error(transparent)]
    ChooseAnotherVisit(#[from] VisitFault),
    /// Choose another attempt.
    #[error("{0}")]
    ChooseAnotherAttempt(#[from] NoTruth),
}

/// What an attempt of the book lacks, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoTruth {
    /// It is not there, or does not stand.
    Attempt(u32),
    /// A kept reading with a tap.
    Reading(u32),
    /// A mark of an over-reader.
    Mark(u32),
    /// One recording of its own.
    Recording(u32),
}

impl NoTruth {
    fn said(self, words: Words) -> String {
        match self {
            NoTruth::Attempt(n) => say!(words, "lesson-no-attempt", attempt = n),
            NoTruth::Reading(n) => say!(words, "lesson-no-reading", attempt = n),
            NoTruth::Mark(n) => say!(words, "lesson-no-mark", attempt = n),
            NoTruth::Recording(n) => say!(words, "lesson-no-recording", attempt = n),
        }
    }
}

impl std::fmt::Display for NoTruth {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}

impl std::error::Error for NoTruth {}

impl NoLesson {
    /// In the words of a language. What is wrong within a file, and what the system said, stand in it in English.
    pub fn said(&self, words: Words) -> String {
        let at = |path: &Path| path.display().to_string();
        match self {
            NoLesson::CannotRead { path, fault } => {
                say!(words, "lesson-cannot-read", name = at(path), said = fault.to_string())
            }
            NoLesson::MendTheText(fault) => say!(words, "lesson-mend", said = fault.to_string()),
            NoLesson::MendTheDrill { lesson, drill, fault } => {
                let why = fault.said(words);
                say!(words, "lesson-drill", lesson = lesson, drill = *drill, why = why)
            }
            NoLesson::MoveItInside(name) => say!(words, "lesson-outside", name = name),
            NoLesson::MendTheRooms(said) => say!(words, "lesson-mend", said = said),
            NoLesson::PutSoundsThere(path) => say!(words, "lesson-no-sounds", path = at(path)),
            NoLesson::NameTheBook => words.plain(id!("lesson-no-book")).to_owned(),
            NoLesson::NameAVisit(name) => say!(words, "lesson-no-visit", name = name),
            NoLesson::SeeToTheBook(fault) => refused::book(words, fault),
            NoLesson::ChooseAnotherVisit(fault) => refused::visit(words, fault),
            NoLesson::ChooseAnotherAttempt(lacks) => lacks.said(words),
        }
    }
}

/// Reads a lesson; recordings of the book come from `book`, where there is one.
///
/// # Errors
/// What cannot be read, or is not there.
pub fn lesson(path: &Path, book: Option<&Path>) -> Result<Lesson, NoLesson> {
    let text = std::fs::read_to_string(path)
        .map_err(|fault| NoLesson::CannotRead { path: path.to_owned(), fault })?;
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let mut lesson = Lesson::parse(&name, &text)?;
    let folder = path.parent().filter(|p| *p != Path::new("")).unwrap_or(Path::new("."));
    for (place, drill) in lesson.drills.iter_mut().enumerate() {
        let Some(recording) = &mut drill.recording else { continue };
        find(recording, folder, book).map_err(|fault| NoLesson::MendTheDrill {
            lesson: name.clone().into_owned(),
            drill: place + 1,
            fault: Box::new(fault),
        })?;
    }
    if let Some(noise) = &lesson.noise_folder {
        lie_in(&mut lesson.drills, &beside(folder, noise)?)?;
    }
    Ok(lesson)
}

/// What lies in the lesson's folder under this name, wherever links lead.
fn beside(folder: &Path, name: &str) -> Result<PathBuf, NoLesson> {
    let real = |path: &Path| {
        path.canonicalize().map_err(|fault| NoLesson::CannotRead { path: path.to_owned(), fault })
    };
    let (folder, found) = (real(folder)?, real(&folder.join(name))?);
    match found.starts_with(&folder) {
        true => Ok(found),
        false => Err(NoLesson::MoveItInside(name.to_owned())),
    }
}

/// Each simulated patient lies in one of these rooms, in place of the noises made here.
fn lie_in(drills: &mut [Drill], folder: &Path) -> Result<(), NoLesson> {
    let rooms = room::sounds(folder).map_err(|fault| NoLesson::MendTheRooms(fault.to_string()))?;
    if rooms.is_empty() {
        return Err(NoLesson::PutSoundsThere(folder.to_owned()));
    }
    for drill in drills.iter_mut().filter(|drill| drill.recording.is_none()) {
        let room = &rooms[(drill.seed % rooms.len() as u64) as usize];
        drill.case.noise.clear();
        drill.case.recorded = vec![room.clone()];
    }
    Ok(())
}

fn find(
    recording: &mut ConfirmedRecording,
    folder: &Path,
    book: Option<&Path>,
) -> Result<(), NoLesson> {
    let file = match &recording.whence {
        Whence::Found(_) => return Ok(()),
        Whence::Beside(name) => beside(folder, name)?,
        Whence::Book { visit, attempt } => {
            let book = book.ok_or(NoLesson::NameTheBook)?;
            let (visit, attempt) = (visit.clone(), *attempt);
            from_book(recording, book, &visit, attempt)?
        }
    };
    recording.whence = Whence::Found(file);
    Ok(())
}

/// Takes truth and needle from the book, and gives the file.
fn from_book(
    recording: &mut ConfirmedRecording,
    book: &Path,
    visit: &str,
    number: u32,
) -> Result<PathBuf, NoLesson> {
    let id: VisitId = visit.parse().map_err(|_| NoLesson::NameAVisit(visit.to_owned()))?;
    let book = Book::open(book)?.book;
    let events = book.events(id)?;
    let recordings = book.recordings(id)?;
    let visit = Visit::read(&events)?;
    let attempt = visit.attempts.iter().find(|a| a.number == number && a.withdrawn.is_none());
    let attempt = attempt.ok_or(NoTruth::Attempt(number))?;
    let kept = attempt.reading().zip(attempt.tapped);
    let (reading, tapped) = kept.ok_or(NoTruth::Reading(number))?;
    let truth = match (recording.confirmed, attempt.mark) {
        (Confirmed::KeptTap, _) => tapped,
        (Confirmed::OverRead, Some((at, Made::Afterwards))) if at.epoch == tapped.epoch => at,
        (Confirmed::OverRead, _) => {
            return Err(NoTruth::Mark(number).into());
        }
    };
    recording.return_s = truth.seconds();
    recording.needle = deflation(attempt)
        .map(|fall| falling((tapped.seconds(), reading.as_f64()), fall))
        .unwrap_or_default();
    Ok(recording_of(&recordings, tapped.epoch).ok_or(NoTruth::Recording(number))?)
}
