//! Practice in the window: a lesson chosen, drill after drill, and what is kept of it in the class file.

use std::path::PathBuf;
use std::rc::Rc;

use uuid::Uuid;

use super::action::{HearAct, PractiseAct, Work};
use super::answers::Measure;
use super::class_view::ClassView;
use super::drill::Drilling;
use super::heard_again::HeardAgain;
use super::kept_class::{ClassPlace, NotStored, class_in};
use super::kept_drill::KeptDrill;
use super::listen_first::ListenFirst;
use super::loud::{Loud, Loudspeaker};
use super::not_practised::NotPractised;
use super::running::{Running, SetLesson};
use super::tried::Tried;
use crate::clinical::guidance::GuidanceSet;
use crate::practice::cases::CaseKind;
use crate::practice::course::CourseState;
use crate::practice::lesson::{Feedback, Lesson};
use crate::practice::page::session_page;
use crate::practice::session::{Summary, learning_curve};
use crate::practice::staircase::Staircase;
use crate::window::ear::Drive;
use crate::window::now::Now;
use crate::window::sentence::sentence;
use crate::words::{Spoken, Words, say};

/// Drills in a lesson that no teacher set, and those offered.
pub const COUNTS: [u32; 4] = [3, 6, 12, 24];
/// The valve when it is first opened from shut, and what an arrow turns it by after that.
const FIRST_OPEN: f64 = 0.20;
const TURN: f64 = 0.01;
/// Drills in a stretch of the learning curve.
const STRETCH: usize = 10;
/// Lessons are drawn from so many seeds: a number that can be read out.
pub(super) const SEEDS: u64 = 1_000_000;
/// A staircase that finds no end is ended, drills.
const MOST_TRIALS: usize = 60;

/// What keys mean in practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PracticeStage {
    /// The guided hour: no test in it.
    Listening,
    /// A drill runs.
    Drill,
    /// What came of it is told, and can be heard again.
    Told,
    /// The lesson is over; its drills can be heard again.
    Over,
    /// A sound of one's own is tried.
    Trying,
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
    /// The opening code of a sealed examination, as typed.
    pub code: String,
    /// The teacher's word, as typed; gone once it was used.
    pub word: String,
    /// The word is asked for, whatever lesson is chosen.
    pub asks_word: bool,
    /// The path of a sound to try, as typed.
    pub sound_file: String,
    /// The sound that is tried.
    pub tried: Option<Tried>,
    /// The class, as its teacher looks at it.
    pub class: Option<ClassView>,
    /// The lesson in hand.
    pub running: Option<Running>,
    /// The guided hour in hand.
    pub listen: Option<ListenFirst>,
    /// Where this student stands in the course, by the class file.
    pub course: Option<CourseState>,
    /// This student's stretches of drills, oldest first, by the class file.
    pub curve: Vec<Summary>,
    /// What was just said.
    pub said: Option<Spoken>,
    /// The language of pages that are written.
    pub words: Words,
    /// The name and text of a teacher's file that was given without a path.
    pub(super) given: Option<(String, String)>,
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
            code: String::new(),
            word: String::new(),
            asks_word: false,
            sound_file: String::new(),
            tried: None,
            class: None,
            given: None,
            running: None,
            listen: None,
            course: None,
            curve: Vec::new(),
            said: None,
            words: Words::english(),
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
        if self.class.is_some() {
            return None;
        }
        if self.tried.is_some() {
            return Some(PracticeStage::Trying);
        }
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
        if let Some(tried) = &mut self.tried {
            return tried.heard.as_mut();
        }
        if let Some(listen) = &mut self.listen {
            return listen.heard.as_mut();
        }
        let running = self.running.as_mut()?;
        match &mut running.drill {
            Some(drill) => drill.heard.as_mut(),
            None => running.heard.as_mut().map(|(_, heard)| heard),
        }
    }

    /// Whether sound is being made.
    pub fn sounds(&self) -> bool {
        let drill = self.running.as_ref().and_then(|r| r.drill.as_ref());
        let listened = self.listen.as_ref().and_then(|listen| listen.heard.as_ref());
        let tried = self.tried.as_ref().and_then(|tried| tried.heard.as_ref());
        let case = self.running.as_ref().and_then(|r| r.heard.as_ref().map(|(_, heard)| heard));
        let mut heard = [listened, tried, case, drill.and_then(|drill| drill.heard.as_ref())]
            .into_iter()
            .flatten();
        let making = self.tried.as_ref().is_some_and(|tried| tried.share().is_some());
        making || drill.is_some_and(Drilling::sounds) || heard.any(HeardAgain::plays)
    }

    fn begin_course(&mut self, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        self.look_up();
        let state = self.course.clone().ok_or(NotPractised::TypeACode)?;
        // A day's lesson is drawn anew each time, and kept by its seed.
        let lesson = state.lesson(Uuid::now_v7().as_u64_pair().1 % SEEDS);
        self.begin((lesson, None), around, now)?;
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
        self.tried.iter_mut().for_each(Tried::tick);
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
                self.said = Some(refused(fault));
            }
        }
    }

    /// Applies one act.
    pub fn apply(&mut self, act: PractiseAct, around: &Around<'_>, now: Now) -> Asks {
        self.said = None;
        self.done(act, around, now).unwrap_or_else(|fault| {
            self.said = Some(refused(fault));
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
            PractiseAct::Code(code) => self.code = code,
            PractiseAct::Word(word) => self.word = word,
            PractiseAct::Seal => self.seal()?,
            PractiseAct::Given(file) => self.take_given(&file)?,
            PractiseAct::AskFile => {}
            PractiseAct::Begin => self.begin((self.chosen()?, None), around, now)?,
            PractiseAct::BeginFile => self.begin(self.teachers()?, around, now)?,
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
            PractiseAct::HearCase(number) => self.hear_case(number, now)?,
            PractiseAct::OwnPage => self.own_page()?,
            PractiseAct::Class(act) => self.at_class(act)?,
            PractiseAct::Try(act) => {
                self.hear(HearAct::Stop, around, now);
                self.at_trial(act)?;
            }
            PractiseAct::ClassFile => {
                let said = self.give_class();
                self.said = Some(said.unwrap_or_else(refused));
            }
            PractiseAct::End => self.end(now),
        }
        Ok(Asks::Nothing)
    }

    fn hear(&mut self, act: HearAct, around: &Around<'_>, now: Now) {
        let loud = self.loud(around);
        self.heard().into_iter().for_each(|heard| heard.apply(act, &loud, now));
    }

    /// A drill of the lesson that is over is heard again.
    fn hear_case(&mut self, number: usize, now: Now) -> Result<(), NotPractised> {
        let Some(running) = self.running.as_mut().filter(|r| r.over && r.lock.is_none()) else {
            return Ok(());
        };
        running.heard.iter_mut().for_each(|(_, heard)| heard.stop(now));
        let kept = running.kept.get(number).and_then(Option::as_ref);
        let heard = kept.map(KeptDrill::again).transpose()?.flatten();
        running.heard = heard.map(|heard| (number, heard));
        Ok(())
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

    fn begin(&mut self, set: SetLesson, around: &Around<'_>, now: Now) -> Result<(), NotPractised> {
        let student = self.student.trim().to_owned();
        if student.is_empty() {
            return Err(NotPractised::TypeACode);
        }
        let lock = self.lock(&set)?;
        self.running = Some(Running { lock, ..Running::of(set.0, &student, now) });
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
        running.heard.iter_mut().for_each(|(_, heard)| heard.stop(now));
        if running.over || running.session.drills.is_empty() {
            self.running = None;
            self.look_up();
            return;
        }
        running.over = true;
        // The page is written even where the class file cannot be: nothing done is lost.
        let kept = self.keep().err().map(refused);
        let page = self.write_page().unwrap_or_else(refused);
        let all: Vec<Spoken> = kept.into_iter().chain([page]).collect();
        self.said = Some(Spoken::of(move |w| {
            all.iter().map(|one| one.said(w)).collect::<Vec<_>>().join(" ")
        }));
    }

    /// The session goes into the class file after each drill, so that nothing done is lost.
    fn keep(&self) -> Result<(), NotPractised> {
        let Some(running) = &self.running else { return Ok(()) };
        let mut class = class_in(&*self.place)?;
        match self.sealed()? {
            Some(sealed) => class.add_sealed(sealed),
            None => class.add(running.session.clone()),
        }
        let text = class.text().map_err(NotStored::from)?;
        Ok(self.place.keep(&text)?)
    }

    /// The page of the session in hand; a sentence that says where.
    fn write_page(&self) -> Result<Spoken, NotPractised> {
        let running = self.running.as_ref().ok_or(NotPractised::BeginALesson)?;
        if let Some(sealed) = self.sealed()? {
            let name = format!("examination-{}.sealed", sealed.id);
            let path = self.place.give(&name, sealed.line()?.as_bytes())?;
            return Ok(Spoken::of(move |w| say!(w, "exam-is", path = path.said(w))));
        }
        let name = format!("session-{}.html", running.session.id);
        let path = self.place.give(&name, &session_page(self.words, &running.session))?;
        Ok(Spoken::of(move |w| say!(w, "practice-page-is", path = path.said(w))))
    }

    /// The class file as it is kept, given out.
    fn give_class(&self) -> Result<Spoken, NotPractised> {
        let text = self.place.text()?.unwrap_or_default();
        let path = self.place.give("class.jsonl", text.as_bytes())?;
        Ok(Spoken::of(move |w| say!(w, "practice-class-is", path = path.said(w))))
    }
}

/// Why practice does not go on, as a sentence.
pub(super) fn refused(fault: NotPractised) -> Spoken {
    Spoken::of(move |w| sentence(&fault.said(w)))
}

/// Below the first opening nothing is heard to leave, so the first turn goes there at once, and the last one shuts it.
fn turned(valve: f64, by: i32) -> f64 {
    match valve + f64::from(by) * TURN {
        _ if valve < FIRST_OPEN && by > 0 => FIRST_OPEN,
        open if open < FIRST_OPEN - TURN / 2.0 => 0.0,
        open => open,
    }
}
