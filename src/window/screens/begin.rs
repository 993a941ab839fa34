//! Who and why: the form before a visit. The visit begins when the patient lies down.

use eframe::egui::{ScrollArea, vec2};

use super::canvas::Canvas;
use crate::clinical::event::{Answer, Posture};
use crate::clinical::site::{Artery, Side, Site};
use crate::window::model::Model;
use crate::window::model::action::{Action, FormField, OpeningAct, Screen, What};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;

/// Reasons in one touch (common practice); any other can be typed.
const REASONS: [&str; 5] = [
    "leg ulcer, before compression",
    "foot ulcer",
    "pain on walking",
    "follow-up after treatment",
    "screening by local policy",
];

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    c.strong("New visit", size::TITLE, c.roles.ink);
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
    c.space(size::GRID);
    c.row(|c| {
        let least = vec2(420.0, size::GLOVE);
        let text = match paper {
            true => "Enter the values from the paper",
            false => "Start rest period",
        };
        if c.target(text, "", least, Emphasis::Act) {
            c.act(Action::Open(OpeningAct::Begin));
        }
        if c.finger("Back", Emphasis::Plain) {
            c.act(Action::Go(Screen::Visits));
        }
    });
}

fn who(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.row(|c| {
            let mut record = model.form.record.clone();
            let edit = c.field("Record code, never a name", &mut record, 260.0);
            c.first(&edit);
            if edit.changed() {
                c.act(fill(FormField::Record(record)));
            }
            let mut operator = model.form.operator.clone();
            if c.field("Your initials or code", &mut operator, 160.0).changed() {
                c.act(fill(FormField::Operator(operator)));
            }
        });
        if let Some(last) = &model.form.last_visit {
            c.strong(last, size::BODY, c.roles.act);
        }
    });
}

/// What is measured.
fn what(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.words("What is measured?", size::BODY, c.roles.quiet);
        c.row(|c| {
            for (what, words) in What::ALL {
                if c.choice(words, model.form.what == what) {
                    c.act(fill(FormField::What(what)));
                }
            }
        });
        match model.form.what {
            What::OneArtery => c.row(|c| {
                let arteries = [Artery::DorsalisPedis, Artery::PosteriorTibial, Artery::Peroneal];
                let sites = Side::BOTH.into_iter().flat_map(|s| arteries.map(|a| Site::new(s, a)));
                for site in sites {
                    if c.choice(&sentence(&site.to_string()), model.form.artery == Some(site)) {
                        c.act(fill(FormField::Artery(site)));
                    }
                }
            }),
            What::OnPaper => c.row(|c| {
                let mut day = model.form.paper_day.clone();
                if c.field("Date on the paper, as 2026-08-25", &mut day, 220.0).changed() {
                    c.act(fill(FormField::PaperDay(day)));
                }
                let mut by = model.form.paper_by.clone();
                if c.field("Who measured, by code", &mut by, 180.0).changed() {
                    c.act(fill(FormField::PaperBy(by)));
                }
            }),
            _ => {}
        }
    });
}

fn why(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.words("Why is the test done?", size::BODY, c.roles.quiet);
        c.row(|c| {
            for reason in REASONS {
                if c.choice(reason, model.form.reason == reason) {
                    c.act(fill(FormField::Reason(reason.into())));
                }
            }
        });
        let mut reason = model.form.reason.clone();
        if c.field("Other, in your own words", &mut reason, 420.0).changed() {
            c.act(fill(FormField::Reason(reason)));
        }
        ulcer(c, model);
        if let Some(answer) = question(c, "Diabetes?", model.form.diabetes) {
            c.act(fill(FormField::Diabetes(answer)));
        }
        if let Some(answer) = question(c, "Chronic kidney disease?", model.form.kidney) {
            c.act(fill(FormField::Kidney(answer)));
        }
    });
}

/// Which ulcer the measurement is about, where there is one.
fn ulcer(c: &mut Canvas<'_>, model: &Model) {
    c.row(|c| {
        c.words("Ulcer:", size::BODY, c.roles.ink);
        let sides = [(None, "none"), (Some(Side::Right), "right"), (Some(Side::Left), "left")];
        for (side, word) in sides {
            if c.choice_named(word, &format!("ulcer: {word}"), model.form.ulcer_side == side) {
                c.act(fill(FormField::UlcerSide(side)));
            }
        }
        if model.form.ulcer_side.is_some() {
            let mut place = model.form.ulcer_place.clone();
            if c.field("Where on the leg or foot", &mut place, 240.0).changed() {
                c.act(fill(FormField::UlcerPlace(place)));
            }
        }
    });
}

fn how(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.words("Patient position", size::BODY, c.roles.quiet);
        c.row(|c| {
            for posture in [Posture::Supine, Posture::HeadRaised, Posture::Sitting, Posture::Other]
            {
                if c.choice(posture.words(), model.form.posture == Some(posture)) {
                    c.act(fill(FormField::Posture(posture)));
                }
            }
        });
        if model.form.posture.is_some_and(|p| p != Posture::Supine) {
            c.words(
                "Published limits are for lying flat: no recommendation will be shown.",
                size::BODY,
                c.roles.act,
            );
        }
    });
}

/// A question with yes, no and not known; the name of each answer says to what it belongs. Gives what was answered now.
pub fn question(c: &mut Canvas<'_>, text: &str, given: Option<Answer>) -> Option<Answer> {
    let mut answered = None;
    c.row(|c| {
        c.words(text, size::BODY, c.roles.ink);
        for (answer, word) in
            [(Answer::Yes, "yes"), (Answer::No, "no"), (Answer::Unknown, "not known")]
        {
            let name = format!("{word}: {}", text.trim_end_matches('?').to_lowercase());
            if c.choice_named(word, &name, given == Some(answer)) {
                answered = Some(answer);
            }
        }
    });
    answered
}
