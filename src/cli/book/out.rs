//! Out of the book: the report of a visit, many visits in any form, a bundle to a server, the audit.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::place::Place;
use super::show::Wanted;
use crate::cli::output::{many, say};
use crate::cli::{audit, push, report};
use crate::clinical::event::Event;
use crate::files;
use crate::logbook::{Book, SoundState, VisitId, VisitRow};

/// A visit's events, and where they came from.
type Told = (Vec<Event>, String);

fn events(book: &Book, visit: VisitId) -> anyhow::Result<Told> {
    Ok((book.events(visit)?, format!("visit {visit}")))
}

/// The visit's recordings that are there, where they are wanted.
fn sounds(book: &Book, visit: VisitId, wanted: bool) -> anyhow::Result<Vec<PathBuf>> {
    if !wanted {
        return Ok(Vec::new());
    }
    let there = book.recordings(visit)?.into_iter().filter(|r| r.state == SoundState::There);
    Ok(there.map(|recording| recording.file).collect())
}

#[derive(clap::Args)]
pub(super) struct Report {
    /// The visit's id
    #[arg(value_parser = super::place::id)]
    visit: VisitId,
    /// The visit's recordings travel in the .fhir.json
    #[arg(long)]
    sounds: bool,
    #[command(flatten)]
    form: report::Form,
}

pub(super) fn report(place: &Place, words: &Report) -> anyhow::Result<ExitCode> {
    one(&place.open()?, words.visit, words.sounds, &words.form)
}

fn one(book: &Book, visit: VisitId, with: bool, form: &report::Form) -> anyhow::Result<ExitCode> {
    let kept = book.head()?.of_visit(visit);
    let sounds = sounds(book, visit, with)?;
    report::write(vec![events(book, visit)?], form, (Some(&kept), &sounds))
}

#[derive(clap::Args)]
pub(super) struct Export {
    /// fhir, csv, parquet, pdf, html or json; else the end of PATH says it. Where a form holds one visit a
    /// file, PATH is then a folder
    #[arg(long, value_name = "FORMAT", value_parser = ["fhir", "csv", "parquet", "pdf", "html", "json"])]
    format: Option<String>,
    /// The visits' recordings travel in the bundles
    #[arg(long)]
    sounds: bool,
    #[command(flatten)]
    wanted: Wanted,
    #[command(flatten)]
    form: report::Form,
}

/// All visits of the book, or those that are wanted, oldest first.
pub(super) fn export(place: &Place, words: &Export) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let rows = rows(&book, &words.wanted)?;
    let ending = match words.format.as_deref() {
        Some("fhir") => Some("fhir.json"),
        other => other,
    };
    match (ending, rows.as_slice()) {
        (Some(ending), _) if report::ending(&words.form.out) != Some(ending) => {
            each(&book, &rows, ending, words)
        }
        (_, [row]) => one(&book, row.id, words.sounds, &words.form),
        _ => report::write(all(&book, &rows)?, &words.form, (None, &[])),
    }
}

/// Writes a form whose name does not end the path: one file where it holds many visits, else a file a visit.
fn each(book: &Book, rows: &[VisitRow], ending: &str, words: &Export) -> anyhow::Result<ExitCode> {
    let (out, look) = (&words.form.out, &words.form.look);
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    ensure!(!rows.is_empty(), "there is no visit to write");
    if report::holds_many(ending) {
        report::put(out, &report::bytes(all(book, rows)?, look, ending, (&sets, None, &[]))?)?;
        return Ok(ExitCode::SUCCESS);
    }
    files::private_folder(out).with_context(|| format!("{}", out.display()))?;
    let head = book.head()?;
    for row in rows {
        let (kept, sounds) = (head.of_visit(row.id), sounds(book, row.id, words.sounds)?);
        let visit = vec![events(book, row.id)?];
        let bytes = report::bytes(visit, look, ending, (&sets, Some(&kept), &sounds))?;
        report::put(&out.join(format!("{}.{ending}", row.id)), &bytes)?;
    }
    say(&format!("{}: {} written, a file each\n", out.display(), many(rows.len(), "visit")))?;
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Push {
    /// The visit's id
    #[arg(value_parser = super::place::id)]
    visit: VisitId,
    /// The visit's recordings travel along
    #[arg(long)]
    sounds: bool,
    #[command(flatten)]
    look: report::Look,
    #[command(flatten)]
    server: push::Server,
}

/// Sends a visit as a bundle. Nothing is sent that was not asked for by this verb.
pub(super) fn send(place: &Place, words: &Push) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let Some(sets) = report::sets(&words.look)? else { return Ok(ExitCode::from(2)) };
    let visit = events(&book, words.visit)?;
    let name = visit.1.clone();
    let (kept, sounds) =
        (book.head()?.of_visit(words.visit), sounds(&book, words.visit, words.sounds)?);
    let given = (sets.as_slice(), Some(kept.as_str()), sounds.as_slice());
    push::send(&report::bytes(vec![visit], &words.look, "fhir.json", given)?, &name, &words.server)
}

#[derive(clap::Args)]
pub(super) struct Audit {
    #[command(flatten)]
    wanted: Wanted,
    #[command(flatten)]
    form: audit::Form,
}

/// Counts all visits of the book, or those that are wanted.
pub(super) fn count(place: &Place, words: &Audit) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let mut worked = Vec::new();
    for (events, from) in all(&book, &rows(&book, &words.wanted)?)? {
        worked.push(report::work(events, &from, &[])?);
    }
    audit::write(&worked, &words.form)
}

/// The wanted visits, oldest first.
fn rows(book: &Book, wanted: &Wanted) -> anyhow::Result<Vec<VisitRow>> {
    let mut rows = book.visits(&wanted.search()?)?;
    rows.reverse();
    Ok(rows)
}

fn all(book: &Book, rows: &[VisitRow]) -> anyhow::Result<Vec<Told>> {
    rows.iter().map(|row| events(book, row.id)).collect()
}
