//! Putting a recorded value right: which attempt, what it should be, why and who; the old one stays on the trail.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::reasons;
use crate::clinical::visit::Attempt;
use crate::conduct::wording;
use crate::window::model::Model;
use crate::window::model::action::{Action, CorrectingAct, PutRight};
use crate::window::model::correcting::{Correcting, attempts};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let (Some(correcting), Some(visit)) = (&model.correcting, model.result_visit()) else { return };
    let w = c.lang();
    c.strong(&sentence(&correcting.site.said(w)), size::TITLE, c.roles.ink);
    c.words(w.plain(id!("correct-help")), size::BODY, c.roles.quiet);
    c.scroll("correct", |c| {
        c.panel(|c| {
            for attempt in attempts(visit, correcting.site) {
                let text = outcome(w, attempt);
                let name = say!(w, "correct-attempt", n = attempt.number, outcome = text);
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
fn outcome(w: Words, attempt: &Attempt) -> String {
    let outcome = match &attempt.outcome {
        Some(outcome) => wording::outcome(w, outcome),
        None => w.plain(id!("correct-not-ended")).to_owned(),
    };
    let outcome = match (attempt.entered(), attempt.from_paper()) {
        (true, _) => say!(w, "correct-from-instrument", outcome = outcome),
        (false, true) => say!(w, "correct-from-paper", outcome = outcome),
        (false, false) => outcome,
    };
    match &attempt.withdrawn {
        Some(by) => {
            let why = reasons::said(w, &by.why);
            say!(w, "correct-withdrawn", outcome = outcome, why = why)
        }
        None => outcome,
    }
}

fn take(c: &mut Canvas<'_>, act: CorrectingAct) {
    c.act(Action::PutRight(PutRight::Fill(act)));
}

fn fields(c: &mut Canvas<'_>, correcting: &Correcting) {
    let w = c.lang();
    let mut reading = correcting.reading.clone();
    let edit = c.field(w.plain(id!("correct-reading")), &mut reading, 160.0);
    c.first(&edit);
    if edit.changed() {
        take(c, CorrectingAct::Reading(reading));
    }
    c.words(w.plain(id!("correct-why")), size::BODY, c.roles.quiet);
    c.row(|c| {
        for id in reasons::CORRECTION {
            let reason = reasons::kept(id);
            if c.choice(w.plain(id), correcting.why == reason) {
                take(c, CorrectingAct::Why(reason.into()));
            }
        }
    });
    let mut why = reasons::said(w, &correcting.why).to_owned();
    if c.field(w.plain(id!("correct-reason-own")), &mut why, 420.0).changed() {
        take(c, CorrectingAct::Why(why));
    }
    let mut who = correcting.who.clone();
    if c.field(w.plain(id!("correct-who")), &mut who, 160.0).changed() {
        take(c, CorrectingAct::Who(who));
    }
}

fn deeds(c: &mut Canvas<'_>, open: bool) {
    let w = c.lang();
    c.row(|c| {
        let least = vec2(170.0, size::GLOVE);
        if c.target(w.plain(id!("window-correct")), "", least, Emphasis::Act) {
            c.act(Action::PutRight(PutRight::Correct));
        }
        if c.target(w.plain(id!("correct-withdraw")), "", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::Withdraw));
        }
        if open && c.target(w.plain(id!("correct-again")), "", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::MeasureAgain));
        }
        if c.target(w.plain(id!("window-back")), "Esc", least, Emphasis::Plain) {
            c.act(Action::PutRight(PutRight::Back));
        }
    });
}
