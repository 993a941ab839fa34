//! The ledger: sites as rows, the patient's right and left as columns, readings in place, the current one framed;
//! and each index as soon as it can be worked out. It stays in view throughout.

use eframe::egui::{
    Align, Button, Color32, CornerRadius, FontId, Label, Layout, Pos2, Rect, RichText, Role, Sense,
    Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};

use super::canvas::Canvas;
use crate::clinical::event::Phase;
use crate::clinical::repeats::{Pressures, State};
use crate::clinical::result::LegResult;
use crate::clinical::site::{Artery, Side, Site};
use crate::conduct::{self, AtSite, Conduct, Ended};
use crate::report::wording;
use crate::window::model::Model;
use crate::window::model::action::{Action, PutRight};
use crate::window::paint::theme::{self, size};
use crate::words::{id, say};

/// The least words in a cell, points.
const LEAST: f32 = 12.0;
/// Rows of the ledger.
const ROWS: [Artery; 4] =
    [Artery::Brachial, Artery::DorsalisPedis, Artery::PosteriorTibial, Artery::GreatToe];

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(conduct) = model.visit.conduct() else { return };
    let w = c.lang();
    let opened = conduct.visit().opened_at.to_string();
    c.line(|c| {
        c.words(&conduct.visit().opened.record, size::BODY, c.roles.ink);
        c.words(opened.get(11..16).unwrap_or(""), size::BODY, c.roles.quiet);
    });
    let rest = Pressures::of(conduct.visit(), Phase::Rest);
    c.ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
    let columns = Columns::of(c.ui);
    columns.row(c, 28.0, w.plain(id!("measure-patients")), |c, side, rect| {
        let at = rect.center();
        let name = say!(w, "measure-side", side = side.code());
        let font = |points| theme::plain(points);
        fitted(c, (at, rect.width()), &name, (size::FAR, &font), c.roles.quiet);
    });
    for artery in ROWS {
        let name = say!(w, "measure-row", artery = artery.code());
        columns.row(c, size::TARGET, &name, |c, side, rect| {
            let site = Site::new(side, artery);
            cell(c, conduct, site, rest.at(site), rect);
        });
    }
    c.space(size::GRID);
    let result = conduct.result_in(w, &model.sets);
    for leg in [&result.right, &result.left] {
        index(c, leg);
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
        let name = (width * 0.38).clamp(112.0, 150.0);
        Self { name, cell: (width - name) / 2.0 }
    }

    fn row(
        &self,
        c: &mut Canvas<'_>,
        height: f32,
        name: &str,
        mut inside: impl FnMut(&mut Canvas<'_>, Side, Rect),
    ) {
        let (row, _) =
            c.ui.allocate_exact_size(vec2(c.ui.available_width(), height), Sense::hover());
        let label = Rect::from_min_size(row.min, vec2(self.name, height));
        let words = RichText::new(name).font(theme::plain(size::FAR)).color(c.roles.quiet);
        let place = UiBuilder::new().max_rect(label).layout(Layout::left_to_right(Align::Center));
        c.ui.scope_builder(place, |ui| {
            ui.set_max_width(self.name);
            ui.add(Label::new(words).wrap());
        });
        for (n, side) in Side::BOTH.into_iter().enumerate() {
            let left = row.left() + self.name + n as f32 * self.cell;
            let rect = Rect::from_min_size(pos2(left, row.top()), vec2(self.cell, height));
            inside(c, side, rect.shrink2(vec2(4.0, 0.0)));
        }
    }
}

/// One site: what is known of it; a touch turns to it.
fn cell(c: &mut Canvas<'_>, conduct: &Conduct, site: Site, state: &State, rect: Rect) {
    let w = c.lang();
    let now = conduct.current().is_some_and(|current| current.site == site);
    let short = match state {
        State::NotYet => "·".to_owned(),
        State::Value(pressure) => w.number(pressure),
        State::NotCompressible(_) => w.plain(id!("measure-cell-not-compressible")).into(),
        State::NoSignal => w.plain(id!("measure-cell-no-signal")).into(),
        State::NotMeasured(_) => w.plain(id!("measure-cell-not-measured")).into(),
        State::Conflict(_) => w.plain(id!("measure-cell-conflict")).into(),
    };
    let (text, points) = match state {
        State::Value(_) => (short, size::VALUE),
        State::NotYet if now => (w.plain(id!("measure-cell-now")).into(), size::FAR),
        _ => (short, size::FAR),
    };
    let ink = if now { c.roles.act } else { c.roles.ink };
    let edge = if now { Stroke::new(3.0, c.roles.act) } else { Stroke::new(1.0, c.roles.panel) };
    let button = Button::new("")
        .min_size(rect.size())
        .fill(c.roles.panel)
        .stroke(edge)
        .corner_radius(CornerRadius::same(8));
    let response = c.ui.put(rect, button);
    let font = |points| theme::bold(points);
    fitted(c, (rect.center(), rect.width() - 8.0), &text, (points, &font), ink);
    let (place, why) = (site.said(w), state.why(w));
    let name = match now {
        true => say!(w, "measure-cell-here", site = place, why = why),
        false => say!(w, "measure-cell", site = place, why = why),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        // A value is put right or measured again from its own screen; a touch alone begins nothing new.
        c.act(match state {
            State::Value(_) | State::NotCompressible(_) | State::NoSignal | State::Conflict(_)
                if !now =>
            {
                Action::PutRight(PutRight::Begin(site))
            }
            _ => Action::Site(AtSite::TurnTo(site)),
        });
    }
}

/// Words in the middle of a cell; those that do not fit it are set smaller, numbers never are so long.
fn fitted(
    c: &Canvas<'_>,
    (centre, width): (Pos2, f32),
    text: &str,
    (points, font): (f32, &dyn Fn(f32) -> FontId),
    ink: Color32,
) {
    let laid = |points| c.ui.painter().layout_no_wrap(text.to_owned(), font(points), ink);
    let mut galley = laid(points);
    for smaller in [size::SMALL, LEAST] {
        if galley.size().x <= width {
            break;
        }
        galley = laid(smaller);
    }
    c.ui.painter().galley(centre - galley.size() / 2.0, galley, ink);
}

/// A leg's index with its interval, or why there is none yet.
fn index(c: &mut Canvas<'_>, leg: &LegResult) {
    let w = c.lang();
    c.words(&wording::name(w, leg.side), size::BODY, c.roles.quiet);
    match (leg.index, leg.low.zip(leg.high)) {
        (Some(index), ends) => {
            c.line(|c| {
                c.strong(&w.number(index), size::INDEX, c.roles.ink);
                c.column(|c| {
                    if let Some((low, high)) = ends {
                        let (low, high) = (w.number(low), w.number(high));
                        c.words(
                            &say!(w, "clinical-ends", low = low, high = high),
                            size::BODY,
                            c.roles.ink,
                        );
                    }
                    if leg.provisional {
                        c.strong(w.plain(id!("measure-provisional")), size::FAR, c.roles.act);
                    }
                });
            });
        }
        (None, _) => match leg.more_than {
            Some(above) => {
                let above = say!(w, "report-above", lowest = w.number(above));
                c.strong(&above, size::VALUE, c.roles.ink);
            }
            None => c.words(w.plain(id!("measure-not-yet")), size::BODY, c.roles.ink),
        },
    }
}

/// What runs in the background, small: rhythm, fall, source, recording.
pub fn foot(c: &mut Canvas<'_>, model: &Model) {
    let Some(conduct) = model.visit.conduct() else { return };
    let w = c.lang();
    let rate = conduct.current().and_then(|current| current.course.bpm());
    if let Some(bpm) = rate {
        c.words(&say!(w, "measure-pulse", rate = w.decimal(bpm, 0)), size::SMALL, c.roles.quiet);
    }
    if let Some(current) = conduct.current() {
        let fall = current
            .course
            .fall(current.ended.as_ref().and_then(Ended::reading), Default::default());
        let (rate, from) =
            (w.decimal(fall.mmhg_per_s, 1), conduct::wording::fall_from(w, fall.from));
        let text = say!(w, "measure-deflation", rate = rate, from = from);
        c.words(&text, size::SMALL, c.roles.quiet);
    }
    c.words(&model.listening.source_words(w, &model.choices), size::SMALL, c.roles.quiet);
    if model.listening.recording() {
        c.strong(w.plain(id!("measure-recording")), size::SMALL, c.roles.act);
    } else {
        c.words(w.plain(id!("measure-not-recording")), size::SMALL, c.roles.quiet);
    }
    if !conduct.all_committed() {
        c.strong(w.plain(id!("measure-saving")), size::SMALL, c.roles.act);
    }
}
