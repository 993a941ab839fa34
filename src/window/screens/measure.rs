//! Site by site: one large sentence, the sound, one tap, one reading.

use eframe::egui::{Align2, Rect, Role, ScrollArea, Sense, WidgetInfo, pos2, vec2};

use super::canvas::Canvas;
use crate::clinical::event::{Made, Stage, WaveformWord};
use crate::clinical::site::{Artery, Site};
use crate::window::exam::{Attempting, Exam, Kept};
use crate::window::keys;
use crate::window::model::Model;
use crate::window::model::action::{Action, SiteAct};
use crate::window::model::choices::Say;
use crate::window::paint::parts::Weight;
use crate::window::paint::plot::{self, Overlay, Pen};
use crate::window::paint::theme::{self, size};
use crate::window::sentence::sentence;

/// The stages in words, in order.
const STAGES: [(Stage, &str); 4] = [
    (Stage::Find, "Find"),
    (Stage::Inflate, "Close"),
    (Stage::Release, "Release"),
    (Stage::Read, "Read"),
];

/// How an artery sounds, in the clinician's word, with its key.
const WORDS: [(WaveformWord, &str, &str); 5] = [
    (WaveformWord::Multiphasic, "multiphasic", "M"),
    (WaveformWord::Monophasic, "monophasic", "O"),
    (WaveformWord::Damped, "damped", "D"),
    (WaveformWord::Absent, "absent", "A"),
    (WaveformWord::Unclear, "unclear", "U"),
];

/// What is looked at: the visit in hand, its attempt, and the time on the visit's clock.
struct AtSite<'a> {
    model: &'a Model,
    exam: &'a Exam,
    at: &'a Attempting,
    now_s: f64,
    /// Little height is left.
    small: bool,
}

/// For how long a word of the listener at the return is shown, seconds.
const LIT_S: f64 = 2.0;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(exam) = &model.visit.exam else { return };
    let Some(at) = &exam.at else { return };
    let (now_s, small) = (exam.clock_s(c.now.at), c.ui.available_height() < 640.0);
    let here = AtSite { model, exam, at, now_s, small };
    // On a small screen the sentence says where it stands; one target leads the stage on.
    if !small {
        stages(c, at);
    }
    let site_points = if small { size::TITLE } else { size::SITE };
    c.strong(&sentence(&at.site.to_string()), site_points, c.roles.ink);
    prompt(c, &here);
    said(c, &here);
    let foot = if small { 296.0 } else { 300.0 };
    let rest = c.ui.available_rect_before_wrap();
    let split = (rest.bottom() - foot).max(rest.top() + 80.0);
    let (above, below) = rest.split_top_bottom_at_y(split);
    sound(c, &here, above.shrink2(vec2(0.0, 4.0)));
    c.within(below, |c| {
        c.scrolled(ScrollArea::vertical().auto_shrink([false, false]), |c| {
            c.panel(|c| acts(c, &here));
        });
    });
}

/// What to do now.
fn prompt(c: &mut Canvas<'_>, here: &AtSite<'_>) {
    let AtSite { model, exam, at, now_s, small } = *here;
    let prompt = at.prompt(now_s);
    let colour = if at.stopped { c.roles.act } else { c.roles.ink };
    c.strong(&prompt.now, if small { 20.0 } else { size::SENTENCE }, colour);
    let wait_s = exam.wait_s(at.site, c.now, model.choices.wait_s());
    let more = match (at.stage(), wait_s) {
        (Some(Stage::Find), 1..) => format!("Wait {wait_s} s before pumping this limb again."),
        (Some(Stage::Find), 0) => format!("{} {}", prompt.more, place(at.site)),
        _ => prompt.more,
    };
    c.words(&more, if small { size::SMALL } else { size::BODY }, c.roles.quiet);
}

/// Where the stage stands; a touch sets it.
fn stages(c: &mut Canvas<'_>, at: &Attempting) {
    let now = at.stage();
    let done = |stage: Stage| now.is_some_and(|now| (stage as u8) < now as u8);
    c.line(|c| {
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
            if c.choice_named(&text, &name, here) {
                c.act(Action::Site(SiteAct::SetStage(stage)));
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

/// What is amiss, and what was not taken.
fn said(c: &mut Canvas<'_>, here: &AtSite<'_>) {
    let AtSite { model, at, now_s, .. } = *here;
    if let Some(text) = &at.said {
        c.strong(text, size::BODY, c.roles.act);
        return;
    }
    if at.kept.is_some() {
        return;
    }
    for warning in at.course.warnings(now_s, model.choices.ceiling()).iter().take(2) {
        c.words(warning, size::BODY, c.roles.act);
    }
}

/// The sound. It is one large target for the tap.
fn sound(c: &mut Canvas<'_>, here: &AtSite<'_>, rect: Rect) {
    let AtSite { model, at, .. } = *here;
    let gauge = model.listening.gauge_mmhg().map(|mmhg| {
        let side = rect.height().min(rect.width() * 0.28);
        (mmhg, Rect::from_min_max(pos2(rect.right() - side, rect.top()), rect.max))
    });
    let picture = match gauge {
        Some((_, gauge)) => Rect::from_min_max(rect.min, pos2(gauge.left() - 12.0, rect.bottom())),
        None => rect,
    };
    let response = c.ui.interact(picture, c.ui.scope_id().with("sound"), Sense::click());
    let heard = at.course.pulses().len();
    let name = format!("The sound. Touch it to tap. {heard} beats heard here.");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let pressed = c.ui.input(|i| i.pointer.primary_pressed()) && response.contains_pointer();
    let by_name = response.clicked() && !c.ui.input(|i| i.pointer.any_released());
    if pressed || by_name {
        c.act(Action::Site(SiteAct::Tap(Made::Pointer)));
    }
    let pen = Pen { ui: c.ui, roles: c.roles, rect: picture };
    plot::sound(&pen, &mut c.desk.picture, &model.listening.snapshot, &overlay(here));
    if let Some((mmhg, rect)) = gauge {
        plot::gauge(&c.pen(rect), mmhg);
        let response = c.ui.interact(rect, c.ui.scope_id().with("gauge"), Sense::hover());
        let name = format!("Simulated gauge: {mmhg:.0} mmHg");
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    }
}

/// What is drawn over the sound, on the stream's own clock. What the listener found of the return stays hidden until
/// the reading is kept, so that the ear decides alone.
fn overlay(here: &AtSite<'_>) -> Overlay {
    let AtSite { model, exam, at, now_s, .. } = *here;
    let ahead_s = exam.stream.map_or(0.0, |s| s.ahead_s);
    let in_sound = |at_s: f64| at_s - ahead_s;
    let tap_s = at.course.tap_s();
    let told = at.kept.is_some() || model.choices.say() != Say::Nothing;
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
        && at.kept.is_none()
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

fn acts(c: &mut Canvas<'_>, here: &AtSite<'_>) {
    let AtSite { at, now_s, small, .. } = *here;
    if at.asking_why {
        return reasons(c);
    }
    match &at.kept {
        Some(kept) if !at.changing => after(c, at, kept, now_s),
        _ => entry(c, at, small),
    }
}

fn reasons(c: &mut Canvas<'_>) {
    c.row(|c| {
        for (n, reason) in (1..).zip(keys::REASONS) {
            let key = n.to_string();
            if c.target(reason, &key, vec2(170.0, size::GLOVE), Weight::Plain) {
                c.act(Action::Site(SiteAct::NotMeasured(reason.into())));
            }
        }
        if c.target("Back", "K", vec2(100.0, size::GLOVE), Weight::Plain) {
            c.act(Action::Site(SiteAct::AskWhy));
        }
    });
}

/// The reading that is typed, and what is done with it.
fn entry(c: &mut Canvas<'_>, at: &Attempting, small: bool) {
    let pumped = at.stage() == Some(Stage::Inflate);
    let name = if pumped { "Pumped to (if you like)" } else { "Needle at the tap" };
    c.words(name, size::SMALL, c.roles.quiet);
    c.line(|c| {
        typed(c, at, if small { 72.0 } else { size::READING });
        c.words("mmHg", size::BODY, c.roles.quiet);
        gloved(c, at, small);
    });
    c.row(|c| {
        c.ui.spacing_mut().item_spacing.x = if small { size::GRID } else { 2.0 * size::GRID };
        // On a small screen the decimal mark is typed only.
        let digits = if small { "1234567890" } else { "1234567890," };
        for digit in digits.chars() {
            if c.finger(&digit.to_string(), Weight::Plain) {
                c.act(Action::Site(SiteAct::Digit(digit)));
            }
        }
    });
    c.row(|c| {
        c.ui.spacing_mut().item_spacing.x = if small { size::GRID } else { 2.0 * size::GRID };
        for (text, key, action) in [
            ("Erase", "", SiteAct::Erase),
            ("No signal", "X", SiteAct::NoSignal),
            ("Not compressible", "C", SiteAct::NotCompressible),
            ("Not measured", "K", SiteAct::AskWhy),
            ("Tap back", "Z", SiteAct::TakeBack),
            ("Ten", "N", SiteAct::NeedleMark),
        ] {
            if c.target(text, key, vec2(size::TARGET, size::TARGET), Weight::Plain) {
                c.act(Action::Site(action));
            }
        }
        if small && c.finger("Stage on", Weight::Plain) {
            c.act(Action::Site(SiteAct::StageOn));
        }
    });
}

/// What is typed so far, as large as anything on the screen.
fn typed(c: &mut Canvas<'_>, at: &Attempting, points: f32) {
    let space = vec2(points * 1.95, points * 0.86);
    let (rect, shown) = c.ui.allocate_exact_size(space, Sense::hover());
    let (text, font, ink) = match at.typed.is_empty() {
        false => (at.typed.as_str(), theme::bold(points), c.roles.ink),
        true => ("not yet", theme::plain(size::SENTENCE), c.roles.quiet),
    };
    c.ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, text, font, ink);
    let name = format!("Typed: {text}");
    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
}

/// What is done in gloves.
fn gloved(c: &mut Canvas<'_>, at: &Attempting, small: bool) {
    let pumped = at.stage() == Some(Stage::Inflate);
    let glove = vec2(if small { 98.0 } else { 124.0 }, size::GLOVE);
    let waits = at.stage() == Some(Stage::Release) && at.course.tap_s().is_none();
    let tap = if waits { Weight::Act } else { Weight::Plain };
    let keep = if !pumped && !at.typed.is_empty() { Weight::Act } else { Weight::Plain };
    for (text, key, weight, action) in [
        ("Tap", "Space", tap, SiteAct::Tap(Made::Pointer)),
        (if pumped { "Set" } else { "Keep" }, "Enter", keep, SiteAct::Enter),
        ("Stop", "Esc", Weight::Plain, SiteAct::Stop),
        ("Repeat", "R", Weight::Plain, SiteAct::Repeat),
    ] {
        if c.target(text, key, glove, weight) {
            c.act(Action::Site(action));
        }
    }
}

/// After a reading was kept: the comparison, the word for the sound, the way on.
fn after(c: &mut Canvas<'_>, at: &Attempting, kept: &Kept, now_s: f64) {
    c.row(|c| {
        c.strong(&format!("Kept: {}", kept.words), size::SENTENCE, c.roles.ink);
    });
    let said = match (&kept.comparison, kept.reading) {
        (Some(comparison), _) => comparison.words(),
        (None, Some(_)) if at.course.tap_s().is_none() => {
            "Without a tap: the interval is wider.".into()
        }
        (None, Some(_)) => {
            "The listener has heard no return here: the reading stands as yours.".into()
        }
        (None, None) => String::new(),
    };
    if !said.is_empty() {
        c.words(&said, size::BODY, c.roles.heard);
    }
    if kept.reading.is_some() && at.course.probe_stayed(now_s) == Some(false) {
        c.banner("The probe moved: this reading is suspect. Repeat it.");
    }
    c.row(|c| {
        if c.target("Next site", "Enter", vec2(170.0, size::GLOVE), Weight::Act) {
            c.act(Action::Site(SiteAct::Next));
        }
        if c.target("Repeat", "R", vec2(120.0, size::GLOVE), Weight::Plain) {
            c.act(Action::Site(SiteAct::Repeat));
        }
        if kept.reading.is_some()
            && c.target("Change it", "E", vec2(120.0, size::GLOVE), Weight::Plain)
        {
            c.act(Action::Site(SiteAct::ChangeReading));
        }
    });
    if kept.reading.is_some() {
        c.row(|c| {
            for (word, name, key) in WORDS {
                let chosen = kept.word == Some(word);
                let weight = if chosen { Weight::Act } else { Weight::Plain };
                if c.target(name, key, vec2(112.0, size::TARGET), weight) {
                    c.act(Action::Site(SiteAct::Word(word)));
                }
            }
        });
    }
}

/// The picture of a locked screen.
pub fn locked(c: &mut Canvas<'_>) {
    c.centred(|c| {
        c.space(c.ui.available_height() * 0.3);
        c.strong("Locked for wiping", size::SITE, c.roles.ink);
        c.words("Tap and stop still work by key.", size::BODY, c.roles.quiet);
        c.space(24.0);
        if c.target("Unlock", "L", vec2(240.0, size::GLOVE), Weight::Act) {
            c.act(Action::Unlock);
        }
    });
}
