//! One case of a trial with what was said of it.

use super::case::Source;
use crate::sim::{HEARD, Truth};
use crate::trial::ListenerAnswer;
use crate::trial::beats::{LossTold, PulseCounts};
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
    /// What the listener told of pulses and their rate.
    pub(super) pulses: PulseCounts,
    /// What it told of the first closure, where that is asked for.
    pub(super) loss: Option<LossTold>,
}

impl Outcome {
    /// The stratum, or the family of strangers.
    pub(super) fn family(&self) -> &str {
        &self.truth.scenario
    }

    /// How whole the pulse came back: d' of the first opening after the last closure over the middle one of the fifth to the ninth.
    pub(super) fn first_share(&self) -> Option<f64> {
        let from_s = self.truth.inflations.last()?.first_opening_s?;
        let back = self.truth.openings.iter().filter(|o| o.onset_s >= from_s);
        let d_prime: Vec<f64> = back.map(|o| o.d_prime).take(9).collect();
        let mut grown = d_prime.get(4..)?.to_vec();
        grown.sort_by(f64::total_cmp);
        let middle = *grown.get(grown.len() / 2)?;
        (middle > 0.0).then(|| d_prime[0] / middle)
    }

    /// Pulses with d' of 8 or more before anything was closed.
    pub(super) fn free_pulses(&self) -> usize {
        self.truth.openings.iter().filter(|o| o.free && o.d_prime >= HEARD).count()
    }
}

/// The methods, in the order of an outcome's answers.
pub(super) const METHODS: [&str; 4] = [
    "listener",
    "spectral flux and rhythm",
    "band energy",
    "ideal observer, first opening with d' >= 8",
];
