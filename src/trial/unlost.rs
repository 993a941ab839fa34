//! Sounds without a return that no stratum draws: no artery at all, or a pulse that was never closed.
//!
//! Second hearing learns on some ([`never_closed`] in rooms), and the tests hear others.

use super::wide::MADE;
use crate::sim::{self, Case, Chance, Hand, Never, Noise, Path, Slip};

/// Samples a second.
pub const RATE_HZ: u32 = 8_000;

fn patient(chance: &mut Chance) -> Case {
    let systolic_mmhg = chance.between(90.0, 180.0);
    Case {
        heart_rate_bpm: chance.between(48.0, 110.0),
        systolic_mmhg,
        diastolic_mmhg: 0.6 * systolic_mmhg,
        path: if chance.happens(0.5) { Path::Microphone } else { Path::Line },
        snr_db: chance.between(8.0, 25.0),
        device_snr_db: 30.0,
        noise: vec![Noise::Hiss],
        rate_hz: RATE_HZ,
        ..Case::default()
    }
}

/// Talk, alarms, handling, steps, machines, music and air without an artery, and ticks of a metronome; 24 s.
pub fn without_an_artery(seed: u64) -> Vec<f32> {
    let chance = &mut Chance::new(seed, 0x51);
    let kind = seed as usize % (MADE.len() + 1);
    let noise = vec![MADE.get(kind).copied().unwrap_or(Noise::Hiss)];
    let never = Some(Never::NoArtery);
    let case = Case { never, noise, snr_db: chance.between(0.0, 12.0), ..patient(chance) };
    let mut samples = sim::render(&case, seed).samples;
    if kind == MADE.len() {
        let step = (chance.between(0.45, 1.2) * f64::from(RATE_HZ)) as usize;
        let hz = chance.between(400.0, 2_500.0);
        for (n, sample) in samples.iter_mut().enumerate() {
            let t = (n % step) as f64 / f64::from(RATE_HZ);
            *sample += (0.2 * (-t / 0.01).exp() * (std::f64::consts::TAU * hz * t).sin()) as f32;
        }
    }
    samples.truncate(24 * RATE_HZ as usize);
    samples
}

/// A pulse that was never closed: free, the probe lifted and put back, covered by noise, or squeezed too little;
/// `in_rooms`: with other noise than hiss; 28 s.
pub fn never_closed(seed: u64, in_rooms: bool) -> Vec<f32> {
    let chance = &mut Chance::new(seed, 0x52);
    let mut case = patient(chance);
    if in_rooms {
        case.noise = vec![chance.pick(&MADE)];
        case.snr_db = chance.between(0.0, 25.0);
    }
    case.hand = Hand { baseline_s: 30.0, ..Hand::default() };
    let at_s = chance.between(6.0, 12.0);
    match seed % 4 {
        1 => {
            let for_s = chance.between(1.5, 8.0);
            let loss_db = if in_rooms { chance.between(20.0, 60.0) } else { 60.0 };
            case.slip = Some(Slip { at_s, for_s, loss_db });
        }
        3 => {
            let target_mmhg = Some(case.diastolic_mmhg * chance.between(0.75, 0.98));
            case.hand = Hand { baseline_s: at_s, target_mmhg, ..Hand::default() };
        }
        _ => {}
    }
    let mut samples = sim::render(&case, seed).samples;
    if seed % 4 == 2 {
        let covered = at_s..at_s + chance.between(1.5, 8.0);
        for (n, sample) in samples.iter_mut().enumerate() {
            let t = n as f64 / f64::from(RATE_HZ);
            *sample += if covered.contains(&t) { 0.3 * chance.normal() as f32 } else { 0.0 };
        }
    }
    samples.truncate(28 * RATE_HZ as usize);
    samples
}

/// A probe that finds the artery only after 2 to 10 s, while no cuff is closed, and stays on it; 28 s.
pub fn found_late(seed: u64) -> Vec<f32> {
    let chance = &mut Chance::new(seed, 0x53);
    let slip = Some(Slip { at_s: 0.0, for_s: chance.between(2.0, 10.0), loss_db: 60.0 });
    let hand = Hand { baseline_s: 30.0, ..Hand::default() };
    let mut samples = sim::render(&Case { hand, slip, ..patient(chance) }, seed).samples;
    samples.truncate(28 * RATE_HZ as usize);
    samples
}
