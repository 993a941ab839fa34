//! The verb `rehear`: a recording heard again: slower at the same pitch, and as one mean beat.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use indicatif::ProgressBar;
use serde::Serialize;

use super::listen;
use crate::audio::wav::{self, Wav};
use crate::files;
use crate::report::picture;
use crate::signal::{MeanBeat, mean_beat, stretched};
use crate::units::SampleRate;

/// A beat this much weaker than the strongest was not free, decibels (own choice).
const WEAK_DB: f64 = 6.0;

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
    let (heard, cut) = listen::listen_to(&words.file, &ProgressBar::hidden())?;
    if let Some(cut) = cut {
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
    let found = mean_beat(&samples, (rate, channels), &free(&heard));
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
    super::say(&text)?;
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

/// The beats of the free artery: before the signal went, and nearly as strong as the strongest of those.
fn free(heard: &listen::Heard) -> Vec<f64> {
    let before: Vec<_> =
        heard.pulses.iter().filter(|p| heard.lost_s.is_none_or(|lost| p.onset_s < lost)).collect();
    let strongest = before.iter().map(|p| p.strength_db).fold(f64::MIN, f64::max);
    let strong = before.into_iter().filter(|p| p.strength_db > strongest - WEAK_DB);
    strong.map(|p| p.onset_s).collect()
}

fn in_words(said: &Said) -> String {
    let Some(mean) = &said.mean_beat else {
        let why = said.why_not.as_deref().unwrap_or("not known");
        return format!("{}: no mean beat: {why}.\n", said.file);
    };
    let phases = match mean.phases {
        Some(count) => format!("{count} phase(s) seen, forward flow in the first channel"),
        None => "unsigned: one channel cannot tell forward from reverse flow".into(),
    };
    let number =
        |v: Option<f64>, unit: &str| v.map_or("not known".into(), |v| format!("{v:.2}{unit}"));
    format!(
        "{}: mean of {} beats; {phases}; upstroke (10 to 90 %) {}; pulsatility {}{}.\nBeside the clinician's own word, never instead of it.\n",
        said.file,
        mean.beats,
        number(mean.upstroke_s, " s"),
        number(mean.pulsatility, ""),
        if mean.signed { "" } else { " (unsigned)" }
    )
}
