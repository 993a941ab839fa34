//! Putting right what was recorded at one site, of the visit in hand or of one long closed: an outcome becomes another, an
//! attempt is withdrawn, each with who and why. What is typed stands here; `conduct` decides and the trail keeps all.

use super::action::{CorrectingAct, Screen};
use crate::clinical::event::{Outcome, Source};
use crate::clinical::site::{Artery, Site};
use crate::clinical::typed::{Given, NotGiven};
use crate::clinical::visit::{Attempt, Visit};
use crate::conduct::{Context, Correction, Question, wording};
use crate::units::Mmhg;

/// Reasons for putting a reading right, in one touch (common practice).
pub const REASONS: [&str; 5] = [
    "typed wrongly",
    "gauge read wrongly",
    "wrong artery or side",
    "the probe moved",
    "the patient moved or talked",
];

/// Why nothing is put right yet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotCorrected {
    /// Choose an attempt first.
    #[error("choose the attempt first")]
    ChooseAnAttempt,
    /// Type the reading as it should be.
    #[error("type what the reading should be")]
    TypeTheReading,
    /// What was typed is no pressure.
    #[error(transparent)]
    TypeAPressure(#[from] NotGiven),
    /// The same act once more goes on.
    #[error("{0}")]
    AskedOnce(String),
}

/// What is being put right.
#[derive(Debug, Clone, PartialEq)]
pub struct Correcting {
    /// Where.
    pub site: Site,
    /// The attempt that was chosen.
    pub attempt: Option<u32>,
    /// What the reading should be, as typed.
    pub reading: String,
    /// Why.
    pub why: String,
    /// Whose decision.
    pub who: String,
    /// The screen that it was begun from.
    pub from: Screen,
    asked: Option<Mmhg>,
}

impl Correcting {
    /// Begins at a site of this visit, with its last attempt that stands.
    pub fn at(site: Site, visit: &Visit, operator: &str, from: Screen) -> Self {
        let standing = attempts(visit, site).filter(|a| a.withdrawn.is_none()).last();
        Self {
            site,
            attempt: standing.map(|a| a.number),
            reading: String::new(),
            why: String::new(),
            who: operator.to_owned(),
            from,
            asked: None,
        }
    }

    /// Takes what was chosen or typed.
    pub fn take(&mut self, act: CorrectingAct) {
        self.asked = None;
        match act {
            CorrectingAct::Choose(attempt) => self.attempt = Some(attempt),
            CorrectingAct::Reading(typed) => self.reading = typed,
            CorrectingAct::Why(why) => self.why = why,
            CorrectingAct::Who(who) => self.who = who,
        }
    }

    /// The correction that was typed. A reading that is unlikely is asked about once.
    ///
    /// # Errors
    /// What is missing or asked.
    pub fn correction(&mut self, visit: &Visit) -> Result<Correction, NotCorrected> {
        let attempt = self.attempt.ok_or(NotCorrected::ChooseAnAttempt)?;
        if self.reading.trim().is_empty() {
            return Err(NotCorrected::TypeTheReading);
        }
        let outcome = match self.reading.parse()? {
            Given::Pressure(cuff_mmhg) => {
                self.ask(visit, attempt, cuff_mmhg)?;
                Outcome::Reading { cuff_mmhg, source: source(visit, attempt, self.site) }
            }
            given => given.outcome(self.site),
        };
        let (who, why) = (self.who.clone(), self.why.clone());
        Ok(Correction::Outcome { attempt, outcome, who, why })
    }

    fn ask(&mut self, visit: &Visit, attempt: u32, mmhg: Mmhg) -> Result<(), NotCorrected> {
        let site = self.site;
        let context =
            Context { visit, course: None, attempt, site, last_visit: &[], sites_known: true };
        match context.doubt(mmhg).filter(|_| self.asked != Some(mmhg)) {
            Some(doubt) => {
                self.asked = Some(mmhg);
                let asked = wording::question(Question::Keep(mmhg, doubt));
                Err(NotCorrected::AskedOnce(asked.replace("Press Enter", "Press Correct")))
            }
            None => Ok(()),
        }
    }

    /// The withdrawal of the attempt that was chosen.
    ///
    /// # Errors
    /// None was chosen.
    pub fn withdrawal(&self) -> Result<Correction, NotCorrected> {
        let attempt = self.attempt.ok_or(NotCorrected::ChooseAnAttempt)?;
        Ok(Correction::Withdraw { attempt, who: self.who.clone(), why: self.why.clone() })
    }
}

/// The ended attempts at a site, in order.
pub fn attempts(visit: &Visit, site: Site) -> impl Iterator<Item = &Attempt> {
    visit.attempts.iter().filter(move |a| a.site == site && a.outcome.is_some())
}

/// Where a reading came from never changes by itself.
fn source(visit: &Visit, attempt: u32, site: Site) -> Source {
    match visit.attempt(attempt).and_then(|a| a.outcome.as_ref()) {
        Some(Outcome::Reading { source, .. }) => *source,
        _ if site.artery == Artery::GreatToe => Source::Entered,
        _ => Source::EarAndGauge,
    }
}
