//! The ratio of signal to noise at which a student finds the return in 70.7 % of trials, by all answers until now.
//!
//! Bayesian: each answer weighs every threshold and slope that is possible, and the next trial is put at the mean of what
//! is left (Watson AB, Pelli DG, Percept Psychophys 1983;33:113; the slope left open as by Kontsevich LL, Tyler CW, Vision
//! Res 1999;39:2729; both from memory). Unlike a staircase it takes trials at any level in any order, days apart.

/// Thresholds that are possible, decibels, and their step.
const RANGE_DB: (f64, f64) = (-15.0, 30.0);
const STEP_DB: f64 = 0.5;
/// Slopes of the logistic curve that are possible, per decibel.
const SLOPES: [f64; 4] = [0.4, 0.7, 1.0, 1.6];
/// A trial is missed or found for another reason this often (own choice).
const LAPSE: f64 = 0.02;
/// Before any answer: where thresholds lie, decibels, and how widely (own choice).
const BEFORE_DB: (f64, f64) = (8.0, 8.0);
/// The shift of the logistic curve at which a share of the root of one half is found.
const SHIFT: f64 = 0.881_373_587;
/// A trial is never put further from what is known than this, decibels.
const PLACED_DB: (f64, f64) = (-6.0, 24.0);

/// What is known of a student's threshold.
#[derive(Debug, Clone, PartialEq)]
pub struct HearingLevel {
    /// The weight of each pair of threshold and slope.
    weights: Vec<f64>,
    trials: u32,
}

impl Default for HearingLevel {
    fn default() -> Self {
        let weight = |(at_db, _): (f64, f64)| {
            let off = (at_db - BEFORE_DB.0) / BEFORE_DB.1;
            (-0.5 * off * off).exp()
        };
        Self { weights: pairs().map(weight).collect(), trials: 0 }
    }
}

fn pairs() -> impl Iterator<Item = (f64, f64)> {
    let steps = ((RANGE_DB.1 - RANGE_DB.0) / STEP_DB) as u32;
    let thresholds = (0..=steps).map(|n| RANGE_DB.0 + f64::from(n) * STEP_DB);
    thresholds.flat_map(|at_db| SLOPES.map(|slope| (at_db, slope)))
}

/// How often a listener with this threshold and slope finds the return at this ratio of signal to noise.
pub fn found_share(snr_db: f64, (threshold_db, slope): (f64, f64)) -> f64 {
    let found = 1.0 / (1.0 + (-(slope * (snr_db - threshold_db) + SHIFT)).exp());
    LAPSE / 2.0 + (1.0 - LAPSE) * found
}

impl HearingLevel {
    /// Takes an answer at this ratio of signal to noise.
    pub fn answer(&mut self, snr_db: f64, found: bool) {
        for (weight, pair) in self.weights.iter_mut().zip(pairs()) {
            let share = found_share(snr_db, pair);
            *weight *= if found { share } else { 1.0 - share };
        }
        let all: f64 = self.weights.iter().sum();
        self.weights.iter_mut().for_each(|weight| *weight /= all.max(f64::MIN_POSITIVE));
        self.trials += 1;
    }

    /// Trials until now.
    pub fn trials(&self) -> u32 {
        self.trials
    }

    /// The threshold: the mean of what is possible, and its standard deviation, decibels.
    pub fn threshold_db(&self) -> (f64, f64) {
        let all: f64 = self.weights.iter().sum();
        let mean = self.weights.iter().zip(pairs()).map(|(w, (db, _))| w * db).sum::<f64>() / all;
        let square = |(w, (db, _)): (&f64, (f64, f64))| w * (db - mean) * (db - mean);
        let variance = self.weights.iter().zip(pairs()).map(square).sum::<f64>() / all;
        (mean, variance.sqrt())
    }

    /// Where the next trial is put, decibels.
    pub fn next_db(&self) -> f64 {
        self.threshold_db().0.clamp(PLACED_DB.0, PLACED_DB.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::Chance;

    #[test]
    fn the_threshold_of_a_known_listener_is_found_from_any_levels() {
        let mut errors = Vec::new();
        for (n, pair) in [(2.0, 1.0), (10.0, 0.7), (15.0, 1.6), (-3.0, 1.0)].into_iter().enumerate()
        {
            for seed in 0..20 {
                let mut chance = Chance::new(seed, 4 + n as u64);
                let mut level = HearingLevel::default();
                for _ in 0..40 {
                    let at_db = level.next_db();
                    level.answer(at_db, chance.happens(found_share(at_db, pair)));
                }
                let (found, sd) = level.threshold_db();
                assert!(sd < 2.0, "{sd}");
                errors.push(found - pair.0);
            }
        }
        let mean = errors.iter().sum::<f64>() / errors.len() as f64;
        let rms = (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt();
        assert!(mean.abs() < 0.3 && rms < 1.0, "mean {mean:.2}, root mean square {rms:.2}");
        assert!((found_share(5.0, (5.0, 1.0)) - (0.01 + 0.98 * 0.5_f64.sqrt())).abs() < 1e-9);
    }
}
