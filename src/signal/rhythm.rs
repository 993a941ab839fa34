//! The patient's own rhythm: the period of the pulse and how regular it is.

/// Scores that the period is worked out from: 8 s of every other frame.
const SPAN: usize = 400;
/// Frames from one kept score to the next.
const STRIDE: usize = 2;
/// The period is looked for between these, in kept scores: 40 to 150 beats a minute.
const LAGS: std::ops::Range<usize> = 20..76;
/// Kept scores between two looks: 0.5 s.
const EVERY: usize = 25;

/// A period and how far it can be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Period {
    /// Frames from beat to beat.
    pub frames: f32,
    /// Height of the autocorrelation at that lag, 0 to 1: 1 is a clock.
    pub clarity: f32,
}

/// Autocorrelation of the frame score over the last seconds.
#[derive(Debug)]
pub struct RhythmTracker {
    scores: Vec<f32>,
    next: usize,
    filled: usize,
    since: usize,
    skipped: usize,
    ordered: Vec<f32>,
    heights: Vec<f32>,
    period: Option<Period>,
}

impl Default for RhythmTracker {
    /// Everything is allocated here.
    fn default() -> Self {
        Self {
            scores: vec![0.0; SPAN],
            next: 0,
            filled: 0,
            since: 0,
            skipped: 0,
            ordered: vec![0.0; SPAN],
            heights: vec![0.0; LAGS.end + 1],
            period: None,
        }
    }
}

impl RhythmTracker {
    /// Takes one frame's score. Looks for the period now and then.
    pub fn push(&mut self, score: f32) {
        self.skipped = (self.skipped + 1) % STRIDE;
        if self.skipped != 0 {
            return;
        }
        self.scores[self.next] = 1.0 / (1.0 + (-score.clamp(-20.0, 20.0)).exp());
        self.next = (self.next + 1) % SPAN;
        self.filled = (self.filled + 1).min(SPAN);
        self.since += 1;
        if self.since >= EVERY && self.filled >= 2 * LAGS.start {
            self.since = 0;
            self.period = self.look();
        }
    }

    /// The period now, if there is one.
    pub fn period(&self) -> Option<Period> {
        self.period
    }

    fn look(&mut self) -> Option<Period> {
        let n = self.filled;
        for (i, to) in self.ordered[..n].iter_mut().enumerate() {
            *to = self.scores[(self.next + SPAN - n + i) % SPAN];
        }
        let mean = self.ordered[..n].iter().sum::<f32>() / n as f32;
        self.ordered[..n].iter_mut().for_each(|x| *x -= mean);
        let zero = correlation(&self.ordered[..n], 0);
        if zero < 1e-4 {
            return None;
        }
        let last = LAGS.end.min(n / 2);
        for lag in LAGS.start - 1..=last {
            self.heights[lag] = correlation(&self.ordered[..n], lag) / zero;
        }
        // Twice the period is as high as the period itself: short lags are favoured.
        let best = (LAGS.start..last)
            .filter(|&l| {
                self.heights[l] >= self.heights[l - 1] && self.heights[l] >= self.heights[l + 1]
            })
            .max_by(|&a, &b| {
                favoured(self.heights[a], a).total_cmp(&favoured(self.heights[b], b))
            })?;
        let (before, at, after) =
            (self.heights[best - 1], self.heights[best], self.heights[best + 1]);
        let bend = before - 2.0 * at + after;
        let shift = if bend < -1e-6 { 0.5 * (before - after) / bend } else { 0.0 };
        let clarity = at.clamp(0.0, 1.0);
        let frames = (best as f32 + shift) * STRIDE as f32;
        (clarity > 0.1).then_some(Period { frames, clarity })
    }
}

fn favoured(height: f32, lag: usize) -> f32 {
    height - 0.003 * lag as f32
}

/// Mean product of the sequence with itself `lag` later.
fn correlation(x: &[f32], lag: usize) -> f32 {
    let n = x.len() - lag;
    x[..n].iter().zip(&x[lag..]).map(|(a, b)| a * b).sum::<f32>() / n as f32
}

impl Period {
    /// Natural log of how much better an interval of `gap` frames fits the next beat of this rhythm
    /// than an event at any time (a rate of one a second).
    pub fn log_fit(self, gap: f32) -> f32 {
        let spread = 0.05 + 0.25 * (1.0 - self.clarity);
        let bump = |beats: f32, weight: f32| {
            let sigma = self.frames * spread * beats.sqrt() + 2.0;
            let z = (gap - beats * self.frames) / sigma;
            weight * (-0.5 * z * z).exp() / (sigma * 2.506_628)
        };
        let flat = if (30.0..400.0).contains(&gap) { 0.10 / 370.0 } else { 1e-6 };
        ((bump(1.0, 0.72) + bump(2.0, 0.13) + bump(3.0, 0.05) + flat) * 100.0).ln()
    }
}

/// Beats remembered for the regularity.
const BEATS: usize = 16;
/// Middle difference of successive intervals, as a share of the mean interval, from which a rhythm counts as
/// irregular. Over 15 intervals of the recorded series in tests/data: sinus rhythm 0.05 at most, also where a
/// premature beat falls in, fibrillation 0.10 at least. The middle, not the mean: one false beat moves it little.
const IRREGULAR: f32 = 0.075;

/// A sound that begins within this part of a beat's length is a later phase of that beat (own choice, as in `clinical::course`).
const PHASE: f32 = 0.4;

/// The onsets of the last beats, and how evenly they follow each other.
#[derive(Debug, Default)]
pub struct Regularity {
    onsets: [u64; BEATS],
    seen: usize,
}

impl Regularity {
    /// A sound of the pulse began at this frame; beats are about `period_frames` long.
    pub fn beat(&mut self, onset: u64, period_frames: f32) {
        let phase = (PHASE * period_frames).clamp(25.0, 50.0) as u64;
        let last = self.onsets[self.seen.saturating_sub(1) % BEATS];
        if self.seen > 0 && onset < last + phase {
            return;
        }
        self.onsets[self.seen % BEATS] = onset;
        self.seen += 1;
    }

    /// The last intervals in order of time, without those that a missed or an extra beat makes.
    fn intervals(&self) -> ([f32; BEATS], usize) {
        let count = self.seen.min(BEATS);
        let onset = |i: usize| self.onsets[(self.seen - count + i) % BEATS];
        let mut all = [0.0; BEATS];
        let length = count.saturating_sub(1);
        for (i, to) in all[..length].iter_mut().enumerate() {
            *to = onset(i + 1).saturating_sub(onset(i)) as f32;
        }
        let mut sorted = all;
        sorted[..length].sort_unstable_by(f32::total_cmp);
        let median = sorted[length / 2];
        let mut kept = [0.0; BEATS];
        let mut number = 0;
        for &interval in &all[..length] {
            if interval > 0.5 * median && interval < 1.7 * median {
                kept[number] = interval;
                number += 1;
            }
        }
        (kept, number)
    }

    /// The mean interval, frames, from four beats on.
    pub fn mean_frames(&self) -> Option<f32> {
        let (intervals, number) = self.intervals();
        (number >= 3).then(|| intervals[..number].iter().sum::<f32>() / number as f32)
    }

    /// Whether the beats follow evenly; too few beats count as regular.
    pub fn regular(&self) -> bool {
        let (intervals, number) = self.intervals();
        let Some(mean) = self.mean_frames().filter(|_| number >= 4) else { return true };
        let mut steps = [0.0; BEATS];
        for (step, pair) in steps.iter_mut().zip(intervals[..number].windows(2)) {
            *step = (pair[1] - pair[0]).abs();
        }
        steps[..number - 1].sort_unstable_by(f32::total_cmp);
        // Few intervals prove little: five need about a quarter more than many (own choice).
        steps[(number - 1) / 2] <= IRREGULAR * (1.0 + 2.0 / number as f32) * mean
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn even_beats_are_regular_and_uneven_ones_are_not() {
        let mut even = Regularity::default();
        (0..20).for_each(|n| even.beat(n * 80 + n % 3, 80.0));
        assert!(even.regular());
        assert!((even.mean_frames().unwrap() - 80.0).abs() < 1.0);
        let mut uneven = Regularity::default();
        let mut at = 0;
        for n in 0..20 {
            at += [60, 95, 70, 110, 64][n % 5];
            uneven.beat(at, 80.0);
        }
        assert!(!uneven.regular());
        let mut phases = Regularity::default();
        (0..40).for_each(|n| phases.beat(n / 2 * 80 + n % 2 * (15 + n % 7), 80.0));
        assert!(phases.regular(), "second phases are no beats");
        assert!((phases.mean_frames().unwrap() - 80.0).abs() < 1.0);
    }

    #[test]
    fn the_period_of_a_steady_score_is_found() {
        let mut rhythm = RhythmTracker::default();
        for n in 0..900 {
            rhythm.push(if n % 84 < 20 { 4.0 } else { -6.0 });
        }
        let period = rhythm.period().unwrap();
        assert!((period.frames - 84.0).abs() < 1.0, "{}", period.frames);
        assert!(period.clarity > 0.8);
    }
}
