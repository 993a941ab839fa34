//! What it comes to: red flags first, both indexes on their lines, what went into each, the words of the sets.

use eframe::egui::{Align, Layout, Ui, vec2};

use super::app::Desk;
use super::model::Model;
use super::model::action::{Action, Screen, ShelfAct, VisitAct};
use super::parts::{
    Weight, banner, field, finger, low, named_space, panel, scroll, strong, target, words,
};
use super::plot::{self, Limit};
use super::sentence::{date, sentence};
use super::theme::{Roles, size};
use crate::clinical::cautions;
use crate::clinical::condition::Quantity;
use crate::clinical::guidance::Set;
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::Site;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;

/// What stands on every result.
const CANNOT_TELL: &str = "A number alone does not rule arterial disease out, least of all with diabetes or kidney disease. Check by ear and gauge. Local policy and a licensed practitioner decide.";

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    desk: &mut Desk,
    roles: Roles,
    out: &mut Vec<Action>,
) {
    let Some(visit) = model.result_visit() else { return };
    let result = work_out(visit, &model.sets, Assumed::default());
    let low = low(ui);
    if !low {
        head(ui, model, &result, roles, out);
    }
    scroll("result").show(ui, |ui| {
        if low {
            head(ui, model, &result, roles, out);
        }
        for flag in &result.flags {
            if flag.weight == cautions::Weight::RedFlag {
                banner(ui, roles, &sentence(&flag.words));
            } else {
                words(ui, &format!("Caution: {}", flag.words), size::BODY, roles.act);
            }
        }
        for wanted in &result.wanted {
            let text = format!("Still asked for at {}: {}", wanted.site, wanted.why);
            words(ui, &text, size::BODY, roles.act);
        }
        for leg in [&result.right, &result.left] {
            panel(ui, roles, |ui| one_leg(ui, model, leg, roles));
            ui.add_space(size::GRID);
        }
        panel(ui, roles, |ui| readings(ui, &result, roles));
        ui.add_space(size::GRID);
        panel(ui, roles, |ui| {
            for note in &result.notes {
                words(ui, note, size::SMALL, roles.quiet);
            }
            words(ui, CANNOT_TELL, size::BODY, roles.ink);
        });
        ui.add_space(size::GRID);
        if model.visit.held.is_some() {
            panel(ui, roles, |ui| closing(ui, visit, desk, roles, out));
        }
    });
}

fn head(ui: &mut Ui, model: &Model, result: &VisitResult, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        strong(ui, &format!("Record {}", result.record), size::TITLE, roles.ink);
        words(ui, date(&result.opened_at), size::BODY, roles.quiet);
        if finger(ui, roles, "Write the report", Weight::Plain) {
            out.push(Action::Visit(VisitAct::SaveReport));
        }
        if model.visit.held.is_some() {
            if finger(ui, roles, "Back to measuring", Weight::Plain) {
                out.push(Action::Go(Screen::Measure));
            }
            if target(ui, roles, ("Close the visit", ""), vec2(180.0, size::TARGET), Weight::Act) {
                out.push(Action::Visit(VisitAct::Close));
            }
        }
        if model.visit.held.is_none() && finger(ui, roles, "Hear again", Weight::Plain) {
            out.push(Action::Shelf(ShelfAct::HearAgain));
        }
        if model.visit.held.is_none() && finger(ui, roles, "All of this record", Weight::Plain) {
            out.push(Action::Shelf(ShelfAct::LookBack(result.record.clone())));
        }
        if finger(ui, roles, "Visits", Weight::Plain) {
            out.push(Action::Visit(VisitAct::Leave));
        }
    });
}

fn one_leg(ui: &mut Ui, model: &Model, leg: &LegResult, roles: Roles) {
    strong(ui, &format!("{} leg", sentence(leg.side.words())), size::BODY + 4.0, roles.ink);
    ui.horizontal_wrapped(|ui| {
        let number = match (leg.index, leg.more_than) {
            (Some(index), _) => index.to_string(),
            (None, Some(above)) => format!("above {above}"),
            (None, None) => "no index".into(),
        };
        strong(ui, &number, 64.0, roles.ink);
        ui.vertical(|ui| {
            if let Some((low, high)) = leg.low.zip(leg.high) {
                words(ui, &format!("{low} to {high}"), size::SENTENCE, roles.ink);
            }
            if let (Some(ankle), Some(arm)) = (leg.ankle_mmhg, leg.arm_mmhg) {
                let (ankle_at, arm_at) =
                    (sites_in_words(&leg.ankle_site), sites_in_words(&leg.arm_site));
                let text = format!("{ankle} at {ankle_at}, over {arm} at {arm_at}");
                words(ui, &text, size::BODY, roles.quiet);
            }
        });
    });
    let limits = model.sets.first().map(limits).unwrap_or_default();
    let width = ui.available_width();
    let name = format!("{} leg on a line from 0.0 to 1.6", leg.side.words());
    let (rect, _) = named_space(ui, vec2(width, 104.0), &name);
    plot::index_line(ui, roles, rect.shrink2(vec2(8.0, 0.0)), leg, &limits);
    if let Some(set) = model.sets.first() {
        let text = format!("Limits on the line, {}: {}.", set.name, named_limits(set));
        words(ui, &text, size::SMALL, roles.quiet);
    } else {
        words(
            ui,
            "Numbers only: no clinician of this service has switched guidance on (Set-up).",
            size::SMALL,
            roles.quiet,
        );
    }
    for crossing in &leg.crossings {
        strong(ui, &crossing.words, size::BODY, roles.act);
    }
    let two = model.sets.len() > 1 && width > 820.0;
    if two {
        ui.columns(2, |columns| {
            for (column, set) in columns.iter_mut().zip(&model.sets) {
                // A column would set its words in block.
                column.with_layout(Layout::top_down(Align::LEFT), |ui| bands(ui, set, leg, roles));
            }
        });
    }
    for set in model.sets.iter().skip(if two { 2 } else { 0 }) {
        bands(ui, set, leg, roles);
    }
    let shown: Vec<&String> =
        leg.crossings.iter().map(|c| &c.words).chain(leg.bands.iter().map(|b| &b.words)).collect();
    for said in leg.words.iter().filter(|w| !shown.contains(w)) {
        words(ui, said, size::BODY, roles.ink);
    }
}

/// What one set says of this leg, source first.
fn bands(ui: &mut Ui, set: &Set, leg: &LegResult, roles: Roles) {
    strong(ui, &set.name, size::BODY, roles.heard);
    let own: Vec<_> = leg.bands.iter().filter(|band| band.id == set.id).collect();
    if own.is_empty() {
        words(ui, "This set has no band here.", size::BODY, roles.ink);
    }
    for band in own {
        words(ui, &band.words, size::BODY, roles.ink);
        words(ui, &band.source, size::SMALL, roles.quiet);
    }
}

/// The limits of a set for the index; of two that stand close together the first.
fn limits(set: &Set) -> Vec<Limit> {
    let clauses = set.bands.iter().flat_map(|band| &band.when.0);
    let of_index = clauses.filter(|clause| clause.quantity == Quantity::Index);
    let mut at: Vec<i64> = of_index.flat_map(|c| c.limits().map(|l| l.hundredths)).collect();
    at.sort_unstable();
    at.dedup_by(|next, before| *next - *before < 3);
    let limit =
        |at: i64| Limit { at: at as f32 / 100.0, name: format!("{:.2}", at as f64 / 100.0) };
    at.into_iter().map(limit).collect()
}

/// The bands of a set for the index by name, in one line.
fn named_limits(set: &Set) -> String {
    let mut named = Vec::new();
    for band in &set.bands {
        for clause in band.when.0.iter().filter(|c| c.quantity == Quantity::Index) {
            named.push(format!("{} \"{}\"", clause.printed(), band.name));
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
fn readings(ui: &mut Ui, result: &VisitResult, roles: Roles) {
    strong(ui, "What went into it", size::BODY, roles.ink);
    for site in &result.sites {
        ui.horizontal_wrapped(|ui| {
            words(ui, &sentence(&site.name), size::BODY, roles.ink);
            for attempt in &site.attempts {
                let why = match (&attempt.left_out, attempt.counts) {
                    (Some(why), _) => format!(" (does not count: {why})"),
                    (None, true) => " (counts)".into(),
                    (None, false) => String::new(),
                };
                words(ui, &format!("{}{why}", attempt.outcome), size::BODY, roles.quiet);
            }
        });
    }
}

fn closing(ui: &mut Ui, visit: &Visit, desk: &mut Desk, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        field(ui, roles, "Supervisor, to countersign", &mut desk.supervisor, 200.0);
        if finger(ui, roles, "Countersign", Weight::Plain) {
            out.push(Action::Visit(VisitAct::Countersign(std::mem::take(&mut desk.supervisor))));
        }
        field(ui, roles, "Next test due, as 2027-02-25", &mut desk.due, 200.0);
        if finger(ui, roles, "Set the date", Weight::Plain) {
            out.push(Action::Visit(VisitAct::NextDue(desk.due.clone())));
        }
    });
    for who in &visit.countersigned {
        words(ui, &format!("Countersigned: {who}"), size::BODY, roles.ink);
    }
    if let Some((due, _)) = &visit.next_test {
        words(ui, &format!("Next test due: {due}"), size::BODY, roles.ink);
    }
}
