//! What a student did in one lesson, and what it says over time.

use serde::{Deserialize, Serialize};

use super::agreement::{BlandAltman, bland_altman, mean, sd};
use super::cases::CaseKind;
use super::recording::Confirmed;
use super::score::Score;
use super::staircase::Threshold;

/// The newest version of a session's layout that this program reads. A session is written in the version that first knew
/// what is in it: 2 with the question whether a flow is damped, 1 without.
pub const VERSION: u32 = 2;

/// The version in which these drills are written.
pub fn version_of(drills: &[Done]) -> u32 {
    if drills.iter().any(|done| done.kind == CaseKind::Damped) { VERSION } else { 1 }
}

/// What came of one drill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Done {
    /// The case's name.
    pub case: String,
    /// What was asked.
    pub kind: CaseKind,
    /// The sound's seed.
    pub seed: u64,
    /// Of a recording: who confirmed its return.
    #[serde(default)]
    pub confirmed: Option<Confirmed>,
    /// The tap's score, where there was a return to tap at.
    #[serde(default)]
    pub score: Option<Score>,
    /// Why there is none.
    #[serde(default)]
    pub no_score: Option<String>,
    /// The student's word, where a word was asked for.
    #[serde(default)]
    pub answer: Option<String>,
    /// The right word.
    #[serde(default)]
    pub right: Option<String>,
    /// What the reading does to the index.
    #[serde(default)]
    pub effect: Option<super::effect::IndexEffect>,
    /// The ratio of signal to noise, decibels, where it was the question.
    #[serde(default)]
    pub snr_db: Option<f64>,
}

impl Done {
    /// Whether the drill was passed: the first pulse was tapped, or the word is right.
    pub fn passed(&self) -> bool {
        match (&self.score, &self.answer, &self.right) {
            (Some(score), ..) => score.on_the_beat(),
            (None, Some(answer), Some(right)) => answer == right,
            _ => false,
        }
    }
}

/// One lesson of one student. No name is needed: a code will do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Session {
    /// The layout.
    pub v: u32,
    /// Never the same twice; given by the shell.
    pub id: String,
    /// The student's code.
    pub student: String,
    /// The lesson's name.
    pub lesson: String,
    /// When it was begun, as the shell writes time.
    pub begun: String,
    /// Whether it was an examination.
    #[serde(default)]
    pub examination: bool,
    /// In order.
    pub drills: Vec<Done>,
    /// The threshold in noise, where that was the question.
    #[serde(default)]
    pub threshold: Option<Threshold>,
}

/// What taps and readings say together.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Summary {
    /// Drills.
    pub drills: usize,
    /// Drills passed.
    pub passed: usize,
    /// Drills with a tap that could be scored.
    pub scored: usize,
    /// Mean error of the taps, milliseconds.
    pub bias_ms: Option<f64>,
    /// Their spread, milliseconds.
    pub sd_ms: Option<f64>,
    /// Readings against the truth, reading less truth, mmHg.
    pub readings: Option<BlandAltman>,
    /// The share of readings that end in zero; a fifth is expected where even numbers are read (own reckoning: five
    /// even digits alike).
    pub end_zero: Option<f64>,
    /// Readings whose index would have led to other advice.
    pub other_advice: usize,
}

/// Sums up drills.
pub fn summary<'a>(drills: impl IntoIterator<Item = &'a Done>) -> Summary {
    let drills: Vec<&Done> = drills.into_iter().collect();
    let scores: Vec<&Score> = drills.iter().filter_map(|d| d.score.as_ref()).collect();
    let ms: Vec<f64> = scores.iter().map(|s| s.error_ms).collect();
    let read: Vec<(f64, f64)> =
        scores.iter().filter_map(|s| Some((s.read_mmhg?, s.truth_mmhg?))).collect();
    let zeros = read.iter().filter(|(read, _)| read.rem_euclid(10.0).abs() < 1e-9).count();
    Summary {
        drills: drills.len(),
        passed: drills.iter().filter(|d| d.passed()).count(),
        scored: scores.len(),
        bias_ms: (!ms.is_empty()).then(|| mean(&ms)),
        sd_ms: sd(&ms),
        readings: bland_altman(&read, 2.0),
        end_zero: (!read.is_empty()).then(|| zeros as f64 / read.len() as f64),
        other_advice: drills
            .iter()
            .filter(|d| d.effect.as_ref().is_some_and(|e| e.changes))
            .count(),
    }
}

/// The learning curve: the summary of each stretch of so many drills, oldest first; a short rest at the end
/// counts as a stretch if it is at least half as long.
pub fn learning_curve(drills: &[Done], stretch: usize) -> Vec<Summary> {
    let stretch = stretch.max(1);
    let pieces = drills.chunks(stretch).filter(|piece| 2 * piece.len() >= stretch);
    pieces.map(summary).collect()
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// A drill with this error and reading; the truth stands at 120.
    pub fn done(case: &str, error_ms: f64, read_mmhg: f64) -> Done {
        let score = Score {
            truth_s: 10.0,
            tap_s: 10.0 + error_ms / 1000.0,
            error_ms,
            beats_late: (error_ms / 1000.0) as i32,
            truth_mmhg: Some(120.0),
            tap_mmhg: Some(119.0),
            read_mmhg: Some(read_mmhg),
            error_mmhg: Some(read_mmhg - 120.0),
            fall_mmhg_s: Some(2.5),
        };
        Done {
            case: case.into(),
            kind: CaseKind::FirstReturn,
            seed: 1,
            confirmed: None,
            score: Some(score),
            no_score: None,
            answer: None,
            right: None,
            effect: None,
            snr_db: None,
        }
    }

    /// A drill of a word.
    pub fn said(kind: CaseKind, right: &str, answer: &str) -> Done {
        let (answer, right) = (Some(answer.into()), Some(right.into()));
        Done { kind, score: None, answer, right, ..done("a", 0.0, 0.0) }
    }

    /// A lesson of one student's on a day in January.
    pub fn session(id: &str, student: &str, drills: Vec<Done>) -> Session {
        Session {
            v: VERSION,
            id: id.into(),
            student: student.into(),
            lesson: "Course".into(),
            begun: "2027-01-05T10:00:00Z".into(),
            examination: false,
            drills,
            threshold: None,
        }
    }

    #[test]
    fn a_summary_holds_bias_spread_end_digits_and_passes() {
        let drills = [done("a", 200.0, 120.0), done("b", 400.0, 118.0), done("c", 2100.0, 110.0)];
        let found = summary(&drills);
        assert_eq!((found.drills, found.passed, found.scored), (3, 2, 3));
        assert!((found.bias_ms.unwrap() - 900.0).abs() < 1e-9);
        assert!((found.readings.unwrap().bias + 4.0).abs() < 1e-9);
        assert!((found.end_zero.unwrap() - 2.0 / 3.0).abs() < 1e-9);
        assert_eq!(summary(&[] as &[Done]).bias_ms, None);
    }

    #[test]
    fn the_learning_curve_goes_from_old_to_new() {
        let drills: Vec<Done> =
            (0..13).map(|n| done("a", 1000.0 - 50.0 * f64::from(n), 120.0)).collect();
        let curve = learning_curve(&drills, 5);
        assert_eq!(curve.len(), 3);
        assert!(curve[0].bias_ms > curve[1].bias_ms && curve[1].bias_ms > curve[2].bias_ms);
        assert_eq!(learning_curve(&drills[..11], 5).len(), 2);
    }

    #[test]
    fn a_word_passes_when_it_is_right() {
        let said = |answer: &str| Done {
            score: None,
            answer: Some(answer.into()),
            right: Some("irregular".into()),
            ..done("a", 0.0, 0.0)
        };
        assert!(said("irregular").passed() && !said("regular").passed());
    }
}
