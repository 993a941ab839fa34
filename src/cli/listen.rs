//! The verb `listen`: recordings in, findings out, a table for people or a line of JSON a file.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use indicatif::{MultiProgress, ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::output::sentence;
use super::{listen_live, live_plan};
use crate::audio::wav::Wav;
use crate::live::recording::{self, HeardRecording, Unheard};

#[derive(clap::Args)]
pub(super) struct Words {
    /// WAV files, 8 to 192 kHz
    #[arg(required_unless_present = "live")]
    files: Vec<PathBuf>,
    /// One JSON object a line: a file each, in the order given, or with --live an event each
    #[arg(long)]
    json: bool,
    /// Several times as fast: the chain of beats names the return, not the network that sees the whole
    #[arg(long, conflicts_with = "live")]
    quick: bool,
    #[command(flatten)]
    live: live_plan::Words,
}

/// Listens to one file with a bar.
fn hear(path: &Path, quick: bool, bar: &ProgressBar) -> Result<HeardRecording, Unheard> {
    let file = path.display().to_string();
    let wav = Wav::open(path).map_err(|fault| Unheard { file, fault })?;
    recording::hear(path, wav, quick, |read, promised| follow(bar, read, promised), |_| {})
}

/// Moves the bar to the frames read so far.
pub(super) fn follow(bar: &ProgressBar, read: u64, promised: u64) {
    bar.set_length(promised);
    bar.set_position(read);
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.live.live {
        return listen_live::run(&words.live, &words.files, words.json);
    }
    let bars = MultiProgress::new();
    let results: Vec<_> = words
        .files
        .par_iter()
        .map(|path| {
            let bar = match std::io::stderr().is_terminal() {
                true => bars.add(bar(path)),
                false => ProgressBar::hidden(),
            };
            let result = hear(path, words.quick, &bar);
            bar.finish_and_clear();
            result
        })
        .collect();
    let mut failed = false;
    for result in results {
        match result {
            Ok(heard) => {
                if words.json {
                    println!("{}", serde_json::to_string(&heard)?);
                } else {
                    print!("{}", in_words(&heard));
                }
                if let Some(cut) = &heard.cut {
                    failed = true;
                    eprintln!("cuffnote: {cut}");
                }
            }
            Err(fault) => {
                failed = true;
                eprintln!("cuffnote: {}", sentence(&fault.into()));
            }
        }
    }
    Ok(if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

pub(super) fn bar(path: &Path) -> ProgressBar {
    let style = ProgressStyle::with_template("{prefix:30!} {bar:30} {percent:>3} %");
    let bar = ProgressBar::new(1).with_prefix(path.display().to_string());
    style.map_or(bar.clone(), |style| bar.with_style(style))
}

fn in_words(heard: &HeardRecording) -> String {
    use std::fmt::Write as _;
    let mut text = format!("{}\n", heard.file);
    let at = |s: Option<f64>| s.map_or("not heard".to_owned(), |s| format!("{s:.2} s"));
    let _ = writeln!(text, "  pulse lost      {}", at(heard.lost_s));
    let _ = writeln!(text, "  pulse returned  {}", at(heard.return_s));
    let _ = writeln!(text, "  cue             {}", at(heard.cue_s));
    if let Some(confidence) = heard.confidence {
        let _ = writeln!(text, "  confidence      {:.0} %", confidence * 100.0);
    }
    if let (Some(bpm), Some(rhythm)) = (heard.heart_rate_bpm, heard.rhythm) {
        let _ = writeln!(text, "  pulse           {bpm:.0} a minute, {rhythm}");
    }
    if !heard.quality.is_empty() {
        let _ = writeln!(text, "  hard to hear    {}", heard.quality.join(", "));
    }
    text
}
