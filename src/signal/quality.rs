//! What makes hearing harder: too quiet, clipped, hum, talk over the signal, no pulse yet.

use super::intake::Faults;
use super::spectrum::FEATURES;
use crate::units::SampleIndex;

/// A difficulty that began or ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    /// Which.
    pub trouble: Trouble,
    /// Whether it is there from now on, or over.
    pub present: bool,
    /// Where it was noticed.
    pub at: SampleIndex,
}

/// The difficulties that are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
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

impl Trouble {
    /// A word for tables and machine-readable output.
    pub fn name(self) -> &'static str {
        match self {
            Trouble::TooQuiet => "too quiet",
            Trouble::Clipped => "clipped",
            Trouble::Hum => "hum",
            Trouble::TalkOver => "talk over the signal",
            Trouble::NoPulseYet => "no pulse yet",
            Trouble::Broken => "broken samples",
            Trouble::ProbeMoved => "probe moved",
        }
    }
}

/// Watches levels and faults for what makes hearing harder.
#[derive(Debug)]
pub struct Watch {
    frames: u64,
    faults: Faults,
}

impl Watch {
    /// A watch at the beginning of a sound.
    pub fn new() -> Self {
        Self { frames: 0, faults: Faults::default() }
    }

    /// Takes the intake's counts so far.
    pub fn faults(&mut self, faults: Faults) {
        self.faults = faults;
    }

    /// Takes one frame; returns a difficulty that began or ended with it.
    pub fn frame(
        &mut self,
        _power: f32,
        _background: f32,
        _features: &[f32; FEATURES],
        _now: SampleIndex,
    ) -> Option<Quality> {
        self.frames += 1;
        None
    }
}
