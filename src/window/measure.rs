//! Site by site: one large sentence, the sound, one tap, one reading.

use eframe::egui::{Align2, Rect, Role, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use super::app::Desk;
use super::model::Model;
use super::model::action::Action;
use super::model::choices::Say;
use super::model::visit::Held;
use super::now::Now;
use super::parts::{Weight, banner, finger, panel, strong, target, words};
use super::plot::{self, Overlay};
use super::sentence::sentence;
use super::theme::{self, Roles, size};
use crate::clinical::event::{Made, Stage, WaveformWord};
use crate::clinical::site::{Artery, Site};
use crate::conduct::{AtSite, CurrentAttempt, Ended, Field, wording};

/// The stages in words, in order.
const STAGES: [(Stage, &str); 4] = [
    (Stage::Find, "Find"),
    (Stage::Inflate, "Close"),
    (Stage::Release, "Release"),
    (Stage::Read, "Read"),
];

/// Reasons for not measuring, in one touch (common practice).
const REASONS: [&str; 5] =
    ["wound or dressing", "too painful", "patient declines", "no cuff fits", "no time"];

/// How an artery sounds, in the clinician's word, with its key.
const WORDS: [(WaveformWord, &str, &str); 5] = [
    (WaveformWord::Multiphasic, "multiphasic", "M"),
    (WaveformWord::Monophasic, "monophasic", "O"),
    (WaveformWord::Damped, "damped", "D"),
    (WaveformWord::Absent, "absent", "A"),
    (WaveformWord::Unclear, "unclear", "U"),
];

/// For how long a word of the listener at the return is shown, seconds.
const LIT_S: f64 = 2.0;

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    desk: &mut Desk,
    (roles, now): (Roles, Now),
    out: &mut Vec<Action>,
) {
    let Some(held) = &model.visit.held else { return };
    let Some(at) = held.conduct.current() else { return };
    let now_s = held.clock_s(now.at);
    let small = ui.available_height() < 640.0;
    // On a small screen the sentence says where it stands; one target leads the stage on.
    if !small {
        stages(ui, at, roles, out);
    }
    let site_points = if small { size::TITLE } else { size::SITE };
    strong(ui, &sentence(&at.site.to_string()), site_points, roles.ink);
    let Some(prompt) = held.conduct.prompt(now_s).map(wording::prompt) else { return };
    let colour = if at.stopped { roles.act } else { roles.ink };
    strong(ui, &prompt.now, if small { 20.0 } else { size::SENTENCE }, colour);
    let wait_s = held.conduct.wait_s(at.site, now_s, model.choices.wait_s());
    let more = match (at.stage(), wait_s) {
        (Some(Stage::Find), 1..) => format!("Wait {wait_s} s before pumping this limb again."),
        (Some(Stage::Find), 0) => format!("{} {}", prompt.more, place(at.site)),
        _ => prompt.more,
    };
    words(ui, &more, if small { size::SMALL } else { size::BODY }, roles.quiet);
    said(ui, held, now_s, roles);
    let foot = if small { 296.0 } else { 300.0 };
    let rest = ui.available_rect_before_wrap();
    let split = (rest.bottom() - foot).max(rest.top() + 80.0);
    let (above, below) = rest.split_top_bottom_at_y(split);
    sound(ui, (model, held, at), desk, above.shrink2(vec2(0.0, 4.0)), (roles, now_s), out);
    ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            panel(ui, roles, |ui| acts(ui, at, (small, now_s), roles, out));
        });
    });
}

/// Where the stage stands; a touch sets it.
fn stages(ui: &mut Ui, at: &CurrentAttempt, roles: Roles, out: &mut Vec<Action>) {
    let now = at.stage();
    let done = |stage: Stage| now.is_some_and(|now| (stage as u8) < now as u8);
    ui.horizontal(|ui| {
        for (stage, word) in STAGES {
            let here = now == Some(stage);
            let text = if here { format!("now: {word}") } else { word.to_owned() };
            let name = if here {
                format!("stage {word}, now")
            } else if done(stage) {
                format!("stage {word}, done")
            } else {
                format!("stage {word}")
            };
            if super::parts::choice_named(ui, roles, (&text, &name), here) {
                out.push(Action::Site(AtSite::SetStage(stage)));
            }
        }
    });
}

/// Where the artery is found, for whoever needs it (common practice; for the arm NICE NG136 names the brachial artery).
fn place(site: Site) -> &'static str {
    match site.artery {
        Artery::Brachial => {
            "Inner side of the elbow's crease. Gel, probe at about 45 to 60 degrees."
        }
        Artery::DorsalisPedis => {
            "Top of the foot, beside the big toe's tendon. Cuff just above the malleoli."
        }
        Artery::PosteriorTibial => "Behind the medial malleolus. Cuff just above the malleoli.",
        Artery::Peroneal => "In front of the lateral malleolus. Cuff just above the malleoli.",
        Artery::GreatToe => "",
    }
}

/// What is asked, what was not taken, what is amiss.
fn said(ui: &mut Ui, held: &Held, now_s: f64, roles: Roles) {
    let Some(current) = held.conduct.current() else { return };
    let question = current.question.map(wording::question);
    if let Some(text) = question.or_else(|| current.notice.as_ref().map(wording::notice)) {
        strong(ui, &text, size::BODY, roles.act);
        return;
    }
    let warnings = held.conduct.warnings(now_s).into_iter().filter_map(wording::warning);
    warnings.take(2).for_each(|warning| words(ui, &warning, size::BODY, roles.act));
}

/// The sound. It is one large target for the tap.
fn sound(
    ui: &mut Ui,
    (model, held, at): (&Model, &Held, &CurrentAttempt),
    desk: &mut Desk,
    rect: Rect,
    (roles, now_s): (Roles, f64),
    out: &mut Vec<Action>,
) {
    let gauge = model.listening.gauge_mmhg().map(|mmhg| {
        let side = rect.height().min(rect.width() * 0.28);
        (mmhg, Rect::from_min_max(pos2(rect.right() - side, rect.top()), rect.max))
    });
    let picture = match gauge {
        Some((_, gauge)) => Rect::from_min_max(rect.min, pos2(gauge.left() - 12.0, rect.bottom())),
        None => rect,
    };
    let response = ui.interact(picture, ui.scope_id().with("sound"), Sense::click());
    let heard = at.course.pulses().len();
    let name = format!("The sound. Touch it to tap. {heard} beats heard here.");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let pressed = ui.input(|i| i.pointer.primary_pressed()) && response.contains_pointer();
    let by_name = response.clicked() && !ui.input(|i| i.pointer.any_released());
    if pressed || by_name {
        out.push(Action::Site(AtSite::Tap(Made::Pointer)));
    }
    let overlay = overlay(model, held, at, now_s);
    plot::sound(ui, roles, picture, (&mut desk.picture, &model.listening.snapshot), &overlay);
    if let Some((mmhg, rect)) = gauge {
        plot::gauge(ui, roles, rect, mmhg);
        let response = ui.interact(rect, ui.scope_id().with("gauge"), Sense::hover());
        let name = format!("Simulated gauge: {mmhg:.0} mmHg");
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    }
}

/// What is drawn over the sound, on the stream's own clock. What the listener found of the return stays hidden until
/// the reading is kept, so that the ear decides alone.
fn overlay(model: &Model, held: &Held, at: &CurrentAttempt, now_s: f64) -> Overlay {
    let ahead_s = held.conduct.stream().map_or(0.0, |s| s.ahead_s);
    let in_sound = |at_s: f64| at_s - ahead_s;
    let tap_s = at.course.tap_s();
    let told = at.ended.is_some() || model.choices.say() != Say::Nothing;
    let until_s = if told { f64::INFINITY } else { tap_s.unwrap_or(f64::INFINITY) };
    let released = at.course.stage() == Stage::Release || at.course.stage() == Stage::Read;
    let hidden = |beat_s: f64| {
        !told
            && released
            && at.course.lost_s().is_some_and(|lost_s| beat_s > lost_s)
            && beat_s < until_s
    };
    let beats = at.course.pulses().iter().filter(|b| !hidden(b.0));
    let lit = model.choices.say() != Say::Nothing
        && at.ended.is_none()
        && at.course.cue_s().is_some_and(|cue_s| (0.0..LIT_S).contains(&(now_s - cue_s)));
    Overlay {
        beats: beats.map(|(s, db)| (in_sound(*s), *db)).collect(),
        lost_s: at.course.lost_s().map(in_sound),
        return_words: "",
        return_s: at.course.return_s().filter(|_| told).map(in_sound),
        tap_s: tap_s.map(in_sound),
        cursor_s: None,
        row_words: String::new(),
        lit,
    }
}

fn acts(
    ui: &mut Ui,
    at: &CurrentAttempt,
    (small, now_s): (bool, f64),
    roles: Roles,
    out: &mut Vec<Action>,
) {
    if at.asking_why {
        return reasons(ui, roles, out);
    }
    match &at.ended {
        Some(ended) if !at.correcting => after(ui, (at, now_s), ended, roles, out),
        _ => entry(ui, at, small, roles, out),
    }
}

fn reasons(ui: &mut Ui, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for (n, reason) in (1..).zip(REASONS) {
            let key = n.to_string();
            if target(ui, roles, (reason, &key), vec2(170.0, size::GLOVE), Weight::Plain) {
                out.push(Action::Site(AtSite::NotMeasured(reason.into())));
            }
        }
        if target(ui, roles, ("Back", "K"), vec2(100.0, size::GLOVE), Weight::Plain) {
            out.push(Action::Site(AtSite::AskWhy));
        }
    });
}

/// The reason of a key while one is asked for.
pub(super) fn reason(key: char) -> Option<&'static str> {
    let n = key.to_digit(10)? as usize;
    REASONS.get(n.checked_sub(1)?).copied()
}

/// The reading that is typed, and what is done with it.
fn entry(ui: &mut Ui, at: &CurrentAttempt, small: bool, roles: Roles, out: &mut Vec<Action>) {
    let pumped = at.field() == Field::InflatedTo;
    let name = if pumped { "Inflated to (if you like)" } else { "Needle at the tap" };
    words(ui, name, size::SMALL, roles.quiet);
    ui.horizontal(|ui| {
        typed(ui, at, if small { 72.0 } else { size::READING }, roles);
        words(ui, "mmHg", size::BODY, roles.quiet);
        gloved(ui, at, (small, pumped), roles, out);
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = if small { size::GRID } else { 2.0 * size::GRID };
        // On a small screen the decimal mark is typed only.
        let digits = if small { "1234567890" } else { "1234567890," };
        for digit in digits.chars() {
            if finger(ui, roles, &digit.to_string(), Weight::Plain) {
                out.push(Action::Site(AtSite::Digit(digit)));
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = if small { size::GRID } else { 2.0 * size::GRID };
        for (text, key, action) in [
            ("Erase", "", AtSite::Erase),
            ("No signal", "X", AtSite::NoSignal),
            ("Not compressible", "C", AtSite::NotCompressible),
            ("Not measured", "K", AtSite::AskWhy),
            ("Undo", "Z", AtSite::Undo),
            ("Ten", "N", AtSite::NeedleMark),
        ] {
            if target(ui, roles, (text, key), vec2(size::TARGET, size::TARGET), Weight::Plain) {
                out.push(Action::Site(action));
            }
        }
        if small && finger(ui, roles, "Stage on", Weight::Plain) {
            out.push(Action::Site(AtSite::StageOn));
        }
    });
}

/// What is typed so far, as large as anything on the screen.
fn typed(ui: &mut Ui, at: &CurrentAttempt, points: f32, roles: Roles) {
    let space = vec2(points * 1.95, points * 0.86);
    let (rect, shown) = ui.allocate_exact_size(space, Sense::hover());
    let (text, font, ink) = match at.entry.is_empty() {
        false => (at.entry.text(), theme::bold(points), roles.ink),
        true => ("not yet", theme::plain(size::SENTENCE), roles.quiet),
    };
    ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, text, font, ink);
    let name = format!("Typed: {text}");
    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
}

/// What is done in gloves.
fn gloved(
    ui: &mut Ui,
    at: &CurrentAttempt,
    (small, pumped): (bool, bool),
    roles: Roles,
    out: &mut Vec<Action>,
) {
    let glove = vec2(if small { 98.0 } else { 124.0 }, size::GLOVE);
    let waits = at.stage() == Some(Stage::Release) && at.course.tap_s().is_none();
    let tap = if waits { Weight::Act } else { Weight::Plain };
    let keep = if !pumped && !at.entry.is_empty() { Weight::Act } else { Weight::Plain };
    for (text, key, weight, action) in [
        ("Tap", "Space", tap, AtSite::Tap(Made::Pointer)),
        (if pumped { "Set" } else { "Keep" }, "Enter", keep, AtSite::Enter),
        ("Stop", "Esc", Weight::Plain, AtSite::Stop),
        ("Repeat", "R", Weight::Plain, AtSite::Repeat),
    ] {
        if target(ui, roles, (text, key), glove, weight) {
            out.push(Action::Site(action));
        }
    }
}

/// After a reading was kept: the comparison, the word for the sound, the way on.
fn after(
    ui: &mut Ui,
    (at, now_s): (&CurrentAttempt, f64),
    ended: &Ended,
    roles: Roles,
    out: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        strong(ui, &format!("Kept: {}", wording::ended(ended)), size::SENTENCE, roles.ink);
    });
    let said = match (&ended.comparison, ended.reading()) {
        (Some(comparison), _) => wording::comparison(comparison),
        (None, Some(_)) if at.course.tap_s().is_none() => {
            "Without a tap: the interval is wider.".into()
        }
        (None, Some(_)) => {
            "The listener has heard no return here: the reading stands as yours.".into()
        }
        (None, None) => String::new(),
    };
    if !said.is_empty() {
        words(ui, &said, size::BODY, roles.heard);
    }
    if ended.reading().is_some() && at.course.probe_stayed(now_s) == Some(false) {
        banner(ui, roles, "The probe moved: this reading is suspect. Repeat it.");
    }
    ui.horizontal_wrapped(|ui| {
        if target(ui, roles, ("Next site", "Enter"), vec2(170.0, size::GLOVE), Weight::Act) {
            out.push(Action::Site(AtSite::Next));
        }
        if target(ui, roles, ("Repeat", "R"), vec2(120.0, size::GLOVE), Weight::Plain) {
            out.push(Action::Site(AtSite::Repeat));
        }
        if ended.reading().is_some()
            && target(ui, roles, ("Change it", "E"), vec2(120.0, size::GLOVE), Weight::Plain)
        {
            out.push(Action::Site(AtSite::CorrectReading));
        }
    });
    if ended.reading().is_some() {
        ui.horizontal_wrapped(|ui| {
            for (word, name, key) in WORDS {
                let chosen = ended.word == Some(word);
                let weight = if chosen { Weight::Act } else { Weight::Plain };
                if target(ui, roles, (name, key), vec2(112.0, size::TARGET), weight) {
                    out.push(Action::Site(AtSite::Word(word)));
                }
            }
        });
    }
}

/// The picture of a locked screen.
pub(super) fn locked(ui: &mut Ui, roles: Roles, out: &mut Vec<Action>) {
    ui.centered_and_justified(|ui| {
        ui.vertical_centered(|ui| {
            ui.add_space(ui.available_height() * 0.3);
            strong(ui, "Locked for wiping", size::SITE, roles.ink);
            words(ui, "Tap and stop still work by key.", theme::size::BODY, roles.quiet);
            ui.add_space(24.0);
            if target(ui, roles, ("Unlock", "L"), vec2(240.0, size::GLOVE), Weight::Act) {
                out.push(Action::Unlock);
            }
        });
    });
}
