//! Tonal and spoken room sounds, made here: talkers, alarms, music, hum.

use std::f64::consts::TAU;

use super::chance::Chance;
use super::filter::{Biquad, INNER_HZ};

/// A sine by rotation: cheap, and the same everywhere.
struct Tone {
    re: f64,
    im: f64,
    turn: (f64, f64),
}

impl Tone {
    fn new(hz: f64, phase: f64) -> Self {
        let w = TAU * hz / INNER_HZ;
        let turn = (libm::cos(w), libm::sin(w));
        Self { re: libm::cos(phase), im: libm::sin(phase), turn }
    }

    fn step(&mut self) -> f64 {
        let (c, s) = self.turn;
        (self.re, self.im) = (self.re * c - self.im * s, self.re * s + self.im * c);
        self.im
    }
}

fn samples(seconds: f64) -> usize {
    (seconds * INNER_HZ).max(1.0) as usize
}

/// Adds a harmonic tone with a raised-cosine start and end and an exponential decay.
fn add_note(out: &mut [f32], hz: f64, partials: &[f64], edge_s: f64, decay_s: f64) {
    let (count, edge) = (out.len(), samples(edge_s));
    let fade = libm::exp(-1.0 / (decay_s * INNER_HZ));
    for (k, &level) in partials.iter().enumerate() {
        let partial_hz = hz * (k + 1) as f64;
        if level == 0.0 || partial_hz > 7_500.0 {
            continue;
        }
        let mut tone = Tone::new(partial_hz, k as f64);
        let mut loud = level;
        for (i, sample) in out.iter_mut().enumerate() {
            let near = (i + 1).min(count - i).min(edge) as f64 / edge as f64;
            *sample += (tone.step() * loud * near) as f32;
            loud *= fade;
        }
    }
}

fn partials(chance: &mut Chance, count: usize, slope: f64) -> Vec<f64> {
    (1..=count).map(|k| chance.between(0.3, 1.0) / libm::pow(k as f64, slope)).collect()
}

/// Mains hum: 50 or 60 Hz and its harmonics.
pub fn hum(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let base_hz = chance.pick(&[50.0, 60.0]) * chance.between(0.999, 1.001);
    let slope = chance.between(0.3, 1.4);
    let levels: Vec<f64> = partials(chance, 14, slope);
    add_note(&mut out, base_hz, &levels, 0.01, 1e6);
    out
}

/// Alarms: tones in patterns, steady, alternating or warbling.
pub fn alarm(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let high = if chance.happens(0.5) { chance.between(0.7, 1.6) } else { 1.0 };
    let hz = chance.log_between(350.0, 2800.0);
    let count_of = 1 + chance.index(5);
    let (slope, rich) = (chance.between(0.5, 2.0), 1 + chance.index(6));
    let levels = partials(chance, rich, slope);
    let (on_s, off_s) = (chance.log_between(0.05, 0.6), chance.log_between(0.03, 0.4));
    let (gap_s, ring_s) = (chance.log_between(0.1, 3.0), chance.log_between(0.1, 5.0));
    let mut at = samples(chance.between(0.0, 3.0));
    while at < count {
        for beep in 0..count_of {
            let end = (at + samples(on_s)).min(count);
            if at < end {
                let hz = if beep % 2 == 1 { hz * high } else { hz };
                add_note(&mut out[at..end], hz, &levels, 0.004, ring_s);
            }
            at += samples(on_s + off_s);
        }
        at += samples(gap_s);
    }
    out
}

/// Music: a line of notes with chords now and then, and sometimes drums.
pub fn music(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let beat_s = chance.between(0.25, 0.7);
    let slope = chance.between(0.8, 2.2);
    let levels = partials(chance, 5, slope);
    let decay_s = chance.log_between(0.1, 1.0);
    let root_hz = chance.log_between(110.0, 330.0);
    let drums = chance.happens(0.6);
    let mut at = 0;
    while at < count {
        let length_s = beat_s * chance.pick(&[0.5, 0.5, 1.0, 1.0, 2.0]);
        let end = (at + samples(length_s * 1.1)).min(count);
        for _ in 0..1 + chance.index(3) {
            let step = chance.pick(&[0.0, 2.0, 4.0, 5.0, 7.0, 9.0, 11.0, 12.0, 16.0]);
            let hz = root_hz * libm::pow(2.0, step / 12.0);
            add_note(&mut out[at..end], hz, &levels, 0.008, decay_s);
        }
        if drums {
            let hit = (at + samples(0.12)).min(count);
            let noise = chance.white(hit - at);
            let mut low = Biquad::low_pass(chance.pick(&[200.0, 900.0, 5000.0]), 0.7);
            for (i, (sample, x)) in out[at..hit].iter_mut().zip(noise).enumerate() {
                let fade = libm::exp(-(i as f64) / (0.03 * INNER_HZ));
                *sample += (2.0 * fade * low.step(f64::from(x))) as f32;
            }
        }
        at += samples(length_s);
    }
    out
}

/// First three formants of seven vowels, hertz (rounded means of adult speech; common practice).
const VOWELS: [[f64; 3]; 7] = [
    [280.0, 2250.0, 2900.0],
    [400.0, 2000.0, 2600.0],
    [550.0, 1750.0, 2500.0],
    [700.0, 1250.0, 2500.0],
    [600.0, 1000.0, 2450.0],
    [450.0, 850.0, 2400.0],
    [320.0, 900.0, 2300.0],
];

/// One talker: phrases of syllables with a pitch that moves, vowels with formants, unvoiced bursts, pauses.
pub fn speech(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    let talker = Talker {
        pitch_hz: chance.log_between(85.0, 240.0),
        size: chance.between(0.9, 1.2),
        pace: chance.between(0.8, 1.3),
    };
    let mut at = samples(chance.between(0.0, 1.0));
    while at < count {
        for _ in 0..3 + chance.index(8) {
            if chance.happens(0.45) {
                at += unvoiced(chance, &mut out, at);
            }
            at += syllable(chance, &mut out[at.min(count)..], &talker);
            if chance.happens(0.3) {
                at += samples(chance.between(0.02, 0.08));
            }
        }
        at += samples(chance.log_between(0.15, 1.6));
    }
    out
}

/// Who speaks: the pitch, the size of the mouth and the pace against the usual ones.
struct Talker {
    pitch_hz: f64,
    size: f64,
    pace: f64,
}

fn syllable(chance: &mut Chance, out: &mut [f32], talker: &Talker) -> usize {
    let Talker { pitch_hz, size, pace } = *talker;
    let length = samples(chance.between(0.09, 0.28) / pace);
    let vowel = chance.pick(&VOWELS);
    let mut formants = vowel.map(|hz| Biquad::band_pass(hz * size, hz * size / 90.0));
    let gains = [1.0, chance.between(0.3, 0.9), chance.between(0.1, 0.4)];
    let (start, slide) = (pitch_hz * chance.between(0.85, 1.25), chance.between(-0.25, 0.15));
    let loud = chance.between(0.4, 1.0);
    let mut tilt = Biquad::low_pass(700.0, 0.6);
    let mut phase = 0.0;
    for (i, sample) in out.iter_mut().take(length).enumerate() {
        let part = i as f64 / length as f64;
        phase += start * (1.0 + slide * part) / INNER_HZ;
        let pulse = if phase >= 1.0 { 12.0 } else { -0.1 };
        phase -= phase.floor();
        let source = pulse + 0.3 * tilt.step(pulse);
        let sung: f64 = formants.iter_mut().zip(gains).map(|(f, g)| g * f.step(source)).sum();
        let edge = (part * 8.0).min((1.0 - part) * 4.0).min(1.0);
        *sample += (loud * edge * sung) as f32;
    }
    length
}

fn unvoiced(chance: &mut Chance, out: &mut [f32], at: usize) -> usize {
    let length = samples(chance.between(0.03, 0.13));
    let noise = chance.white(length);
    let mut band = Biquad::band_pass(chance.between(1800.0, 6000.0), 0.9);
    let loud = chance.between(0.05, 0.35);
    for (i, x) in noise.iter().enumerate().take(out.len().saturating_sub(at)) {
        let part = i as f64 / length as f64;
        let edge = (part * 4.0).min((1.0 - part) * 4.0).min(1.0);
        out[at + i] += (loud * edge * band.step(f64::from(*x))) as f32;
    }
    length
}

/// Several talkers, each a loop of its own length, at different distances.
pub fn babble(chance: &mut Chance, count: usize) -> Vec<f32> {
    let mut out = vec![0.0; count];
    for _ in 0..4 + chance.index(4) {
        let length = samples(chance.between(6.0, 11.0));
        let talker = speech(chance, length);
        let gain = chance.log_between(0.4, 1.0) as f32;
        let start = chance.index(length);
        for (sample, x) in out.iter_mut().zip(talker.iter().cycle().skip(start)) {
            *sample += gain * x;
        }
    }
    out
}
