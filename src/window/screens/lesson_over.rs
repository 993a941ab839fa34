//! What a lesson came to: sums, each drill in a sentence, and each heard again.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::heard_again;
use crate::practice::cases::CaseKind;
use crate::practice::confusion::Confusion;
use crate::practice::lesson::Feedback;
use crate::practice::session::{Done, Summary};
use crate::window::model::action::{Action, PractiseAct};
use crate::window::model::heard_again::HeardAgain;
use crate::window::model::running::Running;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

/// A lesson that is over.
pub fn show(c: &mut Canvas<'_>, running: &Running) {
    c.strong(&format!("{}: over", running.lesson.name), size::TITLE, c.roles.ink);
    if running.lesson.feedback == Feedback::Hidden {
        c.words(
            "An examination, sealed: only the teacher's word opens it.",
            size::SENTENCE,
            c.roles.ink,
        );
    } else {
        c.panel(|c| {
            c.strong(&summed(&running.summary()), size::BODY, c.roles.ink);
            if let Some(found) = running.session.threshold {
                let text = format!(
                    "In noise you find the return in 70.7 % of trials at {:.1} dB of signal over noise ({} trials; two down, one up: Levitt 1971).",
                    found.snr_db, found.trials
                );
                c.words(&text, size::BODY, c.roles.ink);
            }
            for kind in CaseKind::ALL {
                let found = Confusion::of(kind, &running.session.drills);
                found.sentences().iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
            }
            running.indexes.iter().for_each(|leg| c.words(&leg.words(), size::BODY, c.roles.ink));
        });
    }
    if running.lesson.feedback != Feedback::Hidden {
        cases(c, running);
    }
    if c.target("Done", "Enter", vec2(200.0, size::GLOVE), Emphasis::Act) {
        act(c, PractiseAct::End);
    }
}

/// The drill that is heard again, below its own line.
fn again(c: &mut Canvas<'_>, (number, heard): &(usize, HeardAgain)) {
    c.panel(|c| {
        c.strong(&format!("Case {} again", number + 1), size::SENTENCE, c.roles.ink);
        heard_again::show(c, heard, "the sound of this case, to be heard again");
        heard_again::if_tapped(c, heard);
    });
}

/// Each drill with what was said of it.
fn cases(c: &mut Canvas<'_>, running: &Running) {
    for (number, done) in running.session.drills.iter().enumerate() {
        c.words(&format!("{}: {}", done.case, said(done)), size::BODY, c.roles.quiet);
        let kept = running.kept.get(number).is_some_and(Option::is_some);
        if kept && c.finger(&format!("Hear case {} again", number + 1), Emphasis::Plain) {
            act(c, PractiseAct::HearCase(number));
        }
        running.heard.iter().filter(|heard| heard.0 == number).for_each(|heard| again(c, heard));
    }
}

fn said(done: &Done) -> String {
    match (&done.score, &done.no_score, &done.right) {
        (Some(score), ..) => score.words().join(" "),
        (None, Some(why), _) => why.clone() + ".",
        (None, None, Some(right)) => {
            format!("You said {}; it was {right}.", done.answer.as_deref().unwrap_or("nothing"))
        }
        _ => String::new(),
    }
}

/// A stretch of drills in one line.
pub(super) fn summed(sum: &Summary) -> String {
    let number = |v: Option<f64>| v.map_or("not known".into(), |v| format!("{v:.0}"));
    let mut text = format!("{} of {} passed", sum.passed, sum.drills);
    if sum.scored > 0 {
        text += &format!("; taps {} ms late, spread {}", number(sum.bias_ms), number(sum.sd_ms));
    }
    if let Some(read) = &sum.readings {
        text += &format!(
            "; readings {:+.1} mmHg (limits {:+.0} to {:+.0})",
            read.bias, read.lower, read.upper
        );
    }
    if let Some(zero) = sum.end_zero {
        text += &format!("; {:.0} % end in 0", 100.0 * zero);
    }
    text + "."
}
