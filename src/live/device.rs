//! Sound from a device: opened on a thread of its own, watched, and asked again when it is gone.

use std::sync::mpsc::{self, Receiver, TryRecvError};
use std::time::Duration;

use super::supply::{OpenStream, OpeningStage, Pull, Supply};
use super::told::{Fault, LiveEvent};
use crate::audio::callback::BlockReader;
use crate::audio::capture::{Capture, Wish};
use crate::audio::device::DeviceFault;
use crate::audio::host::Loss;
use crate::audio::spout::{Gain, Shape};
use crate::audio::through::{Outlet, PassedThrough};
use crate::signal::Clearer;
use crate::units::{Instant, SampleCount, SampleRate};

/// Opening that takes longer has failed.
const OPENING: Duration = Duration::from_secs(6);

/// A device, and perhaps an output to pass its sound to.
pub struct DeviceSupply {
    wish: Wish,
    outlet: Option<Passing>,
    opening: Option<(Receiver<Got>, Instant)>,
    capture: Option<Capture>,
    through: Option<PassedThrough>,
    notes: std::collections::VecDeque<LiveEvent>,
}

/// Where the sound is passed to, and whether it is made clearer.
#[derive(Debug, Clone, Default)]
pub struct Passing {
    /// The output; its default where none is named.
    pub device: Option<String>,
    /// Turn down the learned background.
    pub clearer: bool,
    /// How loud.
    pub gain: Gain,
}

type Got = Result<(Capture, Option<Result<PassedThrough, NotPassed>>), DeviceFault>;

/// Why the sound is not passed through.
#[derive(Debug, thiserror::Error)]
enum NotPassed {
    /// Nobody opened it for that.
    #[error("there is no sound to pass through")]
    NoSound,
    /// The output.
    #[error(transparent)]
    Output(#[from] DeviceFault),
}

impl Shape for Clearer {
    fn run(&mut self, mono: &mut [f32]) {
        Clearer::run(self, mono);
    }

    fn delay(&self) -> SampleCount {
        Clearer::delay(self)
    }
}

impl DeviceSupply {
    /// The device of this wish; its sound passed through where `passing` says so.
    pub fn new(wish: Wish, passing: Option<Passing>) -> Self {
        let wish = Wish { through: passing.is_some(), ..wish };
        let notes = std::collections::VecDeque::with_capacity(8);
        Self { wish, outlet: passing, opening: None, capture: None, through: None, notes }
    }

    fn begin(&mut self, now: Instant) -> Result<(), std::io::Error> {
        let (tell, told) = mpsc::channel();
        let (wish, passing) = (self.wish.clone(), self.outlet.clone());
        std::thread::Builder::new().name("open sound".into()).spawn(move || {
            let got = Capture::open(&wish).map(|mut capture| {
                let through = passing.map(|passing| pass(&wish, &passing, &mut capture));
                (capture, through)
            });
            // Nobody waits any more: what was opened is closed again here.
            let _ = tell.send(got);
        })?;
        self.opening = Some((told, now));
        Ok(())
    }

    fn opened(
        &mut self,
        capture: Capture,
        through: Option<Result<PassedThrough, NotPassed>>,
    ) -> OpeningStage {
        let about = &capture.about;
        let (rate, channels) = (about.rate, about.channels);
        let origin = capture.origin;
        match through {
            Some(Ok(through)) => {
                let (to, planned_s) = (through.name.clone(), through.planned_s);
                self.notes.push_back(LiveEvent::Through { to, planned_s });
                self.through = Some(through);
            }
            Some(Err(why)) => self.notes.push_back(LiveEvent::NotThrough(why.to_string())),
            None => {}
        }
        self.capture = Some(capture);
        OpeningStage::Ready(OpenStream { rate, channels, origin })
    }
}

fn pass(wish: &Wish, passing: &Passing, capture: &mut Capture) -> Result<PassedThrough, NotPassed> {
    let from = capture.take_through().ok_or(NotPassed::NoSound)?;
    let (rate, channels): (SampleRate, usize) = (capture.about.rate, capture.about.channels);
    let shape = passing.clearer.then(|| Box::new(Clearer::new(rate)) as Box<dyn Shape>);
    let outlet = Outlet {
        system: wish.system,
        device: passing.device.clone(),
        heard_from: capture.about.id.clone(),
        gain: passing.gain.clone(),
    };
    Ok(PassedThrough::open(&outlet, from, (rate, channels), shape)?)
}

impl Supply for DeviceSupply {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let failed = |said: String| OpeningStage::Failed(Fault::CannotOpen(said));
        let Some((told, since)) = &self.opening else {
            return match self.begin(now) {
                Ok(()) => OpeningStage::Pending,
                Err(e) => failed(e.to_string()),
            };
        };
        let slow = now.saturating_duration_since(*since) > OPENING;
        let opening = match told.try_recv() {
            Ok(Ok((capture, through))) => self.opened(capture, through),
            Ok(Err(fault)) => failed(fault.to_string()),
            Err(TryRecvError::Empty) if !slow => return OpeningStage::Pending,
            Err(_) => failed("the sound system does not answer: restart it".into()),
        };
        self.opening = None;
        opening
    }

    fn pull(&mut self, _now: Instant, samples: &mut Vec<f32>) -> Pull {
        let Some(capture) = &mut self.capture else { return Pull::Nothing };
        if let Some((block, heard)) = capture.reader.next_block() {
            samples.clear();
            samples.extend_from_slice(heard);
            return Pull::Block(block);
        }
        match capture.loss() {
            None => Pull::Nothing,
            Some(Loss::Device) => Pull::Lost(Fault::DeviceGone),
            Some(Loss::System) => Pull::Lost(Fault::SystemGone),
            Some(Loss::Other) => Pull::Lost(Fault::Stalled),
        }
    }

    fn close(&mut self) {
        self.through = None;
        self.capture = None;
    }

    fn take_recorder(&mut self) -> Option<BlockReader> {
        self.capture.as_mut()?.take_recorder()
    }

    fn told(&mut self) -> Option<LiveEvent> {
        if self.through.as_ref().is_some_and(|through| through.figures().lost()) {
            self.through = None;
            self.notes.push_back(LiveEvent::NotThrough("the output is gone".into()));
        }
        self.notes.pop_front()
    }

    fn hiccups(&self) -> u32 {
        self.capture.as_ref().map_or(0, Capture::hiccups)
    }

    fn comes_back(&self) -> bool {
        true
    }
}
