//! What is fixed when a visit opens: record, operator, method, order, gauges, posture, the reason.

use serde::{Deserialize, Serialize};

use super::kind::{Ulcer, VisitKind};
use super::method::Method;
use super::repeat_rules::Repeats;
use crate::units::Mmhg;
use crate::words::{Words, id};

/// The facts a visit opens with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Opened {
    /// The record's code; never a name.
    pub record: String,
    /// The operator's code.
    pub operator: String,
    /// How the index is formed.
    #[serde(default)]
    pub method: Method,
    /// The id of the order of measurement.
    pub order: String,
    /// Which repeats are asked for and which count, fixed beforehand.
    #[serde(default)]
    pub repeats: Repeats,
    /// The gauge in use.
    pub gauge: Gauge,
    /// Further gauges that an attempt may name.
    #[serde(default)]
    pub other_gauges: Vec<Gauge>,
    /// How the patient lies.
    pub posture: Posture,
    /// What is measured in the visit; left out for both legs, as before there were kinds. Not named `kind`: an act's tag
    /// has that name, and the two would stand side by side in one object.
    #[serde(default, skip_serializing_if = "VisitKind::is_full")]
    pub scope: VisitKind,
    /// Why the test is done.
    #[serde(default)]
    pub reason: String,
    /// The ulcer that it is about, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ulcer: Option<Ulcer>,
    /// Diabetes.
    #[serde(default)]
    pub diabetes: Answer,
    /// Chronic kidney disease.
    #[serde(default)]
    pub kidney: Answer,
    /// Minutes at rest before the first inflation.
    #[serde(default)]
    pub rested_min: Option<u32>,
    /// The version of this program.
    #[serde(default)]
    pub program: String,
    /// The version of the listener, where one was running.
    #[serde(default)]
    pub listener: Option<String>,
}

/// A gauge, by its code.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Gauge {
    /// The code on its label.
    pub code: String,
    /// From line to line, mmHg.
    pub graduation_mmhg: Mmhg,
}

/// How the patient lies during the measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Posture {
    /// Flat on the back.
    Supine,
    /// Head and trunk raised.
    HeadRaised,
    /// Sitting.
    Sitting,
    /// Anything else.
    Other,
}

impl Posture {
    /// In words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Posture::Supine => id!("clinical-posture-supine"),
            Posture::HeadRaised => id!("clinical-posture-head-raised"),
            Posture::Sitting => id!("clinical-posture-sitting"),
            Posture::Other => id!("clinical-posture-other"),
        })
    }
}

/// An answer to a question.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Asked and not known, or not asked.
    #[default]
    Unknown,
}
