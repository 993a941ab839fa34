//! Where the sound comes from: what a source must be able to do, and the sources that need no device.

#[cfg(feature = "bedside")]
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::told::{Fault, LiveEvent};
use crate::audio::callback::{BlockReader, FrameBlock};
#[cfg(feature = "bedside")]
use crate::audio::sound::SoundFile;
use crate::sim::{Bedside, Case, Script};
use crate::units::{Instant, SampleIndex, SampleRate};

/// A stream that was opened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenStream {
    /// Samples a second.
    pub rate: SampleRate,
    /// Interleaved channels.
    pub channels: usize,
    /// The instant at which the stream's clock showed 0.
    pub origin: Instant,
}

/// How opening goes.
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningStage {
    /// Not yet known; ask again.
    Pending,
    /// Open.
    Ready(OpenStream),
    /// No stream.
    Failed(Fault),
}

/// What came.
#[derive(Debug, Clone, PartialEq)]
pub enum Pull {
    /// Frames.
    Block(FrameBlock),
    /// Nothing for now.
    Nothing,
    /// The end; nothing will follow.
    Over,
    /// The stream is gone.
    Lost(Fault),
}

/// A source of sound. No method waits.
pub trait Supply: Send {
    /// Begins to open a stream, or tells how that goes.
    fn open(&mut self, now: Instant) -> OpeningStage;
    /// Puts the next interleaved samples into `samples`, replacing what is there.
    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull;
    /// Closes the stream, if one is open.
    fn close(&mut self);
    /// A second reader of the same samples, once a stream, where there can be one.
    fn take_recorder(&mut self) -> Option<BlockReader> {
        None
    }
    /// Anything else to tell.
    fn told(&mut self) -> Option<LiveEvent> {
        None
    }
    /// How often the system has said of this stream that it lost sound, without saying how much.
    fn hiccups(&self) -> u32 {
        0
    }
    /// Whether to ask again after a fault.
    fn comes_back(&self) -> bool {
        false
    }
}

/// How fast a recording or a simulation goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// As the sound was.
    RealTime,
    /// As fast as it can be heard.
    Fast,
}

/// Frames given and the time they take.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pacer {
    pub pace: Pace,
    pub rate: SampleRate,
    pub origin: Instant,
    pub given: u64,
}

impl Pacer {
    /// Whether the next `frames` may come now.
    pub fn due(&self, now: Instant, frames: usize) -> bool {
        let after = SampleIndex(self.given + frames as u64).seconds(self.rate);
        self.pace == Pace::Fast || now.saturating_duration_since(self.origin).as_secs_f64() >= after
    }

    /// The stamps of the next frames, as an ideal device would give them.
    pub fn block(&mut self, frames: usize) -> FrameBlock {
        let ns = |frame: u64| (SampleIndex(frame).seconds(self.rate) * 1e9) as u64;
        let (start, end) = (self.given, self.given + frames as u64);
        self.given = end;
        FrameBlock {
            start: SampleIndex(start),
            frames: frames as u32,
            arrived_ns: ns(end),
            captured_ns: ns(start),
        }
    }
}

/// Sound from a WAV file.
#[cfg(feature = "bedside")]
pub struct WavSupply {
    path: PathBuf,
    pace: Pace,
    open: Option<(SoundFile, Pacer)>,
    block: Vec<f32>,
    given: usize,
}

#[cfg(feature = "bedside")]
impl WavSupply {
    /// The sound of this file.
    pub fn new(path: &Path, pace: Pace) -> Self {
        Self { path: path.into(), pace, open: None, block: Vec::new(), given: 0 }
    }
}

#[cfg(feature = "bedside")]
impl Supply for WavSupply {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let wav = match SoundFile::open(&self.path) {
            Ok(wav) => wav,
            Err(fault) => {
                let said = format!("{} {fault}", self.path.display());
                return OpeningStage::Failed(Fault::CannotOpen(said));
            }
        };
        let (rate, channels) = (wav.rate(), wav.channels());
        let pacer = Pacer { pace: self.pace, rate, origin: now, given: 0 };
        self.open = Some((wav, pacer));
        OpeningStage::Ready(OpenStream { rate, channels, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let Some((wav, pacer)) = &mut self.open else { return Pull::Nothing };
        if self.given >= self.block.len() {
            self.given = 0;
            match wav.read_block(&mut self.block) {
                Ok(()) if self.block.is_empty() => return Pull::Over,
                Ok(()) => {}
                Err(fault) => return Pull::Lost(Fault::CannotOpen(fault.to_string())),
            }
        }
        let channels = wav.channels();
        let rest = &self.block[self.given..];
        let piece = (pacer.rate.hz() as usize / 100).clamp(1, rest.len() / channels);
        if !pacer.due(now, piece) {
            return Pull::Nothing;
        }
        samples.clear();
        samples.extend_from_slice(&rest[..piece * channels]);
        self.given += piece * channels;
        Pull::Block(pacer.block(piece))
    }

    fn close(&mut self) {
        self.open = None;
    }
}

/// Sound of a simulated patient, with the case's own scripted hand.
pub struct SimSupply {
    case: Case,
    seed: u64,
    pace: Pace,
    open: Option<(Bedside, Script, Pacer)>,
}

impl SimSupply {
    /// The sound of this case.
    pub fn new(case: Case, seed: u64, pace: Pace) -> Self {
        Self { case, seed, pace, open: None }
    }
}

impl Supply for SimSupply {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let Some(rate) = SampleRate::new(self.case.rate_hz) else {
            return OpeningStage::Failed(Fault::CannotOpen(format!(
                "a rate of {}",
                self.case.rate_hz
            )));
        };
        let script = Script::new(&self.case, self.seed);
        let bedside = Bedside::new(&self.case, self.seed, script.ends_s());
        let channels = bedside.channels();
        let pacer = Pacer { pace: self.pace, rate, origin: now, given: 0 };
        self.open = Some((bedside, script, pacer));
        OpeningStage::Ready(OpenStream { rate, channels, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let Some((bedside, script, pacer)) = &mut self.open else { return Pull::Nothing };
        if bedside.now_s() >= script.ends_s() {
            return Pull::Over;
        }
        let ahead = pacer.origin + Duration::from_secs_f64(bedside.now_s());
        if pacer.pace == Pace::RealTime && now < ahead {
            return Pull::Nothing;
        }
        let cuff_mmhg = script.at(bedside.now_s());
        samples.clear();
        samples.extend_from_slice(bedside.step(cuff_mmhg));
        let frames = samples.len() / bedside.channels();
        Pull::Block(pacer.block(frames))
    }

    fn close(&mut self) {
        self.open = None;
    }
}
