//! Two hundred simulated students, known through and through, go through the course for an hour: what it finds of them, and
//! whether it advises them rightly. A test.

use jiff::{Timestamp, ToSpan};

use super::agreement::mean;
use super::cases::{self, CaseKind};
use super::course::{Advice, CourseState};
use super::lesson::Drill;
use super::level::found_share;
use super::session::tests::{done, session};
use super::session::{Done, Session};
use crate::sim::Chance;

/// A student who is known through and through.
#[derive(Debug, Clone, Copy)]
struct Known {
    threshold_db: f64,
    slope: f64,
    lag_ms: f64,
    sd_ms: f64,
    /// Right answers to the question that this one finds hard, and to the others.
    hard: Option<CaseKind>,
    early: f64,
}

const BEAT_MS: f64 = 850.0;

impl Known {
    fn answers(self, drill: &Drill, snr_db: f64, chance: &mut Chance) -> Done {
        let words = cases::choices(drill.kind);
        let mut result =
            Done { kind: drill.kind, seed: drill.seed, ..done(&drill.name, 0.0, 120.0) };
        if let Some(right) = cases::right_word(drill.kind, &drill.case) {
            let knows = chance.happens(if self.hard == Some(drill.kind) { 0.5 } else { 0.97 });
            let other = words.iter().find(|word| **word != right).copied();
            result.score = None;
            result.answer = if knows { Some(right.into()) } else { other.map(str::to_owned) };
            result.right = Some(right.into());
            return result;
        }
        let mut error_ms = chance.around(self.lag_ms, self.sd_ms);
        let mut late = (error_ms / BEAT_MS).floor().max(0.0) as i32;
        if chance.happens(self.early) {
            (error_ms, late) = (-2.0 * BEAT_MS, -2);
        } else if !chance.happens(found_share(snr_db, (self.threshold_db, self.slope))) {
            (error_ms, late) = (error_ms + 2.0 * BEAT_MS, late + 2);
        }
        if let Some(score) = &mut result.score {
            (score.error_ms, score.beats_late) = (error_ms, late);
        }
        result.snr_db = Some(snr_db);
        result
    }

    /// An hour of the course: sixty drills, a minute each.
    fn after_an_hour(self, seed: u64) -> CourseState {
        let mut chance = Chance::new(seed, 77);
        let mut sessions: Vec<Session> = Vec::new();
        let start: Timestamp = "2027-01-05T10:00:00Z".parse().unwrap();
        while sessions.iter().map(|s| s.drills.len()).sum::<usize>() < 60 {
            let now = start.checked_add((8 * sessions.len() as i64).minutes()).unwrap();
            let state = CourseState::of(&sessions, now);
            let mut level = state.level.clone();
            let mut drills = Vec::new();
            for drill in &state.lesson(seed * 1_000 + sessions.len() as u64).drills {
                let done = self.answers(drill, level.next_db(), &mut chance);
                if let Some(snr_db) = done.snr_db {
                    level.answer(snr_db, done.passed());
                }
                drills.push(done);
            }
            let begun = now.to_string();
            let id = sessions.len().to_string();
            sessions.push(Session { begun, ..session(&id, "S", drills) });
        }
        CourseState::of(&sessions, start.checked_add(2.hours()).unwrap())
    }
}

const PLAIN: Known =
    Known { threshold_db: 4.0, slope: 1.0, lag_ms: 250.0, sd_ms: 80.0, hard: None, early: 0.0 };
/// Seeds from here on: none of them had been run when limits and mix were chosen (on 1 to 200, and anew after 730,001 to
/// 730,200 had shown too few advised rightly).
const FRESH: u64 = 911_001;

/// What a kind of student should be told.
type Says = fn(Advice) -> bool;

/// Twenty kinds of student: twelve without a fault, eight with one, and what each should be told after an hour.
fn kinds() -> Vec<(&'static str, Known, Says)> {
    let fine: Says = |a| matches!(a, Advice::Begin(_) | Advice::Due(_) | Advice::Rest);
    let mut kinds: Vec<(&str, Known, Says)> = (0..12_u8)
        .map(|n| {
            let known = Known {
                threshold_db: -2.0 + 3.0 * f64::from(n % 5),
                slope: [0.7, 1.0, 1.4][usize::from(n / 4)],
                lag_ms: [150.0, 220.0, 300.0, 380.0][usize::from(n % 4)],
                sd_ms: [50.0, 70.0, 90.0][usize::from(n % 3)],
                ..PLAIN
            };
            ("fine", known, fine)
        })
        .collect();
    let hard = |kind| Known { hard: Some(kind), ..PLAIN };
    let far = |kind| Known { threshold_db: 9.0, lag_ms: 350.0, ..hard(kind) };
    kinds.push(("damped", hard(CaseKind::Damped), |a| a == Advice::HearApart(CaseKind::Damped)));
    kinds.push(("damped", far(CaseKind::Damped), |a| a == Advice::HearApart(CaseKind::Damped)));
    let waveform: Says = |a| a == Advice::HearApart(CaseKind::Waveform);
    kinds.push(("waveform", hard(CaseKind::Waveform), waveform));
    kinds.push(("waveform", far(CaseKind::Waveform), waveform));
    kinds.push(("early", Known { early: 0.5, ..PLAIN }, |a| a == Advice::WaitForTwo));
    kinds.push(("early", Known { early: 0.4, ..PLAIN }, |a| a == Advice::WaitForTwo));
    kinds.push(("late", Known { lag_ms: 650.0, ..PLAIN }, |a| a == Advice::TapSooner));
    kinds.push(("scattered", Known { sd_ms: 420.0, lag_ms: 400.0, ..PLAIN }, |a| {
        matches!(a, Advice::TapSteadily | Advice::TapSooner | Advice::WaitForTwo)
    }));
    kinds
}

fn within(errors: &[f64], limit: f64) -> f64 {
    errors.iter().filter(|e| e.abs() <= limit).count() as f64 / errors.len() as f64
}

fn rms(errors: &[f64]) -> f64 {
    (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt()
}

/// Two hundred students, ten of each kind. Of those who tap before the pulse or anywhere, threshold and mean lag say
/// nothing (no ratio gives them 70.7 %), so these are counted for the advice alone.
#[test]
fn two_hundred_students_are_found_and_advised_as_they_are() {
    two_hundred(1);
    two_hundred(FRESH);
}

fn two_hundred(first: u64) {
    let (mut levels, mut lags, mut told) = (Vec::new(), Vec::new(), Vec::new());
    for (place, (name, known, says)) in kinds().into_iter().enumerate() {
        let mut right = 0;
        for seed in 0..10 {
            let state = known.after_an_hour(first + place as u64 * 10 + seed);
            right += usize::from(says(state.advice));
            if !["early", "scattered"].contains(&name) {
                levels.push(state.level.threshold_db().0 - known.threshold_db);
                lags.push(state.lag.unwrap().mean_ms - known.lag_ms);
            }
        }
        told.push((name, right));
    }
    let said = format!(
        "from seed {first}, {} students: threshold: mean {:+.2} dB, root mean square {:.2}, {:.0} % within 1 dB; lag: mean {:+.1} ms, root mean square {:.1}, {:.0} % within 30 ms; advised rightly, of ten each: {told:?}",
        levels.len(),
        mean(&levels),
        rms(&levels),
        100.0 * within(&levels, 1.0),
        mean(&lags),
        rms(&lags),
        100.0 * within(&lags, 30.0)
    );
    println!("{said}");
    if first != FRESH {
        return;
    }
    assert!(mean(&levels).abs() < 0.3 && within(&levels, 1.0) >= 0.9, "{said}");
    assert!(mean(&lags).abs() < 5.0 && within(&lags, 30.0) >= 0.9, "{said}");
    let all = |fault: bool| {
        let of = told.iter().filter(|(name, _)| (*name == "fine") != fault);
        let counts: Vec<usize> = of.map(|(_, right)| *right).collect();
        counts.iter().sum::<usize>() as f64 / (10 * counts.len()) as f64
    };
    assert!(all(true) >= 0.9 && all(false) >= 0.9, "{said}");
    assert!(told.iter().all(|(_, right)| *right >= 7), "{said}");
}
