//! A tone at the return, where the service wants the listener's word at once. Only by cable: a microphone would hear it
//! over the faint pulses that follow.

use std::io;

use super::ear::{Drive, Ear};
use super::now::Now;
use crate::live::{Aloud, Bell, BellSupply, Hush, LiveEvent, Plan, Supply};

/// A tone that would come later than this after the return is not made, seconds.
const LATE_S: f64 = 1.0;

/// An output that is open ahead, so that the tone sounds at once.
pub struct OpenTone {
    bell: Bell,
    ear: Ear,
    /// The attempt and the cue that it was rung for.
    rung_for: Option<(u32, f64)>,
}

/// What the attempt that runs knows of the return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtReturn {
    /// The attempt's number.
    pub attempt: u32,
    /// When the listener first said that the pulse is back, seconds on the visit's clock.
    pub cue_s: Option<f64>,
    /// The same clock now, seconds.
    pub now_s: f64,
    /// The attempt has ended.
    pub ended: bool,
}

impl OpenTone {
    /// Opens the output; silent until a return.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn open(output: Option<String>, drive: Drive, now: Now) -> io::Result<Self> {
        let bell = Bell::default();
        let bells: Box<dyn Supply> = Box::new(BellSupply::new(bell.clone()));
        let supply = match drive {
            Drive::Thread => Box::new(Aloud::new(bells, output, Hush::default())),
            Drive::Stepped => bells,
        };
        let ear = Ear::start(supply, Plan::default(), drive, now.at)?;
        Ok(Self { bell, ear, rung_for: None })
    }

    /// How often it sounded.
    pub fn rung(&self) -> u32 {
        self.bell.rung()
    }

    /// Rings at a new cue of the attempt that runs; gives what is amiss.
    pub fn tick(&mut self, now: Now, at: Option<AtReturn>) -> Option<String> {
        self.ear.step(now.at, now.wall.utc());
        let at = at?;
        let cue = at.cue_s.map(|cue_s| (at.attempt, cue_s));
        let fresh = cue.is_some_and(|(_, cue_s)| !at.ended && at.now_s - cue_s < LATE_S);
        if cue != self.rung_for && fresh {
            self.bell.ring();
        }
        self.rung_for = cue;
        std::iter::from_fn(|| self.ear.poll()).find_map(|told| match told.event {
            LiveEvent::NotThrough(said) => Some(said),
            _ => None,
        })
    }
}
