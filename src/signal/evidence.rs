//! What a candidate beat's sound says, as natural-log odds that it is one: how it sounds by itself, how
//! it compares with the patient's own pulse before the cuff closed, and how busy the room was before it.

use super::bands::BANDS;
use super::pulse::Beat;
use super::repeats::REPEATS;
use super::weights::Net;

/// What the judge weighs: height, mass, length; levels, rise, difference from the patient's own pulse;
/// tone; whether an own pulse is known; how many candidates came in the last 6 s, and the highest of
/// those 1.5 s ago and more; how unlike the most alike of these it is; how the moment compares with the
/// past (`repeats`).
pub const TRAITS: usize = 3 + 3 * BANDS + 4 + 1 + 3 + REPEATS;
/// Candidates of the last seconds that are remembered.
const RECENT: usize = 32;
/// A candidate this high, before the pulse is lost, teaches what the patient's pulse sounds like.
const TEACHES: f32 = 0.5;
/// Natural log of power over background from which a band of the own pulse stands out.
const STOOD_OUT: f32 = 1.5;
/// How unlike a beat is where there is no other to be held against.
pub const UNLIKE: f32 = 3.0;
/// Weight of the newest such beat.
const LEARNING: f32 = 0.2;

/// Weighs candidates with a small learned network.
#[derive(Debug)]
pub struct Judge {
    net: Net<TRAITS>,
    own: Option<[f32; BANDS]>,
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
        Self { net, own: None, recent: [(0, f32::NEG_INFINITY, [0.0; BANDS]); RECENT], seen: 0 }
    }

    /// Weighs a candidate; while the pulse is there (`present`), plain beats teach what it sounds like.
    pub fn weigh(&mut self, beat: &Beat, present: bool) -> Weighed {
        let traits = self.traits(beat);
        let evidence = self.net.run(&traits).clamp(-6.0, 6.0);
        self.recent[self.seen % RECENT] = (beat.peak, beat.height, beat.levels);
        self.seen += 1;
        self.learn(beat, present);
        Weighed { evidence, traits }
    }

    /// A plain beat teaches what the pulse sounds like while it is there.
    pub fn learn(&mut self, beat: &Beat, present: bool) {
        if present && beat.height > TEACHES {
            let own = self.own.get_or_insert(beat.levels);
            own.iter_mut().zip(&beat.levels).for_each(|(o, l)| *o += LEARNING * (l - *o));
        }
    }

    /// By how much a beat is weaker than the patient's own pulse was, natural log of power, over the bands
    /// in which that stood out; `None` where no own pulse is known or it stood out nowhere.
    pub fn weaker_by(&self, beat: &Beat) -> Option<f32> {
        let own = self.own.as_ref()?;
        let plain = own.iter().zip(&beat.levels).filter(|(own, _)| **own > STOOD_OUT);
        let (sum, bands) = plain.fold((0.0, 0), |(sum, n), (own, now)| (sum + own - now, n + 1));
        (bands > 0).then(|| sum / bands as f32)
    }

    /// Mean level of each band over the patient's own pulse, where one is known.
    pub fn own(&self) -> Option<&[f32; BANDS]> {
        self.own.as_ref()
    }

    fn traits(&self, beat: &Beat) -> [f32; TRAITS] {
        let mut traits = [0.0; TRAITS];
        let length = (beat.end.saturating_sub(beat.onset)) as f32 * 0.1;
        traits[..3].copy_from_slice(&[beat.height, beat.mass.min(30.0), length]);
        traits[3..3 + BANDS].copy_from_slice(&beat.levels);
        traits[3 + BANDS..3 + 2 * BANDS].copy_from_slice(&beat.rise);
        if let Some(own) = &self.own {
            for band in 0..BANDS {
                traits[3 + 2 * BANDS + band] = beat.levels[band] - own[band];
            }
        }
        let rest = &mut traits[3 + 3 * BANDS..];
        rest[..4].copy_from_slice(&beat.tone);
        rest[4] = f32::from(u8::from(self.own.is_some()));
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
