//! A visit worked out from its events: amendments applied, attempts gathered, order checked.

use std::collections::BTreeSet;

use super::event::{
    Act, Answered, Event, Heard, Made, Opened, Outcome, Phase, Prepared, SoundTime, Source, Stage,
    WaveformWord,
};
use super::moment::{Day, Moment};
use super::shown::Shown;
use super::site::Site;
use crate::units::Mmhg;

/// One visit, as its events make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// What it opened with.
    pub opened: Opened,
    /// When it opened.
    pub opened_at: Moment,
    /// Every attempt, in order, withdrawn ones too.
    pub attempts: Vec<Attempt>,
    /// The clinician's words for waveforms, in order.
    pub waveforms: Vec<(Site, WaveformWord)>,
    /// Answered cautions and red flags, in order; a later answer replaces an earlier one.
    pub answers: Vec<Answered>,
    /// Free words: who, what.
    pub notes: Vec<(String, String)>,
    /// What was shown, in order.
    pub shown: Vec<Shown>,
    /// Who changed what, and why, in words.
    pub amended: Vec<Amended>,
    /// What was done or left out before the first inflation, in order.
    pub prepared: Vec<Prepared>,
    /// Who countersigned.
    pub countersigned: Vec<String>,
    /// When the next test is due, and who said so.
    pub next_test: Option<(Day, String)>,
    /// True once it was closed.
    pub closed: bool,
}

/// One attempt at one site.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempt {
    /// Its number in the visit.
    pub number: u32,
    /// Where.
    pub site: Site,
    /// At rest or after exercise.
    pub phase: Phase,
    /// The gauge's code, where it is not the visit's own.
    pub gauge: Option<String>,
    /// The last stage it reached.
    pub stage: Option<Stage>,
    /// The clinician's mark; the last one that was not taken back counts.
    pub mark: Option<(SoundTime, Made)>,
    /// The tap that the reading belongs to: the mark, or what it was before it was moved afterwards.
    pub tapped: Option<SoundTime>,
    /// Every mark that stands, in order.
    pub marks: Vec<(SoundTime, Made)>,
    /// Why it was stopped, where it was; an empty text where no reason was given.
    pub stopped: Option<String>,
    /// How the mark lay to the first pulse heard: seconds, beats, mmHg.
    pub compared: Option<(f64, f64, f64)>,
    /// The pressure that the cuff was inflated to, where it was given.
    pub inflated_to: Option<Mmhg>,
    /// Where the needle was, and when; the pressure inflated to is the first of them.
    pub needles: Vec<(Mmhg, SoundTime)>,
    /// What the listener heard.
    pub heard: Option<Heard>,
    /// How it ended.
    pub outcome: Option<Outcome>,
    /// Who took it back, and why.
    pub withdrawn: Option<Withdrawal>,
}

impl Attempt {
    fn new(number: u32, site: Site, phase: Phase, gauge: Option<String>) -> Self {
        Self {
            number,
            site,
            phase,
            gauge,
            stage: None,
            mark: None,
            tapped: None,
            marks: Vec::new(),
            stopped: None,
            compared: None,
            inflated_to: None,
            needles: Vec::new(),
            heard: None,
            outcome: None,
            withdrawn: None,
        }
    }

    /// Its reading, withdrawn or not.
    pub fn reading(&self) -> Option<Mmhg> {
        match self.outcome {
            Some(Outcome::Reading { cuff_mmhg, .. }) => Some(cuff_mmhg),
            _ => None,
        }
    }

    /// True of a reading from another instrument.
    pub fn entered(&self) -> bool {
        matches!(self.outcome, Some(Outcome::Reading { source: Source::Entered, .. }))
    }
}

/// Why an attempt does not count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Withdrawal {
    /// Whose decision.
    pub who: String,
    /// Why.
    pub why: String,
}

/// One amendment.
#[derive(Debug, Clone, PartialEq)]
pub struct Amended {
    /// The event that was replaced.
    pub of: u64,
    /// When.
    pub at: Moment,
    /// What stood there.
    pub old: Act,
    /// What stands there now.
    pub new: Act,
    /// Whose decision.
    pub who: String,
    /// Why.
    pub why: String,
    /// True where it was made without knowledge of another amendment of the same event, on another laptop:
    /// its old value is not the one that stood there last. The later of the two stands.
    pub apart: bool,
}

/// Why events make no visit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum VisitFault {
    /// The first event is missing or another one.
    #[error("a visit begins with the event visit-opened, and this one does not")]
    NotOpened,
    /// A number is missing or out of its place.
    #[error(
        "event {expected} was expected and event {found} came: an event is lost or out of order"
    )]
    OutOfOrder {
        /// The number that should have come.
        expected: u64,
        /// The number that came.
        found: u64,
    },
    /// Written by a newer program.
    #[error(
        "event {n} has version {found}, newer than this program knows: open the visit with the newer program"
    )]
    Newer {
        /// The event.
        n: u64,
        /// Its version.
        found: u32,
    },
    /// The event does not fit what came before.
    #[error("event {n}: {why}")]
    DoesNotFit {
        /// The event.
        n: u64,
        /// Why.
        why: &'static str,
    },
}

impl Visit {
    /// Works a visit out from its events, in order.
    ///
    /// # Errors
    /// The first event that does not fit, in a sentence.
    pub fn from_events(events: &[Event]) -> Result<Self, VisitFault> {
        check_numbers(events)?;
        let (acts, amended) = amend(events)?;
        let Some((Act::VisitOpened(opened), first)) = acts.first().zip(events.first()) else {
            return Err(VisitFault::NotOpened);
        };
        let mut visit = Visit {
            opened: opened.clone(),
            opened_at: first.at,
            attempts: Vec::new(),
            waveforms: Vec::new(),
            answers: Vec::new(),
            notes: Vec::new(),
            shown: Vec::new(),
            amended,
            prepared: Vec::new(),
            countersigned: Vec::new(),
            next_test: None,
            closed: false,
        };
        let undone = undone(events)?;
        for (event, act) in events.iter().zip(acts).skip(1) {
            if undone.contains(&event.n) {
                continue;
            }
            let fits = visit.apply(act);
            fits.map_err(|why| VisitFault::DoesNotFit { n: event.n, why })?;
        }
        visit.find_taps();
        Ok(visit)
    }

    /// Follows each mark that was moved back to the tap.
    fn find_taps(&mut self) {
        for attempt in &mut self.attempts {
            let mut mark = attempt.mark;
            for amended in self.amended.iter().rev() {
                if let (Act::Mark { attempt: of, at, made }, Act::Mark { at: to, made: by, .. }) =
                    (&amended.old, &amended.new)
                    && *of == attempt.number
                    && mark == Some((*to, *by))
                    && *by == Made::Afterwards
                {
                    mark = Some((*at, *made));
                }
            }
            attempt.tapped = mark.map(|(at, _)| at);
        }
    }

    /// The attempt with this number.
    pub fn attempt(&self, number: u32) -> Option<&Attempt> {
        self.attempts.iter().find(|a| a.number == number)
    }

    fn apply(&mut self, act: Act) -> Result<(), &'static str> {
        if self.closed && !may_follow(&act) {
            return Err("the visit was closed before");
        }
        match act {
            Act::VisitOpened(_) => return Err("the visit was opened twice"),
            Act::SiteChosen { attempt, site, phase, gauge } => {
                if self.attempt(attempt).is_some() {
                    return Err("this attempt's number was used before");
                }
                self.attempts.push(Attempt::new(attempt, site, phase, gauge));
            }
            Act::Waveform { site, word } => self.waveforms.push((site, word)),
            Act::Caution(answer) | Act::RedFlag(answer) => self.answer(answer),
            Act::Note { who, words } => self.notes.push((who, words)),
            Act::GuidanceShown(shown) => self.shown.push(shown),
            Act::NextTest { on, who } => self.next_test = Some((on, who)),
            Act::Prepared(prepared) => self.prepare(prepared),
            Act::Countersigned { who } => self.countersigned.push(who),
            Act::VisitClosed => self.closed = true,
            Act::Amendment { .. } | Act::Undone { .. } => {}
            Act::Stage { attempt, .. }
            | Act::Mark { attempt, .. }
            | Act::MarkTakenBack { attempt }
            | Act::Stopped { attempt, .. }
            | Act::Compared { attempt, .. }
            | Act::Needle { attempt, .. }
            | Act::Inflated { attempt, .. }
            | Act::Outcome { attempt, .. }
            | Act::Finding { attempt, .. }
            | Act::AttemptWithdrawn { attempt, .. } => self.within(attempt, act)?,
        }
        Ok(())
    }

    fn within(&mut self, number: u32, act: Act) -> Result<(), &'static str> {
        let found = self.attempts.iter_mut().find(|a| a.number == number);
        let attempt = found.ok_or("it names an attempt that was never begun")?;
        match act {
            Act::Stage { stage, .. } => attempt.stage = Some(stage),
            Act::Mark { at, made, .. } => attempt.marks.push((at, made)),
            Act::MarkTakenBack { .. } => {
                attempt.marks.pop().ok_or("there is no mark to take back")?;
            }
            Act::Stopped { why, .. } => attempt.stopped = Some(why.unwrap_or_default()),
            Act::Compared { late_s, beats, mmhg, .. } => {
                attempt.compared = Some((late_s, beats, mmhg));
            }
            Act::Needle { cuff_mmhg, at, .. } => attempt.needles.push((cuff_mmhg, at)),
            Act::Inflated { cuff_mmhg, at, .. } => {
                attempt.inflated_to = Some(cuff_mmhg);
                attempt.needles.push((cuff_mmhg, at));
            }
            Act::Finding { heard, .. } => attempt.heard = Some(heard),
            Act::AttemptWithdrawn { who, why, .. } => {
                attempt.withdrawn = Some(Withdrawal { who, why });
            }
            Act::Outcome { outcome, .. } => {
                if attempt.outcome.is_some() {
                    return Err(
                        "the attempt has ended before: amend the outcome, or begin a new attempt",
                    );
                }
                if matches!(outcome, Outcome::Reading { cuff_mmhg, .. } if cuff_mmhg.as_tenths() == 0)
                {
                    return Err("0 mmHg is no reading: the outcome is \"no signal\"");
                }
                attempt.outcome = Some(outcome);
            }
            _ => {}
        }
        attempt.mark = attempt.marks.last().copied();
        Ok(())
    }

    fn prepare(&mut self, prepared: Prepared) {
        if let Prepared::Rested { minutes, .. } = prepared {
            self.opened.rested_min = Some(minutes);
        }
        self.prepared.push(prepared);
    }

    fn answer(&mut self, answer: Answered) {
        self.answers.retain(|a| (&a.id, a.side) != (&answer.id, answer.side));
        self.answers.push(answer);
    }
}

/// What may still be added to a closed visit.
fn may_follow(act: &Act) -> bool {
    use Act::{Amendment, AttemptWithdrawn, Countersigned, GuidanceShown, NextTest, Note, Undone};
    matches!(
        act,
        Amendment { .. }
            | AttemptWithdrawn { .. }
            | Note { .. }
            | GuidanceShown(_)
            | Countersigned { .. }
            | NextTest { .. }
            | Undone { .. }
    )
}

fn check_numbers(events: &[Event]) -> Result<(), VisitFault> {
    for (expected, event) in (1..).zip(events) {
        if event.v > super::event::VERSION {
            return Err(VisitFault::Newer { n: event.n, found: event.v });
        }
        if event.n != expected {
            return Err(VisitFault::OutOfOrder { expected, found: event.n });
        }
    }
    Ok(())
}

/// The acts as they stand after every amendment, in the events' order.
fn amend(events: &[Event]) -> Result<(Vec<Act>, Vec<Amended>), VisitFault> {
    let mut acts: Vec<Act> = events.iter().map(|e| e.act.clone()).collect();
    let mut amended: Vec<Amended> = Vec::new();
    let undone = undone(events)?;
    for (place, event) in events.iter().enumerate().filter(|(_, e)| !undone.contains(&e.n)) {
        let Act::Amendment { of, old, new, who, why } = &event.act else { continue };
        let fault = |why| VisitFault::DoesNotFit { n: event.n, why };
        let target = usize::try_from(*of).ok().and_then(|of| of.checked_sub(1));
        let target = target.filter(|t| *t < place);
        let slot = target.and_then(|t| acts.get_mut(t));
        let slot = slot.ok_or_else(|| fault("it amends an event that does not stand before it"))?;
        let apart = *slot != **old;
        if apart && !amended.iter().any(|a| a.of == *of && a.old == **old) {
            return Err(fault("the old value it names is not the one that stands there"));
        }
        if !same_kind(old, new) {
            return Err(fault("it would turn an event into one of another kind or attempt"));
        }
        *slot = (**new).clone();
        let (old, new) = ((**old).clone(), (**new).clone());
        amended.push(Amended {
            of: *of,
            at: event.at,
            old,
            new,
            who: who.clone(),
            why: why.clone(),
            apart,
        });
    }
    Ok((acts, amended))
}

/// The numbers of the events that were undone.
fn undone(events: &[Event]) -> Result<BTreeSet<u64>, VisitFault> {
    let mut undone = BTreeSet::new();
    for event in events {
        let Act::Undone { of, .. } = &event.act else { continue };
        let target = events.iter().find(|e| e.n == *of && e.n < event.n);
        let target = target.filter(|e| may_be_undone(&e.act));
        let why = "it undoes an event that does not stand before it, or cannot be undone";
        target.ok_or(VisitFault::DoesNotFit { n: event.n, why })?;
        undone.insert(*of);
    }
    Ok(undone)
}

/// The opening and the closing stand, and what was undone is done again, not un-undone.
fn may_be_undone(act: &Act) -> bool {
    !matches!(act, Act::VisitOpened(_) | Act::VisitClosed | Act::Undone { .. })
}

fn same_kind(old: &Act, new: &Act) -> bool {
    use Act::{Amendment, GuidanceShown, Outcome, SiteChosen, Undone, VisitClosed};
    match (old, new) {
        (Amendment { .. } | GuidanceShown(_) | Undone { .. } | VisitClosed, _) => false,
        (Outcome { attempt: a, .. }, Outcome { attempt: b, .. })
        | (SiteChosen { attempt: a, .. }, SiteChosen { attempt: b, .. }) => a == b,
        _ => std::mem::discriminant(old) == std::mem::discriminant(new),
    }
}
