//! What the worker shares with everyone else: what happened, how it looks, where in the sound an instant lies.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use jiff::Timestamp;

use super::clock::Locator;
use super::lock::held;
use super::queue::Queue;
use super::snapshot::Snapshot;
use super::told::{LiveEvent, Told};
use crate::clinical::event::SoundTime;
use crate::units::Instant;

/// Events that wait to be fetched: minutes of the liveliest sound.
const EVENTS: usize = 8_192;

/// What the worker shares with everyone else.
pub struct Shared {
    began: Instant,
    beat_ms: AtomicU64,
    told: Queue<Told>,
    pub(super) snapshot: Mutex<Snapshot>,
    pub(super) locator: Mutex<Option<Locator>>,
}

impl Shared {
    /// Nothing told yet.
    pub fn new(now: Instant) -> Self {
        Self {
            began: now,
            beat_ms: AtomicU64::new(0),
            told: Queue::new(EVENTS),
            snapshot: Mutex::new(Snapshot::new()),
            locator: Mutex::new(None),
        }
    }

    /// The worker moves at this instant.
    pub(super) fn beat(&self, now: Instant) {
        let ms = now.saturating_duration_since(self.began).as_millis();
        self.beat_ms.store(ms as u64, Ordering::Relaxed);
    }

    /// How long ago the worker last moved.
    pub(super) fn since_beat(&self) -> Duration {
        let beat = Duration::from_millis(self.beat_ms.load(Ordering::Relaxed));
        self.began.elapsed().saturating_sub(beat)
    }

    /// Queues what happened; what does not fit is counted.
    pub(super) fn tell(&self, at: Timestamp, event: LiveEvent) {
        if self.told.put(Told { at, event }).is_err() {
            held(&self.snapshot).untold += 1;
        }
    }

    /// The next thing that happened.
    pub fn poll(&self) -> Option<Told> {
        self.told.take()
    }

    /// Where in the sound an instant lies.
    pub fn locate(&self, at: Instant) -> Option<SoundTime> {
        held(&self.locator).map(|locator| locator.locate(at))
    }

    /// Copies how it looks now.
    pub fn look(&self, into: &mut Snapshot) {
        into.clone_from(&held(&self.snapshot));
    }
}
