//! Where in the sound an instant lies, and how far the device's clock is off.
//!
//! A callback comes when its last frame has been caught, never earlier but often later. So the earliest
//! callbacks of each second show the true line between the computer's clock and the frame count. What the host says
//! about the age of the sound at those callbacks is put on top of that; at a late one it would count its lateness as well.

use std::time::Duration;

use crate::audio::callback::FrameBlock;
use crate::clinical::event::SoundTime;
use crate::units::{Instant, SampleIndex, SampleRate};

/// Windows kept for the line on which taps are placed: ten of one second.
const RECENT: usize = 10;
/// Windows from which drift is reported: less than this says more about jitter than about clocks.
const ENOUGH: f64 = 20.0;
/// A block this much behind the line is late, seconds.
const BEHIND_S: f64 = 0.15;
/// Where no block has been in time for so long, sound was lost; a busy machine is late as well, but now and then in time.
const LATE_S: f64 = 4.0;
/// Ages that a host may claim; beyond, it is not believed (seconds).
const AGE_MAX_S: f64 = 0.5;

/// Follows the callbacks of one stream.
#[derive(Debug, Clone)]
pub struct Clock {
    rate: SampleRate,
    window: Option<Window>,
    recent: [(f64, Aged); RECENT],
    filled: usize,
    line: Line,
    /// Since when no block was in time, and by how much the least late one was behind.
    late: Option<(f64, f64)>,
}

#[derive(Debug, Clone, Copy)]
struct Window {
    began_s: f64,
    /// The earliest offset, and when it was.
    least_s: f64,
    least_at_s: f64,
    aged: Aged,
}

/// The earliest callback of which the host told how old its last frame was.
#[derive(Debug, Clone, Copy)]
struct Aged {
    offset_s: f64,
    age_s: f64,
}

impl Aged {
    const NONE: Self = Self { offset_s: f64::INFINITY, age_s: 0.0 };

    fn or_earlier(self, other: Self) -> Self {
        if other.offset_s < self.offset_s { other } else { self }
    }

    fn of(block: &FrameBlock, offset_s: f64, rate: SampleRate) -> Self {
        let length_s = f64::from(block.frames) / f64::from(rate.hz());
        let age_s = (block.arrived_ns as f64 - block.captured_ns as f64) / 1e9 - length_s;
        if age_s.abs() <= AGE_MAX_S { Self { offset_s, age_s } } else { Self::NONE }
    }
}

/// Least squares over all windows, around the first.
#[derive(Debug, Clone, Copy, Default)]
struct Line {
    first: Option<(f64, f64)>,
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
}

impl Line {
    fn add(&mut self, x: f64, y: f64) {
        let (x0, y0) = *self.first.get_or_insert((x, y));
        let (x, y) = (x - x0, y - y0);
        self.n += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.xy += x * y;
    }

    fn slope(&self) -> Option<f64> {
        let spread = self.n * self.xx - self.x * self.x;
        (self.n >= ENOUGH && spread > 0.0).then(|| (self.n * self.xy - self.x * self.y) / spread)
    }
}

/// Everything needed to place an instant in the sound; a plain copy.
#[derive(Debug, Clone, Copy)]
pub struct Locator {
    epoch: u32,
    rate: SampleRate,
    origin: Instant,
    offset_s: f64,
    age_s: f64,
}

impl Clock {
    /// A clock for a stream of this rate.
    pub fn new(rate: SampleRate) -> Self {
        Self {
            rate,
            window: None,
            recent: [(f64::INFINITY, Aged::NONE); RECENT],
            filled: 0,
            line: Line::default(),
            late: None,
        }
    }

    /// Takes the stamps of a block. Returns the seconds by which the sound has fallen behind its own line for good: so
    /// much was lost uncounted.
    pub fn observe(&mut self, block: &FrameBlock) -> Option<f64> {
        let arrived_s = block.arrived_ns as f64 / 1e9;
        let offset_s = arrived_s - block.end().seconds(self.rate);
        let window = self.window.get_or_insert(Window {
            began_s: arrived_s,
            least_s: offset_s,
            least_at_s: arrived_s,
            aged: Aged::NONE,
        });
        window.aged = window.aged.or_earlier(Aged::of(block, offset_s, self.rate));
        let over = arrived_s - window.began_s >= 1.0;
        if offset_s < window.least_s {
            (window.least_s, window.least_at_s) = (offset_s, arrived_s);
        }
        let lost = self.fallen_behind(arrived_s, offset_s);
        if over {
            self.close_window();
        }
        lost
    }

    fn fallen_behind(&mut self, arrived_s: f64, offset_s: f64) -> Option<f64> {
        let behind_s = offset_s - self.offset_s();
        if behind_s <= BEHIND_S {
            self.late = None;
            return None;
        }
        let (since_s, least_s) = self.late.get_or_insert((arrived_s, behind_s));
        *least_s = least_s.min(behind_s);
        (arrived_s - *since_s >= LATE_S).then_some(*least_s)
    }

    fn close_window(&mut self) {
        let Some(Window { least_s, least_at_s, aged, .. }) = self.window.take() else { return };
        self.recent[self.filled % RECENT] = (least_s, aged);
        self.filled += 1;
        self.line.add(least_at_s, least_s);
    }

    /// Sound was lost uncounted: the line begins anew with the next block.
    pub fn begin_anew(&mut self) {
        (self.window, self.line, self.late) = (None, Line::default(), None);
        (self.recent, self.filled) = ([(f64::INFINITY, Aged::NONE); RECENT], 0);
    }

    /// Computer time less sound time at the earliest callbacks, seconds.
    fn offset_s(&self) -> f64 {
        let recent =
            self.recent.iter().map(|(offset_s, _)| *offset_s).fold(f64::INFINITY, f64::min);
        self.window.map_or(recent, |window| recent.min(window.least_s))
    }

    /// Age of the newest frame at the earliest callbacks, as the host tells it, seconds; 0 where it does not.
    pub fn age_s(&self) -> f64 {
        let now = self.window.map_or(Aged::NONE, |window| window.aged);
        self.recent.iter().fold(now, |aged, (_, other)| aged.or_earlier(*other)).age_s
    }

    /// How much faster the device's clock runs than the computer's, parts per million; `None` in the first
    /// seconds.
    pub fn drift_ppm(&self) -> Option<f64> {
        self.line.slope().map(|slope| -slope * 1e6)
    }

    /// What places instants in this stream, whose clock showed 0 at `origin`.
    pub fn locator(&self, epoch: u32, origin: Instant) -> Locator {
        let (offset_s, age_s) = (self.offset_s(), self.age_s());
        Locator { epoch, rate: self.rate, origin, offset_s, age_s }
    }
}

impl Locator {
    /// The frame that was caught at this instant; the first frame for any earlier one.
    pub fn locate(&self, at: Instant) -> SoundTime {
        let since = |later: Instant, earlier: Instant| {
            later.checked_duration_since(earlier).as_ref().map(Duration::as_secs_f64)
        };
        let stream_s =
            since(at, self.origin).or(since(self.origin, at).map(|s| -s)).unwrap_or_default();
        let sample = SampleIndex::at(stream_s - self.offset_s + self.age_s, self.rate);
        SoundTime { epoch: self.epoch, sample, rate_hz: self.rate.hz() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate() -> SampleRate {
        SampleRate::new(48_000).unwrap()
    }

    /// Blocks of 10 ms from a device that runs `ppm` fast, with callbacks up to 6 ms late and an age of 3 ms.
    fn run(clock: &mut Clock, ppm: f64, seconds: u64) {
        for n in 0..seconds * 100 {
            let end_s = (n + 1) as f64 * 0.01 / (1.0 + ppm * 1e-6);
            let late_s = ((n * 7919) % 61) as f64 * 1e-4;
            let block = FrameBlock {
                start: SampleIndex(n * 480),
                frames: 480,
                arrived_ns: ((2.0 + end_s + 0.003 + late_s) * 1e9) as u64,
                captured_ns: ((2.0 + end_s - 0.01 + late_s) * 1e9) as u64,
            };
            assert_eq!(clock.observe(&block), None);
        }
    }

    #[test]
    fn instants_are_placed_to_a_millisecond_and_drift_is_found() {
        for ppm in [-120.0, 0.0, 80.0] {
            let mut clock = Clock::new(rate());
            run(&mut clock, ppm, 600);
            assert!((clock.drift_ppm().unwrap() - ppm).abs() < 1.0, "{:?}", clock.drift_ppm());
            let origin = Instant::now();
            let at = origin + Duration::from_secs_f64(2.0 + 595.0);
            let found = clock.locator(4, origin).locate(at);
            let expected = 595.0 * (1.0 + ppm * 1e-6);
            assert!((found.seconds() - expected).abs() < 0.0015, "{ppm}: {}", found.seconds());
            assert_eq!(found.epoch, 4);
        }
    }

    /// What is reported for blocks that are each late by `late_ms`, after 5 s in time: what, and after how many seconds.
    fn late(late_ms: impl Fn(u64) -> u64) -> Option<(f64, f64)> {
        let mut clock = Clock::new(rate());
        run(&mut clock, 0.0, 5);
        (500..1_200u64).find_map(|n| {
            let block = FrameBlock {
                start: SampleIndex(n * 480),
                frames: 480,
                arrived_ns: 2_003_000_000 + (n + 1) * 10_000_000 + late_ms(n) * 1_000_000,
                captured_ns: 0,
            };
            let lost_s = clock.observe(&block)?;
            Some((lost_s, (n - 500) as f64 * 0.01))
        })
    }

    #[test]
    fn sound_that_falls_behind_for_good_is_noticed_and_a_busy_machine_is_not_taken_for_it() {
        let (lost_s, after_s) = late(|_| 300).unwrap();
        assert!((lost_s - 0.3).abs() < 0.01 && after_s < 4.1, "{lost_s} {after_s}");
        // A machine that finds time every 3 s: then everything comes at once, and the last of it in time.
        assert_eq!(late(|n| 10 * (299 - n % 300)), None);
    }

    #[test]
    fn a_busy_machine_does_not_move_taps_where_the_host_knows_when_sound_was_caught() {
        let mut clock = Clock::new(rate());
        for n in 0..1_500u64 {
            // Late by up to 80 ms, in time now and then; caught 12 ms before an early callback.
            let late_ns = if n % 90 == 0 { 0 } else { (n * 7919 % 80) * 1_000_000 };
            let block = FrameBlock {
                start: SampleIndex(n * 480),
                frames: 480,
                arrived_ns: 2_012_000_000 + (n + 1) * 10_000_000 + late_ns,
                captured_ns: if n < 5 { u64::MAX } else { 2_000_000_000 + n * 10_000_000 },
            };
            assert_eq!(clock.observe(&block), None);
            if n > 100 {
                let origin = Instant::now();
                let at = origin + Duration::from_millis(2_000 + n * 10);
                let off_s = clock.locator(1, origin).locate(at).seconds() - n as f64 * 0.01;
                assert!(off_s.abs() < 0.001, "{n}: {off_s}");
            }
        }
    }

    #[test]
    fn an_instant_before_the_sound_is_its_first_frame() {
        let mut clock = Clock::new(rate());
        run(&mut clock, 0.0, 1);
        let origin = Instant::now();
        assert_eq!(clock.locator(1, origin).locate(origin).sample, SampleIndex(0));
        assert_eq!(clock.drift_ppm(), None);
    }
}
