//! Second thoughts once a chain stands: which of its beats (or of the sounds just before it) was the first,
//! whether a cue may be given on it, and how sure the answer is. Each is a small learned network.

use super::super::ChainEvidence;
use super::super::bands::BANDS;
use super::super::follow::{Back, Follower};
use super::super::pulse::Beat;
use super::super::rhythm::Period;
use super::judge::UNLIKE;
use super::weights::{CONFIDENCE, CUE_JUDGE, FIRST_BEAT, Net};

/// What is weighed of a beat that may have been the first; see `Chooser::start_traits`.
pub const START_TRAITS: usize = 45;
/// What is weighed of a chain on which a cue may be given; see `Chooser::cue_traits`.
pub const CUE_TRAITS: usize = 48;
/// What is weighed of a return: the evidence of [`ChainEvidence`], in its order.
pub const CONFIDENCE_TRAITS: usize = 8;

/// Candidates kept of a chain and before it.
const LINE: usize = 288;
/// Beats of the chain that may have been the first, and candidates before it.
const WITHIN: usize = 6;
const BEFORE: usize = 10;
/// How long before the chain the first may lie, frames: 4 s.
const REACH: u64 = 400;
/// A candidate before the chain with less evidence is no beat.
const FAINTEST: f32 = -4.0;
/// Frames between a beat in one hearing and in another by which they count as the same: 150 ms.
const SAME: u64 = 15;

/// A candidate with its number.
#[derive(Debug, Clone, Copy)]
pub struct Link {
    /// Its number.
    pub number: u64,
    /// What was picked.
    pub beat: Beat,
    /// Its judge's word.
    pub evidence: f32,
}

/// A beat that may have been the first, as it was weighed.
#[derive(Debug, Clone, Copy)]
pub struct FirstCandidate {
    /// The candidate.
    pub link: Link,
    /// Log-odds before the others are looked at.
    pub odds: f32,
    /// What was weighed.
    pub traits: [f32; START_TRAITS],
}

/// Holds the three networks and room for a chain.
#[derive(Debug)]
pub struct Chooser {
    first: Net<START_TRAITS>,
    cue: Net<CUE_TRAITS>,
    sure: Net<CONFIDENCE_TRAITS>,
    /// Candidates just before the chain, then the chain, in order of time.
    line: Vec<Link>,
    /// How many lie before the chain.
    before: usize,
    starts: Vec<FirstCandidate>,
}

impl Default for Chooser {
    /// With the shipped weights; everything is allocated here.
    fn default() -> Self {
        Self {
            first: Net::new(FIRST_BEAT),
            cue: Net::new(CUE_JUDGE),
            sure: Net::new(CONFIDENCE),
            line: Vec::with_capacity(LINE),
            before: 0,
            starts: Vec::with_capacity(WITHIN + BEFORE),
        }
    }
}

/// What a chain is weighed by beside its own beats.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// All candidates.
    pub follower: &'a Follower,
    /// The chain.
    pub back: Back,
    /// By how much it exceeds any story without a return.
    pub margin: f32,
    /// The rhythm that it is expected to keep.
    pub period: Option<Period>,
    /// The patient's own pulse before the cuff closed.
    pub own: Option<&'a [f32; BANDS]>,
    /// The candidates of the two other hearings, the far one first.
    pub beside: [&'a Follower; 2],
}

impl Setting<'_> {
    fn frames(&self) -> f32 {
        self.period.map_or(85.0, |p| p.frames)
    }

    fn clarity(&self) -> f32 {
        self.period.map_or(0.0, |p| p.clarity)
    }

    /// How well an interval fits the rhythm, and how many periods it is.
    fn interval(&self, from: &Beat, to: &Beat) -> (f32, f32) {
        let gap = to.onset.saturating_sub(from.onset) as f32;
        let unknown = Period { frames: 90.0, clarity: 0.0 };
        let fit = self.period.unwrap_or(unknown).log_fit(gap);
        (fit.clamp(-6.0, 6.0), (gap / self.frames()).min(4.0))
    }

    /// Seconds from the loss (or the beginning) to this frame, as a natural log.
    fn closed(&self, onset: u64) -> f32 {
        let lost = self.back.lost.and_then(|n| self.follower.beat(n)).map_or(0, |(b, _)| b.end);
        (0.01 * onset.saturating_sub(lost) as f32).max(0.1).ln()
    }

    /// How unlike the beat is to the most alike candidate between the loss and 1.5 s before it.
    fn unlike(&self, beat: &Beat) -> f32 {
        let from = self.back.lost.map_or(0, |n| n + 1);
        let earlier = self.follower.numbers().filter(|n| *n >= from);
        let earlier = earlier.filter_map(|n| self.follower.beat(n));
        let earlier = earlier.filter(|(b, _)| b.onset + 150 < beat.onset);
        earlier.map(|(b, _)| apart(&b.levels, &beat.levels)).fold(UNLIKE, f32::min)
    }

    /// Candidates with evidence over `least` whose onset lies in these frames, without those of `line`.
    fn others(&self, frames: std::ops::Range<u64>, least: f32, line: &[Link]) -> f32 {
        let candidates = self.follower.numbers().filter_map(|n| self.follower.beat(n));
        let inside = candidates.filter(|(b, e)| frames.contains(&b.onset) && *e > least);
        inside.filter(|(b, _)| line.iter().all(|l| l.beat.onset != b.onset)).count() as f32
    }
}

impl Chooser {
    /// Which candidate was the first of this chain, and its share among those that could be; `None` where the
    /// chain is no longer kept.
    pub fn choose(&mut self, setting: &Setting<'_>) -> Option<(Link, f32)> {
        self.lay_out(setting);
        self.starts.clear();
        let end = self.line.len().min(self.before + WITHIN);
        // A chain's last beat has no next one that it could be the first of two with.
        for at in 0..end.min(self.line.len().saturating_sub(1)).max(self.before + 1).min(end) {
            let traits = self.start_traits(setting, at);
            let odds = self.first.run(&traits);
            self.starts.push(FirstCandidate { link: self.line[at], odds, traits });
        }
        let best = self.starts.iter().max_by(|a, b| a.odds.total_cmp(&b.odds))?;
        let sum: f32 = self.starts.iter().map(|s| (s.odds - best.odds).exp()).sum();
        Some((best.link, 1.0 / sum))
    }

    /// Those that were weighed last.
    pub fn starts(&self) -> &[FirstCandidate] {
        &self.starts
    }

    /// The chain from this candidate on, in order of time.
    pub fn from(&self, first: &Link) -> impl Iterator<Item = &Link> {
        let number = first.number;
        let chain = self.line.iter().enumerate();
        chain
            .filter(move |(i, l)| l.number >= number && (*i >= self.before || l.number == number))
            .map(|(_, link)| link)
    }

    /// Fills the line: up to [`BEFORE`] candidates just before the chain, then the chain.
    fn lay_out(&mut self, setting: &Setting<'_>) {
        let follower = setting.follower;
        self.line.clear();
        self.line.extend(
            follower
                .chain()
                .map(|(number, beat, evidence)| Link { number, beat, evidence })
                .take(LINE - BEFORE),
        );
        let start = setting.back.start;
        let first = self.line.last().map_or(0, |l| l.beat.onset);
        let after = setting.back.lost.map_or(0, |n| n + 1);
        let earlier = follower.numbers().rev().filter(|n| (after..start).contains(n));
        let earlier = earlier
            .filter_map(|number| {
                let (beat, evidence) = follower.beat(number)?;
                Some(Link { number, beat, evidence })
            })
            .filter(|l| l.evidence > FAINTEST && l.beat.onset + REACH >= first);
        let chain = self.line.len();
        self.line.extend(earlier.take(BEFORE));
        self.before = self.line.len() - chain;
        self.line.reverse();
    }

    /// The beat that comes `steps` after the one at `at` if that is the first.
    fn later(&self, at: usize, steps: usize) -> Option<&Link> {
        match steps {
            0 => self.line.get(at),
            _ if at < self.before => self.line.get(self.before + steps - 1),
            _ => self.line.get(at + steps),
        }
    }

    fn mean_evidence(&self, at: usize, steps: std::ops::Range<usize>) -> f32 {
        let beats = steps.filter_map(|s| self.later(at, s)).map(|l| l.evidence);
        let (sum, n) = beats.fold((0.0, 0.0), |(sum, n), e| (sum + e, n + 1.0));
        if n > 0.0 { sum / n } else { -6.0 }
    }

    /// How a beat goes with those of the chain after it: how unlike their mean in shape, how much weaker,
    /// its distance from the next in their own intervals, and how far that is from a whole number of them.
    fn among(&self, at: usize) -> [f32; 4] {
        let beat = &self.line[at].beat;
        let chain = &self.line[self.before.max(at + 1).min(self.line.len())..];
        let chain = &chain[..chain.len().min(6)];
        let Some(next) = chain.first() else { return [UNLIKE, 0.0, 1.0, 0.0] };
        let mut levels = [0.0; BANDS];
        for link in chain {
            levels
                .iter_mut()
                .zip(&link.beat.levels)
                .for_each(|(l, b)| *l += b / chain.len() as f32);
        }
        let mut gaps = [85.0f32; 5];
        let number = chain.len() - 1;
        for (gap, pair) in gaps.iter_mut().zip(chain.windows(2)) {
            *gap = pair[1].beat.onset.saturating_sub(pair[0].beat.onset) as f32;
        }
        gaps[..number].sort_unstable_by(f32::total_cmp);
        let own = next.beat.onset.saturating_sub(beat.onset) as f32 / gaps[number / 2].max(20.0);
        let steps = own.min(5.0);
        [
            apart(&beat.levels, &levels),
            mean(&levels) - mean(&beat.levels),
            steps,
            (steps - steps.round()).abs(),
        ]
    }

    /// Everything about one beat as the first, with the whole chain in view.
    fn start_traits(&self, setting: &Setting<'_>, at: usize) -> [f32; START_TRAITS] {
        let link = &self.line[at];
        let beat = &link.beat;
        let next = self.later(at, 1).unwrap_or(link);
        let third = self.later(at, 2).unwrap_or(next);
        let (fit, gap) = setting.interval(beat, &next.beat);
        let (fit2, gap2) = setting.interval(&next.beat, &third.beat);
        let four = self.mean_evidence(at, 0..4);
        let rival = setting.follower.highest_between(setting.back.lost, link.number);
        let before = at.checked_sub(1).map(|i| &self.line[i]);
        let skipped = &self.line[self.before.min(at)..at];
        let own_start = at as f32 - self.before as f32;
        let onset = beat.onset;
        let last = self.later(at, 3).unwrap_or(third).beat.onset;
        let chain = &self.line[self.before..];
        let others = |frames, least| setting.others(frames, least, chain);
        let same = onset.saturating_sub(SAME)..onset + SAME + 1;
        let beside = setting.beside.map(|side| side.highest_at(same.clone()));
        let among = self.among(at);
        [
            link.evidence,
            next.evidence,
            self.mean_evidence(at, 2..4),
            self.mean_evidence(at, 1..6),
            beat.height,
            beat.mass.min(30.0),
            length_s(beat),
            beat.strength_db(),
            next.beat.strength_db() - beat.strength_db(),
            third.beat.strength_db() - beat.strength_db(),
            mean(&beat.rise),
            fit,
            gap,
            fit2,
            gap2,
            before.map_or(4.0, |b| setting.interval(&b.beat, beat).1),
            before.map_or(-6.0, |b| setting.interval(&b.beat, beat).0),
            before.map_or(-6.0, |b| b.evidence),
            self.kept(setting, at),
            rival,
            four - rival,
            skipped.iter().map(|l| l.evidence.max(0.0)).sum::<f32>().min(20.0),
            apart(&beat.levels, &next.beat.levels),
            mean(&beat.tone[..3]),
            beat.tone[3],
            others(onset.saturating_sub(300)..onset, -2.0),
            others(onset + 1..last + 1, -2.0),
            others(onset.saturating_sub(150)..onset, 0.0),
            own_start.clamp(-4.0, 6.0),
            f32::from(u8::from(at < self.before)),
            setting.closed(onset),
            setting.margin.min(30.0),
            setting.clarity(),
            self.mean_evidence(self.before, 0..6),
            beat.again[0],
            beat.again[4],
            mean(&beat.again[5..]),
            beside[0],
            beside[1],
            setting.own.map_or(0.0, |own| apart(own, &beat.levels)),
            setting.unlike(beat),
            among[0],
            among[1],
            among[2],
            among[3],
        ]
    }

    /// Beats among the next four intervals for each period that passed: 1 where none was missed.
    fn kept(&self, setting: &Setting<'_>, at: usize) -> f32 {
        let onset = self.line[at].beat.onset;
        let Some((steps, last)) = (1..=4).rev().find_map(|s| Some((s, self.later(at, s)?))) else {
            return 0.0;
        };
        let periods = last.beat.onset.saturating_sub(onset) as f32 / setting.frames();
        (steps as f32 / periods.max(0.3)).min(3.0)
    }

    /// Log-odds that a cue on this chain is right, with what was weighed. `busy` are the scorer's six slow means.
    pub fn cue(&mut self, setting: &Setting<'_>, busy: &[f32]) -> (f32, [f32; CUE_TRAITS]) {
        self.lay_out(setting);
        let traits = self.cue_traits(setting, busy);
        (self.cue.run(&traits), traits)
    }

    /// Everything about a chain so far.
    fn cue_traits(&self, setting: &Setting<'_>, busy: &[f32]) -> [f32; CUE_TRAITS] {
        let mut traits = [0.0; CUE_TRAITS];
        let chain = &self.line[self.before..];
        let (Some(first), Some(last)) = (chain.first(), chain.last()) else { return traits };
        let rival = setting.follower.highest_between(setting.back.lost, setting.back.start);
        let evidence = || chain.iter().map(|l| l.evidence);
        let mean_e = evidence().sum::<f32>() / chain.len() as f32;
        let before = chain.len().checked_sub(2).map(|i| &chain[i].beat);
        let (fit, gap) = before.map_or((0.0, 0.0), |b| setting.interval(b, &last.beat));
        let now = last.beat.onset;
        let begun = first.beat.onset;
        let others = |frames, least| setting.others(frames, least, chain);
        let own = setting.own;
        let heard = setting.beside[0].highest_at(begun.saturating_sub(SAME)..u64::MAX);
        let weaker = |b: &Beat| own.map_or(0.0, |o| mean(o) - mean(&b.levels));
        let (one, other) = (&first.beat, &last.beat);
        let whole = [
            setting.margin.min(20.0),
            (chain.len() as f32).min(6.0),
            first.evidence,
            last.evidence,
            mean_e,
            evidence().fold(6.0, f32::min),
            rival,
            mean_e - rival,
            others(now.saturating_sub(600)..now + 1, -6.0),
            others(now.saturating_sub(600)..now + 1, 0.0),
            others(begun.saturating_sub(1200)..begun, 0.0),
            others(begun..now + 1, -6.0),
            setting.closed(begun),
            setting.clarity(),
            fit,
            gap,
            heard,
            f32::from(u8::from(own.is_some())),
            f32::from(u8::from(setting.back.lost.is_some())),
            own.map_or(0.0, |o| apart(o, &one.levels)),
            own.map_or(0.0, |o| apart(o, &other.levels)),
            weaker(one),
            weaker(other),
            apart(&one.levels, &other.levels),
        ];
        traits[..24].copy_from_slice(&whole);
        for (to, beat) in traits[24..38].chunks_exact_mut(7).zip([one, other]) {
            to.copy_from_slice(&[
                mean(&beat.levels),
                mean(&beat.rise),
                beat.height,
                length_s(beat),
                beat.tone[0] + beat.tone[1],
                beat.tone[2],
                beat.tone[3],
            ]);
        }
        traits[38..44].copy_from_slice(busy);
        for (to, beat) in traits[44..].chunks_exact_mut(2).zip([one, other]) {
            to.copy_from_slice(&[beat.again[0], mean(&beat.again[5..])]);
        }
        traits
    }

    /// Probability that a return of this evidence lies at the first pulse, within one beat.
    pub fn confidence(&self, evidence: &ChainEvidence) -> f32 {
        1.0 / (1.0 + (-self.sure.run(&evidence.traits())).exp())
    }
}

impl ChainEvidence {
    /// What the confidence is worked out from.
    pub fn traits(&self) -> [f32; CONFIDENCE_TRAITS] {
        let beats = self.beats as f32;
        [
            self.first,
            self.next,
            self.rival,
            beats.min(10.0),
            self.margin.min(40.0),
            self.rhythm / beats.max(1.0),
            self.sound / beats.max(1.0),
            self.choice,
        ]
    }
}

fn mean(values: &[f32]) -> f32 {
    values.iter().sum::<f32>() / values.len() as f32
}

/// How far two spectra differ in shape: mean absolute difference once their mean levels are made equal.
fn apart(a: &[f32; BANDS], b: &[f32; BANDS]) -> f32 {
    let level = mean(a) - mean(b);
    a.iter().zip(b).map(|(a, b)| (a - b - level).abs()).sum::<f32>() / BANDS as f32
}

fn length_s(beat: &Beat) -> f32 {
    beat.end.saturating_sub(beat.onset) as f32 * 0.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_are_compared_without_their_level() {
        let falling: [f32; BANDS] = std::array::from_fn(|i| 5.0 - i as f32 * 0.2);
        let louder = falling.map(|x| x + 2.0);
        let rising: [f32; BANDS] = std::array::from_fn(|i| i as f32 * 0.2);
        assert!(apart(&falling, &louder) < 1e-5);
        assert!(apart(&falling, &rising) > 1.0);
    }
}
