//! Record books as Parquet or CSV: three tables, a file for each service and month, written anew as a whole.
//!
//! What is written stands under another name until all of it is there: a reader sees the last whole set or the new one.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};

use super::choices::named;
use super::dictionary::TABLES;
use super::facts::{Cell, Facts, Row};
use super::parquet_rows::Rows;
use super::said::{many, note, say, sentence};
use super::stream::{self, Named, Read};
use super::visits;
use crate::files;
use crate::logbook::{Search, VisitId};

/// Rows of one table that are held before they are written as a group.
const GROUP: usize = 8_000;
/// Files that are open at the same time; visits come oldest first, so months follow each other.
const OPEN: usize = 4;

#[derive(clap::Args)]
pub(super) struct Words {
    /// A record book's folder, or NAME=FOLDER where the service is named; may be given several times
    #[arg(long, value_name = "[NAME=]DIR", required = true)]
    book: Vec<String>,
    /// The folder to write; it may not be there, or hold only what was written here before
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// CSV instead of Parquet, by the same dictionary
    #[arg(long)]
    csv: bool,
}

/// A file of one table, service and month that is being written.
struct Part {
    rows: Vec<Row>,
    to: To,
}

enum To {
    Parquet(Box<Rows>),
    Csv(std::io::BufWriter<File>),
}

/// All that is being written.
struct Parts {
    folder: PathBuf,
    csv: bool,
    open: BTreeMap<(usize, String, String), Part>,
    /// How often a month was ended and came again: then it has one file more.
    ended: BTreeMap<(usize, String, String), u32>,
}

/// Writes the tables. True where nothing was left out.
pub(super) fn run(words: &Words) -> anyhow::Result<bool> {
    let out = &words.out;
    let name = || out.display().to_string();
    let mark = out.join("cuffnote-tables");
    ensure!(
        !out.exists()
            || mark.is_file()
            || std::fs::read_dir(out).is_ok_and(|mut all| all.next().is_none()),
        "{}: holds something else: name a folder of its own",
        name()
    );
    for text in &words.book {
        let folder = named(text).1;
        ensure!(
            !is_within(out, &folder),
            "{}: lies in the record book {}",
            name(),
            folder.display()
        );
    }
    let new = out.with_extension("new");
    if new.exists() {
        std::fs::remove_dir_all(&new).with_context(|| new.display().to_string())?;
    }
    files::private_folder(&new).with_context(|| new.display().to_string())?;
    let mut parts = Parts {
        folder: new.clone(),
        csv: words.csv,
        open: BTreeMap::new(),
        ended: BTreeMap::new(),
    };
    let (mut count, mut skipped, mut good) = (0, 0, true);
    for text in &words.book {
        match book(text, &mut parts) {
            Ok((there, without)) => {
                count += there;
                skipped += without;
            }
            Err(fault) if fault.is::<Unwritten>() => return Err(fault),
            Err(fault) => {
                good = false;
                note(&format!("{text}: {}", sentence(&fault)));
            }
        }
    }
    parts.end_all()?;
    ensure!(good || count > 0, "{}: nothing was written, and what is there stays", name());
    files::write_new(&new.join("cuffnote-tables"), super::dictionary::printed().as_bytes())
        .with_context(name)?;
    replace(&new, out)?;
    say(&format!("{} written, {skipped} skipped", many(count, "visit")))?;
    Ok(good && skipped == 0)
}

/// The new folder in the old one's place.
fn replace(new: &Path, out: &Path) -> anyhow::Result<()> {
    let old = out.with_extension("old");
    let name = || out.display().to_string();
    if out.exists() {
        std::fs::rename(out, &old).with_context(name)?;
    }
    std::fs::rename(new, out).with_context(name)?;
    if old.exists() {
        std::fs::remove_dir_all(&old).with_context(|| old.display().to_string())?;
    }
    Ok(())
}

fn is_within(path: &Path, folder: &Path) -> bool {
    let real = |path: &Path| path.ancestors().find_map(|above| above.canonicalize().ok());
    real(path).zip(real(folder)).is_some_and(|(path, folder)| path.starts_with(folder))
}

fn book(text: &str, parts: &mut Parts) -> anyhow::Result<(u64, u64)> {
    let (service, folder) = named(text);
    let book = visits::open(&folder)?;
    let own = book.own_chain()?.unwrap_or_default();
    let ids: Vec<VisitId> = book.ids(&Search::default())?;
    let by = Named { folder: &folder, service: &service, book: &own };
    let mut count = 0;
    let skipped = stream::through(
        &by,
        &ids,
        |_| (),
        |piece| {
            for read in piece {
                if let Read::There(facts, ()) = read {
                    count += 1;
                    parts.take(&service, facts)?;
                }
            }
            Ok(())
        },
    )?;
    Ok((count, skipped))
}

/// A fault of what is written, not of what is read.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
struct Unwritten(String);

fn unwritten(path: &Path, why: impl std::fmt::Display) -> anyhow::Error {
    Unwritten(format!("{}: {why}", path.display())).into()
}

impl Parts {
    fn take(&mut self, service: &str, facts: Facts) -> anyhow::Result<()> {
        let tables = [vec![facts.visit], facts.legs, facts.attempts];
        for (table, rows) in tables.into_iter().enumerate() {
            if rows.is_empty() {
                continue;
            }
            let key = (table, service.to_owned(), facts.month.clone());
            if !self.open.contains_key(&key) {
                if self.open.len() >= OPEN * TABLES.len() {
                    self.end_oldest()?;
                }
                let part = self.begin(&key)?;
                self.open.insert(key.clone(), part);
            }
            if let Some(part) = self.open.get_mut(&key) {
                part.rows.extend(rows);
                if part.rows.len() >= GROUP {
                    part.write().map_err(|why| unwritten(&self.folder, why))?;
                }
            }
        }
        Ok(())
    }

    fn begin(&mut self, key: &(usize, String, String)) -> anyhow::Result<Part> {
        let (table, columns) = TABLES[key.0];
        let folder = self
            .folder
            .join(table)
            .join(format!("from_service={}", plain(&key.1)))
            .join(format!("month={}", key.2));
        files::private_folder(&folder).map_err(|why| unwritten(&folder, why))?;
        let number = self.ended.entry(key.clone()).or_default();
        let ending = if self.csv { "csv" } else { "parquet" };
        let path = folder.join(format!("part-{number}.{ending}"));
        *number += 1;
        let mut options = files::private();
        options.write(true).create_new(true);
        let file = options.open(&path).map_err(|why| unwritten(&path, why))?;
        let to = if self.csv {
            let mut out = std::io::BufWriter::new(file);
            let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
            writeln!(out, "{}\r", names.join(",")).map_err(|why| unwritten(&path, why))?;
            To::Csv(out)
        } else {
            To::Parquet(Box::new(
                Rows::new(file, table, columns).map_err(|why| unwritten(&path, why))?,
            ))
        };
        Ok(Part { rows: Vec::new(), to })
    }

    /// Ends the files of the month that comes first.
    fn end_oldest(&mut self) -> anyhow::Result<()> {
        let oldest = self.open.keys().map(|(_, _, month)| month.clone()).min().unwrap_or_default();
        let keys: Vec<_> =
            self.open.keys().filter(|(_, _, month)| *month == oldest).cloned().collect();
        for key in keys {
            if let Some(part) = self.open.remove(&key) {
                part.end().map_err(|why| unwritten(&self.folder, why))?;
            }
        }
        Ok(())
    }

    fn end_all(&mut self) -> anyhow::Result<()> {
        for (_, part) in std::mem::take(&mut self.open) {
            part.end().map_err(|why| unwritten(&self.folder, why))?;
        }
        Ok(())
    }
}

impl Part {
    fn write(&mut self) -> anyhow::Result<()> {
        let rows = std::mem::take(&mut self.rows);
        match &mut self.to {
            To::Parquet(to) => to.add(&rows)?,
            To::Csv(out) => {
                for row in rows {
                    let cells: Vec<String> = row.iter().map(cell).collect();
                    write!(out, "{}\r\n", cells.join(","))?;
                }
            }
        }
        Ok(())
    }

    fn end(mut self) -> anyhow::Result<()> {
        if !self.rows.is_empty() {
            self.write()?;
        }
        let file = match self.to {
            To::Parquet(to) => to.end()?,
            To::Csv(mut out) => {
                out.flush()?;
                out.into_inner().map_err(std::io::IntoInnerError::into_error)?
            }
        };
        file.sync_all()?;
        Ok(())
    }
}

/// A value as a cell of CSV: text in quotation marks, what a spreadsheet might run behind an apostrophe.
fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => crate::report::table::quoted(text),
        Cell::Whole(n) => n.to_string(),
        Cell::Number(n) => n.to_string(),
        Cell::Truth(it_is) => it_is.to_string(),
        Cell::Day(day) => day.to_string(),
        Cell::Instant(us) => {
            jiff::Timestamp::from_microsecond(*us).map_or(String::new(), |at| at.to_string())
        }
    }
}

/// A service's name as a folder's, so that another name gives another folder.
fn plain(name: &str) -> String {
    let kept = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
    let mut out = String::new();
    for c in name.chars() {
        if kept(c) {
            out.push(c);
        } else {
            let mut bytes = [0; 4];
            for byte in c.encode_utf8(&mut bytes).bytes() {
                out += &format!("%{byte:02X}");
            }
        }
    }
    if out.is_empty() { "-".into() } else { out }
}
