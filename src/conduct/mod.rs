//! A visit under way: what the clinician does, what was heard and the time go in; events to be kept, what to do in the
//! world and what to say come out.
//!
//! Pure. [`Conduct`] reads no clock, writes nothing and shows nothing. Whoever drives it (the bedside window, the
//! terminal, the demonstration's scripted clinician, a test) passes a [`Command`] or a sound with an [`At`], then polls
//! [`Conduct::poll`] until nothing more comes, and tells it by [`Conduct::committed`] what has reached the disk.
//! What it says are values ([`Prompt`], [`Warning`], [`Question`], [`Notice`]); [`wording`] puts them into words.
//!
//! A new deed of the clinician begins in the file `command`; the compiler names every place that must then know of it.

mod attempt;
mod command;
mod correct;
mod course;
mod entry;
mod fault;
mod needle;
pub mod preparing;
mod question;
mod record;
mod rules;
mod say;
mod sites;
mod time;
pub mod wording;

use std::collections::VecDeque;

pub use attempt::{CurrentAttempt, Ended};
pub use command::{AtSite, Command, Correction, LastTime, OfVisit, Preparing};
pub use course::Course;
pub use entry::{Entry, Field};
pub use fault::Refusal;
pub use needle::{Fall, FallFrom};
pub use question::{Doubt, Question, ReadingContext};
pub use rules::Rules;
pub use say::{Comparison, Notice, Prompt, Warning};
pub use time::{At, Stream};

use record::Record;
use sites::{SiteEffect, Sites};

use crate::clinical::event::{Act, Event, Opened, Outcome, Prepared, Stage};
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::repeats::wanted;
use crate::clinical::result::VisitResult;
use crate::clinical::sequence::{self, Order};
use crate::clinical::site::Site;
use crate::clinical::sound::Sound;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::{Visit, VisitFault};
use crate::clinical::working::work_out_in;
use crate::units::Mmhg;
use crate::words::Words;

/// What a driver is to do.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "almost every output is an event, and none waits in a long queue"
)]
pub enum Output {
    /// Write this event down, then say so by [`Conduct::committed`].
    Keep(Event),
    /// This site was turned to: show it, and let a simulated patient follow.
    Turned(Site),
    /// The valve is to be opened fully.
    OpenValve,
    /// No site is left: show the result.
    Finished,
}

/// A visit under way.
#[derive(Debug, Clone, PartialEq)]
pub struct Conduct {
    record: Record,
    sites: Sites,
    order: Order,
    rules: Rules,
    finished: VecDeque<Output>,
}

impl Conduct {
    /// A visit that begins.
    ///
    /// # Errors
    /// What it opens with makes no visit.
    pub fn open(opened: Opened, rules: Rules, at: At) -> Result<Self, VisitFault> {
        Self::of(Record::open(opened, at)?, rules)
    }

    /// A visit that goes on; these events are on the disk already.
    ///
    /// # Errors
    /// The events make no visit.
    pub fn resume(events: Vec<Event>, rules: Rules) -> Result<Self, VisitFault> {
        Self::of(Record::resume(events)?, rules)
    }

    fn of(record: Record, rules: Rules) -> Result<Self, VisitFault> {
        let shipped = |id: &str| sequence::shipped(id).and_then(Result::ok);
        let order = shipped(&record.visit().opened.order).or_else(|| shipped(sequence::DEFAULT));
        let order = order.ok_or(VisitFault::NotOpened)?;
        let (sites, finished) = (Sites::default(), VecDeque::new());
        Ok(Self { record, sites, order, rules, finished })
    }

    /// What the service has chosen, from now on.
    pub fn set_rules(&mut self, rules: Rules) {
        self.rules = rules;
    }

    /// Pressures of this record's last visit: what is far from them is asked about.
    pub fn set_last_visit(&mut self, pressures: Vec<(Site, Mmhg)>) {
        self.sites.set_last_visit(pressures);
    }

    /// A stream of sound runs from now on, or is better known.
    pub fn set_stream(&mut self, stream: Stream) {
        self.sites.set_stream(stream);
    }

    /// Takes what was heard, on the stream's own clock.
    pub fn hear(&mut self, sound: Sound) {
        self.sites.hear(sound);
    }

    /// Lets time pass.
    ///
    /// # Errors
    /// What follows from it does not fit the visit.
    pub fn tick(&mut self, at: At) -> Result<(), Refusal> {
        if self.sites.tick(&mut self.record, at)? {
            self.next(at)?;
        }
        Ok(())
    }

    /// The sound has ended: what was heard and not yet written down goes to the record.
    ///
    /// # Errors
    /// As [`Conduct::tick`].
    pub fn sound_ended(&mut self, at: At) -> Result<(), Refusal> {
        Ok(self.sites.settle(&mut self.record, at)?)
    }

    /// Carries out one deed of the clinician.
    ///
    /// # Errors
    /// It cannot be done now; nothing was changed.
    pub fn act(&mut self, command: Command, at: At) -> Result<(), Refusal> {
        match command {
            Command::Prepare(preparing) => self.prepare(preparing, at),
            Command::Site(deed) => self.at_site(deed, at),
            Command::Correct(correction) => self.correct(correction, at),
            Command::Visit(deed) => self.of_visit(deed, at),
        }
    }

    fn prepare(&mut self, deed: Preparing, at: At) -> Result<(), Refusal> {
        let record = &mut self.record;
        match deed {
            Preparing::Answer(weight, answered) => preparing::answer(record, at, weight, answered),
            Preparing::NoneApplies => preparing::none_applies(record, at),
            Preparing::PutCuff(cuff) => preparing::prepared(record, at, Prepared::Cuff(cuff)),
            Preparing::AsLastTime(last) => preparing::as_last_time(record, at, last),
            Preparing::NeedleAtZero(answer) => {
                preparing::prepared(record, at, Prepared::NeedleAtZero { answer })
            }
            Preparing::Feel(foot) => preparing::prepared(record, at, Prepared::Foot(foot)),
            Preparing::Wound(side, care) => {
                preparing::prepared(record, at, Prepared::Wound { side, care })
            }
            Preparing::SoundChecked(words) => {
                preparing::prepared(record, at, Prepared::Sound { words })
            }
            Preparing::LeaveOut(step) => {
                preparing::prepared(record, at, Prepared::LeftOut { step })
            }
            Preparing::RestAgain => {
                self.sites.leave(record, at)?;
                preparing::prepared(record, at, Prepared::RestBeganAgain)
            }
            Preparing::EndRest => {
                preparing::end_rest(record, at, self.rules.rest_min)?;
                self.measure(at)
            }
        }
    }

    fn at_site(&mut self, deed: AtSite, at: At) -> Result<(), Refusal> {
        let (record, sites, ceiling) = (&mut self.record, &mut self.sites, self.rules.ceiling);
        match deed {
            AtSite::TurnTo(site) => {
                let phase = record.visit().phase();
                sites.turn_to(record, at, (site, phase))
            }
            AtSite::Next => self.next_if_over(at),
            AtSite::Repeat => self.repeat(at),
            AtSite::Tap(made) => sites.tap(record, at, made),
            AtSite::Undo => self.undo(at),
            AtSite::Digit(digit) => sites.digit(digit),
            AtSite::Erase => sites.erase(),
            AtSite::Arrow(steps) => {
                let graduation = record.visit().opened.gauge.graduation_mmhg;
                sites.arrow(steps, graduation)
            }
            AtSite::InflatedTo => sites.inflated_to(record, at, ceiling),
            AtSite::Enter => match sites.enter(record, at, self.rules)? {
                true => self.next(at),
                false => Ok(()),
            },
            AtSite::NoSignal => sites.no_signal(record, at),
            AtSite::NotCompressible => sites.not_compressible(record, at),
            AtSite::AskWhy => sites.ask_why(),
            AtSite::NotMeasured(reason) => sites.end(record, at, Outcome::NotMeasured { reason }),
            AtSite::StageOn => self.beside(true, at),
            AtSite::StageBack => self.beside(false, at),
            AtSite::SetStage(stage) => sites.set_stage(stage, at),
            AtSite::Stop => sites.stop(record, at),
            AtSite::NeedleMark => sites.needle_mark(record, at),
            AtSite::Needle(cuff_mmhg) => sites.needle(record, at, cuff_mmhg),
            AtSite::Word(word) => sites.word(record, at, word),
            AtSite::CorrectReading => sites.correct_reading(),
        }
    }

    fn beside(&mut self, on: bool, at: At) -> Result<(), Refusal> {
        let current = self.sites.current().ok_or(Refusal::NoAttempt)?;
        self.sites.set_stage(stage_beside(current.course.stage(), on), at)
    }

    fn repeat(&mut self, at: At) -> Result<(), Refusal> {
        let current = self.sites.current().ok_or(Refusal::NoAttempt)?;
        let again = (current.site, current.phase);
        self.sites.turn_to(&mut self.record, at, again)
    }

    fn correct(&mut self, correction: Correction, at: At) -> Result<(), Refusal> {
        let record = &mut self.record;
        match correction {
            Correction::Outcome { attempt, outcome, who, why } => {
                correct::outcome(record, at, (attempt, outcome.clone()), (&who, &why))?;
                self.sites.corrected(attempt, &outcome);
                Ok(())
            }
            Correction::Withdraw { attempt, who, why } => {
                correct::withdraw(record, at, attempt, (&who, &why)).map(drop)
            }
        }
    }

    fn of_visit(&mut self, deed: OfVisit, at: At) -> Result<(), Refusal> {
        let act = match deed {
            OfVisit::Measure => return self.measure(at),
            OfVisit::Finish(reason) => return self.finish(&reason, at),
            OfVisit::Show(shown) => {
                if self.record.visit().shown.last() != Some(&shown) {
                    self.record.add(at, Act::GuidanceShown(shown))?;
                }
                return Ok(());
            }
            OfVisit::Exercised(words) => return self.exercised(words, at),
            OfVisit::Plan(words) => {
                let who = self.operator().to_owned();
                Act::Plan { words, who }
            }
            OfVisit::Operator(who) if who.trim().is_empty() => return Err(Refusal::NoCode),
            OfVisit::Operator(who) => Act::OperatorChanged { who },
            OfVisit::Countersign(who) => Act::Countersigned { who },
            OfVisit::NextTest(on) => Act::NextTest { on, who: self.operator().to_owned() },
            OfVisit::Close => {
                self.sites.leave(&mut self.record, at)?;
                self.sites.settle(&mut self.record, at)?;
                self.record.add(at, Act::VisitClosed)?;
                return Ok(());
            }
        };
        self.record.does(at, act)?;
        Ok(())
    }

    /// Who measures now.
    pub fn operator(&self) -> &str {
        self.record.visit().operators.last().map_or("", String::as_str)
    }

    /// The patient stops exercising now; the sites that the indexes at rest were made of are measured again.
    fn exercised(&mut self, words: String, at: At) -> Result<(), Refusal> {
        let visit = self.record.visit();
        let indexes = self.result(&[]);
        if visit.exercised.is_none() && indexes.right.index.or(indexes.left.index).is_none() {
            return Err(Refusal::NothingAtRest);
        }
        self.sites.leave(&mut self.record, at)?;
        self.record.does(at, Act::Exercised { words })?;
        self.next(at)
    }

    /// The last act is undone. Where that was the exercise, the site that is turned to is one at rest again.
    fn undo(&mut self, at: At) -> Result<(), Refusal> {
        self.sites.undo(&mut self.record, at)?;
        let phase = self.record.visit().phase();
        match self.sites.current() {
            Some(current) if current.phase != phase && current.ended.is_none() => self.next(at),
            _ => Ok(()),
        }
    }

    /// On to measuring: what was not said in the preparation is recorded as left out, limbs with a caution are out of
    /// the order, and the next site is turned to.
    fn measure(&mut self, at: At) -> Result<(), Refusal> {
        if self.sites.current().is_some() {
            return Ok(());
        }
        preparing::leave_out_the_rest(&mut self.record, at)?;
        preparing::take_out_of_order(&mut self.record, at, &self.order)?;
        self.next(at)
    }

    fn next_if_over(&mut self, at: At) -> Result<(), Refusal> {
        let current = self.sites.current().ok_or(Refusal::NoAttempt)?;
        if current.ended.is_some() || current.stopped { self.next(at) } else { Ok(()) }
    }

    /// The sites of the visit's round that have no outcome yet.
    pub fn not_done(&self) -> Vec<Site> {
        self.order.open(self.record.visit())
    }

    /// Measuring ends here: what was not done is recorded as not measured, with one reason for all.
    fn finish(&mut self, reason: &str, at: At) -> Result<(), Refusal> {
        if reason.trim().is_empty() && !self.not_done().is_empty() {
            return Err(Refusal::NoReason);
        }
        // A repeat that was begun and not ended stays unfinished: its site has an outcome.
        let open = self.not_done();
        let here = self.sites.current().filter(|current| current.ended.is_none());
        if here.is_some_and(|current| open.contains(&current.site)) {
            let reason = reason.to_owned();
            self.sites.end(&mut self.record, at, Outcome::NotMeasured { reason })?;
        }
        for site in self.not_done() {
            preparing::not_measured(&mut self.record, at, (site, reason))?;
        }
        self.sites.leave(&mut self.record, at)?;
        self.finished.push_back(Output::Finished);
        Ok(())
    }

    /// On to the next site, or to the result where there is none.
    fn next(&mut self, at: At) -> Result<(), Refusal> {
        match self.next_site() {
            Some(site) => {
                let phase = self.record.visit().phase();
                self.sites.turn_to(&mut self.record, at, (site, phase))
            }
            None => {
                self.sites.leave(&mut self.record, at)?;
                self.finished.push_back(Output::Finished);
                Ok(())
            }
        }
    }

    /// The next thing that the driver is to do; events come first, in order.
    pub fn poll(&mut self) -> Option<Output> {
        if let Some(event) = self.record.poll() {
            return Some(Output::Keep(event));
        }
        let effect = self.sites.poll().map(|effect| match effect {
            SiteEffect::Turned(site) => Output::Turned(site),
            SiteEffect::OpenValve => Output::OpenValve,
        });
        effect.or_else(|| self.finished.pop_front())
    }

    /// Every event up to this number is on the disk.
    pub fn committed(&mut self, up_to: u64) {
        self.record.set_committed(up_to);
    }

    /// Whether everything done so far is on the disk.
    pub fn all_committed(&self) -> bool {
        self.record.all_committed()
    }

    /// The site that comes next, by the order and the repeats that are asked for.
    pub fn next_site(&self) -> Option<Site> {
        self.order.next(self.record.visit())
    }

    /// Why the site that is turned to is measured again, where a rule asks for it, in the words of a language.
    pub fn why_again(&self, words: Words) -> Option<String> {
        let current = self.sites.current().filter(|current| current.ended.is_none())?;
        let wanted = wanted(self.record.visit(), words);
        wanted.into_iter().find(|w| w.site == current.site).map(|w| w.why)
    }

    /// The attempt that runs, or has just ended.
    pub fn current(&self) -> Option<&CurrentAttempt> {
        self.sites.current()
    }

    /// What to do now at the site.
    pub fn prompt(&self, now_s: f64) -> Option<Prompt> {
        let current = self.sites.current()?;
        let saved = current.ended.as_ref().is_none_or(|e| self.record.is_committed(e.event));
        Some(current.prompt(now_s, saved))
    }

    /// What is amiss at the site.
    pub fn warnings(&self, now_s: f64) -> Vec<Warning> {
        let running = self.sites.current();
        let running = running.filter(|c| c.ended.is_none() && !c.stopped && !c.entered());
        running.map_or(Vec::new(), |c| c.course.warnings(now_s, self.rules.ceiling))
    }

    /// Seconds to wait before this limb's cuff is inflated again.
    pub fn wait_s(&self, site: Site, now_s: f64, wanted_s: u32) -> u32 {
        self.sites.wait_s(site, now_s, wanted_s)
    }

    /// The stream of sound that runs.
    pub fn stream(&self) -> Option<Stream> {
        self.sites.stream()
    }

    /// The visit so far.
    pub fn visit(&self) -> &Visit {
        self.record.visit()
    }

    /// What has happened.
    pub fn events(&self) -> &[Event] {
        self.record.events()
    }

    /// The order of sites.
    pub fn order(&self) -> &Order {
        &self.order
    }

    /// What it comes to under these sets.
    pub fn result(&self, sets: &[GuidanceSet]) -> VisitResult {
        self.result_in(Words::english(), sets)
    }

    /// The same in the words of a language.
    pub fn result_in(&self, words: Words, sets: &[GuidanceSet]) -> VisitResult {
        work_out_in(words, self.record.visit(), sets, Assumed::default())
    }
}

/// The stage after, and the stage before.
pub const fn stage_beside(stage: Stage, on: bool) -> Stage {
    match (stage, on) {
        (Stage::Find, true) | (Stage::Release, false) => Stage::Inflate,
        (Stage::Inflate, true) | (Stage::Read, false) => Stage::Release,
        (Stage::Release | Stage::Read, true) => Stage::Read,
        (Stage::Find | Stage::Inflate, false) => Stage::Find,
    }
}
