//! The cue by a network: at each step of 20 ms, from the past alone, the log-odds that a pulse came back.
//!
//! It is a causal network ([`super::causal`]; `tests/train/cue.py` trains it) that begins anew with each inflation. It works
//! out four steps at a time, so that what it says comes 37 to 97 ms after a step's middle.

use std::sync::OnceLock;

use super::bands::HOP;
use super::causal::levels::{FrameLevels, HeardLevels};
use super::causal::{CausalNetwork, CausalWeights, StepLogits};
use super::second::spectra::ROW;

/// A million weights.
type CueNetwork = CausalNetwork<128, 80, 72, 256>;

static FILE: &[u8] = include_bytes!("weights.f16");

fn shipped() -> &'static CausalWeights {
    static HELD: OnceLock<CausalWeights> = OnceLock::new();
    HELD.get_or_init(|| CausalWeights::read(FILE, 128, CueNetwork::CHANNELS))
}

/// Log-odds from which a cue is given; chosen on the trial's tuning half (docs/signal.md).
const ENOUGH: f32 = 4.5;
/// Steps among which the pulse that came back began: the last 2 s.
const BACK: usize = 100;
/// What a step says of a beginning is about the step two before.
const AGO: u64 = 2;
/// From the first frame's sample 0 to the middle of step 0, working samples.
const MIDDLE: u64 = 168;
/// Steps of which it is kept what was believed: as many as second hearing sees, and some.
const KEPT: usize = 2_400;
/// So many steps after its onset (0.3 s) a pulse has been heard; two before it nothing of it has.
const TAKEN_IN: i64 = 15;
const BEFORE: i64 = -2;
/// Natural log of the weight of naming the moment that second hearing names; chosen on the tuning half (docs/signal.md).
const NAMED: f32 = 2.0;
/// Log-odds where nothing was heard yet.
const UNHEARD: f32 = -20.0;
/// Working samples within which both name the same moment: 150 ms.
const SAME: u64 = 1_200;

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
    levels: HeardLevels,
    network: CueNetwork,
    row: [f32; ROW],
    /// Log-odds that a pulse begins: a ring of the last steps.
    begins: [f32; BACK],
    /// The highest log-odds so far that a pulse came back: a ring of the last steps.
    believed: Vec<f32>,
    steps: u64,
    /// Frames so far, and those before this inflation.
    frames: u64,
    earlier: u64,
    /// Where the pulse began that the cue was given for.
    named: Option<u64>,
}

impl CueHearing {
    /// Everything is allocated here.
    pub fn new() -> Self {
        Self {
            levels: HeardLevels::new(),
            network: CueNetwork::new(shipped()),
            row: [0.0; ROW],
            begins: [f32::NEG_INFINITY; BACK],
            believed: vec![f32::NEG_INFINITY; KEPT],
            steps: 0,
            frames: 0,
            earlier: 0,
            named: None,
        }
    }

    /// Takes a frame; the cue, once in each inflation.
    pub fn push(&mut self, frame: &FrameLevels) -> Option<NetworkCue> {
        self.frames += 1;
        if self.named.is_some() {
            return None;
        }
        self.levels.push(frame, &mut self.row);
        let said = self.network.push(&self.row)?;
        said.into_iter().find_map(|step| self.step(step))
    }

    fn step(&mut self, StepLogits { is: back, begins }: StepLogits) -> Option<NetworkCue> {
        let highest = self.believed_at(self.steps as i64 - 1).max(back);
        self.believed[self.steps as usize % KEPT] = highest;
        self.begins[self.steps as usize % BACK] = begins;
        self.steps += 1;
        if back > ENOUGH {
            self.named = Some(self.onset());
        }
        self.named.map(|onset| NetworkCue { odds: back, onset })
    }

    /// What this network has to say of a return that began at this working sample, as the natural log of a weight: how far it
    /// believed soon after that a pulse was back, and just before that none was, and whether it named that moment.
    pub fn agrees(&self, at: u64) -> f32 {
        let step = (at.saturating_sub(MIDDLE) / HOP as u64) as i64 - self.earlier as i64;
        let step = step.div_euclid(2);
        let soon = ln_logistic(self.believed_at(step + TAKEN_IN));
        let not_before = ln_logistic(-self.believed_at(step + BEFORE));
        let named = self.named.is_some_and(|named| named.abs_diff(at) < SAME);
        soon + not_before + if named { NAMED } else { 0.0 }
    }

    /// The highest log-odds up to a step of this inflation; of those that it has not come to, those of the last.
    fn believed_at(&self, step: i64) -> f32 {
        let newest = self.steps as i64 - 1;
        let step = step.min(newest);
        if step < 0 || newest - step >= KEPT as i64 {
            return UNHEARD;
        }
        self.believed[step as usize % KEPT]
    }

    /// Forgets what was heard: another inflation begins.
    pub fn start_over(&mut self) {
        self.levels.start_over();
        self.network.start_over();
        self.begins.fill(f32::NEG_INFINITY);
        (self.steps, self.earlier, self.named) = (0, self.frames, None);
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

/// Natural log of the probability with these log-odds.
fn ln_logistic(odds: f32) -> f32 {
    let odds = f64::from(odds);
    -libm::log1p(libm::exp(-odds)) as f32
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::super::second::reference::{Reference, frames, reference_sound};
    use super::*;

    #[test]
    fn the_shipped_weights_of_the_cue_are_whole() {
        let sum = Sha256::digest(FILE);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(sum, include_str!("weights.sha256").trim());
    }

    /// NumPy's features and PyTorch's logits of the same weights.
    #[test]
    fn the_network_of_the_cue_is_the_one_that_was_trained() {
        let mut hearing = CueHearing::new();
        // What was before leaves nothing behind.
        let sound = reference_sound();
        frames(&sound, |frame| _ = hearing.push(&frame));
        hearing.start_over();
        let (mut rows, mut back, mut begins) = (Vec::new(), Vec::new(), Vec::new());
        frames(&sound, |frame| {
            hearing.levels.push(&frame, &mut hearing.row);
            rows.push(hearing.row);
            let said = hearing.network.push(&hearing.row);
            for step in said.into_iter().flatten() {
                back.push(step.is);
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

    /// A pulse that begins at step 400; of a talker at step 250 little was believed.
    #[test]
    fn it_agrees_most_with_the_return_that_it_named() {
        let mut hearing = CueHearing::new();
        let given = |hearing: &mut CueHearing| {
            let said = |step: u64| StepLogits {
                is: if step < 250 { -8.0 } else { -4.0 } + if step > 404 { 10.0 } else { 0.0 },
                begins: if step == 400 + AGO { 3.0 } else { -6.0 },
            };
            (0..500).find_map(|step| hearing.step(said(step)))
        };
        assert_eq!(hearing.agrees(0), UNHEARD, "nothing is believed before it is heard");
        let NetworkCue { onset, odds } = given(&mut hearing).expect("6 is enough");
        let place = |step: u64| 2 * step * HOP as u64 + MIDDLE;
        assert_eq!((onset, odds), (place(400), 6.0));
        let [named, beat_before, beat_after, talker] =
            [400, 360, 440, 250].map(|step| hearing.agrees(place(step)));
        // That none was back before it believed to 0.982.
        assert!((named - NAMED).abs() < 0.03, "{named}: it has hardly anything to say against it");
        assert!(
            beat_before < -3.9 && talker < -3.9,
            "it believed in neither: {beat_before}, {talker}"
        );
        assert!((beat_after + 6.0).abs() < 0.01, "it was back before: {beat_after}");
        // Another inflation: what was believed before is forgotten.
        hearing.start_over();
        assert_eq!(hearing.agrees(onset), UNHEARD);
        assert_eq!(given(&mut hearing).map(|cue| cue.onset), Some(onset));
    }
}
