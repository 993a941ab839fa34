//! A sound of a simulated patient made to be heard again and again: the samples, the truth, what the cuff did, and what
//! another tap on it would have come to.

use super::score::{NoScore, Score, score};
use super::track::Track;
use crate::sim::{BLOCK_S, Bedside, Case, Script, Truth};
use crate::words::{Words, id, say};

/// An ideal observer hears an opening from this plainness (d') on.
pub const PLAIN: f64 = crate::sim::HEARD;

/// Who works the cuff.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CuffWork {
    /// It stays open for so many seconds.
    Open(f64),
    /// The case's own hand.
    ByScript,
}

/// A sound that can be heard again; times are seconds from its beginning.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeSound {
    /// Mono samples.
    pub samples: Vec<f32>,
    /// Samples a second.
    pub rate_hz: u32,
    /// What really happened.
    pub truth: Truth,
    /// What the cuff did.
    pub track: Track,
}

impl MadeSound {
    /// The sound of this case. Same case, same seed, same sound.
    pub fn of(case: &Case, seed: u64, work: CuffWork) -> Self {
        let mut script = Script::new(case, seed);
        let ends_s = match work {
            CuffWork::Open(seconds) => seconds,
            CuffWork::ByScript => script.ends_s(),
        };
        let mut bedside = Bedside::new(case, seed, ends_s);
        let (mut samples, mut track) = (Vec::new(), Track::default());
        let channels = bedside.channels();
        while bedside.now_s() < ends_s {
            let cuff_mmhg = match work {
                CuffWork::Open(_) => 0.0,
                CuffWork::ByScript => script.at(bedside.now_s()),
            };
            track.push(cuff_mmhg);
            let block = bedside.step(cuff_mmhg).chunks_exact(channels);
            samples.extend(block.map(|frame| frame.iter().sum::<f32>() / channels as f32));
        }
        Self { samples, rate_hz: case.rate_hz, truth: bedside.finish(), track }
    }

    /// The sound of this case as hands played it: the cuff's pressure was this, one value for each 4 ms.
    pub fn replayed(case: &Case, seed: u64, cuff_mmhg: &[f32]) -> Self {
        let mut bedside = Bedside::new(case, seed, crate::sim::ROOM_S);
        let (mut samples, channels) = (Vec::new(), bedside.channels());
        for mmhg in cuff_mmhg {
            let block = bedside.step(f64::from(*mmhg)).chunks_exact(channels);
            samples.extend(block.map(|frame| frame.iter().sum::<f32>() / channels as f32));
        }
        let track = Track::from(cuff_mmhg.to_vec());
        Self { samples, rate_hz: case.rate_hz, truth: bedside.finish(), track }
    }

    /// How long it is, seconds.
    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / f64::from(self.rate_hz.max(1))
    }

    /// When each pulse that an ideal observer hears begins, seconds.
    pub fn onsets(&self) -> Vec<f64> {
        let heard = self.truth.openings.iter().filter(|o| o.d_prime >= PLAIN);
        heard.map(|opening| opening.onset_s).collect()
    }

    /// What a tap at this moment would have come to, read off the needle in that moment.
    ///
    /// # Errors
    /// Nothing came back, or the artery was never closed.
    pub fn if_tapped(&self, at_s: f64) -> Result<Score, NoScore> {
        score(&self.truth, &self.track, at_s, None)
    }

    /// The same, in the words of a language; nothing before the cuff is at its top.
    pub fn if_tapped_said(&self, words: Words, at_s: f64) -> Vec<String> {
        if self.truth.inflations.first().is_none_or(|inflation| at_s < inflation.top_s) {
            return Vec::new();
        }
        match self.if_tapped(at_s) {
            Ok(score) => score.said(words).into_iter().take(2).collect(),
            Err(why) => vec![say!(words, "drill-no-score-here", why = why.said(words))],
        }
    }

    /// What happens from when on, in the words of a language: the examination as it goes. Empty where the cuff stayed open.
    pub fn narration(&self, words: Words) -> Vec<(f64, String)> {
        let plain = |id: &'static str| words.plain(id).to_owned();
        let number = |mmhg: f64| words.decimal(mmhg, 0);
        let mut told = vec![(0.0, plain(id!("listen-tell-open")))];
        let Some(inflation) = self.truth.inflations.first() else { return Vec::new() };
        let mut tell = |at_s: f64, said: String| told.push((at_s, said));
        tell(inflation.pump_start_s, plain(id!("listen-tell-squeeze")));
        let Some(closed_s) = inflation.closed_s else {
            tell(inflation.top_s, plain(id!("listen-tell-never")));
            return told;
        };
        tell(closed_s + BLOCK_S, plain(id!("listen-tell-gone")));
        let top = number(inflation.target_mmhg);
        let opened_s = inflation.top_s.max(closed_s + 1.0);
        tell(opened_s, say!(words, "listen-tell-valve", mmhg = top));
        let Some(back_s) = inflation.audible_s else { return told };
        let needle = self.track.at(back_s);
        tell(back_s, say!(words, "listen-tell-first", mmhg = number(needle)));
        let later: Vec<f64> = self.onsets().into_iter().filter(|s| *s > back_s + 0.05).collect();
        if let Some(second_s) = later.first() {
            tell(*second_s, plain(id!("listen-tell-second")));
        }
        if let Some(third_s) = later.get(1) {
            let there = self.track.at(*third_s);
            let (there, low) = (number(there), number(needle - there));
            tell(*third_s, say!(words, "listen-tell-third", mmhg = there, low = low));
        }
        if let Some(free_s) = later.get(4) {
            tell(*free_s, plain(id!("listen-tell-free")));
        }
        told
    }

    /// What is said at this moment.
    pub fn said_at(&self, words: Words, at_s: f64) -> Option<String> {
        let mut told = self.narration(words).into_iter();
        told.rfind(|(from_s, _)| *from_s <= at_s).map(|(_, said)| said)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::render;

    #[test]
    fn it_is_the_rendered_sound_and_its_truth() {
        let case = Case::default();
        let made = MadeSound::of(&case, 4, CuffWork::ByScript);
        let rendered = render(&case, 4);
        assert_eq!(made.samples[..], rendered.samples[..made.samples.len()]);
        assert_eq!(made.truth.audible_s, rendered.truth.audible_s);
        assert!(
            MadeSound::of(&case, 4, CuffWork::Open(6.0)).narration(Words::english()).is_empty()
        );
    }

    #[test]
    fn the_narration_names_the_first_pulse_and_what_two_beats_cost() {
        let made = MadeSound::of(&Case::default(), 4, CuffWork::ByScript);
        let back_s = made.truth.audible_s.unwrap();
        let english = Words::english();
        let told = made.narration(english);
        assert!(told.windows(2).all(|w| w[0].0 <= w[1].0), "{told:?}");
        let first = made.said_at(english, back_s + 0.01).unwrap();
        assert!(
            first.starts_with("The first pulse")
                && first.contains(&format!("{:.0} mmHg", made.track.at(back_s)))
        );
        assert!(!made.said_at(english, back_s - 0.01).unwrap().contains("first pulse"));
        let third = told.iter().find(|(_, said)| said.starts_with("Two beats later")).unwrap();
        let would = made.if_tapped(third.0 + 0.01).unwrap();
        assert_eq!(would.beats_late, 2);
        let low = -(would.error_mmhg.unwrap()).round();
        assert!(third.1.contains(&format!("{low:.0} too low")), "{} {low}", third.1);
        let mut little = Case::default();
        little.hand.target_mmhg = Some(80.0);
        let never = MadeSound::of(&little, 4, CuffWork::ByScript);
        assert!(never.narration(english).last().unwrap().1.contains("never stopped"));
        let top_s = never.truth.inflations[0].top_s;
        assert!(never.if_tapped_said(english, top_s + 1.0)[0].contains("could be scored"));
        assert!(never.if_tapped_said(english, 1.0).is_empty());
    }
}
