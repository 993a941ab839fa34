//! Samples in, findings out: a streaming listener for the sound of a hand-held Doppler.
//!
//! [`Listener`] takes samples as they come and says what it hears: pulses, their loss under the
//! closing cuff, and their return. A return has two answers: the *cue*, given while the sound goes
//! on by what was heard until then, and the *second hearing*, which may use what follows and names
//! the first pulse of the chain. `docs/signal.md` gives the method in words and formulas.
//!
//! Pure: no input or output, no clock but the sample count, no allocation after `new`. The same code
//! runs live and on files. It never knows who made the sound (it may not import `sim`).

mod average;
mod bands;
mod causal;
mod clearer;
mod clock;
mod cue;
mod follow;
mod hearing;
mod intake;
mod listener;
mod pulse;
mod pulses;
mod quality;
mod queue;
mod quick;
mod repeats;
mod rhythm;
mod second;
mod silence;
mod spectrum;
mod stretch;

pub use average::{LEAST_BEATS, MeanBeat, NoMean, free_beats, mean_beat};
pub use bands::{BANDS, ROWS};
pub use causal::StepLogits;
pub use clearer::Clearer;
pub use follow::{Belief, Beliefs};
pub use listener::{Examined, Listener};
pub use quality::{Difficulty, Quality};
pub use quick::{CONFIDENCE_TRAITS, CUE_TRAITS, START_TRAITS, TRAITS};
pub use quick::{Candidate, CueMoment, FrameScore, Hearing, PossibleFirst};
pub use spectrum::FEATURES;
pub use stretch::stretched;

/// The listener's stages one by one, for the benchmark.
#[doc(hidden)]
pub mod stages {
    pub use super::bands::HOP;
    pub use super::intake::Intake;
    pub use super::quick::Scorer;
    pub use super::rhythm::RhythmTracker;
    pub use super::spectrum::Spectrum;
}

use crate::units::SampleIndex;

/// Something the listener heard. All positions are frames of the sound as it was pushed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// A beat of the pulse.
    Pulse(Pulse),
    /// The pulse is no longer heard; `at` is the end of the last beat.
    Lost {
        /// End of the last beat.
        at: SampleIndex,
    },
    /// The pulse seems to be back, by what was heard until now.
    Cue(Cue),
    /// The pulse came back, in second hearing.
    Return(Return),
    /// Something that makes hearing harder began or ended.
    Quality(Quality),
}

/// One beat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulse {
    /// Where it begins.
    pub onset: SampleIndex,
    /// Where it ends.
    pub end: SampleIndex,
    /// Mean level above the background over 94 to 3,844 Hz, decibels.
    pub strength_db: f32,
}

/// A return as a listener who knows only the past would call it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cue {
    /// The sample that had to be heard before it could be said.
    pub at: SampleIndex,
    /// Where the first pulse of the chain begins, by what was heard until then.
    pub onset: SampleIndex,
    /// Probability that the pulse is back.
    pub confidence: f32,
}

/// A return in second hearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Return {
    /// Where the pulse before the cuff closed was last heard; `None` where none was heard.
    pub lost: Option<SampleIndex>,
    /// Where the first pulse of the chain begins.
    pub onset: SampleIndex,
    /// The cue that came before, if one did.
    pub cue: Option<Cue>,
    /// Probability that this is the first pulse that came back, within one beat.
    pub confidence: f32,
    /// What carried it.
    pub evidence: Evidence,
}

/// What carried a return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Evidence {
    /// The network of second hearing, which saw the whole closed time and what followed.
    Pointed(Pointed),
    /// The chain of beats: the quick way.
    Chain(ChainEvidence),
}

impl Evidence {
    /// The share of the named pulse among those that may have been the first.
    pub fn share(&self) -> f32 {
        match self {
            Self::Pointed(pointed) => pointed.share,
            Self::Chain(chain) => chain.choice,
        }
    }
}

/// What the network said.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pointed {
    /// Probability that a pulse came back at all; the rest is what spoke for none.
    pub returned: f32,
    /// The named pulse's share among all moments, if one came back.
    pub share: f32,
    /// The two next likely moments, with their shares; a share of 0 is none.
    pub rivals: [(SampleIndex, f32); 2],
}

/// What speaks for a chain, in natural-log units of likelihood.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ChainEvidence {
    /// What the beats sound like.
    pub sound: f32,
    /// How they follow each other in the patient's rhythm.
    pub rhythm: f32,
    /// What the first beat of the chain sounds like.
    pub first: f32,
    /// The mean of the two beats after it.
    pub next: f32,
    /// The most pulse-like sound while the cuff was closed that is not in the chain.
    pub rival: f32,
    /// By how much the story with a return exceeds the best one without.
    pub margin: f32,
    /// Beats in the chain.
    pub beats: u32,
    /// How plainly this beat was the first, among those that may have been: 0 to 1.
    pub choice: f32,
}

/// Rate and regularity of the pulse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeartRate {
    /// Beats a minute.
    pub bpm: f32,
    /// Whether the intervals are those of a regular rhythm.
    pub regular: bool,
}
