//! Sound files written byte by byte: what programs leave behind that no program makes on purpose.

use super::odd_sounds::{Gives, base};

use Gives::{Part, Refused, Whole};

/// A chunk with its pad byte.
fn chunk(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let mut bytes = sized(name, content.len() as u32, content);
    bytes.resize(bytes.len() + content.len() % 2, 0);
    bytes
}

/// A chunk that says it is this long.
fn sized(name: &[u8; 4], length: u32, content: &[u8]) -> Vec<u8> {
    [&name[..], &length.to_le_bytes(), content].concat()
}

/// The words of a format: tag, channels, bytes a frame, bits.
fn format(tag: u16, channels: u16, frame: u16, bits: u16) -> Vec<u8> {
    format_at(44_100, (tag, channels, frame, bits))
}

fn format_at(rate: u32, (tag, channels, frame, bits): (u16, u16, u16, u16)) -> Vec<u8> {
    let second = rate.wrapping_mul(u32::from(frame));
    [
        &tag.to_le_bytes()[..],
        &channels.to_le_bytes(),
        &rate.to_le_bytes(),
        &second.to_le_bytes(),
        &frame.to_le_bytes(),
        &bits.to_le_bytes(),
    ]
    .concat()
}

/// The long form: how many bits count, which places the channels have, and the tag's own number.
fn extensible(tag: u16, (frame, bits, valid): (u16, u16, u16)) -> Vec<u8> {
    let guid = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
    [
        &format(0xFFFE, 2, frame, bits)[..],
        &22u16.to_le_bytes(),
        &valid.to_le_bytes(),
        &3u32.to_le_bytes(),
        &tag.to_le_bytes(),
        &guid,
    ]
    .concat()
}

fn riff(chunks: &[Vec<u8>]) -> Vec<u8> {
    let inside = chunks.concat();
    sized(b"RIFF", inside.len() as u32 + 4, &[b"WAVE", &inside[..]].concat())
}

fn plain() -> Vec<u8> {
    chunk(b"fmt ", &format(1, 2, 4, 16))
}

fn sound() -> Vec<u8> {
    base().iter().flat_map(|sample| sample.to_le_bytes()).collect()
}

/// The samples in 32 bits, the 16 that count at the upper end.
fn wide() -> Vec<u8> {
    base().iter().flat_map(|sample| (i32::from(*sample) << 16).to_le_bytes()).collect()
}

fn data() -> Vec<u8> {
    chunk(b"data", &sound())
}

/// The 64-bit sizes of RF64 and BW64.
fn big(name: &[u8; 4], of_data: u64) -> Vec<u8> {
    let sizes = [&0u64.to_le_bytes()[..], &of_data.to_le_bytes(), &[0; 12]].concat();
    let inside = [chunk(b"ds64", &sizes), plain(), sized(b"data", u32::MAX, &sound())].concat();
    sized(name, u32::MAX, &[b"WAVE", &inside[..]].concat())
}

fn with_data(length: u32, content: &[u8]) -> Vec<u8> {
    riff(&[plain(), sized(b"data", length, content)])
}

type File = (&'static str, &'static str, Vec<u8>, Gives);

pub(super) fn files() -> Vec<File> {
    let sound = sound();
    let text = || chunk(b"LIST", b"INFOISFT\x03\0\0\0me\0");
    let float = |value: f64| value.to_le_bytes();
    let doubles: Vec<u8> = base().iter().flat_map(|s| float(f64::from(*s) / 32_768.0)).collect();
    let behind = [data(), text()].concat();
    let mut unpadded = sized(b"odd ", 3, b"abc");
    unpadded.extend(data());
    vec![
        (
            "odd-padded.wav",
            "an odd chunk with its pad byte before the sound",
            riff(&[plain(), chunk(b"odd ", b"abc"), data()]),
            Whole,
        ),
        ("odd-unpadded.wav", "the same without its pad byte", riff(&[plain(), unpadded]), Whole),
        ("list-first.wav", "a list before the format", riff(&[text(), plain(), data()]), Whole),
        ("list-behind.wav", "a list behind the sound", riff(&[plain(), behind]), Whole),
        (
            "junk.wav",
            "64 KiB of filling before the sound",
            riff(&[chunk(b"JUNK", &[0; 1 << 16]), plain(), data()]),
            Whole,
        ),
        (
            "fmt-18.wav",
            "a format of 18 bytes",
            riff(&[chunk(b"fmt ", &[format(1, 2, 4, 16), vec![0, 0]].concat()), data()]),
            Whole,
        ),
        (
            "extensible.wav",
            "the long form of the format",
            riff(&[chunk(b"fmt ", &extensible(1, (4, 16, 16))), data()]),
            Whole,
        ),
        (
            "24-in-32.wav",
            "the long form, 24 bits that count in 32",
            riff(&[chunk(b"fmt ", &extensible(1, (8, 32, 24))), chunk(b"data", &wide())]),
            Whole,
        ),
        (
            "24-in-4.wav",
            "24 bits in frames of 8 bytes",
            riff(&[chunk(b"fmt ", &format(1, 2, 8, 24)), chunk(b"data", &wide())]),
            Whole,
        ),
        (
            "float64.wav",
            "64-bit float",
            riff(&[chunk(b"fmt ", &format(3, 2, 16, 64)), chunk(b"data", &doubles)]),
            Whole,
        ),
        ("bw64.wav", "BW64 with its sizes", big(b"BW64", sound.len() as u64), Whole),
        ("rf64-unknown.wav", "RF64 that knows no size", big(b"RF64", u64::MAX), Whole),
        (
            "size-0.wav",
            "a recorder stopped hard: the sound's size is 0",
            with_data(0, &sound),
            Whole,
        ),
        (
            "size-ffffffff.wav",
            "streamed: the sound's size is 0xFFFFFFFF",
            with_data(u32::MAX, &sound),
            Whole,
        ),
        (
            "riff-size-0.wav",
            "the file's size is 0",
            [&b"RIFF\0\0\0\0WAVE"[..], &plain(), &data()].concat(),
            Whole,
        ),
        (
            "cut.wav",
            "cut in its middle",
            with_data(sound.len() as u32, &sound[..sound.len() / 2]),
            Part,
        ),
        (
            "cut-in-a-sample.wav",
            "cut within a sample",
            with_data(sound.len() as u32, &sound[..1001]),
            Part,
        ),
        (
            "no-sound.wav",
            "a format and nothing else",
            riff(&[plain(), sized(b"data", 0, b"")]),
            Refused("holds no sound at all"),
        ),
        (
            "list-for-sound.wav",
            "no sound, and a list behind it",
            riff(&[plain(), sized(b"data", 0, b""), text()]),
            Refused("holds no sound at all"),
        ),
        (
            "no-data.wav",
            "no chunk of sound",
            riff(&[plain(), text()]),
            Refused("ends within its header"),
        ),
        (
            "data-first.wav",
            "the sound before its format",
            riff(&[data(), plain()]),
            Refused("no format stands before"),
        ),
        (
            "half.wav",
            "half a header",
            riff(&[plain()])[..20].to_vec(),
            Refused("ends within its header"),
        ),
        (
            "0-channels.wav",
            "no channel",
            riff(&[chunk(b"fmt ", &format(1, 0, 4, 16)), data()]),
            Refused("no channel"),
        ),
        (
            "300-channels.wav",
            "300 channels",
            riff(&[chunk(b"fmt ", &format(1, 300, 600, 16)), data()]),
            Refused("has 300 channels"),
        ),
        (
            "0-hertz.wav",
            "no sample a second",
            riff(&[chunk(b"fmt ", &format_at(0, (1, 2, 4, 16))), data()]),
            Refused("0 samples a second"),
        ),
        (
            "frame-of-5.wav",
            "a frame of 5 bytes for 2 channels",
            riff(&[chunk(b"fmt ", &format(1, 2, 5, 16)), data()]),
            Refused("16 bits in 2 bytes"),
        ),
        (
            "own-form.wav",
            "a form that has no public number",
            riff(&[chunk(b"fmt ", &[&extensible(1, (4, 16, 16))[..39], &[9]].concat()), data()]),
            Refused("no public number"),
        ),
        (
            "rifx.wav",
            "big end first",
            [&b"RIFX\0\0\0\0WAVE"[..], &plain(), &data()].concat(),
            Refused("RIFX"),
        ),
        (
            "letter.wav",
            "a letter",
            b"Dear colleague, here is the recording.".to_vec(),
            Refused("no sound that is known"),
        ),
        ("empty.wav", "nothing", Vec::new(), Refused("it is empty")),
        (
            "picture.mp3",
            "a picture (PNG)",
            b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec(),
            Refused("no sound that is known"),
        ),
    ]
}
