//! What a candidate beat's sound says, as natural-log odds that it is one: how it sounds by itself, how
//! it compares with the patient's own pulse before the cuff closed, and how busy the room was before it.

use super::super::bands::BANDS;
use super::super::pulse::Beat;
use super::super::repeats::REPEATS;
use super::weights::Net;

/// What the judge weighs: height, mass, length; levels, rise, difference from the patient's own pulse;
/// tone; whether an own pulse is known; how many candidates came in the last 6 s, and the highest of
/// those 1.5 s ago and more; how unlike the most alike of these it is; how the moment compares with the
/// past (`repeats`).
pub const TRAITS: usize = 3 + 3 * BANDS + 4 + 1 + 3 + REPEATS;
/// Candidates of the last seconds that are remembered.
const RECENT: usize = 32;
/// How unlike a beat is where there is no other to be held against.
pub const UNLIKE: f32 = 3.0;

/// Weighs candidates with a small learned network.
#[derive(Debug)]
pub struct Judge {
    net: Net<TRAITS>,
    /// Peak frame, height and levels of recent candidates, a ring.
    recent: [(u64, f32, [f32; BANDS]); RECENT],
    seen: usize,
}

/// A candidate weighed.
#[derive(Debug, Clone, Copy)]
pub struct Weighed {
    /// Natural-log odds that it is a beat.
    pub evidence: f32,
    /// What was weighed, for training.
    pub traits: [f32; TRAITS],
}

impl Judge {
    /// A judge with these weights.
    ///
    /// # Panics
    /// Where the shipped weights are broken, which a test excludes.
    pub fn new(weights: &str) -> Self {
        let net = Net::new(weights);
        Self { net, recent: [(0, f32::NEG_INFINITY, [0.0; BANDS]); RECENT], seen: 0 }
    }

    /// Weighs a candidate beside the patient's own pulse, where that is known.
    pub fn weigh(&mut self, beat: &Beat, own: Option<&[f32; BANDS]>) -> Weighed {
        let traits = self.traits(beat, own);
        let evidence = self.net.run(&traits).clamp(-6.0, 6.0);
        self.recent[self.seen % RECENT] = (beat.peak, beat.height, beat.levels);
        self.seen += 1;
        Weighed { evidence, traits }
    }

    fn traits(&self, beat: &Beat, own: Option<&[f32; BANDS]>) -> [f32; TRAITS] {
        let mut traits = [0.0; TRAITS];
        let length = (beat.end.saturating_sub(beat.onset)) as f32 * 0.1;
        traits[..3].copy_from_slice(&[beat.height, beat.mass.min(30.0), length]);
        traits[3..3 + BANDS].copy_from_slice(&beat.levels);
        traits[3 + BANDS..3 + 2 * BANDS].copy_from_slice(&beat.rise);
        if let Some(own) = own {
            for band in 0..BANDS {
                traits[3 + 2 * BANDS + band] = beat.levels[band] - own[band];
            }
        }
        let rest = &mut traits[3 + 3 * BANDS..];
        rest[..4].copy_from_slice(&beat.tone);
        rest[4] = f32::from(u8::from(own.is_some()));
        let age = |at: u64| beat.onset.saturating_sub(at);
        let recent = &self.recent[..self.seen.min(RECENT)];
        rest[5] = recent.iter().filter(|(at, ..)| age(*at) < 600).count() as f32;
        let past = || recent.iter().filter(|(at, ..)| (150..900).contains(&age(*at)));
        rest[6] = past().map(|(_, height, _)| *height).fold(-3.0, f32::max);
        rest[7] = past().map(|(.., levels)| unlike(levels, &beat.levels)).fold(UNLIKE, f32::min);
        rest[8..].copy_from_slice(&beat.again);
        traits
    }
}

/// Mean difference over the bands, natural log of power.
fn unlike(a: &[f32; BANDS], b: &[f32; BANDS]) -> f32 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).sum::<f32>() / BANDS as f32
}
