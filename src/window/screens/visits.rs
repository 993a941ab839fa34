//! The visits there are: unfinished ones first, then all, looked through by code; and the way to a new one.

use eframe::egui::vec2;

use super::canvas::Canvas;
use crate::clinical::reasons;
use crate::logbook::VisitRow;
use crate::window::model::Model;
use crate::window::model::action::{Action, OpeningAct, Screen, ShelfAct};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::day;
use crate::words::{id, say};

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let (w, low) = (c.lang(), c.low());
    if !low {
        head(c, model);
    }
    c.scroll("visits", |c| {
        if low {
            head(c, model);
        }
        let closed: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| row.closed).collect();
        if closed.is_empty() {
            c.words(w.plain(id!("visits-none")), size::BODY, c.roles.quiet);
        }
        for row in closed {
            c.row(|c| {
                let day = day(w, row.opened_at);
                let name = say!(w, "visits-open", record = row.record, day = day);
                if c.target(&name, "", vec2(320.0, size::TARGET), Emphasis::Plain) {
                    c.act(Action::Shelf(ShelfAct::LookAt(row.id)));
                }
                let name = say!(w, "visits-all", record = row.record);
                if c.target(&name, "", vec2(180.0, size::TARGET), Emphasis::Plain) {
                    c.act(Action::Shelf(ShelfAct::LookBack(row.record.clone())));
                }
                if let Some(due) = &row.due {
                    let due = self::day(w, due);
                    c.words(&say!(w, "visits-next-test", on = due), size::BODY, c.roles.ink);
                }
                c.words(reasons::said(w, &row.reason), size::BODY, c.roles.quiet);
            });
        }
    });
}

/// What can be begun, what was not finished, and the search.
fn head(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("window-visits")), size::TITLE, c.roles.ink);
        c.space(3.0 * size::GRID);
        let least = vec2(200.0, size::TARGET + 8.0);
        if c.likely(w.plain(id!("begin-title")), "N", least, Emphasis::Act) {
            c.act(Action::Go(Screen::Begin));
        }
        if c.finger(w.plain(id!("visits-practise")), Emphasis::Plain) {
            c.act(Action::Go(Screen::Practise));
        }
        if c.finger(w.plain(id!("window-set-up")), Emphasis::Plain) {
            c.act(Action::Go(Screen::SetUp));
        }
    });
    c.space(size::GRID);
    let open: Vec<&VisitRow> = model.shelf.found.iter().filter(|row| !row.closed).collect();
    if !open.is_empty() {
        c.panel(|c| {
            c.strong(w.plain(id!("window-not-finished")), size::BODY, c.roles.act);
            for row in open {
                unfinished(c, row);
            }
        });
        c.space(size::GRID);
    }
    let mut text = model.shelf.search.clone();
    if c.field(w.plain(id!("visits-search")), &mut text, 360.0).changed() {
        c.act(Action::Shelf(ShelfAct::Search(text)));
    }
    c.space(size::GRID);
}

fn unfinished(c: &mut Canvas<'_>, row: &VisitRow) {
    let w = c.lang();
    c.row(|c| {
        let begun = row.opened_at.to_string();
        let (day, time) = (day(w, &begun), begun.get(11..16).unwrap_or(""));
        let text = say!(w, "visits-begun", record = row.record, day = day, time = time);
        c.words(&text, size::BODY, c.roles.ink);
        if c.finger(&say!(w, "visits-continue", record = row.record), Emphasis::Plain) {
            c.act(Action::Open(OpeningAct::Resume(row.id)));
        }
        if c.finger(&say!(w, "visits-close", record = row.record), Emphasis::Plain) {
            c.act(Action::Shelf(ShelfAct::CloseUnfinished(row.id)));
        }
    });
}
