//! The verbs `report`, `import`, `audit`, `recheck`, and where `push` went: each deed once, on visits of the record book or on files of visits.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{bail, ensure};
use clap_complete::engine::ArgValueCompleter;

use super::book::place::{Place, id};
use super::book::{change, out, show};
use super::output::misuse;
use super::place::Outputs;
use super::{audit, complete, import, recheck, report};
use crate::logbook::VisitId;

#[derive(clap::Args)]
#[command(after_help = report::ABOUT_FORMS)]
pub(super) struct Report {
    /// A visit's id in the record book, or its visit.json (`-` for standard input); several for tables
    #[arg(required = true, value_name = "VISIT", add = ArgValueCompleter::new(complete::visits))]
    visits: Vec<String>,
    /// A sound (.wav) that travels in the .fhir.json of a visit.json; may be given several times
    #[arg(long, value_name = "FILE")]
    sound: Vec<PathBuf>,
    /// The recordings that the record book has of the visit travel in the .fhir.json
    #[arg(long)]
    sounds: bool,
    #[command(flatten)]
    book: Book,
    #[command(flatten)]
    form: report::Form,
}

/// Which record book is meant.
#[derive(clap::Args)]
struct Book {
    /// The book's folder [default: CUFFNOTE_BOOK, else the settings' book.folder, else the platform's data folder]
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
}

impl Book {
    fn place(self) -> Place {
        Place(self.book)
    }
}

pub(super) fn report(mut words: Report) -> anyhow::Result<ExitCode> {
    if let Some(ids) = ids(&words.visits)? {
        ensure!(
            words.sound.is_empty(),
            "--sound is for a visit.json: a visit of the record book takes its own along with --sounds"
        );
        return out::report_of(&words.book.place(), &ids, words.sounds, &words.form);
    }
    ensure!(
        !words.sounds,
        "--sounds is for visits of the record book: name the files with --sound"
    );
    let outputs = Outputs::beside(
        words.visits.iter().map(Path::new).chain(words.sound.iter().map(PathBuf::as_path)),
    );
    let (mut visits, mut services) = (Vec::new(), BTreeSet::new());
    for path in &words.visits {
        let (events, service) = report::events(Path::new(path))?;
        services.insert(service);
        visits.push((events, path.clone()));
    }
    if let (1, Some(service)) = (services.len(), services.first()) {
        words.form.look.take_service(service);
    }
    report::write(visits, &words.form, (None, &words.sound), outputs)
}

/// The ids, where all of the words are some; none where all are files.
fn ids(words: &[String]) -> anyhow::Result<Option<Vec<VisitId>>> {
    let ids: Vec<VisitId> = words.iter().filter_map(|word| id(word).ok()).collect();
    match ids.len() {
        0 => Ok(None),
        n if n == words.len() => Ok(Some(ids)),
        _ => bail!("visits of the record book and files of visits are not mixed: name one kind"),
    }
}

#[derive(clap::Args)]
pub(super) struct Import {
    #[command(flatten)]
    words: import::Words,
    /// A file a visit in this folder, instead of the record book
    #[arg(long, value_name = "DIR", conflicts_with = "book")]
    out: Option<PathBuf>,
    #[command(flatten)]
    book: Book,
}

pub(super) fn import(words: Import) -> anyhow::Result<ExitCode> {
    match &words.out {
        Some(folder) => import::to_files(&words.words, folder),
        None => change::import_into(&words.book.place(), &words.words),
    }
}

#[derive(clap::Args)]
pub(super) struct Recheck {
    #[command(flatten)]
    words: recheck::Words,
    #[command(flatten)]
    book: Book,
}

pub(super) fn recheck(words: Recheck) -> anyhow::Result<ExitCode> {
    let given = &words.words;
    if given.files.is_empty() {
        return show::recheck_all(&words.book.place(), &given.guidance, given.json);
    }
    recheck::files(given)
}

#[derive(clap::Args)]
pub(super) struct Audit {
    /// Visits as visit.json; without any, those of the record book are counted
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,
    #[command(flatten)]
    wanted: show::Wanted,
    #[command(flatten)]
    book: Book,
    #[command(flatten)]
    form: audit::Form,
}

pub(super) fn audit(words: Audit) -> anyhow::Result<ExitCode> {
    if words.files.is_empty() {
        return out::count_of(&words.book.place(), &words.wanted, &words.form);
    }
    audit::write(&words.form, Outputs::beside(&words.files), |count| {
        for path in &words.files {
            let worked = report::work(report::events(path)?.0, &path.display().to_string(), &[])?;
            count(&worked);
        }
        Ok(ExitCode::SUCCESS)
    })
}

/// A verb that went to another program; the old word is kept for one version.
#[derive(clap::Args)]
pub(super) struct Gone {
    /// Whatever stood behind it
    #[arg(hide = true, trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

/// Says where `push` went: this program talks to no network.
pub(super) fn gone(_: &Gone) -> anyhow::Result<ExitCode> {
    Err(misuse(
        "`push` is now `cuffnote-service send`, a program of its own: this one talks to no network; the old word goes with the next version",
    ))
}
