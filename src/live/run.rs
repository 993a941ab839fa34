//! One epoch that runs: its clock, its watch, its listener, and what they tell.

use std::time::Duration;

use jiff::Timestamp;

use super::clock::Clock;
use super::lock::held;
use super::shared::Shared;
use super::snapshot::Level;
use super::told::{Epoch, LiveEvent};
use super::watch::{Odd, StreamWatch};
use crate::audio::callback::{BLOCK_FRAMES, FrameBlock};
use crate::audio::recorder::{self, Recorder};
use crate::signal::Listener;
use crate::units::{Instant, SampleCount, SampleIndex};

/// Levels from which the background is worked out: one each tenth of a second.
const LEVELS: usize = 30;

/// For how long the screen says that sound was missed.
const MISSED: Duration = Duration::from_secs(2);

/// One epoch that runs.
pub(super) struct Run {
    pub epoch: Epoch,
    origin: Instant,
    pub clock: Clock,
    watch: StreamWatch,
    pub listener: Listener,
    /// Channels that the listener gets.
    heard: usize,
    channel: Option<usize>,
    mono: Vec<f32>,
    pub next: u64,
    lost: u64,
    pub recorder: Option<Recorder>,
    pub last_block: Instant,
    /// The system's count of losses, and the instant at which it last rose.
    hiccups: u32,
    missed: Option<Instant>,
    /// Whether it was said that no sound comes.
    silent: bool,
    sum: f32,
    peak: f32,
    summed: usize,
    /// Mean levels of the last 3 s, in a ring.
    levels: [f32; LEVELS],
    levels_seen: usize,
}

impl Run {
    /// An epoch that begins now. Everything is allocated here.
    pub fn new(
        epoch: Epoch,
        origin: Instant,
        channel: Option<usize>,
        recorder: Option<Recorder>,
        now: Instant,
    ) -> Self {
        let Epoch { rate, channels, .. } = epoch;
        let heard = if channel.is_some() { 1 } else { channels };
        Self {
            epoch,
            origin,
            clock: Clock::new(rate),
            watch: StreamWatch::new(rate, channels),
            listener: Listener::new(rate, heard),
            heard,
            channel,
            mono: Vec::with_capacity(BLOCK_FRAMES * 4),
            next: 0,
            lost: 0,
            recorder,
            last_block: now,
            hiccups: 0,
            missed: None,
            silent: false,
            sum: 0.0,
            peak: 0.0,
            summed: 0,
            levels: [0.0; LEVELS],
            levels_seen: 0,
        }
    }

    /// The state for painters, and the line on which taps are placed.
    pub fn publish(&mut self, shared: &Shared, wall: Timestamp) {
        *held(&shared.locator) = Some(self.clock.locator(self.epoch.id, self.origin));
        let level = self.level();
        let mut snapshot = held(&shared.snapshot);
        while let Some(column) = self.listener.poll_column() {
            snapshot.add_column(column);
        }
        snapshot.sound_s = SampleIndex(self.next).seconds(self.epoch.rate);
        snapshot.heart_rate = self.listener.heart_rate().map(|r| (r.bpm, r.regular));
        snapshot.lost = SampleCount(self.lost);
        snapshot.drift_ppm = self.clock.drift_ppm();
        snapshot.age_s = self.clock.age_s();
        snapshot.recorded = self.recorder.as_ref().map(Recorder::frames);
        if let Some(level) = level {
            snapshot.level = level;
        }
        drop(snapshot);
        self.tell_recorder(shared, wall);
    }

    /// Tells what the recorder has to tell.
    pub fn tell_recorder(&self, shared: &Shared, wall: Timestamp) {
        let (Some(recorder), epoch) = (&self.recorder, self.epoch.id) else { return };
        while let Some(told) = recorder.poll() {
            let event = match told {
                recorder::RecorderNews::File { number, start } => {
                    LiveEvent::Recording { epoch, file: number, start }
                }
                recorder::RecorderNews::Gap { start, frames } => {
                    LiveEvent::Gap { epoch, start, frames, recording: true }
                }
                recorder::RecorderNews::Failed { said, .. } => {
                    LiveEvent::NotRecording { epoch, said }
                }
            };
            shared.tell(wall, event);
        }
    }

    /// Seconds of sound that are missing before this block.
    pub fn missing_s(&self, block: &FrameBlock) -> f64 {
        SampleIndex(block.start.0.saturating_sub(self.next)).seconds(self.epoch.rate)
    }

    /// Silence for frames that were lost before they came here, so that positions stay true.
    pub fn fill_gap(&mut self, block: &FrameBlock, shared: &Shared, wall: Timestamp) {
        let lost = block.start.0.saturating_sub(self.next);
        if lost == 0 {
            return;
        }
        let (start, frames) = (SampleIndex(self.next), SampleCount(lost));
        shared.tell(wall, LiveEvent::Gap { epoch: self.epoch.id, start, frames, recording: false });
        self.lost += lost;
        self.next += lost;
        self.mono.clear();
        self.mono.resize(BLOCK_FRAMES, 0.0);
        let mut left = lost * self.heard as u64;
        while left > 0 {
            let piece = left.min(self.mono.len() as u64);
            self.listener.push(&self.mono[..piece as usize]);
            left -= piece;
        }
    }

    pub fn hear(&mut self, samples: &[f32], start: SampleIndex, shared: &Shared, wall: Timestamp) {
        let channels = self.epoch.channels.max(1);
        let epoch = self.epoch.id;
        self.watch.push(samples, start, |odd, present, at| {
            shared.tell(wall, LiveEvent::Odd { epoch, odd, present, at });
        });
        let heard = match self.channel {
            Some(channel) => {
                self.mono.clear();
                let frames = samples.chunks_exact(channels);
                self.mono.extend(frames.filter_map(|frame| frame.get(channel)));
                &self.mono[..]
            }
            None => samples,
        };
        self.listener.push(heard);
        for &sample in heard.iter().filter(|sample| sample.is_finite()) {
            self.sum += sample * sample;
            self.peak = self.peak.max(sample.abs());
        }
        self.summed += heard.len();
        self.next += (samples.len() / channels) as u64;
        self.tell_findings(shared, wall);
    }

    /// Tells that no sound comes, or that it comes again.
    pub fn note_silence(&mut self, silent: bool, shared: &Shared, wall: Timestamp) {
        if std::mem::replace(&mut self.silent, silent) != silent {
            self.tell_odd(Odd::NoSound, silent, shared, wall);
        }
    }

    fn tell_odd(&self, odd: Odd, present: bool, shared: &Shared, wall: Timestamp) {
        let (epoch, at) = (self.epoch.id, SampleIndex(self.next));
        shared.tell(wall, LiveEvent::Odd { epoch, odd, present, at });
    }

    /// Tells that the system lost sound, when its count rises, and takes it back later. To be called when all that came
    /// has been heard: what comes next lies behind the loss.
    pub fn note_hiccups(&mut self, count: u32, now: Instant, shared: &Shared, wall: Timestamp) {
        let before = self.missed.is_some();
        if count != self.hiccups {
            self.hiccups = count;
            self.missed = Some(now);
            self.clock.begin_anew();
        }
        self.missed = self.missed.filter(|at| now.saturating_duration_since(*at) < MISSED);
        let present = self.missed.is_some();
        if present != before {
            self.tell_odd(Odd::Missed, present, shared, wall);
        }
    }

    pub fn tell_findings(&mut self, shared: &Shared, wall: Timestamp) {
        while let Some(finding) = self.listener.poll() {
            shared.tell(wall, LiveEvent::Heard { epoch: self.epoch.id, finding });
        }
    }

    /// The level since it was last told, every tenth of a second.
    fn level(&mut self) -> Option<Level> {
        if self.summed < self.epoch.rate.hz() as usize * self.heard / 10 {
            return None;
        }
        let db = |power: f32| 10.0 * power.max(1e-12).log10();
        let mean_dbfs = db(self.sum / self.summed as f32);
        self.levels[self.levels_seen % LEVELS] = mean_dbfs;
        self.levels_seen += 1;
        let mut known = self.levels;
        let known = &mut known[..self.levels_seen.min(LEVELS)];
        known.sort_unstable_by(f32::total_cmp);
        let background_dbfs = known[known.len() * 3 / 10];
        let level = Level { mean_dbfs, peak_dbfs: db(self.peak * self.peak), background_dbfs };
        (self.sum, self.peak, self.summed) = (0.0, 0.0, 0);
        Some(level)
    }
}
