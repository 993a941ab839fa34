//! A hearing: candidates picked from a score, the chains over them, and what the patient's own pulse sounded like.

use super::bands::BANDS;
use super::follow::{Belief, Follower};
use super::pulse::{Beat, Picker};
use super::spectrum::FEATURES;

/// A candidate this high, before the pulse is lost, teaches what the patient's pulse sounds like.
const TEACHES: f32 = 0.5;
/// Weight of the newest such beat.
const LEARNING: f32 = 0.2;
/// Natural log of power over background from which a band of the own pulse stands out.
const STOOD_OUT: f32 = 1.5;

/// See this file's purpose.
#[derive(Debug)]
pub struct ChainHearing {
    /// Where candidates come from.
    pub picker: Picker,
    /// Their chains.
    pub follower: Follower,
    /// Mean level of each band over the patient's own pulse, once one was heard.
    own: Option<[f32; BANDS]>,
}

impl ChainHearing {
    /// Of a score that lags by `delay` frames; a candidate is handed on after `ripe` frames even while it sounds.
    pub fn new(delay: usize, ripe: u64, belief: Belief) -> Self {
        Self { picker: Picker::new(delay, ripe), follower: Follower::new(belief), own: None }
    }

    /// Takes a frame and the score of an earlier one; the candidate that they complete.
    pub fn pick(
        &mut self,
        features: &[f32; FEATURES],
        score: f32,
        begins: Option<f32>,
    ) -> Option<Beat> {
        self.picker.push(features, score, begins)
    }

    /// Takes a candidate, weighed, into the chains; while the pulse is there (`present`), plain ones teach what it sounds like.
    pub fn take(&mut self, beat: &Beat, evidence: f32, present: bool) {
        if present && beat.height > TEACHES {
            let own = self.own.get_or_insert(beat.levels);
            own.iter_mut().zip(&beat.levels).for_each(|(o, l)| *o += LEARNING * (l - *o));
        }
        self.follower.push(*beat, evidence);
    }

    /// Mean level of each band over the patient's own pulse, where one is known.
    pub fn own(&self) -> Option<&[f32; BANDS]> {
        self.own.as_ref()
    }

    /// By how much a beat is weaker than the patient's own pulse was, natural log of power, over the bands
    /// in which that stood out; `None` where no own pulse is known or it stood out nowhere.
    pub fn weaker_by(&self, beat: &Beat) -> Option<f32> {
        let own = self.own.as_ref()?;
        let plain = own.iter().zip(&beat.levels).filter(|(own, _)| **own > STOOD_OUT);
        let (sum, bands) = plain.fold((0.0, 0), |(sum, n), (own, now)| (sum + own - now, n + 1));
        (bands > 0).then(|| sum / bands as f32)
    }
}
