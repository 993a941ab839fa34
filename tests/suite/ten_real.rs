//! The ten visits of `ten.rs` by the same keys and touches in the real window on a real X server, in real time: the
//! book of the real program must hold what the visit in virtual time came to. `tests/run window` runs them;
//! `CUFFNOTE_PICTURES=DIR` keeps what the screen showed at each end.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use cuffnote::clinical::event::Outcome;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{Book, Search};
use cuffnote::settings::Settings;
use eframe::egui::{Key, Rect, vec2};

use super::ten::{self, VISITS};
use super::window::{Mirror, known};
use super::window_real::{Display, Program};

/// So tall that nothing has to be scrolled to.
const SIZE: (u16, u16) = (1280, 1800);

/// The program in a real window, its book and settings in a folder.
pub struct Real {
    display: Display,
    program: Program,
    folder: PathBuf,
    patient: String,
    began: Instant,
    height: u16,
}

impl Real {
    pub fn start(folder: &Path, scenario: &str, settings: &Settings, size: (u16, u16)) -> Self {
        settings.save(&folder.join("settings.toml")).unwrap();
        let display = Display::sized(size.0, size.1);
        let patient = format!("sim:{scenario}#1");
        let program = program(folder, &patient, &display);
        let (folder, began, height) = (folder.into(), Instant::now(), size.1);
        let real = Self { display, program, folder, patient, began, height };
        real.display.window();
        std::thread::sleep(Duration::from_secs(2));
        real
    }
}

fn program(folder: &Path, patient: &str, display: &Display) -> Program {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.args(["--source", patient, "--book"]).arg(folder.join("book"));
    command.env("CUFFNOTE_SETTINGS", folder.join("settings.toml"));
    command.env("CUFFNOTE_LOG_DIR", folder.join("log"));
    Program::start(command, display)
}

/// The keysym of a key (X11, `keysymdef.h`).
fn keysym(key: Key) -> u32 {
    match key {
        Key::Enter => 0xff0d,
        Key::Backspace => 0xff08,
        Key::PageDown => 0xff56,
        Key::Space => 0x20,
        Key::Escape => 0xff1b,
        other => u32::from(other.name().to_ascii_lowercase().as_bytes()[0]),
    }
}

impl Mirror for Real {
    fn elapsed(&self) -> Duration {
        self.began.elapsed()
    }

    fn key(&mut self, key: Key) {
        self.display.press(keysym(key));
        // An act is on the disk before the next key says something about it.
        std::thread::sleep(Duration::from_millis(250));
    }

    fn click(&mut self, at: Rect) {
        assert!(at.bottom() < f32::from(self.height), "it would have to be scrolled to");
        self.display.click(at);
    }

    fn write(&mut self, text: &str) {
        self.display.write(&text.to_lowercase());
    }

    fn interrupt(&mut self) {
        self.program.kill();
        self.program = program(&self.folder, &self.patient, &self.display);
        self.display.window();
        std::thread::sleep(Duration::from_secs(2));
    }

    fn picture(&self) -> image::RgbaImage {
        self.display.picture()
    }
}

/// What a visit came to: each attempt's site and outcome, as they stand after corrections.
fn came_to(visit: &Visit) -> Vec<(Site, Option<Outcome>)> {
    visit.attempts.iter().map(|a| (a.site, a.outcome.clone())).collect()
}

#[test]
#[ignore = "ten visits in real time: tests/run window"]
fn ten_visits_by_keys_in_the_real_window_come_to_the_same() {
    for (name, scenario, done) in VISITS {
        let folder = tempfile::tempdir().unwrap();
        let began = Instant::now();
        let mut visit = ten::Visit::on(scenario, vec2(f32::from(SIZE.0), f32::from(SIZE.1)));
        let real = Real::start(folder.path(), scenario, &known(vec![]), SIZE);
        visit.bedside.mirrored(Box::new(real));
        done(&mut visit);
        std::thread::sleep(Duration::from_secs(1));
        visit.end(name);
        let here = visit.bedside.model().result_visit().cloned();
        let here = here.expect("a visit is in hand or looked at");
        drop(visit);
        let book = Book::open(&folder.path().join("book")).unwrap().book;
        let rows = book.visits(&Search::default()).unwrap();
        assert_eq!(rows.len(), 1, "{name}");
        let there = Visit::read(&book.events(rows[0].id).unwrap()).unwrap();
        assert_eq!(came_to(&there), came_to(&here), "{name}");
        assert_eq!(there.opened.scope, here.opened.scope, "{name}");
        println!("{name}: the same in the real window, {:.0} s", began.elapsed().as_secs_f64());
    }
}
