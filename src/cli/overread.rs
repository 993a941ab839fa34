//! The verb `overread`: recordings for a second person in random order without marks, and the answers together again.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};

use super::nearest::did_you_mean;
use super::output::{many, say};
use super::place::{Outputs, given};
use super::progress::note;
use crate::audio::sound::{SoundFile, looks_like_sound};
use crate::files;
use crate::live::recording::hear_file;
use crate::practice::overread::{ReaderAnswers, blinded, gathered};
use crate::report::table::Sheet;

/// The file with the real names.
const KEY: &str = "key.csv";

#[derive(clap::Args)]
pub(super) struct Words {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(clap::Subcommand)]
enum Verb {
    /// Copy recordings under numbers in random order, with an empty sheet for the answers
    Prepare {
        /// The recordings, of any kind that `listen` reads
        #[arg(required = true)]
        recordings: Vec<PathBuf>,
        /// A new folder for the second person; the key stays beside it, as FOLDER-key.csv
        #[arg(long, value_name = "FOLDER")]
        out: PathBuf,
        /// Same seed, same order
        #[arg(long, default_value_t = 1)]
        seed: u64,
    },
    /// Put answer sheets together into one table for `agree`, one column a reader
    Gather {
        /// The answer sheets, each named after its reader
        #[arg(required = true)]
        sheets: Vec<PathBuf>,
        /// The folder that was prepared
        #[arg(long, value_name = "FOLDER")]
        list: PathBuf,
        /// The column that is compared
        #[arg(long, value_name = "COLUMN", default_value = "return_s")]
        column: String,
        /// The listener as a further reader (return_s only)
        #[arg(long)]
        listener: bool,
        /// The table to write; `-` for standard output
        #[arg(long, value_name = "FILE.csv")]
        out: PathBuf,
    },
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    match words.verb {
        Verb::Prepare { recordings, out, seed } => prepare(&recordings, &out, seed)?,
        Verb::Gather { sheets, list, column, listener, out } => {
            gather(&sheets, &list, (&column, listener), &out)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// The name of a copy: the ending stays, so that a player knows it.
pub(super) fn number_file(number: usize, name: &str) -> String {
    let path = Path::new(name);
    let ending = path.extension().filter(|_| looks_like_sound(path));
    let ending = ending.map_or("wav".into(), |e| e.to_string_lossy().to_ascii_lowercase());
    format!("{number:03}.{ending}")
}

/// Beside the folder, not in it: the second person gets the folder.
fn key_file(folder: &Path) -> PathBuf {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    folder.with_file_name(format!("{name}-{KEY}"))
}

fn prepare(recordings: &[PathBuf], out: &Path, seed: u64) -> anyhow::Result<()> {
    let name = out.display();
    ensure!(!out.exists(), "{name} is there already: name a new folder");
    // What is no sound is named before anything is copied.
    for path in recordings {
        SoundFile::open(path).with_context(|| path.display().to_string())?;
    }
    let mut outputs = Outputs::beside(recordings);
    // The key is an output as well, and lies beside the folder.
    let key_place = outputs.file(&key_file(out))?;
    outputs.folder(out)?;
    let names = recordings.iter().map(|path| path.to_string_lossy().into_owned()).collect();
    let mut key = csv::Writer::from_writer(Vec::new());
    let mut sheet = String::from("number,return_s,reading_mmhg,word\n");
    key.write_record(["number", "recording"])?;
    for blind in blinded(names, seed) {
        let to = out.join(number_file(blind.number, &blind.name));
        let copied = std::fs::File::open(&blind.name).and_then(|mut from| {
            let mut to = files::private().write(true).create_new(true).open(&to)?;
            std::io::copy(&mut from, &mut to)
        });
        copied.with_context(|| blind.name.clone())?;
        key.write_record([blind.number.to_string(), blind.name])?;
        sheet += &format!("{},,,\n", blind.number);
    }
    outputs.file(&out.join("answers.csv"))?.write(sheet.as_bytes())?;
    key_place.write(&key.into_inner().context("the key")?)?;
    let count = many(recordings.len(), "recording");
    say(&format!("{count} in {name}; the key is {}\n", key_file(out).display()))
}

/// The recordings of a prepared folder in the order of their numbers, by its key.
pub(super) fn prepared(list: &Path) -> anyhow::Result<Vec<String>> {
    let name = key_file(list).display().to_string();
    let mut key =
        csv::Reader::from_path(key_file(list)).with_context(|| format!("{name}: no key"))?;
    let row = |row: Result<csv::StringRecord, csv::Error>| {
        Ok(row.with_context(|| name.clone())?.get(1).unwrap_or_default().to_owned())
    };
    key.records().map(row).collect()
}

fn gather(
    sheets: &[PathBuf],
    list: &Path,
    (column, listener): (&str, bool),
    out: &Path,
) -> anyhow::Result<()> {
    let place = Outputs::beside(sheets).stream(out)?;
    let names = prepared(list)?;
    let count = names.len();
    let read = sheets.iter().map(|path| answers(path, column));
    let mut all = read.collect::<anyhow::Result<Vec<ReaderAnswers>>>()?;
    if listener {
        ensure!(column == "return_s", "the listener only says where the pulse comes back");
        all.push(heard(list, &names)?);
    }
    let readers = gathered(count, &all)?;
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(
        std::iter::once("record").chain(readers.iter().map(|reader| reader.name.as_str())),
    )?;
    for row in 0..count {
        let number = (row + 1).to_string();
        let cells = readers.iter().map(|reader| reader.cells[row].as_str());
        table.write_record(std::iter::once(number.as_str()).chain(cells))?;
    }
    place.write(&table.into_inner().context("the table")?)?;
    // The table itself may go to standard output; then nothing else does.
    note(&format!("{} readers, {}: {}", readers.len(), many(count, "recording"), out.display()));
    Ok(())
}

/// What one reader wrote in a column of the sheet.
pub(super) fn answers(path: &Path, column: &str) -> anyhow::Result<ReaderAnswers> {
    let name = path.display();
    let sheet = Sheet::read(&given(path)?, str::to_owned).with_context(|| name.to_string())?;
    let place = |wanted: &str| sheet.names.iter().position(|h| h == wanted);
    let (Some(number), Some(said)) = (place("number"), place(column)) else {
        let near = did_you_mean(column, sheet.names.iter().map(String::as_str));
        bail!("{name}: expected the columns `number` and `{column}`{near}");
    };
    let reader = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let mut answers = ReaderAnswers { reader, said: Vec::new() };
    for row in &sheet.rows {
        let cells = row.cells.as_ref();
        let cells = cells.map_err(|why| anyhow::anyhow!("{name}, line {}: {why}", row.line))?;
        let text = cells[number].trim();
        let number = text
            .parse()
            .with_context(|| format!("{name}, line {}: `{text}` is no number", row.line))?;
        answers.said.push((number, cells[said].trim().to_owned()));
    }
    Ok(answers)
}

/// The listener's own returns, heard from the same numbered files.
fn heard(list: &Path, names: &[String]) -> anyhow::Result<ReaderAnswers> {
    let mut answers = ReaderAnswers { reader: "listener".into(), said: Vec::new() };
    for (number, name) in (1..).zip(names) {
        let heard = hear_file(&list.join(number_file(number, name)))?;
        let said = heard.return_s.map_or(String::new(), |s| s.to_string());
        answers.said.push((number, said));
    }
    Ok(answers)
}
