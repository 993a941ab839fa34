//! The verb `import`: a table of earlier visits, to a file each or into the record book.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::output::{many, say};
use crate::files;
use crate::report::json;
use crate::report::table::Taken;

use super::report;

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
    read(&words.table, words.check, |taken| {
        files::private_folder(&words.out).with_context(|| format!("{}", words.out.display()))?;
        keep(&words, taken)?;
        Ok(true)
    })
}

/// Reads a table and gives each good row to `keep`, once the whole table was read; `keep` gives false for a
/// visit that was there before.
pub(super) fn read(
    table: &Path,
    check: bool,
    mut keep: impl FnMut(&Taken) -> anyhow::Result<bool>,
) -> anyhow::Result<ExitCode> {
    let name = || format!("{}", table.display());
    let bytes = std::fs::read(table).with_context(name)?;
    let found = crate::report::table::read(&bytes).with_context(name)?;
    if !found.ignored.is_empty() {
        eprintln!(
            "cuffnote: columns that are not known and were not read: {}",
            found.ignored.join(", ")
        );
    }
    for refused in &found.refused {
        eprintln!("cuffnote: {}: {refused}", table.display());
    }
    let (mut taken, mut before) = (0, 0);
    for one in &found.taken {
        if check || keep(one)? {
            taken += 1;
        } else {
            before += 1;
            eprintln!("cuffnote: {}: line {}: is in the book already", table.display(), one.line);
        }
    }
    let word = if check { "could be taken" } else { "taken" };
    say(&format!(
        "{} {word}, {before} there before, {} refused\n",
        many(taken, "visit"),
        many(found.refused.len(), "row")
    ))?;
    Ok(if found.refused.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn keep(words: &Words, taken: &Taken) -> anyhow::Result<()> {
    let path = words.out.join(format!("line-{:05}.json", taken.line));
    ensure!(!path.exists(), "{}: is there already and is not overwritten", path.display());
    let worked = report::work(taken.events.clone(), &path.display().to_string(), &[])?;
    let bytes = json::visit("", &worked.result, &taken.events)?;
    files::write_atomic(&path, &bytes).with_context(|| format!("{}", path.display()))
}
