//! What was heard before: each moment is held against every other of the last eight seconds, so that a room
//! that repeats itself (a machine, an alarm, steps, music) is told apart from a pulse that comes back.
//!
//! The last 2.5 s are left out: a pulse that came back resembles itself a beat ago, but nothing before.

use super::bands::BANDS;

/// Nearest and farthest moment that is held against now, frames of 10 ms: 2.5 and 8 s.
const NEAREST: usize = 250;
const FARTHEST: usize = 800;
const LAGS: usize = FARTHEST - NEAREST;
/// Neighbouring bands go in pairs, the last one alone.
const PAIRS: usize = BANDS.div_ceil(2);
/// One pair's level as a byte, and how many steps a unit of natural log is.
const STEPS: f32 = 25.0;
/// The lowest level that a byte holds.
const LOWEST: f32 = -1.5;
/// Likeness is a running mean over 160 ms, and over 1.3 s: shifts of its step.
const QUICK: i16 = 4;
const SLOW: i16 = 7;
/// Differences are kept this many times as large, for the running means to be fine enough; at most
/// `PAIRS * 255 * FINER`, which an i16 holds.
const FINER: i16 = 16;
/// Pairs whose surprise is given as one.
const GROUP: usize = 2;
/// What is given for each frame.
pub const REPEATS: usize = 5 + PAIRS / GROUP;

/// Holds each frame against the past.
#[derive(Debug)]
pub struct RepeatTracker {
    /// The last frames' level of each pair, written twice, [`FARTHEST`] apart, so that any stretch lies in
    /// one piece.
    past: [Vec<u8>; PAIRS],
    write: usize,
    /// The last three frames' levels, which are averaged: a sound need not begin at the same part of a frame.
    recent: [[f32; PAIRS]; 3],
    apart: Vec<i16>,
    /// Running mean difference at each lag, the farthest first.
    quick: Vec<i16>,
    slow: Vec<i16>,
}

impl Default for RepeatTracker {
    /// Everything is allocated here.
    fn default() -> Self {
        Self {
            past: std::array::from_fn(|_| vec![0; 2 * FARTHEST]),
            write: 0,
            recent: [[LOWEST; PAIRS]; 3],
            apart: vec![0; LAGS],
            quick: vec![0; LAGS],
            slow: vec![0; LAGS],
        }
    }
}

impl RepeatTracker {
    /// Takes one frame's band levels (natural log of power over background). Told are the mean difference
    /// from the most alike moment of the past, and from all, first over 160 ms and then over 1.3 s; what is
    /// louder now than then, over all bands by the first and in four ranges by the second. Natural log of power.
    pub fn push(&mut self, levels: &[f32; BANDS]) -> [f32; REPEATS] {
        let now = self.bytes(levels);
        self.hold_against(&now);
        let quick = follow::<QUICK>(&mut self.quick, &self.apart);
        let slow = follow::<SLOW>(&mut self.slow, &self.apart);
        let mut told = [0.0; REPEATS];
        told[..4].copy_from_slice(&[quick.least, quick.mean, slow.least, slow.mean]);
        told[4] = self.louder(quick.at, &now).iter().sum::<f32>() / PAIRS as f32;
        let surprise = self.louder(slow.at, &now);
        for (to, group) in told[5..].iter_mut().zip(surprise.chunks_exact(GROUP)) {
            *to = group.iter().sum::<f32>() / GROUP as f32;
        }
        for (past, level) in self.past.iter_mut().zip(now) {
            past[self.write] = level;
            past[self.write + FARTHEST] = level;
        }
        self.write = (self.write + 1) % FARTHEST;
        told
    }

    fn bytes(&mut self, levels: &[f32; BANDS]) -> [u8; PAIRS] {
        self.recent.rotate_left(1);
        for (to, pair) in self.recent[2].iter_mut().zip(levels.chunks(2)) {
            *to = pair.iter().sum::<f32>() / pair.len() as f32;
        }
        let [a, b, c] = &self.recent;
        let mean = |pair: usize| (a[pair] + b[pair] + c[pair]) * (1.0 / 3.0);
        std::array::from_fn(|pair| ((mean(pair) - LOWEST) * STEPS) as u8)
    }

    /// At each lag the sum of the pairs' differences, in steps times [`FINER`]. At `write` stands the frame
    /// [`FARTHEST`] ago, and from there on they become newer.
    fn hold_against(&mut self, now: &[u8; PAIRS]) {
        self.apart.fill(0);
        for (past, now) in self.past.iter().zip(now) {
            let past = &past[self.write..][..LAGS];
            for (sum, then) in self.apart.iter_mut().zip(past) {
                // `abs_diff` in words that processors have for bytes.
                let apart = (*then).max(*now).wrapping_sub((*then).min(*now));
                *sum = sum.wrapping_add(i16::from(apart));
            }
        }
        self.apart.iter_mut().for_each(|sum| *sum = sum.wrapping_mul(FINER));
    }

    /// By how much each pair is louder now than at that lag, 10 ms before or after it.
    fn louder(&self, lag: usize, now: &[u8; PAIRS]) -> [f32; PAIRS] {
        // Before the farthest stands the newest: the ring has no gap.
        let from = self.write + lag.max(1);
        std::array::from_fn(|pair| {
            let near = &self.past[pair][from - 1..from + 2];
            let then = near.iter().copied().max().unwrap_or(0);
            (f32::from(now[pair]) - f32::from(then)) / STEPS
        })
    }
}

/// The most alike lag and its difference, and the mean over all lags.
struct Alike {
    at: usize,
    least: f32,
    mean: f32,
}

/// Lets each lag's running mean follow the new difference.
fn follow<const SHIFT: i16>(means: &mut [i16], apart: &[i16]) -> Alike {
    let mut least = i16::MAX;
    let mut sum = 0i32;
    for (mean, d) in means.iter_mut().zip(apart) {
        *mean = mean.wrapping_add(d.wrapping_sub(*mean) >> SHIFT);
        least = least.min(*mean);
        sum = sum.wrapping_add(i32::from(*mean));
    }
    let at = means.iter().position(|m| *m == least).unwrap_or(0);
    let unit = 1.0 / (STEPS * PAIRS as f32 * f32::from(FINER));
    let mean = sum as f32 / LAGS as f32 * unit;
    Alike { at, least: f32::from(least) * unit, mean }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hear(repeats: &mut RepeatTracker, level: f32, frames: usize) {
        for _ in 0..frames {
            repeats.push(&[level; BANDS]);
        }
    }

    /// Levels of a room where something sounds 0.2 s of every `period` frames.
    fn room(frame: usize, period: usize) -> [f32; BANDS] {
        [if frame % period < 20 { 4.0 } else { 0.0 }; BANDS]
    }

    #[test]
    fn what_repeats_is_no_surprise_and_what_is_new_is() {
        let mut repeats = RepeatTracker::default();
        let mut most = 0.0f32;
        for frame in 0..2_000 {
            let told = repeats.push(&room(frame, 137));
            if frame > 1_300 {
                most = most.max(told[7]);
                assert!(told[2] < 0.1 && told[0] < 0.1, "{frame}: {told:?}");
            }
        }
        assert!(most < 0.5, "{most}");
        let new = repeats.push(&[6.0; BANDS]);
        assert!(repeats.push(&[6.0; BANDS])[7] > new[7].max(1.0));
    }

    #[test]
    fn what_sounded_a_second_ago_does_not_count() {
        let mut repeats = RepeatTracker::default();
        hear(&mut repeats, 0.0, 1_500);
        let surprise: Vec<f32> = (0..200).map(|n| repeats.push(&room(n, 90))[7]).collect();
        assert!(surprise[10] > 3.0 && surprise[100] > 3.0, "{} {}", surprise[10], surprise[100]);
    }

    #[test]
    fn differences_are_sums_over_the_bands() {
        let mut repeats = RepeatTracker::default();
        hear(&mut repeats, 1.0, 2 * FARTHEST);
        hear(&mut repeats, 3.0, 3);
        let steps = (2.0 * STEPS) as i16 * PAIRS as i16 * FINER;
        assert!(repeats.apart.iter().all(|d| (d - steps).abs() <= PAIRS as i16 * FINER));
    }
}
