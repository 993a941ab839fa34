//! The ledger: sites as rows, the patient's right and left as columns, readings in place, the current one framed;
//! and each index as soon as it can be worked out. It stays in view throughout.

use eframe::egui::{Button, CornerRadius, RichText, Role, Stroke, Ui, WidgetInfo, vec2};

use super::action::Action;
use super::exam::Exam;
use super::model::Model;
use super::parts::{strong, words};
use super::theme::{self, Roles, size};
use crate::clinical::event::Phase;
use crate::clinical::repeats::{Pressures, State};
use crate::clinical::result::LegResult;
use crate::clinical::site::{Artery, Side, Site};

/// Rows of the ledger.
const ROWS: [(Artery, &str); 4] = [
    (Artery::Brachial, "arm"),
    (Artery::DorsalisPedis, "dorsalis pedis"),
    (Artery::PosteriorTibial, "posterior tibial"),
    (Artery::GreatToe, "toe"),
];

pub(super) fn show(ui: &mut Ui, model: &Model, exam: &Exam, roles: Roles, out: &mut Vec<Action>) {
    let opened = exam.visit.opened_at.to_string();
    ui.horizontal(|ui| {
        words(ui, &exam.visit.opened.record, size::BODY, roles.ink);
        words(ui, opened.get(11..16).unwrap_or(""), size::BODY, roles.quiet);
    });
    let rest = Pressures::of(&exam.visit, Phase::Rest);
    let name_width = (ui.available_width() * 0.30).max(70.0);
    let cell_width = (ui.available_width() - name_width) / 2.0 - 10.0;
    ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
    ui.horizontal(|ui| {
        ui.allocate_ui(vec2(name_width, 20.0), |ui| {
            ui.set_min_width(name_width);
            words(ui, "patient's", size::SMALL, roles.quiet);
        });
        for side in Side::BOTH {
            ui.allocate_ui(vec2(cell_width, 20.0), |ui| {
                ui.set_min_width(cell_width);
                ui.vertical_centered(|ui| words(ui, side.code(), size::SMALL, roles.quiet));
            });
        }
    });
    for (artery, name) in ROWS {
        ui.horizontal(|ui| {
            ui.allocate_ui(vec2(name_width, size::TARGET), |ui| {
                ui.set_min_width(name_width);
                ui.set_max_width(name_width);
                words(ui, name, size::SMALL, roles.quiet);
            });
            for side in Side::BOTH {
                let site = Site::new(side, artery);
                cell(ui, exam, site, rest.at(site), (roles, cell_width), out);
            }
        });
    }
    ui.add_space(size::GRID);
    let result = exam.result(&model.sets);
    for leg in [&result.right, &result.left] {
        index(ui, leg, roles);
    }
}

/// One site: what is known of it; a touch turns to it.
fn cell(
    ui: &mut Ui,
    exam: &Exam,
    site: Site,
    state: &State,
    (roles, width): (Roles, f32),
    out: &mut Vec<Action>,
) {
    let now = exam.at.as_ref().is_some_and(|at| at.site == site);
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
    let label = RichText::new(text).font(theme::bold(points)).color(ink);
    let button = Button::new(label)
        .min_size(vec2(width, size::TARGET))
        .fill(roles.panel)
        .stroke(edge)
        .corner_radius(CornerRadius::same(8))
        .wrap();
    let response = ui.add_sized(vec2(width, size::TARGET), button);
    let name = format!("{site}: {}{}", state.why(), if now { ", now" } else { "" });
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        out.push(Action::TurnTo(site));
    }
}

/// A leg's index with its interval, or why there is none yet.
fn index(ui: &mut Ui, leg: &LegResult, roles: Roles) {
    words(ui, &format!("{} leg", super::model::sentence(leg.side.words())), size::BODY, roles.quiet);
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
pub(super) fn foot(ui: &mut Ui, model: &Model, exam: &Exam, roles: Roles) {
    let rate = exam.at.as_ref().and_then(|at| at.course.rate());
    if let Some((bpm, regular)) = rate {
        let rhythm = if regular { "regular" } else { "irregular" };
        words(ui, &format!("Rhythm {rhythm}, {bpm:.0} a minute"), size::SMALL, roles.quiet);
    }
    if let Some(at) = &exam.at {
        let fall = at.course.fall(at.kept.as_ref().and_then(|k| k.reading), Default::default());
        let text = format!("Falling {:.1} mmHg a second, {}", fall.mmhg_per_s, fall.from.words());
        words(ui, &text, size::SMALL, roles.quiet);
    }
    words(ui, &model.source_words(), size::SMALL, roles.quiet);
    if model.recording() {
        strong(ui, "● RECORDING", size::SMALL, roles.act);
    } else {
        words(ui, "not recording", size::SMALL, roles.quiet);
    }
    if !exam.all_kept(&model.keeper) {
        strong(ui, "not yet on the disk", size::SMALL, roles.act);
    }
}
