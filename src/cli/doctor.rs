//! The verb `doctor`: looks at what a visit needs, one line each, and says what to do. Changes nothing.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde::Serialize;

use super::described::{Described, line};
use super::output::{many, say};
use super::place::Outputs;
use super::{layers, support};
use crate::audio::device::{self, Direction, System};
use crate::live::Choice;
use crate::logbook::{Book, BookFault, Search, encryption_of};
use crate::settings::{KEYS, Settings, book_folder, default_path, machine_path};

#[derive(clap::Args)]
pub(super) struct Words {
    /// The book's folder [default: CUFFNOTE_BOOK, else the settings' book.folder, else the platform's data folder]
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    /// One JSON object
    #[arg(long)]
    json: bool,
    /// Also write what helps whoever supports this computer: a text to be read before it is sent, without record, sound or name
    #[arg(long, value_name = "FILE")]
    bundle: Option<PathBuf>,
}

/// What was looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub(super) struct Looked {
    /// The program's version.
    program: String,
    /// The system that it was built for, such as `linux x86_64`.
    system: String,
    /// How many faults there are.
    faults: usize,
    /// Each thing that was looked at, in order.
    checks: Vec<Check>,
}

impl Described for Looked {
    const FORMAT: &'static str = "cuffnote-doctor";
}

/// One thing that was looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
struct Check {
    /// `versions`, `settings`, `computer` (its own settings), `log`, `book`, `backup`, `disk`, `clock`, `sound`, `device` or
    /// `display`.
    what: &'static str,
    /// How it is.
    state: State,
    /// What was found, in a sentence.
    said: String,
    /// What to do, where there is something to do.
    then: Option<String>,
}

/// How a thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum State {
    /// Nothing to do.
    Good,
    /// Worth knowing.
    Note,
    /// Something will not work.
    Fault,
}

impl State {
    const fn words(self) -> &'static str {
        match self {
            State::Good => "good",
            State::Note => "note",
            State::Fault => "FAULT",
        }
    }
}

fn check(what: &'static str, state: State, said: impl Into<String>, then: &str) -> Check {
    let then = (!then.is_empty()).then(|| then.to_owned());
    Check { what, state, said: said.into(), then }
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let mut outputs = Outputs::new();
    let bundle = words.bundle.map(|path| outputs.stream(&path)).transpose()?;
    let mut checks = vec![versions()];
    let (settings, said) = settings();
    checks.extend(said);
    checks.push(log());
    let place = match words.book {
        Some(folder) => Some(folder),
        None => book_folder(&settings),
    };
    checks.extend(book(place.as_deref()));
    checks.extend(sound(&settings));
    checks.push(display());
    let faults = checks.iter().filter(|check| check.state == State::Fault).count();
    let system = format!("{} {}", std::env::consts::OS, std::env::consts::ARCH);
    let looked = Looked { program: env!("CARGO_PKG_VERSION").into(), system, faults, checks };
    if let Some(out) = bundle {
        out.write(support::text(&in_words(&looked), &settings, place.as_deref()).as_bytes())?;
    }
    say(&if words.json { line(&looked)? } else { in_words(&looked) })?;
    Ok(if faults == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn in_words(looked: &Looked) -> String {
    let mut text = String::new();
    for Check { what, state, said, then } in &looked.checks {
        text += &format!("{what:<9} {:<6} {said}", state.words());
        if let Some(then) = then {
            text += &format!(" What to do: {then}");
        }
        text.push('\n');
    }
    text + &format!("{}\n", many(looked.faults, "fault"))
}

fn versions() -> Check {
    let (version, os) = (env!("CARGO_PKG_VERSION"), std::env::consts::OS);
    check("versions", State::Good, format!("cuffnote {version} for {os}."), "")
}

/// The settings of all layers, with a line on the user's file and one on the computer's.
fn settings() -> (Settings, Vec<Check>) {
    let (user, mut said) = user_settings();
    let (settings, of_computer) = computer_settings(user);
    said.push(of_computer);
    let unknown = settings.unknown();
    if !unknown.is_empty() {
        let known = format!("This program knows no {}.", unknown.join(", "));
        said.push(check("settings", State::Note, known, "`cuffnote settings` lists the keys"));
    }
    (layers::with_given(settings.clone()).unwrap_or(settings), said)
}

/// The computer's own file: whether it is there, and how much of it is locked.
fn computer_settings(user: Settings) -> (Settings, Check) {
    let Some(path) = machine_path().filter(|path| path.exists()) else {
        let said = "This computer has no settings of its own: each user's count.";
        return (user, check("computer", State::Good, said, ""));
    };
    match user.clone().with_machine(&path) {
        Err(fault) => {
            let then = "until then only what needs no settings runs";
            (user, check("computer", State::Fault, format!("{fault}."), then))
        }
        Ok(settings) => {
            let locked = KEYS.iter().filter(|key| settings.is_locked(key.name)).count();
            let said = format!("{} is read; {} fixed there.", path.display(), many(locked, "key"));
            (settings, check("computer", State::Good, said, ""))
        }
    }
}

/// Whether the log can be written: without one nobody can say later why something failed.
fn log() -> Check {
    let Some(path) = super::log::path() else {
        return check("log", State::Note, "This system names no place for a log.", "");
    };
    let there = path.ancestors().find(|above| above.exists()).unwrap_or(Path::new("."));
    let writable = !there.metadata().is_ok_and(|found| found.permissions().readonly());
    match writable {
        true => check("log", State::Good, format!("At {}.", path.display()), ""),
        false => check(
            "log",
            State::Note,
            format!("{} cannot be written.", path.display()),
            "see to the rights of that folder",
        ),
    }
}

fn user_settings() -> (Settings, Vec<Check>) {
    let Some(path) = default_path() else {
        let said = "This system names no place for settings: the usual ones are taken.";
        return (Settings::default(), vec![check("settings", State::Note, said, "")]);
    };
    let place = path.display();
    match Settings::open(&path) {
        Err(fault) => (
            Settings::default(),
            vec![check(
                "settings",
                State::Fault,
                format!("{fault}."),
                "move the file away; the window writes a new one",
            )],
        ),
        Ok(opened) => {
            let said = match opened.note {
                Some(note) => {
                    check("settings", State::Note, format!("{note}."), "look at the file")
                }
                None if path.exists() => {
                    check("settings", State::Good, format!("{place} is read."), "")
                }
                None => check(
                    "settings",
                    State::Good,
                    format!("None at {place}: the usual ones are taken."),
                    "",
                ),
            };
            (opened.settings, vec![said])
        }
    }
}

/// The book, its newest backup, its disk, and the clock held against it.
fn book(folder: Option<&Path>) -> Vec<Check> {
    let Some(folder) = folder else {
        let said = "This system names no folder for data.";
        return vec![check("book", State::Fault, said, "name a folder with --book")];
    };
    let name = folder.display();
    let mut checks = Vec::new();
    match Book::open_as_it_lies(folder) {
        _ if !folder.join("book.sqlite").exists() && !folder.join("recordings").exists() => {
            let said = format!("There is none at {name} yet.");
            checks.push(check(
                "book",
                State::Note,
                said,
                "nothing: the window makes it at its first visit",
            ));
            checks.push(clock(None));
        }
        Err(fault) => {
            let then = match fault {
                BookFault::Newer { .. } => "open it with the newer program",
                _ => "leave everything as it is; `cuffnote book check` says more",
            };
            checks.push(check("book", State::Fault, format!("{fault}."), then));
            checks.push(clock(None));
        }
        Ok(opened) => {
            checks.push(whole(&opened.book, folder));
            checks.push(backups(&opened.book));
            let newest = opened.book.visits(&Search { limit: Some(1), ..Search::default() });
            checks.push(clock(newest.ok().and_then(|rows| Some(rows.first()?.opened_at.utc()))));
        }
    }
    checks.push(disk(folder));
    checks
}

fn whole(book: &Book, folder: &Path) -> Check {
    let name = folder.display();
    let open = book.unfinished().map_or(0, |rows| rows.len());
    let said = match book.head() {
        Ok(head) => format!("{name}: {} entries.", head.entries),
        Err(fault) => {
            return check(
                "book",
                State::Fault,
                format!("{fault}."),
                "`cuffnote book check` says more",
            );
        }
    };
    match open {
        0 => check("book", State::Good, said, ""),
        n => {
            let said = format!("{said} {} not closed.", many(n, "visit"));
            check("book", State::Note, said, "the window offers to go on with it")
        }
    }
}

/// A backup this old is worth a word, days.
const OLD_DAYS: i64 = 7;

fn backups(book: &Book) -> Check {
    let now = crate::units::wall_clock();
    let newest = book.copies().into_iter().max_by_key(|copy| copy.at.utc());
    let Some(copy) = newest else {
        let said = "No backup of this book is written down.";
        return check("backup", State::Note, said, "`cuffnote book backup FILE`, on another disk");
    };
    let days = now.duration_since(copy.at.utc()).as_hours() / 24;
    let said = format!("The newest was made {} ago: {}.", many(days, "day"), copy.file.display());
    match days {
        0..=OLD_DAYS => check("backup", State::Good, said, ""),
        _ => check("backup", State::Note, said, "`cuffnote book backup FILE`, on another disk"),
    }
}

/// Before this program was written, seconds since 1970: 1 November 2026.
const WRITTEN_S: i64 = 1_793_491_200;

fn clock(newest: Option<jiff::Timestamp>) -> Check {
    let now = crate::units::wall_clock();
    let then = "set the computer's clock before the next visit";
    let said = format!("This computer says {now:.0}.");
    match newest {
        _ if now.as_second() < WRITTEN_S => {
            check("clock", State::Fault, said + " That is before this program was made.", then)
        }
        Some(newest) if newest.duration_since(now) > jiff::SignedDuration::from_hours(1) => {
            let said =
                format!("{said} The newest visit in the book is of {newest:.0}, later than that.");
            check("clock", State::Fault, said, then)
        }
        _ => check("clock", State::Good, said, ""),
    }
}

/// An hour of recording: 16 bits, 48,000 samples a second, bytes.
const HOUR: u64 = 48_000 * 2 * 3_600;

fn disk(folder: &Path) -> Check {
    let there = folder.ancestors().find(|above| above.is_dir()).unwrap_or(Path::new("."));
    let encrypted = encryption_of(there);
    let Some(free) = free(there) else {
        return check(
            "disk",
            State::Note,
            format!("How much is free could not be told. {encrypted}"),
            "",
        );
    };
    let (mb, hours) = (free / 1_000_000, free / HOUR);
    let said = format!("{mb} MB are free, {} of recording. {encrypted}", many(hours, "hour"));
    match hours {
        0 => check("disk", State::Fault, said, "make room before the next visit"),
        1..=9 => check("disk", State::Note, said, "make room soon"),
        _ => check("disk", State::Good, said, ""),
    }
}

/// Bytes that a user may still write there.
fn free(folder: &Path) -> Option<u64> {
    fs4::available_space(folder).ok()
}

/// The sound system, and whether the remembered device is there.
fn sound(settings: &Settings) -> Vec<Check> {
    let all = match device::list(System::Usual) {
        Ok(all) => all,
        Err(fault) => {
            let then = "as it says; recordings and typed visits need no sound system";
            return vec![check("sound", State::Fault, format!("{fault}."), then)];
        }
    };
    let inputs: Vec<_> = all.iter().filter(|d| d.direction == Direction::Input).collect();
    let real = inputs.iter().filter(|device| !device.monitor).count();
    let outputs = all.len() - inputs.len();
    let said =
        format!("The sound system answers: {}, {}.", many(real, "input"), many(outputs, "output"));
    let mut checks = vec![match real {
        0 => check(
            "sound",
            State::Fault,
            said,
            "connect the Doppler or a microphone; `cuffnote devices` lists what there is",
        ),
        _ => check("sound", State::Good, said, ""),
    }];
    checks.push(match Choice::remembered(settings).device {
        None => check(
            "device",
            State::Note,
            "No input is remembered: the system's own choice is taken.",
            "`cuffnote devices --remember NAME`",
        ),
        Some(kept) if inputs.iter().any(|device| device.id == kept) => {
            check("device", State::Good, format!("The remembered input is there: {kept}."), "")
        }
        Some(kept) => check(
            "device",
            State::Fault,
            format!("The remembered input is not there: {kept}."),
            "connect it, or remember another with `cuffnote devices --remember NAME`",
        ),
    });
    checks
}

/// Whether a window could be opened, as far as that can be told without opening one.
fn display() -> Check {
    let then = "run it from the desktop; the commands need no display";
    if !cfg!(target_os = "linux") {
        return check("display", State::Good, "The desktop's own.", "");
    }
    let named = |name: &str| std::env::var(name).ok().filter(|said| !said.is_empty());
    if let Some(name) = named("WAYLAND_DISPLAY") {
        let folder = PathBuf::from(named("XDG_RUNTIME_DIR").unwrap_or_default());
        return match folder.join(&name).exists() {
            true => check("display", State::Good, format!("Wayland, {name}."), ""),
            false => check(
                "display",
                State::Fault,
                format!("WAYLAND_DISPLAY names {name}, and nothing answers there."),
                then,
            ),
        };
    }
    let Some(name) = named("DISPLAY") else {
        return check(
            "display",
            State::Fault,
            "No display is named: the window cannot be opened from here.",
            then,
        );
    };
    let number: String =
        name.strip_prefix(':').unwrap_or("").chars().take_while(char::is_ascii_digit).collect();
    if number.is_empty() {
        return check("display", State::Note, format!("X11 on another computer: {name}."), "");
    }
    match answers(&number) {
        true => check("display", State::Good, format!("X11, {name}."), ""),
        false => check(
            "display",
            State::Fault,
            format!("DISPLAY names {name}, and nothing answers there."),
            then,
        ),
    }
}

/// Whether an X server listens at its usual place.
#[cfg(unix)]
fn answers(number: &str) -> bool {
    std::os::unix::net::UnixStream::connect(format!("/tmp/.X11-unix/X{number}")).is_ok()
}

#[cfg(not(unix))]
fn answers(_number: &str) -> bool {
    false
}
