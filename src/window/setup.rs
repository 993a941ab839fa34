//! Set-up: sound, tap, look, the service's own numbers, and the switch of guidance by a named clinician.

use eframe::egui::{Ui, vec2};

use super::Now;
use super::action::{Action, Screen};
use super::app::Desk;
use super::choices::{Change, SCALES, Say};
use super::keys;
use super::model::Model;
use super::parts::{Weight, choice, field, finger, panel, scroll, strong, target, words};
use super::theme::{Roles, Theme, size};
use crate::clinical::guidance;
use crate::clinical::method::Method;
use crate::clinical::sequence;

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    desk: &mut Desk,
    (roles, now): (Roles, Now),
    out: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        strong(ui, "Set-up", size::TITLE, roles.ink);
        let (text, back) = match &model.exam {
            Some(exam) if exam.at.is_some() => ("Back to measuring", Screen::Measure),
            Some(_) => ("Back to the visit", Screen::Prepare),
            None => ("Back", Screen::Visits),
        };
        if target(ui, roles, (text, ""), vec2(160.0, size::TARGET), Weight::Act) {
            out.push(Action::Go(back));
        }
    });
    ui.add_space(size::GRID);
    scroll("set-up").show(ui, |ui| {
        panel(ui, roles, |ui| look(ui, model, roles, out));
        ui.add_space(size::GRID);
        panel(ui, roles, |ui| tap(ui, model, roles, out));
        ui.add_space(size::GRID);
        panel(ui, roles, |ui| sound(ui, model, desk, roles, out));
        ui.add_space(size::GRID);
        panel(ui, roles, |ui| service(ui, model, desk, roles, out));
        ui.add_space(size::GRID);
        panel(ui, roles, |ui| switch(ui, model, desk, (roles, now), out));
    });
}

fn look(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        words(ui, "Look", size::BODY, roles.quiet);
        for theme in Theme::ALL {
            if choice(ui, roles, theme.name(), model.choices.theme() == theme) {
                out.push(Action::Choose(Change::Theme(theme)));
            }
        }
        words(ui, "Size", size::BODY, roles.quiet);
        for percent in SCALES {
            if choice(ui, roles, &format!("{percent} %"), model.choices.scale() == percent) {
                out.push(Action::Choose(Change::Scale(percent)));
            }
        }
    });
}

fn tap(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    let key = model.choices.tap();
    ui.horizontal_wrapped(|ui| {
        words(
            ui,
            &format!("The tap: {}, a click, or a touch on the sound.", key.name()),
            size::BODY,
            roles.ink,
        );
        let text =
            if model.learning { "Press the pedal or key now" } else { "Learn a pedal or key" };
        if target(
            ui,
            roles,
            (text, ""),
            vec2(240.0, size::TARGET),
            if model.learning { Weight::Act } else { Weight::Plain },
        ) {
            out.push(Action::LearnTap);
        }
        if key != keys::TAP && finger(ui, roles, "Space again", Weight::Plain) {
            out.push(Action::Choose(Change::Tap(keys::TAP)));
        }
    });
    ui.horizontal_wrapped(|ui| {
        words(ui, "When the listener hears the pulse come back", size::BODY, roles.quiet);
        for say in Say::ALL {
            if choice(ui, roles, say.words(), model.choices.say() == say) {
                out.push(Action::Choose(Change::Say(say)));
            }
        }
    });
    if model.choices.say() == Say::FlashAndTone {
        let (text, colour) = match model.choices.tone() {
            true => ("The tone goes to the output that sound is passed on to.", roles.ink),
            false => (
                "No tone with a microphone: it would hear the tone over the faint pulses that follow.",
                roles.act,
            ),
        };
        words(ui, text, size::BODY, colour);
    }
    let listed: Vec<String> =
        keys::BEDSIDE.iter().map(|(key, does)| format!("{} {does}", key.name())).collect();
    words(ui, &format!("Keys while measuring: {}.", listed.join("; ")), size::SMALL, roles.quiet);
}

fn sound(ui: &mut Ui, model: &Model, desk: &mut Desk, roles: Roles, out: &mut Vec<Action>) {
    let choice_now = model.choices.sound();
    strong(ui, "Sound", size::BODY, roles.ink);
    ui.horizontal_wrapped(|ui| {
        if choice(ui, roles, "microphone near the Doppler", !choice_now.cable) {
            out.push(Action::Choose(Change::Cable(false)));
        }
        if choice(ui, roles, "cable from the Doppler", choice_now.cable) {
            out.push(Action::Choose(Change::Cable(true)));
        }
    });
    if choice_now.cable {
        words(
            ui,
            "A cable is used on battery or over an isolated link, as local electrical safety policy says. It may mute the Doppler's own loudspeaker.",
            size::BODY,
            roles.act,
        );
    }
    ui.horizontal_wrapped(|ui| {
        words(ui, "Input", size::BODY, roles.quiet);
        if choice(ui, roles, "the usual one", choice_now.device.is_none()) {
            out.push(Action::Choose(Change::Device(None)));
        }
        for input in desk.inputs() {
            if choice(ui, roles, &input.name, choice_now.device.as_ref() == Some(&input.id)) {
                out.push(Action::Choose(Change::Device(Some(input.id.clone()))));
            }
        }
        if finger(ui, roles, "Look for inputs", Weight::Plain) {
            desk.look_for_inputs();
        }
    });
    ui.horizontal_wrapped(|ui| {
        words(ui, "Pass the sound on to an output", size::BODY, roles.quiet);
        if choice(ui, roles, "no", choice_now.through.is_none()) {
            out.push(Action::Choose(Change::Through(None)));
        }
        if choice(ui, roles, "yes, the usual output", choice_now.through.is_some()) {
            out.push(Action::Choose(Change::Through(Some(String::new()))));
        }
        if choice(ui, roles, "it is headphones", choice_now.headphones) {
            out.push(Action::Choose(Change::Headphones(!choice_now.headphones)));
        }
    });
    ui.horizontal_wrapped(|ui| {
        words(ui, "Record the sound of a visit", size::BODY, roles.quiet);
        for (yes, word) in [(true, "record"), (false, "do not record")] {
            if choice(ui, roles, word, model.choices.record() == yes) {
                out.push(Action::Choose(Change::Record(yes)));
            }
        }
    });
    words(
        ui,
        "Voices are recorded too: tell the patient, and ask for consent as local policy says.",
        size::BODY,
        roles.ink,
    );
}

fn service(ui: &mut Ui, model: &Model, desk: &mut Desk, roles: Roles, out: &mut Vec<Action>) {
    strong(ui, "This service", size::BODY, roles.ink);
    ui.horizontal_wrapped(|ui| {
        let fields: [(&str, &mut String, f32); 7] = [
            ("Name on reports", &mut desk.service, 260.0),
            ("Gauge code", &mut desk.gauge, 100.0),
            ("Gauge: mmHg from line to line", &mut desk.graduation, 70.0),
            ("Probe, MHz", &mut desk.probe, 70.0),
            ("Highest pressure, mmHg", &mut desk.ceiling, 80.0),
            ("Rest, minutes", &mut desk.rest, 70.0),
            ("Wait between inflations, s", &mut desk.wait, 70.0),
        ];
        for (name, value, width) in fields {
            field(ui, roles, name, value, width);
        }
        if finger(ui, roles, "Keep these", Weight::Plain) {
            out.extend(desk.service_changes().into_iter().map(Action::Choose));
        }
    });
    ui.horizontal_wrapped(|ui| {
        words(ui, "Order of sites", size::BODY, roles.quiet);
        for id in sequence::ids() {
            let name = sequence::shipped(id).and_then(Result::ok).map_or(id.to_owned(), |o| o.name);
            if choice(ui, roles, &name, model.choices.order() == id) {
                out.push(Action::Choose(Change::Order(id.into())));
            }
        }
    });
    words(ui, "How the index is formed", size::BODY, roles.quiet);
    ui.horizontal_wrapped(|ui| {
        for method in Method::ALL {
            if choice(ui, roles, method.words(), model.choices.method() == method) {
                out.push(Action::Choose(Change::Method(method)));
            }
        }
    });
}

/// Guidance is shown only once a named clinician of the service has switched it on.
fn switch(
    ui: &mut Ui,
    model: &Model,
    desk: &mut Desk,
    (roles, now): (Roles, Now),
    out: &mut Vec<Action>,
) {
    strong(ui, "Guidance", size::BODY, roles.ink);
    if let Some(on) = model.choices.guidance() {
        let text = format!(
            "Switched on by {} on {}: {}.",
            on.by,
            super::model::date(&on.at.to_string()),
            on.sets.join(", ")
        );
        words(ui, &text, size::BODY, roles.ink);
        if finger(ui, roles, "Switch guidance off", Weight::Plain) {
            out.push(Action::Choose(Change::GuidanceOff));
        }
        return;
    }
    words(
        ui,
        "Off: numbers only. A clinician who answers for this service chooses the sets and switches them on, once, by name.",
        size::BODY,
        roles.ink,
    );
    ui.horizontal_wrapped(|ui| {
        for id in guidance::ids() {
            let name = guidance::shipped(id).and_then(Result::ok).map_or(id.to_owned(), |s| s.name);
            let chosen = desk.sets.iter().any(|s| s == id);
            if choice(ui, roles, &name, chosen) {
                desk.toggle_set(id);
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        field(ui, roles, "Clinician, by name or code", &mut desk.by, 260.0);
        if finger(ui, roles, "Switch guidance on", Weight::Plain)
            && !desk.by.trim().is_empty()
            && !desk.sets.is_empty()
        {
            let (by, sets) = (desk.by.trim().to_owned(), desk.sets.clone());
            out.push(Action::Choose(Change::GuidanceOn { by, at: now.wall, sets }));
        }
    });
}
