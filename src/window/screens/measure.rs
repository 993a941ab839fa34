//! Site by site: one large sentence, the sound, one tap, one reading.

use eframe::egui::{Align2, Rect, Role, ScrollArea, Sense, WidgetInfo, pos2, vec2};

use super::canvas::Canvas;
use crate::clinical::event::{Made, Stage, WaveformWord};
use crate::clinical::reasons;
use crate::clinical::site::{Artery, Site};
use crate::conduct::{AtSite, CurrentAttempt, Ended, Field, wording};
use crate::window::model::Model;
use crate::window::model::action::{Action, Screen, VisitAct};
use crate::window::model::choices::Say;
use crate::window::model::visit::HeldVisit;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::plot::{self, Overlay, Pen};
use crate::window::paint::theme::{self, size};
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

/// The stages, in order.
const STAGES: [(Stage, &str); 4] = [
    (Stage::Find, id!("measure-find")),
    (Stage::Inflate, id!("measure-inflate")),
    (Stage::Release, id!("measure-deflate")),
    (Stage::Read, id!("measure-read")),
];

/// How an artery sounds, in the clinician's word, with its key.
const WORDS: [(WaveformWord, &str, &str); 5] = [
    (WaveformWord::Multiphasic, id!("clinical-waveform-multiphasic"), "M"),
    (WaveformWord::Monophasic, id!("clinical-waveform-monophasic"), "O"),
    (WaveformWord::Damped, id!("clinical-waveform-damped"), "D"),
    (WaveformWord::Absent, id!("measure-absent"), "A"),
    (WaveformWord::Unclear, id!("measure-unclear"), "U"),
];

/// What is looked at: the visit in hand, its attempt, and the time on the visit's clock.
pub(super) struct Here<'a> {
    pub model: &'a Model,
    pub held: &'a HeldVisit,
    pub at: &'a CurrentAttempt,
    pub now_s: f64,
    /// Little height is left.
    pub small: bool,
}

/// Room for an instruction of two lines and the sentence that helps, points.
const PROMPT_ROOM: f32 = 120.0;

/// Room for what is done: usually, on a small screen, and what another row of targets adds, points.
const ACTS: f32 = 300.0;
const SMALL_ACTS: f32 = 296.0;
const ROW: f32 = 72.0;

/// For how long a word of the listener at the return is shown, seconds.
const LIT_S: f64 = 2.0;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(held) = &model.visit.held else { return };
    let Some(at) = held.conduct.current() else { return };
    let (now_s, small) = (held.clock_s(c.now.at), c.ui.available_height() < 640.0);
    let here = Here { model, held, at, now_s, small };
    // On a small screen the sentence says where it stands; one target leads the stage on.
    if !small {
        stages(c, at);
    }
    let site_points = if small { size::TITLE } else { size::SITE };
    c.strong(&sentence(&at.site.said(c.lang())), site_points, c.roles.ink);
    prompt(c, &here);
    said(c, &here);
    // Words of a language may need a row of targets more than English has: the picture gives it its room.
    let acts_id = c.ui.scope_id().with("acts");
    let needed = c.ui.data(|d| d.get_temp::<f32>(acts_id)).unwrap_or(ACTS);
    let foot = if small { SMALL_ACTS } else { needed.clamp(ACTS, ACTS + ROW) };
    let rest = c.ui.available_rect_before_wrap();
    let split = (rest.bottom() - foot).max(rest.top() + 80.0);
    let (above, below) = rest.split_top_bottom_at_y(split);
    sound(c, &here, above.shrink2(vec2(0.0, 4.0)));
    c.within(below, |c| {
        c.scrolled(ScrollArea::vertical().auto_shrink([false, false]), |c| {
            let top = c.ui.cursor().top();
            c.panel(|c| acts(c, &here));
            let height = c.ui.cursor().top() - top;
            c.ui.data_mut(|d| d.insert_temp(acts_id, height));
        });
    });
}

/// What to do now.
pub(super) fn prompt(c: &mut Canvas<'_>, here: &Here<'_>) {
    let Here { model, held, at, now_s, small } = *here;
    let words = c.lang();
    let prompt = held.conduct.prompt(now_s).map(|prompt| wording::prompt(words, prompt));
    let Some(prompt) = prompt else { return };
    let colour = if at.stopped { c.roles.act } else { c.roles.ink };
    let top = c.ui.cursor().top();
    c.strong(&prompt.now, if small { 20.0 } else { size::PROMPT }, colour);
    let wait_s = held.conduct.wait_s(at.site, now_s, model.choices.wait_s());
    let more = match (at.stage(), wait_s) {
        (Some(Stage::Find), 1..) => say!(words, "measure-wait", seconds = wait_s),
        (Some(Stage::Find), 0) => format!("{} {}", prompt.more, place(words, at.site)),
        _ => prompt.more,
    };
    c.words(&more, if small { size::SMALL } else { size::BODY }, c.roles.quiet);
    // The same room for one line or two: what stands below does not move from stage to stage.
    let used = c.ui.cursor().top() - top;
    if !small && used < PROMPT_ROOM {
        c.space(PROMPT_ROOM - used);
    }
}

/// Where the stage stands; a touch sets it.
fn stages(c: &mut Canvas<'_>, at: &CurrentAttempt) {
    let w = c.lang();
    let now = at.stage();
    let done = |stage: Stage| now.is_some_and(|now| (stage as u8) < now as u8);
    c.line(|c| {
        for (stage, id) in STAGES {
            let (here, word) = (now == Some(stage), w.plain(id));
            let (text, name) = if here {
                let name = say!(w, "measure-stage-now", stage = word);
                (say!(w, "measure-now", stage = word), name)
            } else if done(stage) {
                (word.to_owned(), say!(w, "measure-stage-done", stage = word))
            } else {
                (word.to_owned(), say!(w, "measure-stage", stage = word))
            };
            if c.choice_named(&text, &name, here) {
                c.act(Action::Site(AtSite::SetStage(stage)));
            }
        }
        c.space(3.0 * size::GRID);
        let text = w.plain(id!("measure-finish-change"));
        if c.target(text, "F", vec2(size::TARGET, size::TARGET), Emphasis::Plain) {
            c.act(Action::Visit(VisitAct::AskFinish));
        }
    });
}

/// Where the artery is found, for whoever needs it (common practice; for the arm NICE NG136 names the brachial artery).
fn place(w: Words, site: Site) -> &'static str {
    match site.artery {
        Artery::Brachial => w.plain(id!("measure-place-brachial")),
        Artery::DorsalisPedis => w.plain(id!("measure-place-dp")),
        Artery::PosteriorTibial => w.plain(id!("measure-place-pt")),
        Artery::Peroneal => w.plain(id!("measure-place-peroneal")),
        Artery::GreatToe => "",
    }
}

/// What is asked, what was not taken, what is amiss.
pub(super) fn said(c: &mut Canvas<'_>, here: &Here<'_>) {
    let Here { held, at, now_s, small, .. } = *here;
    let far = if small { size::BODY } else { size::FAR };
    let words = c.lang();
    let question = at.question.map(|question| wording::question(words, question));
    let notice = || at.notice.as_ref().map(|notice| wording::notice(words, notice));
    if let Some(text) = question.or_else(notice) {
        c.strong(&text, far, c.roles.act);
        return;
    }
    if let Some(why) = held.conduct.why_again(words) {
        c.strong(&sentence(&format!("{why}.")), far, c.roles.act);
    }
    let warnings = held.conduct.warnings(now_s).into_iter();
    let warnings = warnings.filter_map(|warning| wording::warning(words, warning));
    warnings.take(2).for_each(|warning| c.strong(&warning, far, c.roles.act));
}

/// The sound. It is one large target for the tap.
fn sound(c: &mut Canvas<'_>, here: &Here<'_>, rect: Rect) {
    let Here { model, .. } = *here;
    let gauge = model.listening.gauge_mmhg().map(|mmhg| {
        let side = rect.height().min(rect.width() * 0.28);
        (mmhg, Rect::from_min_max(pos2(rect.right() - side, rect.top()), rect.max))
    });
    let picture = match gauge {
        Some((_, gauge)) => Rect::from_min_max(rect.min, pos2(gauge.left() - 12.0, rect.bottom())),
        None => rect,
    };
    self::picture(c, here, picture);
    if let Some((mmhg, rect)) = gauge {
        plot::gauge(&c.pen(rect), mmhg);
        let response = c.ui.interact(rect, c.ui.scope_id().with("gauge"), Sense::hover());
        let w = c.lang();
        let name = say!(w, "measure-gauge", mmhg = w.decimal(mmhg, 0));
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    }
}

/// The picture of the sound, and the tap by touch.
pub(super) fn picture(c: &mut Canvas<'_>, here: &Here<'_>, picture: Rect) {
    let Here { model, at, .. } = *here;
    let response = c.ui.interact(picture, c.ui.scope_id().with("sound"), Sense::click());
    let heard = at.course.pulses().len();
    let name = say!(c.lang(), "measure-sound", beats = heard);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let pressed = c.ui.input(|i| i.pointer.primary_pressed()) && response.contains_pointer();
    let by_name = response.clicked() && !c.ui.input(|i| i.pointer.any_released());
    if pressed || by_name {
        c.act(Action::Site(AtSite::Tap(Made::Pointer)));
    }
    let pen = Pen { ui: c.ui, roles: c.roles, rect: picture };
    plot::sound(&pen, &mut c.desk.picture, &model.listening.snapshot, &overlay(c.desk.words, here));
}

/// What is drawn over the sound, on the stream's own clock. What the listener found of the return stays hidden until
/// the reading is kept, so that the ear decides alone.
fn overlay(words: Words, here: &Here<'_>) -> Overlay {
    let Here { model, held, at, now_s, .. } = *here;
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
        words,
        return_s: at.course.return_s().filter(|_| told).map(in_sound),
        tap_s: tap_s.map(in_sound),
        cursor_s: None,
        row_words: String::new(),
        lit,
    }
}

fn acts(c: &mut Canvas<'_>, here: &Here<'_>) {
    let Here { at, now_s, small, .. } = *here;
    if here.model.visit.finishing {
        return reasons(c, true);
    }
    if at.asking_why {
        return reasons(c, false);
    }
    match &at.ended {
        Some(ended) if !at.correcting => after(c, at, ended, now_s),
        _ => entry(c, at, small),
    }
}

/// Why this site, or all that is left, is not measured: one touch, or own words.
pub(super) fn reasons(c: &mut Canvas<'_>, finishing: bool) {
    let because = |reason: String| match finishing {
        true => Action::Visit(VisitAct::Finish(reason)),
        false => Action::Site(AtSite::NotMeasured(reason)),
    };
    let w = c.lang();
    if finishing {
        whole(c);
        c.strong(w.plain(id!("measure-finish-why")), size::BODY + 2.0, c.roles.ink);
    }
    c.row(|c| {
        for (n, id) in (1..).zip(reasons::NOT_MEASURED) {
            let key = n.to_string();
            if c.target(w.plain(id), &key, vec2(170.0, size::GLOVE), Emphasis::Plain) {
                c.act(because(reasons::kept(id).into()));
            }
        }
        c.entry(w.plain(id!("measure-own")), 240.0, |desk| &mut desk.not_measured);
        let own = c.desk.not_measured.trim().to_owned();
        if !own.is_empty() && c.finger(w.plain(id!("measure-record-reason")), Emphasis::Act) {
            c.desk.not_measured.clear();
            c.act(because(own));
        }
        let key = if finishing { "F" } else { "K" };
        if c.target(w.plain(id!("window-back")), key, vec2(100.0, size::GLOVE), Emphasis::Plain) {
            c.act(match finishing {
                true => Action::Visit(VisitAct::AskFinish),
                false => Action::Site(AtSite::AskWhy),
            });
        }
    });
}

/// What changes the visit as a whole, without ending it.
fn whole(c: &mut Canvas<'_>) {
    let w = c.lang();
    let least = vec2(200.0, size::GLOVE);
    c.row(|c| {
        if c.target(w.plain(id!("measure-moved")), "", least, Emphasis::Plain) {
            c.act(Action::Visit(VisitAct::Moved));
        }
        if c.target(w.plain(id!("measure-questions")), "", least, Emphasis::Plain) {
            c.act(Action::Go(Screen::Prepare));
        }
        c.entry(w.plain(id!("measure-operator")), 150.0, |desk| &mut desk.operator);
        if !c.desk.operator.trim().is_empty()
            && c.finger(w.plain(id!("measure-hand-over")), Emphasis::Act)
        {
            let who = std::mem::take(&mut c.desk.operator);
            c.act(Action::Visit(VisitAct::Operator(who)));
        }
    });
}

/// The reading that is typed, and what is done with it.
fn entry(c: &mut Canvas<'_>, at: &CurrentAttempt, small: bool) {
    number(c, at, small);
    keypad(c, small);
}

/// The number that is typed, and what is done with it.
fn number(c: &mut Canvas<'_>, at: &CurrentAttempt, small: bool) {
    let pumped = at.field() == Field::InflatedTo;
    let name = if pumped { id!("measure-inflated-to") } else { id!("measure-needle") };
    c.words(c.lang().plain(name), size::SMALL, c.roles.quiet);
    c.line(|c| {
        typed(c, at, if small { 72.0 } else { size::READING });
        c.words("mmHg", size::BODY, c.roles.quiet);
        gloved(c, at, small);
    });
}

/// Digits, and what else can be said of a site.
pub(super) fn keypad(c: &mut Canvas<'_>, small: bool) {
    let w = c.lang();
    c.row(|c| {
        // On a small screen all of it must fit one line: the decimal mark is typed only.
        c.ui.spacing_mut().item_spacing.x = if small { 3.0 } else { 14.0 };
        let digits = if small { "1234567890" } else { "1234567890," };
        for digit in digits.chars() {
            if c.finger(&digit.to_string(), Emphasis::Plain) {
                c.act(Action::Site(AtSite::Digit(digit)));
            }
        }
        if c.finger(w.plain(id!("measure-erase")), Emphasis::Plain) {
            c.act(Action::Site(AtSite::Erase));
        }
    });
    c.row(|c| {
        c.ui.spacing_mut().item_spacing.x = if small { size::GRID } else { 2.0 * size::GRID };
        for (text, key, action) in [
            (id!("measure-no-signal"), "X", AtSite::NoSignal),
            (id!("measure-not-compressible"), "C", AtSite::NotCompressible),
            (id!("measure-not-measured"), "K", AtSite::AskWhy),
            (id!("measure-undo"), "Z", AtSite::Undo),
            (id!("measure-at-10"), "N", AtSite::NeedleMark),
            (id!("measure-inflated"), "I", AtSite::InflatedTo),
        ] {
            if c.target(w.plain(text), key, vec2(size::TARGET, size::TARGET), Emphasis::Plain) {
                c.act(Action::Site(action));
            }
        }
        if small && c.finger(w.plain(id!("measure-finish")), Emphasis::Plain) {
            c.act(Action::Visit(VisitAct::AskFinish));
        }
        if small && c.finger(w.plain(id!("measure-next-stage")), Emphasis::Plain) {
            c.act(Action::Site(AtSite::StageOn));
        }
    });
}

/// What is typed so far, as large as anything on the screen.
pub(super) fn typed(c: &mut Canvas<'_>, at: &CurrentAttempt, points: f32) {
    let space = vec2(points * 1.95, points * 0.86);
    let (rect, shown) = c.ui.allocate_exact_size(space, Sense::hover());
    let (text, font, ink) = match at.entry.is_empty() {
        false => (at.entry.text(), theme::bold(points), c.roles.ink),
        true => ("- - -", theme::plain(size::SENTENCE), c.roles.quiet),
    };
    c.ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, text, font, ink);
    let name = say!(c.lang(), "measure-typed", text = text);
    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
}

/// What is done in gloves.
fn gloved(c: &mut Canvas<'_>, at: &CurrentAttempt, small: bool) {
    let pumped = at.field() == Field::InflatedTo;
    let glove = vec2(if small { 98.0 } else { 124.0 }, size::GLOVE);
    let waits = at.stage() == Some(Stage::Release) && at.course.tap_s().is_none();
    let tap = if waits { Emphasis::Act } else { Emphasis::Plain };
    let keep = if !pumped && !at.entry.is_empty() { Emphasis::Act } else { Emphasis::Plain };
    let w = c.lang();
    let space = w.plain(id!("window-key-space"));
    let kept = if pumped { id!("measure-set") } else { id!("measure-keep") };
    for (text, key, weight, action) in [
        (id!("measure-tap"), space, tap, AtSite::Tap(Made::Pointer)),
        (kept, "Enter", keep, AtSite::Enter),
        (id!("measure-stop"), "Esc", Emphasis::Plain, AtSite::Stop),
        (id!("measure-repeat"), "R", Emphasis::Plain, AtSite::Repeat),
    ] {
        if c.target(w.plain(text), key, glove, weight) {
            c.act(Action::Site(action));
        }
    }
}

/// Stop and repeat, where tap and keep stand elsewhere.
pub(super) fn stop_and_repeat(c: &mut Canvas<'_>) {
    let w = c.lang();
    for (text, key, deed) in
        [(id!("measure-stop"), "Esc", AtSite::Stop), (id!("measure-repeat"), "R", AtSite::Repeat)]
    {
        if c.target(w.plain(text), key, vec2(120.0, size::TARGET), Emphasis::Plain) {
            c.act(Action::Site(deed));
        }
    }
}

/// After a reading was kept: the comparison, the word for the sound, the way on.
pub(super) fn after(c: &mut Canvas<'_>, at: &CurrentAttempt, ended: &Ended, now_s: f64) {
    let w = c.lang();
    c.row(|c| {
        let kept = say!(w, "measure-kept", outcome = wording::ended(w, ended));
        c.strong(&kept, size::SENTENCE, c.roles.ink);
    });
    let said = match (&ended.comparison, ended.reading()) {
        (Some(comparison), _) => wording::comparison(w, comparison),
        (None, Some(_)) if at.course.tap_s().is_none() => {
            w.plain(id!("bedside-read-no-tap")).into()
        }
        (None, Some(_)) => w.plain(id!("measure-no-return")).into(),
        (None, None) => String::new(),
    };
    if !said.is_empty() {
        c.words(&said, size::BODY, c.roles.heard);
    }
    if ended.reading().is_some() && at.course.probe_stayed(now_s) == Some(false) {
        c.banner(w.plain(id!("measure-probe-moved")));
    }
    c.row(|c| {
        if c.target(w.plain(id!("measure-next")), "Enter", vec2(170.0, size::GLOVE), Emphasis::Act)
        {
            c.act(Action::Site(AtSite::Next));
        }
        if c.target(w.plain(id!("measure-repeat")), "R", vec2(120.0, size::GLOVE), Emphasis::Plain)
        {
            c.act(Action::Site(AtSite::Repeat));
        }
        if ended.reading().is_some()
            && c.target(
                w.plain(id!("measure-correct")),
                "E",
                vec2(120.0, size::GLOVE),
                Emphasis::Plain,
            )
        {
            c.act(Action::Site(AtSite::CorrectReading));
        }
    });
    if ended.reading().is_some() {
        c.row(|c| {
            for (word, name, key) in WORDS {
                let chosen = ended.word == Some(word);
                let weight = if chosen { Emphasis::Act } else { Emphasis::Plain };
                if c.target(w.plain(name), key, vec2(112.0, size::TARGET), weight) {
                    c.act(Action::Site(AtSite::Word(word)));
                }
            }
        });
    }
}

/// The picture of a locked screen.
pub fn locked(c: &mut Canvas<'_>) {
    let w = c.lang();
    c.centred(|c| {
        c.space(c.ui.available_height() * 0.3);
        c.strong(w.plain(id!("measure-locked")), size::SITE, c.roles.ink);
        c.words(w.plain(id!("measure-locked-keys")), size::BODY, c.roles.quiet);
        c.space(24.0);
        if c.target(w.plain(id!("measure-unlock")), "L", vec2(240.0, size::GLOVE), Emphasis::Act) {
            c.act(Action::Unlock);
        }
    });
}
