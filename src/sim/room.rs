//! What is heard beside the artery: the room's sounds and the device's own noise, each at the level the
//! case asks for.

use super::case::{Case, Noise, Path, Recorded};
use super::chance::Chance;
use super::filter::{Biquad, FilterChain, INNER_HZ};
use super::observer::CellMeter;
use super::{knocks, voices};

/// The linear paths of one case: the device's filters, the loudspeaker's, the microphone's.
#[derive(Debug, Clone)]
pub struct Paths {
    /// Wall filter, low-pass and whatever narrows the device's band.
    pub device: FilterChain,
    /// The device's loudspeaker (nothing on the line).
    pub speaker: FilterChain,
    /// Room to recording (nothing on the line).
    pub microphone: FilterChain,
    /// Early reflections: delay in samples, gain.
    pub reflections: Vec<(usize, f32)>,
}

impl Paths {
    /// Draws the filters of this case.
    pub fn new(case: &Case, seed: u64) -> Self {
        let mut chance = Chance::new(seed, 50);
        // Hand-held devices typically have 100-200 Hz (common practice); some more, some less.
        let wall_hz = chance.log_between(80.0, 260.0);
        let top_hz = chance.log_between(2800.0, 7000.0);
        let mut device = vec![Biquad::high_pass(wall_hz, 0.7), Biquad::low_pass(top_hz, 0.7)];
        if chance.happens(0.5) {
            let (hz, gain) = (chance.log_between(400.0, 2500.0), chance.between(-6.0, 6.0));
            device.push(Biquad::peak(hz, chance.between(0.5, 1.5), gain));
        }
        if let Some((low_hz, high_hz)) = case.narrow_band_hz {
            for q in [0.54, 1.31] {
                device.push(Biquad::high_pass(low_hz, q));
                device.push(Biquad::low_pass(high_hz, q));
            }
        }
        let mut paths = Self {
            device: FilterChain(device),
            speaker: FilterChain::default(),
            microphone: FilterChain::default(),
            reflections: Vec::new(),
        };
        if case.path == Path::Microphone {
            paths.open_air(&mut chance);
        }
        paths
    }

    fn open_air(&mut self, chance: &mut Chance) {
        let (low_hz, high_hz) = (chance.between(220.0, 420.0), chance.between(2900.0, 5000.0));
        self.speaker.0 = vec![
            Biquad::high_pass(low_hz, 0.8),
            Biquad::low_pass(high_hz, 0.8),
            Biquad::peak(chance.log_between(500.0, 2500.0), 2.0, chance.between(-4.0, 7.0)),
        ];
        self.microphone.0 = vec![
            Biquad::high_pass(chance.between(50.0, 160.0), 0.7),
            Biquad::low_pass(chance.between(5000.0, 7500.0), 0.7),
        ];
        for _ in 0..3 + chance.index(4) {
            let delay = (chance.log_between(0.001, 0.035) * INNER_HZ) as usize;
            let sign = if chance.happens(0.5) { 1.0 } else { -1.0 };
            self.reflections.push((delay, (sign * chance.between(0.05, 0.35)) as f32));
        }
    }

    /// The power gain from flow to recording.
    pub fn power_at(&self, hz: f64) -> f64 {
        let echoes: f64 = self.reflections.iter().map(|r| f64::from(r.1 * r.1)).sum();
        let chains = [&self.device, &self.speaker, &self.microphone];
        chains.iter().map(|c| c.power_at(hz)).product::<f64>() * (1.0 + echoes)
    }
}

/// Everything that sounds by itself, ready made for as long as the case lasts; it repeats after that.
#[derive(Debug, Clone)]
pub struct RoomBackground {
    /// The device's noise, hum and vein, one track a channel.
    pub device: Vec<Vec<f32>>,
    /// The room, the same in every channel.
    pub room: Vec<f32>,
}

/// Levels that a background is made to, as powers between 200 and 4000 Hz.
#[derive(Debug, Clone, Copy)]
pub struct Levels {
    /// Power of the device's own noise.
    pub device: f64,
    /// Power of the noises of the case while they are active.
    pub noise: f64,
    /// Power of the vein's sound.
    pub vein: f64,
}

impl RoomBackground {
    /// Makes `seconds` of it.
    pub fn new(case: &Case, seed: u64, seconds: f64, paths: &Paths, levels: Levels) -> Self {
        let count = (seconds * INNER_HZ) as usize + 1;
        let mut meter = CellMeter::default();
        let channels = if case.stereo { 2 } else { 1 };
        let device = (0..channels)
            .map(|c| device_noise(case, (seed, c), count, (paths, levels), &mut meter))
            .collect();
        let mut room = room_noise(case, seed, count, &mut meter);
        paths.microphone.clone().run(&mut room);
        scale_to(&mut room, levels.noise, &mut meter);
        Self { device, room }
    }
}

/// Scales a track so that its active power is `power`; silence stays silent.
fn scale_to(track: &mut [f32], power: f64, meter: &mut CellMeter) {
    let now = meter.active_power(track);
    let gain = if now > 1e-20 { (power / now).sqrt() as f32 } else { 0.0 };
    track.iter_mut().for_each(|x| *x *= gain);
}

fn add(to: &mut [f32], from: &[f32], gain: f32) {
    to.iter_mut().zip(from).for_each(|(x, y)| *x += gain * y);
}

fn device_noise(
    case: &Case,
    (seed, channel): (u64, u64),
    count: usize,
    (paths, levels): (&Paths, Levels),
    meter: &mut CellMeter,
) -> Vec<f32> {
    let mut chance = Chance::new(seed, 60 + channel);
    let mut track = knocks::hiss(&mut chance, count);
    if let Some(slip) = case.slip {
        knocks::rub(&mut Chance::new(seed, 63), &mut track, slip.at_s, 4.0);
        knocks::rub(&mut Chance::new(seed, 62), &mut track, slip.at_s + slip.for_s, 2.0);
    }
    paths.device.clone().run(&mut track);
    let mut hum_chance = Chance::new(seed, 64);
    if hum_chance.happens(0.3) {
        let hum = voices::hum(&mut hum_chance, count);
        let before = meter.active_power(&track).sqrt() as f32;
        add(&mut track, &hum, before * hum_chance.log_between(0.03, 0.5) as f32);
    }
    paths.speaker.clone().run(&mut track);
    scale_to(&mut track, levels.device, meter);
    if case.venous_db.is_some() {
        let mut vein = venous(case, seed, channel, count);
        paths.device.clone().run(&mut vein);
        paths.speaker.clone().run(&mut vein);
        scale_to(&mut vein, levels.vein, meter);
        add(&mut track, &vein, 1.0);
    }
    track
}

/// A vein: low noise that rises and falls with breathing.
fn venous(case: &Case, seed: u64, channel: u64, count: usize) -> Vec<f32> {
    let mut shape = Chance::new(seed, 66);
    let top_hz = shape.log_between(180.0, 600.0);
    let (depth, phase) = (shape.between(0.4, 1.0), shape.uniform());
    let mut track = Chance::new(seed, 67 + channel).white(count);
    Biquad::low_pass(top_hz, 0.7).run(&mut track);
    Biquad::low_pass(top_hz * 1.3, 0.7).run(&mut track);
    let hz = case.breaths_per_min / 60.0;
    for (block, samples) in track.chunks_mut(64).enumerate() {
        let turn = hz * block as f64 * 64.0 / INNER_HZ + phase;
        let breath = 0.5 - 0.5 * libm::cos(std::f64::consts::TAU * turn);
        let gain = (1.0 - depth + depth * breath) as f32;
        samples.iter_mut().for_each(|x| *x *= gain);
    }
    track
}

fn room_noise(case: &Case, seed: u64, count: usize, meter: &mut CellMeter) -> Vec<f32> {
    let mut room = vec![0.0; count];
    let mut chance = Chance::new(seed, 70);
    let mut mix = |mut track: Vec<f32>, chance: &mut Chance| {
        let power = libm::pow(10.0, chance.between(-0.4, 0.4));
        scale_to(&mut track, power, meter);
        add(&mut room, &track, 1.0);
    };
    for (at, kind) in case.noise.iter().enumerate() {
        let mut own = Chance::new(seed, 80 + at as u64);
        mix(made(*kind, &mut own, count), &mut chance);
    }
    for recorded in &case.recorded {
        mix(looped(recorded, count, &mut chance), &mut chance);
    }
    room
}

fn made(kind: Noise, chance: &mut Chance, count: usize) -> Vec<f32> {
    match kind {
        Noise::Hiss => knocks::hiss(chance, count),
        Noise::Hum => voices::hum(chance, count),
        Noise::Ventilation => knocks::ventilation(chance, count),
        Noise::Speech => voices::speech(chance, count),
        Noise::Babble => voices::babble(chance, count),
        Noise::Alarm => voices::alarm(chance, count),
        Noise::Handling => knocks::handling(chance, count),
        Noise::Footsteps => knocks::footsteps(chance, count),
        Noise::Machine => knocks::machine(chance, count),
        Noise::Music => voices::music(chance, count),
    }
}

/// A recorded sound from a drawn place, repeated with a 20 ms cross-fade.
fn looped(recorded: &Recorded, count: usize, chance: &mut Chance) -> Vec<f32> {
    let sound = &recorded.samples;
    let fade = 320.min(sound.len() / 4);
    let period = sound.len() - fade;
    if period == 0 {
        return vec![0.0; count];
    }
    let start = chance.index(period);
    let at = |i: usize| {
        let place = (start + i) % period;
        let now = sound[place];
        if place >= fade || start + i < period {
            return now;
        }
        let part = place as f32 / fade as f32;
        now * part + sound[period + place] * (1.0 - part)
    };
    (0..count).map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_noise_sounds_and_is_finite() {
        use Noise::*;
        for kind in
            [Hiss, Hum, Ventilation, Speech, Babble, Alarm, Handling, Footsteps, Machine, Music]
        {
            for seed in 0..4 {
                let track = made(kind, &mut Chance::new(seed, 0), 160_000);
                assert_eq!(track.len(), 160_000);
                assert!(track.iter().all(|x| x.is_finite()), "{kind:?}");
                let power = CellMeter::default().active_power(&track);
                assert!(power > 1e-9, "{kind:?} {seed} {power}");
            }
        }
    }

    #[test]
    fn noise_comes_at_the_level_asked_for() {
        let case = Case { path: Path::Microphone, noise: vec![Noise::Speech], ..Case::default() };
        let levels = Levels { device: 1e-4, noise: 0.02, vein: 0.0 };
        let paths = Paths::new(&case, 1);
        let background = RoomBackground::new(&case, 1, 20.0, &paths, levels);
        let mut meter = CellMeter::default();
        assert!((meter.active_power(&background.room) / 0.02 - 1.0).abs() < 0.01);
        assert!((meter.active_power(&background.device[0]) / 1e-4 - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_loop_is_as_long_as_asked_and_keeps_the_sound() {
        let sound = Recorded { name: "x".into(), samples: vec![0.5; 4000].into() };
        let track = looped(&sound, 20_000, &mut Chance::new(1, 0));
        assert!(track.iter().all(|x| (*x - 0.5).abs() < 1e-6));
        let empty = Recorded { name: "x".into(), samples: Vec::new().into() };
        assert_eq!(looped(&empty, 10, &mut Chance::new(1, 0)), vec![0.0; 10]);
    }
}
