//! Prints how fast the program's parts are: ratios within one run, never asserted. `cargo bench`; with `-- server` only
//! live sound on a sound server, with `-- book` the queries of a large record book, with `-- scale` the verbs on one.
//!
//! The sound is a simulated recording with pulses. Each figure is the median of several runs; the share
//! of each stage is its own run over the same sound. SciPy's transform is run beside it where there is one.

#[path = "../suite/measured.rs"]
#[allow(dead_code, reason = "shared with the tests, which use more of it")]
mod measured;
#[path = "../suite/pulse.rs"]
#[allow(dead_code, reason = "shared with the tests, which use more of it")]
mod pulse;
mod scale;
mod server;

use std::hint::black_box;
use std::process::Command;
use std::sync::Arc;
use std::time::Instant;

use cuffnote::audio::callback;
use cuffnote::audio::spout::{Shape, Spout};
use cuffnote::clinical::event::{Act, Posture};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::site::Side;
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::clinical::{record_code, trend, typed};
use cuffnote::live::{Pace, Plan, Shared, SimSupply, Stepped, Worker};
use cuffnote::logbook::{Book, Keeper, Search, VisitId};
use cuffnote::signal::stages::{Intake, RhythmTracker, Scorer, Spectrum};
use cuffnote::signal::{Clearer, Listener};
use cuffnote::sim::{self, scenario};
use cuffnote::units::{Mmhg, SampleCount, SampleRate};
use jiff::Timestamp;

const RATE_HZ: u32 = 48_000;

fn median_s(mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..7)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn sound() -> (Vec<f32>, f64) {
    let mut case = scenario::load("plain").unwrap().case(None).unwrap().clone();
    case.rate_hz = RATE_HZ;
    let made = sim::render(&case, 1);
    let seconds = made.samples.len() as f64 / f64::from(RATE_HZ);
    (made.samples, seconds)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if words.iter().any(|word| server::inside_the_room(word)) {
        return;
    }
    if words.iter().any(|word| word == "scale") {
        return scale::run();
    }
    if words.iter().any(|word| word == "book") {
        return book();
    }
    let (samples, seconds) = sound();
    let rate = SampleRate::new(RATE_HZ).unwrap();
    let whole = median_s(|| {
        let mut listener = Listener::new(rate, 1);
        for block in samples.chunks(4096) {
            listener.push(block);
            while listener.poll().is_some() {}
        }
        listener.finish();
        black_box(listener.taken());
    });
    if words.iter().any(|word| word == "server") {
        return server::print(whole / seconds);
    }
    println!(
        "listener, {seconds:.0} s at {RATE_HZ} Hz mono: {:.0} times real time",
        seconds / whole
    );

    let resampling = median_s(|| {
        let mut intake = Intake::new(rate, 1);
        let mut sum = 0.0;
        intake.push(&samples, |_, x| sum += x);
        black_box(sum);
    });
    let mut intake = Intake::new(rate, 1);
    let mut working = Vec::new();
    intake.push(&samples, |_, x| working.push(x));
    let mut frames = Vec::new();
    let transform = median_s(|| {
        frames.clear();
        let mut spectrum = Spectrum::default();
        for &x in &working {
            if let Some(frame) = spectrum.push(x) {
                frames.push(frame.features);
            }
        }
    });
    let scorer = median_s(|| {
        let mut scorer = Scorer::default();
        let mut sum = 0.0;
        for features in &frames {
            sum += scorer.push(features).far.is;
        }
        black_box(sum);
    });
    let rhythm = median_s(|| {
        let mut rhythm = RhythmTracker::default();
        frames.iter().for_each(|f| rhythm.push(f[3]));
        black_box(rhythm.period());
    });
    let rest = (whole - resampling - transform - scorer - rhythm).max(0.0);
    for (stage, time) in [
        ("resampling", resampling),
        ("short-time spectrum, background and features", transform),
        ("scorer", scorer),
        ("rhythm", rhythm),
        ("candidates, judges and chains (the remainder)", rest),
    ] {
        println!("  {:>5.1} %  {stage}", 100.0 * time / whole);
    }
    live(&samples, seconds, whole);
    server::print(whole / seconds);
    let program = env!("CARGO_BIN_EXE_cuffnote");
    let index = median_s(|| {
        let words = "index --right-arm 148 --left-arm 142 --right-dp 96 --right-pt 104 --json";
        let done = Command::new(program).args(words.split(' ')).output();
        black_box(done.is_ok());
    });
    println!("index as a whole process: {:.1} ms", 1000.0 * index);
    match peak_of_eight_hours(program) {
        Some((mib, real_time)) => println!(
            "8 hours of silence at {RATE_HZ} Hz as a WAV file: peak memory {mib:.0} MiB, {real_time:.0} times real time"
        ),
        None => println!("the 8-hour file was not measured here"),
    }
    match scipy_s(working.len()) {
        Some(scipy) => println!(
            "SciPy's stft of the same size over as much sound takes {:.1} times the spectrum stage, which also learns the background and works out the features",
            scipy / transform
        ),
        None => println!("SciPy is not here: its transform was not timed"),
    }
}

/// A book of 100,000 visits (`CUFFNOTE_BENCH_VISITS` for another number) of 10,000 records: `cargo bench -- book`.
fn book() {
    let visits = std::env::var("CUFFNOTE_BENCH_VISITS").ok().and_then(|n| n.parse().ok());
    let visits: u32 = visits.unwrap_or(100_000);
    let folder = tempfile::tempdir().unwrap();
    let begun = Instant::now();
    let last = fill(folder.path(), visits);
    println!("{visits} visits kept in {:.0} s", begun.elapsed().as_secs_f64());
    let opening = median_s(|| drop(black_box(Book::open(folder.path()).unwrap())));
    let book = Book::open(folder.path()).unwrap().book;
    let record = record_of(visits / 2);
    let all = Search::default;
    let ms = |name: &str, seconds: f64| println!("  {:>7.2} ms  {name}", 1000.0 * seconds);
    ms("opening", opening);
    let searches = [
        ("list, newest 50", Search { limit: Some(50), ..all() }),
        ("list, 50 after the first half", Search { limit: Some(50), offset: visits / 2, ..all() }),
        ("one record's visits", Search { record: Some(record.clone()), ..all() }),
        ("words found nowhere, whole book", Search { text: Some("nowhere".into()), ..all() }),
        ("words, newest 50", Search { text: Some("ulcer".into()), limit: Some(50), ..all() }),
    ];
    for (name, search) in searches {
        ms(name, median_s(|| drop(black_box(book.visits(&search).unwrap()))));
    }
    ms("unfinished visits", median_s(|| drop(black_box(book.unfinished().unwrap()))));
    ms("one visit's events", median_s(|| drop(black_box(book.events(last).unwrap()))));
    ms(
        "one record's history with its trend",
        median_s(|| {
            let rows = book.visits(&Search { record: Some(record.clone()), ..all() }).unwrap();
            let results: Vec<_> = rows
                .iter()
                .map(|row| Visit::from_events(&book.events(row.id).unwrap()).unwrap())
                .map(|visit| work_out(&visit, &[], Assumed::default()))
                .collect();
            black_box(trend::of(Side::Right, &results));
        }),
    );
    let bytes = std::fs::metadata(folder.path().join("book.sqlite")).map_or(0, |m| m.len());
    println!("  {:>7.0} MB  the file", bytes as f64 / 1e6);
}

fn record_of(visit: u32) -> String {
    record_code::numbered("TM", visit % 10_000).unwrap()
}

/// Visits of six readings each, kept as the window keeps them; gives the last one.
fn fill(folder: &std::path::Path, visits: u32) -> VisitId {
    let words = "140 138 130 98 136 130".split(' ').map(|v| v.parse().unwrap());
    let sites = ["right-arm", "left-arm", "right-dp", "right-pt", "left-dp", "left-pt"];
    let given: Vec<_> = sites.iter().map(|s| s.parse().unwrap()).zip(words).collect();
    let keeper = Keeper::start(folder).unwrap();
    let mut id = keeper.begin();
    let start: Timestamp = "2016-01-04T08:00:00Z".parse().unwrap();
    for visit in 0..visits {
        id = keeper.begin();
        let at = start + std::time::Duration::from_secs(u64::from(visit) * 2_700);
        let at = Moment::new(at, jiff::tz::Offset::UTC);
        let mut opened = typed::opening(Method::Higher, Mmhg::whole(2).unwrap(), Posture::Supine);
        opened.record = record_of(visit);
        opened.reason = if visit % 50 == 0 { "ulcer".into() } else { "follow-up".into() };
        let acts = typed::events(opened, at, &given).into_iter().map(|event| event.act);
        let acts = acts.chain((visit % 1_000 != 0).then_some(Act::VisitClosed));
        let ticket = acts.map(|act| keeper.keep(id, at, act)).last().unwrap();
        // The queue is kept short: this is about the book, not about memory.
        while visit % 100 == 0 && keeper.kept() < ticket {
            std::thread::sleep(std::time::Duration::from_millis(1));
        }
    }
    keeper.finish().unwrap();
    id
}

/// What live sound costs, without a device: the callback, the worker over it, and the sound passed through.
fn live(samples: &[f32], seconds: f64, listener_s: f64) {
    let rate = SampleRate::new(RATE_HZ).unwrap();
    let input: Vec<i16> = samples.iter().map(|x| (x * 32_768.0) as i16).collect();
    let callback_s = median_s(|| {
        let (mut ear, mut readers) = callback::open(rate, 1, true);
        for block in input.chunks(480) {
            ear.take(block, 0, 0);
            while readers.listener.next_block().is_some() {}
            while readers.recorder.next_block().is_some() {}
        }
    });
    let case = scenario::load("plain").unwrap().case(None).unwrap().clone();
    let case = sim::Case { rate_hz: RATE_HZ, ..case };
    let patient_s = median_s(|| {
        black_box(sim::render(&case, 1).samples.len());
    });
    let worker_s = median_s(|| {
        let shared = Arc::new(Shared::new(Instant::now()));
        let supply = Box::new(SimSupply::new(case.clone(), 1, Pace::Fast));
        let mut worker = Worker::new(supply, Plan::default(), shared.clone());
        while worker.step(Instant::now(), Timestamp::now()) != Stepped::Over {
            while shared.poll().is_some() {}
        }
    });
    let through_s = |clearer: bool| {
        median_s(|| {
            let (mut ear, readers) = callback::open(rate, 1, true);
            let shape = clearer.then(|| Box::new(Clearer::new(rate)) as Box<dyn Shape>);
            let from = readers.through.unwrap();
            let mut spout = Spout::new(from, (rate, 1), rate, SampleCount(576), shape).unwrap();
            let mut out = [0.0f32; 480];
            for block in input.chunks(480) {
                ear.take(block, 0, 0);
                spout.fill(&mut out, 1);
            }
        })
    };
    let core = |busy_s: f64| 100.0 * busy_s / seconds;
    println!("live sound at {RATE_HZ} Hz mono, share of one core:");
    println!("  {:>6.3} %  callback with two readers", core(callback_s));
    println!("  {:>6.3} %  listener alone", core(listener_s));
    println!(
        "  {:>6.3} %  worker with its listener (the simulated patient that fed it taken off)",
        core((worker_s - patient_s).max(0.0))
    );
    println!("  {:>6.3} %  sound passed through", core(through_s(false)));
    println!("  {:>6.3} %  sound passed through, made clearer", core(through_s(true)));
}

/// Peak resident memory, MiB, and speed while an 8-hour file (sparse on the disk) is listened to.
fn peak_of_eight_hours(program: &str) -> Option<(f64, f64)> {
    let folder = tempfile::tempdir().ok()?;
    let path = folder.path().join("long.wav");
    let hours = 8 * 3600;
    let bytes = hours * RATE_HZ * 2;
    let mut header = cuffnote::audio::wav::encode_16(&[0.0], SampleRate::new(RATE_HZ)?, 1);
    header.truncate(44);
    header[4..8].copy_from_slice(&(bytes + 36).to_le_bytes());
    header[40..44].copy_from_slice(&bytes.to_le_bytes());
    std::fs::write(&path, header).ok()?;
    let file = std::fs::OpenOptions::new().write(true).open(&path).ok()?;
    file.set_len(u64::from(bytes) + 44).ok()?;
    let start = Instant::now();
    let quiet = std::process::Stdio::null;
    let mut child = Command::new(program)
        .arg("listen")
        .arg(&path)
        .stdout(quiet())
        .stderr(quiet())
        .spawn()
        .ok()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak_kib = 0.0f64;
    while child.try_wait().ok()?.is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"));
        let kib = line.and_then(|l| l.trim().trim_end_matches(" kB").parse().ok());
        peak_kib = peak_kib.max(kib.unwrap_or(0.0));
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    Some((peak_kib / 1024.0, f64::from(hours) / start.elapsed().as_secs_f64()))
}

/// Median time of `scipy.signal.stft`, 256 points, hop 80, over this many samples.
fn scipy_s(samples: usize) -> Option<f64> {
    let script = format!(
        "import numpy as np,time\nfrom scipy.signal import stft\n\
         x=np.random.default_rng(1).normal(size={samples}).astype(np.float32)\nt=[]\n\
         for _ in range(7):\n a=time.perf_counter(); stft(x,8000,'hann',256,176,boundary=None,padded=False); t.append(time.perf_counter()-a)\n\
         print(sorted(t)[3])"
    );
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".into());
    let output = Command::new(python).args(["-c", &script]).output().ok()?;
    String::from_utf8(output.stdout).ok()?.trim().parse().ok()
}
