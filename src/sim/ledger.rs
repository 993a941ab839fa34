//! Keeps account while the sound is made: beats, openings with their expected power, the noise beside them.

use super::block::BlockFlow;
use super::filter::INNER_HZ;
use super::flow::Flow;
use super::observer::{
    CELL_HZ, CELL_S, CELLS, CellMeter, FIRST_CELL, FRAME, NoiseRecord, d_prime_squared,
};
use super::patient::PressurePulse;
use super::sound::{BIN_HZ, BINS, BLOCK, Spectra};
use super::truth::{Opening, PumpWatch, Pumping};

/// Blocks of 4 ms in a cell of 32 ms.
const BLOCKS_PER_CELL: usize = (CELL_S * INNER_HZ) as usize / BLOCK;

/// An opening under way or done, with the pulse's expected power in frames from its onset.
#[derive(Debug, Clone)]
struct Entry {
    opening: Opening,
    loudest: f64,
    /// Blocks accounted for.
    blocks: usize,
    /// One row of `BINS` powers a frame and channel, frame by frame.
    expected: Vec<[f32; BINS]>,
}

/// The account of one examination.
#[derive(Debug, Clone)]
pub struct Ledger {
    channels: usize,
    /// Foot of the beat under way.
    beat: Option<f64>,
    beats: Vec<f64>,
    openings: Vec<Entry>,
    beat_of_opening: Option<f64>,
    was_open: bool,
    sounding: bool,
    pumps: PumpWatch,
    noise: Vec<NoiseRecord>,
    frames: Vec<Vec<f32>>,
    meter: CellMeter,
}

impl Ledger {
    /// For so many channels.
    pub fn new(channels: usize) -> Self {
        Self {
            channels,
            beat: None,
            beats: Vec::new(),
            openings: Vec::new(),
            beat_of_opening: None,
            was_open: true,
            sounding: false,
            pumps: PumpWatch::default(),
            noise: vec![NoiseRecord::default(); channels],
            frames: vec![Vec::with_capacity(FRAME); channels],
            meter: CellMeter::default(),
        }
    }

    /// One step of flow.
    pub fn step(&mut self, now_s: f64, pulse: &PressurePulse, flow: &Flow, cuff_mmhg: f64) {
        let (now_s, cuff_mmhg) = (to_thousandths(now_s), to_thousandths(cuff_mmhg));
        if self.beat != Some(pulse.onset_s) {
            self.beat = Some(pulse.onset_s);
            self.beats.push(to_thousandths(pulse.onset_s));
        }
        self.pumps.step(now_s, cuff_mmhg);
        let new_beat = self.beat_of_opening != Some(pulse.onset_s);
        if flow.open && new_beat {
            self.begin(now_s, pulse, cuff_mmhg);
        }
        self.was_open = flow.open;
        if let Some(entry) = self.openings.last_mut() {
            let loud = flow.amplitude * flow.velocity_cm_s.abs();
            entry.loudest = entry.loudest.max(loud);
            let sounds = loud > 0.1 * entry.loudest && loud > 0.0;
            if self.sounding && sounds {
                entry.opening.end_s = now_s;
            }
            self.sounding &= sounds || flow.open;
        }
    }

    fn begin(&mut self, now_s: f64, pulse: &PressurePulse, cuff_mmhg: f64) {
        self.beat_of_opening = Some(pulse.onset_s);
        self.sounding = true;
        let opening =
            Opening { onset_s: now_s, end_s: now_s, cuff_mmhg, d_prime: 0.0, free: self.was_open };
        self.openings.push(Entry { opening, loudest: 0.0, blocks: 0, expected: Vec::new() });
    }

    /// One block: the flow as it was sung, the share of its power that the device's gate left, and the noise
    /// beside it in each channel.
    pub fn block(
        &mut self,
        flow: &BlockFlow,
        left: f32,
        spectra: &Spectra,
        gains: [f32; 2],
        noise: &[[f32; BLOCK]],
    ) {
        for (channel, track) in noise.iter().enumerate() {
            self.frames[channel].extend(track);
            if self.frames[channel].len() >= FRAME {
                let power = self.meter.measure(&self.frames[channel]);
                self.noise[channel].push(power);
                self.frames[channel].clear();
            }
        }
        if self.sounding {
            self.expect(flow, left, spectra, gains);
        }
    }

    fn expect(&mut self, flow: &BlockFlow, left: f32, spectra: &Spectra, gains: [f32; 2]) {
        let channels = self.channels;
        let Some(entry) = self.openings.last_mut() else { return };
        let mean = |steps: &[f32]| steps.iter().map(|a| a * a).sum::<f32>() / steps.len() as f32;
        let share = left / BLOCKS_PER_CELL as f32;
        let (forward, reverse) = (share * mean(&flow.forward), share * mean(&flow.reverse));
        if entry.blocks.is_multiple_of(BLOCKS_PER_CELL) {
            entry.expected.extend(std::iter::repeat_n([0.0; BINS], channels));
        }
        entry.blocks += 1;
        let start = entry.expected.len() - channels;
        let (own, other) = (gains[0] * gains[0], gains[1] * gains[1]);
        let (ahead, back) = (spectra.at(flow.forward_hz), spectra.at(flow.reverse_hz));
        for (channel, row) in entry.expected[start..].iter_mut().enumerate() {
            let (a, b) = if channel == 0 { (own, other) } else { (other, own) };
            for ((value, x), y) in row.iter_mut().zip(ahead).zip(back) {
                *value += a * forward * x + b * reverse * y;
            }
        }
    }

    /// Ends the account: beats, openings and pumpings.
    pub fn finish(mut self) -> (Vec<f64>, Vec<Opening>, Vec<Pumping>) {
        let noise = std::mem::take(&mut self.noise);
        let channels = self.channels;
        let judged = self.openings.into_iter().map(|mut entry| {
            entry.opening.d_prime = entry.d_prime(&noise, channels);
            entry.opening
        });
        (self.beats, judged.collect(), self.pumps.finish())
    }
}

impl Entry {
    fn d_prime(&self, noise: &[NoiseRecord], channels: usize) -> f64 {
        let mut sum = 0.0;
        for (place, expected) in self.expected.iter().enumerate() {
            let (frame, channel) = (place / channels, place % channels);
            let at_s = self.opening.onset_s + (frame as f64 + 0.5) * CELL_S;
            let local = noise[channel].local(at_s);
            let cells = (0..CELLS).map(|cell| (power_in_cell(expected, cell), local[cell]));
            sum += d_prime_squared(cells);
        }
        to_thousandths(sum.sqrt())
    }
}

/// The truth is kept to a millisecond and a thousandth, so that it reads well and judges as it reads.
fn to_thousandths(x: f64) -> f64 {
    (x * 1000.0).round() / 1000.0
}

/// Power in a cell of 31.25 Hz from bins of 125 Hz, by straight lines between their centres.
fn power_in_cell(bins: &[f32; BINS], cell: usize) -> f64 {
    let place = (FIRST_CELL + cell) as f64 * CELL_HZ / BIN_HZ;
    let (low, part) = (place as usize, place - place.floor());
    let high = (low + 1).min(BINS - 1);
    let between = f64::from(bins[low]) * (1.0 - part) + f64::from(bins[high]) * part;
    between * CELL_HZ / BIN_HZ
}
