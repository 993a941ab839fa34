//! What is listened to: the source, the ear on it, the latest picture of it, what is wrong with it.

use std::path::Path;

use super::choices::Choices;
use super::sound_check::{SoundCheck, room, source_said};
use crate::clinical::event::SoundTime;
use crate::clinical::site::Site;
use crate::live::{ChoiceFault, Fault, Gain, LiveEvent, Odd, Plan, Snapshot, Supply};
use crate::logbook::{Keeper, VisitId};
use crate::units::Instant;
use crate::window::ear::{Drive, Ear, SoundSource};
use crate::window::now::Now;
use crate::window::tone::{AtReturn, OpenTone};
use crate::words::{Words, id, say};

/// What is wrong with the sound.
#[derive(Debug, Clone, PartialEq)]
pub enum Alarm {
    /// The analysis stands still.
    Stopped,
    /// The stream was lost or could not be had; true where a cable is in use.
    Fault(Fault, bool),
    /// Something odd goes on in the sound.
    Odd(Odd),
    /// Another choice of sound is needed.
    Choice(ChoiceFault),
    /// The system gives no thread, and said why.
    NoThread(String),
}

impl Alarm {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        let plain = |id: &'static str| words.plain(id).to_owned();
        match self {
            Alarm::Stopped => plain(id!("sound-stopped")),
            Alarm::Fault(fault, cable) => {
                let said = fault_said(words, fault);
                match cable {
                    true => format!("{said} {}", words.plain(id!("sound-unplug"))),
                    false => said,
                }
            }
            Alarm::Odd(odd) => plain(match odd {
                Odd::Silent => id!("sound-silent"),
                Odd::Stuck => id!("sound-stuck"),
                Odd::NotNumbers => id!("sound-invalid"),
                Odd::FullScale => id!("sound-full-scale"),
                Odd::DeadChannel => id!("sound-dead-channel"),
                Odd::NoSound => id!("sound-one-second"),
                Odd::Missed => id!("sound-missed"),
            }),
            Alarm::Choice(ChoiceFault::WouldHowl) => plain(id!("sound-howl")),
            Alarm::Choice(ChoiceFault::NoList(said)) | Alarm::NoThread(said) => {
                say!(words, "sound-cannot-open", said = said)
            }
        }
    }
}

fn fault_said(words: Words, fault: &Fault) -> String {
    match fault {
        Fault::DeviceGone => words.plain(id!("sound-device-gone")).to_owned(),
        Fault::SystemGone => words.plain(id!("sound-system-gone")).to_owned(),
        Fault::Stalled => words.plain(id!("sound-stalled")).to_owned(),
        Fault::Lost { seconds } => {
            say!(words, "sound-lost", seconds = words.decimal(*seconds, 1))
        }
        Fault::Slept { seconds } => {
            say!(words, "sound-slept", seconds = words.decimal(*seconds, 0))
        }
        Fault::CannotOpen(said) => say!(words, "sound-cannot-open", said = said),
    }
}

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
    pub alarm: Option<Alarm>,
    /// The sound is not recorded, though it should be; what the system said.
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

    /// What is wrong with the sound, in sentences for a screen.
    pub fn alarms(&self, words: Words) -> Vec<String> {
        let alarm = self.alarm.as_ref().map(|alarm| alarm.said(words));
        let why = self.not_recording.as_ref();
        let not_recording = why.map(|why| say!(words, "sound-not-recording", why = why));
        alarm.into_iter().chain(not_recording).collect()
    }

    /// What the sound comes from, in words; a simulated patient or a recording as it is named.
    pub fn source_words(&self, w: Words, choices: &Choices) -> String {
        match &self.source {
            SoundSource::Bench { words, .. } => source_said(w, words),
            SoundSource::Device if choices.sound().cable => w.plain(id!("window-cable")).into(),
            SoundSource::Device => w.plain(id!("window-microphone")).into(),
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
    pub fn check_words(&self, words: Words) -> String {
        let level = self.snapshot.level;
        if self.snapshot.epoch.is_none() {
            return words.plain(id!("sound-none")).into();
        }
        let above = level.mean_dbfs - level.background_dbfs;
        let db = [level.mean_dbfs, level.background_dbfs, above].map(|db| format!("{db:.0}"));
        let check = SoundCheck {
            room: room(level.background_dbfs),
            clips: level.peak_dbfs > -0.5,
            db: db.each_ref().map(String::as_str),
        };
        check.said(words)
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
            self.alarm = Some(Alarm::Stopped);
        } else if self.alarm == Some(Alarm::Stopped) {
            self.alarm = None;
        }
    }

    /// The next thing that happened in the sound; what is wrong with it is taken here.
    pub fn poll(&mut self, choices: &Choices) -> Option<LiveEvent> {
        let told = self.ear.as_ref().and_then(Ear::poll)?;
        match &told.event {
            LiveEvent::Began(_) => (self.alarm, self.not_recording) = (None, None),
            LiveEvent::Fault(fault) => {
                self.alarm = Some(Alarm::Fault(fault.clone(), choices.sound().cable));
            }
            LiveEvent::NotRecording { said, .. } => {
                if choices.record() && matches!(self.source, SoundSource::Device) {
                    self.not_recording = Some(said.clone());
                }
            }
            LiveEvent::Odd { odd, present, .. } => {
                self.alarm = present.then_some(Alarm::Odd(*odd));
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
            self.not_recording = Some(fault.to_string());
            None
        });
        let drive = self.drive;
        let sound = self.chosen(choices, file.as_deref()).map_err(Alarm::Choice);
        let no_thread = |fault: std::io::Error| Alarm::NoThread(fault.to_string());
        let ear = sound
            .and_then(|(supply, plan)| Ear::start(supply, plan, drive, now.at).map_err(no_thread));
        match ear {
            Ok(ear) => self.ear = Some(ear),
            Err(alarm) => self.alarm = Some(alarm),
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
                Err(fault) => amiss = Some(fault.to_string()),
            }
        }
        let amiss = self.tone.as_mut().and_then(|tone| tone.tick(now, at)).or(amiss);
        amiss.map(|said| say!(choices.words(), "sound-no-tone", said = said))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_analysis_that_goes_on_takes_its_alarm_away_and_no_other() {
        let mut listening = Listening::new(SoundSource::Device, Drive::Thread, 50);
        listening.stands_still(true);
        assert_eq!(listening.alarm, Some(Alarm::Stopped));
        listening.stands_still(false);
        assert_eq!(listening.alarm, None);
        listening.alarm = Some(Alarm::Fault(Fault::DeviceGone, true));
        listening.stands_still(false);
        assert!(listening.alarm.is_some(), "that one is not over");
    }
}
