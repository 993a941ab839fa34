//! The visit in hand: its events, the attempt that runs, the clock that both share. Every act becomes an event and
//! goes to the book at once.

use std::time::Instant;

use super::Now;
use crate::clinical::cautions;
use crate::clinical::course::{Comparison, Course, Prompt};
use crate::clinical::event::{
    Act, Event, Made, Outcome, Phase, Prepared, SoundTime, Stage, Step, WaveformWord,
};
use crate::clinical::guidance::Set;
use crate::clinical::result::VisitResult;
use crate::clinical::sequence::{self, Order};
use crate::clinical::site::{Artery, Site};
use crate::clinical::sound::Sound;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::{Visit, VisitFault};
use crate::clinical::working::{PROGRAM, work_out};
use crate::logbook::{Keeper, Ticket, VisitId};
use crate::report::content;
use crate::units::{Mmhg, SampleIndex, SampleRate, Sonogram};

/// Samples a second of the clock that stands in where there is no sound.
const CLOCK_HZ: u32 = 8_000;
/// After this long the listener has decided when the pulse came back: 7.4 s from its first beat, and some room.
const DECIDED_S: f64 = 9.0;
/// After a kept reading the program goes on by itself once the lifted probe has been silent for this long, seconds.
const LIFTED_S: f64 = 5.0;

/// A stream of sound on the visit's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stream {
    /// Its number.
    pub epoch: u32,
    /// Samples a second.
    pub rate: SampleRate,
    /// Visit's clock less the stream's, seconds.
    pub ahead_s: f64,
}

/// One attempt that runs, or has just ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempting {
    /// Its number in the visit.
    pub number: u32,
    /// Where.
    pub site: Site,
    /// Its course.
    pub course: Course,
    /// What was typed so far.
    pub typed: String,
    /// Why something was not taken, or a question to answer by doing it again.
    pub said: Option<String>,
    /// What must be done twice to be done.
    pub asked: Option<Asked>,
    /// The reason for not measuring is being asked for.
    pub asking_why: bool,
    /// The valve was opened at once.
    pub stopped: bool,
    /// How it ended.
    pub kept: Option<Kept>,
    /// The reading just kept is being changed.
    pub changing: bool,
    /// The pressure that was pumped to.
    pub start: Option<Mmhg>,
    /// The last needle mark.
    pub mark: Option<Mmhg>,
}

/// What must be done twice to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// Keep this pressure.
    Keep(Mmhg),
    /// No signal, though one was heard.
    NoSignal,
}

/// How an attempt ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its place in the book's queue.
    pub ticket: Ticket,
    /// The event's number.
    pub event: u64,
    /// In words.
    pub words: String,
    /// When, on the visit's clock, seconds.
    pub at_s: f64,
    /// The reading.
    pub reading: Option<Mmhg>,
    /// The tap against the first pulse heard, once both are known.
    pub comparison: Option<Comparison>,
    /// The clinician's word for the sound.
    pub word: Option<WaveformWord>,
}

/// The visit in hand.
#[derive(Debug)]
pub struct Exam {
    /// Its id in the book.
    pub id: VisitId,
    /// What has happened.
    pub events: Vec<Event>,
    /// What that makes.
    pub visit: Visit,
    /// The order of sites.
    pub order: Order,
    /// The attempt that runs.
    pub at: Option<Attempting>,
    /// An attempt that was left while the listener still had to say when its pulse came back.
    leaving: Option<Attempting>,
    /// The sound around each mark, for the report.
    pub sounds: Vec<content::Sound>,
    /// The stream that runs.
    pub stream: Option<Stream>,
    /// When each limb's cuff was last opened, on the visit's clock.
    opened: Vec<(Site, f64)>,
    began: Instant,
    last: Ticket,
}

impl Exam {
    /// A visit that begins, or goes on, with these events.
    ///
    /// # Errors
    /// The events make no visit.
    pub fn new(id: VisitId, events: Vec<Event>, now: Now) -> Result<Self, VisitFault> {
        let visit = Visit::from_events(&events)?;
        let shipped = |id: &str| sequence::shipped(id).and_then(Result::ok);
        let order = shipped(&visit.opened.order).or_else(|| shipped(sequence::DEFAULT));
        let order = order.ok_or(VisitFault::NotOpened)?;
        Ok(Self {
            id,
            events,
            visit,
            order,
            at: None,
            leaving: None,
            sounds: Vec::new(),
            stream: None,
            opened: Vec::new(),
            began: now.at,
            last: Ticket(0),
        })
    }

    /// The act at this place (from 0) as it stands after every amendment.
    pub fn visit_act(&self, place: usize) -> Option<Act> {
        let mut act = self.events.get(place)?.act.clone();
        let of = place as u64 + 1;
        for event in &self.events {
            if let Act::Amendment { of: amended, new, .. } = &event.act
                && *amended == of
            {
                act = (**new).clone();
            }
        }
        Some(act)
    }

    /// Seconds on the visit's clock.
    pub fn clock_s(&self, at: Instant) -> f64 {
        at.saturating_duration_since(self.began).as_secs_f64()
    }

    /// Adds an act: to the visit, and to the book's queue.
    ///
    /// # Errors
    /// The act does not fit; nothing was changed.
    pub fn act(&mut self, keeper: &Keeper, now: Now, act: Act) -> Result<Ticket, VisitFault> {
        let n = self.events.len() as u64 + 1;
        self.events.push(Event::new(n, now.wall, act.clone()));
        match Visit::from_events(&self.events) {
            Ok(visit) => self.visit = visit,
            Err(fault) => {
                self.events.pop();
                return Err(fault);
            }
        }
        self.last = keeper.keep(self.id, now.wall, act);
        Ok(self.last)
    }

    /// Whether everything done so far is on the disk.
    pub fn all_kept(&self, keeper: &Keeper) -> bool {
        keeper.kept() >= self.last
    }

    /// What it comes to under these sets.
    pub fn result(&self, sets: &[Set]) -> VisitResult {
        work_out(&self.visit, sets, Assumed::default())
    }

    /// Whole seconds at rest, by the wall clock: it goes on while the computer sleeps.
    pub fn rested_s(&self, now: Now) -> u64 {
        let since = now.wall.utc().duration_since(self.visit.opened_at.utc());
        u64::try_from(since.as_secs()).unwrap_or(0)
    }

    /// The minutes of rest that were recorded; none while it goes on.
    pub fn rest_recorded(&self) -> Option<u32> {
        self.visit.prepared.iter().rev().find_map(|p| match p {
            Prepared::Rested { minutes, .. } => Some(*minutes),
            _ => None,
        })
    }

    /// Whether a step of the preparation was done, or left out.
    pub fn step_done(&self, step: Step) -> bool {
        let prepared = |what: fn(&Prepared) -> bool| self.visit.prepared.iter().any(what);
        let left_out = self
            .visit
            .prepared
            .iter()
            .any(|p| matches!(p, Prepared::LeftOut { step: left } if *left == step));
        left_out
            || match step {
                Step::Cautions => cautions::to_ask(&self.visit).is_empty(),
                Step::Cuffs => prepared(|p| matches!(p, Prepared::Cuff(_))),
                Step::Instruments => prepared(|p| matches!(p, Prepared::NeedleAtZero { .. })),
                Step::Feet => {
                    let feet = self.visit.prepared.iter();
                    feet.filter(|p| matches!(p, Prepared::Foot(_))).count() >= 2
                }
                Step::Sound => prepared(|p| matches!(p, Prepared::Sound { .. })),
                Step::Rest => self.rest_recorded().is_some(),
            }
    }

    /// Where an instant lies in the sound, or on the visit's clock where there is none.
    pub fn sound_time(&self, found: Option<SoundTime>, at: Instant) -> SoundTime {
        found.unwrap_or_else(|| SoundTime {
            epoch: 0,
            sample: SampleIndex((self.clock_s(at) * f64::from(CLOCK_HZ)) as u64),
            rate_hz: CLOCK_HZ,
        })
    }

    /// Begins an attempt.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn turn_to(&mut self, keeper: &Keeper, now: Now, site: Site) -> Result<(), VisitFault> {
        self.leave(keeper, now)?;
        let attempt = self.visit.attempts.iter().map(|a| a.number).max().unwrap_or(0) + 1;
        let act = Act::SiteChosen { attempt, site, phase: Phase::Rest, gauge: None };
        self.act(keeper, now, act)?;
        self.at = Some(Attempting::new(attempt, site, Course::new(self.clock_s(now.at))));
        Ok(())
    }

    /// Leaves the attempt that runs. What the listener heard in it goes to the record as soon as it is known.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn leave(&mut self, keeper: &Keeper, now: Now) -> Result<(), VisitFault> {
        self.settle(keeper, now)?;
        self.leaving = self.at.take();
        let waits = self.leaving.as_ref().is_some_and(|at| at.undecided(self.clock_s(now.at)));
        if waits { Ok(()) } else { self.settle(keeper, now) }
    }

    /// Writes down what was heard in the attempt that was left.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn settle(&mut self, keeper: &Keeper, now: Now) -> Result<(), VisitFault> {
        let Some(at) = self.leaving.take() else { return Ok(()) };
        if at.course.pulses().is_empty() {
            return Ok(());
        }
        let (epoch, ahead_s) = self.stream.map_or((0, 0.0), |s| (s.epoch, s.ahead_s));
        let heard = at.course.heard(epoch, ahead_s, PROGRAM);
        self.act(keeper, now, Act::Finding { attempt: at.number, heard })?;
        Ok(())
    }

    /// The site that comes next, by the order and the repeats that are asked for.
    pub fn next_site(&self) -> Option<Site> {
        self.order.next(&self.visit, false)
    }

    /// Takes a stage over into the record, where it changed.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn note_stage(&mut self, keeper: &Keeper, now: Now) -> Result<(), VisitFault> {
        let Some(at) = &self.at else { return Ok(()) };
        let (attempt, stage) = (at.number, at.course.stage());
        let known = self.visit.attempt(attempt).and_then(|a| a.stage);
        if known != Some(stage) && at.kept.is_none() {
            self.act(keeper, now, Act::Stage { attempt, stage })?;
        }
        Ok(())
    }

    /// Takes a tap; false of one that bounced, or where nothing runs.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn tap(
        &mut self,
        keeper: &Keeper,
        now: Now,
        found: Option<SoundTime>,
        made: Made,
    ) -> Result<bool, VisitFault> {
        let (clock_s, at) = (self.clock_s(now.at), self.sound_time(found, now.at));
        let Some(attempting) = &mut self.at else { return Ok(false) };
        if !attempting.course.tap(clock_s) {
            return Ok(false);
        }
        let attempt = attempting.number;
        self.act(keeper, now, Act::Mark { attempt, at, made })?;
        self.note_stage(keeper, now)?;
        Ok(true)
    }

    /// Ends the attempt with an outcome.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn end(&mut self, keeper: &Keeper, now: Now, outcome: Outcome) -> Result<(), VisitFault> {
        let Some(at) = &self.at else { return Ok(()) };
        let (attempt, site) = (at.number, at.site);
        let reading = match outcome {
            Outcome::Reading { cuff_mmhg, .. } => Some(cuff_mmhg),
            _ => None,
        };
        let words = outcome_words(&outcome);
        let ticket = self.act(keeper, now, Act::Outcome { attempt, outcome })?;
        let (at_s, event) = (self.clock_s(now.at), self.events.len() as u64);
        self.opened.retain(|(s, _)| *s != site);
        self.opened.push((site, at_s));
        if let Some(at) = &mut self.at {
            at.course.opened(at_s);
            at.typed.clear();
            (at.said, at.asked, at.asking_why) = (None, None, false);
            let word = None;
            at.kept = Some(Kept { ticket, event, words, at_s, reading, comparison: None, word });
        }
        Ok(())
    }

    /// The valve was opened at once.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn stop(&mut self, keeper: &Keeper, now: Now) -> Result<(), VisitFault> {
        let now_s = self.clock_s(now.at);
        let Some(at) = self.at.as_mut().filter(|at| !at.stopped && at.kept.is_none()) else {
            return Ok(());
        };
        at.stopped = true;
        at.course.opened(now_s);
        let (attempt, site) = (at.number, at.site);
        self.opened.retain(|(s, _)| *s != site);
        self.opened.push((site, now_s));
        self.act(keeper, now, Act::Stopped { attempt, why: None })?;
        Ok(())
    }

    /// Seconds to wait before this limb's cuff is pumped again.
    pub fn wait_s(&self, site: Site, now: Now, wanted_s: u32) -> u32 {
        let limb = |s: &Site| s.side == site.side && s.is_arm() == site.is_arm();
        let last = self.opened.iter().filter(|(s, _)| limb(s)).map(|(_, at_s)| *at_s);
        let since = last.map(|at_s| self.clock_s(now.at) - at_s).fold(f64::INFINITY, f64::min);
        (f64::from(wanted_s) - since).max(0.0).ceil() as u32
    }

    /// Takes what was heard on the stream's own clock.
    pub fn hear(&mut self, sound: Sound) {
        let sound = sound.shifted(self.stream.map_or(0.0, |s| s.ahead_s));
        if let (Some(at), Sound::Return { .. }) = (&mut self.leaving, sound) {
            at.course.hear(sound);
        }
        if let Some(at) = &mut self.at {
            at.course.hear(sound);
        }
    }

    /// Lets time pass: stages that follow by themselves, the comparison once it is known. True where the probe was
    /// lifted after a kept reading, so that the next site may come.
    ///
    /// # Errors
    /// As [`Exam::act`].
    pub fn tick(&mut self, keeper: &Keeper, now: Now) -> Result<bool, VisitFault> {
        let now_s = self.clock_s(now.at);
        if self.leaving.as_ref().is_some_and(|at| !at.undecided(now_s)) {
            self.settle(keeper, now)?;
        }
        let Some(at) = &mut self.at else { return Ok(false) };
        at.course.tick(now_s);
        let mut compared = None;
        if let Some(kept) =
            at.kept.as_mut().filter(|k| k.comparison.is_none() && k.reading.is_some())
        {
            kept.comparison = at.course.comparison(kept.reading, Assumed::default());
            compared = kept.comparison;
        }
        let attempt = at.number;
        let lifted = at.lifted(now_s);
        if let Some(found) = compared {
            let Comparison { late_s, beats, mmhg, .. } = found;
            let beats = beats.unwrap_or_default();
            self.act(keeper, now, Act::Compared { attempt, late_s, beats, mmhg })?;
        }
        self.note_stage(keeper, now)?;
        Ok(lifted)
    }

    /// Keeps the picture of the sound around a mark for the report.
    pub fn keep_picture(
        &mut self,
        columns: impl ExactSizeIterator<Item = impl AsRef<[u8]>>,
        column_s: f64,
        sound_s: f64,
    ) {
        let Some(at) = &self.at else { return };
        let start_s = sound_s - columns.len() as f64 * column_s + column_s / 2.0;
        let mut rows = 0;
        let mut levels = Vec::new();
        for column in columns {
            rows = column.as_ref().len();
            levels.extend_from_slice(column.as_ref());
        }
        if rows == 0 {
            return;
        }
        let top_hz = 62.5 * rows as f64;
        let sonogram = Sonogram { start_s, column_s, top_hz, rows, levels };
        let attempt = at.number;
        self.sounds.retain(|sound| sound.attempt != attempt);
        self.sounds.push(content::Sound { attempt, sonogram });
    }
}

impl Attempting {
    fn new(number: u32, site: Site, course: Course) -> Self {
        Self {
            number,
            site,
            course,
            typed: String::new(),
            said: None,
            asked: None,
            asking_why: false,
            stopped: false,
            kept: None,
            changing: false,
            start: None,
            mark: None,
        }
    }

    /// True of a pressure that another instrument gives: the toe.
    pub fn entered(&self) -> bool {
        self.site.artery == Artery::GreatToe
    }

    /// What to do now.
    pub fn prompt(&self, now_s: f64) -> Prompt {
        let say = |now: &str, more: &str| Prompt { now: now.into(), more: more.into() };
        match &self.kept {
            Some(_) if self.changing => {
                say("Type the corrected reading.", "The old one stays in the record.")
            }
            Some(kept) if kept.reading.is_some() => say(
                "Kept. Open the valve fully.",
                "How does the artery sound? Then on to the next site.",
            ),
            Some(_) if self.entered() => say("Kept.", "On to the next site."),
            Some(_) => say("Kept. Open the valve fully.", "On to the next site."),
            None if self.asking_why => say("Why was it not measured?", "One key or one touch."),
            None if self.stopped => say(
                "Open the valve fully.",
                "Then repeat this site, or say why it is not measured.",
            ),
            None if self.entered() => {
                say("Type the toe pressure from the other instrument.", "It is marked as entered.")
            }
            None => self.course.prompt(now_s),
        }
    }

    /// Whether the probe was lifted after a reading whose signal was there again: time for the next site.
    fn lifted(&self, now_s: f64) -> bool {
        let Some(kept) = self.kept.as_ref().filter(|k| k.reading.is_some() && !self.changing)
        else {
            return false;
        };
        let last_s = self.course.pulses().last().map_or(kept.at_s, |p| p.0.max(kept.at_s));
        self.course.probe_stayed(now_s) == Some(true) && now_s - last_s > LIFTED_S
    }

    /// Whether the listener may still say when the pulse came back.
    pub fn undecided(&self, now_s: f64) -> bool {
        let kept = self.kept.as_ref().filter(|kept| kept.reading.is_some());
        kept.is_some_and(|kept| self.course.return_s().is_none() && now_s - kept.at_s < DECIDED_S)
    }

    /// The stage, as far as one runs.
    pub fn stage(&self) -> Option<Stage> {
        (self.kept.is_none() && !self.stopped && !self.entered()).then(|| self.course.stage())
    }
}

/// An outcome in words for the clinician.
pub fn outcome_words(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Reading { cuff_mmhg, .. } => format!("{cuff_mmhg} mmHg"),
        Outcome::NotCompressible { limit_mmhg } => format!("not compressible at {limit_mmhg} mmHg"),
        Outcome::NoSignal => "no signal found".into(),
        Outcome::NotMeasured { reason } => format!("not measured: {reason}"),
    }
}
