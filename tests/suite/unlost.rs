//! Nothing returns where nothing was lost, and nothing has a rhythm where nothing beats: over hundreds of seeded sounds.

use std::sync::atomic::{AtomicUsize, Ordering};

use cuffnote::signal::{Finding, HeartRate, Listener};
use cuffnote::sim::{self, Case, Chance, Hand, Never, Noise, Path, Slip};
use cuffnote::units::SampleRate;
use rayon::prelude::*;

const SOUNDS: u64 = 200;
const RATE_HZ: u32 = 8_000;

/// What was told of one sound.
struct Told {
    cues: usize,
    returns: usize,
    rate: Option<HeartRate>,
}

fn told(rate_hz: u32, channels: usize, samples: &[f32]) -> Told {
    let mut listener = Listener::new(SampleRate::new(rate_hz).unwrap(), channels);
    let (mut cues, mut returns) = (0, 0);
    let mut take = |listener: &mut Listener| {
        while let Some(finding) = listener.poll() {
            cues += usize::from(matches!(finding, Finding::Cue(_)));
            returns += usize::from(matches!(finding, Finding::Return(_)));
        }
    };
    for block in samples.chunks(8_192) {
        listener.push(block);
        take(&mut listener);
    }
    listener.finish();
    take(&mut listener);
    Told { cues, returns, rate: listener.heart_rate() }
}

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

/// Talk, alarms, handling, steps, machines, music and air without an artery, and ticks of a metronome.
fn without_an_artery(seed: u64) -> Vec<f32> {
    let chance = &mut Chance::new(seed, 0x51);
    let kinds = [
        Noise::Hiss,
        Noise::Hum,
        Noise::Ventilation,
        Noise::Speech,
        Noise::Babble,
        Noise::Alarm,
        Noise::Handling,
        Noise::Footsteps,
        Noise::Machine,
        Noise::Music,
    ];
    let never = Some(Never::NoArtery);
    let kind = seed as usize % (kinds.len() + 1);
    let noise = vec![kinds.get(kind).copied().unwrap_or(Noise::Hiss)];
    let case = Case { never, noise, snr_db: chance.between(0.0, 12.0), ..patient(chance) };
    let mut samples = sim::render(&case, seed).samples;
    if kind == kinds.len() {
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

/// A pulse that was never closed: free, the probe lifted and put back, covered by noise, or squeezed too little.
fn never_closed(seed: u64) -> Vec<f32> {
    let chance = &mut Chance::new(seed, 0x52);
    let mut case = patient(chance);
    case.hand = Hand { baseline_s: 30.0, ..Hand::default() };
    let at_s = chance.between(6.0, 12.0);
    match seed % 4 {
        1 => case.slip = Some(Slip { at_s, for_s: chance.between(1.5, 8.0), loss_db: 60.0 }),
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

/// How many sounds had cues, returns, rates.
fn counted(sound: fn(u64) -> Vec<f32>) -> [usize; 3] {
    let counts: [AtomicUsize; 3] = Default::default();
    (0..SOUNDS).into_par_iter().for_each(|seed| {
        let told = told(RATE_HZ, 1, &sound(seed));
        let seen = [told.cues > 0, told.returns > 0, told.rate.is_some()];
        for (count, seen) in counts.iter().zip(seen) {
            count.fetch_add(usize::from(seen), Ordering::Relaxed);
        }
        if seen[0] || seen[1] {
            println!("{seed}: {} cues, {} returns", told.cues, told.returns);
        }
    });
    counts.map(AtomicUsize::into_inner)
}

#[test]
fn without_an_artery_there_is_no_rate_no_rhythm_and_no_return() {
    let [cues, returns, rates] = counted(without_an_artery);
    println!("cues {cues}, returns {returns}, rates {rates} of {SOUNDS}");
    assert_eq!((returns, rates), (0, 0));
}

#[test]
fn where_nothing_was_lost_nothing_returns() {
    let [cues, returns, rates] = counted(never_closed);
    println!("cues {cues}, returns {returns}, rates {rates} of {SOUNDS}");
    assert_eq!(returns, 0);
    assert!(rates > 150, "{rates}: the pulse is there");
}
