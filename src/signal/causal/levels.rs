//! What a causal network sees of each frame: levels over what was heard until then, and how tonal each band is.

use fearless_simd::{Level, Simd, dispatch};

use super::super::second::layers::ln;
use super::super::second::spectra::{BANDS, FINE, ROW, tone};

/// Below any device's noise, and what rounding to 16 bits leaves in a bin: a full-scale sine is 1.
const LEAST: f32 = 1e-12;
/// Frames of a band's mean.
const BESIDE: usize = 15;
/// Frames from one look at the means to the next.
const EVERY: usize = 5;
/// Looks among which the least is sought: 3 s.
const LOOKS: usize = 60;
/// Share of the slow mean that stays from look to look: 8 s.
const STAYS: f32 = 0.993_75;
/// Frames of the mean level that says what is loud, and how it falls with each frame, natural log of power.
const LOUD: usize = 5;
const FALLS: f32 = 0.0003;

/// A frame by itself: the natural log of the power in each band, and how far a fine bin stands out in it.
pub struct FrameLevels {
    level: [f32; BANDS],
    tones: [f32; BANDS],
}

impl FrameLevels {
    /// From a frame's power in [`BANDS`] bands and [`FINE`] bins.
    pub fn of(bands: &[f32], fine: &[f32]) -> Self {
        let level = Level::new();
        dispatch!(level, simd => frame_levels(simd, bands, fine))
    }
}

#[inline(always)]
fn frame_levels<S: Simd>(_: S, bands: &[f32], fine: &[f32]) -> FrameLevels {
    let (mut level, mut tones) = ([0.0f32; BANDS], [0.0f32; BANDS]);
    level.iter_mut().zip(bands).for_each(|(to, p)| *to = ln(p + LEAST));
    let mut above = [0.0f32; FINE];
    above.iter_mut().zip(fine).for_each(|(to, q)| *to = q + 4.0 * LEAST);
    tone(&above, &mut tones);
    FrameLevels { level, tones }
}

/// See this file's purpose. Everything is allocated in `new`.
pub struct HeardLevels {
    frames: usize,
    /// The last frames' levels, natural logs of power: a ring.
    recent: Vec<f32>,
    /// Means at the last looks: a ring.
    looks: Vec<f32>,
    least: [f32; BANDS],
    slow: [f32; BANDS],
    /// Weight of what the slow means hold.
    held: f32,
    /// The last frames' means over bands: a ring.
    means: [f32; LOUD],
    loud: f32,
}

impl HeardLevels {
    /// Nothing heard yet.
    pub fn new() -> Self {
        Self {
            frames: 0,
            recent: vec![0.0; BESIDE * BANDS],
            looks: vec![0.0; LOOKS * BANDS],
            least: [0.0; BANDS],
            slow: [0.0; BANDS],
            held: 0.0,
            means: [0.0; LOUD],
            loud: 0.0,
        }
    }

    /// As if nothing had been heard.
    pub fn start_over(&mut self) {
        (self.frames, self.held, self.slow) = (0, 0.0, [0.0; BANDS]);
    }

    /// Takes a frame; gives its row as the network sees it.
    pub fn push(&mut self, frame: &FrameLevels, to: &mut [f32; ROW]) {
        let FrameLevels { level, tones } = frame;
        self.take(level);
        for band in 0..BANDS {
            let to = &mut to[8 + 4 * band..][..4];
            to[0] = (level[band] - self.least[band]).clamp(-4.0, 10.0) / 3.0;
            to[1] = (level[band] - self.slow[band] / self.held).clamp(-6.0, 8.0) / 3.0;
            to[2] = (level[band] - self.loud).clamp(-10.0, 4.0) / 3.0;
            to[3] = tones[band].clamp(-2.0, 3.0) / 1.5;
        }
    }

    /// Takes a frame's levels into what was heard until then.
    fn take(&mut self, level: &[f32; BANDS]) {
        let mean = level.iter().sum::<f32>() / BANDS as f32;
        if self.frames == 0 {
            // Before the first frame it sounded as in it.
            self.recent.chunks_exact_mut(BANDS).for_each(|row| row.copy_from_slice(level));
            (self.means, self.loud) = ([mean; LOUD], f32::NEG_INFINITY);
        }
        self.recent[self.frames % BESIDE * BANDS..][..BANDS].copy_from_slice(level);
        self.means[self.frames % LOUD] = mean;
        let now = self.means.iter().sum::<f32>() / LOUD as f32;
        self.loud = now.max(self.loud - FALLS);
        if self.frames.is_multiple_of(EVERY) {
            self.look();
        }
        self.frames += 1;
    }

    /// The means of the last frames: their least, and their slow mean.
    fn look(&mut self) {
        let mut mean = [0.0f32; BANDS];
        for row in self.recent.chunks_exact(BANDS) {
            mean.iter_mut().zip(row).for_each(|(to, x)| *to += x / BESIDE as f32);
        }
        let look = self.frames / EVERY;
        self.looks[look % LOOKS * BANDS..][..BANDS].copy_from_slice(&mean);
        self.least = mean;
        for row in self.looks.chunks_exact(BANDS).take((look + 1).min(LOOKS)) {
            self.least.iter_mut().zip(row).for_each(|(to, x)| *to = to.min(*x));
        }
        self.held = self.held * STAYS + 1.0;
        self.slow.iter_mut().zip(&mean).for_each(|(to, x)| *to = *to * STAYS + x);
    }
}
