//! The verb `recheck`: which past visits this version of program or guidance would show differently.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::clinical::guidance::{self, Set};
use crate::clinical::recheck::{Rechecked, recheck};
use crate::logbook::journal;

#[derive(clap::Args)]
pub(super) struct Words {
    /// Files of visit events
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// A guidance file of your own that some visits were shown with
    #[arg(long, value_name = "FILE")]
    guidance: Vec<PathBuf>,
    /// One JSON object a visit
    #[arg(long)]
    json: bool,
}

/// One visit of the answer.
#[derive(serde::Serialize)]
struct Line<'a> {
    file: String,
    #[serde(flatten)]
    rechecked: &'a Rechecked,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    // A service's own sets come first, so that they win over shipped ones of the same id.
    let mut sets = Vec::new();
    for path in &words.guidance {
        sets.push(super::index::own(path)?);
    }
    for set in guidance::ids().filter_map(guidance::shipped) {
        sets.push(set?);
    }
    let (mut changed, mut same, mut never, mut faults) = (0, 0, 0, 0);
    for path in &words.files {
        match one(path, &sets) {
            Ok(None) => never += 1,
            Ok(Some(rechecked)) => {
                let quiet = rechecked.changes.is_empty() && rechecked.missing_sets.is_empty();
                if quiet {
                    same += 1
                } else {
                    changed += 1
                }
                show(path, &rechecked, quiet, words.json)?;
            }
            Err(fault) => {
                faults += 1;
                eprintln!("cuffnote: {fault:#}");
            }
        }
    }
    if !words.json {
        super::say(&format!(
            "{changed} changed, {same} the same, {never} never shown, {faults} could not be read\n"
        ))?;
    }
    Ok(if faults == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn one(path: &Path, sets: &[Set]) -> anyhow::Result<Option<Rechecked>> {
    let read = journal::read(path)?;
    read.note.iter().for_each(|note| eprintln!("cuffnote: {note}"));
    recheck(&read.events, sets).map_err(|e| anyhow::anyhow!("{}: {e}", path.display()))
}

fn show(path: &Path, rechecked: &Rechecked, quiet: bool, json: bool) -> anyhow::Result<()> {
    if json {
        let line = Line { file: path.display().to_string(), rechecked };
        return super::say(&(serde_json::to_string(&line)? + "\n"));
    }
    if quiet {
        return Ok(());
    }
    let mut text = format!(
        "{}: record {}, visit of {}, shown by version {}\n",
        path.display(),
        rechecked.record,
        rechecked.opened_at,
        rechecked.shown_by.program
    );
    for id in &rechecked.missing_sets {
        text += &format!("  guidance {id} is not at hand: give its file with --guidance\n");
    }
    for change in &rechecked.changes {
        text += &format!("  {}\n", change.what);
        let lines = [("was", &change.before), ("now", &change.now)];
        for (name, line) in lines.into_iter().filter(|(_, line)| !line.is_empty()) {
            text += &format!("    {name}: {line}\n");
        }
    }
    super::say(&text)
}
