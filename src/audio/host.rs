//! What every stream shares, in and out: the loss that ends it, its format, how it is dropped.

use std::sync::atomic::{AtomicU8, AtomicU32, Ordering};
use std::time::Duration;

use cpal::{BufferSize, ErrorKind, StreamConfig, SupportedBufferSize};

/// How long a host may take to make a stream.
pub(super) const MAKING: Duration = Duration::from_secs(2);

/// Why a running stream ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Loss {
    /// The device went away.
    Device = 1,
    /// The sound system went away, or cut the connection.
    System = 2,
    /// Anything else that the host calls an error.
    Other = 3,
}

/// A slot for one loss, written by the host's threads.
#[derive(Debug, Default)]
pub(super) struct Trouble {
    loss: AtomicU8,
    hiccups: AtomicU32,
}

impl Trouble {
    /// Keeps the first loss; a host that calls a million times costs a compare each.
    pub(super) fn tell(&self, loss: Loss) {
        let (written, seen) = (Ordering::Release, Ordering::Relaxed);
        let _ = self.loss.compare_exchange(0, loss as u8, written, seen);
    }

    /// As [`Trouble::tell`], by the host's own kind of error; a hiccup is counted, and what ends nothing is left.
    pub(super) fn tell_kind(&self, kind: ErrorKind) {
        let loss = match kind {
            ErrorKind::Xrun => {
                self.hiccups.fetch_add(1, Ordering::Relaxed);
                return;
            }
            ErrorKind::RealtimeDenied | ErrorKind::DeviceChanged => return,
            ErrorKind::DeviceNotAvailable => Loss::Device,
            ErrorKind::StreamInvalidated | ErrorKind::HostUnavailable => Loss::System,
            _ => Loss::Other,
        };
        self.tell(loss);
    }

    /// The loss that was reported, if any.
    pub(super) fn loss(&self) -> Option<Loss> {
        match self.loss.load(Ordering::Acquire) {
            0 => None,
            1 => Some(Loss::Device),
            2 => Some(Loss::System),
            _ => Some(Loss::Other),
        }
    }

    /// How often the host reported lost sound.
    pub(super) fn hiccups(&self) -> u32 {
        self.hiccups.load(Ordering::Relaxed)
    }
}

/// Drops a stream on a thread of its own: a host whose server is frozen blocks in it, and nobody
/// may wait for that.
pub(super) fn drop_elsewhere(stream: impl Send + 'static) {
    let thread = std::thread::Builder::new().name("close sound".into());
    let _ = thread.spawn(move || drop(stream));
}

/// The device's own format with a buffer of `frames` at 48 kHz, as far as it allows.
pub(super) fn stream_config(config: &cpal::SupportedStreamConfig, frames: u32) -> StreamConfig {
    let frames = (u64::from(frames) * u64::from(config.sample_rate()) / 48_000).max(1) as u32;
    let frames = match *config.buffer_size() {
        SupportedBufferSize::Range { min, max } => frames.clamp(min, max.max(min)),
        SupportedBufferSize::Unknown => frames,
    };
    StreamConfig { buffer_size: BufferSize::Fixed(frames), ..config.config() }
}
