//! Counting verdicts: shares with Wilson intervals, timing, latency, calibration.

use super::score::{Judged, Verdict};

/// Wilson's 95 % interval of a share (Wilson 1927), as fractions.
pub fn wilson(successes: usize, of: usize) -> (f64, f64) {
    if of == 0 {
        return (0.0, 1.0);
    }
    let (n, z) = (of as f64, 1.959_964);
    let p = successes as f64 / n;
    let scale = 1.0 + z * z / n;
    let middle = p + z * z / (2.0 * n);
    let half = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    ((middle - half) / scale, (middle + half) / scale)
}

/// One row of the report.
#[derive(Debug, Clone, Default)]
pub struct TrialRow {
    judged: Vec<Judged>,
}

impl TrialRow {
    /// Adds an answer.
    pub fn add(&mut self, judged: Judged) {
        self.judged.push(judged);
    }

    /// Answers in all.
    pub fn count(&self) -> usize {
        self.judged.len()
    }

    /// How many had this verdict.
    pub fn of(&self, verdict: Verdict) -> usize {
        self.judged.iter().filter(|j| j.verdict == verdict).count()
    }

    /// Cues before any trace or where nothing returned.
    pub fn false_cues(&self) -> usize {
        self.judged.iter().filter(|j| j.cue_false).count()
    }

    /// Median of the signed onset error of hits, seconds.
    pub fn median_shift_s(&self) -> Option<f64> {
        quantile(self.judged.iter().filter_map(|j| j.error_s).collect(), 0.5)
    }

    /// Mean lag behind the first audible pulse, mmHg.
    pub fn mean_lag_mmhg(&self) -> Option<f64> {
        let lags: Vec<f64> = self.judged.iter().filter_map(|j| j.lag_mmhg).collect();
        (!lags.is_empty()).then(|| lags.iter().sum::<f64>() / lags.len() as f64)
    }

    /// Median of the cue's latency after the first plain pulse, seconds.
    pub fn median_cue_s(&self) -> Option<f64> {
        quantile(self.judged.iter().filter_map(|j| j.cue_latency_s).collect(), 0.5)
    }

    /// Share of cues within one beat and 250 ms of the first plain pulse.
    pub fn cues_in_time(&self) -> Option<f64> {
        let all: Vec<bool> = self
            .judged
            .iter()
            .filter_map(|j| j.cue_latency_s.map(|l| l <= j.beat_s + 0.25))
            .collect();
        (!all.is_empty()).then(|| all.iter().filter(|&&x| x).count() as f64 / all.len() as f64)
    }

    /// Claims by confidence, in tenths: how many, mean confidence, share that were hits.
    pub fn reliability(&self) -> [(usize, f64, f64); 10] {
        let mut bins = [(0, 0.0, 0.0); 10];
        for (confidence, hit) in self.claims() {
            let bin = &mut bins[((confidence * 10.0) as usize).min(9)];
            bin.0 += 1;
            bin.1 += confidence;
            bin.2 += hit;
        }
        bins.map(|(n, c, h)| if n == 0 { (0, 0.0, 0.0) } else { (n, c / n as f64, h / n as f64) })
    }

    fn claims(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.judged.iter().filter_map(|j| {
            j.confidence.map(|c| (c, f64::from(u8::from(j.verdict == Verdict::Hit))))
        })
    }

    /// Mean squared difference between confidence and outcome (Brier 1950).
    pub fn brier(&self) -> Option<f64> {
        let squares: Vec<f64> = self.claims().map(|(c, h)| (c - h) * (c - h)).collect();
        (!squares.is_empty()).then(|| squares.iter().sum::<f64>() / squares.len() as f64)
    }

    /// Expected calibration error over ten equal bins.
    pub fn calibration_error(&self) -> Option<f64> {
        let bins = self.reliability();
        let all: usize = bins.iter().map(|b| b.0).sum();
        (all > 0).then(|| bins.iter().map(|(n, c, h)| (c - h).abs() * *n as f64 / all as f64).sum())
    }

    /// Takes in another row's answers.
    pub fn extend(&mut self, other: &TrialRow) {
        self.judged.extend_from_slice(&other.judged);
    }
}

/// Of these values in order the one at share `q`, the nearest; none of none.
pub fn quantile(mut values: Vec<f64>, q: f64) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    (!values.is_empty()).then(|| values[((values.len() - 1) as f64 * q).round() as usize])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wilson_agrees_with_a_published_example() {
        // Newcombe 1998, Statistics in Medicine 17:857, table I (from memory): 81/263 gives
        // 0.2553 to 0.3662, and 0/20 gives 0 to 0.1611.
        let (low, high) = wilson(81, 263);
        assert!((low - 0.2553).abs() < 1e-4 && (high - 0.3662).abs() < 1e-4, "{low} {high}");
        let (low, high) = wilson(0, 20);
        assert!(low.abs() < 1e-9 && (high - 0.1611).abs() < 1e-4, "{high}");
    }
}
