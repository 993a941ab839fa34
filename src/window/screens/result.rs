//! What it comes to: red flags first, both indexes on their lines, what went into each, the words of the sets.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::cautions;
use crate::clinical::condition::Quantity;
use crate::clinical::event::VisitKind;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::Side;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out_in;
use crate::report::wording;
use crate::window::model::Model;
use crate::window::model::action::{Action, PutRight, Screen, ShelfAct, VisitAct};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, LimitLine};
use crate::window::paint::theme::size;
use crate::window::sentence::{day, sentence};
use crate::words::{Words, id, say};

/// From this width on both legs stand side by side, points.
const SIDE_BY_SIDE: f32 = 1_100.0;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(visit) = model.result_visit() else { return };
    let w = c.lang();
    let result = work_out_in(w, visit, &model.sets, Assumed::default());
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
                c.words(&say!(w, "clinical-caution", flag = flag.words), size::BODY, c.roles.act);
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
            let site = wanted.site.said(w);
            let text = say!(w, "result-wanted", site = site, why = wanted.why);
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
            c.words(w.plain(id!("result-cannot-tell")), size::BODY, c.roles.ink);
        });
        c.space(size::GRID);
        if model.visit.held.is_some() {
            c.panel(|c| closing(c, visit));
        }
    });
}

fn title(c: &mut Canvas<'_>, model: &Model, result: &VisitResult) {
    let w = c.lang();
    c.strong(&say!(w, "report-record", record = result.record), size::TITLE, c.roles.ink);
    c.words(&day(w, result.when()), size::BODY, c.roles.quiet);
    if model.result_visit().is_some_and(|visit| !visit.opened.scope.is_full()) {
        c.words(&result.kind, size::BODY, c.roles.quiet);
    }
}

fn targets(c: &mut Canvas<'_>, model: &Model, result: &VisitResult) {
    let w = c.lang();
    for (id, act) in [
        (id!("result-write"), VisitAct::SaveReport),
        (id!("result-open"), VisitAct::ShowReport),
        (id!("result-print"), VisitAct::PrintReport),
    ] {
        if c.finger(w.plain(id), Emphasis::Plain) {
            c.act(Action::Visit(act));
        }
    }
    if model.visit.held.is_some() {
        if c.finger(w.plain(id!("window-back-measuring")), Emphasis::Plain) {
            c.act(Action::Go(Screen::Measure));
        }
        let text = w.plain(id!("result-close"));
        if c.target(text, "", vec2(180.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Visit(VisitAct::Close));
        }
    } else {
        if c.finger(w.plain(id!("result-replay")), Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::HearAgain));
        }
        if c.finger(w.plain(id!("result-history")), Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::LookBack(result.record.clone())));
        }
    }
    if c.finger(w.plain(id!("window-visits")), Emphasis::Plain) {
        c.act(Action::Visit(VisitAct::Leave));
    }
}

fn one_leg(c: &mut Canvas<'_>, model: &Model, leg: &LegResult) {
    let w = c.lang();
    let named = wording::name(w, leg.side);
    c.strong(&named, size::BODY + 4.0, c.roles.ink);
    c.row(|c| {
        let number = match (leg.index, leg.more_than) {
            (Some(index), _) => w.number(index),
            (None, Some(above)) => say!(w, "report-above", lowest = w.number(above)),
            (None, None) => w.plain(id!("report-no-index")).into(),
        };
        c.strong(&number, 64.0, c.roles.ink);
        c.column(|c| {
            if let Some((low, high)) = leg.low.zip(leg.high) {
                let (low, high) = (w.number(low), w.number(high));
                c.words(
                    &say!(w, "clinical-ends", low = low, high = high),
                    size::SENTENCE,
                    c.roles.ink,
                );
            }
            if let (Some(ankle), Some(arm)) = (leg.ankle_mmhg, leg.arm_mmhg) {
                let place =
                    |code: &Option<String>| wording::places(w, code.as_deref().unwrap_or_default());
                let text = say!(
                    w,
                    "result-made",
                    ankle = w.number(ankle),
                    ankle_site = place(&leg.ankle_site),
                    arm = w.number(arm),
                    arm_site = place(&leg.arm_site)
                );
                c.words(&text, size::BODY, c.roles.quiet);
            }
        });
    });
    let limits = model.sets.first().map(|set| limits(w, set)).unwrap_or_default();
    let width = c.ui.available_width();
    let name = say!(w, "result-line", leg = named);
    let rect = c.named_space(vec2(width, 104.0), &name);
    plot::index_line(&c.pen(rect.shrink2(vec2(8.0, 0.0))), w, leg, &limits);
    if let Some(set) = model.sets.first() {
        let text = say!(w, "result-limits", set = set.name, limits = named_limits(w, set));
        c.words(&text, size::SMALL, c.roles.quiet);
    } else {
        c.words(w.plain(id!("result-numbers-only")), size::SMALL, c.roles.quiet);
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
        c.words(c.lang().plain(id!("result-no-band")), size::BODY, c.roles.ink);
    }
    for band in own {
        c.words(&band.words, size::BODY, c.roles.ink);
        c.words(&band.source, size::SMALL, c.roles.quiet);
    }
}

/// The limits of a set for the index; of two that stand close together the first.
fn limits(w: Words, set: &GuidanceSet) -> Vec<LimitLine> {
    let clauses = set.bands.iter().flat_map(|band| &band.when.0);
    let of_index = clauses.filter(|clause| clause.quantity == Quantity::Index);
    let mut at: Vec<i64> = of_index.flat_map(|c| c.limits().map(|l| l.hundredths)).collect();
    at.sort_unstable();
    at.dedup_by(|next, before| *next - *before < 3);
    let limit =
        |at: i64| LimitLine { at: at as f32 / 100.0, name: w.decimal(at as f64 / 100.0, 2) };
    at.into_iter().map(limit).collect()
}

/// The bands of a set for the index by name, in one line.
fn named_limits(w: Words, set: &GuidanceSet) -> String {
    let mut named = Vec::new();
    for band in &set.bands {
        for clause in band.when.0.iter().filter(|c| c.quantity == Quantity::Index) {
            let name = say!(w, "clinical-quote", words = band.name);
            named.push(format!("{} {name}", clause.printed(w)));
        }
    }
    named.join("; ")
}

/// Every attempt; those that count are marked in words.
fn readings(c: &mut Canvas<'_>, result: &VisitResult) {
    let w = c.lang();
    c.strong(w.plain(id!("result-readings")), size::BODY, c.roles.ink);
    for site in &result.sites {
        c.row(|c| {
            c.words(&sentence(&site.name), size::BODY, c.roles.ink);
            for attempt in &site.attempts {
                let outcome = &attempt.outcome;
                let text = match (&attempt.left_out, attempt.counts) {
                    (Some(why), _) => say!(w, "result-counts-not", outcome = outcome, why = why),
                    (None, true) => say!(w, "result-counts", outcome = outcome),
                    (None, false) => outcome.clone(),
                };
                c.words(&text, size::BODY, c.roles.quiet);
            }
            let name = say!(w, "result-correct", site = site.name);
            if c.choice_named(w.plain(id!("window-correct")), &name, false) {
                c.act(Action::PutRight(PutRight::Begin(site.site)));
            }
        });
    }
}

/// Plan, exercise, signature and the next test, while the visit is open.
fn closing(c: &mut Canvas<'_>, visit: &Visit) {
    let w = c.lang();
    c.row(|c| {
        c.entry(w.plain(id!("result-plan")), 420.0, |desk| &mut desk.plan);
        if c.finger(w.plain(id!("result-keep-plan")), Emphasis::Plain) {
            let words = std::mem::take(&mut c.desk.plan);
            c.act(Action::Visit(VisitAct::Plan(words)));
        }
    });
    if let Some((words, who)) = &visit.plan {
        c.words(&say!(w, "result-planned", words = words, who = who), size::BODY, c.roles.ink);
    }
    c.row(|c| {
        let ahead = visit.opened.scope == VisitKind::Exercise && visit.exercised.is_none();
        c.entry(w.plain(id!("result-exercise")), 240.0, |desk| &mut desk.exercise);
        let weight = if ahead { Emphasis::Act } else { Emphasis::Plain };
        if c.finger(w.plain(id!("result-exercised")), weight) {
            let words = std::mem::take(&mut c.desk.exercise);
            c.act(Action::Visit(VisitAct::Exercised(words)));
        }
    });
    c.row(|c| {
        c.entry(w.plain(id!("result-supervisor")), 200.0, |desk| &mut desk.supervisor);
        if c.finger(w.plain(id!("result-countersign")), Emphasis::Plain) {
            let who = std::mem::take(&mut c.desk.supervisor);
            c.act(Action::Visit(VisitAct::Countersign(who)));
        }
        c.entry(w.plain(id!("result-due")), 200.0, |desk| &mut desk.due);
        if c.finger(w.plain(id!("result-set-date")), Emphasis::Plain) {
            c.act(Action::Visit(VisitAct::NextDue(c.desk.due.clone())));
        }
    });
    for who in &visit.countersigned {
        c.words(&say!(w, "result-countersigned", who = who), size::BODY, c.roles.ink);
    }
    if let Some((due, _)) = &visit.next_test {
        c.words(&say!(w, "window-next-test", on = day(w, due)), size::BODY, c.roles.ink);
    }
}
