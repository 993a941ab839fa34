//! One record from visit to visit: each leg's index over time with its interval, what changed, like for like; and
//! two visits side by side.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::Side;
use crate::clinical::trend::{self, LegAtVisit, TrendChange};
use crate::logbook::History;
use crate::window::model::Model;
use crate::window::model::action::{Action, ShelfAct, VisitAct};
use crate::window::model::shelf::LookedBack;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot;
use crate::window::paint::theme::size;
use crate::window::sentence::{date, sentence};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(shown) = &model.shelf.looked_back else { return };
    let history = &shown.record;
    c.row(|c| {
        c.strong(&format!("Record {}", history.record), size::TITLE, c.roles.ink);
        if c.target("Visits", "", vec2(160.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Visit(VisitAct::Leave));
        }
        if let Some(due) = &history.due {
            c.words(&format!("Next test due: {due}"), size::BODY, c.roles.ink);
        }
    });
    c.space(size::GRID);
    c.scroll("history", |c| {
        for (row, fault) in &history.faults {
            let day = date(&row.opened_at.to_string()).to_owned();
            c.words(&format!("Not calculated: {day}: {fault}"), size::BODY, c.roles.act);
        }
        for side in Side::BOTH {
            c.panel(|c| leg(c, history, side));
            c.space(size::GRID);
        }
        c.panel(|c| visits(c, shown));
        c.space(size::GRID);
        if let Some(pair) = shown.pair() {
            c.panel(|c| side_by_side(c, pair));
        }
    });
}

/// One leg: the picture, the latest change in words, the toe.
fn leg(c: &mut Canvas<'_>, history: &History, side: Side) {
    let steps = history.steps(side);
    let name = sentence(side.words());
    c.strong(&format!("{name} leg"), size::BODY + 4.0, c.roles.ink);
    let rect = c.named_space(vec2(c.ui.available_width(), 240.0), &in_words(&name, &steps));
    plot::trend(&c.pen(rect), &steps);
    let Some(last) = steps.last() else { return };
    for (before, change) in [("", &last.since_last), ("Since the first visit: ", &last.since_first)]
    {
        change.iter().for_each(|change| told(c, before, change));
    }
    if let Some(toe) = last.toe_mmhg {
        c.words(&format!("Toe pressure {toe} mmHg."), size::BODY, c.roles.ink);
    }
    last.toe_since_last.iter().for_each(|change| told(c, "", change));
}

/// A change; one that is to be marked is marked by a word and by weight.
fn told(c: &mut Canvas<'_>, before: &str, change: &TrendChange) {
    if change.marked() {
        c.strong(&format!("Changed. {before}{}", change.words), size::BODY, c.roles.act);
    } else {
        c.words(&format!("{before}{}", change.words), size::BODY, c.roles.ink);
    }
}

/// What the picture shows, for whoever does not see it.
fn in_words(name: &str, steps: &[LegAtVisit]) -> String {
    let each = steps.iter().map(|s| format!("{} {}", date(&s.at), index_words(s)));
    format!("{name} leg over time: {}", each.collect::<Vec<_>>().join("; "))
}

/// An index with its interval, in words.
fn index_words(step: &LegAtVisit) -> String {
    match (step.index, step.interval, step.more_than) {
        (Some(index), Some((low, high)), _) => format!("{index} ({low} to {high})"),
        (Some(index), None, _) => index.to_string(),
        (None, _, Some(bound)) => format!("above {bound}"),
        (None, _, None) => "no index".into(),
    }
}

/// All visits, the newest first; each can be opened, and two be held against each other.
fn visits(c: &mut Canvas<'_>, shown: &LookedBack) {
    c.strong("Visits of this record", size::BODY, c.roles.ink);
    c.words("Choose two to see them side by side.", size::SMALL, c.roles.quiet);
    let history = &shown.record;
    let [right, left] = Side::BOTH.map(|side| history.steps(side));
    for (n, (row, result)) in history.visits.iter().enumerate().rev() {
        c.row(|c| {
            let day = date(&result.when()).to_owned();
            let chosen = shown.marked.contains(&row.id);
            if c.choice_named("side by side", &format!("side by side, {day}"), chosen) {
                c.act(Action::Shelf(ShelfAct::Compare(row.id)));
            }
            if c.finger(&format!("Open {day}"), Emphasis::Plain) {
                c.act(Action::Shelf(ShelfAct::LookAt(row.id)));
            }
            let index = |steps: &[LegAtVisit]| steps.get(n).map(index_words).unwrap_or_default();
            let text = format!("right {}, left {}", index(&right), index(&left));
            c.words(&text, size::BODY, c.roles.ink);
            if !row.closed {
                c.strong("not finished", size::BODY, c.roles.act);
            }
        });
    }
}

/// Two visits in two columns, and what lies between them.
fn side_by_side(c: &mut Canvas<'_>, pair: [&VisitResult; 2]) {
    c.strong("Side by side", size::BODY + 4.0, c.roles.ink);
    c.columns(2, |c, n| one_visit(c, pair[n]));
    let two = pair.map(Clone::clone);
    for side in Side::BOTH {
        let steps = trend::of(side, &two);
        if let Some(change) = steps.last().and_then(|step| step.since_last.as_ref()) {
            let before = format!("{} leg: ", sentence(side.words()));
            told(c, &before, change);
        }
    }
}

/// One of the two.
fn one_visit(c: &mut Canvas<'_>, result: &VisitResult) {
    c.strong(date(&result.when()), size::BODY, c.roles.ink);
    let how = format!("{}; {}", result.posture, result.method.words);
    c.words(&how, size::SMALL, c.roles.quiet);
    for leg in [&result.right, &result.left] {
        c.words(&leg_words(leg), size::BODY, c.roles.ink);
    }
    for site in &result.sites {
        let counting: Vec<&str> =
            site.attempts.iter().filter(|a| a.counts).map(|a| a.outcome.as_str()).collect();
        let said = match counting.as_slice() {
            [] => "no value that counts".to_owned(),
            some => some.join(", "),
        };
        let text = format!("{}: {said}", sentence(&site.name));
        c.words(&text, size::SMALL, c.roles.quiet);
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
