//! Streams of PulseAudio (or PipeWire), opened without `cpal`, which still lists the devices.
//!
//! Two reasons. `cpal` asks the server to queue no more than one buffer, and the server then drops whatever its own
//! main thread does not send in time: with both cores busy three pieces of 10 ms went missing within 36 s,
//! untold; here the server may queue as much as it can, and still sends every 10 ms. And `cpal` lets the server move
//! a stream to another device when its own goes: then a room's microphone would be heard in place of the Doppler, or
//! a loudspeaker would play what headphones played.

use std::ffi::CString;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use std::time::{Duration, Instant};

use futures::FutureExt;
use futures::executor::block_on;
use pulseaudio::protocol::stream::{BufferAttr, StreamFlags};
use pulseaudio::protocol::{
    self, PlaybackStreamParams, RecordLatency, RecordStreamParams, SampleFormat, SampleSpec,
};
use pulseaudio::{AsPlaybackSource, Client, ClientError, PlaybackStream, RecordStream};

use super::callback::{self, CallbackEar, Readers};
use super::device::DeviceFault;
use super::host::{Loss, Trouble};
use super::spout::{Figures, Spout};
use crate::units::SampleRate;

/// From one question about the age of the sound, and whether the stream lives, to the next.
const ASK_EVERY: Duration = Duration::from_millis(100);
/// An answer that came quickly is kept against slower ones for so long.
const KEEP: Duration = Duration::from_secs(5);
/// Bytes of one sample: the server is asked for 32-bit floats, which hold 24 bits exactly.
const SAMPLE_BYTES: u32 = 4;

/// An input that runs until it is dropped.
pub(super) struct Input {
    stream: RecordStream,
    ended: Arc<AtomicBool>,
}

/// An output that runs until it is dropped.
pub(super) struct Output {
    stream: PlaybackStream,
    ended: Arc<AtomicBool>,
}

/// What was opened.
pub(super) struct Open {
    pub stream: Input,
    pub rate: SampleRate,
    pub channels: usize,
    pub origin: Instant,
    pub readers: Readers,
}

/// When the stream's first frame would have been caught by the rate alone, nanoseconds on the stream's clock; it follows
/// the device's clock. [`UNKNOWN`] before the first answer.
type Caught = AtomicI64;
const UNKNOWN: i64 = i64::MAX;

impl From<ClientError> for DeviceFault {
    fn from(error: ClientError) -> Self {
        match error {
            ClientError::ServerError(said) => Self::Refused(said.to_string()),
            other => Self::NoSystem(other.to_string()),
        }
    }
}

/// Opens the source of this name at its own rate and starts it.
pub(super) fn open(
    source: &str,
    frames_at_48k: u32,
    through: bool,
    trouble: &Arc<Trouble>,
) -> Result<Open, DeviceFault> {
    let client = Client::from_env(c"cuffnote")?;
    let name = CString::new(source).map_err(|e| DeviceFault::Refused(e.to_string()))?;
    let info = block_on(client.source_info_by_name(name))?;
    let spec = info.sample_spec;
    let rate = SampleRate::new(spec.sample_rate)
        .ok_or_else(|| DeviceFault::Format(format!("{} samples a second", spec.sample_rate)))?;
    let channels = usize::from(spec.channels).max(1);
    let (ear, readers) = callback::open(rate, channels, through);
    let frames = (u64::from(frames_at_48k) * u64::from(rate.hz()) / 48_000).max(1) as u32;
    let params = RecordStreamParams {
        sample_spec: SampleSpec { format: SampleFormat::Float32Le, ..spec },
        channel_map: info.channel_map,
        source_index: Some(info.index),
        buffer_attr: BufferAttr {
            max_length: u32::MAX,
            fragment_size: frames * channels as u32 * SAMPLE_BYTES,
            ..Default::default()
        },
        flags: flags(),
        ..Default::default()
    };
    let origin = Instant::now();
    let caught = Arc::new(Caught::new(UNKNOWN));
    let callback = callback(ear, channels, origin, caught.clone());
    let stream = block_on(client.create_record_stream(params, callback))?;
    block_on(stream.uncork())?;
    let ended = Arc::new(AtomicBool::new(false));
    let frame_bytes = channels as i64 * i64::from(SAMPLE_BYTES);
    let mut asker = Asker { origin, caught, frame_bytes, rate, best: None };
    let asked = stream.clone();
    let lost = trouble.clone();
    let ask = move || asker.ask(&asked);
    keep_asking(ended.clone(), ask, move |loss| lost.tell(loss))?;
    Ok(Open { stream: Input { stream, ended }, rate, channels, origin, readers })
}

/// Opens the sink of this name, which has this rate and number of channels, and plays what the spout gives.
pub(super) fn open_output(
    sink: &str,
    frames: u32,
    mut spout: Spout,
    rate: SampleRate,
    channels: usize,
) -> Result<Output, DeviceFault> {
    let client = Client::from_env(c"cuffnote")?;
    let name = CString::new(sink).map_err(|e| DeviceFault::Refused(e.to_string()))?;
    let info = block_on(client.sink_info_by_name(name))?;
    let bytes = frames * channels as u32 * SAMPLE_BYTES;
    let params = PlaybackStreamParams {
        sample_spec: SampleSpec {
            format: SampleFormat::Float32Le,
            channels: channels as u8,
            sample_rate: rate.hz(),
        },
        channel_map: info.channel_map,
        sink_index: Some(info.index),
        buffer_attr: BufferAttr {
            max_length: 2 * bytes,
            target_length: 2 * bytes,
            minimum_request_length: bytes,
            ..Default::default()
        },
        flags: flags(),
        ..Default::default()
    };
    let figures: Arc<Figures> = spout.figures();
    let callback = move |bytes: &mut [u8]| {
        spout.fill_floats(bytes, channels);
        bytes.len()
    };
    let stream = block_on(client.create_playback_stream(params, callback.as_playback_source()))?;
    block_on(stream.uncork())?;
    let ended = Arc::new(AtomicBool::new(false));
    let asked = stream.clone();
    let ask = move || block_on(asked.timing_info()).map(drop);
    keep_asking(ended.clone(), ask, move |_| figures.set_lost())?;
    Ok(Output { stream, ended })
}

/// Started by us, short, and never moved to another device.
fn flags() -> StreamFlags {
    StreamFlags { start_corked: true, adjust_latency: true, no_move: true, ..Default::default() }
}

/// Asks on a thread of its own until the stream ends; an error means that it is gone.
fn keep_asking(
    ended: Arc<AtomicBool>,
    mut ask: impl FnMut() -> Result<(), ClientError> + Send + 'static,
    lost: impl FnOnce(Loss) + Send + 'static,
) -> Result<(), DeviceFault> {
    let thread = std::thread::Builder::new().name("sound server".into());
    let started = thread.spawn(move || {
        while !ended.load(Ordering::Relaxed) {
            if let Err(error) = ask() {
                if !ended.load(Ordering::Relaxed) {
                    lost(loss(&error));
                }
                return;
            }
            std::thread::sleep(ASK_EVERY);
        }
    });
    started.map(drop).map_err(|e| DeviceFault::NoSystem(e.to_string()))
}

/// The red zone's entry. The computer's clock is read here without a system call.
fn callback(
    mut ear: CallbackEar,
    channels: usize,
    origin: Instant,
    caught: Arc<Caught>,
) -> impl FnMut(&[u8]) + Send + 'static {
    let rate_hz = ear.rate_hz().max(1);
    let mut frames = 0u64;
    move |bytes: &[u8]| {
        let arrived_ns = nanos(origin.elapsed());
        let captured_ns = match caught.load(Ordering::Relaxed) {
            UNKNOWN => u64::MAX,
            first_ns => frames_ns(frames, rate_hz).saturating_add_signed(first_ns),
        };
        ear.take_floats(bytes, arrived_ns, captured_ns);
        frames = frames.wrapping_add((bytes.len() / SAMPLE_BYTES as usize / channels) as u64);
    }
}

/// How long so many frames take, nanoseconds, without overflow within centuries.
fn frames_ns(frames: u64, rate_hz: u64) -> u64 {
    let (whole, rest) = (frames / rate_hz, frames % rate_hz);
    whole.wrapping_mul(1_000_000_000).wrapping_add(rest * 1_000_000_000 / rate_hz)
}

fn nanos(duration: Duration) -> u64 {
    duration.as_nanos() as u64
}

/// Asks the server when the sound was caught.
struct Asker {
    origin: Instant,
    caught: Arc<Caught>,
    frame_bytes: i64,
    rate: SampleRate,
    /// The answer that is believed: how long it took, and when it came, nanoseconds.
    best: Option<(u64, u64)>,
}

impl Asker {
    /// The server answered somewhere between the question and now. On a busy machine that may be a tenth of a second, so
    /// slow answers do not replace quick ones.
    fn ask(&mut self, stream: &RecordStream) -> Result<(), ClientError> {
        let before = nanos(self.origin.elapsed());
        let told = block_on(stream.timing_info())?;
        let now = nanos(self.origin.elapsed());
        let took = now.saturating_sub(before);
        let kept = self.best.filter(|(_, at)| now.saturating_sub(*at) < nanos(KEEP));
        if told.write_offset > 0 && kept.is_none_or(|(least, _)| took <= least) {
            self.best = Some((took, now));
            self.caught.store(self.first_ns(&told, before.midpoint(now)), Ordering::Relaxed);
        }
        Ok(())
    }

    /// At the instant of the answer, the source had given `write_offset` bytes, the last of which was caught
    /// `source_usec` before. A monitor hears sound before it is played.
    fn first_ns(&self, told: &RecordLatency, answered_ns: u64) -> i64 {
        let given = (told.write_offset / self.frame_bytes).unsigned_abs();
        let delay_ns = (told.source_usec as i64 - told.sink_usec as i64) * 1_000;
        answered_ns as i64 - delay_ns - frames_ns(given, u64::from(self.rate.hz())) as i64
    }
}

fn loss(error: &ClientError) -> Loss {
    match error {
        ClientError::ServerError(protocol::PulseError::NoEntity) => Loss::Device,
        _ => Loss::System,
    }
}

impl Drop for Input {
    /// Does not wait: a frozen server would never answer.
    fn drop(&mut self) {
        self.ended.store(true, Ordering::Relaxed);
        let _ = self.stream.clone().delete().now_or_never();
    }
}

impl Drop for Output {
    fn drop(&mut self) {
        self.ended.store(true, Ordering::Relaxed);
        let _ = self.stream.clone().delete().now_or_never();
    }
}
