//! A sound of practice heard again: its picture with truth and tap, and the targets that play it.

use eframe::egui::{Rect, Sense, vec2};

use super::canvas::Canvas;
use crate::practice::made_sound::PLAIN;
use crate::window::model::action::{Action, HearAct, PractiseAct};
use crate::window::model::heard_again::HeardAgain;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, Overlay};
use crate::window::paint::theme::size;
use crate::words::{id, say};

/// The picture's height.
const HEIGHT: f32 = 200.0;
/// The gauge's side, where a cuff is worked.
const GAUGE: f32 = 180.0;
/// Narrower than this a telephone is meant, which has no keys to name.
const NARROW: f32 = 700.0;
/// An ideal observer's d' is shown as this many decibels at most.
const TALL_DB: f64 = 20.0;

fn act(c: &mut Canvas<'_>, what: HearAct) {
    c.act(Action::Practise(PractiseAct::Hear(what)));
}

/// The picture, the targets, and what a tap at the cursor would come to.
pub fn show(c: &mut Canvas<'_>, heard: &HeardAgain, name: &str) {
    picture(c, heard, name);
    let w = c.lang();
    let narrow = c.ui.available_width() < NARROW;
    c.row(|c| {
        let play = if heard.plays() { id!("replay-stop") } else { id!("replay-play") };
        let key = |id| w.plain(id);
        let mut offered = vec![
            (play, key(id!("window-key-space")), HearAct::Play),
            (id!("replay-before"), key(id!("window-key-left")), HearAct::Step(false)),
            (id!("replay-after"), key(id!("window-key-right")), HearAct::Step(true)),
            (id!("replay-start"), key(id!("window-key-home")), HearAct::Start),
        ];
        if heard.marks.truth_s.is_some() {
            offered.push((id!("replay-to-truth"), "R", HearAct::ToTruth));
        }
        if heard.marks.tap_s.is_some() {
            offered.push((id!("replay-to-your-tap"), "T", HearAct::ToTap));
        }
        for (text, key, what) in offered {
            let weight = if text == id!("replay-play") { Emphasis::Act } else { Emphasis::Plain };
            let key = if narrow { "" } else { key };
            let least = if narrow { size::TARGET } else { 110.0 };
            if c.target(w.plain(text), key, vec2(least, size::TARGET), weight) {
                act(c, what);
            }
        }
        if c.choice(w.plain(id!("replay-half-s")), heard.half) {
            act(c, HearAct::Half);
        }
    });
    if let Some(said) = &heard.output {
        c.words(&said.said(w), size::SMALL, c.roles.quiet);
    }
}

/// What a tap at the cursor would have come to, with the needle there.
pub fn if_tapped(c: &mut Canvas<'_>, heard: &HeardAgain) {
    let words = heard.if_tapped(c.lang());
    if words.is_empty() || heard.plays() {
        return;
    }
    c.panel(|c| {
        c.strong(c.lang().plain(id!("replay-if-tapped")), size::BODY, c.roles.ink);
        words.iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
    });
}

fn picture(c: &mut Canvas<'_>, heard: &HeardAgain, name: &str) {
    let w = c.lang();
    let wide = c.ui.available_width();
    let needle = heard.needle_mmhg();
    let beside = needle.is_some() && wide > 3.5 * GAUGE;
    c.line_top(|c| {
        if let Some(mmhg) = needle.filter(|_| beside) {
            let named = say!(w, "replay-gauge", mmhg = w.decimal(mmhg, 0));
            let rect = c.named_space(vec2(GAUGE, HEIGHT), &named);
            plot::gauge(&c.pen(Rect::from_center_size(rect.center(), vec2(GAUGE, GAUGE))), mmhg);
        }
        let rect = c.named_space(vec2(c.ui.available_width(), HEIGHT), name);
        touched(c, heard, rect);
        let snapshot = heard.picture();
        let overlay = Overlay {
            beats: beats(heard),
            return_s: heard.marks.truth_s,
            return_words: w.plain(heard.return_words.unwrap_or(id!("replay-truth"))),
            words: w,
            tap_s: heard.marks.tap_s,
            cursor_s: Some(heard.cursor_s),
            ..Overlay::default()
        };
        let pen = plot::Pen { ui: c.ui, roles: c.roles, rect };
        plot::sound(&pen, &mut c.desk.heard_again, &snapshot, &overlay);
    });
    if let Some(mmhg) = needle.filter(|_| !beside) {
        c.words(&say!(w, "replay-needle-here", mmhg = w.decimal(mmhg, 0)), size::BODY, c.roles.ink);
    }
}

/// A touch of the picture goes to that moment.
fn touched(c: &mut Canvas<'_>, heard: &HeardAgain, rect: Rect) {
    let response = c.ui.interact(rect, c.ui.scope_id().with("moment"), Sense::click());
    if let Some(at) = response.clicked().then(|| response.interact_pointer_pos()).flatten() {
        let share = (at.x - rect.left()) / rect.width().max(1.0);
        act(c, HearAct::To(heard.moment(share.clamp(0.0, 1.0))));
    }
}

/// Of a made sound its true pulses, as plain as they are to an ideal observer; of a recording those that were found.
fn beats(heard: &HeardAgain) -> Vec<(f64, f64)> {
    match &heard.sound {
        Some(sound) => {
            let heard = sound.truth.openings.iter().filter(|o| o.d_prime >= PLAIN);
            heard.map(|o| (o.onset_s, o.d_prime.min(TALL_DB))).collect()
        }
        None => heard.piece.beats.clone(),
    }
}
