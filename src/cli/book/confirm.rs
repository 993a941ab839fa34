//! Holds a visit file against the book. A file can be edited by anyone: what it says is confirmed or not.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;
use serde::Serialize;

use super::place::{Place, tell};
use crate::cli::described::Described;
use crate::clinical::guidance;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::logbook::{Book, VisitId};
use crate::report::json;

#[derive(clap::Args)]
pub(super) struct Confirm {
    /// A visit file, as `report ID --out visit.json` writes it
    file: PathBuf,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

/// What came of it.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct Confirmed {
    /// Whether the file says what the book says.
    confirmed: bool,
    /// The visit's id, where the file names one.
    visit: Option<String>,
    /// In words.
    words: Vec<String>,
}

impl Described for Confirmed {
    const FORMAT: &'static str = "cuffnote-book-confirm";
}

pub(super) fn confirm(place: &Place, words: &Confirm) -> anyhow::Result<ExitCode> {
    let name = || format!("{}", words.file.display());
    let bytes = std::fs::read(&words.file).with_context(name)?;
    let read = json::read(&bytes).with_context(name)?;
    let book = place.open_as_it_lies()?;
    let said = held(&book, &read)?;
    let text = said.words.iter().map(|words| format!("{words}\n")).collect::<String>();
    tell(words.json, &said, &text)?;
    Ok(if said.confirmed { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn held(book: &Book, read: &json::Whole) -> anyhow::Result<Confirmed> {
    let no = |visit: Option<&VisitId>, words: &str| Confirmed {
        confirmed: false,
        visit: visit.map(ToString::to_string),
        words: vec![format!("NOT CONFIRMED: {words}")],
    };
    let Some(kept) = &read.book else {
        return Ok(no(None, "the file names no record book: it is no record"));
    };
    let Ok(visit) = kept.visit.parse::<VisitId>() else {
        return Ok(no(None, "the visit that the file names is none"));
    };
    let then = match book.events_at(visit, &kept.chain, kept.entries, &kept.head)? {
        Some(events) => events,
        None => {
            return Ok(no(
                Some(&visit),
                "this book has no such visit, or never had the head that the file names: it was made from another book, or edited",
            ));
        }
    };
    if then != read.events {
        return Ok(no(Some(&visit), "its events are not those of the book: the file was edited"));
    }
    let mut words = vec![format!("CONFIRMED: the events of visit {visit} are those of the book.")];
    let worked = worked_alike(read)?;
    if !worked {
        words = vec![format!(
            "NOT CONFIRMED: the events of visit {visit} are those of the book, and the result in the file is not what this program works out from them: the file was edited, or made by another version. Make it anew with `cuffnote book report {visit} --out FILE.json`."
        )];
    }
    if worked && book.events(visit).is_ok_and(|now| now != then) {
        words.push("The visit was added to since: the book says more than the file.".into());
    }
    Ok(Confirmed { confirmed: worked, visit: Some(visit.to_string()), words })
}

/// Whether what the file says was worked out is what its events come to.
fn worked_alike(read: &json::Whole) -> anyhow::Result<bool> {
    let ids = read.result["guidance"].as_array().into_iter().flatten();
    let sets = ids.filter_map(|set| guidance::shipped(set["id"].as_str()?)?.ok());
    let sets: Vec<_> = sets.collect();
    let result = work_out(&Visit::read(&read.events)?, &sets, Assumed::default());
    // As it is when it was written and read again.
    let now: serde_json::Value = serde_json::from_str(&serde_json::to_string(&result)?)?;
    Ok(now == read.result)
}
