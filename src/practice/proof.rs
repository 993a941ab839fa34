//! What shows that practice is the same everywhere: sums of sound and scores, for tests that compare a browser with the
//! program.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::cases::{self, CaseKind};
use super::score::{Score, score};
use super::student::played;
use super::track::Track;
use crate::sim::{Bedside, Case, render};

fn kind(name: &str) -> CaseKind {
    let kinds = CaseKind::ALL.into_iter();
    kinds.into_iter().find(|kind| kind.name() == name).unwrap_or(CaseKind::FirstReturn)
}

/// SHA-256 of the samples of a drill's patient (32-bit floats, least byte first), the cuff worked by the case's own hand.
pub fn sound_sum(name: &str, seed: u64) -> String {
    let sound = render(&cases::draw(kind(name), seed), seed);
    summed(&sound.samples)
}

fn summed(samples: &[f32]) -> String {
    let mut sum = Sha256::new();
    samples.iter().for_each(|sample| sum.update(sample.to_le_bytes()));
    sum.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The score of a tap this long after the first pulse that comes back, as JSON.
pub fn scored(name: &str, seed: u64, late_ms: f64) -> String {
    let (truth, track) = played(&cases::draw(kind(name), seed), seed);
    let tap_s = truth.audible_s.unwrap_or(0.0) + late_ms / 1000.0;
    match score(&truth, &track, tap_s, Some(track.at(tap_s).round())) {
        Ok(score) => serde_json::to_string(&score).unwrap_or_default(),
        Err(why) => why.kept().to_owned(),
    }
}

/// A drill as hands played it: enough to play and score it again anywhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlayedDrill {
    /// The patient.
    pub case: Case,
    /// The sound's seed.
    pub seed: u64,
    /// The cuff's pressure, mmHg, one value for each 4 ms.
    pub cuff_mmhg: Vec<f32>,
    /// The score that was given.
    pub score: Option<Score>,
}

impl PlayedDrill {
    /// The score of the same tap and reading in the same hands, worked out anew.
    pub fn scored_again(&self) -> Option<Score> {
        let given = self.score.as_ref()?;
        let mut bedside = Bedside::new(&self.case, self.seed, crate::sim::ROOM_S);
        for mmhg in &self.cuff_mmhg {
            bedside.step(f64::from(*mmhg));
        }
        let track = Track::from(self.cuff_mmhg.clone());
        score(&bedside.finish(), &track, given.tap_s, given.read_mmhg).ok()
    }
}
