//! The sound behind the window: a worker on its own thread, or one that a test steps in virtual time.

use std::sync::Arc;

use jiff::Timestamp;

use crate::clinical::event::SoundTime;
use crate::live::{Bench, Live, Plan, Shared, Snapshot, Stepped, Supply, Told, Worker};
use crate::units::Instant;

/// Makes a source of sound, each time one is needed.
pub type Maker = Box<dyn FnMut() -> Box<dyn Supply>>;

/// How an ear comes about: on a thread, or stepped by a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Real time.
    Thread,
    /// The time that [`Ear::step`] is given.
    Stepped,
}

/// Where the window's sound comes from.
pub enum SoundSource {
    /// The device that the settings remember.
    Device,
    /// A simulated or recorded patient.
    Bench {
        /// What it is, in words.
        words: String,
        /// Which site the probe is on.
        bench: Arc<Bench>,
        /// Makes the sound.
        make: Maker,
    },
}

/// A source that is listened to.
pub enum Ear {
    /// In real time, on a thread of its own.
    Running(Live),
    /// In the time that it is given.
    Stepped {
        /// The worker.
        worker: Box<Worker>,
        /// What it tells.
        shared: Arc<Shared>,
    },
}

impl Ear {
    /// Begins to listen.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(
        supply: Box<dyn Supply>,
        plan: Plan,
        drive: Drive,
        now: Instant,
    ) -> std::io::Result<Self> {
        match drive {
            Drive::Thread => Live::start(supply, plan).map(Self::Running),
            Drive::Stepped => {
                let shared = Arc::new(Shared::new(now));
                let worker = Box::new(Worker::new(supply, plan, shared.clone()));
                Ok(Self::Stepped { worker, shared })
            }
        }
    }

    /// Lets virtual time come to `now`.
    pub fn step(&mut self, now: Instant, wall: Timestamp) {
        if let Self::Stepped { worker, .. } = self {
            while worker.step(now, wall) == Stepped::Busy {}
        }
    }

    /// The next thing that happened.
    pub fn poll(&self) -> Option<Told> {
        match self {
            Self::Running(live) => live.poll(),
            Self::Stepped { shared, .. } => shared.poll(),
        }
    }

    /// Copies how it looks now.
    pub fn look(&self, into: &mut Snapshot) {
        match self {
            Self::Running(live) => live.look(into),
            Self::Stepped { shared, .. } => shared.look(into),
        }
    }

    /// Where in the sound an instant lies.
    pub fn locate(&self, at: Instant) -> Option<SoundTime> {
        match self {
            Self::Running(live) => live.locate(at),
            Self::Stepped { shared, .. } => shared.locate(at),
        }
    }

    /// Whether the analysis stands still.
    pub fn stalled(&self) -> bool {
        matches!(self, Self::Running(live) if live.stalled())
    }

    /// Stops; a recording is made whole.
    pub fn stop(&mut self, wall: Timestamp) {
        match self {
            Self::Running(live) => live.stop(),
            Self::Stepped { worker, .. } => worker.close(wall),
        }
    }
}
