//! Listening through: a cable mutes many devices' own loudspeaker, so the sound is passed on to an output.
//!
//! A path of its own, short and independent of the listener: it goes on when the analysis stalls. What the output's
//! callback does is [`Spout`].

use std::sync::Arc;

use cpal::traits::{DeviceTrait, StreamTrait};
use ringbuf::HeapCons;

use super::device::{self, DeviceFault, Direction, System};
use super::host::{MAKING, drop_elsewhere, stream_config};
use super::spout::{AHEAD_MS, Figures, Gain, Shape, Spout};
use crate::units::{SampleCount, SampleRate};

/// Frames that the output is asked for at a time, at 48 kHz: 5 ms.
const BUFFER_FRAMES: u32 = 240;

/// Where to pass the sound to.
#[derive(Debug, Clone, Default)]
pub struct Outlet {
    /// The sound system.
    pub system: System,
    /// The output by id or name; the default where none is named.
    pub device: Option<String>,
    /// The id of the input, so that an output is not heard by its own input.
    pub heard_from: String,
    /// How loud.
    pub gain: Gain,
}

/// Sound that is being passed through.
pub struct PassedThrough {
    /// The output's name for people.
    pub name: String,
    /// The delay that is added between the input's ring and the output's buffer, as planned, seconds: what waits
    /// in the ring, the output's buffer, and the shape.
    pub planned_s: f64,
    figures: Arc<Figures>,
    stream: Option<Stream>,
}

impl PassedThrough {
    /// Opens an output and plays to it what comes out of the ring. May wait for seconds.
    ///
    /// # Errors
    /// See [`DeviceFault`]; also an output whose monitor is the input, which would howl.
    pub fn open(
        outlet: &Outlet,
        from: HeapCons<f32>,
        input: (SampleRate, usize),
        shape: Option<Box<dyn Shape>>,
    ) -> Result<Self, DeviceFault> {
        // One piece of the input, and a third of one for what the two callbacks do not agree on.
        let ahead = SampleCount(u64::from(input.0.hz()) * AHEAD_MS / 1_000);
        Self::open_ahead(outlet, from, input, ahead, shape)
    }

    /// As [`PassedThrough::open`], with so many frames of the input kept waiting.
    ///
    /// # Errors
    /// As there.
    pub fn open_ahead(
        outlet: &Outlet,
        from: HeapCons<f32>,
        input: (SampleRate, usize),
        ahead: SampleCount,
        shape: Option<Box<dyn Shape>>,
    ) -> Result<Self, DeviceFault> {
        let chosen = device::choose(outlet.system, Direction::Output, outlet.device.as_deref())?;
        if outlet.heard_from.strip_suffix(".monitor") == Some(&chosen.id) {
            return Err(DeviceFault::Refused(format!(
                "`{}` is what the input hears: the sound would go round in a circle",
                chosen.name
            )));
        }
        let rate = SampleRate::new(chosen.config.sample_rate());
        let rate = rate.ok_or_else(|| DeviceFault::Format("its rate".into()))?;
        let shape_delay = shape.as_ref().map_or(0, |s| s.delay().0);
        let spout = Spout::new(from, input, rate, ahead, shape)?.at_gain(outlet.gain.clone());
        let figures = spout.figures();
        let stream = stream(&chosen, outlet.system, spout, rate)?;
        let per_s = f64::from(input.0.hz());
        let planned_s =
            (ahead.0 + shape_delay) as f64 / per_s + 2.0 * f64::from(BUFFER_FRAMES) / 48_000.0;
        Ok(Self { name: chosen.name, planned_s, figures, stream: Some(stream) })
    }

    /// What the output's callback counts.
    pub fn figures(&self) -> &Figures {
        &self.figures
    }
}

/// What runs, and stops when it is dropped.
#[allow(dead_code)]
enum Stream {
    Cpal(cpal::Stream),
    #[cfg(target_os = "linux")]
    Pulse(super::pulse::Output),
}

fn stream(
    chosen: &device::Chosen,
    system: System,
    spout: Spout,
    rate: SampleRate,
) -> Result<Stream, DeviceFault> {
    #[cfg(target_os = "linux")]
    if system == System::Usual {
        let frames = BUFFER_FRAMES * rate.hz() / 48_000;
        let channels = usize::from(chosen.config.channels());
        let output = super::pulse::open_output(&chosen.id, frames, spout, rate, channels)?;
        return Ok(Stream::Pulse(output));
    }
    let _ = (system, rate);
    cpal_stream(chosen, spout)
}

fn cpal_stream(chosen: &device::Chosen, mut spout: Spout) -> Result<Stream, DeviceFault> {
    let figures = spout.figures();
    let channels = usize::from(chosen.config.channels());
    let stream = chosen.device.build_output_stream_raw(
        stream_config(&chosen.config, BUFFER_FRAMES),
        chosen.config.sample_format(),
        move |data, _| spout.fill_data(data, channels),
        move |error| {
            use cpal::ErrorKind::{DeviceChanged, RealtimeDenied, Xrun};
            if !matches!(error.kind(), Xrun | RealtimeDenied | DeviceChanged) {
                figures.set_lost();
            }
        },
        Some(MAKING),
    )?;
    stream.play()?;
    Ok(Stream::Cpal(stream))
}

impl Drop for PassedThrough {
    fn drop(&mut self) {
        if let Some(stream) = self.stream.take() {
            drop_elsewhere(stream);
        }
    }
}
