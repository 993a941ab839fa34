//! The learned background: for each frequency, how strong the sound is when nothing happens.

/// Trailing low quantile of block means, one a bin, over a window of fixed length.
///
/// A low quantile, not a mean: pulses, talk and knocks come and go, and the level between them is
/// what the room and the device make by themselves. Listening study: the 30 % quantile over 3 s.
#[derive(Debug)]
pub struct BackgroundLevel {
    bins: usize,
    /// Frames summed into the block that is being built, and their sums.
    summed: usize,
    sums: Vec<f32>,
    /// Block means of each bin in order of time, a ring of [`BLOCKS`].
    ring: Vec<f32>,
    /// The same values in ascending order.
    sorted: Vec<f32>,
    filled: usize,
    next: usize,
    level: Vec<f32>,
}

/// Frames a block: 100 ms.
const FRAMES: usize = 10;
/// Blocks in the window: 3 s.
const BLOCKS: usize = 30;
/// The quantile of the window that counts as background, and what lifts it to about the mean of
/// stationary noise (measured on white noise: the test below holds it).
const QUANTILE: f32 = 0.30;
const LIFT: f32 = 1.12;
/// Below any device's noise: keeps silence (digital zero) from dividing by nothing.
const LEAST: f32 = 1e-12;

impl BackgroundLevel {
    /// A background for this many bins; everything is allocated here.
    pub fn new(bins: usize) -> Self {
        Self {
            bins,
            summed: 0,
            sums: vec![0.0; bins],
            ring: vec![0.0; bins * BLOCKS],
            sorted: vec![0.0; bins * BLOCKS],
            filled: 0,
            next: 0,
            level: vec![LEAST; bins],
        }
    }

    /// Takes one frame's power of each bin.
    pub fn push(&mut self, power: &[f32]) {
        for (sum, &p) in self.sums.iter_mut().zip(power) {
            *sum += p;
        }
        self.summed += 1;
        // The first frames have nothing before them to stand against.
        if self.filled == 0 && self.summed < FRAMES {
            for (level, sum) in self.level.iter_mut().zip(&self.sums) {
                *level = sum / self.summed as f32 + LEAST;
            }
        }
        if self.summed == FRAMES {
            self.close_block();
        }
    }

    fn close_block(&mut self) {
        let filled = self.filled;
        let rank = ((filled + 1).min(BLOCKS) - 1) as f32 * QUANTILE;
        for bin in 0..self.bins {
            let mean = self.sums[bin] / FRAMES as f32;
            let ring = &mut self.ring[bin * BLOCKS..][..BLOCKS];
            let sorted = &mut self.sorted[bin * BLOCKS..][..BLOCKS];
            let leaves = (filled == BLOCKS).then_some(ring[self.next]);
            ring[self.next] = mean;
            replace(sorted, filled, leaves, mean);
            self.level[bin] = sorted[rank as usize] * LIFT + LEAST;
            self.sums[bin] = 0.0;
        }
        self.filled = (filled + 1).min(BLOCKS);
        self.next = (self.next + 1) % BLOCKS;
        self.summed = 0;
    }

    /// The background power of each bin.
    pub fn level(&self) -> &[f32] {
        &self.level
    }
}

/// Keeps `sorted[..filled]` in order while one value leaves (where the window is full) and one comes.
fn replace(sorted: &mut [f32], filled: usize, leaves: Option<f32>, comes: f32) {
    let mut end = filled;
    if let Some(old) = leaves {
        let at = sorted[..filled].partition_point(|&x| x < old).min(filled - 1);
        sorted.copy_within(at + 1..filled, at);
        end = filled - 1;
    }
    let at = sorted[..end].partition_point(|&x| x < comes);
    sorted.copy_within(at..end, at + 1);
    sorted[at] = comes;
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    /// Exponential power, as a bin of Gaussian noise has (Mo & Cobbold 1992).
    fn exponential(chance: &mut ChaCha8Rng) -> f32 {
        let uniform = (f64::from(chance.next_u32()) + 0.5) / f64::from(u32::MAX);
        -uniform.ln() as f32
    }

    #[test]
    fn stationary_noise_is_its_own_background_and_short_bursts_do_not_move_it() {
        let mut chance = ChaCha8Rng::seed_from_u64(5);
        let mut background = BackgroundLevel::new(64);
        for frame in 0..600 {
            let burst = if frame % 80 < 15 { 100.0 } else { 1.0 };
            let power: Vec<f32> = (0..64).map(|_| burst * exponential(&mut chance)).collect();
            background.push(&power);
        }
        let mean = background.level().iter().sum::<f32>() / 64.0;
        assert!((0.8..1.35).contains(&mean), "{mean}");
    }

    #[test]
    fn the_sorted_window_holds_what_the_ring_holds() {
        let mut chance = ChaCha8Rng::seed_from_u64(6);
        let mut background = BackgroundLevel::new(3);
        for _ in 0..FRAMES * 150 {
            let power: Vec<f32> = (0..3).map(|_| exponential(&mut chance)).collect();
            background.push(&power);
        }
        for bin in 0..3 {
            let mut ring = background.ring[bin * BLOCKS..][..BLOCKS].to_vec();
            ring.sort_by(f32::total_cmp);
            assert_eq!(ring, &background.sorted[bin * BLOCKS..][..BLOCKS]);
        }
    }

    #[test]
    fn digital_silence_has_a_level_above_zero() {
        let mut background = BackgroundLevel::new(2);
        for _ in 0..400 {
            background.push(&[0.0, 0.0]);
        }
        assert!(background.level().iter().all(|&l| l > 0.0));
    }
}
