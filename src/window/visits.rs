//! The visits there are: unfinished ones first, then all, looked through by code; and the way to a new one.

use eframe::egui::{Ui, vec2};

use super::model::Model;
use super::model::action::{Action, OpeningAct, Screen, ShelfAct};
use super::parts::{Weight, field, finger, low, panel, scroll, strong, target, words};
use super::sentence::date;
use super::theme::{Roles, size};
use crate::logbook::VisitRow;

pub(super) fn show(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    let low = low(ui);
    if !low {
        head(ui, model, roles, out);
    }
    scroll("visits").show(ui, |ui| {
        if low {
            head(ui, model, roles, out);
        }
        let closed: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| row.closed).collect();
        if closed.is_empty() {
            words(ui, "No finished visit here yet.", size::BODY, roles.quiet);
        }
        for row in closed {
            ui.horizontal_wrapped(|ui| {
                let name = format!("Open {}, {}", row.record, date(&row.opened_at.to_string()));
                if target(ui, roles, (&name, ""), vec2(320.0, size::TARGET), Weight::Plain) {
                    out.push(Action::Shelf(ShelfAct::LookAt(row.id)));
                }
                let name = format!("All of {}", row.record);
                if target(ui, roles, (&name, ""), vec2(180.0, size::TARGET), Weight::Plain) {
                    out.push(Action::Shelf(ShelfAct::LookBack(row.record.clone())));
                }
                if let Some(due) = &row.due {
                    words(ui, &format!("next test {due}"), size::BODY, roles.ink);
                }
                words(ui, &row.reason, size::BODY, roles.quiet);
            });
        }
    });
}

/// What can be begun, what was not finished, and the search.
fn head(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        strong(ui, "Visits", size::TITLE, roles.ink);
        ui.add_space(3.0 * size::GRID);
        let least = vec2(200.0, size::TARGET + 8.0);
        if target(ui, roles, ("New visit", "N"), least, Weight::Act) {
            out.push(Action::Go(Screen::Begin));
        }
        if finger(ui, roles, "Practise", Weight::Plain) {
            out.push(Action::Go(Screen::Practise));
        }
        if finger(ui, roles, "Set-up", Weight::Plain) {
            out.push(Action::Go(Screen::SetUp));
        }
    });
    ui.add_space(size::GRID);
    let open: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| !row.closed).collect();
    if !open.is_empty() {
        panel(ui, roles, |ui| {
            strong(ui, "Not finished", size::BODY, roles.act);
            for row in open {
                unfinished(ui, row, roles, out);
            }
        });
        ui.add_space(size::GRID);
    }
    let mut text = model.shelf.search.clone();
    if field(ui, roles, "Look for a record, an operator or a reason", &mut text, 360.0).changed() {
        out.push(Action::Shelf(ShelfAct::Search(text)));
    }
    ui.add_space(size::GRID);
}

fn unfinished(ui: &mut Ui, row: &VisitRow, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        let begun = row.opened_at.to_string();
        let text = format!(
            "{}, begun {} at {}",
            row.record,
            date(&begun),
            begun.get(11..16).unwrap_or("")
        );
        words(ui, &text, size::BODY, roles.ink);
        if finger(ui, roles, &format!("Go on with {}", row.record), Weight::Plain) {
            out.push(Action::Open(OpeningAct::Resume(row.id)));
        }
        if finger(ui, roles, &format!("Close {} as it stands", row.record), Weight::Plain) {
            out.push(Action::Shelf(ShelfAct::CloseUnfinished(row.id)));
        }
    });
}
