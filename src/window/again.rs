//! A visit's readings heard again: the sound as a picture, its acts, and what would have been at the cursor.

use eframe::egui::{Ui, vec2};

use super::model::Model;
use super::model::action::{Action, ReplayAct, Screen, ShelfAct};
use super::model::replay::Replay;
use super::parts::{Weight, choice, finger, named_space, panel, scroll, strong, target, words};
use super::plot::{self, Overlay, Picture, Still};
use super::sentence::sentence;
use super::theme::{Roles, size};
use crate::clinical::site::Site;
use crate::clinical::visit::Visit;

/// Seconds of sound shown after the cursor.
const AHEAD_S: f64 = 4.0;
/// The height of the picture, at least and at most, and of what is below it before that was once laid out.
const LEAST: f32 = 96.0;
const MOST: f32 = 260.0;
const OTHERS: f32 = 330.0;
/// The picture of the mean beat.
const BEAT: eframe::egui::Vec2 = vec2(220.0, 120.0);

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    (picture, mean_beat): (&mut Picture, &mut Still),
    roles: Roles,
    out: &mut Vec<Action>,
) {
    let Some(again) = &model.shelf.replay else { return };
    let Some(visit) = model.result_visit() else { return };
    ui.horizontal_wrapped(|ui| {
        strong(ui, "Hear again", size::TITLE, roles.ink);
        words(ui, &visit.opened.record, size::BODY, roles.quiet);
        if target(ui, roles, ("Back to the result", "Esc"), vec2(220.0, size::TARGET), Weight::Act)
        {
            out.push(Action::Go(Screen::Result));
        }
    });
    let height = ui.available_height();
    scroll("again").show(ui, |ui| {
        let top = ui.cursor().top();
        if again.readings.is_empty() {
            return words(
                ui,
                "No reading of this visit has a tap and a recording that is still there.",
                size::BODY,
                roles.ink,
            );
        }
        ui.horizontal_wrapped(|ui| {
            for (n, item) in again.readings.iter().enumerate() {
                let text = format!("{}, {}", sentence(&item.site.to_string()), item.words);
                if choice(ui, roles, &text, again.chosen == n) {
                    out.push(done(ReplayAct::Choose(n)));
                }
            }
        });
        // The sentence must not lie below the fold: the picture takes what the rest, as it was last, leaves.
        let id = ui.scope_id().with("below the picture");
        let below = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(OTHERS);
        let left = height - (ui.cursor().top() - top) - below - size::GRID;
        sound(ui, again, left.clamp(LEAST, MOST), picture, roles);
        let top = ui.cursor().top();
        acts(ui, again, roles, out);
        panel(ui, roles, |ui| {
            ui.horizontal_top(|ui| {
                beat(ui, again, mean_beat, roles);
                ui.vertical(|ui| there(ui, model, again, visit, roles));
            });
        });
        ui.data_mut(|d| d.insert_temp(id, ui.cursor().top() - top));
    });
}

/// The mean of the free beats, as a picture.
fn beat(ui: &mut Ui, again: &Replay, still: &mut Still, roles: Roles) {
    if let Some(Ok(mean)) = again.piece.as_ref().map(|piece| &piece.mean) {
        let (rect, _) = named_space(ui, BEAT, "the mean of the free beats");
        still.show(ui, roles, rect, &mean.picture);
    }
}

/// What can be read off it, beside the clinician's own word.
fn beat_words(again: &Replay, visit: &Visit, site: Site) -> String {
    let word = visit.waveforms.iter().rfind(|(of, _)| *of == site);
    let own = word.map_or("No word for the sound was given.".into(), |(_, word)| {
        format!("Your word for the sound: {}.", word.words())
    });
    match again.piece.as_ref().map(|piece| &piece.mean) {
        Some(Ok(mean)) => format!("{own} Beside it, never instead: {}", mean.words),
        Some(Err(why)) => format!("{own} There is no mean beat: {why}."),
        None => own,
    }
}

fn sound(ui: &mut Ui, again: &Replay, height: f32, picture: &mut Picture, roles: Roles) {
    let Some(piece) = &again.piece else { return };
    let name =
        format!("The sound around {:.1} s, with {} beats", again.cursor_s, piece.beats.len());
    let (rect, _) = named_space(ui, vec2(ui.available_width(), height), &name);
    let snapshot = piece.picture((again.cursor_s + AHEAD_S).min(piece.to_s));
    let overlay = Overlay {
        beats: piece.beats.clone(),
        lost_s: piece.lost_s,
        return_s: piece.return_s,
        tap_s: again.reading().map(|item| item.tap.seconds()),
        cursor_s: Some(again.cursor_s),
        ..Overlay::default()
    };
    plot::sound(ui, roles, rect, (picture, &snapshot), &overlay);
}

fn acts(ui: &mut Ui, again: &Replay, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        let play = if again.plays() { "Stop" } else { "Play" };
        for (text, key, act) in [
            (play, "Space", ReplayAct::Play),
            ("Beat before", "Left", ReplayAct::Step(false)),
            ("Beat after", "Right", ReplayAct::Step(true)),
            ("To the tap", "T", ReplayAct::ToMark),
        ] {
            if target(ui, roles, (text, key), vec2(130.0, size::TARGET), Weight::Plain) {
                out.push(done(act));
            }
        }
        for (text, chosen, act) in [
            ("half speed (H)", again.half, ReplayAct::Half),
            ("one beat over and over (L)", again.looped, ReplayAct::Loop),
        ] {
            if choice(ui, roles, text, chosen) {
                out.push(done(act));
            }
        }
        let text = if again.asked { "Move it: once more" } else { "Move the mark here (M)" };
        if finger(ui, roles, text, if again.asked { Weight::Act } else { Weight::Plain }) {
            out.push(done(ReplayAct::Move));
        }
    });
    if let Some(said) = &again.said {
        words(ui, said, size::BODY, roles.act);
    }
    if again.asked {
        let text = "The old mark stays on the trail, and the reading as it is.";
        words(ui, text, size::BODY, roles.act);
    }
}

/// What would have been at the cursor, in words.
fn there(ui: &mut Ui, model: &Model, again: &Replay, visit: &Visit, roles: Roles) {
    let Some(item) = again.reading() else { return };
    let off_s = again.cursor_s - item.tap.seconds();
    let beside = match off_s {
        s if s.abs() < 0.005 => "Here is the tap.".to_owned(),
        s if s < 0.0 => format!("{:.2} s before the tap.", -s),
        s => format!("{s:.2} s after the tap."),
    };
    strong(ui, &beside, size::BODY, roles.ink);
    if let Some(moved) = item.moved {
        let text = format!(
            "The mark was moved to {:.2} s; the tap was at {:.2} s.",
            moved.seconds(),
            item.tap.seconds()
        );
        words(ui, &text, size::BODY, roles.ink);
    }
    match again.there(visit, &model.sets) {
        Some(there) => {
            there.words().iter().for_each(|said| words(ui, said, size::BODY, roles.ink));
        }
        None => words(ui, "What the needle showed here is not known.", size::BODY, roles.ink),
    }
    words(ui, &beat_words(again, visit, item.site), size::SMALL, roles.ink);
    words(
        ui,
        "The listener's marks are dotted, the clinician's are solid. Ear and gauge are the record.",
        size::SMALL,
        roles.quiet,
    );
    let named = format!("In a lesson: visit = \"{}\", attempt = {}", again.visit, item.attempt);
    words(ui, &named, size::SMALL, roles.quiet);
}

fn done(what: ReplayAct) -> Action {
    Action::Shelf(ShelfAct::Replay(what))
}
