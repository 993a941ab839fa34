//! Words -> plan -> work: the command line. Each verb has a file of its own.
//!
//! Exit codes: 0 done, 1 something could not be done (named on stderr), 2 the words were wrong.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use output::{say, sentence};

mod agree;
mod audit;
mod book;
mod demo;
mod devices;
mod import;
mod index;
mod listen;
mod listen_live;
mod live_attempts;
mod live_plan;
mod live_screen;
mod live_words;
mod log;
mod make;
mod output;
mod overread;
mod paper;
mod practise;
mod push;
mod recheck;
mod recordings;
mod rehear;
mod report;
mod scripted;
mod table;
mod trial;
mod window;

/// Hears the pulse come back in a hand-held Doppler's sound, and documents the ankle-brachial index.
///
/// For training and for recording what a clinician measured. It does not diagnose and is not a cleared
/// medical device. The clinician's ear and gauge are the record; local policy and licensed practice decide.
#[derive(Parser)]
#[command(name = "cuffnote", version, args_conflicts_with_subcommands = true)]
struct Words {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    window: window::Words,
}

#[derive(Subcommand)]
enum Verb {
    /// The whole job with no hardware, on the shipped recordings
    Demo(demo::Words),
    /// Listen to recordings, or to live sound, for the return of the pulse
    Listen(listen::Words),
    /// Work out both indexes from readings
    Index(index::Words),
    /// List past visits whose numbers or words this version changes
    Recheck(recheck::Words),
    /// Write the report of a visit, or visits as FHIR, CSV or Parquet
    Report(report::Words),
    /// Everything about the record book
    Book(book::Words),
    /// Take earlier visits over from a table
    Import(import::Words),
    /// Count how well a service measures
    Audit(audit::Words),
    /// Send a FHIR bundle to a server (only in a build with the feature push)
    Push(push::Words),
    /// Make the sound of a simulated patient, with the truth beside it
    Make(make::Words),
    /// Check a teacher's lesson, gather a class, run scripted students; drills by ear are in the window
    Practise(practise::Words),
    /// How well readers agree, from a table with one column a reader
    Agree(agree::Words),
    /// Hear a recording again: slower at the same pitch, and as one mean beat
    Rehear(rehear::Words),
    /// Recordings for a second person, blind, and the answers together again
    Overread(overread::Words),
    /// List the sound devices
    Devices(devices::Words),
    /// Score the listener on simulated deflations
    Trial(trial::Words),
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// Whether these words (the program's name first) are understood. Nothing is done.
pub fn understood(words: impl IntoIterator<Item = OsString>) -> bool {
    Words::try_parse_from(words).is_ok()
}

/// Runs the program on `words` (the program's name first) and returns its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    let words = match Words::try_parse_from(words) {
        Ok(words) => words,
        Err(refusal) => {
            let code = if refusal.use_stderr() { 2 } else { 0 };
            let _ = refusal.print();
            return ExitCode::from(code);
        }
    };
    log::keep_panics();
    let verb = words.verb.as_ref().map_or("window", Verb::name);
    let done = match words.verb {
        None => window::run(words.window),
        Some(Verb::Demo(words)) => demo::run(words),
        Some(Verb::Listen(words)) => listen::run(words),
        Some(Verb::Index(words)) => index::run(words),
        Some(Verb::Recheck(words)) => recheck::run(words),
        Some(Verb::Report(words)) => report::run(words),
        Some(Verb::Book(words)) => book::run(words),
        Some(Verb::Import(words)) => import::run(words),
        Some(Verb::Audit(words)) => audit::run(words),
        Some(Verb::Push(words)) => push::run(words),
        Some(Verb::Make(words)) => make::run(words),
        Some(Verb::Practise(words)) => practise::run(words),
        Some(Verb::Agree(words)) => agree::run(words),
        Some(Verb::Rehear(words)) => rehear::run(words),
        Some(Verb::Overread(words)) => overread::run(words),
        Some(Verb::Devices(words)) => devices::run(words),
        Some(Verb::Trial(words)) => trial::run(words),
        Some(Verb::Completions { shell }) => {
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Words::command(), "cuffnote", &mut text);
            say(&String::from_utf8_lossy(&text)).map(|()| ExitCode::SUCCESS)
        }
    };
    let failed = done.is_err();
    let code = done.unwrap_or_else(|fault| {
        eprintln!("cuffnote: {}", sentence(&fault));
        ExitCode::FAILURE
    });
    // Completions are asked for by a shell at its start: that is no run worth a line.
    if !verb.is_empty() {
        log::note(&format!("{verb} {}", if failed { "failed" } else { "ended" }));
    }
    code
}

impl Verb {
    /// The verb's name for the log.
    fn name(&self) -> &'static str {
        match self {
            Verb::Demo(_) => "demo",
            Verb::Listen(_) => "listen",
            Verb::Index(_) => "index",
            Verb::Recheck(_) => "recheck",
            Verb::Report(_) => "report",
            Verb::Book(_) => "book",
            Verb::Import(_) => "import",
            Verb::Audit(_) => "audit",
            Verb::Push(_) => "push",
            Verb::Make(_) => "make",
            Verb::Practise(_) => "practise",
            Verb::Agree(_) => "agree",
            Verb::Rehear(_) => "rehear",
            Verb::Overread(_) => "overread",
            Verb::Devices(_) => "devices",
            Verb::Trial(_) => "trial",
            Verb::Completions { .. } => "",
        }
    }
}
