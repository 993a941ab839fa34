//! The whole book: checked, backed up, restored, merged, synced.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::passphrase;
use super::place::{Place, tell};
use crate::cli::output::{many, say};
use crate::logbook::{self, Book, Merged, is_encrypted};

#[derive(clap::Args)]
pub(super) struct Check {
    /// A head printed in a report; it must be found in the book's chain; may be given several times
    #[arg(long, value_name = "HASH")]
    head: Vec<String>,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn check(place: &Place, words: &Check) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let checked = book.check(&words.head)?;
    let mut text = String::new();
    for damage in &checked.damage {
        let _ = writeln!(text, "DAMAGED {}: {}: {}", damage.kind, damage.place, damage.words);
    }
    for note in &checked.notes {
        let _ = writeln!(text, "note: {note}");
    }
    let _ = writeln!(
        text,
        "{}, {} entries in {}, {}: {}",
        many(checked.visits, "visit"),
        checked.entries,
        many(checked.lines, "chain"),
        many(checked.recordings, "recording"),
        match checked.damage.len() {
            0 => "no damage found".to_owned(),
            n => format!("{n} damaged; restore a backup beside it, and keep this book as it is"),
        }
    );
    if let Ok(head) = book.head() {
        let _ = writeln!(text, "chain: {head}");
    }
    let _ = writeln!(text, "{}", logbook::encryption_of(book.folder()));
    tell(words.json, &checked, &text)?;
    Ok(if checked.damage.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

#[derive(clap::Args)]
pub(super) struct Backup {
    /// The new file
    file: PathBuf,
    /// Encrypt it with a passphrase, which is asked for
    #[arg(long)]
    encrypt: bool,
    /// Encrypt it with the passphrase that stands in this file
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn backup(place: &Place, words: &Backup) -> anyhow::Result<ExitCode> {
    let file = words.passphrase_file.as_deref();
    let secret =
        (words.encrypt || file.is_some()).then(|| passphrase::get(file, true)).transpose()?;
    let done = place.open()?.backup(&words.file, secret.as_ref())?;
    let form = if done.encrypted {
        "encrypted: without its passphrase nobody can read it, you neither"
    } else {
        "NOT encrypted: keep it where only you can read it"
    };
    let text = format!(
        "{}: {} bytes, {}, {form}\nchain: {}\n",
        done.file.display(),
        done.bytes,
        many(done.recordings, "recording"),
        done.head
    );
    tell(words.json, &done, &text)?;
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Restore {
    /// The backup
    file: PathBuf,
    /// The passphrase stands in this file; else it is asked for where one is needed
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

/// The passphrase of a backup that needs one.
fn secret(file: &Path, from: Option<&Path>) -> anyhow::Result<Option<logbook::Passphrase>> {
    Ok(if is_encrypted(file)? { Some(passphrase::get(from, false)?) } else { None })
}

pub(super) fn restore_backup(place: &Place, words: &Restore) -> anyhow::Result<ExitCode> {
    let folder = place.folder()?;
    let secret = secret(&words.file, words.passphrase_file.as_deref())?;
    logbook::restore(&words.file, &folder, secret.as_ref())?;
    let checked = Book::open(&folder)?.book.check(&[])?;
    for damage in &checked.damage {
        eprintln!("cuffnote: {}: {}: {}", damage.kind, damage.place, damage.words);
    }
    say(&format!(
        "{}: {}, {} restored\n",
        folder.display(),
        many(checked.visits, "visit"),
        many(checked.recordings, "recording")
    ))?;
    Ok(if checked.damage.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

#[derive(clap::Args)]
pub(super) struct Sync {
    /// The shared folder, or one on a stick; every laptop names the same one
    folder: PathBuf,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn sync(place: &Place, words: &Sync) -> anyhow::Result<ExitCode> {
    let synced = place.write()?.sync(&words.folder)?;
    let mut text = format!("{} met: ", many(synced.others, "other book"));
    text += &brought(&synced.taken);
    let _ = writeln!(text, "This book lies there now; recordings left there: {}.", synced.left);
    for fault in &synced.failed {
        let _ = writeln!(text, "NOT TAKEN: {fault}");
    }
    tell(words.json, &synced, &text)?;
    Ok(if synced.failed.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

#[derive(clap::Args)]
pub(super) struct Merge {
    /// The other book's folder, or a backup of it
    from: PathBuf,
    /// The backup's passphrase stands in this file; else it is asked for where one is needed
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn merge(place: &Place, words: &Merge) -> anyhow::Result<ExitCode> {
    let merged = if words.from.is_dir() {
        place.write()?.merge(&words.from)?
    } else {
        let secret = secret(&words.from, words.passphrase_file.as_deref())?;
        place.write()?.merge_backup(&words.from, secret.as_ref())?
    };
    tell(words.json, &merged, &brought(&merged))?;
    Ok(ExitCode::SUCCESS)
}

fn brought(merged: &Merged) -> String {
    let mut text = format!(
        "{}, {} that went on, {} deleted, {}, {} entries in all.\n",
        many(merged.new_visits, "new visit"),
        merged.grown_visits,
        merged.forgotten,
        many(merged.recordings, "recording"),
        merged.entries
    );
    for note in &merged.notes {
        let _ = writeln!(text, "note: {note}");
    }
    text
}
