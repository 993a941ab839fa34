//! The listener: samples in, findings out.

use std::collections::VecDeque;

use super::bands::{BANDS, FRAME, HOP, ROWS};
use super::causal::levels::FrameLevels;
use super::choice::{Chooser, Link, Setting};
use super::cue::{CueHearing, NetworkCue};
use super::evidence::Judge;
use super::follow::{Back, Belief, Follower};
use super::intake::{Intake, WORKING_HZ};
use super::pulse::{Beat, Picker};
use super::pulses::PulseHearing;
use super::quality::{Difficulty, TroubleWatch};
use super::rhythm::{Period, Regularity, RhythmTracker};
use super::scorer::{FAR_FRAMES, FrameScore, LATE_FRAMES, NEAR_FRAMES, Scorer};
use super::second::{Second, SecondAnswer};
use super::spectrum::{FEATURES, Spectrum};
use super::study::{Candidate, CueMoment, Examined, Hearing, PossibleFirst};
use super::weights::{FAR_JUDGE, LATE_JUDGE, NEAR_JUDGE};
use super::{ChainEvidence, Cue, Evidence, Finding, HeartRate, Pointed, Pulse, Return};
use crate::units::{SampleIndex, SampleRate};

/// Findings and columns that wait to be fetched; older ones are dropped when nobody fetches.
const WAITING: usize = 1024;
/// Frames after which a candidate counts for the cue even while it sounds: 100 ms.
const RIPE: u64 = 10;
/// Frames after the chain's first beat until second hearing decides: 4.6 s, and 2.8 s of look-ahead.
const SECOND_HEARING: u64 = 460;
/// Frames without a beat after which a returned pulse is over, and second hearing decides at once.
const ENDED: u64 = 300;
/// Frames that must follow the pulse that the network names before it is reported.
const FOLLOWED: u64 = 400;
/// Frames from one answer of the network to the next question.
const ASK_AGAIN: u64 = 400;
/// Log-odds that a pulse came back which second hearing needs at least: two of three (docs/signal.md).
const CAME_BACK: f32 = 0.7;
/// A chain on which a cue may be given exceeds any story without a return by this much at least.
const WORTH_A_LOOK: f32 = 0.3;

/// A candidate is reported as a pulse at these natural-log odds (seven to one): at even odds a beat's later phases
/// and the room were reported as pulses too.
const TOLD: f32 = 2.0;
/// The same where the network hears them, in its own log-odds; that one begins may be less sure by so much; none is surer than
/// the last. Chosen on the trial's tuning half (docs/signal.md).
const TOLD_BY_NETWORK: f32 = 2.0;
const BEGINS_LESS: f32 = 3.0;
const SUREST: f32 = 8.0;
/// While the room is still unknown (frames: 3 s, as long as its background is learned over) it takes more: fifty to one.
const TOLD_EARLY: f32 = 4.0;
const UNKNOWN: u64 = 300;

/// Beats and evidence of a chain that has a rate, and pulses told: talk, music and machines make chains too.
const RATE_BEATS: u32 = 6;
const RATE_SCORE: f32 = 24.0;
const RATE_PULSES: u32 = 8;

/// The strongest of this many latest beats is compared with the pulse before the cuff closed.
const WEAK_BEATS: u32 = 3;
/// Natural log of power by which it is then much weaker: 9 dB; 6 of the network's pulses, which are longer and faint ones too.
const WEAKER: f32 = 2.07;
const WEAKER_BY_NETWORK: f32 = 1.4;

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

/// A streaming listener for one sound; see the room's door text.
pub struct Listener {
    intake: Intake,
    hearing: Mind,
    /// Frames of sound taken.
    taken: u64,
}

/// Everything behind the intake.
struct Mind {
    clock: Clock,
    beliefs: Beliefs,
    spectrum: Spectrum,
    scorer: Scorer,
    /// Cue, pulses and second hearing by networks; without them all are the chain's.
    networks: Option<Networks>,
    /// No question before this frame, and at it in any case where one waits.
    ask_from: u64,
    ask_again: bool,
    rhythm: RhythmTracker,
    regularity: Regularity,
    /// The period while the pulse was last heard; it is what the return is expected to keep.
    period: Option<Period>,
    near: Side,
    far: Side,
    late: Side,
    /// The log-odds of beginnings, on their way to the late hearing: a ring.
    begins: Vec<f32>,
    chooser: Chooser,
    cue: Option<Cue>,
    lost_told: bool,
    /// Whether a chain of beats was plainly the pulse, so that it has a rate.
    pulse_known: bool,
    pulses: u32,
    /// The last frame of the pulse that was lost.
    lost_frame: Option<u64>,
    frames: u64,
    watch: TroubleWatch,
    findings: VecDeque<Finding>,
    columns: VecDeque<[u8; ROWS]>,
    moments: VecDeque<CueMoment>,
    firsts: VecDeque<PossibleFirst>,
    returns: u32,
}

/// The networks of the cue, of pulses and of second hearing.
struct Networks {
    cue: CueHearing,
    pulses: PulseHearing,
    second: Second,
}

impl Networks {
    /// Second hearing works on with one frame, the cue's network at its side.
    fn work(&mut self) -> Option<SecondAnswer> {
        let Self { cue, second, .. } = self;
        second.work(|at| cue.agrees(at))
    }
}

/// One of the three hearings: candidates picked from a score, weighed, and the chains over them.
struct Side {
    picker: Picker,
    judge: Judge,
    follower: Follower,
    /// The candidates weighed since they were last shown, for training and study.
    weighed: VecDeque<Candidate>,
}

impl Side {
    fn new(delay: usize, ripe: u64, weights: &str, belief: Belief) -> Self {
        Self {
            picker: Picker::new(delay, ripe),
            judge: Judge::new(weights),
            follower: Follower::new(belief),
            weighed: VecDeque::with_capacity(WAITING),
        }
    }

    /// Takes one frame and the score of an earlier one; returns a candidate with its evidence.
    fn hear(
        &mut self,
        features: &[f32; FEATURES],
        score: f32,
        begins: Option<f32>,
        present: bool,
    ) -> Option<(Beat, f32)> {
        let beat = self.picker.push(features, score, begins)?;
        let weighed = self.judge.weigh(&beat, present);
        self.follower.push(beat, weighed.evidence);
        let seconds = |frame: u64| (frame * HOP as u64) as f64 / f64::from(WORKING_HZ) + 0.016;
        let candidate = Candidate {
            onset_s: seconds(beat.onset),
            end_s: seconds(beat.end),
            evidence: weighed.evidence,
            traits: weighed.traits,
        };
        keep(&mut self.weighed, candidate);
        Some((beat, weighed.evidence))
    }

    /// The same where a network gives the score: a candidate is as surely a pulse as it sounds like one and begins like one.
    fn hear_of_network(
        &mut self,
        features: &[f32; FEATURES],
        score: f32,
        begins: f32,
        present: bool,
    ) -> Option<(Beat, f32)> {
        let beat = self.picker.push(features, score, Some(begins))?;
        self.judge.learn(&beat, present);
        let evidence = beat.height.min(beat.begins + BEGINS_LESS).min(SUREST);
        self.follower.push(beat, evidence);
        Some((beat, evidence))
    }
}

/// From spectrum frames to positions in the sound as it was pushed.
#[derive(Debug, Clone, Copy)]
struct Clock {
    rate: SampleRate,
    delay: f64,
}

impl Clock {
    /// The position of working-rate sample `at`.
    fn working(self, at: f64) -> SampleIndex {
        let ratio = f64::from(self.rate.hz()) / f64::from(WORKING_HZ);
        SampleIndex((at * ratio - self.delay).round().max(0.0) as u64)
    }

    /// The middle of a spectrum frame.
    fn middle(self, frame: u64) -> SampleIndex {
        self.working((frame * HOP as u64) as f64 + FRAME as f64 / 2.0)
    }
}

impl Listener {
    /// A listener for sound of this rate and number of interleaved channels (at least 1).
    /// Everything is allocated here.
    pub fn new(rate: SampleRate, channels: usize) -> Self {
        let (cue, pulses, second) = (CueHearing::new(), PulseHearing::new(), Second::new());
        let networks = Networks { cue, pulses, second };
        Self::with(rate, channels, Beliefs::default(), Some(networks))
    }

    /// As [`Listener::new`], but cue, pulses and second hearing are the chain's: several times as fast, and less often right.
    pub fn quick(rate: SampleRate, channels: usize) -> Self {
        Self::with_beliefs(rate, channels, Beliefs::default())
    }

    /// As [`Listener::quick`], with other beliefs than the tuned ones.
    pub fn with_beliefs(rate: SampleRate, channels: usize, beliefs: Beliefs) -> Self {
        Self::with(rate, channels, beliefs, None)
    }

    fn with(
        rate: SampleRate,
        channels: usize,
        beliefs: Beliefs,
        networks: Option<Networks>,
    ) -> Self {
        let intake = Intake::new(rate, channels.max(1));
        let clock = Clock { rate, delay: intake.delay() };
        Self { intake, hearing: Mind::new(clock, beliefs, networks), taken: 0 }
    }

    /// Takes interleaved samples, full scale ±1, in pieces of any size.
    pub fn push(&mut self, interleaved: &[f32]) {
        self.push_examined(interleaved, |_| {});
    }

    /// As [`Listener::push`], and shows each frame to `examine`.
    pub fn push_examined(&mut self, interleaved: &[f32], mut examine: impl FnMut(Examined<'_>)) {
        let Self { intake, hearing, taken } = self;
        let before = *taken;
        *taken += intake.push(interleaved, |frames, sample| {
            hearing.sample(sample, SampleIndex(before + frames), &mut examine);
        });
        let faults = intake.faults();
        hearing.watch.faults(faults);
    }

    /// Takes a frame that another listener has [`Examined`], in place of sound at 8 kHz: for tuning, where
    /// the same frames are heard again under other [`Beliefs`].
    pub fn rehear(&mut self, frame: &Examined<'_>) {
        let hearing = &mut self.hearing;
        let now = SampleIndex(hearing.frames * HOP as u64 + FRAME as u64);
        self.taken = now.0;
        let Examined { near, far, begins: onset, late, .. } = *frame;
        let score = FrameScore { near, far, onset, late };
        hearing.hear(frame.features, score, now);
        hearing.frames += 1;
    }

    /// The sound has ended: decides what is still open by what there is.
    pub fn finish(&mut self) {
        self.hearing.finish();
    }

    /// The next finding, oldest first.
    pub fn poll(&mut self) -> Option<Finding> {
        self.hearing.findings.pop_front()
    }

    /// The next column of the picture, oldest first; [`Listener::COLUMN_S`] apart.
    pub fn poll_column(&mut self) -> Option<[u8; ROWS]> {
        self.hearing.columns.pop_front()
    }

    /// Seconds from one column of the picture to the next.
    pub const COLUMN_S: f64 = HOP as f64 / WORKING_HZ as f64;

    /// From one row of a column to the next, hertz.
    pub const ROW_HZ: f64 = WORKING_HZ as f64 / 2.0 / ROWS as f64;

    /// The next candidate that this hearing weighed, oldest first.
    pub fn poll_candidate(&mut self, hearing: Hearing) -> Option<Candidate> {
        let side = match hearing {
            Hearing::Near => &mut self.hearing.near,
            Hearing::Far => &mut self.hearing.far,
            Hearing::Late => &mut self.hearing.late,
        };
        side.weighed.pop_front()
    }

    /// The next moment at which a cue was thought about, oldest first.
    pub fn poll_moment(&mut self) -> Option<CueMoment> {
        self.hearing.moments.pop_front()
    }

    /// The next beat that was, or might have been, the first of a return, oldest first.
    pub fn poll_first(&mut self) -> Option<PossibleFirst> {
        self.hearing.firsts.pop_front()
    }

    /// Rate and regularity of the pulse while it was last heard.
    pub fn heart_rate(&self) -> Option<HeartRate> {
        self.hearing.heart_rate()
    }

    /// Frames of sound taken so far.
    pub fn taken(&self) -> SampleIndex {
        SampleIndex(self.taken)
    }
}

impl Mind {
    fn new(clock: Clock, beliefs: Beliefs, networks: Option<Networks>) -> Self {
        Self {
            clock,
            beliefs,
            spectrum: match networks {
                Some(_) => Spectrum::without_repeats(),
                None => Spectrum::default(),
            },
            scorer: Scorer::default(),
            networks,
            ask_from: 0,
            ask_again: false,
            rhythm: RhythmTracker::default(),
            regularity: Regularity::default(),
            period: None,
            near: Side::new(NEAR_FRAMES, RIPE, NEAR_JUDGE, beliefs.near),
            far: Side::new(FAR_FRAMES, u64::MAX, FAR_JUDGE, beliefs.far),
            late: Side::new(LATE_FRAMES, u64::MAX, LATE_JUDGE, beliefs.late),
            begins: vec![f32::NEG_INFINITY; LATE_FRAMES - FAR_FRAMES],
            chooser: Chooser::default(),
            cue: None,
            lost_told: false,
            pulse_known: false,
            pulses: 0,
            lost_frame: None,
            frames: 0,
            watch: TroubleWatch::new(),
            findings: VecDeque::with_capacity(WAITING),
            columns: VecDeque::with_capacity(WAITING),
            moments: VecDeque::with_capacity(WAITING),
            firsts: VecDeque::with_capacity(WAITING),
            returns: 0,
        }
    }

    /// Takes one working-rate sample; `now` is the position up to which the sound was heard.
    fn sample(&mut self, sample: f32, now: SampleIndex, examine: &mut impl FnMut(Examined<'_>)) {
        let whole = self.spectrum.push(sample).is_some();
        if let Some(Networks { cue, pulses, second }) = &mut self.networks {
            let newest = second.push(sample, whole.then(|| self.spectrum.powers()));
            let levels = newest.map(|(bands, fine)| FrameLevels::of(bands, fine));
            levels.iter().for_each(|levels| pulses.push(levels));
            let back = levels.and_then(|levels| cue.push(&levels));
            if let Some(NetworkCue { odds, onset }) = back {
                self.tell_cue(now, self.clock.working(onset as f64), odds);
                // Second hearing is asked where no chain stands too, at the time that a chain would ask.
                let from = onset / HOP as u64 + SECOND_HEARING + LATE_FRAMES as u64;
                (self.ask_again, self.ask_from) = (true, self.ask_from.max(from));
            }
        }
        if !whole {
            return;
        }
        let frame = self.spectrum.frame();
        let features = frame.features;
        let (column, power, hum) = (frame.column, frame.power, frame.hum);
        let score = self.score(&features);
        let FrameScore { near, far, onset: begins, late } = score;
        examine(Examined { features: &features, near, far, begins, late });
        keep(&mut self.columns, column);
        let findings = &mut self.findings;
        self.watch.frame(power, hum, &features, now, |quality| {
            keep(findings, Finding::Quality(quality));
        });
        self.hear(&features, score, now);
        self.frames += 1;
    }

    /// One scored frame through both hearings.
    fn hear(&mut self, features: &[f32; FEATURES], score: FrameScore, now: SampleIndex) {
        if self.networks.is_none() {
            let near = self.near.hear(features, score.near, None, !self.lost_told);
            if near.is_some() {
                self.consider_cue(now, &features[BANDS + 4..BANDS + 10]);
            }
        }
        self.follow_rhythm(score.far);
        self.hear_far(features, score);
        self.hear_late(features, score);
        if self.frames.is_multiple_of(5) {
            self.tell_loss();
            self.consider_return(false);
        }
        let answer = self.networks.as_mut().and_then(Networks::work);
        if let Some(answer) = answer {
            self.take_answer(&answer, false);
        }
    }

    /// By the network of pulses, or by the scorer.
    fn score(&mut self, features: &[f32; FEATURES]) -> FrameScore {
        match &self.networks {
            Some(networks) => networks.pulses.score(self.frames),
            None => self.scorer.push(features),
        }
    }

    /// Pulses, 400 ms late.
    fn hear_far(&mut self, features: &[f32; FEATURES], score: FrameScore) {
        let (is, begins, present) = (score.far, score.onset, !self.lost_told);
        let (heard, least) = match self.networks {
            Some(_) => (self.far.hear_of_network(features, is, begins, present), TOLD_BY_NETWORK),
            None => (self.far.hear(features, is, Some(begins), present), TOLD),
        };
        let Some((beat, evidence)) = heard else { return };
        if evidence > if beat.onset < UNKNOWN { TOLD_EARLY.max(least) } else { least } {
            self.tell_pulse(&beat);
        }
    }

    /// Second hearing by the chain; its beginnings are those that the far score named.
    fn hear_late(&mut self, features: &[f32; FEATURES], score: FrameScore) {
        if self.networks.is_some() {
            return;
        }
        let slot = self.frames as usize % self.begins.len();
        let begins = std::mem::replace(&mut self.begins[slot], score.onset);
        self.late.hear(features, score.late, Some(begins), !self.lost_told);
    }

    /// The rhythm is learned while the pulse is there and kept while it is not.
    fn follow_rhythm(&mut self, score: f32) {
        self.rhythm.push(score);
        if !self.lost_told
            && let Some(period) = self.rhythm.period()
        {
            let better = self.period.is_none_or(|p| period.clarity > 0.7 * p.clarity);
            if better {
                self.period = Some(period);
            }
        }
        self.near.follower.expect(self.period);
        self.far.follower.expect(self.period);
        self.late.follower.expect(self.period);
    }

    fn tell_pulse(&mut self, beat: &Beat) {
        if !self.lost_told {
            let period = self.period.map_or(80.0, |p| p.frames);
            self.regularity.beat(beat.onset, period);
        }
        let pulse = Pulse {
            onset: self.clock.middle(beat.onset),
            end: self.clock.middle(beat.end),
            strength_db: beat.strength_db(),
        };
        self.pulses += 1;
        keep(&mut self.findings, Finding::Pulse(pulse));
    }

    fn tell_loss(&mut self) {
        let Some((beat, score, beats)) = self.far.follower.first() else { return };
        let pulse = beats >= 3 && score > 3.0;
        if pulse {
            self.watch.pulse();
        }
        self.pulse_known |= beats >= RATE_BEATS && score > RATE_SCORE;
        let heard = self.frames.saturating_sub(FAR_FRAMES as u64);
        let patience = 180.0f32.max(2.2 * self.period.map_or(80.0, |p| p.frames)) as u64;
        let gone = heard > beat.end + patience && self.far.picker.sounding_since().is_none();
        if gone && !self.lost_told && pulse {
            self.lost_told = true;
            self.lost_frame = Some(beat.end);
            keep(&mut self.findings, Finding::Lost { at: self.clock.middle(beat.end) });
        }
    }

    fn consider_cue(&mut self, now: SampleIndex, busy: &[f32]) {
        let Some((back, margin)) = self.near.follower.back() else { return };
        let Some((first, _)) = self.near.follower.beat(back.start) else { return };
        let Some((_, newest, _)) = self.near.follower.chain().next() else { return };
        if margin < WORTH_A_LOOK {
            return;
        }
        let (follower, own) = (&self.near.follower, self.near.judge.own());
        let beside = [&self.far.follower, &self.late.follower];
        let setting = Setting { follower, back, margin, period: self.period, own, beside };
        let (odds, traits) = self.chooser.cue(&setting, busy);
        let newest = self.clock.middle(newest.onset);
        keep(&mut self.moments, CueMoment { at: now, newest, traits });
        let least = match back.beats {
            1 => self.beliefs.near.alone,
            _ => self.beliefs.near.margin,
        };
        if margin > least && odds > self.beliefs.cue {
            self.tell_cue(now, self.clock.middle(first.onset), odds);
        }
    }

    /// Tells a cue, unless there was one before in this inflation.
    fn tell_cue(&mut self, at: SampleIndex, onset: SampleIndex, odds: f32) {
        if self.cue.is_none() {
            let cue = Cue { at, onset, confidence: 1.0 / (1.0 + (-odds).exp()) };
            self.cue = Some(cue);
            keep(&mut self.findings, Finding::Cue(cue));
        }
    }

    /// Second hearing: once enough has followed, or nothing more will.
    fn consider_return(&mut self, over: bool) {
        let chain = self.chain_stands(over);
        let Some(Networks { cue, second, .. }) = &mut self.networks else {
            if let Some((back, margin)) = chain {
                self.tell_chain(back, margin);
            }
            return;
        };
        if over {
            let open = self.returns == 0 || self.lost_told || chain.is_some();
            let answer = if open { second.answer(|at| cue.agrees(at)) } else { None };
            if let Some(answer) = answer {
                self.take_answer(&answer, true);
            }
        } else if !second.busy()
            && self.frames >= self.ask_from
            && (self.ask_again || chain.is_some())
        {
            self.ask_again = false;
            second.ask();
        }
    }

    /// The hearing by whose chain second hearing goes: its own, or that of the pulses which the network hears.
    fn chained(&self) -> (&Side, &Belief) {
        match self.networks {
            Some(_) => (&self.far, &self.beliefs.far),
            None => (&self.late, &self.beliefs.late),
        }
    }

    /// The returned chain, once it is long enough to be looked at.
    fn chain_stands(&self, over: bool) -> Option<(Back, f32)> {
        let (Side { follower, .. }, belief) = self.chained();
        let (back, margin) = follower.back()?;
        if margin < belief.margin || back.beats < 2 {
            return None;
        }
        let (first, _) = follower.beat(back.start)?;
        let last = follower.chain().next().map_or(first.end, |(_, beat, _)| beat.end);
        let heard = self.frames.saturating_sub(LATE_FRAMES as u64);
        (over || heard > first.onset + SECOND_HEARING || heard > last + ENDED)
            .then_some((back, margin))
    }

    /// What the network said: told, asked again once more was heard, or left.
    fn take_answer(&mut self, answer: &SecondAnswer, over: bool) {
        self.ask_from = self.frames + ASK_AGAIN;
        if answer.returned <= CAME_BACK {
            return;
        }
        let onset = answer.first.at / HOP as u64;
        if !over && answer.until < onset + FOLLOWED {
            self.ask_from = onset + FOLLOWED + HOP as u64;
            self.ask_again = true;
            return;
        }
        let named = |at: u64| self.clock.working(at as f64);
        let evidence = Pointed {
            returned: 1.0 / (1.0 + (-answer.returned).exp()),
            share: answer.first.share,
            rivals: answer.rivals.map(|rival| (named(rival.at), rival.share)),
        };
        let lost = self.lost_frame.filter(|lost| *lost < onset);
        let found = Return {
            lost: lost.map(|frame| self.clock.middle(frame)),
            onset: named(answer.first.at),
            cue: self.cue.take(),
            confidence: answer.confidence(),
            evidence: Evidence::Pointed(evidence),
        };
        self.tell_return(found, onset);
        if let Some(Networks { cue, second, .. }) = &mut self.networks {
            second.turn_over(onset + FOLLOWED);
            cue.start_over();
        }
    }

    fn tell_chain(&mut self, back: Back, margin: f32) {
        let (follower, own) = (&self.late.follower, self.late.judge.own());
        let beside = [&self.far.follower, &self.near.follower];
        let setting = Setting { follower, back, margin, period: self.period, own, beside };
        let Some((first, choice)) = self.chooser.choose(&setting) else { return };
        let lost = back.lost.and_then(|n| follower.beat(n)).map(|(beat, _)| beat.end);
        let evidence = self.evidence(back, margin, &first, choice);
        for start in self.chooser.starts() {
            let onset = self.clock.middle(start.link.beat.onset);
            let of = self.returns;
            keep(&mut self.firsts, PossibleFirst { of, onset, traits: start.traits });
        }
        let found = Return {
            lost: lost.map(|frame| self.clock.middle(frame)),
            onset: self.clock.middle(first.beat.onset),
            cue: self.cue.take(),
            confidence: self.chooser.confidence(&evidence),
            evidence: Evidence::Chain(evidence),
        };
        self.tell_return(found, first.beat.onset);
    }

    /// Tells a return that began at this frame; the next inflation begins.
    fn tell_return(&mut self, found: Return, onset: u64) {
        self.returns += 1;
        keep(&mut self.findings, Finding::Return(found));
        let back = self.chained().0.follower.back();
        if let Some((back, _)) = back {
            self.compare_strength(back.beats);
        }
        let begun = back.and_then(|(back, _)| self.chained().0.follower.beat(back.start));
        let onset = begun.map_or(onset, |(beat, _)| beat.onset.min(onset));
        for side in [&mut self.near, &mut self.far, &mut self.late] {
            side.follower.turn_over(onset);
        }
        self.lost_told = false;
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

    /// A pulse that stays much weaker than before the cuff closed: the probe is no longer where it was.
    fn compare_strength(&mut self, beats: u32) {
        let Side { follower, judge, .. } = self.chained().0;
        let latest = follower.chain().take(WEAK_BEATS as usize);
        let weaker = latest.filter_map(|(_, beat, _)| judge.weaker_by(&beat));
        let weaker = weaker.fold(f32::INFINITY, f32::min);
        if beats >= 2 * WEAK_BEATS {
            let (at, findings) = (self.clock.middle(self.frames), &mut self.findings);
            let much = if self.networks.is_some() { WEAKER_BY_NETWORK } else { WEAKER };
            let moved = weaker.is_finite() && weaker > much;
            self.watch.set(Difficulty::ProbeMoved, moved, at, &mut |quality| {
                keep(findings, Finding::Quality(quality));
            });
        }
    }

    fn finish(&mut self) {
        // The slower hearings lag: they hear what was left in their delay, with silence behind it.
        let silence = [0.0; FEATURES];
        if let Some(networks) = &mut self.networks {
            networks.pulses.end();
        }
        for n in 0..LATE_FRAMES {
            if let Some(networks) = &mut self.networks {
                networks.pulses.push_no_sound();
            }
            let score = self.score(&silence);
            if n < FAR_FRAMES {
                self.hear_far(&silence, score);
            }
            self.hear_late(&silence, score);
            self.frames += 1;
            if n + 1 == FAR_FRAMES {
                self.tell_loss();
            }
        }
        self.consider_return(true);
    }

    /// One rule for rate and rhythm: none with fewer than eight pulses, nor before a chain of beats was plainly the pulse.
    fn heart_rate(&self) -> Option<HeartRate> {
        let period = self.period.filter(|_| self.pulse_known && self.pulses >= RATE_PULSES)?;
        let regular = self.regularity.regular();
        // Without a steady period the mean interval is the rate.
        let frames = if regular { period.frames } else { self.regularity.mean_frames()? };
        Some(HeartRate { bpm: 6000.0 / frames, regular })
    }
}

/// Appends to a queue of fixed size; where nobody fetches, the oldest goes.
fn keep<T>(queue: &mut VecDeque<T>, item: T) {
    if queue.len() == WAITING {
        queue.pop_front();
    }
    queue.push_back(item);
}
