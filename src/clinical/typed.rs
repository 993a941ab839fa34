//! Readings that were typed, as the events of a visit: equal to heard ones in everything that follows.

use std::str::FromStr;

use super::event::{Act, Answer, Event, Gauge, Opened, Outcome, Phase, Posture, Source};
use super::kind::VisitKind;
use super::method::Method;
use super::moment::Moment;
use super::repeat_rules::Repeats;
use super::site::{Artery, Site};
use super::working::PROGRAM;
use crate::units::{Mmhg, PressureRefused};

/// What was typed for one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Given {
    /// A pressure above 0, mmHg.
    Pressure(Mmhg),
    /// `nc`: not compressible at the limit.
    NotCompressible,
    /// `none`: no signal found.
    NoSignal,
    /// `skipped`: not measured.
    Skipped,
}

/// Why typed words are no outcome.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotGiven {
    /// Neither a number nor one of the three words.
    #[error(
        "`{0}` is no pressure: write mmHg such as 104 or 104.5, or nc (not compressible), none (no signal found), skipped (not measured)"
    )]
    NoNumber(String),
    /// Zero would become an index of 0.00.
    #[error(
        "0 mmHg is no pressure: write none where no signal was found, or skipped where it was not measured"
    )]
    Zero,
    /// Outside the gauge.
    #[error("{0}: read the gauge again, or write nc where the signal was still there at 300 mmHg")]
    Refused(#[from] PressureRefused),
}

impl FromStr for Given {
    type Err = NotGiven;

    /// Accepts a decimal point or comma, with at most one decimal.
    fn from_str(text: &str) -> Result<Self, NotGiven> {
        let text = text.trim();
        match text.to_ascii_lowercase().as_str() {
            "nc" => return Ok(Given::NotCompressible),
            "none" => return Ok(Given::NoSignal),
            "skipped" => return Ok(Given::Skipped),
            _ => {}
        }
        let number = text.replace(',', ".");
        let unsigned = number.strip_prefix('-').unwrap_or(&number);
        let (whole, tenth) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
        let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole) || !digits(tenth) || tenth.len() > 1 {
            return Err(NotGiven::NoNumber(text.to_owned()));
        }
        let mmhg: f64 = number.parse().map_err(|_| NotGiven::NoNumber(text.to_owned()))?;
        match Mmhg::try_from(mmhg)? {
            zero if zero.as_tenths() == 0 => Err(NotGiven::Zero),
            pressure => Ok(Given::Pressure(pressure)),
        }
    }
}

impl Given {
    /// As an outcome; a toe reading comes from another instrument.
    pub fn outcome(self, site: Site) -> Outcome {
        let toe = site.artery == Artery::GreatToe;
        let source = if toe { Source::Entered } else { Source::EarAndGauge };
        match self {
            Given::Pressure(cuff_mmhg) => Outcome::Reading { cuff_mmhg, source },
            Given::NotCompressible => Outcome::NotCompressible { limit_mmhg: Mmhg::LIMIT },
            Given::NoSignal => Outcome::NoSignal,
            Given::Skipped => Outcome::NotMeasured { reason: "skipped".into() },
        }
    }
}

/// The opening of a visit of which only readings are known.
pub fn opening(method: Method, graduation_mmhg: Mmhg, posture: Posture) -> Opened {
    Opened {
        record: String::new(),
        operator: String::new(),
        method,
        order: "as-typed".into(),
        repeats: Repeats::default(),
        gauge: Gauge { code: "in use".into(), graduation_mmhg },
        other_gauges: Vec::new(),
        posture,
        scope: VisitKind::Full,
        reason: String::new(),
        ulcer: None,
        diabetes: Answer::Unknown,
        kidney: Answer::Unknown,
        rested_min: None,
        program: PROGRAM.into(),
        listener: None,
    }
}

/// The events of a visit with these readings, one attempt each, in the order given. It stays open: a site
/// without an answer is not yet measured.
pub fn events(opened: Opened, at: Moment, given: &[(Site, Given)]) -> Vec<Event> {
    let mut acts = vec![Act::VisitOpened(opened)];
    for (attempt, (site, given)) in (1..).zip(given) {
        acts.push(Act::SiteChosen { attempt, site: *site, phase: Phase::Rest, gauge: None });
        acts.push(Act::Outcome { attempt, outcome: given.outcome(*site) });
    }
    (1..).zip(acts).map(|(n, act)| Event::new(n, at, act)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_words_and_faults() {
        let pressure = |tenths| Ok(Given::Pressure(Mmhg::tenths(tenths).unwrap()));
        assert_eq!("104".parse(), pressure(1040));
        assert_eq!("104,5".parse(), pressure(1045));
        assert_eq!(" 104.5 ".parse(), pressure(1045));
        assert_eq!("300".parse(), pressure(3000));
        assert_eq!("NC".parse(), Ok(Given::NotCompressible));
        assert_eq!("0".parse::<Given>(), Err(NotGiven::Zero));
        assert_eq!("0.0".parse::<Given>(), Err(NotGiven::Zero));
        for text in ["", "abc", "1e2", "inf", "NaN", "1.2.3", "104.55", "+-3", "1,000.5", "½"] {
            assert!(matches!(text.parse::<Given>(), Err(NotGiven::NoNumber(_))), "{text}");
        }
        for text in ["300.1", "-5", "99999999999999999999"] {
            assert!(matches!(text.parse::<Given>(), Err(NotGiven::Refused(_))), "{text}");
        }
    }
}
