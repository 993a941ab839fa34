//! Who and why: the form before a visit. The visit begins when the patient lies down.

use eframe::egui::{ScrollArea, vec2};

use super::canvas::Canvas;
use crate::clinical::event::{Answer, Posture};
use crate::window::model::Model;
use crate::window::model::action::{Action, Field, OpeningAct, Screen};
use crate::window::paint::parts::Weight;
use crate::window::paint::theme::size;

/// Reasons in one touch (common practice); any other can be typed.
const REASONS: [&str; 5] = [
    "leg ulcer, before compression",
    "foot ulcer",
    "pain on walking",
    "control after treatment",
    "screening by local policy",
];

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    c.strong("New visit", size::TITLE, c.roles.ink);
    // Where little height is left, the way on scrolls with the rest.
    let foot = size::GLOVE + 2.0 * size::GRID;
    let low = c.ui.available_height() < 3.0 * foot;
    let height = if low { f32::INFINITY } else { c.ui.available_height() - foot };
    let area = ScrollArea::vertical().id_salt("begin").max_height(height);
    c.scrolled(area, |c| {
        who(c, model);
        c.space(size::GRID);
        how(c, model);
        c.space(size::GRID);
        why(c, model);
        if low {
            on(c);
        }
    });
    if !low {
        on(c);
    }
}

fn fill(field: Field) -> Action {
    Action::Open(OpeningAct::Fill(field))
}

/// The way on, and back.
fn on(c: &mut Canvas<'_>) {
    c.space(size::GRID);
    c.row(|c| {
        let least = vec2(420.0, size::GLOVE);
        if c.target("The patient lies down now: begin", "", least, Weight::Act) {
            c.act(Action::Open(OpeningAct::Begin));
        }
        if c.finger("Back", Weight::Plain) {
            c.act(Action::Go(Screen::Visits));
        }
    });
}

fn who(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.row(|c| {
            let mut record = model.form.record.clone();
            let edit = c.field("Record code, never a name", &mut record, 260.0);
            if edit.changed() {
                c.act(fill(Field::Record(record)));
            }
            let mut operator = model.form.operator.clone();
            if c.field("Your initials or code", &mut operator, 160.0).changed() {
                c.act(fill(Field::Operator(operator)));
            }
        });
        if let Some(last) = &model.form.last_visit {
            c.strong(last, size::BODY, c.roles.act);
        }
    });
}

fn why(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.words("Why is the test done?", size::BODY, c.roles.quiet);
        c.row(|c| {
            for reason in REASONS {
                if c.choice(reason, model.form.reason == reason) {
                    c.act(fill(Field::Reason(reason.into())));
                }
            }
        });
        let mut reason = model.form.reason.clone();
        if c.field("Or in your own words", &mut reason, 420.0).changed() {
            c.act(fill(Field::Reason(reason)));
        }
        if let Some(answer) = question(c, "Diabetes?", model.form.diabetes) {
            c.act(fill(Field::Diabetes(answer)));
        }
        if let Some(answer) = question(c, "Chronic kidney disease?", model.form.kidney) {
            c.act(fill(Field::Kidney(answer)));
        }
    });
}

fn how(c: &mut Canvas<'_>, model: &Model) {
    c.panel(|c| {
        c.words("How does the patient lie?", size::BODY, c.roles.quiet);
        c.row(|c| {
            for posture in [Posture::Supine, Posture::HeadRaised, Posture::Sitting, Posture::Other]
            {
                if c.choice(posture.words(), model.form.posture == Some(posture)) {
                    c.act(fill(Field::Posture(posture)));
                }
            }
        });
        if model.form.posture.is_some_and(|p| p != Posture::Supine) {
            c.words(
                "The limits hold for lying flat: bands will be withheld.",
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
