//! Listen first in the window: which step, which sound, and what is heard of it.

use super::action::ListenAct;
use super::heard_again::HeardAgain;
use crate::practice::listen_first::{ListenSound, ListenStep, steps};
use crate::window::now::Now;

/// The guided hour as it stands.
pub struct ListenFirst {
    /// All steps.
    pub steps: Vec<ListenStep>,
    /// The step in hand.
    pub step: usize,
    /// The sound that is heard, of those of the step.
    pub chosen: usize,
    /// It.
    pub heard: Option<HeardAgain>,
    /// Its velocity over one beat, cm/s, a value a millisecond.
    pub velocity: Option<Vec<f64>>,
}

impl ListenFirst {
    /// At its first step.
    pub fn begin() -> Self {
        let mut listen = Self { steps: steps(), step: 0, chosen: 0, heard: None, velocity: None };
        listen.make();
        listen
    }

    /// The step in hand.
    pub fn step(&self) -> Option<&ListenStep> {
        self.steps.get(self.step)
    }

    /// The sound in hand.
    pub fn sound(&self) -> Option<&ListenSound> {
        self.step()?.sounds.get(self.chosen)
    }

    /// Whether this is the last step.
    pub fn last(&self) -> bool {
        self.step + 1 >= self.steps.len()
    }

    fn make(&mut self) {
        let sound = self.sound().cloned();
        self.heard = sound.as_ref().and_then(|sound| HeardAgain::whole(sound.made()));
        self.velocity = sound.and_then(|sound| sound.velocity());
    }

    /// Applies an act; true where the hour is left.
    pub fn apply(&mut self, act: ListenAct, now: Now) -> bool {
        self.heard.iter_mut().for_each(|heard| heard.stop(now));
        match act {
            ListenAct::Leave => return true,
            ListenAct::On if self.last() => return true,
            ListenAct::On => (self.step, self.chosen) = (self.step + 1, 0),
            ListenAct::Back => (self.step, self.chosen) = (self.step.saturating_sub(1), 0),
            ListenAct::Step(step) => {
                (self.step, self.chosen) = (step.min(self.steps.len().saturating_sub(1)), 0);
            }
            ListenAct::Sound(n) => {
                let there = self.step().map_or(0, |step| step.sounds.len());
                self.chosen = n.min(there.saturating_sub(1));
            }
        }
        self.make();
        false
    }
}
