//! What a candidate beat's sound says, as natural-log odds that it is one.

use super::pulse::Beat;

/// Weighs a candidate by its score alone.
#[derive(Debug)]
pub struct Judge;

impl Judge {
    /// The evidence of one candidate.
    pub fn weigh(&self, beat: &Beat) -> f32 {
        (beat.height - 0.5).clamp(-3.0, 4.0)
    }
}
