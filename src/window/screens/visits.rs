//! The visits there are: unfinished ones first, then all, looked through by code; and the way to a new one.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::logbook::VisitRow;
use crate::window::model::Model;
use crate::window::model::action::{Action, OpeningAct, Screen, ShelfAct};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::date;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let low = c.low();
    if !low {
        head(c, model);
    }
    c.scroll("visits", |c| {
        if low {
            head(c, model);
        }
        let closed: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| row.closed).collect();
        if closed.is_empty() {
            c.words("No finished visit here yet.", size::BODY, c.roles.quiet);
        }
        for row in closed {
            c.row(|c| {
                let name = format!("Open {}, {}", row.record, date(&row.opened_at.to_string()));
                if c.target(&name, "", vec2(320.0, size::TARGET), Emphasis::Plain) {
                    c.act(Action::Shelf(ShelfAct::LookAt(row.id)));
                }
                let name = format!("All of {}", row.record);
                if c.target(&name, "", vec2(180.0, size::TARGET), Emphasis::Plain) {
                    c.act(Action::Shelf(ShelfAct::LookBack(row.record.clone())));
                }
                if let Some(due) = &row.due {
                    c.words(&format!("next test {due}"), size::BODY, c.roles.ink);
                }
                c.words(&row.reason, size::BODY, c.roles.quiet);
            });
        }
    });
}

/// What can be begun, what was not finished, and the search.
fn head(c: &mut Canvas<'_>, model: &Model) {
    c.row(|c| {
        c.strong("Visits", size::TITLE, c.roles.ink);
        c.space(3.0 * size::GRID);
        let least = vec2(200.0, size::TARGET + 8.0);
        if c.likely("New visit", "N", least, Emphasis::Act) {
            c.act(Action::Go(Screen::Begin));
        }
        if c.finger("Practise", Emphasis::Plain) {
            c.act(Action::Go(Screen::Practise));
        }
        if c.finger("Set-up", Emphasis::Plain) {
            c.act(Action::Go(Screen::SetUp));
        }
    });
    c.space(size::GRID);
    let open: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| !row.closed).collect();
    if !open.is_empty() {
        c.panel(|c| {
            c.strong("Not finished", size::BODY, c.roles.act);
            for row in open {
                unfinished(c, row);
            }
        });
        c.space(size::GRID);
    }
    let mut text = model.shelf.search.clone();
    if c.field("Search: record, operator or reason", &mut text, 360.0).changed() {
        c.act(Action::Shelf(ShelfAct::Search(text)));
    }
    c.space(size::GRID);
}

fn unfinished(c: &mut Canvas<'_>, row: &VisitRow) {
    c.row(|c| {
        let begun = row.opened_at.to_string();
        let text = format!(
            "{}, begun {} at {}",
            row.record,
            date(&begun),
            begun.get(11..16).unwrap_or("")
        );
        c.words(&text, size::BODY, c.roles.ink);
        if c.finger(&format!("Continue {}", row.record), Emphasis::Plain) {
            c.act(Action::Open(OpeningAct::Resume(row.id)));
        }
        if c.finger(&format!("Close {} now", row.record), Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::CloseUnfinished(row.id)));
        }
    });
}
