//! What the quick way shows of its inside, beat by beat, for training and study.

use super::choice::{CUE_TRAITS, START_TRAITS};
use super::judge::TRAITS;
use crate::units::SampleIndex;

/// Which of its hearings: they differ in how far they look ahead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hearing {
    /// For the cue, 80 ms.
    Near,
    /// For pulses and their loss, 400 ms.
    Far,
    /// Second hearing, 2.8 s.
    Late,
}

/// A moment at which a cue might have been given, as it was weighed, for training and study.
#[derive(Debug, Clone, Copy)]
pub struct CueMoment {
    /// Up to where the sound was heard.
    pub at: SampleIndex,
    /// Where the newest beat of the chain begins.
    pub newest: SampleIndex,
    /// What was weighed.
    pub traits: [f32; CUE_TRAITS],
}

/// A beat that second hearing took for the first or might have, for training and study.
#[derive(Debug, Clone, Copy)]
pub struct PossibleFirst {
    /// Of which return, counted from 0.
    pub of: u32,
    /// Where it begins.
    pub onset: SampleIndex,
    /// What was weighed.
    pub traits: [f32; START_TRAITS],
}

/// A candidate beat as the judge weighed it, for training and study.
#[derive(Debug, Clone, Copy)]
pub struct Candidate {
    /// Where it begins, seconds at the listener's working rate (the resampling delay not removed).
    pub onset_s: f64,
    /// Where it ends.
    pub end_s: f64,
    /// Natural-log odds that it is a beat.
    pub evidence: f32,
    /// What was weighed.
    pub traits: [f32; TRAITS],
}
