//! The listener: samples in, findings out.

use super::bands::{FRAME, HOP, ROWS};
use super::causal::StepLogits;
use super::causal::levels::FrameLevels;
use super::clock::FrameClock;
use super::cue::{CueHearing, NetworkCue};
use super::follow::{Back, Belief, Beliefs};
use super::hearing::ChainHearing;
use super::intake::{Intake, WORKING_HZ};
use super::pulse::Beat;
use super::pulses::{FAR_FRAMES, PulseHearing, UNHEARD};
use super::quality::{Difficulty, TroubleWatch};
use super::queue::BoundedQueue;
use super::quick::{
    Candidate, CueMoment, FrameScore, Hearing, LATE_FRAMES, PossibleFirst, Quick, QuickContext,
};
use super::rhythm::{Period, Regularity, RhythmTracker};
use super::second::{Second, SecondAnswer};
use super::spectrum::{FEATURES, Spectrum};
use super::{Cue, Evidence, Finding, HeartRate, Pointed, Pulse, Return};
use crate::units::{SampleIndex, SampleRate};

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
/// A candidate is reported as a pulse at these natural-log odds (seven to one), a judge's or the network's own: at even odds a
/// beat's later phases and the room were reported as pulses too. Chosen on the trial's tuning half (docs/signal.md).
const TOLD: f32 = 2.0;
/// By the network, that a pulse begins may be less sure than that one sounds by so much; none is surer than the last.
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

/// What the listener sees in a frame, for training and study.
#[derive(Debug, Clone, Copy)]
pub struct Examined<'a> {
    /// What a scorer is given.
    pub features: &'a [f32; FEATURES],
    /// What the quick way's said, which alone has one.
    pub score: Option<FrameScore>,
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
    clock: FrameClock,
    beliefs: Beliefs,
    spectrum: Spectrum,
    way: Way,
    rhythm: RhythmTracker,
    regularity: Regularity,
    /// The period while the pulse was last heard; it is what the return is expected to keep.
    period: Option<Period>,
    /// Of pulses and their loss.
    far: ChainHearing,
    cue: Option<Cue>,
    lost_told: bool,
    /// Whether a chain of beats was plainly the pulse, so that it has a rate.
    pulse_known: bool,
    pulses: u32,
    /// The last frame of the pulse that was lost.
    lost_frame: Option<u64>,
    frames: u64,
    watch: TroubleWatch,
    findings: BoundedQueue<Finding>,
    columns: BoundedQueue<[u8; ROWS]>,
    returns: u32,
}

/// What names cue, pulses and return.
enum Way {
    /// Networks, of which the last sees the whole.
    Networks(Box<Networks>),
    /// Scorer, judges and chains of beats.
    Quick(Box<Quick>),
}

/// The networks of the cue, of pulses and of second hearing.
struct Networks {
    cue: CueHearing,
    pulses: PulseHearing,
    second: Second,
    /// No question before this frame, and at it in any case where one waits.
    ask_from: u64,
    ask_again: bool,
}

impl Networks {
    /// Everything is allocated here.
    fn new() -> Self {
        let (cue, pulses, second) = (CueHearing::new(), PulseHearing::new(), Second::new());
        Self { cue, pulses, second, ask_from: 0, ask_again: false }
    }

    /// Second hearing works on with one frame, the cue's network at its side.
    fn work(&mut self) -> Option<SecondAnswer> {
        let Self { cue, second, .. } = self;
        second.work(|at| cue.agrees(at))
    }

    /// Second hearing of all there is, at once.
    fn answer(&mut self) -> Option<SecondAnswer> {
        let Self { cue, second, .. } = self;
        second.answer(|at| cue.agrees(at))
    }

    /// Asks second hearing, if it is time.
    fn ask(&mut self, frame: u64, chain: bool) {
        if !self.second.busy() && frame >= self.ask_from && (self.ask_again || chain) {
            self.ask_again = false;
            self.second.ask();
        }
    }

    /// Another inflation begins, of which this frame may be the first.
    fn turn_over(&mut self, frame: u64) {
        self.second.turn_over(frame);
        self.cue.start_over();
    }
}

impl Listener {
    /// A listener for sound of this rate and number of interleaved channels (at least 1).
    /// Everything is allocated here.
    pub fn new(rate: SampleRate, channels: usize) -> Self {
        Self::with(rate, channels, Beliefs::default(), Way::Networks(Box::new(Networks::new())))
    }

    /// As [`Listener::new`], but cue, pulses and second hearing are the chain's: several times as fast, and less often right.
    pub fn quick(rate: SampleRate, channels: usize) -> Self {
        Self::with_beliefs(rate, channels, Beliefs::default())
    }

    /// As [`Listener::quick`], with other beliefs than the tuned ones.
    pub fn with_beliefs(rate: SampleRate, channels: usize, beliefs: Beliefs) -> Self {
        Self::with(rate, channels, beliefs, Way::Quick(Box::new(Quick::new(beliefs))))
    }

    fn with(rate: SampleRate, channels: usize, beliefs: Beliefs, way: Way) -> Self {
        let intake = Intake::new(rate, channels.max(1));
        let clock = FrameClock { rate, delay: intake.delay() };
        Self { intake, hearing: Mind::new(clock, beliefs, way), taken: 0 }
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

    /// Takes a frame that another listener of the quick way has [`Examined`], in place of sound at 8 kHz: for tuning, where
    /// the same frames are heard again under other [`Beliefs`].
    pub fn rehear(&mut self, frame: &Examined<'_>) {
        let hearing = &mut self.hearing;
        let now = SampleIndex(hearing.frames * HOP as u64 + FRAME as u64);
        self.taken = now.0;
        hearing.hear(frame.features, frame.score.as_ref(), now);
        hearing.frames += 1;
    }

    /// The sound has ended: decides what is still open by what there is.
    pub fn finish(&mut self) {
        self.hearing.finish();
    }

    /// The next finding, oldest first.
    pub fn poll(&mut self) -> Option<Finding> {
        self.hearing.findings.pop()
    }

    /// The next column of the picture, oldest first; [`Listener::COLUMN_S`] apart.
    pub fn poll_column(&mut self) -> Option<[u8; ROWS]> {
        self.hearing.columns.pop()
    }

    /// Seconds from one column of the picture to the next.
    pub const COLUMN_S: f64 = HOP as f64 / WORKING_HZ as f64;

    /// From one row of a column to the next, hertz.
    pub const ROW_HZ: f64 = WORKING_HZ as f64 / 2.0 / ROWS as f64;

    /// The next candidate that this hearing of the quick way weighed, oldest first.
    pub fn poll_candidate(&mut self, of: Hearing) -> Option<Candidate> {
        self.hearing.quick()?.poll_candidate(of)
    }

    /// The next moment at which the quick way thought about a cue, oldest first.
    pub fn poll_moment(&mut self) -> Option<CueMoment> {
        self.hearing.quick()?.poll_moment()
    }

    /// The next beat that the quick way took for the first of a return or might have, oldest first.
    pub fn poll_first(&mut self) -> Option<PossibleFirst> {
        self.hearing.quick()?.poll_first()
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
    fn new(clock: FrameClock, beliefs: Beliefs, way: Way) -> Self {
        Self {
            clock,
            beliefs,
            spectrum: match way {
                Way::Networks(_) => Spectrum::without_repeats(),
                Way::Quick(_) => Spectrum::default(),
            },
            way,
            rhythm: RhythmTracker::default(),
            regularity: Regularity::default(),
            period: None,
            far: ChainHearing::new(FAR_FRAMES, u64::MAX, beliefs.far),
            cue: None,
            lost_told: false,
            pulse_known: false,
            pulses: 0,
            lost_frame: None,
            frames: 0,
            watch: TroubleWatch::new(),
            findings: BoundedQueue::default(),
            columns: BoundedQueue::default(),
            returns: 0,
        }
    }

    fn quick(&mut self) -> Option<&mut Quick> {
        match &mut self.way {
            Way::Networks(_) => None,
            Way::Quick(quick) => Some(quick),
        }
    }

    /// Takes one working-rate sample; `now` is the position up to which the sound was heard.
    fn sample(&mut self, sample: f32, now: SampleIndex, examine: &mut impl FnMut(Examined<'_>)) {
        let whole = self.spectrum.push(sample).is_some();
        if let Way::Networks(networks) = &mut self.way {
            let newest = networks.second.push(sample, whole.then(|| self.spectrum.powers()));
            let levels = newest.map(|(bands, fine)| FrameLevels::of(bands, fine));
            levels.iter().for_each(|levels| networks.pulses.push(levels));
            if let Some(NetworkCue { odds, onset }) = levels.and_then(|l| networks.cue.push(&l)) {
                // Second hearing is asked where no chain stands too, at the time that a chain would ask.
                let from = onset / HOP as u64 + SECOND_HEARING + LATE_FRAMES as u64;
                networks.ask_from = networks.ask_from.max(from);
                networks.ask_again = true;
                self.tell_cue(now, self.clock.working(onset as f64), odds);
            }
        }
        if !whole {
            return;
        }
        let frame = self.spectrum.frame();
        let features = frame.features;
        let (column, power, hum) = (frame.column, frame.power, frame.hum);
        let score = self.quick().map(|quick| quick.score(&features));
        examine(Examined { features: &features, score });
        self.columns.push(column);
        let findings = &mut self.findings;
        self.watch.frame(power, hum, &features, now, |quality| {
            findings.push(Finding::Quality(quality));
        });
        self.hear(&features, score.as_ref(), now);
        self.frames += 1;
    }

    /// One frame through all that hears; `score` is the quick way's.
    fn hear(&mut self, features: &[f32; FEATURES], score: Option<&FrameScore>, now: SampleIndex) {
        self.hear_near(features, score, now);
        let far = self.far_score(score);
        self.follow_rhythm(far.is);
        self.hear_far(features, far);
        self.hear_late(features, score);
        if self.frames.is_multiple_of(5) {
            self.tell_loss();
            self.consider_return(false);
        }
        let answer = match &mut self.way {
            Way::Networks(networks) => networks.work(),
            Way::Quick(_) => None,
        };
        if let Some(answer) = answer {
            self.take_answer(&answer, false);
        }
    }

    /// Of the frame [`FAR_FRAMES`] ago, by the network of pulses or by the scorer.
    fn far_score(&self, score: Option<&FrameScore>) -> StepLogits {
        match &self.way {
            Way::Networks(networks) => networks.pulses.at(self.frames),
            Way::Quick(_) => score.map_or(UNHEARD, |score| score.far),
        }
    }

    /// The quick way's cue, 80 ms late.
    fn hear_near(
        &mut self,
        features: &[f32; FEATURES],
        score: Option<&FrameScore>,
        now: SampleIndex,
    ) {
        let Self { far, period, clock, .. } = self;
        let beside = QuickContext { far, period: *period, clock: *clock };
        let (Way::Quick(quick), Some(score)) = (&mut self.way, score) else { return };
        if quick.hear_near(features, score, !self.lost_told)
            && let Some((onset, odds)) = quick.cue(now, Spectrum::busy(features), beside)
        {
            self.tell_cue(now, onset, odds);
        }
    }

    /// Pulses, 400 ms late. To the network a candidate is as surely a pulse as it sounds like one and begins like one.
    fn hear_far(&mut self, features: &[f32; FEATURES], score: StepLogits) {
        let Some(beat) = self.far.pick(features, score.is, Some(score.begins)) else { return };
        let evidence = match &mut self.way {
            Way::Networks(_) => beat.height.min(beat.begins + BEGINS_LESS).min(SUREST),
            Way::Quick(quick) => quick.weigh_far(&beat, self.far.own()),
        };
        self.far.take(&beat, evidence, !self.lost_told);
        if evidence > if beat.onset < UNKNOWN { TOLD_EARLY } else { TOLD } {
            self.tell_pulse(&beat);
        }
    }

    /// The quick way's return, 2.8 s late.
    fn hear_late(&mut self, features: &[f32; FEATURES], score: Option<&FrameScore>) {
        if let (Way::Quick(quick), Some(score)) = (&mut self.way, score) {
            quick.hear_late(features, score, !self.lost_told);
        }
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
        self.far.follower.expect(self.period);
        if let Way::Quick(quick) = &mut self.way {
            quick.expect(self.period);
        }
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
        self.findings.push(Finding::Pulse(pulse));
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
            self.findings.push(Finding::Lost { at: self.clock.middle(beat.end) });
        }
    }

    /// Tells a cue, unless there was one before in this inflation.
    fn tell_cue(&mut self, at: SampleIndex, onset: SampleIndex, odds: f32) {
        if self.cue.is_none() {
            let cue = Cue { at, onset, confidence: 1.0 / (1.0 + (-odds).exp()) };
            self.cue = Some(cue);
            self.findings.push(Finding::Cue(cue));
        }
    }

    /// The return: once enough has followed, or nothing more will.
    fn consider_return(&mut self, over: bool) {
        let chain = self.chain_stands(over);
        let open = over && (self.returns == 0 || self.lost_told || chain.is_some());
        match (&mut self.way, chain) {
            (Way::Quick(_), Some(chain)) => self.tell_chain(chain),
            (Way::Networks(networks), chain) if !over => networks.ask(self.frames, chain.is_some()),
            (Way::Networks(networks), _) if open => {
                if let Some(answer) = networks.answer() {
                    self.take_answer(&answer, true);
                }
            }
            _ => {}
        }
    }

    /// The hearing by whose chain second hearing goes: its own, or that of the pulses which the network hears.
    fn chained(&self) -> (&ChainHearing, &Belief) {
        match &self.way {
            Way::Networks(_) => (&self.far, &self.beliefs.far),
            Way::Quick(quick) => (quick.late(), &self.beliefs.late),
        }
    }

    /// The returned chain, once it is long enough to be looked at.
    fn chain_stands(&self, over: bool) -> Option<(Back, f32)> {
        let (ChainHearing { follower, .. }, belief) = self.chained();
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
        let Way::Networks(networks) = &mut self.way else { return };
        networks.ask_from = self.frames + ASK_AGAIN;
        if answer.returned <= CAME_BACK {
            return;
        }
        let onset = answer.first.at / HOP as u64;
        if !over && answer.until < onset + FOLLOWED {
            networks.ask_from = onset + FOLLOWED + HOP as u64;
            networks.ask_again = true;
            return;
        }
        networks.turn_over(onset + FOLLOWED);
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
    }

    fn tell_chain(&mut self, chain: (Back, f32)) {
        let Self { far, period, clock, .. } = self;
        let beside = QuickContext { far, period: *period, clock: *clock };
        let Way::Quick(quick) = &mut self.way else { return };
        if let Some((found, onset)) = quick.returned(chain, self.returns, beside) {
            let cue = self.cue.take();
            self.tell_return(Return { cue, ..found }, onset);
        }
    }

    /// Tells a return that began at this frame; the next inflation begins.
    fn tell_return(&mut self, found: Return, onset: u64) {
        self.returns += 1;
        self.findings.push(Finding::Return(found));
        let back = self.chained().0.follower.back();
        if let Some((back, _)) = back {
            self.compare_strength(back.beats);
        }
        let begun = back.and_then(|(back, _)| self.chained().0.follower.beat(back.start));
        let onset = begun.map_or(onset, |(beat, _)| beat.onset.min(onset));
        self.far.follower.turn_over(onset);
        if let Way::Quick(quick) = &mut self.way {
            quick.turn_over(onset);
        }
        self.lost_told = false;
    }

    /// A pulse that stays much weaker than before the cuff closed: the probe is no longer where it was.
    fn compare_strength(&mut self, beats: u32) {
        let chained = self.chained().0;
        let latest = chained.follower.chain().take(WEAK_BEATS as usize);
        let weaker = latest.filter_map(|(_, beat, _)| chained.weaker_by(&beat));
        let weaker = weaker.fold(f32::INFINITY, f32::min);
        if beats >= 2 * WEAK_BEATS {
            let (at, findings) = (self.clock.middle(self.frames), &mut self.findings);
            let much = match self.way {
                Way::Networks(_) => WEAKER_BY_NETWORK,
                Way::Quick(_) => WEAKER,
            };
            let moved = weaker.is_finite() && weaker > much;
            self.watch.set(Difficulty::ProbeMoved, moved, at, &mut |quality| {
                findings.push(Finding::Quality(quality));
            });
        }
    }

    fn finish(&mut self) {
        // The slower hearings lag: they hear what was left in their delay, with silence behind it.
        let lag = match &mut self.way {
            Way::Networks(networks) => {
                networks.pulses.end();
                FAR_FRAMES
            }
            Way::Quick(_) => LATE_FRAMES,
        };
        for n in 0..lag {
            self.hear_silence(n < FAR_FRAMES);
            if n + 1 == FAR_FRAMES {
                self.tell_loss();
            }
        }
        self.consider_return(true);
    }

    /// One frame after the end.
    fn hear_silence(&mut self, far: bool) {
        let silence = [0.0; FEATURES];
        if let Way::Networks(networks) = &mut self.way {
            networks.pulses.push_no_sound();
        }
        let score = self.quick().map(|quick| quick.score(&silence));
        if far {
            self.hear_far(&silence, self.far_score(score.as_ref()));
        }
        self.hear_late(&silence, score.as_ref());
        self.frames += 1;
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
