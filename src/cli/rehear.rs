//! The verb `rehear`: a recording heard again: slower at the same pitch, and as one mean beat.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;
use serde::Serialize;

use super::described::{Described, line};
use super::output::{fault, say};
use super::place::{Out, Outputs};
use crate::audio::sound::{SoundFile, all_samples};
use crate::audio::wav;
use crate::live::recording::hear_file;
use crate::report::picture;
use crate::signal::{MeanBeat, free_beats, mean_beat, stretched};

#[derive(clap::Args)]
pub(super) struct Words {
    /// A recording
    file: PathBuf,
    /// Write it slower at the same pitch (`-` for standard output)
    #[arg(long, value_name = "FILE.wav")]
    slow: Option<PathBuf>,
    /// How many times as long, with --slow
    #[arg(long, value_name = "NUMBER", default_value_t = 2.0, value_parser = times)]
    times: f64,
    /// Write the mean beat's sonogram (`-` for standard output)
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,
    /// Print as JSON
    #[arg(long)]
    json: bool,
}

fn times(text: &str) -> Result<f64, String> {
    let within = |times: &f64| (0.5..=4.0).contains(times);
    text.parse().ok().filter(within).ok_or_else(|| "expected 0.5 to 4".into())
}

/// What is printed.
#[derive(Serialize, schemars::JsonSchema)]
pub(super) struct Said {
    /// The recording.
    file: String,
    /// When the first pulse came back, seconds from its start.
    return_s: Option<f64>,
    /// When the pulse was lost, seconds from its start.
    lost_s: Option<f64>,
    /// The mean of the free beats.
    mean_beat: Option<MeanBeat>,
    /// Why there is no mean beat, where there is none.
    why_not: Option<String>,
}

impl Described for Said {
    const FORMAT: &'static str = "cuffnote-rehear";
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let mut outputs = Outputs::beside([&words.file]);
    let mut planned = |path: &Option<PathBuf>| path.as_ref().map(|p| outputs.stream(p)).transpose();
    let (slow, picture) = (planned(&words.slow)?, planned(&words.picture)?);
    let name = words.file.display().to_string();
    let sound = SoundFile::open(&words.file).with_context(|| name.clone())?;
    let (samples, rate, channels) = all_samples(sound).with_context(|| name.clone())?;
    let heard = hear_file(&words.file)?;
    if let Some(cut) = &heard.cut {
        fault(&cut.to_string());
    }
    if let Some(out) = &slow {
        let mono: Vec<f32> = samples
            .chunks_exact(channels)
            .map(|frame| frame.iter().sum::<f32>() / channels as f32)
            .collect();
        out.write(&wav::encode_16(&stretched(&mono, rate, words.times), rate, 1))?;
    }
    let beats: Vec<_> = heard.pulses.iter().map(|p| (p.onset_s, p.strength_db)).collect();
    let found = mean_beat(&samples, (rate, channels), &free_beats(&beats, heard.lost_s));
    let (mean_beat, why_not) = match found {
        Ok(mean) => (Some(mean), None),
        Err(why) => (None, Some(why.to_string())),
    };
    if let (Some(out), Some(mean)) = (&picture, &mean_beat) {
        out.write(&picture::png(&mean.picture).context("the picture is empty")?)?;
    }
    let (return_s, lost_s) = (heard.return_s, heard.lost_s);
    let said = Said { file: name, return_s, lost_s, mean_beat, why_not };
    // What was found and a sound do not share one stream.
    if ![&slow, &picture].iter().any(|out| out.as_ref().is_some_and(Out::is_stream)) {
        say(&if words.json { line(&said)? } else { in_words(&said) })?;
    }
    Ok(ExitCode::SUCCESS)
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
