//! Pulses by a network: at each frame, 400 ms later, the log-odds that a pulse sounded there and that one began.
//!
//! It is a causal network ([`super::causal`]; `tests/train/beats.py` trains it) of half the width of the cue's, and it knows
//! every pulse: free ones, those under a cuff that closes or bleeds, those that came back. What it says stands in for the
//! frame scorer's in the hearing of pulses and their loss; its log-odds are a candidate's evidence.

use std::sync::OnceLock;

use super::causal::levels::{FrameLevels, HeardLevels};
use super::causal::{CausalNetwork, CausalWeights, FRAMES, StepLogits};
use super::second::spectra::ROW;

/// A quarter of a million weights.
type PulseNetwork = CausalNetwork<64, 40, 48, 128>;

static FILE: &[u8] = include_bytes!("weights.f16");

fn shipped() -> &'static CausalWeights {
    static HELD: OnceLock<CausalWeights> = OnceLock::new();
    HELD.get_or_init(|| CausalWeights::read(FILE, 64, PulseNetwork::CHANNELS))
}

/// Frames from the one that is judged to the last that was heard for it: 400 ms.
pub const FAR_FRAMES: usize = 40;
/// What a step says is about the step so many before.
const AGO: u64 = 15;
/// Steps of which is kept what they said: more than the far hearing lags.
const KEPT: usize = 32;
/// Log-odds where nothing was heard.
pub const UNHEARD: StepLogits = StepLogits { is: -20.0, begins: -20.0 };

/// See this file's purpose.
pub struct PulseHearing {
    levels: HeardLevels,
    network: PulseNetwork,
    row: [f32; ROW],
    /// What the last steps said: a ring.
    said: [StepLogits; KEPT],
    steps: u64,
}

impl PulseHearing {
    /// Everything is allocated here.
    pub fn new() -> Self {
        Self {
            levels: HeardLevels::new(),
            network: PulseNetwork::new(shipped()),
            row: [0.0; ROW],
            said: [UNHEARD; KEPT],
            steps: 0,
        }
    }

    /// Takes a frame.
    pub fn push(&mut self, frame: &FrameLevels) {
        self.levels.push(frame, &mut self.row);
        self.take();
    }

    /// Of the frame [`FAR_FRAMES`] before this one.
    pub fn at(&self, frame: u64) -> StepLogits {
        let step = |frame: u64| frame / FRAMES as u64 + AGO;
        match frame.checked_sub(FAR_FRAMES as u64).map(step) {
            Some(step) if step < self.steps && self.steps - step <= KEPT as u64 => {
                self.said[step as usize % KEPT]
            }
            _ => UNHEARD,
        }
    }

    /// The sound has ended: what it has to say of the last frames is asked for without more sound.
    pub fn end(&mut self) {
        self.network.end();
        self.row = [0.0; ROW];
    }

    /// Takes a frame after the end.
    pub fn push_no_sound(&mut self) {
        self.take();
    }

    fn take(&mut self) {
        for said in self.network.push(&self.row).into_iter().flatten() {
            self.said[self.steps as usize % KEPT] = said;
            self.steps += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::super::second::reference::{Reference, frames, reference_sound};
    use super::*;

    #[test]
    fn the_shipped_weights_of_the_pulses_are_whole() {
        let sum = Sha256::digest(FILE);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(sum, include_str!("weights.sha256").trim());
    }

    /// PyTorch's logits of the same weights, to the sound's end and beyond it.
    #[test]
    fn the_network_of_the_pulses_is_the_one_that_was_trained() {
        let mut hearing = PulseHearing::new();
        let (mut sounds, mut begins) = (Vec::new(), Vec::new());
        let mut heard = |hearing: &PulseHearing, frame: u64| {
            let StepLogits { is, begins: begin } = hearing.at(frame);
            if frame.is_multiple_of(2) && frame >= FAR_FRAMES as u64 {
                sounds.push(is);
                begins.push(begin);
            }
        };
        let mut frame = 0;
        frames(&reference_sound(), |levels| {
            hearing.push(&levels);
            // The spectrum is two frames ahead of what is pushed.
            frame += 1;
            heard(&hearing, frame + 1);
        });
        hearing.end();
        for _ in 0..FAR_FRAMES {
            hearing.push_no_sound();
            frame += 1;
            heard(&hearing, frame + 1);
        }
        let reference = Reference::read(include_str!("../../../tests/reference/pulses.txt"));
        let theirs = |name: &str| &reference.of(name)[AGO as usize..][..sounds.len()];
        reference.close("sounds", &sounds, theirs("sounds"));
        reference.close("begins", &begins, theirs("begins"));
        assert!(sounds.len() > 590, "{}", sounds.len());
    }
}
