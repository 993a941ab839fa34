//! The verb `schema`: the JSON Schema (2020-12) of everything that is printed as JSON.

use std::process::ExitCode;

use serde_json::Value;

use super::described::{Described, head, plain, schema as of};
use super::nearest::did_you_mean;
use super::output::{misuse, say};
use super::{book, live_schema, live_words, make, practise, recheck, rehear, table, trial};
use crate::audio::device::Listed;
use crate::live::recording::HeardRecording;
use crate::practice::agreement::Agreement;
use crate::sim::Truth;

#[derive(clap::Args)]
pub(super) struct Words {
    /// The form's name; without one, all names are listed
    name: Option<String>,
}

/// A form: its name here, what it is, and how its schema is made.
type Form = (&'static str, &'static str, fn(&str) -> Value);

const FORMS: &[Form] = &[
    (
        "listen",
        "What was heard in one recording: `listen --json`, a line a recording. Times are seconds from its start.",
        of::<HeardRecording>,
    ),
    (
        "listen-live",
        "One thing that happened on live sound: `listen --live --json`, a line each.",
        live,
    ),
    (
        "index",
        "A visit's readings worked out: `index --json`. Pressures are mmHg, indexes have two decimals.",
        of::<crate::clinical::result::VisitResult>,
    ),
    (
        "index-table",
        "The same for a line of a table: `index --csv FILE --json`, a line a visit.",
        of::<table::Line<'_>>,
    ),
    (
        "visit",
        "A whole visit: `report ID --out FILE.json`; what was worked out, and the events it is.",
        of::<crate::report::json::WholeVisit>,
    ),
    (
        "recheck",
        "A past visit and what this version would show otherwise: `recheck --json`, a line a visit.",
        of::<recheck::Line<'_>>,
    ),
    (
        "book-confirm",
        "Whether a visit file says what the record book says: `book confirm --json`.",
        of::<super::book::confirm::Confirmed>,
    ),
    (
        "book-list",
        "A visit of the record book: `book list --json`, a line a visit, newest first.",
        of::<crate::logbook::VisitRow>,
    ),
    (
        "book-show",
        "One visit of the record book with everything in it: `book show ID --json`.",
        of::<book::show::Whole<'_>>,
    ),
    (
        "book-record",
        "One record's visits and their trend: `book show CODE --json`.",
        of::<book::show::Told<'_>>,
    ),
    (
        "book-check",
        "What a check of the record book found: `book check --json`.",
        of::<crate::logbook::Checked>,
    ),
    (
        "book-backup",
        "A backup that was written: `book backup --json`.",
        of::<crate::logbook::BackedUp>,
    ),
    (
        "book-sync",
        "A meeting with other laptops' books: `book sync --json`.",
        of::<crate::logbook::Synced>,
    ),
    ("book-merge", "What another book brought: `book merge --json`.", of::<crate::logbook::Merged>),
    ("agree", "How well readers agree: `agree --json`, in the unit of the table.", of::<Agreement>),
    (
        "practise",
        "A scripted student's drills: `practise --scripted --json`.",
        of::<crate::practice::student::Run>,
    ),
    ("practise-class", "A class, gathered: `practise --class --json`.", of::<practise::Gathered>),
    (
        "audit",
        "How well a service measures, counted: `audit --out FILE.json`.",
        of::<crate::report::audit::Audit>,
    ),
    (
        "trial",
        "The listener's score on simulated deflations: `trial --json`.",
        of::<trial::told::Scored>,
    ),
    (
        "trial-book",
        "The listener's score on a service's own recordings: `trial --book DIR --json`.",
        of::<trial::book::Served>,
    ),
    (
        "trial-made",
        "The listener's score on sounds that were made elsewhere: `trial --made DIR --json`.",
        of::<trial::made::MadeScored>,
    ),
    ("doctor", "What a visit needs, looked at: `doctor --json`.", of::<super::doctor::Looked>),
    ("settings", "A setting: `settings --json`, a line each.", of::<super::settings::Stands>),
    ("rehear", "A recording heard again, and its mean beat: `rehear --json`.", of::<rehear::Said>),
    ("devices", "A sound device: `devices --json`, a line each.", of::<Listed>),
    ("scenarios", "A scenario: `make --list --json`, a line each.", of::<make::Listed>),
    ("truth", "The truth of a simulated sound, in the file beside it: `make`.", truth),
];

/// The names of all forms.
pub fn schemas() -> impl Iterator<Item = &'static str> {
    FORMS.iter().map(|(name, ..)| *name)
}

/// The JSON Schema of a form.
pub fn schema(name: &str) -> Option<Value> {
    let (_, about, make) = FORMS.iter().find(|(form, ..)| *form == name)?;
    Some(make(about))
}

pub(super) fn run(words: &Words) -> anyhow::Result<ExitCode> {
    let Some(name) = &words.name else {
        let lines: String =
            FORMS.iter().map(|(name, about, _)| format!("{name:<16} {about}\n")).collect();
        return say(&lines).map(|()| ExitCode::SUCCESS);
    };
    // As it is typed, `book list` too.
    let wanted = name.trim().replace(' ', "-");
    let Some(schema) = schema(&wanted) else {
        let near = did_you_mean(&wanted, schemas());
        return Err(misuse(format!("there is no form `{name}`{near}")));
    };
    say(&(serde_json::to_string_pretty(&schema)? + "\n"))?;
    Ok(ExitCode::SUCCESS)
}

/// The lines of live sound are made field by field, and so is their schema.
fn live(about: &str) -> Value {
    let mut schema = live_schema::schema();
    head(&mut schema, live_words::FORMAT, live_words::VERSION, about);
    schema
}

/// The truth beside a sound carries its own name and version.
fn truth(about: &str) -> Value {
    let mut schema = plain::<Truth>();
    head(&mut schema, Truth::FORMAT, Truth::VERSION, about);
    schema
}

impl Described for HeardRecording {
    const FORMAT: &'static str = "cuffnote-listen";
}
impl Described for crate::clinical::result::VisitResult {
    const FORMAT: &'static str = "cuffnote-index";
}
impl Described for Agreement {
    const FORMAT: &'static str = "cuffnote-agree";
}
impl Described for Listed {
    const FORMAT: &'static str = "cuffnote-devices";
}
impl Described for crate::logbook::VisitRow {
    const FORMAT: &'static str = "cuffnote-book-list";
}
impl Described for crate::logbook::Checked {
    const FORMAT: &'static str = "cuffnote-book-check";
}
impl Described for crate::logbook::BackedUp {
    const FORMAT: &'static str = "cuffnote-book-backup";
}
impl Described for crate::logbook::Synced {
    const FORMAT: &'static str = "cuffnote-book-sync";
}
impl Described for crate::logbook::Merged {
    const FORMAT: &'static str = "cuffnote-book-merge";
}
impl Described for crate::practice::student::Run {
    const FORMAT: &'static str = "cuffnote-practise";
}
impl Described for crate::report::json::WholeVisit {
    const FORMAT: &'static str = crate::report::json::FORMAT;
    const VERSION: u32 = crate::report::json::VERSION;
}
