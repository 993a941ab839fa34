//! The verb `report`: visits' events to a report, a bundle, or a table. The end of the name says which.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail};

use crate::clinical::event::Event;
use crate::clinical::guidance::Set;
use crate::clinical::result::VisitResult;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::files;
use crate::logbook::journal;
use crate::report::content::{Content, Source, Trail};
use crate::report::pdf::Paper;
use crate::report::table::Dialect;
use crate::report::{fhir, html, json, pdf, table};

use super::index;

#[derive(clap::Args)]
#[command(
    after_help = "The end of FILE says what is written: .html or .pdf (a report), .json (the visit with everything \
in it), .fhir.json (an HL7 FHIR R4 bundle), .csv (a row a visit), .parquet (a row an attempt; only in a \
build with the feature parquet). The last two take several visits. Fields: docs/exchange.md."
)]
pub(super) struct Words {
    /// A visit: visit.events, or visit.json; several for .csv and .parquet
    #[arg(required = true)]
    visits: Vec<PathBuf>,
    /// What to write: .html, .pdf, .json, .fhir.json, .csv or .parquet
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// A set of guidance; may be given several times; the limits of the first are drawn
    #[arg(long, value_name = "NAME")]
    guidance: Vec<String>,
    /// The service that measured, as it stands in the head
    #[arg(long, value_name = "NAME", default_value = "")]
    service: String,
    /// Every attempt behind the first page, also where all of them count
    #[arg(long)]
    trail: bool,
    /// The paper of a .pdf: a4 or letter
    #[arg(long, value_name = "PAPER", value_parser = paper, default_value = "a4")]
    paper: Paper,
    /// The head of the record's hash chain, to stand in the report
    #[arg(long, value_name = "HASH")]
    chain: Option<String>,
    /// A sound (.wav) that travels in the .fhir.json; may be given several times
    #[arg(long, value_name = "FILE")]
    sound: Vec<PathBuf>,
    /// A .csv with semicolons and decimal commas, for spreadsheets that expect them
    #[arg(long)]
    semicolon: bool,
}

fn paper(word: &str) -> Result<Paper, String> {
    match word.to_ascii_lowercase().as_str() {
        "a4" => Ok(Paper::A4),
        "letter" => Ok(Paper::Letter),
        _ => Err("write a4 or letter".into()),
    }
}

/// A visit with what was worked out from it.
pub(super) struct Worked {
    events: Vec<Event>,
    pub(super) visit: Visit,
    pub(super) result: VisitResult,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let sets = match index::sets(&words.guidance)? {
        Ok(sets) => sets,
        Err(unknown) => {
            eprintln!("cuffnote: {unknown}");
            return Ok(ExitCode::from(2));
        }
    };
    let name = words.out.to_string_lossy().to_lowercase();
    let ending = ["fhir.json", "json", "html", "pdf", "csv", "parquet"]
        .into_iter()
        .find(|ending| name.ends_with(&format!(".{ending}")));
    let many = matches!(ending, Some("csv" | "parquet"));
    let Some(ending) = ending.filter(|_| many || words.visits.len() == 1) else {
        eprintln!(
            "cuffnote: {}: end the name with .html, .pdf, .json or .fhir.json for one visit, .csv or .parquet for one or several",
            words.out.display()
        );
        return Ok(ExitCode::from(2));
    };
    let mut worked = Vec::new();
    for path in &words.visits {
        worked.push(work(path, &sets)?);
    }
    let bytes = written(&words, ending, &worked, &sets)?;
    files::write_atomic(&words.out, &bytes).with_context(|| format!("{}", words.out.display()))?;
    Ok(ExitCode::SUCCESS)
}

/// Reads a visit and works it out.
pub(super) fn work(path: &Path, sets: &[Set]) -> anyhow::Result<Worked> {
    let events = events(path)?;
    let visit = Visit::from_events(&events).with_context(|| format!("{}", path.display()))?;
    let result = work_out(&visit, sets, Assumed::default());
    Ok(Worked { events, visit, result })
}

pub(super) fn pairs(worked: &[Worked]) -> Vec<(&Visit, &VisitResult)> {
    worked.iter().map(|one| (&one.visit, &one.result)).collect()
}

fn written(
    words: &Words,
    ending: &str,
    worked: &[Worked],
    sets: &[Set],
) -> anyhow::Result<Vec<u8>> {
    let Some(first) = worked.first() else { bail!("no visit was given") };
    let content = || {
        Content::of(&Source {
            visit: &first.visit,
            result: &first.result,
            sets,
            sounds: &[],
            service: &words.service,
            trail: if words.trail { Trail::Full } else { Trail::Needed },
            chain: words.chain.as_deref(),
        })
    };
    Ok(match ending {
        "html" => html::page(&content()),
        "pdf" => pdf::document(&content(), words.paper)?,
        "json" => json::visit(&words.service, &first.result, &first.events)?,
        "fhir.json" => bundle(words, first, &pdf::document(&content(), words.paper)?)?,
        "csv" => table::csv(&pairs(worked), dialect(words.semicolon)),
        _ => parquet(worked)?,
    })
}

pub(super) fn dialect(semicolon: bool) -> Dialect {
    if semicolon { Dialect::Semicolon } else { Dialect::Comma }
}

/// The bundle with the report and the sounds that were asked for.
fn bundle(words: &Words, one: &Worked, report: &[u8]) -> anyhow::Result<Vec<u8>> {
    let mut sounds = Vec::new();
    for path in &words.sound {
        let title = path.file_name().map_or("sound".into(), |name| name.to_string_lossy());
        let bytes = std::fs::read(path).with_context(|| format!("{}", path.display()))?;
        sounds.push((format!("Doppler sound: {title}"), bytes));
    }
    let title = "Ankle-brachial index: record of a measurement";
    let mut documents =
        vec![fhir::Document { title, content_type: "application/pdf", bytes: report }];
    documents.extend(sounds.iter().map(|(title, bytes)| fhir::Document {
        title,
        content_type: "audio/wav",
        bytes,
    }));
    let parcel = fhir::Parcel {
        visit: &one.visit,
        result: &one.result,
        id: fhir::identity(&one.events)?,
        service: &words.service,
        documents: &documents,
    };
    Ok(fhir::bundle(&parcel)?)
}

#[cfg(feature = "parquet")]
fn parquet(worked: &[Worked]) -> anyhow::Result<Vec<u8>> {
    Ok(table::parquet(&pairs(worked))?)
}

#[cfg(not(feature = "parquet"))]
fn parquet(_: &[Worked]) -> anyhow::Result<Vec<u8>> {
    bail!(
        "Parquet is not built into this program: write a .csv, or build with `cargo build --release --features parquet`"
    )
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
