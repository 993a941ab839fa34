//! The grid: for each stratum of the report, a case drawn from a seed. Everything that is not what the
//! stratum is about varies widely, so that no figure rests on one kind of patient or device.

use std::sync::Arc;

use crate::sim::{
    AutoGain, Biquad, Case, Chance, FlowKind, Hand, Never, Noise, OpeningSound, Path, PumpAgain,
    Recorded, Rhythm, Squelch,
};

/// What a row of the report is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stratum {
    /// By cable, the free pulse 10 dB or more above the noise.
    LinePlain,
    /// By cable, 3 to 10 dB.
    LineWeak,
    /// By cable: atrial fibrillation, premature beats, a vein beside the artery.
    Irregular,
    /// By cable: damped flow, systolic 40 to 80 mmHg.
    Damped,
    /// By microphone in a quiet or ventilated room, 12 to 18 dB.
    MicQuiet,
    /// By microphone among talkers, 0 to 10 dB.
    MicTalk,
    /// By microphone with alarms, handling, footsteps, machines, music, 0 to 10 dB.
    MicNoise,
    /// Automatic gain, squelch, two channels, narrow band, jets, flow running on, pumping again.
    Devices,
    /// Nothing returns; any path and noise.
    Nothing,
}

impl Stratum {
    /// All, in the order of the report.
    pub const ALL: [Stratum; 9] = [
        Stratum::LinePlain,
        Stratum::LineWeak,
        Stratum::Irregular,
        Stratum::Damped,
        Stratum::MicQuiet,
        Stratum::MicTalk,
        Stratum::MicNoise,
        Stratum::Devices,
        Stratum::Nothing,
    ];

    /// Its name in tables.
    pub fn name(self) -> &'static str {
        match self {
            Stratum::LinePlain => "line, 10 dB or more",
            Stratum::LineWeak => "line, weak, 3-10 dB",
            Stratum::Irregular => "irregular, venous",
            Stratum::Damped => "damped, 40-80 mmHg",
            Stratum::MicQuiet => "mic, quiet or ventilated",
            Stratum::MicTalk => "mic, speech or babble",
            Stratum::MicNoise => "mic, alarms to music",
            Stratum::Devices => "devices and hands",
            Stratum::Nothing => "nothing returns",
        }
    }
}

/// Which half of seeds and room sounds a run draws from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Half {
    /// For tuning and training.
    Tuning,
    /// For reported figures only.
    Report,
}

impl Half {
    fn stream(self) -> u64 {
        match self {
            Half::Tuning => 0x71_0001,
            Half::Report => 0x71_0002,
        }
    }
}

/// A recorded room sound with the folder (kind) it came from.
#[derive(Debug, Clone)]
pub struct RoomSound {
    /// Its kind: speech, babble, alarm, handling, ventilation, rhythmic, music, ambience.
    pub kind: String,
    /// The sound.
    pub sound: Recorded,
}

/// The recorded room sounds of one half.
#[derive(Debug, Clone, Default)]
pub struct Rooms {
    sounds: Vec<RoomSound>,
    /// Each is heard faster or slower, coloured, backwards or with another: for training.
    varied: bool,
}

impl Rooms {
    /// Keeps the sounds of one half: by kind, in the order of their names, every other one.
    pub fn of_half(mut sounds: Vec<RoomSound>, half: Half) -> Self {
        sounds.sort_by(|a, b| (&a.kind, &a.sound.name).cmp(&(&b.kind, &b.sound.name)));
        let keep = usize::from(half == Half::Report);
        let sounds = sounds.into_iter().enumerate().filter(|(i, _)| i % 2 == keep).map(|(_, s)| s);
        Self { sounds: sounds.collect(), varied: false }
    }

    /// With these for training as well, and every draw varied.
    pub fn and_varied(mut self, more: Vec<RoomSound>) -> Self {
        self.sounds.extend(more);
        Self { varied: true, ..self }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.sounds.len()
    }

    /// Whether there are none: then all noise is synthetic.
    pub fn is_empty(&self) -> bool {
        self.sounds.is_empty()
    }

    /// One of these kinds, where there is one.
    pub(super) fn draw(&self, chance: &mut Chance, kinds: &[&str]) -> Option<Recorded> {
        let fitting: Vec<&RoomSound> =
            self.sounds.iter().filter(|s| kinds.contains(&s.kind.as_str())).collect();
        if fitting.is_empty() {
            return None;
        }
        let drawn = fitting[chance.index(fitting.len())].sound.clone();
        if !self.varied {
            return Some(drawn);
        }
        let other = &fitting[chance.index(fitting.len())].sound;
        Some(varied(drawn, other, chance))
    }
}

/// The sound as another room might have it.
fn varied(sound: Recorded, other: &Recorded, chance: &mut Chance) -> Recorded {
    let speed = chance.log_between(0.75, 1.35);
    let mut samples = at_speed(&sound.samples, speed);
    if chance.happens(0.25) {
        let gain = chance.log_between(0.3, 2.0) as f32;
        samples.iter_mut().zip(other.samples.iter().cycle()).for_each(|(x, y)| *x += gain * y);
    }
    if chance.happens(0.15) {
        samples.reverse();
    }
    if chance.happens(0.4) {
        samples = one_piece(&samples, chance);
    }
    for _ in 0..chance.index(3) {
        let (hz, gain) = (chance.log_between(150.0, 4_000.0), chance.between(-12.0, 9.0));
        Biquad::peak(hz, chance.between(0.4, 2.0), gain).run(&mut samples);
    }
    Recorded { name: sound.name, samples: Arc::from(samples) }
}

/// A short piece from where the sound is loud, and a pause: repeated, it beats like a pulse, as a knock or
/// an alarm may.
fn one_piece(samples: &[f32], chance: &mut Chance) -> Vec<f32> {
    let length = (chance.log_between(0.1, 2.0) * 16_000.0) as usize;
    let places = samples.len().saturating_sub(length) + 1;
    let loud = |from: &usize| samples[*from..].iter().take(400).map(|x| x.abs()).sum::<f32>();
    let from = (0..4).map(|_| chance.index(places)).max_by(|a, b| loud(a).total_cmp(&loud(b)));
    let mut piece: Vec<f32> =
        samples.iter().skip(from.unwrap_or(0)).take(length).copied().collect();
    let pause = (chance.between(-0.8, 1.2).max(0.0) * 16_000.0) as usize;
    piece.resize(piece.len() + pause, 0.0);
    piece
}

/// Faster (over 1) and higher, or slower and lower.
fn at_speed(samples: &[f32], speed: f64) -> Vec<f32> {
    let count = ((samples.len() as f64 - 1.0) / speed).max(0.0) as usize;
    let at = |n: usize| {
        let place = n as f64 * speed;
        let (from, part) = (place as usize, place.fract() as f32);
        samples[from] * (1.0 - part) + samples[from + 1] * part
    };
    (0..count).map(at).collect()
}

/// Draws case number `number` of a stratum. The same numbers give the same case.
pub fn draw(stratum: Stratum, seed: u64, number: u64, half: Half, rooms: &Rooms) -> (Case, u64) {
    let stream = half.stream() ^ (stratum as u64) << 32;
    let mut chance = Chance::new(seed.wrapping_mul(0x9e37_79b9).wrapping_add(number), stream);
    let mut case = patient(&mut chance);
    case.scenario = stratum.name().into();
    match stratum {
        Stratum::LinePlain => case.snr_db = chance.between(10.0, 30.0),
        Stratum::LineWeak => case.snr_db = chance.between(3.0, 10.0),
        Stratum::Irregular => irregular(&mut chance, &mut case),
        Stratum::Damped => damped(&mut chance, &mut case),
        Stratum::MicQuiet => {
            microphone(&mut chance, &mut case, 12.0, 18.0);
            quiet_room(&mut chance, &mut case, rooms);
        }
        Stratum::MicTalk => {
            microphone(&mut chance, &mut case, 0.0, 10.0);
            talk(&mut chance, &mut case, rooms);
        }
        Stratum::MicNoise => {
            microphone(&mut chance, &mut case, 0.0, 10.0);
            noise(&mut chance, &mut case, rooms);
        }
        Stratum::Devices => {
            if chance.happens(0.35) {
                microphone(&mut chance, &mut case, 12.0, 18.0);
                quiet_room(&mut chance, &mut case, rooms);
            } else {
                case.snr_db = chance.between(10.0, 25.0);
            }
            device(&mut chance, &mut case);
        }
        Stratum::Nothing => nothing(&mut chance, &mut case, rooms),
    }
    (case, chance.word())
}

/// A patient, a probe and a hand by the line: what every stratum starts from.
fn patient(chance: &mut Chance) -> Case {
    let systolic_mmhg = chance.between(85.0, 190.0);
    let artery = if chance.happens(0.65) { FlowKind::Multiphasic } else { FlowKind::Monophasic };
    let target = systolic_mmhg + chance.between(15.0, 45.0);
    let mut noise = vec![Noise::Hiss];
    if chance.happens(0.35) {
        noise.push(Noise::Hum);
    }
    Case {
        heart_rate_bpm: chance.between(46.0, 118.0),
        systolic_mmhg,
        diastolic_mmhg: systolic_mmhg * chance.between(0.48, 0.68),
        breathing_mmhg: chance.between(1.0, 6.0),
        breaths_per_min: chance.between(9.0, 22.0),
        beat_noise_mmhg: chance.between(0.4, 2.0),
        artery,
        growth_mmhg: chance.log_between(4.0, 25.0),
        run_on_ms: chance.between(5.0, 60.0),
        opening: if chance.happens(0.12) { OpeningSound::Jet } else { OpeningSound::Growing },
        probe_mhz: chance.pick(&[5.0, 8.0, 8.0, 10.0]),
        angle_deg: chance.between(40.0, 66.0),
        peak_cm_s: chance.log_between(18.0, 75.0),
        profile: chance.log_between(2.0, 10.0),
        venous_db: chance.happens(0.15).then(|| chance.between(-25.0, -12.0)),
        hand: hand(chance, target),
        noise,
        device_snr_db: chance.between(18.0, 40.0),
        hand_snr_db: chance.between(0.0, 25.0),
        level_dbfs: chance.between(-42.0, -9.0),
        offset: if chance.happens(0.2) { chance.between(-0.02, 0.02) } else { 0.0 },
        clip_db: chance.happens(0.06).then(|| chance.between(0.0, 9.0)),
        rate_hz: chance.pick(&[8_000, 11_025, 16_000, 16_000, 22_050, 44_100, 48_000]),
        ..Case::default()
    }
}

fn hand(chance: &mut Chance, target_mmhg: f64) -> Hand {
    Hand {
        baseline_s: chance.between(3.5, 9.0),
        target_mmhg: Some(target_mmhg),
        stroke_mmhg: chance.between(9.0, 30.0),
        stroke_s: chance.between(0.3, 0.9),
        hold_s: chance.between(0.3, 3.5),
        bleed_mmhg_s: chance.between(2.0, 6.0),
        wobble: chance.between(0.0, 1.0),
        pause_s: if chance.happens(0.15) { chance.between(0.5, 3.0) } else { 0.0 },
        pump_again: None,
        stop_mmhg: chance.between(-60.0, -25.0),
        release: chance.happens(0.7),
        tail_s: chance.between(0.0, 4.0),
        ..Hand::default()
    }
}

fn irregular(chance: &mut Chance, case: &mut Case) {
    case.snr_db = chance.between(8.0, 25.0);
    match chance.index(3) {
        0 => case.rhythm = Rhythm::Fibrillation,
        1 => case.rhythm = Rhythm::Premature,
        _ => {
            case.venous_db = Some(chance.between(-15.0, -3.0));
            case.rhythm = chance.pick(&[Rhythm::Regular, Rhythm::Regular, Rhythm::Fibrillation]);
        }
    }
}

fn damped(chance: &mut Chance, case: &mut Case) {
    case.artery = FlowKind::Damped;
    case.snr_db = chance.between(8.0, 25.0);
    case.systolic_mmhg = chance.between(40.0, 80.0);
    case.diastolic_mmhg = case.systolic_mmhg * chance.between(0.62, 0.8);
    case.peak_cm_s = chance.log_between(8.0, 30.0);
    case.hand.target_mmhg = Some(case.systolic_mmhg + chance.between(20.0, 60.0));
    case.hand.stop_mmhg = chance.between(-35.0, -15.0);
}

fn microphone(chance: &mut Chance, case: &mut Case, low_db: f64, high_db: f64) {
    case.path = Path::Microphone;
    case.snr_db = chance.between(low_db, high_db);
    case.noise.clear();
    if chance.happens(0.2) {
        case.auto_gain = Some(auto_gain(chance));
    }
}

/// A recorded sound of one of these kinds, or, without a folder and now and then beside it, one made here.
fn room(chance: &mut Chance, case: &mut Case, rooms: &Rooms, kinds: &[&str], made: &[Noise]) {
    let recorded = rooms.draw(chance, kinds);
    if recorded.is_none() || chance.happens(0.25) {
        case.noise.push(chance.pick(made));
    }
    case.recorded.extend(recorded.filter(|_| case.noise.is_empty() || chance.happens(0.6)));
}

fn quiet_room(chance: &mut Chance, case: &mut Case, rooms: &Rooms) {
    if chance.happens(0.4) {
        case.noise.push(Noise::Hiss);
    } else {
        room(chance, case, rooms, &["ventilation", "ambience"], &[Noise::Ventilation]);
    }
}

fn talk(chance: &mut Chance, case: &mut Case, rooms: &Rooms) {
    room(chance, case, rooms, &["speech", "babble"], &[Noise::Speech, Noise::Babble]);
}

fn noise(chance: &mut Chance, case: &mut Case, rooms: &Rooms) {
    match chance.index(5) {
        0 => room(chance, case, rooms, &["alarm"], &[Noise::Alarm]),
        1 => room(chance, case, rooms, &["handling"], &[Noise::Handling]),
        2 => room(chance, case, rooms, &["rhythmic"], &[Noise::Machine]),
        3 => room(chance, case, rooms, &["music"], &[Noise::Music]),
        _ => room(chance, case, rooms, &["handling"], &[Noise::Footsteps, Noise::Footsteps]),
    }
}

pub(super) fn auto_gain(chance: &mut Chance) -> AutoGain {
    AutoGain {
        attack_ms: chance.log_between(5.0, 100.0),
        release_ms: chance.log_between(100.0, 3_000.0),
        most_db: chance.between(6.0, 30.0),
    }
}

fn device(chance: &mut Chance, case: &mut Case) {
    match chance.index(7) {
        0 => case.auto_gain = Some(auto_gain(chance)),
        1 => {
            case.squelch = Some(Squelch {
                under_db: chance.between(12.0, 22.0),
                hang_ms: chance.log_between(20.0, 250.0),
            });
        }
        2 => case.stereo = true,
        3 => {
            case.narrow_band_hz =
                Some((chance.between(200.0, 500.0), chance.between(1_200.0, 2_500.0)))
        }
        4 => case.opening = OpeningSound::Jet,
        5 => case.run_on_ms = chance.between(80.0, 300.0),
        _ => {
            case.hand.pump_again = Some(PumpAgain {
                at_mmhg: chance.between(4.0, 15.0),
                by_mmhg: chance.between(10.0, 30.0),
            });
        }
    }
}

fn nothing(chance: &mut Chance, case: &mut Case, rooms: &Rooms) {
    match chance.index(4) {
        0 => case.snr_db = chance.between(5.0, 30.0),
        1 => {
            microphone(chance, case, 10.0, 18.0);
            quiet_room(chance, case, rooms);
        }
        2 => {
            microphone(chance, case, 0.0, 10.0);
            talk(chance, case, rooms);
        }
        _ => {
            microphone(chance, case, 0.0, 10.0);
            noise(chance, case, rooms);
        }
    }
    if chance.happens(0.2) {
        irregular_rhythm(chance, case);
    }
    case.never = Some(chance.pick(&[
        Never::ProbeMoved,
        Never::ProbeMoved,
        Never::CuffHigh,
        Never::CuffHigh,
        Never::NoArtery,
    ]));
}

fn irregular_rhythm(chance: &mut Chance, case: &mut Case) {
    case.rhythm = chance.pick(&[Rhythm::Fibrillation, Rhythm::Premature]);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tone(hz: f64) -> RoomSound {
        let turn = |n: u32| (std::f64::consts::TAU * hz * f64::from(n) / 16_000.0).sin() as f32;
        let samples: Vec<f32> = (0..16_000).map(turn).collect();
        let sound = Recorded { name: "tone".into(), samples: Arc::from(samples) };
        RoomSound { kind: "alarm".into(), sound }
    }

    fn crossings(samples: &[f32]) -> usize {
        samples.windows(2).filter(|p| p[0] < 0.0 && p[1] >= 0.0).count()
    }

    #[test]
    fn a_faster_sound_is_shorter_and_higher() {
        let sound = tone(300.0).sound;
        let fast = at_speed(&sound.samples, 1.25);
        assert_eq!(fast.len(), 12_799);
        let per_sample = |x: &[f32]| crossings(x) as f64 / x.len() as f64;
        assert!((per_sample(&fast) / per_sample(&sound.samples) - 1.25).abs() < 0.01);
        assert!(at_speed(&[], 1.2).is_empty());
    }

    #[test]
    fn only_sounds_to_train_on_are_varied_and_they_repeat_from_the_seed() {
        let plain = Rooms::of_half(vec![tone(300.0)], Half::Tuning);
        let draw = |rooms: &Rooms| rooms.draw(&mut Chance::new(3, 1), &["alarm"]).unwrap().samples;
        assert_eq!(draw(&plain), tone(300.0).sound.samples);
        let varied = Rooms::default().and_varied(vec![tone(300.0)]);
        assert_eq!(draw(&varied), draw(&varied));
        assert_ne!(draw(&varied), tone(300.0).sound.samples);
        assert!(plain.draw(&mut Chance::new(3, 1), &["music"]).is_none());
    }
}
