//! The screens of practice: choosing a lesson, the patient in one's hands, and what it came to.

use eframe::egui::{Rect, Slider, Ui, vec2};

use super::model::action::{Action, PractiseAct, Screen, Work};
use super::model::answers::{Who, choices};
use super::model::drill::Drilling;
use super::model::practice::{COUNTS, Practice, Running};
use super::parts::{
    Weight, choice, field, finger, named_space, panel, scroll, strong, target, words,
};
use super::plot::{self, Overlay, Picture};
use super::theme::{Roles, size};
use crate::practice::cases::Kind;
use crate::practice::lesson::Feedback;
use crate::practice::session::Summary;

/// Lower than this, all that is worked by hands would not fit at a glove's size.
const SMALL: f32 = 620.0;

type Out<'a> = &'a mut Vec<Action>;

pub(super) fn show(
    ui: &mut Ui,
    practice: &Practice,
    picture: &mut Picture,
    roles: Roles,
    out: Out<'_>,
) {
    if let Some(said) = &practice.said {
        strong(ui, said, size::BODY, roles.act);
    }
    // Each screen is scrolled for itself: else a drill would begin where the list before it was left.
    let stage = practice.running.as_ref().map(|r| (r.over, r.session.drills.len()));
    let height = ui.available_height();
    scroll(("lesson", stage)).show(ui, |ui| match &practice.running {
        None => choose(ui, practice, roles, out),
        Some(running) if running.over => over(ui, running, roles, out),
        Some(running) => {
            if let Some(drill) = &running.drill {
                in_hand(ui, (running, drill), (picture, height), roles, out);
            }
        }
    });
}

fn act(out: Out<'_>, what: PractiseAct) {
    out.push(Action::Practise(what));
}

fn choose(ui: &mut Ui, practice: &Practice, roles: Roles, out: Out<'_>) {
    ui.horizontal_wrapped(|ui| {
        strong(ui, "Practise", size::TITLE, roles.ink);
        if finger(ui, roles, "Back to visits", Weight::Plain) {
            out.push(Action::Go(Screen::Visits));
        }
        if finger(ui, roles, "Page of the class", Weight::Plain) {
            act(out, PractiseAct::ClassPage);
        }
    });
    words(
        ui,
        "Simulated patients, or recordings of a teacher's. You hear them, work bulb and valve, tap at the first pulse, and read the needle.",
        size::BODY,
        roles.quiet,
    );
    panel(ui, roles, |ui| {
        ui.horizontal_wrapped(|ui| {
            let mut student = practice.student.clone();
            let name = "Code of the student, never a name";
            if field(ui, roles, name, &mut student, 220.0).changed() {
                act(out, PractiseAct::Student(student));
            }
            let mut seed = practice.seed.clone();
            if field(ui, roles, "Seed: the same again", &mut seed, 110.0).changed() {
                act(out, PractiseAct::Seed(seed));
            }
        });
        ui.horizontal_wrapped(|ui| {
            for kind in Kind::ALL {
                if choice(ui, roles, kind.words(), practice.kind == kind) {
                    act(out, PractiseAct::Kind(kind));
                }
            }
        });
        words(ui, practice.kind.task(), size::BODY, roles.quiet);
        ui.horizontal_wrapped(|ui| {
            if !matches!(practice.kind, Kind::RisingNoise | Kind::WholeVisit) {
                for count in COUNTS {
                    let text = format!("{count} drills");
                    if choice(ui, roles, &text, practice.count == count) {
                        act(out, PractiseAct::Count(count));
                    }
                }
            }
            for feedback in Feedback::ALL {
                if choice(ui, roles, feedback.words(), practice.feedback == feedback) {
                    act(out, PractiseAct::Feedback(feedback));
                }
            }
            if choice(ui, roles, "two ears", practice.two_ears) {
                act(out, PractiseAct::TwoEars(!practice.two_ears));
            }
            let least = vec2(240.0, size::TARGET);
            if target(ui, roles, ("Begin the lesson", ""), least, Weight::Act) {
                act(out, PractiseAct::Begin);
            }
        });
    });
    panel(ui, roles, |ui| {
        let mut file = practice.file.clone();
        if field(ui, roles, "Or the file of a teacher's lesson", &mut file, 460.0).changed() {
            act(out, PractiseAct::File(file));
        }
        ui.horizontal_wrapped(|ui| {
            if finger(ui, roles, "Begin the teacher's lesson", Weight::Plain) {
                act(out, PractiseAct::BeginFile);
            }
            if finger(ui, roles, "Two ears on live sound", Weight::Plain) {
                act(out, PractiseAct::BeginLive);
            }
        });
    });
    curve(ui, practice, roles);
}

/// How this student's taps have changed.
fn curve(ui: &mut Ui, practice: &Practice, roles: Roles) {
    let stretches = &practice.curve;
    if stretches.is_empty() {
        return;
    }
    panel(ui, roles, |ui| {
        let name = format!("{} until now, ten drills a line, oldest first", practice.student);
        strong(ui, &name, size::BODY, roles.ink);
        stretches.iter().for_each(|sum| words(ui, &summed(sum), size::BODY, roles.ink));
    });
}

fn summed(sum: &Summary) -> String {
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

fn in_hand(
    ui: &mut Ui,
    (running, drill): (&Running, &Drilling),
    (picture, height): (&mut Picture, f32),
    roles: Roles,
    out: Out<'_>,
) {
    let told = drill.outcome.is_some();
    // After the last reading of a drill the session already counts it.
    let number = running.session.drills.len() + usize::from(!told);
    let title = match &running.stairs {
        None if running.live => running.lesson.name.clone(),
        Some(_) => format!("{}, drill {number}", running.lesson.name),
        None => {
            format!("{}, drill {number} of {}", running.lesson.name, running.lesson.drills.len())
        }
    };
    ui.horizontal_wrapped(|ui| {
        strong(ui, &title, size::TITLE, roles.ink);
        if finger(ui, roles, "Silence", Weight::Plain) {
            act(out, PractiseAct::Hush);
        }
        if finger(ui, roles, "End here", Weight::Plain) {
            act(out, PractiseAct::End);
        }
    });
    let kind = drill.set.kind;
    let named =
        if kind == Kind::WholeVisit { format!("{}. ", drill.set.name) } else { String::new() };
    words(ui, &format!("{named}{}", drill.task()), size::BODY, roles.ink);
    words(ui, &drill.output, size::SMALL, roles.quiet);
    if let Some(says) = drill.says.filter(|_| !told) {
        strong(ui, says, size::SENTENCE, roles.act);
    }
    match &drill.outcome {
        Some(_) if running.tells_now() => outcome(ui, drill, picture, roles),
        Some(_) => words(ui, "Kept.", size::SENTENCE, roles.ink),
        None => hands(ui, drill, (picture, height), roles, out),
    }
    if told {
        let least = vec2(240.0, size::GLOVE);
        if target(ui, roles, ("Next", "Enter"), least, Weight::Act) {
            act(out, PractiseAct::Enter);
        }
    }
}

/// Gauge, bulb, valve, tap and reading; where nothing is played, the picture stands in for the ear below the gauge.
fn hands(
    ui: &mut Ui,
    drill: &Drilling,
    (picture, height): (&mut Picture, f32),
    roles: Roles,
    out: Out<'_>,
) {
    ui.horizontal_top(|ui| {
        let width = (ui.available_width() * 0.36).clamp(280.0, 460.0);
        let unheard = !drill.plays() && !drill.is_live();
        ui.vertical(|ui| {
            let side = if unheard { width.min(height * 0.40) } else { width };
            if drill.asks_reading() && !drill.is_live() {
                let (rect, _) = named_space(ui, vec2(width, side), "gauge");
                let round = Rect::from_center_size(rect.center(), vec2(side, side));
                // The place is kept while a recording's needle is not known yet.
                drill.gauge_mmhg().iter().for_each(|mmhg| plot::gauge(ui, roles, round, *mmhg));
            }
            if unheard {
                unheard_sound(ui, drill, (picture, width, height), roles);
            }
        });
        ui.vertical(|ui| {
            if drill.has_cuff() {
                cuff(ui, (drill, height), roles, out);
            }
            match choices(drill.set.kind) {
                [] => tap_and_read(ui, drill, roles, out),
                offered => {
                    ui.horizontal_wrapped(|ui| {
                        for &word in offered {
                            let least = vec2(170.0, size::GLOVE);
                            if target(ui, roles, (word, ""), least, Weight::Act) {
                                act(out, PractiseAct::Work(Work::Say(word)));
                            }
                        }
                    });
                }
            }
        });
    });
}

/// Bulb and valve.
fn cuff(ui: &mut Ui, (drill, height): (&Drilling, f32), roles: Roles, out: Out<'_>) {
    ui.horizontal_wrapped(|ui| {
        let least = vec2(150.0, if height < SMALL { size::TARGET } else { size::GLOVE });
        for (text, key, what) in [
            ("Squeeze", "B", PractiseAct::Work(Work::Squeeze)),
            ("Let go", "Esc", PractiseAct::Work(Work::Valve(1.0))),
            ("Shut", "S", PractiseAct::Work(Work::Valve(0.0))),
        ] {
            if target(ui, roles, (text, key), least, Weight::Plain) {
                act(out, what);
            }
        }
    });
    ui.horizontal(|ui| {
        let label = ui.label("Valve, Up and Down");
        let mut open = drill.valve * 100.0;
        ui.spacing_mut().slider_width = 220.0;
        let slider =
            Slider::new(&mut open, 0.0..=100.0).step_by(1.0).fixed_decimals(0).suffix(" %");
        if ui.add(slider).labelled_by(label.id).changed() {
            act(out, PractiseAct::Work(Work::Valve(open / 100.0)));
        }
    });
}

fn tap_and_read(ui: &mut Ui, drill: &Drilling, roles: Roles, out: Out<'_>) {
    let two = drill.has_two_ears();
    ui.horizontal_wrapped(|ui| {
        let least = vec2(190.0, size::GLOVE);
        if target(ui, roles, ("Tap", "Space"), least, Weight::Act) {
            act(out, PractiseAct::Work(Work::Tap(Who::Student)));
        }
        if two && target(ui, roles, ("Teacher taps", "T"), least, Weight::Act) {
            act(out, PractiseAct::Work(Work::Tap(Who::Teacher)));
        }
        if target(ui, roles, ("Nothing came back", "X"), least, Weight::Plain) {
            act(out, PractiseAct::Work(Work::Say("nothing")));
        }
    });
    if drill.tapped(Who::Student) {
        words(ui, "Tapped. The last tap counts.", size::BODY, roles.ink);
    }
    if two && drill.tapped(Who::Teacher) {
        words(ui, "The teacher has tapped.", size::BODY, roles.ink);
    }
    let whose = match drill.reads_next() {
        _ if !drill.asks_reading() => "Of this recording the needle is not known: Enter ends it",
        Some(Who::Student) if two => "The student's reading, then Enter",
        Some(Who::Teacher) => "The teacher's reading, then Enter",
        _ => "What the needle showed, then Enter",
    };
    words(ui, whose, size::BODY, roles.quiet);
    ui.horizontal_wrapped(|ui| {
        if drill.asks_reading() {
            let typed = if drill.typed.is_empty() { "--" } else { &drill.typed };
            strong(ui, typed, size::INDEX, roles.ink);
        }
        if target(ui, roles, ("Keep", "Enter"), vec2(130.0, size::TARGET), Weight::Plain) {
            act(out, PractiseAct::Enter);
        }
    });
}

fn unheard_sound(
    ui: &mut Ui,
    drill: &Drilling,
    (picture, width, height): (&mut Picture, f32, f32),
    roles: Roles,
) {
    let (rect, _) = named_space(ui, vec2(width, height * 0.28), "the sound as a picture");
    let row_words = "the last 12 s, in place of the sound".into();
    let overlay = Overlay { row_words, ..Overlay::default() };
    plot::sound(ui, roles, rect, (picture, &drill.snapshot), &overlay);
}

fn outcome(ui: &mut Ui, drill: &Drilling, picture: &mut Picture, roles: Roles) {
    let Some(told) = &drill.outcome else { return };
    if drill.set.kind.has_return() {
        let space = vec2(ui.available_width(), 230.0);
        let live = drill.is_live();
        let name =
            if live { "the sound with both taps" } else { "the sound with the truth and your tap" };
        let (rect, _) = named_space(ui, space, name);
        let overlay = Overlay {
            return_s: told.marks.truth_s,
            return_words: if live { "the teacher's tap" } else { "first pulse, in truth" },
            tap_s: told.marks.tap_s,
            row_words: drill.truth_words(),
            ..Overlay::default()
        };
        plot::sound(ui, roles, rect, (picture, &drill.snapshot), &overlay);
    }
    for (n, said) in told.words.iter().enumerate() {
        let points = if n == 0 { size::SENTENCE } else { size::BODY };
        words(ui, said, points, roles.ink);
    }
}

fn over(ui: &mut Ui, running: &Running, roles: Roles, out: Out<'_>) {
    strong(ui, &format!("{}: over", running.lesson.name), size::TITLE, roles.ink);
    if running.lesson.feedback == Feedback::Hidden {
        words(ui, "An examination: its page is for the teacher.", size::SENTENCE, roles.ink);
    } else {
        panel(ui, roles, |ui| {
            strong(ui, &summed(&running.summary()), size::BODY, roles.ink);
            if let Some(found) = running.session.threshold {
                let text = format!(
                    "In noise you find the return in 70.7 % of trials at {:.1} dB of signal over noise ({} trials; two down, one up: Levitt 1971).",
                    found.snr_db, found.trials
                );
                words(ui, &text, size::BODY, roles.ink);
            }
            running.indexes.iter().for_each(|leg| words(ui, &leg.words(), size::BODY, roles.ink));
            for done in &running.session.drills {
                let said = match (&done.score, &done.no_score, &done.right) {
                    (Some(score), ..) => score.words().join(" "),
                    (None, Some(why), _) => why.clone() + ".",
                    (None, None, Some(right)) => {
                        format!(
                            "You said {}; it was {right}.",
                            done.answer.as_deref().unwrap_or("nothing")
                        )
                    }
                    _ => String::new(),
                };
                words(ui, &format!("{}: {said}", done.case), size::BODY, roles.quiet);
            }
        });
    }
    if target(ui, roles, ("Done", "Enter"), vec2(200.0, size::GLOVE), Weight::Act) {
        act(out, PractiseAct::End);
    }
}
