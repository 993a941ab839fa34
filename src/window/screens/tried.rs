//! Try it on a sound: a WAV file of one's own, its picture, and what the listener finds in it.

use super::canvas::Canvas;
use super::heard_again;
use crate::window::model::action::{Action, PractiseAct, TryAct};
use crate::window::model::practice::Practice;
use crate::window::model::tried::Tried;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;

/// Beside the rest of the window a path can be typed; a browser asks for a file.
const BESIDE: bool = cfg!(feature = "bedside");

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

/// The sound that is tried.
pub fn show(c: &mut Canvas<'_>, practice: &Practice, tried: &Tried) {
    c.row(|c| {
        c.strong("Try it on a sound", size::TITLE, c.roles.ink);
        if c.finger("Back to practice", Emphasis::Plain) {
            act(c, PractiseAct::Try(TryAct::Leave));
        }
    });
    c.words(
        "Give a WAV file of a Doppler's sound: drop it here, or open it. You see its picture and what the listener finds. The file stays on this computer.",
        size::BODY,
        c.roles.ink,
    );
    c.strong("For learning only: nothing of it is for use on a patient.", size::BODY, c.roles.act);
    if BESIDE {
        let mut path = practice.sound_file.clone();
        let wide = 460.0_f32.min(c.ui.available_width() - 24.0);
        if c.field("Sound file (WAV)", &mut path, wide).changed() {
            act(c, PractiseAct::Try(TryAct::File(path)));
        }
        if c.finger("Hear this file", Emphasis::Act) {
            act(c, PractiseAct::Try(TryAct::Read));
        }
    } else if c.finger("Open a sound", Emphasis::Act) {
        act(c, PractiseAct::AskFile);
    }
    if let Some(share) = tried.share() {
        let said = format!("The listener hears {}: {:.0} %.", tried.name, 100.0 * share);
        c.words(&said, size::SENTENCE, c.roles.ink);
    }
    if tried.heard.is_some() {
        c.strong(&tried.name, size::SENTENCE, c.roles.ink);
    }
    tried.said.iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
    if let Some(heard) = &tried.heard {
        heard_again::show(c, heard, "your sound with what the listener found");
    }
}
