//! The screens of practice: which of them stands now, and the patient in one's hands.

use eframe::egui::{Rect, Slider, Vec2, vec2};

use super::canvas::Canvas;
use super::{class_view, heard_again, lesson_over, lessons, listen_first, tried};
use crate::practice::cases::{CaseKind, NOTHING, answer_said, choices};
use crate::practice::named;
use crate::window::model::action::{Action, PractiseAct, Work};
use crate::window::model::answers::Who;
use crate::window::model::drill::Drilling;
#[cfg(feature = "bedside")]
use crate::window::model::given::GivenFile;
use crate::window::model::practice::Practice;
use crate::window::model::running::Running;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, Overlay, Pen};
use crate::window::paint::theme::size;
use crate::words::{Words, id, say};

/// Beside the rest of the window; otherwise practice is all there is.
const BESIDE: bool = cfg!(feature = "bedside");
/// Narrower than this, what is worked by hands stands below the gauge, with a pad for digits.
const NARROW: f32 = 700.0;
/// Lower than this, all that is worked by hands would not fit at a glove's size.
const SMALL: f32 = 620.0;
/// A screen lower than this has the tap's target at this height, and beside it this much for the other.
const SHORT: f32 = 700.0;
const LOW: f32 = 72.0;
const BESIDE_TAP: f32 = 210.0;

pub fn show(c: &mut Canvas<'_>, practice: &Practice) {
    #[cfg(feature = "bedside")]
    given(c);
    if let Some(said) = &practice.said {
        c.strong(&said.said(c.lang()), size::BODY, c.roles.act);
    }
    // Each screen is scrolled for itself: else a drill would begin where the list before it was left.
    let stage = practice.running.as_ref().map(|r| (r.over, r.session.drills.len()));
    let listened = practice.listen.as_ref().map(|listen| listen.step);
    let height = c.ui.available_height();
    let besides = (practice.class.is_some(), practice.tried.is_some());
    c.scroll(("lesson", stage, listened, besides), |c| match &practice.running {
        _ if practice.class.is_some() => {
            practice.class.iter().for_each(|class| class_view::show(c, class));
        }
        _ if practice.tried.is_some() => {
            practice.tried.iter().for_each(|tried| tried::show(c, practice, tried));
        }
        _ if practice.listen.is_some() => {
            practice.listen.iter().for_each(|listen| listen_first::show(c, listen));
        }
        None => lessons::show(c, practice),
        Some(running) if running.over => lesson_over::show(c, running),
        Some(running) => {
            if let Some(drill) = &running.drill {
                in_hand(c, running, drill, height);
            }
        }
    });
}

/// Files that were dropped here; a browser's page takes its own.
#[cfg(feature = "bedside")]
fn given(c: &mut Canvas<'_>) {
    let dropped = c.ui.input(|input| input.raw.dropped_files.clone());
    for file in dropped {
        act(c, PractiseAct::Given(GivenFile::at(file.path().to_owned())));
    }
}

fn act(c: &mut Canvas<'_>, what: PractiseAct) {
    c.act(Action::Practise(what));
}

fn in_hand(c: &mut Canvas<'_>, running: &Running, drill: &Drilling, height: f32) {
    let told = drill.outcome.is_some();
    // After the last reading of a drill the session already counts it.
    let number = running.session.drills.len() + usize::from(!told);
    let narrow = c.ui.available_width() < NARROW;
    let w = c.lang();
    let title = title(w, running, number, narrow);
    c.row(|c| {
        c.strong(&title, if narrow { size::BODY } else { size::TITLE }, c.roles.ink);
        if c.finger(w.plain(id!("drill-silence")), Emphasis::Plain) {
            act(c, PractiseAct::Hush);
        }
        if c.finger(w.plain(id!("drill-end")), Emphasis::Plain) {
            act(c, PractiseAct::End);
        }
    });
    let kind = drill.set.kind;
    let named = match kind {
        CaseKind::WholeVisit => format!("{}. ", named::case_named(w, kind, &drill.set.name)),
        _ => String::new(),
    };
    // On a telephone hands need the room; the task was read where the lesson was chosen.
    if !narrow || !kind.has_return() {
        let task = named + drill.task(w);
        c.words(&task, size::BODY, c.roles.ink);
        c.words(&drill.output.said(w), size::SMALL, c.roles.quiet);
    } else if !named.is_empty() {
        c.words(&named, size::BODY, c.roles.ink);
    }
    // Its line is kept free, so that nothing moves under a finger when the patient speaks.
    if drill.has_cuff() && kind.has_return() && !told && !narrow {
        c.strong(drill.says.map_or(" ", |id| w.plain(id)), size::SENTENCE, c.roles.act);
    }
    match &drill.outcome {
        Some(_) if running.tells_now() => outcome(c, drill),
        Some(_) => c.words(w.plain(id!("drill-kept")), size::SENTENCE, c.roles.ink),
        None => hands(c, drill, height),
    }
    if told {
        let least = vec2(240.0, size::GLOVE);
        if c.target(w.plain(id!("drill-next")), "Enter", least, Emphasis::Act) {
            act(c, PractiseAct::Enter);
        }
    }
}

/// The lesson, and which of its drills this is.
fn title(w: Words, running: &Running, number: usize, narrow: bool) -> String {
    let lesson = named::lesson(w, &running.lesson.name);
    let count = running.lesson.drills.len();
    match &running.stairs {
        // On a telephone the two targets stand beside it.
        None if narrow && !running.live => {
            say!(w, "drill-number", number = number, count = count)
        }
        None if running.live => lesson.to_owned(),
        Some(_) => say!(w, "drill-title-open", lesson = lesson, number = number),
        None => say!(w, "drill-title", lesson = lesson, number = number, count = count),
    }
}

/// Gauge, bulb, valve, tap and reading; where nothing is played, the picture stands in for the ear below the gauge.
fn hands(c: &mut Canvas<'_>, drill: &Drilling, height: f32) {
    let wide = c.ui.available_width();
    if wide < NARROW {
        // The gauge leaves room for bulb, tap and digits on a telephone; what is said stands beside it.
        let side = if height < SHORT { 108.0 } else { (height * 0.24).min(wide * 0.5) };
        c.line_top(|c| {
            gauge(c, drill, vec2(side, side));
            c.column(|c| beside_gauge(c, drill));
        });
        unheard_sound(c, drill, vec2(wide, height * 0.2));
        return at_hand(c, drill, height.min(SMALL - 1.0));
    }
    c.line_top(|c| {
        let width = (wide * 0.36).clamp(280.0, 460.0);
        let unheard = !drill.plays() && !drill.is_live();
        let side = if unheard { width.min(height * 0.40) } else { width };
        if unheard || has_gauge(drill) {
            c.column(|c| eye(c, drill, (vec2(width, side), height * 0.28)));
        }
        c.column(|c| at_hand(c, drill, height));
    });
}

/// The gauge, and the picture below it where nothing is played: the gauge's room, and the picture's height.
fn eye(c: &mut Canvas<'_>, drill: &Drilling, (room, picture): (Vec2, f32)) {
    gauge(c, drill, room);
    unheard_sound(c, drill, vec2(room.x, picture));
}

/// Whether a needle is looked at here.
fn has_gauge(drill: &Drilling) -> bool {
    drill.asks_reading() && !drill.is_live() && drill.set.kind.has_return()
}

fn gauge(c: &mut Canvas<'_>, drill: &Drilling, room: Vec2) {
    if has_gauge(drill) {
        let rect = c.named_space(room, c.lang().plain(id!("drill-gauge")));
        let round = Rect::from_center_size(rect.center(), Vec2::splat(room.min_elem()));
        // The place is kept while a recording's needle is not known yet.
        drill.gauge_mmhg().iter().for_each(|mmhg| plot::gauge(&c.pen(round), *mmhg));
    }
}

/// On a telephone: what the patient says, and what is asked, where nothing moves under a finger.
fn beside_gauge(c: &mut Canvas<'_>, drill: &Drilling) {
    if !drill.set.kind.has_return() {
        return;
    }
    let w = c.lang();
    c.words(drill.set.kind.said(w), size::SMALL, c.roles.quiet);
    c.strong(drill.says.map_or("", |id| w.plain(id)), size::BODY, c.roles.act);
    tapped(c, drill);
    if drill.tapped(Who::Student) || drill.tapped(Who::Teacher) {
        c.words(asked(w, drill), size::BODY, c.roles.quiet);
    }
}

/// Bulb, valve, tap and reading; or the words to choose from.
fn at_hand(c: &mut Canvas<'_>, drill: &Drilling, height: f32) {
    let offered = choices(drill.set.kind);
    if drill.has_cuff() && offered.is_empty() {
        cuff(c, drill, height);
    }
    if offered.is_empty() {
        return tap_and_read(c, drill);
    }
    c.row(|c| {
        for &word in offered {
            let said = answer_said(c.lang(), word);
            if c.target(said, "", vec2(170.0, size::GLOVE), Emphasis::Act) {
                act(c, PractiseAct::Work(Work::Say(word)));
            }
        }
    });
}

/// Bulb and valve.
fn cuff(c: &mut Canvas<'_>, drill: &Drilling, height: f32) {
    let w = c.lang();
    c.row(|c| {
        let narrow = c.ui.available_width() < NARROW;
        let wide = if narrow { 100.0 } else { 150.0 };
        let least = vec2(wide, if height < SMALL { size::TARGET } else { size::GLOVE });
        for (text, key, what) in [
            (id!("drill-squeeze"), "B", PractiseAct::Work(Work::Squeeze)),
            (id!("drill-let-go"), "Esc", PractiseAct::Work(Work::Valve(1.0))),
            (id!("drill-shut"), "S", PractiseAct::Work(Work::Valve(0.0))),
        ] {
            if c.target(w.plain(text), if narrow { "" } else { key }, least, Emphasis::Plain) {
                act(c, what);
            }
        }
    });
    let narrow = c.ui.available_width() < NARROW;
    if narrow || !BESIDE {
        c.row(|c| {
            for (text, key, by) in [
                (id!("drill-open-more"), id!("drill-key-up"), 1),
                (id!("drill-close-little"), id!("drill-key-down"), -1),
            ] {
                let key = if narrow { "" } else { w.plain(key) };
                if c.target(w.plain(text), key, vec2(110.0, size::TARGET), Emphasis::Plain) {
                    act(c, PractiseAct::Work(Work::Turn(by)));
                }
            }
            if narrow {
                let open = format!("{:.0} %", 100.0 * drill.valve);
                c.words(&open, size::BODY, c.roles.quiet);
            }
        });
    }
    if !narrow {
        valve(c, drill);
    }
}

fn valve(c: &mut Canvas<'_>, drill: &Drilling) {
    c.line(|c| {
        let label = c.ui.label(c.desk.words.plain(id!("drill-valve")));
        let mut open = drill.valve * 100.0;
        c.ui.spacing_mut().slider_width = 220.0;
        let slider =
            Slider::new(&mut open, 0.0..=100.0).step_by(1.0).fixed_decimals(0).suffix(" %");
        if c.ui.add(slider).labelled_by(label.id).changed() {
            act(c, PractiseAct::Work(Work::Valve(open / 100.0)));
        }
    });
}

fn tap_and_read(c: &mut Canvas<'_>, drill: &Drilling) {
    let w = c.lang();
    let narrow = c.ui.available_width() < NARROW;
    tap(c, drill);
    if !narrow {
        tapped(c, drill);
        c.words(asked(w, drill), size::BODY, c.roles.quiet);
    }
    c.row(|c| {
        if drill.asks_reading() {
            let typed = if drill.typed.is_empty() { "--" } else { &drill.typed };
            c.strong(typed, size::INDEX, c.roles.ink);
        }
        let (key, wide) = if narrow { ("", 100.0) } else { ("Enter", 130.0) };
        if c.target(w.plain(id!("drill-keep")), key, vec2(wide, size::TARGET), Emphasis::Plain) {
            act(c, PractiseAct::Enter);
        }
        let erases = drill.asks_reading() && (narrow || !BESIDE);
        if erases && c.finger(w.plain(id!("drill-erase")), Emphasis::Plain) {
            act(c, PractiseAct::Work(Work::Erase));
        }
    });
    if drill.asks_reading() && (narrow || !BESIDE) {
        pad(c, narrow);
    }
}

/// The targets that are pressed in the moment.
fn tap(c: &mut Canvas<'_>, drill: &Drilling) {
    let (wide, two) = (c.ui.available_width(), drill.has_two_ears());
    let narrow = wide < NARROW;
    // On the smallest telephone all of it must stay in sight.
    let high = if narrow && c.ui.ctx().content_rect().height() < SHORT { LOW } else { size::GLOVE };
    let w = c.lang();
    let key = |key| if narrow { "" } else { key };
    c.row(|c| {
        let least = vec2(if narrow { wide - BESIDE_TAP } else { 190.0 }, high);
        if c.pressed(
            w.plain(id!("drill-tap")),
            key(w.plain(id!("window-key-space"))),
            least,
            Emphasis::Act,
        ) {
            act(c, PractiseAct::Work(Work::Tap(Who::Student)));
        }
        if two && c.pressed(w.plain(id!("drill-teacher-taps")), key("T"), least, Emphasis::Act) {
            act(c, PractiseAct::Work(Work::Tap(Who::Teacher)));
        }
        let least = if narrow { vec2(110.0, high) } else { least };
        if c.target(w.plain(id!("drill-no-pulse")), key("X"), least, Emphasis::Plain) {
            act(c, PractiseAct::Work(Work::Say(NOTHING)));
        }
    });
}

/// Who has tapped.
fn tapped(c: &mut Canvas<'_>, drill: &Drilling) {
    if drill.tapped(Who::Student) {
        c.words(c.lang().plain(id!("drill-tapped")), size::BODY, c.roles.ink);
    }
    if drill.has_two_ears() && drill.tapped(Who::Teacher) {
        c.words(c.lang().plain(id!("drill-teacher-tapped")), size::BODY, c.roles.ink);
    }
}

/// What is asked next.
fn asked(w: Words, drill: &Drilling) -> &'static str {
    w.plain(match drill.reads_next() {
        _ if !drill.asks_reading() => id!("drill-asks-nothing"),
        Some(Who::Student) if drill.has_two_ears() => id!("drill-asks-student"),
        Some(Who::Teacher) => id!("drill-asks-teacher"),
        _ => id!("drill-asks"),
    })
}

/// Digits for a finger; on a telephone in two rows of five.
fn pad(c: &mut Canvas<'_>, narrow: bool) {
    let digits: &[&str] = if narrow { &["12345", "67890"] } else { &["1234567890"] };
    for row in digits {
        c.row(|c| {
            c.ui.spacing_mut().item_spacing.x = 6.0;
            for digit in row.chars() {
                let name = digit.to_string();
                if c.target(&name, "", vec2(size::TARGET, size::TARGET), Emphasis::Plain) {
                    act(c, PractiseAct::Work(Work::Digit(digit)));
                }
            }
        });
    }
}

/// Where nothing is played, the picture stands in for the ear.
fn unheard_sound(c: &mut Canvas<'_>, drill: &Drilling, space: Vec2) {
    if drill.plays() || drill.is_live() {
        return;
    }
    let words = c.lang();
    let rect = c.named_space(space, words.plain(id!("drill-picture")));
    let row_words = words.plain(id!("drill-in-place")).into();
    let overlay = Overlay { row_words, words, ..Overlay::default() };
    let pen = Pen { ui: c.ui, roles: c.roles, rect };
    plot::sound(&pen, &mut c.desk.heard_again, &drill.snapshot, &overlay);
}

fn outcome(c: &mut Canvas<'_>, drill: &Drilling) {
    let Some(told) = &drill.outcome else { return };
    let w = c.lang();
    for (n, said) in told.said(w).iter().enumerate() {
        let points = if n == 0 { size::SENTENCE } else { size::BODY };
        c.words(said, points, c.roles.ink);
    }
    if let Some(heard) = &drill.heard {
        let name = match drill.set.kind.has_return() {
            true => id!("drill-truth-and-tap"),
            false => id!("drill-to-hear"),
        };
        heard_again::show(c, heard, w.plain(name));
        heard_again::if_tapped(c, heard);
    } else if drill.set.kind.has_return() {
        let space = vec2(c.ui.available_width(), 230.0);
        let live = drill.is_live();
        let name = if live { id!("drill-both-taps") } else { id!("drill-truth-and-tap") };
        let rect = c.named_space(space, w.plain(name));
        let overlay = Overlay {
            return_s: told.marks.truth_s,
            return_words: w.plain(if live {
                id!("drill-teachers-tap")
            } else {
                id!("replay-truth")
            }),
            words: w,
            tap_s: told.marks.tap_s,
            row_words: drill.truth_said(w),
            ..Overlay::default()
        };
        let pen = Pen { ui: c.ui, roles: c.roles, rect };
        plot::sound(&pen, &mut c.desk.heard_again, &drill.snapshot, &overlay);
    }
}
