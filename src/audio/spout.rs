//! What the output's callback does, without a device: from the input's ring to samples at the output's rate.
//!
//! Input and output have two clocks; a resampler whose ratio follows the fill of the ring between them keeps them
//! together. The red zone, like the input's callback: everything is allocated in [`Spout::new`].

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};

use cpal::{Data, FromSample, I24, SampleFormat, SizedSample, U24};
use ringbuf::HeapCons;
use ringbuf::traits::{Consumer, Observer};
use rubato::audioadapter_buffers::direct::InterleavedSlice;
use rubato::{Adjustable, Async, FixedAsync, PolynomialDegree, Resampler};

use super::device::DeviceFault;
use super::tone::Tone;
use crate::units::{SampleCount, SampleRate};

/// Frames that the resampler gives at a time: 1 ms at 48 kHz.
const CHUNK: usize = 48;
/// Milliseconds of the input that are kept waiting.
pub(super) const AHEAD_MS: u64 = 14;
/// The most that the two clocks, or the catching up, may differ: 0.5 %, far below what an ear calls a
/// change of pitch.
const STRETCH: f64 = 0.005;
/// Share of the off-fill that is added to the lasting bend in each callback, and the most that it may be: two
/// clocks that differ by a thousandth are broken.
const LEARN: f64 = 6e-7;
const LASTING: f64 = 0.001;
/// After a hole more is kept waiting, up to this many times the first plan.
const WAIT_MORE: f64 = 1.15;
const WAIT_MOST: f64 = 3.0;
/// While more than half as much again waits as planned, this much faster: 2 %, a third of a semitone for a second or so,
/// rather than a delay that lasts.
const CATCH_UP: f64 = 0.02;
/// A turned gain is followed by this share of the rest with each sample: some 10 ms, so that nothing cracks.
const FOLLOW: f32 = 0.005;

/// Something that changes the sound on its way, in place, without allocating.
pub trait Shape: Send {
    /// Changes mono samples at the input's rate, in pieces of any size.
    fn run(&mut self, mono: &mut [f32]);
    /// The delay that it adds.
    fn delay(&self) -> SampleCount;
}

/// How loud what is passed through is, 0 to 100; whoever holds a copy turns it while it plays.
#[derive(Debug, Clone)]
pub struct Gain(Arc<AtomicU32>);

impl Gain {
    /// At so many per cent.
    pub fn new(percent: u32) -> Self {
        Self(Arc::new(AtomicU32::new(percent.min(100))))
    }

    /// Turns it.
    pub fn set(&self, percent: u32) {
        self.0.store(percent.min(100), Ordering::Relaxed);
    }

    /// The factor of the samples: the square, so that equal steps sound about equal (own choice).
    fn factor(&self) -> f32 {
        let share = self.0.load(Ordering::Relaxed) as f32 / 100.0;
        share * share
    }
}

impl Default for Gain {
    fn default() -> Self {
        Self::new(100)
    }
}

/// What the output's callback does, without a device.
pub struct Spout {
    from: HeapCons<f32>,
    channels: usize,
    tone: Tone,
    shape: Option<Box<dyn Shape>>,
    gain: Gain,
    /// The factor as it is now: it follows the gain without a step.
    factor: f32,
    resampler: Async<f32>,
    frame: Vec<f32>,
    chunk_in: Vec<f32>,
    chunk: [f32; CHUNK],
    given: usize,
    /// Frames that should wait in the ring when the callback begins.
    target: f64,
    planned: f64,
    fill: f64,
    /// The bend that the two clocks turned out to need.
    lasting: f64,
    /// Half a piece of the input: the fill swings by it.
    swing: usize,
    flowing: bool,
    /// Frames of the output since sound last flowed, and how many make a silence after which it begins softly.
    silent: usize,
    long: usize,
    figures: Arc<Figures>,
}

/// What the callback counts.
#[derive(Debug, Default)]
pub struct Figures {
    lost: AtomicBool,
    holes: AtomicU32,
    skipped: AtomicU64,
    waiting: AtomicU32,
}

impl Figures {
    /// Times that there was nothing to play.
    pub fn holes(&self) -> u32 {
        self.holes.load(Ordering::Relaxed)
    }

    /// Frames left out to catch up.
    pub fn skipped(&self) -> SampleCount {
        SampleCount(self.skipped.load(Ordering::Relaxed))
    }

    /// Frames of the input that wait to be played, on the average of the last second or so.
    pub fn waiting(&self) -> SampleCount {
        SampleCount(u64::from(self.waiting.load(Ordering::Relaxed)))
    }

    pub(super) fn set_lost(&self) {
        self.lost.store(true, Ordering::Relaxed);
    }

    /// Whether the output has gone.
    pub fn lost(&self) -> bool {
        self.lost.load(Ordering::Relaxed)
    }
}

impl Spout {
    /// Joins an input's ring to an output rate. Everything is allocated here. `ahead` is how many input
    /// frames should wait in the ring.
    ///
    /// # Errors
    /// The two rates cannot be joined.
    pub fn new(
        from: HeapCons<f32>,
        input: (SampleRate, usize),
        output: SampleRate,
        ahead: SampleCount,
        shape: Option<Box<dyn Shape>>,
    ) -> Result<Self, DeviceFault> {
        let ratio = f64::from(output.hz()) / f64::from(input.0.hz());
        // Septic interpolation after a band limit at 4.5 kHz: at 44.1 kHz and more its images lie far below
        // the noise of any room.
        let (degree, fixed) = (PolynomialDegree::Septic, FixedAsync::Output);
        let resampler = Async::new_poly(ratio, 1.0 + 2.0 * CATCH_UP, degree, CHUNK, 1, fixed)
            .map_err(|e| DeviceFault::Format(e.to_string()))?;
        Ok(Self {
            from,
            channels: input.1.max(1),
            tone: Tone::new(input.0),
            shape,
            gain: Gain::default(),
            factor: 1.0,
            frame: vec![0.0; input.1.max(1)],
            chunk_in: vec![0.0; resampler.input_frames_max()],
            resampler,
            chunk: [0.0; CHUNK],
            given: CHUNK,
            target: ahead.0 as f64,
            planned: ahead.0 as f64,
            fill: ahead.0 as f64,
            lasting: 0.0,
            swing: input.0.hz() as usize / 200,
            flowing: false,
            silent: output.hz() as usize,
            long: output.hz() as usize / 2,
            figures: Arc::default(),
        })
    }

    /// As loud as this gain says, from the first sample on.
    pub fn at_gain(self, gain: Gain) -> Self {
        Self { factor: gain.factor(), gain, ..self }
    }

    /// What it counts.
    pub fn figures(&self) -> Arc<Figures> {
        self.figures.clone()
    }

    /// Fills the output's buffer, whatever its format.
    pub(super) fn fill_data(&mut self, data: &mut Data, channels: usize) {
        macro_rules! fill {
            ($t:ty) => {
                if let Some(samples) = data.as_slice_mut::<$t>() {
                    self.fill(samples, channels);
                }
            };
        }
        match data.sample_format() {
            SampleFormat::I8 => fill!(i8),
            SampleFormat::I16 => fill!(i16),
            SampleFormat::I24 => fill!(I24),
            SampleFormat::I32 => fill!(i32),
            SampleFormat::I64 => fill!(i64),
            SampleFormat::U8 => fill!(u8),
            SampleFormat::U16 => fill!(u16),
            SampleFormat::U24 => fill!(U24),
            SampleFormat::U32 => fill!(u32),
            SampleFormat::U64 => fill!(u64),
            SampleFormat::F32 => fill!(f32),
            SampleFormat::F64 => fill!(f64),
            _ => {}
        }
    }

    /// Fills interleaved samples of `channels` channels, the same sound in each.
    pub fn fill<T: SizedSample + FromSample<f32>>(&mut self, out: &mut [T], channels: usize) {
        self.follow_clock();
        for frame in out.chunks_mut(channels.max(1)) {
            frame.fill(T::from_sample(self.next_sample()));
        }
    }

    /// As [`Spout::fill`], for 32-bit floats as bytes, least first.
    pub fn fill_floats(&mut self, bytes: &mut [u8], channels: usize) {
        self.follow_clock();
        for frame in bytes.chunks_mut(4 * channels.max(1)) {
            let sample = self.next_sample().to_le_bytes();
            frame.as_chunks_mut::<4>().0.fill(sample);
        }
    }

    fn next_sample(&mut self) -> f32 {
        if self.given >= CHUNK {
            self.next_chunk();
        }
        self.given += 1;
        self.chunk.get(self.given - 1).copied().unwrap_or(0.0)
    }

    /// Bends the ratio so that the ring's fill stays where it should.
    fn follow_clock(&mut self) {
        let waiting = (self.from.occupied_len() / self.channels) as f64;
        if self.flowing && waiting > 4.0 * self.target {
            let excess = (waiting - self.target) as usize;
            self.from.skip(excess * self.channels);
            self.figures.skipped.fetch_add(excess as u64, Ordering::Relaxed);
            self.fill = self.target;
        }
        self.fill += (waiting - self.fill) * 0.01;
        let off = (self.fill - self.target) / self.target.max(1.0);
        if self.flowing && off.abs() < 0.5 {
            self.lasting = (self.lasting + off * LEARN).clamp(-LASTING, LASTING);
        }
        let bend = match off > 0.5 {
            true => CATCH_UP,
            false => (off * 0.5 * STRETCH + self.lasting).clamp(-STRETCH, STRETCH),
        };
        // The bounds lie within those that the resampler was made for, so this cannot fail.
        let _ = self.resampler.set_resample_ratio_relative(1.0 - bend, true);
        self.figures.waiting.store(self.fill.max(0.0) as u32, Ordering::Relaxed);
    }

    fn next_chunk(&mut self) {
        self.given = 0;
        let waiting = self.from.occupied_len() / self.channels;
        if !self.flowing && waiting as f64 >= self.target {
            // What waits beyond the plan would only be delay; nothing sounds yet, so it can go.
            let excess = waiting.saturating_sub(self.target as usize + self.swing);
            self.from.skip(excess * self.channels);
            self.fill = self.target;
            self.flowing = true;
            self.tone.restart(self.silent >= self.long);
            self.silent = 0;
            // It remembers the sound before the silence, and would crack with it.
            self.resampler.reset();
        }
        let need = self.resampler.input_frames_next();
        if !self.flowing || waiting < need {
            if self.flowing {
                self.figures.holes.fetch_add(1, Ordering::Relaxed);
                self.target = (self.target * WAIT_MORE).min(self.planned * WAIT_MOST);
            }
            self.flowing = false;
            self.silent = self.silent.saturating_add(CHUNK);
            self.chunk = [0.0; CHUNK];
            return;
        }
        let Some(mono) = self.chunk_in.get_mut(..need) else { return };
        for sample in mono.iter_mut() {
            self.from.pop_slice(&mut self.frame);
            let sum: f32 = self.frame.iter().sum();
            *sample = self.tone.shape(sum / self.channels as f32);
        }
        if let Some(shape) = &mut self.shape {
            shape.run(mono);
        }
        let wanted = self.gain.factor();
        for sample in mono.iter_mut() {
            self.factor += (wanted - self.factor) * FOLLOW;
            *sample = self.tone.hold(*sample * self.factor);
        }
        let input = InterleavedSlice::new(&*mono, 1, need);
        let output = InterleavedSlice::new_mut(&mut self.chunk, 1, CHUNK);
        if let (Ok(input), Ok(mut output)) = (input, output) {
            let _ = self.resampler.process_into_buffer(&input, &mut output, None);
        }
        // Interpolation can overshoot between two samples at the ceiling.
        for sample in &mut self.chunk {
            *sample = sample.clamp(-super::tone::CEILING, super::tone::CEILING);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::callback;

    /// Plays `seconds` of a 1 kHz tone from an input whose clock is off by `ppm` to an output.
    fn play(input_hz: u32, output_hz: u32, ppm: f64, seconds: usize) -> (Vec<f32>, Arc<Figures>) {
        let rate = SampleRate::new(input_hz).unwrap();
        let (mut ear, readers) = callback::open(rate, 2, true);
        let ahead = SampleCount(u64::from(input_hz) * AHEAD_MS / 1_000);
        let out_rate = SampleRate::new(output_hz).unwrap();
        let from = readers.through.unwrap();
        let mut spout = Spout::new(from, (rate, 2), out_rate, ahead, None).unwrap();
        let step = std::f64::consts::TAU * 1_000.0 / f64::from(input_hz);
        let (mut all, mut fed, mut due) = (Vec::new(), 0u64, 0.0);
        let block = output_hz as usize / 200;
        for _ in 0..seconds * 200 {
            due += f64::from(input_hz) / 200.0 * (1.0 + ppm * 1e-6);
            // The input comes in buffers of 10 ms.
            while fed as f64 + f64::from(input_hz) / 100.0 <= due {
                let count = u64::from(input_hz) / 100;
                let frames = (fed..fed + count).map(|n| (0.1 * (n as f64 * step).sin()) as f32);
                let stereo: Vec<f32> = frames.flat_map(|x| [x, x]).collect();
                ear.take(&stereo, 0, 0);
                fed += count;
            }
            let mut out = vec![0.0f32; block];
            spout.fill(&mut out, 1);
            all.extend_from_slice(&out);
        }
        (all, spout.figures())
    }

    #[test]
    fn what_piled_up_is_caught_up_with_in_three_seconds() {
        let rate = SampleRate::new(48_000).unwrap();
        let (mut ear, readers) = callback::open(rate, 1, true);
        let ahead = SampleCount(48 * AHEAD_MS);
        let from = readers.through.unwrap();
        let mut spout = Spout::new(from, (rate, 1), rate, ahead, None).unwrap();
        let figures = spout.figures();
        let mut out = [0.0f32; 480];
        for n in 0..500 {
            ear.take(&[0.1f32; 480], 0, 0);
            if n == 200 {
                // Thirty milliseconds at once, as after a stall of the server.
                ear.take(&[0.1f32; 1_440], 0, 0);
            }
            spout.fill(&mut out, 1);
        }
        let late = figures.waiting().0 as f64 - ahead.0 as f64;
        assert!(late.abs() < 0.5 * ahead.0 as f64, "{late} frames too many wait");
        assert_eq!(figures.skipped(), SampleCount(0));
    }

    #[test]
    fn a_short_hole_takes_no_pulse_with_it_and_a_long_silence_ends_softly() {
        let rate = SampleRate::new(48_000).unwrap();
        let (mut ear, readers) = callback::open(rate, 1, true);
        let ahead = SampleCount(48 * AHEAD_MS);
        let mut spout = Spout::new(readers.through.unwrap(), (rate, 1), rate, ahead, None).unwrap();
        let tone = |n: usize| (0.1 * (n as f64 * std::f64::consts::TAU / 48.0).sin()) as f32;
        let sound: Vec<f32> = (0..480).map(tone).collect();
        let mut loudest = Vec::new();
        for n in 0..1_000 {
            // Nothing comes for 30 ms, and later for 2 s.
            if !(300..303).contains(&n) && !(600..800).contains(&n) {
                ear.take(&sound, 0, 0);
            }
            let mut out = [0.0f32; 480];
            spout.fill(&mut out, 1);
            loudest.push(out.iter().fold(0.0f32, |a, x| a.max(x.abs())));
        }
        let back = |from: usize, level: f32| (from..1_000).find(|&n| loudest[n] > level).unwrap();
        // Each number is 10 ms: a soft start takes a quarter of a second to a quarter of the level.
        assert!((20..40).contains(&back(0, 0.025)), "{}", back(0, 0.025));
        let hole = (300..320).find(|&n| loudest[n] == 0.0).unwrap();
        assert!(back(hole, 0.08) < hole + 8, "{hole}: {:?}", &loudest[hole..hole + 20]);
        assert!(back(800, 0.025) > 815, "{}", back(800, 0.025));
    }

    #[test]
    fn the_gain_is_turned_while_it_plays_without_a_crack() {
        let rate = SampleRate::new(48_000).unwrap();
        let (mut ear, readers) = callback::open(rate, 1, true);
        let (from, gain) = (readers.through.unwrap(), Gain::new(100));
        let ahead = SampleCount(48 * AHEAD_MS);
        let spout = Spout::new(from, (rate, 1), rate, ahead, None).unwrap();
        let mut spout = spout.at_gain(gain.clone());
        let tone = |n: usize| (0.1 * (n as f64 * std::f64::consts::TAU / 48.0).sin()) as f32;
        let sound: Vec<f32> = (0..480).map(tone).collect();
        let mut all = Vec::new();
        for n in 0..400 {
            gain.set(if n < 200 { 100 } else { 50 });
            ear.take(&sound, 0, 0);
            let mut out = [0.0f32; 480];
            spout.fill(&mut out, 1);
            all.extend_from_slice(&out);
        }
        let peak = |piece: &[f32]| piece.iter().fold(0.0f32, |a, x| a.max(x.abs()));
        let (before, after) = (peak(&all[72_000..96_000]), peak(&all[144_000..]));
        assert!((after / before - 0.25).abs() < 0.01, "{before}, {after}");
        let step = all.windows(2).skip(72_000).map(|w| (w[1] - w[0]).abs()).fold(0.0, f32::max);
        assert!(step < 0.0135, "a crack of {step}: the tone's own steepest step is 0.0131");
    }

    #[test]
    fn two_clocks_are_kept_together_without_holes() {
        for (input_hz, output_hz) in [(48_000, 48_000), (44_100, 48_000), (48_000, 44_100)] {
            for ppm in [-300.0, 0.0, 300.0] {
                let (sound, figures) = play(input_hz, output_hz, ppm, 60);
                assert_eq!((figures.holes(), figures.skipped().0), (0, 0), "{input_hz} {ppm}");
                let late = &sound[sound.len() / 2..];
                let rms = (late.iter().map(|x| x * x).sum::<f32>() / late.len() as f32).sqrt();
                assert!((rms - 0.0707).abs() < 0.002, "{input_hz} {output_hz} {ppm}: {rms}");
            }
        }
    }
}
