//! What a lesson came to: sums, each drill in a sentence, and each heard again.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::heard_again;
use crate::practice::cases::{CaseKind, NOTHING, answer_said};
use crate::practice::confusion::Confusion;
use crate::practice::lesson::Feedback;
use crate::practice::named;
use crate::practice::session::{Done, Summary};
use crate::window::model::action::{Action, PractiseAct};
use crate::window::model::heard_again::HeardAgain;
use crate::window::model::running::Running;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

/// A lesson that is over.
pub fn show(c: &mut Canvas<'_>, running: &Running) {
    let w = c.lang();
    let lesson = named::lesson(w, &running.lesson.name);
    c.strong(&say!(w, "drill-over", lesson = lesson), size::TITLE, c.roles.ink);
    if running.lesson.feedback == Feedback::Hidden {
        c.words(w.plain(id!("drill-over-sealed")), size::SENTENCE, c.roles.ink);
    } else {
        c.panel(|c| {
            c.strong(&summed(w, &running.summary()), size::BODY, c.roles.ink);
            if let Some(found) = running.session.threshold {
                let db = w.decimal(found.snr_db, 1);
                let text = say!(w, "drill-threshold", db = db, trials = found.trials);
                c.words(&text, size::BODY, c.roles.ink);
            }
            for kind in CaseKind::ALL {
                let found = Confusion::of(kind, &running.session.drills).sentences(w);
                found.iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
            }
            running.indexes.iter().for_each(|leg| c.words(&leg.said(w), size::BODY, c.roles.ink));
        });
    }
    if running.lesson.feedback != Feedback::Hidden {
        cases(c, running);
    }
    if c.target(w.plain(id!("drill-done")), "Enter", vec2(200.0, size::GLOVE), Emphasis::Act) {
        act(c, PractiseAct::End);
    }
}

/// The drill that is heard again, below its own line.
fn again(c: &mut Canvas<'_>, (number, heard): &(usize, HeardAgain)) {
    c.panel(|c| {
        let w = c.lang();
        c.strong(&say!(w, "drill-again", number = *number + 1), size::SENTENCE, c.roles.ink);
        heard_again::show(c, heard, w.plain(id!("drill-again-sound")));
        heard_again::if_tapped(c, heard);
    });
}

/// Each drill with what was said of it.
fn cases(c: &mut Canvas<'_>, running: &Running) {
    for (number, done) in running.session.drills.iter().enumerate() {
        let w = c.lang();
        let line = say!(w, "class-sound", kind = named::case(w, done), said = said(w, done));
        c.words(&line, size::BODY, c.roles.quiet);
        let kept = running.kept.get(number).is_some_and(Option::is_some);
        if kept && c.finger(&say!(w, "drill-hear-again", number = number + 1), Emphasis::Plain) {
            act(c, PractiseAct::HearCase(number));
        }
        running.heard.iter().filter(|heard| heard.0 == number).for_each(|heard| again(c, heard));
    }
}

fn said(w: Words, done: &Done) -> String {
    match (&done.score, &done.no_score, &done.right) {
        (Some(score), ..) => score.said(w).join(" "),
        (None, Some(why), _) => sentence(named::no_score(w, why)) + ".",
        (None, None, Some(right)) => {
            let answer = answer_said(w, done.answer.as_deref().unwrap_or(NOTHING));
            say!(w, "drill-word-wrong", answer = answer, right = answer_said(w, right))
        }
        _ => String::new(),
    }
}

/// A stretch of drills in one line.
pub(super) fn summed(w: Words, sum: &Summary) -> String {
    let number = |v: Option<f64>| match v {
        Some(v) => w.decimal(v, 0),
        None => w.plain(id!("window-unknown")).to_owned(),
    };
    let signed = |v: f64| w.number(format_args!("{v:+.0}"));
    let mut all = vec![say!(w, "drill-sum-passed", passed = sum.passed, count = sum.drills)];
    if sum.scored > 0 {
        let early = sum.bias_ms.is_some_and(|ms| ms < 0.0);
        let (mean, spread) = (number(sum.bias_ms.map(f64::abs)), number(sum.sd_ms));
        all.push(if early {
            say!(w, "drill-sum-taps-early", mean = mean, spread = spread)
        } else {
            say!(w, "drill-sum-taps", mean = mean, spread = spread)
        });
    }
    if let Some(read) = &sum.readings {
        let bias = w.number(format_args!("{:+.1}", read.bias));
        let (low, high) = (signed(read.lower), signed(read.upper));
        all.push(say!(w, "drill-sum-readings", bias = bias, low = low, high = high));
    }
    // Of one reading it says nothing.
    if let Some(zero) = sum.end_zero.filter(|_| sum.readings.is_some()) {
        all.push(say!(w, "drill-sum-zero", percent = w.decimal(100.0 * zero, 0)));
    }
    all.join("; ") + "."
}
