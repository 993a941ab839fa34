//! The verb `import`: a table of earlier visits to a file of events each.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;

use crate::logbook::journal::Journal;
use crate::report::table::{self, Taken};

#[derive(clap::Args)]
pub(super) struct Words {
    /// A table of visits (CSV): the columns that `report --out FILE.csv` writes, or some of them
    table: PathBuf,
    /// The folder for the visits, a file each; nothing that is there is overwritten
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Only say what would be taken
    #[arg(long)]
    check: bool,
}

/// Every bad row is named on stderr and makes no visit; the others are taken. Exit status 1 where a row was
/// refused.
pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let name = || format!("{}", words.table.display());
    let bytes = std::fs::read(&words.table).with_context(name)?;
    let found = table::read(&bytes).with_context(name)?;
    if !found.ignored.is_empty() {
        eprintln!(
            "cuffnote: columns that are not known and were not read: {}",
            found.ignored.join(", ")
        );
    }
    for refused in &found.refused {
        eprintln!("cuffnote: {}: {refused}", words.table.display());
    }
    if !words.check {
        std::fs::create_dir_all(&words.out).with_context(|| format!("{}", words.out.display()))?;
        for taken in &found.taken {
            keep(&words, taken)?;
        }
    }
    let word = if words.check { "could be taken" } else { "taken" };
    super::say(&format!(
        "{} visits {word}, {} rows refused\n",
        found.taken.len(),
        found.refused.len()
    ))?;
    Ok(if found.refused.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn keep(words: &Words, taken: &Taken) -> anyhow::Result<()> {
    let path = words.out.join(format!("line-{:05}.events", taken.line));
    let mut journal = Journal::create(&path)?;
    for event in &taken.events {
        journal.append(event.at, event.act.clone())?;
    }
    Ok(())
}
