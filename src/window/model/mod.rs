//! The state of the window: what is held, and the one place where actions are applied. Each part owns its fields and says
//! what follows for the rest; here it is carried out.

pub mod action;
pub mod answers;
pub mod choices;
pub mod class_view;
pub mod correcting;
mod delay;
mod deliver;
pub mod drill;
pub mod examined;
pub mod given;
pub mod heard_again;
pub mod kept_class;
pub mod kept_drill;
pub mod listen_first;
pub mod listening;
pub mod loud;
pub mod not_practised;
pub mod opening;
pub mod practice;
mod practice_files;
mod practice_here;
mod putting_right;
pub mod recorded;
mod refused;
pub mod replay;
pub mod report;
pub mod running;
pub mod shelf;
pub mod sound_check;
mod start;
pub mod teacher;
pub mod tried;
pub mod visit;

use std::path::PathBuf;

pub use start::Start;

use action::{Action, OpeningAct, PractiseAct, Screen, ShelfAct, VisitAct};
use choices::{Change, Choices};
use correcting::Correcting;
use listening::Listening;
use opening::Form;
use practice::{Around, Practice};
use refused::Refused;
use replay::Speaker;
use shelf::{Leads, Lent, NotShown, Shelf};
use visit::{Beside, InHand, NotDone, Then};

use super::ear::Drive;
use super::now::Now;
use super::outside::{Deed, Outside};
use crate::clinical::guidance::GuidanceSet;
use crate::conduct::{AtSite, Command, OfVisit};
use crate::live::LiveEvent as Told;
use crate::logbook::{Book, BookFault, BookNote, Keeper};
use crate::settings::Fixed;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

/// The state of the window.
pub struct Model {
    /// The screen that is shown.
    pub screen: Screen,
    /// The screen takes no touch.
    pub locked: bool,
    /// The next key becomes the tap.
    pub learning: bool,
    /// What was just said; goes with the next act.
    pub notice: Option<String>,
    /// The language that the window speaks.
    pub words: Words,
    /// Choices.
    pub choices: Choices,
    /// The guidance in use; empty until a clinician switched it on.
    pub sets: Vec<GuidanceSet>,
    /// The form before a visit.
    pub form: Form,
    /// The visit in hand.
    pub visit: InHand,
    /// What is being put right.
    pub correcting: Option<Correcting>,
    /// The visits there are.
    pub shelf: Shelf,
    /// The sound.
    pub listening: Listening,
    /// Practice on simulated patients.
    pub practice: Practice,
    /// Where acts are kept.
    pub keeper: Keeper,
    outside: Outside,
    settings_path: Option<PathBuf>,
}

impl Model {
    /// The window at its start.
    ///
    /// # Errors
    /// The book cannot be opened.
    pub fn new(start: Start) -> Result<Self, BookFault> {
        let keeper = Keeper::start(&start.book)?;
        let opened = Book::open(&start.book)?;
        let choices = Choices::new(start.settings);
        let screen = if choices.cautions_read() { Screen::Visits } else { Screen::Cautions };
        let mut notes: Vec<BookNote> = keeper.notes().iter().cloned().chain(opened.notes).collect();
        notes.dedup();
        let notes = notes.iter().map(|note| sentence(&note.said(choices.words())) + ".");
        let notes = notes.collect::<Vec<_>>().join(" ");
        let mut model = Self {
            screen,
            words: choices.words(),
            locked: false,
            learning: false,
            notice: (!notes.is_empty()).then_some(notes),
            sets: Vec::new(),
            form: Form::of(choices.operator()),
            visit: InHand::default(),
            correcting: None,
            shelf: Shelf::new(opened.book),
            listening: Listening::new(start.source, start.drive, choices.sound().volume()),
            practice: Practice::new(start.book.join("practice"), start.drive),
            choices,
            keeper,
            outside: Outside::new(start.ask),
            settings_path: start.settings_path,
        };
        model.sets = model.choices.sets();
        model.look_through();
        Ok(model)
    }

    /// The language that the window speaks.
    pub fn words(&self) -> Words {
        self.words
    }

    /// Lets time pass: what happened in the sound, stages that follow, what must be told.
    pub fn tick(&mut self, now: Now) {
        if let Some(found) = self.listening.tick(now) {
            self.visit.keep_time(found.seconds(), now);
        }
        self.shelf.tick(now);
        self.practice.words = self.words;
        self.practice.tick(&Around::of(&self.sets, &self.choices), now);
        self.take_told();
        if let Some((bpm, regular)) = self.listening.snapshot.heart_rate {
            self.visit.hear_rate(f64::from(bpm), regular);
        }
        if self.screen == Screen::Measure {
            let done = self.in_visit(now, InHand::tick);
            self.say(done);
        } else {
            self.visit.note_kept(&self.keeper);
        }
        let measuring = self.screen == Screen::Measure && self.visit.held.is_some();
        let at = self.visit.at_return(now);
        let amiss = self.listening.sound_tone(&self.choices, measuring, at, now);
        let refused = self.visit.stay_awake(self.listening.drive() == Drive::Thread);
        let refused = refused.then(|| self.words().plain(id!("sound-screen")).to_owned());
        // Whatever the screen: a book that cannot keep, or is no longer there, is said at once.
        let words = self.words();
        let trouble = self.keeper.troubled().map(|trouble| refused::trouble(words, &trouble));
        let refused = refused.or_else(|| self.outside.refused().map(|fault| fault.said(words)));
        self.notice = trouble.or(refused).or(amiss).or(self.notice.take());
        self.listening.watch();
    }

    /// Takes what the sound tells, for itself and for the visit.
    fn take_told(&mut self) {
        while let Some(told) = self.listening.poll(&self.choices) {
            self.visit.hear(&told);
            if let Told::NotThrough(said) = told {
                self.notice = Some(say!(self.words(), "sound-not-through", said = said));
            }
        }
    }

    /// Applies one act.
    pub fn apply(&mut self, action: Action, now: Now) {
        let by_key = matches!(action, Action::Site(AtSite::Tap(_) | AtSite::Stop));
        if self.locked && action != Action::Unlock && !by_key {
            return;
        }
        self.notice = None;
        let done = self.done(action, now);
        self.say(done);
    }

    fn done(&mut self, action: Action, now: Now) -> Result<(), Refused> {
        match action {
            Action::AgreeCautions => {
                self.choices.agree();
                self.save_settings();
                self.screen = Screen::Visits;
                Ok(())
            }
            Action::Go(screen) => self.go(screen, now),
            Action::Lock | Action::Unlock => {
                self.locked = action == Action::Lock;
                Ok(())
            }
            Action::LearnTap => {
                self.learning = true;
                Ok(())
            }
            Action::Choose(change) => self.choose(change, now),
            Action::Open(act) => self.open(act, now),
            Action::Prepare(act) => self.in_visit(now, |visit, beside| visit.prepare(act, beside)),
            Action::Site(act) => self.in_visit(now, |visit, beside| visit.at_site(act, beside)),
            Action::Visit(act) => self.whole_visit(act, now),
            Action::PutRight(act) => self.put_right(act, now),
            Action::Shelf(act) => self.at_shelf(act, now),
            Action::Practise(act) => self.practise(act, now),
        }
    }

    /// What was refused is told.
    fn say(&mut self, done: Result<(), Refused>) {
        if let Err(fault) = done {
            self.notice = Some(fault.said(self.words()));
        }
    }

    fn go(&mut self, screen: Screen, now: Now) -> Result<(), Refused> {
        self.screen = screen;
        match screen {
            Screen::Begin => {
                self.form = Form::of(self.choices.operator());
                Ok(())
            }
            Screen::Visits => {
                self.look_through();
                Ok(())
            }
            Screen::Measure => self.in_visit(now, InHand::measure),
            Screen::Result => self.in_visit(now, InHand::show_result),
            Screen::SetUp
            | Screen::Again
            | Screen::Correct
            | Screen::Prepare
            | Screen::Cautions
            | Screen::History
            | Screen::Practise => Ok(()),
        }
    }

    /// Does something to the visit in hand, and what follows from it.
    fn in_visit(
        &mut self,
        now: Now,
        what: impl FnOnce(&mut InHand, &Beside<'_>) -> Result<Vec<Then>, NotDone>,
    ) -> Result<(), Refused> {
        let Self { keeper, choices, sets, listening, visit, .. } = self;
        let then = what(visit, &Beside { keeper, choices, sets, listening, now })?;
        then.into_iter().try_for_each(|then| self.follow(then, now))
    }

    fn follow(&mut self, then: Then, now: Now) -> Result<(), Refused> {
        match then {
            Then::Turned(site) => {
                self.listening.turn_to(site);
                self.screen = Screen::Measure;
                Ok(())
            }
            Then::ValveOpened => {
                self.listening.open_valve();
                Ok(())
            }
            Then::Over => self.go(Screen::Result, now),
            Then::Remember(change) => {
                self.choices.change(change);
                self.save_settings();
                Ok(())
            }
        }
    }

    fn choose(&mut self, change: Change, now: Now) -> Result<(), Refused> {
        let sound = change.is_of_sound();
        let words = self.words();
        let fixed = self.choices.choose(change);
        self.words = self.choices.words();
        let fixed = fixed.map(|Fixed(key)| say!(words, "fault-fixed", key = key));
        self.notice = fixed.or(self.notice.take());
        self.listening.set_loudness(self.choices.sound().volume());
        self.save_settings();
        self.sets = self.choices.sets();
        if sound && self.listening.hears() {
            self.listen(now);
        }
        Ok(())
    }

    fn save_settings(&mut self) {
        if let Some(path) = &self.settings_path
            && let Err(fault) = self.choices.settings().save(path)
        {
            self.notice = Some(say!(self.words(), "fault-settings", said = fault.to_string()));
        }
    }

    fn open(&mut self, act: OpeningAct, now: Now) -> Result<(), Refused> {
        match act {
            OpeningAct::Fill(field) => self.form.fill(field, self.shelf.book()),
            OpeningAct::Begin => {
                let today = now.wall.day();
                let opened = self.form.opened(&self.choices, self.shelf.book(), today)?;
                let paper = opened.scope.is_paper();
                let operator = opened.operator.clone();
                self.put_aside(now)?;
                let last = self.shelf.last_pressures(&opened.record);
                self.in_visit(now, |visit, beside| {
                    visit.begin(opened, beside)?;
                    visit.set_last_visit(last);
                    Ok(Vec::new())
                })?;
                if !operator.is_empty() && operator != self.choices.operator() {
                    self.choices.change(Change::Operator(operator));
                    self.save_settings();
                }
                if paper {
                    return self.in_visit(now, InHand::measure);
                }
                self.listen(now);
                self.screen = Screen::Prepare;
            }
            OpeningAct::Resume(id) => {
                self.put_aside(now)?;
                if self.shelf.have(id, &self.keeper, now)? {
                    self.notice = Some(self.words().plain(id!("fault-taken-over")).into());
                }
                let events = self.shelf.events(id)?;
                let mut measuring = false;
                self.in_visit(now, |visit, beside| {
                    measuring = visit.resume(id, events, beside)?;
                    Ok(Vec::new())
                })?;
                self.listen(now);
                self.screen = if measuring { Screen::Measure } else { Screen::Prepare };
                if measuring {
                    self.in_visit(now, InHand::measure)?;
                }
            }
        }
        Ok(())
    }

    /// What concerns the visit as a whole.
    fn whole_visit(&mut self, act: VisitAct, now: Now) -> Result<(), Refused> {
        match act {
            VisitAct::Countersign(_)
            | VisitAct::NextDue(_)
            | VisitAct::Plan(_)
            | VisitAct::Operator(_)
            | VisitAct::Exercised(_)
            | VisitAct::AskFinish
            | VisitAct::Finish(_) => self.in_visit(now, |visit, beside| visit.whole(act, beside)),
            VisitAct::Moved => {
                self.in_visit(now, InHand::moved)?;
                self.screen = Screen::Prepare;
                Ok(())
            }
            VisitAct::SaveReport => self.save_report(now).map(drop),
            VisitAct::ShowReport => self.hand_out(Deed::Show, now),
            VisitAct::PrintReport => self.hand_out(Deed::Print, now),
            VisitAct::Close => {
                let close = Command::Visit(OfVisit::Close);
                self.in_visit(now, |visit, beside| visit.act(close, beside))?;
                // The report of a closed visit is written by closing it: nobody has to remember it.
                let written = self.save_report(now);
                let said = self.notice.take();
                self.leave(now);
                self.notice = said;
                written.map(drop)
            }
            VisitAct::Leave => {
                self.leave(now);
                Ok(())
            }
        }
    }

    fn at_shelf(&mut self, act: ShelfAct, now: Now) -> Result<(), Refused> {
        let away = matches!(act, ShelfAct::LookBack(_) | ShelfAct::CloseUnfinished(_));
        if away && self.visit.held.is_some() {
            self.leave(now);
        }
        let output = self.choices.sound().through.and_then(|through| through.to);
        let speaker = Speaker { drive: self.listening.drive(), output };
        let words = self.words();
        let lent = Lent { keeper: &self.keeper, sets: &self.sets, speaker, now, words };
        match self.shelf.apply(act, &lent)? {
            Leads::Stay => {}
            Leads::To(screen) => self.screen = screen,
            Leads::Say(id) => self.notice = Some(words.plain(id).into()),
        }
        Ok(())
    }

    fn look_through(&mut self) {
        let found = self.shelf.look_through();
        self.say(found.map_err(Refused::from));
    }

    /// Begins to listen, recording to the visit's folder where that is chosen.
    fn listen(&mut self, now: Now) {
        self.close_ear(now);
        let visit = self.visit.held.as_ref().map(|held| held.id);
        self.listening.begin(visit, &self.choices, &self.keeper, now);
    }

    /// Stops listening; recordings are whole and registered in the book.
    fn close_ear(&mut self, now: Now) {
        if !self.listening.stop(now) {
            return;
        }
        self.take_told();
        let settled = self.visit.sound_ended(&self.keeper, now);
        self.say(settled.map_err(Refused::from));
        if let Some(held) = &self.visit.held {
            let epoch = held.conduct.stream().map_or(1, |stream| stream.epoch);
            self.shelf.register_recordings(held.id, epoch, &self.keeper);
        }
        self.listening.end();
    }

    fn wait_for_book(&mut self) {
        let kept = self.visit.wait_for_book(&self.keeper);
        self.say(kept.map_err(|fault| NotShown::from(fault).into()));
    }

    /// Another visit comes: the one in hand is whole in the book before anything is read from there, or stays in hand.
    fn put_aside(&mut self, now: Now) -> Result<(), Refused> {
        if self.visit.held.is_some() {
            self.visit.wait_for_book(&self.keeper).map_err(NotShown::from)?;
            self.leave(now);
        }
        Ok(())
    }

    fn leave(&mut self, now: Now) {
        self.close_ear(now);
        self.wait_for_book();
        self.visit.held = None;
        self.shelf.put_back();
        self.listening.forget_faults();
        self.look_through();
        self.screen = Screen::Visits;
    }

    /// Ends everything in order: nothing is lost that was told.
    pub fn close(&mut self, now: Now) {
        self.close_ear(now);
        self.practice.apply(PractiseAct::End, &Around::of(&self.sets, &self.choices), now);
        self.wait_for_book();
    }
}
