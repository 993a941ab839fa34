//! What a visit under way says: which message of the catalogue each prompt, warning, notice and question is.

use super::attempt::Ended;
use super::needle::FallFrom;
use super::question::{Doubt, Question};
use super::say::{Comparison, Notice, Prompt, Warning};
use crate::clinical::event::Outcome;
use crate::clinical::repeats::State;
use crate::clinical::sentences::capital;
use crate::clinical::typed::NotGiven;
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// One sentence, and a second one that helps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentences {
    /// What to do.
    pub now: String,
    /// What helps; empty where nothing is needed.
    pub more: String,
}

/// The one thing to do now.
pub fn prompt(words: Words, prompt: Prompt) -> Sentences {
    let both = |now: &'static str, more: &'static str| Sentences {
        now: words.plain(now).into(),
        more: words.plain(more).into(),
    };
    match prompt {
        Prompt::Find => both(id!("bedside-find"), id!("bedside-find-more")),
        Prompt::Inflate { bpm: None } => both(id!("bedside-inflate"), id!("bedside-inflate-until")),
        Prompt::Inflate { bpm: Some(bpm) } => Sentences {
            now: say!(words, "bedside-inflate-rate", rate = words.decimal(bpm, 0)),
            more: words.plain(id!("bedside-inflate-until")).into(),
        },
        Prompt::InflateMore => both(id!("bedside-inflate-more"), id!("bedside-inflate-more-helps")),
        Prompt::Deflate { due: None } => both(id!("bedside-deflate"), id!("bedside-deflate-rate")),
        Prompt::Deflate { due: Some((low, high)) } => {
            let (low, high) = (words.decimal(low, 0), words.decimal(high, 0));
            Sentences {
                now: words.plain(id!("bedside-deflate")).into(),
                more: say!(words, "bedside-deflate-due", low = low, high = high),
            }
        }
        Prompt::Read { tapped: false } => both(id!("bedside-read"), id!("bedside-read-no-tap")),
        Prompt::Read { tapped: true } => {
            both(id!("bedside-read-tapped"), id!("bedside-read-enter"))
        }
        Prompt::TypeEntered => both(id!("bedside-type-entered"), id!("bedside-type-entered-helps")),
        Prompt::TypeFromPaper => both(id!("bedside-type-paper"), id!("bedside-type-paper-helps")),
        Prompt::TypeCorrection => {
            both(id!("bedside-type-correction"), id!("bedside-type-correction-helps"))
        }
        Prompt::Saving => {
            Sentences { now: words.plain(id!("bedside-saving")).into(), more: String::new() }
        }
        Prompt::KeptReading => both(id!("bedside-kept-valve"), id!("bedside-kept-waveform")),
        Prompt::KeptEntered => both(id!("bedside-kept"), id!("bedside-next-site")),
        Prompt::Kept => both(id!("bedside-kept-valve"), id!("bedside-next-site")),
        Prompt::WhyNotMeasured => both(id!("bedside-why-not"), id!("bedside-one-key")),
        Prompt::Stopped => both(id!("bedside-stopped"), id!("bedside-stopped-helps")),
    }
}

/// What is amiss; `None` of what needs no sentence.
pub fn warning(words: Words, warning: Warning) -> Option<String> {
    Some(match warning {
        Warning::Trouble(trouble) => trouble.said(words)?.into(),
        Warning::LostWhileFinding => words.plain(id!("bedside-lost")).into(),
        Warning::NotClosed { highest } => {
            say!(words, "bedside-not-closed", highest = words.number(highest))
        }
        Warning::Irregular => words.plain(id!("bedside-irregular")).into(),
        Warning::TooFast { mmhg_per_s } => {
            say!(words, "bedside-too-fast", rate = words.decimal(mmhg_per_s, 1))
        }
        Warning::NoReturn { below_mmhg } => {
            say!(words, "bedside-no-return", below = words.decimal(below_mmhg, 0))
        }
        Warning::ClosedLong { for_s } => {
            say!(words, "bedside-closed-long", seconds = words.decimal(for_s, 0))
        }
    })
}

/// Why something was not taken.
pub fn notice(words: Words, notice: &Notice) -> String {
    match notice {
        Notice::TypeReadingFirst => words.plain(id!("bedside-type-first")).into(),
        Notice::GivePressureReached => words.plain(id!("bedside-give-reached")).into(),
        Notice::GiveInflatedToFirst => words.plain(id!("bedside-give-inflated-to")).into(),
        Notice::AboveCeiling(ceiling) => {
            say!(words, "bedside-above-ceiling", ceiling = words.number(ceiling))
        }
        Notice::NoPressure(NotGiven::NoNumber(typed)) => {
            say!(words, "bedside-no-number", typed = typed)
        }
        Notice::NoPressure(NotGiven::Zero) => words.plain(id!("bedside-zero")).into(),
        Notice::NoPressure(NotGiven::Refused(_)) => words.plain(id!("bedside-out-of-range")).into(),
    }
}

/// What is asked, in one sentence with its number and the key that goes on.
pub fn question(words: Words, question: Question) -> String {
    match question {
        Question::Keep(mmhg, doubt) => {
            let why = why(words, mmhg, doubt);
            say!(words, "bedside-keep", why = why, mmhg = words.number(mmhg))
        }
        Question::NoSignal => words.plain(id!("bedside-ask-no-signal")).into(),
        Question::NotCompressible(mmhg) => {
            say!(words, "bedside-ask-not-compressible", mmhg = words.number(mmhg))
        }
    }
}

/// Why a value is asked about.
pub fn why(words: Words, mmhg: Mmhg, doubt: Doubt) -> String {
    let value = words.number(mmhg);
    match doubt {
        Doubt::NothingHeard => words.plain(id!("bedside-doubt-nothing")).into(),
        Doubt::AboveInflatedTo(start) => {
            say!(words, "bedside-doubt-above", mmhg = value, start = words.number(start))
        }
        Doubt::BelowNeedle(least) => {
            say!(words, "bedside-doubt-needle", least = words.decimal(least, 0))
        }
        Doubt::OffDetected(there) => {
            say!(words, "bedside-doubt-detected", there = words.decimal(there, 0))
        }
        Doubt::OffSite(other) => say!(words, "bedside-doubt-site", other = words.number(other)),
        Doubt::OffFoot(site, other) | Doubt::OffArm(site, other) => {
            let site = capital(&site.said(words));
            say!(words, "bedside-doubt-other", site = site, other = words.number(other))
        }
        Doubt::OffLastVisit(then) => {
            say!(words, "bedside-doubt-last-visit", then = words.number(then))
        }
        Doubt::Unusual => say!(words, "bedside-doubt-unusual", mmhg = value),
        Doubt::BetweenLines(graduation) => {
            let graduation = words.number(graduation);
            say!(words, "bedside-doubt-lines", mmhg = value, graduation = graduation)
        }
    }
}

/// The tap against the first pulse heard.
pub fn comparison(words: Words, comparison: &Comparison) -> String {
    let late = words.decimal(comparison.late_s.abs(), 1);
    if comparison.late_s < -0.05 {
        return say!(words, "bedside-tap-before", late = late);
    }
    let beats = match comparison.beats.map(f64::round) {
        Some(beats) if beats >= 2.0 => {
            say!(words, "bedside-tap-beats", beats = words.decimal(beats, 0))
        }
        Some(beats) if beats >= 1.0 => words.plain(id!("bedside-tap-one-beat")).into(),
        Some(_) => words.plain(id!("bedside-tap-less")).into(),
        None => String::new(),
    };
    let assumed = match comparison.fall.from {
        FallFrom::Assumed => words.plain(id!("bedside-tap-assumed")),
        _ => "",
    };
    let mmhg = words.decimal(comparison.mmhg, 0);
    say!(words, "bedside-tap-after", late = late, beats = beats, mmhg = mmhg, assumed = assumed)
}

/// From what a fall is known.
pub fn fall_from(words: Words, from: FallFrom) -> &'static str {
    words.plain(match from {
        FallFrom::Needle => id!("bedside-fall-needle"),
        FallFrom::InflatedToAndReading => id!("bedside-fall-reading"),
        FallFrom::Assumed => id!("bedside-fall-assumed"),
    })
}

/// How an attempt ended, for the line that says it was kept.
pub fn ended(words: Words, ended: &Ended) -> String {
    let said = outcome(words, &ended.outcome);
    if ended.corrected { say!(words, "bedside-corrected", outcome = said) } else { said }
}

/// An outcome.
pub fn outcome(words: Words, outcome: &Outcome) -> String {
    State::of(outcome).why(words)
}
