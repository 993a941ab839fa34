//! The ledger: sites as rows, the patient's right and left as columns, readings in place, the current one framed;
//! and each index as soon as it can be worked out. It stays in view throughout.

use eframe::egui::{
    Align, Align2, Button, CornerRadius, Label, Layout, Rect, RichText, Role, Sense, Stroke, Ui,
    UiBuilder, WidgetInfo, pos2, vec2,
};

use super::model::Model;
use super::model::action::Action;
use super::model::visit::Held;
use super::parts::{strong, words};
use super::sentence::sentence;
use super::theme::{self, Roles, size};
use crate::clinical::event::Phase;
use crate::clinical::repeats::{Pressures, State};
use crate::clinical::result::LegResult;
use crate::clinical::site::{Artery, Side, Site};
use crate::conduct::{AtSite, Ended, wording};

/// Rows of the ledger.
const ROWS: [(Artery, &str); 4] = [
    (Artery::Brachial, "arm"),
    (Artery::DorsalisPedis, "dorsalis pedis"),
    (Artery::PosteriorTibial, "posterior tibial"),
    (Artery::GreatToe, "toe"),
];

pub(super) fn show(ui: &mut Ui, model: &Model, held: &Held, roles: Roles, out: &mut Vec<Action>) {
    let visit = held.conduct.visit();
    let opened = visit.opened_at.to_string();
    ui.horizontal(|ui| {
        words(ui, &visit.opened.record, size::BODY, roles.ink);
        words(ui, opened.get(11..16).unwrap_or(""), size::BODY, roles.quiet);
    });
    let rest = Pressures::of(visit, Phase::Rest);
    ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
    let columns = Columns::of(ui);
    columns.row(ui, 22.0, "patient's", roles, |ui, side, rect| {
        let at = rect.center();
        let font = theme::plain(size::SMALL);
        ui.painter().text(at, Align2::CENTER_CENTER, side.code(), font, roles.quiet);
    });
    for (artery, name) in ROWS {
        columns.row(ui, size::TARGET, name, roles, |ui, side, rect| {
            let site = Site::new(side, artery);
            cell(ui, held, site, rest.at(site), (roles, rect), out);
        });
    }
    ui.add_space(size::GRID);
    let result = held.conduct.result(&model.sets);
    for leg in [&result.right, &result.left] {
        index(ui, leg, roles);
    }
}

/// Where names and the two sides stand.
struct Columns {
    name: f32,
    cell: f32,
}

impl Columns {
    fn of(ui: &Ui) -> Self {
        let width = ui.available_width();
        let name = (width * 0.34).clamp(84.0, 130.0);
        Self { name, cell: (width - name) / 2.0 }
    }

    fn row(
        &self,
        ui: &mut Ui,
        height: f32,
        name: &str,
        roles: Roles,
        mut inside: impl FnMut(&mut Ui, Side, Rect),
    ) {
        let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        let label = Rect::from_min_size(row.min, vec2(self.name, height));
        ui.scope_builder(
            UiBuilder::new().max_rect(label).layout(Layout::left_to_right(Align::Center)),
            |ui| {
                ui.set_max_width(self.name);
                ui.add(
                    Label::new(
                        RichText::new(name).font(theme::plain(size::SMALL)).color(roles.quiet),
                    )
                    .wrap(),
                );
            },
        );
        for (n, side) in Side::BOTH.into_iter().enumerate() {
            let left = row.left() + self.name + n as f32 * self.cell;
            let rect = Rect::from_min_size(pos2(left, row.top()), vec2(self.cell, height));
            inside(ui, side, rect.shrink2(vec2(4.0, 0.0)));
        }
    }
}

/// One site: what is known of it; a touch turns to it.
fn cell(
    ui: &mut Ui,
    held: &Held,
    site: Site,
    state: &State,
    (roles, rect): (Roles, Rect),
    out: &mut Vec<Action>,
) {
    let now = held.conduct.current().is_some_and(|current| current.site == site);
    let short = match state {
        State::NotYet => "·".to_owned(),
        State::Value(pressure) => pressure.to_string(),
        State::NotCompressible(_) => "not compr.".into(),
        State::NoSignal => "no signal".into(),
        State::NotMeasured(_) => "left out".into(),
        State::Unsettled => "unsettled".into(),
    };
    let (text, points) = match state {
        State::Value(_) => (short, size::VALUE),
        State::NotYet if now => ("now".into(), size::BODY),
        _ => (short, size::SMALL),
    };
    let ink = if now { roles.act } else { roles.ink };
    let edge = if now { Stroke::new(3.0, roles.act) } else { Stroke::new(1.0, roles.panel) };
    let button = Button::new("")
        .min_size(rect.size())
        .fill(roles.panel)
        .stroke(edge)
        .corner_radius(CornerRadius::same(8));
    let response = ui.put(rect, button);
    // Words that do not fit the cell are set smaller, numbers never.
    let laid = |points| ui.painter().layout_no_wrap(text.clone(), theme::bold(points), ink);
    let galley = Some(laid(points)).filter(|g| g.size().x <= rect.width() - 8.0);
    let galley = galley.unwrap_or_else(|| laid(size::SMALL));
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, ink);
    let name = format!("{site}: {}{}", state.why(), if now { ", now" } else { "" });
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        out.push(Action::Site(AtSite::TurnTo(site)));
    }
}

/// A leg's index with its interval, or why there is none yet.
fn index(ui: &mut Ui, leg: &LegResult, roles: Roles) {
    words(ui, &format!("{} leg", sentence(leg.side.words())), size::BODY, roles.quiet);
    match (leg.index, leg.low.zip(leg.high)) {
        (Some(index), ends) => {
            ui.horizontal(|ui| {
                strong(ui, &index.to_string(), size::INDEX, roles.ink);
                ui.vertical(|ui| {
                    if let Some((low, high)) = ends {
                        words(ui, &format!("{low} to {high}"), size::BODY, roles.ink);
                    }
                    if leg.provisional {
                        words(ui, "provisional", size::SMALL, roles.act);
                    }
                });
            });
        }
        (None, _) => match leg.more_than {
            Some(above) => strong(ui, &format!("above {above}"), size::VALUE, roles.ink),
            None => words(ui, "not yet", size::BODY, roles.ink),
        },
    }
}

/// What runs in the background, small: rhythm, fall, source, recording.
pub(super) fn foot(ui: &mut Ui, model: &Model, held: &Held, roles: Roles) {
    let current = held.conduct.current();
    let rate = current.and_then(|current| current.course.bpm());
    if let Some(bpm) = rate {
        words(ui, &format!("Pulse {bpm:.0} a minute"), size::SMALL, roles.quiet);
    }
    if let Some(current) = current {
        let fall = current
            .course
            .fall(current.ended.as_ref().and_then(Ended::reading), Default::default());
        let text = format!(
            "Falling {:.1} mmHg a second, {}",
            fall.mmhg_per_s,
            wording::fall_from(fall.from)
        );
        words(ui, &text, size::SMALL, roles.quiet);
    }
    words(ui, &model.listening.source_words(&model.choices), size::SMALL, roles.quiet);
    if model.listening.recording() {
        strong(ui, "● RECORDING", size::SMALL, roles.act);
    } else {
        words(ui, "not recording", size::SMALL, roles.quiet);
    }
    if !held.conduct.all_committed() {
        strong(ui, "not yet on the disk", size::SMALL, roles.act);
    }
}
