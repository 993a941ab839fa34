//! Practice in the window: a lesson chosen, drill after drill, and what is kept of it in the class file.

use std::path::{Path, PathBuf};

use uuid::Uuid;

use super::Now;
use super::drill::{Drilling, Measure, Who};
use super::model::{Drive, sentence};
use super::teacher;
use crate::clinical::guidance::Set;
use crate::files;
use crate::live::{Plan, Supply};
use crate::practice::cases::Kind;
use crate::practice::class::Class;
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::page::{class_page, session_page};
use crate::practice::session::{Done, Session, Summary, VERSION, learning_curve, summary};
use crate::practice::staircase::Staircase;
use crate::practice::whole::{self, Indexes};

/// Drills in a lesson that no teacher set, and those offered.
pub const COUNTS: [u32; 4] = [3, 6, 12, 24];
/// The valve when it is first opened from shut, and what an arrow turns it by after that.
const FIRST_OPEN: f64 = 0.20;
const TURN: f64 = 0.01;
/// Drills in a stretch of the learning curve.
const STRETCH: usize = 10;
/// A staircase that finds no end is ended, drills.
const MOST_TRIALS: usize = 60;

/// One act of practice.
#[derive(Debug, Clone, PartialEq)]
pub enum Do {
    /// The student's code.
    Student(String),
    /// What is practised.
    Kind(Kind),
    /// When it is told how it went.
    Feedback(Feedback),
    /// How many drills.
    Count(u32),
    /// Same seed, same lesson.
    Seed(String),
    /// Two listen.
    TwoEars(bool),
    /// The path of a teacher's lesson.
    File(String),
    /// Begins the lesson that was chosen.
    Begin,
    /// Begins the lesson of the teacher's file.
    BeginFile,
    /// Two ears on what is heard now.
    BeginLive,
    /// A squeeze of the bulb.
    Squeeze,
    /// The valve, 0 to 1.
    Valve(f64),
    /// The valve a little, up or down.
    Turn(i32),
    /// A tap.
    Tap(Who),
    /// A digit.
    Digit(char),
    /// The last digit is taken back.
    Erase,
    /// Keep the reading, or go on.
    Enter,
    /// The word that was chosen.
    Say(&'static str),
    /// Silence.
    Hush,
    /// The class's page is written.
    ClassPage,
    /// The lesson is ended here; what was done is kept.
    End,
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
    pub kind: Kind,
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
    pub set: Option<&'a Set>,
    /// The output that was chosen; the usual one where none is named.
    pub output: Option<String>,
}

impl Practice {
    /// Practice that keeps its class file in this folder.
    pub fn new(folder: PathBuf, drive: Drive) -> Self {
        Self {
            student: String::new(),
            kind: Kind::FirstReturn,
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
                self.said = Some(sentence(&fault));
            }
        }
    }

    /// Applies one act.
    pub fn apply(&mut self, act: Do, around: &Around<'_>, now: Now) {
        self.said = None;
        match act {
            Do::Student(code) => {
                self.student = code;
                self.look_up();
            }
            Do::Kind(kind) => self.kind = kind,
            Do::Feedback(feedback) => self.feedback = feedback,
            Do::Count(count) => self.count = count,
            Do::Seed(seed) => self.seed = seed,
            Do::TwoEars(two) => self.two_ears = two,
            Do::File(path) => self.file = path,
            Do::Begin | Do::BeginFile => {
                let lesson = if act == Do::Begin { self.chosen() } else { self.teachers() };
                let begun = lesson.and_then(|lesson| self.begin(lesson, around, now));
                self.said = begun.err().map(|fault| sentence(&fault));
            }
            Do::Enter => self.enter(around, now),
            Do::ClassPage => self.said = Some(self.write_class_page().unwrap_or_else(|e| e)),
            Do::End => self.end(now),
            other => {
                if let Some(drill) = self.drill() {
                    work(drill, other, now);
                }
            }
        }
    }

    fn chosen(&self) -> Result<Lesson, String> {
        let seed = self.seed.trim();
        let seed = seed.parse().map_err(|_| format!("`{seed}` is no seed: a whole number"))?;
        let count = if self.kind == Kind::RisingNoise { MOST_TRIALS as u32 } else { self.count };
        Ok(Lesson::of(self.kind, count, seed, self.feedback))
    }

    fn teachers(&self) -> Result<Lesson, String> {
        teacher::lesson(Path::new(self.file.trim()), self.folder.parent())
    }

    /// Two ears on this sound. Nothing of it goes into the class file: nobody knows the truth.
    pub fn begin_live(&mut self, sound: Result<(Box<dyn Supply>, Plan), String>, now: Now) {
        self.said = None;
        if let Some(mut drill) = self.running.take().and_then(|running| running.drill) {
            drill.close(now.wall.utc());
        }
        match sound.and_then(|sound| Drilling::live(sound, self.drive, now)) {
            Ok(drill) => {
                let running = Running::of(Lesson::live(), self.student.trim(), now);
                self.running = Some(Running { drill: Some(drill), live: true, ..running });
            }
            Err(said) => self.said = Some(sentence(&said)),
        }
    }

    fn begin(&mut self, lesson: Lesson, around: &Around<'_>, now: Now) -> Result<(), String> {
        let student = self.student.trim().to_owned();
        if student.is_empty() {
            return Err("type a code for the student first: no name is needed".into());
        }
        self.running = Some(Running::of(lesson, &student, now));
        self.next(around, now)
    }

    /// The next drill, or the end.
    fn next(&mut self, around: &Around<'_>, now: Now) -> Result<(), String> {
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
        if let (Some(stairs), Kind::RisingNoise) = (&running.stairs, set.kind) {
            set.case.snr_db = stairs.snr_db();
        }
        let aloud = (drive == Drive::Thread).then(|| around.output.clone());
        running.drill = Some(Drilling::begin(set, two_ears, aloud, drive, now)?);
        Ok(())
    }

    fn enter(&mut self, around: &Around<'_>, now: Now) {
        let told = self.drill().is_some_and(|drill| drill.outcome.is_some());
        let done = match self.drill() {
            // Another deflation begins where the sound is: with the model.
            Some(drill) if told && drill.is_live() => Ok(()),
            Some(_) if told => self.next(around, now),
            Some(drill) => drill.enter(),
            None => Ok(()),
        };
        self.said = done.err().map(|fault| sentence(&fault));
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
        let said = [self.keep().err(), Some(self.write_page().unwrap_or_else(|fault| fault))];
        self.said = Some(
            said.into_iter().flatten().map(|said| sentence(&said)).collect::<Vec<_>>().join(" "),
        );
    }

    fn class(&self) -> Result<Class, String> {
        let path = self.class_file();
        match std::fs::read_to_string(&path) {
            Ok(text) => Class::parse(&text).map_err(|e| format!("{}, {e}", path.display())),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Class::default()),
            Err(e) => Err(format!("cannot read {}: {e}", path.display())),
        }
    }

    /// The session goes into the class file after each drill, so that nothing done is lost.
    fn keep(&self) -> Result<(), String> {
        let Some(running) = &self.running else { return Ok(()) };
        let mut class = self.class()?;
        class.add(running.session.clone());
        let text = class.text().map_err(|e| e.to_string())?;
        self.write(&self.class_file(), text.as_bytes())
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        let made = files::private_folder(&self.folder);
        made.and_then(|()| files::write_atomic(path, bytes))
            .map_err(|e| format!("cannot write {}: {e}", path.display()))
    }

    /// The page of the session in hand; a sentence that says where.
    fn write_page(&self) -> Result<String, String> {
        let Some(running) = &self.running else { return Err("there is no lesson".into()) };
        let path = self.folder.join(format!("session-{}.html", running.session.id));
        self.write(&path, &session_page(&running.session))?;
        Ok(format!("The page of this lesson is {}.", path.display()))
    }

    fn write_class_page(&self) -> Result<String, String> {
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
        let rises = lesson.drills.iter().any(|drill| drill.kind == Kind::RisingNoise);
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
        let whole = done.kind == Kind::WholeVisit;
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

/// What hands and words do to a drill.
fn work(drill: &mut Drilling, act: Do, now: Now) {
    if act == Do::Hush {
        return drill.hush();
    }
    if drill.outcome.is_some() {
        return;
    }
    match act {
        Do::Squeeze => drill.squeeze(),
        Do::Valve(open) => drill.turn_valve(open),
        Do::Turn(by) => drill.turn_valve(turned(drill.valve, by)),
        Do::Tap(who) => drill.tap(who, now),
        Do::Digit(digit) => drill.digit(digit),
        Do::Erase => drop(drill.typed.pop()),
        Do::Say(word) => drill.say(word),
        _ => {}
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
