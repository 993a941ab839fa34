//! Putting right what was recorded at one site, of the visit in hand or of one long closed: an outcome becomes another, an
//! attempt is withdrawn, each with who and why. What is typed stands here; `conduct` decides and the trail keeps all.

use super::action::{CorrectingAct, Screen};
use crate::clinical::event::{Outcome, Source};
use crate::clinical::site::{Artery, Site};
use crate::clinical::typed::{Given, NotGiven};
use crate::clinical::visit::{Attempt, Visit};
use crate::conduct::{Correction, Question, ReadingContext, wording};
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// Why nothing is put right yet.
#[derive(Debug, Clone, PartialEq)]
pub enum NotCorrected {
    /// Choose an attempt first.
    ChooseAnAttempt,
    /// Type the reading as it should be.
    TypeTheReading,
    /// What was typed is no pressure.
    TypeAPressure(String, NotGiven),
    /// Nothing says at which pressure the sound was still there.
    NoPressureReached,
    /// The same act once more goes on.
    AskedOnce(Question),
}

impl NotCorrected {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        let plain = |id: &'static str| words.plain(id).to_owned();
        match self {
            NotCorrected::ChooseAnAttempt => plain(id!("fault-choose-attempt")),
            NotCorrected::TypeTheReading => plain(id!("fault-type-reading")),
            NotCorrected::TypeAPressure(typed, fault) => match fault {
                NotGiven::NoNumber(_) => say!(words, "fault-no-number", typed = typed),
                NotGiven::Zero => plain(id!("fault-zero")),
                NotGiven::Refused(_) => say!(words, "fault-refused-pressure", typed = typed),
            },
            NotCorrected::NoPressureReached => plain(id!("fault-no-pressure-reached")),
            NotCorrected::AskedOnce(question) => asked(words, *question),
        }
    }
}

/// The question, with the target that goes on in place of the key.
fn asked(words: Words, question: Question) -> String {
    match question {
        Question::Keep(mmhg, doubt) => {
            let why = wording::why(words, mmhg, doubt);
            say!(words, "correct-keep", why = why, mmhg = words.number(mmhg))
        }
        Question::NotCompressible(mmhg) => {
            say!(words, "correct-not-compressible", mmhg = words.number(mmhg))
        }
        Question::NoSignal => wording::question(words, question),
    }
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

    /// The correction that was typed. An unlikely reading, and "not compressible", are asked about once.
    ///
    /// # Errors
    /// What is missing or asked.
    pub fn correction(&mut self, visit: &Visit) -> Result<Correction, NotCorrected> {
        let attempt = self.attempt.ok_or(NotCorrected::ChooseAnAttempt)?;
        if self.reading.trim().is_empty() {
            return Err(NotCorrected::TypeTheReading);
        }
        let typed = self.reading.trim();
        let not_given = |fault| NotCorrected::TypeAPressure(typed.to_owned(), fault);
        let outcome = match typed.parse().map_err(not_given)? {
            Given::Pressure(cuff_mmhg) => {
                self.ask(visit, attempt, cuff_mmhg)?;
                Outcome::Reading { cuff_mmhg, source: source(visit, attempt, self.site) }
            }
            Given::NotCompressible => {
                let reached = visit.attempt(attempt).and_then(|a| a.inflated_to);
                let limit_mmhg = reached.ok_or(NotCorrected::NoPressureReached)?;
                self.ask_once(limit_mmhg, Question::NotCompressible(limit_mmhg))?;
                Outcome::NotCompressible { limit_mmhg }
            }
            given @ (Given::NoSignal | Given::Skipped) => given.outcome(self.site),
        };
        let (who, why) = (self.who.clone(), self.why.clone());
        Ok(Correction::Outcome { attempt, outcome, who, why })
    }

    fn ask(&mut self, visit: &Visit, attempt: u32, mmhg: Mmhg) -> Result<(), NotCorrected> {
        let site = self.site;
        let context = ReadingContext {
            visit,
            course: None,
            attempt,
            site,
            last_visit: &[],
            sites_known: true,
        };
        let doubt = context.doubt(mmhg);
        doubt.map_or(Ok(()), |doubt| self.ask_once(mmhg, Question::Keep(mmhg, doubt)))
    }

    /// The same correction once more goes on; any other typing asks anew.
    fn ask_once(&mut self, mmhg: Mmhg, question: Question) -> Result<(), NotCorrected> {
        if self.asked.replace(mmhg) == Some(mmhg) {
            return Ok(());
        }
        Err(NotCorrected::AskedOnce(question))
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
        _ if visit.opened.scope.is_paper() => Source::Paper,
        _ => Source::EarAndGauge,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clinical::event::{Act, Event, Posture, SoundTime};
    use crate::clinical::method::Method;
    use crate::clinical::typed;
    use crate::units::SampleIndex;

    fn mmhg(whole: i32) -> Mmhg {
        Mmhg::whole(whole).unwrap()
    }

    /// A visit with one reading of 148 mmHg; the cuff was pumped to this.
    fn visit(inflated_to: Option<i32>) -> Visit {
        let at = crate::clinical::moment::Moment::parse("2026-11-03T10:15:02+01:00").unwrap();
        let opened = typed::opening(Method::default(), mmhg(2), Posture::Supine);
        let given = [("right-dp".parse().unwrap(), Given::Pressure(mmhg(148)))];
        let mut events = typed::events(opened, at, &given);
        if let Some(to) = inflated_to {
            let sound = SoundTime { epoch: 1, sample: SampleIndex(0), rate_hz: 48_000 };
            let act = Act::Inflated { attempt: 1, cuff_mmhg: mmhg(to), at: sound };
            let end = events.pop().unwrap();
            events.extend([Event::new(3, at, act), Event::new(4, at, end.act)]);
        }
        Visit::from_events(&events).unwrap()
    }

    fn typing(visit: &Visit, reading: &str) -> Correcting {
        let mut correcting =
            Correcting::at("right-dp".parse().unwrap(), visit, "op-7", Screen::Result);
        correcting.take(CorrectingAct::Reading(reading.into()));
        correcting
    }

    #[test]
    fn not_compressible_needs_the_pressure_pumped_to_and_is_asked_about() {
        let bare = visit(None);
        let refused = typing(&bare, "nc").correction(&bare);
        assert_eq!(refused, Err(NotCorrected::NoPressureReached));
        let pumped = visit(Some(230));
        let mut correcting = typing(&pumped, "nc");
        let asked = correcting.correction(&pumped).unwrap_err().said(Words::english());
        assert!(asked.contains("at 230 mmHg? Press Correct again"), "{asked}");
        let Ok(Correction::Outcome { outcome, .. }) = correcting.correction(&pumped) else {
            panic!("asked twice")
        };
        assert_eq!(outcome, Outcome::NotCompressible { limit_mmhg: mmhg(230) });
    }

    #[test]
    fn other_typing_is_asked_about_anew() {
        let pumped = visit(Some(160));
        let mut correcting = typing(&pumped, "184");
        assert!(matches!(correcting.correction(&pumped), Err(NotCorrected::AskedOnce(_))));
        correcting.take(CorrectingAct::Reading("190".into()));
        assert!(matches!(correcting.correction(&pumped), Err(NotCorrected::AskedOnce(_))));
        assert!(correcting.correction(&pumped).is_ok());
    }
}
