//! The ideal observer: how plainly an opening stands out to a listener who knows the pulse's expected
//! spectrum and the local noise, and nothing else.
//!
//! Over independent cells of 32 ms by 31.25 Hz between 200 and 4000 Hz, with `r` the expected power of the
//! pulse over the local power of the noise in a cell, `d'^2 = sum r^2 / (1 + r)`.
//!
//! Why: the power in one cell is exponential (see `sound`), with mean 1 (in units of the noise) without and
//! 1 + r with the pulse. The optimal statistic is the sum of `power * r / (1 + r)`: its mean differs by the sum of
//! `r * r / (1 + r)`, and its variance without a pulse is the sum of `(r / (1 + r))^2`, with it the sum of `r^2`; the
//! geometric mean of each cell's two variances, `r^2 / (1 + r)`, in `shift^2 / variance` gives the formula.

use std::f64::consts::PI;
use std::sync::Arc;

use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlannerScalar};

/// Samples of a cell's frame at the inner rate.
pub const FRAME: usize = 512;
/// From cell to cell in time, seconds.
pub const CELL_S: f64 = 0.032;
/// From cell to cell in frequency, hertz.
pub const CELL_HZ: f64 = 31.25;
/// Lowest and highest cell: 218.75 Hz and 3968.75 Hz are the first and last between 200 and 4000 Hz.
pub const FIRST_CELL: usize = 7;
/// One past the highest cell.
pub const END_CELL: usize = 128;
/// Cells of one frame.
pub const CELLS: usize = END_CELL - FIRST_CELL;
/// An opening is heard when its d' reaches this and another does within two beats.
pub const HEARD: f64 = 8.0;
/// An opening leaves a trace at this d': below it nobody could tell it from the noise.
pub const TRACE: f64 = 1.0;

/// Detectability squared of a set of cells: pulse and noise powers in pairs.
pub fn d_prime_squared(cells: impl IntoIterator<Item = (f64, f64)>) -> f64 {
    let one = |(pulse, noise): (f64, f64)| {
        let r = pulse / noise.max(1e-15);
        r * r / (1.0 + r)
    };
    cells.into_iter().map(one).sum()
}

/// Measures the power in each cell of 32 ms of sound at the inner rate.
#[derive(Clone)]
pub struct CellMeter {
    transform: Arc<dyn Fft<f32>>,
    window: Vec<f32>,
    buffer: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
}

impl Default for CellMeter {
    fn default() -> Self {
        let transform = FftPlannerScalar::new().plan_fft_forward(FRAME);
        let scratch = vec![Complex::default(); transform.get_inplace_scratch_len()];
        // Hann, scaled so that the cells from 0 to 8 kHz together give the mean power.
        let angle = |i: usize| 2.0 * PI * (i as f64 + 0.5) / FRAME as f64;
        let raw: Vec<f64> = (0..FRAME).map(|i| 0.5 - 0.5 * libm::cos(angle(i))).collect();
        let energy: f64 = raw.iter().map(|w| w * w).sum();
        let scale = (2.0 / (energy * FRAME as f64)).sqrt();
        let window = raw.iter().map(|w| (w * scale) as f32).collect();
        Self { transform, window, buffer: vec![Complex::default(); FRAME], scratch }
    }
}

impl std::fmt::Debug for CellMeter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("CellMeter")
    }
}

impl CellMeter {
    /// Power in each cell of a frame of 512 samples (a shorter one is filled up with silence).
    pub fn measure(&mut self, frame: &[f32]) -> [f32; CELLS] {
        self.buffer.fill(Complex::default());
        for ((place, x), w) in self.buffer.iter_mut().zip(frame).zip(&self.window) {
            place.re = x * w;
        }
        self.transform.process_with_scratch(&mut self.buffer, &mut self.scratch);
        std::array::from_fn(|cell| self.buffer[FIRST_CELL + cell].norm_sqr())
    }

    /// Power between 200 and 4000 Hz while a track is active: the mean over the frames within 15 dB of the
    /// 98 % quantile of frame powers. For steady noise this is its mean. Of a long track every second frame is
    /// looked at.
    pub fn active_power(&mut self, track: &[f32]) -> f64 {
        let frame_power = |frame: &[f32]| f64::from(self.measure(frame).iter().sum::<f32>());
        let stride = if track.len() > 40 * FRAME { 2 } else { 1 };
        let frames = track.chunks_exact(FRAME).step_by(stride);
        let mut powers: Vec<f64> = frames.map(frame_power).collect();
        powers.sort_by(f64::total_cmp);
        let Some(high) = powers.get(powers.len() * 98 / 100) else { return 0.0 };
        let active = powers.split_off(powers.partition_point(|p| *p < high * 0.0316));
        active.iter().sum::<f64>() / active.len().max(1) as f64
    }
}

/// The noise track's power, frame after frame of 32 ms.
#[derive(Debug, Clone, Default)]
pub struct NoiseRecord {
    frames: Vec<[f32; CELLS]>,
}

impl NoiseRecord {
    /// Adds a frame of noise power in each cell.
    pub fn push(&mut self, frame: [f32; CELLS]) {
        self.frames.push(frame);
    }

    /// The local noise about a time: in each cell the larger of a 0.5 s and a 3-frame average.
    pub fn local(&self, at_s: f64) -> [f64; CELLS] {
        let frame = (at_s / CELL_S) as usize;
        let (wide, narrow) = (self.average(frame, 8), self.average(frame, 1));
        std::array::from_fn(|cell| wide[cell].max(narrow[cell]))
    }

    /// The mean over the frames that lie within `reach` of this one.
    fn average(&self, frame: usize, reach: usize) -> [f64; CELLS] {
        let end = (frame + reach + 1).min(self.frames.len());
        let start = frame.saturating_sub(reach).min(end.saturating_sub(1));
        let mut sum = [0.0; CELLS];
        for one in &self.frames[start..end] {
            for (total, value) in sum.iter_mut().zip(one) {
                *total += f64::from(*value);
            }
        }
        sum.map(|total| total / (end - start).max(1) as f64)
    }
}

/// The first opening that is heard: `d_prime[i] >= 8`, and another such follows within two beats.
///
/// `onsets_s` and `d_prime` go together, in order of time; `beat_s` is the mean interval.
pub fn first_heard(onsets_s: &[f64], d_prime: &[f64], beat_s: f64) -> Option<usize> {
    let plain: Vec<usize> = (0..onsets_s.len()).filter(|&i| d_prime[i] >= HEARD).collect();
    let near = |pair: &&[usize]| follows(onsets_s[pair[0]], onsets_s[pair[1]], beat_s);
    plain.windows(2).find(near).map(|pair| pair[0])
}

/// Whether the later of two openings comes within two beats, so that neither is a lone one.
pub fn follows(onset_s: f64, later_s: f64, beat_s: f64) -> bool {
    later_s - onset_s <= 2.0 * beat_s + 0.15
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::chance::Chance;

    #[test]
    fn cells_worked_by_hand() {
        // r = 1: 1/2. r = 3: 9/4. r = 0: nothing.
        assert_eq!(d_prime_squared([(2.0, 2.0)]), 0.5);
        assert_eq!(d_prime_squared([(2.0, 2.0), (3.0, 1.0), (0.0, 5.0)]), 2.75);
    }

    #[test]
    fn the_local_noise_is_the_larger_average() {
        let mut record = NoiseRecord::default();
        for frame in 0..40 {
            record.push([if frame == 20 { 18.0 } else { 1.0 }; CELLS]);
        }
        // At the knock: 3-frame (18 + 1 + 1) / 3; far from it: 1; 0.2 s away: the 17-frame mean.
        assert!((record.local(20.5 * CELL_S)[0] - 20.0 / 3.0).abs() < 1e-9);
        assert_eq!(record.local(5.5 * CELL_S)[0], 1.0);
        assert!((record.local(26.5 * CELL_S)[0] - 34.0 / 17.0).abs() < 1e-9);
        assert_eq!(NoiseRecord::default().local(1.0), [0.0; CELLS]);
    }

    #[test]
    fn a_lone_opening_is_not_heard() {
        let onsets = [1.0, 2.0, 5.0, 6.0, 7.0];
        assert_eq!(first_heard(&onsets, &[9.0, 1.0, 1.0, 9.0, 9.0], 1.0), Some(3));
        assert_eq!(first_heard(&onsets, &[1.0, 9.0, 1.0, 1.0, 1.0], 1.0), None);
        assert_eq!(first_heard(&onsets, &[7.9, 9.0, 1.0, 9.0, 9.0], 1.0), Some(3));
        assert_eq!(first_heard(&[], &[], 1.0), None);
    }

    /// An energy detector drawn by Monte Carlo: for cells of equal r its optimal statistic is the total
    /// power. The d' that follows from its error at the middle threshold agrees with the formula within 10 %.
    #[test]
    fn an_energy_detector_drawn_at_random_reaches_the_stated_d_prime() {
        let mut chance = Chance::new(9, 0);
        let mut drawn = |cells: usize, mean: f64| -> f64 {
            (0..cells).map(|_| -mean * libm::log(1.0 - chance.uniform())).sum()
        };
        for (cells, r) in [(60, 0.3), (121, 0.2), (40, 0.5)] {
            let stated = d_prime_squared((0..cells).map(|_| (r, 1.0))).sqrt();
            let trials = 20_000;
            let mut without: Vec<f64> = (0..trials).map(|_| drawn(cells, 1.0)).collect();
            let with: Vec<f64> = (0..trials).map(|_| drawn(cells, 1.0 + r)).collect();
            without.sort_by(f64::total_cmp);
            let below = |x: &f64| without.partition_point(|y| y < x) as f64;
            let area = with.iter().map(below).sum::<f64>() / (trials as f64 * trials as f64);
            // Area under the curve = Phi(d' / sqrt 2).
            let expected = 0.5 * libm::erfc(-stated / 2.0);
            assert!((area - expected).abs() < 0.015, "{cells} {r}: {area} {expected}");
        }
    }
}
