//! What must be known before anything else: shown once, and again whenever its text has changed.

use eframe::egui::{ScrollArea, vec2};

use super::canvas::Canvas;
use crate::window::model::action::Action;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;

/// The cautions, one idea a sentence.
pub const CAUTIONS: [&str; 9] = [
    "Cuffnote is for training, and for recording what a clinician measured. It is not a cleared medical device, and it does not diagnose.",
    "Your ear and your gauge are the record. The listener only assists: it can miss a pulse, and it can hear one that is not there.",
    "Local policy and a licensed practitioner decide what a number means for a patient.",
    "Urgent signs override every number: a suddenly cold, pale or numb foot, rest pain, gangrene, spreading infection.",
    "Stiff arteries read too high. With diabetes or kidney disease an index inside or above the usual range does not rule arterial disease out.",
    "Do not pump a cuff over a graft, a stent, a wound or a suspected clot. Open the valve fully as soon as you have read.",
    "A cable from the Doppler is used on battery or over an isolated link, as local electrical safety policy says. A microphone needs no wire.",
    "Sound passed to headphones begins soft and has a ceiling; begin with the output turned low all the same.",
    "A microphone hears voices too. Tell the patient that sound is recorded, and ask for consent as local policy says.",
];

pub fn show(c: &mut Canvas<'_>) {
    c.strong("Before you begin", size::TITLE, c.roles.ink);
    c.space(size::GRID);
    let low = c.low();
    let height = if low { f32::INFINITY } else { c.ui.available_height() - size::GLOVE - 16.0 };
    c.scrolled(ScrollArea::vertical().max_height(height), |c| {
        c.ui.set_max_width(900.0);
        for caution in CAUTIONS {
            c.words(caution, size::BODY, c.roles.ink);
            c.space(size::GRID);
        }
        if low {
            read(c);
        }
    });
    if !low {
        read(c);
    }
}

fn read(c: &mut Canvas<'_>) {
    c.space(size::GRID);
    let least = vec2(320.0, size::TARGET + 16.0);
    if c.likely("I have read this", "", least, Emphasis::Act) {
        c.act(Action::AgreeCautions);
    }
}
