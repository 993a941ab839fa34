//! A table of earlier visits, to a file each or into the record book.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::nearest::did_you_mean;
use super::output::{fault, many, say};
use super::place::{Out, Outputs, given};
use super::progress::{Progress, note};
use super::report;
use crate::report::json;
use crate::report::table::{COLUMNS, Table, Taken};

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// A table of visits (CSV): the columns that `report --out FILE.csv` writes, or some of them (`-` for standard input)
    table: PathBuf,
    /// Only say what would be taken
    #[arg(long)]
    check: bool,
    /// Leave out columns that are not known, instead of refusing the table
    #[arg(long)]
    skip_unknown: bool,
    /// Visits that are dated more than a year ahead are taken too
    #[arg(long)]
    pub(super) sure: bool,
}

/// A file for each visit of the table. Every bad row is named on stderr and makes no visit; the others are taken.
/// Exit status 1 where a row was refused.
pub(super) fn to_files(words: &Words, folder: &Path) -> anyhow::Result<ExitCode> {
    let mut outputs = Outputs::beside([&words.table]);
    let mut made = false;
    read(words, |some| {
        if !std::mem::replace(&mut made, true) {
            outputs.folder(folder)?;
        }
        let mut one = |taken: &Taken| {
            let path = folder.join(format!("line-{:05}.json", taken.line));
            keep(&outputs.file(&path)?, &path, taken).map(|()| true)
        };
        some.iter().map(&mut one).collect()
    })
}

/// So many visits are kept by one commit.
const TOGETHER: usize = 500;

/// Reads a table and gives its good rows to `keep`, some at a time, once the whole table was read; `keep` gives false
/// for a visit that was there before.
pub(super) fn read(
    words: &Words,
    mut keep: impl FnMut(&[Taken]) -> anyhow::Result<Vec<bool>>,
) -> anyhow::Result<ExitCode> {
    let name = words.table.display();
    let bytes = given(&words.table)?;
    let found = crate::report::table::read(&bytes).with_context(|| name.to_string())?;
    unknown(words, &found)?;
    for refused in &found.refused {
        fault(&format!("{name}: {refused}"));
    }
    let (mut taken, mut before, mut stopped) = (0, 0, false);
    let progress = Progress::stoppable(&name.to_string(), found.taken.len() as u64)?;
    for some in found.taken.chunks(TOGETHER) {
        // What was told as taken is on the disk: a stop comes between two steps.
        if progress.stopped() {
            progress
                .say(&format!("stopped: the rows after line {} were not read", some[0].line - 1));
            stopped = true;
            break;
        }
        let kept = if words.check { vec![true; some.len()] } else { keep(some)? };
        for (one, kept) in some.iter().zip(kept) {
            if kept {
                taken += 1;
            } else {
                before += 1;
                progress.say(&format!("{name}: line {}: is in the book already", one.line));
            }
        }
        progress.add(some.len() as u64);
    }
    drop(progress);
    let word = if words.check { "could be taken" } else { "taken" };
    say(&format!(
        "{} {word}, {before} there before, {} refused\n",
        many(taken, "visit"),
        many(found.refused.len(), "row")
    ))?;
    Ok(if found.refused.is_empty() && !stopped { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// A column that is not known may be one of ours, misspelt: it is only left out where that was asked for.
fn unknown(words: &Words, found: &Table) -> anyhow::Result<()> {
    let Some(first) = found.ignored.first() else { return Ok(()) };
    let (name, line) = (words.table.display(), found.head_line);
    let list = found.ignored.join("`, `");
    ensure!(
        words.skip_unknown,
        "{name}, line {line}: `{list}`: not known{}; nothing was taken (--skip-unknown leaves such columns out)",
        did_you_mean(first, COLUMNS)
    );
    note(&format!("{name}, line {line}: left out, because not known: `{list}`"));
    Ok(())
}

fn keep(out: &Out, path: &Path, taken: &Taken) -> anyhow::Result<()> {
    let worked = report::work(taken.events.clone(), &path.display().to_string(), &[])?;
    out.write(&json::visit("", None, &worked.result, &taken.events)?)
}
