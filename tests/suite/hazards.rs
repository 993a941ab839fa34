//! Controls against harm that a person must be able to see, held against what the window paints and does
//! (docs/hazards.md).

use cuffnote::clinical::event::Act;
use cuffnote::units::Mmhg;
use cuffnote::window::model::action::{Action, Screen, VisitAct};
use cuffnote::window::model::choices::Change;
use cuffnote::window::paint::theme::Theme;
use eframe::egui::{Key, Shape, vec2};

use super::window::{Bedside, RECORD, USUAL, known};
use super::words::{says, unquoted};

/// All shapes of the last frame, taken apart.
fn shapes(bedside: &Bedside) -> Vec<&Shape> {
    let mut waiting: Vec<&Shape> =
        bedside.window.output().shapes.iter().map(|clipped| &clipped.shape).collect();
    let mut found = Vec::new();
    while let Some(shape) = waiting.pop() {
        match shape {
            Shape::Vec(several) => waiting.extend(several),
            single => found.push(single),
        }
    }
    found
}

/// Everything that is written on the screen.
fn written(bedside: &Bedside) -> Vec<String> {
    let texts = shapes(bedside).into_iter().filter_map(|shape| match shape {
        Shape::Text(text) => Some(text.galley.text().to_owned()),
        _ => None,
    });
    texts.collect()
}

/// How many marks in the colour of what the listener heard are painted.
fn heard_marks(bedside: &Bedside) -> usize {
    let heard = Theme::Dim.roles().heard;
    let bars = shapes(bedside).into_iter().filter(|shape| match shape {
        Shape::Rect(rect) => rect.fill == heard,
        _ => false,
    });
    bars.count()
}

fn at_first_site(bedside: &mut Bedside) {
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
}

#[test]
fn what_the_listener_found_is_painted_only_after_keeping() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    at_first_site(&mut bedside);
    bedside.until(90.0, "the return", |model| {
        let at = model.visit.attempt();
        at.is_some_and(|at| at.course.cue_s().is_some())
    });
    // Three more pulses; the twelve seconds that are shown hold nothing from before the loss.
    bedside.wait(3.0);
    let course = bedside.model().visit.attempt().unwrap().course.clone();
    let back = course.pulses().iter().filter(|p| p.0 > course.lost_s().unwrap()).count();
    assert!(back >= 3, "{back} pulses are back");
    let said = |b: &Bedside| written(b).iter().any(|text| text.contains("first pulse"));
    assert_eq!((heard_marks(&bedside), said(&bedside)), (0, false), "the ear decides alone");
    bedside.key(Key::Space);
    bedside.digits("140");
    bedside.key(Key::Enter);
    bedside.wait(6.0);
    assert!(heard_marks(&bedside) >= back, "{} marks", heard_marks(&bedside));
    assert!(said(&bedside), "{:?}", written(&bedside));
}

#[test]
fn the_valve_is_spoken_of_whenever_a_cuff_may_be_closed_and_stop_is_there_at_every_stage() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    at_first_site(&mut bedside);
    let valve = |b: &Bedside| written(b).iter().any(|text| text.ends_with("Open the valve fully."));
    for stage in 0..4 {
        assert!(!valve(&bedside));
        (0..stage).for_each(|_| bedside.key(Key::PageDown));
        bedside.key(Key::Escape);
        assert!(valve(&bedside), "stopped at stage {stage}");
        let stopped = bedside.events().iter().filter(|a| matches!(a, Act::Stopped { .. })).count();
        assert_eq!(stopped, stage + 1);
        bedside.key(Key::R);
    }
    let not_compressible =
        [Key::PageDown, Key::PageDown, Key::Num2, Key::Num6, Key::Num0, Key::C, Key::C];
    for keys in [&[Key::X, Key::X][..], &not_compressible, &[Key::K, Key::Num1]] {
        keys.iter().for_each(|key| bedside.key(*key));
        bedside.until_saved();
        let kept = bedside.model().visit.attempt().unwrap().ended.clone();
        assert!(valve(&bedside), "{keys:?}: {kept:?}");
        bedside.key(Key::Enter);
    }
    bedside.digits("140");
    bedside.keep();
    assert!(valve(&bedside), "after a reading");
}

#[test]
fn nothing_typed_or_heard_at_one_site_stands_at_the_next() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    at_first_site(&mut bedside);
    bedside.tap_and_type(0.3, Some(148));
    let at = |b: &Bedside| b.model().visit.attempt().unwrap().clone();
    bedside.digits("96");
    let kept = at(&bedside);
    assert_eq!((kept.ended.unwrap().reading(), kept.entry.text()), (Mmhg::whole(148).ok(), ""));
    // The probe stays on and sounds: the next site does not come by itself.
    bedside.wait(20.0);
    assert_eq!(at(&bedside).site, kept.site);
    bedside.key(Key::Enter);
    let next = at(&bedside);
    assert_ne!(next.site, kept.site);
    assert_eq!((next.entry.text(), next.ended), ("", None));
    bedside.key(Key::Enter);
    assert!(at(&bedside).ended.is_none(), "an empty field keeps nothing");
}

#[test]
fn the_last_visit_of_a_code_is_said_before_anything_is_filed_under_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    at_first_site(&mut bedside);
    let now = bedside.now();
    bedside.window.state_mut().model.apply(Action::Visit(VisitAct::Close), now);
    bedside.wait(0.1);
    bedside.click("New visit");
    // Small letters are the same code.
    bedside.write("Record code, never a name", &RECORD.to_lowercase());
    let said = format!("Last visit of {RECORD}: 2026-11-25");
    assert!(written(&bedside).contains(&said), "{:?}", written(&bedside));
    bedside.write("Record code, never a name", "9");
    let said = written(&bedside).into_iter().find(|text| text.starts_with("No visit of"));
    assert!(said.is_some(), "{:?}", written(&bedside));
}

#[test]
fn no_judging_word_stands_bare_on_any_screen() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 4000.0));
    let mut seen = Vec::new();
    let look = |bedside: &Bedside, seen: &mut Vec<String>| {
        for text in written(bedside) {
            assert!(!says(&unquoted(&text)), "{text}");
            seen.push(text);
        }
    };
    bedside.click("Set-up");
    for id in ["acc-aha-2024", "nice-cks"] {
        bedside.click(&cuffnote::clinical::guidance::shipped(id).unwrap().unwrap().name);
    }
    bedside.write("Clinician, by name or code", "Clinician 7");
    bedside.click("Switch guidance on");
    look(&bedside, &mut seen);
    bedside.click("Back");
    at_first_site(&mut bedside);
    look(&bedside, &mut seen);
    while bedside.model().screen == Screen::Measure {
        bedside.digits("140");
        bedside.key(Key::Enter);
        look(&bedside, &mut seen);
        bedside.key(Key::Enter);
    }
    assert_eq!(bedside.model().screen, Screen::Result);
    bedside.wait(0.3);
    look(&bedside, &mut seen);
    let normal = seen.iter().filter(|text| text.contains("\"normal\"")).count();
    assert!(normal >= 2, "the set's own word is there, behind its name: {seen:?}");
}

#[test]
fn before_a_cable_is_used_battery_and_isolation_are_spoken_of() {
    let folder = tempfile::tempdir().unwrap();
    let size = vec2(1280.0, 2000.0);
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), size);
    bedside.click("Set-up");
    let said =
        |b: &Bedside| written(b).iter().any(|t| t.contains("on battery or over an isolated"));
    assert!(!said(&bedside), "a microphone is what is advised");
    bedside.click("cable from the Doppler");
    assert!(said(&bedside), "{:?}", written(&bedside));
    let kept = known(vec![Change::Cable(true)]);
    let again = Bedside::new(&folder.path().join("again"), "visit", kept, size);
    assert!(again.model().choices.sound().cable);
}
