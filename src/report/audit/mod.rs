//! How well a service measures: many visits, counted. For its own eyes first, never a ranking of people.
//!
//! What is counted: completeness, the last digit of readings, deflation rates, the time from the first audible
//! pulse to the tap, repeats and why, sites not obtained, gauges whose check is due. Small numbers are called
//! small. Operators' codes stand apart only where the service asked for it, in the order of the codes.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

mod count;
mod page;
mod sheet;
pub mod statistics;

pub use page::page;
pub use sheet::csv;

/// Fewer than this are called a small number.
pub const SMALL: usize = 30;

/// What the service chose.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choices {
    /// Each operator's code for itself too.
    pub by_operator: bool,
    /// When each gauge was last checked.
    pub gauges: Gauges,
    /// The day the audit is made.
    pub today: Option<Date>,
}

/// The gauges' checks, as a TOML file of the service holds them.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gauges {
    /// Days from one check to the next; none where the service did not say.
    #[serde(default)]
    pub check_every_days: Option<u32>,
    /// The day of the last check, by the gauge's code.
    #[serde(default)]
    pub checked: BTreeMap<String, Day>,
}

/// A day, written `2026-03-04`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct Day(pub Date);

impl TryFrom<String> for Day {
    type Error = jiff::Error;

    fn try_from(text: String) -> Result<Self, jiff::Error> {
        text.parse().map(Day)
    }
}

/// Why a file of gauges was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "this is no list of gauges ({0}); expected check_every_days = 365 and [checked] with lines such as G-2 = \"2026-03-04\""
)]
pub struct GaugesFault(String);

impl Gauges {
    /// Reads the TOML text.
    ///
    /// # Errors
    /// Unknown keys and days that are none, with the reader's sentence.
    pub fn parse(text: &str) -> Result<Self, GaugesFault> {
        toml::from_str(text).map_err(|fault| GaugesFault(fault.message().to_owned()))
    }
}

/// An audit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Audit {
    /// The days of the first and last visit.
    pub from: String,
    /// The day of the last visit.
    pub to: String,
    /// All visits together.
    pub all: Counts,
    /// Each operator's own, by code; empty unless asked for.
    pub operators: Vec<(String, Counts)>,
    /// The gauges that were used, by code.
    pub gauges: Vec<GaugeState>,
}

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

/// Counts the visits.
pub fn audit(visits: &[(&Visit, &VisitResult)], choices: &Choices) -> Audit {
    let day = |moment: Option<String>| moment.and_then(|m| m.get(..10).map(str::to_owned));
    let mut days: Vec<String> =
        visits.iter().filter_map(|(visit, _)| day(Some(visit.opened_at.to_string()))).collect();
    days.sort();
    let mut operators: BTreeMap<String, Vec<(&Visit, &VisitResult)>> = BTreeMap::new();
    for (visit, result) in visits.iter().filter(|_| choices.by_operator) {
        operators.entry(visit.opened.operator.clone()).or_default().push((visit, result));
    }
    Audit {
        from: days.first().cloned().unwrap_or_default(),
        to: days.last().cloned().unwrap_or_default(),
        all: count::all(visits),
        operators: operators.iter().map(|(code, own)| (code.clone(), count::all(own))).collect(),
        gauges: count::gauges(visits, choices),
    }
}
