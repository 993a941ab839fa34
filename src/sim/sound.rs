//! Velocity becomes sound: Gaussian noise whose spectrum follows the velocity at each instant.
//!
//! Mo & Cobbold (IEEE UFFC 1986, 33:747; 1989, 36:522; IEEE TBME 1992, 39:450): the Doppler signal of blood
//! is a Gaussian process, its amplitude normal and the power of each spectral bin exponential.

use std::f64::consts::PI;
use std::sync::Arc;

use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlannerScalar};

use super::chance::Chance;
use super::filter::INNER_HZ;

/// Samples in a block: 4 ms at the inner rate.
pub const BLOCK: usize = 64;
/// Samples in a frame of shaped noise; frames overlap by half.
const FRAME: usize = 2 * BLOCK;
/// Bins of a frame's spectrum, 125 Hz apart, 0 to 8 kHz.
pub const BINS: usize = FRAME / 2 + 1;
/// Between bins, hertz.
pub const BIN_HZ: f64 = INNER_HZ / FRAME as f64;
/// Speed of sound in soft tissue, m/s.
const SOUND_M_S: f64 = 1540.0;
/// Peak shifts for which a spectrum is kept ready.
const SHAPES: usize = 120;
const LOWEST_HZ: f64 = 40.0;
const HIGHEST_HZ: f64 = 12_000.0;

/// The Doppler shift in hertz: `2 f0 v cos(angle) / c`, c = 1540 m/s.
pub fn doppler_shift_hz(probe_mhz: f64, velocity_cm_s: f64, angle_deg: f64) -> f64 {
    let cosine = libm::cos(angle_deg * PI / 180.0);
    2.0 * probe_mhz * 1e6 * (velocity_cm_s / 100.0) * cosine / SOUND_M_S
}

/// Spectra of flow by its peak shift: power in each bin of a flow of unit echo.
#[derive(Debug, Clone)]
pub struct Spectra {
    /// `SHAPES` rows of `BINS` powers, after the device's filters.
    power: Vec<f32>,
}

impl Spectra {
    /// For a velocity profile of power `profile` and a relative broadening (standard deviation over
    /// frequency); `core` is the share of the peak velocity under which nothing is heard, because a narrow beam
    /// misses the slow flow at the walls (0: the whole vessel); `response` is the power gain of everything
    /// linear the sound then passes.
    ///
    /// With v(r) = vmax (1 - r^n) and evenly spread scatterers, the share of the echo slower than v is
    /// 1 - (1 - v/vmax)^(2/n); n = 2 gives the flat spectrum of parabolic flow.
    pub fn new(profile: f64, broadening: f64, core: f64, response: impl Fn(f64) -> f64) -> Self {
        let gains: Vec<f64> = (0..BINS).map(|k| response(k as f64 * BIN_HZ)).collect();
        let mut power = Vec::with_capacity(SHAPES * BINS);
        for row in 0..SHAPES {
            let shape = profile_spectrum(peak_of(row), profile, broadening, core);
            power.extend(shape.iter().zip(&gains).map(|(p, g)| (p * g) as f32));
        }
        Self { power }
    }

    /// Power in each bin for a peak shift, hertz (its sign is not looked at).
    pub fn at(&self, peak_hz: f64) -> &[f32] {
        let span = libm::log(HIGHEST_HZ / LOWEST_HZ);
        let place = libm::log(peak_hz.abs().clamp(LOWEST_HZ, HIGHEST_HZ) / LOWEST_HZ) / span;
        let row = (place * (SHAPES - 1) as f64 + 0.5) as usize;
        &self.power[row.min(SHAPES - 1) * BINS..][..BINS]
    }

    /// Power between two frequencies for a peak shift.
    pub fn band(&self, peak_hz: f64, low_hz: f64, high_hz: f64) -> f64 {
        let inside = |k: &usize| (low_hz..=high_hz).contains(&(*k as f64 * BIN_HZ));
        let spectrum = self.at(peak_hz);
        (0..BINS).filter(inside).map(|k| f64::from(spectrum[k])).sum()
    }
}

fn peak_of(row: usize) -> f64 {
    let span = libm::log(HIGHEST_HZ / LOWEST_HZ);
    LOWEST_HZ * libm::exp(span * row as f64 / (SHAPES - 1) as f64)
}

/// Power per 125 Hz bin of a unit echo whose fastest part shifts by `peak_hz`.
fn profile_spectrum(peak_hz: f64, profile: f64, broadening: f64, core: f64) -> Vec<f64> {
    const SLICES: usize = 64;
    let mut bins = vec![0.0; BINS];
    let slower = |x: f64| 1.0 - libm::pow((1.0 - x).max(0.0), 2.0 / profile);
    for slice in 0..SLICES {
        let (low, high) = (slice as f64 / SLICES as f64, (slice + 1) as f64 / SLICES as f64);
        let share = (slower(high.max(core)) - slower(low.max(core))) / (1.0 - slower(core));
        let centre_hz = peak_hz * (low + high) / 2.0;
        spread(&mut bins, share, centre_hz, (broadening * centre_hz).max(25.0));
    }
    bins
}

/// Adds a Gaussian line to the bins; what would lie beyond them is lost.
fn spread(bins: &mut [f64], share: f64, centre_hz: f64, width_hz: f64) {
    let below =
        |hz: f64| 0.5 * libm::erfc(-(hz - centre_hz) / (width_hz * std::f64::consts::SQRT_2));
    let first = (((centre_hz - 5.0 * width_hz) / BIN_HZ).floor().max(0.0)) as usize;
    let last = ((centre_hz + 5.0 * width_hz) / BIN_HZ).ceil() as usize;
    for (k, bin) in bins.iter_mut().enumerate().take(last + 1).skip(first) {
        let edge = (k as f64 - 0.5) * BIN_HZ;
        *bin += share * (below(edge + BIN_HZ) - below(edge));
    }
}

/// Sings one direction of flow: shaped Gaussian noise in overlapping frames, and an envelope of its own
/// that keeps onsets sharp.
#[derive(Clone)]
pub struct Voice {
    transform: Arc<dyn Fft<f32>>,
    window: [f32; FRAME],
    frame: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
    /// The second half of the last frame, where there was one.
    tail: Option<[f32; BLOCK]>,
    last_amplitude: f32,
    chance: Chance,
}

impl std::fmt::Debug for Voice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Voice").field("sounding", &self.tail.is_some()).finish()
    }
}

impl Voice {
    /// A silent voice with its own chance.
    pub fn new(chance: Chance) -> Self {
        // The scalar planner: the default one chooses among processor instructions as it runs.
        let transform = FftPlannerScalar::new().plan_fft_inverse(FRAME);
        let scratch = vec![Complex::default(); transform.get_inplace_scratch_len()];
        let window =
            std::array::from_fn(|i| libm::sin(PI * (i as f64 + 0.5) / FRAME as f64) as f32);
        let frame = vec![Complex::default(); FRAME];
        Self { transform, window, frame, scratch, tail: None, last_amplitude: 0.0, chance }
    }

    /// Adds a block to `out`: noise of this power in each bin, its amplitude moving through `steps` equally
    /// spaced values.
    pub fn sing(&mut self, power: &[f32], steps: &[f32], out: &mut [f32; BLOCK]) {
        if self.last_amplitude == 0.0 && steps.iter().all(|a| *a == 0.0) {
            self.tail = None;
            return;
        }
        let old = match self.tail.take() {
            Some(tail) => tail,
            None => {
                self.draw(power);
                self.half(BLOCK)
            }
        };
        self.draw(power);
        let new = self.half(0);
        self.tail = Some(self.half(BLOCK));
        let each = BLOCK / steps.len();
        for (step, &target) in steps.iter().enumerate() {
            let slope = (target - self.last_amplitude) / each as f32;
            for i in 0..each {
                let at = step * each + i;
                let amplitude = self.last_amplitude + slope * (i + 1) as f32;
                out[at] += amplitude * (old[at] + new[at]);
            }
            self.last_amplitude = target;
        }
    }

    fn half(&self, from: usize) -> [f32; BLOCK] {
        std::array::from_fn(|i| self.frame[from + i].re * self.window[from + i])
    }

    /// A fresh frame: independent complex Gaussian bins (exponential power), Hermitian, transformed.
    fn draw(&mut self, power: &[f32]) {
        self.frame.fill(Complex::default());
        for (k, &power) in power.iter().enumerate().take(BINS - 1).skip(1) {
            if power < 1e-9 {
                continue;
            }
            let (re, im) = self.chance.normal_pair();
            let scale = 0.5 * power.sqrt();
            let value = Complex::new(re as f32 * scale, im as f32 * scale);
            self.frame[k] = value;
            self.frame[FRAME - k] = value.conj();
        }
        self.transform.process_with_scratch(&mut self.frame, &mut self.scratch);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A worked example found on a teaching page and recomputed (672.6 Hz), and another whose page
    /// misprints the result: 5 MHz, 0.5 m/s, 45 degrees is 2296 Hz.
    #[test]
    fn published_examples_of_the_doppler_equation() {
        assert_eq!(doppler_shift_hz(9.0, 8.0, 44.0).round(), 673.0);
        assert_eq!(doppler_shift_hz(5.0, 50.0, 45.0).round(), 2296.0);
    }

    #[test]
    fn parabolic_flow_gives_a_flat_spectrum_and_plug_flow_a_peaked_one() {
        let parabolic = profile_spectrum(4000.0, 2.0, 0.02, 0.0);
        let within: Vec<f64> = parabolic[4..28].to_vec();
        let mean = within.iter().sum::<f64>() / 24.0;
        assert!(within.iter().all(|p| (p - mean).abs() < 0.25 * mean), "{within:?}");
        let plug = profile_spectrum(4000.0, 9.0, 0.05, 0.0);
        assert!(plug[30] > 4.0 * plug[10]);
        assert!((parabolic.iter().sum::<f64>() - 1.0).abs() < 0.01);
        let core = profile_spectrum(4000.0, 2.0, 0.02, 0.5);
        assert!(core[8] < 1e-6 && (core.iter().sum::<f64>() - 1.0).abs() < 0.01);
    }

    fn noise(seed: u64, blocks: usize) -> Vec<f32> {
        let spectra = Spectra::new(3.0, 0.12, 0.0, |_| 1.0);
        let mut voice = Voice::new(Chance::new(seed, 0));
        let mut track = Vec::new();
        for _ in 0..blocks {
            let mut block = [0.0; BLOCK];
            voice.sing(spectra.at(1500.0), &[1.0; 4], &mut block);
            track.extend(block);
        }
        track.split_off(BLOCK)
    }

    #[test]
    fn a_flow_of_unit_echo_has_unit_power_within_the_loss_below_the_first_bin() {
        let track = noise(1, 5000);
        let power = track.iter().map(|x| f64::from(x * x)).sum::<f64>() / track.len() as f64;
        assert!((0.93..1.03).contains(&power), "{power}");
    }

    /// Mo & Cobbold 1986: amplitude histogram normal by chi-square. Ten classes of equal probability,
    /// samples 8 ms apart (independent), 9 degrees of freedom: 27.9 is the 99.9 % point (tables).
    #[test]
    fn amplitudes_are_normal_by_chi_square() {
        let edges = [-1.2816, -0.8416, -0.5244, -0.2533, 0.0, 0.2533, 0.5244, 0.8416, 1.2816];
        let track: Vec<f32> = noise(2, 20_000).into_iter().step_by(128).collect();
        let n = track.len() as f64;
        let sd = (track.iter().map(|x| f64::from(x * x)).sum::<f64>() / n).sqrt();
        let mut counts = [0.0; 10];
        for x in &track {
            counts[edges.iter().filter(|e| f64::from(*x) / sd > **e).count()] += 1.0;
        }
        let chi: f64 = counts.iter().map(|c| (c - n / 10.0) * (c - n / 10.0) / (n / 10.0)).sum();
        assert!(chi < 27.9, "{chi} {counts:?}");
    }

    /// Mo & Cobbold 1992: the power in each bin is exponential: mean = standard deviation, and a share
    /// exp(-1) = 0.368 lies above the mean.
    #[test]
    fn bin_power_is_exponential() {
        let track = noise(3, 20_000);
        let at = |frame: &[f32], hz: f64| {
            let w = 2.0 * PI * hz / INNER_HZ;
            let (mut re, mut im) = (0.0, 0.0);
            for (i, x) in frame.iter().enumerate() {
                re += f64::from(*x) * libm::cos(w * i as f64);
                im += f64::from(*x) * libm::sin(w * i as f64);
            }
            re * re + im * im
        };
        for hz in [500.0, 1000.0, 1400.0] {
            let powers: Vec<f64> = track.chunks_exact(512).map(|f| at(f, hz)).collect();
            let n = powers.len() as f64;
            let mean = powers.iter().sum::<f64>() / n;
            let sd = (powers.iter().map(|p| (p - mean) * (p - mean)).sum::<f64>() / n).sqrt();
            let above = powers.iter().filter(|p| **p > mean).count() as f64 / n;
            assert!((sd / mean - 1.0).abs() < 0.12, "{hz} {}", sd / mean);
            assert!((above - 0.368).abs() < 0.04, "{hz} {above}");
        }
    }
}
