//! Who and why: the form before a visit. The visit begins when the patient lies down.

use eframe::egui::{ScrollArea, Ui, vec2};

use super::model::Model;
use super::model::action::{Action, Field, OpeningAct, Screen};
use super::parts::{Weight, choice, field, finger, panel, strong, target, words};
use super::theme::{Roles, size};
use crate::clinical::event::{Answer, Posture};

/// Reasons in one touch (common practice); any other can be typed.
const REASONS: [&str; 5] = [
    "leg ulcer, before compression",
    "foot ulcer",
    "pain on walking",
    "control after treatment",
    "screening by local policy",
];

pub(super) fn show(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    strong(ui, "New visit", size::TITLE, roles.ink);
    // Where little height is left, the way on scrolls with the rest.
    let foot = size::GLOVE + 2.0 * size::GRID;
    let low = ui.available_height() < 3.0 * foot;
    let height = if low { f32::INFINITY } else { ui.available_height() - foot };
    ScrollArea::vertical().id_salt("begin").max_height(height).show(ui, |ui| {
        who(ui, model, roles, out);
        ui.add_space(size::GRID);
        how(ui, model, roles, out);
        ui.add_space(size::GRID);
        why(ui, model, roles, out);
        if low {
            on(ui, roles, out);
        }
    });
    if !low {
        on(ui, roles, out);
    }
}

fn fill(field: Field) -> Action {
    Action::Open(OpeningAct::Fill(field))
}

/// The way on, and back.
fn on(ui: &mut Ui, roles: Roles, out: &mut Vec<Action>) {
    ui.add_space(size::GRID);
    ui.horizontal_wrapped(|ui| {
        let least = vec2(420.0, size::GLOVE);
        if target(ui, roles, ("The patient lies down now: begin", ""), least, Weight::Act) {
            out.push(Action::Open(OpeningAct::Begin));
        }
        if finger(ui, roles, "Back", Weight::Plain) {
            out.push(Action::Go(Screen::Visits));
        }
    });
}

fn who(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    panel(ui, roles, |ui| {
        ui.horizontal_wrapped(|ui| {
            let mut record = model.form.record.clone();
            let edit = field(ui, roles, "Record code, never a name", &mut record, 260.0);
            if edit.changed() {
                out.push(fill(Field::Record(record)));
            }
            let mut operator = model.form.operator.clone();
            if field(ui, roles, "Your initials or code", &mut operator, 160.0).changed() {
                out.push(fill(Field::Operator(operator)));
            }
        });
        if let Some(last) = &model.form.last_visit {
            strong(ui, last, size::BODY, roles.act);
        }
    });
}

fn why(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    panel(ui, roles, |ui| {
        words(ui, "Why is the test done?", size::BODY, roles.quiet);
        ui.horizontal_wrapped(|ui| {
            for reason in REASONS {
                if choice(ui, roles, reason, model.form.reason == reason) {
                    out.push(fill(Field::Reason(reason.into())));
                }
            }
        });
        let mut reason = model.form.reason.clone();
        if field(ui, roles, "Or in your own words", &mut reason, 420.0).changed() {
            out.push(fill(Field::Reason(reason)));
        }
        question(ui, roles, "Diabetes?", model.form.diabetes, |a| {
            out.push(fill(Field::Diabetes(a)))
        });
        question(ui, roles, "Chronic kidney disease?", model.form.kidney, |a| {
            out.push(fill(Field::Kidney(a)));
        });
    });
}

fn how(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    panel(ui, roles, |ui| {
        words(ui, "How does the patient lie?", size::BODY, roles.quiet);
        ui.horizontal_wrapped(|ui| {
            for posture in [Posture::Supine, Posture::HeadRaised, Posture::Sitting, Posture::Other]
            {
                if choice(ui, roles, posture.words(), model.form.posture == Some(posture)) {
                    out.push(fill(Field::Posture(posture)));
                }
            }
        });
        if model.form.posture.is_some_and(|p| p != Posture::Supine) {
            words(
                ui,
                "The limits hold for lying flat: bands will be withheld.",
                size::BODY,
                roles.act,
            );
        }
    });
}

/// A question with yes, no and not known; the name of each answer says to what it belongs.
pub(super) fn question(
    ui: &mut Ui,
    roles: Roles,
    text: &str,
    given: Option<Answer>,
    mut answered: impl FnMut(Answer),
) {
    ui.horizontal_wrapped(|ui| {
        words(ui, text, size::BODY, roles.ink);
        for (answer, word) in
            [(Answer::Yes, "yes"), (Answer::No, "no"), (Answer::Unknown, "not known")]
        {
            let name = format!("{word}: {}", text.trim_end_matches('?').to_lowercase());
            if super::parts::choice_named(ui, roles, (word, &name), given == Some(answer)) {
                answered(answer);
            }
        }
    });
}
