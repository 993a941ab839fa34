//! Out of the book: the report of a visit, many visits in any form, a bundle to a server, the audit.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, bail};

use super::place::Place;
use super::show::Wanted;
use crate::cli::output::{many, say, sentence};
use crate::cli::progress::Progress;
use crate::cli::report::Worked;
use crate::cli::{audit, push, report};
use crate::clinical::event::Event;
use crate::clinical::guidance::Set;
use crate::files;
use crate::logbook::{Book, Head, SoundState, VisitId};
use crate::report::json;
use crate::report::table::{self, Origin};

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
    let kept = kept(&book.head()?, visit);
    let sounds = sounds(book, visit, with)?;
    if report::ending(&form.out).is_some_and(report::holds_many) {
        return table(book, &[visit], report::ending(&form.out).unwrap_or_default(), form);
    }
    report::write(vec![events(book, visit)?], form, (Some(&kept), &sounds))
}

/// Where a visit is kept, for its report and its file.
fn kept(head: &Head, visit: VisitId) -> report::Kept {
    let book = json::Kept {
        visit: visit.to_string(),
        chain: head.chain.clone(),
        entries: head.entries,
        head: head.hash.clone(),
    };
    report::Kept { words: head.of_visit(visit), book }
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
    let ids = book.ids(&words.wanted.search()?)?;
    let named = report::ending(&words.form.out);
    let ending = match words.format.as_deref() {
        Some("fhir") => Some("fhir.json"),
        other => other,
    };
    match (ending, ids.as_slice()) {
        (_, []) => bail!("there is no visit to write"),
        (Some(ending), _) if report::holds_many(ending) => table(&book, &ids, ending, &words.form),
        (Some(ending), _) if named != Some(ending) => each(&book, &ids, ending, words),
        (_, [id]) => one(&book, *id, words.sounds, &words.form),
        _ => match named.filter(|ending| report::holds_many(ending)) {
            Some(ending) => table(&book, &ids, ending, &words.form),
            // Says which endings hold several visits.
            None => report::write(vec![(Vec::new(), String::new()); 2], &words.form, (None, &[])),
        },
    }
}

/// Gives every visit, worked out, to `take`, one after the other. What cannot be worked out is named, and skipped.
fn through(
    book: &Book,
    ids: &[VisitId],
    sets: &[Set],
    mut take: impl FnMut(VisitId, &Worked) -> anyhow::Result<()>,
) -> anyhow::Result<Skipped> {
    let mut progress = Progress::new(ids.len() as u64)?;
    let mut skipped = Skipped(0);
    for id in ids {
        progress.step()?;
        let worked = events(book, *id).and_then(|(events, from)| report::work(events, &from, sets));
        match worked {
            Ok(worked) => take(*id, &worked)?,
            Err(fault) => {
                skipped.0 += 1;
                progress.say(&format!("cuffnote: skipped: {}", sentence(&fault)));
            }
        }
    }
    progress.end();
    Ok(skipped)
}

/// How many visits could not be worked out.
struct Skipped(u64);

impl Skipped {
    fn told(&self) -> ExitCode {
        if self.0 == 0 {
            return ExitCode::SUCCESS;
        }
        eprintln!("cuffnote: {} skipped, all others written", many(self.0, "visit"));
        ExitCode::FAILURE
    }
}

/// Writes many visits to one file, row by row.
fn table(
    book: &Book,
    ids: &[VisitId],
    ending: &str,
    form: &report::Form,
) -> anyhow::Result<ExitCode> {
    let look = &form.look;
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    let chain = book.head()?.chain;
    let name = || format!("{}", form.out.display());
    let skipped = files::stream_atomic(&form.out, |out| -> Result<Skipped, Failed> {
        if ending != "csv" {
            return Ok(rows(book, ids, &sets, (out, &look.service, &chain))?);
        }
        let dialect = report::dialect(look.semicolon);
        out.write_all(&table::header(dialect))?;
        Ok(through(book, ids, &sets, |id, worked| {
            let id = id.to_string();
            let from = Origin { visit: &id, service: &look.service, book: &chain };
            let row = (&worked.visit, &worked.result, from);
            Ok(out.write_all(&table::row(&row, dialect))?)
        })?)
    });
    Ok(skipped.map_err(|failed| failed.0).with_context(name)?.told())
}

/// Any fault of a table that is being written.
struct Failed(anyhow::Error);

impl<E: Into<anyhow::Error>> std::convert::From<E> for Failed {
    fn from(fault: E) -> Self {
        Self(fault.into())
    }
}

/// Visits in one group of rows.
#[cfg(feature = "parquet")]
const GROUP: usize = 1_000;

/// Writes rows of attempts, some visits at a time.
#[cfg(feature = "parquet")]
fn rows(
    book: &Book,
    ids: &[VisitId],
    sets: &[Set],
    (out, service, chain): (&mut (impl Write + Send), &str, &str),
) -> anyhow::Result<Skipped> {
    let mut rows = table::Rows::new(out)?;
    let mut skipped = Skipped(0);
    for ids in ids.chunks(GROUP) {
        let mut group = Vec::new();
        for id in ids {
            match events(book, *id).and_then(|(e, from)| report::work(e, &from, sets)) {
                Ok(worked) => group.push((id.to_string(), worked)),
                Err(fault) => {
                    skipped.0 += 1;
                    eprintln!("cuffnote: skipped: {}", sentence(&fault));
                }
            }
        }
        let group: Vec<table::Row<'_>> = group
            .iter()
            .map(|(id, one)| (&one.visit, &one.result, Origin { visit: id, service, book: chain }))
            .collect();
        rows.add(&group)?;
    }
    rows.end()?;
    Ok(skipped)
}

#[cfg(not(feature = "parquet"))]
fn rows(
    _: &Book,
    _: &[VisitId],
    _: &[Set],
    _: (&mut impl Write, &str, &str),
) -> anyhow::Result<Skipped> {
    bail!(report::NO_PARQUET)
}

/// Writes a form that holds one visit: a file a visit.
fn each(book: &Book, ids: &[VisitId], ending: &str, words: &Export) -> anyhow::Result<ExitCode> {
    let (out, look) = (&words.form.out, &words.form.look);
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    files::private_folder(out).with_context(|| format!("{}", out.display()))?;
    let head = book.head()?;
    let mut progress = Progress::new(ids.len() as u64)?;
    let (mut written, mut skipped) = (0, Skipped(0));
    for id in ids {
        progress.step()?;
        let (kept, sounds) = (kept(&head, *id), sounds(book, *id, words.sounds)?);
        let bytes = events(book, *id).and_then(|visit| {
            report::bytes(vec![visit], look, ending, (&sets, Some(&kept), &sounds))
        });
        match bytes {
            Ok(bytes) => {
                report::put(&out.join(format!("{id}.{ending}")), &bytes)?;
                written += 1;
            }
            Err(fault) => {
                skipped.0 += 1;
                progress.say(&format!("cuffnote: skipped: {}", sentence(&fault)));
            }
        }
    }
    progress.end();
    say(&format!("{}: {} written, a file each\n", out.display(), many(written, "visit")))?;
    Ok(skipped.told())
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
        (kept(&book.head()?, words.visit), sounds(&book, words.visit, words.sounds)?);
    let given = (sets.as_slice(), Some(&kept), sounds.as_slice());
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
    let ids = book.ids(&words.wanted.search()?)?;
    audit::write(&words.form, |count| {
        let skipped = through(&book, &ids, &[], |_, worked| {
            count(worked);
            Ok(())
        })?;
        Ok(skipped.told())
    })
}
