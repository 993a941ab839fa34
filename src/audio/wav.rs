//! WAV files: read in blocks of any length of file, written whole.
//!
//! `hound` reads the header; the samples are then decoded in blocks here, which is several times
//! faster than one call a sample and keeps an 8-hour file out of memory.

use std::fs::File;
use std::io::{BufReader, Cursor, ErrorKind, Read};
use std::path::Path;

use hound::{SampleFormat, WavReader, WavSpec, WavWriter};

use crate::units::SampleRate;

/// Frames decoded at a time.
const BLOCK: usize = 4096;
/// More channels than any device for this purpose has; a header that claims more is nonsense.
const CHANNELS_MAX: u16 = 64;

/// Why a file could not be read as sound.
#[derive(Debug, thiserror::Error)]
pub enum WavFault {
    /// The file system's answer.
    #[error("cannot be read: {0}")]
    File(std::io::Error),
    /// The bytes are not those of a WAV file.
    #[error("is not a WAV file that can be read ({0}): record or convert it as PCM WAV")]
    NotWav(String),
    /// A format within WAV that is not read here.
    #[error("holds {0}: convert it to PCM of 8, 16, 24 or 32 bits, or 32-bit float")]
    Format(String),
    /// A rate that the listener does not take.
    #[error("has {0} samples a second: 8,000 to 192,000 are understood")]
    Rate(u32),
    /// There are no samples.
    #[error("holds no sound at all: record again")]
    Empty,
}

/// A WAV file being read.
pub struct Wav {
    source: Box<dyn Read + Send>,
    spec: WavSpec,
    rate: SampleRate,
    /// Frames that the header promises, and those read so far.
    promised: u64,
    read: u64,
    bytes: Vec<u8>,
}

impl Wav {
    /// Opens a file and reads its header.
    ///
    /// # Errors
    /// See [`WavFault`].
    pub fn open(path: &Path) -> Result<Self, WavFault> {
        let file = File::open(path).map_err(WavFault::File)?;
        if file.metadata().map_err(WavFault::File)?.is_dir() {
            return Err(WavFault::NotWav("it is a folder".into()));
        }
        Self::read_header(Box::new(BufReader::with_capacity(1 << 16, file)))
    }

    /// Reads the header from any source of bytes.
    ///
    /// # Errors
    /// See [`WavFault`].
    pub fn read_header(source: Box<dyn Read + Send>) -> Result<Self, WavFault> {
        let mut head = Head { source, seen: Vec::new() };
        let reader = WavReader::new(&mut head).map_err(refused)?;
        let (spec, promised) = (reader.spec(), u64::from(reader.duration()));
        if spec.channels == 0 || spec.channels > CHANNELS_MAX {
            return Err(WavFault::NotWav(format!("{} channels", spec.channels)));
        }
        let known = matches!(
            (spec.sample_format, spec.bits_per_sample),
            (SampleFormat::Int, 8 | 16 | 24 | 32) | (SampleFormat::Float, 32)
        );
        if !known {
            let kind = if spec.sample_format == SampleFormat::Int { "integers" } else { "floats" };
            return Err(WavFault::Format(format!("{}-bit {kind}", spec.bits_per_sample)));
        }
        // The library tells the bits that count, not the bytes that each sample takes.
        let bytes = head.sample_bytes().ok_or_else(|| WavFault::NotWav("no format".into()))?;
        if bytes * 8 != spec.bits_per_sample {
            let words = format!("{} bits in {bytes} bytes a sample", spec.bits_per_sample);
            return Err(WavFault::Format(words));
        }
        let rate = SampleRate::new(spec.sample_rate).ok_or(WavFault::Rate(spec.sample_rate))?;
        if promised == 0 {
            return Err(WavFault::Empty);
        }
        Ok(Self { source: head.source, spec, rate, promised, read: 0, bytes: Vec::new() })
    }

    /// Samples a second.
    pub fn rate(&self) -> SampleRate {
        self.rate
    }

    /// Interleaved channels.
    pub fn channels(&self) -> usize {
        usize::from(self.spec.channels)
    }

    /// Frames that the header promises.
    pub fn promised_frames(&self) -> u64 {
        self.promised
    }

    /// Frames read so far.
    pub fn read_frames(&self) -> u64 {
        self.read
    }

    /// Fills `samples` with the next block of interleaved samples, full scale ±1; empty at the end.
    /// A file that ends before its header promises simply ends.
    ///
    /// # Errors
    /// What the file system says.
    pub fn read_block(&mut self, samples: &mut Vec<f32>) -> Result<(), WavFault> {
        samples.clear();
        let frame = self.channels() * usize::from(self.spec.bits_per_sample / 8);
        let left = usize::try_from(self.promised - self.read).unwrap_or(usize::MAX);
        self.bytes.resize(BLOCK.min(left) * frame, 0);
        let mut filled = 0;
        while filled < self.bytes.len() {
            match self.source.read(&mut self.bytes[filled..]) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(e) if e.kind() == ErrorKind::Interrupted => {}
                Err(e) => return Err(WavFault::File(e)),
            }
        }
        let whole = filled - filled % frame;
        decode(&self.bytes[..whole], self.spec, samples);
        self.read += (whole / frame) as u64;
        Ok(())
    }
}

/// Bytes of a header within which its format has to stand.
const HEAD_MAX: usize = 1 << 16;

/// The source while its header is read, with what was read of it.
struct Head {
    source: Box<dyn Read + Send>,
    seen: Vec<u8>,
}

impl Read for Head {
    fn read(&mut self, to: &mut [u8]) -> std::io::Result<usize> {
        let count = self.source.read(to)?;
        let room = HEAD_MAX.saturating_sub(self.seen.len());
        self.seen.extend_from_slice(&to[..count.min(room)]);
        Ok(count)
    }
}

impl Head {
    /// The bytes of one sample of one channel: the format's block over its channels (RIFF MCI 1991, `fmt ` chunk).
    fn sample_bytes(&self) -> Option<u16> {
        let mut rest = self.seen.get(12..)?;
        loop {
            let (name, length) = (rest.get(..4)?, rest.get(4..8)?);
            let inside = rest.get(8..)?;
            if name == b"fmt " {
                let word =
                    |at: usize| Some(u16::from_le_bytes([*inside.get(at)?, *inside.get(at + 1)?]));
                return word(12)?.checked_div(word(2)?);
            }
            let length = u32::from_le_bytes([length[0], length[1], length[2], length[3]]);
            rest = inside.get(length as usize..)?;
        }
    }
}

fn refused(error: hound::Error) -> WavFault {
    match error {
        hound::Error::IoError(e) if e.kind() == ErrorKind::UnexpectedEof => {
            WavFault::NotWav("it ends within its header".into())
        }
        // The library reports a bad header as an error of its own kind, a short read as this one.
        hound::Error::IoError(e) if e.kind() == ErrorKind::Other => WavFault::NotWav(e.to_string()),
        hound::Error::IoError(e) => WavFault::File(e),
        hound::Error::Unsupported => WavFault::Format("a compressed or unusual format".into()),
        other => WavFault::NotWav(other.to_string()),
    }
}

fn decode(bytes: &[u8], spec: WavSpec, samples: &mut Vec<f32>) {
    match (spec.sample_format, spec.bits_per_sample) {
        (SampleFormat::Float, _) => {
            samples.extend(
                bytes.chunks_exact(4).map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]])),
            );
        }
        (_, 8) => samples.extend(bytes.iter().map(|&b| (f32::from(b) - 128.0) / 128.0)),
        (_, 16) => samples.extend(
            bytes.chunks_exact(2).map(|b| f32::from(i16::from_le_bytes([b[0], b[1]])) / 32_768.0),
        ),
        (_, 24) => samples.extend(bytes.chunks_exact(3).map(|b| {
            // The three bytes in the upper part of a word keep the sign.
            i32::from_le_bytes([0, b[0], b[1], b[2]]) as f32 / 2_147_483_648.0
        })),
        _ => samples.extend(
            bytes
                .chunks_exact(4)
                .map(|b| i32::from_le_bytes([b[0], b[1], b[2], b[3]]) as f32 / 2_147_483_648.0),
        ),
    }
}

/// The bytes of a 16-bit WAV file of interleaved samples, full scale ±1; louder ones are clipped.
///
/// # Panics
/// Never: the bytes are kept in memory, and the count of samples fits a WAV file for any sound made here.
pub fn encode_16(samples: &[f32], rate: SampleRate, channels: u16) -> Vec<u8> {
    let spec = WavSpec {
        channels,
        sample_rate: rate.hz(),
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut bytes = Vec::with_capacity(samples.len() * 2 + 44);
    let written = (|| {
        let mut writer = WavWriter::new(Cursor::new(&mut bytes), spec)?;
        for &sample in samples {
            writer.write_sample((sample * 32_768.0).round().clamp(-32_768.0, 32_767.0) as i16)?;
        }
        writer.finalize()
    })();
    debug_assert!(written.is_ok());
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn samples_of(bytes: Vec<u8>) -> Vec<f32> {
        let mut wav = Wav::read_header(Box::new(Cursor::new(bytes))).unwrap();
        let (mut all, mut block) = (Vec::new(), Vec::new());
        loop {
            wav.read_block(&mut block).unwrap();
            if block.is_empty() {
                return all;
            }
            all.extend_from_slice(&block);
        }
    }

    fn written(bits: u16, format: SampleFormat, values: &[i32]) -> Vec<u8> {
        let spec = WavSpec {
            channels: 1,
            sample_rate: 8_000,
            bits_per_sample: bits,
            sample_format: format,
        };
        let mut bytes = Vec::new();
        let mut writer = WavWriter::new(Cursor::new(&mut bytes), spec).unwrap();
        for &value in values {
            match format {
                SampleFormat::Int => writer.write_sample(value).unwrap(),
                SampleFormat::Float => writer.write_sample(value as f32 / 4.0).unwrap(),
            }
        }
        writer.finalize().unwrap();
        bytes
    }

    #[test]
    fn every_depth_reads_back_as_the_same_sound() {
        for bits in [8u16, 16, 24, 32] {
            let half = 1i32 << (bits - 2);
            let read = samples_of(written(bits, SampleFormat::Int, &[0, half, -half]));
            assert_eq!(read, [0.0, 0.5, -0.5], "{bits} bits");
        }
        assert_eq!(samples_of(written(32, SampleFormat::Float, &[1, -2])), [0.25, -0.5]);
    }

    #[test]
    fn what_is_no_sound_is_refused_with_a_sentence() {
        let open =
            |bytes: &[u8]| Wav::read_header(Box::new(Cursor::new(bytes.to_vec()))).err().unwrap();
        assert!(matches!(open(b""), WavFault::NotWav(_)));
        assert!(matches!(open(b"RIFF"), WavFault::NotWav(_)));
        assert!(matches!(
            open(b"this is a letter, not a sound at all............"),
            WavFault::NotWav(_)
        ));
        let good = written(16, SampleFormat::Int, &[1, 2, 3]);
        assert!(matches!(open(&written(16, SampleFormat::Int, &[])), WavFault::Empty));
        let mut slow = good;
        slow[24..28].copy_from_slice(&4_000u32.to_le_bytes());
        slow[28..32].copy_from_slice(&8_000u32.to_le_bytes());
        assert!(matches!(open(&slow), WavFault::Rate(4_000)));
    }

    /// 24 bits in 4 bytes are read by nobody alike (high or low), and bits that fill no byte make noise of a sound.
    #[test]
    fn samples_that_do_not_fill_their_bytes_are_refused_rather_than_heard_as_noise() {
        let mut wide = written(24, SampleFormat::Int, &[1, 2, 3, 4]);
        let rate = 8_000u32;
        let fmt = wide.windows(4).position(|w| w == b"fmt ").unwrap() + 8;
        wide[fmt + 8..fmt + 12].copy_from_slice(&(rate * 4).to_le_bytes());
        wide[fmt + 12..fmt + 14].copy_from_slice(&4u16.to_le_bytes());
        let open = Wav::read_header(Box::new(Cursor::new(wide)));
        assert!(open.err().unwrap().to_string().contains("24 bits in 4 bytes"));
    }

    #[test]
    fn a_file_cut_short_gives_what_there_is() {
        let mut bytes = written(16, SampleFormat::Int, &[100; 50]);
        bytes.truncate(bytes.len() - 61);
        assert_eq!(samples_of(bytes).len(), 19);
    }
}
