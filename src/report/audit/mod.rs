//! How well a service measures: many visits, counted. For its own eyes first, never a ranking of people.
//!
//! What is counted: completeness, the last digit of readings, deflation rates, the time from the first audible
//! pulse to the tap, repeats and why, sites not obtained, gauges whose check is due. Small numbers are called
//! small. Operators' codes stand apart only where the service asked for it, in the order of the codes.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

mod choices;
mod count;
mod counts;
mod page;
mod sheet;
pub mod statistics;

pub use choices::{Choices, Day, Gauges, GaugesFault};
pub use counts::{Counts, GaugeState, SiteCount};
pub use page::page;
pub use sheet::csv;

/// Fewer than this are called a small number.
pub const SMALL: usize = 30;

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
