//! The second program against real parts: a FHIR server in memory, PostgreSQL, DuckDB; and servers that misbehave.
//!
//! What needs parts that are not in this repository is ignored here and run by `tests/run service`, where it fails without
//! them: it never passes by absence.

mod audit;
mod database;
mod faults;
mod page;
mod parquet;
mod router;
mod smart;
mod tls;

use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;
use cuffnote::clinical::event::{Act, Event, Outcome};
use cuffnote::clinical::moment::Moment;
use cuffnote::logbook::{Book, Search, VisitId, Writer};

use super::visits::ten;

/// A folder with a record book and an outbox in it.
pub struct Place(tempfile::TempDir);

impl Place {
    /// A book of these visits.
    pub fn of(visits: &[Vec<Event>]) -> Self {
        let place = Self(tempfile::tempdir().unwrap());
        let mut writer = Writer::open(&place.book()).unwrap();
        let visits: Vec<&[Event]> = visits.iter().map(Vec::as_slice).collect();
        writer.keep_all_earlier(&visits).unwrap();
        place
    }

    /// A book of the plain visit alone.
    pub fn plain() -> Self {
        Self::of(&[ten().remove(0).1])
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn book(&self) -> PathBuf {
        self.path("book")
    }

    /// The book's visits, oldest first.
    pub fn ids(&self) -> Vec<VisitId> {
        Book::open(&self.book()).unwrap().book.ids(&Search::default()).unwrap()
    }

    /// An act after the closing of the first visit.
    pub fn add(&self, act: Act) {
        let at = Moment::parse("2026-11-25T09:00:00+01:00").unwrap();
        Writer::open(&self.book()).unwrap().keep(self.ids()[0], at, act).unwrap();
    }

    /// The first act of the first visit that is wanted, corrected.
    pub fn amend(&self, wanted: impl Fn(&Act) -> bool, change: impl Fn(&mut Act)) {
        let events = Book::open(&self.book()).unwrap().book.events(self.ids()[0]).unwrap();
        let (of, old) = cuffnote::clinical::visit::standing(&events, wanted).unwrap();
        let mut new = old.clone();
        change(&mut new);
        let (old, new) = (Box::new(old), Box::new(new));
        self.add(Act::Amendment { of, old, new, who: "op-7".into(), why: "misread".into() });
    }

    /// Another reading of an attempt.
    pub fn correct(&self, number: u32, mmhg: f64) {
        self.amend(
            |act| matches!(act, Act::Outcome { attempt, .. } if *attempt == number),
            |act| {
                if let Act::Outcome { outcome: Outcome::Reading { cuff_mmhg, .. }, .. } = act {
                    *cuff_mmhg = serde_json::from_value(mmhg.into()).unwrap();
                }
            },
        );
    }

    /// Another record's code.
    pub fn of_another(&self, code: &str) {
        self.amend(
            |act| matches!(act, Act::VisitOpened(_)),
            |act| {
                if let Act::VisitOpened(opened) = act {
                    opened.record = code.into();
                }
            },
        );
    }

    pub fn settings(&self, text: &str) -> PathBuf {
        let path = self.path("service.toml");
        std::fs::write(&path, text).unwrap();
        path
    }

    /// Runs the second program in this folder.
    pub fn service(&self, words: &[&str]) -> Output {
        let mut command = Command::cargo_bin("cuffnote-service").unwrap();
        command.current_dir(self.0.path()).env_remove("CUFFNOTE_SERVICE").args(words);
        command.output().unwrap()
    }

    /// Somebody who writes so many visits into the book meanwhile, one after the other.
    pub fn being_written(&self, visits: u32) -> std::thread::JoinHandle<()> {
        let book = self.book();
        std::thread::spawn(move || {
            let mut writer = Writer::open(&book).unwrap();
            for n in 0..visits {
                let mut events = ten().remove(0).1;
                if let Act::VisitOpened(opened) = &mut events[0].act {
                    opened.record = format!("K-9{n:03}");
                }
                writer.keep_all_earlier(&[events.as_slice()]).unwrap();
                std::thread::sleep(std::time::Duration::from_millis(20));
            }
        })
    }

    /// Sends the book to a server; whether all went well, and everything that was said.
    pub fn send(&self, to: &str, more: &[&str]) -> (bool, String) {
        told(&self.service(&[&["send", "--book", "book", "--to", to], more].concat()))
    }
}

/// Whether it went well, and everything that was said.
pub fn told(output: &Output) -> (bool, String) {
    let said = [output.stdout.as_slice(), output.stderr.as_slice()].concat();
    (output.status.success(), String::from_utf8(said).unwrap())
}

/// A part of the tests that `tests/run service` installs.
pub fn installed(name: &str) -> PathBuf {
    std::env::var_os(name).map(PathBuf::from).unwrap_or_else(|| panic!("{name} is not set"))
}

/// A file of this repository.
pub fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}
