//! The course of one attempt at one site: the stage follows what is heard and what the clinician does, and says
//! what to do now. It never goes back by itself, and it never fills in a reading.
//!
//! All times are seconds on one clock, that of the sound where there is sound. Whoever runs it passes the time.

use super::event::{Heard, Stage};
use super::sound::{Sound, Trouble};
use super::uncertainty::{Assumed, FALL_MMHG_PER_S};
use crate::units::Mmhg;

/// Beats in a row that make a signal; fewer may be noise.
const STEADY: usize = 4;
/// Rates that a heart may have, beats a minute; any other is not believed.
const RATES: std::ops::RangeInclusive<f64> = 25.0..=220.0;
/// A second sound within this part of a beat's length belongs to the same beat: its later phases (own choice).
const PHASE: f64 = 0.4;
/// Intervals of an attempt from which its rhythm is judged (own choice).
const RHYTHM: usize = 10;
/// The longest gap in such a row, seconds.
const GAP_S: f64 = 2.2;
/// How long "20 more" is said after the signal is gone, before the release is spoken of, seconds.
const MORE_S: f64 = 5.0;
/// Two taps closer than this are one: a key or contact that bounced, seconds.
const BOUNCE_S: f64 = 0.12;
/// A fall from which it is called too fast: a third above the upper end (own choice).
const TOO_FAST_MMHG_PER_S: f64 = 4.0;
/// A cuff closed this long is said, seconds (common practice: no longer than needed).
const LONG_CLOSED_S: f64 = 90.0;
/// Where the needle should have come to this without a return, it is said, mmHg (own choice).
const LOW_MMHG: f64 = 40.0;
/// A pulse is called gone when none came for this long after the release, seconds.
const GONE_S: f64 = 6.0;

/// How fast the cuff fell, and from what that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    /// mmHg a second.
    pub mmhg_per_s: f64,
    /// From what.
    pub from: FallFrom,
}

/// From what a fall is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FallFrom {
    /// Needle marks.
    Needle,
    /// The starting pressure, the reading and the time between.
    StartAndReading,
    /// Not known: assumed.
    Assumed,
}

impl FallFrom {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            FallFrom::Needle => "from needle marks",
            FallFrom::StartAndReading => "from starting pressure, reading and time",
            FallFrom::Assumed => "assumed",
        }
    }
}

/// A tap held against the first pulse heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// From the first pulse to the tap, seconds; negative where the tap came first.
    pub late_s: f64,
    /// The same in beats; none where the rate is not known.
    pub beats: Option<f64>,
    /// By how much the needle was higher at the first pulse, mmHg.
    pub mmhg: f64,
    /// The fall that was used.
    pub fall: Fall,
}

impl Comparison {
    /// One sentence.
    pub fn words(&self) -> String {
        let late_s = self.late_s.abs();
        if self.late_s < -0.05 {
            return format!(
                "Your tap was {late_s:.1} s before the first pulse the listener heard."
            );
        }
        let beats = match self.beats {
            Some(beats) if beats.round() >= 2.0 => format!(": {:.0} beats", beats.round()),
            Some(beats) if beats.round() >= 1.0 => ": one beat".into(),
            Some(_) => ": less than a beat".into(),
            None => String::new(),
        };
        let assumed =
            if self.fall.from == FallFrom::Assumed { ", if it fell as assumed" } else { "" };
        format!(
            "The first pulse was {late_s:.1} s before your tap{beats}; the needle was about {:.0} higher then{assumed}.",
            self.mmhg
        )
    }
}

/// What to do now.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Prompt {
    /// One sentence.
    pub now: String,
    /// A second one that helps, or none.
    pub more: String,
}

/// The course of one attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    began_s: f64,
    stage: Stage,
    stage_since_s: f64,
    pulses: Vec<(f64, f64)>,
    lost_s: Option<f64>,
    cue_s: Option<f64>,
    returned: Option<(f64, f64)>,
    bpm: Option<f64>,
    troubles: Vec<Trouble>,
    had: Vec<Trouble>,
    taps: Vec<f64>,
    needles: Vec<(Mmhg, f64)>,
    start: Option<(Mmhg, f64)>,
    opened_s: Option<f64>,
    lost_while_finding: bool,
}

impl Course {
    /// An attempt that begins at this time.
    pub fn new(began_s: f64) -> Self {
        Self {
            began_s,
            stage: Stage::Find,
            stage_since_s: began_s,
            pulses: Vec::new(),
            lost_s: None,
            cue_s: None,
            returned: None,
            bpm: None,
            troubles: Vec::new(),
            had: Vec::new(),
            taps: Vec::new(),
            needles: Vec::new(),
            start: None,
            opened_s: None,
            lost_while_finding: false,
        }
    }

    /// Where it stands.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// The beats heard, oldest first: when, and how strong in decibels.
    pub fn pulses(&self) -> &[(f64, f64)] {
        &self.pulses
    }

    /// When the first returning pulse began, as second hearing places it.
    pub fn return_s(&self) -> Option<f64> {
        self.returned.map(|r| r.0)
    }

    /// When the listener first said that the pulse is back.
    pub fn cue_s(&self) -> Option<f64> {
        self.cue_s
    }

    /// When the signal went under the cuff.
    pub fn lost_s(&self) -> Option<f64> {
        self.lost_s
    }

    /// The tap that counts.
    pub fn tap_s(&self) -> Option<f64> {
        self.taps.last().copied()
    }

    /// Beats a minute.
    pub fn bpm(&self) -> Option<f64> {
        self.bpm
    }

    /// Takes what was heard; true where the stage went on by it. Sound from before the attempt is not its own.
    pub fn hear(&mut self, sound: Sound) -> bool {
        let own = |at_s: f64| at_s >= self.began_s;
        match sound {
            Sound::Pulse { at_s, strength_db } if own(at_s) => {
                let after = self.pulses.partition_point(|p| p.0 <= at_s);
                self.pulses.insert(after, (at_s, strength_db));
            }
            Sound::Lost { at_s } if own(at_s) => {
                self.lost_while_finding = self.stage == Stage::Find;
                self.lost_s = (self.stage != Stage::Find).then_some(at_s).or(self.lost_s);
            }
            Sound::Cue { at_s } if own(at_s) => self.cue_s = self.cue_s.or(Some(at_s)),
            Sound::Return { at_s, confidence }
                if own(at_s) && self.opened_s.is_none_or(|opened_s| at_s < opened_s) =>
            {
                self.returned = self.returned.or(Some((at_s, confidence)));
            }
            Sound::Trouble { what, present } => self.trouble(what, present),
            Sound::Rate { bpm, .. } if RATES.contains(&bpm) => self.bpm = Some(bpm),
            _ => {}
        }
        self.follow()
    }

    fn trouble(&mut self, what: Trouble, present: bool) {
        self.troubles.retain(|t| *t != what);
        if present {
            self.troubles.push(what);
            if !self.had.contains(&what) {
                self.had.push(what);
            }
        }
    }

    /// Moves the stage forward where what was heard says so; never back.
    fn follow(&mut self) -> bool {
        let last_s = self.pulses.last().map_or(self.began_s, |p| p.0);
        match self.stage {
            Stage::Find if self.steady() => self.enter(Stage::Inflate, last_s),
            Stage::Inflate if self.cue_s.is_some() => self.enter(Stage::Release, last_s),
            _ => false,
        }
    }

    fn steady(&self) -> bool {
        let recent = &self.pulses[self.pulses.len().saturating_sub(STEADY)..];
        recent.len() == STEADY && recent.windows(2).all(|w| w[1].0 - w[0].0 <= GAP_S)
    }

    fn enter(&mut self, stage: Stage, now_s: f64) -> bool {
        let moved = self.stage != stage;
        (self.stage, self.stage_since_s) = (stage, now_s);
        if stage != Stage::Find {
            self.lost_while_finding = false;
        }
        moved
    }

    /// Lets time pass; true where the stage went on by it.
    pub fn tick(&mut self, now_s: f64) -> bool {
        let waited =
            self.lost_s.is_some_and(|lost_s| now_s >= lost_s.max(self.stage_since_s) + MORE_S);
        self.stage == Stage::Inflate && waited && self.enter(Stage::Release, now_s)
    }

    /// The clinician's own word for the stage, in either direction.
    pub fn set_stage(&mut self, stage: Stage, now_s: f64) {
        self.enter(stage, now_s);
    }

    /// A tap; false of one that only bounced. In the stages where the cuff may be closed it leads on to reading.
    pub fn tap(&mut self, at_s: f64) -> bool {
        if self.taps.last().is_some_and(|last| (at_s - last).abs() < BOUNCE_S) {
            return false;
        }
        self.taps.push(at_s);
        if matches!(self.stage, Stage::Inflate | Stage::Release) {
            self.enter(Stage::Read, at_s);
        }
        true
    }

    /// Takes the last tap back; the stage goes back to the release where none is left.
    pub fn take_back(&mut self, now_s: f64) -> bool {
        let had = self.taps.pop().is_some();
        if had && self.taps.is_empty() && self.stage == Stage::Read {
            self.enter(Stage::Release, now_s);
        }
        had
    }

    /// The needle stood at this pressure now.
    pub fn needle(&mut self, mmhg: Mmhg, at_s: f64) {
        self.needles.push((mmhg, at_s));
    }

    /// The pressure from which the release begins now.
    pub fn start_from(&mut self, mmhg: Mmhg, at_s: f64) {
        self.start = Some((mmhg, at_s));
    }

    /// The valve was opened fully: after a reading was kept, or at once.
    pub fn opened(&mut self, now_s: f64) {
        self.opened_s = self.opened_s.or(Some(now_s));
    }

    /// The fall, as well as it is known; a reading helps where there are no needle marks.
    pub fn fall(&self, reading: Option<Mmhg>, assumed: Assumed) -> Fall {
        let slope = |(from, from_s): (Mmhg, f64), (to, to_s): (Mmhg, f64)| {
            let rate = (from.as_f64() - to.as_f64()) / (to_s - from_s);
            (to_s > from_s && rate > 0.0).then_some(rate)
        };
        let marks = self.needles.first().zip(self.needles.last());
        let by_marks = marks.and_then(|(first, last)| slope(*first, *last));
        let read = reading.zip(self.tap_s());
        let by_start = self.start.zip(read).and_then(|(start, read)| slope(start, read));
        let known = by_marks.map(|r| (r, FallFrom::Needle));
        let known = known.or(by_start.map(|r| (r, FallFrom::StartAndReading)));
        let (mmhg_per_s, from) = known.unwrap_or((assumed.deflation_mmhg_per_s, FallFrom::Assumed));
        Fall { mmhg_per_s, from }
    }

    /// Where the needle should be now, mmHg, if it falls as asked from the starting pressure.
    pub fn needle_due(&self, now_s: f64) -> Option<(f64, f64)> {
        let (start, at_s) = self.start?;
        let at = |rate: f64| (start.as_f64() - rate * (now_s - at_s)).max(0.0);
        Some((at(FALL_MMHG_PER_S.1), at(FALL_MMHG_PER_S.0)))
    }

    /// Seconds for which the cuff has been closed, as far as that was heard.
    pub fn closed_s(&self, now_s: f64) -> Option<f64> {
        let lost_s = self.lost_s?;
        Some(self.opened_s.unwrap_or(now_s) - lost_s).filter(|s| *s > 0.0)
    }

    /// What to do now.
    pub fn prompt(&self, now_s: f64) -> Prompt {
        let say = |now: String, more: &str| Prompt { now, more: more.into() };
        let rate = self.bpm.map_or(String::new(), |bpm| format!(", {bpm:.0} a minute"));
        match self.stage {
            Stage::Find => say(
                "Find the artery's sound.".into(),
                "Loudest point first, then hold the probe still.",
            ),
            Stage::Inflate if self.lost_s.is_some() => {
                say("Signal gone. Still on the artery? 20 more.".into(), "Then let it down slowly.")
            }
            Stage::Inflate => {
                say(format!("Signal found{rate}. Close the cuff."), "Pump until the sound is gone.")
            }
            Stage::Release => {
                let due = self.needle_due(now_s).map_or_else(
                    || "2 to 3 mmHg a second.".to_owned(),
                    |(low, high)| {
                        format!("The needle should be between {low:.0} and {high:.0} now.")
                    },
                );
                say("Let it down slowly. Tap when the sound is back.".into(), &due)
            }
            Stage::Read if self.taps.is_empty() => say(
                "Type what the needle showed when the sound came back.".into(),
                "Without a tap the interval is wider.",
            ),
            Stage::Read => say(
                "Tap taken. Type what the needle showed at that moment.".into(),
                "Then keep it.",
            ),
        }
    }

    /// What is amiss, by hearing and clock, in sentences.
    pub fn warnings(&self, now_s: f64, highest: Mmhg) -> Vec<String> {
        let mut said: Vec<String> =
            self.troubles.iter().filter_map(|t| t.words()).map(str::to_owned).collect();
        if self.stage == Stage::Find && self.lost_while_finding {
            said.push("The signal was lost before any pumping: find it again.".into());
        }
        if self.stage == Stage::Release && self.lost_s.is_none() && self.beating(now_s) {
            said.push(format!(
                "The sound has not gone: the artery is not closed. Pump on, not above {highest}; still heard there means not compressible."
            ));
        }
        if self.irregular() {
            said.push("The rhythm is irregular: take three or more readings here.".into());
        }
        let fall = self.fall(None, Assumed::default());
        if fall.from != FallFrom::Assumed && fall.mmhg_per_s > TOO_FAST_MMHG_PER_S {
            said.push(format!("It falls too fast: {:.1} mmHg a second.", fall.mmhg_per_s));
        }
        let low = self.needle_due(now_s).is_some_and(|(_, high)| high <= LOW_MMHG);
        if self.stage == Stage::Release && low && self.cue_s.is_none() && self.taps.is_empty() {
            said.push(format!(
                "No return heard, and the needle should be below {LOW_MMHG:.0} now."
            ));
        }
        if self.opened_s.is_none() && self.closed_s(now_s).is_some_and(|s| s > LONG_CLOSED_S) {
            said.push(format!(
                "The cuff has been closed for {:.0} s: open the valve if you are not reading.",
                self.closed_s(now_s).unwrap_or_default()
            ));
        }
        said
    }

    /// Irregular, by enough beats of this attempt to say so: a quarter of the intervals or more lie a fifth away from
    /// their median. Intervals of twice the median are beats that were not heard. The limits are an own choice:
    /// breathing moves intervals by a tenth, fibrillation by a quarter of their length and more.
    fn irregular(&self) -> bool {
        let mut intervals: Vec<f64> = self.intervals().collect();
        if intervals.len() < RHYTHM {
            return false;
        }
        intervals.sort_unstable_by(f64::total_cmp);
        let median_s = intervals[intervals.len() / 2];
        let off =
            |s: &&f64| (**s / median_s - 1.0).abs() > 0.2 && (**s / median_s - 2.0).abs() > 0.25;
        intervals.iter().filter(off).count() * 4 >= intervals.len()
    }

    /// From beat to beat, seconds; not over the time in which the cuff was closed, nor over a pause. A sound that
    /// follows another within [`PHASE`] is a later phase of the same beat.
    fn intervals(&self) -> impl Iterator<Item = f64> + '_ {
        let phase_s = (PHASE * 60.0 / self.bpm.unwrap_or(70.0)).clamp(0.25, 0.5);
        let mut beats: Vec<f64> = Vec::with_capacity(self.pulses.len());
        for (at_s, _) in &self.pulses {
            if beats.last().is_none_or(|last| at_s - last > phase_s) {
                beats.push(*at_s);
            }
        }
        let closed = |w: &[f64]| self.lost_s.is_some_and(|s| w[0] <= s && w[1] > s);
        let open: Vec<f64> = beats.windows(2).filter(|w| !closed(w)).map(|w| w[1] - w[0]).collect();
        open.into_iter().filter(|s| *s <= GAP_S)
    }

    fn beating(&self, now_s: f64) -> bool {
        self.steady() && self.pulses.last().is_some_and(|p| now_s - p.0 < GAP_S)
    }

    /// After the reading was kept: the tap against the first pulse heard.
    pub fn comparison(&self, reading: Option<Mmhg>, assumed: Assumed) -> Option<Comparison> {
        let late_s = self.tap_s()? - self.return_s()?;
        let fall = self.fall(reading, assumed);
        let beats = self.bpm.map(|bpm| late_s * bpm / 60.0);
        Some(Comparison { late_s, beats, mmhg: late_s * fall.mmhg_per_s, fall })
    }

    /// After full release: whether the signal is still there as before pumping. None while that cannot be said.
    pub fn probe_stayed(&self, now_s: f64) -> Option<bool> {
        let opened_s = self.opened_s?;
        if self.troubles.contains(&Trouble::ProbeMoved) {
            return Some(false);
        }
        let after = self.pulses.iter().filter(|p| p.0 >= opened_s).count();
        match after {
            2.. => Some(true),
            _ if now_s - opened_s >= GONE_S => Some(false),
            _ => None,
        }
    }

    /// What the listener heard, for the record; `ahead_s` is how far this clock is ahead of the sound's.
    pub fn heard(&self, epoch: u32, ahead_s: f64, listener: &str) -> Heard {
        let in_sound = |at_s: Option<f64>| at_s.map(|at_s| at_s - ahead_s);
        let enough = self.intervals().count() >= RHYTHM;
        Heard {
            epoch,
            lost_s: in_sound(self.lost_s),
            return_s: in_sound(self.return_s()),
            cue_s: in_sound(self.cue_s),
            confidence: self.returned.map(|r| r.1),
            heart_rate_bpm: self.bpm,
            irregular: enough.then(|| self.irregular()),
            rhythm: match (enough, self.irregular()) {
                (false, _) => String::new(),
                (true, false) => "regular".into(),
                (true, true) => "irregular".into(),
            },
            quality: self.had.iter().filter_map(|t| t.words()).map(str::to_owned).collect(),
            listener: listener.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mmhg(whole: i32) -> Mmhg {
        Mmhg::whole(whole).unwrap()
    }

    fn beats(course: &mut Course, from_s: f64, count: u32) {
        for n in 0..count {
            course.hear(Sound::Pulse { at_s: from_s + f64::from(n), strength_db: 12.0 });
        }
    }

    /// Found, closed, released, back at 40.0 s.
    fn until_return() -> Course {
        let mut course = Course::new(10.0);
        course.hear(Sound::Rate { bpm: 60.0, regular: None });
        beats(&mut course, 11.0, 5);
        assert_eq!(course.stage(), Stage::Inflate);
        course.hear(Sound::Lost { at_s: 20.0 });
        course.tick(25.1);
        course
    }

    #[test]
    fn the_stage_follows_the_sound_and_never_goes_back_by_itself() {
        let mut course = Course::new(10.0);
        beats(&mut course, 5.0, 5);
        assert_eq!(course.stage(), Stage::Find, "sound from before the attempt does not count");
        let mut course = until_return();
        assert_eq!(course.stage(), Stage::Release);
        beats(&mut course, 30.0, 10);
        assert_eq!(course.stage(), Stage::Release);
        course.set_stage(Stage::Find, 41.0);
        assert_eq!(course.stage(), Stage::Find, "the clinician may go back");
    }

    #[test]
    fn twenty_more_is_said_for_a_while_after_the_signal_is_gone() {
        let mut course = until_return();
        course.set_stage(Stage::Inflate, 21.0);
        assert!(course.prompt(22.0).now.contains("20 more"));
        assert!(!course.tick(25.5), "5 s from the clinician's own word");
        assert!(course.tick(26.1));
        assert!(course.prompt(27.0).now.contains("Tap"));
    }

    #[test]
    fn a_tap_is_taken_on_every_stage_and_a_bounce_is_not() {
        for stage in [Stage::Find, Stage::Inflate, Stage::Release, Stage::Read] {
            let mut course = Course::new(0.0);
            course.set_stage(stage, 1.0);
            assert!(course.tap(5.0));
            assert!(!course.tap(5.05), "a bounce");
            assert!(course.tap(5.4));
            assert_eq!(course.tap_s(), Some(5.4));
            assert!(course.take_back(6.0));
            assert_eq!(course.tap_s(), Some(5.0));
        }
    }

    #[test]
    fn without_its_tap_the_attempt_waits_for_the_sound_again() {
        let mut course = until_return();
        course.tap(40.3);
        assert_eq!(course.stage(), Stage::Read);
        course.take_back(41.0);
        assert_eq!(course.stage(), Stage::Release);
        assert!(!course.take_back(41.0));
    }

    #[test]
    fn a_tap_is_held_against_the_first_pulse_in_seconds_beats_and_mmhg() {
        let mut course = until_return();
        course.start_from(mmhg(180), 26.0);
        course.hear(Sound::Return { at_s: 40.0, confidence: 0.9 });
        course.tap(40.9);
        let found = course.comparison(Some(mmhg(138)), Assumed::default()).unwrap();
        let fall = (180.0 - 138.0) / 14.9;
        assert!((found.fall.mmhg_per_s - fall).abs() < 1e-9);
        assert_eq!(found.fall.from, FallFrom::StartAndReading);
        assert!((found.mmhg - 0.9 * fall).abs() < 1e-9);
        assert_eq!(
            found.words(),
            "The first pulse was 0.9 s before your tap: one beat; the needle was about 3 higher then."
        );
        course.needle(mmhg(150), 36.0);
        course.needle(mmhg(140), 40.0);
        let fall = course.fall(Some(mmhg(138)), Assumed::default());
        assert_eq!((fall.mmhg_per_s, fall.from), (2.5, FallFrom::Needle));
    }

    #[test]
    fn what_is_amiss_is_said() {
        let mut course = Course::new(0.0);
        beats(&mut course, 1.0, 5);
        course.set_stage(Stage::Release, 6.0);
        assert!(course.warnings(6.0, mmhg(280))[0].contains("not closed"));
        let mut course = until_return();
        assert_eq!(course.warnings(26.0, mmhg(280)), Vec::<String>::new());
        course.start_from(mmhg(100), 26.0);
        assert!(course.warnings(57.0, mmhg(280))[0].contains("No return"));
        assert!(course.warnings(115.0, mmhg(280)).iter().any(|w| w.contains("closed for 95 s")));
        course.needle(mmhg(100), 26.0);
        course.needle(mmhg(90), 28.0);
        assert!(course.warnings(28.0, mmhg(280)).iter().any(|w| w.contains("5.0 mmHg a second")));
        let irregular =
            |c: &Course| c.warnings(28.0, mmhg(280)).iter().any(|w| w.contains("irregular"));
        beats(&mut course, 120.0, 9);
        assert!(!irregular(&course));
        for at_s in [129.5, 130.1, 131.5, 132.0, 133.3] {
            course.hear(Sound::Pulse { at_s, strength_db: 12.0 });
        }
        assert!(irregular(&course));
        let mut course = Course::new(0.0);
        course.hear(Sound::Rate { bpm: 70.0, regular: None });
        for n in 0..20 {
            beats(&mut course, f64::from(n) * 0.86, 1);
            beats(&mut course, f64::from(n) * 0.86 + 0.22, 1);
        }
        assert!(!irregular(&course), "second phases of regular beats");
        let mut course = Course::new(0.0);
        beats(&mut course, 1.0, 2);
        course.hear(Sound::Lost { at_s: 3.0 });
        assert!(course.warnings(4.0, mmhg(280))[0].contains("before any pumping"));
    }

    #[test]
    fn whether_the_probe_stayed_is_said_only_once_it_is_known() {
        let mut course = until_return();
        assert_eq!(course.probe_stayed(50.0), None);
        course.opened(50.0);
        assert_eq!(course.probe_stayed(52.0), None);
        assert_eq!(course.probe_stayed(56.5), Some(false));
        beats(&mut course, 51.0, 2);
        assert_eq!(course.probe_stayed(56.5), Some(true));
        course.hear(Sound::Trouble { what: Trouble::ProbeMoved, present: true });
        assert_eq!(course.probe_stayed(56.5), Some(false));
    }
}
