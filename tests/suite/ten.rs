//! Ten real visits through the window, each with what makes it one: how many keys and touches it takes, what it comes
//! to, and a picture of its end (`CUFFNOTE_PICTURES=DIR`). In virtual time; the window on a real screen is `window_real`.

use std::path::Path;
use std::time::Duration;

use cuffnote::clinical::event::{Act, Outcome, Source};
use cuffnote::window::model::action::Screen;
use cuffnote::words::Words;
use eframe::egui::{Key, Vec2};
use egui_kittest::kittest::Queryable;

use super::window::{Bedside, RECORD, USUAL, known};

/// The six sites' pressures in the usual order, and what is done at the end of each.
const USUAL_VALUES: [(&str, i32); 6] = [
    ("right-arm", 148),
    ("right-pt", 104),
    ("right-dp", 96),
    ("left-pt", 146),
    ("left-dp", 150),
    ("left-arm", 142),
];

pub struct Visit {
    pub bedside: Bedside,
    began: std::time::Instant,
    _folder: tempfile::TempDir,
}

/// What is done in a visit, and what must come of it.
pub type Done = fn(&mut Visit);

/// Each visit: its name, its simulated patient, what is done.
pub const VISITS: [(&str, &str, Done); 10] = [
    ("01-one-arm", "visit", with_one_arm),
    ("02-wound-under-film", "visit", with_a_wound),
    ("03-amputation", "visit", with_one_leg),
    ("04-paper", "visit", from_paper),
    ("05-toes", "visit", of_the_toes),
    ("06-taken-up", "visit", taken_up),
    ("07-next-day", "visit", corrected_later),
    ("08-thirty-eight", "visit", of_thirty_eight),
    ("09-irregular", "irregular", with_an_irregular_heart),
    ("10-moved", "visit", of_a_patient_who_moves),
];

/// One of them in virtual time.
fn runs(name: &str) {
    let (name, scenario, done) = VISITS.into_iter().find(|(of, ..)| *of == name).unwrap();
    let mut visit = Visit::on(scenario, USUAL);
    done(&mut visit);
    visit.end(name);
}

impl Visit {
    pub fn on(scenario: &str, size: Vec2) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let bedside = Bedside::new(folder.path(), scenario, known(vec![]), size);
        let began = bedside.now().at;
        Self { bedside, began, _folder: folder }
    }

    fn form(&mut self, what: &str) {
        self.bedside.click("New visit");
        self.bedside.write("Record code, never a name", RECORD);
        self.bedside.click(what);
        self.bedside.click("lying flat");
    }

    /// From the form to the first site, with no caution.
    fn begin(&mut self, what: &str) {
        self.form(what);
        self.bedside.click("Start rest period");
        self.bedside.click("None of these");
        self.bedside.click("Start early (rest incomplete)");
    }

    fn code(&self) -> String {
        self.bedside.site().map_or(String::new(), |site| site.code())
    }

    /// Types a value at the site that is turned to, at the stage at which it is a reading; then the next site.
    fn reading(&mut self, value: i32) {
        if !self.bedside.model().visit.attempt().unwrap().entered() {
            if self.bedside.is_mirrored() {
                // Long enough for a row of beats: in a hurry from site to site, either window may hear an uneven heart.
                self.bedside.wait(7.0);
            }
            (0..3).for_each(|_| self.bedside.key(Key::PageDown));
        }
        self.bedside.digits(&value.to_string());
        self.bedside.keep();
        self.bedside.key(Key::Enter);
    }

    /// Every site that is still asked for, with the usual values.
    fn rest_of_it(&mut self) {
        for _ in 0..20 {
            if self.bedside.model().screen != Screen::Measure {
                return;
            }
            let code = self.code();
            let value = USUAL_VALUES.iter().find(|(site, _)| *site == code);
            self.reading(value.map_or(90, |(_, value)| *value));
        }
        panic!("the visit does not end: {}", self.code());
    }

    fn index(&self, right: bool) -> String {
        let result = self.bedside.model().visit.conduct().unwrap().result(&[]);
        let leg = if right { result.right } else { result.left };
        leg.index.map_or("none".into(), |index| index.to_string())
    }

    fn outcomes(&self) -> Vec<Outcome> {
        let visit = self.bedside.model().visit.conduct().unwrap().visit().clone();
        visit.attempts.into_iter().filter_map(|a| a.outcome).collect()
    }

    pub fn end(&mut self, name: &str) {
        let seconds = (self.bedside.now().at - self.began).as_secs();
        println!("{name}: {} keys and touches, {seconds} s", self.bedside.acts);
        if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
            self.bedside.picture(&Path::new(&out).join(format!("visit-{name}.png")));
        }
    }
}

#[test]
fn one_arm() {
    runs("01-one-arm");
}

fn with_one_arm(visit: &mut Visit) {
    visit.form("both legs");
    visit.bedside.click("Start rest period");
    visit.bedside.click(
        "yes, left: Fistula for dialysis, or lymphoedema or node surgery on the side of this arm?",
    );
    visit.bedside.click("None of the others");
    visit.bedside.click("Start early (rest incomplete)");
    visit.rest_of_it();
    assert_eq!(visit.index(true), "0.70");
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert!(result.left.words.join(" ").contains("falsely high"));
}

#[test]
fn a_wound_under_film_is_measured() {
    runs("02-wound-under-film");
}

fn with_a_wound(visit: &mut Visit) {
    visit.form("both legs");
    visit.bedside.click("Start rest period");
    visit.bedside.click("yes, left: Open wound where the cuff goes?");
    visit.bedside.click("left leg: covered with film and measured");
    visit.bedside.click("None of the others");
    visit.bedside.click("Start early (rest incomplete)");
    visit.rest_of_it();
    assert_eq!(visit.index(false), "1.01", "the leg is not lost");
}

#[test]
fn an_amputated_leg_is_left_out_with_one_reason() {
    runs("03-amputation");
}

fn with_one_leg(visit: &mut Visit) {
    visit.begin("both legs");
    for _ in 0..6 {
        if visit.code().starts_with("left") && visit.code() != "left-arm" {
            visit.bedside.key(Key::K);
            visit.bedside.key(Key::Num6);
            visit.bedside.key(Key::Enter);
        } else {
            let code = visit.code();
            let value = USUAL_VALUES.iter().find(|(site, _)| *site == code).unwrap().1;
            visit.reading(value);
        }
    }
    assert_eq!(visit.bedside.model().screen, Screen::Result);
    assert_eq!((visit.index(true).as_str(), visit.index(false).as_str()), ("0.70", "none"));
    let left_out = |outcome: &&Outcome| matches!(outcome, Outcome::NotMeasured { reason } if reason == "amputation");
    assert_eq!(visit.outcomes().iter().filter(left_out).count(), 2);
}

#[test]
fn an_earlier_measurement_comes_from_paper() {
    runs("04-paper");
}

fn from_paper(visit: &mut Visit) {
    visit.form("earlier, from paper");
    visit.bedside.write("Date on the paper, as 2026-08-25", "2026-08-03");
    visit.bedside.write("Who measured, by code", "op-2");
    visit.bedside.click("Enter the values from the paper");
    visit.rest_of_it();
    let paper =
        |outcome: &Outcome| matches!(outcome, Outcome::Reading { source: Source::Paper, .. });
    assert!(visit.outcomes().iter().all(paper));
    assert_eq!(visit.index(true), "0.70");
}

#[test]
fn only_the_toes_are_measured() {
    runs("05-toes");
}

fn of_the_toes(visit: &mut Visit) {
    visit.begin("toes only");
    visit.rest_of_it();
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert_eq!(result.right.toe.unwrap().index.unwrap().to_string(), "0.61");
}

#[test]
fn an_interrupted_visit_is_taken_up_by_another() {
    runs("06-taken-up");
}

fn taken_up(visit: &mut Visit) {
    visit.begin("both legs");
    visit.reading(148);
    visit.bedside.interrupt();
    visit.bedside.click(&format!("Continue {RECORD}"));
    visit.bedside.key(Key::F);
    visit.bedside.write("Another operator, by code", "op-9");
    visit.bedside.click("Hand over");
    visit.rest_of_it();
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert_eq!(result.operator, "op-7, then op-9");
    assert_eq!(visit.index(true), "0.70");
}

#[test]
fn an_error_is_found_the_next_day() {
    runs("07-next-day");
}

fn corrected_later(visit: &mut Visit) {
    visit.begin("both legs");
    visit.reading(184);
    visit.rest_of_it();
    visit.bedside.click("Close the visit");
    if !visit.bedside.is_mirrored() {
        visit.bedside.pass(Duration::from_secs(24 * 3_600));
    }
    visit.bedside.click(&format!("Open {RECORD}, 2026-11-25"));
    visit.bedside.click("Correct: patient's right, brachial");
    // Both arms were asked for again: of the attempts it is the first that was wrong.
    visit.bedside.click("Attempt 1: 184 mmHg");
    visit.bedside.write("Correct reading, mmHg", "148");
    visit.bedside.click("typing error");
    visit.bedside.click("Correct");
    let looked_at = visit.bedside.model().shelf.looked_at.as_ref().unwrap().visit.clone();
    assert_eq!(looked_at.attempts[0].reading().unwrap().to_string(), "148");
    assert_eq!(looked_at.amended.len(), 1, "the old value stays on the trail");
}

#[test]
fn thirty_eight_typed_for_a_hundred_and_thirty_eight_is_asked_about() {
    runs("08-thirty-eight");
}

fn of_thirty_eight(visit: &mut Visit) {
    visit.begin("both legs");
    (0..3).for_each(|_| visit.bedside.key(Key::PageDown));
    visit.bedside.digits("38");
    visit.bedside.key(Key::Enter);
    assert!(visit.bedside.model().visit.attempt().unwrap().question.is_some(), "asked");
    assert!(visit.outcomes().is_empty(), "and not kept");
    (0..2).for_each(|_| visit.bedside.key(Key::Backspace));
    visit.bedside.digits("138");
    visit.bedside.keep();
    let kept = visit.outcomes();
    assert!(
        matches!(&kept[0], Outcome::Reading { cuff_mmhg, .. } if cuff_mmhg.to_string() == "138")
    );
    visit.bedside.window.get_by_label_contains("Kept: 138 mmHg");
}

#[test]
fn an_irregular_heart_is_measured_again_and_again() {
    runs("09-irregular");
}

fn with_an_irregular_heart(visit: &mut Visit) {
    visit.begin("patient's right leg only");
    let first = visit.code();
    // The rhythm is heard over some beats before anything is pumped.
    visit.bedside.tap_and_read(0.3);
    visit.bedside.wait(14.0);
    visit.bedside.key(Key::R);
    assert_eq!(visit.code(), first);
    let why = visit
        .bedside
        .model()
        .visit
        .conduct()
        .unwrap()
        .why_again(Words::english())
        .unwrap_or_default();
    assert!(why.contains("irregular"), "the reason stands where it is asked for: {why}");
}

#[test]
fn a_patient_who_moves_rests_again() {
    runs("10-moved");
}

fn of_a_patient_who_moves(visit: &mut Visit) {
    visit.begin("patient's right leg only");
    visit.reading(148);
    visit.bedside.key(Key::F);
    visit.bedside.click("Patient moved: restart rest");
    if visit.bedside.is_mirrored() {
        visit.bedside.click("Start early (rest incomplete)");
    } else {
        visit.bedside.pass(Duration::from_secs(600));
        visit.bedside.click("Start measuring");
    }
    visit.rest_of_it();
    assert_eq!(visit.index(true), "0.70");
    let moved = visit.bedside.events();
    let again = |act: &&Act| {
        matches!(act, Act::Prepared(cuffnote::clinical::event::Prepared::RestBeganAgain))
    };
    assert_eq!(moved.iter().filter(again).count(), 1);
}
