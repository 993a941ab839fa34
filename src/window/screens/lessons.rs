//! Choosing a lesson: one's own, the course's or a teacher's.

use eframe::egui::vec2;

use super::canvas::Canvas;
use super::lesson_over::summed;
use crate::practice::cases::CaseKind;
use crate::practice::lesson::Feedback;
use crate::window::model::action::{Action, ClassAct, PractiseAct, Screen, TryAct};
use crate::window::model::practice::{COUNTS, Practice};
use crate::window::paint::parts::Emphasis;
use crate::window::paint::progress;
use crate::window::paint::theme::size;

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
    c.row(|c| {
        c.strong("Practise", size::TITLE, c.roles.ink);
        if c.finger("Listen first", Emphasis::Act) {
            act(c, PractiseAct::ListenFirst);
        }
        if BESIDE && c.finger("Back to visits", Emphasis::Plain) {
            c.act(Action::Go(Screen::Visits));
        }
        if !BESIDE && c.finger("Save the class file", Emphasis::Plain) {
            act(c, PractiseAct::ClassFile);
        }
        if c.finger("Try it on a sound", Emphasis::Plain) {
            act(c, PractiseAct::Try(TryAct::Begin));
        }
        if c.finger("The class", Emphasis::Plain) {
            act(c, PractiseAct::Class(ClassAct::Open));
        }
    });
    c.words("New to the sound? Listen first: a guided hour without a test. Then drills on simulated patients: listen, work bulb and valve, tap at the first pulse, read the gauge.",
        size::BODY,
        c.roles.quiet,
    );
    c.panel(|c| own_lesson(c, practice));
    course(c, practice);
    curve(c, practice);
    teachers(c, practice);
}

/// A lesson or sealed examination from a teacher's file, and live sound.
fn teachers(c: &mut Canvas<'_>, practice: &Practice) {
    c.panel(|c| {
        c.strong("From the teacher", size::BODY, c.roles.ink);
        let wide = FIELD.min(c.ui.available_width() - 24.0);
        if BESIDE {
            let mut file = practice.file.clone();
            if c.field("Teacher's lesson file", &mut file, wide).changed() {
                act(c, PractiseAct::File(file));
            }
        } else {
            let given = if practice.file.is_empty() { "none yet" } else { &practice.file };
            let said = format!("Teacher's file: {given}. Open it, or drop it on the page.");
            c.words(&said, size::BODY, c.roles.quiet);
            if c.finger("Open a file", Emphasis::Plain) {
                act(c, PractiseAct::AskFile);
            }
        }
        let mut code = practice.code.clone();
        let name = "Opening code, of a sealed examination";
        if c.field(name, &mut code, 260.0_f32.min(wide)).changed() {
            act(c, PractiseAct::Code(code));
        }
        c.row(|c| {
            if c.finger("Begin the teacher's lesson", Emphasis::Plain) {
                act(c, PractiseAct::BeginFile);
            }
            if BESIDE && c.finger("Two listeners, live sound", Emphasis::Plain) {
                act(c, PractiseAct::BeginLive);
            }
            if c.finger("Seal it as an examination", Emphasis::Plain) {
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
    if c.secret("Teacher's word, which opens what is done", &mut word, 300.0).changed() {
        act(c, PractiseAct::Word(word));
    }
    c.words(
        "Typed by the teacher, 12 letters or more. Without it nobody reads the examination.",
        size::SMALL,
        c.roles.quiet,
    );
}

/// A lesson of one's own choosing.
fn own_lesson(c: &mut Canvas<'_>, practice: &Practice) {
    let fields = |c: &mut Canvas<'_>| {
        let mut student = practice.student.clone();
        let name = "Code of the student, never a name";
        if c.field(name, &mut student, 220.0).changed() {
            act(c, PractiseAct::Student(student));
        }
        let mut seed = practice.seed.clone();
        if c.field("Seed (repeats the same cases)", &mut seed, 110.0).changed() {
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
            if c.choice(kind.words(), practice.kind == kind) {
                act(c, PractiseAct::Kind(kind));
            }
        }
    });
    c.words(practice.kind.task(), size::BODY, c.roles.quiet);
    word(c, practice);
    c.row(|c| {
        if !matches!(practice.kind, CaseKind::RisingNoise | CaseKind::WholeVisit) {
            for count in COUNTS {
                let text = format!("{count} drills");
                if c.choice(&text, practice.count == count) {
                    act(c, PractiseAct::Count(count));
                }
            }
        }
        for feedback in Feedback::ALL {
            if c.choice(feedback.words(), practice.feedback == feedback) {
                act(c, PractiseAct::Feedback(feedback));
            }
        }
        if c.choice("two ears", practice.two_ears) {
            act(c, PractiseAct::TwoEars(!practice.two_ears));
        }
        let least = vec2(240.0, size::TARGET);
        if c.target("Begin the lesson", "", least, Emphasis::Act) {
            act(c, PractiseAct::Begin);
        }
    });
}

/// What to practise next and why, and the day's lesson.
fn course(c: &mut Canvas<'_>, practice: &Practice) {
    let Some(state) = &practice.course else { return };
    c.panel(|c| {
        let title = format!("The course of {}", practice.student.trim());
        c.strong(&title, size::BODY, c.roles.ink);
        state.words().iter().for_each(|said| c.words(said, size::BODY, c.roles.ink));
        let due = state.due.iter().map(|due| {
            let day =
                due.at.map_or("not begun".into(), |at| at.strftime("due %Y-%m-%d").to_string());
            let share = due
                .share
                .map_or(String::new(), |s| format!(", {} of the last {} right", s.right, s.of));
            format!("{}: {day}{share}", due.kind.words())
        });
        c.words(&due.collect::<Vec<_>>().join("; "), size::SMALL, c.roles.quiet);
        c.row(|c| {
            if c.target("Today's lesson", "", vec2(200.0, size::TARGET), Emphasis::Plain) {
                act(c, PractiseAct::BeginCourse);
            }
            if c.finger("My page", Emphasis::Plain) {
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
        let name = format!("{} until now, ten drills a line, oldest first", practice.student);
        c.strong(&name, size::BODY, c.roles.ink);
        let known = stretches.iter().filter_map(|sum| {
            let (mean, sd) = (sum.bias_ms?, sum.sd_ms?);
            Some((mean, 1.96 * sd / (sum.scored as f64).sqrt()))
        });
        let known: Vec<(f64, f64)> = known.collect();
        if known.len() > 1 {
            let space = vec2(c.ui.available_width(), 150.0);
            let rect = c.named_space(space, "lag of the taps, with its interval, oldest first");
            progress::lag(&c.pen(rect), &known);
        }
        stretches.iter().for_each(|sum| c.words(&summed(sum), size::BODY, c.roles.ink));
    });
}
