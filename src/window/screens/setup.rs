//! Set-up: sound, tap, look, the service's own numbers, and the switch of guidance by a named clinician.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::guidance;
use crate::clinical::method::Method;
use crate::clinical::sequence;
use crate::report::pdf::Paper;
use crate::window::keys;
use crate::window::model::Model;
use crate::window::model::action::{Action, Screen};
use crate::window::model::choices::{Change, SCALES, Say};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::{Theme, size};
use crate::window::sentence::date;
use crate::window::tap::TAP;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    c.row(|c| {
        c.strong("Set-up", size::TITLE, c.roles.ink);
        let (text, back) = match &model.visit.held {
            Some(_) if model.visit.attempt().is_some() => ("Back to measuring", Screen::Measure),
            Some(_) => ("Back to the visit", Screen::Prepare),
            None => ("Back", Screen::Visits),
        };
        if c.target(text, "", vec2(160.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Go(back));
        }
    });
    c.space(size::GRID);
    c.scroll("set-up", |c| {
        c.panel(|c| look(c, model));
        c.space(size::GRID);
        c.panel(|c| tap(c, model));
        c.space(size::GRID);
        c.panel(|c| sound(c, model));
        c.space(size::GRID);
        c.panel(|c| service(c, model));
        c.space(size::GRID);
        c.panel(|c| switch(c, model));
    });
}

fn look(c: &mut Canvas<'_>, model: &Model) {
    c.row(|c| {
        c.words("Look", size::BODY, c.roles.quiet);
        for theme in Theme::ALL {
            if c.choice(theme.name(), model.choices.theme() == theme) {
                c.act(Action::Choose(Change::Theme(theme)));
            }
        }
        c.words("Size", size::BODY, c.roles.quiet);
        for percent in SCALES {
            if c.choice(&format!("{percent} %"), model.choices.scale() == percent) {
                c.act(Action::Choose(Change::Scale(percent)));
            }
        }
    });
}

fn tap(c: &mut Canvas<'_>, model: &Model) {
    let key = model.choices.tap();
    c.row(|c| {
        c.words(
            &format!("The tap: {}, a click, or a touch on the sound.", key.name()),
            size::BODY,
            c.roles.ink,
        );
        let text = if model.learning {
            "Press the pedal or key now"
        } else {
            "Choose another key or pedal"
        };
        if c.target(
            text,
            "",
            vec2(240.0, size::TARGET),
            if model.learning { Emphasis::Act } else { Emphasis::Plain },
        ) {
            c.act(Action::LearnTap);
        }
        if key != TAP && c.finger("Use Space again", Emphasis::Plain) {
            c.act(Action::Choose(Change::Tap(TAP)));
        }
    });
    c.row(|c| {
        c.words("When the listener detects the return", size::BODY, c.roles.quiet);
        for say in Say::ALL {
            if c.choice(say.words(), model.choices.say() == say) {
                c.act(Action::Choose(Change::Say(say)));
            }
        }
    });
    if model.choices.say() == Say::FlashAndTone {
        let (text, colour) = match model.choices.tone() {
            true => ("The tone plays on the same output as the Doppler sound.", c.roles.ink),
            false => (
                "No tone with a microphone: it would hear the tone over the faint pulses that follow.",
                c.roles.act,
            ),
        };
        c.words(text, size::BODY, colour);
    }
    let listed: Vec<String> =
        keys::BEDSIDE.iter().map(|(key, does)| format!("{} {does}", key.name())).collect();
    c.words(&format!("Keys while measuring: {}.", listed.join("; ")), size::SMALL, c.roles.quiet);
}

fn sound(c: &mut Canvas<'_>, model: &Model) {
    let choice_now = model.choices.sound();
    c.strong("Sound", size::BODY, c.roles.ink);
    c.row(|c| {
        if c.choice("microphone near the Doppler", !choice_now.cable) {
            c.act(Action::Choose(Change::Cable(false)));
        }
        if c.choice("cable from the Doppler", choice_now.cable) {
            c.act(Action::Choose(Change::Cable(true)));
        }
    });
    if choice_now.cable {
        c.words("A cable is used on battery or over an isolated link, as local electrical safety policy says. It may mute the Doppler's own loudspeaker.",
            size::BODY,
            c.roles.act,
        );
    }
    c.row(|c| {
        c.words("Input", size::BODY, c.roles.quiet);
        if c.choice("system default", choice_now.device.is_none()) {
            c.act(Action::Choose(Change::Device(None)));
        }
        for input in c.desk.inputs().to_vec() {
            if c.choice(&input.name, choice_now.device.as_ref() == Some(&input.id)) {
                c.act(Action::Choose(Change::Device(Some(input.id.clone()))));
            }
        }
        if c.finger("Find inputs", Emphasis::Plain) {
            c.desk.look_for_inputs();
        }
    });
    c.row(|c| {
        c.words("Pass the sound to an output", size::BODY, c.roles.quiet);
        if c.choice("no", choice_now.through.is_none()) {
            c.act(Action::Choose(Change::Through(None)));
        }
        if c.choice("yes, system default", choice_now.through.is_some()) {
            c.act(Action::Choose(Change::Through(Some(String::new()))));
        }
        if c.choice("these are headphones", choice_now.headphones) {
            c.act(Action::Choose(Change::Headphones(!choice_now.headphones)));
        }
    });
    c.row(|c| {
        c.words("Record the sound of a visit", size::BODY, c.roles.quiet);
        for (yes, word) in [(true, "record"), (false, "do not record")] {
            if c.choice(word, model.choices.record() == yes) {
                c.act(Action::Choose(Change::Record(yes)));
            }
        }
    });
    c.row(|c| {
        c.words("Codes of records", size::BODY, c.roles.quiet);
        for (yes, word) in [(false, "any code"), (true, "end in a check character")] {
            if c.choice(word, model.choices.check_codes() == yes) {
                c.act(Action::Choose(Change::CheckCodes(yes)));
            }
        }
    });
    c.words(
        "Voices are recorded too: tell the patient, and ask for consent as local policy says.",
        size::BODY,
        c.roles.ink,
    );
}

fn service(c: &mut Canvas<'_>, model: &Model) {
    c.strong("This service", size::BODY, c.roles.ink);
    c.row(|c| {
        c.entry("Name on reports", 260.0, |desk| &mut desk.service);
        c.entry("Gauge code", 100.0, |desk| &mut desk.gauge);
        c.entry("Gauge graduation, mmHg", 70.0, |desk| &mut desk.graduation);
        c.entry("Probe, MHz", 70.0, |desk| &mut desk.probe);
        c.entry("Highest pressure, mmHg", 80.0, |desk| &mut desk.ceiling);
        c.entry("Rest, minutes", 70.0, |desk| &mut desk.rest);
        c.entry("Wait between inflations, s", 70.0, |desk| &mut desk.wait);
        if c.finger("Keep these", Emphasis::Plain) {
            c.out.extend(c.desk.service_changes().into_iter().map(Action::Choose));
        }
    });
    c.row(|c| {
        c.words("Paper of reports", size::BODY, c.roles.quiet);
        for paper in Paper::ALL {
            if c.choice(paper.words(), model.choices.paper() == paper) {
                c.act(Action::Choose(Change::Paper(paper)));
            }
        }
    });
    c.row(|c| {
        c.words("Order of sites", size::BODY, c.roles.quiet);
        for id in sequence::ids() {
            let name = sequence::shipped(id).and_then(Result::ok).map_or(id.to_owned(), |o| o.name);
            if c.choice(&name, model.choices.order() == id) {
                c.act(Action::Choose(Change::Order(id.into())));
            }
        }
    });
    c.words("How the index is formed", size::BODY, c.roles.quiet);
    c.row(|c| {
        for method in Method::ALL {
            if c.choice(method.words(), model.choices.method() == method) {
                c.act(Action::Choose(Change::Method(method)));
            }
        }
    });
}

/// Guidance is shown only once a named clinician of the service has switched it on.
fn switch(c: &mut Canvas<'_>, model: &Model) {
    c.strong("Guidance", size::BODY, c.roles.ink);
    if let Some(on) = model.choices.guidance() {
        let text = format!(
            "Switched on by {} on {}: {}.",
            on.by,
            date(&on.at.to_string()),
            on.sets.join(", ")
        );
        c.words(&text, size::BODY, c.roles.ink);
        if c.finger("Switch guidance off", Emphasis::Plain) {
            c.act(Action::Choose(Change::GuidanceOff));
        }
        return;
    }
    c.words("Off: numbers only. A clinician responsible for this service chooses the sets and switches them on, once, by name.",
        size::BODY,
        c.roles.ink,
    );
    c.row(|c| {
        for id in guidance::ids() {
            let name = guidance::shipped(id).and_then(Result::ok).map_or(id.to_owned(), |s| s.name);
            let chosen = c.desk.sets.iter().any(|s| s == id);
            if c.choice(&name, chosen) {
                c.desk.toggle_set(id);
            }
        }
    });
    c.row(|c| {
        c.entry("Clinician, by name or code", 260.0, |desk| &mut desk.by);
        if c.finger("Switch guidance on", Emphasis::Plain)
            && !c.desk.by.trim().is_empty()
            && !c.desk.sets.is_empty()
        {
            let (by, sets) = (c.desk.by.trim().to_owned(), c.desk.sets.clone());
            c.act(Action::Choose(Change::GuidanceOn { by, at: c.now.wall, sets }));
        }
    });
}
