//! A device that is not there: it gives sound by a clock that the test owns, through the same callback and rings as
//! a real one, so that hours pass in minutes. And what the worker makes of such hours.

use std::sync::Arc;
use std::time::{Duration, Instant};

use cuffnote::audio::callback::{self, Ear, Reader};
use cuffnote::live::{
    Event, Fault, Live, Opened, Opening, Plan, Pull, Shared, Snapshot, Step, Supply, Told, Worker,
};
use cuffnote::sim;
use cuffnote::units::{SampleCount, SampleRate};
use jiff::Timestamp;

/// Something that goes wrong, seconds after the device was first opened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happening {
    /// Frames that never come, with the numbering going on.
    Skip { at_s: f64, seconds: f64 },
    /// Frames that never come and that nobody counts: the sound falls behind.
    Swallow { at_s: f64, seconds: f64 },
    /// No callbacks for a while.
    Silence { at_s: f64, seconds: f64 },
    /// The device goes away, and can be opened again after a while.
    Gone { at_s: f64, seconds: f64 },
}

/// See the file's purpose.
pub struct FakeDevice {
    rate: SampleRate,
    channels: usize,
    sound: Vec<f32>,
    happenings: Vec<Happening>,
    /// How much faster than the test's clock the device runs.
    pub drift_ppm: f64,
    first: Option<Instant>,
    open: Option<(Ear, Reader, Option<Reader>, Instant)>,
    given: u64,
    at: usize,
    buffer: Vec<f32>,
    gone_until: Option<Instant>,
}

impl FakeDevice {
    /// A device that plays `sound` over and over.
    pub fn new(
        rate: SampleRate,
        channels: usize,
        sound: Vec<f32>,
        happenings: Vec<Happening>,
    ) -> Self {
        let buffer = Vec::with_capacity(rate.hz() as usize / 100 * channels);
        Self {
            rate,
            channels,
            sound,
            happenings,
            drift_ppm: 0.0,
            first: None,
            open: None,
            given: 0,
            at: 0,
            buffer,
            gone_until: None,
        }
    }

    /// Makes the callbacks that are due.
    fn run(&mut self, now: Instant) -> Option<Fault> {
        let (first, frames) = (self.first?, u64::from(self.rate.hz()) / 100);
        let since_first = (now - first).as_secs_f64();
        let (ear, _, _, origin) = self.open.as_mut()?;
        let rate = f64::from(self.rate.hz()) * (1.0 + self.drift_ppm * 1e-6);
        let hz = f64::from(self.rate.hz());
        if let Some(happening) = self.happenings.first().copied() {
            match happening {
                Happening::Skip { at_s, seconds } if since_first >= at_s => {
                    ear.skip(SampleCount((seconds * hz) as u64));
                    self.given += (seconds * hz) as u64;
                    self.happenings.remove(0);
                }
                Happening::Swallow { at_s, seconds } if since_first >= at_s => {
                    self.given += (seconds * hz) as u64;
                    self.happenings.remove(0);
                }
                Happening::Silence { at_s, seconds } if since_first >= at_s => {
                    if since_first < at_s + seconds {
                        return None;
                    }
                    self.happenings.remove(0);
                }
                Happening::Gone { at_s, seconds } if since_first >= at_s => {
                    self.gone_until = Some(first + Duration::from_secs_f64(at_s + seconds));
                    self.happenings.remove(0);
                    return Some(Fault::DeviceGone);
                }
                _ => {}
            }
        }
        while (self.given + frames) as f64 <= (now - *origin).as_secs_f64() * rate {
            self.buffer.clear();
            for _ in 0..frames as usize * self.channels {
                self.buffer.push(self.sound[self.at % self.sound.len()]);
                self.at += 1;
            }
            self.given += frames;
            let arrived = Duration::from_secs_f64(self.given as f64 / rate);
            let captured = Duration::from_secs_f64((self.given - frames) as f64 / rate);
            ear.take(&self.buffer, arrived.as_nanos() as u64, captured.as_nanos() as u64);
        }
        None
    }
}

impl Supply for FakeDevice {
    fn open(&mut self, now: Instant) -> Opening {
        if self.gone_until.is_some_and(|until| now < until) {
            return Opening::Failed(Fault::CannotOpen("not back yet".into()));
        }
        self.first.get_or_insert(now);
        let (ear, readers) = callback::open(self.rate, self.channels, false);
        self.open = Some((ear, readers.listener, Some(readers.recorder), now));
        self.given = 0;
        Opening::Ready(Opened { rate: self.rate, channels: self.channels, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        if let Some(fault) = self.run(now) {
            return Pull::Lost(fault);
        }
        let Some((_, reader, ..)) = &mut self.open else { return Pull::Nothing };
        match reader.next_block() {
            Some((block, heard)) => {
                samples.clear();
                samples.extend_from_slice(heard);
                Pull::Block(block)
            }
            None => Pull::Nothing,
        }
    }

    fn close(&mut self) {
        self.open = None;
    }

    fn take_recorder(&mut self) -> Option<Reader> {
        self.open.as_mut()?.2.take()
    }

    fn comes_back(&self) -> bool {
        true
    }
}

/// Runs a device for `seconds` of its own time in steps of 10 ms; gives what was told and how it ended.
fn run(device: FakeDevice, seconds: u64) -> (Vec<Told>, Snapshot) {
    let begin = Instant::now();
    let wall = Timestamp::now();
    let shared = Arc::new(Shared::new(begin));
    let mut worker = Worker::new(Box::new(device), Plan::default(), shared.clone());
    let (mut all, mut snapshot) = (Vec::new(), Snapshot::new());
    for n in 0..seconds * 100 {
        let now = begin + Duration::from_millis(n * 10);
        let _ = worker.step(now, wall + Duration::from_millis(n * 10));
        while let Some(told) = shared.poll() {
            all.push(told);
        }
    }
    shared.look(&mut snapshot);
    worker.close(wall + Duration::from_secs(seconds));
    while let Some(told) = shared.poll() {
        all.push(told);
    }
    (all, snapshot)
}

fn noise(rate: SampleRate) -> Vec<f32> {
    let hz = rate.hz() as i64;
    (0..hz * 7).map(|n| ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) as f32 / 5e4).collect()
}

fn faults(told: &[Told]) -> Vec<&Fault> {
    told.iter()
        .filter_map(|told| match &told.event {
            Event::Fault(fault) => Some(fault),
            _ => None,
        })
        .collect()
}

#[test]
fn an_hour_of_a_drifting_device_loses_nothing_and_its_drift_is_found() {
    let rate = SampleRate::new(8_000).unwrap();
    let mut device = FakeDevice::new(rate, 1, noise(rate), Vec::new());
    device.drift_ppm = 60.0;
    let (told, snapshot) = run(device, 3_600);
    assert_eq!(faults(&told), Vec::<&Fault>::new());
    assert_eq!((snapshot.lost, snapshot.untold), (SampleCount(0), 0));
    let Some(Event::Ended { frames, drift_ppm, .. }) = told.last().map(|t| &t.event) else {
        panic!("the epoch did not end")
    };
    let expected = 3_600.0 * 8_000.0 * (1.0 + 60e-6);
    assert!((frames.0 as f64 - expected).abs() < 400.0, "{frames:?}");
    assert!((drift_ppm.unwrap() - 60.0).abs() < 2.0, "{drift_ppm:?}");
}

#[test]
fn every_loss_is_told_and_dated_and_listening_goes_on() {
    let rate = SampleRate::new(8_000).unwrap();
    let happenings = vec![
        Happening::Skip { at_s: 10.0, seconds: 0.5 },
        Happening::Silence { at_s: 20.0, seconds: 3.0 },
        Happening::Gone { at_s: 40.0, seconds: 5.0 },
        Happening::Swallow { at_s: 60.0, seconds: 0.4 },
    ];
    let (told, snapshot) = run(FakeDevice::new(rate, 1, noise(rate), happenings), 80);
    let gaps: Vec<_> = told
        .iter()
        .filter_map(|t| match t.event {
            Event::Gap { start, frames, .. } => Some((start.0 / 80, frames.0)),
            _ => None,
        })
        .collect();
    assert_eq!(gaps.len(), 1, "{gaps:?}");
    assert!((990..=1_001).contains(&gaps[0].0) && gaps[0].1 == 4_000, "{gaps:?}");
    let faults = faults(&told);
    assert!(matches!(faults[0], Fault::Stalled), "{faults:?}");
    assert!(matches!(faults[1], Fault::DeviceGone), "{faults:?}");
    assert!(matches!(faults.last(), Some(Fault::Lost { seconds }) if (seconds - 0.4).abs() < 0.05));
    let begun = told.iter().filter(|t| matches!(t.event, Event::Began(_))).count();
    let ended = told.iter().filter(|t| matches!(t.event, Event::Ended { .. })).count();
    assert_eq!((begun, ended), (4, 4));
    assert!(snapshot.epoch.is_some());
    // Each fault within two seconds of what happened; wall time began with the run.
    let first = told[0].at;
    let when = |wanted: fn(&Fault) -> bool| {
        let at = told.iter().find(|t| matches!(&t.event, Event::Fault(f) if wanted(f))).unwrap();
        at.at.duration_since(first).as_secs_f64()
    };
    assert!((19.9..22.0).contains(&when(|f| matches!(f, Fault::Stalled))));
    assert!((39.9..42.0).contains(&when(|f| matches!(f, Fault::DeviceGone))));
    assert!((59.9..62.1).contains(&when(|f| matches!(f, Fault::Lost { .. }))));
}

#[test]
fn a_computer_that_slept_begins_a_new_epoch() {
    let rate = SampleRate::new(8_000).unwrap();
    let begin = Instant::now();
    let mut wall = Timestamp::now();
    let shared = Arc::new(Shared::new(begin));
    let device = FakeDevice::new(rate, 1, noise(rate), Vec::new());
    let mut worker = Worker::new(Box::new(device), Plan::default(), shared.clone());
    for n in 0..1_000u64 {
        wall += Duration::from_millis(if n == 500 { 60_000 } else { 10 });
        worker.step(begin + Duration::from_millis(n * 10), wall);
    }
    let told: Vec<Told> = std::iter::from_fn(|| shared.poll()).collect();
    let faults = faults(&told);
    assert!(
        matches!(faults[..], [Fault::Slept { seconds }] if (seconds - 60.0).abs() < 0.1),
        "{faults:?}"
    );
    assert_eq!(told.iter().filter(|t| matches!(t.event, Event::Began(_))).count(), 2);
}

#[test]
fn a_stereo_device_can_be_heard_by_one_channel() {
    let case = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
    let made = sim::render(&case, 2);
    let rate = SampleRate::new(made.rate_hz).unwrap();
    let stereo: Vec<f32> = made.samples.iter().flat_map(|&x| [0.0, x]).collect();
    let lost = |channel| {
        let begin = Instant::now();
        let shared = Arc::new(Shared::new(begin));
        let device = FakeDevice::new(rate, 2, stereo.clone(), Vec::new());
        let plan = Plan { channel, record: None };
        let mut worker = Worker::new(Box::new(device), plan, shared.clone());
        let wall = Timestamp::now();
        for n in 0..2_500u64 {
            let _: Step = worker
                .step(begin + Duration::from_millis(n * 10), wall + Duration::from_millis(n * 10));
        }
        std::iter::from_fn(|| shared.poll()).any(|t| {
            matches!(t.event, Event::Heard { finding: cuffnote::signal::Finding::Lost { .. }, .. })
        })
    };
    assert!(lost(cuffnote::live::Channel::One(1)));
    assert!(!lost(cuffnote::live::Channel::One(0)));
}

/// A source that blocks until it is let go.
struct Stuck(std::sync::mpsc::Receiver<()>);

impl Supply for Stuck {
    fn open(&mut self, now: Instant) -> Opening {
        let rate = SampleRate::new(8_000).unwrap();
        Opening::Ready(Opened { rate, channels: 1, origin: now })
    }

    fn pull(&mut self, _: Instant, _: &mut Vec<f32>) -> Pull {
        let _ = self.0.recv();
        Pull::Over
    }

    fn close(&mut self) {}
}

#[test]
fn a_worker_that_stands_still_is_noticed() {
    let (go, wait) = std::sync::mpsc::channel();
    let mut live = Live::start(Box::new(Stuck(wait)), Plan::default()).unwrap();
    super::pulse::wait_for("the stall", || live.stalled());
    go.send(()).unwrap();
    super::pulse::wait_for("the end", || live.ended());
    assert!(!live.stalled());
    live.stop();
}
