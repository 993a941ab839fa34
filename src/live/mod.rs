//! The joint: one worker between a source of sound and everyone else.
//!
//! [`Live::start`] puts a [`Supply`] (a device, a WAV file, a simulated patient) behind a [`Worker`] on a thread of its
//! own. Everyone else gets: what happened, in order ([`Live::poll`]); how it looks now, latest wins
//! ([`Live::look`]); and where in the sound an instant lies ([`Live::locate`]). A whole file is heard
//! faster than it sounds, without a worker, by [`recording`].
//!
//! Each stream is an epoch: its own number, rate, wall start and drift. Nothing here waits for a disk, a database
//! or a window; the recorder has a thread of its own.

mod again;
mod ahead;
#[cfg(feature = "bedside")]
mod aloud;
#[cfg(feature = "bedside")]
mod bell;
mod bench;
#[cfg(feature = "bedside")]
mod choice;
mod clock;
#[cfg(feature = "bedside")]
mod device;
mod hush;
mod lock;
mod queue;
#[cfg(feature = "bedside")]
pub mod recording;
#[cfg(feature = "bedside")]
pub mod room;
mod run;
mod shared;
mod snapshot;
mod softly;
mod supply;
mod told;
mod watch;
mod worker;

pub use crate::audio::given::{MOST_BYTES, NoGivenSound, given_sound};
#[cfg(feature = "bedside")]
pub use crate::audio::spout::Gain;
pub use again::{Clip, NoBeat, Piece, PieceBeat, PieceInMaking, one_a_beat};
pub use ahead::{PiecePlace, SetAhead};
#[cfg(feature = "bedside")]
pub use aloud::Aloud;
#[cfg(feature = "bedside")]
pub use bell::{Bell, BellSupply};
#[cfg(feature = "bedside")]
pub use bench::FilesBench;
pub use bench::{Bench, Played, SimBench};
#[cfg(feature = "bedside")]
pub use choice::{
    CHANNEL_KEY, Choice, ChoiceFault, DEVICE_KEY, HEADPHONES_KEY, InputDevice, LINK_KEY,
    THROUGH_KEY, Through, VOLUME_KEY, inputs,
};
pub use clock::{Clock, Locator};
#[cfg(feature = "bedside")]
pub use device::{DeviceSupply, Passing};
pub use hush::Hush;
pub use shared::Shared;
pub use snapshot::{COLUMN_S, COLUMNS, Level, ROW_HZ, Snapshot};
pub use softly::{Softly, TakenSound, WaitingSound};
#[cfg(feature = "bedside")]
pub use supply::WavSupply;
pub use supply::{OpenStream, OpeningStage, Pace, Pull, SimSupply, Supply};
pub use told::{Epoch, Fault, LiveEvent, Told};
pub use watch::{Odd, StreamWatch};
pub use worker::{Channel, Plan, Stepped, Worker};

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;
use std::time::Duration;

use crate::clinical::event::SoundTime;
use crate::units::Instant;

/// How long the worker sleeps when there is nothing to do.
const IDLE: Duration = Duration::from_millis(4);
/// Without a step of the worker for this long, the analysis has stalled.
const STALLED: Duration = Duration::from_secs(1);

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
                match worker.step(Instant::now(), crate::units::wall_clock()) {
                    Stepped::Busy => {}
                    Stepped::Idle => std::thread::sleep(IDLE),
                    Stepped::Over => break,
                }
            }
            worker.close(crate::units::wall_clock());
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

    /// Whether the worker has not moved for a second.
    pub fn stalled(&self) -> bool {
        !self.ended() && self.shared.since_beat() > STALLED
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
