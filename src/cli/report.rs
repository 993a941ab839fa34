//! The verb `report`: a visit's events to a report, as HTML or JSON.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;

use crate::clinical::event::Event;
use crate::clinical::guidance::Set;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::files;
use crate::logbook::{Head, VisitId};
use crate::report::content::{Content, Source};
use crate::report::{html, json};

use super::index;

#[derive(clap::Args)]
pub(super) struct Words {
    /// A visit as visit.json; a visit in the record book is reported by `book report`
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
    let form = Form { out: &words.out, service: &words.service, kept: None };
    write(&events(&words.file)?, &words.file.display().to_string(), &sets, &form)
}

/// What is written, and what stands in it.
pub(super) struct Form<'a> {
    /// The file; the name's end says as what.
    pub(super) out: &'a Path,
    /// The service that measured.
    pub(super) service: &'a str,
    /// Where the visit is kept.
    pub(super) kept: Option<String>,
}

/// Where a visit is kept, for its report.
pub(super) fn kept_in(visit: VisitId, head: &Head) -> String {
    format!(
        "Record book: visit {visit}; when this report was made, the book's chain had {} entries and the head {}.",
        head.entries, head.hash
    )
}

/// Writes the report of these events, which came from `from`.
pub(super) fn write(
    events: &[Event],
    from: &str,
    sets: &[Set],
    form: &Form<'_>,
) -> anyhow::Result<ExitCode> {
    let visit = Visit::from_events(events).with_context(|| from.to_owned())?;
    let result = work_out(&visit, sets, Assumed::default());
    let ending = form.out.extension().and_then(|e| e.to_str()).unwrap_or_default();
    let bytes = match ending {
        "html" => {
            let source =
                Source { visit: &visit, result: &result, sets, sounds: &[], service: form.service };
            let mut content = Content::of(&source);
            form.kept.iter().for_each(|words| content.kept_in(words));
            html::page(&content)
        }
        "json" => json::visit(form.service, &result, events)?,
        _ => {
            eprintln!("cuffnote: {}: end the name with .html or .json", form.out.display());
            return Ok(ExitCode::from(2));
        }
    };
    files::write_atomic(form.out, &bytes).with_context(|| format!("{}", form.out.display()))?;
    Ok(ExitCode::SUCCESS)
}

/// The events of a `visit.json`.
pub(super) fn events(path: &Path) -> anyhow::Result<Vec<Event>> {
    let name = || format!("{}", path.display());
    json::events(&std::fs::read(path).with_context(name)?).with_context(name)
}
