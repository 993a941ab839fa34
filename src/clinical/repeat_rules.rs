//! The rules for repeats that a visit opens with; `repeats` keeps to them.

use serde::{Deserialize, Serialize};

use crate::units::Mmhg;
use crate::words::{Words, id};

/// The rules for repeats. All accepted readings of a site count as their mean, but for the first arm's rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(default)]
pub struct Repeats {
    /// What happens to the first arm's first reading.
    pub first_arm: FirstArm,
    /// Readings asked for at each site when the rhythm is irregular (BIHS 2019: at least three); 0 asks for none.
    pub irregular_at_least: u32,
    /// Ask again when a site's second reading lies more than this above its first (study manual: 5 mmHg).
    pub again_if_higher_by_mmhg: Option<Mmhg>,
}

impl Default for Repeats {
    fn default() -> Self {
        Self { first_arm: FirstArm::Average, irregular_at_least: 3, again_if_higher_by_mmhg: None }
    }
}

/// The first-arm rule of the 2012 AHA statement, in the two wordings found. Both are unverified.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FirstArm {
    /// No rule: all readings count.
    AllCount,
    /// If the first arm's first reading exceeds the second arm by more than 10 mmHg, the repeat replaces it.
    Discard,
    /// Both readings are averaged, unless they differ by more than 10 mmHg: then the first is left out.
    #[default]
    Average,
}

impl FirstArm {
    /// The rule in words, with its standing.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            FirstArm::AllCount => id!("clinical-first-arm-all"),
            FirstArm::Discard => id!("clinical-first-arm-discard"),
            FirstArm::Average => id!("clinical-first-arm-average"),
        })
    }
}
