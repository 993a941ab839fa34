//! Examinations in practice: set and sealed by the teacher, begun with an opening code, and given out sealed.

use uuid::Uuid;

use super::kept_class::class_in;
use super::not_practised::NotPractised;
use super::practice::{Practice, SEEDS};
use super::running::SetLesson;
use crate::practice::examination::{ENDING, SealedExamination};
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::seal::{TeacherLock, opening_code};
use crate::practice::sealed_session::SealedSession;
use crate::words::{Spoken, say};

/// So often a seed is drawn anew.
const ANEW: u32 = 50;
/// Drills of a lesson that is drawn to see whether it was done before.
const MOST_DRILLS: u32 = 60;

impl Practice {
    /// A seed for an examination, drawn now. Its cases are of a stock that nobody practises on; nor may one stand in an
    /// examination of the class file that was opened.
    pub(super) fn unpractised(&self) -> u64 {
        let class = class_in(&*self.place).unwrap_or_default();
        let done: Vec<u64> =
            class.sessions().flat_map(|s| s.drills.iter().map(|done| done.seed)).collect();
        let drawn = || Uuid::now_v7().as_u64_pair().1 % SEEDS;
        let lesson = |seed| Lesson::of(self.kind, MOST_DRILLS, seed, Feedback::Hidden);
        let fresh =
            |seed: &u64| lesson(*seed).drills.iter().all(|drill| !done.contains(&drill.seed));
        (0..ANEW).map(|_| drawn()).find(fresh).unwrap_or_else(drawn)
    }

    /// The lock of a lesson that is an examination: that of its own file, or a new one by the teacher's word.
    pub(super) fn lock(
        &mut self,
        (lesson, lock): &SetLesson,
    ) -> Result<Option<TeacherLock>, NotPractised> {
        if lesson.feedback != Feedback::Hidden {
            return Ok(None);
        }
        if lock.is_some() {
            return Ok(lock.clone());
        }
        // The field is shown from now on, also beside a lesson that the teacher's file calls an examination.
        self.asks_word = true;
        let lock = TeacherLock::new(&self.word)?;
        self.word.clear();
        Ok(Some(lock))
    }

    /// Seals the teacher's lesson as an examination; says its code and where it is.
    pub(super) fn seal(&mut self) -> Result<(), NotPractised> {
        let (name, text) = self.teachers_text()?;
        let code = opening_code();
        self.asks_word = true;
        let seed = self.unpractised();
        let (set, lesson) = SealedExamination::set(&name, &text, seed, (&code, &self.word))?;
        self.word.clear();
        let file = format!("{}.{ENDING}", plain_name(&name));
        let path = self.place.give(&file, set.text()?.as_bytes())?;
        let drills = lesson.drills.len();
        self.said = Some(Spoken::of(move |w| {
            say!(w, "exam-sealed", drills = drills, path = path.said(w), code = code)
        }));
        Ok(())
    }

    /// An examination in hand, sealed, as it is written down.
    pub(super) fn sealed(&self) -> Result<Option<SealedSession>, NotPractised> {
        let running = self.running.as_ref();
        let locked = running.and_then(|running| Some((running, running.lock.as_ref()?)));
        Ok(locked.map(|(running, lock)| SealedSession::of(&running.session, lock)).transpose()?)
    }
}

/// A file's name without its ending, of letters that every system takes.
fn plain_name(name: &str) -> String {
    let stem = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = stem.strip_suffix(".toml").unwrap_or(stem);
    let plain: String =
        stem.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).collect();
    if plain.is_empty() { "examination".into() } else { plain }
}
