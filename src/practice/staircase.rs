//! The noise in which the return is still found, by a staircase that follows the listener.
//!
//! Transformed up-down, two down and one up (Levitt H. Transformed up-down methods in psychoacoustics. J Acoust Soc Am
//! 1971;49:467-477): the signal-to-noise ratio falls after two finds in a row and rises after a miss, so it
//! settles where a find is as likely as not twice over: at a share of the root of one half, 70.7 %. The step is
//! halved at the first reversals; the threshold is the mean of the later ones.

use serde::{Deserialize, Serialize};

use super::agreement::{mean, sd};

/// Where it begins, its first step and its last, decibels (own choice).
const START_DB: f64 = 18.0;
const FIRST_STEP_DB: f64 = 6.0;
const LAST_STEP_DB: f64 = 1.5;
/// Reversals that only find the place.
const FINDING: usize = 2;
/// Reversals after which it ends.
const ENOUGH: usize = 10;
/// The simulation's own limits, decibels.
const RANGE_DB: (f64, f64) = (-25.0, 40.0);

/// A staircase under way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Staircase {
    level_db: f64,
    step_db: f64,
    finds: u32,
    /// True where the last change was a fall.
    falling: Option<bool>,
    reversals_db: Vec<f64>,
    trials: u32,
}

impl Default for Staircase {
    fn default() -> Self {
        Self {
            level_db: START_DB,
            step_db: FIRST_STEP_DB,
            finds: 0,
            falling: None,
            reversals_db: Vec::new(),
            trials: 0,
        }
    }
}

/// A threshold that was found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Threshold {
    /// The ratio of signal to noise at which 70.7 % are found, decibels.
    pub snr_db: f64,
    /// Standard deviation of the reversals it is the mean of, decibels.
    pub spread_db: f64,
    /// Trials that it took.
    pub trials: u32,
}

impl Staircase {
    /// The ratio of signal to noise of the next trial, decibels.
    pub fn snr_db(&self) -> f64 {
        self.level_db
    }

    /// Whether enough is known.
    pub fn done(&self) -> bool {
        self.reversals_db.len() >= ENOUGH
    }

    /// Takes an answer: found or missed.
    pub fn answer(&mut self, found: bool) {
        self.trials += 1;
        let falls = match found {
            true if self.finds == 0 => {
                self.finds = 1;
                return;
            }
            found => found,
        };
        self.finds = 0;
        if self.falling.is_some_and(|was| was != falls) {
            self.reversals_db.push(self.level_db);
            self.step_db = (self.step_db / 2.0).max(LAST_STEP_DB);
        }
        self.falling = Some(falls);
        let step = if falls { -self.step_db } else { self.step_db };
        self.level_db = (self.level_db + step).clamp(RANGE_DB.0, RANGE_DB.1);
    }

    /// The threshold, once enough is known. An even number of reversals, so that tops and bottoms weigh the same.
    pub fn threshold(&self) -> Option<Threshold> {
        let known = self.reversals_db.get(FINDING..ENOUGH)?;
        Some(Threshold {
            snr_db: mean(known),
            spread_db: sd(known).unwrap_or(0.0),
            trials: self.trials,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::Chance;

    /// A listener who finds with a logistic chance: at the threshold 70.7 %, growing with this slope per decibel.
    fn listens(threshold_db: f64, slope: f64, chance: &mut Chance) -> Threshold {
        let mut stairs = Staircase::default();
        let shift = (0.5_f64.sqrt() / (1.0 - 0.5_f64.sqrt())).ln();
        while !stairs.done() {
            let x = slope * (stairs.snr_db() - threshold_db) + shift;
            stairs.answer(chance.happens(1.0 / (1.0 + (-x).exp())));
            assert!(stairs.trials < 2_000);
        }
        stairs.threshold().unwrap()
    }

    /// Simulated listeners with a known threshold come out at it on the average, within 1 dB; a single run strays by two
    /// or three.
    #[test]
    fn listeners_with_a_known_threshold_come_out_at_it() {
        for (threshold_db, slope) in [(6.0, 1.0), (-4.0, 1.0), (0.0, 0.6)] {
            let mut chance = Chance::new(11, 1);
            let found: Vec<f64> =
                (0..200).map(|_| listens(threshold_db, slope, &mut chance).snr_db).collect();
            let off = mean(&found) - threshold_db;
            assert!(off.abs() < 1.0, "{threshold_db} {slope}: {off}");
            assert!(sd(&found).unwrap() < 3.0, "{:?}", sd(&found));
        }
    }

    #[test]
    fn two_finds_make_it_harder_and_one_miss_easier() {
        let mut stairs = Staircase::default();
        stairs.answer(true);
        assert_eq!(stairs.snr_db(), 18.0);
        stairs.answer(true);
        assert_eq!(stairs.snr_db(), 12.0);
        stairs.answer(false);
        assert_eq!(stairs.snr_db(), 15.0);
        assert_eq!(stairs.threshold(), None);
        (0..100).for_each(|_| stairs.answer(false));
        assert_eq!(stairs.snr_db(), RANGE_DB.1);
    }
}
