//! Ten real visits through the window, each with what makes it one: how many keys and touches it takes, what it comes
//! to, and a picture of its end (`CUFFNOTE_PICTURES=DIR`). In virtual time; the window on a real screen is `window_real`.

use std::path::Path;
use std::time::Duration;

use cuffnote::clinical::event::{Act, Outcome, Source};
use cuffnote::window::model::action::{Action, Screen, ShelfAct};
use eframe::egui::Key;
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

struct Visit {
    bedside: Bedside,
    began: std::time::Instant,
    _folder: tempfile::TempDir,
}

impl Visit {
    fn on(scenario: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let bedside = Bedside::new(folder.path(), scenario, known(vec![]), USUAL);
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
        self.bedside.click("The patient lies down now: begin");
        self.bedside.click("None of these applies");
        self.bedside.click("Start now: rest cut short");
    }

    fn code(&self) -> String {
        self.bedside.site().map_or(String::new(), |site| site.code())
    }

    /// Types a value at the site that is turned to, at the stage at which it is a reading; then the next site.
    fn reading(&mut self, value: i32) {
        if !self.bedside.model().visit.attempt().unwrap().entered() {
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

    fn end(mut self, name: &str) {
        let seconds = (self.bedside.now().at - self.began).as_secs();
        println!("{name}: {} keys and touches, {seconds} s", self.bedside.acts);
        if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
            self.bedside.picture(&Path::new(&out).join(format!("visit-{name}.png")));
        }
    }
}

#[test]
fn one_arm() {
    let mut visit = Visit::on("visit");
    visit.form("both legs");
    visit.bedside.click("The patient lies down now: begin");
    visit.bedside.click(
        "yes, left: Fistula for dialysis, or lymphoedema or node surgery on the side of this arm?",
    );
    visit.bedside.click("None of the others applies");
    visit.bedside.click("Start now: rest cut short");
    visit.rest_of_it();
    assert_eq!(visit.index(true), "0.70");
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert!(result.left.words.join(" ").contains("falsely high"));
    visit.end("01-one-arm");
}

#[test]
fn a_wound_under_film_is_measured() {
    let mut visit = Visit::on("visit");
    visit.form("both legs");
    visit.bedside.click("The patient lies down now: begin");
    visit.bedside.click("yes, left: Open wound where the cuff goes?");
    visit.bedside.click("left leg: covered with film and measured");
    visit.bedside.click("None of the others applies");
    visit.bedside.click("Start now: rest cut short");
    visit.rest_of_it();
    assert_eq!(visit.index(false), "1.01", "the leg is not lost");
    visit.end("02-wound-under-film");
}

#[test]
fn an_amputated_leg_is_left_out_with_one_reason() {
    let mut visit = Visit::on("visit");
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
    visit.end("03-amputation");
}

#[test]
fn an_earlier_measurement_comes_from_paper() {
    let mut visit = Visit::on("visit");
    visit.form("earlier, from paper");
    visit.bedside.write("Day on the paper, as 2026-08-25", "2026-08-03");
    visit.bedside.write("Who measured, by code", "op-2");
    visit.bedside.click("Enter the values from the paper");
    visit.rest_of_it();
    let paper =
        |outcome: &Outcome| matches!(outcome, Outcome::Reading { source: Source::Paper, .. });
    assert!(visit.outcomes().iter().all(paper));
    assert_eq!(visit.index(true), "0.70");
    visit.end("04-paper");
}

#[test]
fn only_the_toes_are_measured() {
    let mut visit = Visit::on("visit");
    visit.begin("toes only");
    visit.rest_of_it();
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert_eq!(result.right.toe.unwrap().index.unwrap().to_string(), "0.61");
    visit.end("05-toes");
}

#[test]
fn an_interrupted_visit_is_taken_up_by_another() {
    let mut visit = Visit::on("visit");
    visit.begin("both legs");
    visit.reading(148);
    visit.bedside.act(Action::Visit(cuffnote::window::model::action::VisitAct::Leave));
    visit.bedside.pass(Duration::from_secs(1_800));
    visit.bedside.click(&format!("Go on with {RECORD}"));
    visit.bedside.key(Key::F);
    visit.bedside.write("Another operator, by code", "op-9");
    visit.bedside.click("Hand over");
    visit.rest_of_it();
    let result = visit.bedside.model().visit.conduct().unwrap().result(&[]);
    assert_eq!(result.operator, "op-7, then op-9");
    assert_eq!(visit.index(true), "0.70");
    visit.end("06-taken-up");
}

#[test]
fn an_error_is_found_the_next_day() {
    let mut visit = Visit::on("visit");
    visit.begin("both legs");
    visit.reading(184);
    visit.rest_of_it();
    visit.bedside.click("Close the visit");
    visit.bedside.pass(Duration::from_secs(24 * 3_600));
    let id = visit.bedside.model().shelf.found[0].id;
    visit.bedside.act(Action::Shelf(ShelfAct::LookAt(id)));
    visit.bedside.click("Put right: patient's right, brachial");
    // Both arms were asked for again: of the attempts it is the first that was wrong.
    visit.bedside.click("Attempt 1: 184 mmHg");
    visit.bedside.write("The reading should be, mmHg", "148");
    visit.bedside.click("typed wrongly");
    visit.bedside.click("Correct");
    let looked_at = visit.bedside.model().shelf.looked_at.as_ref().unwrap().visit.clone();
    assert_eq!(looked_at.attempts[0].reading().unwrap().to_string(), "148");
    assert_eq!(looked_at.amended.len(), 1, "the old value stays on the trail");
    visit.end("07-next-day");
}

#[test]
fn thirty_eight_typed_for_a_hundred_and_thirty_eight_is_asked_about() {
    let mut visit = Visit::on("visit");
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
    visit.end("08-thirty-eight");
}

#[test]
fn an_irregular_heart_is_measured_again_and_again() {
    let mut visit = Visit::on("irregular");
    visit.begin("right leg only");
    let first = visit.code();
    // The rhythm is heard over some beats before anything is pumped.
    visit.bedside.tap_and_read(0.3);
    visit.bedside.wait(14.0);
    visit.bedside.key(Key::R);
    assert_eq!(visit.code(), first);
    let why = visit.bedside.model().visit.conduct().unwrap().why_again().unwrap_or_default();
    assert!(why.contains("irregular"), "the reason stands where it is asked for: {why}");
    visit.end("09-irregular");
}

#[test]
fn a_patient_who_moves_rests_again() {
    let mut visit = Visit::on("visit");
    visit.begin("right leg only");
    visit.reading(148);
    visit.bedside.key(Key::F);
    visit.bedside.click("Patient moved: rest again");
    visit.bedside.pass(Duration::from_secs(600));
    visit.bedside.click("Start measuring");
    visit.rest_of_it();
    assert_eq!(visit.index(true), "0.70");
    let moved = visit.bedside.events();
    let again = |act: &&Act| {
        matches!(act, Act::Prepared(cuffnote::clinical::event::Prepared::RestBeganAgain))
    };
    assert_eq!(moved.iter().filter(again).count(), 1);
    visit.end("10-moved");
}
