//! A piece of a recording heard again: its picture and what the listener finds in it, and the same piece as a source of
//! sound, at full or half speed, once or over and over.

#[cfg(feature = "bedside")]
use std::path::Path;
use std::path::PathBuf;

use super::snapshot::{COLUMN_S, COLUMNS, Snapshot};
use super::supply::{OpenStream, OpeningStage, Pace, Pacer, Pull, Supply};
#[cfg(feature = "bedside")]
use crate::audio::sound::SoundFile;
use crate::signal::{Finding, Listener, stretched};
#[cfg(feature = "bedside")]
use crate::signal::{MeanBeat, NoMean, free_beats, mean_beat};
use crate::units::{Instant, SampleIndex, SampleRate, Sonogram};

/// Seconds before the mark that are read: the pulse before the cuff closed belongs to what is heard.
#[cfg(feature = "bedside")]
const BEFORE_S: f64 = 60.0;
/// Seconds after it.
#[cfg(feature = "bedside")]
const AFTER_S: f64 = 20.0;
/// Sounds closer than this are one beat, seconds (own choice).
const SAME_BEAT_S: f64 = 0.3;
/// How often a loop goes round before it ends by itself.
const ROUNDS: usize = 200;
/// Samples that the listener is given at a time.
const BLOCK: usize = 4_096;
/// Pieces of this many frames are played at a time, seconds.
const BLOCK_S: f64 = 0.004;

/// One onset a beat, in order: a second sound this soon after the first is the same beat's.
pub fn one_a_beat(mut onsets: Vec<f64>) -> Vec<f64> {
    onsets.sort_by(f64::total_cmp);
    onsets.dedup_by(|next, before| *next - *before < SAME_BEAT_S);
    onsets
}

/// The mean of a piece's free beats: a picture, and what can be read off it.
#[derive(Debug, Clone)]
pub struct PieceBeat {
    /// Beats that it is the mean of.
    pub beats: usize,
    /// False where there is one channel: forward and reverse flow look alike.
    pub signed: bool,
    /// Phases seen; none where unsigned.
    pub phases: Option<usize>,
    /// From a tenth to nine tenths of the way from foot to peak, seconds.
    pub upstroke_s: Option<f64>,
    /// Pulsatility.
    pub pulsatility: Option<f64>,
    /// The averaged sonogram.
    pub picture: Sonogram,
}

/// Why there is no mean beat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoBeat {
    /// So few whole beats.
    TooFew(usize),
    /// Only silence.
    Silent,
}

#[cfg(feature = "bedside")]
impl PieceBeat {
    fn of(mean: Result<MeanBeat, NoMean>) -> Result<Self, NoBeat> {
        let m = mean.map_err(|why| match why {
            NoMean::TooFew(beats) => NoBeat::TooFew(beats),
            NoMean::Silent => NoBeat::Silent,
        })?;
        let MeanBeat { beats, signed, picture, phases, upstroke_s, pulsatility, .. } = m;
        Ok(Self { beats, signed, phases, upstroke_s, pulsatility, picture })
    }
}

/// Why there is no piece of a recording to hear again.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}: {why}", file.display())]
pub struct NoPiece {
    /// The recording.
    pub file: PathBuf,
    /// What is wrong with it.
    pub why: String,
}

/// A piece of a recording. All times are seconds of the whole recording.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Where it begins.
    pub from_s: f64,
    /// Where it ends.
    pub to_s: f64,
    /// Beats: when, and how strong in decibels.
    pub beats: Vec<(f64, f64)>,
    /// When the pulse was lost.
    pub lost_s: Option<f64>,
    /// When it came back, in second hearing.
    pub return_s: Option<f64>,
    /// Its mean beat, or why there is none.
    pub mean: Result<PieceBeat, NoBeat>,
    columns: Vec<[u8; crate::signal::ROWS]>,
    mono: Vec<f32>,
    rate: SampleRate,
}

impl Piece {
    /// Reads the piece of a recording around `mark_s`.
    ///
    /// # Errors
    /// The file cannot be read as sound, or ends before the mark.
    #[cfg(feature = "bedside")]
    pub fn read(file: &Path, mark_s: f64) -> Result<Self, NoPiece> {
        let named =
            |e: &dyn std::fmt::Display| NoPiece { file: file.to_owned(), why: e.to_string() };
        let mut wav = SoundFile::open(file).map_err(|e| named(&e))?;
        let (rate, channels) = (wav.rate(), wav.channels().max(1));
        let frame = |seconds: f64| (seconds.max(0.0) * f64::from(rate.hz())) as u64;
        let (from, to) = (frame(mark_s - BEFORE_S), frame(mark_s + AFTER_S));
        let (mut sound, mut block, mut at) = (Vec::new(), Vec::new(), 0_u64);
        while at < to {
            wav.read_block(&mut block).map_err(|e| named(&e))?;
            if block.is_empty() {
                break;
            }
            for frame in block.chunks_exact(channels) {
                if (from..to).contains(&at) {
                    sound.extend_from_slice(frame);
                }
                at += 1;
            }
        }
        if at <= frame(mark_s) {
            return Err(named(&"it ends before the mark"));
        }
        let mono = sound.chunks_exact(channels).map(|f| f.iter().sum::<f32>() / channels as f32);
        let mut piece = Self::heard(mono.collect(), rate, SampleIndex(from).seconds(rate));
        piece.mean = piece.mean_of(&sound, channels);
        Ok(piece)
    }

    #[cfg(feature = "bedside")]
    fn mean_of(&self, interleaved: &[f32], channels: usize) -> Result<PieceBeat, NoBeat> {
        let free = free_beats(&self.beats, self.lost_s);
        let onsets: Vec<f64> = free.iter().map(|s| s - self.from_s).collect();
        PieceBeat::of(mean_beat(interleaved, (self.rate, channels), &onsets))
    }

    /// The piece that these samples are, heard from its beginning.
    pub fn heard(mono: Vec<f32>, rate: SampleRate, from_s: f64) -> Self {
        let mut making = PieceInMaking::of(mono, rate, from_s);
        while making.share() < 1.0 {
            making.go_on(f64::INFINITY);
        }
        making.done()
    }

    fn empty(mono: &[f32], rate: SampleRate, from_s: f64) -> Self {
        Self {
            from_s,
            to_s: from_s + mono.len() as f64 / f64::from(rate.hz()),
            beats: Vec::new(),
            lost_s: None,
            return_s: None,
            mean: Err(NoBeat::TooFew(0)),
            columns: Vec::new(),
            mono: Vec::new(),
            rate,
        }
    }

    fn take(&mut self, listener: &mut Listener) {
        let seconds = |at: SampleIndex| self.from_s + at.seconds(self.rate);
        while let Some(finding) = listener.poll() {
            match finding {
                Finding::Pulse(p) => {
                    self.beats.push((seconds(p.onset), f64::from(p.strength_db)));
                }
                Finding::Lost { at } => self.lost_s = Some(seconds(at)),
                Finding::Return(back) => self.return_s = Some(seconds(back.onset)),
                Finding::Cue(_) | Finding::Quality(_) => {}
            }
        }
        self.columns.extend(std::iter::from_fn(|| listener.poll_column()));
    }

    /// The picture of the 12 s that end at `end_s`.
    pub fn picture(&self, end_s: f64) -> Snapshot {
        let last =
            (((end_s - self.from_s) / COLUMN_S).round().max(0.0) as usize).min(self.columns.len());
        let first = last.saturating_sub(COLUMNS);
        let mut snapshot = Snapshot::new();
        snapshot.sound_s = self.from_s + last as f64 * COLUMN_S;
        snapshot.columns.extend(&self.columns[first..last]);
        // Another piece of the sound is another picture.
        snapshot.columns_made = last as u64 + 1;
        snapshot
    }

    /// When each beat began, in order.
    pub fn onsets(&self) -> Vec<f64> {
        one_a_beat(self.beats.iter().map(|b| b.0).collect())
    }

    /// The beat before an instant, or the one after it.
    pub fn beat_beside(&self, at_s: f64, after: bool) -> Option<f64> {
        let onsets = self.onsets();
        match after {
            true => onsets.into_iter().find(|s| *s > at_s + 0.02),
            false => onsets.into_iter().rfind(|s| *s < at_s - 0.02),
        }
    }

    /// The sound from one instant to another, `times` as long at the same pitch; over and over where it is looped.
    pub fn clip(&self, (from_s, to_s): (f64, f64), times: f64, looped: bool) -> Clip {
        let frame = |at_s: f64| {
            let frame = ((at_s - self.from_s).max(0.0) * f64::from(self.rate.hz())) as usize;
            frame.min(self.mono.len())
        };
        let (from, to) = (frame(from_s), frame(to_s));
        let piece = &self.mono[from..to.max(from)];
        let samples =
            if times == 1.0 { piece.to_vec() } else { stretched(piece, self.rate, times) };
        Clip {
            samples,
            at: 0,
            rounds: if looped { ROUNDS } else { 1 },
            rate: self.rate,
            pacer: None,
        }
    }
}

/// A piece that is being heard, part by part, so that a window goes on meanwhile.
pub struct PieceInMaking {
    piece: Piece,
    mono: Vec<f32>,
    at: usize,
    listener: Listener,
}

impl PieceInMaking {
    /// These samples, of which nothing was heard yet.
    pub fn of(mono: Vec<f32>, rate: SampleRate, from_s: f64) -> Self {
        let piece = Piece::empty(&mono, rate, from_s);
        Self { piece, mono, at: 0, listener: Listener::new(rate, 1) }
    }

    /// Hears the next part, so many seconds of it.
    pub fn go_on(&mut self, seconds: f64) {
        let frames = (seconds * f64::from(self.piece.rate.hz())) as usize;
        let to = self.mono.len().min(self.at.saturating_add(frames));
        for block in self.mono[self.at..to].chunks(BLOCK) {
            self.listener.push(block);
            self.piece.take(&mut self.listener);
        }
        self.at = to;
    }

    /// How much of it was heard, 0 to 1.
    pub fn share(&self) -> f64 {
        if self.mono.is_empty() { 1.0 } else { self.at as f64 / self.mono.len() as f64 }
    }

    /// The piece, as far as it was heard.
    pub fn done(mut self) -> Piece {
        self.listener.finish();
        self.piece.take(&mut self.listener);
        self.piece.mono = self.mono;
        self.piece
    }
}

/// A piece as a source of sound.
pub struct Clip {
    samples: Vec<f32>,
    at: usize,
    rounds: usize,
    rate: SampleRate,
    pacer: Option<Pacer>,
}

impl Supply for Clip {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let (pace, rate) = (Pace::RealTime, self.rate);
        self.pacer = Some(Pacer { pace, rate, origin: now, given: 0 });
        OpeningStage::Ready(OpenStream { rate, channels: 1, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let Some(pacer) = &mut self.pacer else { return Pull::Nothing };
        if self.at >= self.samples.len() {
            self.rounds = self.rounds.saturating_sub(1);
            self.at = 0;
        }
        if self.rounds == 0 || self.samples.is_empty() {
            return Pull::Over;
        }
        let frames =
            ((f64::from(self.rate.hz()) * BLOCK_S) as usize).min(self.samples.len() - self.at);
        if !pacer.due(now, frames) {
            return Pull::Nothing;
        }
        samples.clear();
        samples.extend_from_slice(&self.samples[self.at..self.at + frames]);
        self.at += frames;
        Pull::Block(pacer.block(frames))
    }

    fn close(&mut self) {
        self.pacer = None;
    }
}
