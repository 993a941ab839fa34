//! Odd sound files, made by `sox`, by `ffmpeg` and by hand: what each gives, and that its samples are those which the
//! other two programs decode. The table stands in docs/files.md, and the test holds it against what really happens.

use std::path::{Path, PathBuf};
use std::process::Command;

use cuffnote::audio::sound::{SoundFile, all_samples};

use super::odd_by_hand;

/// What a file gives.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Gives {
    /// The very samples that ffmpeg decodes.
    Same,
    /// Those, but for this much of full scale: the form is lossy, or the program rounds otherwise.
    Near(f32),
    /// The same, but for the end: ffmpeg leaves an encoder's filling there, less than a packet, which the edit list cuts off.
    Begins(f32),
    /// The samples of the sound that was put in.
    Whole,
    /// A part of them: the file ends early.
    Part,
    /// A sentence with these words.
    Refused(&'static str),
}

use Gives::{Begins, Near, Refused, Same};

/// Name and ending, the words for the program, what it gives.
type Made = (&'static str, &'static str, Gives);

/// `sox base.wav WORDS FILE`; a name with `pipe` is written to a pipe.
const SOX: &[Made] = &[
    ("sox-16.wav", "", Same),
    ("sox-8.wav", "-b 8", Same),
    ("sox-24.wav", "-b 24", Same),
    ("sox-32.wav", "-b 32", Same),
    ("sox-float.wav", "-e float -b 32", Same),
    ("sox-float-64.wav", "-e float -b 64", Same),
    ("sox-a-law.wav", "-e a-law", Same),
    ("sox-mu-law.wav", "-e mu-law", Same),
    ("sox-mono.wav", "-c 1", Same),
    ("sox-6-channels.wav", "-c 6", Same),
    ("sox-32-channels.wav", "-c 32", Same),
    ("sox-4000.wav", "-r 4000", Same),
    ("sox-11025-8.wav", "-r 11025 -b 8", Same),
    ("sox-384000.wav", "-r 384000", Same),
    ("sox-pipe-16.wav", "-t wav", Same),
    ("sox-pipe-24.wav", "-t wav -b 24", Same),
    ("sox-pipe-float.wav", "-t wav -e float", Same),
    ("sox.flac", "-C 8", Same),
    ("sox-24.flac", "-b 24", Same),
    ("sox.ogg", "-C 6", Near(1e-4)),
    ("sox.mp3", "-C 128", Near(1e-4)),
    ("sox-3000.wav", "-r 3000", Refused("3000 samples a second")),
    ("sox-ms-adpcm.wav", "-e ms-adpcm", Refused("ADPCM")),
    ("sox-ima-adpcm.wav", "-e ima-adpcm", Refused("ADPCM")),
    ("sox-gsm.wav", "-r 8000 -c 1 -e gsm-full-rate", Refused("form number 49")),
    ("sox.aiff", "", Refused("AIFF")),
    ("sox.au", "", Refused("AU")),
    ("sox.w64", "", Refused("Wave64")),
    ("sox.amr", "-r 8000 -c 1 -t amr-nb", Refused("AMR")),
    ("sox.raw", "", Refused("no sound that is known")),
];

/// `ffmpeg -i base.wav WORDS FILE`; a name with `pipe` is written to a pipe.
const FFMPEG: &[Made] = &[
    ("ffmpeg-rf64.wav", "-rf64 always", Same),
    ("ffmpeg-pipe.wav", "-f wav", Same),
    ("ffmpeg-pipe-24.wav", "-c:a pcm_s24le -f wav", Same),
    ("ffmpeg-f64.wav", "-c:a pcm_f64le", Same),
    ("ffmpeg-s32.wav", "-c:a pcm_s32le", Same),
    ("ffmpeg-bext.wav", "-write_bext 1 -metadata description=odd", Same),
    ("ffmpeg-5-1.wav", "-ac 6", Same),
    ("ffmpeg.flac", "-compression_level 12", Same),
    ("ffmpeg-24.flac", "-sample_fmt s32", Same),
    ("ffmpeg-flac.ogg", "-c:a flac", Same),
    ("ffmpeg.ogg", "-c:a libvorbis -q:a 4", Near(1e-4)),
    ("ffmpeg-8000.ogg", "-c:a libvorbis -ar 8000 -ac 1", Near(1e-4)),
    ("ffmpeg.mp3", "-b:a 128k", Near(1e-4)),
    ("ffmpeg-vbr.mp3", "-q:a 5 -metadata title=leg", Near(1e-4)),
    ("ffmpeg-64-mono.mp3", "-b:a 64k -ac 1 -ar 22050", Near(1e-4)),
    ("ffmpeg-no-head.mp3", "-b:a 128k -write_xing 0 -id3v2_version 0", Near(1e-4)),
    ("ffmpeg.m4a", "-c:a aac -b:a 96k", Begins(1e-3)),
    ("ffmpeg-faststart.m4a", "-c:a aac -b:a 64k -ac 1 -movflags +faststart", Begins(1e-3)),
    ("ffmpeg-8000.m4a", "-c:a aac -b:a 24k -ac 1 -ar 8000", Begins(1e-3)),
    (
        "ffmpeg-parts.m4a",
        "-c:a aac -movflags +frag_keyframe+empty_moov+default_base_moof",
        Near(1e-3),
    ),
    ("ffmpeg-alac.m4a", "-c:a alac", Same),
    ("ffmpeg.aac", "-c:a aac -b:a 96k", Near(1e-3)),
    ("ffmpeg.opus", "-c:a libopus", Refused("Opus")),
    ("ffmpeg-opus.webm", "-c:a libopus", Refused("WebM")),
    ("ffmpeg.caf", "-c:a pcm_s16le", Refused("CAF")),
    ("ffmpeg.wma", "-c:a wmav2", Refused("WMA")),
    ("ffmpeg-mp3.wav", "-c:a libmp3lame", Refused("MP3 sound in a WAV")),
    ("ffmpeg.ac3", "-c:a ac3 -ar 48000", Refused("no sound that is known")),
    ("ffmpeg-mp2.mp2", "-c:a mp2", Refused("not read here")),
];

/// Two channels of tones and noise at 44.1 kHz, 16 bits: nothing in it is silent or clipped.
pub(super) fn base() -> Vec<i16> {
    let mut noise = 1u32;
    let mut next = move || {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(noise >> 8) / f64::from(1 << 24) - 0.5
    };
    let tone = |n: usize, hz: f64| (n as f64 * hz * std::f64::consts::TAU / 44_100.0).sin();
    (0..66_151)
        .flat_map(|n| [tone(n, 440.0), tone(n, 1_234.5)])
        .map(|x| ((0.5 * x + 0.1 * next()) * 32_000.0) as i16)
        .collect()
}

fn write_base(folder: &Path) -> PathBuf {
    let path = folder.join("base.wav");
    let spec = hound::WavSpec {
        channels: 2,
        sample_rate: 44_100,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut file = hound::WavWriter::create(&path, spec).unwrap();
    base().into_iter().for_each(|sample| file.write_sample(sample).unwrap());
    file.finalize().unwrap();
    path
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace()
}

fn done(command: &mut Command) -> Vec<u8> {
    let output = command.output().expect("sox and ffmpeg are installed by tests/run");
    assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// What ffmpeg decodes, as numbers.
fn by_ffmpeg(path: &Path) -> Vec<f32> {
    let mut command = Command::new("ffmpeg");
    command.args(["-v", "error", "-i"]).arg(path);
    floats(&done(command.args(["-map", "0:a:0", "-f", "f32le", "-c:a", "pcm_f32le", "-"])))
}

/// What sox decodes; it reads no M4A and no RF64.
fn by_sox(path: &Path) -> Option<Vec<f32>> {
    let mut command = Command::new("sox");
    let output = command.arg("-D").arg(path).args(["-t", "f32", "-"]).output().unwrap();
    output.status.success().then(|| floats(&output.stdout))
}

fn floats(bytes: &[u8]) -> Vec<f32> {
    bytes.chunks_exact(4).map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]])).collect()
}

/// The largest difference; a length that differs is as wrong as can be.
fn furthest(ours: &[f32], theirs: &[f32]) -> f32 {
    if ours.len() != theirs.len() {
        return f32::INFINITY;
    }
    ours.iter().zip(theirs).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max)
}

/// In words, as the table has it.
pub(super) fn said(gives: Gives) -> String {
    match gives {
        Same => "the very samples that ffmpeg decodes".into(),
        Near(within) => format!("ffmpeg's samples within {within:e}"),
        Begins(within) => {
            format!("ffmpeg's samples within {within:e}, without its filling at the end")
        }
        Gives::Whole => "the very samples that were put in".into(),
        Gives::Part => "what is there, and that it ends early".into(),
        Refused(words) => format!("refused: … {words} …"),
    }
}

/// Holds one file against what it should give; a sentence where it does not.
fn held(path: &Path, gives: Gives) -> Result<(), String> {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let read = SoundFile::open(path).and_then(|sound| {
        let promised = sound.promised_frames();
        all_samples(sound).map(|(samples, _, channels)| (samples, channels, promised))
    });
    let (samples, channels, promised) = match (read, gives) {
        (Err(fault), Refused(words)) if fault.to_string().contains(words) => return Ok(()),
        (Err(fault), _) => return Err(format!("{name}: {fault}")),
        (Ok((samples, ..)), Refused(_)) => {
            return Err(format!("{name}: {} samples", samples.len()));
        }
        (Ok(read), _) => read,
    };
    let put_in: Vec<f32> = base().iter().map(|sample| f32::from(*sample) / 32_768.0).collect();
    let frames = (samples.len() / channels) as u64;
    let within = match gives {
        Same => 0.0,
        Near(within) | Begins(within) => within,
        Gives::Whole => return (samples == put_in).then_some(()).ok_or(format!("{name}: others")),
        Gives::Part => {
            let part = put_in.starts_with(&samples) && promised.is_some_and(|p| p > frames);
            return part.then_some(()).ok_or(format!("{name}: {promised:?}, {frames}"));
        }
        Refused(_) => unreachable!("done above"),
    };
    let mut theirs = by_ffmpeg(path);
    if matches!(gives, Begins(_)) && theirs.len() >= samples.len() {
        let filling = theirs.len() - samples.len();
        if filling >= 1024 * channels {
            return Err(format!("{name}: {filling} samples less than ffmpeg"));
        }
        theirs.truncate(samples.len());
    }
    let off = furthest(&samples, &theirs);
    if off > within {
        return Err(format!("{name}: {off} off ffmpeg ({} and {})", samples.len(), theirs.len()));
    }
    // sox holds samples as 32-bit integers: the rounding of floats is its own, and of lossy forms the decoder's.
    let lossless = within == 0.0;
    if let Some(theirs) = by_sox(path).filter(|_| lossless) {
        let off = furthest(&samples, &theirs);
        if off > 1.0 / f32::from(i16::MAX) / 65_536.0 {
            return Err(format!("{name}: {off} off sox"));
        }
    }
    Ok(())
}

#[test]
fn every_odd_sound_gives_what_the_table_says() {
    let folder = tempfile::tempdir().unwrap();
    let base = write_base(folder.path());
    let (mut faults, mut table) = (Vec::new(), Vec::new());
    for (program, made) in [("sox", SOX), ("ffmpeg", FFMPEG)] {
        for &(name, with, gives) in made {
            let path = folder.path().join(name);
            let mut command = Command::new(program);
            match program {
                "sox" => command.args(["-D", "-V1"]).arg(&base),
                _ => command.args(["-v", "error", "-y", "-i"]).arg(&base),
            };
            command.args(words(with));
            if name.contains("pipe") {
                std::fs::write(&path, done(command.arg("-"))).unwrap();
            } else {
                done(command.arg(&path));
            }
            faults.extend(held(&path, gives).err());
            table.push((name, format!("{program} {with}").trim().to_owned(), gives));
        }
    }
    for (name, about, bytes, gives) in odd_by_hand::files() {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        faults.extend(held(&path, gives).err());
        table.push((name, about.to_owned(), gives));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(table.len() >= 60, "{} files", table.len());
    let page = include_str!("../../docs/files.md");
    let row = |(name, about, gives): &(&str, String, Gives)| {
        format!("| {name} | {about} | {} |", said(*gives))
    };
    let rows = table.iter().map(row);
    let missing: Vec<String> = rows.filter(|row| !page.contains(row.as_str())).collect();
    assert!(missing.is_empty(), "docs/files.md lacks:\n{}", missing.join("\n"));
}

/// Lossy sound says so in its findings, and one channel of many is heard alone.
#[test]
fn a_telephones_sound_is_heard_and_marked_as_lossy() {
    let folder = tempfile::tempdir().unwrap();
    let fixture = Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures/visit-right-pt.wav");
    let heard = |path: &Path, more: &[&str]| -> serde_json::Value {
        let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
        let output = command.arg("listen").arg(path).arg("--json").args(more).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let own = heard(&fixture, &[]);
    assert_eq!((own["lossy"].as_bool(), own["channels"].as_u64()), (Some(false), Some(1)));
    let return_s = own["return_s"].as_f64().unwrap();
    for (name, with) in [
        ("phone.m4a", "-c:a aac -b:a 96k -ar 48000"),
        ("phone.mp3", "-b:a 96k -ar 44100"),
        ("phone.ogg", "-c:a libvorbis -q:a 4"),
        ("phone.flac", "-ar 48000"),
    ] {
        let path = folder.path().join(name);
        done(
            Command::new("ffmpeg")
                .args(["-v", "error", "-i"])
                .arg(&fixture)
                .args(words(with))
                .arg(&path),
        );
        let found = heard(&path, &[]);
        let lossy = !name.ends_with("flac");
        assert_eq!(found["lossy"].as_bool(), Some(lossy), "{name}");
        let marked =
            found["quality"].as_array().unwrap().iter().any(|q| q == "compressed with loss");
        assert_eq!(marked, lossy, "{name}");
        let off = (found["return_s"].as_f64().unwrap() - return_s).abs();
        assert!(off < 0.05, "{name}: {off} s off");
    }
    let path = folder.path().join("three.wav");
    let mix = "[0:a]pan=3c|c0=0.0*c0|c1=c0|c2=0.0*c0";
    done(
        Command::new("ffmpeg")
            .args(["-v", "error", "-i"])
            .arg(&fixture)
            .args(["-filter_complex", mix])
            .arg(&path),
    );
    let one = heard(&path, &["--channel", "2"]);
    assert_eq!(one["return_s"], own["return_s"]);
    assert!(heard(&path, &["--channel", "1"])["return_s"].is_null());
}

/// What the program says of sound that comes through a pipe, in pieces of so many bytes.
fn piped(bytes: &[u8], piece: usize) -> serde_json::Value {
    use std::io::Write;
    use std::process::Stdio;
    let mut child = Command::new(env!("CARGO_BIN_EXE_cuffnote"))
        .args(["listen", "-", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut to = child.stdin.take().unwrap();
    let bytes = bytes.to_owned();
    let writer = std::thread::spawn(move || {
        bytes.chunks(piece).all(|piece| to.write_all(piece).is_ok());
    });
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Sound from standard input is heard as from a file: also where the writer could not know how long it becomes, and
/// wrote 0 or 0xFFFFFFFF for it, as sox and ffmpeg do into a pipe.
#[test]
fn sound_through_a_pipe_is_heard_as_from_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let fixture = Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures/visit-left-pt.wav");
    let whole = std::fs::read(&fixture).unwrap();
    let data = whole.windows(4).position(|four| four == b"data").unwrap();
    let with_sizes = |size: u32| {
        let mut bytes = whole.clone();
        bytes[4..8].copy_from_slice(&size.to_le_bytes());
        bytes[data + 4..data + 8].copy_from_slice(&size.to_le_bytes());
        bytes
    };
    let converted = |program: &str, before: &str, after: &str| {
        let mut command = Command::new(program);
        done(command.args(words(before)).arg(&fixture).args(words(after)))
    };
    let filed = |name: &str, with: &str| {
        let path = folder.path().join(name);
        let mut command = Command::new("ffmpeg");
        done(command.args(words("-v error -i")).arg(&fixture).args(words(with)).arg(&path));
        std::fs::read(path).unwrap()
    };
    let as_file = |bytes: &[u8]| {
        let path = folder.path().join("sound");
        std::fs::write(&path, bytes).unwrap();
        let output = done(
            Command::new(env!("CARGO_BIN_EXE_cuffnote")).arg("listen").arg(&path).arg("--json"),
        );
        serde_json::from_slice::<serde_json::Value>(&output).unwrap()
    };
    let own = as_file(&whole);
    assert!(own["return_s"].is_f64());
    for (name, bytes, lossless) in [
        ("WAV", whole.clone(), true),
        ("WAV, sizes 0", with_sizes(0), true),
        ("WAV, sizes 0xFFFFFFFF", with_sizes(u32::MAX), true),
        ("sox into a pipe", converted("sox", "", "-t wav -"), true),
        ("ffmpeg into a pipe", converted("ffmpeg", "-v error -i", "-f wav -"), true),
        ("FLAC of sox", converted("sox", "", "-t flac -"), true),
        ("FLAC of ffmpeg", converted("ffmpeg", "-v error -i", "-f flac -"), true),
        // Into a pipe ffmpeg cannot write what it put before the first sample, so this one comes from a file.
        ("MP3", filed("sound.mp3", "-b:a 96k"), false),
        ("Ogg Vorbis", converted("ffmpeg", "-v error -i", "-f ogg -c:a libvorbis -q:a 4 -"), false),
        ("M4A", filed("sound.m4a", "-c:a aac -b:a 96k"), false),
    ] {
        let mut heard = piped(&bytes, 1 << 16);
        assert_eq!(heard["file"], "standard input", "{name}");
        // Nothing hangs on how much comes at once.
        assert_eq!(heard, piped(&bytes, 997), "{name}");
        let mut filed = as_file(&bytes);
        for value in [&mut heard, &mut filed] {
            value["file"] = "".into();
        }
        assert_eq!(heard, filed, "{name}: as from a file");
        assert_eq!(heard["lossy"], !lossless, "{name}");
        if lossless {
            assert_eq!(heard["return_s"], own["return_s"], "{name}");
            assert_eq!(heard["duration_s"], own["duration_s"], "{name}");
        } else {
            let off =
                (heard["return_s"].as_f64().unwrap() - own["return_s"].as_f64().unwrap()).abs();
            assert!(off < 0.05, "{name}: {off} s off");
        }
    }
}
