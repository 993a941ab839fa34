//! What must be known before anything else: shown once, and again whenever its text has changed.

use eframe::egui::{ScrollArea, vec2};

use super::canvas::Canvas;
use super::setup;
use crate::window::model::Model;
use crate::window::model::action::Action;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::words::id;

/// The cautions, one idea a sentence.
const CAUTIONS: [&str; 9] = [
    id!("agree-purpose"),
    id!("agree-record"),
    id!("agree-policy"),
    id!("agree-urgent"),
    id!("agree-stiff"),
    id!("agree-cuff"),
    id!("agree-cable"),
    id!("agree-loud"),
    id!("agree-consent"),
];

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.strong(w.plain(id!("agree-title")), size::TITLE, c.roles.ink);
    setup::languages(c, model);
    c.space(size::GRID);
    let low = c.low();
    let height = if low { f32::INFINITY } else { c.ui.available_height() - size::GLOVE - 16.0 };
    c.scrolled(ScrollArea::vertical().max_height(height), |c| {
        c.ui.set_max_width(900.0_f32.min(c.ui.available_width()));
        for caution in CAUTIONS {
            c.words(w.plain(caution), size::BODY, c.roles.ink);
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
    if c.likely(c.lang().plain(id!("agree-read")), "", least, Emphasis::Act) {
        c.act(Action::AgreeCautions);
    }
}
