//! What a visit under way says, in English: every sentence of this room, in one place.

use super::attempt::Ended;
use super::needle::FallFrom;
use super::question::{Doubt, Question};
use super::say::{Comparison, Notice, Prompt, SoundWarning};
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
            let rate = bpm.map_or(String::new(), |bpm| format!(", {bpm:.0} a minute"));
            say(&format!("Signal found{rate}. Close the cuff."), "Pump until the sound is gone.")
        }
        Prompt::InflateMore => {
            say("Signal gone. Still on the artery? 20 more.", "Then let it down slowly.")
        }
        Prompt::Deflate { due } => {
            let due = due.map_or_else(
                || "2 to 3 mmHg a second.".to_owned(),
                |(low, high)| format!("The needle should be between {low:.0} and {high:.0} now."),
            );
            say("Let it down slowly. Tap when the sound is back.", &due)
        }
        Prompt::Read { tapped: false } => say(
            "Type what the needle showed when the sound came back.",
            "Without a tap the interval is wider.",
        ),
        Prompt::Read { tapped: true } => {
            say("Tap taken. Type what the needle showed at that moment.", "Then keep it.")
        }
        Prompt::TypeEntered => {
            say("Type the toe pressure from the other instrument.", "It is marked as entered.")
        }
        Prompt::TypeFromPaper => {
            say("Type the pressure that stands on the paper.", "It is marked as taken from paper.")
        }
        Prompt::TypeCorrection => {
            say("Type the corrected reading.", "The old one stays in the record.")
        }
        Prompt::Saving => say("Saving...", ""),
        Prompt::KeptReading => say(
            "Kept. Open the valve fully.",
            "How does the artery sound? Then on to the next site.",
        ),
        Prompt::KeptEntered => say("Kept.", "On to the next site."),
        Prompt::Kept => say("Kept. Open the valve fully.", "On to the next site."),
        Prompt::WhyNotMeasured => say("Why was it not measured?", "One key or one touch."),
        Prompt::Stopped => {
            say("Open the valve fully.", "Then repeat this site, or say why it is not measured.")
        }
    }
}

/// What is amiss; `None` of what needs no sentence.
pub fn warning(warning: SoundWarning) -> Option<String> {
    Some(match warning {
        SoundWarning::Trouble(trouble) => trouble.words()?.to_owned(),
        SoundWarning::LostWhileFinding => {
            "The signal was lost before any pumping: find it again.".into()
        }
        SoundWarning::NotClosed { highest } => format!(
            "The sound has not gone: the artery is not closed. Pump on, not above {highest}; still heard there means not compressible."
        ),
        SoundWarning::Irregular => {
            "The rhythm is irregular: take three or more readings here.".into()
        }
        SoundWarning::TooFast { mmhg_per_s } => {
            format!("It falls too fast: {mmhg_per_s:.1} mmHg a second.")
        }
        SoundWarning::NoReturn { below_mmhg } => {
            format!("No return heard, and the needle should be below {below_mmhg:.0} now.")
        }
        SoundWarning::ClosedLong { for_s } => format!(
            "The cuff has been closed for {for_s:.0} s: open the valve if you are not reading."
        ),
    })
}

/// Why something was not taken.
pub fn notice(notice: &Notice) -> String {
    match notice {
        Notice::TypeReadingFirst => "Type what the needle showed first.".into(),
        Notice::GivePressureReached => {
            "Type the pressure you reached first: the sound must still be there at it.".into()
        }
        Notice::GiveInflatedToFirst => {
            "Type the pressure you inflated to first: then each mark is ten lower.".into()
        }
        Notice::AboveCeiling(ceiling) => {
            format!("Above this service's ceiling of {ceiling} mmHg: let it down now.")
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
        Doubt::NothingHeard => "No tap, and no return was detected.".into(),
        Doubt::AboveInflatedTo(start) => {
            format!("{mmhg} is above the {start} mmHg you inflated to.")
        }
        Doubt::BelowNeedle(least) => {
            format!("The needle cannot have fallen below {least:.0} mmHg by then.")
        }
        Doubt::OffDetected(there) => {
            format!("The needle was near {there:.0} mmHg when the return was detected.")
        }
        Doubt::OffSite(other) => format!("Another reading here was {other} mmHg."),
        Doubt::OffFoot(site, other) | Doubt::OffArm(site, other) => {
            format!("{} was {other} mmHg.", capital(&site.to_string()))
        }
        Doubt::OffLastVisit(then) => format!("The last visit had {then} mmHg here."),
        Doubt::Unusual => format!("{mmhg} mmHg is unusual."),
        Doubt::BetweenLines(graduation) => {
            format!("{mmhg} lies between the gauge's lines, {graduation} mmHg apart.")
        }
    }
}

/// The tap against the first pulse heard.
pub fn comparison(comparison: &Comparison) -> String {
    let late_s = comparison.late_s.abs();
    if comparison.late_s < -0.05 {
        return format!("Your tap was {late_s:.1} s before the first pulse the listener heard.");
    }
    let beats = match comparison.beats {
        Some(beats) if beats.round() >= 2.0 => format!(": {:.0} beats", beats.round()),
        Some(beats) if beats.round() >= 1.0 => ": one beat".into(),
        Some(_) => ": less than a beat".into(),
        None => String::new(),
    };
    let assumed =
        if comparison.fall.from == FallFrom::Assumed { ", if it fell as assumed" } else { "" };
    format!(
        "The first pulse was {late_s:.1} s before your tap{beats}; the needle was about {:.0} higher then{assumed}.",
        comparison.mmhg
    )
}

/// From what a fall is known.
pub const fn fall_from(from: FallFrom) -> &'static str {
    match from {
        FallFrom::Needle => "from needle marks",
        FallFrom::InflatedToAndReading => "from starting pressure, reading and time",
        FallFrom::Assumed => "assumed",
    }
}

/// How an attempt ended, for the line that says it was kept.
pub fn ended(ended: &Ended) -> String {
    let words = outcome(&ended.outcome);
    if ended.corrected { format!("{words}, changed") } else { words }
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
