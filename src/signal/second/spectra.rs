//! What second hearing keeps of the sound, and what the network sees of a stretch of it.
//!
//! Kept are, of the last 46 s, the power of each frame in 60 pairs of bins and, of a frame twice as long around the same
//! middle, that of 240 bins. Only once a stretch is asked for are they brought to its mean level: what is background,
//! what is loud and what is tonal is known better afterwards.

use std::sync::Arc;

use fearless_simd::{Level, Simd, dispatch};
use realfft::num_complex::Complex32;
use realfft::{RealFftPlanner, RealToComplex};

use super::super::bands::{FRAME, HOP};
use super::layers::ln;

/// The longest stretch, frames: 46 s, the longest that the network learned on.
pub const MOST: usize = 4_600;
/// Pairs of bins from 94 to 3,844 Hz.
pub const BANDS: usize = 60;
const FIRST_BIN: usize = 3;
/// The longer frame, samples, and its bins over the same range.
const LONG: usize = 2 * FRAME;
pub const FINE: usize = 4 * BANDS;
/// Samples from the end of a frame to that of the longer one around the same middle.
const LATER: usize = (LONG - FRAME) / 2;
/// Frames kept: the longer ones are whole a little later than the others.
const RING: usize = MOST + 8;
/// Lanes of a row that the network sees: four rows of each band, with two bands of zeros at both ends.
pub const ROW: usize = (2 + BANDS + 2) * 4;
/// Fine bins to both sides of one that it is held against.
const AROUND: usize = 10;
/// Of which frames the quantiles are taken: every seventh.
const EVERY: usize = 7;
/// Least share of the mean power at which there is sound at all.
const LIVE: f32 = 1e-5;
/// Frames of the mean, and to both sides of the least of them, that are the level beside a moment.
const BESIDE: (usize, usize) = (15, 50);

/// The kept spectra: a ring.
pub struct SpectraRing {
    transform: Arc<dyn RealToComplex<f32>>,
    window: Vec<f32>,
    /// The last samples, oldest first.
    samples: Vec<f32>,
    windowed: Vec<f32>,
    bins: Vec<Complex32>,
    scratch: Vec<Complex32>,
    /// Samples until the next longer frame is whole.
    waiting: usize,
    bands: Vec<f32>,
    fine: Vec<f32>,
    /// Frames and longer frames so far.
    frames: u64,
    whole: u64,
}

impl SpectraRing {
    /// Everything is allocated here.
    pub fn new() -> Self {
        let transform = RealFftPlanner::<f32>::new().plan_fft_forward(LONG);
        let step = std::f64::consts::TAU / LONG as f64;
        // The same gain as the short frame has, so that both are levels on one scale.
        let gain = 4.0 / FRAME as f64;
        let window = |n: usize| (gain * (0.5 - 0.5 * libm::cos(n as f64 * step))) as f32;
        Self {
            window: (0..LONG).map(window).collect(),
            samples: vec![0.0; LONG],
            windowed: vec![0.0; LONG],
            bins: transform.make_output_vec(),
            scratch: vec![Complex32::default(); transform.get_scratch_len()],
            waiting: FRAME + LATER,
            bands: vec![0.0; RING * BANDS],
            fine: vec![0.0; RING * FINE],
            frames: 0,
            whole: 0,
            transform,
        }
    }

    /// Takes one sample at the working rate, and then the power of the frame that it completed, if it did. Whether
    /// everything is known of one frame more.
    pub fn push(&mut self, sample: f32, power: Option<&[f32]>) -> bool {
        self.samples[LONG - self.waiting] = sample;
        self.waiting -= 1;
        if let Some(power) = power {
            let to = &mut self.bands[self.frames as usize % RING * BANDS..][..BANDS];
            let pairs = power[FIRST_BIN..].chunks_exact(2);
            to.iter_mut().zip(pairs).for_each(|(to, pair)| *to = 0.5 * (pair[0] + pair[1]));
            self.frames += 1;
        }
        let whole = self.waiting == 0;
        if whole {
            self.measure();
            self.samples.copy_within(HOP.., 0);
            self.waiting = HOP;
        }
        whole
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
        let to = &mut self.fine[self.whole as usize % RING * FINE..][..FINE];
        let bins = &self.bins[2 * FIRST_BIN..];
        to.iter_mut().zip(bins).for_each(|(to, bin)| *to = bin.norm_sqr());
        self.whole += 1;
    }

    /// Frames of which everything is known.
    pub fn whole(&self) -> u64 {
        self.whole
    }

    /// The powers of the last frame of which everything is known, bands and fine bins; there is one.
    pub fn newest(&self) -> (&[f32], &[f32]) {
        (self.bands_of(self.whole - 1), self.fine_of(self.whole - 1))
    }

    fn bands_of(&self, frame: u64) -> &[f32] {
        &self.bands[frame as usize % RING * BANDS..][..BANDS]
    }

    fn fine_of(&self, frame: u64) -> &[f32] {
        &self.fine[frame as usize % RING * FINE..][..FINE]
    }
}

/// A stretch of spectra as the network sees it; everything is allocated in `new`.
pub struct Stretch {
    /// Its first frame, and how many there are.
    pub from: u64,
    /// A multiple of four.
    pub frames: usize,
    level: Vec<f32>,
    beside: Vec<f32>,
    tone: Vec<f32>,
    /// Mean power of each frame.
    energy: Vec<f32>,
    means: Vec<f32>,
    room: Vec<f32>,
    base: [f32; BANDS],
    high: f32,
    simd: Level,
}

impl Stretch {
    /// Empty.
    pub fn new() -> Self {
        Self {
            from: 0,
            frames: 0,
            level: vec![0.0; MOST * BANDS],
            beside: vec![0.0; MOST * BANDS],
            tone: vec![0.0; MOST * BANDS],
            energy: vec![0.0; MOST],
            means: vec![0.0; MOST * BANDS],
            room: vec![0.0; MOST * BANDS],
            base: [0.0; BANDS],
            high: 0.0,
            simd: Level::new(),
        }
    }

    /// Takes the last frames of which everything is known, from `earliest` on.
    pub fn take(&mut self, spectra: &SpectraRing, earliest: u64) {
        let until = spectra.whole();
        let oldest = until.saturating_sub(MOST as u64).max(earliest).min(until);
        self.frames = ((until - oldest) / 4 * 4) as usize;
        self.from = until - self.frames as u64;
        if self.frames == 0 {
            return;
        }
        let simd = self.simd;
        dispatch!(simd, simd => measure(simd, self, spectra));
    }

    /// Natural logs of power over the mean power, which is returned.
    #[inline(always)]
    fn level(&mut self, spectra: &SpectraRing) -> f32 {
        let mut sum = 0.0f64;
        for (t, energy) in self.energy[..self.frames].iter_mut().enumerate() {
            *energy = spectra.bands_of(self.from + t as u64).iter().sum::<f32>() / BANDS as f32;
            sum += f64::from(*energy);
        }
        let mean = (sum / self.frames as f64) as f32 + 1e-20;
        for (t, to) in self.level.chunks_exact_mut(BANDS).take(self.frames).enumerate() {
            let bands = spectra.bands_of(self.from + t as u64);
            to.iter_mut().zip(bands).for_each(|(to, p)| *to = ln(p / mean + 1e-6));
        }
        mean
    }

    #[inline(always)]
    fn tone(&mut self, spectra: &SpectraRing, mean: f32) {
        let mut fine = [0.0f32; FINE];
        for (t, to) in self.tone.chunks_exact_mut(BANDS).take(self.frames).enumerate() {
            let of = spectra.fine_of(self.from + t as u64);
            fine.iter_mut().zip(of).for_each(|(to, q)| *to = q / mean + 4e-6);
            tone(&fine, to);
        }
    }

    /// Of every seventh frame with sound: the 30 % quantile of each band, and the 90 % quantile of the mean over bands.
    fn quantiles(&mut self, mean: f32) {
        let mut count = 0;
        let rows = self.level.chunks_exact(BANDS).zip(&self.energy[..self.frames]);
        for (row, _) in rows.step_by(EVERY).filter(|(_, energy)| **energy > LIVE * mean) {
            for (band, level) in row.iter().enumerate() {
                self.room[band * MOST + count] = *level;
            }
            self.means[count] = row.iter().sum::<f32>() / BANDS as f32;
            count += 1;
        }
        for (band, base) in self.base.iter_mut().enumerate() {
            *base = quantile(&mut self.room[band * MOST..][..count], 0.3);
        }
        self.high = quantile(&mut self.means[..count], 0.9);
    }

    /// The least mean level within half a second to both sides.
    #[inline(always)]
    fn beside(&mut self) {
        let (frames, half) = (self.frames, BESIDE.0 / 2);
        for t in 0..frames {
            let mut sum = [0.0f32; BANDS];
            for near in 0..BESIDE.0 {
                let level = row(&self.level, (t + near).saturating_sub(half).min(frames - 1));
                sum.iter_mut().zip(level).for_each(|(s, l)| *s += l);
            }
            let to = &mut self.means[t * BANDS..][..BANDS];
            to.iter_mut().zip(&sum).for_each(|(to, s)| *to = s / BESIDE.0 as f32);
        }
        // The least of 2, 4, ... 64 frames from each on; two of them that overlap are the whole.
        self.room[..frames * BANDS].copy_from_slice(&self.means[..frames * BANDS]);
        let mut width = 1;
        while 2 * width <= 2 * BESIDE.1 + 1 {
            for t in 0..frames.saturating_sub(width) {
                let (now, later) = self.room.split_at_mut((t + width) * BANDS);
                least(&mut now[t * BANDS..][..BANDS], &later[..BANDS]);
            }
            width *= 2;
        }
        for t in 0..frames {
            let (first, last) = (t.saturating_sub(BESIDE.1), (t + BESIDE.1 + 1).min(frames));
            let to = &mut self.beside[t * BANDS..][..BANDS];
            if last - first >= width {
                to.copy_from_slice(row(&self.room, first));
                least(to, row(&self.room, last - width));
            } else {
                // Near the ends the two would reach too far.
                to.copy_from_slice(row(&self.means, first));
                (first + 1..last).for_each(|n| least(to, row(&self.means, n)));
            }
        }
    }

    /// The four rows of each band at frame `t`, beside each other.
    #[inline(always)]
    pub fn row(&self, t: usize, to: &mut [f32]) {
        let at = t * BANDS;
        for band in 0..BANDS {
            let level = self.level[at + band];
            let to = &mut to[8 + 4 * band..][..4];
            to[0] = (level - self.base[band]).clamp(-4.0, 10.0) / 3.0;
            to[1] = (level - self.beside[at + band]).clamp(-4.0, 10.0) / 3.0;
            to[2] = (level - self.high).clamp(-10.0, 4.0) / 3.0;
            to[3] = self.tone[at + band].clamp(-2.0, 3.0) / 1.5;
        }
    }
}

#[inline(always)]
fn measure<S: Simd>(_: S, stretch: &mut Stretch, spectra: &SpectraRing) {
    let mean = stretch.level(spectra);
    stretch.tone(spectra, mean);
    stretch.quantiles(mean);
    stretch.beside();
}

/// How far each fine bin stands out among those beside it, the highest of each band's four; natural log.
#[inline(always)]
pub fn tone(fine: &[f32; FINE], to: &mut [f32]) {
    let mut sums = [0.0f64; FINE + 1];
    let mut sum = 0.0;
    for (to, q) in sums[1..].iter_mut().zip(fine) {
        sum += f64::from(*q);
        *to = sum;
    }
    let mut ratios = [0.0f32; FINE];
    let (inner, until) = (&mut ratios[AROUND..FINE - AROUND], &sums[2 * AROUND + 1..]);
    for ((to, q), (before, until)) in
        inner.iter_mut().zip(&fine[AROUND..]).zip(sums.iter().zip(until))
    {
        *to = q / ((until - before) / (2 * AROUND + 1) as f64) as f32;
    }
    // At both ends fewer lie beside it.
    for n in (0..AROUND).chain(FINE - AROUND..FINE) {
        let (from, until) = (n.saturating_sub(AROUND), (n + AROUND + 1).min(FINE));
        ratios[n] = fine[n] / ((sums[until] - sums[from]) / (until - from) as f64) as f32;
    }
    for (to, [a, b, c, d]) in to.iter_mut().zip(ratios.as_chunks().0) {
        *to = a.max(*b).max(c.max(*d));
    }
    to.iter_mut().for_each(|to| *to = ln(*to + 1e-3));
}

fn row(rows: &[f32], t: usize) -> &[f32] {
    &rows[t * BANDS..][..BANDS]
}

/// The lesser of each two.
fn least(to: &mut [f32], other: &[f32]) {
    to.iter_mut().zip(other).for_each(|(to, x)| *to = to.min(*x));
}

/// The `q` quantile, between the two nearest; zero of nothing.
fn quantile(values: &mut [f32], q: f32) -> f32 {
    if values.is_empty() {
        return 0.0;
    }
    values.sort_unstable_by(f32::total_cmp);
    let at = q * (values.len() - 1) as f32;
    let (low, part) = (at as usize, at.fract());
    let high = (low + 1).min(values.len() - 1);
    values[low] + part * (values[high] - values[low])
}
