//! Completions: the shell asks the program itself, so that names of the moment (scenarios, guidance, devices, visits)
//! are completed too.

use std::ffi::{OsStr, OsString};

use anyhow::Context;
use clap_complete::engine::CompletionCandidate;
use clap_complete::env::{CompleteEnv, Shells};

use crate::audio::device::{self, System};
use crate::clinical::guidance;
use crate::logbook::{Book, Search};
use crate::settings::{Settings, book_folder};
use crate::sim::scenario;

/// The variable by which a shell asks; it holds the shell's name.
const ASKS: &str = "CUFFNOTE_COMPLETE";
/// At most so many of the newest visits.
const VISITS: u32 = 200;

/// Answers a shell that asks for completions; true where one did.
pub(super) fn asked(words: &[OsString], command: fn() -> clap::Command) -> bool {
    if std::env::var_os(ASKS).is_none() {
        return false;
    }
    let folder = std::env::current_dir().ok();
    let answer = CompleteEnv::with_factory(command).var(ASKS);
    // A shell that is not known gets nothing; there is nobody to tell.
    answer.try_complete(words.to_vec(), folder.as_deref()).unwrap_or(true)
}

/// What a shell reads once to ask from then on.
pub(super) fn script(shell: clap_complete::Shell) -> anyhow::Result<Vec<u8>> {
    let shells = Shells::builtins();
    let shell = shells.completer(&shell.to_string()).context("this shell is not known")?;
    let mut script = Vec::new();
    shell.write_registration(ASKS, "cuffnote", "cuffnote", "cuffnote", &mut script)?;
    Ok(script)
}

fn matching(
    current: &OsStr,
    names: impl IntoIterator<Item = (String, String)>,
) -> Vec<CompletionCandidate> {
    let begun = current.to_string_lossy().into_owned();
    let fit = names.into_iter().filter(|(name, _)| name.starts_with(&begun));
    fit.map(|(name, about)| {
        let about = Some(about).filter(|about| !about.is_empty());
        CompletionCandidate::new(name).help(about.map(Into::into))
    })
    .collect()
}

/// The shipped scenarios.
pub(super) fn scenarios(current: &OsStr) -> Vec<CompletionCandidate> {
    matching(current, scenario::names().into_iter().map(|(name, about)| (name.to_owned(), about)))
}

/// The shipped sets of guidance, and all of them.
pub(super) fn guidances(current: &OsStr) -> Vec<CompletionCandidate> {
    let names = guidance::ids().map(|id| (id.to_owned(), String::new()));
    matching(current, names.chain([("all".to_owned(), "every set, side by side".to_owned())]))
}

/// The sound devices that are there now.
pub(super) fn devices(current: &OsStr) -> Vec<CompletionCandidate> {
    let devices = device::list(System::Usual).unwrap_or_default();
    matching(current, devices.into_iter().map(|device| (device.name, device.id)))
}

/// The newest visits of the usual record book, which is never made for this.
pub(super) fn visits(current: &OsStr) -> Vec<CompletionCandidate> {
    let settings = Settings::here().map(|opened| opened.settings).unwrap_or_default();
    let Some(folder) = book_folder(&settings).filter(|f| f.join("book.sqlite").is_file()) else {
        return Vec::new();
    };
    let search = Search { limit: Some(VISITS), ..Search::default() };
    let rows = Book::open(&folder).and_then(|opened| opened.book.visits(&search));
    let rows = rows.unwrap_or_default().into_iter();
    matching(current, rows.map(|row| (row.id.to_string(), row.opened_at.to_string())))
}
