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
mod sentences;
mod sheet;
pub mod statistics;

pub use choices::{AuditChoices, DayArgument, Gauges, GaugesFault};
pub use counts::{Counts, GaugeCheck, GaugeState, SiteCount};
pub use page::page;
pub use sheet::csv;

/// Fewer than this are called a small number.
pub const SMALL: usize = 30;

/// An audit.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
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
pub fn audit(visits: &[(&Visit, &VisitResult)], choices: &AuditChoices) -> Audit {
    let mut counting = Counting::default();
    visits.iter().for_each(|(visit, result)| counting.add(visit, result, choices));
    counting.end(choices)
}

/// An audit that is being made, one visit after the other: none is kept.
#[derive(Debug, Clone, Default)]
pub struct Counting {
    days: Option<(String, String)>,
    all: Counts,
    operators: BTreeMap<String, Counts>,
    gauges: BTreeMap<String, usize>,
}

impl Counting {
    /// Counts one visit.
    pub fn add(&mut self, visit: &Visit, result: &VisitResult, choices: &AuditChoices) {
        let at = visit.when();
        let day = at.get(..10).unwrap_or_default().to_owned();
        self.days = Some(match self.days.take() {
            None => (day.clone(), day),
            Some((first, last)) => (first.min(day.clone()), last.max(day)),
        });
        count::one(&mut self.all, visit, result);
        if choices.by_operator {
            let own = self.operators.entry(visit.opened.operator.clone()).or_default();
            count::one(own, visit, result);
        }
        count::used(&mut self.gauges, visit);
    }

    /// What was counted.
    pub fn end(self, choices: &AuditChoices) -> Audit {
        let (from, to) = self.days.unwrap_or_default();
        Audit {
            from,
            to,
            all: self.all,
            operators: self.operators.into_iter().collect(),
            gauges: count::gauges(&self.gauges, choices),
        }
    }
}
