//! What makes hearing harder: too quiet, clipped, hum, talk over the signal, no pulse yet.

use super::bands::BANDS;
use super::intake::Faults;
use super::spectrum::FEATURES;
use crate::units::SampleIndex;

/// A difficulty that began or ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    /// Which.
    pub trouble: Difficulty,
    /// Whether it is there from now on, or over.
    pub present: bool,
    /// Where it was noticed.
    pub at: SampleIndex,
}

/// The difficulties that are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Difficulty {
    /// Hardly any sound arrives.
    TooQuiet,
    /// The sound reaches full scale.
    Clipped,
    /// Mains hum stands out of the background.
    Hum,
    /// Somebody talks, or a tone sounds, over the signal.
    TalkOver,
    /// Nothing that sounds like a pulse was heard so far.
    NoPulseYet,
    /// Samples arrive that are no numbers.
    Broken,
    /// After release the pulse is much weaker than before pumping.
    ProbeMoved,
}

impl Difficulty {
    /// A word for tables and machine-readable output.
    pub fn name(self) -> &'static str {
        match self {
            Difficulty::TooQuiet => "too quiet",
            Difficulty::Clipped => "clipped",
            Difficulty::Hum => "hum",
            Difficulty::TalkOver => "talk over the signal",
            Difficulty::NoPulseYet => "no pulse yet",
            Difficulty::Broken => "broken samples",
            Difficulty::ProbeMoved => "probe moved",
        }
    }
}

/// Frames between two judgements of the slow kinds: 1 s.
const EVERY: u64 = 100;
/// Power below which hardly any sound arrives: -70 dB of full scale.
const QUIET: f32 = 1e-7;
/// Share of frames of the last 2 s, voiced and loud, that counts as talk. Measured on the tuning half of
/// the trial: 0 in nine of ten recordings without voices, 0.29 in the median one with them.
const TALK: f32 = 0.15;
const VOICED: f32 = 0.35;
/// Natural log of power over background that is loud.
const LOUD: f32 = 1.5;
/// Mains lines stand this far (power) above the background beside them.
const HUM: f32 = 100.0;
/// Share of samples at full scale that is heard as distortion.
const CLIPPED: f64 = 0.0005;
/// Frames without a pulse from the beginning that are remarked on: 10 s.
const NO_PULSE: u64 = 1000;

/// Watches levels and faults for what makes hearing harder.
#[derive(Debug)]
pub struct TroubleWatch {
    frames: u64,
    faults: Faults,
    faults_before: Faults,
    taken_before: u64,
    talk: f32,
    loudest: f32,
    pulse_heard: bool,
    /// Which troubles are present, by [`Difficulty`]'s order.
    present: [bool; 7],
}

impl TroubleWatch {
    /// A watch at the beginning of a sound.
    pub fn new() -> Self {
        Self {
            frames: 0,
            faults: Faults::default(),
            faults_before: Faults::default(),
            taken_before: 0,
            talk: 0.0,
            loudest: 0.0,
            pulse_heard: false,
            present: [false; 7],
        }
    }

    /// Takes the intake's counts so far.
    pub fn faults(&mut self, faults: Faults) {
        self.faults = faults;
    }

    /// A pulse was heard.
    pub fn pulse(&mut self) {
        self.pulse_heard = true;
    }

    /// Takes one frame: its power, the hum found, the features; `tell` is given what began or ended.
    pub fn frame(
        &mut self,
        power: f32,
        hum: f32,
        features: &[f32; FEATURES],
        now: SampleIndex,
        mut tell: impl FnMut(Quality),
    ) {
        self.frames += 1;
        let loud = features[..BANDS].iter().any(|&level| level > LOUD);
        let voiced = loud && features[BANDS + 3] > VOICED;
        self.talk += (f32::from(u8::from(voiced)) - self.talk) / 200.0;
        self.loudest = self.loudest.max(power);
        if !self.frames.is_multiple_of(EVERY) {
            return;
        }
        let samples = now.0.saturating_sub(self.taken_before).max(1) as f64;
        let clipped = (self.faults.full_scale - self.faults_before.full_scale) as f64;
        let broken = self.faults.not_numbers > self.faults_before.not_numbers;
        let states = [
            (Difficulty::TooQuiet, self.loudest < QUIET),
            (Difficulty::Clipped, clipped / samples > CLIPPED),
            (Difficulty::Hum, hum > HUM),
            (Difficulty::TalkOver, self.talk > TALK),
            (Difficulty::NoPulseYet, !self.pulse_heard && self.frames >= NO_PULSE),
            (Difficulty::Broken, broken),
        ];
        for (trouble, present) in states {
            self.set(trouble, present, now, &mut tell);
        }
        self.loudest = 0.0;
        self.taken_before = now.0;
        self.faults_before = self.faults;
    }

    /// A trouble that others than the watch notice.
    pub fn set(
        &mut self,
        trouble: Difficulty,
        present: bool,
        at: SampleIndex,
        tell: &mut impl FnMut(Quality),
    ) {
        let was = std::mem::replace(&mut self.present[trouble as usize], present);
        if was != present {
            tell(Quality { trouble, present, at });
        }
    }
}
