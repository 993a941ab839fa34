//! What an audit counts: sums, rates and lags, without what they mean.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::words::{Words, id, say};

/// What was counted in some visits.
#[derive(Debug, Clone, PartialEq, Default, Serialize, schemars::JsonSchema)]
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
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct SiteCount {
    /// Visits with an outcome there.
    pub tried: usize,
    /// Visits without a pressure there, by reason.
    pub not_obtained: BTreeMap<String, usize>,
}

/// One gauge.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct GaugeState {
    /// Its code.
    pub code: String,
    /// Readings taken with it.
    pub readings: usize,
    /// In words: when it was checked, whether that is overdue, or that it is not known.
    pub state: String,
    /// The same for a page in any language.
    #[serde(skip)]
    pub check: GaugeCheck,
    /// True where its check is overdue.
    pub overdue: bool,
}

/// When a gauge was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GaugeCheck {
    /// It is not known.
    Unknown,
    /// It is, and so is how often a check is due.
    Checked {
        /// On this day.
        day: Date,
        /// So many days ago.
        passed: i32,
        /// Days from one check to the next.
        every: u32,
    },
    /// How often a check is due is not set.
    Unset {
        /// The day of the last one.
        day: Date,
    },
}

impl GaugeCheck {
    /// Whether the next check is overdue.
    pub fn is_overdue(self) -> bool {
        match self {
            GaugeCheck::Checked { passed, every, .. } => i64::from(passed) > i64::from(every),
            _ => false,
        }
    }

    /// In words.
    pub fn words(self, words: Words) -> String {
        match self {
            GaugeCheck::Unknown => words.plain(id!("audit-check-unknown")).into(),
            GaugeCheck::Checked { day, passed, every } => {
                let day = words.short_day(day);
                match self.is_overdue() {
                    true => {
                        say!(
                            words,
                            "audit-check-overdue",
                            day = day,
                            passed = passed,
                            every = every
                        )
                    }
                    false => {
                        say!(
                            words,
                            "audit-check-not-due",
                            day = day,
                            passed = passed,
                            every = every
                        )
                    }
                }
            }
            GaugeCheck::Unset { day } => {
                say!(words, "audit-check-unset", day = words.short_day(day))
            }
        }
    }
}

impl Counts {
    /// Even readings in all.
    pub fn even(&self) -> usize {
        self.digits.iter().sum()
    }
}
