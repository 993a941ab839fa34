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
pub struct Rhythm {
    scores: Vec<f32>,
    next: usize,
    filled: usize,
    since: usize,
    skipped: usize,
    ordered: Vec<f32>,
    heights: Vec<f32>,
    period: Option<Period>,
}

impl Default for Rhythm {
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

impl Rhythm {
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
