//! The class, as its teacher looks at it: who is where, which sound is missed by many, examinations opened. Nobody is ranked.

use super::canvas::Canvas;
use crate::practice::named;
use crate::practice::overview::Standing;
use crate::window::model::action::{Action, ClassAct, PractiseAct};
use crate::window::model::class_view::ClassView;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::words::{Words, id, say};

/// Beside the rest of the window a folder can be named; a browser asks for files.
const BESIDE: bool = cfg!(feature = "bedside");

fn act(c: &mut Canvas<'_>, what: ClassAct) {
    c.act(Action::Practise(PractiseAct::Class(what)));
}

/// The class.
pub fn show(c: &mut Canvas<'_>, class: &ClassView) {
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("practice-class")), size::TITLE, c.roles.ink);
        if c.finger(w.plain(id!("class-back")), Emphasis::Plain) {
            act(c, ClassAct::Leave);
        }
        if c.finger(w.plain(id!("class-csv")), Emphasis::Plain) {
            act(c, ClassAct::Csv);
        }
        if c.finger(w.plain(id!("class-html")), Emphasis::Plain) {
            act(c, ClassAct::Page);
        }
    });
    c.words(w.plain(id!("class-what")), size::BODY, c.roles.quiet);
    c.panel(|c| files(c, class));
    if class.sealed() > 0 || !class.opened.is_empty() {
        c.panel(|c| examinations(c, class));
    }
    c.panel(|c| {
        c.strong(w.plain(id!("class-who")), size::BODY, c.roles.ink);
        if class.seen.students.is_empty() {
            c.words(w.plain(id!("class-none")), size::BODY, c.roles.ink);
        }
        class.seen.students.iter().for_each(|at| student(c, at));
    });
    c.panel(|c| {
        c.strong(w.plain(id!("class-missed")), size::BODY, c.roles.ink);
        c.words(w.plain(id!("class-missed-what")), size::SMALL, c.roles.quiet);
        for sound in &class.seen.sounds {
            c.words(&sound.said(w), size::BODY, c.roles.ink);
        }
    });
}

/// Which files are read.
fn files(c: &mut Canvas<'_>, class: &ClassView) {
    let wide = 460.0_f32.min(c.ui.available_width() - 24.0);
    let w = c.lang();
    if BESIDE {
        let mut folder = class.folder.clone();
        if c.field(w.plain(id!("class-folder")), &mut folder, wide).changed() {
            act(c, ClassAct::Folder(folder));
        }
        if c.finger(w.plain(id!("class-read")), Emphasis::Act) {
            act(c, ClassAct::Read);
        }
    } else {
        c.words(w.plain(id!("class-files")), size::BODY, c.roles.ink);
        if c.finger(w.plain(id!("class-open-files")), Emphasis::Act) {
            c.act(Action::Practise(PractiseAct::AskFile));
        }
    }
    class.said.iter().for_each(|said| c.words(&said.said(w), size::BODY, c.roles.ink));
    let read = say!(w, "class-taken", names = class.files.join(", "));
    c.words(&read, size::SMALL, c.roles.quiet);
}

/// Examinations under seal, and those that were opened.
fn examinations(c: &mut Canvas<'_>, class: &ClassView) {
    let w = c.lang();
    c.strong(w.plain(id!("exam-title")), size::BODY, c.roles.ink);
    if class.sealed() > 0 {
        let count = class.sealed();
        c.words(&say!(w, "exam-under-seal", count = count), size::BODY, c.roles.ink);
        let mut word = class.word.clone();
        if c.secret(w.plain(id!("exam-word")), &mut word, 300.0).changed() {
            act(c, ClassAct::Word(word));
        }
        if c.finger(w.plain(id!("exam-open")), Emphasis::Act) {
            act(c, ClassAct::Unseal);
        }
    }
    for (number, session) in class.opened.iter().enumerate() {
        let passed = session.drills.iter().filter(|done| done.passed()).count();
        let (student, lesson) = (&session.student, named::lesson(w, &session.lesson));
        let said = say!(
            w,
            "exam-one",
            student = student,
            lesson = lesson,
            begun = session.begun,
            passed = passed,
            count = session.drills.len()
        );
        c.words(&said, size::BODY, c.roles.ink);
        let name = say!(w, "exam-page", student = student, lesson = lesson);
        if c.finger(&name, Emphasis::Plain) {
            act(c, ClassAct::Examination(number));
        }
    }
}

/// One student.
fn student(c: &mut Canvas<'_>, at: &Standing) {
    let w = c.lang();
    let all = done(w, at).join("; ");
    c.strong(&at.code, size::BODY, c.roles.ink);
    c.words(&say!(w, "class-last", all = all, day = w.day_of(&at.last)), size::BODY, c.roles.ink);
    c.words(&at.next.said(w), size::BODY, c.roles.quiet);
}

/// What a student did, part by part.
fn done(w: Words, at: &Standing) -> Vec<String> {
    let mut all = vec![say!(w, "drill-sum-passed", passed = at.passed, count = at.drills)];
    if let Some(lag) = at.lag {
        // What is early is told by how early, its interval in the same direction.
        let mean_ms = lag.mean_ms.abs();
        let [mean, low, high, spread] =
            [mean_ms, mean_ms - lag.half_ms, mean_ms + lag.half_ms, lag.sd_ms]
                .map(|ms| w.decimal(ms, 0));
        all.push(if lag.mean_ms < 0.0 {
            say!(w, "class-taps-early", mean = mean, low = low, high = high, spread = spread)
        } else {
            say!(w, "class-taps", mean = mean, low = low, high = high, spread = spread)
        });
    }
    if let Some((db, sd)) = at.threshold_db {
        let (db, range) = (w.decimal(db, 1), w.decimal(1.96 * sd, 1));
        all.push(say!(w, "class-level", db = db, range = range));
    }
    if let Some((passed, of)) = at.examined {
        all.push(say!(w, "class-examined", passed = passed, count = of));
    }
    if at.sealed > 0 {
        all.push(say!(w, "class-sealed", count = at.sealed));
    }
    all
}
