//! Practice in the window: a lesson chosen, drill after drill, and what is kept of it in the class file.

use std::path::{Path, PathBuf};

use uuid::Uuid;

use super::action::{PractiseAct, Work};
use super::answers::Measure;
use super::choices::Choices;
use super::drill::{Drilling, Missing, NoDrill, Player};
use super::listening::NoSound;
use super::teacher::{self, NoLesson};
use crate::clinical::guidance::GuidanceSet;
use crate::files;
use crate::live::{Plan, Supply};
use crate::practice::cases::CaseKind;
use crate::practice::class::{Class, ClassFault};
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::page::{class_page, session_page};
use crate::practice::session::{Done, Session, Summary, VERSION, learning_curve, summary};
use crate::practice::staircase::Staircase;
use crate::practice::whole::{self, Indexes};
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
    MendTheLesson(#[from] NoLesson),
    /// See why the drill does not begin.
    #[error(transparent)]
    NoDrill(#[from] NoDrill),
    /// Do what is missing.
    #[error(transparent)]
    DoFirst(#[from] Missing),
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
}

/// What practice asks of the rest of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// Nothing.
    Nothing,
    /// The sound that was chosen, for two ears: [`Practice::begin_live`].
    LiveSound,
}

/// A lesson under way, or over.
pub struct Running {
    /// As it was set.
    pub lesson: Lesson,
    /// The drill in hand.
    pub drill: Option<Drilling>,
    /// What was done.
    pub session: Session,
    /// Where the noise stands, where it rises.
    pub stairs: Option<Staircase>,
    /// The indexes of a whole visit, once it is over.
    pub indexes: Vec<Indexes>,
    /// Live sound: nothing of it is kept.
    pub live: bool,
    /// Over.
    pub over: bool,
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
    /// This student's stretches of drills, oldest first, by the class file.
    pub curve: Vec<Summary>,
    /// What was just said.
    pub said: Option<String>,
    folder: PathBuf,
    drive: Drive,
}

/// What practice borrows from the rest of the window.
pub struct Around<'a> {
    /// The guidance in use.
    pub set: Option<&'a GuidanceSet>,
    /// The output that was chosen; the usual one where none is named.
    pub output: Option<String>,
}

impl<'a> Around<'a> {
    /// What practice borrows of the guidance in use and of the choices.
    pub fn of(sets: &'a [GuidanceSet], choices: &Choices) -> Self {
        let output = choices.sound().through.and_then(|through| through.to);
        Self { set: sets.first(), output }
    }
}

impl Practice {
    /// Practice that keeps its class file in this folder.
    pub fn new(folder: PathBuf, drive: Drive) -> Self {
        Self {
            student: String::new(),
            kind: CaseKind::FirstReturn,
            feedback: Feedback::AtOnce,
            count: COUNTS[1],
            seed: "1".into(),
            two_ears: false,
            file: String::new(),
            running: None,
            curve: Vec::new(),
            said: None,
            folder,
            drive,
        }
    }

    /// Where the class file lies.
    pub fn class_file(&self) -> PathBuf {
        self.folder.join("class.jsonl")
    }

    /// The drill in hand.
    pub fn drill(&mut self) -> Option<&mut Drilling> {
        self.running.as_mut()?.drill.as_mut()
    }

    /// Whether sound is being made.
    pub fn sounds(&self) -> bool {
        let drill = self.running.as_ref().and_then(|r| r.drill.as_ref());
        drill.is_some_and(Drilling::sounds)
    }

    /// Looks the student's stretches up.
    fn look_up(&mut self) {
        let drills = self.class().map(|c| c.drills_of(self.student.trim())).unwrap_or_default();
        self.curve = learning_curve(&drills, STRETCH);
    }

    /// Lets time pass.
    pub fn tick(&mut self, around: &Around<'_>, now: Now) {
        let Some(running) = &mut self.running else { return };
        let measure = Measure { arm_mmhg: running.lesson.arm_mmhg, set: around.set };
        let came = running.drill.as_mut().is_some_and(|drill| drill.tick(now, &measure));
        if came && !running.live {
            running.take(now, around);
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
            PractiseAct::Feedback(feedback) => self.feedback = feedback,
            PractiseAct::Count(count) => self.count = count,
            PractiseAct::Seed(seed) => self.seed = seed,
            PractiseAct::TwoEars(two) => self.two_ears = two,
            PractiseAct::File(path) => self.file = path,
            PractiseAct::Begin => self.begin(self.chosen()?, around, now)?,
            PractiseAct::BeginFile => self.begin(self.teachers()?, around, now)?,
            PractiseAct::BeginLive => return Ok(Asks::LiveSound),
            PractiseAct::Enter if self.told_live() => return Ok(Asks::LiveSound),
            PractiseAct::Enter => self.enter(around, now)?,
            PractiseAct::Work(work) => self.work(work, now),
            PractiseAct::Hush => self.drill().into_iter().for_each(Drilling::hush),
            PractiseAct::ClassPage => {
                let said = self.write_class_page();
                self.said = Some(said.unwrap_or_else(|fault| fault.to_string()));
            }
            PractiseAct::End => self.end(now),
        }
        Ok(Asks::Nothing)
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

    fn teachers(&self) -> Result<Lesson, NotPractised> {
        Ok(teacher::lesson(Path::new(self.file.trim()), self.folder.parent())?)
    }

    /// Two ears on this sound. Nothing of it goes into the class file: nobody knows the truth.
    pub fn begin_live(&mut self, sound: Result<(Box<dyn Supply>, Plan), NoSound>, now: Now) {
        self.said = None;
        if let Some(mut drill) = self.running.take().and_then(|running| running.drill) {
            drill.close(now.wall.utc());
        }
        let drill = match sound {
            Ok((supply, plan)) => {
                Drilling::live(supply, plan, self.drive, now).map_err(|e| e.to_string())
            }
            Err(fault) => Err(fault.to_string()),
        };
        match drill {
            Ok(drill) => {
                let running = Running::of(Lesson::live(), self.student.trim(), now);
                self.running = Some(Running { drill: Some(drill), live: true, ..running });
            }
            Err(said) => self.said = Some(sentence(&said)),
        }
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
        let (two_ears, drive) = (self.two_ears, self.drive);
        let Some(running) = &mut self.running else { return Ok(()) };
        if let Some(mut drill) = running.drill.take() {
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
        let aloud = (drive == Drive::Thread).then(|| around.output.clone());
        let player = Player { drive, aloud };
        running.drill = Some(Drilling::begin(set, two_ears, player, now)?);
        Ok(())
    }

    fn enter(&mut self, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        match self.drill() {
            Some(drill) if drill.outcome.is_some() => self.next(around, now),
            Some(drill) => Ok(drill.enter()?),
            None => Ok(()),
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

    fn class(&self) -> Result<Class, NotPractised> {
        let path = self.class_file();
        match std::fs::read_to_string(&path) {
            Ok(text) => {
                Class::parse(&text).map_err(|fault| NotPractised::MendTheClass { path, fault })
            }
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Class::default()),
            Err(fault) => Err(NotPractised::CannotRead { path, fault }),
        }
    }

    /// The session goes into the class file after each drill, so that nothing done is lost.
    fn keep(&self) -> Result<(), NotPractised> {
        let Some(running) = &self.running else { return Ok(()) };
        let mut class = self.class()?;
        class.add(running.session.clone());
        self.write(&self.class_file(), class.text()?.as_bytes())
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), NotPractised> {
        let made = files::private_folder(&self.folder);
        made.and_then(|()| files::write_atomic(path, bytes))
            .map_err(|fault| NotPractised::CannotWrite { path: path.to_owned(), fault })
    }

    /// The page of the session in hand; a sentence that says where.
    fn write_page(&self) -> Result<String, NotPractised> {
        let running = self.running.as_ref().ok_or(NotPractised::BeginALesson)?;
        let path = self.folder.join(format!("session-{}.html", running.session.id));
        self.write(&path, &session_page(&running.session))?;
        Ok(format!("The page of this lesson is {}.", path.display()))
    }

    fn write_class_page(&self) -> Result<String, NotPractised> {
        let path = self.folder.join("class.html");
        self.write(&path, &class_page(&self.class()?))?;
        Ok(format!("The page of the class is {}.", path.display()))
    }
}

impl Running {
    /// A lesson at its start.
    fn of(lesson: Lesson, student: &str, now: Now) -> Self {
        let session = Session {
            v: VERSION,
            id: Uuid::now_v7().to_string(),
            student: student.to_owned(),
            lesson: lesson.name.clone(),
            begun: now.wall.to_string(),
            examination: lesson.feedback == Feedback::Hidden,
            drills: Vec::new(),
            threshold: None,
        };
        let rises = lesson.drills.iter().any(|drill| drill.kind == CaseKind::RisingNoise);
        let stairs = rises.then(Staircase::default);
        let indexes = Vec::new();
        Self { lesson, drill: None, session, stairs, indexes, live: false, over: false }
    }

    /// Takes what came of the drill in hand.
    fn take(&mut self, now: Now, around: &Around<'_>) {
        let Some(outcome) = self.drill.as_ref().and_then(|drill| drill.outcome.as_ref()) else {
            return;
        };
        let done: Done = outcome.done.clone();
        if let Some(stairs) = &mut self.stairs {
            stairs.answer(done.passed());
            self.session.threshold = stairs.threshold();
        }
        let whole = done.kind == CaseKind::WholeVisit;
        self.session.drills.push(done);
        if whole && self.session.drills.len() == self.lesson.drills.len() {
            let sets = around.set.cloned();
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

/// Below the first opening nothing is heard to leave, so the first turn goes there at once, and the last one shuts it.
fn turned(valve: f64, by: i32) -> f64 {
    match valve + f64::from(by) * TURN {
        _ if valve < FIRST_OPEN && by > 0 => FIRST_OPEN,
        open if open < FIRST_OPEN - TURN / 2.0 => 0.0,
        open => open,
    }
}
