//! The second program, `cuffnote-service`: results to a patient's record, and figures over many clinics.
//!
//! A shell, and the only room with network code; `cuffnote` is built without it. It reads record books and never
//! writes in one.

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

mod auth;
mod choices;
mod database;
pub mod dictionary;
mod facts;
mod gather;
mod http;
mod outbox;
mod parcels;
mod parquet_rows;
mod rows;
mod said;
mod send;
mod server;
mod stream;
mod tables;
mod visits;

use choices::Choices;
use said::{note, sentence};

/// Sends results from record books to a patient's record, and gathers them for figures over many clinics.
#[derive(Parser)]
#[command(
    name = "cuffnote-service",
    version,
    after_help = "Exit status:\n  0  Done\n  1  Something failed, waits, was refused or skipped: standard error says what\n  2  The words were wrong"
)]
struct Words {
    /// What the service chose (docs/service.md) [default: CUFFNOTE_SERVICE, where it is set]
    #[arg(long, value_name = "FILE", global = true)]
    settings: Option<PathBuf>,
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Send what a FHIR server lacks, once each; corrections replace what they correct
    Send(send::Words),
    /// What waits, was sent or was refused
    Outbox(send::Look),
    /// Record books into PostgreSQL: what came since the last time
    Gather(gather::Words),
    /// Record books as Parquet or CSV: three tables, a file for each service and month
    Tables(tables::Words),
    /// Print what each column of the three tables means
    Dictionary,
}

/// Runs the program on `words` (the program's name first) and returns its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    let words = match Words::try_parse_from(words) {
        Ok(words) => words,
        Err(refusal) => {
            let _ = refusal.print();
            return ExitCode::from(if refusal.use_stderr() { 2 } else { 0 });
        }
    };
    match done(&words) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(fault) => {
            note(&sentence(&fault));
            ExitCode::FAILURE
        }
    }
}

fn done(words: &Words) -> anyhow::Result<bool> {
    let named = std::env::var_os("CUFFNOTE_SERVICE").filter(|name| !name.is_empty());
    let settings = words.settings.clone().or_else(|| named.map(PathBuf::from));
    let choices = Choices::read(settings.as_deref())?;
    match &words.verb {
        Verb::Send(words) => send::run(words, &choices),
        Verb::Outbox(words) => send::look(words, &choices),
        Verb::Gather(words) => gather::run(words, &choices),
        Verb::Tables(words) => tables::run(words),
        Verb::Dictionary => said::say(dictionary::printed().trim_end()).map(|()| true),
    }
}
