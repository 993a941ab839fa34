//! A visit's readings heard again: the sound as a picture, its acts, and what would have been at the cursor.

use eframe::egui::{Vec2, vec2};

use super::canvas::Canvas;
use crate::clinical::site::Site;
use crate::clinical::visit::Visit;
use crate::window::model::Model;
use crate::window::model::action::{Action, ReplayAct, Screen, ShelfAct};
use crate::window::model::replay::Replay;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, Overlay, Pen};
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;

/// Seconds of sound shown after the cursor.
const AHEAD_S: f64 = 4.0;
/// The height of the picture, at least and at most, and of what is below it before that was once laid out.
const LEAST: f32 = 96.0;
const MOST: f32 = 260.0;
const OTHERS: f32 = 330.0;
/// The picture of the mean beat.
const BEAT: Vec2 = vec2(220.0, 120.0);

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(again) = &model.shelf.replay else { return };
    let Some(visit) = model.result_visit() else { return };
    c.row(|c| {
        c.strong("Replay recording", size::TITLE, c.roles.ink);
        c.words(&visit.opened.record, size::BODY, c.roles.quiet);
        if c.target("Back to the result", "Esc", vec2(220.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Go(Screen::Result));
        }
    });
    let height = c.ui.available_height();
    c.scroll("again", |c| {
        let top = c.ui.cursor().top();
        if again.readings.is_empty() {
            return c.words(
                "No reading of this visit has both a tap and a recording.",
                size::BODY,
                c.roles.ink,
            );
        }
        c.row(|c| {
            for (n, item) in again.readings.iter().enumerate() {
                let text = format!("{}, {}", sentence(&item.site.to_string()), item.words);
                if c.choice(&text, again.chosen == n) {
                    c.act(done(ReplayAct::Choose(n)));
                }
            }
        });
        // The sentence must not lie below the fold: the picture takes what the rest, as it was last, leaves.
        let id = c.ui.scope_id().with("below the picture");
        let below = c.ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(OTHERS);
        let left = height - (c.ui.cursor().top() - top) - below - size::GRID;
        sound(c, again, left.clamp(LEAST, MOST));
        let top = c.ui.cursor().top();
        acts(c, again);
        c.panel(|c| {
            c.line_top(|c| {
                beat(c, again);
                c.column(|c| there(c, model, again, visit));
            });
        });
        let height = c.ui.cursor().top() - top;
        c.ui.data_mut(|d| d.insert_temp(id, height));
    });
}

/// The mean of the free beats, as a picture.
fn beat(c: &mut Canvas<'_>, again: &Replay) {
    if let Some(Ok(mean)) = again.piece.as_ref().map(|piece| &piece.mean) {
        let rect = c.named_space(BEAT, "the mean beat, without disturbed beats");
        let pen = Pen { ui: c.ui, roles: c.roles, rect };
        c.desk.mean_beat.show(&pen, &mean.picture);
    }
}

/// What can be read off it, beside the clinician's own word.
fn beat_words(again: &Replay, visit: &Visit, site: Site) -> String {
    let word = visit.waveforms.iter().rfind(|(of, _)| *of == site);
    let own = word.map_or("You recorded no waveform.".into(), |(_, word)| {
        format!("You recorded: {}.", word.words())
    });
    match again.piece.as_ref().map(|piece| &piece.mean) {
        Some(Ok(mean)) => format!("{own} For comparison only: {}", mean.words),
        Some(Err(why)) => format!("{own} There is no mean beat: {why}."),
        None => own,
    }
}

fn sound(c: &mut Canvas<'_>, again: &Replay, height: f32) {
    let Some(piece) = &again.piece else { return };
    let name =
        format!("The sound around {:.1} s, with {} beats", again.cursor_s, piece.beats.len());
    let rect = c.named_space(vec2(c.ui.available_width(), height), &name);
    let snapshot = piece.picture((again.cursor_s + AHEAD_S).min(piece.to_s));
    let overlay = Overlay {
        beats: piece.beats.clone(),
        lost_s: piece.lost_s,
        return_s: piece.return_s,
        tap_s: again.reading().map(|item| item.tap.seconds()),
        cursor_s: Some(again.cursor_s),
        ..Overlay::default()
    };
    let pen = Pen { ui: c.ui, roles: c.roles, rect };
    plot::sound(&pen, &mut c.desk.heard_again, &snapshot, &overlay);
}

fn acts(c: &mut Canvas<'_>, again: &Replay) {
    c.row(|c| {
        let play = if again.plays() { "Stop" } else { "Play" };
        for (text, key, act) in [
            (play, "Space", ReplayAct::Play),
            ("Beat before", "Left", ReplayAct::Step(false)),
            ("Beat after", "Right", ReplayAct::Step(true)),
            ("To the tap", "T", ReplayAct::ToMark),
        ] {
            if c.target(text, key, vec2(130.0, size::TARGET), Emphasis::Plain) {
                c.act(done(act));
            }
        }
        for (text, chosen, act) in [
            ("half speed (H)", again.half, ReplayAct::Half),
            ("one beat over and over (L)", again.looped, ReplayAct::Loop),
        ] {
            if c.choice(text, chosen) {
                c.act(done(act));
            }
        }
        let text =
            if again.asked { "Press again to move the mark" } else { "Move the mark here (M)" };
        if c.finger(text, if again.asked { Emphasis::Act } else { Emphasis::Plain }) {
            c.act(done(ReplayAct::Move));
        }
    });
    if let Some(said) = &again.said {
        c.words(said, size::BODY, c.roles.act);
    }
    if again.asked {
        let text = "The first mark stays on the trail. The reading does not change.";
        c.words(text, size::BODY, c.roles.act);
    }
}

/// What would have been at the cursor, in words.
fn there(c: &mut Canvas<'_>, model: &Model, again: &Replay, visit: &Visit) {
    let Some(item) = again.reading() else { return };
    let off_s = again.cursor_s - item.tap.seconds();
    let beside = match off_s {
        s if s.abs() < 0.005 => "Your tap is here.".to_owned(),
        s if s < 0.0 => format!("{:.2} s before the tap.", -s),
        s => format!("{s:.2} s after the tap."),
    };
    c.strong(&beside, size::BODY, c.roles.ink);
    if let Some(moved) = item.moved {
        let text = format!(
            "The mark was moved to {:.2} s; the tap was at {:.2} s.",
            moved.seconds(),
            item.tap.seconds()
        );
        c.words(&text, size::BODY, c.roles.ink);
    }
    match again.there(visit, &model.sets) {
        Some(there) => {
            there.words().iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
        }
        None => c.words("The pressure at this point is not known.", size::BODY, c.roles.ink),
    }
    c.words(&beat_words(again, visit, item.site), size::SMALL, c.roles.ink);
    c.words(
        "The listener's marks are dotted, the clinician's are solid. Ear and gauge are the record.",
        size::SMALL,
        c.roles.quiet,
    );
    let named = format!("In a lesson: visit = \"{}\", attempt = {}", again.visit, item.attempt);
    c.words(&named, size::SMALL, c.roles.quiet);
}

fn done(what: ReplayAct) -> Action {
    Action::Shelf(ShelfAct::Replay(what))
}
