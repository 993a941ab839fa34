//! What is done before the first inflation, or left out: rest, cuffs, gauge, probe, feet, sound.

use serde::{Deserialize, Serialize};

use super::opened::Answer;
use super::site::Side;
use crate::words::{Words, id, say};

/// One thing that was done before the first inflation, or left out in one act.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum Prepared {
    /// The patient rested, lying and not talking.
    Rested {
        /// Whole minutes at rest.
        minutes: u32,
        /// The minutes that were to be kept; fewer at rest means that it was cut short.
        wanted_min: u32,
    },
    /// The patient moved: rest begins again. Version 2.
    RestBeganAgain,
    /// A cuff was put on.
    Cuff(Cuff),
    /// Whether the needle stands at zero with the cuff open.
    NeedleAtZero {
        /// Yes or no.
        answer: Answer,
    },
    /// The probe in use.
    Probe {
        /// Its frequency, megahertz.
        mhz: f64,
    },
    /// A foot was looked at and felt.
    Foot(Foot),
    /// What is done about a wound where the cuff goes. Version 2.
    Wound {
        /// The patient's side.
        side: Side,
        /// What.
        care: WoundCare,
    },
    /// The sound was checked.
    Sound {
        /// What was found, in words.
        words: String,
    },
    /// A step was left out.
    LeftOut {
        /// Which.
        step: Step,
    },
}

/// A cuff on a limb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Cuff {
    /// The patient's side.
    pub side: Side,
    /// Upper arm or ankle.
    pub limb: Limb,
    /// The limb's circumference where the cuff goes, millimetres.
    pub circumference_mm: Option<u32>,
    /// Width of the cuff's bladder, millimetres.
    pub width_mm: u32,
    /// Length of the bladder, millimetres.
    pub length_mm: u32,
}

/// Where a cuff goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Limb {
    /// The upper arm.
    Arm,
    /// Just above the malleoli.
    Ankle,
}

/// A foot before the test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Foot {
    /// The patient's side.
    pub side: Side,
    /// To the back of a hand.
    pub temperature: Temperature,
    /// Whether a pulse was felt at the foot.
    pub pulse_felt: Answer,
}

/// What is done about a wound where the cuff goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WoundCare {
    /// Covered with film, the cuff over it (AHA 2012, by way of a secondary page: impermeable film).
    Covered,
    /// The cuff goes elsewhere on the limb.
    CuffElsewhere,
    /// No cuff on this limb.
    LeftOut,
}

impl WoundCare {
    /// All, in the order they are offered.
    pub const ALL: [WoundCare; 3] =
        [WoundCare::Covered, WoundCare::CuffElsewhere, WoundCare::LeftOut];

    /// In words.
    pub fn words(self) -> &'static str {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            WoundCare::Covered => id!("clinical-wound-covered"),
            WoundCare::CuffElsewhere => id!("clinical-wound-cuff-elsewhere"),
            WoundCare::LeftOut => id!("clinical-wound-left-out"),
        })
    }
}

/// How a foot feels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Temperature {
    /// Warm.
    Warm,
    /// Cool.
    Cool,
    /// Cold.
    Cold,
}

/// The steps of the preparation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// The questions about red flags and cautions.
    Cautions,
    /// Cuffs and circumferences.
    Cuffs,
    /// Gauge, needle at zero, probe.
    Instruments,
    /// Temperature and pulses of the feet.
    Feet,
    /// The check of the sound.
    Sound,
    /// The rest.
    Rest,
}

impl Step {
    /// All, in the order they are offered.
    pub const ALL: [Step; 6] =
        [Step::Cautions, Step::Cuffs, Step::Instruments, Step::Feet, Step::Sound, Step::Rest];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Step::Cautions => "red flags and cautions",
            Step::Cuffs => "cuffs",
            Step::Instruments => "gauge and probe",
            Step::Feet => "feet",
            Step::Sound => "sound",
            Step::Rest => "rest",
        }
    }
}

/// The least share of the circumference that the bladder's width covers, per cent (AHA, by way of
/// a summary; a UK procedure sheet says the same).
pub const WIDTH_PERCENT: u32 = 40;
/// The least share that its length covers, per cent (UK procedure sheet).
pub const LENGTH_PERCENT: u32 = 80;

impl Cuff {
    /// What is wrong with its size, in sentences; empty where nothing is, or the circumference is
    /// not known.
    pub fn faults(&self, words: Words) -> Vec<String> {
        let Some(around) = self.circumference_mm else { return Vec::new() };
        let short = |size: u32, percent: u32| {
            u64::from(size) * 100 < u64::from(around) * u64::from(percent)
        };
        let mut faults = Vec::new();
        if short(self.width_mm, WIDTH_PERCENT) {
            let percent = WIDTH_PERCENT;
            faults.push(say!(
                words,
                "clinical-cuff-narrow",
                around = around / 10,
                percent = percent
            ));
        }
        if short(self.length_mm, LENGTH_PERCENT) {
            let percent = LENGTH_PERCENT;
            faults.push(say!(
                words,
                "clinical-cuff-short",
                around = around / 10,
                percent = percent
            ));
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cuff_is_held_against_both_shares_from_both_sides() {
        let cuff = |width_mm, length_mm| Cuff {
            side: Side::Right,
            limb: Limb::Arm,
            circumference_mm: Some(300),
            width_mm,
            length_mm,
        };
        assert_eq!(cuff(120, 240).faults(Words::english()), Vec::<String>::new());
        assert_eq!(cuff(119, 240).faults(Words::english()).len(), 1);
        assert_eq!(cuff(120, 239).faults(Words::english()).len(), 1);
        assert_eq!(Cuff { circumference_mm: None, ..cuff(1, 1) }.faults(Words::english()).len(), 0);
    }
}
