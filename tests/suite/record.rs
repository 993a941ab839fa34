//! The record of a visit: amendments, refusals, what was shown and its recheck, the switch of guidance.

use cuffnote::clinical::event::{Act, Event, VERSION};
use cuffnote::clinical::exact::Hundredths;
use cuffnote::clinical::recheck::recheck;
use cuffnote::clinical::switch;
use cuffnote::clinical::visit::{Visit, VisitFault};
use cuffnote::settings::Settings;

use super::bedside::*;
use super::rules::{PLAIN, attempt, reading, standard, with};

#[test]
fn an_amendment_keeps_the_old_value_and_a_withdrawal_stays_visible() {
    let base = events(standard(), PLAIN, Vec::new());
    // Event 3 is the outcome of attempt 1.
    let old = Box::new(base[2].act.clone());
    let new = Box::new(Act::Outcome { attempt: 1, outcome: reading(150) });
    let amend = |of, old: &Act, new: &Act| Act::Amendment {
        of,
        old: Box::new(old.clone()),
        new: Box::new(new.clone()),
        who: "op-1".into(),
        why: "misread".into(),
    };
    let good = events(standard(), PLAIN, vec![Act::VisitClosed, amend(3, &old, &new)]);
    let visit = Visit::from_events(&good).unwrap();
    assert_eq!(visit.attempts[0].reading(), Some(mmhg(150)));
    assert_eq!((visit.amended[0].of, &visit.amended[0].old), (3, &*old));
    let fault =
        |more| Visit::from_events(&events(standard(), PLAIN, more)).unwrap_err().to_string();
    assert!(fault(vec![amend(3, &new, &old)]).contains("never stood there"));
    assert!(fault(vec![amend(99, &old, &new)]).contains("does not stand before it"));
    assert!(fault(vec![amend(2, &base[1].act, &new)]).contains("another kind"));
    let withdrawn =
        Act::AttemptWithdrawn { attempt: 3, who: "op-1".into(), why: "probe slipped".into() };
    let result = with(standard(), PLAIN, vec![withdrawn]);
    let dp = result.sites.iter().find(|s| s.site.code() == "right-dp").unwrap();
    assert_eq!((dp.mmhg, dp.attempts[0].mmhg), (None, Some(130.0)));
    assert!(dp.attempts[0].left_out.as_ref().unwrap().contains("probe slipped"));
    assert_eq!(result.right.ankle_site.as_deref(), Some("right-pt"));
}

#[test]
fn events_that_do_not_fit_are_refused_with_a_sentence() {
    let fault =
        |more| Visit::from_events(&events(standard(), PLAIN, more)).unwrap_err().to_string();
    assert!(fault(attempt(1, "right-dp", reading(90))).contains("number was used before"));
    assert!(
        fault(vec![Act::Outcome { attempt: 1, outcome: reading(90) }]).contains("has ended before")
    );
    assert!(
        fault(vec![Act::Outcome { attempt: 40, outcome: reading(90) }]).contains("never begun")
    );
    assert!(fault(attempt(40, "right-dp", reading(0))).contains("0 mmHg"));
    let closed = [vec![Act::VisitClosed], attempt(40, "right-dp", reading(90))].concat();
    assert!(fault(closed).contains("closed before"));
    let good = events(standard(), PLAIN, Vec::new());
    let parse = |events: &[Event]| Visit::from_events(events).unwrap_err();
    assert_eq!(parse(&[]), VisitFault::NotOpened);
    assert_eq!(
        parse(&[good[..2].to_vec(), good[3..].to_vec()].concat()),
        VisitFault::OutOfOrder { expected: 3, found: 4 }
    );
    let newer: Vec<Event> = good.iter().cloned().map(|e| Event { v: VERSION + 1, ..e }).collect();
    assert!(parse(&newer).to_string().contains("newer program"));
}

#[test]
fn what_was_shown_is_held_against_a_corrected_version() {
    let base = events(standard(), PLAIN, Vec::new());
    let shown = result_of(&base, &[set("acc-aha-2024")]).shown();
    let seen = events(standard(), PLAIN, vec![Act::GuidanceShown(shown.clone())]);
    let again = recheck(&seen, &all_sets()).unwrap().unwrap();
    assert_eq!(again.changes, []);
    assert_eq!(recheck(&base, &all_sets()).unwrap(), None);
    // A corrected set: 0.93 becomes abnormal.
    let mut corrected = set("acc-aha-2024");
    corrected.version = "2".into();
    corrected.bands[0].when.0[0].upper.as_mut().unwrap().hundredths = 95;
    let changed = recheck(&seen, &[corrected]).unwrap().unwrap();
    assert_eq!(changed.now_by.guidance, ["acc-aha-2024/2"]);
    assert!(
        changed
            .changes
            .iter()
            .any(|c| c.what == "patient's right band" && c.now.contains("\"abnormal\""))
    );
    assert!(!changed.changes.iter().any(|c| c.what.ends_with("index")));
    // An index that was shown wrongly.
    let mut wrong = shown;
    wrong.legs[0].index = Some(Hundredths(92));
    let seen = events(standard(), PLAIN, vec![Act::GuidanceShown(wrong)]);
    let found = recheck(&seen, &all_sets()).unwrap().unwrap().changes;
    assert_eq!(
        (found[0].what.as_str(), found[0].before.as_str(), found[0].now.as_str()),
        ("patient's right index", "0.92", "0.93")
    );
    assert_eq!(recheck(&seen, &[]).unwrap().unwrap().missing_sets, ["acc-aha-2024"]);
}

#[test]
fn guidance_stays_off_in_fresh_settings() {
    let mut settings = Settings::default();
    let read = |s: &Settings| {
        let [by, at, sets] = [switch::BY_KEY, switch::AT_KEY, switch::SETS_KEY].map(|k| s.text(k));
        switch::Switch::from_settings(by, at, sets)
    };
    assert_eq!(read(&settings), Err(switch::StaysOff::NoName));
    settings.set_text(switch::BY_KEY, "Clinician 7");
    settings.set_text(switch::AT_KEY, "2026-11-03T10:15:02+01:00");
    settings.set_text(switch::SETS_KEY, "acc-aha-2024");
    assert_eq!(read(&settings).unwrap().by, "Clinician 7");
}
