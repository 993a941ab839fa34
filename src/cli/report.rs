//! The verb `report`: visits' events to a report, a bundle, or a table. The end of the name says which.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};

use crate::clinical::event::Event;
use crate::clinical::guidance::Set;
use crate::clinical::result::VisitResult;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::files;
use crate::report::content::{Content, Source, Trail};
use crate::report::pdf::Paper;
use crate::report::table::Dialect;
use crate::report::{fhir, html, json, pdf, table};

use super::index;

/// What can be written, by the end of the name.
const ENDINGS: [&str; 6] = ["fhir.json", "json", "html", "pdf", "csv", "parquet"];

#[derive(clap::Args)]
#[command(
    after_help = "The end of FILE says what is written: .html or .pdf (a report), .json (the visit with everything \
in it), .fhir.json (an HL7 FHIR R4 bundle), .csv (a row a visit), .parquet (a row an attempt; only in a \
build with the feature parquet). The last two take several visits. Fields: docs/exchange.md."
)]
pub(super) struct Words {
    /// A visit as visit.json, several for .csv and .parquet; a visit in the record book is reported by `book report`
    #[arg(required = true)]
    visits: Vec<PathBuf>,
    /// A sound (.wav) that travels in the .fhir.json; may be given several times
    #[arg(long, value_name = "FILE")]
    sound: Vec<PathBuf>,
    #[command(flatten)]
    form: Form,
}

/// What is written, and what stands in it.
#[derive(clap::Args)]
pub(super) struct Form {
    /// What to write: .html, .pdf, .json, .fhir.json, .csv or .parquet
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) look: Look,
}

/// What stands in a report, a bundle or a table.
#[derive(clap::Args)]
pub(super) struct Look {
    /// A set of guidance [default: acc-aha-2024]; may be given several times; the limits of the first are drawn
    #[arg(long, value_name = "NAME")]
    guidance: Vec<String>,
    /// The service that measured, as it stands in the head
    #[arg(long, value_name = "NAME", default_value = "")]
    pub(super) service: String,
    /// Every attempt behind the first page, also where all of them count
    #[arg(long)]
    trail: bool,
    /// The paper of a .pdf: a4 or letter
    #[arg(long, value_name = "PAPER", value_parser = paper, default_value = "a4")]
    paper: Paper,
    /// The head of the record's hash chain, to stand in the report
    #[arg(long, value_name = "HASH")]
    chain: Option<String>,
    /// A .csv with semicolons and decimal commas, for spreadsheets that expect them
    #[arg(long)]
    pub(super) semicolon: bool,
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

/// Where a visit of the record book is kept: in words, and as its file says it.
pub(super) struct Kept {
    pub(super) words: String,
    pub(super) book: json::Kept,
}

/// What is said of a visit that comes from a file.
const FROM_FILE: &str = "Made from a file, which anyone can edit: this is no record. The record book can confirm the file (cuffnote book confirm).";

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let mut visits = Vec::new();
    for path in &words.visits {
        visits.push((events(path)?, path.display().to_string()));
    }
    write(visits, &words.form, (None, &words.sound))
}

/// Writes these visits, each with where its events came from. Where it is one visit, `kept` says where it is
/// kept, and `sounds` are its recordings that travel along.
pub(super) fn write(
    visits: Vec<(Vec<Event>, String)>,
    form: &Form,
    (kept, sounds): (Option<&Kept>, &[PathBuf]),
) -> anyhow::Result<ExitCode> {
    ensure!(!visits.is_empty(), "there is no visit to write");
    let ending = ending(&form.out).filter(|ending| holds_many(ending) || visits.len() == 1);
    let Some(ending) = ending else {
        eprintln!(
            "cuffnote: {}: end the name with .html, .pdf, .json or .fhir.json for one visit, .csv or .parquet for one or several",
            form.out.display()
        );
        return Ok(ExitCode::from(2));
    };
    let Some(sets) = sets(&form.look)? else { return Ok(ExitCode::from(2)) };
    put(&form.out, &bytes(visits, &form.look, ending, (&sets, kept, sounds))?)?;
    Ok(ExitCode::SUCCESS)
}

/// The sets of guidance that were asked for; words that name none are told, and end the program as wrong words.
pub(super) fn sets(look: &Look) -> anyhow::Result<Option<Vec<Set>>> {
    let sets = index::sets(&look.guidance)?;
    Ok(sets.inspect_err(|unknown| eprintln!("cuffnote: {unknown}")).ok())
}

/// The form that a file's name ends with, if it is one of ours.
pub(super) fn ending(path: &Path) -> Option<&'static str> {
    let name = path.to_string_lossy().to_lowercase();
    ENDINGS.into_iter().find(|ending| name.ends_with(&format!(".{ending}")))
}

/// True of a form that holds several visits in one file.
pub(super) fn holds_many(ending: &str) -> bool {
    matches!(ending, "csv" | "parquet")
}

pub(super) fn put(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    files::write_atomic(path, bytes).with_context(|| format!("{}", path.display()))
}

/// Works a visit out from its events, which came from `from`.
pub(super) fn work(events: Vec<Event>, from: &str, sets: &[Set]) -> anyhow::Result<Worked> {
    let visit = Visit::read(&events).with_context(|| from.to_owned())?;
    let result = work_out(&visit, sets, Assumed::default());
    Ok(Worked { events, visit, result })
}

/// The bytes of these visits in the form with this ending; `kept` and `sounds` as for [`write`].
pub(super) fn bytes(
    visits: Vec<(Vec<Event>, String)>,
    look: &Look,
    ending: &str,
    (sets, kept, sounds): (&[Set], Option<&Kept>, &[PathBuf]),
) -> anyhow::Result<Vec<u8>> {
    let worked = visits.into_iter().map(|(events, from)| work(events, &from, sets));
    let worked = worked.collect::<anyhow::Result<Vec<_>>>()?;
    let Some(first) = worked.first() else { bail!("there is no visit to write") };
    let content = || {
        let mut content = Content::of(&Source {
            visit: &first.visit,
            result: &first.result,
            sets,
            sounds: &[],
            service: &look.service,
            trail: if look.trail { Trail::Full } else { Trail::Needed },
            chain: look.chain.as_deref(),
        });
        content.kept_in(kept.map_or(FROM_FILE, |kept| &kept.words));
        content
    };
    Ok(match ending {
        "html" => html::page(&content()),
        "pdf" => pdf::document(&content(), look.paper)?,
        "json" => {
            json::visit(&look.service, kept.map(|kept| &kept.book), &first.result, &first.events)?
        }
        "fhir.json" => bundle(look, first, sounds, &pdf::document(&content(), look.paper)?)?,
        "csv" => table::csv(&rows(&worked, &look.service), dialect(look.semicolon)),
        _ => parquet(&rows(&worked, &look.service))?,
    })
}

pub(super) fn dialect(semicolon: bool) -> Dialect {
    if semicolon { Dialect::Semicolon } else { Dialect::Comma }
}

/// The bundle with the report and the sounds that were asked for.
fn bundle(look: &Look, one: &Worked, files: &[PathBuf], report: &[u8]) -> anyhow::Result<Vec<u8>> {
    let mut sounds = Vec::new();
    for path in files {
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
        service: &look.service,
        documents: &documents,
    };
    Ok(fhir::bundle(&parcel)?)
}

/// Rows of visits that come from files.
fn rows<'a>(worked: &'a [Worked], service: &'a str) -> Vec<table::Row<'a>> {
    let from = table::Origin { service, ..table::Origin::default() };
    worked.iter().map(|one| (&one.visit, &one.result, from)).collect()
}

#[cfg(feature = "parquet")]
fn parquet(rows: &[table::Row<'_>]) -> anyhow::Result<Vec<u8>> {
    Ok(table::parquet(rows)?)
}

#[cfg(not(feature = "parquet"))]
fn parquet(_: &[table::Row<'_>]) -> anyhow::Result<Vec<u8>> {
    bail!(NO_PARQUET)
}

/// What is said where a build cannot write Parquet.
#[cfg(not(feature = "parquet"))]
pub(super) const NO_PARQUET: &str = "Parquet is not built into this program: write a .csv, or build with `cargo build --release --features parquet`";

/// The events of a `visit.json`.
pub(super) fn events(path: &Path) -> anyhow::Result<Vec<Event>> {
    let name = || format!("{}", path.display());
    json::events(&std::fs::read(path).with_context(name)?).with_context(name)
}
