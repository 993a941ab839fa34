//! Listen first: the guided hour, a step a screen, without a test in it.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::heard_again;
use crate::window::model::action::{Action, ListenAct, PractiseAct};
use crate::window::model::listen_first::ListenFirst;
use crate::window::paint::curve;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::words::{id, say};

/// The keys of the sounds of a step.
const KEYS: [&str; 3] = ["A", "B", "C"];
/// The height of the curve.
const CURVE: f32 = 130.0;

fn act(c: &mut Canvas<'_>, what: ListenAct) {
    c.act(Action::Practise(PractiseAct::Listen(what)));
}

/// The step in hand.
pub fn show(c: &mut Canvas<'_>, listen: &ListenFirst) {
    let Some(step) = listen.step() else { return };
    let w = c.lang();
    c.row(|c| {
        let (step, count) = (listen.step + 1, listen.steps.len());
        let place = say!(w, "listen-place", step = step, count = count);
        c.strong(&place, size::BODY, c.roles.quiet);
        if listen.step > 0 && c.finger(w.plain(id!("listen-back")), Emphasis::Plain) {
            act(c, ListenAct::Back);
        }
        if c.finger(w.plain(id!("listen-leave")), Emphasis::Plain) {
            act(c, ListenAct::Leave);
        }
    });
    c.strong(w.plain(step.title), size::TITLE, c.roles.ink);
    step.words.iter().for_each(|said| c.words(w.plain(said), size::BODY, c.roles.ink));
    let sounds = |c: &mut Canvas<'_>| {
        for (n, sound) in step.sounds.iter().enumerate() {
            let name = w.plain(sound.name);
            let name = say!(w, "listen-choice", key = KEYS[n.min(2)], name = name);
            if c.choice(&name, listen.chosen == n) {
                act(c, ListenAct::Sound(n));
            }
        }
    };
    if step.sounds.len() > 1 {
        c.row(sounds);
    }
    if let Some(sound) = listen.sound() {
        c.words(w.plain(sound.about), size::BODY, c.roles.ink);
        if let Some(heard) = &listen.heard {
            let said = heard.sound.as_ref().and_then(|made| made.said_at(w, heard.cursor_s));
            if let Some(said) = said {
                c.strong(&said, size::SENTENCE, c.roles.act);
            }
            let name = say!(w, "listen-sound", name = w.plain(sound.name));
            heard_again::show(c, heard, &name);
            heard_again::if_tapped(c, heard);
        }
    }
    if let Some(velocity) = &listen.velocity {
        let space = vec2(c.ui.available_width(), CURVE);
        let rect = c.named_space(space, w.plain(id!("listen-curve")));
        curve::velocity(&c.pen(rect), w, velocity);
    }
    let on = if listen.last() { id!("listen-drills") } else { id!("listen-next") };
    if c.target(w.plain(on), "Enter", vec2(200.0, size::GLOVE), Emphasis::Act) {
        act(c, ListenAct::On);
    }
}
