//! Who and why: the form before a visit. The visit begins when the patient lies down.

use eframe::egui::{ScrollArea, vec2};

use super::canvas::Canvas;
use crate::clinical::event::{Answer, Posture};
use crate::clinical::reasons;
use crate::clinical::site::{Artery, Side, Site};
use crate::window::model::Model;
use crate::window::model::action::{Action, FormField, OpeningAct, Screen, What};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{id, say};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.strong(w.plain(id!("begin-title")), size::TITLE, c.roles.ink);
    let paper = model.form.what == What::OnPaper;
    // Where little height is left, the way on scrolls with the rest.
    let foot = size::GLOVE + 2.0 * size::GRID;
    let low = c.ui.available_height() < 3.0 * foot;
    let height = if low { f32::INFINITY } else { c.ui.available_height() - foot };
    let area = ScrollArea::vertical().id_salt("begin").max_height(height);
    c.scrolled(area, |c| {
        who(c, model);
        c.space(size::GRID);
        what(c, model);
        c.space(size::GRID);
        how(c, model);
        c.space(size::GRID);
        why(c, model);
        if low {
            on(c, paper);
        }
    });
    if !low {
        on(c, paper);
    }
}

fn fill(field: FormField) -> Action {
    Action::Open(OpeningAct::Fill(field))
}

/// The way on, and back.
fn on(c: &mut Canvas<'_>, paper: bool) {
    let w = c.lang();
    c.space(size::GRID);
    c.row(|c| {
        let least = vec2(420.0, size::GLOVE);
        let text = match paper {
            true => id!("begin-start-paper"),
            false => id!("begin-start"),
        };
        if c.target(w.plain(text), "", least, Emphasis::Act) {
            c.act(Action::Open(OpeningAct::Begin));
        }
        if c.finger(w.plain(id!("window-back")), Emphasis::Plain) {
            c.act(Action::Go(Screen::Visits));
        }
    });
}

fn who(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.panel(|c| {
        c.row(|c| {
            let mut record = model.form.record.clone();
            let edit = c.field(w.plain(id!("begin-record")), &mut record, 260.0);
            c.first(&edit);
            if edit.changed() {
                c.act(fill(FormField::Record(record)));
            }
            let mut operator = model.form.operator.clone();
            if c.field(w.plain(id!("begin-operator")), &mut operator, 160.0).changed() {
                c.act(fill(FormField::Operator(operator)));
            }
        });
        if let Some(last) = &model.form.last_visit {
            c.strong(&last.said(w), size::BODY, c.roles.act);
        }
    });
}

/// What is measured.
fn what(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.panel(|c| {
        c.words(w.plain(id!("begin-what")), size::BODY, c.roles.quiet);
        c.row(|c| {
            for what in What::ALL {
                if c.choice(&what.said(w), model.form.what == what) {
                    c.act(fill(FormField::What(what)));
                }
            }
        });
        match model.form.what {
            What::OneArtery => c.row(|c| {
                let arteries = [Artery::DorsalisPedis, Artery::PosteriorTibial, Artery::Peroneal];
                let sites = Side::BOTH.into_iter().flat_map(|s| arteries.map(|a| Site::new(s, a)));
                for site in sites {
                    if c.choice(&sentence(&site.said(w)), model.form.artery == Some(site)) {
                        c.act(fill(FormField::Artery(site)));
                    }
                }
            }),
            What::OnPaper => c.row(|c| {
                let mut day = model.form.paper_day.clone();
                if c.field(w.plain(id!("begin-paper-day")), &mut day, 220.0).changed() {
                    c.act(fill(FormField::PaperDay(day)));
                }
                let mut by = model.form.paper_by.clone();
                if c.field(w.plain(id!("begin-paper-by")), &mut by, 180.0).changed() {
                    c.act(fill(FormField::PaperBy(by)));
                }
            }),
            _ => {}
        }
    });
}

fn why(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.panel(|c| {
        c.words(w.plain(id!("begin-why")), size::BODY, c.roles.quiet);
        c.row(|c| {
            for id in reasons::TEST {
                let reason = reasons::kept(id);
                if c.choice(w.plain(id), model.form.reason == reason) {
                    c.act(fill(FormField::Reason(reason.into())));
                }
            }
        });
        let mut reason = reasons::said(w, &model.form.reason).to_owned();
        if c.field(w.plain(id!("begin-reason-own")), &mut reason, 420.0).changed() {
            c.act(fill(FormField::Reason(reason)));
        }
        ulcer(c, model);
        if let Some(answer) = question(c, w.plain(id!("begin-diabetes")), model.form.diabetes) {
            c.act(fill(FormField::Diabetes(answer)));
        }
        if let Some(answer) = question(c, w.plain(id!("begin-kidney")), model.form.kidney) {
            c.act(fill(FormField::Kidney(answer)));
        }
    });
}

/// Which ulcer the measurement is about, where there is one.
fn ulcer(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.row(|c| {
        c.words(w.plain(id!("begin-ulcer")), size::BODY, c.roles.ink);
        for side in [None, Some(Side::Right), Some(Side::Left)] {
            let word = match side {
                Some(side) => say!(w, "begin-ulcer-side", side = side.code()),
                None => w.plain(id!("begin-ulcer-none")).to_owned(),
            };
            let name = say!(w, "begin-ulcer-name", choice = word);
            if c.choice_named(&word, &name, model.form.ulcer_side == side) {
                c.act(fill(FormField::UlcerSide(side)));
            }
        }
        if model.form.ulcer_side.is_some() {
            let mut place = model.form.ulcer_place.clone();
            if c.field(w.plain(id!("begin-ulcer-place")), &mut place, 240.0).changed() {
                c.act(fill(FormField::UlcerPlace(place)));
            }
        }
    });
}

fn how(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.panel(|c| {
        c.words(w.plain(id!("begin-position")), size::BODY, c.roles.quiet);
        c.row(|c| {
            for posture in [Posture::Supine, Posture::HeadRaised, Posture::Sitting, Posture::Other]
            {
                if c.choice(posture.said(w), model.form.posture == Some(posture)) {
                    c.act(fill(FormField::Posture(posture)));
                }
            }
        });
        if model.form.posture.is_some_and(|p| p != Posture::Supine) {
            c.words(w.plain(id!("begin-not-flat")), size::BODY, c.roles.act);
        }
    });
}

/// A question with yes, no and not known; the name of each answer says to what it belongs. Gives what was answered now.
pub fn question(c: &mut Canvas<'_>, text: &str, given: Option<Answer>) -> Option<Answer> {
    let w = c.lang();
    let mut answered = None;
    c.row(|c| {
        c.words(text, size::BODY, c.roles.ink);
        for (answer, id) in [
            (Answer::Yes, id!("window-yes")),
            (Answer::No, id!("window-no")),
            (Answer::Unknown, id!("window-unknown")),
        ] {
            let word = w.plain(id);
            let name = say!(w, "window-answer", answer = word, question = w.within(text));
            if c.choice_named(word, &name, given == Some(answer)) {
                answered = Some(answer);
            }
        }
    });
    answered
}
