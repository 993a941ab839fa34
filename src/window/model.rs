//! The state of the window and the one place where actions are applied.

use std::path::{Path, PathBuf};

use super::Now;
use super::action::{Action, Again as HeardAgain, Field, Screen};
use super::again::Again;
use super::awake::Awake;
use super::choices::{Change, Choices};
use super::ear::{Ear, Source};
use super::exam::{Asked, Exam, Stream};
use super::history::Shown;
use super::keys;
use super::practice::{Around, Do, Practice};
use super::tone::Tone;
use crate::clinical::cautions::{self, About, Weight};
use crate::clinical::event::{
    Act, Answer, Answered, Gauge, Opened, Outcome, Posture, Prepared, Source as ReadingSource,
    Stage, Step,
};
use crate::clinical::guidance::{self, Set};
use crate::clinical::moment::{Day, NoDay};
use crate::clinical::record_code;
use crate::clinical::site::{Side, Site};
use crate::clinical::sound::Sound;
use crate::clinical::typed::Given;
use crate::clinical::visit::{Visit, VisitFault};
use crate::clinical::working::PROGRAM;
use crate::files;
use crate::live::{COLUMN_S, Event as Heard, Gain, Plan, Snapshot, Supply};
use crate::logbook::{Book, History, Keeper, REPORTS, Search, VisitId, VisitRow, Whose};
use crate::report::content::{Content, Trail};
use crate::report::html;
use crate::report::pdf::{self, Paper};
use crate::settings::Settings;
use crate::units::Mmhg;

/// Visits in a list.
const LISTED: u32 = 200;
/// Digits that can be typed: `280,5`.
const TYPED: usize = 5;
/// Where the first arrow step begins, mmHg; nothing is filled in before it.
const ARROW_FROM: i32 = 100;

/// What the form before a visit holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Form {
    /// The record's code.
    pub record: String,
    /// The operator's code.
    pub operator: String,
    /// Why the test is done.
    pub reason: String,
    /// Diabetes.
    pub diabetes: Option<Answer>,
    /// Kidney disease.
    pub kidney: Option<Answer>,
    /// How the patient lies.
    pub posture: Option<Posture>,
    /// The last visit of this record, or that there is none; nothing while no whole code stands there.
    pub last_visit: Option<String>,
    /// The code that was asked about, since its last character does not agree with the others.
    pub doubted: Option<String>,
}

/// How the ear of a visit comes about: on a thread, or stepped by a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Real time.
    Thread,
    /// The time that [`Model::tick`] is given.
    Stepped,
}

/// The state of the window.
pub struct Model {
    /// The screen that is shown.
    pub screen: Screen,
    /// Choices.
    pub choices: Choices,
    /// The form before a visit.
    pub form: Form,
    /// The visit in hand.
    pub exam: Option<Exam>,
    /// A visit that is looked at.
    pub shown: Option<(VisitRow, Visit)>,
    /// A record that is looked at from visit to visit.
    pub history: Option<Shown>,
    /// Its readings heard again.
    pub again: Option<Again>,
    /// The visits that were found.
    pub visits: Vec<VisitRow>,
    /// What they were looked through for.
    pub search: String,
    /// The latest of the sound.
    pub snapshot: Snapshot,
    /// What is wrong with the sound; stays until it is over.
    pub alarm: Option<String>,
    /// What was just said; goes with the next act.
    pub notice: Option<String>,
    /// The sound is not recorded, though it should be.
    pub not_recording: Option<String>,
    /// The screen takes no touch.
    pub locked: bool,
    /// The next key becomes the tap.
    pub learning: bool,
    /// The guidance in use; empty until a clinician switched it on.
    pub sets: Vec<Set>,
    /// Practice on simulated patients.
    pub practice: Practice,
    /// The book.
    pub keeper: Keeper,
    book: Book,
    settings_path: Option<PathBuf>,
    source: Source,
    drive: Drive,
    ear: Option<Ear>,
    awake: Option<Awake>,
    gain: Gain,
    tone: Option<Tone>,
}

/// What the window starts with.
pub struct Start {
    /// The choices.
    pub settings: Settings,
    /// Where they are kept; `None` keeps nothing.
    pub settings_path: Option<PathBuf>,
    /// The book's folder.
    pub book: PathBuf,
    /// The sound.
    pub source: Source,
    /// Real time or not.
    pub drive: Drive,
}

impl Model {
    /// The window at its start.
    ///
    /// # Errors
    /// The book cannot be opened; a sentence.
    pub fn new(start: Start) -> Result<Self, String> {
        let keeper = Keeper::start(&start.book).map_err(|e| e.to_string())?;
        let opened = Book::open(&start.book).map_err(|e| e.to_string())?;
        let choices = Choices::new(start.settings);
        let screen = if choices.cautions_read() { Screen::Visits } else { Screen::Cautions };
        let mut notes: Vec<String> = keeper.notes().iter().cloned().chain(opened.notes).collect();
        notes.dedup();
        let mut model = Self {
            screen,
            form: Form { operator: choices.operator().to_owned(), ..Form::default() },
            gain: Gain::new(choices.sound().volume()),
            choices,
            exam: None,
            shown: None,
            history: None,
            again: None,
            visits: Vec::new(),
            search: String::new(),
            snapshot: Snapshot::new(),
            alarm: None,
            notice: (!notes.is_empty()).then(|| notes.join(" ")),
            not_recording: None,
            locked: false,
            learning: false,
            sets: Vec::new(),
            practice: Practice::new(start.book.join("practice"), start.drive),
            keeper,
            book: opened.book,
            settings_path: start.settings_path,
            source: start.source,
            drive: start.drive,
            ear: None,
            awake: None,
            tone: None,
        };
        model.load_sets();
        model.look_through();
        Ok(model)
    }

    /// What the sound comes from, in words.
    pub fn source_words(&self) -> String {
        match &self.source {
            Source::Bench { words, .. } => words.clone(),
            Source::Device if self.choices.sound().cable => "Cable".into(),
            Source::Device => "Microphone".into(),
        }
    }

    /// What the simulated gauge shows, where there is one, mmHg.
    pub fn gauge_mmhg(&self) -> Option<f64> {
        match &self.source {
            Source::Bench { bench, .. } if self.ear.is_some() => Some(bench.cuff_mmhg()),
            _ => None,
        }
    }

    /// Whether the sound is being recorded now.
    pub fn recording(&self) -> bool {
        self.snapshot.recorded.is_some()
    }

    /// Whether sound is listened to.
    pub fn hears(&self) -> bool {
        self.ear.is_some()
    }

    fn load_sets(&mut self) {
        let ids = self.choices.guidance().map(|switch| switch.sets).unwrap_or_default();
        let sets = ids.iter().filter_map(|id| guidance::shipped(id)?.ok());
        self.sets = sets.collect();
    }

    fn look_through(&mut self) {
        let text = Some(self.search.trim().to_owned()).filter(|text| !text.is_empty());
        let search = Search { text, limit: Some(LISTED), ..Search::default() };
        match self.book.visits(&search) {
            Ok(visits) => self.visits = visits,
            Err(fault) => self.notice = Some(fault.to_string()),
        }
    }

    /// Lets time pass: what happened in the sound, stages that follow, what must be told.
    pub fn tick(&mut self, now: Now) {
        if let Some(ear) = &mut self.ear {
            ear.step(now.at, now.wall.utc());
            ear.look(&mut self.snapshot);
            let found = ear.locate(now.at);
            if let (Some(exam), Some(found)) = (&mut self.exam, found) {
                let ahead_s = exam.clock_s(now.at) - found.seconds();
                exam.stream = exam.stream.map(|stream| Stream { ahead_s, ..stream });
            }
        }
        self.again.iter_mut().for_each(|again| again.tick(now));
        self.practice.tick(&around(&self.sets, &self.choices), now);
        self.take_told();
        if let (Some(exam), Some((bpm, _))) = (&mut self.exam, self.snapshot.heart_rate) {
            exam.hear(Sound::Rate { bpm: f64::from(bpm), regular: None });
        }
        if self.screen == Screen::Measure
            && let Some(exam) = &mut self.exam
        {
            match exam.tick(&self.keeper, now) {
                Ok(true) => self.next(now),
                Ok(false) => {}
                Err(fault) => self.notice = Some(fault.to_string()),
            }
        }
        // Whatever the screen: a book that cannot keep, or is no longer there, is said at once.
        if let Some(trouble) = self.keeper.trouble() {
            self.notice = Some(trouble);
        }
        self.sound_tone(now);
        self.stay_awake();
        if self.ear.as_ref().is_some_and(Ear::stalled) {
            self.alarm = Some("The analysis stands still: unplug the cable to hear.".into());
        }
    }

    /// How often the tone at the return was sounded since measuring began.
    pub fn tones(&self) -> u32 {
        self.tone.as_ref().map_or(0, Tone::rung)
    }

    /// A tone at the return, where that was chosen.
    fn sound_tone(&mut self, now: Now) {
        let Some(exam) = self.exam.as_ref().filter(|_| self.screen == Screen::Measure) else {
            self.tone = None;
            return;
        };
        if self.choices.tone() != self.tone.is_some() {
            let output = self.choices.sound().through.and_then(|through| through.to);
            let opened = self.choices.tone().then(|| Tone::open(output, self.drive, now));
            match opened.transpose() {
                Ok(tone) => self.tone = tone,
                Err(said) => self.notice = Some(said),
            }
        }
        let now_s = exam.clock_s(now.at);
        let said = self.tone.as_mut().and_then(|tone| tone.tick(now, exam.at.as_ref(), now_s));
        if said.is_some() {
            self.notice = said;
        }
    }

    /// No sleep and no lock while a visit runs.
    fn stay_awake(&mut self) {
        let runs = self.exam.is_some() && matches!(self.drive, Drive::Thread);
        if runs != self.awake.is_some() {
            self.awake = runs.then(Awake::hold);
        }
        if let Some(refused) = self.awake.as_ref().and_then(Awake::refused) {
            self.notice = Some(refused);
        }
    }

    fn take_told(&mut self) {
        while let Some(told) = self.ear.as_ref().and_then(Ear::poll) {
            match &told.event {
                Heard::Began(epoch) => {
                    let ahead_s =
                        self.exam.as_ref().and_then(|e| e.stream).map_or(0.0, |s| s.ahead_s);
                    let stream = Stream { epoch: epoch.id, rate: epoch.rate, ahead_s };
                    if let Some(exam) = &mut self.exam {
                        exam.stream = Some(stream);
                    }
                    self.alarm = None;
                    self.not_recording = None;
                }
                Heard::Heard { .. } => {
                    let stream = self.exam.as_ref().and_then(|e| e.stream);
                    let sound = stream.and_then(|s| told.event.sound(s.rate));
                    if let (Some(exam), Some(sound)) = (&mut self.exam, sound) {
                        exam.hear(sound);
                    }
                }
                Heard::Fault(fault) => {
                    let cable = self.choices.sound().cable;
                    let hear = if cable { " Unplug the cable to hear." } else { "" };
                    self.alarm = Some(sentence(&format!("{fault}.{hear}")));
                }
                Heard::NotRecording { said, .. }
                    if self.choices.record() && matches!(self.source, Source::Device) =>
                {
                    self.not_recording = Some(format!("NOT RECORDING: {said}"));
                }
                Heard::Odd { odd, present, .. } => {
                    self.alarm = present.then(|| sentence(&format!("{}.", odd.sentence())));
                }
                Heard::NotThrough(said) => self.notice = Some(sentence(said)),
                _ => {}
            }
        }
    }

    /// The sound that was chosen, recorded to this file where one is named.
    fn sound(&mut self, file: Option<&Path>) -> (Result<Box<dyn Supply>, String>, Plan) {
        match &mut self.source {
            Source::Bench { make, .. } => (make(), Plan::default()),
            Source::Device => {
                let choice = self.choices.sound();
                let supply = choice.supply_at(&self.gain);
                (supply.map_err(|e| e.to_string()), choice.plan(file))
            }
        }
    }

    /// Begins a deflation on live sound, or another one after it.
    fn starts_live(&self, act: &Do) -> bool {
        let drill = self.practice.running.as_ref().and_then(|running| running.drill.as_ref());
        let told = drill.is_some_and(|drill| drill.is_live() && drill.outcome.is_some());
        *act == Do::BeginLive || *act == Do::Enter && told
    }

    /// Two ears on the chosen sound; a simulated patient begins to pump.
    fn begin_live(&mut self, now: Now) {
        if let (Source::Bench { bench, .. }, Ok(site)) = (&self.source, "right-dp".parse()) {
            bench.turn_to(site);
        }
        let (supply, plan) = self.sound(None);
        self.practice.begin_live(supply.map(|supply| (supply, plan)), now);
    }

    /// Begins to listen, recording to the visit's folder where that is chosen.
    fn listen(&mut self, now: Now) {
        self.close_ear(now);
        let visit = self.exam.as_ref().filter(|_| self.choices.record()).map(|e| e.id);
        let visit = visit.filter(|_| matches!(self.source, Source::Device));
        let name = format!("sound-{}.wav", now.wall.utc().strftime("%H%M%S"));
        let file = visit.map(|visit| self.keeper.recording_file(visit, &name));
        let file = match file.transpose() {
            Ok(file) => file,
            Err(fault) => {
                self.not_recording = Some(format!("NOT RECORDING: {fault}"));
                None
            }
        };
        let (supply, plan) = self.sound(file.as_deref());
        let begun = supply.and_then(|supply| match self.drive {
            Drive::Thread => Ear::run(supply, plan).map_err(|e| e.to_string()),
            Drive::Stepped => Ok(Ear::stepped(supply, plan, now.at)),
        });
        match begun {
            Ok(ear) => self.ear = Some(ear),
            Err(said) => self.alarm = Some(sentence(&said)),
        }
    }

    /// Stops listening; recordings are whole and registered in the book.
    fn close_ear(&mut self, now: Now) {
        let Some(mut ear) = self.ear.take() else { return };
        ear.stop(now.wall.utc());
        self.ear = Some(ear);
        self.take_told();
        self.ear = None;
        if let Some(exam) = &mut self.exam
            && let Err(fault) = exam.settle(&self.keeper, now)
        {
            self.notice = Some(fault.to_string());
        }
        if let Some(exam) = &self.exam
            && let Ok(recordings) = self.book.recordings(exam.id)
        {
            let epoch = exam.stream.map_or(1, |s| s.epoch);
            let open = recordings.into_iter().filter(|r| r.sha256.is_none());
            open.for_each(|r| {
                self.keeper.recorded(exam.id, r.file, r.epoch.unwrap_or(epoch), None)
            });
        }
        self.snapshot = Snapshot::new();
    }

    /// Applies one act.
    pub fn apply(&mut self, action: Action, now: Now) {
        if self.locked && !matches!(action, Action::Unlock | Action::Tap(_) | Action::Stop) {
            return;
        }
        self.notice = None;
        let done = match action {
            Action::AgreeCautions => {
                self.choices.agree();
                self.save_settings();
                self.screen = Screen::Visits;
                Ok(())
            }
            Action::Go(screen) => {
                self.go(screen, now);
                Ok(())
            }
            Action::Lock => {
                self.locked = true;
                Ok(())
            }
            Action::Unlock => {
                self.locked = false;
                Ok(())
            }
            Action::Choose(change) => {
                self.choose(change, now);
                Ok(())
            }
            Action::Practise(act) if self.starts_live(&act) => {
                self.begin_live(now);
                Ok(())
            }
            Action::Practise(act) => {
                self.practice.apply(act, &around(&self.sets, &self.choices), now);
                Ok(())
            }
            Action::LearnTap => {
                self.learning = true;
                Ok(())
            }
            Action::Search(text) => {
                self.search = text;
                self.look_through();
                Ok(())
            }
            Action::Fill(field) => {
                self.fill(field);
                Ok(())
            }
            Action::Open(id) => self.open(id),
            Action::History(record) => self.look_back(&record),
            Action::HearAgain => self.hear_again(),
            Action::Again(act) => self.again(act, now),
            Action::Compare(id) => {
                self.history.iter_mut().for_each(|history| history.mark(id));
                Ok(())
            }
            Action::Resume(id) => self.resume(id, now),
            Action::CloseUnfinished(id) => self.close_unfinished(id, now),
            Action::Begin => self.begin(now),
            Action::SaveReport => self.save_report(now),
            Action::CloseVisit => self.close_visit(now),
            Action::Leave => {
                self.leave(now);
                Ok(())
            }
            other => self.in_visit(other, now),
        };
        if let Err(fault) = done {
            self.notice = Some(sentence(&fault));
        }
    }

    fn go(&mut self, screen: Screen, now: Now) {
        match screen {
            Screen::Begin => {
                let operator = self.choices.operator().to_owned();
                self.form = Form { operator, ..Form::default() };
            }
            Screen::Visits => self.look_through(),
            Screen::Measure => self.measure(now),
            Screen::Result => self.show_result(now),
            Screen::SetUp
            | Screen::Again
            | Screen::Prepare
            | Screen::Cautions
            | Screen::History
            | Screen::Practise => {}
        }
        self.screen = screen;
    }

    fn choose(&mut self, change: Change, now: Now) {
        let sound = matches!(
            change,
            Change::Device(_)
                | Change::Channel(_)
                | Change::Cable(_)
                | Change::Through(_)
                | Change::Headphones(_)
                | Change::Record(_)
        );
        if let Change::Volume(percent) = change {
            self.gain.set(percent);
        }
        self.choices.change(change);
        self.save_settings();
        self.load_sets();
        if sound && self.ear.is_some() {
            self.listen(now);
        }
    }

    fn save_settings(&mut self) {
        if let Some(path) = &self.settings_path
            && let Err(fault) = self.choices.settings().save(path)
        {
            self.notice = Some(sentence(&fault.to_string()));
        }
    }

    fn fill(&mut self, field: Field) {
        match field {
            Field::Record(code) => {
                self.form.record = code;
                self.form.last_visit = self.last_visit();
            }
            Field::Operator(code) => self.form.operator = code,
            Field::Reason(reason) => self.form.reason = reason,
            Field::Diabetes(answer) => self.form.diabetes = Some(answer),
            Field::Kidney(answer) => self.form.kidney = Some(answer),
            Field::Posture(posture) => self.form.posture = Some(posture),
        }
    }

    /// What the book knows of the record whose code stands in the form.
    fn last_visit(&self) -> Option<String> {
        let code = self.form.record.trim();
        if code.is_empty() {
            return None;
        }
        Some(match self.book.last_visit_of(code) {
            Ok(Some(row)) => {
                format!("Last visit of {}: {}", row.record, date(&row.opened_at.to_string()))
            }
            Ok(None) => format!("No visit of {code} in this book yet."),
            Err(fault) => sentence(&fault.to_string()),
        })
    }

    fn begin(&mut self, now: Now) -> Result<(), String> {
        if self.form.record.trim().is_empty() {
            return Err("the record's code is missing".into());
        }
        let posture = self.form.posture.ok_or("say how the patient lies")?;
        self.doubt_code()?;
        let form = &self.form;
        let opened = Opened {
            record: form.record.trim().to_owned(),
            operator: form.operator.trim().to_owned(),
            method: self.choices.method(),
            order: self.choices.order().to_owned(),
            repeats: Default::default(),
            gauge: Gauge {
                code: self.choices.gauge().to_owned(),
                graduation_mmhg: self.choices.graduation(),
            },
            other_gauges: Vec::new(),
            posture,
            reason: form.reason.trim().to_owned(),
            diabetes: form.diabetes.unwrap_or_default(),
            kidney: form.kidney.unwrap_or_default(),
            rested_min: None,
            program: PROGRAM.into(),
            listener: Some(PROGRAM.into()),
        };
        let operator = opened.operator.clone();
        let id = self.keeper.begin();
        self.start_exam(id, Act::VisitOpened(opened), now)?;
        if !operator.is_empty() && operator != self.choices.operator() {
            self.choices.change(Change::Operator(operator));
            self.save_settings();
        }
        self.listen(now);
        self.screen = Screen::Prepare;
        Ok(())
    }

    /// Asks once about a new code that does not check: two patients mixed up is the worst error.
    fn doubt_code(&mut self) -> Result<(), String> {
        let code = self.form.record.trim().to_owned();
        let Err(fault) = record_code::check(&code) else { return Ok(()) };
        let known = self.book.last_visit_of(&code).is_ok_and(|row| row.is_some());
        if known || self.form.doubted.as_ref() == Some(&code) {
            return Ok(());
        }
        let records = self.book.records().unwrap_or_default();
        let near = record_code::did_you_mean(&code, records.iter().map(String::as_str));
        let meant = match near.as_slice() {
            [] => String::new(),
            near => format!(" Did you mean {}?", near.join(" or ")),
        };
        self.form.doubted = Some(code);
        Err(format!("{fault}.{meant} Begin once more to use it all the same."))
    }

    fn start_exam(&mut self, id: VisitId, opened: Act, now: Now) -> Result<(), String> {
        let event = crate::clinical::event::Event::new(1, now.wall, opened.clone());
        let exam = Exam::new(id, vec![event], now).map_err(|e| e.to_string())?;
        self.keeper.keep(id, now.wall, opened);
        self.exam = Some(exam);
        Ok(())
    }

    /// An open visit of this book goes on; one from before the book was moved or restored is taken over first, and one
    /// of another laptop is finished there.
    fn have(&mut self, id: VisitId, now: Now) -> Result<(), String> {
        match self.book.whose(id).map_err(|e| e.to_string())? {
            Some(Whose::Elsewhere(_)) => Err("This visit is open on another laptop, and is finished there. Where that one is gone, take the visit over with `cuffnote book take-over`.".into()),
            Some(Whose::Before) => {
                let who = self.book.visit(id).map_err(|e| e.to_string())?.operator;
                let why = "the record book was moved, copied or restored".to_owned();
                let who = if who.trim().is_empty() { "not named".to_owned() } else { who };
                let ticket = self.keeper.keep(id, now.wall, Act::TakenOver { who, why });
                let kept = self.keeper.wait(ticket, std::time::Duration::from_secs(2));
                kept.map_err(|e| e.to_string())?;
                self.notice = Some("The visit goes on here now. What is added to it in the other copy of the book is kept and does not count.".into());
                Ok(())
            }
            _ => Ok(()),
        }
    }

    fn resume(&mut self, id: VisitId, now: Now) -> Result<(), String> {
        self.have(id, now)?;
        let events = self.book.events(id).map_err(|e| e.to_string())?;
        let exam = Exam::new(id, events, now).map_err(|e| e.to_string())?;
        let prepared = exam.rest_recorded().is_some() || !exam.visit.attempts.is_empty();
        self.exam = Some(exam);
        self.listen(now);
        self.screen = if prepared { Screen::Measure } else { Screen::Prepare };
        if prepared {
            self.measure(now);
        }
        Ok(())
    }

    fn close_unfinished(&mut self, id: VisitId, now: Now) -> Result<(), String> {
        self.have(id, now)?;
        self.keeper.keep(id, now.wall, Act::VisitClosed);
        self.wait_for_book();
        self.look_through();
        Ok(())
    }

    /// Waits until the book has taken everything, at most a second: only where a list is read right after.
    fn wait_for_book(&self) {
        let until = std::time::Instant::now() + std::time::Duration::from_secs(1);
        let waits = || self.exam.as_ref().is_some_and(|e| !e.all_kept(&self.keeper));
        while waits() && std::time::Instant::now() < until {
            std::thread::sleep(std::time::Duration::from_millis(2));
        }
    }

    fn open(&mut self, id: VisitId) -> Result<(), String> {
        let row = self.book.visit(id).map_err(|e| e.to_string())?;
        let events = self.book.events(id).map_err(|e| e.to_string())?;
        let visit = Visit::read(&events).map_err(|e| e.to_string())?;
        self.shown = Some((row, visit));
        self.screen = Screen::Result;
        Ok(())
    }

    fn look_back(&mut self, record: &str) -> Result<(), String> {
        self.wait_for_book();
        let record = History::read(&self.book, record, &self.sets).map_err(|e| e.to_string())?;
        self.history = Some(Shown { record, marked: Vec::new() });
        self.screen = Screen::History;
        Ok(())
    }

    fn hear_again(&mut self) -> Result<(), String> {
        let (row, visit) = self.shown.as_ref().ok_or("no visit is looked at")?;
        let events = self.book.events(row.id).map_err(|e| e.to_string())?;
        let recordings = self.book.recordings(row.id).map_err(|e| e.to_string())?;
        self.again = Some(Again::of(row.id, visit, &events, &recordings));
        self.screen = Screen::Again;
        Ok(())
    }

    fn again(&mut self, act: HeardAgain, now: Now) -> Result<(), String> {
        let output = self.choices.sound().through.and_then(|through| through.to);
        let (Some(again), Some((_, visit))) = (&mut self.again, &self.shown) else {
            return Ok(());
        };
        let Some(moved) = again.apply(act, visit, (now, self.drive, output)) else {
            return Ok(());
        };
        let (id, chosen) = (again.visit, again.chosen);
        let ticket = self.keeper.keep(id, now.wall, moved);
        let until = std::time::Instant::now() + std::time::Duration::from_secs(1);
        while self.keeper.kept() < ticket && std::time::Instant::now() < until {
            std::thread::sleep(std::time::Duration::from_millis(2));
        }
        self.open(id)?;
        self.hear_again()?;
        self.again(HeardAgain::Choose(chosen), now)?;
        self.notice = Some("The mark was moved; the old one stays on the trail.".into());
        Ok(())
    }

    fn leave(&mut self, now: Now) {
        self.close_ear(now);
        self.wait_for_book();
        self.exam = None;
        self.shown = None;
        self.history = None;
        self.again = None;
        self.alarm = None;
        self.not_recording = None;
        self.look_through();
        self.screen = Screen::Visits;
    }

    fn close_visit(&mut self, now: Now) -> Result<(), String> {
        self.act(Act::VisitClosed, now)?;
        self.leave(now);
        Ok(())
    }

    fn act(&mut self, act: Act, now: Now) -> Result<(), String> {
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        exam.act(&self.keeper, now, act).map(drop).map_err(|e| e.to_string())
    }

    /// What needs a visit in hand.
    fn in_visit(&mut self, action: Action, now: Now) -> Result<(), String> {
        match action {
            Action::Answer(weight, answered) => self.act(answered_act(weight, answered), now),
            Action::NoneApplies => self.none_applies(now),
            Action::PutCuff(cuff) => {
                self.act(Act::Prepared(Prepared::Cuff(cuff)), now)?;
                self.remember_cuffs();
                Ok(())
            }
            Action::AsLastTime => self.as_last_time(now),
            Action::NeedleAtZero(answer) => {
                self.act(Act::Prepared(Prepared::NeedleAtZero { answer }), now)
            }
            Action::Feel(foot) => self.act(Act::Prepared(Prepared::Foot(foot)), now),
            Action::SoundChecked => {
                let words = self.sound_words();
                self.act(Act::Prepared(Prepared::Sound { words }), now)
            }
            Action::LeaveOut(step) => self.act(Act::Prepared(Prepared::LeftOut { step }), now),
            Action::EndRest => self.end_rest(now),
            Action::Countersign(who) if !who.trim().is_empty() => {
                self.act(Act::Countersigned { who: who.trim().to_owned() }, now)
            }
            Action::NextDue(on) => self.next_due(&on, now),
            other => self.at_site(other, now),
        }
    }

    fn next_due(&mut self, on: &str, now: Now) -> Result<(), String> {
        let on: Day = on.trim().parse().map_err(|e: NoDay| e.to_string())?;
        let exam = self.exam.as_ref().ok_or("no visit is open")?;
        let who = exam.visit.opened.operator.clone();
        self.act(Act::NextTest { on, who }, now)
    }

    fn none_applies(&mut self, now: Now) -> Result<(), String> {
        let exam = self.exam.as_ref().ok_or("no visit is open")?;
        for item in cautions::to_ask(&exam.visit) {
            let sides: Vec<Option<Side>> = match item.about {
                About::Patient => vec![None],
                About::Leg | About::Arm => Side::BOTH.map(Some).to_vec(),
            };
            for side in sides {
                let answered = Answered { id: item.id.clone(), answer: Answer::No, side };
                self.act(answered_act(item.weight, answered), now)?;
            }
        }
        Ok(())
    }

    fn remember_cuffs(&mut self) {
        use crate::clinical::event::Limb;
        let Some(exam) = &self.exam else { return };
        let mut sizes = self.choices.cuffs().unwrap_or([120, 240, 120, 240]);
        for prepared in &exam.visit.prepared {
            if let Prepared::Cuff(cuff) = prepared {
                let at = if cuff.limb == Limb::Arm { 0 } else { 2 };
                (sizes[at], sizes[at + 1]) = (cuff.width_mm, cuff.length_mm);
            }
        }
        self.choices.change(Change::Cuffs(sizes));
        self.save_settings();
    }

    /// Cuffs and instruments as last time, in one act; the needle at zero is part of it.
    fn as_last_time(&mut self, now: Now) -> Result<(), String> {
        use crate::clinical::event::{Cuff, Limb};
        let [arm_width, arm_length, ankle_width, ankle_length] =
            self.choices.cuffs().ok_or("no cuffs are remembered yet")?;
        for side in Side::BOTH {
            for (limb, width_mm, length_mm) in
                [(Limb::Arm, arm_width, arm_length), (Limb::Ankle, ankle_width, ankle_length)]
            {
                let cuff = Cuff { side, limb, circumference_mm: None, width_mm, length_mm };
                self.act(Act::Prepared(Prepared::Cuff(cuff)), now)?;
            }
        }
        self.act(Act::Prepared(Prepared::NeedleAtZero { answer: Answer::Yes }), now)?;
        if let Some(tenths) = self.choices.probe() {
            self.act(Act::Prepared(Prepared::Probe { mhz: f64::from(tenths) / 10.0 }), now)?;
        }
        Ok(())
    }

    /// What the check of the sound finds now, in words; the same that the screen shows.
    pub fn sound_words(&self) -> String {
        let level = self.snapshot.level;
        if self.snapshot.epoch.is_none() {
            return "No sound.".into();
        }
        let above = level.mean_dbfs - level.background_dbfs;
        let room = match level.background_dbfs {
            b if b > -35.0 => "The room is loud: a weak return could be missed.",
            b if b > -50.0 => "Some background noise: a weak return may be hard to hear.",
            _ => "Little background noise.",
        };
        let clip =
            if level.peak_dbfs > -0.5 { " Too loud for the input: turn it down." } else { "" };
        format!(
            "{room}{clip} Level {:.0} dB, background {:.0} dB, now {above:.0} dB above it.",
            level.mean_dbfs, level.background_dbfs
        )
    }

    fn end_rest(&mut self, now: Now) -> Result<(), String> {
        let wanted_min = self.choices.rest_min();
        let exam = self.exam.as_ref().ok_or("no visit is open")?;
        if exam.rest_recorded().is_none() {
            let minutes = u32::try_from(exam.rested_s(now) / 60).unwrap_or(u32::MAX);
            self.act(Act::Prepared(Prepared::Rested { minutes, wanted_min }), now)?;
        }
        self.go(Screen::Measure, now);
        Ok(())
    }

    /// Makes the measuring screen ready: what was not said in the preparation is recorded as left out, limbs with a
    /// caution are out of the order, and the next site is turned to.
    fn measure(&mut self, now: Now) {
        if let Err(fault) = self.try_measure(now) {
            self.notice = Some(sentence(&fault));
        }
    }

    fn try_measure(&mut self, now: Now) -> Result<(), String> {
        let exam = self.exam.as_ref().ok_or("no visit is open")?;
        if exam.at.is_some() {
            return Ok(());
        }
        let open: Vec<Step> = Step::ALL.into_iter().filter(|s| !exam.step_done(*s)).collect();
        for step in open {
            self.act(Act::Prepared(Prepared::LeftOut { step }), now)?;
        }
        self.take_out_of_order(now)?;
        self.next(now);
        Ok(())
    }

    fn take_out_of_order(&mut self, now: Now) -> Result<(), String> {
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let sites: Vec<Site> = exam.order.round(false).collect();
        for site in sites {
            let tried = exam.visit.attempts.iter().any(|a| a.site == site);
            if let (false, Some(why)) = (tried, cautions::left_out(&exam.visit, site)) {
                let reason = why.to_lowercase();
                let attempt = exam.visit.attempts.iter().map(|a| a.number).max().unwrap_or(0) + 1;
                let phase = Default::default();
                let chosen = Act::SiteChosen { attempt, site, phase, gauge: None };
                let outcome = Act::Outcome { attempt, outcome: Outcome::NotMeasured { reason } };
                for act in [chosen, outcome] {
                    exam.act(&self.keeper, now, act).map_err(|e| e.to_string())?;
                }
            }
        }
        Ok(())
    }

    /// On to the next site, or to the result where there is none.
    fn next(&mut self, now: Now) {
        let next = self.exam.as_ref().and_then(Exam::next_site);
        match next {
            Some(site) => self.turn_to(site, now),
            None => {
                if let Some(exam) = &mut self.exam
                    && let Err(fault) = exam.leave(&self.keeper, now)
                {
                    self.notice = Some(fault.to_string());
                }
                self.go(Screen::Result, now);
            }
        }
    }

    fn turn_to(&mut self, site: Site, now: Now) {
        let Some(exam) = &mut self.exam else { return };
        match exam.turn_to(&self.keeper, now, site) {
            Ok(()) => {
                if let Source::Bench { bench, .. } = &self.source {
                    bench.turn_to(site);
                }
                self.screen = Screen::Measure;
            }
            Err(fault) => self.notice = Some(sentence(&fault.to_string())),
        }
    }

    fn open_valve(&self) {
        if let Source::Bench { bench, .. } = &self.source {
            bench.open_valve();
        }
    }

    /// What needs an attempt that runs.
    fn at_site(&mut self, action: Action, now: Now) -> Result<(), String> {
        let found = self.ear.as_ref().and_then(|ear| ear.locate(now.at));
        let ceiling = self.choices.ceiling();
        let graduation = self.choices.graduation();
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let keeper = &self.keeper;
        let told = |fault: VisitFault| fault.to_string();
        if let Action::TurnTo(site) = action {
            self.turn_to(site, now);
            return Ok(());
        }
        let now_s = exam.clock_s(now.at);
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        if !matches!(action, Action::NoSignal | Action::Enter) {
            at.asked = None;
            at.said = None;
        }
        match action {
            Action::Tap(made) => {
                exam.tap(keeper, now, found, made).map_err(told)?;
            }
            Action::TakeBack if at.kept.is_none() && at.course.take_back(now_s) => {
                let attempt = at.number;
                exam.act(keeper, now, Act::MarkTakenBack { attempt }).map_err(told)?;
                exam.note_stage(keeper, now).map_err(told)?;
            }
            Action::Digit(digit) => at.digit(digit),
            Action::Erase => {
                at.typed.pop();
            }
            Action::Arrow(steps) => at.arrow(steps, graduation),
            Action::Enter => return self.enter(now),
            Action::Repeat => {
                let site = at.site;
                self.turn_to(site, now);
            }
            Action::NoSignal => {
                let heard = at.course.pulses().len() >= 4 && at.asked != Some(Asked::NoSignal);
                if heard {
                    at.asked = Some(Asked::NoSignal);
                    at.said = Some(
                        "A pulse was heard here. Once more: no signal found all the same.".into(),
                    );
                } else {
                    self.end(Outcome::NoSignal, now)?;
                }
            }
            Action::NotCompressible => {
                let limit_mmhg = at.start.unwrap_or(ceiling);
                self.end(Outcome::NotCompressible { limit_mmhg }, now)?;
            }
            Action::AskWhy if at.kept.is_none() => at.asking_why = !at.asking_why,
            Action::NotMeasured(reason) => self.end(Outcome::NotMeasured { reason }, now)?,
            Action::SetStage(stage) => at.course.set_stage(stage, now_s),
            Action::StageOn => at.course.set_stage(keys::beside(at.course.stage(), true), now_s),
            Action::StageBack => at.course.set_stage(keys::beside(at.course.stage(), false), now_s),
            Action::Stop => {
                exam.stop(keeper, now).map_err(told)?;
                self.open_valve();
            }
            Action::NeedleMark => return self.needle_mark(now),
            Action::Word(word) => {
                let site = at.site;
                if let Some(kept) = &mut at.kept {
                    kept.word = Some(word);
                }
                exam.act(keeper, now, Act::Waveform { site, word }).map_err(told)?;
            }
            Action::ChangeReading => {
                at.changing = at.kept.as_ref().is_some_and(|k| k.reading.is_some()) && !at.changing;
                at.typed.clear();
            }
            Action::Next if (at.kept.is_some() || at.stopped) => {
                self.next(now);
            }
            _ => {}
        }
        Ok(())
    }

    fn end(&mut self, outcome: Outcome, now: Now) -> Result<(), String> {
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        if exam.at.as_ref().is_some_and(|at| at.kept.is_some()) {
            return Ok(());
        }
        exam.keep_picture(self.snapshot.columns.iter(), COLUMN_S, self.snapshot.sound_s);
        exam.end(&self.keeper, now, outcome).map_err(|e| e.to_string())?;
        self.open_valve();
        Ok(())
    }

    /// The key or target that keeps: what it means depends on where the attempt stands.
    fn enter(&mut self, now: Now) -> Result<(), String> {
        let graduation = self.choices.graduation();
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        if at.kept.is_some() && !at.changing {
            self.next(now);
            return Ok(());
        }
        if at.typed.is_empty() {
            if at.course.stage() == Stage::Read {
                at.said = Some("Type what the needle showed first.".into());
            }
            return Ok(());
        }
        let given: Result<Given, _> = at.typed.parse();
        let mmhg = match given {
            Ok(Given::Pressure(mmhg)) => mmhg,
            Ok(_) => return Ok(()),
            Err(refused) => {
                at.said = Some(sentence(&format!("{refused}.")));
                return Ok(());
            }
        };
        if at.stage() == Some(Stage::Inflate) {
            return self.pumped_to(mmhg, now);
        }
        if let Some(question) = at.question(mmhg, graduation)
            && at.asked != Some(Asked::Keep(mmhg))
        {
            at.asked = Some(Asked::Keep(mmhg));
            at.said = Some(question);
            return Ok(());
        }
        if at.changing {
            return self.amend(mmhg, now);
        }
        let source = if at.entered() { ReadingSource::Entered } else { ReadingSource::EarAndGauge };
        self.end(Outcome::Reading { cuff_mmhg: mmhg, source }, now)
    }

    /// The pressure that was pumped to: it begins the release, and is a needle mark.
    fn pumped_to(&mut self, mmhg: Mmhg, now: Now) -> Result<(), String> {
        let ceiling = self.choices.ceiling();
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let now_s = exam.clock_s(now.at);
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        if mmhg > ceiling {
            at.said =
                Some(format!("Above this service's ceiling of {ceiling} mmHg: let it down now."));
        }
        at.typed.clear();
        at.start = Some(mmhg);
        at.course.start_from(mmhg, now_s);
        at.course.set_stage(Stage::Release, now_s);
        self.needle(mmhg, now)
    }

    fn needle(&mut self, cuff_mmhg: Mmhg, now: Now) -> Result<(), String> {
        let found = self.ear.as_ref().and_then(|ear| ear.locate(now.at));
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let (now_s, sound) = (exam.clock_s(now.at), exam.sound_time(found, now.at));
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        at.course.needle(cuff_mmhg, now_s);
        at.mark = Some(cuff_mmhg);
        let act = Act::Needle { attempt: at.number, cuff_mmhg, at: sound };
        exam.act(&self.keeper, now, act).map(drop).map_err(|e| e.to_string())
    }

    /// The needle passes the next ten below the last mark.
    fn needle_mark(&mut self, now: Now) -> Result<(), String> {
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        let Some(last) = at.mark else {
            at.said =
                Some("Type the pressure you pumped to first: then each mark is ten lower.".into());
            return Ok(());
        };
        let next = (last.as_tenths() - 1).div_euclid(100) * 100;
        match Mmhg::tenths(next) {
            Ok(mmhg) if next > 0 => self.needle(mmhg, now),
            _ => Ok(()),
        }
    }

    fn amend(&mut self, mmhg: Mmhg, now: Now) -> Result<(), String> {
        let exam = self.exam.as_mut().ok_or("no visit is open")?;
        let Some(at) = exam.at.as_mut() else { return Ok(()) };
        let (attempt, changing) = (at.number, at.kept.clone());
        let Some(kept) = changing else { return Ok(()) };
        let place = usize::try_from(kept.event).ok().and_then(|n| n.checked_sub(1));
        let old = place.and_then(|p| exam.visit_act(p)).ok_or("there is no reading to change")?;
        let source = match &old {
            Act::Outcome { outcome: Outcome::Reading { source, .. }, .. } => *source,
            _ => return Err("there is no reading to change".into()),
        };
        let outcome = Outcome::Reading { cuff_mmhg: mmhg, source };
        let new = Act::Outcome { attempt, outcome };
        let shown = kept.comparison.is_some();
        let why = if shown { "changed after the comparison was shown" } else { "typed wrongly" };
        let who = exam.visit.opened.operator.clone();
        let act = Act::Amendment {
            of: kept.event,
            old: Box::new(old),
            new: Box::new(new),
            who,
            why: why.into(),
        };
        let ticket = exam.act(&self.keeper, now, act).map_err(|e| e.to_string())?;
        if let Some(at) = &mut exam.at {
            at.changing = false;
            at.typed.clear();
            (at.said, at.asked) = (None, None);
            if let Some(kept) = &mut at.kept {
                (kept.ticket, kept.reading) = (ticket, Some(mmhg));
                kept.words = format!("{mmhg} mmHg, changed");
            }
        }
        Ok(())
    }

    /// The result is shown, and what is shown goes to the record, each time it says something new.
    fn show_result(&mut self, now: Now) {
        let Some(exam) = &mut self.exam else { return };
        let shown = exam.result(&self.sets).shown();
        if exam.visit.shown.last() != Some(&shown)
            && let Err(fault) = exam.act(&self.keeper, now, Act::GuidanceShown(shown))
        {
            self.notice = Some(fault.to_string());
        }
    }

    /// The visit that a result is shown of, in hand or from the book.
    pub fn result_visit(&self) -> Option<&Visit> {
        let shown = || self.shown.as_ref().map(|(_, visit)| visit);
        self.exam.as_ref().map(|exam| &exam.visit).or_else(shown)
    }

    /// Writes the report as PDF and as a page, and says where.
    fn save_report(&mut self, now: Now) -> Result<(), String> {
        let visit = self.result_visit().ok_or("no visit is open")?;
        let result = crate::clinical::working::work_out(visit, &self.sets, Default::default());
        let mut content = Content::of(&crate::report::content::Source {
            visit,
            result: &result,
            sets: &self.sets,
            sounds: self.exam.as_ref().map_or(&[][..], |exam| &exam.sounds),
            service: self.choices.service(),
            trail: Trail::Needed,
            chain: None,
        });
        let id = self.exam.as_ref().map(|e| e.id).or(self.shown.as_ref().map(|(row, _)| row.id));
        if let (Some(id), Ok(head)) = (id, self.book.head()) {
            content.kept_in(&head.of_visit(id));
        }
        let pdf = pdf::document(&content, Paper::A4).map_err(|e| e.to_string())?;
        let path = self.report_path(id, &visit.opened.record, now);
        let folder = path.parent().unwrap_or(Path::new("."));
        files::private_folder(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
        for (ending, bytes) in [("html", html::page(&content)), ("pdf", pdf)] {
            let path = path.with_extension(ending);
            let written = files::write_atomic(&path, &bytes);
            written.map_err(|e| format!("{}: {e}", path.display()))?;
        }
        self.notice = Some(format!("Report written: {}, and as .html", path.display()));
        Ok(())
    }

    /// In the visit's own folder, so that deleting the visit finds it.
    fn report_path(&self, id: Option<VisitId>, record: &str, now: Now) -> PathBuf {
        let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' };
        let record: String = record.chars().take(40).map(plain).collect();
        let when = now.wall.utc().strftime("%Y-%m-%d-%H%M%S");
        let folder = self.keeper.folder().join(REPORTS);
        let folder = id.map_or(folder.clone(), |id| folder.join(id.to_string()));
        folder.join(format!("{record}-{when}.pdf"))
    }

    /// Ends everything in order: nothing is lost that was told.
    pub fn close(&mut self, now: Now) {
        self.close_ear(now);
        let end = super::practice::Do::End;
        self.practice.apply(end, &around(&self.sets, &self.choices), now);
        self.wait_for_book();
    }
}

/// What practice borrows.
fn around<'a>(sets: &'a [Set], choices: &Choices) -> Around<'a> {
    let output = choices.sound().through.and_then(|through| through.to);
    Around { set: sets.first(), output }
}

fn answered_act(weight: Weight, answered: Answered) -> Act {
    match weight {
        Weight::RedFlag => Act::RedFlag(answered),
        Weight::Caution => Act::Caution(answered),
    }
}

/// The first letter large.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The date of a moment, as people read it here: `2026-11-25`.
pub fn date(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}

impl super::exam::Attempting {
    fn digit(&mut self, digit: char) {
        let ended = self.kept.is_some() && !self.changing;
        if ended || self.stopped || self.typed.len() >= TYPED {
            return;
        }
        if digit == ',' && (self.typed.is_empty() || self.typed.contains(',')) {
            return;
        }
        self.typed.push(digit);
    }

    /// One graduation up or down; the first step from an empty field begins at a round number.
    fn arrow(&mut self, steps: i32, graduation: Mmhg) {
        let ended = self.kept.is_some() && !self.changing;
        if ended || self.stopped {
            return;
        }
        let tenths = match self.typed.parse::<Given>() {
            Ok(Given::Pressure(mmhg)) => mmhg.as_tenths() + steps * graduation.as_tenths(),
            _ => ARROW_FROM * 10,
        };
        if let Ok(mmhg) = Mmhg::tenths(tenths) {
            self.typed = mmhg.to_string();
        }
    }

    /// What is asked once before this pressure is kept.
    fn question(&self, mmhg: Mmhg, graduation: Mmhg) -> Option<String> {
        if self.start.is_some_and(|start| mmhg > start) {
            return Some("Higher than you pumped to. Keep it all the same? Once more.".into());
        }
        let between = mmhg.as_tenths() % graduation.as_tenths().max(1) != 0;
        let between = between && !self.entered();
        between.then(|| {
            format!("{mmhg} lies between the gauge's lines, {graduation} mmHg apart. Keep it all the same? Once more.")
        })
    }
}
