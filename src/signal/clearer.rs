//! The clearer sound: for the ear, the learned background turned down.
//!
//! A short-time spectrum of 10.7 ms at 48 kHz, each bin's gain from its power over the learned background
//! (a Wiener gain with the decision-directed estimate of Ephraim & Malah, IEEE Trans. ASSP 32, 1984), never below
//! -15 dB so that a faint pulse is not lost. The delay is one frame. The listener itself never hears
//! this sound.

use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::silence::BackgroundLevel;
use crate::units::{SampleCount, SampleRate};

/// The least gain: -15 dB.
const LEAST_GAIN: f32 = 0.18;
/// Share of the last frame's clean estimate in the new one (Ephraim & Malah: 0.98 for speech at 16 ms;
/// less here, as a pulse begins quickly).
const KEPT: f32 = 0.9;

/// Turns the learned background down in a mono sound.
pub struct Clearer {
    frame: usize,
    transform: Arc<dyn RealToComplex<f32>>,
    inverse: Arc<dyn ComplexToReal<f32>>,
    window: Vec<f32>,
    /// The last `frame` samples heard, oldest first; the newest `waiting` are still to come.
    heard: Vec<f32>,
    waiting: usize,
    time: Vec<f32>,
    bins: Vec<Complex32>,
    scratch: Vec<Complex32>,
    power: Vec<f32>,
    clean: Vec<f32>,
    background: BackgroundLevel,
    odd: bool,
    /// Overlapping frames added up; the first half is finished.
    sum: Vec<f32>,
}

impl Clearer {
    /// Everything is allocated here.
    pub fn new(rate: SampleRate) -> Self {
        let frame = (rate.hz() as usize / 94).next_power_of_two().max(64);
        let mut planner = RealFftPlanner::<f32>::new();
        let (transform, inverse) =
            (planner.plan_fft_forward(frame), planner.plan_fft_inverse(frame));
        let scratch = transform.get_scratch_len().max(inverse.get_scratch_len());
        let bins = frame / 2 + 1;
        let step = std::f64::consts::PI / frame as f64;
        Self {
            frame,
            // The root of a Hann window, before and after: together they add up to 1.
            window: (0..frame).map(|n| (n as f64 * step).sin() as f32).collect(),
            heard: vec![0.0; frame],
            waiting: frame / 2,
            time: vec![0.0; frame],
            bins: transform.make_output_vec(),
            scratch: vec![Complex32::default(); scratch],
            power: vec![0.0; bins],
            clean: vec![0.0; bins],
            background: BackgroundLevel::new(bins),
            odd: false,
            sum: vec![0.0; frame],
            transform,
            inverse,
        }
    }

    /// The delay of the sound that comes out.
    pub fn delay(&self) -> SampleCount {
        SampleCount(self.frame as u64)
    }

    /// Changes samples in place; what comes out is the sound of [`Clearer::delay`] before.
    pub fn run(&mut self, samples: &mut [f32]) {
        let half = self.frame / 2;
        for sample in samples {
            let at = half - self.waiting;
            self.heard[half + at] = *sample;
            *sample = self.sum[at];
            self.waiting -= 1;
            if self.waiting == 0 {
                self.next_frame();
                self.waiting = half;
            }
        }
    }

    fn next_frame(&mut self) {
        let half = self.frame / 2;
        for ((to, x), w) in self.time.iter_mut().zip(&self.heard).zip(&self.window) {
            *to = x * w;
        }
        let _ =
            self.transform.process_with_scratch(&mut self.time, &mut self.bins, &mut self.scratch);
        self.weigh();
        let _ =
            self.inverse.process_with_scratch(&mut self.bins, &mut self.time, &mut self.scratch);
        self.sum.copy_within(half.., 0);
        self.sum[half..].fill(0.0);
        let share = 1.0 / self.frame as f32;
        for ((sum, x), w) in self.sum.iter_mut().zip(&self.time).zip(&self.window) {
            *sum += x * w * share;
        }
        self.heard.copy_within(half.., 0);
    }

    /// Gives each bin its gain.
    fn weigh(&mut self) {
        for (power, bin) in self.power.iter_mut().zip(&self.bins) {
            *power = bin.norm_sqr();
        }
        // The background counts frames of about 10 ms, two of ours.
        self.odd = !self.odd;
        if self.odd {
            self.background.push(&self.power);
        }
        let each = self.bins.iter_mut().zip(&self.power).zip(&mut self.clean);
        for (((bin, power), clean), level) in each.zip(self.background.level()) {
            let over = (power / level - 1.0).max(0.0);
            let ratio = KEPT * *clean / level + (1.0 - KEPT) * over;
            let ratio = ratio.max(0.5 * (over - 4.0));
            let gain = (ratio / (1.0 + ratio)).max(LEAST_GAIN);
            *clean = gain * gain * power;
            *bin *= gain;
        }
        // The first and last bins of a real spectrum have no imaginary part.
        if let Some(first) = self.bins.first_mut() {
            first.im = 0.0;
        }
        if let Some(last) = self.bins.last_mut() {
            last.im = 0.0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    fn power(samples: &[f32]) -> f32 {
        samples.iter().map(|x| x * x).sum::<f32>() / samples.len() as f32
    }

    #[test]
    fn steady_noise_is_turned_down_and_a_burst_in_it_is_not() {
        let rate = SampleRate::new(48_000).unwrap();
        let mut chance = ChaCha8Rng::seed_from_u64(11);
        let mut noise = || (chance.next_u32() as f32 / u32::MAX as f32 - 0.5) * 0.02;
        let burst = |n: usize| {
            let on = (240_000..247_200).contains(&n);
            if on { 0.2 * (n as f32 * 0.13).sin() } else { 0.0 }
        };
        let heard: Vec<f32> = (0..288_000).map(|n| noise() + burst(n)).collect();
        for block in [1, 48, 777] {
            let mut clearer = Clearer::new(rate);
            let mut out = heard.clone();
            for piece in out.chunks_mut(block) {
                clearer.run(piece);
            }
            let delay = clearer.delay().0 as usize;
            let quiet = power(&out[192_000..236_000]) / power(&heard[192_000..236_000]);
            assert!(quiet < 0.1, "noise kept: {quiet}");
            let kept =
                power(&out[240_000 + delay..247_200 + delay]) / power(&heard[240_000..247_200]);
            assert!((0.85..1.05).contains(&kept), "burst kept: {kept}");
        }
    }

    #[test]
    fn where_nothing_is_taken_away_the_sound_comes_out_one_frame_later() {
        let rate = SampleRate::new(48_000).unwrap();
        let mut clearer = Clearer::new(rate);
        let delay = clearer.delay().0 as usize;
        assert_eq!(delay, 512);
        // A sound that grows so fast that it always stands far above its background.
        let heard: Vec<f32> =
            (0..9_600).map(|n| (n as f32 * 0.001).exp() * 1e-4 * (n as f32 * 0.2).sin()).collect();
        let mut out = heard.clone();
        clearer.run(&mut out);
        let off: Vec<f32> = (5_000..9_000).map(|n| out[n + delay] - heard[n]).collect();
        assert!(power(&off) < 0.02 * power(&heard[5_000..9_000]));
    }
}
