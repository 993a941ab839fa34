//! A visit worked out from its events: amendments applied, attempts gathered, order checked.

use super::amend::amend;
pub use super::amend::{Amended, standing};
use super::dispute::{Aside, Disagreement, OtherChain};
use super::event::{
    Act, Answered, Event, Heard, Made, Opened, Outcome, Phase, Prepared, SoundTime, Source, Stage,
    VisitKind, WaveformWord,
};
use super::moment::{Day, Moment};
use super::reasons;
use super::shown::Shown;
use super::site::Site;
use crate::units::Mmhg;
use crate::words::id;

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
    /// What is to be done next, and who said so.
    pub plan: Option<(String, String)>,
    /// Every operator, the one who opened the visit first.
    pub operators: Vec<String>,
    /// When the patient stopped exercising, and what was done; attempts from then on are after exercise.
    pub exercised: Option<(Moment, String)>,
    /// When the rest began that counts: again where the patient moved.
    pub rest_began: Moment,
    /// Who countersigned.
    pub countersigned: Vec<String>,
    /// When the next test is due, and who said so.
    pub next_test: Option<(Day, String)>,
    /// True once it was closed.
    pub closed: bool,
    /// Facts to which two laptops gave two values, and that nobody settled.
    pub disagreements: Vec<Disagreement>,
    /// Events that are kept and do not count.
    pub aside: Vec<Aside>,
    /// Events from other chains than the one that opened the visit.
    pub others: Vec<OtherChain>,
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
    /// Who measured.
    pub operator: String,
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
    /// When it ended.
    pub ended_at: Option<Moment>,
    /// Who took it back, and why.
    pub withdrawn: Option<Withdrawal>,
}

impl Attempt {
    fn new(
        number: u32,
        (site, phase): (Site, Phase),
        gauge: Option<String>,
        operator: String,
    ) -> Self {
        Self {
            number,
            site,
            phase,
            gauge,
            operator,
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
            ended_at: None,
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

    /// True of a reading that was taken over from paper.
    pub fn from_paper(&self) -> bool {
        matches!(self.outcome, Some(Outcome::Reading { source: Source::Paper, .. }))
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
        why: String,
    },
}

impl Visit {
    /// Works a visit out from its events, in order, for whoever adds to it: every act has to fit.
    ///
    /// # Errors
    /// The first event that does not fit, in a sentence. What the record book set aside is passed over.
    pub fn from_events(events: &[Event]) -> Result<Self, VisitFault> {
        let visit = Self::read(events)?;
        match visit.aside.iter().filter(|aside| !aside.by_book).min_by_key(|aside| aside.n) {
            Some(aside) => Err(VisitFault::DoesNotFit { n: aside.n, why: aside.why.clone() }),
            None => Ok(visit),
        }
    }

    /// Works a visit out from its events, in order, for whoever reads it: what does not fit is set aside, named in
    /// [`Visit::aside`], and hides nothing else.
    ///
    /// # Errors
    /// There is no opening, a number is missing, or a newer program wrote in it.
    pub fn read(events: &[Event]) -> Result<Self, VisitFault> {
        check_numbers(events)?;
        let amending = amend(events);
        let Some((Act::VisitOpened(opened), first)) = amending.acts.first().zip(events.first())
        else {
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
            amended: amending.amended,
            prepared: Vec::new(),
            plan: None,
            operators: vec![opened.operator.clone()],
            exercised: None,
            rest_began: first.at,
            countersigned: Vec::new(),
            next_test: None,
            closed: false,
            disagreements: amending.disagreements,
            aside: amending.aside,
            others: OtherChain::all(events),
        };
        for (event, act) in events.iter().zip(amending.acts).skip(1) {
            let passed = amending.undone.contains(&event.n);
            if passed || visit.aside.iter().any(|aside| aside.n == event.n) {
                continue;
            }
            if let Err(why) = visit.apply(act, event.at) {
                visit.aside.push(Aside::of(event, why));
            }
        }
        visit.aside.sort_by_key(|aside| aside.n);
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

    /// The day of the measurement, where it is not that of the visit: taken over from paper.
    pub const fn measured_on(&self) -> Option<Day> {
        match self.opened.scope {
            VisitKind::OnPaper { on, .. } => Some(on),
            _ => None,
        }
    }

    /// When it was measured: the moment the visit opened, or the day that a paper gives.
    pub fn when(&self) -> String {
        self.measured_on().map_or_else(|| self.opened_at.to_string(), |day| day.to_string())
    }

    /// Whether the sites are measured after exercise now.
    pub const fn phase(&self) -> Phase {
        match self.exercised {
            Some(_) => Phase::AfterExercise,
            None => Phase::Rest,
        }
    }

    /// The attempt with this number.
    pub fn attempt(&self, number: u32) -> Option<&Attempt> {
        self.attempts.iter().find(|a| a.number == number)
    }

    fn apply(&mut self, act: Act, at: Moment) -> Result<(), &'static str> {
        if self.closed && !may_follow(&act) {
            return Err(reasons::kept(id!("clinical-aside-closed")));
        }
        match act {
            Act::VisitOpened(_) => return Err(reasons::kept(id!("clinical-aside-opened-twice"))),
            Act::SiteChosen { attempt, site, phase, gauge } => {
                if self.attempt(attempt).is_some() {
                    return Err(reasons::kept(id!("clinical-aside-number-used")));
                }
                let operator = self.operators.last().cloned().unwrap_or_default();
                self.attempts.push(Attempt::new(attempt, (site, phase), gauge, operator));
            }
            Act::Waveform { site, word } => self.waveforms.push((site, word)),
            Act::Caution(answer) | Act::RedFlag(answer) => self.answer(answer),
            Act::Note { who, words } => self.notes.push((who, words)),
            Act::GuidanceShown(shown) => self.shown.push(shown),
            Act::NextTest { on, who } => self.next_test = Some((on, who)),
            Act::Prepared(prepared) => self.prepare(prepared, at),
            Act::Plan { words, who } => self.plan = Some((words, who)),
            Act::OperatorChanged { who } => self.operators.push(who),
            Act::Exercised { words } => self.exercised = Some((at, words)),
            Act::Countersigned { who } => self.countersigned.push(who),
            Act::VisitClosed => self.closed = true,
            Act::Amendment { .. } | Act::Undone { .. } | Act::TakenOver { .. } => {}
            Act::Stage { attempt, .. }
            | Act::Mark { attempt, .. }
            | Act::MarkTakenBack { attempt }
            | Act::Stopped { attempt, .. }
            | Act::Compared { attempt, .. }
            | Act::Needle { attempt, .. }
            | Act::Inflated { attempt, .. }
            | Act::Outcome { attempt, .. }
            | Act::Finding { attempt, .. }
            | Act::AttemptWithdrawn { attempt, .. } => self.within(attempt, act, at)?,
        }
        Ok(())
    }

    fn within(&mut self, number: u32, act: Act, at: Moment) -> Result<(), &'static str> {
        let found = self.attempts.iter_mut().find(|a| a.number == number);
        let attempt = found.ok_or_else(|| reasons::kept(id!("clinical-aside-no-attempt")))?;
        match act {
            Act::Stage { stage, .. } => attempt.stage = Some(stage),
            Act::Mark { at: mark, made, .. } => attempt.marks.push((mark, made)),
            Act::MarkTakenBack { .. } => {
                attempt.marks.pop().ok_or_else(|| reasons::kept(id!("clinical-aside-no-mark")))?;
            }
            Act::Stopped { why, .. } => attempt.stopped = Some(why.unwrap_or_default()),
            Act::Compared { late_s, beats, mmhg, .. } => {
                attempt.compared = Some((late_s, beats, mmhg));
            }
            Act::Needle { cuff_mmhg, at: then, .. } => attempt.needles.push((cuff_mmhg, then)),
            Act::Inflated { cuff_mmhg, at: then, .. } => {
                attempt.inflated_to = Some(cuff_mmhg);
                attempt.needles.push((cuff_mmhg, then));
            }
            Act::Finding { heard, .. } => attempt.heard = Some(heard),
            Act::AttemptWithdrawn { who, why, .. } => {
                attempt.withdrawn = Some(Withdrawal { who, why });
            }
            Act::Outcome { outcome, .. } => {
                if attempt.outcome.is_some() {
                    return Err(reasons::kept(id!("clinical-aside-ended")));
                }
                if matches!(outcome, Outcome::Reading { cuff_mmhg, .. } if cuff_mmhg.as_tenths() == 0)
                {
                    return Err(reasons::kept(id!("clinical-aside-zero")));
                }
                (attempt.outcome, attempt.ended_at) = (Some(outcome), Some(at));
            }
            _ => {}
        }
        attempt.mark = attempt.marks.last().copied();
        Ok(())
    }

    fn prepare(&mut self, prepared: Prepared, at: Moment) {
        if prepared == Prepared::RestBeganAgain {
            self.rest_began = at;
        }
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
    use Act::{
        Amendment, AttemptWithdrawn, Countersigned, GuidanceShown, NextTest, Note, Plan, Undone,
    };
    matches!(
        act,
        Amendment { .. }
            | AttemptWithdrawn { .. }
            | Note { .. }
            | GuidanceShown(_)
            | Countersigned { .. }
            | Plan { .. }
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
