//! What is done while the patient rests, so that no time is lost. Every step can be left out in one act.

use eframe::egui::vec2;

use super::begin::question;
use super::canvas::Canvas;
use crate::clinical::cautions::{self, CautionAbout, Item};
use crate::clinical::event::{
    Answer, Answered, Foot, Limb, Prepared, Step, Temperature, WoundCare,
};
use crate::clinical::site::Side;
use crate::conduct::{LastTime, Preparing, preparing};
use crate::window::model::Model;
use crate::window::model::action::{Action, Screen, VisitAct};
use crate::window::model::choices::{Change, GAUGE_IN_USE};
use crate::window::model::sound_check::check_said;
use crate::window::model::visit::HeldVisit;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

/// One step of loudness, per cent.
const LOUDER: u32 = 10;

pub fn show(c: &mut Canvas<'_>, model: &Model) {
    let Some(held) = &model.visit.held else { return };
    let low = c.low();
    if !low {
        rest(c, model, held);
    }
    c.scroll("prepare", |c| {
        if low {
            rest(c, model, held);
        }
        step(c, held, Step::Cautions, |c| questions(c, held));
        step(c, held, Step::Cuffs, |c| cuffs(c, model, held));
        step(c, held, Step::Instruments, |c| instruments(c, model));
        step(c, held, Step::Feet, |c| feet(c, held));
        step(c, held, Step::Sound, |c| sound(c, model));
    });
}

/// The rest clock, large, and the way on.
fn rest(c: &mut Canvas<'_>, model: &Model, held: &HeldVisit) {
    let rested_s = preparing::rested_s(held.conduct.visit(), held.at(c.now, None));
    let wanted_s = u64::from(model.choices.rest_min()) * 60;
    let w = c.lang();
    c.panel(|c| {
        c.row(|c| {
            c.column(|c| {
                let clock = format!("{}:{:02}", rested_s / 60, rested_s % 60);
                c.strong(&clock, size::SITE, c.roles.ink);
                let said = if rested_s >= wanted_s {
                    say!(w, "prepare-rested", minutes = model.choices.rest_min())
                } else {
                    say!(w, "prepare-rest", minutes = model.choices.rest_min())
                };
                c.words(&said, size::BODY, c.roles.quiet);
            });
            c.space(3.0 * size::GRID);
            if held.conduct.current().is_some() {
                let text = w.plain(id!("window-back-measuring"));
                if c.target(text, "", vec2(240.0, size::GLOVE), Emphasis::Act) {
                    c.act(Action::Go(Screen::Measure));
                }
                return;
            }
            let (text, weight) = if rested_s >= wanted_s {
                (id!("prepare-start"), Emphasis::Act)
            } else {
                (id!("prepare-start-early"), Emphasis::Plain)
            };
            if c.target(w.plain(text), "", vec2(300.0, size::GLOVE), weight) {
                c.act(Action::Prepare(Preparing::EndRest));
            }
            if c.finger(w.plain(id!("prepare-leave")), Emphasis::Plain) {
                c.act(Action::Visit(VisitAct::Leave));
            }
            if c.finger(w.plain(id!("window-set-up")), Emphasis::Plain) {
                c.act(Action::Go(Screen::SetUp));
            }
        });
    });
}

/// One step: its name, what it asks, and the one act that leaves it out. Done, it is one line.
fn step(c: &mut Canvas<'_>, held: &HeldVisit, step: Step, inside: impl FnOnce(&mut Canvas<'_>)) {
    let w = c.lang();
    let done = preparing::step_done(held.conduct.visit(), step);
    let named = w.plain(step_id(step));
    c.panel(|c| {
        c.row(|c| {
            c.strong(&sentence(named), size::BODY + 2.0, c.roles.ink);
            if done {
                c.words(&told(w, held, step), size::BODY, c.roles.quiet);
            } else if c.finger(&say!(w, "prepare-skip", step = named), Emphasis::Plain) {
                c.act(Action::Prepare(Preparing::LeaveOut(step)));
            }
        });
        // What may have to be entered for the other limb, or taken back, stays open.
        if !done || matches!(step, Step::Cautions | Step::Cuffs | Step::Feet) {
            inside(c);
        }
    });
    c.space(size::GRID);
}

const fn step_id(step: Step) -> &'static str {
    match step {
        Step::Cautions => id!("prepare-step-cautions"),
        Step::Cuffs => id!("prepare-step-cuffs"),
        Step::Instruments => id!("prepare-step-instruments"),
        Step::Feet => id!("prepare-step-feet"),
        Step::Sound => id!("prepare-step-sound"),
        Step::Rest => id!("prepare-step-rest"),
    }
}

/// What a step came to, in a line.
fn told(w: Words, held: &HeldVisit, step: Step) -> String {
    let prepared = &held.conduct.visit().prepared;
    let left_out =
        prepared.iter().any(|p| matches!(p, Prepared::LeftOut { step: left } if *left == step));
    if left_out {
        return w.plain(id!("prepare-left-out")).into();
    }
    if step == Step::Cautions {
        return match cautions::raised(held.conduct.visit(), w).len() {
            0 => w.plain(id!("prepare-asked-none")).into(),
            raised => say!(w, "prepare-asked-some", n = raised),
        };
    }
    let said: Vec<String> = prepared.iter().filter_map(|p| line(w, p, step)).collect();
    if said.is_empty() { w.plain(id!("prepare-done")).into() } else { said.join("; ") }
}

fn line(w: Words, prepared: &Prepared, step: Step) -> Option<String> {
    match (prepared, step) {
        (Prepared::Cuff(cuff), Step::Cuffs) => {
            let (width, length) = (cuff.width_mm / 10, cuff.length_mm / 10);
            let (side, limb) = (cuff.side.code(), limb_code(cuff.limb));
            Some(say!(
                w,
                "prepare-cuff-on",
                side = side,
                limb = limb,
                width = width,
                length = length
            ))
        }
        (Prepared::NeedleAtZero { answer }, Step::Instruments) => {
            Some(say!(w, "prepare-needle-was", answer = answer_code(*answer)))
        }
        (Prepared::Probe { mhz }, Step::Instruments) => {
            Some(say!(w, "prepare-probe", mhz = w.number(mhz)))
        }
        (Prepared::Foot(foot), Step::Feet) => {
            let (side, found) = (foot.side.code(), felt(w, foot.temperature, foot.pulse_felt));
            Some(say!(w, "prepare-foot-line", side = side, found = found))
        }
        (Prepared::Sound { words }, Step::Sound) => Some(check_said(w, words)),
        _ => None,
    }
}

const fn limb_code(limb: Limb) -> &'static str {
    match limb {
        Limb::Arm => "arm",
        Limb::Ankle => "ankle",
    }
}

const fn answer_code(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::Unknown => "unknown",
    }
}

/// How a foot was found.
fn felt(w: Words, temperature: Temperature, pulse_felt: Answer) -> String {
    let warmth = match temperature {
        Temperature::Warm => "warm",
        Temperature::Cool => "cool",
        Temperature::Cold => "cold",
    };
    say!(w, "prepare-foot", warmth = warmth, pulse = answer_code(pulse_felt))
}

/// Red flags first; one act says that none applies.
fn questions(c: &mut Canvas<'_>, held: &HeldVisit) {
    let w = c.lang();
    let mut items: Vec<Item> = cautions::said(w).into_iter().filter(|item| item.ask).collect();
    items.sort_by_key(|item| item.weight);
    let open = !cautions::to_ask(held.conduct.visit()).is_empty();
    let any = held.conduct.visit().answers.iter().any(|a| a.answer == Answer::Yes);
    let count = items.len();
    c.words(&say!(w, "prepare-questions", count = count), size::BODY, c.roles.quiet);
    // Rows stay where they are, answered or not: nothing moves under a finger, and each can be taken back.
    for item in items {
        c.row(|c| {
            let width = (c.ui.available_width() * 0.55).max(260.0);
            c.sized(vec2(width, size::TARGET), |c| {
                c.words(&item.question, size::BODY, c.roles.ink);
            });
            let sides: Vec<Option<Side>> = match item.about {
                CautionAbout::Patient => vec![None],
                CautionAbout::Leg | CautionAbout::Arm => Side::BOTH.map(Some).to_vec(),
            };
            for side in sides {
                let given =
                    held.conduct.visit().answers.iter().find(|a| a.id == item.id && a.side == side);
                let yes = given.is_some_and(|a| a.answer == Answer::Yes);
                let word = match side {
                    Some(side) => say!(w, "prepare-yes-side", side = side.code()),
                    None => w.plain(id!("window-yes")).to_owned(),
                };
                let name = say!(w, "window-answer", answer = word, question = item.question);
                if c.choice_named(&word, &name, yes) {
                    let answer = if yes { Answer::No } else { Answer::Yes };
                    let answered = Answered { id: item.id.clone(), answer, side };
                    c.act(Action::Prepare(Preparing::Answer(item.weight, answered)));
                }
            }
        });
    }
    for side in cautions::wounds(held.conduct.visit()) {
        wound(c, held, side);
    }
    if open {
        let least = vec2(300.0, size::TARGET + 8.0);
        let (text, weight) = match any {
            true => (id!("prepare-none-others"), Emphasis::Plain),
            false => (id!("prepare-none"), Emphasis::Act),
        };
        if c.target(w.plain(text), "", least, weight) {
            c.act(Action::Prepare(Preparing::NoneApplies));
        }
    }
    for flag in cautions::raised(held.conduct.visit(), w) {
        c.strong(&sentence(&flag.words), size::BODY, c.roles.act);
    }
}

/// What is done about a wound where the cuff goes.
fn wound(c: &mut Canvas<'_>, held: &HeldVisit, side: Side) {
    let decided = held.conduct.visit().prepared.iter().rev().find_map(|p| match p {
        Prepared::Wound { side: of, care } if *of == side => Some(*care),
        _ => None,
    });
    let w = c.lang();
    c.row(|c| {
        let text = say!(w, "prepare-wound", side = side.code());
        c.words(&text, size::BODY, c.roles.ink);
        for care in WoundCare::ALL {
            let name = say!(w, "prepare-wound-name", side = side.code(), care = care.said(w));
            if c.choice_named(care.said(w), &name, decided == Some(care)) {
                c.act(Action::Prepare(Preparing::Wound(side, care)));
            }
        }
    });
}

fn cuffs(c: &mut Canvas<'_>, model: &Model, held: &HeldVisit) {
    let w = c.lang();
    c.desk.cuffs_of(held.id);
    if let Some(sizes) = model.choices.cuffs() {
        let [arm_width, arm_length, ankle_width, ankle_length] = sizes.map(|mm| mm / 10);
        let text = say!(
            w,
            "prepare-as-last",
            arm_width = arm_width,
            arm_length = arm_length,
            ankle_width = ankle_width,
            ankle_length = ankle_length
        );
        if c.target(&text, "", vec2(300.0, size::TARGET), Emphasis::Act) {
            let around_mm = [Limb::Arm, Limb::Ankle].map(|limb| c.desk.cuff(limb).around_mm());
            let last = LastTime { cuffs_mm: sizes, around_mm, probe: model.choices.probe() };
            c.act(Action::Prepare(Preparing::AsLastTime(last)));
        }
    }
    c.words(w.plain(id!("prepare-cuff-rule")), size::SMALL, c.roles.quiet);
    for limb in [Limb::Arm, Limb::Ankle] {
        let name = limb_code(limb);
        c.row(|c| {
            c.entry(&say!(w, "prepare-around", limb = name), 90.0, |d| &mut d.cuff(limb).around);
            c.entry(&say!(w, "prepare-width", limb = name), 90.0, |d| &mut d.cuff(limb).width);
            c.entry(&say!(w, "prepare-length", limb = name), 90.0, |d| &mut d.cuff(limb).length);
            if c.finger(&say!(w, "prepare-cuffs-on", limb = name), Emphasis::Plain) {
                for side in Side::BOTH {
                    let cuff = c.desk.cuff(limb).cuff(side, limb);
                    c.out.extend(cuff.map(Preparing::PutCuff).map(Action::Prepare));
                }
            }
        });
        if let Some(cuff) = c.desk.cuff(limb).cuff(Side::Right, limb) {
            cuff.faults(w).iter().for_each(|fault| c.strong(fault, size::BODY, c.roles.act));
        }
    }
    let put = held.conduct.visit().prepared.iter().filter_map(|p| match p {
        Prepared::Cuff(cuff) => Some(cuff),
        _ => None,
    });
    if put.clone().any(|cuff| cuff.circumference_mm.is_none()) {
        c.words(w.plain(id!("prepare-fit")), size::BODY, c.roles.act);
    }
    put.flat_map(|cuff| cuff.faults(w)).for_each(|fault| c.words(&fault, size::BODY, c.roles.act));
}

fn instruments(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    let probe = match model.choices.probe() {
        Some(tenths) => {
            say!(w, "prepare-mhz", mhz = w.decimal(f64::from(tenths) / 10.0, 1))
        }
        None => w.plain(id!("prepare-not-given")).to_owned(),
    };
    let gauge = match model.choices.gauge() {
        GAUGE_IN_USE => w.plain(id!("prepare-gauge-in-use")),
        code => code,
    };
    let lines = w.number(model.choices.graduation());
    let text = say!(w, "prepare-instruments", gauge = gauge, lines = lines, probe = probe);
    c.words(&text, size::BODY, c.roles.ink);
    if let Some(answer) = question(c, w.plain(id!("prepare-needle")), None) {
        c.act(Action::Prepare(Preparing::NeedleAtZero(answer)));
    }
}

fn feet(c: &mut Canvas<'_>, held: &HeldVisit) {
    let w = c.lang();
    for side in Side::BOTH {
        let found = held.conduct.visit().prepared.iter().rev().find_map(|p| match p {
            Prepared::Foot(foot) if foot.side == side => Some(*foot),
            _ => None,
        });
        c.row(|c| {
            c.words(&say!(w, "prepare-foot-title", side = side.code()), size::BODY, c.roles.ink);
            for (temperature, pulse_felt) in
                [Temperature::Warm, Temperature::Cool, Temperature::Cold]
                    .into_iter()
                    .flat_map(|warmth| [Answer::Yes, Answer::No].map(|pulse| (warmth, pulse)))
            {
                let word = felt(w, temperature, pulse_felt);
                let name = say!(w, "prepare-foot-name", side = side.code(), found = word);
                let foot = Foot { side, temperature, pulse_felt };
                if c.choice_named(&word, &name, found == Some(foot)) {
                    c.act(Action::Prepare(Preparing::Feel(foot)));
                }
            }
        });
    }
}

fn sound(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    let source = model.listening.source_words(w, &model.choices);
    let text = format!("{source}. {}", model.listening.check_words(w));
    c.words(&text, size::BODY, c.roles.ink);
    volume(c, model);
    if c.finger(w.plain(id!("prepare-sound-checked")), Emphasis::Plain) {
        // The record has it in English, whatever the screen says.
        let found = model.listening.check_words(Words::english());
        c.act(Action::Prepare(Preparing::SoundChecked(found)));
    }
}

/// How loud sound is passed on; turned while it plays.
fn volume(c: &mut Canvas<'_>, model: &Model) {
    let w = c.lang();
    let choice = model.choices.sound();
    if choice.through.is_none() {
        if choice.cable {
            c.words(w.plain(id!("prepare-no-output")), size::BODY, c.roles.ink);
        }
        return;
    }
    let percent = choice.volume();
    c.row(|c| {
        c.words(&say!(w, "prepare-volume", percent = percent), size::BODY, c.roles.ink);
        for (text, to) in [
            (id!("prepare-softer"), percent.saturating_sub(LOUDER)),
            (id!("prepare-louder"), percent + LOUDER),
        ] {
            if c.finger(w.plain(text), Emphasis::Plain) {
                c.act(Action::Choose(Change::Volume(to.clamp(LOUDER, 100))));
            }
        }
    });
}
