//! A lesson under way, or over: the drill in hand and what was done.

use uuid::Uuid;

use super::drill::Drilling;
use super::heard_again::HeardAgain;
use super::kept_drill::KeptDrill;
use crate::clinical::guidance::GuidanceSet;
use crate::practice::cases::CaseKind;
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::level::HearingLevel;
use crate::practice::seal::TeacherLock;
use crate::practice::session::{Done, Session, Summary, summary, version_of};
use crate::practice::staircase::Staircase;
use crate::practice::whole::{self, Indexes};
use crate::window::now::Now;

/// A lesson as it was set, and where the answers of a sealed examination go.
pub(super) type SetLesson = (Lesson, Option<TeacherLock>);

/// A lesson under way, or over.
pub struct Running {
    /// As it was set.
    pub lesson: Lesson,
    /// The drill in hand.
    pub drill: Option<Drilling>,
    /// What was done.
    pub session: Session,
    /// The student's own level, where a lesson of the course follows it.
    pub level: Option<HearingLevel>,
    /// Where the noise stands, where it rises.
    pub stairs: Option<Staircase>,
    /// Where the answers of an examination go.
    pub lock: Option<TeacherLock>,
    /// Each drill that is over, to be heard again at the end.
    pub kept: Vec<Option<KeptDrill>>,
    /// The one that is heard again, and its number from 0.
    pub heard: Option<(usize, HeardAgain)>,
    /// The indexes of a whole visit, once it is over.
    pub indexes: Vec<Indexes>,
    /// Live sound: nothing of it is kept.
    pub live: bool,
    /// Over.
    pub over: bool,
}

impl Running {
    /// A lesson at its start.
    pub(super) fn of(lesson: Lesson, student: &str, now: Now) -> Self {
        let session = Session {
            v: version_of(&[]),
            id: Uuid::now_v7().to_string(),
            student: student.to_owned(),
            lesson: lesson.name.clone(),
            begun: format!("{:.0}", now.wall),
            examination: lesson.feedback == Feedback::Hidden,
            drills: Vec::new(),
            threshold: None,
        };
        let rises = lesson.drills.iter().any(|drill| drill.kind == CaseKind::RisingNoise);
        let stairs = rises.then(Staircase::default);
        Self {
            lesson,
            drill: None,
            session,
            level: None,
            stairs,
            lock: None,
            kept: Vec::new(),
            heard: None,
            indexes: Vec::new(),
            live: false,
            over: false,
        }
    }

    /// Takes what came of the drill in hand.
    pub fn take(&mut self, now: Now, set: Option<&GuidanceSet>) {
        let Some(outcome) = self.drill.as_ref().and_then(|drill| drill.outcome.as_ref()) else {
            return;
        };
        let mut done: Done = outcome.done.clone();
        if let (Some(level), Some(drill)) = (&mut self.level, &self.drill)
            && done.kind.has_return()
        {
            done.snr_db = Some(drill.set.case.snr_db);
            level.answer(drill.set.case.snr_db, done.passed());
        }
        if let Some(stairs) = &mut self.stairs {
            stairs.answer(done.passed());
            self.session.threshold = stairs.threshold();
        }
        let whole = done.kind == CaseKind::WholeVisit;
        self.kept.push(self.drill.as_ref().and_then(Drilling::kept));
        self.session.drills.push(done);
        self.session.v = version_of(&self.session.drills);
        if whole && self.session.drills.len() == self.lesson.drills.len() {
            let sets = set.cloned();
            self.indexes = whole::indexes(&self.session.drills, now.wall, sets.as_slice());
        }
    }

    /// What the lesson came to.
    pub fn summary(&self) -> Summary {
        summary(&self.session.drills)
    }

    /// Whether the drill's outcome may be told now.
    pub fn tells_now(&self) -> bool {
        self.lesson.feedback == Feedback::AtOnce
    }
}
