//! Try it on a sound: a WAV file of one's own, its picture, and what the listener finds in it.

use super::canvas::Canvas;
use super::heard_again;
use crate::window::model::action::{Action, PractiseAct, TryAct};
use crate::window::model::practice::Practice;
use crate::window::model::tried::Tried;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::words::{id, say};

/// Beside the rest of the window a path can be typed; a browser asks for a file.
const BESIDE: bool = cfg!(feature = "bedside");

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

/// The sound that is tried.
pub fn show(c: &mut Canvas<'_>, practice: &Practice, tried: &Tried) {
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("practice-try")), size::TITLE, c.roles.ink);
        if c.finger(w.plain(id!("class-back")), Emphasis::Plain) {
            act(c, PractiseAct::Try(TryAct::Leave));
        }
    });
    c.words(w.plain(id!("tried-what")), size::BODY, c.roles.ink);
    c.strong(w.plain(id!("tried-learning")), size::BODY, c.roles.act);
    if BESIDE {
        let mut path = practice.sound_file.clone();
        let wide = 460.0_f32.min(c.ui.available_width() - 24.0);
        if c.field(w.plain(id!("tried-file")), &mut path, wide).changed() {
            act(c, PractiseAct::Try(TryAct::File(path)));
        }
        if c.finger(w.plain(id!("tried-hear")), Emphasis::Act) {
            act(c, PractiseAct::Try(TryAct::Read));
        }
    } else if c.finger(w.plain(id!("tried-open")), Emphasis::Act) {
        act(c, PractiseAct::AskFile);
    }
    if let Some(share) = tried.share() {
        let percent = w.decimal(100.0 * share, 0);
        let said = say!(w, "tried-share", name = tried.name, percent = percent);
        c.words(&said, size::SENTENCE, c.roles.ink);
    }
    if tried.heard.is_some() {
        c.strong(&tried.name, size::SENTENCE, c.roles.ink);
    }
    tried.said.iter().for_each(|said| c.words(&said.said(w), size::BODY, c.roles.ink));
    if let Some(heard) = &tried.heard {
        heard_again::show(c, heard, w.plain(id!("tried-picture")));
    }
}
