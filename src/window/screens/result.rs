//! What it comes to: red flags first, both indexes on their lines, what went into each, the words of the sets.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::cautions;
use crate::clinical::condition::Quantity;
use crate::clinical::event::VisitKind;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::{Side, Site};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::window::model::Model;
use crate::window::model::action::{Action, PutRight, Screen, ShelfAct, VisitAct};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, LimitLine};
use crate::window::paint::theme::size;
use crate::window::sentence::{date, sentence};
use crate::words::Words;

/// What stands on every result.
const CANNOT_TELL: &str = "A number alone does not rule arterial disease out, least of all with diabetes or kidney disease. Check by ear and gauge. Local policy and a licensed practitioner decide.";

/// From this width on both legs stand side by side, points.
const SIDE_BY_SIDE: f32 = 1_100.0;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(visit) = model.result_visit() else { return };
    let result = work_out(visit, &model.sets, Assumed::default());
    let low = c.low();
    if !low {
        c.row(|c| {
            title(c, model, &result);
            targets(c, model, &result);
        });
    }
    c.scroll("result", |c| {
        if low {
            c.row(|c| title(c, model, &result));
        }
        for flag in &result.flags {
            if flag.weight == cautions::Weight::RedFlag {
                c.banner(&sentence(&flag.words));
            } else {
                c.words(&format!("Caution: {}", flag.words), size::BODY, c.roles.act);
            }
        }
        for side in Side::BOTH {
            c.strong(&result.in_short(side), size::BODY + 2.0, c.roles.ink);
        }
        // Where little fits, what it comes to stands before what can be done with it.
        if low {
            c.row(|c| targets(c, model, &result));
        }
        for wanted in &result.wanted {
            let text = format!("Still needed at {}: {}", wanted.site, wanted.why);
            c.words(&text, size::BODY, c.roles.act);
        }
        let legs = [&result.right, &result.left];
        if c.ui.available_width() >= SIDE_BY_SIDE {
            c.columns(2, |c, n| c.panel(|c| one_leg(c, model, legs[n])));
            c.space(size::GRID);
        } else {
            for leg in legs {
                c.panel(|c| one_leg(c, model, leg));
                c.space(size::GRID);
            }
        }
        c.panel(|c| readings(c, &result));
        c.space(size::GRID);
        c.panel(|c| {
            for note in &result.notes {
                c.words(note, size::SMALL, c.roles.quiet);
            }
            c.words(CANNOT_TELL, size::BODY, c.roles.ink);
        });
        c.space(size::GRID);
        if model.visit.held.is_some() {
            c.panel(|c| closing(c, visit));
        }
    });
}

fn title(c: &mut Canvas<'_>, model: &Model, result: &VisitResult) {
    c.strong(&format!("Record {}", result.record), size::TITLE, c.roles.ink);
    c.words(date(&result.when()), size::BODY, c.roles.quiet);
    if model.result_visit().is_some_and(|visit| !visit.opened.scope.is_full()) {
        c.words(&result.kind, size::BODY, c.roles.quiet);
    }
}

fn targets(c: &mut Canvas<'_>, model: &Model, result: &VisitResult) {
    for (words, act) in [
        ("Write the report", VisitAct::SaveReport),
        ("Open the report", VisitAct::ShowReport),
        ("Print the report", VisitAct::PrintReport),
    ] {
        if c.finger(words, Emphasis::Plain) {
            c.act(Action::Visit(act));
        }
    }
    if model.visit.held.is_some() {
        if c.finger("Back to measuring", Emphasis::Plain) {
            c.act(Action::Go(Screen::Measure));
        }
        if c.target("Close the visit", "", vec2(180.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Visit(VisitAct::Close));
        }
    } else {
        if c.finger("Replay recording", Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::HearAgain));
        }
        if c.finger("All visits of this record", Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::LookBack(result.record.clone())));
        }
    }
    if c.finger("Visits", Emphasis::Plain) {
        c.act(Action::Visit(VisitAct::Leave));
    }
}

fn one_leg(c: &mut Canvas<'_>, model: &Model, leg: &LegResult) {
    c.strong(&format!("{} leg", sentence(leg.side.words())), size::BODY + 4.0, c.roles.ink);
    c.row(|c| {
        let number = match (leg.index, leg.more_than) {
            (Some(index), _) => index.to_string(),
            (None, Some(above)) => format!("above {above}"),
            (None, None) => "no index".into(),
        };
        c.strong(&number, 64.0, c.roles.ink);
        c.column(|c| {
            if let Some((low, high)) = leg.low.zip(leg.high) {
                c.words(&format!("{low} to {high}"), size::SENTENCE, c.roles.ink);
            }
            if let (Some(ankle), Some(arm)) = (leg.ankle_mmhg, leg.arm_mmhg) {
                let (ankle_at, arm_at) =
                    (sites_in_words(&leg.ankle_site), sites_in_words(&leg.arm_site));
                let text = format!("{ankle} at {ankle_at}, over {arm} at {arm_at}");
                c.words(&text, size::BODY, c.roles.quiet);
            }
        });
    });
    let limits = model.sets.first().map(limits).unwrap_or_default();
    let width = c.ui.available_width();
    let name = format!("{} leg: ABI on a line from 0.0 to 1.6", leg.side.words());
    let rect = c.named_space(vec2(width, 104.0), &name);
    plot::index_line(&c.pen(rect.shrink2(vec2(8.0, 0.0))), leg, &limits);
    if let Some(set) = model.sets.first() {
        let text = format!("Limits on the line, {}: {}.", set.name, named_limits(set));
        c.words(&text, size::SMALL, c.roles.quiet);
    } else {
        c.words(
            "Numbers only: guidance has not been switched on by a clinician of this service (Set-up).",
            size::SMALL,
            c.roles.quiet,
        );
    }
    for crossing in &leg.crossings {
        c.strong(&crossing.words, size::BODY, c.roles.act);
    }
    let two = model.sets.len() > 1 && width > 820.0;
    if two {
        c.columns(2, |c, n| bands(c, &model.sets[n], leg));
    }
    for set in model.sets.iter().skip(if two { 2 } else { 0 }) {
        bands(c, set, leg);
    }
    let shown: Vec<&String> = leg
        .crossings
        .iter()
        .map(|crossing| &crossing.words)
        .chain(leg.bands.iter().map(|b| &b.words))
        .collect();
    for said in leg.words.iter().filter(|w| !shown.contains(w)) {
        c.words(said, size::BODY, c.roles.ink);
    }
}

/// What one set says of this leg, source first.
fn bands(c: &mut Canvas<'_>, set: &GuidanceSet, leg: &LegResult) {
    c.strong(&set.name, size::BODY, c.roles.heard);
    let own: Vec<_> = leg.bands.iter().filter(|band| band.id == set.id).collect();
    if own.is_empty() {
        c.words("This set has no recommendation here.", size::BODY, c.roles.ink);
    }
    for band in own {
        c.words(&band.words, size::BODY, c.roles.ink);
        c.words(&band.source, size::SMALL, c.roles.quiet);
    }
}

/// The limits of a set for the index; of two that stand close together the first.
fn limits(set: &GuidanceSet) -> Vec<LimitLine> {
    let clauses = set.bands.iter().flat_map(|band| &band.when.0);
    let of_index = clauses.filter(|clause| clause.quantity == Quantity::Index);
    let mut at: Vec<i64> = of_index.flat_map(|c| c.limits().map(|l| l.hundredths)).collect();
    at.sort_unstable();
    at.dedup_by(|next, before| *next - *before < 3);
    let limit =
        |at: i64| LimitLine { at: at as f32 / 100.0, name: format!("{:.2}", at as f64 / 100.0) };
    at.into_iter().map(limit).collect()
}

/// The bands of a set for the index by name, in one line.
fn named_limits(set: &GuidanceSet) -> String {
    let mut named = Vec::new();
    for band in &set.bands {
        for clause in band.when.0.iter().filter(|c| c.quantity == Quantity::Index) {
            named.push(format!("{} \"{}\"", clause.printed(Words::english()), band.name));
        }
    }
    named.join("; ")
}

/// A site's code in words, or both of two.
fn sites_in_words(codes: &Option<String>) -> String {
    let codes = codes.as_deref().unwrap_or_default();
    let words = codes.split('+').map(|code| match code.parse::<Site>() {
        Ok(site) => site.to_string(),
        Err(_) => code.to_owned(),
    });
    words.collect::<Vec<_>>().join(" and ")
}

/// Every attempt; those that count are marked in words.
fn readings(c: &mut Canvas<'_>, result: &VisitResult) {
    c.strong("Readings used", size::BODY, c.roles.ink);
    for site in &result.sites {
        c.row(|c| {
            c.words(&sentence(&site.name), size::BODY, c.roles.ink);
            for attempt in &site.attempts {
                let why = match (&attempt.left_out, attempt.counts) {
                    (Some(why), _) => format!(" (does not count: {why})"),
                    (None, true) => " (counts)".into(),
                    (None, false) => String::new(),
                };
                c.words(&format!("{}{why}", attempt.outcome), size::BODY, c.roles.quiet);
            }
            let name = format!("Correct: {}", site.name);
            if c.choice_named("Correct", &name, false) {
                c.act(Action::PutRight(PutRight::Begin(site.site)));
            }
        });
    }
}

/// Plan, exercise, signature and the next test, while the visit is open.
fn closing(c: &mut Canvas<'_>, visit: &Visit) {
    c.row(|c| {
        c.entry("Plan, in your own words", 420.0, |desk| &mut desk.plan);
        if c.finger("Keep the plan", Emphasis::Plain) {
            let words = std::mem::take(&mut c.desk.plan);
            c.act(Action::Visit(VisitAct::Plan(words)));
        }
    });
    if let Some((words, who)) = &visit.plan {
        c.words(&format!("Plan: {words} ({who})"), size::BODY, c.roles.ink);
    }
    c.row(|c| {
        let ahead = visit.opened.scope == VisitKind::Exercise && visit.exercised.is_none();
        c.entry("Exercise: what and how long", 240.0, |desk| &mut desk.exercise);
        let weight = if ahead { Emphasis::Act } else { Emphasis::Plain };
        if c.finger("Exercise ended: measure again", weight) {
            let words = std::mem::take(&mut c.desk.exercise);
            c.act(Action::Visit(VisitAct::Exercised(words)));
        }
    });
    c.row(|c| {
        c.entry("Supervisor, to countersign", 200.0, |desk| &mut desk.supervisor);
        if c.finger("Countersign", Emphasis::Plain) {
            let who = std::mem::take(&mut c.desk.supervisor);
            c.act(Action::Visit(VisitAct::Countersign(who)));
        }
        c.entry("Next test due, as 2027-02-25", 200.0, |desk| &mut desk.due);
        if c.finger("Set the date", Emphasis::Plain) {
            c.act(Action::Visit(VisitAct::NextDue(c.desk.due.clone())));
        }
    });
    for who in &visit.countersigned {
        c.words(&format!("Countersigned: {who}"), size::BODY, c.roles.ink);
    }
    if let Some((due, _)) = &visit.next_test {
        c.words(&format!("Next test due: {due}"), size::BODY, c.roles.ink);
    }
}
