//! What is measured on a sound server that plays to nobody: how far a tap is off, how long a finding takes, what each
//! thread costs, how late sound is passed through. The tests demand little of it; the benchmark prints it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cuffnote::audio::capture::Wish;
use cuffnote::audio::recorder::{Depth, Names};
use cuffnote::live::{DeviceSupply, Live, LiveEvent, Plan};
use cuffnote::signal::{Finding, Listener};
use cuffnote::sim;
use cuffnote::units::SampleRate;

use super::pulse::{Room, wait_for, wav_samples};

const RATE_HZ: u32 = 48_000;

pub fn write_wav(path: &Path, rate_hz: u32, channels: u16, samples: &[i16]) {
    let spec = hound::WavSpec {
        channels,
        sample_rate: rate_hz,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut wav = hound::WavWriter::create(path, spec).unwrap();
    samples.iter().for_each(|&sample| wav.write_sample(sample).unwrap());
    wav.finalize().unwrap();
}

/// Runs an ignored test of this binary, or the benchmark by a word, as a process of its own: a sound server is found by
/// the environment. Gives its lines.
pub fn inside(room: &Room, test: &str, words: &[&str]) -> Vec<String> {
    let mut command = room.command(std::env::current_exe().unwrap());
    if words.is_empty() {
        command.args([test, "--exact", "--ignored", "--nocapture"]);
    }
    command.args(words).env("CUFFNOTE_TEST_FOLDER", room.path("inside"));
    std::fs::create_dir(room.path("inside")).unwrap();
    let done = command.output().unwrap();
    let said = String::from_utf8_lossy(&done.stdout);
    let also = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{}: {said}{also}", done.status);
    said.lines().map(str::to_owned).collect()
}

/// The folder of a process run by [`inside`]; none in any other, such as a run of all ignored tests.
pub fn inside_folder() -> Option<PathBuf> {
    std::env::var_os("CUFFNOTE_TEST_FOLDER").map(PathBuf::from)
}

fn listen(record: &Path) -> Live {
    let plan = Plan { record: Some((Names::new(record), Depth::Bits16)), ..Plan::default() };
    Live::start(Box::new(DeviceSupply::new(Wish::default(), None)), plan).unwrap()
}

/// Clicks in a row, a second apart from the third second on.
const CLICKS: u64 = 5;

/// Milliseconds from each click to a tap that was made at the instant at which the click left the output, as words; a click
/// that a busy machine left out is left out.
pub fn taps_off_ms(folder: &Path) -> String {
    let record = folder.join("click.wav");
    let mut live = listen(&record);
    let (clicked_ns, origin) = play_clicks();
    let locate = |ns: &u64| live.locate(origin + Duration::from_nanos(*ns)).unwrap().sample.0;
    let taps: Vec<u64> = clicked_ns.iter().map(locate).collect();
    live.stop();
    let samples = wav_samples(&record);
    let loud = |n: &usize| samples[*n] > 10_000 && (*n == 0 || samples[*n - 1] <= 10_000);
    let clicks: Vec<usize> = (0..samples.len()).filter(loud).collect();
    let off_ms = |tap: &u64| {
        let off = clicks.iter().map(|&click| (*tap as f64 - click as f64) / 48.0);
        off.min_by(|a, b| a.abs().total_cmp(&b.abs())).filter(|ms| ms.abs() < 400.0)
    };
    let off: Vec<String> = taps.iter().filter_map(off_ms).map(|ms| format!("{ms:.2}")).collect();
    off.join(" ")
}

/// Plays clicks in silence; gives the predicted instant of each on the stream's clock, and the instant at which that clock
/// showed 0.
fn play_clicks() -> (Vec<u64>, Instant) {
    let id = cpal::ALL_HOSTS.iter().find(|id| id.name() == "PulseAudio").unwrap();
    let device = cpal::host_from_id(*id).unwrap().default_output_device().unwrap();
    let config = cpal::StreamConfig {
        channels: 1,
        sample_rate: RATE_HZ,
        buffer_size: cpal::BufferSize::Fixed(480),
    };
    let (tell, told) = std::sync::mpsc::channel();
    let mut at = 0u64;
    let stream = device
        .build_output_stream::<f32, _, _>(
            config,
            move |out, info| {
                let played_ns = info.timestamp().playback.as_nanos() as u64;
                for (n, sample) in out.iter_mut().enumerate() {
                    let (second, rest) = (at / 48_000, at % 48_000);
                    let click = rest < 4 && (3..3 + CLICKS).contains(&second);
                    *sample = if click { 0.8 } else { 0.0 };
                    if click && rest == 0 {
                        let _ = tell.send(played_ns + n as u64 * 1_000_000 / 48);
                    }
                    at += 1;
                }
            },
            |error| panic!("{error}"),
            None,
        )
        .unwrap();
    let origin = Instant::now() - Duration::from_nanos(stream.now().as_nanos() as u64);
    stream.play().unwrap();
    let clicks = (0..CLICKS).map(|_| told.recv_timeout(Duration::from_secs(30)).unwrap());
    let clicks = clicks.collect();
    std::thread::sleep(Duration::from_millis(800));
    (clicks, origin)
}

/// What was heard of a simulated patient who played to the sink that is listened to.
pub struct Heard {
    /// For each finding, from the sample that decided it being caught to the finding being fetched, milliseconds.
    pub delays_ms: Vec<f64>,
    /// Share of one core that each thread took, in percent, the greatest first.
    pub threads: Vec<(String, f64)>,
    /// Seconds of sound.
    pub seconds: f64,
}

/// Plays a simulated patient and listens; demands that the recording gives the same findings in the same order.
pub fn findings_as_they_come(folder: &Path) -> Heard {
    let (file, record) = (folder.join("patient.wav"), folder.join("caught.wav"));
    let case = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
    let made = sim::render(&sim::Case { rate_hz: RATE_HZ, ..case }, 1);
    let samples: Vec<i16> = made.samples.iter().map(|x| (x * 32_767.0) as i16).collect();
    write_wav(&file, RATE_HZ, 1, &samples);
    let mut live = listen(&record);
    let mut heard: Vec<(Finding, u64)> = Vec::new();
    wait_for("the sound", || live.locate(Instant::now()).is_some());
    let (begun, before) = (Instant::now(), thread_times());
    let mut player = Command::new("paplay").arg("--device=room").arg(&file).spawn().unwrap();
    while player.try_wait().unwrap().is_none() {
        while let Some(told) = live.poll() {
            if let LiveEvent::Heard { finding, .. } = told.event {
                heard.push((finding, live.locate(Instant::now()).unwrap().sample.0));
            }
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    let seconds = begun.elapsed().as_secs_f64();
    let threads = shares(&before, &thread_times(), seconds);
    live.stop();
    let rest = std::iter::from_fn(|| live.poll()).filter_map(|told| match told.event {
        LiveEvent::Heard { finding, .. } => Some(finding),
        _ => None,
    });
    let rest: Vec<Finding> = rest.collect();
    let delays_ms = delays(&heard, &rest, &wav_samples(&record));
    Heard { delays_ms, threads, seconds }
}

/// Hears the recording again, a millisecond at a time, so that it is known with which sample each finding came; demands the
/// same findings to the last.
fn delays(heard: &[(Finding, u64)], rest: &[Finding], caught: &[i16]) -> Vec<f64> {
    let mut listener = Listener::new(SampleRate::new(RATE_HZ).unwrap(), 1);
    let mut again: Vec<(Finding, u64)> = Vec::new();
    for piece in caught.chunks(48) {
        let floats: Vec<f32> = piece.iter().map(|&x| f32::from(x) / 32_768.0).collect();
        listener.push(&floats);
        let taken = listener.taken().0;
        again.extend(std::iter::from_fn(|| listener.poll()).map(|finding| (finding, taken)));
    }
    listener.finish();
    let taken = listener.taken().0;
    again.extend(std::iter::from_fn(|| listener.poll()).map(|finding| (finding, taken)));
    let live: Vec<&Finding> = heard.iter().map(|(finding, _)| finding).chain(rest).collect();
    let file: Vec<&Finding> = again.iter().map(|(finding, _)| finding).collect();
    assert_eq!(live, file);
    heard
        .iter()
        .zip(&again)
        .map(|((_, fetched), (_, decided))| (*fetched as f64 - *decided as f64) / 48.0)
        .collect()
}

/// Processor time of each thread of this process, by name, in ticks (proc(5): fields 14 and 15 of `stat`).
fn thread_times() -> Vec<(String, f64)> {
    let Ok(tasks) = std::fs::read_dir("/proc/self/task") else { return Vec::new() };
    let stats =
        tasks.filter_map(|task| std::fs::read_to_string(task.ok()?.path().join("stat")).ok());
    let read = |stat: String| {
        let (name, rest) = (stat.find('(')? + 1, stat.rfind(')')?);
        let fields: Vec<&str> = stat[rest + 2..].split(' ').collect();
        let ticks: f64 = fields[11].parse::<f64>().ok()? + fields[12].parse::<f64>().ok()?;
        Some((stat[name..rest].to_owned(), ticks))
    };
    stats.filter_map(read).collect()
}

/// Ticks become a share of one core; a hundred ticks a second, as Linux has them for programs (proc(5)).
fn shares(before: &[(String, f64)], after: &[(String, f64)], seconds: f64) -> Vec<(String, f64)> {
    let sum = |all: &[(String, f64)], name: &str| -> f64 {
        all.iter().filter(|(n, _)| n == name).map(|(_, ticks)| ticks).sum()
    };
    let mut names: Vec<&String> = after.iter().map(|(name, _)| name).collect();
    names.sort();
    names.dedup();
    let share = |name: &String| (name.clone(), (sum(after, name) - sum(before, name)) / seconds);
    let mut all: Vec<(String, f64)> = names.into_iter().map(share).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all
}

/// One sink of two channels; `left` plays into its left, `right` into its right. The program listens to the left
/// and passes it through to the right, so that one recording shows both on one clock.
const SPLIT: &str = "load-module module-null-sink sink_name=room rate=48000 channels=2 format=float32le norewinds=1
load-module module-remap-sink sink_name=left master=room channels=1 master_channel_map=front-left channel_map=mono remix=no
load-module module-remap-sink sink_name=right master=room channels=1 master_channel_map=front-right channel_map=mono remix=no";

/// Plays six clicks, a second apart, and gives the delay at which each came through, milliseconds; none where it did
/// not. `more` follows `listen --live --through right`.
pub fn passed_through(more: &[&str]) -> Vec<Option<f64>> {
    let room = Room::new(SPLIT);
    let (file, record) = (room.path("clicks.wav"), room.path("kept.wav"));
    let click = |n: u32| if n > 2 * RATE_HZ && n % RATE_HZ < 96 { 6_000 } else { 0 };
    let sound: Vec<i16> = (0..RATE_HZ * 8).map(click).collect();
    write_wav(&file, RATE_HZ, 1, &sound);
    let mut words = vec!["--channel", "1", "--link", "cable", "--through", "right"];
    words.extend(more);
    words.extend(["--record", record.to_str().unwrap()]);
    let mut listening = room.listen(&words);
    listening.wait("through");
    listening.wait("began");
    std::thread::sleep(Duration::from_millis(1_500));
    assert!(room.play("left", &file, &[]).wait().unwrap().success());
    std::thread::sleep(Duration::from_millis(500));
    listening.end();
    let samples = wav_samples(&record);
    let ceiling = (cuffnote::audio::tone::CEILING * 32_768.0) as i16 + 1;
    assert!(samples.chunks_exact(2).all(|frame| frame[1].abs() <= ceiling));
    let (here, there) = (rises(&samples, 0), rises(&samples, 1));
    assert_eq!(here.len(), 6, "{here:?}");
    let came = |&click: &usize| there.iter().find(|&&n| (click..click + 24_000).contains(&n));
    let delay_ms = |click: &usize, n: &usize| (*n as f64 - *click as f64) / 48.0;
    here.iter().map(|click| came(click).map(|n| delay_ms(click, n))).collect()
}

/// Where a channel of two becomes loud after half a second of quiet.
fn rises(samples: &[i16], channel: usize) -> Vec<usize> {
    let mut rises = Vec::new();
    let mut last: Option<usize> = None;
    for (n, frame) in samples.chunks_exact(2).enumerate() {
        if frame[channel].abs() > 1_000 {
            if last.is_none_or(|last| n - last > 24_000) {
                rises.push(n);
            }
            last = Some(n);
        }
    }
    rises
}
