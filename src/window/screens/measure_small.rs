//! Measuring where little room is left, as at 250 %: site, instruction, number and gauge stay in view; the rest scrolls.

use eframe::egui::{Rect, Role, Sense, WidgetInfo, vec2};

use super::canvas::Canvas;
use super::ledger;
use super::measure::{self, Here};
use crate::clinical::event::Made;
use crate::conduct::{AtSite, Field, wording};
use crate::window::model::Model;
use crate::window::model::action::Action;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{id, say};

/// The number that is typed, points.
const NUMBER: f32 = 60.0;
/// Side of the simulated gauge.
const GAUGE: f32 = 84.0;
/// Height of the sound.
const SOUND: f32 = 130.0;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(held) = &model.visit.held else { return };
    let Some(at) = held.conduct.current() else { return };
    let here = Here { model, held, at, now_s: held.clock_s(c.now.at), small: true };
    let w = c.lang();
    c.ui.spacing_mut().item_spacing.y = 4.0;
    c.strong(&sentence(&at.site.said(c.lang())), size::BODY + 2.0, c.roles.ink);
    if let Some(prompt) = held.conduct.prompt(here.now_s).map(|prompt| wording::prompt(w, prompt)) {
        c.strong(&prompt.now, size::BODY, c.roles.ink);
    }
    measure::said(c, &here);
    let ended = at.ended.as_ref().filter(|_| !at.correcting);
    if ended.is_none() {
        // In one line where the language's words allow it.
        c.row(|c| {
            c.ui.spacing_mut().item_spacing.x = size::GRID;
            gauge(c, model);
            measure::typed(c, at, NUMBER);
            let (key, least) = (Emphasis::Plain, vec2(64.0, size::TARGET));
            if c.target(w.plain(id!("measure-tap")), "", least, key) {
                c.act(Action::Site(AtSite::Tap(Made::Pointer)));
            }
            let inflated = at.field() == Field::InflatedTo;
            let word = if inflated { id!("measure-set") } else { id!("measure-keep") };
            if c.target(w.plain(word), "", least, Emphasis::Act) {
                c.act(Action::Site(AtSite::Enter));
            }
        });
    }
    c.scroll("measure-small", |c| {
        match ended {
            _ if model.visit.finishing => measure::reasons(c, true),
            _ if at.asking_why => measure::reasons(c, false),
            Some(ended) => measure::after(c, at, ended, here.now_s),
            None => {
                c.row(measure::stop_and_repeat);
                measure::keypad(c, true);
            }
        }
        let room = vec2(c.ui.available_width(), SOUND);
        let (rect, _) = c.ui.allocate_exact_size(room, Sense::hover());
        measure::picture(c, &here, rect);
        ledger::show(c, model);
        ledger::foot(c, model);
    });
}

fn gauge(c: &mut Canvas<'_>, model: &Model) {
    let Some(mmhg) = model.listening.gauge_mmhg() else { return };
    let (rect, response) = c.ui.allocate_exact_size(vec2(GAUGE, GAUGE), Sense::hover());
    plot::gauge(&c.pen(Rect::from_center_size(rect.center(), rect.size())), mmhg);
    let name = say!(c.lang(), "measure-gauge", mmhg = c.lang().decimal(mmhg, 0));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
}
