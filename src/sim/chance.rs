//! Seeded chance: ChaCha8 in separate streams, so that a new use of chance in one part of the patient
//! leaves every other part as it was.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A stream of random numbers that is the same on every machine.
///
/// ChaCha8 (a named generator), integer to float by exact division, logarithms through `libm`.
#[derive(Debug, Clone)]
pub struct Chance {
    source: ChaCha8Rng,
    spare: Option<f64>,
}

impl Chance {
    /// The stream numbered `stream` of `seed`; streams of one seed are independent.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut key = [0_u8; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        let mut source = ChaCha8Rng::from_seed(key);
        source.set_stream(stream);
        Self { source, spare: None }
    }

    /// A whole random word.
    pub fn word(&mut self) -> u64 {
        self.source.next_u64()
    }

    /// Uniform on 0 (included) to 1 (excluded), 53 bits.
    pub fn uniform(&mut self) -> f64 {
        (self.word() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform between two limits.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Uniform in the logarithm between two positive limits.
    pub fn log_between(&mut self, low: f64, high: f64) -> f64 {
        libm::exp(self.between(libm::log(low), libm::log(high)))
    }

    /// True with probability `p`.
    pub fn happens(&mut self, p: f64) -> bool {
        self.uniform() < p
    }

    /// A whole number from 0 to `count - 1`; 0 where `count` is 0.
    pub fn index(&mut self, count: usize) -> usize {
        ((self.uniform() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// One of several; panics on an empty slice, so it is given constants only.
    pub fn pick<T: Clone>(&mut self, among: &[T]) -> T {
        among[self.index(among.len())].clone()
    }

    /// Two independent standard normal numbers (Marsaglia's polar method).
    pub fn normal_pair(&mut self) -> (f64, f64) {
        const SCALE: f64 = 1.0 / (1_u64 << 31) as f64;
        loop {
            let word = self.word();
            let x = f64::from(word as u32) * SCALE - 1.0;
            let y = f64::from((word >> 32) as u32) * SCALE - 1.0;
            let s = x * x + y * y;
            if s > 0.0 && s < 1.0 {
                let scale = (-2.0 * libm::log(s) / s).sqrt();
                return (x * scale, y * scale);
            }
        }
    }

    /// A standard normal number.
    pub fn normal(&mut self) -> f64 {
        if let Some(kept) = self.spare.take() {
            return kept;
        }
        let (now, later) = self.normal_pair();
        self.spare = Some(later);
        now
    }

    /// A normal number of this mean and standard deviation.
    pub fn around(&mut self, mean: f64, sd: f64) -> f64 {
        mean + sd * self.normal()
    }

    /// `count` samples of white noise of unit variance: each the sum of four 16-bit uniforms, which is
    /// near enough to normal for a background (excess kurtosis -0.3) and six times faster.
    pub fn white(&mut self, count: usize) -> Vec<f32> {
        // The variance of a sum of four uniforms on 0..1 is 1/3.
        const SCALE: f32 = 1.732_050_8 / 65_536.0;
        (0..count)
            .map(|_| {
                let word = self.word();
                let sum =
                    (word & 0xffff) + (word >> 16 & 0xffff) + (word >> 32 & 0xffff) + (word >> 48);
                (sum as f32 - 131_070.0) * SCALE
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_repeats_and_streams_differ() {
        let (mut a, mut b) = (Chance::new(7, 1), Chance::new(7, 1));
        assert!((0..100).all(|_| a.word() == b.word()));
        assert_ne!(Chance::new(7, 1).word(), Chance::new(7, 2).word());
        assert_ne!(Chance::new(7, 1).word(), Chance::new(8, 1).word());
    }

    #[test]
    fn normal_numbers_have_the_moments_of_the_normal_law() {
        let mut chance = Chance::new(1, 0);
        let n = 200_000;
        let drawn: Vec<f64> = (0..n).map(|_| chance.normal()).collect();
        let moment =
            |k: i32| drawn.iter().map(|x| (0..k).fold(1.0, |p, _| p * x)).sum::<f64>() / n as f64;
        // Five standard errors of each moment at this count.
        assert!(moment(1).abs() < 0.012);
        assert!((moment(2) - 1.0).abs() < 0.016);
        assert!(moment(3).abs() < 0.045);
        assert!((moment(4) - 3.0).abs() < 0.12);
    }

    #[test]
    fn the_quick_noise_has_unit_variance() {
        let noise = Chance::new(2, 0).white(100_000);
        let power = noise.iter().map(|x| x * x).sum::<f32>() / 100_000.0;
        assert!((power - 1.0).abs() < 0.02, "{power}");
    }
}
