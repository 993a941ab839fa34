//! A visit's readings heard again: the sound as a picture, its acts, and what would have been at the cursor.

use eframe::egui::{Vec2, vec2};

use super::canvas::Canvas;
use crate::clinical::site::Site;
use crate::clinical::visit::Visit;
use crate::live::{NoBeat, PieceBeat};
use crate::window::model::Model;
use crate::window::model::action::{Action, ReplayAct, Screen, ShelfAct};
use crate::window::model::replay::Replay;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, Overlay, Pen};
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

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
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("result-replay")), size::TITLE, c.roles.ink);
        c.words(&visit.opened.record, size::BODY, c.roles.quiet);
        let text = w.plain(id!("replay-back"));
        if c.target(text, "Esc", vec2(220.0, size::TARGET), Emphasis::Act) {
            c.act(Action::Go(Screen::Result));
        }
    });
    let height = c.ui.available_height();
    c.scroll("again", |c| {
        let top = c.ui.cursor().top();
        if again.readings.is_empty() {
            return c.words(w.plain(id!("replay-none")), size::BODY, c.roles.ink);
        }
        c.row(|c| {
            for (n, item) in again.readings.iter().enumerate() {
                let reading = say!(w, "clinical-mmhg", n = w.number(item.reading));
                let site = sentence(&item.site.said(w));
                let text = say!(w, "replay-reading", site = site, reading = reading);
                if c.choice(&text, again.chosen == n) {
                    c.act(done(ReplayAct::Choose(n)));
                }
            }
        });
        // The sentence must not lie below the fold: the picture takes what the rest, as it was last, leaves.
        let id = c.ui.scope_id().with("below-the-picture");
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
        let rect = c.named_space(BEAT, c.lang().plain(id!("replay-beat")));
        let pen = Pen { ui: c.ui, roles: c.roles, rect };
        c.desk.mean_beat.show(&pen, &mean.picture);
    }
}

/// What can be read off it, beside the clinician's own word.
fn beat_words(w: Words, again: &Replay, visit: &Visit, site: Site) -> String {
    let word = visit.waveforms.iter().rfind(|(of, _)| *of == site);
    let own = match word {
        Some((_, word)) => say!(w, "replay-waveform", word = word.said(w)),
        None => w.plain(id!("replay-no-waveform")).to_owned(),
    };
    let mean = again.piece.as_ref().map(|piece| match &piece.mean {
        Ok(beat) => say!(w, "replay-comparison", words = mean_words(w, beat)),
        Err(NoBeat::TooFew(beats)) => say!(w, "replay-too-few", beats = *beats),
        Err(NoBeat::Silent) => w.plain(id!("replay-silent")).to_owned(),
    });
    [Some(own), mean].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

fn mean_words(w: Words, beat: &PieceBeat) -> String {
    let phases = match beat.phases {
        Some(count) => say!(w, "replay-phases", count = count),
        None => w.plain(id!("replay-unsigned")).to_owned(),
    };
    let number = |n: Option<f64>| match n {
        Some(n) => w.decimal(n, 2),
        None => w.plain(id!("window-unknown")).to_owned(),
    };
    let upstroke = match beat.upstroke_s {
        Some(s) => say!(w, "replay-seconds", n = w.decimal(s, 2)),
        None => number(None),
    };
    let pulsatility = number(beat.pulsatility);
    let pulsatility = match beat.signed {
        true => pulsatility,
        false => say!(w, "replay-number-unsigned", n = pulsatility),
    };
    say!(
        w,
        "replay-mean",
        beats = beat.beats,
        phases = phases,
        upstroke = upstroke,
        pulsatility = pulsatility
    )
}

fn sound(c: &mut Canvas<'_>, again: &Replay, height: f32) {
    let Some(piece) = &again.piece else { return };
    let w = c.lang();
    let at = w.decimal(again.cursor_s, 1);
    let name = say!(w, "replay-sound", at = at, beats = piece.beats.len());
    let rect = c.named_space(vec2(c.ui.available_width(), height), &name);
    let snapshot = piece.picture((again.cursor_s + AHEAD_S).min(piece.to_s));
    let overlay = Overlay {
        beats: piece.beats.clone(),
        lost_s: piece.lost_s,
        return_s: piece.return_s,
        tap_s: again.reading().map(|item| item.tap.seconds()),
        cursor_s: Some(again.cursor_s),
        words: w,
        ..Overlay::default()
    };
    let pen = Pen { ui: c.ui, roles: c.roles, rect };
    plot::sound(&pen, &mut c.desk.heard_again, &snapshot, &overlay);
}

fn acts(c: &mut Canvas<'_>, again: &Replay) {
    let w = c.lang();
    c.row(|c| {
        let play = if again.plays() { id!("replay-stop") } else { id!("replay-play") };
        let [space, left, right] =
            [id!("window-key-space"), id!("window-key-left"), id!("window-key-right")]
                .map(|key| w.plain(key));
        for (text, key, act) in [
            (play, space, ReplayAct::Play),
            (id!("replay-before"), left, ReplayAct::Step(false)),
            (id!("replay-after"), right, ReplayAct::Step(true)),
            (id!("replay-to-tap"), "T", ReplayAct::ToMark),
        ] {
            if c.target(w.plain(text), key, vec2(130.0, size::TARGET), Emphasis::Plain) {
                c.act(done(act));
            }
        }
        for (text, chosen, act) in [
            (id!("replay-half"), again.half, ReplayAct::Half),
            (id!("replay-loop"), again.looped, ReplayAct::Loop),
        ] {
            if c.choice(w.plain(text), chosen) {
                c.act(done(act));
            }
        }
        let text = if again.asked { id!("replay-move-again") } else { id!("replay-move") };
        if c.finger(w.plain(text), if again.asked { Emphasis::Act } else { Emphasis::Plain }) {
            c.act(done(ReplayAct::Move));
        }
    });
    if let Some(said) = &again.said {
        c.words(&said.said(w), size::BODY, c.roles.act);
    }
    if again.asked {
        c.words(w.plain(id!("replay-move-help")), size::BODY, c.roles.act);
    }
}

/// What would have been at the cursor, in words.
fn there(c: &mut Canvas<'_>, model: &Model, again: &Replay, visit: &Visit) {
    let Some(item) = again.reading() else { return };
    let off_s = again.cursor_s - item.tap.seconds();
    let w = c.lang();
    let seconds = w.decimal(off_s.abs(), 2);
    let beside = match off_s {
        s if s.abs() < 0.005 => w.plain(id!("replay-here")).to_owned(),
        s if s < 0.0 => say!(w, "replay-before-tap", seconds = seconds),
        _ => say!(w, "replay-after-tap", seconds = seconds),
    };
    c.strong(&beside, size::BODY, c.roles.ink);
    if let Some(moved) = item.moved {
        let (to, at) = (w.decimal(moved.seconds(), 2), w.decimal(item.tap.seconds(), 2));
        let text = say!(w, "replay-was-moved", to = to, at = at);
        c.words(&text, size::BODY, c.roles.ink);
    }
    match again.there(visit, &model.sets) {
        Some(there) => {
            there.words(w).iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
        }
        None => c.words(w.plain(id!("replay-unknown")), size::BODY, c.roles.ink),
    }
    c.words(&beat_words(w, again, visit, item.site), size::SMALL, c.roles.ink);
    c.words(w.plain(id!("replay-marks")), size::SMALL, c.roles.quiet);
    let line = format!("visit = \"{}\", attempt = {}", again.visit, item.attempt);
    c.words(&say!(w, "replay-lesson", line = line), size::SMALL, c.roles.quiet);
}

fn done(what: ReplayAct) -> Action {
    Action::Shelf(ShelfAct::Replay(what))
}
