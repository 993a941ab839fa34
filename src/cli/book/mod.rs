//! The verb `book`: everything about the record book that needs no window.

use std::path::PathBuf;
use std::process::ExitCode;

mod carry;
pub(super) mod change;
pub(super) mod confirm;
mod make;
pub(super) mod out;
pub(super) mod passphrase;
pub(super) mod place;
pub(super) mod show;

use super::progress::note;
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
    /// The verb `report` does this
    #[command(hide = true)]
    Report(out::Report),
    /// Write all visits, or those that are wanted, in a form for people or other programs
    #[command(after_help = crate::cli::report::ABOUT_FORMS)]
    Export(out::Export),
    /// `cuffnote-service send` does this
    #[command(hide = true)]
    Push(super::outward::Gone),
    /// The verb `import` does this
    #[command(hide = true)]
    Import(change::Import),
    /// The verb `audit` does this
    #[command(hide = true)]
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
    /// Go on here with a visit that is open on another laptop, which then no longer may
    TakeOver(change::TakeOver),
    /// Hold a visit file against this book: whether it is what the record says
    Confirm(confirm::Confirm),
    /// Work the lists out anew from the sealed entries
    Mend(carry::Mend),
    /// Make visits of invented people, by a seed
    #[command(hide = true)]
    Make(make::Make),
    /// Delete a visit or its recordings for good; that and why it was deleted stays
    Forget(change::Forget),
    /// The verb `recheck` does this
    #[command(hide = true)]
    Recheck(show::Recheck),
    /// Add the check character to the beginning of a record's code, or check a whole code
    Code(change::Code),
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let place = Place(words.book);
    match words.verb {
        Verb::List(words) => show::list(&place, &words),
        Verb::Show(words) => show::show(&place, &words),
        Verb::Report(words) => moved("report", out::report(&place, &words)),
        Verb::Export(words) => out::export(&place, &words),
        Verb::Push(words) => super::outward::gone(&words),
        Verb::Import(words) => moved("import", change::import_table(&place, &words)),
        Verb::Audit(words) => moved("audit", out::count(&place, &words)),
        Verb::Amend(words) => change::amend(&place, words),
        Verb::Check(words) => carry::check(&place, &words),
        Verb::Backup(words) => carry::backup(&place, &words),
        Verb::Restore(words) => carry::restore_backup(&place, &words),
        Verb::Sync(words) => carry::sync(&place, &words),
        Verb::Merge(words) => carry::merge(&place, &words),
        Verb::TakeOver(words) => change::take_over(&place, words),
        Verb::Confirm(words) => confirm::confirm(&place, &words),
        Verb::Mend(_) => carry::mend(&place),
        Verb::Make(words) => make::make(&place, &words),
        Verb::Forget(words) => change::forget(&place, &words),
        Verb::Recheck(words) => {
            moved("recheck", show::recheck_all(&place, &words.guidance, words.json))
        }
        Verb::Code(words) => change::code(&words),
    }
}

/// A deed that has a verb of its own now; the old word is kept for one version.
fn moved(verb: &str, done: anyhow::Result<ExitCode>) -> anyhow::Result<ExitCode> {
    note(&format!("`book {verb}` is now `{verb}`; the old words go with the next version"));
    done
}
