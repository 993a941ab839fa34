//! Noisy and knocking room sounds, made here: air, handling, steps, machines; and the sounds of the hand at
//! bulb and valve, which follow the cuff.

use std::f64::consts::TAU;

use super::case::{Case, Path};
use super::chance::Chance;
use super::filter::{Biquad, INNER_HZ};
use super::sound::BLOCK;

fn samples(seconds: f64) -> usize {
    (seconds * INNER_HZ).max(1.0) as usize
}

/// Amplifier noise, white to tilted, with a bump or two.
pub fn hiss(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = chance.white(count);
    if chance.happens(0.6) {
        Biquad::low_pass(chance.log_between(900.0, 6000.0), 0.6).run(&mut out);
    }
    let (centre_hz, gain_db) = (chance.log_between(200.0, 4000.0), chance.between(-8.0, 8.0));
    Biquad::peak(centre_hz, chance.between(0.5, 1.5), gain_db).run(&mut out);
    out
}

/// Moving air: low noise that swells slowly.
pub fn ventilation(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = chance.white(count);
    Biquad::low_pass(chance.log_between(150.0, 1500.0), 0.5).run(&mut out);
    if chance.happens(0.5) {
        Biquad::low_pass(chance.log_between(400.0, 3000.0), 0.5).run(&mut out);
    }
    let (hz, depth) = (chance.log_between(0.05, 0.8), chance.between(0.0, 0.5));
    let phase = chance.uniform();
    swell(&mut out, |t_s| 1.0 + depth * libm::sin(TAU * (hz * t_s + phase)));
    out
}

/// Multiplies by an envelope, which is asked for every 4 ms.
fn swell(track: &mut [f32], envelope: impl Fn(f64) -> f64) {
    for (block, samples) in track.chunks_mut(BLOCK).enumerate() {
        let gain = envelope((block * BLOCK) as f64 / INNER_HZ) as f32;
        samples.iter_mut().for_each(|x| *x *= gain);
    }
}

/// A knock: where it resonates and how sharply, how long it takes to die away, how loud it is.
#[derive(Clone, Copy)]
struct Knock {
    hz: f64,
    q: f64,
    decay_s: f64,
    loud: f64,
}

/// Adds one knock: noise through a resonance, dying away.
fn knock(chance: &mut Chance, out: &mut [f32], knock: Knock) {
    let Knock { hz, q, decay_s, loud } = knock;
    let length = samples(decay_s * 6.0).min(out.len());
    let noise = chance.white(length);
    let mut body = Biquad::band_pass(hz, q);
    let fade = libm::exp(-1.0 / (decay_s * INNER_HZ));
    let mut level = loud * q.sqrt();
    for (i, (sample, x)) in out.iter_mut().zip(noise).enumerate() {
        let start = ((i + 1) as f64 / 12.0).min(1.0);
        *sample += (level * start * body.step(f64::from(x))) as f32;
        level *= fade;
    }
}

/// Adds the rub of a probe that moves on the skin, if that happens within the track.
pub fn rub(chance: &mut Chance, track: &mut [f32], at_s: f64, loud: f64) {
    let at = (at_s.max(0.0) * INNER_HZ) as usize;
    let (hz, decay_s) = (chance.log_between(200.0, 1500.0), chance.log_between(0.02, 0.15));
    let loud = loud * chance.log_between(0.3, 3.0);
    if let Some(rest) = track.get_mut(at..) {
        knock(chance, rest, Knock { hz, q: 0.6, decay_s, loud });
    }
}

/// Knocks, bumps and scrapes at irregular times.
pub fn handling(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let mean_s = chance.log_between(0.5, 3.0);
    let mut at = samples(chance.between(0.0, 2.0));
    while at < count {
        let scrape = chance.happens(0.3);
        let decay_s =
            if scrape { chance.log_between(0.05, 0.25) } else { chance.log_between(0.004, 0.05) };
        let hz = chance.log_between(90.0, 3500.0);
        let loud = chance.log_between(0.15, 1.0);
        let q = chance.log_between(0.5, 4.0);
        knock(chance, &mut out[at..], Knock { hz, q, decay_s, loud });
        at += samples(-mean_s * libm::log(1.0 - chance.uniform()) + 0.05);
    }
    out
}

/// Steps that come and pass.
pub fn footsteps(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let step_s = chance.between(0.45, 0.62);
    let hz = chance.log_between(60.0, 220.0);
    let mut at = samples(chance.between(0.0, 2.0));
    while at < count {
        let steps = 5 + chance.index(16);
        for step in 0..steps {
            let near = libm::sin(std::f64::consts::PI * (step as f64 + 0.5) / steps as f64);
            if at < count {
                let loud = near * chance.between(0.6, 1.0);
                let step = Knock { hz, q: 0.8, decay_s: 0.035, loud };
                knock(chance, &mut out[at..], step);
                if chance.happens(0.4) {
                    let heel = Knock { hz: hz * 9.0, q: 0.7, decay_s: 0.008, loud: 0.25 * loud };
                    knock(chance, &mut out[at..], heel);
                }
            }
            at += samples(step_s * chance.between(0.95, 1.05));
        }
        at += samples(chance.between(0.5, 4.0));
    }
    out
}

/// A machine: a noisy stroke that repeats, over a rumble.
pub fn machine(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = ventilation(chance, count);
    let rumble = chance.log_between(0.05, 0.6) as f32;
    out.iter_mut().for_each(|x| *x *= rumble);
    let period_s = chance.log_between(0.09, 1.3);
    let parts = 1 + chance.index(3);
    let strokes: Vec<(f64, f64, f64, f64, f64)> = (0..parts)
        .map(|_| {
            let decay_s = chance.log_between(0.01, 0.2).min(0.5 * period_s);
            let hz = chance.log_between(80.0, 2500.0);
            let loud = chance.between(0.3, 1.0);
            (chance.uniform() * period_s, hz, chance.log_between(0.5, 5.0), decay_s, loud)
        })
        .collect();
    let mut at_s = 0.0;
    while samples(at_s) < count {
        for &(offset_s, hz, q, decay_s, loud) in &strokes {
            let at = samples(at_s + offset_s).min(count);
            knock(chance, &mut out[at..], Knock { hz, q, decay_s, loud });
        }
        at_s += period_s * chance.around(1.0, 0.004);
    }
    out
}

/// What the hand at the cuff sounds like, told by the cuff's pressure alone: strokes of the bulb, the hiss
/// of the valve, rubbing.
#[derive(Debug, Clone)]
pub struct HandSounds {
    level: f64,
    through_air: bool,
    last_mmhg: Option<f64>,
    rate_mmhg_s: f64,
    in_stroke: bool,
    stroke_left: usize,
    stroke_gain: f64,
    thump: Biquad,
    whoosh: Biquad,
    valve: Biquad,
    valve_gain: f64,
    whoosh_share: f64,
    friction: f64,
    chance: Chance,
}

impl HandSounds {
    /// For a case; `level` is the root mean square of a stroke.
    pub fn new(case: &Case, seed: u64, level: f64) -> Self {
        let mut chance = Chance::new(seed, 40);
        Self {
            level,
            through_air: case.path == Path::Microphone,
            last_mmhg: None,
            rate_mmhg_s: 0.0,
            in_stroke: false,
            stroke_left: 0,
            stroke_gain: 0.0,
            thump: Biquad::band_pass(chance.log_between(50.0, 260.0), 0.8),
            whoosh: Biquad::band_pass(chance.log_between(400.0, 1800.0), 0.6),
            valve: Biquad::band_pass(chance.log_between(2200.0, 6000.0), 0.7),
            valve_gain: chance.log_between(0.05, 0.5),
            whoosh_share: chance.between(0.05, 0.6),
            friction: chance.log_between(0.02, 0.4),
            chance,
        }
    }

    /// Adds a block of them, given the cuff's pressure now.
    pub fn step(&mut self, cuff_mmhg: f64, out: &mut [f32; BLOCK]) {
        let block_s = BLOCK as f64 / INNER_HZ;
        let change = cuff_mmhg - self.last_mmhg.replace(cuff_mmhg).unwrap_or(cuff_mmhg);
        self.rate_mmhg_s += 0.3 * (change / block_s - self.rate_mmhg_s);
        if self.rate_mmhg_s > 12.0 && !self.in_stroke {
            self.in_stroke = true;
            self.stroke_left = samples(self.chance.between(0.12, 0.28));
            self.stroke_gain = self.chance.log_between(0.4, 1.2);
        }
        self.in_stroke &= self.rate_mmhg_s > 4.0;
        if self.stroke_left > 0 {
            self.stroke(out);
        }
        if self.through_air && self.rate_mmhg_s < -0.3 {
            self.bleed(out);
        }
    }

    fn stroke(&mut self, out: &mut [f32; BLOCK]) {
        let noise = self.chance.white(BLOCK);
        let air = if self.through_air { self.whoosh_share } else { 0.1 * self.friction };
        let fade = (self.stroke_left as f64 / samples(0.2) as f64).min(1.0);
        let gain = self.level * self.stroke_gain * fade;
        for (sample, x) in out.iter_mut().zip(noise) {
            let x = f64::from(x);
            *sample += (gain * (2.0 * self.thump.step(x) + air * self.whoosh.step(x))) as f32;
        }
        self.stroke_left = self.stroke_left.saturating_sub(BLOCK);
    }

    fn bleed(&mut self, out: &mut [f32; BLOCK]) {
        let noise = self.chance.white(BLOCK);
        let gain = self.level * self.valve_gain * (-self.rate_mmhg_s / 3.0).min(12.0).sqrt();
        for (sample, x) in out.iter_mut().zip(noise) {
            *sample += (gain * self.valve.step(f64::from(x))) as f32;
        }
    }
}
