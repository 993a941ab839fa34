//! What an error does: the index with the true pressure and with the one read, and whether a set of guidance would
//! have said something else.

use serde::{Deserialize, Serialize};

use crate::clinical::condition::Quantity;
use crate::clinical::exact::{Hundredths, Mean, Ratio};
use crate::clinical::guidance::{GuidanceSet, Values};
use crate::units::Mmhg;
use crate::words::{Words, say};

/// One reading's effect on the index of its leg.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct IndexEffect {
    /// The arm that both are formed with, mmHg.
    pub arm_mmhg: f64,
    /// The index with the true pressure.
    pub truth: Hundredths,
    /// The index with the pressure that was read.
    pub read: Hundredths,
    /// The set that was asked; nothing where none was chosen.
    #[serde(default)]
    pub set: Option<String>,
    /// Its bands at the true index.
    #[serde(default)]
    pub truth_bands: Vec<String>,
    /// Its bands at the index that was read.
    #[serde(default)]
    pub read_bands: Vec<String>,
    /// Whether these differ.
    pub changes: bool,
}

impl IndexEffect {
    /// The effect of reading `read_mmhg` for `truth_mmhg` at an ankle over this arm; nothing where a pressure is none.
    pub fn of(
        truth_mmhg: f64,
        read_mmhg: f64,
        arm_mmhg: f64,
        set: Option<&GuidanceSet>,
    ) -> Option<Self> {
        let index = |ankle_mmhg: f64| {
            let mean = |mmhg: f64| Mean::of(&[Mmhg::try_from(mmhg).ok()?]);
            Some(Ratio::of(mean(ankle_mmhg)?, mean(arm_mmhg)?)?.half_up())
        };
        let (truth, read) = (index(truth_mmhg)?, index(read_mmhg)?);
        let bands = |index: Hundredths| -> Vec<String> {
            let values = Values::only(Quantity::Index, index.exact());
            let hits = set.map(|set| set.bands_at(&values)).unwrap_or_default();
            hits.into_iter().map(|(band, _)| band.name.clone()).collect()
        };
        let (truth_bands, read_bands) = (bands(truth), bands(read));
        let changes = truth_bands != read_bands;
        let set = set.map(|set| set.name.clone());
        Some(Self { arm_mmhg, truth, read, set, truth_bands, read_bands, changes })
    }

    /// A sentence or two, in the words of a language; the set's own words stay as they are.
    pub fn said(&self, words: Words) -> String {
        let (read, truth) = (words.number(self.read), words.number(self.truth));
        let arm = words.decimal(self.arm_mmhg, 0);
        let both = say!(words, "drill-effect", arm = arm, read = read, truth = truth);
        let set = match &self.set {
            None => return both,
            Some(set) if self.changes => {
                let (read, truth) = (self.read_bands.join("; "), self.truth_bands.join("; "));
                say!(words, "drill-effect-other", set = set, read = read, truth = truth)
            }
            Some(set) => say!(words, "drill-effect-same", set = set),
        };
        format!("{both} {set}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clinical::guidance::{DEFAULT, shipped};

    /// 118 / 130 = 0.908 and 116 / 130 = 0.892: 0.91 and 0.89 lie on two sides of 0.90 (2024 ACC/AHA).
    #[test]
    fn two_millimetres_can_change_the_advice() {
        let set = shipped(DEFAULT).unwrap().unwrap();
        let found = IndexEffect::of(118.0, 116.0, 130.0, Some(&set)).unwrap();
        assert_eq!((found.truth, found.read), (Hundredths(91), Hundredths(89)));
        let said = found.said(Words::english());
        assert!(found.changes && said.contains("of the other"), "{said}");
        let same = IndexEffect::of(118.0, 120.0, 130.0, Some(&set)).unwrap();
        assert!(!same.changes && same.said(Words::english()).contains("the same"));
        assert!(!IndexEffect::of(118.0, 80.0, 130.0, None).unwrap().changes);
        assert_eq!(IndexEffect::of(118.0, 118.0, 0.0, None), None);
    }
}
