//! Everything that one visit comes to, ready for a report: per leg the index, its doubt, what it was made
//! of and what it lacked; flags; versions. Serialisable as it stands.

use serde::{Serialize, Serializer};

use super::cautions::Flag;
use super::condition::Quantity;
use super::dispute::{Aside, Disagreement, OtherChain};
use super::event::{Heard, Phase, WaveformWord};
use super::exact::Hundredths;
use super::guidance::Status;
use super::method::Method;
use super::moment::Day;
use super::repeats::Wanted;
use super::shown::{Shown, ShownLeg, Versions};
use super::site::{Side, Site};
use super::uncertainty::{Assumed, ResultInterval};
use crate::words::{Words, id, say};

/// A visit, worked out.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct VisitResult {
    /// The patient's right leg.
    pub right: LegResult,
    /// The patient's left leg.
    pub left: LegResult,
    /// Sentences about the whole visit, with what was assumed.
    pub notes: Vec<String>,
    /// Red flags first, then cautions: they stand above every number.
    pub flags: Vec<Flag>,
    /// Further attempts that a rule asks for.
    pub wanted: Vec<Wanted>,
    /// Every site that was turned to, with every attempt.
    pub sites: Vec<SiteResult>,
    /// How the index was formed.
    pub method: Named<Method>,
    /// The record's code.
    pub record: String,
    /// The operator's code; several in the order in which they measured, joined by `, then `.
    pub operator: String,
    /// When the visit opened, with its offset.
    pub opened_at: String,
    /// What the visit was for, in words.
    pub kind: String,
    /// The day of the measurement, where it was taken over from paper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_on: Option<Day>,
    /// Why the test was done.
    pub reason: String,
    /// The ulcer that it is about, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ulcer: Option<String>,
    /// What is to be done next, in the clinician's words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<String>,
    /// How the patient lay, in words.
    pub posture: String,
    /// The sets that were asked, with their versions.
    pub guidance: Vec<GuidanceApplied>,
    /// What was assumed where nothing was recorded.
    pub assumed: Assumed,
    /// What made this.
    pub versions: Versions,
    /// True once the visit was closed.
    pub closed: bool,
    /// Facts to which two laptops gave two values, and that nobody settled.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub disagreements: Vec<Disagreement>,
    /// Events that are kept and do not count.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub aside: Vec<Aside>,
    /// Events from other chains than the one that opened the visit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<OtherChain>,
    /// The language of the sentences. Data files are written of results in English only.
    #[serde(skip)]
    pub language: Words,
}

impl VisitResult {
    /// When it was measured: the moment the visit opened, or the day that a paper gives.
    pub fn when(&self) -> String {
        self.measured_on.map_or_else(|| self.opened_at.clone(), |day| day.to_string())
    }

    /// A leg in one line: its index with the interval, or why there is none, and what the first set says of it.
    pub fn in_short(&self, side: Side) -> String {
        let (leg, words) = (self.leg(side), self.language);
        let text = |h: Hundredths| words.number(h);
        let number = match (leg.index.map(text), leg.low.zip(leg.high), leg.more_than) {
            (_, _, Some(above)) => say!(words, "clinical-short-above", lowest = text(above)),
            (Some(index), Some((low, high)), None) => {
                let (low, high) = (text(low), text(high));
                say!(words, "clinical-short-interval", index = index, low = low, high = high)
            }
            (Some(index), None, None) => say!(words, "clinical-short-index", index = index),
            (None, _, None) => words.plain(id!("clinical-short-none")).into(),
        };
        let toe = leg.toe.as_ref().and_then(|toe| toe.index);
        let toe = toe
            .map_or(String::new(), |index| say!(words, "clinical-short-toe", index = text(index)));
        let says = self.first_set_says(leg);
        say!(words, "clinical-short", side = side.code(), number = number, toe = toe, says = says)
    }

    fn first_set_says(&self, leg: &LegResult) -> String {
        let words = self.language;
        if leg.provisional {
            return words.plain(id!("clinical-short-provisional")).into();
        }
        if let Some(why) = &leg.bands_withheld {
            return why.clone();
        }
        let Some(set) = self.guidance.first() else {
            return words.plain(id!("clinical-short-no-set")).into();
        };
        let name = match set.status {
            Status::FromMemory => say!(words, "clinical-short-from-memory", set = set.name),
            _ => set.name.clone(),
        };
        let crossed = leg.crossings.iter().find(|crossing| crossing.guidance == set.name);
        let doubt = crossed.map_or(String::new(), |crossing| {
            let limits = words.and(crossing.limits.iter().cloned());
            say!(words, "clinical-short-crossing", limits = limits)
        });
        let own: Vec<&str> = leg
            .bands
            .iter()
            .filter(|band| band.id == set.id)
            .map(|band| band.says.as_str())
            .collect();
        let says = match own.is_empty() {
            true => say!(words, "clinical-short-nothing", set = name),
            false => say!(words, "clinical-short-says", set = name, says = own.join("; ")),
        };
        says + &doubt
    }

    /// One leg.
    pub fn leg(&self, side: Side) -> &LegResult {
        match side {
            Side::Right => &self.right,
            Side::Left => &self.left,
        }
    }
}

/// A choice with its name in words.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Named<T> {
    /// The choice.
    pub code: T,
    /// In words.
    pub words: String,
}

/// One leg, worked out.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LegResult {
    /// Which.
    pub side: Side,
    /// The ankle-brachial index, half up to two decimals; none where there is none.
    pub index: Option<Hundredths>,
    /// Lower end of the 95 % interval of the measurement, rounded outward.
    pub low: Option<Hundredths>,
    /// Upper end, rounded outward.
    pub high: Option<Hundredths>,
    /// The index before rounding.
    pub unrounded: Option<f64>,
    /// The index lies above this, where an artery could not be closed.
    pub more_than: Option<Hundredths>,
    /// The ankle pressure that the index is made of, mmHg.
    #[serde(serialize_with = "plain")]
    pub ankle_mmhg: Option<f64>,
    /// Where it was taken; two sites joined by `+` where the method takes a mean.
    pub ankle_site: Option<String>,
    /// 95 % interval of the ankle pressure, whole mmHg, outward.
    pub ankle_interval_mmhg: Option<(i32, i32)>,
    /// The arm pressure, mmHg.
    #[serde(serialize_with = "plain")]
    pub arm_mmhg: Option<f64>,
    /// Where it was taken.
    pub arm_site: Option<String>,
    /// True while the other arm is still to come: no band.
    pub provisional: bool,
    /// Why no recommendation is shown, where they are.
    pub bands_withheld: Option<String>,
    /// What each set says, in the order of the sets and of their bands; never merged.
    pub bands: Vec<BandHit>,
    /// Limits that lie within the measurement uncertainty.
    pub crossings: Vec<Crossing>,
    /// The toe, where it was measured.
    pub toe: Option<ToeResult>,
    /// What happened after exercise, where it was measured.
    pub exercise: Option<ExerciseResult>,
    /// The doubt with its parts.
    pub doubt: Option<ResultInterval>,
    /// Plain sentences, in the order to be read; red flags first.
    pub words: Vec<String>,
}

/// One band that holds.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BandHit {
    /// The set's name.
    pub guidance: String,
    /// The band's name with its limits, such as `borderline (0.91-0.99)`.
    pub band: String,
    /// Where it was published, and how sure that is.
    pub source: String,
    /// The band's name alone. Never shown without its set: see [`BandHit::shown`].
    pub name: String,
    /// Its limits alone, as printed.
    pub limits: String,
    /// The set's id.
    pub id: String,
    /// The version of the copy.
    pub set_version: String,
    /// What made the band hold, such as `index 0.94`.
    pub because: String,
    /// What the set says, source first.
    pub words: String,
    /// What the set says, alone: quoted, or in its sense.
    pub says: String,
    /// The band's place within its set from least (0) to most cautious.
    pub caution: u32,
}

impl BandHit {
    /// The band as it may be shown: the source first, the name in quotation marks, the limits as printed.
    pub fn shown(&self) -> String {
        format!("{}: \"{}\" ({})", self.guidance, self.name, self.limits)
    }
}

/// A limit within the measurement uncertainty. No value that a repeat would need is given, on purpose.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Crossing {
    /// The set's name.
    pub guidance: String,
    /// What the limit is about, in words.
    pub quantity: String,
    /// What the limit is about.
    #[serde(skip)]
    pub of: Quantity,
    /// The limits, as printed.
    pub limits: Vec<String>,
    /// The band the value keeps, or that it has none.
    pub own: String,
    /// The band that holds meanwhile: the more cautious side.
    pub meanwhile: String,
    /// The site whose repeat could settle it.
    pub repeat: Option<Site>,
    /// The sentence.
    pub words: String,
}

/// A toe pressure and its index.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ToeResult {
    /// The toe pressure, mmHg.
    #[serde(serialize_with = "plain")]
    pub toe_mmhg: Option<f64>,
    /// 95 % interval of the pressure, whole mmHg, outward.
    pub interval_mmhg: Option<(i32, i32)>,
    /// Toe-brachial index, over the same arm pressure.
    pub index: Option<Hundredths>,
    /// Lower end of its 95 % interval.
    pub low: Option<Hundredths>,
    /// Upper end.
    pub high: Option<Hundredths>,
    /// True of a reading from another instrument.
    pub entered: bool,
}

/// The fall after exercise.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ExerciseResult {
    /// Index after exercise.
    pub index_after: Option<Hundredths>,
    /// Fall of the index, per cent of the resting one, from the pressures before rounding.
    pub index_fall_percent: Option<f64>,
    /// Fall of the ankle pressure, mmHg.
    pub ankle_fall_mmhg: Option<f64>,
    /// From the end of the exercise to the ankle reading, minutes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_min: Option<f64>,
    /// The sentences.
    pub words: Vec<String>,
}

/// One site with every attempt.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SiteResult {
    /// Where.
    pub site: Site,
    /// At rest or after exercise.
    pub phase: Phase,
    /// Where, in words.
    pub name: String,
    /// The pressure that counts, mmHg.
    #[serde(serialize_with = "plain")]
    pub mmhg: Option<f64>,
    /// The outcome in words, such as `no signal found`.
    pub outcome: String,
    /// The clinician's last word for the waveform.
    pub waveform: Option<WaveformWord>,
    /// Every attempt, also those that do not count.
    pub attempts: Vec<AttemptResult>,
}

/// One attempt.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct AttemptResult {
    /// Its number in the visit.
    pub number: u32,
    /// Its outcome in words.
    pub outcome: String,
    /// Its reading, mmHg.
    #[serde(serialize_with = "plain")]
    pub mmhg: Option<f64>,
    /// True where the result is made of it.
    pub counts: bool,
    /// Why it does not count.
    pub left_out: Option<String>,
    /// True of a reading from another instrument.
    pub entered: bool,
    /// True of a reading that was taken over from paper.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub from_paper: bool,
    /// The clinician's mark as it was tapped, seconds from the sound's start: the reading belongs to it.
    pub mark_s: Option<f64>,
    /// Where it was moved afterwards, on the recording.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved_to_s: Option<f64>,
    /// Deflation from the needle, mmHg a second, where it was recorded.
    pub deflation_mmhg_per_s: Option<f64>,
    /// What the listener heard.
    pub heard: Option<Heard>,
}

/// A set that was asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct GuidanceApplied {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The version of the copy.
    pub version: String,
    /// Where it was published.
    pub source: String,
    /// How sure it is.
    pub status: Status,
    /// When someone looks again.
    pub look_again: String,
    /// What a reader must know about the whole set.
    pub note: String,
}

impl VisitResult {
    /// What of this is shown to a clinician.
    pub fn shown(&self) -> Shown {
        let leg = |side| {
            let leg = self.leg(side);
            ShownLeg {
                side,
                index: leg.index,
                low: leg.low,
                high: leg.high,
                toe_index: leg.toe.as_ref().and_then(|t| t.index),
                bands: leg.bands.iter().map(BandHit::shown).collect(),
                words: leg.words.clone(),
            }
        };
        let words = self.flags.iter().map(|f| f.words.clone()).chain(self.notes.clone());
        Shown {
            versions: self.versions.clone(),
            assumed: Some(self.assumed),
            legs: Side::BOTH.map(leg).to_vec(),
            words: words.collect(),
        }
    }
}

/// A whole number is written without a decimal.
fn plain<S: Serializer>(value: &Option<f64>, serializer: S) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) if value.fract() == 0.0 => serializer.serialize_i64(*value as i64),
        Some(value) => serializer.serialize_f64(*value),
        None => serializer.serialize_none(),
    }
}
