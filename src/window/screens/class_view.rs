//! The class, as its teacher looks at it: who is where, which sound is missed by many, examinations opened. Nobody is ranked.

use super::canvas::Canvas;
use crate::practice::overview::Standing;
use crate::window::model::action::{Action, ClassAct, PractiseAct};
use crate::window::model::class_view::ClassView;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;

/// Beside the rest of the window a folder can be named; a browser asks for files.
const BESIDE: bool = cfg!(feature = "bedside");

fn act(c: &mut Canvas<'_>, what: ClassAct) {
    c.act(Action::Practise(PractiseAct::Class(what)));
}

/// The class.
pub fn show(c: &mut Canvas<'_>, class: &ClassView) {
    c.row(|c| {
        c.strong("The class", size::TITLE, c.roles.ink);
        if c.finger("Back to practice", Emphasis::Plain) {
            act(c, ClassAct::Leave);
        }
        if c.finger("Table (CSV)", Emphasis::Plain) {
            act(c, ClassAct::Csv);
        }
        if c.finger("Page (HTML)", Emphasis::Plain) {
            act(c, ClassAct::Page);
        }
    });
    c.words(
        "Students stand in the order of their codes; nobody is ranked. What they do here says how well they hear this sound, not how well they measure patients.",
        size::BODY,
        c.roles.quiet,
    );
    c.panel(|c| files(c, class));
    if class.sealed() > 0 || !class.opened.is_empty() {
        c.panel(|c| examinations(c, class));
    }
    c.panel(|c| {
        c.strong("Who is where", size::BODY, c.roles.ink);
        if class.seen.students.is_empty() {
            c.words("No session yet.", size::BODY, c.roles.ink);
        }
        class.seen.students.iter().for_each(|at| student(c, at));
    });
    c.panel(|c| {
        c.strong("Sounds missed by many", size::BODY, c.roles.ink);
        c.words(
            "Of each student the last ten answers to a sound count; fewer than three say nothing.",
            size::SMALL,
            c.roles.quiet,
        );
        for sound in &class.seen.sounds {
            let said = format!("{}: {}", sound.name(), sound.sentence());
            c.words(&said, size::BODY, c.roles.ink);
        }
    });
}

/// Which files are read.
fn files(c: &mut Canvas<'_>, class: &ClassView) {
    let wide = 460.0_f32.min(c.ui.available_width() - 24.0);
    if BESIDE {
        let mut folder = class.folder.clone();
        if c.field("Folder of class files", &mut folder, wide).changed() {
            act(c, ClassAct::Folder(folder));
        }
        if c.finger("Read the folder", Emphasis::Act) {
            act(c, ClassAct::Read);
        }
    } else {
        c.words("Class files: open them, or drop them on the page.", size::BODY, c.roles.ink);
        if c.finger("Open class files", Emphasis::Act) {
            c.act(Action::Practise(PractiseAct::AskFile));
        }
    }
    class.said.iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
    let read = format!("Taken in: {}.", class.files.join(", "));
    c.words(&read, size::SMALL, c.roles.quiet);
}

/// Examinations under seal, and those that were opened.
fn examinations(c: &mut Canvas<'_>, class: &ClassView) {
    c.strong("Examinations", size::BODY, c.roles.ink);
    if class.sealed() > 0 {
        let count = class.sealed();
        c.words(&format!("Under seal: {count}."), size::BODY, c.roles.ink);
        let mut word = class.word.clone();
        if c.secret("Teacher's word", &mut word, 300.0).changed() {
            act(c, ClassAct::Word(word));
        }
        if c.finger("Open the examinations", Emphasis::Act) {
            act(c, ClassAct::Unseal);
        }
    }
    for (number, session) in class.opened.iter().enumerate() {
        let passed = session.drills.iter().filter(|done| done.passed()).count();
        let said = format!(
            "{}, {}, {}: {passed} of {} passed.",
            session.student,
            session.lesson,
            session.begun,
            session.drills.len()
        );
        c.words(&said, size::BODY, c.roles.ink);
        let name = format!("Page of {}, {}", session.student, session.lesson);
        if c.finger(&name, Emphasis::Plain) {
            act(c, ClassAct::Examination(number));
        }
    }
}

/// One student.
fn student(c: &mut Canvas<'_>, at: &Standing) {
    let mut said = format!("{} of {} passed", at.passed, at.drills);
    if let Some(lag) = at.lag {
        let (low, high) = (lag.mean_ms - lag.half_ms, lag.mean_ms + lag.half_ms);
        said += &format!(
            "; taps {:.0} ms late ({low:.0} to {high:.0}), spread {:.0}",
            lag.mean_ms, lag.sd_ms
        );
    }
    if let Some((db, sd)) = at.threshold_db {
        said += &format!("; in noise {db:.1} dB (give or take {:.1})", 1.96 * sd);
    }
    if let Some((passed, of)) = at.examined {
        said += &format!("; in examinations {passed} of {of}");
    }
    if at.sealed > 0 {
        said += &format!("; {} under seal", at.sealed);
    }
    c.strong(&at.code, size::BODY, c.roles.ink);
    c.words(&format!("{said}. Last session {}.", at.last), size::BODY, c.roles.ink);
    c.words(&at.next, size::BODY, c.roles.quiet);
}
