//! The visit in hand: drives `conduct`, keeps what comes of it in the book, and says what follows for the rest of the
//! window. It moves no screen itself, and decides nothing about medicine.

use std::collections::VecDeque;

use super::action::VisitAct;
use super::choices::{Change, Choices};
use super::listening::Listening;
use super::shelf;
use crate::clinical::event::{Event, Limb, Opened, Prepared, SoundTime};
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::moment::{Day, NoDay};
use crate::clinical::site::Site;
use crate::clinical::sound::Sound;
use crate::clinical::visit::VisitFault;
use crate::conduct::{
    At, AtSite, Command, Conduct, CurrentAttempt, OfVisit, Output, Preparing, Refusal, Rules,
    Stream, preparing,
};
use crate::live::{COLUMN_S, LiveEvent as Told, ROW_HZ, Snapshot};
use crate::logbook::{Keeper, NotKept, Ticket, VisitId};
use crate::report::content;
use crate::units::{Instant, Mmhg, Sonogram};
use crate::window::awake::Awake;
use crate::window::now::Now;
use crate::window::tone::AtReturn;

/// Why an act of the visit is not done.
#[derive(Debug, Clone, PartialEq)]
pub enum NotDone {
    /// Begin a visit, or go on with one.
    BeginOne,
    /// Type the day anew.
    TypeADay(NoDay),
    /// It cannot be done now.
    Refused(Refusal),
}

impl From<NoDay> for NotDone {
    fn from(fault: NoDay) -> Self {
        Self::TypeADay(fault)
    }
}

impl From<Refusal> for NotDone {
    fn from(fault: Refusal) -> Self {
        Self::Refused(fault)
    }
}

impl From<VisitFault> for NotDone {
    fn from(fault: VisitFault) -> Self {
        Self::Refused(fault.into())
    }
}

/// What follows in the rest of the window.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// This site is measured now.
    Turned(Site),
    /// The valve is opened fully.
    ValveOpened,
    /// No site is left: the result.
    Over,
    /// This is chosen again next time.
    Remember(Change),
}

/// What lies beside a visit.
pub struct Beside<'a> {
    /// Where acts are kept.
    pub keeper: &'a Keeper,
    /// What the service chose.
    pub choices: &'a Choices,
    /// The guidance in use.
    pub sets: &'a [GuidanceSet],
    /// The sound.
    pub listening: &'a Listening,
    /// The time.
    pub now: Now,
}

/// A visit that is held.
pub struct HeldVisit {
    /// Its id in the book.
    pub id: VisitId,
    /// Its conduct.
    pub conduct: Conduct,
    /// The sound around each mark, for the report.
    pub sounds: Vec<content::SoundPicture>,
    began: Instant,
    /// Events on their way to the disk, with their places in the book's queue.
    on_the_way: VecDeque<(u64, Ticket)>,
    last: Option<Ticket>,
}

impl HeldVisit {
    /// Seconds on the visit's clock.
    pub fn clock_s(&self, at: Instant) -> f64 {
        at.saturating_duration_since(self.began).as_secs_f64()
    }

    /// An instant, and where it lies in the sound.
    pub fn at(&self, now: Now, sound: Option<SoundTime>) -> At {
        At { s: self.clock_s(now.at), wall: now.wall, sound }
    }

    /// Sends what is to be kept to the book, and takes note of what is on the disk.
    fn keep(&mut self, keeper: &Keeper) -> Vec<Then> {
        let mut then = Vec::new();
        while let Some(output) = self.conduct.poll() {
            match output {
                Output::Keep(event) => {
                    let ticket = keeper.keep(self.id, event.at, event.act);
                    self.on_the_way.push_back((event.n, ticket));
                    self.last = Some(ticket);
                }
                Output::Turned(site) => then.push(Then::Turned(site)),
                Output::OpenValve => then.push(Then::ValveOpened),
                Output::Finished => then.push(Then::Over),
            }
        }
        while let Some((n, _)) = self.on_the_way.front().filter(|(_, t)| *t <= keeper.kept()) {
            self.conduct.committed(*n);
            self.on_the_way.pop_front();
        }
        then
    }

    /// Keeps the picture of the sound around a mark for the report.
    fn keep_picture(&mut self, snapshot: &Snapshot) {
        let Some(current) = self.conduct.current() else { return };
        let rows = snapshot.columns.front().map_or(0, |column| column.len());
        if rows == 0 {
            return;
        }
        let columns = snapshot.columns.len() as f64;
        let sonogram = Sonogram {
            start_s: snapshot.sound_s - columns * COLUMN_S + COLUMN_S / 2.0,
            column_s: COLUMN_S,
            top_hz: ROW_HZ * rows as f64,
            rows,
            levels: snapshot.columns.iter().flatten().copied().collect(),
        };
        let attempt = current.number;
        self.sounds.retain(|sound| sound.attempt != attempt);
        self.sounds.push(content::SoundPicture { attempt, sonogram });
    }
}

/// The visit in hand, if there is one.
#[derive(Default)]
pub struct InHand {
    /// The visit.
    pub held: Option<HeldVisit>,
    /// A reason for finishing is asked for.
    pub finishing: bool,
    awake: Option<Awake>,
}

/// What the service has chosen for its visits.
pub fn rules(choices: &Choices) -> Rules {
    Rules { ceiling: choices.ceiling(), rest_min: choices.rest_min(), sites_known: true }
}

impl InHand {
    /// A visit begins.
    ///
    /// # Errors
    /// What it opens with makes no visit.
    pub fn begin(&mut self, opened: Opened, beside: &Beside<'_>) -> Result<(), NotDone> {
        let at = At { s: 0.0, wall: beside.now.wall, sound: None };
        let conduct = Conduct::open(opened, rules(beside.choices), at)?;
        self.hold(beside.keeper.begin(), conduct, beside);
        Ok(())
    }

    /// An unfinished visit goes on; true where measuring had begun.
    ///
    /// # Errors
    /// Its events make no visit.
    pub fn resume(
        &mut self,
        id: VisitId,
        events: Vec<Event>,
        beside: &Beside<'_>,
    ) -> Result<bool, NotDone> {
        let conduct = Conduct::resume(events, rules(beside.choices))?;
        let visit = conduct.visit();
        let rested = preparing::rest_recorded(visit).is_some();
        let begun = rested || !visit.attempts.is_empty();
        let measuring = begun && !preparing::rests_again(visit);
        self.hold(id, conduct, beside);
        Ok(measuring)
    }

    fn hold(&mut self, id: VisitId, conduct: Conduct, beside: &Beside<'_>) {
        let (sounds, on_the_way) = (Vec::new(), VecDeque::new());
        let began = beside.now.at;
        let held =
            self.held.insert(HeldVisit { id, conduct, sounds, began, on_the_way, last: None });
        held.keep(beside.keeper);
        self.finishing = false;
    }

    /// Pressures of the record's last visit: what is far from them is asked about.
    pub fn set_last_visit(&mut self, pressures: Vec<(Site, Mmhg)>) {
        if let Some(held) = &mut self.held {
            held.conduct.set_last_visit(pressures);
        }
    }

    /// Asks why the rest is not measured; where all is done there is nothing to ask, and measuring ends.
    fn ask_finish(&mut self, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        if self.conduct().is_some_and(|conduct| conduct.not_done().is_empty()) {
            return self.finish("", beside);
        }
        self.finishing = !self.finishing;
        Ok(Vec::new())
    }

    /// Measuring ends here. Where nothing is left to do, no reason is needed.
    fn finish(&mut self, reason: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        self.finishing = false;
        self.act(Command::Visit(OfVisit::Finish(reason.to_owned())), beside)
    }

    /// The conduct of the visit in hand.
    pub fn conduct(&self) -> Option<&Conduct> {
        self.held.as_ref().map(|held| &held.conduct)
    }

    /// Waits until the book has taken everything of the visit in hand: only where a list is read right after, or where
    /// something is said to be kept.
    ///
    /// # Errors
    /// It has not; what was done is held and tried again.
    pub fn wait_for_book(&self, keeper: &Keeper) -> Result<(), NotKept> {
        let last = self.held.as_ref().and_then(|held| held.last);
        last.map_or(Ok(()), |last| shelf::wait(keeper, last))
    }

    /// The attempt that runs, or has just ended.
    pub fn attempt(&self) -> Option<&CurrentAttempt> {
        self.conduct()?.current()
    }

    /// Carries out one command, and gives what follows from it.
    ///
    /// # Errors
    /// No visit is open, or it cannot be done now.
    pub fn act(&mut self, command: Command, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        let held = self.held.as_mut().ok_or(NotDone::BeginOne)?;
        held.conduct.set_rules(rules(beside.choices));
        let at = held.at(beside.now, beside.listening.locate(beside.now.at));
        let before = ended(held);
        let done = held.conduct.act(command, at);
        if ended(held) != before {
            held.keep_picture(&beside.listening.snapshot);
        }
        let then = held.keep(beside.keeper);
        done?;
        Ok(then)
    }

    /// What is done before the first inflation. Cuffs that were put on are remembered.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn prepare(&mut self, deed: Preparing, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        let cuffs = matches!(deed, Preparing::PutCuff(_));
        let mut then = self.act(Command::Prepare(deed), beside)?;
        if cuffs && let Some(conduct) = self.conduct() {
            let known = beside.choices.cuffs_put_on();
            let sizes = conduct.visit().prepared.iter().fold(known, remembered);
            then.push(Then::Remember(Change::Cuffs(sizes)));
        }
        Ok(then)
    }

    /// What is done at a site.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn at_site(&mut self, deed: AtSite, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        match self.act(Command::Site(deed), beside) {
            // A key that means nothing before a site is turned to changes nothing.
            Err(NotDone::Refused(Refusal::NoAttempt)) => Ok(Vec::new()),
            done => done,
        }
    }

    /// What concerns the visit as a whole; what leads away from it is the window's.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn whole(&mut self, act: VisitAct, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        match act {
            VisitAct::Countersign(who) => self.countersign(&who, beside),
            VisitAct::NextDue(on) => self.next_due(&on, beside),
            VisitAct::Plan(words) => self.plan(&words, beside),
            VisitAct::Operator(who) => self.hand_to(&who, beside),
            VisitAct::Exercised(words) => self.exercised(&words, beside),
            VisitAct::AskFinish => self.ask_finish(beside),
            VisitAct::Finish(reason) => self.finish(&reason, beside),
            VisitAct::Moved
            | VisitAct::SaveReport
            | VisitAct::ShowReport
            | VisitAct::PrintReport
            | VisitAct::Close
            | VisitAct::Leave => Ok(Vec::new()),
        }
    }

    /// On to measuring.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn measure(&mut self, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        self.act(Command::Visit(OfVisit::Measure), beside)
    }

    /// What the attempt that runs knows of the return.
    pub fn at_return(&self, now: Now) -> Option<AtReturn> {
        let held = self.held.as_ref()?;
        let current = held.conduct.current()?;
        Some(AtReturn {
            attempt: current.number,
            cue_s: current.course.cue_s(),
            now_s: held.clock_s(now.at),
            ended: current.ended.is_some(),
        })
    }

    /// No sleep and no lock while a visit runs; true once where the system does not keep the screen on.
    pub fn stay_awake(&mut self, wanted: bool) -> bool {
        let runs = self.held.is_some() && wanted;
        if runs != self.awake.is_some() {
            self.awake = runs.then(Awake::hold);
        }
        self.awake.as_ref().is_some_and(Awake::refused)
    }

    /// Lets time pass. What follows where the lifted probe says that the next site may come.
    ///
    /// # Errors
    /// What follows from it does not fit the visit.
    pub fn tick(&mut self, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        let Some(held) = &mut self.held else { return Ok(Vec::new()) };
        let at = held.at(beside.now, beside.listening.locate(beside.now.at));
        let done = held.conduct.tick(at);
        let then = held.keep(beside.keeper);
        done?;
        Ok(then)
    }

    /// Takes note of what has reached the disk, on whatever screen.
    pub fn note_kept(&mut self, keeper: &Keeper) {
        if let Some(held) = &mut self.held {
            held.keep(keeper);
        }
    }

    /// By how much the visit's clock is ahead of the sound's, as the sound is found now.
    pub fn keep_time(&mut self, found_s: f64, now: Now) {
        let Some(held) = &mut self.held else { return };
        let ahead_s = held.clock_s(now.at) - found_s;
        if let Some(stream) = held.conduct.stream() {
            held.conduct.set_stream(Stream { ahead_s, ..stream });
        }
    }

    /// Takes what happened in the sound.
    pub fn hear(&mut self, told: &Told) {
        let Some(held) = &mut self.held else { return };
        if let Told::Began(epoch) = told {
            let ahead_s = held.conduct.stream().map_or(0.0, |stream| stream.ahead_s);
            held.conduct.set_stream(Stream { epoch: epoch.id, rate: epoch.rate, ahead_s });
        }
        let rate = held.conduct.stream().map(|stream| stream.rate);
        if let Some(sound) = rate.and_then(|rate| told.sound(rate)) {
            held.conduct.hear(sound);
        }
    }

    /// Takes the rate of the heart and the listener's verdict on its rhythm.
    pub fn hear_rate(&mut self, bpm: f64, regular: bool) {
        if let Some(held) = &mut self.held {
            held.conduct.hear(Sound::Rate { bpm, regular: Some(regular) });
        }
    }

    /// The sound is over: what was heard in an attempt that was left goes to the record.
    ///
    /// # Errors
    /// It does not fit.
    pub fn sound_ended(&mut self, keeper: &Keeper, now: Now) -> Result<(), NotDone> {
        let Some(held) = &mut self.held else { return Ok(()) };
        let at = held.at(now, None);
        let done = held.conduct.sound_ended(at);
        held.keep(keeper);
        Ok(done?)
    }

    /// The result is shown, and what is shown goes to the record, each time it says something new.
    ///
    /// # Errors
    /// It does not fit.
    pub fn show_result(&mut self, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        let Some(conduct) = self.conduct() else { return Ok(Vec::new()) };
        let shown = conduct.result(beside.sets).shown();
        self.act(Command::Visit(OfVisit::Show(shown)), beside)
    }

    /// A supervisor countersigns; nobody's name is no signature.
    fn countersign(&mut self, who: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        match who.trim() {
            "" => Ok(Vec::new()),
            who => self.act(Command::Visit(OfVisit::Countersign(who.to_owned())), beside),
        }
    }

    /// What is to be done next; empty words change nothing.
    fn plan(&mut self, words: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        match words.trim() {
            "" => Ok(Vec::new()),
            words => self.act(Command::Visit(OfVisit::Plan(words.to_owned())), beside),
        }
    }

    /// Another operator measures from here on.
    fn hand_to(&mut self, who: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        self.finishing = false;
        self.act(Command::Visit(OfVisit::Operator(who.trim().to_owned())), beside)
    }

    /// The patient stops exercising now.
    fn exercised(&mut self, words: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        self.act(Command::Visit(OfVisit::Exercised(words.trim().to_owned())), beside)
    }

    /// The patient moved: rest begins again.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn moved(&mut self, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        self.finishing = false;
        self.act(Command::Prepare(Preparing::RestAgain), beside)
    }

    /// When the next test is due.
    fn next_due(&mut self, on: &str, beside: &Beside<'_>) -> Result<Vec<Then>, NotDone> {
        let on: Day = on.trim().parse()?;
        self.act(Command::Visit(OfVisit::NextTest(on)), beside)
    }
}

/// How the attempt that runs has ended, by its event.
fn ended(held: &HeldVisit) -> Option<u64> {
    held.conduct.current()?.ended.as_ref().map(|ended| ended.event)
}

/// The sizes with those of one more cuff that was put on.
fn remembered(mut sizes: [u32; 4], prepared: &Prepared) -> [u32; 4] {
    if let Prepared::Cuff(cuff) = prepared {
        let at = if cuff.limb == Limb::Arm { 0 } else { 2 };
        (sizes[at], sizes[at + 1]) = (cuff.width_mm, cuff.length_mm);
    }
    sizes
}
