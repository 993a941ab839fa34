//! The whole book: checked, backed up, restored, merged, synced.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::passphrase;
use super::place::{Place, tell};
use crate::cli::layers;
use crate::cli::output::{fault, many, misuse, say};
use crate::cli::place::Outputs;
use crate::cli::progress::{note, stopped_so, watched};
use crate::logbook::{self, Book, Checked, Merged, Waiting, is_encrypted};

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
    let mut opened = match place.open_as_it_lies() {
        Ok(book) => book,
        Err(fault) => {
            let folder = place.there()?;
            let checked = match fault.downcast_ref() {
                Some(fault) => Book::cannot_be_checked(&folder, fault),
                None => return Err(fault),
            };
            return told(&checked, words.json, String::new());
        }
    };
    opened.set_watch(watched("check")?);
    let checked = stopped_so(opened.check(&words.head), "the book is not judged")?;
    opened.set_watch(Waiting::default());
    let mut end = String::new();
    if let Ok(head) = opened.head() {
        let _ = writeln!(end, "chain: {head}");
    }
    let _ = writeln!(end, "{}", logbook::encryption_of(opened.folder()));
    told(&checked, words.json, end)
}

/// What a check found, each with what to do.
fn told(checked: &Checked, json: bool, end: String) -> anyhow::Result<ExitCode> {
    let mut text = String::new();
    let states = [
        ("DAMAGED", &checked.damage),
        ("waiting", &checked.waiting),
        ("newer program", &checked.newer),
    ];
    for (state, found) in states {
        for one in found {
            let _ = writeln!(
                text,
                "{state} {}: {}: {}. What to do: {}",
                one.kind, one.place, one.words, one.then
            );
        }
    }
    for note in &checked.notes {
        let _ = writeln!(text, "note: {note}");
    }
    let _ = writeln!(
        text,
        "{}, {} entries in {}, {}, {} proved: {}",
        many(checked.visits, "visit"),
        checked.entries,
        many(checked.lines, "chain"),
        many(checked.recordings, "recording"),
        many(checked.heads, "sealed head"),
        match checked.damage.len() {
            0 => "no damage found".to_owned(),
            n => format!("{n} damaged"),
        }
    );
    let counts = [
        (checked.waiting.len() as u64, "waiting"),
        (checked.newer.len() as u64, "for a newer program"),
        (checked.aside, "set aside"),
        (checked.disagreements, "in disagreement between laptops"),
    ];
    for (count, words) in counts.iter().filter(|(count, _)| *count > 0) {
        let _ = writeln!(text, "{count} {words}");
    }
    tell(json, checked, &(text + &end))?;
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
    if words.file.as_os_str() == "-" {
        return Err(misuse("a backup counts as made only once it is on a disk: name a file"));
    }
    Outputs::new().file(&words.file)?;
    let file = words.passphrase_file.as_deref();
    let secret =
        (words.encrypt || file.is_some()).then(|| passphrase::get(file, true)).transpose()?;
    let secret = secret.map(logbook::Passphrase::strong).transpose()?;
    let mut book = place.open()?;
    book.set_watch(watched("backup")?);
    let done = stopped_so(book.backup(&words.file, secret.as_ref()), "no backup was written")?;
    drop(book);
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
    done.notes.iter().for_each(|words| note(words));
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
    let watch = watched("restore")?;
    let done = logbook::restore_watched(&words.file, &folder, secret.as_ref(), &watch);
    stopped_so(done, "nothing was restored")?;
    let mut book = Book::open(&folder)?.book;
    book.set_watch(watch);
    let whole = "the book was restored, and was not checked: `cuffnote book check` does it";
    let checked = stopped_so(book.check(&[]), whole)?;
    drop(book);
    for damage in &checked.damage {
        fault(&format!("{}: {}: {}", damage.kind, damage.place, damage.words));
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
    /// The shared folder, or one on a stick; every laptop names the same one [default: the settings' book.sync]
    folder: Option<PathBuf>,
    /// This clinic's own folder inside the shared one, where several clinics share it; only its own laptops are read
    #[arg(long, value_name = "NAME")]
    clinic: Option<String>,
    /// The other clinics' laptops are read too
    #[arg(long)]
    all: bool,
    /// One JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn sync(place: &Place, words: &Sync) -> anyhow::Result<ExitCode> {
    let sharing = logbook::Sharing { clinic: words.clinic.clone(), all: words.all };
    let folder = match &words.folder {
        Some(folder) => folder.clone(),
        None => match layers::settings()?.text("book.sync").filter(|name| !name.is_empty()) {
            Some(name) => name.into(),
            None => return Err(misuse("name the shared folder, or set book.sync to it")),
        },
    };
    let mut writer = place.write()?;
    writer.set_watch(watched("sync")?);
    let now = "each file that was left is whole, and each chain was taken in whole or not at all; the next sync does the rest";
    let synced = stopped_so(writer.sync_as(&folder, &sharing), now)?;
    drop(writer);
    let mut text = format!("{} met: ", many(synced.others, "other chain"));
    text += &brought(&synced.taken);
    let _ = writeln!(
        text,
        "Left there: {} entries, {}, {} bytes.",
        synced.left_entries,
        many(synced.left, "recording"),
        synced.left_bytes
    );
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
    let folder = words.from.is_dir();
    let secret = match folder {
        true => None,
        false => secret(&words.from, words.passphrase_file.as_deref())?,
    };
    let mut writer = place.write()?;
    writer.set_watch(watched("merge")?);
    let merged = match folder {
        true => writer.merge(&words.from),
        false => writer.merge_backup(&words.from, secret.as_ref()),
    };
    let merged = stopped_so(merged, "this book is as it was before")?;
    drop(writer);
    tell(words.json, &merged, &brought(&merged))?;
    Ok(if merged.refused.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
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
    for refused in &merged.refused {
        let _ = writeln!(text, "NOT TAKEN: {refused}");
    }
    text
}

#[derive(clap::Args)]
pub(super) struct Mend {}

pub(super) fn mend(place: &Place) -> anyhow::Result<ExitCode> {
    let mut writer = place.write()?;
    writer.set_watch(watched("mend")?);
    stopped_so(writer.mend(), "the lists are as they were before")?;
    drop(writer);
    say("the lists were worked out anew from the sealed entries\n")?;
    Ok(ExitCode::SUCCESS)
}
