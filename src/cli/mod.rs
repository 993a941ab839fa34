//! Words -> plan -> work: the command line. Each verb has a file of its own.
//!
//! What the exit status means stands in `status`.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

use output::{fault, say_bytes, sentence};

mod agree;
mod audit;
mod book;
mod complete;
mod demo;
mod described;
mod devices;
mod doctor;
mod examples;
mod features;
mod given;
mod import;
mod index;
mod layers;
mod listen;
mod listen_live;
mod live_attempts;
mod live_plan;
mod live_schema;
mod live_screen;
mod live_words;
mod log;
mod make;
mod man;
mod manner;
mod nearest;
mod output;
mod outward;
mod overread;
mod paper;
mod place;
mod practise;
mod progress;
mod recheck;
mod recordings;
mod rehear;
mod report;
mod schema;
mod scripted;
mod settings;
mod status;
mod support;
mod table;
mod trial;
mod window;

pub use examples::examples;
pub use schema::{schema, schemas};
pub use status::STATUS;

/// Hears the pulse come back in a hand-held Doppler's sound, and documents the ankle-brachial index.
///
/// For training and for recording what a clinician measured. It does not diagnose and is not a cleared
/// medical device. The clinician's ear and gauge are the record; local policy and licensed practice decide.
#[derive(Parser)]
#[command(name = "cuffnote", version, after_help = status::help())]
struct Words {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    window: window::Words,
    #[command(flatten)]
    manner: manner::Words,
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
    Recheck(outward::Recheck),
    /// Write the report of a visit, or visits in a form for other programs
    Report(outward::Report),
    /// Everything about the record book
    Book(book::Words),
    /// Take earlier visits over from a table
    Import(outward::Import),
    /// Count how well a service measures
    Audit(outward::Audit),
    /// `cuffnote-service send` does this
    #[command(hide = true)]
    Push(outward::Gone),
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
    /// Look at what a visit needs (sound, book, disk, display), and say what to do
    Doctor(doctor::Words),
    /// Score the listener on simulated deflations, or on a service's own recordings
    Trial(trial::Words),
    /// List every setting with its value, where that comes from, and what it means
    Settings(settings::Words),
    /// Print the JSON Schema of what a verb prints with --json
    Schema(schema::Words),
    /// Print the manual page of the program or of a verb, as `man` reads it
    Man(man::Words),
    /// Print completions for a shell, names of scenarios, guidance, devices and visits among them
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// The command line with its examples, as it is read and as its help is made.
fn command() -> clap::Command {
    examples::shown(Words::command())
}

/// Whether these words (the program's name first) are understood. Nothing is done.
pub fn understood(words: impl IntoIterator<Item = OsString>) -> bool {
    Words::try_parse_from(words).is_ok()
}

/// The words, or the status of a run that ends here: help was asked for, or they were wrong.
fn read(words: &[OsString]) -> Result<Words, ExitCode> {
    let mut command = command().color(manner::color_of(words));
    let found = command.try_get_matches_from_mut(words).and_then(|found| {
        let words = Words::from_arg_matches(&found)?;
        match (&words.verb, words.window.given()) {
            (Some(_), Some(word)) => Err(command.error(
                clap::error::ErrorKind::ArgumentConflict,
                format!(
                    "`{word}` belongs to the window: write it behind a verb, or leave the verb out"
                ),
            )),
            _ => Ok(words),
        }
    });
    found.map_err(|refusal| {
        let shown = refusal.print();
        match (refusal.use_stderr(), shown) {
            (true, _) => ExitCode::from(2),
            (false, Ok(())) => ExitCode::SUCCESS,
            (false, Err(why)) => {
                fault(&sentence(&anyhow::Error::new(why).context("standard output")));
                ExitCode::FAILURE
            }
        }
    })
}

/// Runs the program on `words` (the program's name first) and returns its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    let words: Vec<OsString> = words.into_iter().collect();
    if complete::asked(&words, command) {
        return ExitCode::SUCCESS;
    }
    let typed: Vec<String> =
        words.iter().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
    let words = match read(&words) {
        Ok(words) => words,
        Err(code) => return code,
    };
    manner::set(&words.manner);
    layers::set(&words.manner.set);
    log::keep_panics();
    let verb = words.verb.as_ref().map_or("window", Verb::name);
    let done = done(words);
    let code = done.unwrap_or_else(|why| {
        fault(&sentence(&why));
        if why.is::<output::Misuse>() { ExitCode::from(2) } else { ExitCode::FAILURE }
    });
    // Completions are asked for by a shell at its start: that is no run worth a line.
    if !verb.is_empty() {
        let failed = output::first_fault().map(|why| log::reason(&why, &typed));
        let how = failed.map_or("ended".to_owned(), |why| format!("failed: {why}"));
        log::note(&format!("{verb} {how}"));
    }
    code
}

fn done(words: Words) -> anyhow::Result<ExitCode> {
    match words.verb {
        None => window::run(words.window),
        Some(Verb::Demo(words)) => demo::run(words),
        Some(Verb::Listen(words)) => listen::run(words),
        Some(Verb::Index(words)) => index::run(words),
        Some(Verb::Recheck(words)) => outward::recheck(words),
        Some(Verb::Report(words)) => outward::report(words),
        Some(Verb::Book(words)) => book::run(words),
        Some(Verb::Import(words)) => outward::import(words),
        Some(Verb::Audit(words)) => outward::audit(words),
        Some(Verb::Push(words)) => outward::gone(&words),
        Some(Verb::Make(words)) => make::run(words),
        Some(Verb::Practise(words)) => practise::run(words),
        Some(Verb::Agree(words)) => agree::run(words),
        Some(Verb::Rehear(words)) => rehear::run(words),
        Some(Verb::Overread(words)) => overread::run(words),
        Some(Verb::Devices(words)) => devices::run(words),
        Some(Verb::Trial(words)) => trial::run(words),
        Some(Verb::Doctor(words)) => doctor::run(words),
        Some(Verb::Settings(words)) => settings::run(&words),
        Some(Verb::Schema(words)) => schema::run(&words),
        Some(Verb::Man(words)) => man::run(&words, command()),
        Some(Verb::Completions { shell }) => {
            say_bytes(&complete::script(shell)?).map(|()| ExitCode::SUCCESS)
        }
    }
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
            Verb::Doctor(_) => "doctor",
            Verb::Settings(_) => "settings",
            Verb::Schema(_) | Verb::Man(_) | Verb::Completions { .. } => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use clap::{Command, CommandFactory};

    use super::Words;

    fn grouped_once(command: &Command) {
        let mut names = HashSet::new();
        for group in command.get_groups() {
            let name = group.get_id();
            assert!(names.insert(name.clone()), "{}: {name} twice", command.get_name());
        }
        command.get_subcommands().for_each(grouped_once);
    }

    /// The parser looks at this itself only in a debug build, and ends the program there.
    #[test]
    fn no_verb_has_two_groups_of_one_name() {
        grouped_once(&Words::command());
    }
}
