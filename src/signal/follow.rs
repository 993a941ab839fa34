//! Loss and return: which candidate beats are the patient's, when they vanished under the closing
//! cuff, and when they came back.
//!
//! Two chains are kept over all candidates, by dynamic programming. The first is the pulse before the
//! cuff closes. The second begins after a gap and is the pulse that came back. A beat joins a chain by
//! what it sounds like (its evidence) and by when it comes (the rhythm). A chain that returns must
//! carry more evidence than the hypothesis that nothing did.

use super::pulse::Beat;
use super::rhythm::Period;

/// Candidates kept; with at most five a second this is far more than a return needs.
const KEPT: usize = 256;
/// The longest gap inside one chain, frames: 4 s, for pauses of an irregular heart.
const GAP_MAX: u64 = 400;
/// The shortest silence that counts as a closed cuff, frames.
const CLOSED_MIN: u64 = 170;

/// What the chain needs to believe, in natural-log units; tuned on the tuning half of the trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Cost of beginning the first chain.
    pub start: f32,
    /// Cost of beginning the chain that returns.
    pub again: f32,
    /// Weight of the rhythm against the sound.
    pub rhythm: f32,
    /// How much the returned chain must exceed the best story without a return.
    pub margin: f32,
    /// The same for a cue on a single beat, which must be right about the next one.
    pub alone: f32,
    /// What is taken off each candidate's evidence, and what it is then multiplied by.
    pub bias: f32,
    /// See `bias`.
    pub gain: f32,
}

/// What the hearings need to believe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beliefs {
    /// For the cue.
    pub near: Belief,
    /// For pulses and their loss.
    pub far: Belief,
    /// For second hearing.
    pub late: Belief,
    /// Log-odds by which a cue must be thought right.
    pub cue: f32,
}

impl Default for Beliefs {
    /// As tuned on the tuning half of the trial (docs/signal.md).
    fn default() -> Self {
        Self {
            near: Belief {
                start: 2.1,
                again: 4.15,
                rhythm: 0.1,
                margin: 0.2,
                alone: 0.8,
                bias: -0.45,
                gain: 1.1,
            },
            far: Belief {
                start: 2.95,
                again: 4.2,
                rhythm: 1.0,
                margin: 2.85,
                alone: 0.0,
                bias: 0.7,
                gain: 1.1,
            },
            late: Belief {
                start: 4.55,
                again: 4.65,
                rhythm: 1.15,
                margin: 0.55,
                alone: 0.9,
                bias: 1.3,
                gain: 1.15,
            },
            cue: 3.8,
        }
    }
}

/// A candidate in the chains.
#[derive(Debug, Clone, Copy)]
struct Node {
    beat: Beat,
    evidence: f32,
    /// Best score of a first chain that ends here, and of a returned one.
    first: f32,
    first_beats: u32,
    back: Option<Back>,
}

/// A returned chain that ends at some candidate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Back {
    /// Score of all evidence, the first chain included.
    pub score: f32,
    /// Number of the candidate before, within the same chain.
    before: Option<u64>,
    /// Number of the last candidate of the first chain, where there was one.
    pub lost: Option<u64>,
    /// Number of the candidate that the chain begins with.
    pub start: u64,
    /// Beats in it.
    pub beats: u32,
}

/// Follows the candidates of one inflation.
#[derive(Debug)]
pub struct Follower {
    belief: Belief,
    nodes: Vec<Node>,
    /// Candidates seen since the beginning; the newest has number `count - 1`.
    count: u64,
    /// First candidate of this inflation.
    since: u64,
    /// The best end of a first chain in this inflation.
    best_first: Option<(u64, f32)>,
    best_back: Option<(u64, Back)>,
    period: Option<Period>,
}

impl Follower {
    /// Everything is allocated here.
    pub fn new(belief: Belief) -> Self {
        Self {
            belief,
            nodes: Vec::with_capacity(KEPT),
            count: 0,
            since: 0,
            best_first: None,
            best_back: None,
            period: None,
        }
    }

    fn node(&self, number: u64) -> &Node {
        &self.nodes[(number % KEPT as u64) as usize]
    }

    fn oldest(&self) -> u64 {
        self.count.saturating_sub(KEPT as u64).max(self.since)
    }

    /// The rhythm to expect from now on.
    pub fn expect(&mut self, period: Option<Period>) {
        self.period = period;
    }

    fn fit(&self, gap: u64) -> f32 {
        // Without a known period any interval of a resting heart will do.
        let unknown = Period { frames: 90.0, clarity: 0.0 };
        self.belief.rhythm * self.period.unwrap_or(unknown).log_fit(gap as f32)
    }

    /// Takes a candidate and its evidence: natural log of how much likelier the sound is if it is a beat.
    pub fn push(&mut self, beat: Beat, evidence: f32) {
        let number = self.count;
        let raw = evidence;
        let evidence = self.belief.gain * (evidence - self.belief.bias);
        let mut first = (-self.belief.start, 1);
        let mut joined: Option<Back> = None;
        let mut lost: Option<(u64, f32)> = None;
        for earlier in self.oldest()..number {
            let node = self.node(earlier);
            let gap = beat.onset.saturating_sub(node.beat.onset);
            if beat.onset >= node.beat.end + CLOSED_MIN
                && lost.is_none_or(|(_, score)| node.first > score)
            {
                lost = Some((earlier, node.first));
            }
            if gap == 0 || gap > GAP_MAX {
                continue;
            }
            let fit = self.fit(gap);
            if node.first + fit > first.0 {
                first = (node.first + fit, node.first_beats + 1);
            }
            if let Some(back) = node.back
                && joined.is_none_or(|j| back.score + fit > j.score)
            {
                let (score, beats) = (back.score + fit, back.beats + 1);
                joined = Some(Back { score, before: Some(earlier), beats, ..back });
            }
        }
        let begun = self.begin(number, &beat, lost);
        let back = match (joined, begun) {
            (Some(j), Some(b)) => Some(if b.score > j.score { b } else { j }),
            (j, b) => j.or(b),
        };
        let back = back.map(|b| Back { score: b.score + evidence, ..b });
        self.keep(Node {
            beat,
            evidence: raw,
            first: first.0 + evidence,
            first_beats: first.1,
            back,
        });
    }

    /// A returned chain that begins with this candidate: after a pulse that was lost, or, where no
    /// pulse was heard at all, after a silence since the beginning.
    fn begin(&self, number: u64, beat: &Beat, lost: Option<(u64, f32)>) -> Option<Back> {
        let heard = lost.filter(|&(_, score)| score > 0.0);
        let (base, lost) = match heard {
            Some((lost, score)) => (score, Some(lost)),
            None if self.since == 0 && beat.onset >= CLOSED_MIN => (0.0, None),
            None => return None,
        };
        let score = base - self.belief.again;
        Some(Back { score, before: None, lost, start: number, beats: 1 })
    }

    fn keep(&mut self, node: Node) {
        let slot = (self.count % KEPT as u64) as usize;
        if slot < self.nodes.len() {
            self.nodes[slot] = node;
        } else {
            self.nodes.push(node);
        }
        let number = self.count;
        self.count += 1;
        if self.best_first.is_none_or(|(_, score)| node.first > score) {
            self.best_first = Some((number, node.first));
        }
        if let Some(back) = node.back
            && self.best_back.is_none_or(|(_, best)| back.score > best.score)
        {
            self.best_back = Some((number, back));
        }
    }

    /// The last beat of the pulse before the cuff closed, and the chain's evidence and beats.
    pub fn first(&self) -> Option<(Beat, f32, u32)> {
        let (number, score) = self.best_first?;
        let node = self.node(number);
        (number >= self.oldest()).then_some((node.beat, score, node.first_beats))
    }

    /// The best returned chain so far and by how much it exceeds any story without a return.
    pub fn back(&self) -> Option<(Back, f32)> {
        let (number, back) = self.best_back?;
        if number < self.oldest() {
            return None;
        }
        let without = self.best_first.map_or(0.0, |(_, score)| score.max(0.0));
        Some((back, back.score - without))
    }

    /// Numbers of the candidates that are kept, in order of time.
    pub fn numbers(&self) -> std::ops::Range<u64> {
        self.oldest()..self.count
    }

    /// The candidate of this number, while it is kept.
    pub fn beat(&self, number: u64) -> Option<(Beat, f32)> {
        (number >= self.oldest() && number < self.count)
            .then(|| (self.node(number).beat, self.node(number).evidence))
    }

    /// The beats of the best returned chain, newest first.
    pub fn chain(&self) -> impl Iterator<Item = (u64, Beat, f32)> + '_ {
        let mut at = self.best_back.map(|(number, _)| number);
        std::iter::from_fn(move || {
            let number = at.filter(|&n| n >= self.oldest())?;
            let node = self.node(number);
            at = node.back.and_then(|b| b.before);
            Some((number, node.beat, node.evidence))
        })
    }

    /// The highest evidence of a candidate after `from` (or the beginning) and before `until`.
    pub fn highest_between(&self, from: Option<u64>, until: u64) -> f32 {
        let from = from.map_or(self.oldest(), |n| (n + 1).max(self.oldest()));
        (from..until).map(|n| self.node(n).evidence).fold(-6.0, f32::max)
    }

    /// The highest evidence of a candidate that begins in these frames; -6 where there is none.
    pub fn highest_at(&self, frames: std::ops::Range<u64>) -> f32 {
        let kept = self.numbers().rev().filter_map(|n| self.beat(n));
        let kept = kept.take_while(|(beat, _)| beat.onset >= frames.start);
        kept.filter(|(beat, _)| beat.onset < frames.end).map(|(_, e)| e).fold(-6.0, f32::max)
    }

    /// Begins the next inflation: what sounds from frame `onset` on is the pulse that may be lost again.
    pub fn turn_over(&mut self, onset: u64) {
        let end = self.count;
        let from = (self.oldest()..end).find(|&n| self.node(n).beat.onset + 5 >= onset);
        let from = from.unwrap_or(end);
        self.since = from.max(1);
        self.best_first = None;
        self.best_back = None;
        // Taken in again one by one, in place: a candidate only looks at those before it.
        self.count = from;
        for number in from..end {
            let Node { beat, evidence, .. } = *self.node(number);
            self.push(beat, evidence);
        }
    }
}
