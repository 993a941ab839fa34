//! One record from visit to visit: each leg's index over time with its interval, what changed, like for like; and
//! two visits side by side.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::exact::Hundredths;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Side;
use crate::clinical::trend::{self, LegAtVisit, TrendChange};
use crate::logbook::History;
use crate::report::wording;
use crate::window::model::Model;
use crate::window::model::action::{Action, ShelfAct, VisitAct};
use crate::window::model::shelf::LookedBack;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot;
use crate::window::paint::theme::size;
use crate::window::sentence::{day, sentence};
use crate::words::{Words, id, say};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(shown) = &model.shelf.looked_back else { return };
    let (w, history) = (c.lang(), &shown.record);
    c.row(|c| {
        c.strong(&say!(w, "report-record", record = history.record), size::TITLE, c.roles.ink);
        if c.target(w.plain(id!("window-visits")), "", vec2(160.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Visit(VisitAct::Leave));
        }
        if let Some(due) = &history.due {
            c.words(&say!(w, "window-next-test", on = day(w, due)), size::BODY, c.roles.ink);
        }
    });
    c.space(size::GRID);
    c.scroll("history", |c| {
        for (row, fault) in &history.faults {
            let day = day(w, row.opened_at);
            c.words(&say!(w, "history-fault", day = day, why = fault), size::BODY, c.roles.act);
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
    let (w, steps) = (c.lang(), history.steps(side));
    c.strong(&wording::name(w, side), size::BODY + 4.0, c.roles.ink);
    let rect = c.named_space(vec2(c.ui.available_width(), 240.0), &in_words(w, side, &steps));
    plot::trend(&c.pen(rect), w, &steps);
    let Some(last) = steps.last() else { return };
    last.since_last.iter().for_each(|change| told(c, &change.words, change));
    if let Some(change) = &last.since_first {
        let words = say!(w, "history-since-first", change = change.words);
        told(c, &words, change);
    }
    if let Some(toe) = last.toe_mmhg {
        c.words(&say!(w, "history-toe", mmhg = w.number(toe)), size::BODY, c.roles.ink);
    }
    last.toe_since_last.iter().for_each(|change| told(c, &change.words, change));
}

/// A change; one that is to be marked is marked by a word and by weight.
fn told(c: &mut Canvas<'_>, words: &str, change: &TrendChange) {
    if change.marked() {
        let text = say!(c.lang(), "history-changed", change = words);
        c.strong(&text, size::BODY, c.roles.act);
    } else {
        c.words(words, size::BODY, c.roles.ink);
    }
}

/// What the picture shows, for whoever does not see it.
fn in_words(w: Words, side: Side, steps: &[LegAtVisit]) -> String {
    let each = steps.iter().map(|s| format!("{} {}", day(w, &s.at), index_words(w, s)));
    let (leg, steps) = (wording::name(w, side), each.collect::<Vec<_>>().join("; "));
    say!(w, "history-picture", leg = leg, steps = steps)
}

/// An index with its interval, in words.
fn index_words(w: Words, step: &LegAtVisit) -> String {
    number(w, (step.index, step.interval, step.more_than))
}

/// An index, its interval, or what it lies above.
type Numbers = (Option<Hundredths>, Option<(Hundredths, Hundredths)>, Option<Hundredths>);

fn number(w: Words, numbers: Numbers) -> String {
    match numbers {
        (Some(index), Some((low, high)), _) => {
            let [index, low, high] = [index, low, high].map(|n| w.number(n));
            say!(w, "history-index", index = index, low = low, high = high)
        }
        (Some(index), None, _) => w.number(index),
        (None, _, Some(bound)) => say!(w, "report-above", lowest = w.number(bound)),
        (None, _, None) => w.plain(id!("report-no-index")).into(),
    }
}

/// All visits, the newest first; each can be opened, and two be held against each other.
fn visits(c: &mut Canvas<'_>, shown: &LookedBack) {
    let w = c.lang();
    c.strong(w.plain(id!("history-visits")), size::BODY, c.roles.ink);
    c.words(w.plain(id!("history-choose")), size::SMALL, c.roles.quiet);
    let history = &shown.record;
    let [right, left] = Side::BOTH.map(|side| history.steps(side));
    for (n, (row, result)) in history.visits.iter().enumerate().rev() {
        c.row(|c| {
            let day = day(w, result.when());
            let chosen = shown.marked.contains(&row.id);
            let name = say!(w, "history-beside-name", day = day);
            if c.choice_named(w.plain(id!("history-beside")), &name, chosen) {
                c.act(Action::Shelf(ShelfAct::Compare(row.id)));
            }
            if c.finger(&say!(w, "history-open", day = day), Emphasis::Plain) {
                c.act(Action::Shelf(ShelfAct::LookAt(row.id)));
            }
            let index = |steps: &[LegAtVisit]| {
                steps.get(n).map(|step| index_words(w, step)).unwrap_or_default()
            };
            let text = say!(w, "history-both", right = index(&right), left = index(&left));
            c.words(&text, size::BODY, c.roles.ink);
            if !row.closed {
                c.strong(w.plain(id!("history-not-finished")), size::BODY, c.roles.act);
            }
        });
    }
}

/// Two visits in two columns, and what lies between them.
fn side_by_side(c: &mut Canvas<'_>, pair: [&VisitResult; 2]) {
    let w = c.lang();
    c.strong(w.plain(id!("history-side-by-side")), size::BODY + 4.0, c.roles.ink);
    c.columns(2, |c, n| one_visit(c, pair[n]));
    let two = pair.map(Clone::clone);
    for side in Side::BOTH {
        let steps = trend::of(side, &two);
        if let Some(change) = steps.last().and_then(|step| step.since_last.as_ref()) {
            let leg = wording::name(w, side);
            told(c, &say!(w, "history-leg", leg = leg, change = change.words), change);
        }
    }
}

/// One of the two.
fn one_visit(c: &mut Canvas<'_>, result: &VisitResult) {
    let w = c.lang();
    c.strong(&day(w, result.when()), size::BODY, c.roles.ink);
    let how = format!("{}; {}", result.posture, result.method.words);
    c.words(&how, size::SMALL, c.roles.quiet);
    for leg in [&result.right, &result.left] {
        let numbers = number(w, (leg.index, leg.low.zip(leg.high), leg.more_than));
        let text = say!(w, "history-leg", leg = wording::name(w, leg.side), change = numbers);
        c.words(&text, size::BODY, c.roles.ink);
    }
    for site in &result.sites {
        let counting: Vec<&str> =
            site.attempts.iter().filter(|a| a.counts).map(|a| a.outcome.as_str()).collect();
        let said = match counting.as_slice() {
            [] => w.plain(id!("history-no-value")).to_owned(),
            some => some.join(", "),
        };
        let text = format!("{}: {said}", sentence(&site.name));
        c.words(&text, size::SMALL, c.roles.quiet);
    }
}
