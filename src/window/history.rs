//! One record from visit to visit: each leg's index over time with its interval, what changed, like for like; and
//! two visits side by side.

use eframe::egui::{Align, Layout, Ui, vec2};

use super::model::Model;
use super::model::action::{Action, ShelfAct, VisitAct};
use super::model::shelf::LookedBack;
use super::parts::{
    Weight, choice_named, finger, named_space, panel, scroll, strong, target, words,
};
use super::plot;
use super::sentence::{date, sentence};
use super::theme::{Roles, size};
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::Side;
use crate::clinical::trend::{self, Change, Step};
use crate::logbook::History;

pub(super) fn show(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    let Some(shown) = &model.shelf.looked_back else { return };
    let history = &shown.record;
    ui.horizontal_wrapped(|ui| {
        strong(ui, &format!("Record {}", history.record), size::TITLE, roles.ink);
        if target(ui, roles, ("Visits", ""), vec2(160.0, size::TARGET), Weight::Act) {
            out.push(Action::Visit(VisitAct::Leave));
        }
        if let Some(due) = &history.due {
            words(ui, &format!("Next test due: {due}"), size::BODY, roles.ink);
        }
    });
    ui.add_space(size::GRID);
    scroll("history").show(ui, |ui| {
        for (row, fault) in &history.faults {
            let day = date(&row.opened_at.to_string()).to_owned();
            words(ui, &format!("Not worked out: {day}: {fault}"), size::BODY, roles.act);
        }
        for side in Side::BOTH {
            panel(ui, roles, |ui| leg(ui, history, side, roles));
            ui.add_space(size::GRID);
        }
        panel(ui, roles, |ui| visits(ui, shown, roles, out));
        ui.add_space(size::GRID);
        if let Some(pair) = shown.pair() {
            panel(ui, roles, |ui| side_by_side(ui, pair, roles));
        }
    });
}

/// One leg: the picture, the latest change in words, the toe.
fn leg(ui: &mut Ui, history: &History, side: Side, roles: Roles) {
    let steps = history.steps(side);
    let name = sentence(side.words());
    strong(ui, &format!("{name} leg"), size::BODY + 4.0, roles.ink);
    let (rect, _) = named_space(ui, vec2(ui.available_width(), 240.0), &in_words(&name, &steps));
    plot::trend(ui, roles, rect, &steps);
    let Some(last) = steps.last() else { return };
    for (before, change) in [("", &last.since_last), ("Since the first visit: ", &last.since_first)]
    {
        change.iter().for_each(|change| told(ui, before, change, roles));
    }
    if let Some(toe) = last.toe_mmhg {
        words(ui, &format!("Toe pressure {toe} mmHg."), size::BODY, roles.ink);
    }
    last.toe_since_last.iter().for_each(|change| told(ui, "", change, roles));
}

/// A change; one that is to be marked is marked by a word and by weight.
fn told(ui: &mut Ui, before: &str, change: &Change, roles: Roles) {
    if change.marked() {
        strong(ui, &format!("Changed. {before}{}", change.words), size::BODY, roles.act);
    } else {
        words(ui, &format!("{before}{}", change.words), size::BODY, roles.ink);
    }
}

/// What the picture shows, for whoever does not see it.
fn in_words(name: &str, steps: &[Step]) -> String {
    let each = steps.iter().map(|s| format!("{} {}", date(&s.at), index_words(s)));
    format!("{name} leg over time: {}", each.collect::<Vec<_>>().join("; "))
}

/// An index with its interval, in words.
fn index_words(step: &Step) -> String {
    match (step.index, step.interval, step.more_than) {
        (Some(index), Some((low, high)), _) => format!("{index} ({low} to {high})"),
        (Some(index), None, _) => index.to_string(),
        (None, _, Some(bound)) => format!("above {bound}"),
        (None, _, None) => "no index".into(),
    }
}

/// All visits, the newest first; each can be opened, and two be held against each other.
fn visits(ui: &mut Ui, shown: &LookedBack, roles: Roles, out: &mut Vec<Action>) {
    strong(ui, "Visits of this record", size::BODY, roles.ink);
    words(ui, "Choose two to see them side by side.", size::SMALL, roles.quiet);
    let history = &shown.record;
    let [right, left] = Side::BOTH.map(|side| history.steps(side));
    for (n, (row, result)) in history.visits.iter().enumerate().rev() {
        ui.horizontal_wrapped(|ui| {
            let day = date(&result.opened_at).to_owned();
            let chosen = shown.marked.contains(&row.id);
            if choice_named(ui, roles, ("side by side", &format!("side by side, {day}")), chosen) {
                out.push(Action::Shelf(ShelfAct::Compare(row.id)));
            }
            if finger(ui, roles, &format!("Open {day}"), Weight::Plain) {
                out.push(Action::Shelf(ShelfAct::LookAt(row.id)));
            }
            let index = |steps: &[Step]| steps.get(n).map(index_words).unwrap_or_default();
            let text = format!("right {}, left {}", index(&right), index(&left));
            words(ui, &text, size::BODY, roles.ink);
            if !row.closed {
                strong(ui, "not finished", size::BODY, roles.act);
            }
        });
    }
}

/// Two visits in two columns, and what lies between them.
fn side_by_side(ui: &mut Ui, pair: [&VisitResult; 2], roles: Roles) {
    strong(ui, "Side by side", size::BODY + 4.0, roles.ink);
    ui.columns(2, |columns| {
        for (column, result) in columns.iter_mut().zip(pair) {
            column.with_layout(Layout::top_down(Align::LEFT), |ui| one_visit(ui, result, roles));
        }
    });
    let two = pair.map(Clone::clone);
    for side in Side::BOTH {
        let steps = trend::of(side, &two);
        if let Some(change) = steps.last().and_then(|step| step.since_last.as_ref()) {
            let before = format!("{} leg: ", sentence(side.words()));
            told(ui, &before, change, roles);
        }
    }
}

/// One of the two.
fn one_visit(ui: &mut Ui, result: &VisitResult, roles: Roles) {
    strong(ui, date(&result.opened_at), size::BODY, roles.ink);
    let how = format!("{}; {}", result.posture, result.method.words);
    words(ui, &how, size::SMALL, roles.quiet);
    for leg in [&result.right, &result.left] {
        words(ui, &leg_words(leg), size::BODY, roles.ink);
    }
    for site in &result.sites {
        let counting: Vec<&str> =
            site.attempts.iter().filter(|a| a.counts).map(|a| a.outcome.as_str()).collect();
        let said = match counting.as_slice() {
            [] => "nothing that counts".to_owned(),
            some => some.join(", "),
        };
        let text = format!("{}: {said}", sentence(&site.name));
        words(ui, &text, size::SMALL, roles.quiet);
    }
}

fn leg_words(leg: &LegResult) -> String {
    let name = sentence(leg.side.words());
    match (leg.index, leg.low.zip(leg.high), leg.more_than) {
        (Some(index), Some((low, high)), _) => format!("{name} leg {index}, {low} to {high}"),
        (Some(index), None, _) => format!("{name} leg {index}"),
        (None, _, Some(above)) => format!("{name} leg above {above}"),
        (None, _, None) => format!("{name} leg: no index"),
    }
}
