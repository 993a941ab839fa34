//! The verb `rehear`: a recording heard again: slower at the same pitch, and as one mean beat.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use serde::Serialize;

use super::output::say;
use crate::audio::wav::{self, Wav};
use crate::files;
use crate::live::recording::hear_file;
use crate::report::picture;
use crate::signal::{MeanBeat, free_beats, mean_beat, stretched};
use crate::units::SampleRate;

#[derive(clap::Args)]
pub(super) struct Words {
    /// A recording (WAV)
    file: PathBuf,
    /// Write it slower at the same pitch
    #[arg(long, value_name = "FILE.wav")]
    slow: Option<PathBuf>,
    /// How many times as long, with --slow
    #[arg(long, value_name = "NUMBER", default_value_t = 2.0)]
    times: f64,
    /// Write the mean beat's sonogram
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,
    /// Print as JSON
    #[arg(long)]
    json: bool,
}

/// What is printed.
#[derive(Serialize)]
struct Said {
    file: String,
    return_s: Option<f64>,
    lost_s: Option<f64>,
    mean_beat: Option<MeanBeat>,
    why_not: Option<String>,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    ensure!((0.5..=4.0).contains(&words.times), "--times {}: expected 0.5 to 4", words.times);
    let (samples, rate, channels) = read(&words.file)?;
    let heard = hear_file(&words.file)?;
    if let Some(cut) = &heard.cut {
        eprintln!("cuffnote: {cut}");
    }
    if let Some(out) = &words.slow {
        let mono: Vec<f32> = samples
            .chunks_exact(channels)
            .map(|frame| frame.iter().sum::<f32>() / channels as f32)
            .collect();
        let bytes = wav::encode_16(&stretched(&mono, rate, words.times), rate, 1);
        files::write_atomic(out, &bytes).with_context(|| out.display().to_string())?;
    }
    let beats: Vec<_> = heard.pulses.iter().map(|p| (p.onset_s, p.strength_db)).collect();
    let found = mean_beat(&samples, (rate, channels), &free_beats(&beats, heard.lost_s));
    let (mean_beat, why_not) = match found {
        Ok(mean) => (Some(mean), None),
        Err(why) => (None, Some(why.to_string())),
    };
    if let (Some(out), Some(mean)) = (&words.picture, &mean_beat) {
        let bytes = picture::png(&mean.picture).context("the picture is empty")?;
        files::write_atomic(out, &bytes).with_context(|| out.display().to_string())?;
    }
    let file = words.file.display().to_string();
    let said = Said { file, return_s: heard.return_s, lost_s: heard.lost_s, mean_beat, why_not };
    let text = if words.json { serde_json::to_string(&said)? + "\n" } else { in_words(&said) };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn read(path: &Path) -> anyhow::Result<(Vec<f32>, SampleRate, usize)> {
    let mut wav = Wav::open(path).with_context(|| path.display().to_string())?;
    let (mut samples, mut block) = (Vec::new(), Vec::new());
    loop {
        wav.read_block(&mut block).with_context(|| path.display().to_string())?;
        if block.is_empty() {
            return Ok((samples, wav.rate(), wav.channels().max(1)));
        }
        samples.extend_from_slice(&block);
    }
}

fn in_words(said: &Said) -> String {
    let Some(mean) = &said.mean_beat else {
        let why = said.why_not.as_deref().unwrap_or("not known");
        return format!("{}: no mean beat: {why}.\n", said.file);
    };
    format!(
        "{}: {}\nBeside the clinician's own word, never instead of it.\n",
        said.file,
        mean.words()
    )
}
