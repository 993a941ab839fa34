//! The red zone: what happens to the samples inside the device's callback.
//!
//! A plain function over slices, callable without a device. It converts any sample format to `f32`, numbers
//! the frames and offers them to each reader's ring. A full ring loses the new samples, counts them, and the
//! numbering goes on, so that the gap is visible downstream. No allocation, lock, log, format, system
//! call or panic path in [`CallbackEar::take`].

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use cpal::{Data, FromSample, I24, SampleFormat, SizedSample, U24};
use ringbuf::traits::{Consumer, Observer, Producer, Split};
use ringbuf::{HeapCons, HeapProd, HeapRb};

use crate::units::{SampleCount, SampleIndex, SampleRate};

/// The most frames in one block; longer callbacks are cut.
pub const BLOCK_FRAMES: usize = 1024;
/// Seconds of sound that the ring of the listener, and of the sound passed through, hold.
const LISTENER_RING_S: usize = 10;
/// A disk may stall longer than a processor.
const RECORDER_RING_S: usize = 30;
/// Blocks that a ring can describe: at 14 frames a callback, the smallest seen, over 4 s of 48 kHz.
const BLOCKS: usize = 1 << 14;

/// A run of frames that belong together, and when they came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FrameBlock {
    /// The number of its first frame since the stream began.
    pub start: SampleIndex,
    /// Its frames.
    pub frames: u32,
    /// When its callback was called, nanoseconds on the stream's clock.
    pub arrived_ns: u64,
    /// When its first frame was caught, as the host tells it.
    pub captured_ns: u64,
}

impl FrameBlock {
    /// The number of the frame that follows.
    pub fn end(self) -> SampleIndex {
        self.start.plus(SampleCount(u64::from(self.frames)))
    }
}

/// Converts, numbers and hands on; lives in the device's callback.
pub struct CallbackEar {
    channels: usize,
    rate_hz: u64,
    next: u64,
    scratch: Box<[f32]>,
    feeds: [Option<Feed>; 2],
    through: Option<HeapProd<f32>>,
}

/// The writing end of one reader's ring.
struct Feed {
    samples: HeapProd<f32>,
    blocks: HeapProd<FrameBlock>,
    dropped: Arc<AtomicU64>,
}

/// The reading end: blocks in order, each with its samples.
pub struct BlockReader {
    samples: HeapCons<f32>,
    blocks: HeapCons<FrameBlock>,
    dropped: Arc<AtomicU64>,
    channels: usize,
    rate: SampleRate,
    block: Vec<f32>,
}

/// The readers of one stream.
pub struct Readers {
    /// For the listener.
    pub listener: BlockReader,
    /// For the recorder.
    pub recorder: BlockReader,
    /// Bare samples for the sound passed through, where it was asked for.
    pub through: Option<HeapCons<f32>>,
}

/// Makes a callback's worker and its readers. Everything is allocated here.
pub fn open(rate: SampleRate, channels: usize, through: bool) -> (CallbackEar, Readers) {
    open_with(rate, channels, through, LISTENER_RING_S, RECORDER_RING_S)
}

/// As [`open()`], with rings of other lengths in seconds.
pub fn open_with(
    rate: SampleRate,
    channels: usize,
    through: bool,
    listener_s: usize,
    recorder_s: usize,
) -> (CallbackEar, Readers) {
    let channels = channels.max(1);
    let (to_listener, listener) = feed(rate, channels, listener_s);
    let (to_recorder, recorder) = feed(rate, channels, recorder_s);
    let (to_through, through) = match through {
        true => {
            let ring = HeapRb::new(rate.hz() as usize * channels * LISTENER_RING_S);
            let (to, from) = ring.split();
            (Some(to), Some(from))
        }
        false => (None, None),
    };
    let ear = CallbackEar {
        channels,
        rate_hz: u64::from(rate.hz()),
        next: 0,
        scratch: vec![0.0; BLOCK_FRAMES * channels].into_boxed_slice(),
        feeds: [Some(to_listener), Some(to_recorder)],
        through: to_through,
    };
    (ear, Readers { listener, recorder, through })
}

fn feed(rate: SampleRate, channels: usize, seconds: usize) -> (Feed, BlockReader) {
    let (samples, from_samples) = HeapRb::new(rate.hz() as usize * channels * seconds).split();
    let (blocks, from_blocks) = HeapRb::new(BLOCKS).split();
    let dropped = Arc::new(AtomicU64::new(0));
    let feed = Feed { samples, blocks, dropped: dropped.clone() };
    let block = Vec::with_capacity(BLOCK_FRAMES * channels);
    let reader =
        BlockReader { samples: from_samples, blocks: from_blocks, dropped, channels, rate, block };
    (feed, reader)
}

impl CallbackEar {
    /// Takes what the device gave, in whatever format. A format that is no PCM is counted as nothing: such
    /// a stream is refused when it is opened.
    pub fn take_data(&mut self, data: &Data, arrived_ns: u64, captured_ns: u64) {
        macro_rules! take {
            ($t:ty) => {
                if let Some(samples) = data.as_slice::<$t>() {
                    self.take(samples, arrived_ns, captured_ns);
                }
            };
        }
        match data.sample_format() {
            SampleFormat::I8 => take!(i8),
            SampleFormat::I16 => take!(i16),
            SampleFormat::I24 => take!(I24),
            SampleFormat::I32 => take!(i32),
            SampleFormat::I64 => take!(i64),
            SampleFormat::U8 => take!(u8),
            SampleFormat::U16 => take!(u16),
            SampleFormat::U24 => take!(U24),
            SampleFormat::U32 => take!(u32),
            SampleFormat::U64 => take!(u64),
            SampleFormat::F32 => take!(f32),
            SampleFormat::F64 => take!(f64),
            _ => {}
        }
    }

    /// Takes interleaved samples of one callback; a frame that is not whole is left out.
    pub fn take<T>(&mut self, interleaved: &[T], arrived_ns: u64, captured_ns: u64)
    where
        T: SizedSample,
        f32: FromSample<T>,
    {
        let mut before = 0u64;
        for piece in interleaved.chunks(BLOCK_FRAMES * self.channels) {
            for (to, from) in self.scratch.iter_mut().zip(piece) {
                *to = from.to_sample::<f32>();
            }
            self.hand_on(piece.len(), &mut before, arrived_ns, captured_ns);
        }
    }

    /// As [`CallbackEar::take`], for 32-bit floats as bytes, least first.
    pub fn take_floats(&mut self, bytes: &[u8], arrived_ns: u64, captured_ns: u64) {
        let mut before = 0u64;
        for piece in bytes.chunks(BLOCK_FRAMES * self.channels * 4) {
            let floats = piece.as_chunks::<4>().0;
            for (to, from) in self.scratch.iter_mut().zip(floats) {
                *to = f32::from_le_bytes(*from);
            }
            self.hand_on(floats.len(), &mut before, arrived_ns, captured_ns);
        }
    }

    /// Numbers the first samples of the scratch and offers them to each reader.
    fn hand_on(&mut self, samples: usize, before: &mut u64, arrived_ns: u64, captured_ns: u64) {
        let frames = samples / self.channels;
        let block = FrameBlock {
            start: SampleIndex(self.next),
            frames: frames as u32,
            arrived_ns,
            captured_ns: captured_ns
                .wrapping_add(before.wrapping_mul(1_000_000_000) / self.rate_hz.max(1)),
        };
        self.next = self.next.wrapping_add(frames as u64);
        *before = before.wrapping_add(frames as u64);
        let Some(samples) = self.scratch.get(..frames * self.channels) else { return };
        for feed in self.feeds.iter_mut().flatten() {
            feed.offer(block, samples);
        }
        if let Some(through) = &mut self.through
            && through.vacant_len() >= samples.len()
        {
            through.push_slice(samples);
        }
    }

    /// Samples a second.
    pub fn rate_hz(&self) -> u64 {
        self.rate_hz
    }

    /// Passes over frames that never came, so that the numbering keeps to the device's time.
    pub fn skip(&mut self, frames: SampleCount) {
        self.next = self.next.wrapping_add(frames.0);
    }
}

impl Feed {
    /// Whole blocks or nothing: the samples first, so that a block that can be seen has them.
    fn offer(&mut self, block: FrameBlock, samples: &[f32]) {
        if samples.is_empty() {
            return;
        }
        if self.samples.vacant_len() < samples.len() || self.blocks.is_full() {
            self.dropped.fetch_add(u64::from(block.frames), Ordering::Relaxed);
            return;
        }
        self.samples.push_slice(samples);
        let _ = self.blocks.try_push(block);
    }
}

impl BlockReader {
    /// The next block and its interleaved samples.
    pub fn next_block(&mut self) -> Option<(FrameBlock, &[f32])> {
        let block = self.blocks.try_pop()?;
        let count = block.frames as usize * self.channels;
        self.block.resize(count, 0.0);
        let got = self.samples.pop_slice(&mut self.block);
        self.block.get(..got).map(|samples| (block, samples))
    }

    /// Frames lost so far because the ring was full.
    pub fn dropped(&self) -> SampleCount {
        SampleCount(self.dropped.load(Ordering::Relaxed))
    }

    /// Interleaved channels.
    pub fn channels(&self) -> usize {
        self.channels
    }

    /// Samples a second.
    pub fn rate(&self) -> SampleRate {
        self.rate
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened(listener_s: usize) -> (CallbackEar, Readers) {
        open_with(SampleRate::new(8_000).unwrap(), 2, false, listener_s, 1)
    }

    fn all(reader: &mut BlockReader) -> (Vec<FrameBlock>, Vec<f32>) {
        let (mut blocks, mut samples) = (Vec::new(), Vec::new());
        while let Some((block, heard)) = reader.next_block() {
            samples.extend_from_slice(heard);
            blocks.push(block);
        }
        (blocks, samples)
    }

    #[test]
    fn every_format_arrives_as_the_same_sound() {
        let expected = [0.5f32, -0.5];
        let check = |samples: &[f32]| assert_eq!(samples, expected);
        macro_rules! formats {
            ($($value:expr),*) => {$({
                let (mut ear, mut readers) = opened(1);
                ear.take(&$value, 0, 0);
                check(&all(&mut readers.listener).1);
            })*};
        }
        formats!(
            [64i8, -64],
            [16_384i16, -16_384],
            [1i32 << 30, -(1 << 30)],
            [1i64 << 62, -(1 << 62)]
        );
        formats!(
            [192u8, 64],
            [49_152u16, 16_384],
            [3u32 << 30, 1 << 30],
            [0.5f32, -0.5],
            [0.5f64, -0.5]
        );
        formats!([I24::new(1 << 22).unwrap(), I24::new(-(1 << 22)).unwrap()]);
        formats!([U24::new(3 << 22).unwrap(), U24::new(1 << 22).unwrap()], [3u64 << 62, 1 << 62]);
    }

    #[test]
    fn integers_of_24_bits_survive_exactly() {
        let (mut ear, mut readers) = opened(1);
        let values = [-8_388_608, 8_388_607, 1, -1, 1_234_567, -7_654_321];
        ear.take(&values.map(|v| I24::new(v).unwrap()), 0, 0);
        let back = all(&mut readers.listener).1;
        assert_eq!(back.iter().map(|x| (x * 8_388_608.0) as i32).collect::<Vec<_>>(), values);
    }

    #[test]
    fn both_readers_hear_the_same_and_long_callbacks_are_cut() {
        let (mut ear, mut readers) = opened(1);
        let samples: Vec<f32> = (0..5_000).map(|n| n as f32).collect();
        ear.take(&samples, 7, 5);
        let (blocks, heard) = all(&mut readers.listener);
        assert_eq!(heard, samples);
        assert_eq!(all(&mut readers.recorder).1, samples);
        assert_eq!(blocks.iter().map(|b| b.frames).collect::<Vec<_>>(), [1024, 1024, 452]);
        assert_eq!(blocks[1].start, SampleIndex(1024));
        assert_eq!(blocks[1].captured_ns, 5 + 128_000_000);
    }

    #[test]
    fn a_full_ring_loses_the_new_ones_counts_them_and_keeps_the_numbering() {
        let (mut ear, mut readers) = opened(1);
        for _ in 0..90 {
            ear.take(&[0.25f32; 200], 0, 0);
        }
        let (blocks, _) = all(&mut readers.listener);
        assert_eq!(blocks.len(), 80);
        assert_eq!(readers.listener.dropped(), SampleCount(1_000));
        ear.take(&[0.25f32; 200], 0, 0);
        assert_eq!(all(&mut readers.listener).0[0].start, SampleIndex(9_000));
    }

    #[test]
    fn half_a_frame_is_left_out() {
        let (mut ear, mut readers) = opened(1);
        ear.take(&[0.1f32, 0.2, 0.3], 0, 0);
        assert_eq!(all(&mut readers.listener).1, [0.1, 0.2]);
    }
}
