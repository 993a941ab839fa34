//! Compressed sound as telephones make it, by `symphonia`: FLAC, Ogg Vorbis, MP3, AAC and ALAC in M4A.
//!
//! The bytes are held whole: an M4A's index may stand at its end. What an encoder put before the first sample is
//! taken off, so that times are those of the recording; for M4A the edit list says how much (ISO/IEC 14496-12, 8.6.6),
//! which the library does not heed.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use symphonia::core::codecs::audio::well_known as codecs;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::MediaSourceStream;
use symphonia::core::meta::MetadataOptions;

use super::sound_fault::SoundFault;

/// Packets in a row that may fail to decode before the file is called damaged.
const BROKEN_MAX: u32 = 50;

pub(super) struct Packed {
    format: Box<dyn FormatReader>,
    decoder: Box<dyn AudioDecoder>,
    track: u32,
    pub(super) rate_hz: u32,
    pub(super) channels: usize,
    pub(super) words: &'static str,
    pub(super) lossy: bool,
    pub(super) promised: Option<u64>,
    /// Samples of the encoder's own that are still to be taken off, and those that are still to come.
    before: u64,
    left: Option<u64>,
    broken: u32,
    decoded: Vec<f32>,
    over: bool,
}

impl Packed {
    pub(super) fn open(bytes: Vec<u8>) -> Result<Self, SoundFault> {
        let edit = edit(&bytes);
        let source = MediaSourceStream::new(Box::new(Cursor::new(bytes)), Default::default());
        let probe = symphonia::default::get_probe();
        let options = FormatOptions::default();
        let hint = Hint::new();
        let format = unbroken(|| probe.probe(&hint, source, options, MetadataOptions::default()))
            .unwrap_or(Err(Error::DecodeError("its index contradicts itself")))
            .map_err(|fault| refused(&fault))?;
        let track = format.default_track(TrackType::Audio);
        let track = track.ok_or_else(|| SoundFault::NotSound("it has no track of sound".into()))?;
        let parameters = track.codec_params.as_ref().and_then(|p| p.audio());
        let parameters = parameters
            .ok_or_else(|| SoundFault::Format("sound of a kind that is not known".into()))?;
        let (words, lossy) = named(parameters)?;
        let decoder = symphonia::default::get_codecs()
            .make_audio_decoder(parameters, &AudioDecoderOptions::default())
            .map_err(|fault| refused(&fault))?;
        let (id, frames) = (track.id, track.num_frames);
        let mut packed = Self {
            format,
            decoder,
            track: id,
            rate_hz: 0,
            channels: 0,
            words,
            lossy,
            promised: frames.filter(|_| edit.is_none()),
            before: 0,
            left: None,
            broken: 0,
            decoded: Vec::new(),
            over: false,
        };
        packed.first()?;
        if let Some(edit) = edit {
            packed.edited(edit);
        }
        Ok(packed)
    }

    /// Rate and channels are those of the first packet that decodes: some headers are wrong or silent.
    fn first(&mut self) -> Result<(), SoundFault> {
        let damaged = |()| SoundFault::NotSound("nothing in it can be decoded".into());
        while self.decoded.is_empty() && !self.over {
            self.step().map_err(damaged)?;
        }
        if self.decoded.is_empty() { Err(SoundFault::Empty) } else { Ok(()) }
    }

    /// Takes off what the edit list leaves out, in samples of this rate.
    fn edited(&mut self, edit: Edit) {
        let at_rate = |time: u64, scale: u64| {
            (u128::from(time) * u128::from(self.rate_hz) / u128::from(scale.max(1))) as u64
        };
        let start = at_rate(edit.start, edit.media_scale);
        let length = at_rate(edit.length, edit.movie_scale);
        self.before = start;
        if length > 0 {
            (self.left, self.promised) = (Some(length), Some(length));
        }
    }

    pub(super) fn read_block(&mut self, samples: &mut Vec<f32>) -> Result<(), ()> {
        loop {
            if self.decoded.is_empty() && !self.over {
                self.step()?;
            }
            if self.decoded.is_empty() {
                if self.over {
                    return Ok(());
                }
                continue;
            }
            let mut ready = std::mem::take(&mut self.decoded);
            let frames = (ready.len() / self.channels) as u64;
            let off = self.before.min(frames);
            self.before -= off;
            ready.drain(..off as usize * self.channels);
            if let Some(left) = &mut self.left {
                let kept = (*left).min(frames - off);
                *left -= kept;
                self.over |= *left == 0;
                ready.truncate(kept as usize * self.channels);
            }
            if !ready.is_empty() {
                samples.extend_from_slice(&ready);
                return Ok(());
            }
        }
    }

    /// Decodes one packet; a few that are broken are passed over, as players do.
    fn step(&mut self) -> Result<(), ()> {
        let packet = match unbroken(|| self.format.next_packet()).ok_or(())? {
            Ok(Some(packet)) => packet,
            Ok(None) => {
                self.over = true;
                return Ok(());
            }
            // A file cut short ends here.
            Err(Error::IoError(_)) => {
                self.over = true;
                return Ok(());
            }
            Err(_) => return Err(()),
        };
        if packet.track_id != self.track {
            return Ok(());
        }
        match unbroken(|| self.decoder.decode(&packet)).ok_or(())? {
            Ok(buffer) => {
                let (rate, channels) = (buffer.spec().rate(), buffer.spec().channels().count());
                if self.channels == 0 && channels > 0 {
                    (self.rate_hz, self.channels) = (rate, channels);
                }
                // A file whose rate or channels change midway is heard as far as they are the same.
                if (rate, channels) != (self.rate_hz, self.channels) {
                    return Err(());
                }
                self.decoded.resize(buffer.samples_interleaved(), 0.0);
                buffer.copy_to_slice_interleaved(&mut self.decoded);
                self.broken = 0;
                Ok(())
            }
            Err(Error::DecodeError(_) | Error::IoError(_)) if self.broken < BROKEN_MAX => {
                self.broken += 1;
                Ok(())
            }
            Err(_) => Err(()),
        }
    }
}

/// What the library answers, or none where it panicked: a stranger's file must not end a visit. Nothing of the reader
/// is used after that.
fn unbroken<T>(work: impl FnOnce() -> T) -> Option<T> {
    catch_unwind(AssertUnwindSafe(work)).ok()
}

/// The name of what is inside, and whether it gives back the very samples.
fn named(parameters: &AudioCodecParameters) -> Result<(&'static str, bool), SoundFault> {
    let codec = parameters.codec;
    let known = [
        (codecs::CODEC_ID_FLAC, "FLAC", false),
        (codecs::CODEC_ID_ALAC, "ALAC", false),
        (codecs::CODEC_ID_VORBIS, "Vorbis", true),
        (codecs::CODEC_ID_MP3, "MP3", true),
        (codecs::CODEC_ID_AAC, "AAC", true),
    ];
    if let Some((_, words, lossy)) = known.into_iter().find(|(id, ..)| *id == codec) {
        return Ok((words, lossy));
    }
    let words = if codec == codecs::CODEC_ID_OPUS {
        "sound in Opus"
    } else if codec == codecs::CODEC_ID_SPEEX {
        "sound in Speex"
    } else {
        "compressed sound of another kind"
    };
    Err(SoundFault::Format(words.into()))
}

fn refused(fault: &Error) -> SoundFault {
    match fault {
        Error::Unsupported(what) => SoundFault::Format(format!("compressed sound ({what})")),
        other => SoundFault::NotSound(other.to_string()),
    }
}

/// What an edit list keeps of a track: from where, in the track's own time, and how long, in the film's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Edit {
    start: u64,
    media_scale: u64,
    length: u64,
    movie_scale: u64,
}

/// Boxes of an ISO file: name and content, one after the other.
fn boxes(bytes: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    let mut rest = bytes;
    std::iter::from_fn(move || {
        let (size, name) = (number(rest.get(..4)?), rest.get(4..8)?);
        let (head, size) = match size {
            0 => (8, rest.len() as u64),
            1 => (16, number(rest.get(8..16)?)),
            size => (8, size),
        };
        let end = usize::try_from(size).ok().filter(|end| (head..=rest.len()).contains(end))?;
        let content = &rest[head..end];
        rest = &rest[end..];
        Some((name, content))
    })
}

/// Big end first, up to eight bytes.
fn number(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0, |sum, &byte| (sum << 8) | u64::from(byte))
}

fn inside<'a>(bytes: &'a [u8], wanted: &[u8]) -> Option<&'a [u8]> {
    boxes(bytes).find(|(name, _)| *name == wanted).map(|(_, content)| content)
}

/// The ticks a second of a header, which stand behind two times of four or eight bytes.
fn scale(header: &[u8]) -> Option<u64> {
    let at = if *header.first()? == 0 { 12 } else { 20 };
    Some(number(header.get(at..at + 4)?))
}

/// The one edit of the first track of sound, if it has one that begins within the sound.
fn edit(bytes: &[u8]) -> Option<Edit> {
    let movie = inside(bytes, b"moov")?;
    let movie_scale = scale(inside(movie, b"mvhd")?)?;
    let tracks = boxes(movie).filter(|(name, _)| *name == b"trak").map(|(_, content)| content);
    for track in tracks {
        let Some(media) = inside(track, b"mdia") else { continue };
        if inside(media, b"hdlr").and_then(|handler| handler.get(8..12)) != Some(b"soun") {
            continue;
        }
        let media_scale = scale(inside(media, b"mdhd")?)?;
        let list = inside(inside(track, b"edts")?, b"elst")?;
        let (entry, wide) = (list.get(8..)?, *list.first()? == 1);
        let size = if wide { 8 } else { 4 };
        let start = number(entry.get(size..2 * size)?);
        // All ones: an empty edit, a pause before the sound; it is heard from its beginning.
        let empty = start == if wide { u64::MAX } else { u64::from(u32::MAX) };
        let length = number(entry.get(..size)?);
        let one = number(list.get(4..8)?) == 1;
        return (one && !empty).then_some(Edit { start, media_scale, length, movie_scale });
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boxed(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
        [&(content.len() as u32 + 8).to_be_bytes()[..], name, content].concat()
    }

    #[test]
    fn an_edit_list_says_what_belongs_to_the_recording() {
        let header = |scale: u32| [&[0; 12][..], &scale.to_be_bytes(), &[0; 8]].concat();
        let entry = [1u32, 5_000, 1_024, 0x1_0000].map(u32::to_be_bytes).concat();
        let list = boxed(b"elst", &[&[0; 4][..], &entry].concat());
        let handler = boxed(b"hdlr", b"\0\0\0\0\0\0\0\0soun");
        let media = [boxed(b"mdhd", &header(48_000)), handler].concat();
        let track = [boxed(b"mdia", &media), boxed(b"edts", &list)].concat();
        let movie = [boxed(b"mvhd", &header(1_000)), boxed(b"trak", &track)].concat();
        let file = [boxed(b"ftyp", b"M4A "), boxed(b"moov", &movie)].concat();
        let wanted = Edit { start: 1_024, media_scale: 48_000, length: 5_000, movie_scale: 1_000 };
        assert_eq!(edit(&file), Some(wanted));
        for end in 0..file.len() {
            edit(&file[..end]);
        }
    }
}
