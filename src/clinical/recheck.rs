//! Holds what a clinician was shown against what this version would show for the same events.

use serde::Serialize;

use super::event::{Act, Event};
use super::exact::Hundredths;
use super::guidance::GuidanceSet;
use super::shown::{Shown, ShownLeg, Versions};
use super::visit::{Visit, VisitFault};
use super::working::work_out;

/// One number or sentence that differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Difference {
    /// What it is, such as `patient's right index`.
    pub what: String,
    /// As it was shown; empty where there was none.
    pub before: String,
    /// As it would be shown now; empty where there is none.
    pub now: String,
}

/// One visit held against this version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Rechecked {
    /// The record's code.
    pub record: String,
    /// When the visit opened.
    pub opened_at: String,
    /// What made the result that was shown.
    pub shown_by: Versions,
    /// What makes it now.
    pub now_by: Versions,
    /// What differs; empty where nothing does.
    pub changes: Vec<Difference>,
    /// Sets that were shown and are not at hand now.
    pub missing_sets: Vec<String>,
}

/// The ids of the sets behind a showing.
pub fn sets_of(shown: &Shown) -> impl Iterator<Item = &str> {
    shown.versions.guidance.iter().map(|name| name.split('/').next().unwrap_or(name))
}

/// What was shown last in a visit; none where nothing was.
pub fn last_shown(events: &[Event]) -> Option<(usize, &Shown)> {
    events.iter().enumerate().rev().find_map(|(i, event)| match &event.act {
        Act::GuidanceShown(shown) => Some((i, shown)),
        _ => None,
    })
}

/// Works the visit out again as it stood when it was last shown, with the same sets out of `at_hand`.
/// None where nothing was ever shown.
///
/// # Errors
/// The events make no visit.
pub fn recheck(events: &[Event], at_hand: &[GuidanceSet]) -> Result<Option<Rechecked>, VisitFault> {
    let Some((place, old)) = last_shown(events) else { return Ok(None) };
    let visit = Visit::read(&events[..place])?;
    let mut sets = Vec::new();
    let mut missing_sets = Vec::new();
    for id in sets_of(old) {
        match at_hand.iter().find(|set| set.id == id) {
            Some(set) => sets.push(set.clone()),
            None => missing_sets.push(id.to_owned()),
        }
    }
    let fresh = work_out(&visit, &sets, old.assumed.unwrap_or_default()).shown();
    Ok(Some(Rechecked {
        record: visit.opened.record.clone(),
        opened_at: visit.opened_at.to_string(),
        shown_by: old.versions.clone(),
        now_by: fresh.versions.clone(),
        changes: compare(old, &fresh),
        missing_sets,
    }))
}

/// Every number and sentence in which two showings differ.
pub fn compare(old: &Shown, fresh: &Shown) -> Vec<Difference> {
    let mut changes = Vec::new();
    for now in &fresh.legs {
        let before = old.legs.iter().find(|leg| leg.side == now.side);
        compare_leg(before, now, &mut changes);
    }
    compare_lines("notes and flags", &old.words, &fresh.words, &mut changes);
    changes
}

fn compare_leg(before: Option<&ShownLeg>, now: &ShownLeg, changes: &mut Vec<Difference>) {
    let text = |value: Option<Hundredths>| value.map_or(String::new(), |v| v.to_string());
    let numbers = |leg: &ShownLeg| {
        [
            ("index", text(leg.index)),
            ("interval", format!("{} to {}", text(leg.low), text(leg.high))),
            ("toe-brachial index", text(leg.toe_index)),
        ]
    };
    let side = now.side.words();
    let old = before.map(numbers);
    for (i, (name, value)) in numbers(now).into_iter().enumerate() {
        let was = old.as_ref().map_or(String::new(), |old| old[i].1.clone());
        if was != value {
            changes.push(Difference { what: format!("{side} {name}"), before: was, now: value });
        }
    }
    let none = Vec::new();
    let lines = |of: fn(&ShownLeg) -> &Vec<String>| (before.map_or(&none, of), of(now));
    let (was, is) = lines(|leg| &leg.bands);
    compare_lines(&format!("{side} band"), was, is, changes);
    let (was, is) = lines(|leg| &leg.words);
    compare_lines(&format!("{side} words"), was, is, changes);
}

/// Lines that went, then lines that came.
fn compare_lines(what: &str, before: &[String], now: &[String], changes: &mut Vec<Difference>) {
    let change = |before: &str, now: &str| Difference {
        what: what.to_owned(),
        before: before.to_owned(),
        now: now.to_owned(),
    };
    changes.extend(before.iter().filter(|l| !now.contains(l)).map(|line| change(line, "")));
    changes.extend(now.iter().filter(|l| !before.contains(l)).map(|line| change("", line)));
}
