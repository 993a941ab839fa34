//! A source that is also played: softly begun, limited, never above the ceiling, and silent at once when it is hushed.
//!
//! Without an output the source goes on as before, and a warning is sent. The output is opened on a thread of its own; what
//! it plays goes through the same chain as sound that is passed through (`audio::tone`).

use std::collections::VecDeque;
use std::sync::mpsc::{self, Receiver, TryRecvError};

use super::hush::Hush;
use super::supply::{OpeningStage, Pull, Supply};
use super::told::LiveEvent;
use crate::audio::callback::{self, BlockReader, CallbackEar};
use crate::audio::device::{DeviceFault, System};
use crate::audio::spout::Gain;
use crate::audio::through::{Outlet, PassedThrough};
use crate::units::{Instant, SampleCount};

/// Frames that wait between source and output, milliseconds: the source comes in pieces of 4 ms, by a thread that
/// sleeps 4 ms between looks.
const AHEAD_MS: u64 = 30;

/// See the file's purpose.
pub struct Aloud {
    source: Box<dyn Supply>,
    device: Option<String>,
    hush: Hush,
    feed: Option<CallbackEar>,
    opening: Option<Receiver<Result<PassedThrough, DeviceFault>>>,
    playing: Option<PassedThrough>,
    notes: VecDeque<LiveEvent>,
}

impl Aloud {
    /// This source, played on this output; the usual one where none is named.
    pub fn new(source: Box<dyn Supply>, device: Option<String>, hush: Hush) -> Self {
        Self {
            source,
            device,
            hush,
            feed: None,
            opening: None,
            playing: None,
            notes: VecDeque::new(),
        }
    }

    fn begin(&mut self, opened: super::OpenStream) {
        let (rate, channels) = (opened.rate, opened.channels);
        let (feed, readers) = callback::open(rate, channels, true);
        let Some(from) = readers.through else { return };
        let outlet = Outlet {
            system: System::Usual,
            device: self.device.clone(),
            heard_from: String::new(),
            gain: Gain::default(),
        };
        let ahead = SampleCount(u64::from(rate.hz()) * AHEAD_MS / 1_000);
        let (tell, told) = mpsc::channel();
        let thread = std::thread::Builder::new().name("open output".into());
        let begun = thread.spawn(move || {
            let got = PassedThrough::open_ahead(&outlet, from, (rate, channels), ahead, None);
            let _ = tell.send(got);
        });
        match begun {
            Ok(_) => (self.feed, self.opening) = (Some(feed), Some(told)),
            Err(fault) => self.notes.push_back(LiveEvent::NotThrough(no_sound(&fault.to_string()))),
        }
    }

    fn look(&mut self) {
        let Some(told) = &self.opening else { return };
        let got = match told.try_recv() {
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => Err(DeviceFault::Silent),
            Ok(got) => got,
        };
        self.opening = None;
        match got {
            Ok(playing) => {
                let (to, planned_s) = (playing.name.clone(), playing.planned_s);
                self.notes.push_back(LiveEvent::Through { to, planned_s });
                self.playing = Some(playing);
            }
            Err(fault) => {
                self.feed = None;
                self.notes.push_back(LiveEvent::NotThrough(no_sound(&fault.to_string())));
            }
        }
    }
}

fn no_sound(why: &str) -> String {
    format!("no sound: {why}. The picture and clock go on.")
}

impl Supply for Aloud {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let opening = self.source.open(now);
        if let OpeningStage::Ready(opened) = opening {
            self.begin(opened);
        }
        opening
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let pulled = self.source.pull(now, samples);
        if let (Pull::Block(block), Some(feed)) = (&pulled, &mut self.feed) {
            if self.hush.is_set() {
                // What waits in the output is dropped with it: silence now, not when the ring is empty.
                (self.feed, self.playing) = (None, None);
            } else if self.playing.is_some() {
                feed.take(samples, block.arrived_ns, block.captured_ns);
            }
        }
        pulled
    }

    fn close(&mut self) {
        (self.feed, self.opening, self.playing) = (None, None, None);
        self.source.close();
    }

    fn take_recorder(&mut self) -> Option<BlockReader> {
        self.source.take_recorder()
    }

    fn told(&mut self) -> Option<LiveEvent> {
        self.look();
        if self.playing.as_ref().is_some_and(|playing| playing.figures().lost()) {
            (self.feed, self.playing) = (None, None);
            self.notes.push_back(LiveEvent::NotThrough(no_sound("the output is gone")));
        }
        self.notes.pop_front().or_else(|| self.source.told())
    }

    fn comes_back(&self) -> bool {
        self.source.comes_back()
    }
}
