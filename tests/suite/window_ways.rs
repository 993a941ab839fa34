//! Visits that do not run plainly, through the window: one arm, an artery that is not there, an irregular rhythm, a
//! device that goes; by keys alone, by clicks alone; a record's history.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use cuffnote::clinical::event::{Act, Outcome};
use cuffnote::clinical::record_code;
use cuffnote::clinical::site::Site;
use cuffnote::live::{Fault, OpeningStage, Pace, Pull, SimBench, Supply};
use cuffnote::settings::Settings;
use cuffnote::sim::scenario;
use cuffnote::window::model::action::{Action, Screen, ShelfAct};
use cuffnote::window::model::choices::{Change, Say};
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::{NodeT, Queryable};

use super::window::{Bedside, RECORD, USUAL, known};

fn site(code: &str) -> Site {
    code.parse().unwrap()
}

/// Keeps a typed reading at the site that is turned to, without waiting for its sound.
fn keep(bedside: &mut Bedside, mmhg: &str) {
    bedside.digits(mmhg);
    bedside.keep();
    let conduct = bedside.model().visit.conduct().unwrap();
    assert!(conduct.current().unwrap().ended.is_some(), "{mmhg} was not kept");
    bedside.key(Key::Enter);
}

#[test]
fn with_one_usable_arm_the_index_says_that_it_may_be_falsely_high() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click(
        "yes, left: Fistula for dialysis, or lymphoedema or node surgery on the side of this arm?",
    );
    bedside.click("Start early (rest incomplete)");
    let mut turned = Vec::new();
    while bedside.model().screen == Screen::Measure {
        let site = bedside.site().unwrap();
        turned.push(site.code());
        let mmhg = if site.is_arm() { "140" } else { "120" };
        // Typed at the stage at which a number is a reading, not what was pumped to.
        bedside.key(Key::PageDown);
        bedside.key(Key::PageDown);
        bedside.key(Key::PageDown);
        keep(&mut bedside, mmhg);
        assert!(turned.len() < 12, "{turned:?}");
    }
    assert!(!turned.contains(&"left-arm".to_owned()), "{turned:?}");
    let result = bedside.model().visit.conduct().unwrap().result(&[]);
    for leg in [&result.right, &result.left] {
        assert_eq!(leg.index.unwrap().to_string(), "0.86");
        let said = leg.words.join(" ");
        assert!(said.contains("falsely high"), "{said}");
    }
    assert_eq!(bedside.model().screen, Screen::Result);
}

#[test]
fn an_artery_that_is_not_there_is_said_and_the_other_one_stands_for_the_leg() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "no-artery", known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    bedside.click("patient's right, dorsalis pedis: not yet measured");
    bedside.wait(10.0);
    assert_eq!(bedside.site(), Some(site("right-dp")));
    let at = bedside.model().visit.attempt().unwrap();
    assert!(at.course.pulses().len() < 4, "nothing is to be heard here");
    // Nothing was heard: one key is enough.
    bedside.key(Key::X);
    let events = bedside.events();
    assert!(
        matches!(events.last(), Some(Act::Outcome { outcome: Outcome::NoSignal, .. })),
        "{:?}",
        events.last()
    );
    for (code, mmhg) in [("right-pt", "120"), ("right-arm", "150"), ("left-arm", "148")] {
        bedside.click(&format!("{}: not yet measured", site(code)));
        (0..3).for_each(|_| bedside.key(Key::PageDown));
        bedside.digits(mmhg);
        bedside.keep();
    }
    let result = bedside.model().visit.conduct().unwrap().result(&[]);
    assert_eq!(result.right.index.unwrap().to_string(), "0.80");
    let said = result.right.words.join(" ").to_lowercase();
    assert!(said.contains("dorsalis pedis"), "{said}");
}

#[test]
fn an_irregular_rhythm_asks_for_three_readings() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "irregular", known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    let first = bedside.site().unwrap();
    // The rhythm is heard over some beats before anything is pumped.
    bedside.tap_and_read(0.3);
    bedside.wait(14.0);
    bedside.key(Key::R);
    let wanted = bedside.model().visit.conduct().unwrap().result(&[]).wanted;
    let here = wanted.iter().find(|w| w.site == first);
    let why = here.map(|w| w.why.clone()).unwrap_or_default();
    assert!(why.contains("irregular"), "{wanted:?}");
}

/// A device that can be pulled out and put back.
struct Pulled {
    inner: SimBench,
    out: Arc<AtomicBool>,
}

impl Supply for Pulled {
    fn open(&mut self, now: Instant) -> OpeningStage {
        if self.out.load(Ordering::SeqCst) {
            return OpeningStage::Failed(Fault::DeviceGone);
        }
        self.inner.open(now)
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        if self.out.load(Ordering::SeqCst) {
            return Pull::Lost(Fault::DeviceGone);
        }
        self.inner.pull(now, samples)
    }

    fn close(&mut self) {
        self.inner.close();
    }

    fn comes_back(&self) -> bool {
        true
    }
}

#[test]
fn a_device_that_goes_is_said_and_taps_and_readings_go_on() {
    let folder = tempfile::tempdir().unwrap();
    let out = Arc::new(AtomicBool::new(false));
    let pulled = out.clone();
    let patient = scenario::load("visit").unwrap();
    let supply = move |bench: &Arc<cuffnote::live::Bench>| {
        let inner = SimBench::new(patient.clone(), 1, Pace::RealTime, bench.clone());
        Box::new(Pulled { inner, out: pulled.clone() }) as Box<dyn Supply>
    };
    let mut bedside = Bedside::with(folder.path(), supply, known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    bedside.wait(12.0);
    assert_eq!(bedside.model().listening.alarm, None);
    out.store(true, Ordering::SeqCst);
    bedside.until(2.0, "the banner", |model| model.listening.alarm.is_some());
    let alarm = bedside.model().listening.alarm.clone().unwrap();
    let alarm = alarm.said(Words::english());
    assert!(alarm.contains("device is unplugged"), "{alarm}");
    assert!(
        bedside.window.query_by_label_contains("device is unplugged").is_some(),
        "on the screen"
    );
    bedside.key(Key::Space);
    (0..3).for_each(|_| bedside.key(Key::PageDown));
    bedside.digits("146");
    bedside.key(Key::Enter);
    let events = bedside.events();
    let reading = |a: &Act| matches!(a, Act::Outcome { outcome: Outcome::Reading { .. }, .. });
    assert!(events.iter().any(|a| matches!(a, Act::Mark { .. })) && events.iter().any(reading));
    out.store(false, Ordering::SeqCst);
    bedside.until(5.0, "the sound again", |model| model.listening.alarm.is_none());
    bedside.key(Key::Enter);
    bedside.tap_and_read(0.3);
    let visit = bedside.model().visit.conduct().unwrap().visit();
    assert_eq!(visit.attempts.iter().filter(|a| a.reading().is_some()).count(), 2);
}

/// Leads the focus by Tab to a target of this name, as somebody without a pointer does.
fn tab_to(bedside: &mut Bedside, label: &str) {
    for _ in 0..120 {
        bedside.window.key_press(Key::Tab);
        bedside.wait(0.05);
        let found = bedside.window.query_by_label(label);
        if found.is_some_and(|node| node.accesskit_node().is_focused()) {
            return;
        }
    }
    panic!("Tab does not lead to `{label}`");
}

fn press(bedside: &mut Bedside, label: &str) {
    tab_to(bedside, label);
    bedside.key(Key::Enter);
}

#[test]
fn a_visit_begins_and_ends_by_keys_alone() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.key(Key::N);
    assert_eq!(bedside.model().screen, Screen::Begin);
    tab_to(&mut bedside, "Record code, never a name");
    bedside.window.event(eframe::egui::Event::Text(RECORD.into()));
    bedside.wait(0.1);
    press(&mut bedside, "lying flat");
    press(&mut bedside, "Start rest period");
    assert_eq!(bedside.model().screen, Screen::Prepare);
    press(&mut bedside, "None of these");
    press(&mut bedside, "Start early (rest incomplete)");
    assert_eq!(bedside.model().screen, Screen::Measure);
    // The focus that was left on a target does not swallow the tap or the reading.
    bedside.tap_and_read(0.3);
    let visit = bedside.model().visit.conduct().unwrap().visit();
    assert_eq!(visit.attempts.iter().filter(|a| a.reading().is_some()).count(), 1);
}

/// At 250 % of 1920 x 1080 a form is taller than its screen: what Tab leads to comes into sight.
#[test]
fn what_has_the_keys_is_in_sight_though_the_screen_is_small() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(768.0, 432.0));
    bedside.key(Key::N);
    let edge = bedside.window.get_by_label("Start rest period").rect().top();
    for label in [
        "lying flat",
        "in another position",
        "screening by local policy",
        "Other, in your own words",
    ] {
        tab_to(&mut bedside, label);
        bedside.wait(0.5);
        let rect = bedside.window.get_by_label(label).rect();
        assert!(rect.top() >= 0.0 && rect.bottom() <= edge, "{label} lies at {rect:?}");
    }
}

#[test]
fn a_visit_runs_by_clicks_alone() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click("None of these");
    bedside.click("Start early (rest incomplete)");
    for _ in 0..2 {
        bedside.until(90.0, "the return", |model| {
            let at = model.visit.attempt();
            at.is_some_and(|at| at.course.cue_s().is_some())
        });
        let shown = (bedside.bench.cuff_mmhg() / 2.0).round() as i32 * 2;
        bedside.click("Tap");
        shown.to_string().chars().for_each(|digit| bedside.click(&digit.to_string()));
        bedside.click("Keep");
        bedside.wait(9.0);
        bedside.click("multiphasic");
        bedside.click("Next site");
    }
    let events = bedside.events();
    let count = |what: fn(&Act) -> bool| events.iter().filter(|a| what(a)).count();
    assert_eq!(count(|a| matches!(a, Act::Outcome { outcome: Outcome::Reading { .. }, .. })), 2);
    assert_eq!(count(|a| matches!(a, Act::Waveform { .. })), 2);
    bedside.click("Stop");
    assert!(matches!(bedside.events().last(), Some(Act::Stopped { .. })));
}

#[test]
fn a_code_that_does_not_check_is_asked_about_once_with_what_may_be_meant() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside =
        Bedside::new(folder.path(), "visit", known(vec![Change::CheckCodes(true)]), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    let at = bedside.now();
    use cuffnote::window::model::action::{Action, VisitAct};
    bedside.window.state_mut().model.apply(Action::Visit(VisitAct::Close), at);
    bedside.wait(0.1);
    // Two neighbours swapped: the check character does not agree.
    let wrong = "K240Q";
    assert!(record_code::check(RECORD).is_ok() && record_code::check(wrong).is_err());
    bedside.click("New visit");
    bedside.write("Record code, never a name", wrong);
    assert_eq!(bedside.model().form.record, wrong);
    bedside.click("lying flat");
    bedside.click("Start rest period");
    assert_eq!(bedside.model().screen, Screen::Begin, "asked first");
    let notice = bedside.model().notice.clone().unwrap();
    assert!(notice.contains("does not agree") && notice.contains(RECORD), "{notice}");
    bedside.click("Start rest period");
    assert_eq!(bedside.model().screen, Screen::Prepare, "twice is meant");
}

#[test]
fn every_letter_arrives_though_a_notice_goes_at_the_first() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.click("New visit");
    bedside.click("Start rest period");
    assert_eq!(bedside.model().notice.as_deref(), Some("Enter the record code"));
    bedside.click("Record code, never a name");
    for letter in RECORD.chars() {
        bedside.window.event(eframe::egui::Event::Text(letter.to_string()));
        bedside.wait(0.1);
    }
    assert!(bedside.model().notice.is_none());
    bedside.click("lying flat");
    bedside.click("Start rest period");
    assert_eq!(bedside.model().visit.conduct().unwrap().visit().opened.record, RECORD);
}

#[test]
fn a_records_visits_are_seen_over_time_and_two_side_by_side() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 1500.0));
    for ankle in ["120", "90"] {
        bedside.begin(RECORD);
        bedside.click("Start early (rest incomplete)");
        while bedside.model().screen == Screen::Measure {
            (0..3).for_each(|_| bedside.key(Key::PageDown));
            let mmhg = if bedside.site().unwrap().is_arm() { "140" } else { ankle };
            keep(&mut bedside, mmhg);
        }
        bedside.click("Close the visit");
        bedside.pass(Duration::from_secs(60 * 86_400));
    }
    bedside.window.get_all_by_label(&format!("All of {RECORD}")).next().unwrap().click();
    bedside.wait(0.2);
    let history = &bedside.model().shelf.looked_back.as_ref().unwrap().record;
    assert_eq!((bedside.model().screen, history.visits.len()), (Screen::History, 2));
    let changed = bedside.window.query_all_by_label_contains("Changed. The index fell by 0.22");
    assert_eq!(changed.count(), 2, "both legs");
    let days: Vec<String> =
        history.visits.iter().map(|(_, r)| r.opened_at[..10].to_owned()).collect();
    days.iter().for_each(|day| bedside.click(&format!("side by side, {day}")));
    assert!(bedside.model().shelf.looked_back.as_ref().unwrap().pair().is_some());
    bedside.wait(0.2);
    if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
        let out = std::path::Path::new(&out);
        bedside.picture(&out.join("dim-1280x1500-100-13-history.png"));
        bedside.picture_at(250, &out.join("dim-1280x1500-250-13-history.png"));
    }
    assert!(bedside.window.query_by_label_contains("right leg: The index fell").is_some());
}

#[test]
fn cautions_come_first_and_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", Settings::default(), USUAL);
    assert_eq!(bedside.model().screen, Screen::Cautions);
    for said in ["not a cleared medical device", "override every number", "does not diagnose"] {
        assert!(bedside.window.query_all_by_label_contains(said).next().is_some(), "{said}");
    }
    bedside.key(Key::N);
    assert_eq!(bedside.model().screen, Screen::Cautions, "no visit begins before");
    bedside.click("I have read this");
    assert_eq!(bedside.model().screen, Screen::Visits);
    let kept = bedside.model().choices.settings().clone();
    drop(bedside);
    let again = Bedside::new(folder.path(), "visit", kept, USUAL);
    assert_eq!(again.model().screen, Screen::Visits);
}

#[test]
fn consent_is_spoken_of_where_recording_is_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 1500.0));
    bedside.click("Set-up");
    assert!(bedside.window.query_by_label_contains("ask for consent").is_some());
    bedside.click("do not record");
    assert!(!bedside.model().choices.record());
}

/// Measures one site up to the cue with these choices; gives how often the tone sounded.
fn tones(changes: Vec<Change>) -> u32 {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(changes), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    bedside.tap_and_read(0.5);
    let tones = bedside.model().listening.tones();
    bedside.wait(8.0);
    assert_eq!(bedside.model().listening.tones(), tones, "not again after the reading was kept");
    tones
}

#[test]
fn a_tone_sounds_once_at_the_return_if_it_was_chosen_and_only_by_cable() {
    let say = || Change::Say(Say::FlashAndTone);
    assert_eq!(tones(vec![say(), Change::Cable(true)]), 1);
    assert_eq!(tones(vec![say(), Change::Cable(false)]), 0, "a microphone would hear it");
    assert_eq!(tones(vec![Change::Cable(true)]), 0, "off unless it was chosen");
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.click("Set-up");
    bedside.click("light up the picture and play a soft tone");
    assert!(bedside.window.query_by_label_contains("No tone with a microphone").is_some());
    bedside.click("cable from the Doppler");
    assert!(bedside.window.query_by_label_contains("The tone plays on the same output").is_some());
}

#[test]
fn the_loudness_of_what_is_passed_on_is_shown_and_turned_while_preparing() {
    let folder = tempfile::tempdir().unwrap();
    let changes = vec![Change::Cable(true), Change::Through(Some(String::new()))];
    let mut bedside = Bedside::new(folder.path(), "visit", known(changes), USUAL);
    bedside.begin(RECORD);
    let said = |b: &Bedside, percent: u32| {
        let text = format!("Output volume {percent} %");
        b.window.query_by_label(&text).is_some()
    };
    assert!(said(&bedside, 100));
    let sound_s = |b: &Bedside| b.model().listening.snapshot.sound_s;
    let before_s = sound_s(&bedside);
    bedside.click("Softer");
    bedside.click("Softer");
    assert!(said(&bedside, 80) && bedside.model().choices.sound().volume() == 80);
    assert!(sound_s(&bedside) > before_s, "the stream goes on: nothing was opened anew");
    bedside.click("Louder");
    assert!(said(&bedside, 90));
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![Change::Cable(true)]), USUAL);
    bedside.begin(RECORD);
    assert!(bedside.window.query_by_label_contains("No sound is passed").is_some());
}

#[test]
fn a_recorded_value_is_put_right_in_the_visit_and_a_day_later() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.begin(RECORD);
    bedside.click("Start early (rest incomplete)");
    let first = bedside.site().unwrap();
    (0..3).for_each(|_| bedside.key(Key::PageDown));
    keep(&mut bedside, "184");
    assert_ne!(bedside.site(), Some(first));
    bedside.click(&format!("{first}: 184 mmHg"));
    assert_eq!(bedside.model().screen, Screen::Correct);
    bedside.write("Correct reading, mmHg", "148");
    bedside.click("Correct");
    let notice = bedside.model().notice.clone().unwrap_or_default();
    assert!(notice.contains("who corrects it and why"), "{notice}");
    bedside.click("typing error");
    bedside.click("Correct");
    assert_eq!(bedside.model().screen, Screen::Measure);
    let amended = bedside.model().visit.conduct().unwrap().visit().amended.clone();
    assert_eq!((amended[0].who.as_str(), amended[0].why.as_str()), ("op-7", "typing error"));
    // Finished early, closed: the report is written by closing.
    bedside.key(Key::F);
    bedside.key(Key::Num5);
    assert_eq!(bedside.model().screen, Screen::Result);
    bedside.click("Close the visit");
    let notice = bedside.model().notice.clone().unwrap_or_default();
    assert!(notice.starts_with("Report written"), "{notice}");
    bedside.pass(std::time::Duration::from_secs(24 * 3_600));
    let id = bedside.model().shelf.found[0].id;
    let now = bedside.now();
    let look = Action::Shelf(ShelfAct::LookAt(id));
    bedside.window.state_mut().model.apply(look, now);
    bedside.wait(0.3);
    bedside.click(&format!("Correct: {first}"));
    bedside.click("gauge misread");
    bedside.click("Withdraw");
    let visit = &bedside.model().shelf.looked_at.as_ref().unwrap().visit;
    let withdrawn = visit.attempts[0].withdrawn.clone().unwrap();
    assert_eq!((visit.closed, withdrawn.why.as_str()), (true, "gauge misread"));
}
