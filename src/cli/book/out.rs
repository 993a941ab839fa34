//! Out of the book: the report of a visit, many visits in any form, a bundle to a server, the audit.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::ensure;

use super::place::Place;
use super::show::Wanted;
use crate::cli::output::{many, say};
use crate::cli::place::Outputs;
use crate::cli::progress::Progress;
#[cfg(feature = "push")]
use crate::cli::push;
use crate::cli::{audit, report};
use crate::clinical::event::Event;
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
    report_of(place, &[words.visit], words.sounds, &words.form)
}

/// The report of one visit, or several in one file.
pub(in crate::cli) fn report_of(
    place: &Place,
    visits: &[VisitId],
    with: bool,
    form: &report::Form,
) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    if let [visit] = visits {
        return one(&book, *visit, with, form);
    }
    let all = visits.iter().map(|visit| events(&book, *visit)).collect::<anyhow::Result<_>>()?;
    report::write(all, form, (None, &[]), Outputs::new())
}

fn one(book: &Book, visit: VisitId, with: bool, form: &report::Form) -> anyhow::Result<ExitCode> {
    let kept = book.head()?.of_visit(visit);
    let sounds = sounds(book, visit, with)?;
    report::write(vec![events(book, visit)?], form, (Some(&kept), &sounds), Outputs::new())
}

#[derive(clap::Args)]
pub(super) struct Export {
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
    let form = &words.form;
    // Where the name does not end as the form does, and the form holds one visit a file, it is a folder's.
    let named = report::ending(&form.out) == form.ending() || form.out.as_os_str() == "-";
    match (form.ending().filter(|ending| !named && !report::holds_many(ending)), rows.as_slice()) {
        (Some(ending), _) => each(&book, &rows, ending, words),
        (_, [row]) => one(&book, row.id, words.sounds, form),
        _ => report::write(all(&book, &rows)?, form, (None, &[]), Outputs::new()),
    }
}

/// A file a visit.
fn each(book: &Book, rows: &[VisitRow], ending: &str, words: &Export) -> anyhow::Result<ExitCode> {
    let (out, look) = (&words.form.out, &words.form.look);
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    ensure!(!rows.is_empty(), "there is no visit to write");
    let mut outputs = Outputs::new();
    outputs.folder(out)?;
    let places = rows.iter().map(|row| outputs.file(&out.join(format!("{}.{ending}", row.id))));
    let places = places.collect::<anyhow::Result<Vec<_>>>()?;
    let head = book.head()?;
    let progress = Progress::new("visits", rows.len() as u64);
    for (row, place) in rows.iter().zip(places) {
        let (kept, sounds) = (head.of_visit(row.id), sounds(book, row.id, words.sounds)?);
        let visit = vec![events(book, row.id)?];
        let as_file = (ending, report::dialect(words.form.semicolon));
        place.write(&report::bytes(visit, look, as_file, (&sets, Some(&kept), &sounds))?)?;
        progress.more();
    }
    say(&format!("{}: {} written, a file each\n", out.display(), many(rows.len(), "visit")))?;
    Ok(ExitCode::SUCCESS)
}

#[cfg(feature = "push")]
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

#[cfg(feature = "push")]
pub(super) fn send(place: &Place, words: &Push) -> anyhow::Result<ExitCode> {
    send_one(place, words.visit, words.sounds, (&words.look, &words.server))
}

/// Sends a visit as a bundle. Nothing is sent that was not asked for by this verb.
#[cfg(feature = "push")]
pub(in crate::cli) fn send_one(
    place: &Place,
    visit: VisitId,
    with: bool,
    (look, server): (&report::Look, &push::Server),
) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    let (kept, sounds) = (book.head()?.of_visit(visit), sounds(&book, visit, with)?);
    let (events, name) = events(&book, visit)?;
    let given = (sets.as_slice(), Some(kept.as_str()), sounds.as_slice());
    let as_bundle = ("fhir.json", report::dialect(false));
    let bytes = report::bytes(vec![(events, name.clone())], look, as_bundle, given)?;
    push::send(&bytes, &name, server)
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
    count_of(place, &words.wanted, &words.form)
}

/// Counts the wanted visits of the book.
pub(in crate::cli) fn count_of(
    place: &Place,
    wanted: &Wanted,
    form: &audit::Form,
) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let mut worked = Vec::new();
    for (events, from) in all(&book, &rows(&book, wanted)?)? {
        worked.push(report::work(events, &from, &[])?);
    }
    audit::write(&worked, form, Outputs::new())
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
