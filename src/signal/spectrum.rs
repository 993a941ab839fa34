//! The short-time spectrum and what the scorer sees of it: each frame's band levels above the learned
//! background, how tonal and how voiced it is, and how busy the last seconds were.

use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::bands::{BANDS, BINS, EDGES, FRAME, HOP, ROWS};
use super::repeats::{REPEATS, RepeatTracker};
use super::silence::BackgroundLevel;

/// Three broad ranges for tonality and activity: 190-940, 940-2,190, 2,190-3,840 Hz.
const RANGES: [(usize, usize); 3] = [(6, 30), (30, 70), (70, 123)];
/// What the scorer is given for each frame.
pub const FEATURES: usize = AGAIN + REPEATS;
/// Where the loudest of each band stand among the features.
const LOUD: usize = BANDS + 3 + 1 + 6;
/// Where stands how the frame compares with the past.
pub const AGAIN: usize = LOUD + BANDS;
/// Share of the frames so far that a band's [`LOUD`] level exceeds.
const LOUD_SHARE: f32 = 0.95;
/// Its step from frame to frame, natural log of power: large at first, then so small that half a minute is remembered.
const LOUD_STEP: f32 = 0.008;
/// Lags at which a voice repeats, in samples: 400 down to 80 Hz.
const VOICE_LAGS: std::ops::Range<usize> = 20..101;

/// One frame as the rest of the listener sees it.
#[derive(Debug, Clone)]
pub struct Frame {
    /// What the scorer is given; the first [`BANDS`] are natural logs of power over background.
    pub features: [f32; FEATURES],
    /// Power of the frame between 94 and 3,844 Hz, full scale sine = 1.
    pub power: f32,
    /// Power of the strongest line at mains frequencies over the background above them.
    pub hum: f32,
    /// A column of the picture: 0 is background, 255 is 30 dB above it.
    pub column: [u8; ROWS],
}

/// Cuts the working-rate samples into frames and measures each.
pub struct Spectrum {
    transform: Arc<dyn RealToComplex<f32>>,
    inverse: Arc<dyn ComplexToReal<f32>>,
    window: Vec<f32>,
    /// The last [`FRAME`] samples, oldest first.
    samples: Vec<f32>,
    waiting: usize,
    windowed: Vec<f32>,
    bins: Vec<Complex32>,
    scratch: Vec<Complex32>,
    lags: Vec<f32>,
    lag_bins: Vec<Complex32>,
    power: Vec<f32>,
    background: BackgroundLevel,
    slow: [f32; 6],
    /// A running high quantile of each band: what is loud in this recording, at first the patient's own pulse.
    loud: [f32; BANDS],
    /// Without it what was heard before is told of no frame: the networks do not ask for it.
    repeats: Option<RepeatTracker>,
    frames: f32,
    frame: Frame,
}

impl Default for Spectrum {
    /// Everything is allocated here.
    fn default() -> Self {
        let mut planner = RealFftPlanner::<f32>::new();
        let transform = planner.plan_fft_forward(FRAME);
        let inverse = planner.plan_fft_inverse(FRAME);
        let scratch = transform.get_scratch_len().max(inverse.get_scratch_len());
        Self {
            window: hann(),
            samples: vec![0.0; FRAME],
            waiting: FRAME,
            windowed: vec![0.0; FRAME],
            bins: transform.make_output_vec(),
            scratch: vec![Complex32::default(); scratch],
            lags: vec![0.0; FRAME],
            lag_bins: vec![Complex32::default(); BINS],
            power: vec![0.0; BINS],
            background: BackgroundLevel::new(BINS),
            slow: [0.0; 6],
            loud: [0.0; BANDS],
            repeats: Some(RepeatTracker::default()),
            frames: 0.0,
            frame: Frame { features: [0.0; FEATURES], power: 0.0, hum: 0.0, column: [0; ROWS] },
            transform,
            inverse,
        }
    }
}

impl Spectrum {
    /// Of every frame all but what was heard before.
    pub fn without_repeats() -> Self {
        Self { repeats: None, ..Self::default() }
    }

    /// Takes one sample; returns the frame that it completes, if any. Frame `n` covers the samples
    /// from `n * HOP` to `n * HOP + FRAME`.
    pub fn push(&mut self, sample: f32) -> Option<&Frame> {
        self.samples[FRAME - self.waiting] = sample;
        self.waiting -= 1;
        if self.waiting > 0 {
            return None;
        }
        self.measure();
        self.samples.copy_within(HOP.., 0);
        self.waiting = HOP;
        Some(&self.frame)
    }

    /// Of a frame's features the six slow means: how busy the last seconds were.
    pub fn busy(features: &[f32; FEATURES]) -> &[f32] {
        &features[BANDS + 4..LOUD]
    }

    /// The last frame.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// The power of each bin of the last frame.
    pub fn powers(&self) -> &[f32] {
        &self.power
    }

    fn measure(&mut self) {
        for ((to, s), w) in self.windowed.iter_mut().zip(&self.samples).zip(&self.window) {
            *to = s * w;
        }
        // The buffers were made by the plan itself, so their lengths fit and this cannot fail.
        let done = self.transform.process_with_scratch(
            &mut self.windowed,
            &mut self.bins,
            &mut self.scratch,
        );
        debug_assert!(done.is_ok());
        for (p, bin) in self.power.iter_mut().zip(&self.bins) {
            *p = bin.norm_sqr();
        }
        self.background.push(&self.power);
        self.fill_frame();
    }

    fn fill_frame(&mut self) {
        let level = self.background.level();
        let mut above = [0.0f32; BINS];
        for ((to, p), l) in above.iter_mut().zip(&self.power).zip(level) {
            *to = (p / l).max(1e-4);
        }
        let frame = &mut self.frame;
        frame.power = self.power[EDGES[0]..EDGES[BANDS]].iter().sum();
        let beside = level[8..20].iter().sum::<f32>() / 12.0;
        frame.hum = level[1..6].iter().fold(0.0f32, |a, &b| a.max(b)) / beside;
        for (to, pair) in frame.column.iter_mut().zip(above.chunks_exact(2)) {
            *to = (36.9 * quick_ln((pair[0] + pair[1]) * 0.5)).clamp(0.0, 255.0) as u8;
        }
        for (band, to) in frame.features[..BANDS].iter_mut().enumerate() {
            let bins = &above[EDGES[band]..EDGES[band + 1]];
            *to = quick_ln(bins.iter().sum::<f32>() / bins.len() as f32).clamp(-1.5, 8.0);
        }
        for (r, &(from, to)) in RANGES.iter().enumerate() {
            let bins = &above[from..to];
            let count = bins.len() as f32;
            let mean = quick_ln(bins.iter().sum::<f32>() / count);
            let geometric = bins.iter().map(|&b| quick_ln(b)).sum::<f32>() / count;
            frame.features[BANDS + r] = (geometric - mean).clamp(-4.0, 0.0);
            let activity = mean.clamp(-1.5, 8.0);
            self.slow[r] += (activity - self.slow[r]) * 0.02;
            self.slow[3 + r] += (activity - self.slow[3 + r]) * 0.0033;
        }
        frame.features[BANDS + 4..LOUD].copy_from_slice(&self.slow);
        self.frames += 1.0;
        let step = (2.0 / (self.frames + 10.0)).max(LOUD_STEP);
        for (loud, level) in self.loud.iter_mut().zip(&frame.features) {
            *loud += step * if level > loud { LOUD_SHARE } else { LOUD_SHARE - 1.0 };
        }
        frame.features[LOUD..AGAIN].copy_from_slice(&self.loud);
        if let Some(repeats) = &mut self.repeats {
            let levels = std::array::from_fn(|band| frame.features[band]);
            frame.features[AGAIN..].copy_from_slice(&repeats.push(&levels));
        }
        self.frame.features[BANDS + 3] = self.voicing(&above);
    }

    /// Height of the autocorrelation's peak at a voice's lags, 0 to 1, of the compressed spectrum
    /// from 94 to 2,000 Hz. Speech and tones are harmonic; Doppler speckle is not.
    fn voicing(&mut self, above: &[f32; BINS]) -> f32 {
        self.lag_bins.fill(Complex32::default());
        for (to, power) in self.lag_bins[3..65].iter_mut().zip(&above[3..65]) {
            to.re = power.sqrt();
        }
        let done = self.inverse.process_with_scratch(
            &mut self.lag_bins,
            &mut self.lags,
            &mut self.scratch,
        );
        debug_assert!(done.is_ok());
        let peak = self.lags[VOICE_LAGS].iter().fold(0.0f32, |a, &b| a.max(b));
        peak / self.lags[0].max(1e-9)
    }
}

/// A periodic Hann window scaled so that a full-scale sine in the middle of a bin has power 1.
fn hann() -> Vec<f32> {
    let step = std::f64::consts::TAU / FRAME as f64;
    let gain = 4.0 / FRAME as f64;
    (0..FRAME).map(|n| (gain * (0.5 - 0.5 * (n as f64 * step).cos())) as f32).collect()
}

/// Natural logarithm to about 0.001, without a call: exponent bits plus a cubic in the mantissa.
#[inline]
fn quick_ln(x: f32) -> f32 {
    let bits = x.to_bits();
    let exponent = (bits >> 23) as i32 - 127;
    let m = f32::from_bits((bits & 0x007f_ffff) | 0x3f80_0000);
    // Quartic for log2 on [1, 2], fitted at Chebyshev points: error below 0.0001.
    let log2 = ((-0.080_010_88 * m + 0.635_511_1) * m - 2.099_402_3) * m * m
        + (4.049_617 * m - 2.505_614_7);
    (exponent as f32 + log2) * std::f32::consts::LN_2
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sound that `tests/reference/make.py` gives SciPy.
    fn reference_sound(count: i64) -> Vec<f32> {
        (0..count).map(|n| ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) as f32 / 2000.0).collect()
    }

    #[test]
    fn the_short_time_spectrum_is_scipys() {
        let reference = include_str!("../../tests/reference/scipy.txt");
        let mut spectrum = Spectrum::default();
        let mut frames = Vec::new();
        for sample in reference_sound(80 * 9 + 256) {
            if spectrum.push(sample).is_some() {
                frames.push(spectrum.power.clone());
            }
        }
        assert_eq!(frames.len(), 10);
        for line in reference.lines().filter_map(|l| l.strip_prefix("stft ")) {
            let mut words = line.split(' ');
            let frame: usize = words.next().unwrap().parse().unwrap();
            for bin in [3, 17, 40, 77, 101, 122] {
                let theirs: f32 = words.next().unwrap().parse().unwrap();
                let ours = frames[frame][bin];
                assert!((ours - theirs).abs() < 1e-4 * theirs + 1e-9, "{bin}: {ours} {theirs}");
            }
        }
    }

    #[test]
    fn what_was_loud_is_remembered_for_half_a_minute() {
        let mut spectrum = Spectrum::default();
        let mut noise = 1u32;
        let mut loud_after = |from_s: f64, to_s: f64, beats: bool| {
            for n in (from_s * 8e3) as u32..(to_s * 8e3) as u32 {
                noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let hiss = noise as f32 / u32::MAX as f32 - 0.5;
                let gain = if beats && n % 6_400 < 1_600 { 0.3 } else { 0.01 };
                spectrum.push(gain * hiss);
            }
            spectrum.frame.features[LOUD + 5]
        };
        let quiet = loud_after(0.0, 4.0, false);
        let pulse = loud_after(4.0, 12.0, true);
        let later = loud_after(12.0, 32.0, false);
        assert!(quiet < 1.5 && pulse > quiet + 1.0, "{quiet} {pulse}");
        assert!(later > 0.5 * pulse, "{pulse} {later}");
    }

    #[test]
    fn the_quick_logarithm_is_close_enough() {
        for i in 1..10_000 {
            let x = i as f32 * 0.037;
            assert!((quick_ln(x) - x.ln()).abs() < 2e-3, "{x}: {} {}", quick_ln(x), x.ln());
        }
    }
}
