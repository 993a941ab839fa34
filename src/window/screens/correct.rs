//! Putting a recorded value right: which attempt, what it should be, why and who; the old one stays on the trail.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::visit::Attempt;
use crate::conduct::wording;
use crate::window::model::Model;
use crate::window::model::action::{Action, CorrectingAct, PutRight};
use crate::window::model::correcting::{Correcting, REASONS, attempts};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::Words;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let (Some(correcting), Some(visit)) = (&model.correcting, model.result_visit()) else { return };
    c.strong(&sentence(&correcting.site.to_string()), size::TITLE, c.roles.ink);
    c.words(
        "Correct or withdraw what was recorded here. The first value stays on the trail.",
        size::BODY,
        c.roles.quiet,
    );
    c.scroll("correct", |c| {
        c.panel(|c| {
            for attempt in attempts(visit, correcting.site) {
                let text = words(attempt);
                let name = format!("Attempt {}: {text}", attempt.number);
                let chosen = correcting.attempt == Some(attempt.number);
                if c.choice_named(&name, &name, chosen) {
                    take(c, CorrectingAct::Choose(attempt.number));
                }
            }
        });
        c.space(size::GRID);
        c.panel(|c| fields(c, correcting));
        c.space(size::GRID);
        deeds(c, model.visit.held.is_some() && !visit.closed);
    });
}

/// How an attempt ended, and whether it counts.
fn words(attempt: &Attempt) -> String {
    let outcome = attempt
        .outcome
        .as_ref()
        .map_or("not finished".into(), |outcome| wording::outcome(Words::english(), outcome));
    let from = match (attempt.entered(), attempt.from_paper()) {
        (true, _) => ", entered from another instrument",
        (false, true) => ", taken from paper",
        (false, false) => "",
    };
    match &attempt.withdrawn {
        Some(by) => format!("{outcome}{from}, withdrawn: {}", by.why),
        None => format!("{outcome}{from}"),
    }
}

fn take(c: &mut Canvas<'_>, act: CorrectingAct) {
    c.act(Action::PutRight(PutRight::Fill(act)));
}

fn fields(c: &mut Canvas<'_>, correcting: &Correcting) {
    let mut reading = correcting.reading.clone();
    let edit = c.field("Correct reading, mmHg", &mut reading, 160.0);
    c.first(&edit);
    if edit.changed() {
        take(c, CorrectingAct::Reading(reading));
    }
    c.words("Why?", size::BODY, c.roles.quiet);
    c.row(|c| {
        for reason in REASONS {
            if c.choice(reason, correcting.why == reason) {
                take(c, CorrectingAct::Why(reason.into()));
            }
        }
    });
    let mut why = correcting.why.clone();
    if c.field("Other reason, in your own words", &mut why, 420.0).changed() {
        take(c, CorrectingAct::Why(why));
    }
    let mut who = correcting.who.clone();
    if c.field("Who: initials or code", &mut who, 160.0).changed() {
        take(c, CorrectingAct::Who(who));
    }
}

fn deeds(c: &mut Canvas<'_>, open: bool) {
    c.row(|c| {
        let least = vec2(170.0, size::GLOVE);
        if c.target("Correct", "", least, Emphasis::Act) {
            c.act(Action::PutRight(PutRight::Correct));
        }
        if c.target("Withdraw", "", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::Withdraw));
        }
        if open && c.target("Measure again", "", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::MeasureAgain));
        }
        if c.target("Back", "Esc", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::Back));
        }
    });
}
