//! What a visit under way says, in English: every sentence of this room, in one place.

use super::attempt::Ended;
use super::needle::FallFrom;
use super::question::{Doubt, Question};
use super::say::{Comparison, Notice, Prompt, Warning};
use crate::clinical::event::Outcome;
use crate::clinical::sentences::capital;
use crate::units::Mmhg;

/// One sentence, and a second one that helps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentences {
    /// What to do.
    pub now: String,
    /// What helps; empty where nothing is needed.
    pub more: String,
}

/// The one thing to do now.
pub fn prompt(prompt: Prompt) -> Sentences {
    let say = |now: &str, more: &str| Sentences { now: now.into(), more: more.into() };
    match prompt {
        Prompt::Find => {
            say("Find the artery's sound.", "Loudest point first, then hold the probe still.")
        }
        Prompt::Inflate { bpm } => {
            let rate = bpm.map_or(String::new(), |bpm| format!(", {bpm:.0}/min"));
            say(&format!("Signal found{rate}. Inflate the cuff."), "Inflate until the sound stops.")
        }
        Prompt::InflateMore => say(
            "Signal gone. Inflate 20 mmHg more.",
            "Probe still on the artery? Then deflate slowly.",
        ),
        Prompt::Deflate { due } => {
            let due = due.map_or_else(
                || "2 to 3 mmHg/s.".to_owned(),
                |(low, high)| format!("The needle should be at {low:.0} to {high:.0} now."),
            );
            say("Deflate slowly. Tap when the sound returns.", &due)
        }
        Prompt::Read { tapped: false } => say(
            "Type the pressure at which the sound returned.",
            "No tap: the uncertainty is wider.",
        ),
        Prompt::Read { tapped: true } => {
            say("Tap recorded. Type the pressure at that moment.", "Enter keeps it.")
        }
        Prompt::TypeEntered => {
            say("Type the toe pressure from the other instrument.", "It is marked as entered.")
        }
        Prompt::TypeFromPaper => {
            say("Type the pressure on the paper.", "It is marked as taken from paper.")
        }
        Prompt::TypeCorrection => {
            say("Type the corrected reading.", "The first value stays in the record.")
        }
        Prompt::Saving => say("Saving...", ""),
        Prompt::KeptReading => say(
            "Kept. Open the valve fully.",
            "How does the artery sound? Then go to the next site.",
        ),
        Prompt::KeptEntered => say("Kept.", "Go to the next site."),
        Prompt::Kept => say("Kept. Open the valve fully.", "Go to the next site."),
        Prompt::WhyNotMeasured => say("Why was it not measured?", "One key or one touch."),
        Prompt::Stopped => {
            say("Open the valve fully.", "Then repeat this site, or say why it was not measured.")
        }
    }
}

/// What is amiss; `None` of what needs no sentence.
pub fn warning(warning: Warning) -> Option<String> {
    Some(match warning {
        Warning::Trouble(trouble) => trouble.words()?.to_owned(),
        Warning::LostWhileFinding => "Signal lost before inflation: find it again.".into(),
        Warning::NotClosed { highest } => format!(
            "The sound is still there: the artery is not occluded. Inflate further, not above {highest}. If it is still heard there, record not compressible."
        ),
        Warning::Irregular => "Irregular rhythm: take three or more readings here.".into(),
        Warning::TooFast { mmhg_per_s } => {
            format!("Too fast: {mmhg_per_s:.1} mmHg/s.")
        }
        Warning::NoReturn { below_mmhg } => {
            format!("No return detected, and the needle should be below {below_mmhg:.0} now.")
        }
        Warning::ClosedLong { for_s } => format!(
            "The cuff has been inflated for {for_s:.0} s: open the valve if you are not taking a reading."
        ),
    })
}

/// Why something was not taken.
pub fn notice(notice: &Notice) -> String {
    match notice {
        Notice::TypeReadingFirst => "Type the pressure first.".into(),
        Notice::GivePressureReached => {
            "First type the pressure you reached with the sound still there.".into()
        }
        Notice::GiveInflatedToFirst => {
            "First type the pressure you inflated to. Each mark is then 10 lower.".into()
        }
        Notice::AboveCeiling(ceiling) => {
            format!("Above this service's limit of {ceiling} mmHg: deflate now.")
        }
        Notice::NoPressure(fault) => format!("{fault}."),
    }
}

/// What is asked, in one sentence with its number and the key that goes on.
pub fn question(question: Question) -> String {
    match question {
        Question::Keep(mmhg, doubt) => {
            format!("{} Press Enter again to keep {mmhg}.", why(mmhg, doubt))
        }
        Question::NoSignal => {
            "A pulse was heard here. Press X again to record \"no signal\".".into()
        }
        Question::NotCompressible(mmhg) => format!(
            "Was the sound still there at {mmhg} mmHg? Press C again to record \"not compressible at {mmhg}\"."
        ),
    }
}

fn why(mmhg: Mmhg, doubt: Doubt) -> String {
    match doubt {
        Doubt::NothingHeard => "No tap, and no return detected.".into(),
        Doubt::AboveInflatedTo(start) => {
            format!("{mmhg} is above the {start} mmHg you inflated to.")
        }
        Doubt::BelowNeedle(least) => {
            format!("The pressure cannot have been below {least:.0} mmHg by then.")
        }
        Doubt::OffDetected(there) => {
            format!("The pressure was about {there:.0} mmHg when the return was detected.")
        }
        Doubt::OffSite(other) => format!("Another reading here was {other} mmHg."),
        Doubt::OffFoot(site, other) | Doubt::OffArm(site, other) => {
            format!("{} was {other} mmHg.", capital(&site.to_string()))
        }
        Doubt::OffLastVisit(then) => format!("The last visit had {then} mmHg here."),
        Doubt::Unusual => format!("{mmhg} mmHg is unusual."),
        Doubt::BetweenLines(graduation) => {
            format!("{mmhg} is between two lines of the gauge ({graduation} mmHg apart).")
        }
    }
}

/// The tap against the first pulse heard.
pub fn comparison(comparison: &Comparison) -> String {
    let late_s = comparison.late_s.abs();
    if comparison.late_s < -0.05 {
        return format!("Your tap was {late_s:.1} s before the first pulse detected.");
    }
    let beats = match comparison.beats {
        Some(beats) if beats.round() >= 2.0 => format!(": {:.0} beats", beats.round()),
        Some(beats) if beats.round() >= 1.0 => ": one beat".into(),
        Some(_) => ": less than a beat".into(),
        None => String::new(),
    };
    let assumed =
        if comparison.fall.from == FallFrom::Assumed { " (deflation rate assumed)" } else { "" };
    format!(
        "The first pulse was {late_s:.1} s before your tap{beats}. The pressure was then about {:.0} mmHg higher{assumed}.",
        comparison.mmhg
    )
}

/// From what a fall is known.
pub const fn fall_from(from: FallFrom) -> &'static str {
    match from {
        FallFrom::Needle => "from needle marks",
        FallFrom::InflatedToAndReading => "from inflation pressure, reading and time",
        FallFrom::Assumed => "assumed",
    }
}

/// How an attempt ended, for the line that says it was kept.
pub fn ended(ended: &Ended) -> String {
    let words = outcome(&ended.outcome);
    if ended.corrected { format!("{words}, corrected") } else { words }
}

/// An outcome.
pub fn outcome(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Reading { cuff_mmhg, .. } => format!("{cuff_mmhg} mmHg"),
        Outcome::NotCompressible { limit_mmhg } => format!("not compressible at {limit_mmhg} mmHg"),
        Outcome::NoSignal => "no signal found".into(),
        Outcome::NotMeasured { reason } => format!("not measured: {reason}"),
    }
}
