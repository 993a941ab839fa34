//! The worker: pulls sound, hears it, tells what happened. It owns no clock; whoever runs it passes the time.
//!
//! Amber zone: between the beginning and the end of an epoch a step allocates nothing.

use std::sync::Arc;
use std::time::Duration;

use jiff::Timestamp;

use super::lock::held;
use super::run::Run;
use super::shared::Shared;
use super::supply::{OpenStream, OpeningStage, Pull, Supply};
use super::told::{Epoch, Fault, LiveEvent};
use crate::audio::callback::{BLOCK_FRAMES, FrameBlock};
use crate::audio::recorder::{Depth, Names, Recorder};
use crate::units::{Instant, SampleCount};

/// Without a callback for this long, a warning is sent.
const WATCHDOG: Duration = Duration::from_secs(1);
/// And for this long, the stream is given up; until then a server that was kept waiting can deliver everything.
const GIVE_UP: Duration = Duration::from_secs(4);
/// A stream that never gives a first frame is given up after this.
const FIRST: Duration = Duration::from_secs(3);
/// From a fault to the next try.
const RETRY: Duration = Duration::from_millis(500);
/// After a pause of the worker itself, the source gets its full time again before it is given up.
const PAUSE: Duration = Duration::from_millis(500);
/// Wall time running ahead of the computer's own by this much means that it slept.
const SLEPT_S: f64 = 2.0;
/// Blocks in one step.
const BLOCKS: usize = 64;
/// A gap longer than this is not filled with silence, it ends the epoch, seconds.
const FILL_MAX_S: f64 = 30.0;

/// Which channel is listened to; all are recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Channel {
    /// The mean of all.
    #[default]
    All,
    /// One, from 0.
    One(usize),
}

/// What the worker is to do.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Which channel is listened to.
    pub channel: Channel,
    /// Where to record to.
    pub record: Option<(Names, Depth)>,
}

/// What a step came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stepped {
    /// There may be more at once.
    Busy,
    /// Nothing to do for a few milliseconds.
    Idle,
    /// The source has ended, nothing will follow.
    Over,
}

/// See the room's door text.
pub struct Worker {
    supply: Box<dyn Supply>,
    plan: Plan,
    shared: Arc<Shared>,
    state: State,
    epochs: u32,
    samples: Vec<f32>,
    last_fault: Option<Fault>,
    clocks: Option<(Instant, Timestamp)>,
    /// When the worker itself last paused, and for how long, seconds.
    paused: Option<(Instant, f64)>,
}

enum State {
    Closed {
        try_at: Option<Instant>,
    },
    Opening,
    /// Open, but no frame has come yet.
    Waiting {
        opened: OpenStream,
        since: Instant,
    },
    Running(Box<Run>),
    Over,
}

impl Worker {
    /// A worker that has not begun.
    pub fn new(supply: Box<dyn Supply>, plan: Plan, shared: Arc<Shared>) -> Self {
        Self {
            supply,
            plan,
            shared,
            state: State::Closed { try_at: None },
            epochs: 0,
            samples: Vec::with_capacity(BLOCK_FRAMES * 64),
            last_fault: None,
            clocks: None,
            paused: None,
        }
    }

    /// Does what there is to do at this time.
    pub fn step(&mut self, now: Instant, wall: Timestamp) -> Stepped {
        self.shared.beat(now);
        while let Some(event) = self.supply.told() {
            self.tell(wall, event);
        }
        if let Some(seconds) = self.slept(now, wall)
            && !matches!(self.state, State::Over)
        {
            self.fault(Fault::Slept { seconds }, now, wall);
        }
        match &mut self.state {
            State::Over => Stepped::Over,
            State::Closed { try_at } => {
                if try_at.is_none_or(|at| now >= at) {
                    self.state = State::Opening;
                }
                Stepped::Idle
            }
            State::Opening => self.open(now, wall),
            State::Waiting { .. } | State::Running(_) => self.pull(now, wall),
        }
    }

    /// Ends what runs; the recording is made whole first, then the stream is closed.
    pub fn close(&mut self, wall: Timestamp) {
        if let State::Running(run) = std::mem::replace(&mut self.state, State::Over) {
            self.end(*run, wall);
        }
        self.supply.close();
    }

    fn tell(&self, at: Timestamp, event: LiveEvent) {
        self.shared.tell(at, event);
    }

    /// Seconds by which wall time has run ahead since the last step.
    fn slept(&mut self, now: Instant, wall: Timestamp) -> Option<f64> {
        let (then, wall_then) = self.clocks.replace((now, wall))?;
        let went = now.saturating_duration_since(then);
        if went > PAUSE {
            self.paused = Some((now, went.as_secs_f64()));
            if let State::Running(run) = &mut self.state {
                run.last_block = now;
            }
        }
        let went = went.as_secs_f64();
        let wall_went = wall.duration_since(wall_then).as_secs_f64();
        let ahead = wall_went - went;
        (ahead > SLEPT_S).then_some(ahead)
    }

    fn open(&mut self, now: Instant, wall: Timestamp) -> Stepped {
        match self.supply.open(now) {
            OpeningStage::Pending => Stepped::Idle,
            OpeningStage::Ready(opened) => {
                self.state = State::Waiting { opened, since: now };
                Stepped::Busy
            }
            OpeningStage::Failed(fault) => {
                self.fault(fault, now, wall);
                Stepped::Idle
            }
        }
    }

    fn pull(&mut self, now: Instant, wall: Timestamp) -> Stepped {
        for _ in 0..BLOCKS {
            let mut samples = std::mem::take(&mut self.samples);
            let pulled = self.supply.pull(now, &mut samples);
            self.samples = samples;
            match pulled {
                Pull::Block(block) => {
                    if let Some(fault) = self.block(block, now, wall) {
                        self.fault(fault, now, wall);
                        return Stepped::Busy;
                    }
                }
                Pull::Nothing => {
                    if let State::Running(run) = &mut self.state {
                        run.note_hiccups(self.supply.hiccups(), now, &self.shared, wall);
                    }
                    self.watchdog(now, wall);
                    return Stepped::Idle;
                }
                Pull::Over => {
                    self.close(wall);
                    self.tell(wall, LiveEvent::Over);
                    return Stepped::Over;
                }
                Pull::Lost(fault) => {
                    let fault = self.after_pause(fault, now);
                    self.fault(fault, now, wall);
                    return Stepped::Idle;
                }
            }
        }
        Stepped::Busy
    }

    /// A stream lost right after a pause of the whole program was lost by it: the connection to a
    /// sound server does not survive it.
    fn after_pause(&self, fault: Fault, now: Instant) -> Fault {
        match (fault, self.paused) {
            (Fault::SystemGone, Some((at, seconds)))
                if now.saturating_duration_since(at) < WATCHDOG =>
            {
                Fault::Slept { seconds }
            }
            (fault, _) => fault,
        }
    }

    fn watchdog(&mut self, now: Instant, wall: Timestamp) {
        let patience = |since: Instant, limit| now.saturating_duration_since(since) > limit;
        let given_up = match &mut self.state {
            State::Waiting { since, .. } => patience(*since, FIRST),
            State::Running(run) if self.supply.comes_back() => {
                run.note_silence(patience(run.last_block, WATCHDOG), &self.shared, wall);
                patience(run.last_block, GIVE_UP)
            }
            _ => false,
        };
        if given_up {
            self.fault(Fault::Stalled, now, wall);
        }
    }

    /// Ends the epoch, closes the stream, says why once, and tries again where that makes sense.
    fn fault(&mut self, fault: Fault, now: Instant, wall: Timestamp) {
        let again = self.supply.comes_back();
        let next = if again { State::Closed { try_at: Some(now + RETRY) } } else { State::Over };
        let before = std::mem::replace(&mut self.state, next);
        if self.last_fault.as_ref() != Some(&fault) {
            self.tell(wall, LiveEvent::Fault(fault.clone()));
        }
        self.last_fault = Some(fault);
        if let State::Running(run) = before {
            self.end(*run, wall);
        }
        self.supply.close();
        if !again {
            self.tell(wall, LiveEvent::Over);
        }
    }

    fn end(&mut self, mut run: Run, wall: Timestamp) {
        if let Some(recorder) = &mut run.recorder {
            recorder.finish();
            let recorded = recorder.frames();
            self.hear_up_to(recorded, &mut run, wall);
        }
        run.listener.finish();
        run.tell_findings(&self.shared, wall);
        run.tell_recorder(&self.shared, wall);
        *held(&self.shared.locator) = None;
        let mut snapshot = held(&self.shared.snapshot);
        (snapshot.epoch, snapshot.recorded) = (None, None);
        drop(snapshot);
        let drift_ppm = run.clock.drift_ppm();
        let frames = SampleCount(run.next);
        self.tell(wall, LiveEvent::Ended { epoch: run.epoch.id, frames, drift_ppm });
    }

    /// What is in the recording and was not heard yet waits in the listener's ring; a recording heard again must give what
    /// was told.
    fn hear_up_to(&mut self, recorded: SampleCount, run: &mut Run, wall: Timestamp) {
        let Some((now, _)) = self.clocks else { return };
        while run.next < recorded.0 {
            let Pull::Block(block) = self.supply.pull(now, &mut self.samples) else { return };
            if run.missing_s(&block) > FILL_MAX_S {
                return;
            }
            run.fill_gap(&block, &self.shared, wall);
            run.hear(&self.samples, block.start, &self.shared, wall);
        }
    }

    /// Takes one block; a fault ends the epoch.
    fn block(&mut self, block: FrameBlock, now: Instant, wall: Timestamp) -> Option<Fault> {
        if let State::Waiting { opened, .. } = self.state {
            let run = self.begin(opened, &block, now, wall);
            self.state = State::Running(Box::new(run));
        }
        let State::Running(run) = &mut self.state else { return None };
        let seconds = run.missing_s(&block);
        if seconds > FILL_MAX_S {
            return Some(Fault::Lost { seconds });
        }
        run.last_block = now;
        run.note_silence(false, &self.shared, wall);
        let behind = run.clock.observe(&block);
        run.fill_gap(&block, &self.shared, wall);
        run.hear(&self.samples, block.start, &self.shared, wall);
        run.publish(&self.shared, wall);
        behind.map(|seconds| Fault::Lost { seconds })
    }

    fn begin(
        &mut self,
        opened: OpenStream,
        block: &FrameBlock,
        now: Instant,
        wall: Timestamp,
    ) -> Run {
        self.epochs += 1;
        self.last_fault = None;
        let OpenStream { rate, channels, origin } = opened;
        let length = Duration::from_secs_f64(block.end().seconds(rate));
        let began = wall.checked_sub(length).unwrap_or(wall);
        let epoch = Epoch { id: self.epochs, rate, channels, began };
        self.tell(wall, LiveEvent::Began(epoch));
        let channel = match self.plan.channel {
            Channel::One(n) if n < channels && channels > 1 => Some(n),
            _ => None,
        };
        let recorder = self.start_recorder(epoch.id, wall);
        let mut snapshot = held(&self.shared.snapshot);
        snapshot.epoch = Some(epoch.id);
        snapshot.lost = SampleCount(0);
        drop(snapshot);
        Run::new(epoch, origin, channel, recorder, now)
    }

    fn start_recorder(&mut self, epoch: u32, wall: Timestamp) -> Option<Recorder> {
        let (names, depth) = self.plan.record.clone()?;
        let Some(reader) = self.supply.take_recorder() else {
            let said = "this source of sound is not recorded".to_owned();
            self.tell(wall, LiveEvent::NotRecording { epoch, said });
            return None;
        };
        match Recorder::start(reader, &names, depth) {
            Ok(recorder) => Some(recorder),
            Err(fault) => {
                self.tell(wall, LiveEvent::NotRecording { epoch, said: fault.to_string() });
                None
            }
        }
    }
}
