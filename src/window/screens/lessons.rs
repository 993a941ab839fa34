//! Choosing a lesson: one's own, the course's or a teacher's.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::lesson_over::summed;
use crate::practice::cases::CaseKind;
use crate::practice::lesson::Feedback;
use crate::practice::student_page::short_day;
use crate::window::model::action::{Action, ClassAct, PractiseAct, Screen, TryAct};
use crate::window::model::practice::{COUNTS, Practice};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::progress;
use crate::window::paint::theme::size;
use crate::words::{id, say};

/// Beside the rest of the window; otherwise practice is all there is.
const BESIDE: bool = cfg!(feature = "bedside");
/// Narrower than this, fields stand one below the other.
const NARROW: f32 = 700.0;
/// A field's width where there is room for it.
const FIELD: f32 = 460.0;

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

/// The lessons there are.
pub fn show(c: &mut Canvas<'_>, practice: &Practice) {
    let w = c.lang();
    c.row(|c| {
        c.strong(w.plain(id!("practice-title")), size::TITLE, c.roles.ink);
        if c.finger(w.plain(id!("practice-listen-first")), Emphasis::Act) {
            act(c, PractiseAct::ListenFirst);
        }
        if BESIDE && c.finger(w.plain(id!("practice-visits")), Emphasis::Plain) {
            c.act(Action::Go(Screen::Visits));
        }
        if !BESIDE && c.finger(w.plain(id!("practice-save-class")), Emphasis::Plain) {
            act(c, PractiseAct::ClassFile);
        }
        if c.finger(w.plain(id!("practice-try")), Emphasis::Plain) {
            act(c, PractiseAct::Try(TryAct::Begin));
        }
        if c.finger(w.plain(id!("practice-class")), Emphasis::Plain) {
            act(c, PractiseAct::Class(ClassAct::Open));
        }
    });
    c.words(w.plain(id!("practice-begin-here")), size::BODY, c.roles.quiet);
    c.panel(|c| own_lesson(c, practice));
    course(c, practice);
    curve(c, practice);
    teachers(c, practice);
}

/// A lesson or sealed examination from a teacher's file, and live sound.
fn teachers(c: &mut Canvas<'_>, practice: &Practice) {
    c.panel(|c| {
        let w = c.lang();
        c.strong(w.plain(id!("practice-from-teacher")), size::BODY, c.roles.ink);
        let wide = FIELD.min(c.ui.available_width() - 24.0);
        if BESIDE {
            let mut file = practice.file.clone();
            if c.field(w.plain(id!("practice-file")), &mut file, wide).changed() {
                act(c, PractiseAct::File(file));
            }
        } else {
            let said = match practice.file.is_empty() {
                true => w.plain(id!("practice-file-none")).to_owned(),
                false => say!(w, "practice-file-given", name = practice.file),
            };
            c.words(&said, size::BODY, c.roles.quiet);
            if c.finger(w.plain(id!("practice-open-file")), Emphasis::Plain) {
                act(c, PractiseAct::AskFile);
            }
        }
        let mut code = practice.code.clone();
        let name = w.plain(id!("practice-code"));
        if c.field(name, &mut code, 260.0_f32.min(wide)).changed() {
            act(c, PractiseAct::Code(code));
        }
        c.row(|c| {
            if c.finger(w.plain(id!("practice-begin-file")), Emphasis::Plain) {
                act(c, PractiseAct::BeginFile);
            }
            if BESIDE && c.finger(w.plain(id!("practice-live")), Emphasis::Plain) {
                act(c, PractiseAct::BeginLive);
            }
            if c.finger(w.plain(id!("practice-seal")), Emphasis::Plain) {
                act(c, PractiseAct::Seal);
            }
        });
    });
}

/// The teacher's word, where an examination is set.
fn word(c: &mut Canvas<'_>, practice: &Practice) {
    if practice.feedback != Feedback::Hidden && !practice.asks_word {
        return;
    }
    let mut word = practice.word.clone();
    let w = c.lang();
    if c.secret(w.plain(id!("practice-word")), &mut word, 300.0).changed() {
        act(c, PractiseAct::Word(word));
    }
    c.words(w.plain(id!("practice-word-help")), size::SMALL, c.roles.quiet);
}

/// A lesson of one's own choosing.
fn own_lesson(c: &mut Canvas<'_>, practice: &Practice) {
    let w = c.lang();
    let fields = |c: &mut Canvas<'_>| {
        let mut student = practice.student.clone();
        let name = w.plain(id!("practice-student"));
        if c.field(name, &mut student, 220.0).changed() {
            act(c, PractiseAct::Student(student));
        }
        let mut seed = practice.seed.clone();
        if c.field(w.plain(id!("practice-seed")), &mut seed, 110.0).changed() {
            act(c, PractiseAct::Seed(seed));
        }
    };
    if c.ui.available_width() < NARROW {
        c.column(fields)
    } else {
        c.row(fields)
    }
    c.row(|c| {
        for kind in CaseKind::ALL {
            if c.choice(kind.said(w), practice.kind == kind) {
                act(c, PractiseAct::Kind(kind));
            }
        }
    });
    c.words(practice.kind.task(w), size::BODY, c.roles.quiet);
    word(c, practice);
    c.row(|c| {
        if !matches!(practice.kind, CaseKind::RisingNoise | CaseKind::WholeVisit) {
            for count in COUNTS {
                let text = say!(w, "practice-drills", count = count);
                if c.choice(&text, practice.count == count) {
                    act(c, PractiseAct::Count(count));
                }
            }
        }
        for feedback in Feedback::ALL {
            if c.choice(feedback.said(w), practice.feedback == feedback) {
                act(c, PractiseAct::Feedback(feedback));
            }
        }
        if c.choice(w.plain(id!("practice-two-ears")), practice.two_ears) {
            act(c, PractiseAct::TwoEars(!practice.two_ears));
        }
        let least = vec2(240.0, size::TARGET);
        if c.target(w.plain(id!("practice-begin")), "", least, Emphasis::Act) {
            act(c, PractiseAct::Begin);
        }
    });
}

/// What to practise next and why, and the day's lesson.
fn course(c: &mut Canvas<'_>, practice: &Practice) {
    let Some(state) = &practice.course else { return };
    c.panel(|c| {
        let w = c.lang();
        let title = say!(w, "practice-course", student = practice.student.trim());
        c.strong(&title, size::BODY, c.roles.ink);
        state.said(w).iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
        let due = state.due.iter().map(|due| {
            let mut when = match due.at {
                Some(at) => say!(w, "practice-due", day = short_day(w, at)),
                None => w.plain(id!("practice-not-begun")).to_owned(),
            };
            if let Some(s) = due.share {
                when = say!(w, "practice-due-share", when = when, right = s.right, count = s.of);
            }
            say!(w, "practice-due-line", kind = due.kind.said(w), when = when)
        });
        c.words(&due.collect::<Vec<_>>().join("; "), size::SMALL, c.roles.quiet);
        c.row(|c| {
            if c.target(
                w.plain(id!("practice-today")),
                "",
                vec2(200.0, size::TARGET),
                Emphasis::Plain,
            ) {
                act(c, PractiseAct::BeginCourse);
            }
            if c.finger(w.plain(id!("practice-my-page")), Emphasis::Plain) {
                act(c, PractiseAct::OwnPage);
            }
        });
    });
}

/// How this student's taps have changed.
fn curve(c: &mut Canvas<'_>, practice: &Practice) {
    let stretches = &practice.curve;
    if stretches.is_empty() {
        return;
    }
    c.panel(|c| {
        let w = c.lang();
        let name = say!(w, "practice-curve", student = practice.student);
        c.strong(&name, size::BODY, c.roles.ink);
        let known = stretches.iter().filter_map(|sum| {
            let (mean, sd) = (sum.bias_ms?, sum.sd_ms?);
            Some((mean, 1.96 * sd / (sum.scored as f64).sqrt()))
        });
        let known: Vec<(f64, f64)> = known.collect();
        if known.len() > 1 {
            let space = vec2(c.ui.available_width(), 150.0);
            let rect = c.named_space(space, w.plain(id!("practice-curve-name")));
            progress::lag(&c.pen(rect), &known);
        }
        stretches.iter().for_each(|sum| c.words(&summed(w, sum), size::BODY, c.roles.ink));
    });
}
