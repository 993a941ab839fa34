//! Second hearing: a network that sees the whole closed time and what follows, and points at the first pulse of the return.
//!
//! [`Second`] keeps the spectra of the last 46 s. Asked whether a pulse came back, it works out its answer in pieces, a few
//! with each frame, so that live sound goes on meanwhile and always answers at the same place in the sound.

// The network of the cue is of the same family, and has these in common with this one.
pub(super) mod layers;
pub(super) mod network;
#[cfg(test)]
pub(super) mod reference;
pub(super) mod spectra;
pub(super) mod weights;

use network::Network;
use spectra::{SpectraRing, Stretch};

use super::bands::HOP;

/// Pieces of work with each frame of 10 ms: an answer takes under a second.
const PIECES: usize = 5;
/// Steps of 20 ms over which the pointer's share is gathered: a pulse's onset is that wide.
const WIDE: usize = 5;
/// Steps between the onsets of two beats at least: 300 ms.
const BEAT: usize = 15;
/// Bias, weight of the log-odds that a pulse came back, and of those of the named one's share, by which an answer is right:
/// fitted on 2,281 answers of the trial's tuning half (docs/signal.md).
const SURE: [f32; 3] = [-0.77, 0.28, 0.45];
/// From the first frame's sample 0 to the middle of step 0, working samples.
const MIDDLE: usize = 168;

/// A moment that the pointer names.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NamedMoment {
    /// Where, in working samples from the beginning of the sound.
    pub at: u64,
    /// Its share of all.
    pub share: f32,
}

/// An answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondAnswer {
    /// Log-odds that a pulse came back.
    pub returned: f32,
    /// Which pulse was the first.
    pub first: NamedMoment,
    /// The two next likely.
    pub rivals: [NamedMoment; 2],
    /// The frame up to which was heard.
    pub until: u64,
}

impl SecondAnswer {
    /// Probability that the named pulse is the first that came back, within one beat.
    pub fn confidence(&self) -> f32 {
        let odds = |share: f32| (share.clamp(1e-3, 0.999) / (1.0 - share.clamp(1e-3, 0.999))).ln();
        let [bias, returned, share] = SURE;
        let sum = bias + returned * self.returned.clamp(-8.0, 8.0) + share * odds(self.first.share);
        1.0 / (1.0 + (-sum).exp())
    }
}

/// See this file's purpose.
pub struct Second {
    spectra: SpectraRing,
    stretch: Stretch,
    network: Network,
    busy: bool,
    shares: Vec<f32>,
    wide: Vec<f32>,
    /// The first frame of this inflation.
    earliest: u64,
}

impl Default for Second {
    fn default() -> Self {
        Self::new()
    }
}

impl Second {
    /// Everything is allocated here.
    pub fn new() -> Self {
        Self {
            spectra: SpectraRing::new(),
            stretch: Stretch::new(),
            network: Network::new(),
            busy: false,
            shares: vec![0.0; spectra::MOST / 2],
            wide: vec![0.0; spectra::MOST / 2],
            earliest: 0,
        }
    }

    /// Takes one sample at the working rate, and the power of the frame that it completed, if it did. The powers of the
    /// frame of which everything is known since this sample: 60 bands and 240 fine bins.
    pub fn push(&mut self, sample: f32, power: Option<&[f32]>) -> Option<(&[f32], &[f32])> {
        self.spectra.push(sample, power).then(|| self.spectra.newest())
    }

    /// Begins to work out whether a pulse came back in what was heard of this inflation.
    pub fn ask(&mut self) {
        self.stretch.take(&self.spectra, self.earliest);
        self.network.begin(self.stretch.frames);
        self.busy = self.stretch.frames >= 4;
    }

    /// Whether an answer is being worked out.
    pub fn busy(&self) -> bool {
        self.busy
    }

    /// Works on with one frame; the answer, once there is one. `agrees` is the natural log of the weight that another hearing
    /// gives to a return that began at a working sample.
    pub fn work(&mut self, agrees: impl Fn(u64) -> f32) -> Option<SecondAnswer> {
        (0..PIECES).find_map(|_| self.piece(&agrees))
    }

    /// Asks and works to the end at once.
    pub fn answer(&mut self, agrees: impl Fn(u64) -> f32) -> Option<SecondAnswer> {
        self.ask();
        while self.busy {
            if let Some(answer) = self.piece(&agrees) {
                return Some(answer);
            }
        }
        None
    }

    /// Forgets what was before this frame: another inflation begins.
    pub fn turn_over(&mut self, frame: u64) {
        self.earliest = frame;
    }

    fn piece(&mut self, agrees: impl Fn(u64) -> f32) -> Option<SecondAnswer> {
        if !self.busy {
            return None;
        }
        let said = self.network.work(&self.stretch)?;
        self.busy = false;
        Some(self.named(said.returned, said.steps, agrees))
    }

    /// From logits over steps to the moments that they name.
    fn named(&mut self, returned: f32, steps: usize, agrees: impl Fn(u64) -> f32) -> SecondAnswer {
        let from = self.stretch.from * HOP as u64;
        let place = |step: usize| from + (2 * HOP * step + MIDDLE) as u64;
        let shares = &mut self.shares[..steps];
        for (step, (share, logit)) in shares.iter_mut().zip(self.network.pointer()).enumerate() {
            *share = logit + agrees(place(step));
        }
        let highest = shares.iter().fold(f32::NEG_INFINITY, |a, &b| a.max(b));
        shares.iter_mut().for_each(|share| *share = layers::exp(*share - highest));
        let all: f32 = shares.iter().sum();
        shares.iter_mut().for_each(|share| *share /= all);
        let wide = &mut self.wide[..steps];
        for (step, to) in wide.iter_mut().enumerate() {
            let from = step.saturating_sub(WIDE / 2);
            *to = shares[from..(step + WIDE / 2 + 1).min(steps)].iter().sum();
        }
        let mut found = [NamedMoment::default(); 3];
        for named in &mut found {
            // The widest share, and within it the step with the most.
            let weight = |step: usize| wide[step] / WIDE as f32 + 1e-3 * shares[step];
            let best = (0..steps).max_by(|&a, &b| weight(a).total_cmp(&weight(b)));
            let Some(best) = best.filter(|&step| wide[step] > 0.0) else { break };
            *named = NamedMoment { at: place(best), share: wide[best] };
            wide[best.saturating_sub(BEAT)..(best + BEAT).min(steps)].fill(0.0);
        }
        let until = self.stretch.from + self.stretch.frames as u64;
        SecondAnswer { returned, first: found[0], rivals: [found[1], found[2]], until }
    }
}

#[cfg(test)]
mod tests {
    use super::super::spectrum::Spectrum;
    use super::reference::{Reference, reference_sound};
    use super::*;

    fn heard(sound: &[f32]) -> Second {
        let (mut second, mut spectrum) = (Second::new(), Spectrum::default());
        for &x in sound {
            let whole = spectrum.push(x).is_some();
            let _ = second.push(x, whole.then(|| spectrum.powers()));
        }
        second
    }

    /// NumPy's features and PyTorch's logits of the same weights.
    #[test]
    fn the_network_is_the_one_that_was_trained() {
        let mut second = heard(&reference_sound());
        let answer = second.answer(|_| 0.0).expect("12 s are enough");
        let reference = Reference::read(include_str!("../../../tests/reference/second.txt"));
        assert_eq!(reference.of("first"), [second.stretch.from as f32]);
        reference.close("some", &[answer.returned], reference.of("some"));
        for (frame, theirs) in &reference.features {
            let mut row = vec![0.0; spectra::ROW];
            second.stretch.row(*frame, &mut row);
            reference.close("features", &Reference::some_of(&row), theirs);
        }
        reference.close("onset", second.network.onset(), reference.of("onset"));
        reference.close("pointer", second.network.pointer(), reference.of("pointer"));
        assert!(reference.features.len() > 10);
    }

    #[test]
    fn no_sound_and_little_sound_have_no_answer_or_a_silent_one() {
        assert_eq!(Second::new().answer(|_| 0.0), None);
        let answer = heard(&vec![0.0; 80_000]).answer(|_| 0.0).expect("10 s are enough");
        assert!(answer.returned < 0.0, "{answer:?}");
    }
}
