//! What a service chose for its audit, and the file of its gauges' checks.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Deserialize;

/// What the service chose.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AuditChoices {
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
    pub checked: BTreeMap<String, DayArgument>,
}

/// A day, written `2026-03-04`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct DayArgument(pub Date);

impl TryFrom<String> for DayArgument {
    type Error = jiff::Error;

    fn try_from(text: String) -> Result<Self, jiff::Error> {
        text.parse().map(DayArgument)
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
