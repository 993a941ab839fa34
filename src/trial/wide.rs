//! Strangers: training cases drawn far wider than the grid that reports, so that the listener learns what a
//! returning pulse is rather than what this simulator makes of one.
//!
//! Half are the simulated patient with everything spread wide, half are pulses of another make
//! (`bursts`) over the same rooms and hands; all pass a random colouring (equaliser, reverberation,
//! saturation, fading, dropouts). Training and tuning draw from one half of seeds and sounds, reports from the other.

use crate::sim::{
    Biquad, Case, Chance, FlowKind, Hand, Never, Noise, OpeningSound, Path, PumpAgain, Rendered,
    Rhythm, Squelch, render,
};

use super::bursts;
use super::grid::{self, Half, Rooms};

/// Every kind of noise that is made here and not recorded.
pub(super) const MADE: [Noise; 10] = [
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
/// Every kind of recorded room sound.
const KINDS: [&str; 8] =
    ["speech", "babble", "alarm", "handling", "ventilation", "rhythmic", "music", "ambience"];
/// The rate for which the simulator's filters are made, samples a second.
const FILTER_HZ: f64 = 16_000.0;

/// What the families are called: the simulated patient with everything spread wide, and pulses of another make.
pub const FAMILIES: [&str; 2] = ["strangers", "bursts"];

/// Makes stranger number `number`, its family as the truth's scenario. The same numbers give the same sound.
pub fn make(seed: u64, number: u64, half: Half, rooms: &Rooms) -> Rendered {
    let stream = match half {
        Half::Tuning => 0x71_0003,
        Half::Report => 0x71_0004,
    };
    let mut chance = Chance::new(seed.wrapping_mul(0x9e37_79b9).wrapping_add(number), stream);
    let mut case = patient(&mut chance);
    case.hand = hand(&mut chance, case.systolic_mmhg);
    path(&mut chance, &mut case);
    room(&mut chance, &mut case, rooms);
    let arterial = chance.happens(0.5);
    let family = FAMILIES[usize::from(!arterial)];
    let mut made = if arterial {
        device(&mut chance, &mut case);
        if chance.happens(0.3) {
            let none = [Never::ProbeMoved, Never::CuffHigh, Never::CuffHigh, Never::NoArtery];
            case.never = Some(chance.pick(&none));
        }
        render(&case, chance.word())
    } else {
        bursts::over(&mut chance, case)
    };
    colour(&mut chance, &mut made);
    made.truth.scenario = family.into();
    made
}

fn patient(chance: &mut Chance) -> Case {
    let systolic_mmhg = chance.log_between(38.0, 210.0);
    let artery =
        [FlowKind::Multiphasic, FlowKind::Multiphasic, FlowKind::Monophasic, FlowKind::Damped];
    let rhythm = [Rhythm::Regular, Rhythm::Regular, Rhythm::Fibrillation, Rhythm::Premature];
    Case {
        scenario: "stranger".into(),
        heart_rate_bpm: chance.between(40.0, 135.0),
        systolic_mmhg,
        diastolic_mmhg: systolic_mmhg * chance.between(0.4, 0.82),
        breathing_mmhg: chance.between(0.0, 9.0),
        breaths_per_min: chance.between(7.0, 28.0),
        beat_noise_mmhg: chance.between(0.0, 3.5),
        artery: chance.pick(&artery),
        rhythm: chance.pick(&rhythm),
        growth_mmhg: chance.log_between(1.5, 45.0),
        run_on_ms: chance.log_between(3.0, 320.0),
        opening: if chance.happens(0.2) { OpeningSound::Jet } else { OpeningSound::Growing },
        probe_mhz: chance.pick(&[2.0, 4.0, 5.0, 8.0, 10.0]),
        angle_deg: chance.between(25.0, 72.0),
        peak_cm_s: chance.log_between(6.0, 110.0),
        profile: chance.log_between(1.3, 20.0),
        venous_db: chance.happens(0.2).then(|| chance.between(-25.0, -3.0)),
        level_dbfs: chance.between(-50.0, -3.0),
        offset: if chance.happens(0.2) { chance.between(-0.05, 0.05) } else { 0.0 },
        clip_db: chance.happens(0.1).then(|| chance.between(0.0, 14.0)),
        rate_hz: chance.pick(&[8_000, 8_000, 16_000, 16_000, 16_000, 44_100]),
        ..Case::default()
    }
}

fn hand(chance: &mut Chance, systolic_mmhg: f64) -> Hand {
    let pump_again = chance.happens(0.15).then(|| PumpAgain {
        at_mmhg: chance.between(2.0, 20.0),
        by_mmhg: chance.between(6.0, 40.0),
    });
    Hand {
        baseline_s: chance.between(1.5, 12.0),
        target_mmhg: Some(systolic_mmhg + chance.between(8.0, 55.0)),
        stroke_mmhg: chance.log_between(5.0, 45.0),
        stroke_s: chance.between(0.2, 1.3),
        hold_s: chance.between(0.0, 6.0),
        bleed_mmhg_s: chance.log_between(1.5, 9.0),
        wobble: chance.between(0.0, 1.0),
        pause_s: if chance.happens(0.25) { chance.between(0.5, 5.0) } else { 0.0 },
        pump_again,
        stop_mmhg: chance.between(-60.0, -10.0),
        release: chance.happens(0.6),
        tail_s: chance.between(0.0, 6.0),
        ..Hand::default()
    }
}

fn path(chance: &mut Chance, case: &mut Case) {
    if chance.happens(0.6) {
        case.path = Path::Microphone;
        case.snr_db = chance.between(-1.0, 19.0);
    } else {
        case.snr_db = chance.between(2.0, 30.0);
    }
    case.device_snr_db = chance.between(8.0, 45.0);
    case.hand_snr_db = chance.between(-6.0, 30.0);
}

/// One to three sounds at once, of any kind.
fn room(chance: &mut Chance, case: &mut Case, rooms: &Rooms) {
    case.noise.clear();
    let sounds = 1 + chance.index(3);
    for _ in 0..sounds {
        let kind = chance.pick(&KINDS);
        let recorded = if chance.happens(0.65) { rooms.draw(chance, &[kind]) } else { None };
        match recorded {
            Some(sound) => case.recorded.push(sound),
            None => case.noise.push(chance.pick(&MADE)),
        }
    }
}

fn device(chance: &mut Chance, case: &mut Case) {
    if chance.happens(0.25) {
        case.auto_gain = Some(grid::auto_gain(chance));
    }
    if chance.happens(0.1) {
        let hang_ms = chance.log_between(10.0, 400.0);
        case.squelch = Some(Squelch { under_db: chance.between(8.0, 26.0), hang_ms });
    }
    if chance.happens(0.3) {
        let low_hz = chance.log_between(90.0, 800.0);
        let high_hz = low_hz * chance.log_between(1.8, 9.0);
        case.narrow_band_hz = Some((low_hz, high_hz.min(3_800.0)));
    }
    case.stereo = chance.happens(0.08);
}

/// What lies between a simulator and the world: some of equaliser, reverberation, fading, saturation, dropouts.
fn colour(chance: &mut Chance, made: &mut Rendered) {
    let rate = f64::from(made.rate_hz);
    for channel in 0..made.channels {
        let mut track: Vec<f32> =
            made.samples.iter().skip(channel).step_by(made.channels).copied().collect();
        // Both channels pass the same path.
        let chance = &mut chance.clone();
        equalise(chance, &mut track, rate);
        reverberate(chance, &mut track, rate);
        fade(chance, &mut track, rate);
        bend(chance, &mut track);
        made.samples
            .iter_mut()
            .skip(channel)
            .step_by(made.channels)
            .zip(&track)
            .for_each(|(to, x)| *to = x.clamp(-1.0, 1.0));
    }
}

fn equalise(chance: &mut Chance, track: &mut [f32], rate: f64) {
    for _ in 0..chance.index(4) {
        let (hz, gain) = (chance.log_between(150.0, 3_500.0), chance.between(-12.0, 9.0));
        Biquad::peak(hz * FILTER_HZ / rate, chance.between(0.4, 3.0), gain).run(track);
    }
    if chance.happens(0.3) {
        Biquad::high_pass(chance.log_between(60.0, 500.0) * FILTER_HZ / rate, 0.7).run(track);
    }
    if chance.happens(0.3) {
        Biquad::low_pass(chance.log_between(1_200.0, 3_900.0) * FILTER_HZ / rate, 0.7).run(track);
    }
}

/// Four feedback delays: a small hard room to a corridor.
fn reverberate(chance: &mut Chance, track: &mut [f32], rate: f64) {
    let (lasts_s, wet) = (chance.log_between(0.08, 0.7), chance.log_between(0.05, 0.6) as f32);
    if !chance.happens(0.35) {
        return;
    }
    let delays: Vec<usize> =
        (0..4).map(|_| (chance.between(0.011, 0.047) * rate) as usize + 1).collect();
    let mut tails: Vec<Vec<f32>> = delays.iter().map(|&d| vec![0.0; d]).collect();
    // Falls by 60 dB in `lasts_s`.
    let keep: Vec<f32> =
        delays.iter().map(|&d| libm::pow(10.0, -3.0 * d as f64 / rate / lasts_s) as f32).collect();
    for (n, x) in track.iter_mut().enumerate() {
        let dry = *x;
        for ((tail, &delay), &keep) in tails.iter_mut().zip(&delays).zip(&keep) {
            let echo = tail[n % delay];
            tail[n % delay] = dry + keep * echo;
            *x += 0.25 * wet * echo;
        }
    }
}

/// A slow swing of the level, and now and then a few dropouts.
fn fade(chance: &mut Chance, track: &mut [f32], rate: f64) {
    let (depth, hz) = (chance.between(0.0, 0.5), chance.log_between(0.03, 0.6));
    let phase = chance.uniform();
    if chance.happens(0.2) {
        for (block, samples) in track.chunks_mut(64).enumerate() {
            let turn = hz * block as f64 * 64.0 / rate + phase;
            let gain = (1.0 - depth * (0.5 + 0.5 * libm::sin(std::f64::consts::TAU * turn))) as f32;
            samples.iter_mut().for_each(|x| *x *= gain);
        }
    }
    if chance.happens(0.06) {
        for _ in 0..1 + chance.index(5) {
            let from = chance.index(track.len());
            let length = (chance.log_between(0.002, 0.08) * rate) as usize;
            track.iter_mut().skip(from).take(length).for_each(|x| *x = 0.0);
        }
    }
}

/// A soft limit, as in an overdriven input.
fn bend(chance: &mut Chance, track: &mut [f32]) {
    let drive = chance.log_between(0.7, 6.0) as f32;
    if !chance.happens(0.15) {
        return;
    }
    let peak = track.iter().fold(1e-6f32, |a, x| a.max(x.abs()));
    track.iter_mut().for_each(|x| *x = peak * libm::tanhf(drive * *x / peak) / libm::tanhf(drive));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strangers_repeat_differ_and_hold_returns_and_silences() {
        let rooms = Rooms::default();
        let one = make(5, 0, Half::Tuning, &rooms);
        assert_eq!(one, make(5, 0, Half::Tuning, &rooms));
        assert_ne!(one, make(5, 0, Half::Report, &rooms));
        let made: Vec<Rendered> = (1..24).map(|n| make(5, n, Half::Tuning, &rooms)).collect();
        let finite = |r: &Rendered| r.samples.iter().all(|x| x.is_finite() && x.abs() <= 1.0);
        assert!(made.iter().all(finite));
        let returns = made.iter().filter(|r| r.truth.audible_s.is_some()).count();
        assert!((6..=20).contains(&returns), "{returns}");
    }
}
