//! The same visit in each language in the real window on a real X server, in real time, with a picture of every screen and a
//! report: `CUFFNOTE_PICTURES=DIR CUFFNOTE_LANGUAGE=de` for one language alone, and where to. What the books hold is the same.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use cuffnote::clinical::event::Outcome;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{Book, REPORTS, Search};
use cuffnote::window::model::action::Screen;
use cuffnote::window::model::choices::Change;
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};

use super::ten_real::Real;
use super::window::{Bedside, RECORD, known};

/// As wide as a laptop's screen, and so tall that nothing is scrolled to.
const SIZE: (u16, u16) = (1280, 1200);

/// What is read, site by site in the usual order.
const READ: [i32; 6] = [148, 104, 96, 146, 150, 142];

struct Pictured {
    bedside: Bedside,
    words: Words,
    out: PathBuf,
    number: usize,
}

impl Pictured {
    fn click(&mut self, id: &'static str) {
        let label = self.words.plain(id);
        self.bedside.click(label);
    }

    /// What the real screen shows now.
    fn picture(&mut self, screen: &str) {
        std::thread::sleep(Duration::from_millis(400));
        self.number += 1;
        let name = format!("{}-{:02}-{screen}.png", self.words.tag(), self.number);
        self.bedside.picture(&self.out.join(name));
    }

    fn begin(&mut self) {
        self.picture("visits");
        self.click("window-set-up");
        self.picture("set-up");
        self.click("window-back");
        self.click("begin-title");
        self.bedside.write(self.words.plain("begin-record"), RECORD);
        self.click("clinical-posture-supine");
        self.picture("begin");
        self.click("begin-start");
        self.picture("prepare");
        self.click("prepare-none");
        self.click("prepare-start-early");
    }

    /// Every site: the stages by keys, the reading, and what is said of it.
    fn measure(&mut self) {
        for (n, read) in READ.into_iter().enumerate() {
            // Long enough for a row of beats.
            self.bedside.wait(7.0);
            for stage in ["find", "inflate", "deflate"] {
                if n == 0 {
                    self.picture(stage);
                }
                self.bedside.key(Key::PageDown);
            }
            self.bedside.digits(&read.to_string());
            if n == 0 {
                self.picture("read");
            }
            self.bedside.keep();
            if n == 0 {
                self.picture("kept");
            }
            self.bedside.key(Key::Enter);
            assert!(n == 5 || self.bedside.model().screen == Screen::Measure);
        }
    }

    fn result(&mut self) {
        self.bedside.wait(1.0);
        self.picture("result");
        self.click("result-write");
        self.bedside.wait(3.0);
        self.picture("written");
        self.click("result-close");
        self.bedside.wait(1.0);
        self.picture("closed");
        self.click("visits-practise");
        self.picture("practise");
        self.click("practice-listen-first");
        self.picture("listen-first");
    }
}

/// What a visit came to: each attempt's site and outcome.
fn came_to(book: &Path) -> Vec<(Site, Option<Outcome>)> {
    let book = Book::open(book).unwrap().book;
    let rows = book.visits(&Search::default()).unwrap();
    assert_eq!(rows.len(), 1);
    let visit = Visit::read(&book.events(rows[0].id).unwrap()).unwrap();
    visit.attempts.iter().map(|a| (a.site, a.outcome.clone())).collect()
}

/// The report that the real program wrote, as pictures of its pages.
fn report(book: &Path, to: &Path, words: Words) {
    let folders = std::fs::read_dir(book.join(REPORTS)).unwrap();
    let files = folders.flat_map(|f| std::fs::read_dir(f.unwrap().path()).unwrap());
    let mut files = files.map(|file| file.unwrap().path());
    let pdf = files.find(|file| file.extension().is_some_and(|e| e == "pdf")).unwrap();
    let name = format!("{}-report", words.tag());
    std::fs::copy(&pdf, to.join(format!("{name}.pdf"))).unwrap();
    let mut draw = Command::new("pdftoppm");
    let drawn = draw.args(["-png", "-r", "70"]).arg(&pdf).arg(to.join(&name)).status().unwrap();
    assert!(drawn.success());
    let page = std::fs::read_to_string(pdf.with_extension("html")).unwrap();
    assert!(page.contains(&format!("<html lang=\"{}\"", words.tag())));
}

#[test]
#[ignore = "a visit in each language in real time: tests/run window"]
fn the_same_visit_runs_in_every_language_in_the_real_window() {
    let out = std::env::var_os("CUFFNOTE_PICTURES").map_or("target/pictures".into(), PathBuf::from);
    std::fs::create_dir_all(&out).unwrap();
    let one = std::env::var("CUFFNOTE_LANGUAGE").ok();
    let wanted = |words: &Words| one.as_deref().is_none_or(|one| one == words.tag());
    let mut first = None;
    for words in Words::all().filter(wanted) {
        let folder = tempfile::tempdir().unwrap();
        let settings = known(vec![Change::Language(words)]);
        let real = Real::start(folder.path(), "visit", &settings, SIZE);
        let size = vec2(f32::from(SIZE.0), f32::from(SIZE.1));
        let mut bedside = Bedside::new(&folder.path().join("twin"), "visit", settings, size);
        bedside.mirrored(Box::new(real));
        let mut visit = Pictured { bedside, words, out: out.clone(), number: 0 };
        visit.begin();
        visit.measure();
        visit.result();
        drop(visit);
        let book = folder.path().join("book");
        report(&book, &out, words);
        let here = came_to(&book);
        let read = here.iter().filter(|(_, outcome)| outcome.is_some()).count();
        assert_eq!(read, READ.len(), "{}: {here:?}", words.tag());
        assert_eq!(*first.get_or_insert_with(|| here.clone()), here, "{}", words.tag());
        println!("{}: the same visit, its screens and its report", words.tag());
    }
}
