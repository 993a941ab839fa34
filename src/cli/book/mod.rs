//! The verb `book`: everything about the record book that needs no window.

use std::path::PathBuf;
use std::process::ExitCode;

mod carry;
mod change;
mod out;
mod passphrase;
mod place;
mod show;

use place::Place;

#[derive(clap::Args)]
pub(super) struct Words {
    /// The book's folder [default: CUFFNOTE_BOOK, else the settings' book.folder, else the platform's data folder]
    #[arg(long, value_name = "DIR", global = true)]
    book: Option<PathBuf>,
    #[command(subcommand)]
    verb: Verb,
}

#[derive(clap::Subcommand)]
enum Verb {
    /// List visits, newest first
    List(show::List),
    /// Show one visit, or the history and trend of one record
    Show(show::Show),
    /// Write the report of a visit
    Report(out::Report),
    /// Write all visits, or those that are wanted, as FHIR, CSV, Parquet, PDF, HTML or JSON
    Export(out::Export),
    /// Send a visit to a FHIR server (only in a build with the feature push)
    Push(out::Push),
    /// Take earlier visits over from a table
    Import(change::Import),
    /// Count how well the service measures
    Audit(out::Audit),
    /// Correct or add to a visit; what stood there is kept
    Amend(change::Amend),
    /// Check chain, events, lists and recordings; exit 1 and the damage's name where there is any
    Check(carry::Check),
    /// Write the whole book to one file, also while it is in use
    Backup(carry::Backup),
    /// Make a book of a backup, in a folder that holds none
    Restore(carry::Restore),
    /// Meet the other laptops' books in a shared folder or on a stick, both ways
    Sync(carry::Sync),
    /// Take another book, or a backup of one, into this one
    Merge(carry::Merge),
    /// Delete a visit or its recordings for good; that and why it was deleted stays
    Forget(change::Forget),
    /// List visits whose numbers or words this version changes
    Recheck(show::Recheck),
    /// Add the check character to the beginning of a record's code, or check a whole code
    Code(change::Code),
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let place = Place(words.book);
    match words.verb {
        Verb::List(words) => show::list(&place, &words),
        Verb::Show(words) => show::show(&place, &words),
        Verb::Report(words) => out::report(&place, &words),
        Verb::Export(words) => out::export(&place, &words),
        Verb::Push(words) => out::send(&place, &words),
        Verb::Import(words) => change::import_table(&place, &words),
        Verb::Audit(words) => out::count(&place, &words),
        Verb::Amend(words) => change::amend(&place, words),
        Verb::Check(words) => carry::check(&place, &words),
        Verb::Backup(words) => carry::backup(&place, &words),
        Verb::Restore(words) => carry::restore_backup(&place, &words),
        Verb::Sync(words) => carry::sync(&place, &words),
        Verb::Merge(words) => carry::merge(&place, &words),
        Verb::Forget(words) => change::forget(&place, &words),
        Verb::Recheck(words) => show::recheck_all(&place, &words),
        Verb::Code(words) => change::code(&words),
    }
}
