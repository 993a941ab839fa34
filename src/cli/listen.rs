//! The verb `listen`: recordings in, findings out, a table for people or a line of JSON a file.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};
use rayon::prelude::*;

use super::described::line;
use super::features::{self, Kept};
use super::output::{fault, say, sentence};
use super::place::Outputs;
use super::progress::{Progress, detail};
use super::{listen_live, live_plan};
use crate::audio::sound::{SoundFile, looks_like_sound};
use crate::live::recording::{self, HeardRecording, Unheard};

#[derive(clap::Args)]
#[command(
    after_help = "Read are WAV (also RF64, BW64, A-law, float), FLAC, Ogg Vorbis, MP3, and M4A as telephones make it, 4 to \
384 kHz; what a file is, its first bytes say. Times are seconds from the start of the recording. Where no return was \
heard, it says so and the exit status is 0."
)]
pub(super) struct Words {
    /// Recordings; `-` for standard input; with --recursive folders too
    #[arg(required_unless_present = "live", value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Every recording in the folders that are named, and in those within them
    #[arg(long, conflicts_with = "live")]
    recursive: bool,
    /// One JSON object a line: a file each, in the order given, or with --live an event each
    #[arg(long)]
    json: bool,
    /// Several times as fast and less often right: chains of beats, not networks, name pulses, cue and return
    #[arg(long, conflicts_with = "live")]
    quick: bool,
    #[command(flatten)]
    features: features::Words,
    #[command(flatten)]
    live: live_plan::Words,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.live.live {
        return listen_live::run(&words.live, &words.files, words.json);
    }
    let files = files(&words)?;
    let mut outputs = Outputs::beside(&files);
    let wanted = words.features.plan(&mut outputs, files.len())?;
    let silent = wanted.streams();
    let results: Vec<_> = files
        .par_iter()
        .map(|path| hear(path, (words.live.channel(), words.quick), wanted.keeps_columns()))
        .collect();
    let mut failed = false;
    let mut all = Vec::new();
    for result in results {
        match result {
            Ok((heard, columns)) => {
                if !silent {
                    say(&if words.json { line(&heard)? } else { in_words(&heard) })?;
                }
                failed |= heard.cut.is_some();
                if let Some(cut) = &heard.cut {
                    fault(&cut.to_string());
                }
                all.push(Kept { heard, columns });
            }
            Err(why) => {
                failed = true;
                fault(&sentence(&why.into()));
            }
        }
    }
    wanted.write(&all)?;
    Ok(if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

/// Listens to one file with a bar. The columns of its sonogram are kept where they are wanted.
fn hear(
    path: &Path,
    (channel, quick): (Option<usize>, bool),
    keep: bool,
) -> Result<(HeardRecording, Vec<u8>), Unheard> {
    let file = if is_stream(path) { "standard input".into() } else { path.display().to_string() };
    let unheard = |fault| Unheard { file: file.clone(), fault };
    let sound = match is_stream(path) {
        true => SoundFile::read(Box::new(std::io::stdin())),
        false => SoundFile::open(path),
    };
    let mut sound = sound.map_err(unheard)?;
    if let Some(channel) = channel {
        sound = sound.only(channel).map_err(unheard)?;
    }
    detail(|| {
        let (rate, channels) = (sound.rate().hz(), sound.channels());
        format!("{file}: {}, {rate} Hz, {channels} channel(s)", sound.words())
    });
    let bar = Progress::of_file(path);
    let mut columns = Vec::new();
    let heard = recording::hear(
        Path::new(&file),
        sound,
        quick,
        |read, promised| bar.at(read, promised),
        |column| {
            if keep {
                columns.extend_from_slice(column);
            }
        },
    )?;
    detail(|| format!("{file}: heard"));
    Ok((heard, columns))
}

fn is_stream(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// The files that are meant, folders opened where that is wanted.
fn files(words: &Words) -> anyhow::Result<Vec<PathBuf>> {
    let streams = words.files.iter().filter(|path| is_stream(path)).count();
    ensure!(streams <= 1, "standard input holds one recording");
    let mut found = Vec::new();
    for path in &words.files {
        if !path.is_dir() {
            found.push(path.clone());
            continue;
        }
        let name = path.display();
        ensure!(
            words.recursive,
            "{name}: is a folder: add --recursive to hear the recordings in it"
        );
        let before = found.len();
        within(path, &mut found)?;
        if found.len() == before {
            bail!("{name}: there is no recording in it (.wav, .flac, .ogg, .mp3, .m4a, .aac)");
        }
    }
    Ok(found)
}

/// The recordings of a folder and those within it, by name. Links are not followed: they may lead in a circle.
fn within(folder: &Path, found: &mut Vec<PathBuf>) -> anyhow::Result<()> {
    let name = || folder.display().to_string();
    let mut inside = Vec::new();
    for entry in std::fs::read_dir(folder).with_context(name)? {
        inside.push(entry.with_context(name)?);
    }
    inside.sort_by_key(std::fs::DirEntry::file_name);
    for entry in inside {
        let (kind, path) = (entry.file_type().with_context(name)?, entry.path());
        if kind.is_dir() {
            within(&path, found)?;
        } else if kind.is_file() && looks_like_sound(&path) {
            found.push(path);
        }
    }
    Ok(())
}

fn in_words(heard: &HeardRecording) -> String {
    use std::fmt::Write as _;
    let mut text = format!("{}\n", heard.file);
    let at = |s: Option<f64>| s.map_or("not heard".to_owned(), |s| format!("{s:.2} s"));
    let _ = writeln!(text, "  pulse lost      {}", at(heard.lost_s));
    let _ = writeln!(text, "  pulse returned  {}", at(heard.return_s));
    let _ = writeln!(text, "  cue             {}", at(heard.cue_s));
    if let Some(confidence) = heard.confidence {
        // Never a whole hundred: nobody is as sure as that.
        let _ = writeln!(text, "  confidence      {:.0} %", (confidence * 100.0).floor());
    }
    if let (Some(bpm), Some(rhythm)) = (heard.heart_rate_bpm, heard.rhythm) {
        let _ = writeln!(text, "  pulse           {bpm:.0} a minute, {rhythm}");
    }
    if !heard.quality.is_empty() {
        let _ = writeln!(text, "  hard to hear    {}", heard.quality.join(", "));
    }
    text
}
