//! The joint: one worker between a source of sound and everyone else.
//!
//! [`Live::start`] puts a [`Supply`] (a device, a WAV file, a simulated patient) behind a [`Worker`] on a thread of its
//! own. Everyone else gets: what happened, in order ([`Live::poll`]); how it looks now, latest wins
//! ([`Live::look`]); and where in the sound an instant lies ([`Live::locate`]). The clinician's acts go the
//! other way round the worker, through a numbered queue that loses nothing ([`Live::act`]).
//!
//! Each stream is an epoch: its own number, rate, wall start and drift. Nothing here waits for a disk, a database
//! or a window; the recorder has a thread of its own.

mod again;
mod aloud;
mod bell;
mod bench;
mod choice;
mod clock;
mod device;
mod queue;
pub mod room;
mod run;
mod snapshot;
mod supply;
mod told;
mod watch;
mod worker;

pub use crate::audio::through::Gain;
pub use again::{Clip, Mean, Piece, one_a_beat};
pub use aloud::{Aloud, Hush};
pub use bell::{Bell, BellSupply};
pub use bench::{Bench, FilesBench, Played, SimBench};
pub use choice::{
    CHANNEL_KEY, Choice, ChoiceFault, DEVICE_KEY, HEADPHONES_KEY, Input, LINK_KEY, THROUGH_KEY,
    Through, VOLUME_KEY, inputs,
};
pub use clock::{Clock, Locator};
pub use device::{DeviceSupply, Passing};
pub use queue::{Full, Queue};
pub use snapshot::{COLUMN_S, COLUMNS, Level, Snapshot};
pub use supply::{Opened, Opening, Pace, Pull, SimSupply, Supply, WavSupply};
pub use told::{Epoch, Event, Fault, Told};
pub use watch::{Odd, Watch};
pub use worker::{Channel, Plan, Step, Worker};

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use jiff::Timestamp;

use crate::clinical::event::{Act, Event as VisitEvent, SoundTime};
use crate::clinical::moment::Moment;

/// Events that wait to be fetched: minutes of the liveliest sound.
const EVENTS: usize = 8_192;
/// Acts that wait to be kept.
const ACTS: usize = 1_024;
/// How long the worker sleeps when there is nothing to do.
const IDLE: Duration = Duration::from_millis(4);
/// Without a step of the worker for this long, the analysis has stalled.
const STALLED: Duration = Duration::from_secs(1);

/// What the worker shares with everyone else.
pub struct Shared {
    began: Instant,
    beat_ms: AtomicU64,
    told: Queue<Told>,
    acts: Queue<VisitEvent>,
    snapshot: Mutex<Snapshot>,
    locator: Mutex<Option<Locator>>,
}

impl Shared {
    /// Nothing told yet.
    pub fn new(now: Instant) -> Self {
        Self {
            began: now,
            beat_ms: AtomicU64::new(0),
            told: Queue::new(EVENTS),
            acts: Queue::new(ACTS),
            snapshot: Mutex::new(Snapshot::new()),
            locator: Mutex::new(None),
        }
    }

    fn beat(&self, now: Instant) {
        let ms = now.saturating_duration_since(self.began).as_millis();
        self.beat_ms.store(ms as u64, Ordering::Relaxed);
    }

    /// Queues what happened; what does not fit is counted.
    fn tell(&self, at: Timestamp, event: Event) {
        if self.told.put_numbered(|_| Told { at, event }).is_err() {
            held(&self.snapshot).untold += 1;
        }
    }

    /// The next thing that happened.
    pub fn poll(&self) -> Option<Told> {
        self.told.take().map(|(_, told)| told)
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

/// A lock whose holder never panics half-way; if one did, the data is plain numbers all the same.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// A running worker. Dropping it stops it.
pub struct Live {
    shared: Arc<Shared>,
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Live {
    /// Starts a worker.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(supply: Box<dyn Supply>, plan: Plan) -> std::io::Result<Self> {
        let shared = Arc::new(Shared::new(Instant::now()));
        let stop = Arc::new(AtomicBool::new(false));
        let mut worker = Worker::new(supply, plan, shared.clone());
        let stopping = stop.clone();
        let thread = std::thread::Builder::new().name("listener".into()).spawn(move || {
            while !stopping.load(Ordering::Acquire) {
                match worker.step(Instant::now(), Timestamp::now()) {
                    Step::Busy => {}
                    Step::Idle => std::thread::sleep(IDLE),
                    Step::Over => break,
                }
            }
            worker.close(Timestamp::now());
        })?;
        Ok(Self { shared, stop, thread: Some(thread) })
    }

    /// The next thing that happened, in order.
    pub fn poll(&self) -> Option<Told> {
        self.shared.poll()
    }

    /// Copies how it looks now into `into`.
    pub fn look(&self, into: &mut Snapshot) {
        self.shared.look(into);
    }

    /// Where in the sound an instant lies; `None` where there is no sound yet.
    pub fn locate(&self, at: Instant) -> Option<SoundTime> {
        self.shared.locate(at)
    }

    /// Queues an act of the clinician and gives its number.
    ///
    /// # Errors
    /// The queue is full because nobody keeps the acts; this one was not taken, and that must be said.
    pub fn act(&self, at: Moment, act: Act) -> Result<u64, Full> {
        self.shared.acts.put_numbered(|n| VisitEvent::new(n, at, act))
    }

    /// The next act to keep, in order.
    pub fn next_act(&self) -> Option<VisitEvent> {
        self.shared.acts.take().map(|(_, event)| event)
    }

    /// Whether the worker has not moved for a second.
    pub fn stalled(&self) -> bool {
        let beat = Duration::from_millis(self.shared.beat_ms.load(Ordering::Relaxed));
        !self.ended() && self.shared.began.elapsed().saturating_sub(beat) > STALLED
    }

    /// Whether the source has ended and the worker with it.
    pub fn ended(&self) -> bool {
        self.thread.as_ref().is_none_or(JoinHandle::is_finished)
    }

    /// Stops the worker; a recording is made whole. What it told until then can still be polled.
    pub fn stop(&mut self) {
        self.stop.store(true, Ordering::Release);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

impl Drop for Live {
    fn drop(&mut self) {
        self.stop();
    }
}
