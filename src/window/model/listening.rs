//! What is listened to: the source, the ear on it, the latest picture of it, what is wrong with it.

use std::path::Path;

use super::choices::Choices;
use crate::clinical::event::SoundTime;
use crate::clinical::site::Site;
use crate::live::{ChoiceFault, Gain, LiveEvent, Plan, Snapshot, Supply};
use crate::logbook::{Keeper, VisitId};
use crate::units::Instant;
use crate::window::ear::{Drive, Ear, SoundSource};
use crate::window::now::Now;
use crate::window::sentence::sentence;
use crate::window::tone::{AtReturn, OpenTone};

/// Said while the analysis stands still.
const STOPPED: &str =
    "Cuffnote has stopped listening: carry on by ear. Unplug the cable to hear the Doppler.";

/// Why there is no sound.
#[derive(Debug, thiserror::Error)]
pub enum NoSound {
    /// Another choice is needed.
    #[error(transparent)]
    ChooseAnother(#[from] ChoiceFault),
    /// The system gives no thread: another time.
    #[error("{0}")]
    TryAgain(#[from] std::io::Error),
}

/// The sound of the window.
pub struct Listening {
    /// The latest of the sound.
    pub snapshot: Snapshot,
    /// What is wrong with the sound; stays until it is over.
    pub alarm: Option<String>,
    /// The sound is not recorded, though it should be.
    pub not_recording: Option<String>,
    source: SoundSource,
    drive: Drive,
    ear: Option<Ear>,
    gain: Gain,
    tone: Option<OpenTone>,
}

impl Listening {
    /// Silence, with this source at hand; sound is passed on as loud as these per cent.
    pub fn new(source: SoundSource, drive: Drive, percent: u32) -> Self {
        Self {
            snapshot: Snapshot::new(),
            alarm: None,
            not_recording: None,
            source,
            drive,
            ear: None,
            gain: Gain::new(percent),
            tone: None,
        }
    }

    /// What the sound comes from, in words.
    pub fn source_words(&self, choices: &Choices) -> String {
        match &self.source {
            SoundSource::Bench { words, .. } => words.clone(),
            SoundSource::Device if choices.sound().cable => "Cable".into(),
            SoundSource::Device => "Microphone".into(),
        }
    }

    /// What the simulated gauge shows, where there is one, mmHg.
    pub fn gauge_mmhg(&self) -> Option<f64> {
        match &self.source {
            SoundSource::Bench { bench, .. } if self.ear.is_some() => Some(bench.cuff_mmhg()),
            _ => None,
        }
    }

    /// Whether the sound is being recorded now.
    pub fn recording(&self) -> bool {
        self.snapshot.recorded.is_some()
    }

    /// Whether sound is listened to.
    pub fn hears(&self) -> bool {
        self.ear.is_some()
    }

    /// Real time, or stepped.
    pub fn drive(&self) -> Drive {
        self.drive
    }

    /// How often the tone at the return was sounded since measuring began.
    pub fn tones(&self) -> u32 {
        self.tone.as_ref().map_or(0, OpenTone::rung)
    }

    /// Where in the sound an instant lies.
    pub fn locate(&self, at: Instant) -> Option<SoundTime> {
        self.ear.as_ref().and_then(|ear| ear.locate(at))
    }

    /// What the check of the sound finds now, in words; the same that the screen shows.
    pub fn check_words(&self) -> String {
        let level = self.snapshot.level;
        if self.snapshot.epoch.is_none() {
            return "No sound.".into();
        }
        let above = level.mean_dbfs - level.background_dbfs;
        let room = match level.background_dbfs {
            b if b > -35.0 => "The room is loud: a weak return could be missed.",
            b if b > -50.0 => "Some background noise: a weak return may be hard to hear.",
            _ => "Little background noise.",
        };
        let clip =
            if level.peak_dbfs > -0.5 { " Too loud for the input: turn it down." } else { "" };
        format!(
            "{room}{clip} Level {:.0} dB, background {:.0} dB, now {above:.0} dB above it.",
            level.mean_dbfs, level.background_dbfs
        )
    }

    /// Sound passed on is as loud as this from now on, per cent.
    pub fn set_loudness(&mut self, percent: u32) {
        self.gain.set(percent);
    }

    /// The simulated patient's probe is on this site.
    pub fn turn_to(&self, site: Site) {
        if let SoundSource::Bench { bench, .. } = &self.source {
            bench.turn_to(site);
        }
    }

    /// The simulated patient's cuff is opened.
    pub fn open_valve(&self) {
        if let SoundSource::Bench { bench, .. } = &self.source {
            bench.open_valve();
        }
    }

    /// Lets time pass; where in the sound it is now.
    pub fn tick(&mut self, now: Now) -> Option<SoundTime> {
        let ear = self.ear.as_mut()?;
        ear.step(now.at, now.wall.utc());
        ear.look(&mut self.snapshot);
        ear.locate(now.at)
    }

    /// Says that the analysis stands still, as long as it does.
    pub fn watch(&mut self) {
        self.stands_still(self.ear.as_ref().is_some_and(Ear::stalled));
    }

    /// A busy computer may hold the analysis up for a second or two: what it says goes when the analysis goes on.
    fn stands_still(&mut self, stalled: bool) {
        if stalled {
            self.alarm = Some(STOPPED.into());
        } else if self.alarm.as_deref() == Some(STOPPED) {
            self.alarm = None;
        }
    }

    /// The next thing that happened in the sound; what is wrong with it is taken here.
    pub fn poll(&mut self, choices: &Choices) -> Option<LiveEvent> {
        let told = self.ear.as_ref().and_then(Ear::poll)?;
        match &told.event {
            LiveEvent::Began(_) => (self.alarm, self.not_recording) = (None, None),
            LiveEvent::Fault(fault) => {
                let hear = if choices.sound().cable { " Unplug the cable to hear." } else { "" };
                self.alarm = Some(sentence(&format!("{fault}.{hear}")));
            }
            LiveEvent::NotRecording { said, .. } => {
                if choices.record() && matches!(self.source, SoundSource::Device) {
                    self.not_recording = Some(format!("NOT RECORDING: {said}"));
                }
            }
            LiveEvent::Odd { odd, present, .. } => {
                self.alarm = present.then(|| sentence(&format!("{}.", odd.sentence())));
            }
            LiveEvent::Heard { .. }
            | LiveEvent::Gap { .. }
            | LiveEvent::Recording { .. }
            | LiveEvent::Through { .. }
            | LiveEvent::NotThrough(_)
            | LiveEvent::Ended { .. }
            | LiveEvent::Over => {}
        }
        Some(told.event)
    }

    /// The sound that was chosen, recorded to this file where one is named.
    ///
    /// # Errors
    /// The choice is refused.
    pub fn chosen(
        &mut self,
        choices: &Choices,
        file: Option<&Path>,
    ) -> Result<(Box<dyn Supply>, Plan), ChoiceFault> {
        match &mut self.source {
            SoundSource::Bench { make, .. } => Ok((make(), Plan::default())),
            SoundSource::Device => {
                let choice = choices.sound();
                Ok((choice.supply_at(&self.gain)?, choice.plan(file)))
            }
        }
    }

    /// Begins to listen, for this visit where one is in hand; recorded to its folder where that is chosen.
    pub fn begin(&mut self, visit: Option<VisitId>, choices: &Choices, keeper: &Keeper, now: Now) {
        let visit =
            visit.filter(|_| choices.record() && matches!(self.source, SoundSource::Device));
        let name = format!("sound-{}.wav", now.wall.utc().strftime("%H%M%S"));
        let file = visit.map(|visit| keeper.recording_file(visit, &name));
        let file = file.transpose().unwrap_or_else(|fault| {
            self.not_recording = Some(format!("NOT RECORDING: {fault}"));
            None
        });
        let drive = self.drive;
        let sound = self.chosen(choices, file.as_deref()).map_err(NoSound::from);
        let ear = sound.and_then(|(supply, plan)| Ok(Ear::start(supply, plan, drive, now.at)?));
        match ear {
            Ok(ear) => self.ear = Some(ear),
            Err(fault) => self.alarm = Some(sentence(&fault.to_string())),
        }
    }

    /// The sound stops, and recordings are whole; what it told last can still be had. False where nothing was heard.
    pub fn stop(&mut self, now: Now) -> bool {
        self.ear.as_mut().map(|ear| ear.stop(now.wall.utc())).is_some()
    }

    /// The ear is taken away; nothing is shown any more.
    pub fn end(&mut self) {
        self.ear = None;
        self.snapshot = Snapshot::new();
    }

    /// Nothing is wrong any more: the visit is over.
    pub fn forget_faults(&mut self) {
        (self.alarm, self.not_recording) = (None, None);
    }

    /// A tone at the return, where that was chosen and measuring goes on; gives what is amiss.
    pub fn sound_tone(
        &mut self,
        choices: &Choices,
        measuring: bool,
        at: Option<AtReturn>,
        now: Now,
    ) -> Option<String> {
        if !measuring {
            self.tone = None;
            return None;
        }
        let mut amiss = None;
        if choices.tone() != self.tone.is_some() {
            let output = choices.sound().through.and_then(|through| through.to);
            let opened = choices.tone().then(|| OpenTone::open(output, self.drive, now));
            match opened.transpose() {
                Ok(tone) => self.tone = tone,
                Err(fault) => amiss = Some(sentence(&fault.to_string())),
            }
        }
        self.tone.as_mut().and_then(|tone| tone.tick(now, at)).or(amiss)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_analysis_that_goes_on_takes_its_alarm_away_and_no_other() {
        let mut listening = Listening::new(SoundSource::Device, Drive::Thread, 50);
        listening.stands_still(true);
        assert_eq!(listening.alarm.as_deref(), Some(STOPPED));
        listening.stands_still(false);
        assert_eq!(listening.alarm, None);
        listening.alarm = Some("The sound device is gone.".into());
        listening.stands_still(false);
        assert!(listening.alarm.is_some(), "that one is not over");
    }
}
