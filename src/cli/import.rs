//! A table of earlier visits, to a file each or into the record book.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::nearest::did_you_mean;
use super::output::{fault, many, say};
use super::place::{Out, Outputs};
use super::progress::{Progress, note};
use super::report;
use crate::report::json;
use crate::report::table::{COLUMNS, Reading, Taken};

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

/// How many rows went which way.
#[derive(Default)]
struct Count {
    taken: u64,
    before: u64,
    refused: u64,
}

/// Reads a table row by row and gives its good rows to `keep`, some at a time; `keep` gives false for a visit that was
/// there before.
pub(super) fn read(
    words: &Words,
    mut keep: impl FnMut(&[Taken]) -> anyhow::Result<Vec<bool>>,
) -> anyhow::Result<ExitCode> {
    let name = named(words);
    let (from, length) = opened(&words.table)?;
    let mut table = Reading::open(from).with_context(|| name.clone())?;
    unknown(words, &table.ignored, table.head_line())?;
    let mut count = Count::default();
    let progress = Progress::stoppable(&name, length)?;
    let (mut some, mut ended, mut stopped) = (Vec::new(), false, None);
    while !ended {
        match table.row().with_context(|| name.clone())? {
            None => ended = true,
            Some(Ok(taken)) => some.push(taken),
            Some(Err(refused)) => {
                count.refused += 1;
                progress.say(&format!("{name}: {refused}"));
            }
        }
        if some.len() < TOGETHER && !ended {
            continue;
        }
        // What was reported as taken is on the disk: a stop comes between two steps.
        if let Some(first) = some.first().filter(|_| progress.stopped()) {
            stopped = Some(first.line);
            break;
        }
        together(words, &some, &mut keep, (&mut count, &progress))?;
        some.clear();
        progress.at(table.read_bytes(), length.max(table.read_bytes()));
    }
    drop(progress);
    if let Some(line) = stopped {
        fault(&format!("stopped: the rows from line {line} on were not taken"));
    }
    let word = if words.check { "could be taken" } else { "taken" };
    say(&format!(
        "{} {word}, {} there before, {} refused\n",
        many(count.taken, "visit"),
        count.before,
        many(count.refused, "row")
    ))?;
    let good = count.refused == 0 && stopped.is_none();
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// Keeps some visits by one commit, or only counts them.
fn together(
    words: &Words,
    some: &[Taken],
    keep: &mut impl FnMut(&[Taken]) -> anyhow::Result<Vec<bool>>,
    (count, progress): (&mut Count, &Progress),
) -> anyhow::Result<()> {
    if some.is_empty() {
        return Ok(());
    }
    let kept = if words.check { vec![true; some.len()] } else { keep(some)? };
    for (one, kept) in some.iter().zip(kept) {
        if kept {
            count.taken += 1;
            continue;
        }
        count.before += 1;
        let name = named(words);
        progress.say(&format!("{name}: line {}: is in the book already", one.line));
    }
    Ok(())
}

/// What the table is called.
fn named(words: &Words) -> String {
    if words.table.as_os_str() == "-" {
        return "standard input".into();
    }
    words.table.display().to_string()
}

/// The table, and how long it is; 0 where that is not known.
fn opened(path: &Path) -> anyhow::Result<(Box<dyn Read>, u64)> {
    if path.as_os_str() == "-" {
        return Ok((Box::new(std::io::stdin().lock()), 0));
    }
    let file = File::open(path).with_context(|| path.display().to_string())?;
    let length = file.metadata().map_or(0, |file| file.len());
    Ok((Box::new(file), length))
}

/// A column that is not known may be one of ours, misspelt: it is only left out where that was asked for.
fn unknown(words: &Words, ignored: &[String], line: u64) -> anyhow::Result<()> {
    let Some(first) = ignored.first() else { return Ok(()) };
    let (name, list) = (named(words), ignored.join("`, `"));
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
