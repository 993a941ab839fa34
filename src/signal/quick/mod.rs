//! The quick way: a small scorer says of each frame how much it sounds like a pulse, judges weigh the beats that are picked
//! from its scores, and chains of them name cue and return.
//!
//! It hears three times over, and the hearings differ in how far they look ahead: near for the cue, far for pulses and their
//! loss, late for the return. The far one's chain is the listener's own.

mod choice;
mod judge;
mod scorer;
mod study;
mod weights;

pub use choice::{CONFIDENCE_TRAITS, CUE_TRAITS, START_TRAITS};
pub use judge::TRAITS;
pub use scorer::{FrameScore, LATE_FRAMES, Scorer};
pub use study::{Candidate, CueMoment, Hearing, PossibleFirst};

use super::bands::{BANDS, HOP};
use super::clock::FrameClock;
use super::follow::{Back, Beliefs};
use super::hearing::ChainHearing;
use super::intake::WORKING_HZ;
use super::pulse::Beat;
use super::pulses::FAR_FRAMES;
use super::queue::BoundedQueue;
use super::rhythm::Period;
use super::spectrum::FEATURES;
use super::{ChainEvidence, Evidence, Return};
use crate::units::SampleIndex;
use choice::{Chooser, Link, Setting};
use judge::Judge;
use scorer::NEAR_FRAMES;
use weights::{FAR_JUDGE, LATE_JUDGE, NEAR_JUDGE};

/// Frames after which a candidate counts for the cue even while it sounds: 100 ms.
const RIPE: u64 = 10;
/// A chain on which a cue may be given exceeds any story without a return by this much at least.
const WORTH_A_LOOK: f32 = 0.3;

/// See this file's purpose. Everything is allocated in `new`.
pub struct Quick {
    beliefs: Beliefs,
    scorer: Scorer,
    near: ChainHearing,
    late: ChainHearing,
    judges: Judges,
    /// The log-odds of beginnings, on their way to the late hearing: a ring.
    begins: Vec<f32>,
    frames: usize,
    chooser: Chooser,
    moments: BoundedQueue<CueMoment>,
    firsts: BoundedQueue<PossibleFirst>,
}

/// What the listener knows beside it.
#[derive(Clone, Copy)]
pub struct QuickContext<'a> {
    /// The far hearing.
    pub far: &'a ChainHearing,
    /// The rhythm that the return is expected to keep.
    pub period: Option<Period>,
    /// Where frames lie in the sound.
    pub clock: FrameClock,
}

/// A judge for each hearing, and the candidates that they weighed since these were last shown.
struct Judges {
    each: [Judge; 3],
    weighed: [BoundedQueue<Candidate>; 3],
}

impl Judges {
    /// Natural-log odds that a candidate of this hearing is a beat.
    fn weigh(&mut self, of: Hearing, beat: &Beat, own: Option<&[f32; BANDS]>) -> f32 {
        let weighed = self.each[of as usize].weigh(beat, own);
        let seconds = |frame: u64| (frame * HOP as u64) as f64 / f64::from(WORKING_HZ) + 0.016;
        self.weighed[of as usize].push(Candidate {
            onset_s: seconds(beat.onset),
            end_s: seconds(beat.end),
            evidence: weighed.evidence,
            traits: weighed.traits,
        });
        weighed.evidence
    }
}

impl Quick {
    /// With the shipped weights.
    pub fn new(beliefs: Beliefs) -> Self {
        Self {
            beliefs,
            scorer: Scorer::default(),
            near: ChainHearing::new(NEAR_FRAMES, RIPE, beliefs.near),
            late: ChainHearing::new(LATE_FRAMES, u64::MAX, beliefs.late),
            judges: Judges {
                each: [NEAR_JUDGE, FAR_JUDGE, LATE_JUDGE].map(Judge::new),
                weighed: Default::default(),
            },
            begins: vec![f32::NEG_INFINITY; LATE_FRAMES - FAR_FRAMES],
            frames: 0,
            chooser: Chooser::default(),
            moments: BoundedQueue::default(),
            firsts: BoundedQueue::default(),
        }
    }

    /// Takes a frame's features; what is said of the past.
    pub fn score(&mut self, features: &[f32; FEATURES]) -> FrameScore {
        self.scorer.push(features)
    }

    /// A frame for the cue; whether that completed a candidate.
    pub fn hear_near(
        &mut self,
        features: &[f32; FEATURES],
        score: &FrameScore,
        present: bool,
    ) -> bool {
        let Some(beat) = self.near.pick(features, score.near, None) else { return false };
        let evidence = self.judges.weigh(Hearing::Near, &beat, self.near.own());
        self.near.take(&beat, evidence, present);
        true
    }

    /// What the far hearing's judge says of its candidate.
    pub fn weigh_far(&mut self, beat: &Beat, own: Option<&[f32; BANDS]>) -> f32 {
        self.judges.weigh(Hearing::Far, beat, own)
    }

    /// A frame for the return; its beginnings are those that the far score named.
    pub fn hear_late(&mut self, features: &[f32; FEATURES], score: &FrameScore, present: bool) {
        let slot = self.frames % self.begins.len();
        self.frames += 1;
        let begins = std::mem::replace(&mut self.begins[slot], score.far.begins);
        let Some(beat) = self.late.pick(features, score.late, Some(begins)) else { return };
        let evidence = self.judges.weigh(Hearing::Late, &beat, self.late.own());
        self.late.take(&beat, evidence, present);
    }

    /// The hearing by whose chain the return goes.
    pub fn late(&self) -> &ChainHearing {
        &self.late
    }

    /// The rhythm to expect from now on.
    pub fn expect(&mut self, period: Option<Period>) {
        self.near.follower.expect(period);
        self.late.follower.expect(period);
    }

    /// The next inflation begins: see [`super::follow::Follower::turn_over`].
    pub fn turn_over(&mut self, onset: u64) {
        self.near.follower.turn_over(onset);
        self.late.follower.turn_over(onset);
    }

    /// Whether a cue is given now: where the chain begins, and the log-odds that it is right. `busy` are the six slow means.
    pub fn cue(
        &mut self,
        now: SampleIndex,
        busy: &[f32],
        beside: QuickContext<'_>,
    ) -> Option<(SampleIndex, f32)> {
        let follower = &self.near.follower;
        let (back, margin) = follower.back()?;
        let (first, _) = follower.beat(back.start)?;
        let (_, newest, _) = follower.chain().next()?;
        if margin < WORTH_A_LOOK {
            return None;
        }
        let QuickContext { far, period, clock } = beside;
        let others = [&far.follower, &self.late.follower];
        let own = self.near.own();
        let setting = Setting { follower, back, margin, period, own, beside: others };
        let (odds, traits) = self.chooser.cue(&setting, busy);
        self.moments.push(CueMoment { at: now, newest: clock.middle(newest.onset), traits });
        let least = match back.beats {
            1 => self.beliefs.near.alone,
            _ => self.beliefs.near.margin,
        };
        let given = margin > least && odds > self.beliefs.cue;
        given.then(|| (clock.middle(first.onset), odds))
    }

    /// The return that the late chain stands for, its cue not yet entered, and the frame at which it begins; `of` returns were
    /// told before. `None` where the chain is no longer kept.
    pub fn returned(
        &mut self,
        (back, margin): (Back, f32),
        of: u32,
        beside: QuickContext<'_>,
    ) -> Option<(Return, u64)> {
        let QuickContext { far, period, clock } = beside;
        let follower = &self.late.follower;
        let others = [&far.follower, &self.near.follower];
        let own = self.late.own();
        let setting = Setting { follower, back, margin, period, own, beside: others };
        let (first, choice) = self.chooser.choose(&setting)?;
        let lost = back.lost.and_then(|n| follower.beat(n)).map(|(beat, _)| beat.end);
        let evidence = self.evidence(back, margin, &first, choice);
        for start in self.chooser.starts() {
            let onset = clock.middle(start.link.beat.onset);
            self.firsts.push(PossibleFirst { of, onset, traits: start.traits });
        }
        let found = Return {
            lost: lost.map(|frame| clock.middle(frame)),
            onset: clock.middle(first.beat.onset),
            cue: None,
            confidence: self.chooser.confidence(&evidence),
            evidence: Evidence::Chain(evidence),
        };
        Some((found, first.beat.onset))
    }

    /// What carried a return whose first beat is `first`.
    fn evidence(&self, back: Back, margin: f32, first: &Link, choice: f32) -> ChainEvidence {
        let follower = &self.late.follower;
        let whole: f32 = follower.chain().map(|(_, _, weight)| weight).sum();
        let from = || self.chooser.from(first);
        let next = from().skip(1).take(2).map(|link| link.evidence).sum::<f32>() / 2.0;
        ChainEvidence {
            sound: from().map(|link| link.evidence).sum(),
            rhythm: margin - whole,
            first: first.evidence,
            next,
            rival: follower.highest_between(back.lost, first.number),
            margin,
            beats: from().count() as u32,
            choice,
        }
    }

    /// The next candidate that this hearing weighed, oldest first.
    pub fn poll_candidate(&mut self, of: Hearing) -> Option<Candidate> {
        self.judges.weighed[of as usize].pop()
    }

    /// The next moment at which a cue was thought about, oldest first.
    pub fn poll_moment(&mut self) -> Option<CueMoment> {
        self.moments.pop()
    }

    /// The next beat that was, or might have been, the first of a return, oldest first.
    pub fn poll_first(&mut self) -> Option<PossibleFirst> {
        self.firsts.pop()
    }
}
