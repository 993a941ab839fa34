//! The cue by a network: at each step of 20 ms, from the past alone, the log-odds that a pulse came back.
//!
//! It sees levels over what was heard until then ([`levels`]) and is of the family of second hearing's network
//! ([`network`]; `tests/train/cue.py` trains it). It works out four steps at a time, so that what it says comes 37 to 97 ms
//! after a step's middle.

mod levels;
mod network;

use levels::CueLevels;
use network::{CueLogits, CueNetwork};

use super::bands::HOP;
use super::second::spectra::ROW;

/// Log-odds from which a cue is given; chosen on the trial's tuning half (docs/signal.md).
const ENOUGH: f32 = 5.0;
/// Steps among which the pulse that came back began: the last 2 s.
const BACK: usize = 100;
/// What a step says of a beginning is about the step two before.
const AGO: u64 = 2;
/// From the first frame's sample 0 to the middle of step 0, working samples.
const MIDDLE: u64 = 168;

/// A cue of the network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetworkCue {
    /// Log-odds that a pulse came back.
    pub odds: f32,
    /// Where it began, working samples from the beginning of the sound.
    pub onset: u64,
}

/// See this file's purpose.
pub struct CueHearing {
    levels: CueLevels,
    network: CueNetwork,
    row: [f32; ROW],
    /// Log-odds that a pulse begins: a ring of the last steps.
    begins: [f32; BACK],
    steps: u64,
    /// Frames so far, and those before this inflation.
    frames: u64,
    earlier: u64,
    given: bool,
}

impl CueHearing {
    /// Everything is allocated here.
    pub fn new() -> Self {
        Self {
            levels: CueLevels::new(),
            network: CueNetwork::new(),
            row: [0.0; ROW],
            begins: [f32::NEG_INFINITY; BACK],
            steps: 0,
            frames: 0,
            earlier: 0,
            given: false,
        }
    }

    /// Takes a frame's power in 60 bands and 240 fine bins; the cue, once in each inflation.
    pub fn push(&mut self, bands: &[f32], fine: &[f32]) -> Option<NetworkCue> {
        self.frames += 1;
        if self.given {
            return None;
        }
        self.levels.push(bands, fine, &mut self.row);
        let said = self.network.push(&self.row)?;
        said.into_iter().find_map(|step| self.step(step))
    }

    fn step(&mut self, CueLogits { back, begins }: CueLogits) -> Option<NetworkCue> {
        self.begins[self.steps as usize % BACK] = begins;
        self.steps += 1;
        self.given = back > ENOUGH;
        self.given.then(|| NetworkCue { odds: back, onset: self.onset() })
    }

    /// Forgets what was heard: another inflation begins.
    pub fn start_over(&mut self) {
        self.levels.start_over();
        self.network.start_over();
        self.begins.fill(f32::NEG_INFINITY);
        (self.steps, self.earlier, self.given) = (0, self.frames, false);
    }

    /// Where the likeliest beginning of the last steps lies.
    fn onset(&self) -> u64 {
        let oldest = self.steps.saturating_sub(BACK as u64);
        let likelihood = |step: &u64| self.begins[*step as usize % BACK];
        let best = (oldest..self.steps).max_by(|a, b| likelihood(a).total_cmp(&likelihood(b)));
        let frame = self.earlier + 2 * best.unwrap_or(0).saturating_sub(AGO);
        frame * HOP as u64 + MIDDLE
    }
}

#[cfg(test)]
mod tests {
    use super::super::second::reference::{Reference, reference_sound};
    use super::super::second::spectra::SpectraRing;
    use super::super::spectrum::Spectrum;
    use super::*;

    /// Gives each frame of the reference's sound, as the listener does.
    fn frames(mut each: impl FnMut(&[f32], &[f32])) {
        let (mut spectra, mut spectrum) = (SpectraRing::new(), Spectrum::default());
        for x in reference_sound() {
            let whole = spectrum.push(x).is_some();
            if spectra.push(x, whole.then(|| spectrum.powers())) {
                let (bands, fine) = spectra.newest();
                each(bands, fine);
            }
        }
    }

    /// NumPy's features and PyTorch's logits of the same weights.
    #[test]
    fn the_network_of_the_cue_is_the_one_that_was_trained() {
        let mut hearing = CueHearing::new();
        // What was before leaves nothing behind.
        frames(|bands, fine| _ = hearing.push(bands, fine));
        hearing.start_over();
        let (mut rows, mut back, mut begins) = (Vec::new(), Vec::new(), Vec::new());
        frames(|bands, fine| {
            hearing.levels.push(bands, fine, &mut hearing.row);
            rows.push(hearing.row);
            let said = hearing.network.push(&hearing.row);
            for step in said.into_iter().flatten() {
                back.push(step.back);
                begins.push(step.begins);
            }
        });
        let reference = Reference::read(include_str!("../../../tests/reference/cue.txt"));
        for (frame, theirs) in &reference.features {
            reference.close("features", &Reference::some_of(&rows[*frame]), theirs);
        }
        // The last steps of the sound are not a whole four.
        reference.close("back", &back, &reference.of("back")[..back.len()]);
        reference.close("begins", &begins, &reference.of("begins")[..begins.len()]);
        assert!(reference.features.len() > 10 && back.len() > 500);
    }
}
