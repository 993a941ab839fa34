//! A tone at the return, where the service wants the listener's word at once. Only by cable: a microphone would hear it
//! over the faint pulses that follow.

use super::Now;
use super::ear::Ear;
use super::exam::Attempting;
use super::model::{Drive, sentence};
use crate::live::{Aloud, Bell, BellSupply, Event, Hush, Plan};

/// A tone that would come later than this after the return is not made, seconds.
const LATE_S: f64 = 1.0;

/// An output that is open ahead, so that the tone sounds at once.
pub struct Tone {
    bell: Bell,
    ear: Ear,
    /// The attempt and the cue that it was rung for.
    cue: Option<(u32, f64)>,
}

impl Tone {
    /// Opens the output; silent until a return.
    ///
    /// # Errors
    /// The system gives no thread; a sentence.
    pub fn open(output: Option<String>, drive: Drive, now: Now) -> Result<Self, String> {
        let bell = Bell::default();
        let supply = Box::new(BellSupply::new(bell.clone()));
        let ear = match drive {
            Drive::Thread => {
                let aloud = Box::new(Aloud::new(supply, output, Hush::default()));
                Ear::run(aloud, Plan::default()).map_err(|e| sentence(&e.to_string()))?
            }
            Drive::Stepped => Ear::stepped(supply, Plan::default(), now.at),
        };
        Ok(Self { bell, ear, cue: None })
    }

    /// How often it sounded.
    pub fn rung(&self) -> u32 {
        self.bell.rung()
    }

    /// Rings at a new cue of the attempt, `now_s` on the visit's clock; gives what is amiss.
    pub fn tick(&mut self, now: Now, at: Option<&Attempting>, now_s: f64) -> Option<String> {
        self.ear.step(now.at, now.wall.utc());
        let at = at?;
        let cue = at.course.cue_s().map(|cue_s| (at.number, cue_s));
        let fresh = cue.is_some_and(|(_, cue_s)| at.kept.is_none() && now_s - cue_s < LATE_S);
        if cue != self.cue && fresh {
            self.bell.ring();
        }
        self.cue = cue;
        std::iter::from_fn(|| self.ear.poll()).find_map(|told| match told.event {
            Event::NotThrough(said) => Some(format!("No tone: {said}")),
            _ => None,
        })
    }
}
