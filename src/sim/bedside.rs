//! The stepwise heart of the simulation: tell it the cuff's pressure, get the next 4 ms of sound.
//!
//! The same steps serve a scripted hand and a student's.

use std::f64::consts::TAU;

use super::block::{BLOCK_S, BlockFlow, STEPS};
use super::case::{Case, FlowKind, Never, Slip};
use super::chance::Chance;
use super::device::{Ending, Gate};
use super::filter::Resampler;
use super::flow::{Flow, STEP_S, Vessel};
use super::knocks::HandSounds;
use super::ledger::Ledger;
use super::patient::{Patient, PressurePulse};
use super::room::{Levels, Paths, RoomBackground};
use super::sound::{BLOCK, Spectra, Voice, doppler_shift_hz};
use super::truth::Truth;

/// A patient, a probe, a room and a device, waiting for a cuff.
#[derive(Debug, Clone)]
pub struct Bedside {
    case: Case,
    seed: u64,
    now_block: u64,
    patient: Patient,
    vessel: Vessel,
    probe: Probe,
    voices: [Voice; 2],
    background: RoomBackground,
    hand: HandSounds,
    echoes: Vec<Echoes>,
    gate: Option<Gate>,
    ending: Ending,
    resamplers: Vec<Resampler>,
    ledger: Ledger,
    /// What each resampler has given and the others not yet.
    waiting: Vec<Vec<f32>>,
    out: Vec<f32>,
}

/// How flow becomes sound at this probe.
#[derive(Debug, Clone)]
struct Probe {
    spectra: Spectra,
    hz_per_cm_s: f64,
    slip: Option<Slip>,
    /// The hand at the probe is never still: two slow swings, decibels, turns a second, turns.
    wander: [(f64, f64, f64); 2],
    /// Gains of forward flow in each channel; reverse flow's are the other way round.
    forward: [f32; 2],
    channels: usize,
}

/// Early reflections of one channel.
#[derive(Debug, Clone)]
struct Echoes {
    taps: Vec<(usize, f32)>,
    past: Vec<f32>,
    at: usize,
}

impl Echoes {
    fn run(&mut self, block: &mut [f32; BLOCK]) {
        if self.taps.is_empty() {
            return;
        }
        let length = self.past.len();
        for x in block {
            self.past[self.at] = *x;
            for &(delay, gain) in &self.taps {
                *x += gain * self.past[(self.at + length - delay) % length];
            }
            self.at = (self.at + 1) % length;
        }
    }
}

impl Bedside {
    /// A bedside for this case; `seconds` is how long its background lasts before it repeats.
    pub fn new(case: &Case, seed: u64, seconds: f64) -> Self {
        let case = settled(case);
        let paths = Paths::new(&case, seed);
        let probe = Probe::new(&case, seed, &paths);
        let vessel = Vessel::new(&case, seed);
        let pulse_power = reference_power(&case, &vessel, &probe);
        let under = |db: f64| pulse_power * libm::pow(10.0, -db / 10.0);
        let levels = Levels {
            device: under(case.device_snr_db),
            noise: under(case.snr_db),
            vein: case.venous_db.map_or(0.0, |db| under(-db)),
        };
        let background = RoomBackground::new(&case, seed, seconds, &paths, levels);
        let total = pulse_power + levels.device + levels.noise;
        let level_dbfs = case.clip_db.unwrap_or(case.level_dbfs);
        let ending = Ending::new(case.auto_gain, total, level_dbfs, case.offset);
        let channels = probe.channels;
        let longest = paths.reflections.iter().map(|r| r.0).max().unwrap_or(0) + 1;
        let echoes = Echoes { taps: paths.reflections.clone(), past: vec![0.0; longest], at: 0 };
        Self {
            seed,
            now_block: 0,
            patient: Patient::new(&case, seed),
            vessel,
            probe,
            voices: [2, 3].map(|stream| Voice::new(Chance::new(seed, stream))),
            background,
            hand: HandSounds::new(&case, seed, under(case.hand_snr_db).sqrt()),
            echoes: vec![echoes; channels],
            gate: case.squelch.map(|squelch| Gate::new(squelch, pulse_power)),
            ending,
            resamplers: vec![Resampler::new(case.rate_hz); channels],
            ledger: Ledger::new(channels),
            waiting: vec![Vec::new(); channels],
            out: Vec::new(),
            case,
        }
    }

    /// Seconds of sound made so far.
    pub fn now_s(&self) -> f64 {
        self.now_block as f64 * BLOCK_S
    }

    /// The arterial pressure now, mmHg.
    pub fn artery_mmhg(&mut self) -> f64 {
        let now_s = self.now_s();
        self.patient.at(now_s).0
    }

    /// Samples a second of the result.
    pub fn rate_hz(&self) -> u32 {
        self.case.rate_hz
    }

    /// 1, or 2 with forward flow left and reverse right.
    pub fn channels(&self) -> usize {
        self.probe.channels
    }

    /// Makes the next 4 ms with the cuff at this pressure. Gives the samples that it completes at the
    /// case's rate, interleaved, within -1 to 1; their number varies by one from block to block.
    pub fn step(&mut self, cuff_mmhg: f64) -> &[f32] {
        let flow = self.flow(cuff_mmhg);
        let noise = self.noise(cuff_mmhg);
        let mut sound = self.sing(&flow);
        for (pulse, device) in sound.iter_mut().zip(&noise.device) {
            pulse.iter_mut().zip(device).for_each(|(x, y)| *x += *y);
        }
        // What the gate mutes, nobody hears: the account is of what is left.
        let gains = self.gate.as_mut().map_or([1.0; BLOCK], |gate| gate.run(&mut sound));
        let left = gains.iter().map(|g| g * g).sum::<f32>() / BLOCK as f32;
        let probe = &self.probe;
        self.ledger.block(&flow, left, &probe.spectra, probe.forward, &noise.total(&gains));
        for (channel, echoes) in sound.iter_mut().zip(&mut self.echoes) {
            echoes.run(channel);
            channel.iter_mut().zip(&noise.room).for_each(|(x, y)| *x += *y);
        }
        self.ending.run(&mut sound);
        self.now_block += 1;
        self.give(&sound)
    }

    fn flow(&mut self, cuff_mmhg: f64) -> BlockFlow {
        let start_s = self.now_s();
        let mut flows = [Flow::default(); STEPS];
        for (step, flow) in flows.iter_mut().enumerate() {
            let now_s = start_s + (step as f64 + 1.0) * STEP_S;
            let (artery_mmhg, pulse) = self.patient.at(now_s);
            let pulse: PressurePulse = *pulse;
            *flow = self.vessel.step(now_s, artery_mmhg, &pulse, cuff_mmhg);
            self.ledger.step(now_s, &pulse, flow, cuff_mmhg);
        }
        let gain = self.probe.gain(start_s);
        BlockFlow::new(&flows, gain, self.probe.hz_per_cm_s)
    }

    fn sing(&mut self, flow: &BlockFlow) -> Vec<[f32; BLOCK]> {
        let (mut forward, mut reverse) = ([0.0; BLOCK], [0.0; BLOCK]);
        let [ahead, back] = &mut self.voices;
        ahead.sing(self.probe.spectra.at(flow.forward_hz), &flow.forward, &mut forward);
        back.sing(self.probe.spectra.at(flow.reverse_hz), &flow.reverse, &mut reverse);
        let [own, other] = self.probe.forward;
        let mix = |a: f32, b: f32| std::array::from_fn(|i| a * forward[i] + b * reverse[i]);
        match self.probe.channels {
            1 => vec![mix(1.0, 1.0)],
            _ => vec![mix(own, other), mix(other, own)],
        }
    }

    fn noise(&mut self, cuff_mmhg: f64) -> BlockNoise {
        let place = |track: &[f32]| {
            let blocks = (track.len() / BLOCK).max(1);
            (self.now_block as usize % blocks) * BLOCK
        };
        let take = |track: &Vec<f32>| {
            let from = place(track);
            std::array::from_fn(|i| track.get(from + i).copied().unwrap_or(0.0))
        };
        let device = self.background.device.iter().map(take).collect();
        let mut room = take(&self.background.room);
        self.hand.step(cuff_mmhg, &mut room);
        BlockNoise { device, room }
    }

    fn give(&mut self, sound: &[[f32; BLOCK]]) -> &[f32] {
        self.out.clear();
        for ((channel, resampler), waiting) in
            sound.iter().zip(&mut self.resamplers).zip(&mut self.waiting)
        {
            waiting.clear();
            resampler.push(channel, waiting);
        }
        let frames = self.waiting.iter().map(Vec::len).min().unwrap_or(0);
        for frame in 0..frames {
            self.out.extend(self.waiting.iter().map(|channel| channel[frame]));
        }
        &self.out
    }

    /// Ends the examination and tells what really happened.
    pub fn finish(self) -> Truth {
        let mut truth = Truth::of_case(&self.case, self.seed);
        truth.duration_s = (self.now_s() * 1000.0).round() / 1000.0;
        let (beats, openings, pumpings) = self.ledger.finish();
        truth.complete(beats, openings, &pumpings);
        truth
    }
}

/// The noise of one block.
struct BlockNoise {
    device: Vec<[f32; BLOCK]>,
    room: [f32; BLOCK],
}

impl BlockNoise {
    /// What is beside the pulse, the device's own behind its gate.
    fn total(&self, gains: &[f32; BLOCK]) -> Vec<[f32; BLOCK]> {
        let sum = |d: &[f32; BLOCK]| std::array::from_fn(|i| gains[i] * d[i] + self.room[i]);
        self.device.iter().map(sum).collect()
    }
}

impl Probe {
    fn new(case: &Case, seed: u64, paths: &Paths) -> Self {
        let mut chance = Chance::new(seed, 55);
        let broadening = chance.between(0.10, 0.15);
        let crosstalk = libm::pow(10.0, -chance.between(12.0, 30.0) / 20.0) as f32;
        let channels = if case.stereo { 2 } else { 1 };
        let core = if chance.happens(0.3) { chance.between(0.1, 0.55) } else { 0.0 };
        let most_db = chance.between(0.0, 2.5);
        let mut swing = |hz: f64| (most_db * chance.uniform(), hz, chance.uniform());
        let wander = [swing(case.breaths_per_min / 60.0), swing(0.07)];
        Self {
            spectra: Spectra::new(case.profile, broadening, core, |hz| paths.power_at(hz)),
            hz_per_cm_s: doppler_shift_hz(case.probe_mhz, 1.0, case.angle_deg),
            slip: case.slip,
            wander,
            forward: if channels == 1 { [1.0, 1.0] } else { [1.0, crosstalk] },
            channels,
        }
    }

    /// The share of the echo's amplitude that the probe gets; a slip comes and goes in 60 ms.
    fn gain(&self, now_s: f64) -> f64 {
        let swing = |&(db, hz, turn): &(f64, f64, f64)| db * libm::sin(TAU * (hz * now_s + turn));
        let mut db: f64 = self.wander.iter().map(swing).sum();
        if let Some(slip) = self.slip {
            let from_edge_s = (now_s - slip.at_s).min(slip.at_s + slip.for_s - now_s);
            db -= slip.loss_db * (from_edge_s / 0.06).clamp(0.0, 1.0);
        }
        libm::pow(10.0, db / 20.0)
    }
}

/// The case with what `never` asks for worked in.
fn settled(case: &Case) -> Case {
    let mut case = case.clone();
    if case.never == Some(Never::NoArtery) {
        case.artery = FlowKind::Absent;
    }
    case
}

/// Power between 200 and 4000 Hz of the free pulse in its loudest 100 ms.
fn reference_power(case: &Case, vessel: &Vessel, probe: &Probe) -> f64 {
    let interval_s = 60.0 / case.heart_rate_bpm;
    let at = |ms: usize| {
        let (velocity, amplitude) = vessel.free(ms as f64 / 1000.0, interval_s);
        amplitude * amplitude * probe.spectra.band(velocity * probe.hz_per_cm_s, 200.0, 4000.0)
    };
    let powers: Vec<f64> = (0..600).step_by(4).map(at).collect();
    powers.windows(25).map(|w| w.iter().sum::<f64>() / 25.0).fold(1e-12, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::case::{Noise, Path};
    use crate::sim::observer::{CellMeter, FRAME};

    /// The free pulse's power between 200 and 4000 Hz, frame by frame, averaged over many beats and seeds and
    /// taken over its loudest three frames (96 ms), is the reference that levels are set by.
    #[test]
    fn the_reference_is_the_power_of_the_loudest_hundred_milliseconds() {
        for path in [Path::Line, Path::Microphone] {
            let mut off_db = 0.0;
            for seed in 0..12 {
                let case = Case { path, noise: vec![], device_snr_db: 90.0, ..Case::default() };
                let mut bedside = Bedside::new(&case, seed, 1.0);
                let reference = reference_power(&bedside.case, &bedside.vessel, &bedside.probe);
                let measured = loudest_of_beats(&mut bedside);
                off_db += 10.0 * libm::log10(measured / reference) / 12.0;
            }
            assert!(off_db.abs() < 1.0, "{path:?} {off_db}");
        }
    }

    /// Sums frames over 40 beats by their place in the beat; gives the loudest three in a row, per frame.
    fn loudest_of_beats(bedside: &mut Bedside) -> f64 {
        let mut meter = CellMeter::default();
        let (mut sums, mut counts) = ([0.0; 24], [0.0_f64; 24]);
        while bedside.now_s() < 35.0 {
            let onset_s = bedside.patient.at(bedside.now_s()).1.onset_s;
            let place = ((bedside.now_s() - onset_s) / 0.032) as usize;
            let mut frame = Vec::with_capacity(FRAME);
            for _ in 0..FRAME / BLOCK {
                let flow = bedside.flow(0.0);
                let mut block = bedside.sing(&flow)[0];
                bedside.echoes[0].run(&mut block);
                frame.extend(block);
                bedside.now_block += 1;
            }
            if place < 24 {
                sums[place] += f64::from(meter.measure(&frame).iter().sum::<f32>());
                counts[place] += 1.0;
            }
        }
        let means: Vec<f64> = sums.iter().zip(counts).map(|(s, c)| s / c.max(1.0)).collect();
        means.windows(3).map(|w| w.iter().sum::<f64>() / 3.0).fold(0.0, f64::max)
    }

    #[test]
    fn an_open_cuff_gives_one_free_opening_a_beat_and_a_closed_one_none() {
        let case = Case { noise: vec![Noise::Hiss], ..Case::default() };
        let run = |cuff_mmhg: f64| {
            let mut bedside = Bedside::new(&case, 3, 5.0);
            while bedside.now_s() < 20.0 {
                bedside.step(cuff_mmhg);
            }
            bedside.finish()
        };
        let open = run(0.0);
        assert_eq!(open.beats.len(), open.openings.len());
        assert!(open.openings.iter().all(|o| o.free && o.d_prime > 8.0));
        assert!(run(180.0).openings.is_empty());
    }
}
