//! The patients of a drill, drawn from a seed: each kind of drill has what it asks about in it.

use serde::{Deserialize, Serialize};

use crate::sim::{Case, Chance, FlowKind, Hand, Noise, Rhythm};
use crate::words::{Words, id, say};

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
pub enum CaseKind {
    /// Tap at the first pulse that comes back, and read the needle.
    FirstReturn,
    /// The same, with a vein that blows beside the artery.
    BesideVein,
    /// Say whether the flow of the free pulse goes back: multiphasic or monophasic.
    Waveform,
    /// Say whether the free pulse is damped.
    Damped,
    /// Say whether the rhythm is regular.
    Regularity,
    /// The first return in a noise that grows or falls with each answer.
    RisingNoise,
    /// All sites of a visit, and the index.
    WholeVisit,
}

impl CaseKind {
    /// All, in the order offered.
    pub const ALL: [CaseKind; 7] = [
        CaseKind::FirstReturn,
        CaseKind::BesideVein,
        CaseKind::Waveform,
        CaseKind::Damped,
        CaseKind::Regularity,
        CaseKind::RisingNoise,
        CaseKind::WholeVisit,
    ];

    /// Its name in files and on the command line, in English whatever the language.
    pub fn name(self) -> &'static str {
        self.said(Words::english())
    }

    /// Its name in the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            CaseKind::FirstReturn => id!("practice-kind-return"),
            CaseKind::BesideVein => id!("practice-kind-vein"),
            CaseKind::Waveform => id!("practice-kind-waveform"),
            CaseKind::Damped => id!("practice-kind-damped"),
            CaseKind::Regularity => id!("practice-kind-regularity"),
            CaseKind::RisingNoise => id!("practice-kind-noise"),
            CaseKind::WholeVisit => id!("practice-kind-visit"),
        })
    }

    /// What the student is asked to do, in the words of a language.
    pub fn task(self, words: Words) -> &'static str {
        words.plain(match self {
            CaseKind::FirstReturn => id!("practice-task-return"),
            CaseKind::BesideVein => id!("practice-task-vein"),
            CaseKind::Waveform => id!("practice-task-waveform"),
            CaseKind::Damped => id!("practice-task-damped"),
            CaseKind::Regularity => id!("practice-task-regularity"),
            CaseKind::RisingNoise => id!("practice-task-noise"),
            CaseKind::WholeVisit => id!("practice-task-visit"),
        })
    }

    /// True where the student works the cuff and taps.
    pub const fn has_return(self) -> bool {
        !matches!(self, CaseKind::Waveform | CaseKind::Damped | CaseKind::Regularity)
    }
}

/// A patient for this kind of drill. Same seed, same patient.
pub fn draw(kind: CaseKind, seed: u64) -> Case {
    let mut chance = Chance::new(seed, STREAM);
    let systolic_mmhg = chance.between(85.0, 165.0);
    let mut case = Case {
        scenario: format!("practice/{}", kind.name().to_lowercase()),
        heart_rate_bpm: chance.between(58.0, 92.0),
        systolic_mmhg,
        diastolic_mmhg: systolic_mmhg * chance.between(0.55, 0.65),
        breathing_mmhg: chance.between(1.0, 3.0),
        artery: if chance.happens(0.6) { FlowKind::Multiphasic } else { FlowKind::Monophasic },
        snr_db: chance.between(14.0, 24.0),
        hand: Hand { bleed_mmhg_s: chance.between(2.0, 3.5), baseline_s: 3.0, ..Hand::default() },
        ..Case::default()
    };
    match kind {
        CaseKind::FirstReturn | CaseKind::WholeVisit => {}
        CaseKind::BesideVein => case.venous_db = Some(chance.between(-10.0, -2.0)),
        CaseKind::Waveform => {
            let forward = chance.pick(&[FlowKind::Monophasic, FlowKind::Damped]);
            case.artery = if chance.happens(0.5) { FlowKind::Multiphasic } else { forward };
        }
        CaseKind::Damped => {
            let quick = chance.pick(&[FlowKind::Monophasic, FlowKind::Multiphasic]);
            case.artery = if chance.happens(0.5) { FlowKind::Damped } else { quick };
        }
        CaseKind::Regularity => {
            let irregular = chance.pick(&[Rhythm::Fibrillation, Rhythm::Premature]);
            case.rhythm = if chance.happens(0.5) { Rhythm::Regular } else { irregular };
        }
        CaseKind::RisingNoise => {
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

/// The words that can be chosen in a drill without a return, as files have them.
pub const fn choices(kind: CaseKind) -> &'static [&'static str] {
    match kind {
        CaseKind::Waveform => &["multiphasic", "monophasic"],
        CaseKind::Damped => &["damped", "not damped"],
        CaseKind::Regularity => &["regular", "irregular"],
        _ => &[],
    }
}

/// The right one of them, by what the simulated artery is. A damped flow goes forward only, so it is monophasic.
pub const fn right_word(kind: CaseKind, case: &Case) -> Option<&'static str> {
    match kind {
        CaseKind::Waveform => Some(waveform_word(case)),
        CaseKind::Damped => Some(match case.artery {
            FlowKind::Damped => "damped",
            _ => "not damped",
        }),
        CaseKind::Regularity => Some(rhythm_word(case)),
        _ => None,
    }
}

/// Whether the flow of a case goes back.
pub const fn waveform_word(case: &Case) -> &'static str {
    match case.artery {
        FlowKind::Multiphasic => "multiphasic",
        FlowKind::Monophasic | FlowKind::Damped => "monophasic",
        FlowKind::Absent => "absent",
    }
}

/// The right word for the rhythm of a case.
pub const fn rhythm_word(case: &Case) -> &'static str {
    match case.rhythm {
        Rhythm::Regular => "regular",
        Rhythm::Fibrillation | Rhythm::Premature => "irregular",
    }
}

/// An answer as files have it, in the words of a language; as it stands where it is none of these.
pub fn answer_said(words: Words, kept: &str) -> &str {
    let id = match kept {
        "multiphasic" => id!("clinical-waveform-multiphasic"),
        "monophasic" => id!("clinical-waveform-monophasic"),
        "damped" => id!("clinical-waveform-damped"),
        "not damped" => id!("practice-answer-not-damped"),
        "regular" => id!("practice-answer-regular"),
        "irregular" => id!("practice-answer-irregular"),
        "absent" => id!("measure-absent"),
        NOTHING => id!("practice-answer-nothing"),
        other => return other,
    };
    words.plain(id)
}

/// The answer that no pulse came back, as it is kept.
pub const NOTHING: &str = "nothing";

/// What a right answer suggests (common practice), for a learner; empty where it suggests nothing.
pub fn suggests(words: Words, kept: &str) -> &'static str {
    let id = match kept {
        "multiphasic" => id!("practice-hint-multiphasic"),
        "monophasic" => id!("practice-hint-monophasic"),
        "not damped" => id!("practice-hint-not-damped"),
        "damped" => id!("practice-hint-damped"),
        "irregular" => id!("practice-hint-irregular"),
        "regular" => id!("practice-hint-regular"),
        _ => return "",
    };
    words.plain(id)
}

/// Where a lesson's patients come from. The two have no patient in common: nobody can have practised one of an
/// examination, whatever seeds were typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stock {
    /// Practice: seeds below 2^32.
    #[default]
    Practice,
    /// Examinations: seeds from 2^32 on, below 2^33.
    Examination,
}

/// What a seed of an examination has and no other.
const EXAMINED: u64 = 1 << 32;

impl Stock {
    /// The seed of drill number `number` (from 0) of a lesson; below 2^53, so that every reader of JSON keeps it.
    pub fn seed(self, lesson: u64, number: u32) -> u64 {
        let word = seed_of(lesson, number);
        match self {
            Stock::Practice => word,
            Stock::Examination => word | EXAMINED,
        }
    }

    /// A case's name by its number in the lesson of this seed, as files have it.
    pub fn case_name(self, kind: CaseKind, lesson: u64, number: usize) -> String {
        let (english, lesson) = (Words::english(), lesson.to_string());
        match self {
            Stock::Practice => {
                say!(english, "practice-case", kind = kind.name(), seed = lesson, number = number)
            }
            Stock::Examination => {
                say!(english, "practice-case-examined", seed = lesson, number = number)
            }
        }
    }
}

/// The seed of drill number `number` (from 0) of a lesson of practice; below 2^32.
pub fn seed_of(lesson: u64, number: u32) -> u64 {
    Chance::new(lesson, STREAM + 1 + u64::from(number)).word() >> 32
}

/// The seeds of a lesson's drills. Of a question with two words each occurs in any three drills in a row.
pub fn seeds(kind: CaseKind, stock: Stock, lesson: u64, count: u32) -> Vec<u64> {
    let mut last: Vec<&str> = Vec::new();
    (0..count)
        .map(|number| {
            let drawn = (0..ANEW).map(|anew| stock.seed(lesson, number + (anew << 16)));
            let told = drawn.map(|seed| (seed, right_word(kind, &draw(kind, seed)).unwrap_or("")));
            let fits =
                |word: &str| word.is_empty() || last.len() < 2 || last.iter().any(|l| *l != word);
            // A coin that falls the same way so often does not exist; the last draw stands then.
            let mut chosen = (stock.seed(lesson, number), "");
            for (seed, word) in told {
                chosen = (seed, word);
                if fits(word) {
                    break;
                }
            }
            last.push(chosen.1);
            let many = last.len();
            last.drain(..many.saturating_sub(2));
            chosen.0
        })
        .collect()
}

/// How often a patient is drawn anew at most, so that another word is right.
const ANEW: u32 = 64;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_one_patient_and_each_kind_what_it_asks_about() {
        for seed in 0..50 {
            assert_eq!(draw(CaseKind::FirstReturn, seed), draw(CaseKind::FirstReturn, seed));
            assert!(draw(CaseKind::BesideVein, seed).venous_db.is_some());
            assert_ne!(draw(CaseKind::RisingNoise, seed).noise, Case::default().noise);
        }
        for kind in [CaseKind::Waveform, CaseKind::Damped, CaseKind::Regularity] {
            for lesson in 0..40 {
                let drawn = seeds(kind, Stock::Practice, lesson, 12);
                assert_eq!(drawn, seeds(kind, Stock::Practice, lesson, 12));
                let right = drawn.iter().map(|seed| right_word(kind, &draw(kind, *seed)).unwrap());
                let right: Vec<_> = right.collect();
                for three in right.windows(3) {
                    assert!(choices(kind).iter().all(|word| three.contains(word)), "{three:?}");
                }
            }
        }
        let arteries: Vec<_> = (0..50).map(|seed| draw(CaseKind::Waveform, seed).artery).collect();
        assert!(arteries.contains(&FlowKind::Damped) && arteries.contains(&FlowKind::Multiphasic));
        assert_ne!(seed_of(7, 0), seed_of(8, 0));
        assert!(seed_of(7, 3) < 1 << 32);
    }

    #[test]
    fn no_case_of_an_examination_can_be_practised() {
        for kind in CaseKind::ALL {
            for lesson in 0..200 {
                let examined = seeds(kind, Stock::Examination, lesson, 24);
                assert!(examined.iter().all(|seed| (EXAMINED..2 * EXAMINED).contains(seed)));
                let practised = seeds(kind, Stock::Practice, lesson, 24);
                assert!(practised.iter().all(|seed| *seed < EXAMINED && !examined.contains(seed)));
            }
        }
        let case =
            |stock| draw(CaseKind::FirstReturn, seeds(CaseKind::FirstReturn, stock, 7, 1)[0]);
        assert_ne!(case(Stock::Practice), case(Stock::Examination), "another patient");
    }
}
