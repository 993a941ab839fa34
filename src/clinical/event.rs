//! The acts of a visit, numbered and versioned. A visit *is* its events: what is not here is worked out.

use serde::{Deserialize, Serialize};

pub use super::apart::Apart;
pub use super::kind::{Ulcer, VisitKind};
use super::moment::{Day, Moment};
pub use super::opened::{Answer, Gauge, Opened, Posture};
pub use super::prepared::{Cuff, Foot, Limb, Prepared, Step, Temperature, WoundCare};
use super::shown::Shown;
use super::site::{Side, Site};
use crate::units::{Mmhg, SampleIndex};
use crate::words::{Words, id};

/// The newest version of events that this program reads. Each event is written in the version that first knew its
/// kind, so that an older program reads every visit that uses nothing newer.
pub const VERSION: u32 = 2;

/// One act, in its place: `{"n":1,"v":1,"at":"2026-11-03T10:15:02+01:00","act":{"kind":...}}`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Event {
    /// Its number in the visit, from 1 without gaps.
    pub n: u64,
    /// The version of its form.
    pub v: u32,
    /// When it happened.
    pub at: Moment,
    /// What happened.
    pub act: Act,
    /// Where it stands among several laptops; empty where one wrote the visit alone.
    #[serde(default, skip_serializing_if = "Apart::is_usual")]
    pub apart: Apart,
}

/// What can happen in a visit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Act {
    /// The first event of every visit.
    VisitOpened(Opened),
    /// A site was turned to: a new attempt begins.
    SiteChosen {
        /// The attempt's number in this visit, never used twice.
        attempt: u32,
        /// Where.
        site: Site,
        /// At rest or after exercise.
        #[serde(default)]
        phase: Phase,
        /// The code of the gauge, where it is not the visit's own.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gauge: Option<String>,
    },
    /// The attempt moved on.
    Stage {
        /// The attempt.
        attempt: u32,
        /// Where it stands now.
        stage: Stage,
    },
    /// The clinician marked the return of the sound.
    Mark {
        /// The attempt.
        attempt: u32,
        /// When, in the sound.
        at: SoundTime,
        /// By what means.
        made: Made,
    },
    /// The last mark was taken back; the one before it counts again.
    MarkTakenBack {
        /// The attempt.
        attempt: u32,
    },
    /// The clinician stopped: the valve was opened fully at once.
    Stopped {
        /// The attempt.
        attempt: u32,
        /// Why, where it was said.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<String>,
    },
    /// After the reading was kept, it was held against what the listener heard, and that was shown.
    Compared {
        /// The attempt.
        attempt: u32,
        /// From the first pulse heard to the mark, seconds; negative where the mark came first.
        late_s: f64,
        /// The same in beats.
        beats: f64,
        /// By how much the needle was higher then, mmHg.
        mmhg: f64,
    },
    /// Something of the preparation was done, or left out.
    Prepared(Prepared),
    /// What is to be done next, in the clinician's words; the last word counts. Version 2.
    Plan {
        /// The words.
        words: String,
        /// Whose decision.
        who: String,
    },
    /// From here on another operator measures. Version 2.
    OperatorChanged {
        /// The new operator's code.
        who: String,
    },
    /// The patient exercised, and stopped now: what follows is measured after exercise. Version 2.
    Exercised {
        /// What was done and for how long, in words.
        words: String,
    },
    /// A supervisor countersigned.
    Countersigned {
        /// By name or code.
        who: String,
    },
    /// The needle was at a pressure at a time; two of them, or one and the mark, give the rate.
    Needle {
        /// The attempt.
        attempt: u32,
        /// What the gauge showed, mmHg.
        cuff_mmhg: Mmhg,
        /// When, in the sound.
        at: SoundTime,
    },
    /// The cuff was inflated to a pressure, and deflation begins. Version 2.
    Inflated {
        /// The attempt.
        attempt: u32,
        /// What the gauge showed, mmHg.
        cuff_mmhg: Mmhg,
        /// When, in the sound.
        at: SoundTime,
    },
    /// The clinician undid an earlier act: it counts as never done, and stays on the trail. Version 2.
    Undone {
        /// The number of the event; never that of the opening, of a closing or of another undoing.
        of: u64,
        /// Who undid it.
        who: String,
    },
    /// The attempt ended.
    Outcome {
        /// The attempt.
        attempt: u32,
        /// How.
        outcome: Outcome,
    },
    /// What the listener heard: an assistant's word, beside the record.
    Finding {
        /// The attempt.
        attempt: u32,
        /// In plain numbers.
        heard: Heard,
    },
    /// The clinician's word for the waveform.
    Waveform {
        /// Where.
        site: Site,
        /// The word.
        word: WaveformWord,
    },
    /// A question of caution was answered.
    Caution(Answered),
    /// A red flag was asked for.
    RedFlag(Answered),
    /// An attempt does not count; it stays visible. After the closing: version 2.
    AttemptWithdrawn {
        /// The attempt.
        attempt: u32,
        /// Whose decision.
        who: String,
        /// Why.
        why: String,
    },
    /// An earlier act is replaced; the old one is kept here.
    Amendment {
        /// The number of the event that is replaced; never an amendment.
        of: u64,
        /// What stood there.
        old: Box<Act>,
        /// What stands there now; the same kind.
        new: Box<Act>,
        /// Whose decision.
        who: String,
        /// Why.
        why: String,
    },
    /// Free words.
    Note {
        /// Who wrote it.
        who: String,
        /// The words.
        words: String,
    },
    /// Numbers and guidance were shown to the clinician, in these words.
    GuidanceShown(Shown),
    /// When this record is to be measured again was decided; the last word counts.
    NextTest {
        /// The day.
        on: Day,
        /// Whose decision.
        who: String,
    },
    /// An open visit goes on here and no longer on the laptop, or in the copy of the book, where it was before.
    TakenOver {
        /// Whose decision.
        who: String,
        /// Why.
        why: String,
    },
    /// The visit is over; only amendments, notes, showings and the next test's day may follow.
    VisitClosed,
}

impl Act {
    /// The version of events that first knew this kind of act.
    pub const fn version(&self) -> u32 {
        match self {
            Act::Inflated { .. }
            | Act::Undone { .. }
            | Act::TakenOver { .. }
            | Act::Plan { .. }
            | Act::OperatorChanged { .. }
            | Act::Exercised { .. }
            | Act::Outcome { outcome: Outcome::Reading { source: Source::Paper, .. }, .. }
            | Act::Prepared(Prepared::Wound { .. } | Prepared::RestBeganAgain) => 2,
            Act::VisitOpened(opened) if !opened.scope.is_full() => 2,
            Act::Amendment { new, .. } => new.version(),
            _ => 1,
        }
    }
}

/// An answered question of the caution list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Answered {
    /// The question's id in the caution data.
    pub id: String,
    /// The answer.
    pub answer: Answer,
    /// The side it concerns; none for the whole patient.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
}

/// At rest or after exercise.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// After lying still.
    #[default]
    Rest,
    /// Within about a minute after exercise.
    AfterExercise,
}

/// Where an attempt stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// The probe looks for the artery.
    Find,
    /// The cuff is pumped.
    Inflate,
    /// The cuff is let down, the ear waits.
    Release,
    /// The sound is back, the gauge is read.
    Read,
}

/// A moment in a stream of sound, or on a monotonic clock where there is no sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SoundTime {
    /// Which stream.
    pub epoch: u32,
    /// The sample, from the stream's start.
    pub sample: SampleIndex,
    /// Samples a second.
    pub rate_hz: u32,
}

impl SoundTime {
    /// Seconds from the stream's start.
    pub fn seconds(self) -> f64 {
        self.sample.0 as f64 / f64::from(self.rate_hz.max(1))
    }
}

/// How a mark was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Made {
    /// A key.
    Key,
    /// A pointer or finger.
    Pointer,
    /// A foot pedal.
    Pedal,
    /// Set afterwards, on the recording.
    Afterwards,
    /// A scripted clinician, in a demonstration.
    Script,
}

/// How an attempt ended.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Outcome {
    /// A pressure.
    Reading {
        /// Read at the first returning pulse, mmHg.
        cuff_mmhg: Mmhg,
        /// Where it comes from.
        #[serde(default)]
        source: Source,
    },
    /// The signal was still there at the highest pressure allowed.
    NotCompressible {
        /// That pressure, mmHg.
        limit_mmhg: Mmhg,
    },
    /// No signal was found before inflating.
    NoSignal,
    /// Not measured.
    NotMeasured {
        /// Why.
        reason: String,
    },
}

/// Where a reading comes from.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Source {
    /// The clinician's ear and gauge.
    #[default]
    EarAndGauge,
    /// Entered from another instrument.
    Entered,
    /// By someone's ear and gauge earlier, taken over from paper. Version 2.
    Paper,
}

/// What the listener heard in an attempt. Plain numbers; times are seconds from the epoch's start.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Heard {
    /// The stream the times belong to.
    pub epoch: u32,
    /// When the signal was lost under the cuff.
    pub lost_s: Option<f64>,
    /// When the first returning pulse began.
    pub return_s: Option<f64>,
    /// When the listener first said so.
    pub cue_s: Option<f64>,
    /// 0 to 1.
    pub confidence: Option<f64>,
    /// Beats a minute.
    pub heart_rate_bpm: Option<f64>,
    /// True where the rhythm was called irregular; none where it was not judged.
    pub irregular: Option<bool>,
    /// The listener's word for the rhythm.
    #[serde(default)]
    pub rhythm: String,
    /// Its words on the quality of the sound.
    #[serde(default)]
    pub quality: Vec<String>,
    /// The listener's version.
    #[serde(default)]
    pub listener: String,
}

/// The clinician's word for a waveform.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WaveformWord {
    /// Crosses the zero line.
    Multiphasic,
    /// Three phases.
    Triphasic,
    /// Two phases; readers differ on what it means.
    Biphasic,
    /// No reversal.
    Monophasic,
    /// Low, rounded, slow to rise.
    Damped,
    /// Nothing heard.
    Absent,
    /// Not sure.
    Unclear,
}

impl WaveformWord {
    /// In words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            WaveformWord::Multiphasic => id!("clinical-waveform-multiphasic"),
            WaveformWord::Triphasic => id!("clinical-waveform-triphasic"),
            WaveformWord::Biphasic => id!("clinical-waveform-biphasic"),
            WaveformWord::Damped => id!("clinical-waveform-damped"),
            WaveformWord::Monophasic => id!("clinical-waveform-monophasic"),
            WaveformWord::Absent => id!("clinical-waveform-absent"),
            WaveformWord::Unclear => id!("clinical-waveform-unclear"),
        })
    }
}

/// Why a line is no event.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EventFault {
    /// Written by a newer program.
    #[error(
        "this visit was written in version {found} of the events, and this program knows versions up to {VERSION}: open it with the newer program"
    )]
    Newer {
        /// Its version.
        found: u64,
    },
    /// Not an event.
    #[error("not a visit event ({0}): expected {{\"n\":..,\"v\":..,\"at\":..,\"act\":{{..}}}}")]
    NotAnEvent(String),
}

impl Event {
    /// An act in its place, in the version that its kind needs, as one laptop writes it.
    pub const fn new(n: u64, at: Moment, act: Act) -> Self {
        let apart = Apart { chain: None, unseen: Vec::new(), aside: None };
        Self { n, v: act.version(), at, act, apart }
    }

    /// As [`Event::new`], of a visit that is closed: what the first version did not let follow a closing is of the
    /// second, so that an older program asks for the newer one instead of calling the visit wrong.
    pub const fn after_closing(n: u64, at: Moment, act: Act) -> Self {
        let withdrawn = matches!(act, Act::AttemptWithdrawn { .. });
        let mut event = Self::new(n, at, act);
        if withdrawn {
            event.v = 2;
        }
        event
    }

    /// Reads one line of JSON.
    ///
    /// # Errors
    /// A newer version is refused before anything else is looked at.
    pub fn from_json(line: &str) -> Result<Self, EventFault> {
        let not = |e: serde_json::Error| EventFault::NotAnEvent(e.to_string());
        let value: serde_json::Value = serde_json::from_str(line).map_err(not)?;
        match value.get("v").and_then(serde_json::Value::as_u64) {
            Some(found) if found > u64::from(VERSION) => Err(EventFault::Newer { found }),
            _ => serde_json::from_value(value).map_err(not),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_event_keeps_its_form_on_paper() {
        let line = r#"{"n":3,"v":1,"at":"2026-11-03T10:15:02+01:00","act":{"kind":"outcome","attempt":1,"outcome":{"is":"reading","cuff_mmhg":104.0,"source":"ear-and-gauge"}}}"#;
        let event = Event::from_json(line).unwrap();
        assert_eq!(serde_json::to_string(&event).unwrap(), line);
    }

    proptest::proptest! {
        #[test]
        fn no_line_makes_a_panic(line in ".{0,200}", cut in 0usize..190) {
            let _ = Event::from_json(&line);
            let whole = r#"{"n":3,"v":1,"at":"2026-11-03T10:15:02+01:00","act":{"kind":"needle","attempt":1,"cuff_mmhg":104.0,"at":{"epoch":1,"sample":9,"rate_hz":0}}}"#;
            let _ = Event::from_json(&whole[..cut.min(whole.len())]);
        }
    }

    #[test]
    fn newer_and_broken_lines_are_refused_with_a_sentence() {
        let newer = r#"{"n":1,"v":9,"at":"?","act":{"kind":"unheard-of"}}"#;
        assert_eq!(Event::from_json(newer), Err(EventFault::Newer { found: 9 }));
        let out = r#"{"n":1,"v":1,"at":"2026-11-03T10:15:02Z","act":{"kind":"outcome","attempt":1,"outcome":{"is":"reading","cuff_mmhg":400}}}"#;
        assert!(Event::from_json(out).unwrap_err().to_string().contains("outside 0 to 300"));
        assert!(Event::from_json("[]").is_err());
    }
}
