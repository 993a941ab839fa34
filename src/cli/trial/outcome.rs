//! One case of a trial with what was said of it.

use super::case::Source;
use crate::sim::Truth;
use crate::trial::ListenerAnswer;
use crate::trial::score::Judged;

/// One case with what the three methods and the ideal observer said of it.
pub(super) struct Outcome {
    /// Where it came from.
    pub(super) source: Source,
    /// What was to be found.
    pub(super) truth: Truth,
    /// What each method said.
    pub(super) answers: [ListenerAnswer; 4],
    /// What that was worth.
    pub(super) judged: [Judged; 4],
}

impl Outcome {
    /// The stratum, or the family of strangers.
    pub(super) fn family(&self) -> &str {
        &self.truth.scenario
    }
}

/// The methods, in the order of an outcome's answers.
pub(super) const METHODS: [&str; 4] = [
    "listener",
    "spectral flux and rhythm",
    "band energy",
    "ideal observer, first opening with d' >= 8",
];
