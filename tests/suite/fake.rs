//! A device that is not there: it gives sound by a clock that the test owns, through the same callback and rings as
//! a real one, so that hours pass in minutes. And what the worker makes of such hours.

use std::sync::Arc;
use std::time::{Duration, Instant};

use cuffnote::audio::callback::{self, BlockReader, CallbackEar};
use cuffnote::live::{
    Fault, Live, LiveEvent, Odd, OpenStream, OpeningStage, Plan, Pull, Shared, Snapshot, Stepped,
    Supply, Told, Worker,
};
use cuffnote::signal::Finding;
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
    /// As [`Happening::Swallow`], and the system says that something was lost, but not how much.
    Hiccup { at_s: f64, seconds: f64 },
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
    /// The most that a callback comes late, seconds; how much each does looks like chance.
    pub late_s: f64,
    first: Option<Instant>,
    open: Option<(CallbackEar, BlockReader, Option<BlockReader>, Instant)>,
    given: u64,
    at: usize,
    buffer: Vec<f32>,
    gone_until: Option<Instant>,
    hiccups: u32,
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
            late_s: 0.0,
            first: None,
            open: None,
            given: 0,
            at: 0,
            buffer,
            gone_until: None,
            hiccups: 0,
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
                Happening::Hiccup { at_s, seconds } if since_first >= at_s => {
                    self.given += (seconds * hz) as u64;
                    self.hiccups += 1;
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
            let late_s = self.late_s * ((self.given * 7919) % 997) as f64 / 997.0;
            let arrived = Duration::from_secs_f64(self.given as f64 / rate + late_s);
            let captured = Duration::from_secs_f64((self.given - frames) as f64 / rate);
            ear.take(&self.buffer, arrived.as_nanos() as u64, captured.as_nanos() as u64);
        }
        None
    }
}

impl Supply for FakeDevice {
    fn open(&mut self, now: Instant) -> OpeningStage {
        if self.gone_until.is_some_and(|until| now < until) {
            return OpeningStage::Failed(Fault::CannotOpen("not back yet".into()));
        }
        self.first.get_or_insert(now);
        let (ear, readers) = callback::open(self.rate, self.channels, false);
        self.open = Some((ear, readers.listener, Some(readers.recorder), now));
        (self.given, self.hiccups) = (0, 0);
        OpeningStage::Ready(OpenStream { rate: self.rate, channels: self.channels, origin: now })
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

    fn take_recorder(&mut self) -> Option<BlockReader> {
        self.open.as_mut()?.2.take()
    }

    fn hiccups(&self) -> u32 {
        self.hiccups
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
            LiveEvent::Fault(fault) => Some(fault),
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
    let Some(LiveEvent::Ended { frames, drift_ppm, .. }) = told.last().map(|t| &t.event) else {
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
        Happening::Silence { at_s: 30.0, seconds: 4.5 },
        Happening::Gone { at_s: 40.0, seconds: 5.0 },
        Happening::Swallow { at_s: 60.0, seconds: 0.4 },
    ];
    let (told, snapshot) = run(FakeDevice::new(rate, 1, noise(rate), happenings), 80);
    let gaps: Vec<_> = told
        .iter()
        .filter_map(|t| match t.event {
            LiveEvent::Gap { start, frames, .. } => Some((start.0 / 80, frames.0)),
            _ => None,
        })
        .collect();
    assert_eq!(gaps.len(), 1, "{gaps:?}");
    assert!((990..=1_001).contains(&gaps[0].0) && gaps[0].1 == 4_000, "{gaps:?}");
    let faults = faults(&told);
    assert!(matches!(faults[0], Fault::Stalled), "{faults:?}");
    assert!(matches!(faults[1], Fault::DeviceGone), "{faults:?}");
    assert!(matches!(faults.last(), Some(Fault::Lost { seconds }) if (seconds - 0.4).abs() < 0.05));
    let begun = told.iter().filter(|t| matches!(t.event, LiveEvent::Began(_))).count();
    let ended = told.iter().filter(|t| matches!(t.event, LiveEvent::Ended { .. })).count();
    assert_eq!((begun, ended), (4, 4));
    assert!(snapshot.epoch.is_some());
    // Each fault within two seconds of what happened; wall time began with the run.
    let first = told[0].at;
    let when = |wanted: fn(&Fault) -> bool| {
        let at =
            told.iter().find(|t| matches!(&t.event, LiveEvent::Fault(f) if wanted(f))).unwrap();
        at.at.duration_since(first).as_secs_f64()
    };
    assert!((33.9..35.0).contains(&when(|f| matches!(f, Fault::Stalled))));
    assert!((39.9..42.0).contains(&when(|f| matches!(f, Fault::DeviceGone))));
    assert!((59.9..65.0).contains(&when(|f| matches!(f, Fault::Lost { .. }))));
    // A pause that ends is said within two seconds and costs nothing; one that lasts ends the epoch.
    let silences = told.iter().filter_map(|t| match t.event {
        LiveEvent::Odd { odd: Odd::NoSound, present, .. } => {
            Some((present, t.at.duration_since(first).as_secs_f64()))
        }
        _ => None,
    });
    let silences: Vec<(bool, f64)> = silences.collect();
    assert!(
        matches!(silences[..3], [(true, a), (false, b), (true, c)]
        if (19.9..22.0).contains(&a) && (22.9..23.2).contains(&b) && (29.9..32.0).contains(&c)),
        "{silences:?}"
    );
}

/// As ALSA and Windows tell it: too little for the watch over the clock, and enough to put taps wrong.
#[test]
fn a_hiccup_that_the_system_tells_of_is_said_and_taps_lie_right_behind_it() {
    let rate = SampleRate::new(8_000).unwrap();
    let hiccup = Happening::Hiccup { at_s: 10.0, seconds: 0.06 };
    let device = FakeDevice::new(rate, 1, noise(rate), vec![hiccup]);
    let (begin, wall) = (Instant::now(), Timestamp::now());
    let shared = Arc::new(Shared::new(begin));
    let mut worker = Worker::new(Box::new(device), Plan::default(), shared.clone());
    let mut told = Vec::new();
    for n in 0..1_500u64 {
        let now = begin + Duration::from_millis(n * 10);
        worker.step(now, wall + (now - begin));
        told.extend(std::iter::from_fn(|| shared.poll()));
        // The device is opened in the second step; 60 ms are missing in what it numbers.
        let missing_s = if n > 1_100 { 0.06 } else { 0.0 };
        if (300..1_000).contains(&n) || n > 1_100 {
            let found_s = shared.locate(now).unwrap().sample.seconds(rate);
            let truth_s = n as f64 * 0.01 - 0.01 - missing_s;
            assert!((found_s - truth_s).abs() < 0.01, "{n}: {found_s} {truth_s}");
        }
    }
    let missed = told.iter().filter_map(|told| match told.event {
        LiveEvent::Odd { odd: Odd::Missed, present, at, .. } => Some((present, at.seconds(rate))),
        _ => None,
    });
    let missed: Vec<(bool, f64)> = missed.collect();
    assert!(
        matches!(missed[..], [(true, at), (false, _)] if (at - 10.0).abs() < 0.1),
        "{missed:?}"
    );
    assert_eq!(faults(&told), Vec::<&Fault>::new());
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
    assert_eq!(told.iter().filter(|t| matches!(t.event, LiveEvent::Began(_))).count(), 2);
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
            let _: Stepped = worker
                .step(begin + Duration::from_millis(n * 10), wall + Duration::from_millis(n * 10));
        }
        std::iter::from_fn(|| shared.poll())
            .any(|t| matches!(t.event, LiveEvent::Heard { finding: Finding::Lost { .. }, .. }))
    };
    assert!(lost(cuffnote::live::Channel::One(1)));
    assert!(!lost(cuffnote::live::Channel::One(0)));
}

/// A source that blocks until it is let go.
struct Stuck(std::sync::mpsc::Receiver<()>);

impl Supply for Stuck {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let rate = SampleRate::new(8_000).unwrap();
        OpeningStage::Ready(OpenStream { rate, channels: 1, origin: now })
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

/// What a long run came to; nothing in it grows with every beat, so that memory that grows is the worker's.
struct LongRun {
    shared: Arc<Shared>,
    rate: SampleRate,
    begin: Instant,
    /// Gaps by first frame and length, faults, and returns of the pulse that were told.
    gaps: Vec<(u64, u64)>,
    faults: Vec<Fault>,
    returns: u32,
    frames: u64,
    /// Patients who were heard, one return each.
    patients: f64,
    /// Taps, and how far the worst was off, milliseconds.
    taps: u32,
    worst_tap_ms: f64,
    /// Resident memory each tenth of the run, MiB; empty where the system does not tell.
    resident_mib: Vec<f64>,
}

/// How much faster than the computer's clock the device of a long run goes.
const LONG_PPM: f64 = 60.0;

impl LongRun {
    /// Hours of one patient after the other on a device whose callbacks come up to 6 ms late. Each hour 50 ms are lost and
    /// counted; every ten minutes the worker stands still for 3 s. A tap every 7 s.
    fn of(hours: u64, rate_hz: u32) -> Self {
        let case = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
        let sound = sim::render(&sim::Case { rate_hz, ..case }, 1).samples;
        let made_s = sound.len() as f64 / f64::from(rate_hz);
        let rate = SampleRate::new(rate_hz).unwrap();
        let skip = |hour| Happening::Skip { at_s: 3_600.0 * hour as f64 + 1_800.0, seconds: 0.05 };
        let mut device = FakeDevice::new(rate, 1, sound, (0..hours).map(skip).collect());
        (device.drift_ppm, device.late_s) = (LONG_PPM, 0.006);
        let (begin, wall, steps) = (Instant::now(), Timestamp::now(), hours * 360_000);
        let shared = Arc::new(Shared::new(begin));
        let mut worker = Worker::new(Box::new(device), Plan::default(), shared.clone());
        let mut run = Self::empty(shared, rate, begin);
        run.patients = steps as f64 / 100.0 / made_s;
        for n in (0..steps).filter(|n| (n + 30_000) % 60_000 < 59_700) {
            let now = begin + Duration::from_millis(n * 10);
            worker.step(now, wall + (now - begin));
            run.take();
            if n % 701 == 700 {
                run.tap(now - Duration::from_micros(n % 5_000));
            }
            if n % (steps / 10) == steps / 20 {
                run.resident_mib.extend(resident_mib());
            }
        }
        worker.close(wall + Duration::from_secs(hours * 3_600));
        run.take();
        run
    }

    fn empty(shared: Arc<Shared>, rate: SampleRate, begin: Instant) -> Self {
        let (gaps, faults, resident_mib) = (Vec::new(), Vec::new(), Vec::new());
        let (returns, frames, patients, taps, worst_tap_ms) = (0, 0, 0.0, 0, 0.0);
        Self {
            shared,
            rate,
            begin,
            gaps,
            faults,
            returns,
            frames,
            patients,
            taps,
            worst_tap_ms,
            resident_mib,
        }
    }

    fn take(&mut self) {
        while let Some(told) = self.shared.poll() {
            match told.event {
                LiveEvent::Gap { start, frames, .. } => self.gaps.push((start.0, frames.0)),
                LiveEvent::Fault(fault) => self.faults.push(fault),
                LiveEvent::Heard { finding: Finding::Return(_), .. } => self.returns += 1,
                LiveEvent::Ended { frames, .. } => self.frames = frames.0,
                _ => {}
            }
        }
    }

    /// The worker opens the device in its second step; from then on the device's clock is known exactly.
    fn tap(&mut self, at: Instant) {
        let since_s = (at - self.begin).as_secs_f64() - 0.01;
        let truth_s = since_s * (1.0 + LONG_PPM * 1e-6);
        let found_s = self.shared.locate(at).unwrap().sample.seconds(self.rate);
        self.worst_tap_ms = self.worst_tap_ms.max(1e3 * (found_s - truth_s).abs());
        self.taps += 1;
    }
}

/// Resident memory of this process, MiB (proc(5): the second field of `statm`, in pages of 4 KiB).
fn resident_mib() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/statm").ok()?;
    Some(text.split(' ').nth(1)?.parse::<f64>().ok()? * 4.0 / 1024.0)
}

/// Alone in its process, because memory is measured. `CUFFNOTE_TEST_RATE=48000` for the rate that most devices have.
#[test]
fn eight_hours_lose_nothing_unsaid_keep_their_memory_and_place_every_tap() {
    let mut command = std::process::Command::new(std::env::current_exe().unwrap());
    command.args(["fake::eight_hours_alone", "--exact", "--ignored", "--nocapture"]);
    let done = command.output().unwrap();
    let said = String::from_utf8_lossy(&done.stdout);
    println!("{said}");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    assert!(said.contains("8 hours at"), "{said}");
}

#[test]
#[ignore = "run by the test above, in a process of its own"]
fn eight_hours_alone() {
    let rate_hz =
        std::env::var("CUFFNOTE_TEST_RATE").ok().map_or(8_000, |rate| rate.parse().unwrap());
    let begun = Instant::now();
    let run = LongRun::of(8, rate_hz);
    println!(
        "\n8 hours at {rate_hz} Hz in {:.0} s: {} frames, {:.1} patients, {} returns, {} taps, the worst off by {:.2} ms; resident {:.1?} MiB; gaps {:?}",
        begun.elapsed().as_secs_f64(),
        run.frames,
        run.patients,
        run.returns,
        run.taps,
        run.worst_tap_ms,
        run.resident_mib,
        run.gaps,
    );
    assert_eq!(run.faults, []);
    let hz = f64::from(rate_hz);
    let expected = 8.0 * 3_600.0 * hz * (1.0 + LONG_PPM * 1e-6);
    assert!((run.frames as f64 - expected).abs() < 0.05 * hz, "{expected}");
    // Each loss with its length and its place: the half of each hour, on the device's clock.
    assert_eq!(run.gaps.len(), 8);
    for (hour, (start, frames)) in run.gaps.iter().enumerate() {
        let at_s = (3_600.0 * hour as f64 + 1_800.0) * (1.0 + LONG_PPM * 1e-6);
        assert_eq!(*frames as f64, 0.05 * hz);
        assert!((*start as f64 / hz - at_s).abs() < 0.03, "{start}");
    }
    // Each patient's pulse comes back once; a gap may hide one.
    assert!((run.patients - f64::from(run.returns)).abs() < 2.0);
    assert!(run.taps > 4_000 && run.worst_tap_ms < 10.0);
    if let [first, .., last] = run.resident_mib[..] {
        assert!(last - first < 1.0, "memory grows: {:?}", run.resident_mib);
    }
}
