//! The verb `import`: a table of earlier visits, to a file each or into the record book.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::output::{many, say};
use crate::files;
use crate::report::json;
use crate::report::table::Taken;

use super::progress::Progress;
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
    read(&words.table, words.check, |some| {
        files::private_folder(&words.out).with_context(|| format!("{}", words.out.display()))?;
        some.iter().map(|taken| keep(&words, taken).map(|()| true)).collect()
    })
}

/// So many visits are kept by one commit.
const TOGETHER: usize = 500;

/// Reads a table and gives its good rows to `keep`, some at a time, once the whole table was read; `keep` gives false
/// for a visit that was there before.
pub(super) fn read(
    table: &Path,
    check: bool,
    mut keep: impl FnMut(&[Taken]) -> anyhow::Result<Vec<bool>>,
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
    let (mut taken, mut before, mut stopped) = (0, 0, false);
    let mut progress = Progress::new(found.taken.len() as u64)?;
    for some in found.taken.chunks(TOGETHER) {
        // What was told as taken is on the disk: a stop comes between two steps.
        if progress.stopped() {
            progress.end();
            eprintln!("cuffnote: stopped: the rows after line {} were not read", some[0].line - 1);
            stopped = true;
            break;
        }
        let kept = if check { vec![true; some.len()] } else { keep(some)? };
        for (one, kept) in some.iter().zip(kept) {
            if kept {
                taken += 1;
            } else {
                before += 1;
                let line = format!(
                    "cuffnote: {}: line {}: is in the book already",
                    table.display(),
                    one.line
                );
                progress.say(&line);
            }
        }
        progress.add(some.len() as u64);
    }
    progress.end();
    let word = if check { "could be taken" } else { "taken" };
    say(&format!(
        "{} {word}, {before} there before, {} refused\n",
        many(taken, "visit"),
        many(found.refused.len(), "row")
    ))?;
    Ok(if found.refused.is_empty() && !stopped { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn keep(words: &Words, taken: &Taken) -> anyhow::Result<()> {
    let path = words.out.join(format!("line-{:05}.json", taken.line));
    ensure!(!path.exists(), "{}: is there already and is not overwritten", path.display());
    let worked = report::work(taken.events.clone(), &path.display().to_string(), &[])?;
    let bytes = json::visit("", None, &worked.result, &taken.events)?;
    files::write_atomic(&path, &bytes).with_context(|| format!("{}", path.display()))
}
