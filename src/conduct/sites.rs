//! Attempts, one after the other: what the clinician does at a site, what is heard there, what both make of it.

use std::collections::VecDeque;

use super::attempt::{CurrentAttempt, Ended};
use super::correct;
use super::entry::Field;
use super::fault::Refusal;
use super::question::{Question, ReadingContext};
use super::record::Record;
use super::rules::Rules;
use super::say::{Comparison, Notice};
use super::time::{At, Stream};
use crate::clinical::event::{Act, Made, Outcome, Phase, Stage, WaveformWord};
use crate::clinical::site::Site;
use crate::clinical::sound::Sound;
use crate::clinical::typed::Given;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::VisitFault;
use crate::clinical::working::PROGRAM;
use crate::units::Mmhg;

/// What the world is to do, because of what was done here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SiteEffect {
    /// This site was turned to.
    Turned(Site),
    /// The valve is to be opened fully.
    OpenValve,
}

/// The attempts of a visit under way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sites {
    current: Option<CurrentAttempt>,
    /// An attempt that was left while the listener still had to say when its pulse came back.
    leaving: Option<CurrentAttempt>,
    stream: Option<Stream>,
    /// When each limb's cuff was last opened, on the visit's clock.
    opened: Vec<(Site, f64)>,
    last_visit: Vec<(Site, Mmhg)>,
    effects: VecDeque<SiteEffect>,
}

impl Sites {
    /// The attempt that runs, or has just ended.
    pub fn current(&self) -> Option<&CurrentAttempt> {
        self.current.as_ref()
    }

    /// The stream of sound that runs.
    pub fn stream(&self) -> Option<Stream> {
        self.stream
    }

    /// A stream of sound runs from now on, or is better known.
    pub fn set_stream(&mut self, stream: Stream) {
        self.stream = Some(stream);
    }

    /// Pressures of this record's last visit: what is far from them is asked about.
    pub fn set_last_visit(&mut self, pressures: Vec<(Site, Mmhg)>) {
        self.last_visit = pressures;
    }

    /// What the world is to do next.
    pub fn poll(&mut self) -> Option<SiteEffect> {
        self.effects.pop_front()
    }

    /// The attempt that runs, with what was asked and said forgotten.
    fn hushed(&mut self) -> Result<&mut CurrentAttempt, Refusal> {
        let current = self.current.as_mut().ok_or(Refusal::NoAttempt)?;
        current.hush();
        Ok(current)
    }

    fn running(&mut self) -> Result<&mut CurrentAttempt, Refusal> {
        self.current.as_mut().ok_or(Refusal::NoAttempt)
    }

    /// Begins an attempt at a site.
    pub fn turn_to(
        &mut self,
        record: &mut Record,
        at: At,
        (site, phase): (Site, Phase),
    ) -> Result<(), Refusal> {
        self.leave(record, at)?;
        let attempt = record.next_attempt();
        record.add(at, Act::SiteChosen { attempt, site, phase, gauge: None })?;
        let paper = record.visit().opened.scope.is_paper();
        self.current = Some(CurrentAttempt::new(attempt, site, phase, at.s, paper));
        self.effects.push_back(SiteEffect::Turned(site));
        Ok(())
    }

    /// Leaves the attempt that runs. What the listener heard in it goes to the record as soon as it is known.
    pub fn leave(&mut self, record: &mut Record, at: At) -> Result<(), VisitFault> {
        self.settle(record, at)?;
        self.leaving = self.current.take();
        let waits = self.leaving.as_ref().is_some_and(|left| left.undecided(at.s));
        if waits { Ok(()) } else { self.settle(record, at) }
    }

    /// Writes down what was heard in the attempt that was left.
    pub fn settle(&mut self, record: &mut Record, at: At) -> Result<(), VisitFault> {
        let Some(mut left) = self.leaving.take() else { return Ok(()) };
        // A return is found some seconds after it was heard: often the next site is begun by then.
        if let Some(act) = compare(&mut left) {
            record.add(at, act)?;
        }
        if left.course.pulses().is_empty() {
            return Ok(());
        }
        let (epoch, ahead_s) = self.stream.map_or((0, 0.0), |s| (s.epoch, s.ahead_s));
        let heard = left.course.heard(epoch, ahead_s, PROGRAM);
        record.add(at, Act::Finding { attempt: left.number, heard }).map(drop)
    }

    /// Takes what was heard, on the stream's own clock.
    pub fn hear(&mut self, sound: Sound) {
        let sound = sound.shifted(self.stream.map_or(0.0, |s| s.ahead_s));
        if let (Some(left), Sound::Return { .. }) = (&mut self.leaving, sound) {
            left.course.hear(sound);
        }
        if let Some(current) = &mut self.current {
            current.course.hear(sound);
        }
    }

    /// Lets time pass: stages that follow by themselves, the comparison once it is known. True where the probe was
    /// lifted after a kept reading, so that the next site may come.
    pub fn tick(&mut self, record: &mut Record, at: At) -> Result<bool, VisitFault> {
        if self.leaving.as_ref().is_some_and(|left| !left.undecided(at.s)) {
            self.settle(record, at)?;
        }
        let Some(current) = &mut self.current else { return Ok(false) };
        current.course.tick(at.s);
        let lifted = current.lifted(at.s);
        if let Some(act) = compare(current) {
            record.add(at, act)?;
        }
        self.note_stage(record, at)?;
        Ok(lifted)
    }

    /// Takes a stage over into the record, where it changed.
    fn note_stage(&self, record: &mut Record, at: At) -> Result<(), VisitFault> {
        let Some(current) = &self.current else { return Ok(()) };
        let (attempt, stage) = (current.number, current.course.stage());
        let known = record.visit().attempt(attempt).and_then(|a| a.stage);
        if known != Some(stage) && current.ended.is_none() {
            record.add(at, Act::Stage { attempt, stage })?;
        }
        Ok(())
    }

    /// Takes a tap; one that bounced changes nothing.
    pub fn tap(&mut self, record: &mut Record, at: At, made: Made) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if !current.course.tap(at.s) {
            return Ok(());
        }
        let attempt = current.number;
        record.does(at, Act::Mark { attempt, at: at.in_sound(), made })?;
        Ok(self.note_stage(record, at)?)
    }

    /// Takes a digit.
    pub fn digit(&mut self, digit: char) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if current.takes_digits() {
            let stage = current.stage();
            current.entry.digit(digit, stage);
        }
        Ok(())
    }

    /// Takes the last digit back.
    pub fn erase(&mut self) -> Result<(), Refusal> {
        self.hushed()?.entry.erase();
        Ok(())
    }

    /// So many graduations up or down.
    pub fn arrow(&mut self, steps: i32, graduation: Mmhg) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if current.takes_digits() {
            let stage = current.stage();
            current.entry.step(steps, graduation, stage);
        }
        Ok(())
    }

    /// The stage the clinician says.
    pub fn set_stage(&mut self, stage: Stage, at: At) -> Result<(), Refusal> {
        self.hushed()?.course.set_stage(stage, at.s);
        Ok(())
    }

    /// What is typed is the pressure inflated to; with nothing typed, the next digits are.
    pub fn inflated_to(
        &mut self,
        record: &mut Record,
        at: At,
        ceiling: Mmhg,
    ) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if current.ended.is_some() || current.stopped || current.entered() {
            return Ok(());
        }
        current.entry.choose(Field::InflatedTo);
        match current.entry.pressure() {
            Ok(None) => Ok(()),
            Ok(Some(mmhg)) => self.take_inflated_to(record, at, (mmhg, ceiling)),
            Err(fault) => {
                current.notice = Some(Notice::NoPressure(fault));
                Ok(())
            }
        }
    }

    fn take_inflated_to(
        &mut self,
        record: &mut Record,
        at: At,
        (mmhg, ceiling): (Mmhg, Mmhg),
    ) -> Result<(), Refusal> {
        let current = self.running()?;
        current.notice = (mmhg > ceiling).then_some(Notice::AboveCeiling(ceiling));
        current.entry.clear();
        current.course.start_from(mmhg, at.s);
        current.course.needle(mmhg, at.s);
        if matches!(current.course.stage(), Stage::Find | Stage::Inflate) {
            current.course.set_stage(Stage::Release, at.s);
        }
        let attempt = current.number;
        record.does(at, Act::Inflated { attempt, cuff_mmhg: mmhg, at: at.in_sound() })?;
        Ok(())
    }

    /// The needle stood at this pressure.
    pub fn needle(&mut self, record: &mut Record, at: At, cuff_mmhg: Mmhg) -> Result<(), Refusal> {
        let current = self.running()?;
        current.course.needle(cuff_mmhg, at.s);
        let attempt = current.number;
        record.does(at, Act::Needle { attempt, cuff_mmhg, at: at.in_sound() })?;
        Ok(())
    }

    /// The needle passes the next ten below the last mark.
    pub fn needle_mark(&mut self, record: &mut Record, at: At) -> Result<(), Refusal> {
        let current = self.hushed()?;
        let Some(last) = current.course.last_needle() else {
            current.notice = Some(Notice::GiveInflatedToFirst);
            return Ok(());
        };
        let next = (last.as_tenths() - 1).div_euclid(100) * 100;
        match Mmhg::tenths(next) {
            Ok(mmhg) if next > 0 => self.needle(record, at, mmhg),
            Ok(_) | Err(_) => Ok(()),
        }
    }

    /// The key that keeps: what it means depends on the field that is typed in. True where there is nothing to keep
    /// and the next site may come.
    pub fn enter(&mut self, record: &mut Record, at: At, rules: Rules) -> Result<bool, Refusal> {
        let current = self.running()?;
        if current.ended.is_some() && !current.correcting {
            return Ok(true);
        }
        let mmhg = match current.entry.pressure() {
            Ok(Some(mmhg)) => mmhg,
            Ok(None) => {
                let reads = current.stage() == Some(Stage::Read) || current.entered();
                current.notice = reads.then_some(Notice::TypeReadingFirst);
                return Ok(false);
            }
            Err(fault) => {
                (current.notice, current.question) = (Some(Notice::NoPressure(fault)), None);
                return Ok(false);
            }
        };
        match current.field() {
            Field::InflatedTo => self.take_inflated_to(record, at, (mmhg, rules.ceiling))?,
            Field::Reading => self.keep_reading(record, at, (mmhg, rules.sites_known))?,
        }
        Ok(false)
    }

    fn keep_reading(
        &mut self,
        record: &mut Record,
        at: At,
        (mmhg, sites_known): (Mmhg, bool),
    ) -> Result<(), Refusal> {
        let Self { current: Some(current), last_visit, .. } = self else {
            return Err(Refusal::NoAttempt);
        };
        let asked = matches!(current.question, Some(Question::Keep(asked, _)) if asked == mmhg);
        let context = ReadingContext {
            visit: record.visit(),
            course: (!current.correcting && !current.entered()).then_some(&current.course),
            attempt: current.number,
            site: current.site,
            last_visit,
            sites_known,
        };
        if let Some(doubt) = context.doubt(mmhg).filter(|_| !asked) {
            (current.notice, current.question) = (None, Some(Question::Keep(mmhg, doubt)));
            return Ok(());
        }
        if current.correcting {
            return correct::current(record, at, current, mmhg);
        }
        let source = current.source();
        self.end(record, at, Outcome::Reading { cuff_mmhg: mmhg, source })
    }

    /// No signal was found: asked about where a pulse was heard.
    pub fn no_signal(&mut self, record: &mut Record, at: At) -> Result<(), Refusal> {
        let current = self.running()?;
        current.notice = None;
        if current.course.pulse_heard() && current.question != Some(Question::NoSignal) {
            current.question = Some(Question::NoSignal);
            return Ok(());
        }
        self.end(record, at, Outcome::NoSignal)
    }

    /// Not compressible, at the pressure typed or inflated to. There must be one, and it is asked about.
    pub fn not_compressible(&mut self, record: &mut Record, at: At) -> Result<(), Refusal> {
        let current = self.running()?;
        if current.ended.is_some() || current.stopped || current.stage() == Some(Stage::Find) {
            return Ok(());
        }
        let typed: Option<Mmhg> = current.entry.text().parse::<Given>().ok().and_then(pressure);
        let Some(reached) = typed.or(current.course.inflated_to()) else {
            (current.question, current.notice) = (None, Some(Notice::GivePressureReached));
            return Ok(());
        };
        let question = Some(Question::NotCompressible(reached));
        if current.question != question {
            (current.question, current.notice) = (question, None);
            return Ok(());
        }
        self.end(record, at, Outcome::NotCompressible { limit_mmhg: reached })
    }

    /// A reason for not measuring is asked for, or no longer.
    pub fn ask_why(&mut self) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if current.ended.is_none() {
            current.asking_why = !current.asking_why;
        }
        Ok(())
    }

    /// Ends the attempt that runs; one that has ended stays as it is.
    pub fn end(&mut self, record: &mut Record, at: At, outcome: Outcome) -> Result<(), Refusal> {
        let current = self.running()?;
        if current.ended.is_some() {
            return Ok(());
        }
        let (attempt, site) = (current.number, current.site);
        let event = record.does(at, Act::Outcome { attempt, outcome: outcome.clone() })?;
        let current = self.hushed()?;
        current.course.opened(at.s);
        current.entry.clear();
        current.asking_why = false;
        let (corrected, comparison, word) = (false, None, None);
        current.ended = Some(Ended { event, outcome, at_s: at.s, corrected, comparison, word });
        self.cuff_opened(site, at);
        Ok(())
    }

    fn cuff_opened(&mut self, site: Site, at: At) {
        self.opened.retain(|(s, _)| *s != site);
        self.opened.push((site, at.s));
        self.effects.push_back(SiteEffect::OpenValve);
    }

    /// The valve is opened at once.
    pub fn stop(&mut self, record: &mut Record, at: At) -> Result<(), Refusal> {
        let current = self.hushed()?;
        current.asking_why = false;
        self.effects.push_back(SiteEffect::OpenValve);
        let current = self.running()?;
        if current.stopped || current.ended.is_some() {
            return Ok(());
        }
        current.stopped = true;
        current.course.opened(at.s);
        let (attempt, site) = (current.number, current.site);
        record.does(at, Act::Stopped { attempt, why: None })?;
        self.cuff_opened(site, at);
        Ok(())
    }

    /// The clinician's word for the sound of the artery.
    pub fn word(&mut self, record: &mut Record, at: At, word: WaveformWord) -> Result<(), Refusal> {
        let current = self.hushed()?;
        if let Some(ended) = &mut current.ended {
            ended.word = Some(word);
        }
        let site = current.site;
        record.does(at, Act::Waveform { site, word })?;
        Ok(())
    }

    /// The reading just kept is to be corrected, or no longer.
    pub fn correct_reading(&mut self) -> Result<(), Refusal> {
        let current = self.hushed()?;
        let has = current.ended.as_ref().is_some_and(|e| e.reading().is_some());
        current.correcting = has && !current.correcting;
        current.entry.clear();
        Ok(())
    }

    /// The clinician's last act that can be undone is undone.
    pub fn undo(&mut self, record: &mut Record, at: At) -> Result<(), Refusal> {
        let n = record.last_done().ok_or(Refusal::NothingToUndo)?;
        let place = usize::try_from(n).ok().and_then(|n| n.checked_sub(1));
        let act = place.and_then(|p| record.events().get(p)).map(|event| event.act.clone());
        let act = act.ok_or(Refusal::NothingToUndo)?;
        let undone = match &act {
            Act::Mark { attempt, .. } => Act::MarkTakenBack { attempt: *attempt },
            _ => {
                let who = record.visit().operators.last().cloned().unwrap_or_default();
                Act::Undone { of: n, who }
            }
        };
        record.add(at, undone)?;
        if let Some(current) = &mut self.current {
            current.hush();
            current.forget(&act, at.s);
            let standing = record.visit().attempt(current.number).and_then(|a| a.outcome.clone());
            if let (Some(ended), Some(outcome)) = (&mut current.ended, standing) {
                ended.outcome = outcome;
            }
        }
        Ok(self.note_stage(record, at)?)
    }

    /// Seconds to wait before this limb's cuff is inflated again.
    pub fn wait_s(&self, site: Site, now_s: f64, wanted_s: u32) -> u32 {
        let limb = |s: &Site| s.side == site.side && s.is_arm() == site.is_arm();
        let last = self.opened.iter().filter(|(s, _)| limb(s)).map(|(_, at_s)| *at_s);
        let since = last.map(|at_s| now_s - at_s).fold(f64::INFINITY, f64::min);
        (f64::from(wanted_s) - since).max(0.0).ceil() as u32
    }

    /// The outcome that an attempt ended with was corrected.
    pub fn corrected(&mut self, attempt: u32, outcome: &Outcome) {
        let current = self.current.as_mut().filter(|current| current.number == attempt);
        if let Some(ended) = current.and_then(|current| current.ended.as_mut()) {
            (ended.outcome, ended.corrected) = (outcome.clone(), true);
        }
    }
}

fn pressure(given: Given) -> Option<Mmhg> {
    match given {
        Given::Pressure(mmhg) => Some(mmhg),
        Given::NotCompressible | Given::NoSignal | Given::Skipped => None,
    }
}

/// The comparison, once it is known: it is shown, and goes to the record.
fn compare(current: &mut CurrentAttempt) -> Option<Act> {
    let attempt = current.number;
    let ended = current.ended.as_mut().filter(|e| e.comparison.is_none())?;
    let reading = ended.reading()?;
    ended.comparison = current.course.comparison(Some(reading), Assumed::default());
    let Comparison { late_s, beats, mmhg, .. } = ended.comparison?;
    Some(Act::Compared { attempt, late_s, beats: beats.unwrap_or_default(), mmhg })
}
