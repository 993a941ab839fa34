//! A scripted student in virtual time: knows the truth, taps with a known lag and spread, and is scored like
//! anybody else. For tests of the scoring, and for nothing else.

use std::str::FromStr;

use serde::Serialize;

use super::agreement::{mean, sd};
use super::cases::{self, CaseKind};
use super::lesson::Lesson;
use super::recording::ConfirmedRecording;
use super::score::{Score, score, score_recording};
use super::track::Track;
use crate::sim::{Bedside, Case, Chance, Script, Truth};
use crate::units::{SampleIndex, SampleRate};

/// The stream of chance that the student's hand draws from.
const STREAM: u64 = 950;

/// How a student taps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Student {
    /// Mean lag behind the truth, milliseconds.
    pub bias_ms: f64,
    /// Standard deviation of the lag, milliseconds.
    pub sd_ms: f64,
}

/// Words that describe no student.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is no student: write bias_ms=300,sd_ms=80, a spread of 0 to 5000 and a lag of -5000 to 5000"
)]
pub struct NoStudent(pub String);

impl FromStr for Student {
    type Err = NoStudent;

    fn from_str(words: &str) -> Result<Self, NoStudent> {
        let refused = || NoStudent(words.to_owned());
        let mut student = Student { bias_ms: f64::NAN, sd_ms: f64::NAN };
        for word in words.split(',') {
            let (name, number) = word.split_once('=').ok_or_else(refused)?;
            let place = match name.trim() {
                "bias_ms" => &mut student.bias_ms,
                "sd_ms" => &mut student.sd_ms,
                _ => return Err(refused()),
            };
            *place = number.trim().parse().map_err(|_| refused())?;
        }
        let fits = student.bias_ms.abs() <= 5000.0 && (0.0..=5000.0).contains(&student.sd_ms);
        fits.then_some(student).ok_or_else(refused)
    }
}

/// One drill as it was tapped.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TappedDrill {
    /// The patient's and sound's seed.
    pub seed: u64,
    /// The first pulse that an ideal observer hears, seconds.
    pub truth_s: f64,
    /// The tap, seconds, on the sound's own samples.
    pub tap_s: f64,
    /// Tap less truth, milliseconds.
    pub error_ms: f64,
    /// Further pulses before the tap.
    pub beats_late: i32,
    /// Reading less truth, mmHg; this and the next two are not known where a recording's needle is not.
    pub error_mmhg: Option<f64>,
    /// The cuff's real pressure at the tap, mmHg.
    pub reading_mmhg: Option<f64>,
    /// The cuff's real pressure at the truth, mmHg.
    pub truth_mmhg: Option<f64>,
}

/// All drills, and what they say of the student.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Run {
    /// Drills.
    pub count: usize,
    /// Mean error, milliseconds; nothing without a drill.
    pub bias_ms: Option<f64>,
    /// Standard deviation of the errors, milliseconds; nothing under two drills.
    pub sd_ms: Option<f64>,
    /// Mean error, mmHg.
    pub bias_mmhg: Option<f64>,
    /// Standard deviation of the errors, mmHg.
    pub sd_mmhg: Option<f64>,
    /// Drill by drill.
    pub drills: Vec<TappedDrill>,
}

/// Runs that many drills of the first return in virtual time.
pub fn run(student: Student, count: u32, seed: u64) -> Run {
    let seeds = (0..count).map(|number| cases::seed_of(seed, number));
    summed(
        seeds.filter_map(|s| drill(student, &cases::draw(CaseKind::FirstReturn, s), s)).collect(),
    )
}

/// Runs a lesson's drills with a return; `beats` tells what the listener finds in a recording, seconds.
///
/// # Errors
/// A recording cannot be heard: the fault of `beats`.
pub fn run_lesson<E>(
    student: Student,
    lesson: &Lesson,
    beats: impl Fn(&ConfirmedRecording) -> Result<Vec<f64>, E>,
) -> Result<Run, E> {
    let mut drills = Vec::new();
    for set in lesson.drills.iter().filter(|set| set.kind.has_return()) {
        drills.extend(match &set.recording {
            Some(recording) => {
                let tap_s = (recording.return_s + lag_s(student, set.seed)).max(0.0);
                Some(tapped(set.seed, score_recording(recording, &beats(recording)?, tap_s, None)))
            }
            None => drill(student, &set.case, set.seed),
        });
    }
    Ok(summed(drills))
}

fn lag_s(student: Student, seed: u64) -> f64 {
    Chance::new(seed, STREAM).around(student.bias_ms, student.sd_ms) / 1000.0
}

fn summed(drills: Vec<TappedDrill>) -> Run {
    let ms: Vec<f64> = drills.iter().map(|d| d.error_ms).collect();
    let mmhg: Vec<f64> = drills.iter().filter_map(|d| d.error_mmhg).collect();
    let middle = |values: &[f64]| (!values.is_empty()).then(|| mean(values));
    Run {
        count: drills.len(),
        bias_ms: middle(&ms),
        sd_ms: sd(&ms),
        bias_mmhg: middle(&mmhg),
        sd_mmhg: sd(&mmhg),
        drills,
    }
}

/// One drill. The patients drawn for it always have a return that can be heard; a teacher's without one is left out
/// and the count says so.
fn drill(student: Student, case: &Case, seed: u64) -> Option<TappedDrill> {
    let (truth, track) = played(case, seed);
    let rate = SampleRate::new(case.rate_hz)?;
    // The tap is an event on the sample clock, as a key is: from here on only the sample is known.
    let tap = SampleIndex::at((truth.audible_s? + lag_s(student, seed)).max(0.0), rate);
    Some(tapped(seed, score(&truth, &track, tap.seconds(rate), None).ok()?))
}

fn tapped(seed: u64, found: Score) -> TappedDrill {
    TappedDrill {
        seed,
        truth_s: found.truth_s,
        tap_s: found.tap_s,
        error_ms: found.error_ms,
        beats_late: found.beats_late,
        error_mmhg: found.error_mmhg,
        reading_mmhg: found.tap_mmhg,
        truth_mmhg: found.truth_mmhg,
    }
}

/// A case played to its end with its own scripted hand: what really happened, and what the cuff did.
pub fn played(case: &Case, seed: u64) -> (Truth, Track) {
    let mut script = Script::new(case, seed);
    let mut bedside = Bedside::new(case, seed, script.ends_s());
    let mut track = Track::default();
    while bedside.now_s() < script.ends_s() {
        let cuff_mmhg = script.at(bedside.now_s());
        track.push(cuff_mmhg);
        bedside.step(cuff_mmhg);
    }
    (bedside.finish(), track)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four standard errors of the mean and of the spread (normal theory: sd / sqrt(n) and sd / sqrt(2 n - 2)).
    #[test]
    fn students_come_out_as_themselves() {
        for (bias_ms, sd_ms) in [(300.0, 80.0), (150.0, 40.0), (-200.0, 60.0)] {
            let found = run(Student { bias_ms, sd_ms }, 24, 7);
            assert_eq!(found.count, 24);
            let n = found.count as f64;
            let off = (found.bias_ms.unwrap() - bias_ms).abs();
            assert!(off < 4.0 * sd_ms / n.sqrt(), "{off}");
            let off = (found.sd_ms.unwrap() - sd_ms).abs();
            assert!(off < 4.0 * sd_ms / (2.0 * n - 2.0).sqrt(), "{off}");
            // Late reads low, early reads high: about 2 to 3.5 mmHg for each second.
            let per_s = -found.bias_mmhg.unwrap() / found.bias_ms.unwrap() * 1000.0;
            assert!((1.0..5.0).contains(&per_s), "{per_s}");
        }
    }

    #[test]
    fn a_run_repeats_and_another_seed_differs() {
        let student = Student { bias_ms: 100.0, sd_ms: 50.0 };
        assert_eq!(run(student, 2, 3), run(student, 2, 3));
        assert_ne!(run(student, 2, 3).drills[0].seed, run(student, 2, 4).drills[0].seed);
        assert_eq!(run(student, 0, 3).bias_ms, None);
    }

    #[test]
    fn words_that_are_no_student_are_refused() {
        let student: Student = "bias_ms=300, sd_ms=80".parse().unwrap();
        assert_eq!(student, Student { bias_ms: 300.0, sd_ms: 80.0 });
        for words in ["", "bias_ms=1", "bias_ms=x,sd_ms=1", "lag=1,sd_ms=1", "bias_ms=nan,sd_ms=1"]
        {
            assert!(words.parse::<Student>().is_err(), "{words}");
        }
    }
}
