//! Out of the book: the report of a visit, many visits in any form, a the audit.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::ensure;

use super::place::Place;
use super::show::Wanted;
use crate::cli::output::{fault, many, say, sentence};
use crate::cli::place::Outputs;
use crate::cli::progress::Progress;
use crate::cli::report::Worked;
use crate::cli::{audit, report};
use crate::clinical::event::Event;
use crate::clinical::guidance::GuidanceSet;
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
    let kept = kept(&book.head()?, visit);
    let sounds = sounds(book, visit, with)?;
    if form.ending().is_some_and(report::holds_many) {
        return table(book, &[visit], form);
    }
    report::write(vec![events(book, visit)?], form, (Some(&kept), &sounds), Outputs::new())
}

/// Where a visit is kept, for its report and its file.
fn kept(head: &Head, visit: VisitId) -> report::Kept {
    let book = json::Kept {
        visit: visit.to_string(),
        chain: head.chain.clone(),
        entries: head.entries,
        head: head.hash.clone(),
    };
    report::Kept { head: head.clone(), visit, book }
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
    let ids = book.ids(&words.wanted.search()?)?;
    let form = &words.form;
    ensure!(!ids.is_empty(), "there is no visit to write");
    // Where the name does not end as the form does, and the form holds one visit a file, it is a folder's.
    let named = report::ending(&form.out) == form.ending() || form.out.as_os_str() == "-";
    match (form.ending(), ids.as_slice()) {
        (Some(ending), ids) if report::holds_many(ending) => table(&book, ids, form),
        (Some(ending), ids) if !named => each(&book, ids, ending, words),
        (_, [id]) => one(&book, *id, words.sounds, form),
        // Says which endings hold several visits.
        _ => report::write(vec![(Vec::new(), String::new()); 2], form, (None, &[]), Outputs::new()),
    }
}

/// Gives every visit, worked out, to `take`, one after the other. What cannot be worked out is named, and skipped.
fn through(
    book: &Book,
    ids: &[VisitId],
    sets: &[GuidanceSet],
    mut take: impl FnMut(VisitId, &Worked) -> anyhow::Result<()>,
) -> anyhow::Result<Skipped> {
    let progress = Progress::stoppable("visits", ids.len() as u64)?;
    let mut skipped = Skipped(0);
    for id in ids {
        progress.step()?;
        let worked = events(book, *id).and_then(|(events, from)| report::work(events, &from, sets));
        match worked {
            Ok(worked) => take(*id, &worked)?,
            Err(fault) => {
                skipped.0 += 1;
                progress.say(&format!("skipped: {}", sentence(&fault)));
            }
        }
    }
    Ok(skipped)
}

/// How many visits could not be worked out.
struct Skipped(u64);

impl Skipped {
    fn told(&self) -> ExitCode {
        if self.0 == 0 {
            return ExitCode::SUCCESS;
        }
        fault(&format!("{} skipped, all others written", many(self.0, "visit")));
        ExitCode::FAILURE
    }
}

/// Writes many visits to one file, row by row.
fn table(book: &Book, ids: &[VisitId], form: &report::Form) -> anyhow::Result<ExitCode> {
    let look = &form.look;
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    let (chain, service) = (book.head()?.chain, look.service()?);
    let place = Outputs::new().stream(&form.out)?;
    let skipped = place.pieces(|out| {
        let dialect = report::dialect(form.semicolon);
        out.write_all(&table::header(dialect))?;
        through(book, ids, &sets, |id, worked| {
            let id = id.to_string();
            let from = Origin { visit: &id, service: &service, book: &chain };
            let row = (&worked.visit, &worked.result, from);
            Ok(out.write_all(&table::row(&row, dialect))?)
        })
    });
    Ok(skipped?.told())
}

/// Writes a form that holds one visit: a file a visit.
fn each(book: &Book, ids: &[VisitId], ending: &str, words: &Export) -> anyhow::Result<ExitCode> {
    let (out, look) = (&words.form.out, &words.form.look);
    ensure!(
        ids.len() == 1 || !look.is_of_one_visit(),
        "--encounter and --order belong to one visit: name it with cuffnote report"
    );
    let Some(sets) = report::sets(look)? else { return Ok(ExitCode::from(2)) };
    let mut outputs = Outputs::new();
    outputs.folder(out)?;
    let places = ids.iter().map(|id| outputs.file(&out.join(format!("{id}.{ending}"))));
    let places = places.collect::<anyhow::Result<Vec<_>>>()?;
    let head = book.head()?;
    let progress = Progress::stoppable("visits", ids.len() as u64)?;
    let (mut written, mut skipped) = (0, Skipped(0));
    for (id, place) in ids.iter().zip(places) {
        progress.step()?;
        let (kept, sounds) = (kept(&head, *id), sounds(book, *id, words.sounds)?);
        let bytes = events(book, *id).and_then(|visit| {
            let as_file = (ending, report::dialect(words.form.semicolon));
            report::bytes(vec![visit], look, as_file, (&sets, Some(&kept), &sounds))
        });
        match bytes {
            Ok(bytes) => {
                place.write(&bytes)?;
                written += 1;
            }
            Err(fault) => {
                skipped.0 += 1;
                progress.say(&format!("skipped: {}", sentence(&fault)));
            }
        }
    }
    drop(progress);
    say(&format!("{}: {} written, a file each\n", out.display(), many(written, "visit")))?;
    Ok(skipped.told())
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
    let ids = book.ids(&wanted.search()?)?;
    audit::write(form, Outputs::new(), |count| {
        let skipped = through(&book, &ids, &[], |_, worked| {
            count(worked);
            Ok(())
        })?;
        Ok(skipped.told())
    })
}
