//! What an audit counts: sums, rates and lags, without what they mean.

use std::collections::BTreeMap;

use serde::Serialize;

/// What was counted in some visits.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Counts {
    /// Visits.
    pub visits: usize,
    /// Visits that were closed.
    pub closed: usize,
    /// Visits in which both arms and both ankle arteries of both legs have an outcome.
    pub complete: usize,
    /// Visits with an index of both legs.
    pub both_indexes: usize,
    /// Visits whose rest before is recorded.
    pub rest_known: usize,
    /// Attempts that were not taken back.
    pub attempts: usize,
    /// Readings by ear and gauge on a gauge whose lines are 2 mmHg apart: the last digit 0, 2, 4, 6, 8.
    pub digits: [usize; 5],
    /// Such readings that are not even.
    pub odd: usize,
    /// Deflation rates, mmHg a second, in the order of the attempts.
    pub rates: Vec<f64>,
    /// From the first audible pulse to the tap, seconds, by what made it hard to hear.
    pub lags: BTreeMap<String, Vec<f64>>,
    /// Attempts at a site after its first.
    pub repeats: usize,
    /// Why: words and count.
    pub reasons: BTreeMap<String, usize>,
    /// For each site: visits that turned to it, and visits that got no pressure there by reason.
    pub sites: BTreeMap<String, SiteCount>,
}

/// One site over all visits.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct SiteCount {
    /// Visits with an outcome there.
    pub tried: usize,
    /// Visits without a pressure there, by reason.
    pub not_obtained: BTreeMap<String, usize>,
}

/// One gauge.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct GaugeState {
    /// Its code.
    pub code: String,
    /// Readings taken with it.
    pub readings: usize,
    /// In words: when it was checked, whether that is overdue, or that it is not known.
    pub state: String,
    /// True where its check is overdue.
    pub overdue: bool,
}

impl Counts {
    /// Even readings in all.
    pub fn even(&self) -> usize {
        self.digits.iter().sum()
    }
}
