//! The few linear filters the sound passes: second-order sections with their exact response, and a
//! windowed-sinc rate changer.

use std::f64::consts::PI;

/// The rate at which everything is simulated, samples a second.
pub const INNER_HZ: f64 = 16_000.0;

/// A second-order section (R. Bristow-Johnson's cookbook formulas), transposed direct form II.
#[derive(Debug, Clone, Copy)]
pub struct Biquad {
    b: [f64; 3],
    a: [f64; 2],
    z: [f64; 2],
}

impl Biquad {
    fn new(b: [f64; 3], a: [f64; 3]) -> Self {
        let b = b.map(|x| x / a[0]);
        Self { b, a: [a[1] / a[0], a[2] / a[0]], z: [0.0; 2] }
    }

    fn angle(corner_hz: f64, q: f64) -> (f64, f64) {
        let w = 2.0 * PI * corner_hz.min(0.49 * INNER_HZ) / INNER_HZ;
        (libm::cos(w), libm::sin(w) / (2.0 * q))
    }

    /// A high-pass.
    pub fn high_pass(corner_hz: f64, q: f64) -> Self {
        let (c, alpha) = Self::angle(corner_hz, q);
        let b = (1.0 + c) / 2.0;
        Self::new([b, -2.0 * b, b], [1.0 + alpha, -2.0 * c, 1.0 - alpha])
    }

    /// A low-pass.
    pub fn low_pass(corner_hz: f64, q: f64) -> Self {
        let (c, alpha) = Self::angle(corner_hz, q);
        let b = (1.0 - c) / 2.0;
        Self::new([b, 2.0 * b, b], [1.0 + alpha, -2.0 * c, 1.0 - alpha])
    }

    /// A band-pass with a peak of 1.
    pub fn band_pass(centre_hz: f64, q: f64) -> Self {
        let (c, alpha) = Self::angle(centre_hz, q);
        Self::new([alpha, 0.0, -alpha], [1.0 + alpha, -2.0 * c, 1.0 - alpha])
    }

    /// A rise or dip of `gain_db` about a centre.
    pub fn peak(centre_hz: f64, q: f64, gain_db: f64) -> Self {
        let (c, alpha) = Self::angle(centre_hz, q);
        let g = libm::pow(10.0, gain_db / 40.0);
        Self::new(
            [1.0 + alpha * g, -2.0 * c, 1.0 - alpha * g],
            [1.0 + alpha / g, -2.0 * c, 1.0 - alpha / g],
        )
    }

    /// One sample through.
    pub fn step(&mut self, x: f64) -> f64 {
        let y = self.b[0] * x + self.z[0];
        self.z[0] = self.b[1] * x - self.a[0] * y + self.z[1];
        self.z[1] = self.b[2] * x - self.a[1] * y;
        y
    }

    /// A whole track through, in place.
    pub fn run(&mut self, track: &mut [f32]) {
        for sample in track {
            *sample = self.step(f64::from(*sample)) as f32;
        }
    }

    /// The power gain at a frequency.
    pub fn power_at(&self, hz: f64) -> f64 {
        let w = 2.0 * PI * hz / INNER_HZ;
        let (c1, c2) = (libm::cos(w), libm::cos(2.0 * w));
        let [b0, b1, b2] = self.b;
        let [a1, a2] = self.a;
        let top = b0 * b0 + b1 * b1 + b2 * b2 + 2.0 * (b0 * b1 + b1 * b2) * c1 + 2.0 * b0 * b2 * c2;
        let low = 1.0 + a1 * a1 + a2 * a2 + 2.0 * (a1 + a1 * a2) * c1 + 2.0 * a2 * c2;
        (top / low).max(0.0)
    }
}

/// Sections in a row.
#[derive(Debug, Clone, Default)]
pub struct FilterChain(pub Vec<Biquad>);

impl FilterChain {
    /// A whole track through, in place.
    pub fn run(&mut self, track: &mut [f32]) {
        for section in &mut self.0 {
            section.run(track);
        }
    }

    /// The power gain at a frequency.
    pub fn power_at(&self, hz: f64) -> f64 {
        self.0.iter().map(|s| s.power_at(hz)).product()
    }
}

/// Changes the rate of one channel from 16 kHz to another, band-limited, block by block.
///
/// A windowed sinc in polyphase form. Own code because the libraries for this choose among processor
/// instructions as they run, and the result must be the same to the bit everywhere.
#[derive(Debug, Clone)]
pub struct Resampler {
    up: usize,
    down: usize,
    taps: usize,
    /// `up` rows of `taps` weights.
    weights: Vec<f32>,
    kept: Vec<f32>,
    /// Position of the next output, in `1/up` of an input sample, from the start of `kept`.
    next: usize,
}

fn common_divisor(a: usize, b: usize) -> usize {
    if b == 0 { a } else { common_divisor(b, a % b) }
}

/// The zeroth modified Bessel function, by its series.
fn bessel0(x: f64) -> f64 {
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 1..40 {
        let half = x / (2.0 * f64::from(k));
        term *= half * half;
        sum += term;
    }
    sum
}

impl Resampler {
    /// To `rate_hz` samples a second.
    pub fn new(rate_hz: u32) -> Self {
        let (inner, outer) = (INNER_HZ as usize, rate_hz.max(1) as usize);
        let divisor = common_divisor(inner, outer);
        let (up, down) = (outer / divisor, inner / divisor);
        // A cut-off at 92 % of the lower Nyquist frequency, in cycles an input sample.
        let cut = 0.5 * (outer as f64 / inner as f64).min(1.0) * 0.92;
        let taps = if up == down { 1 } else { ((28.0 / (2.0 * cut)) as usize).next_multiple_of(8) };
        let mut weights = vec![1.0; up * taps];
        if taps > 1 {
            for phase in 0..up {
                Self::fill(&mut weights[phase * taps..][..taps], phase as f64 / up as f64, cut);
            }
        }
        Self { up, down, taps, weights, kept: vec![0.0; (taps / 2).saturating_sub(1)], next: 0 }
    }

    /// Weights of the inputs about an output that lies `fraction` past the middle one (Kaiser, beta 8).
    fn fill(row: &mut [f32], fraction: f64, cut: f64) {
        let half = row.len() as f64 / 2.0;
        let mut raw = Vec::with_capacity(row.len());
        for tap in 0..row.len() {
            let x = tap as f64 - (half - 1.0) - fraction;
            let edge = (x / half).clamp(-1.0, 1.0);
            let window = bessel0(8.0 * (1.0 - edge * edge).sqrt()) / bessel0(8.0);
            let angle = 2.0 * PI * cut * x;
            let sinc = if angle.abs() < 1e-9 { 1.0 } else { libm::sin(angle) / angle };
            raw.push(sinc * window);
        }
        let sum: f64 = raw.iter().sum();
        for (weight, value) in row.iter_mut().zip(raw) {
            *weight = (value / sum) as f32;
        }
    }

    /// Takes a block at 16 kHz and appends what it completes to `out`, every `stride`-th place from `at`.
    pub fn push(&mut self, block: &[f32], out: &mut Vec<f32>) {
        if self.taps == 1 {
            out.extend_from_slice(block);
            return;
        }
        self.kept.extend_from_slice(block);
        while self.next / self.up + self.taps <= self.kept.len() {
            let (start, phase) = (self.next / self.up, self.next % self.up);
            let row = &self.weights[phase * self.taps..][..self.taps];
            out.push(dot(&self.kept[start..][..self.taps], row));
            self.next += self.down;
        }
        let used = (self.next / self.up).min(self.kept.len());
        self.kept.drain(..used);
        self.next -= used * self.up;
    }
}

/// A scalar product in eight fixed lanes, so that the order of the sums is the same everywhere.
fn dot(a: &[f32], b: &[f32]) -> f32 {
    let mut lanes = [0.0_f32; 8];
    for (x, y) in a.chunks_exact(8).zip(b.chunks_exact(8)) {
        for lane in 0..8 {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    lanes.iter().sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tone(hz: f64, count: usize) -> Vec<f32> {
        (0..count).map(|i| libm::sin(2.0 * PI * hz * i as f64 / INNER_HZ) as f32).collect()
    }

    fn power(track: &[f32]) -> f64 {
        track.iter().map(|x| f64::from(x * x)).sum::<f64>() / track.len() as f64
    }

    #[test]
    fn a_section_does_to_a_tone_what_its_response_says() {
        for section in [
            Biquad::high_pass(150.0, 0.7),
            Biquad::low_pass(3000.0, 0.7),
            Biquad::peak(900.0, 2.0, 9.0),
            Biquad::band_pass(500.0, 1.0),
        ] {
            for hz in [100.0, 500.0, 1000.0, 4000.0] {
                let mut track = tone(hz, 32_000);
                let mut used = section;
                used.run(&mut track);
                let ratio = power(&track[16_000..]) / 0.5;
                assert!((ratio - section.power_at(hz)).abs() < 1e-3 * (1.0 + ratio));
            }
        }
    }

    #[test]
    fn a_tone_keeps_its_level_and_time_at_every_rate() {
        for rate in [8_000, 11_025, 16_000, 22_050, 44_100, 48_000] {
            let mut out = Vec::new();
            let mut resampler = Resampler::new(rate);
            for block in tone(1000.0, 16_000).chunks(64) {
                resampler.push(block, &mut out);
            }
            let expected =
                |i: usize| libm::sin(2.0 * PI * 1000.0 * i as f64 / f64::from(rate)) as f32;
            let off = (1000..out.len() - 1000).map(|i| (out[i] - expected(i)).abs());
            assert!(off.fold(0.0, f32::max) < 2e-3, "{rate}");
        }
    }

    #[test]
    fn what_the_lower_rate_cannot_hold_is_removed() {
        let mut out = Vec::new();
        Resampler::new(8_000).push(&tone(5000.0, 16_000), &mut out);
        assert!(power(&out[200..]) < 1e-5);
    }
}
