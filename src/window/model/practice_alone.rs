//! Practice as a page for browsers has it: a teacher's file is given to the page, and names nothing beside it.

use super::not_practised::NotPractised;
use super::practice::Practice;
use super::running::SetLesson;
use crate::practice::examination::SealedExamination;
use crate::practice::lesson::Lesson;

impl Practice {
    /// The teacher's lesson that was given: sealed, or plain.
    pub(super) fn teachers(&self) -> Result<SetLesson, NotPractised> {
        let (name, text) = self.teachers_text()?;
        if SealedExamination::is_one(&text) {
            let sealed = SealedExamination::parse(&text)?;
            return Ok((sealed.open(&self.code)?, Some(sealed.lock)));
        }
        let lesson = Lesson::parse(&name, &text)?;
        let beside = lesson.noise_folder.is_some()
            || lesson.drills.iter().any(|drill| drill.recording.is_some());
        if beside {
            return Err(NotPractised::NothingBeside);
        }
        Ok((lesson, None))
    }

    /// Name and text of the teacher's file.
    pub(super) fn teachers_text(&self) -> Result<(String, String), NotPractised> {
        self.given.clone().ok_or(NotPractised::GiveALesson)
    }
}
