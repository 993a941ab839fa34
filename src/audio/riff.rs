//! WAV by the letter: RIFF, RF64 and BW64, their chunks in any order, and every form of plain samples.
//!
//! Written here: the libraries that were looked at refuse RF64, or skip an odd chunk's pad byte (docs/decisions.md).
//! Sources: Multimedia Programming Interface 1.0 (IBM and Microsoft 1991), `fmt ` and chunk padding; Microsoft's
//! WAVEFORMATEXTENSIBLE; EBU Tech 3306 (RF64); ITU-R BS.2088 (BW64); ITU-T G.711 (A-law, µ-law).

use std::io::{self, ErrorKind, Read};

use super::sound_fault::SoundFault;

/// Frames decoded at a time.
pub(super) const BLOCK: usize = 4096;
/// More chunks before the sound than any program writes.
const CHUNKS_MAX: usize = 10_000;
/// Sizes from here on are those of a program that wrote to a pipe and did not know: 0x7FFFF000 and above.
const UNKNOWN_FROM: u64 = 0x7FFF_F000;

/// How a sample lies in its bytes. Bits that do not fill them lie at the upper end, as the standard says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// One byte, 128 is silence.
    Unsigned,
    /// Two to four bytes, little end first.
    Signed(usize),
    Float32,
    Float64,
    ALaw,
    MuLaw,
}

impl Kind {
    /// Bytes of one sample.
    pub(super) const fn bytes(self) -> usize {
        match self {
            Kind::Unsigned | Kind::ALaw | Kind::MuLaw => 1,
            Kind::Signed(bytes) => bytes,
            Kind::Float32 => 4,
            Kind::Float64 => 8,
        }
    }

    fn words(self, bits: u16) -> String {
        match self {
            Kind::Unsigned | Kind::Signed(_) => format!("PCM of {bits} bits"),
            Kind::Float32 => "32-bit float".into(),
            Kind::Float64 => "64-bit float".into(),
            Kind::ALaw => "A-law".into(),
            Kind::MuLaw => "µ-law".into(),
        }
    }
}

/// What the `fmt ` chunk says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Form {
    pub(super) kind: Kind,
    pub(super) channels: usize,
    pub(super) rate_hz: u32,
    /// In words.
    pub(super) words: String,
}

/// The samples of a WAV file, from the first on.
pub(super) struct Riff {
    source: Box<dyn Read + Send>,
    pub(super) form: Form,
    /// Frames that the header promises; none where it does not know.
    pub(super) promised: Option<u64>,
    read: u64,
    bytes: Vec<u8>,
}

/// Bytes that are counted, and may be looked at before they are taken.
struct Chunks {
    source: Box<dyn Read + Send>,
    ahead: Vec<u8>,
}

impl Chunks {
    fn take<const N: usize>(&mut self) -> Result<[u8; N], SoundFault> {
        let mut bytes = [0; N];
        let kept = N.min(self.ahead.len());
        bytes[..kept].copy_from_slice(&self.ahead[..kept]);
        self.ahead.drain(..kept);
        self.source.read_exact(&mut bytes[kept..]).map_err(cut)?;
        Ok(bytes)
    }

    /// Up to `count` of the next bytes, which stay where they are.
    fn peek(&mut self, count: usize) -> Result<&[u8], SoundFault> {
        while self.ahead.len() < count {
            let mut one = [0; 64];
            let missing = (count - self.ahead.len()).min(one.len());
            match self.source.read(&mut one[..missing]) {
                Ok(0) => break,
                Ok(found) => self.ahead.extend_from_slice(&one[..found]),
                Err(fault) if fault.kind() == ErrorKind::Interrupted => {}
                Err(fault) => return Err(SoundFault::File(fault)),
            }
        }
        Ok(&self.ahead[..count.min(self.ahead.len())])
    }

    fn word(&mut self) -> Result<u64, SoundFault> {
        Ok(u64::from(u32::from_le_bytes(self.take()?)))
    }

    fn skip(&mut self, count: u64) -> Result<(), SoundFault> {
        let kept = count.min(self.ahead.len() as u64);
        self.ahead.drain(..kept as usize);
        let mut rest = (&mut self.source).take(count - kept);
        let skipped = io::copy(&mut rest, &mut io::sink()).map_err(SoundFault::File)?;
        if skipped < count - kept { Err(SoundFault::NotSound(CUT.into())) } else { Ok(()) }
    }

    /// Over the pad byte behind an odd chunk. A program that left it out wrote the next chunk's name there,
    /// which begins with a letter; a pad byte is zero.
    fn pad(&mut self, length: u64) -> Result<(), SoundFault> {
        let next = if length % 2 == 1 { self.peek(4)?.to_vec() } else { Vec::new() };
        let unpadded = [&b"data"[..], b"fmt ", b"LIST", b"fact"].contains(&next.as_slice());
        if !next.is_empty() && !unpadded { self.skip(1) } else { Ok(()) }
    }
}

const CUT: &str = "it ends within its header";

fn cut(fault: io::Error) -> SoundFault {
    match fault.kind() {
        ErrorKind::UnexpectedEof => SoundFault::NotSound(CUT.into()),
        _ => SoundFault::File(fault),
    }
}

impl Riff {
    /// Reads the header, as far as the first sample.
    pub(super) fn open(source: Box<dyn Read + Send>) -> Result<Self, SoundFault> {
        let mut chunks = Chunks { source, ahead: Vec::new() };
        let big = matches!(&chunks.take::<4>()?, b"RF64" | b"BW64");
        chunks.take::<4>()?;
        if &chunks.take::<4>()? != b"WAVE" {
            return Err(SoundFault::NotSound("a RIFF file, but none with sound".into()));
        }
        let (mut form, mut long) = (None, None);
        for _ in 0..CHUNKS_MAX {
            let name: [u8; 4] = chunks.take()?;
            let length = chunks.word()?;
            match &name {
                b"ds64" if big => long = Some(sizes(&mut chunks, length)?),
                b"fmt " => form = Some(format(&mut chunks, length)?),
                b"data" => {
                    let Some(form) = form else {
                        return Err(SoundFault::NotSound(
                            "no format stands before its sound".into(),
                        ));
                    };
                    return Self::begin(chunks, form, promise(length, long));
                }
                _ => chunks.skip(length)?,
            }
            chunks.pad(length)?;
        }
        Err(SoundFault::NotSound("no sound stands within its first 10,000 chunks".into()))
    }

    fn begin(mut chunks: Chunks, form: Form, bytes: Option<u64>) -> Result<Self, SoundFault> {
        let bytes = match bytes {
            // A recorder that was stopped hard left 0: what follows is sound, unless it is another chunk.
            Some(0) if chunks.peek(8)?.len() == 8 && !chunk_follows(chunks.peek(8)?) => None,
            known => known,
        };
        let frame = (form.kind.bytes() * form.channels) as u64;
        let promised = bytes.map(|bytes| bytes / frame);
        let nothing = promised == Some(0) || chunks.peek(1)?.is_empty();
        if nothing {
            return Err(SoundFault::Empty);
        }
        let source = Box::new(io::Cursor::new(chunks.ahead).chain(chunks.source));
        Ok(Self { source, form, promised, read: 0, bytes: Vec::new() })
    }

    /// Fills `samples` with the next block of interleaved samples; empty at the end.
    pub(super) fn read_block(&mut self, samples: &mut Vec<f32>) -> Result<(), SoundFault> {
        let frame = self.form.kind.bytes() * self.form.channels;
        let left = self.promised.map_or(u64::MAX, |promised| promised - self.read);
        let wanted = BLOCK.min(usize::try_from(left).unwrap_or(BLOCK));
        self.bytes.resize(wanted * frame, 0);
        let mut filled = 0;
        while filled < self.bytes.len() {
            match self.source.read(&mut self.bytes[filled..]) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(e) if e.kind() == ErrorKind::Interrupted => {}
                Err(e) => return Err(SoundFault::File(e)),
            }
        }
        let whole = filled - filled % frame;
        decode(&self.bytes[..whole], self.form.kind, samples);
        self.read += (whole / frame) as u64;
        Ok(())
    }
}

/// What the chunk `ds64` says of the sound's length in bytes.
fn sizes(chunks: &mut Chunks, length: u64) -> Result<u64, SoundFault> {
    if length < 24 {
        return Err(SoundFault::NotSound("its chunk of sizes is too short".into()));
    }
    chunks.take::<8>()?;
    let data = u64::from_le_bytes(chunks.take()?);
    chunks.skip(length - 16)?;
    Ok(data)
}

/// The sound's bytes; none where whoever wrote the header did not know.
fn promise(length: u64, long: Option<u64>) -> Option<u64> {
    let length = if length == 0xFFFF_FFFF { long.unwrap_or(u64::MAX) } else { length };
    let unknown = if long.is_some() { length == u64::MAX } else { length >= UNKNOWN_FROM };
    Some(length).filter(|_| !unknown)
}

/// Chunks that are known to stand behind a sound.
fn chunk_follows(next: &[u8]) -> bool {
    const KNOWN: [&[u8; 4]; 12] = [
        b"LIST", b"id3 ", b"ID3 ", b"fact", b"bext", b"cue ", b"smpl", b"JUNK", b"PAD ", b"iXML",
        b"afsp", b"axml",
    ];
    KNOWN.iter().any(|name| next.starts_with(*name))
}

/// Reads the chunk `fmt `.
fn format(chunks: &mut Chunks, length: u64) -> Result<Form, SoundFault> {
    if length < 14 {
        return Err(SoundFault::NotSound("its format is too short".into()));
    }
    let mut head = [0; 40];
    let kept = length.min(40) as usize;
    for byte in &mut head[..kept] {
        [*byte] = chunks.take()?;
    }
    chunks.skip(length - kept as u64)?;
    let word = |at: usize| u16::from_le_bytes([head[at], head[at + 1]]);
    let rate_hz = u32::from_le_bytes([head[4], head[5], head[6], head[7]]);
    let (mut tag, channels, block, bits) = (word(0), word(2), word(12), word(14));
    // The first two bytes of the long form's code are the tag; the rest is the same for all of them.
    const REST: [u8; 14] = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
    if tag == 0xFFFE {
        if kept < 40 || head[26..40] != REST {
            return Err(SoundFault::Format("sound in a form that has no public number".into()));
        }
        tag = word(24);
    }
    let kind = kind(tag, channels, block, bits)?;
    let words = format!("WAV, {}", kind.words(bits));
    Ok(Form { kind, channels: usize::from(channels), rate_hz, words })
}

fn kind(tag: u16, channels: u16, block: u16, bits: u16) -> Result<Kind, SoundFault> {
    if channels == 0 {
        return Err(SoundFault::NotSound("it has no channel".into()));
    }
    let bytes = block / channels;
    let fits =
        block.is_multiple_of(channels) && u32::from(bytes) * 8 >= u32::from(bits) && bits > 0;
    let known = match (tag, bytes) {
        (1, 1) => Kind::Unsigned,
        (1, 2..=4) => Kind::Signed(usize::from(bytes)),
        (3, 4) if bits == 32 => Kind::Float32,
        (3, 8) if bits == 64 => Kind::Float64,
        (6, 1) => Kind::ALaw,
        (7, 1) => Kind::MuLaw,
        (1 | 3 | 6 | 7, _) => {
            let words = format!(
                "samples of {bits} bits in blocks of {block} bytes for {channels} channels"
            );
            return Err(SoundFault::Format(words));
        }
        (2 | 0x11, _) => {
            return Err(SoundFault::Format("compressed sound (ADPCM) in a WAV file".into()));
        }
        (0x55, _) => return Err(SoundFault::Format("MP3 sound in a WAV file".into())),
        _ => return Err(SoundFault::Format(format!("sound in WAV's form number {tag}"))),
    };
    if !fits {
        let words = format!("{bits} bits in {bytes} bytes a sample");
        return Err(SoundFault::Format(words));
    }
    Ok(known)
}

/// Appends the samples of these bytes, full scale ±1.
fn decode(bytes: &[u8], kind: Kind, samples: &mut Vec<f32>) {
    match kind {
        Kind::Unsigned => samples.extend(bytes.iter().map(|&b| (f32::from(b) - 128.0) / 128.0)),
        Kind::ALaw => samples.extend(bytes.iter().map(|&b| f32::from(a_law(b)) / 32_768.0)),
        Kind::MuLaw => samples.extend(bytes.iter().map(|&b| f32::from(mu_law(b)) / 32_768.0)),
        Kind::Signed(2) => samples.extend(
            bytes.chunks_exact(2).map(|b| f32::from(i16::from_le_bytes([b[0], b[1]])) / 32_768.0),
        ),
        // The three bytes in the upper part of a word keep the sign.
        Kind::Signed(3) => {
            samples.extend(bytes.chunks_exact(3).map(|b| scaled([0, b[0], b[1], b[2]])))
        }
        Kind::Signed(_) => {
            samples.extend(bytes.chunks_exact(4).map(|b| scaled([b[0], b[1], b[2], b[3]])));
        }
        Kind::Float32 => samples
            .extend(bytes.chunks_exact(4).map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]]))),
        Kind::Float64 => {
            samples.extend(bytes.chunks_exact(8).map(|b| {
                f64::from_le_bytes([b[0], b[1], b[2], b[3], b[4], b[5], b[6], b[7]]) as f32
            }))
        }
    }
}

fn scaled(bytes: [u8; 4]) -> f32 {
    i32::from_le_bytes(bytes) as f32 / 2_147_483_648.0
}

/// ITU-T G.711: even bits inverted, a sign, three bits of segment, four of step.
fn a_law(byte: u8) -> i16 {
    let code = byte ^ 0x55;
    let step = i16::from(code & 0x0F) << 4;
    let level = match (code >> 4) & 7 {
        0 => step + 8,
        segment => (step + 0x108) << (segment - 1),
    };
    if code & 0x80 == 0 { -level } else { level }
}

/// ITU-T G.711: all bits inverted, a sign, three bits of segment, four of step, offset 33.
fn mu_law(byte: u8) -> i16 {
    let code = !byte;
    let level = ((i16::from(code & 0x0F) << 3) + 0x84) << ((code >> 4) & 7);
    if code & 0x80 == 0 { level - 0x84 } else { 0x84 - level }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ends of both laws (ITU-T G.711, tables 1 and 2, scaled to 16 bits).
    #[test]
    fn the_telephone_laws_have_their_published_ends() {
        assert_eq!([a_law(0x2A), a_law(0xAA), a_law(0x55), a_law(0xD5)], [-32_256, 32_256, -8, 8]);
        assert_eq!(
            [mu_law(0x00), mu_law(0x80), mu_law(0x7F), mu_law(0xFF)],
            [-32_124, 32_124, 0, 0]
        );
    }
}
