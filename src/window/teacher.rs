//! A teacher's lesson from its file, with what it names found: recordings beside it or in the record book, and a folder
//! of room sounds. Nothing outside the lesson's own folder and the book is touched.

use std::path::{Path, PathBuf};

use super::again::recording_of;
use crate::clinical::doubts::deflation;
use crate::clinical::event::Made;
use crate::clinical::visit::Visit;
use crate::live::room;
use crate::logbook::{Book, VisitId};
use crate::practice::lesson::{Drill, Lesson};
use crate::practice::recording::{Confirmed, Recording, Whence, falling};

/// Reads a lesson; recordings of the book come from `book`, where there is one.
///
/// # Errors
/// A sentence: what cannot be read, or is not there.
pub fn lesson(path: &Path, book: Option<&Path>) -> Result<Lesson, String> {
    let text = std::fs::read_to_string(path)
        .map_err(|e| format!("cannot read {}: {e}", path.display()))?;
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let mut lesson = Lesson::parse(&name, &text).map_err(|fault| fault.to_string())?;
    let folder = path.parent().filter(|p| *p != Path::new("")).unwrap_or(Path::new("."));
    for (place, drill) in lesson.drills.iter_mut().enumerate() {
        let Some(recording) = &mut drill.recording else { continue };
        find(recording, folder, book)
            .map_err(|why| format!("lesson `{name}`: drill {}: {why}", place + 1))?;
    }
    if let Some(noise) = &lesson.noise_folder {
        lie_in(&mut lesson.drills, &beside(folder, noise)?)?;
    }
    Ok(lesson)
}

/// What lies in the lesson's folder under this name, wherever links lead.
fn beside(folder: &Path, name: &str) -> Result<PathBuf, String> {
    let real = |path: &Path| {
        path.canonicalize().map_err(|e| format!("cannot read {}: {e}", path.display()))
    };
    let (folder, found) = (real(folder)?, real(&folder.join(name))?);
    match found.starts_with(&folder) {
        true => Ok(found),
        false => Err(format!("{name} lies outside the lesson's folder")),
    }
}

/// Each simulated patient lies in one of these rooms, in place of the noises made here.
fn lie_in(drills: &mut [Drill], folder: &Path) -> Result<(), String> {
    let rooms = room::sounds(folder)?;
    if rooms.is_empty() {
        return Err(format!("{} holds no WAV file", folder.display()));
    }
    for drill in drills.iter_mut().filter(|drill| drill.recording.is_none()) {
        let room = &rooms[(drill.seed % rooms.len() as u64) as usize];
        drill.case.noise.clear();
        drill.case.recorded = vec![room.clone()];
    }
    Ok(())
}

fn find(recording: &mut Recording, folder: &Path, book: Option<&Path>) -> Result<(), String> {
    let file = match &recording.whence {
        Whence::Found(_) => return Ok(()),
        Whence::Beside(name) => beside(folder, name)?,
        Whence::Book { visit, attempt } => {
            let book = book.ok_or("there is no record book to look in")?;
            let (visit, attempt) = (visit.clone(), *attempt);
            from_book(recording, book, &visit, attempt)?
        }
    };
    recording.whence = Whence::Found(file);
    Ok(())
}

/// Takes truth and needle from the book, and gives the file.
fn from_book(
    recording: &mut Recording,
    book: &Path,
    visit: &str,
    number: u32,
) -> Result<PathBuf, String> {
    let id: VisitId = visit.parse().map_err(|_| format!("`{visit}` is no visit's name"))?;
    let book = Book::open(book).map_err(|e| e.to_string())?.book;
    let events = book.events(id).map_err(|e| e.to_string())?;
    let recordings = book.recordings(id).map_err(|e| e.to_string())?;
    let visit = Visit::read(&events).map_err(|e| e.to_string())?;
    let attempt = visit.attempts.iter().find(|a| a.number == number && a.withdrawn.is_none());
    let attempt = attempt.ok_or(format!("the visit has no attempt {number} that stands"))?;
    let kept = attempt.reading().zip(attempt.tapped);
    let (reading, tapped) =
        kept.ok_or(format!("attempt {number} has no kept reading with a tap"))?;
    let truth = match (recording.confirmed, attempt.mark) {
        (Confirmed::KeptTap, _) => tapped,
        (Confirmed::OverRead, Some((at, Made::Afterwards))) if at.epoch == tapped.epoch => at,
        (Confirmed::OverRead, _) => {
            return Err(format!("attempt {number} has no mark of an over-reader"));
        }
    };
    recording.return_s = truth.seconds();
    recording.needle = deflation(attempt)
        .map(|fall| falling((tapped.seconds(), reading.as_f64()), fall))
        .unwrap_or_default();
    recording_of(&recordings, tapped.epoch)
        .ok_or(format!("the recording of attempt {number} is not there, or is not one alone"))
}
