//! What is not linear at the end of the path: the device's gate, a recorder's automatic gain, clipping.

use super::case::{AutoGain, Squelch};
use super::filter::INNER_HZ;
use super::sound::BLOCK;

fn decibels(db: f64) -> f64 {
    libm::pow(10.0, db / 20.0)
}

/// Follows the level of a sound: fast up, slow down.
#[derive(Debug, Clone, Copy)]
struct Follower {
    power: f64,
    up: f64,
    down: f64,
}

impl Follower {
    fn new(up_ms: f64, down_ms: f64) -> Self {
        let share = |ms: f64| 1.0 - libm::exp(-1000.0 / (ms.max(0.1) * INNER_HZ));
        Self { power: 0.0, up: share(up_ms), down: share(down_ms) }
    }

    fn step(&mut self, x: f64) -> f64 {
        let now = x * x;
        self.power += (now - self.power) * if now > self.power { self.up } else { self.down };
        self.power
    }
}

/// Mutes the device under a level.
#[derive(Debug, Clone)]
pub struct Gate {
    follower: Follower,
    threshold: f64,
    hang: usize,
    left: usize,
    gain: f32,
}

impl Gate {
    /// `pulse_power` is the free pulse's, which the threshold is relative to.
    pub fn new(squelch: Squelch, pulse_power: f64) -> Self {
        let threshold = pulse_power * libm::pow(10.0, -squelch.under_db / 10.0);
        let hang = (squelch.hang_ms / 1000.0 * INNER_HZ).max(1.0) as usize;
        Self { follower: Follower::new(12.0, 12.0), threshold, hang, left: 0, gain: 0.0 }
    }

    /// Gates a block of every channel together. Gives the gain that each sample got.
    pub fn run(&mut self, channels: &mut [[f32; BLOCK]]) -> [f32; BLOCK] {
        let mut gains = [0.0; BLOCK];
        for (i, given) in gains.iter_mut().enumerate() {
            let loudest = channels.iter().map(|c| c[i].abs()).fold(0.0, f32::max);
            let open = self.follower.step(f64::from(loudest)) > self.threshold;
            self.left = if open { self.hang } else { self.left.saturating_sub(1) };
            let target = if self.left > 0 { 1.0 } else { 0.0 };
            self.gain += (target - self.gain) * 0.02;
            channels.iter_mut().for_each(|c| c[i] *= self.gain);
            *given = self.gain;
        }
        gains
    }
}

/// Gain, automatic gain, offset and full scale.
#[derive(Debug, Clone)]
pub struct Ending {
    gain: f64,
    offset: f64,
    auto: Option<(Follower, f64, f64)>,
}

impl Ending {
    /// `power` is that of the free pulse with its noise, which comes out at `level_dbfs`.
    pub fn new(auto: Option<AutoGain>, power: f64, level_dbfs: f64, offset: f64) -> Self {
        let target = decibels(level_dbfs);
        let gain = target / power.max(1e-20).sqrt();
        let auto = auto.map(|a| {
            let follower = Follower::new(a.attack_ms, a.release_ms);
            (follower, target, decibels(a.most_db))
        });
        Self { gain, offset, auto }
    }

    /// A block of every channel to its final level, clipped at full scale.
    pub fn run(&mut self, channels: &mut [[f32; BLOCK]]) {
        for i in 0..BLOCK {
            let loudest = channels.iter().map(|c| c[i].abs()).fold(0.0, f32::max);
            let mut gain = self.gain;
            if let Some((follower, target, most)) = &mut self.auto {
                let level = follower.step(f64::from(loudest) * gain).sqrt();
                gain *= (*target / level.max(1e-9)).min(*most);
            }
            for channel in channels.iter_mut() {
                let x = f64::from(channel[i]) * gain + self.offset;
                channel[i] = x.clamp(-1.0, 1.0) as f32;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gate_mutes_the_quiet_and_lets_the_loud_through() {
        let mut gate = Gate::new(Squelch { under_db: 12.0, hang_ms: 100.0 }, 1.0);
        let mut run = |level: f32, blocks: usize| {
            let mut last = [[0.0; BLOCK]];
            for _ in 0..blocks {
                last = [[level; BLOCK]];
                gate.run(&mut last);
            }
            last[0][BLOCK - 1]
        };
        assert!(run(0.05, 100) < 1e-3);
        assert!(run(1.0, 50) > 0.99);
        assert!(run(0.05, 10) > 0.04, "held by the hang");
        assert!(run(0.05, 100) < 1e-3);
    }

    #[test]
    fn automatic_gain_makes_silence_loud_up_to_its_limit() {
        let auto = AutoGain { attack_ms: 5.0, release_ms: 200.0, most_db: 20.0 };
        let mut ending = Ending::new(Some(auto), 1.0, -20.0, 0.0);
        let mut block = [[0.0; BLOCK]];
        for _ in 0..1000 {
            block = [[0.01; BLOCK]];
            ending.run(&mut block);
        }
        // 0.01 * 0.1 * 10: the limit of 20 dB binds.
        assert!((block[0][0] - 0.01).abs() < 1e-4, "{}", block[0][0]);
    }

    #[test]
    fn nothing_leaves_full_scale() {
        let mut ending = Ending::new(None, 0.01, 6.0, 0.0);
        let mut block = [[3.0; BLOCK]];
        ending.run(&mut block);
        assert_eq!(block[0], [1.0; BLOCK]);
    }
}
