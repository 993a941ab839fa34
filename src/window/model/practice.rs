//! Practice in the window: a lesson chosen, drill after drill, and what is kept of it in the class file.

use std::path::PathBuf;
use std::rc::Rc;

use uuid::Uuid;

use super::action::{HearAct, PractiseAct, Work};
use super::answers::Measure;
use super::drill::{Drilling, Missing, NoDrill};
use super::heard_again::HeardAgain;
use super::kept_class::{ClassPlace, NotStored, class_in};
use super::listen_first::ListenFirst;
use super::loud::{Loud, Loudspeaker};
use super::running::Running;
use crate::clinical::guidance::GuidanceSet;
use crate::practice::cases::CaseKind;
use crate::practice::course::CourseState;
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::page::{class_page, session_page};
use crate::practice::session::{Summary, learning_curve};
use crate::practice::staircase::Staircase;
use crate::window::ear::Drive;
use crate::window::now::Now;
use crate::window::sentence::sentence;

/// Drills in a lesson that no teacher set, and those offered.
pub const COUNTS: [u32; 4] = [3, 6, 12, 24];
/// The valve when it is first opened from shut, and what an arrow turns it by after that.
const FIRST_OPEN: f64 = 0.20;
const TURN: f64 = 0.01;
/// Drills in a stretch of the learning curve.
const STRETCH: usize = 10;
/// Examinations are drawn from so many seeds: a number that can be read out. So often one is drawn anew.
const SEEDS: u64 = 1_000_000;
const ANEW: u32 = 50;
/// A staircase that finds no end is ended, drills.
const MOST_TRIALS: usize = 60;

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
}

/// What keys mean in practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PracticeStage {
    /// The guided hour: no test in it.
    Listening,
    /// A drill runs.
    Drill,
    /// What came of it is told, and can be heard again.
    Told,
    /// The lesson is over.
    Over,
}

/// What practice asks of the rest of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// Nothing.
    Nothing,
    /// The sound that was chosen, for two ears: [`Practice::begin_live`].
    LiveSound,
}

/// The state of practice.
pub struct Practice {
    /// The student's code.
    pub student: String,
    /// What is practised.
    pub kind: CaseKind,
    /// When it is told how it went.
    pub feedback: Feedback,
    /// How many drills.
    pub count: u32,
    /// The lesson's seed, as typed.
    pub seed: String,
    /// Two listen.
    pub two_ears: bool,
    /// The path of a teacher's lesson.
    pub file: String,
    /// The lesson in hand.
    pub running: Option<Running>,
    /// The guided hour in hand.
    pub listen: Option<ListenFirst>,
    /// Where this student stands in the course, by the class file.
    pub course: Option<CourseState>,
    /// This student's stretches of drills, oldest first, by the class file.
    pub curve: Vec<Summary>,
    /// What was just said.
    pub said: Option<String>,
    pub(super) place: Rc<dyn ClassPlace>,
    pub(super) drive: Drive,
    speaker: Option<Loudspeaker>,
}

/// What practice borrows from the rest of the window.
pub struct Around<'a> {
    /// The guidance in use.
    pub set: Option<&'a GuidanceSet>,
    /// The output that was chosen; the usual one where none is named.
    pub output: Option<String>,
}

impl Practice {
    /// Practice that keeps its class file there, and is played on `speaker` where there is one.
    pub fn at(place: Rc<dyn ClassPlace>, drive: Drive, speaker: Option<Loudspeaker>) -> Self {
        Self {
            student: String::new(),
            kind: CaseKind::FirstReturn,
            feedback: Feedback::AtOnce,
            count: COUNTS[1],
            seed: "1".into(),
            two_ears: false,
            file: String::new(),
            running: None,
            listen: None,
            course: None,
            curve: Vec::new(),
            said: None,
            place,
            drive,
            speaker,
        }
    }

    /// Where the class file lies.
    pub fn class_file(&self) -> PathBuf {
        self.place.file()
    }

    /// The drill in hand.
    pub fn drill(&mut self) -> Option<&mut Drilling> {
        self.running.as_mut()?.drill.as_mut()
    }

    /// What keys mean here; none where practice has none.
    pub fn stage(&self) -> Option<PracticeStage> {
        if self.listen.is_some() {
            return Some(PracticeStage::Listening);
        }
        let running = self.running.as_ref()?;
        Some(match &running.drill {
            Some(drill) if drill.outcome.is_none() => PracticeStage::Drill,
            Some(_) => PracticeStage::Told,
            None => PracticeStage::Over,
        })
    }

    fn loud(&self, around: &Around<'_>) -> Loud {
        let (speaker, output) = (self.speaker.clone(), around.output.clone());
        Loud { drive: self.drive, speaker, output }
    }

    /// The sound that is heard again.
    fn heard(&mut self) -> Option<&mut HeardAgain> {
        match &mut self.listen {
            Some(listen) => listen.heard.as_mut(),
            None => self.running.as_mut()?.drill.as_mut()?.heard.as_mut(),
        }
    }

    /// Whether sound is being made.
    pub fn sounds(&self) -> bool {
        let drill = self.running.as_ref().and_then(|r| r.drill.as_ref());
        let listened = self.listen.as_ref().and_then(|listen| listen.heard.as_ref());
        let heard = listened.or(drill.and_then(|drill| drill.heard.as_ref()));
        drill.is_some_and(Drilling::sounds) || heard.is_some_and(HeardAgain::plays)
    }

    fn begin_course(&mut self, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        self.look_up();
        let state = self.course.clone().ok_or(NotPractised::TypeACode)?;
        // A day's lesson is drawn anew each time, and kept by its seed.
        let lesson = state.lesson(Uuid::now_v7().as_u64_pair().1 % SEEDS);
        self.begin(lesson, around, now)?;
        if let Some(running) = &mut self.running {
            running.level = Some(state.level);
        }
        Ok(())
    }

    /// Looks the student's stretches up, and where the course stands.
    fn look_up(&mut self) {
        let class = class_in(&*self.place).unwrap_or_default();
        let student = self.student.trim();
        let own = class.sessions().filter(|session| session.student == student);
        let now = crate::units::wall_clock();
        self.course = (!student.is_empty()).then(|| CourseState::of(own, now));
        let drills = class.drills_of(student);
        self.curve = learning_curve(&drills, STRETCH);
    }

    /// Lets time pass.
    pub fn tick(&mut self, around: &Around<'_>, now: Now) {
        self.heard().into_iter().for_each(|heard| heard.tick(now));
        let Some(running) = &mut self.running else { return };
        let measure = Measure { arm_mmhg: running.lesson.arm_mmhg, set: around.set };
        let came = running.drill.as_mut().is_some_and(|drill| drill.tick(now, &measure));
        if came && !running.live {
            running.take(now, around.set);
            if running.tells_now() {
                running.drill.iter_mut().for_each(Drilling::hear_again);
            }
            if let Err(fault) = self.keep() {
                self.said = Some(sentence(&fault.to_string()));
            }
        }
    }

    /// Applies one act.
    pub fn apply(&mut self, act: PractiseAct, around: &Around<'_>, now: Now) -> Asks {
        self.said = None;
        self.done(act, around, now).unwrap_or_else(|fault| {
            self.said = Some(sentence(&fault.to_string()));
            Asks::Nothing
        })
    }

    fn done(
        &mut self,
        act: PractiseAct,
        around: &Around<'_>,
        now: Now,
    ) -> Result<Asks, NotPractised> {
        match act {
            PractiseAct::Student(code) => {
                self.student = code;
                self.look_up();
            }
            PractiseAct::Kind(kind) => self.kind = kind,
            PractiseAct::Feedback(feedback) => {
                if feedback == Feedback::Hidden && self.feedback != feedback {
                    self.seed = self.unpractised().to_string();
                }
                self.feedback = feedback;
            }
            PractiseAct::Count(count) => self.count = count,
            PractiseAct::Seed(seed) => self.seed = seed,
            PractiseAct::TwoEars(two) => self.two_ears = two,
            PractiseAct::File(path) => self.file = path,
            PractiseAct::Begin => self.begin(self.chosen()?, around, now)?,
            #[cfg(feature = "bedside")]
            PractiseAct::BeginFile => self.begin(self.teachers()?, around, now)?,
            #[cfg(not(feature = "bedside"))]
            PractiseAct::BeginFile => {}
            PractiseAct::BeginCourse => self.begin_course(around, now)?,
            PractiseAct::BeginLive => return Ok(Asks::LiveSound),
            PractiseAct::Enter if self.told_live() => return Ok(Asks::LiveSound),
            PractiseAct::Enter => self.enter(around, now)?,
            PractiseAct::Work(work) => self.work(work, now),
            PractiseAct::Hush => {
                self.hear(HearAct::Stop, around, now);
                self.drill().into_iter().for_each(Drilling::hush);
            }
            PractiseAct::ListenFirst => self.listen = Some(ListenFirst::begin()),
            PractiseAct::Listen(act) => {
                if self.listen.as_mut().is_some_and(|listen| listen.apply(act, now)) {
                    self.listen = None;
                }
            }
            PractiseAct::Hear(act) => self.hear(act, around, now),
            PractiseAct::ClassPage => {
                let said = self.write_class_page();
                self.said = Some(said.unwrap_or_else(|fault| fault.to_string()));
            }
            PractiseAct::ClassFile => {
                let said = self.give_class();
                self.said = Some(said.unwrap_or_else(|fault| fault.to_string()));
            }
            PractiseAct::End => self.end(now),
        }
        Ok(Asks::Nothing)
    }

    /// A seed for an examination, drawn now, of which nobody in the class file has practised a case.
    fn unpractised(&self) -> u64 {
        let class = class_in(&*self.place).unwrap_or_default();
        let done: Vec<u64> =
            class.sessions().flat_map(|s| s.drills.iter().map(|done| done.seed)).collect();
        let drawn = || Uuid::now_v7().as_u64_pair().1 % SEEDS;
        let lesson = |seed| Lesson::of(self.kind, MOST_TRIALS as u32, seed, Feedback::Hidden);
        let fresh =
            |seed: &u64| lesson(*seed).drills.iter().all(|drill| !done.contains(&drill.seed));
        (0..ANEW).map(|_| drawn()).find(fresh).unwrap_or_else(drawn)
    }

    fn hear(&mut self, act: HearAct, around: &Around<'_>, now: Now) {
        let loud = self.loud(around);
        self.heard().into_iter().for_each(|heard| heard.apply(act, &loud, now));
    }

    /// What came of live sound was told: another deflation begins where the sound is.
    fn told_live(&self) -> bool {
        let drill = self.running.as_ref().and_then(|running| running.drill.as_ref());
        drill.is_some_and(|drill| drill.is_live() && drill.outcome.is_some())
    }

    fn chosen(&self) -> Result<Lesson, NotPractised> {
        let seed = self.seed.trim();
        let seed = seed.parse().map_err(|_| NotPractised::TypeASeed(seed.to_owned()))?;
        let count =
            if self.kind == CaseKind::RisingNoise { MOST_TRIALS as u32 } else { self.count };
        Ok(Lesson::of(self.kind, count, seed, self.feedback))
    }

    fn begin(&mut self, lesson: Lesson, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        let student = self.student.trim().to_owned();
        if student.is_empty() {
            return Err(NotPractised::TypeACode);
        }
        self.running = Some(Running::of(lesson, &student, now));
        self.next(around, now)
    }

    /// The next drill, or the end.
    fn next(&mut self, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        let (two_ears, loud) = (self.two_ears, self.loud(around));
        let Some(running) = &mut self.running else { return Ok(()) };
        if let Some(mut drill) = running.drill.take() {
            drill.heard.iter_mut().for_each(|heard| heard.stop(now));
            drill.close(now.wall.utc());
        }
        let settled = running.stairs.as_ref().is_some_and(Staircase::done);
        let number = running.session.drills.len();
        let Some(set) = running.lesson.drills.get(number).filter(|_| !settled) else {
            self.end(now);
            return Ok(());
        };
        let mut set = set.clone();
        if let (Some(stairs), CaseKind::RisingNoise) = (&running.stairs, set.kind) {
            set.case.snr_db = stairs.snr_db();
        }
        if let Some(level) = running.level.as_ref().filter(|_| set.kind.has_return()) {
            set.case.snr_db = level.next_db();
        }
        running.drill = Some(Drilling::begin(set, two_ears, &loud, now)?);
        Ok(())
    }

    fn enter(&mut self, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        match self.drill() {
            Some(drill) if drill.outcome.is_some() => self.next(around, now),
            Some(drill) => Ok(drill.enter()?),
            None => {
                if self.running.as_ref().is_some_and(|running| running.over) {
                    self.end(now);
                }
                Ok(())
            }
        }
    }

    /// What hands and words do to the drill that runs; nothing once it is over.
    fn work(&mut self, work: Work, now: Now) {
        let Some(drill) = self.drill().filter(|drill| drill.outcome.is_none()) else { return };
        match work {
            Work::Squeeze => drill.squeeze(),
            Work::Valve(open) => drill.turn_valve(open),
            Work::Turn(by) => drill.turn_valve(turned(drill.valve, by)),
            Work::Tap(who) => drill.tap(who, now),
            Work::Digit(digit) => drill.digit(digit),
            Work::Erase => drop(drill.typed.pop()),
            Work::Say(word) => drill.say(word),
        }
    }

    fn end(&mut self, now: Now) {
        let Some(running) = &mut self.running else { return };
        if let Some(mut drill) = running.drill.take() {
            drill.heard.iter_mut().for_each(|heard| heard.stop(now));
            drill.close(now.wall.utc());
        }
        if running.over || running.session.drills.is_empty() {
            self.running = None;
            self.look_up();
            return;
        }
        running.over = true;
        // The page is written even where the class file cannot be: nothing done is lost.
        let kept = self.keep().err().map(|fault| fault.to_string());
        let page = self.write_page().unwrap_or_else(|fault| fault.to_string());
        let said: Vec<String> = kept.iter().chain([&page]).map(|said| sentence(said)).collect();
        self.said = Some(said.join(" "));
    }

    /// The session goes into the class file after each drill, so that nothing done is lost.
    fn keep(&self) -> Result<(), NotPractised> {
        let Some(running) = &self.running else { return Ok(()) };
        let mut class = class_in(&*self.place)?;
        class.add(running.session.clone());
        let text = class.text().map_err(NotStored::from)?;
        Ok(self.place.keep(&text)?)
    }

    /// The page of the session in hand; a sentence that says where.
    fn write_page(&self) -> Result<String, NotPractised> {
        let running = self.running.as_ref().ok_or(NotPractised::BeginALesson)?;
        let name = format!("session-{}.html", running.session.id);
        let path = self.place.give(&name, &session_page(&running.session))?;
        Ok(format!("The page of this lesson is {path}."))
    }

    fn write_class_page(&self) -> Result<String, NotPractised> {
        let class = class_in(&*self.place)?;
        let path = self.place.give("class.html", &class_page(&class))?;
        Ok(format!("The page of the class is {path}."))
    }

    /// The class file as it is kept, given out.
    fn give_class(&self) -> Result<String, NotPractised> {
        let text = self.place.text()?.unwrap_or_default();
        let path = self.place.give("class.jsonl", text.as_bytes())?;
        Ok(format!("The class file is {path}."))
    }
}

/// Below the first opening nothing is heard to leave, so the first turn goes there at once, and the last one shuts it.
fn turned(valve: f64, by: i32) -> f64 {
    match valve + f64::from(by) * TURN {
        _ if valve < FIRST_OPEN && by > 0 => FIRST_OPEN,
        open if open < FIRST_OPEN - TURN / 2.0 => 0.0,
        open => open,
    }
}
