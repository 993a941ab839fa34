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
use crate::window::sentence::day;
use crate::window::tap::TAP;
use crate::words::{Words, id, say};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("window-set-up")), size::TITLE, c.roles.ink);
        let (text, back) = match &model.visit.held {
            Some(_) if model.visit.attempt().is_some() => {
                (id!("window-back-measuring"), Screen::Measure)
            }
            Some(_) => (id!("setup-back-visit"), Screen::Prepare),
            None => (id!("window-back"), Screen::Visits),
        };
        if c.target(w.plain(text), "", vec2(160.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Go(back));
        }
    });
    c.space(size::GRID);
    c.scroll("set-up", |c| {
        c.panel(|c| {
            languages(c, model);
            translated(c, model);
            look(c, model);
        });
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

/// The languages, each by its own name: whoever cannot read this one finds their own.
pub fn languages(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.row(|c| {
        c.words(w.plain(id!("setup-language")), size::BODY, c.roles.quiet);
        for words in Words::all() {
            if c.choice(words.plain(id!("locale-name")), model.words() == words) {
                c.act(Action::Choose(Change::Language(words)));
            }
        }
    });
}

/// Who has confirmed the translation; nobody has, until somebody responsible does so by name.
fn translated(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    if w.is_english() {
        return;
    }
    if let Some(who) = model.choices.confirmed_by(w) {
        c.words(&say!(w, "setup-confirmed", who = who), size::BODY, c.roles.ink);
        return;
    }
    c.words(w.plain(id!("setup-unreviewed")), size::BODY, c.roles.act);
    c.row(|c| {
        c.entry(w.plain(id!("setup-confirms")), 260.0, |desk| &mut desk.confirms);
        if c.finger(w.plain(id!("setup-confirm")), Emphasis::Plain)
            && !c.desk.confirms.trim().is_empty()
        {
            let who = std::mem::take(&mut c.desk.confirms);
            c.act(Action::Choose(Change::Confirm(w, who.trim().to_owned())));
        }
    });
}

fn look(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.row(|c| {
        c.words(w.plain(id!("setup-look")), size::BODY, c.roles.quiet);
        for theme in Theme::ALL {
            let name = match theme {
                Theme::Light => id!("setup-theme-light"),
                Theme::Dark => id!("setup-theme-dark"),
                Theme::Dim => id!("setup-theme-dim"),
            };
            if c.choice(w.plain(name), model.choices.theme() == theme) {
                c.act(Action::Choose(Change::Theme(theme)));
            }
        }
        c.words(w.plain(id!("setup-size")), size::BODY, c.roles.quiet);
        for percent in SCALES {
            if c.choice(
                &say!(w, "setup-percent", percent = percent),
                model.choices.scale() == percent,
            ) {
                c.act(Action::Choose(Change::Scale(percent)));
            }
        }
    });
}

fn tap(c: &mut Canvas<'_>, model: &Model) {
    let (w, key) = (c.lang(), model.choices.tap());
    c.row(|c| {
        let text = say!(w, "setup-tap", key = keys::named(w, key));
        c.words(&text, size::BODY, c.roles.ink);
        let (text, weight) = match model.learning {
            true => (id!("setup-learning"), Emphasis::Act),
            false => (id!("setup-learn"), Emphasis::Plain),
        };
        if c.target(w.plain(text), "", vec2(240.0, size::TARGET), weight) {
            c.act(Action::LearnTap);
        }
        if key != TAP && c.finger(w.plain(id!("setup-usual-tap")), Emphasis::Plain) {
            c.act(Action::Choose(Change::Tap(TAP)));
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-say")), size::BODY, c.roles.quiet);
        for say in Say::ALL {
            if c.choice(say.said(w), model.choices.say() == say) {
                c.act(Action::Choose(Change::Say(say)));
            }
        }
    });
    if model.choices.say() == Say::FlashAndTone {
        let (text, colour) = match model.choices.tone() {
            true => (id!("setup-tone"), c.roles.ink),
            false => (id!("setup-no-tone"), c.roles.act),
        };
        c.words(w.plain(text), size::BODY, colour);
    }
    let listed = keys::BEDSIDE.map(|(key, does)| format!("{} {}", key.name(), w.plain(does)));
    c.words(&say!(w, "setup-keys", list = listed.join("; ")), size::SMALL, c.roles.quiet);
}

fn sound(c: &mut Canvas<'_>, model: &Model) {
    let (w, choice_now) = (c.lang(), model.choices.sound());
    c.strong(w.plain(id!("setup-sound")), size::BODY, c.roles.ink);
    c.row(|c| {
        if c.choice(w.plain(id!("setup-microphone")), !choice_now.cable) {
            c.act(Action::Choose(Change::Cable(false)));
        }
        if c.choice(w.plain(id!("setup-cable")), choice_now.cable) {
            c.act(Action::Choose(Change::Cable(true)));
        }
    });
    if choice_now.cable {
        c.words(w.plain(id!("setup-cable-rule")), size::BODY, c.roles.act);
    }
    c.row(|c| {
        c.words(w.plain(id!("setup-input")), size::BODY, c.roles.quiet);
        if c.choice(w.plain(id!("setup-default")), choice_now.device.is_none()) {
            c.act(Action::Choose(Change::Device(None)));
        }
        for input in c.desk.inputs().to_vec() {
            if c.choice(&input.name, choice_now.device.as_ref() == Some(&input.id)) {
                c.act(Action::Choose(Change::Device(Some(input.id.clone()))));
            }
        }
        if c.finger(w.plain(id!("setup-find-inputs")), Emphasis::Plain) {
            c.desk.look_for_inputs();
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-through")), size::BODY, c.roles.quiet);
        if c.choice(w.plain(id!("window-no")), choice_now.through.is_none()) {
            c.act(Action::Choose(Change::Through(None)));
        }
        if c.choice(w.plain(id!("setup-through-default")), choice_now.through.is_some()) {
            c.act(Action::Choose(Change::Through(Some(String::new()))));
        }
        if c.choice(w.plain(id!("setup-headphones")), choice_now.headphones) {
            c.act(Action::Choose(Change::Headphones(!choice_now.headphones)));
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-record")), size::BODY, c.roles.quiet);
        for (yes, word) in [(true, id!("setup-record-yes")), (false, id!("setup-record-no"))] {
            if c.choice(w.plain(word), model.choices.record() == yes) {
                c.act(Action::Choose(Change::Record(yes)));
            }
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-codes")), size::BODY, c.roles.quiet);
        for (yes, word) in [(false, id!("setup-codes-any")), (true, id!("setup-codes-check"))] {
            if c.choice(w.plain(word), model.choices.check_codes() == yes) {
                c.act(Action::Choose(Change::CheckCodes(yes)));
            }
        }
    });
    c.words(w.plain(id!("setup-consent")), size::BODY, c.roles.ink);
}

fn service(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.strong(w.plain(id!("setup-service")), size::BODY, c.roles.ink);
    c.row(|c| {
        c.entry(w.plain(id!("setup-service-name")), 260.0, |desk| &mut desk.service);
        c.entry(w.plain(id!("setup-gauge")), 100.0, |desk| &mut desk.gauge);
        c.entry(w.plain(id!("setup-graduation")), 70.0, |desk| &mut desk.graduation);
        c.entry(w.plain(id!("setup-probe")), 70.0, |desk| &mut desk.probe);
        c.entry(w.plain(id!("setup-ceiling")), 80.0, |desk| &mut desk.ceiling);
        c.entry(w.plain(id!("setup-rest")), 70.0, |desk| &mut desk.rest);
        c.entry(w.plain(id!("setup-wait")), 70.0, |desk| &mut desk.wait);
        if c.finger(w.plain(id!("setup-keep")), Emphasis::Plain) {
            c.out.extend(c.desk.service_changes().into_iter().map(Action::Choose));
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-paper")), size::BODY, c.roles.quiet);
        for paper in Paper::ALL {
            let name = match paper {
                Paper::A4 => id!("setup-paper-a4"),
                Paper::Letter => id!("setup-paper-letter"),
            };
            if c.choice(w.plain(name), model.choices.paper() == paper) {
                c.act(Action::Choose(Change::Paper(paper)));
            }
        }
    });
    c.row(|c| {
        c.words(w.plain(id!("setup-order")), size::BODY, c.roles.quiet);
        for id in sequence::ids() {
            let named = sequence::shipped(id).and_then(Result::ok);
            let name = match id {
                "counter-clockwise" => w.plain(id!("setup-order-counter-clockwise")).to_owned(),
                "arms-first" => w.plain(id!("setup-order-arms-first")).to_owned(),
                id => named.map_or(id.to_owned(), |order| order.name),
            };
            if c.choice(&name, model.choices.order() == id) {
                c.act(Action::Choose(Change::Order(id.into())));
            }
        }
    });
    c.words(w.plain(id!("setup-method")), size::BODY, c.roles.quiet);
    c.row(|c| {
        for method in Method::ALL {
            if c.choice(method.said(w), model.choices.method() == method) {
                c.act(Action::Choose(Change::Method(method)));
            }
        }
    });
}

/// Guidance is shown only once a named clinician of the service has switched it on.
fn switch(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.strong(w.plain(id!("setup-guidance")), size::BODY, c.roles.ink);
    if let Some(on) = model.choices.guidance() {
        let (day, sets) = (day(w, on.at), on.sets.join(", "));
        let text = say!(w, "setup-guidance-on", who = on.by, day = day, sets = sets);
        c.words(&text, size::BODY, c.roles.ink);
        if c.finger(w.plain(id!("setup-switch-off")), Emphasis::Plain) {
            c.act(Action::Choose(Change::GuidanceOff));
        }
        return;
    }
    c.words(w.plain(id!("setup-guidance-off")), size::BODY, c.roles.ink);
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
        c.entry(w.plain(id!("setup-clinician")), 260.0, |desk| &mut desk.by);
        if c.finger(w.plain(id!("setup-switch-on")), Emphasis::Plain)
            && !c.desk.by.trim().is_empty()
            && !c.desk.sets.is_empty()
        {
            let (by, sets) = (c.desk.by.trim().to_owned(), c.desk.sets.clone());
            c.act(Action::Choose(Change::GuidanceOn { by, at: c.now.wall, sets }));
        }
    });
}
