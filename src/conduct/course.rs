//! The course of one attempt at one site: the stage follows what is heard and what the clinician does. It never goes
//! back by itself, and it never fills in a reading.
//!
//! All times are seconds on the visit's clock. Whoever runs it passes the time.

use super::needle::{Fall, FallFrom, Needle};
use super::say::{Comparison, Warning};
use crate::clinical::event::{Heard, Stage};
use crate::clinical::sound::{Sound, Trouble};
use crate::clinical::uncertainty::Assumed;
use crate::units::Mmhg;

/// Pulses in a row that make a signal; fewer may be noise.
pub const STEADY: usize = 4;
/// Rates that a heart may have, beats a minute; any other is not believed.
const RATES: std::ops::RangeInclusive<f64> = 25.0..=220.0;
/// The longest gap in such a row, seconds.
const GAP_S: f64 = 2.2;
/// How long "inflate 20 mmHg more" is shown after the signal is gone, before deflation is spoken of, seconds.
const MORE_S: f64 = 5.0;
/// Two taps closer than this are one: a key or contact that bounced, seconds.
const BOUNCE_S: f64 = 0.12;
/// A deflation from which it is called too fast, mmHg a second: a third above the upper end (own choice).
const TOO_FAST_MMHG_PER_S: f64 = 4.0;
/// A cuff closed this long brings a warning, seconds (common practice: no longer than needed).
const LONG_CLOSED_S: f64 = 90.0;
/// Where the needle should have come to this without a return, a warning is shown, mmHg (own choice).
const LOW_MMHG: f64 = 40.0;
/// A pulse is called gone when none came for this long after the valve was opened, seconds.
const GONE_S: f64 = 6.0;

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
    regular: Option<bool>,
    troubles: Vec<Trouble>,
    had: Vec<Trouble>,
    taps: Vec<f64>,
    needle: Needle,
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
            regular: None,
            troubles: Vec::new(),
            had: Vec::new(),
            taps: Vec::new(),
            needle: Needle::default(),
            opened_s: None,
            lost_while_finding: false,
        }
    }

    /// Where it stands.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// The pulses heard, oldest first: when, and how strong in decibels.
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

    /// Beats a minute; `None` while too few pulses were heard here to say so.
    pub fn bpm(&self) -> Option<f64> {
        self.bpm
    }

    /// The pressure inflated to, where it was given, mmHg.
    pub fn inflated_to(&self) -> Option<Mmhg> {
        self.needle.inflated_at().map(|(mmhg, _)| mmhg)
    }

    /// The pressure inflated to, mmHg, and when deflation began, seconds.
    pub fn inflated_at(&self) -> Option<(Mmhg, f64)> {
        self.needle.inflated_at()
    }

    /// Whether a pulse was heard here: enough of them that it is no noise.
    pub fn pulse_heard(&self) -> bool {
        self.pulses.len() >= STEADY
    }

    /// Takes what was heard; true where the stage went on by it. Sound from before the attempt is not its own, and a
    /// rate counts only once a pulse was heard here.
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
            Sound::Rate { bpm, regular } if RATES.contains(&bpm) && self.pulse_heard() => {
                (self.bpm, self.regular) = (Some(bpm), regular);
            }
            Sound::Pulse { .. }
            | Sound::Lost { .. }
            | Sound::Cue { .. }
            | Sound::Return { .. }
            | Sound::Rate { .. } => {}
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
            Stage::Find | Stage::Inflate | Stage::Release | Stage::Read => false,
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
        self.needle.mark(mmhg, at_s);
    }

    /// The last needle mark, mmHg.
    pub fn last_needle(&self) -> Option<Mmhg> {
        self.needle.last()
    }

    /// The cuff was inflated to this pressure; deflation begins now.
    pub fn start_from(&mut self, mmhg: Mmhg, at_s: f64) {
        self.needle.start_from(mmhg, at_s);
    }

    /// The valve was opened fully: after a reading was kept, or at once.
    pub fn opened(&mut self, now_s: f64) {
        self.opened_s = self.opened_s.or(Some(now_s));
    }

    /// The last needle mark did not happen.
    pub fn take_needle_back(&mut self) {
        self.needle.take_back();
    }

    /// The pressure inflated to was not given; the stage goes back to inflating.
    pub fn take_start_back(&mut self) {
        self.needle.take_start_back();
        if self.stage == Stage::Release && self.taps.is_empty() && self.cue_s.is_none() {
            self.stage = Stage::Inflate;
        }
    }

    /// The valve was not opened.
    pub fn take_opened_back(&mut self) {
        self.opened_s = None;
    }

    /// The fall, as well as it is known; a reading helps where there are no needle marks.
    pub fn fall(&self, reading: Option<Mmhg>, assumed: Assumed) -> Fall {
        self.needle.fall(reading.zip(self.tap_s()), assumed)
    }

    /// Where the needle should be at a time, mmHg, if it falls as asked from the pressure inflated to.
    pub fn needle_due(&self, now_s: f64) -> Option<(f64, f64)> {
        self.needle.due(now_s)
    }

    /// The lowest that the needle can stand at, at a time, if it falls no faster than this, mmHg.
    pub fn needle_at_least(&self, at_s: f64, fastest_mmhg_per_s: f64) -> Option<f64> {
        self.needle.at_least(at_s, fastest_mmhg_per_s)
    }

    /// Seconds for which the cuff has been closed, as far as that was heard.
    pub fn closed_s(&self, now_s: f64) -> Option<f64> {
        let lost_s = self.lost_s?;
        Some(self.opened_s.unwrap_or(now_s) - lost_s).filter(|s| *s > 0.0)
    }

    /// What is amiss, by hearing and clock.
    pub fn warnings(&self, now_s: f64, highest: Mmhg) -> Vec<Warning> {
        let mut all: Vec<Warning> = self.troubles.iter().map(|t| Warning::Trouble(*t)).collect();
        if self.stage == Stage::Find && self.lost_while_finding {
            all.push(Warning::LostWhileFinding);
        }
        if self.stage == Stage::Release && self.lost_s.is_none() && self.beating(now_s) {
            all.push(Warning::NotClosed { highest });
        }
        if self.regular == Some(false) {
            all.push(Warning::Irregular);
        }
        let fall = self.fall(None, Assumed::default());
        if fall.from != FallFrom::Assumed && fall.mmhg_per_s > TOO_FAST_MMHG_PER_S {
            all.push(Warning::TooFast { mmhg_per_s: fall.mmhg_per_s });
        }
        let low = self.needle_due(now_s).is_some_and(|(_, high)| high <= LOW_MMHG);
        if self.stage == Stage::Release && low && self.cue_s.is_none() && self.taps.is_empty() {
            all.push(Warning::NoReturn { below_mmhg: LOW_MMHG });
        }
        let long = self.closed_s(now_s).filter(|s| self.opened_s.is_none() && *s > LONG_CLOSED_S);
        all.extend(long.map(|for_s| Warning::ClosedLong { for_s }));
        all
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

    /// After the valve was opened: whether the signal is still there as before inflating. `None` while that cannot
    /// be said.
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
        // To a tenth of a millisecond, finer than one sample of the listener.
        let in_sound = |at_s: Option<f64>| at_s.map(|at_s| ((at_s - ahead_s) * 1e4).round() / 1e4);
        let rhythm = match self.regular {
            None => "",
            Some(true) => "regular",
            Some(false) => "irregular",
        };
        Heard {
            epoch,
            lost_s: in_sound(self.lost_s),
            return_s: in_sound(self.return_s()),
            cue_s: in_sound(self.cue_s),
            confidence: self.returned.map(|r| r.1),
            heart_rate_bpm: self.bpm,
            irregular: self.regular.map(|regular| !regular),
            rhythm: rhythm.into(),
            quality: self.had.iter().filter_map(|trouble| trouble.recorded()).collect(),
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

    /// Found, inflated, deflated, back at 40.0 s.
    fn until_return() -> Course {
        let mut course = Course::new(10.0);
        beats(&mut course, 11.0, 5);
        course.hear(Sound::Rate { bpm: 60.0, regular: Some(true) });
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
    fn deflation_follows_some_seconds_after_the_signal_is_gone() {
        let mut course = until_return();
        course.set_stage(Stage::Inflate, 21.0);
        assert!(!course.tick(25.5), "5 s from the clinician's own word");
        assert!(course.tick(26.1));
        assert_eq!(course.stage(), Stage::Release);
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
        assert_eq!(found.fall.from, FallFrom::InflatedToAndReading);
        assert!((found.mmhg - 0.9 * fall).abs() < 1e-9);
        assert_eq!(
            super::super::wording::comparison(Default::default(), &found),
            "The first pulse was 0.9 s before your tap: one beat. The pressure was then about 3 mmHg higher."
        );
        course.needle(mmhg(150), 36.0);
        course.needle(mmhg(140), 40.0);
        let fall = course.fall(Some(mmhg(138)), Assumed::default());
        assert_eq!((fall.mmhg_per_s, fall.from), (2.5, FallFrom::Needle));
    }

    #[test]
    fn what_is_amiss_is_said() {
        let highest = mmhg(280);
        let mut course = Course::new(0.0);
        beats(&mut course, 1.0, 5);
        course.set_stage(Stage::Release, 6.0);
        assert_eq!(course.warnings(6.0, highest), [Warning::NotClosed { highest }]);
        let mut course = until_return();
        assert_eq!(course.warnings(26.0, highest), []);
        course.start_from(mmhg(100), 26.0);
        assert_eq!(course.warnings(57.0, highest), [Warning::NoReturn { below_mmhg: 40.0 }]);
        assert!(course.warnings(115.0, highest).contains(&Warning::ClosedLong { for_s: 95.0 }));
        course.needle(mmhg(100), 26.0);
        course.needle(mmhg(90), 28.0);
        assert!(course.warnings(28.0, highest).contains(&Warning::TooFast { mmhg_per_s: 5.0 }));
        let mut course = Course::new(0.0);
        beats(&mut course, 1.0, 2);
        course.hear(Sound::Lost { at_s: 3.0 });
        assert_eq!(course.warnings(4.0, highest), [Warning::LostWhileFinding]);
    }

    #[test]
    fn the_rhythm_is_the_listeners_word_and_needs_a_pulse_heard_here() {
        let irregular = |c: &Course| c.warnings(9.0, mmhg(280)).contains(&Warning::Irregular);
        let mut course = Course::new(0.0);
        course.hear(Sound::Rate { bpm: 80.0, regular: Some(false) });
        assert_eq!((course.bpm(), irregular(&course)), (None, false), "nothing was heard here");
        assert_eq!(course.heard(1, 0.0, "").irregular, None);
        beats(&mut course, 1.0, 4);
        course.hear(Sound::Rate { bpm: 80.0, regular: Some(false) });
        assert_eq!((course.bpm(), irregular(&course)), (Some(80.0), true));
        let heard = course.heard(1, 0.0, "");
        assert_eq!((heard.irregular, heard.rhythm.as_str()), (Some(true), "irregular"));
        course.hear(Sound::Rate { bpm: 80.0, regular: Some(true) });
        assert!(!irregular(&course), "the last word counts");
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
