//! The verb `report`: a visit's events to a report, as HTML or JSON.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail};

use crate::clinical::event::Event;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::files;
use crate::logbook::journal;
use crate::report::content::{Content, Source};
use crate::report::{html, json};

use super::index;

#[derive(clap::Args)]
pub(super) struct Words {
    /// A visit: visit.events, or visit.json
    file: PathBuf,
    /// What to write; the name's end says as what: .html or .json
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// A set of guidance; may be given several times; the limits of the first are drawn
    #[arg(long, value_name = "NAME")]
    guidance: Vec<String>,
    /// The service that measured, as it stands in the head
    #[arg(long, value_name = "NAME", default_value = "")]
    service: String,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let sets = match index::sets(&words.guidance)? {
        Ok(sets) => sets,
        Err(unknown) => {
            eprintln!("cuffnote: {unknown}");
            return Ok(ExitCode::from(2));
        }
    };
    let events = events(&words.file)?;
    let visit = Visit::from_events(&events).with_context(|| format!("{}", words.file.display()))?;
    let result = work_out(&visit, &sets, Assumed::default());
    let ending = words.out.extension().and_then(|e| e.to_str()).unwrap_or_default();
    let bytes = match ending {
        "html" => html::page(&Content::of(&Source {
            visit: &visit,
            result: &result,
            sets: &sets,
            sounds: &[],
            service: &words.service,
        })),
        "json" => json::visit(&words.service, &result, &events)?,
        _ => {
            eprintln!("cuffnote: {}: end the name with .html or .json", words.out.display());
            return Ok(ExitCode::from(2));
        }
    };
    files::write_atomic(&words.out, &bytes).with_context(|| format!("{}", words.out.display()))?;
    Ok(ExitCode::SUCCESS)
}

fn events(path: &Path) -> anyhow::Result<Vec<Event>> {
    let name = || format!("{}", path.display());
    if path.extension().is_some_and(|e| e == "json") {
        let bytes = std::fs::read(path).with_context(name)?;
        return json::events(&bytes).with_context(name);
    }
    let read = journal::read(path)?;
    if let Some(note) = read.note {
        eprintln!("cuffnote: {note}");
    }
    if read.events.is_empty() {
        bail!("{}: holds no events", path.display());
    }
    Ok(read.events)
}
