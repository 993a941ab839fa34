//! A sound from a file or a stream of bytes: WAV by the letter, and what telephones make, read in blocks.
//!
//! What a file is, its first bytes say, never its name. Plain WAV is read as it comes and stays out of memory; a
//! compressed file is held whole while it is heard.

use std::fs::File;
use std::io::{BufReader, Cursor, Read};
use std::path::Path;

use super::packed::Packed;
use super::riff::Riff;
use super::sound_fault::{CHANNELS_MAX, PACKED_MAX, SoundFault};
use crate::units::SampleRate;

/// Bytes by which a file's kind is known.
const MARK: usize = 16;

enum Samples {
    Plain(Riff),
    Packed(Packed),
}

/// A sound being read.
pub struct SoundFile {
    samples: Samples,
    rate: SampleRate,
    channels: usize,
    /// The one channel that is wanted, from 0.
    only: Option<usize>,
    promised: Option<u64>,
    read: u64,
    words: String,
    lossy: bool,
}

impl SoundFile {
    /// Opens a file and reads its header.
    ///
    /// # Errors
    /// See [`SoundFault`].
    pub fn open(path: &Path) -> Result<Self, SoundFault> {
        let file = File::open(path).map_err(SoundFault::File)?;
        if file.metadata().map_err(SoundFault::File)?.is_dir() {
            return Err(SoundFault::NotSound("it is a folder".into()));
        }
        Self::read(Box::new(BufReader::with_capacity(1 << 16, file)))
    }

    /// Reads the header from any source of bytes: a pipe as well as a file.
    ///
    /// # Errors
    /// See [`SoundFault`].
    pub fn read(mut source: Box<dyn Read + Send>) -> Result<Self, SoundFault> {
        let mut mark = Vec::new();
        (&mut source).take(MARK as u64).read_to_end(&mut mark).map_err(SoundFault::File)?;
        let whole = Box::new(Cursor::new(mark.clone()).chain(source));
        match told(&mark)? {
            Told::Riff => {
                let riff = Riff::open(whole)?;
                let form = &riff.form;
                let (rate, channels) = (checked(form.rate_hz, form.channels)?, form.channels);
                let (words, promised) = (form.words.clone(), riff.promised);
                let samples = Samples::Plain(riff);
                Ok(Self {
                    samples,
                    rate,
                    channels,
                    only: None,
                    promised,
                    read: 0,
                    words,
                    lossy: false,
                })
            }
            Told::Packed => Self::packed(whole),
        }
    }

    fn packed(source: Box<dyn Read + Send>) -> Result<Self, SoundFault> {
        let mut bytes = Vec::new();
        source.take(PACKED_MAX + 1).read_to_end(&mut bytes).map_err(SoundFault::File)?;
        if bytes.len() as u64 > PACKED_MAX {
            return Err(SoundFault::TooLong);
        }
        let packed = Packed::open(bytes)?;
        let (rate, channels) = (checked(packed.rate_hz, packed.channels)?, packed.channels);
        let (words, lossy, promised) = (packed.words.to_owned(), packed.lossy, packed.promised);
        let samples = Samples::Packed(packed);
        Ok(Self { samples, rate, channels, only: None, promised, read: 0, words, lossy })
    }

    /// From now on only this channel, from 0, as a sound of one.
    ///
    /// # Errors
    /// There is no such channel.
    pub fn only(mut self, channel: usize) -> Result<Self, SoundFault> {
        if channel >= self.channels {
            return Err(SoundFault::NoChannel { asked: channel + 1, there: self.channels });
        }
        self.only = Some(channel);
        Ok(self)
    }

    /// Samples a second.
    pub fn rate(&self) -> SampleRate {
        self.rate
    }

    /// Interleaved channels, as they are given out.
    pub fn channels(&self) -> usize {
        if self.only.is_some() { 1 } else { self.channels }
    }

    /// Frames that the header promises; none where it does not say.
    pub fn promised_frames(&self) -> Option<u64> {
        self.promised
    }

    /// Frames read so far.
    pub fn read_frames(&self) -> u64 {
        self.read
    }

    /// What it is, in words: `WAV, PCM of 16 bits`.
    pub fn words(&self) -> &str {
        &self.words
    }

    /// True of a form that does not give back the very samples: MP3, Vorbis, AAC.
    pub fn lossy(&self) -> bool {
        self.lossy
    }

    /// Fills `samples` with the next block of interleaved samples, full scale ±1; empty at the end.
    /// A file that ends before its header promises simply ends.
    ///
    /// # Errors
    /// What the file system says, or that the sound is damaged.
    pub fn read_block(&mut self, samples: &mut Vec<f32>) -> Result<(), SoundFault> {
        samples.clear();
        match &mut self.samples {
            Samples::Plain(riff) => riff.read_block(samples)?,
            Samples::Packed(packed) => packed
                .read_block(samples)
                .map_err(|()| SoundFault::Damaged(self.read as f64 / f64::from(self.rate.hz())))?,
        }
        self.read += (samples.len() / self.channels) as u64;
        if let Some(only) = self.only {
            let frames = samples.len() / self.channels;
            for frame in 0..frames {
                samples[frame] = samples[frame * self.channels + only];
            }
            samples.truncate(frames);
        }
        Ok(())
    }
}

fn checked(rate_hz: u32, channels: usize) -> Result<SampleRate, SoundFault> {
    if channels > CHANNELS_MAX {
        return Err(SoundFault::Channels(channels));
    }
    SampleRate::new(rate_hz).ok_or(SoundFault::Rate(rate_hz))
}

enum Told {
    Riff,
    Packed,
}

/// What the first bytes say.
fn told(mark: &[u8]) -> Result<Told, SoundFault> {
    let begins = |with: &[u8]| mark.starts_with(with);
    if begins(b"RIFF") || begins(b"RF64") || begins(b"BW64") {
        return Ok(Told::Riff);
    }
    // MP3 and AAC begin with eleven or twelve set bits, or with a title.
    let frames = mark.len() > 1 && mark[0] == 0xFF && mark[1] & 0xE0 == 0xE0;
    let box_of = mark.get(4..8) == Some(b"ftyp");
    if begins(b"fLaC") || begins(b"OggS") || begins(b"ID3") || frames || box_of {
        return Ok(Told::Packed);
    }
    let format = |words: &str| Err(SoundFault::Format(words.into()));
    match mark {
        [] => Err(SoundFault::NotSound("it is empty".into())),
        [b'F', b'O', b'R', b'M', ..] => format("sound in AIFF"),
        [b'c', b'a', b'f', b'f', ..] => format("sound in CAF"),
        [b'#', b'!', b'A', b'M', b'R', ..] => format("a telephone's speech (AMR)"),
        [b'.', b's', b'n', b'd', ..] => format("sound in AU"),
        [b'r', b'i', b'f', b'f', 0x2E, ..] => format("sound in Wave64"),
        [0x1A, 0x45, 0xDF, 0xA3, ..] => format("sound in Matroska or WebM"),
        [0x30, 0x26, 0xB2, 0x75, ..] => format("sound in WMA"),
        [b'R', b'I', b'F', b'X', ..] => format("sound in RIFX (big end first)"),
        _ => {
            Err(SoundFault::NotSound("its first bytes are those of no sound that is known".into()))
        }
    }
}

/// The whole of a sound's samples with its rate and channels, for short ones.
///
/// # Errors
/// As [`SoundFile::read_block`].
pub fn all_samples(mut sound: SoundFile) -> Result<(Vec<f32>, SampleRate, usize), SoundFault> {
    let (mut samples, mut block) = (Vec::new(), Vec::new());
    loop {
        sound.read_block(&mut block)?;
        if block.is_empty() {
            return Ok((samples, sound.rate(), sound.channels()));
        }
        samples.extend_from_slice(&block);
    }
}

/// True of a name that a sound usually has; a folder is searched by it.
pub fn looks_like_sound(path: &Path) -> bool {
    const ENDINGS: [&str; 10] =
        ["wav", "wave", "rf64", "bw64", "flac", "ogg", "oga", "mp3", "m4a", "aac"];
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default();
    ENDINGS.contains(&ending.to_ascii_lowercase().as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use hound::{SampleFormat, WavSpec, WavWriter};

    fn samples_of(bytes: Vec<u8>) -> Vec<f32> {
        all_samples(SoundFile::read(Box::new(Cursor::new(bytes))).unwrap()).unwrap().0
    }

    fn refused(bytes: &[u8]) -> SoundFault {
        SoundFile::read(Box::new(Cursor::new(bytes.to_vec()))).err().unwrap()
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
        assert!(matches!(refused(b""), SoundFault::NotSound(_)));
        assert!(matches!(refused(b"RIFF"), SoundFault::NotSound(_)));
        assert!(matches!(
            refused(b"this is a letter, not a sound at all"),
            SoundFault::NotSound(_)
        ));
        assert!(refused(b"#!AMR\nxxxxxxxxxx").to_string().contains("AMR"));
        assert!(matches!(refused(&written(16, SampleFormat::Int, &[])), SoundFault::Empty));
        let mut slow = written(16, SampleFormat::Int, &[1, 2, 3]);
        slow[24..28].copy_from_slice(&3_999u32.to_le_bytes());
        assert!(matches!(refused(&slow), SoundFault::Rate(3_999)));
    }

    /// 24 bits in 4 bytes lie at the upper end, as the standard says.
    #[test]
    fn bits_that_do_not_fill_their_bytes_lie_at_the_upper_end() {
        let mut wide = written(32, SampleFormat::Int, &[1 << 30, -(1 << 29)]);
        let fmt = wide.windows(4).position(|w| w == b"fmt ").unwrap() + 8;
        wide[fmt + 14..fmt + 16].copy_from_slice(&24u16.to_le_bytes());
        assert_eq!(samples_of(wide), [0.5, -0.25]);
    }

    #[test]
    fn a_file_cut_short_gives_what_there_is() {
        let mut bytes = written(16, SampleFormat::Int, &[100; 50]);
        bytes.truncate(bytes.len() - 61);
        assert_eq!(samples_of(bytes).len(), 19);
    }

    #[test]
    fn one_channel_of_many_is_a_sound_of_one() {
        let spec = WavSpec {
            channels: 3,
            sample_rate: 8_000,
            bits_per_sample: 16,
            sample_format: SampleFormat::Int,
        };
        let mut bytes = Vec::new();
        let mut writer = WavWriter::new(Cursor::new(&mut bytes), spec).unwrap();
        (0..30_000i16).for_each(|value| writer.write_sample(value).unwrap());
        writer.finalize().unwrap();
        let open = || SoundFile::read(Box::new(Cursor::new(bytes.clone()))).unwrap();
        let (samples, _, channels) = all_samples(open().only(1).unwrap()).unwrap();
        assert_eq!((samples.len(), channels), (10_000, 1));
        assert!(samples.iter().enumerate().all(|(n, s)| *s == (3 * n + 1) as f32 / 32_768.0));
        let none = open().only(3).err().unwrap().to_string();
        assert!(none.contains("no channel 4: it has 3"), "{none}");
    }
}
