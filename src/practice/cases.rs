//! The patients of a drill, drawn from a seed: each kind of drill has what it asks about in it.

use serde::{Deserialize, Serialize};

use crate::sim::{Artery, Case, Chance, Hand, Noise, Rhythm};

/// The stream of chance that draws patients.
const STREAM: u64 = 900;

/// What a drill asks for.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Tap at the first pulse that comes back, and read the needle.
    FirstReturn,
    /// The same, with a vein that blows beside the artery.
    BesideVein,
    /// Say whether the free pulse is multiphasic, monophasic or damped.
    Waveform,
    /// Say whether the rhythm is regular.
    Regularity,
    /// The first return in a noise that grows or falls with each answer.
    RisingNoise,
    /// All sites of a visit, and the index.
    WholeVisit,
}

impl Kind {
    /// All, in the order offered.
    pub const ALL: [Kind; 6] = [
        Kind::FirstReturn,
        Kind::BesideVein,
        Kind::Waveform,
        Kind::Regularity,
        Kind::RisingNoise,
        Kind::WholeVisit,
    ];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Kind::FirstReturn => "First return",
            Kind::BesideVein => "Artery beside a vein",
            Kind::Waveform => "Multiphasic or monophasic",
            Kind::Regularity => "Regular or irregular",
            Kind::RisingNoise => "In rising noise",
            Kind::WholeVisit => "A whole visit",
        }
    }

    /// What the student is asked to do.
    pub const fn task(self) -> &'static str {
        match self {
            Kind::FirstReturn => {
                "Close the artery, release slowly, tap at the first of two pulses in rhythm, and type what the needle showed."
            }
            Kind::BesideVein => {
                "A vein blows beside the artery. Tap at the first pulse of the artery, and type what the needle showed."
            }
            Kind::Waveform => "Leave the cuff open, listen, and say how the artery sounds.",
            Kind::Regularity => {
                "Leave the cuff open, listen, and say whether the rhythm is regular."
            }
            Kind::RisingNoise => {
                "Tap at the first return. The noise grows when you find it twice, and falls when you miss it."
            }
            Kind::WholeVisit => {
                "Measure each site in turn, then see what your index would have been."
            }
        }
    }

    /// True where the student works the cuff and taps.
    pub const fn has_return(self) -> bool {
        !matches!(self, Kind::Waveform | Kind::Regularity)
    }
}

/// A patient for this kind of drill. Same seed, same patient.
pub fn draw(kind: Kind, seed: u64) -> Case {
    let mut chance = Chance::new(seed, STREAM);
    let systolic_mmhg = chance.between(85.0, 165.0);
    let mut case = Case {
        scenario: format!("practice/{}", kind.words().to_lowercase()),
        heart_rate_bpm: chance.between(58.0, 92.0),
        systolic_mmhg,
        diastolic_mmhg: systolic_mmhg * chance.between(0.55, 0.65),
        breathing_mmhg: chance.between(1.0, 3.0),
        artery: if chance.happens(0.6) { Artery::Multiphasic } else { Artery::Monophasic },
        snr_db: chance.between(14.0, 24.0),
        hand: Hand { bleed_mmhg_s: chance.between(2.0, 3.5), baseline_s: 3.0, ..Hand::default() },
        ..Case::default()
    };
    match kind {
        Kind::FirstReturn | Kind::WholeVisit => {}
        Kind::BesideVein => case.venous_db = Some(chance.between(-10.0, -2.0)),
        Kind::Waveform => {
            case.artery = chance.pick(&[Artery::Multiphasic, Artery::Monophasic, Artery::Damped]);
        }
        Kind::Regularity => {
            case.rhythm = chance.pick(&[Rhythm::Regular, Rhythm::Fibrillation, Rhythm::Premature]);
        }
        Kind::RisingNoise => {
            case.noise = vec![chance.pick(&[
                Noise::Speech,
                Noise::Babble,
                Noise::Alarm,
                Noise::Ventilation,
            ])];
        }
    }
    case
}

/// The right word for the artery of a case.
pub const fn waveform_word(case: &Case) -> &'static str {
    match case.artery {
        Artery::Multiphasic => "multiphasic",
        Artery::Monophasic => "monophasic",
        Artery::Damped => "damped",
        Artery::Absent => "absent",
    }
}

/// The right word for the rhythm of a case.
pub const fn rhythm_word(case: &Case) -> &'static str {
    match case.rhythm {
        Rhythm::Regular => "regular",
        Rhythm::Fibrillation | Rhythm::Premature => "irregular",
    }
}

/// What a word suggests (common practice), for a learner.
pub fn suggests(word: &str) -> &'static str {
    match word {
        "multiphasic" => {
            "Flow goes back after each beat: the vessels beyond resist, as at rest they should."
        }
        "monophasic" => {
            "Forward flow only: the artery may be narrowed upstream, or the limb warm or inflamed."
        }
        "damped" => "A slow rise and little pulse: severe narrowing upstream is likely.",
        "irregular" => {
            "Let the cuff down more slowly, and take several readings (BIHS 2019: three or more, averaged)."
        }
        "regular" => "A regular rhythm tells you when the next pulse is due.",
        _ => "",
    }
}

/// The seed of drill number `number` (from 0) of a lesson; below 2^32, so that every reader of JSON keeps it.
pub fn seed_of(lesson: u64, number: u32) -> u64 {
    Chance::new(lesson, STREAM + 1 + u64::from(number)).word() >> 32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_one_patient_and_each_kind_what_it_asks_about() {
        for seed in 0..50 {
            assert_eq!(draw(Kind::FirstReturn, seed), draw(Kind::FirstReturn, seed));
            assert!(draw(Kind::BesideVein, seed).venous_db.is_some());
            assert_ne!(draw(Kind::RisingNoise, seed).noise, Case::default().noise);
        }
        let arteries: Vec<_> = (0..50).map(|seed| draw(Kind::Waveform, seed).artery).collect();
        assert!(arteries.contains(&Artery::Damped) && arteries.contains(&Artery::Multiphasic));
        assert_ne!(seed_of(7, 0), seed_of(8, 0));
        assert!(seed_of(7, 3) < 1 << 32);
    }
}
