//! The window and its record book: one that was moved, one that goes away, a visit that another laptop has.

use std::time::Duration;

use cuffnote::clinical::event::Act;
use cuffnote::logbook::{Book, VisitId, Writer};
use cuffnote::window::model::action::{Action, OpeningAct, VisitAct};
use eframe::egui::vec2;

use super::book::visit_of;
use super::window::{Bedside, known};

/// A book with an open visit of six acts.
fn with_open(folder: &std::path::Path) -> VisitId {
    let visit = VisitId::new();
    let mut writer = Writer::open(folder).unwrap();
    for event in &visit_of("TM-1", Vec::new())[..6] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    visit
}

#[test]
fn an_open_visit_of_a_moved_book_is_taken_over_when_it_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let [was, is] = ["was", "is"].map(|name| folder.path().join(name));
    let visit = with_open(&was);
    std::fs::rename(&was, &is).unwrap();
    let mut bedside = Bedside::new(&is, "visit", known(Vec::new()), vec2(1280.0, 800.0));
    bedside.click("Continue TM-1");
    let notice = bedside.model().notice.clone().unwrap_or_default();
    assert!(notice.contains("continues here"), "{notice}");
    let events = Book::open(&is).unwrap().book.events(visit).unwrap();
    assert!(events.iter().any(|event| matches!(event.act, Act::TakenOver { .. })));
}

#[test]
fn an_open_visit_of_another_laptop_is_not_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let [own, other] = ["own", "other"].map(|name| folder.path().join(name));
    let visit = with_open(&other);
    Writer::open(&own).unwrap().merge(&other).unwrap();
    let before = Book::open(&own).unwrap().book.events(visit).unwrap();
    let mut bedside = Bedside::new(&own, "visit", known(Vec::new()), vec2(1280.0, 800.0));
    for label in ["Continue TM-1", "Close TM-1 now"] {
        bedside.click(label);
        let notice = bedside.model().notice.clone().unwrap_or_default();
        assert!(notice.contains("open on another laptop"), "{label}: {notice}");
    }
    assert_eq!(Book::open(&own).unwrap().book.events(visit).unwrap(), before);
}

/// Within two seconds, on whatever screen, also while nothing is done.
#[cfg(unix)]
#[test]
fn a_book_that_goes_away_is_said_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let [was, aside] = ["was", "aside"].map(|name| folder.path().join(name));
    let mut bedside = Bedside::new(&was, "visit", known(Vec::new()), vec2(1280.0, 800.0));
    assert_eq!(bedside.model().notice, None);
    std::fs::rename(&was, &aside).unwrap();
    std::thread::sleep(Duration::from_millis(1_700));
    bedside.wait(0.1);
    let notice = bedside.model().notice.clone().unwrap_or_default();
    assert!(notice.contains("no longer there"), "{notice}");
}

/// Found by random hands on a fast machine: the same visit taken up again while its last acts were on their way to the
/// disk came back without them, and what was done next took their numbers.
#[test]
fn a_visit_taken_up_again_at_once_has_all_that_was_done() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(Vec::new()), vec2(1280.0, 800.0));
    bedside.begin("TM-1");
    let id = bedside.model().visit.held.as_ref().unwrap().id;
    let now = bedside.now();
    for round in 0..20 {
        let model = &mut bedside.window.state_mut().model;
        model.apply(Action::Visit(VisitAct::Plan(format!("plan {round}"))), now);
        let done = model.visit.conduct().unwrap().events().to_vec();
        model.apply(Action::Open(OpeningAct::Resume(id)), now);
        let again = model.visit.conduct().unwrap().events();
        assert!(again.starts_with(&done), "round {round}: {} of {}", again.len(), done.len());
    }
    drop(bedside);
    let events = Book::open(folder.path()).unwrap().book.events(id).unwrap();
    let plans = events.iter().filter(|event| matches!(event.act, Act::Plan { .. })).count();
    assert_eq!(plans, 20);
}
