//! No verb at all: the bedside window, on a device, on a simulated patient, or on recordings.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::{Context, bail, ensure};

use super::devices::remembered;
use crate::live::{Bench, FilesBench, Pace, SimBench};
use crate::settings::{book_folder, default_path};
use crate::sim::scenario;
use crate::window::model::Start;
use crate::window::{self, Drive, SoundSource, outside};
use crate::words::{Words as Language, id, say};

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// Open the window on a simulated patient (`sim:NAME` or `sim:NAME#SEED`), or on recordings, one for each site
    #[arg(long, value_name = "SOURCE", num_args = 1..)]
    source: Vec<String>,
    /// The record book that the window writes to [default: the platform's data folder]
    #[arg(id = "window_book", long = "book", value_name = "DIR")]
    book: Option<PathBuf>,
}

impl Words {
    /// A word of the window's that was given.
    pub(super) fn given(&self) -> Option<&'static str> {
        let source = (!self.source.is_empty()).then_some("--source");
        source.or(self.book.is_some().then_some("--book"))
    }
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let source = source(&words.source)?;
    let settings = remembered()?;
    let book = words.book.or_else(|| book_folder(&settings));
    let book = book.context("this system has no place for data: name a folder with --book")?;
    let settings_path = default_path();
    window::run(Start {
        settings,
        settings_path,
        book,
        source,
        drive: Drive::Thread,
        ask: outside::system,
    })?;
    Ok(ExitCode::SUCCESS)
}

/// The words of `--source` become a source of sound.
fn source(words: &[String]) -> anyhow::Result<SoundSource> {
    let bench = Arc::new(Bench::default());
    let Some(first) = words.first() else { return Ok(SoundSource::Device) };
    if let Some(name) = first.strip_prefix("sim:") {
        ensure!(words.len() == 1, "one simulated patient at a time");
        return simulated(name, bench);
    }
    let files: Vec<PathBuf> = words.iter().map(PathBuf::from).collect();
    if let Some(missing) = files.iter().find(|file| !file.is_file()) {
        bail!("{} is no file; a simulated patient is named `sim:NAME`", missing.display());
    }
    let shared = bench.clone();
    let make = Box::new(move || {
        Box::new(FilesBench::new(files.clone(), shared.clone())) as Box<dyn crate::live::Supply>
    });
    let words = Language::english().plain(id!("sound-recordings")).into();
    Ok(SoundSource::Bench { words, bench, make })
}

fn simulated(name: &str, bench: Arc<Bench>) -> anyhow::Result<SoundSource> {
    let (name, seed) = name.split_once('#').unwrap_or((name, "1"));
    let seed: u64 = seed.parse().with_context(|| format!("`{seed}` is no seed: a whole number"))?;
    let scenario = scenario::load(name)?;
    let words = say!(Language::english(), "sound-simulated", name = name);
    let shared = bench.clone();
    let make = Box::new(move || {
        let supply = SimBench::new(scenario.clone(), seed, Pace::RealTime, shared.clone());
        Box::new(supply) as Box<dyn crate::live::Supply>
    });
    Ok(SoundSource::Bench { words, bench, make })
}
