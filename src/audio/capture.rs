//! An input that is open: its stream, its rings, and what went wrong with it.
//!
//! The stream always asks for a buffer of its own size: the default PulseAudio buffer is 2 s. A fault is
//! told once. The stream is dropped on a thread of its own, because some hosts block there.

use std::sync::Arc;
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait, StreamTrait};
use ringbuf::HeapCons;

use super::callback::{self, BlockReader, CallbackEar, Readers};
use super::device::{self, Chosen, DeviceFault, Direction, System};
use super::host::{Loss, MAKING, Trouble, drop_elsewhere, stream_config};
use crate::units::SampleRate;

/// Frames that a stream is asked to give at a time, at 48 kHz: 10 ms.
pub const BUFFER_FRAMES: u32 = 480;
/// What to open.
#[derive(Debug, Clone, Default)]
pub struct Wish {
    /// The sound system.
    pub system: System,
    /// The device by id or name; the default where none is named.
    pub device: Option<String>,
    /// Whether the sound will be passed through to an output.
    pub through: bool,
}

/// What was opened.
#[derive(Debug, Clone, PartialEq)]
pub struct CaptureAbout {
    /// The device's own name.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Samples a second.
    pub rate: SampleRate,
    /// Interleaved channels.
    pub channels: usize,
    /// The format it delivers, such as `i16`.
    pub format: String,
}

/// What runs, and stops when it is dropped.
#[allow(dead_code)]
enum Stream {
    Cpal(cpal::Stream),
    #[cfg(target_os = "linux")]
    Pulse(super::pulse::Input),
}

/// An open input.
pub struct Capture {
    /// What was opened.
    pub about: CaptureAbout,
    /// The instant at which the stream's clock showed 0.
    pub origin: Instant,
    /// The listener's end of the sound.
    pub reader: BlockReader,
    recorder: Option<BlockReader>,
    through: Option<HeapCons<f32>>,
    stream: Option<Stream>,
    trouble: Arc<Trouble>,
}

impl Capture {
    /// Opens an input and starts it. May wait for seconds: call it from a thread that can.
    ///
    /// # Errors
    /// See [`DeviceFault`].
    pub fn open(wish: &Wish) -> Result<Self, DeviceFault> {
        let chosen = device::choose(wish.system, Direction::Input, wish.device.as_deref())?;
        #[cfg(target_os = "linux")]
        if wish.system == System::Usual {
            return Self::open_pulse(&chosen, wish);
        }
        Self::open_cpal(&chosen, wish)
    }

    #[cfg(target_os = "linux")]
    fn open_pulse(chosen: &Chosen, wish: &Wish) -> Result<Self, DeviceFault> {
        let trouble = Arc::new(Trouble::default());
        let open = super::pulse::open(&chosen.id, BUFFER_FRAMES, wish.through, &trouble)?;
        let about = CaptureAbout {
            id: chosen.id.clone(),
            name: chosen.name.clone(),
            rate: open.rate,
            channels: open.channels,
            format: "f32".into(),
        };
        let Readers { listener: reader, recorder, through } = open.readers;
        let stream = Some(Stream::Pulse(open.stream));
        let (origin, recorder) = (open.origin, Some(recorder));
        Ok(Self { about, origin, reader, recorder, through, stream, trouble })
    }

    fn open_cpal(chosen: &Chosen, wish: &Wish) -> Result<Self, DeviceFault> {
        let about = about(chosen)?;
        let (ear, readers) = callback::open(about.rate, about.channels, wish.through);
        let trouble = Arc::new(Trouble::default());
        let stream = stream(chosen, ear, trouble.clone())?;
        let now = stream.now();
        let since = Duration::from_nanos(u64::try_from(now.as_nanos()).unwrap_or(0));
        let origin = Instant::now().checked_sub(since).unwrap_or_else(Instant::now);
        stream.play()?;
        let Readers { listener: reader, recorder, through } = readers;
        let (recorder, stream) = (Some(recorder), Some(Stream::Cpal(stream)));
        Ok(Self { about, origin, reader, recorder, through, stream, trouble })
    }

    /// The recorder's end of the sound, once.
    pub fn take_recorder(&mut self) -> Option<BlockReader> {
        self.recorder.take()
    }

    /// The end of the sound passed through, once, where it was asked for.
    pub fn take_through(&mut self) -> Option<HeapCons<f32>> {
        self.through.take()
    }

    /// The loss that ended the stream, if one did.
    pub fn loss(&self) -> Option<Loss> {
        self.trouble.loss()
    }

    /// How often the host reported lost sound.
    pub fn hiccups(&self) -> u32 {
        self.trouble.hiccups()
    }
}

impl Drop for Capture {
    fn drop(&mut self) {
        if let Some(stream) = self.stream.take() {
            drop_elsewhere(stream);
        }
    }
}

fn about(chosen: &Chosen) -> Result<CaptureAbout, DeviceFault> {
    let config = &chosen.config;
    let refuse = |what: String| Err(DeviceFault::Format(what));
    let Some(rate) = SampleRate::new(config.sample_rate()) else {
        return refuse(format!("{} samples a second", config.sample_rate()));
    };
    if config.sample_format().is_dsd() || config.channels() == 0 {
        return refuse(config.sample_format().to_string());
    }
    Ok(CaptureAbout {
        id: chosen.id.clone(),
        name: chosen.name.clone(),
        rate,
        channels: usize::from(config.channels()),
        format: config.sample_format().to_string(),
    })
}

fn stream(
    chosen: &Chosen,
    mut ear: CallbackEar,
    trouble: Arc<Trouble>,
) -> Result<cpal::Stream, DeviceFault> {
    let config = stream_config(&chosen.config, BUFFER_FRAMES);
    let nanos = |instant: cpal::StreamInstant| instant.as_nanos() as u64;
    Ok(chosen.device.build_input_stream_raw(
        config,
        chosen.config.sample_format(),
        move |data, info| {
            let stamp = info.timestamp();
            ear.take_data(data, nanos(stamp.callback), nanos(stamp.capture));
        },
        move |error| trouble.tell_kind(error.kind()),
        Some(MAKING),
    )?)
}
