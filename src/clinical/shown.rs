//! What a clinician was shown, as it is kept in the visit: numbers, sentences, and what made them.

use serde::{Deserialize, Serialize};

use super::exact::Hundredths;
use super::site::Side;
use super::uncertainty::Assumed;

/// What made a result.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Versions {
    /// This program.
    pub program: String,
    /// The listener, where one was running.
    #[serde(default)]
    pub listener: Option<String>,
    /// Each set's id and version, as `id/version`.
    #[serde(default)]
    pub guidance: Vec<String>,
}

/// What a clinician was shown: kept in the visit, so that a later version can be held against it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Shown {
    /// What made it.
    pub versions: Versions,
    /// What was assumed for the intervals.
    #[serde(default)]
    pub assumed: Option<Assumed>,
    /// Right, then left.
    pub legs: Vec<ShownLeg>,
    /// The notes and flags shown.
    #[serde(default)]
    pub words: Vec<String>,
}

/// One leg as it was shown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShownLeg {
    /// Which.
    pub side: Side,
    /// The index.
    pub index: Option<Hundredths>,
    /// Its interval.
    pub low: Option<Hundredths>,
    /// Its interval.
    pub high: Option<Hundredths>,
    /// The toe-brachial index.
    #[serde(default)]
    pub toe_index: Option<Hundredths>,
    /// Each band as it was shown.
    #[serde(default)]
    pub bands: Vec<String>,
    /// The sentences.
    #[serde(default)]
    pub words: Vec<String>,
}
