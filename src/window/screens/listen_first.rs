//! Listen first: the guided hour, a step a screen, without a test in it.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::heard_again;
use crate::window::model::action::{Action, ListenAct, PractiseAct};
use crate::window::model::listen_first::ListenFirst;
use crate::window::paint::curve;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;

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
    c.row(|c| {
        let place = format!("Listen first, {} of {}", listen.step + 1, listen.steps.len());
        c.strong(&place, size::BODY, c.roles.quiet);
        if listen.step > 0 && c.finger("Step before", Emphasis::Plain) {
            act(c, ListenAct::Back);
        }
        if c.finger("Leave", Emphasis::Plain) {
            act(c, ListenAct::Leave);
        }
    });
    c.strong(step.title, size::TITLE, c.roles.ink);
    step.words.iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
    let sounds = |c: &mut Canvas<'_>| {
        for (n, sound) in step.sounds.iter().enumerate() {
            let name = format!("{}: {}", KEYS[n.min(2)], sound.name);
            if c.choice(&name, listen.chosen == n) {
                act(c, ListenAct::Sound(n));
            }
        }
    };
    if step.sounds.len() > 1 {
        c.row(sounds);
    }
    if let Some(sound) = listen.sound() {
        c.words(sound.about, size::BODY, c.roles.ink);
        if let Some(heard) = &listen.heard {
            let said = heard.sound.as_ref().and_then(|made| made.said_at(heard.cursor_s));
            if let Some(said) = said {
                c.strong(&said, size::SENTENCE, c.roles.act);
            }
            heard_again::show(c, heard, &format!("the sound: {}", sound.name));
            heard_again::if_tapped(c, heard);
        }
    }
    if let Some(velocity) = &listen.velocity {
        let space = vec2(c.ui.available_width(), CURVE);
        let rect = c.named_space(space, "velocity over one beat");
        curve::velocity(&c.pen(rect), velocity);
    }
    let on = if listen.last() { "To the drills" } else { "Next step" };
    if c.target(on, "Enter", vec2(200.0, size::GLOVE), Emphasis::Act) {
        act(c, ListenAct::On);
    }
}
