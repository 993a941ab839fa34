//! What is done while the patient rests, so that no time is lost. Every step can be left out in one act.

use eframe::egui::{Ui, vec2};

use super::app::Desk;
use super::begin::question;
use super::model::Model;
use super::model::action::{Action, Screen, VisitAct};
use super::model::choices::Change;
use super::model::visit::Held;
use super::now::Now;
use super::parts::{
    Weight, choice_named, field, finger, low, panel, scroll, strong, target, words,
};
use super::sentence::sentence;
use super::theme::{Roles, size};
use crate::clinical::cautions::{self, About, Item};
use crate::clinical::event::{Answer, Answered, Cuff, Foot, Limb, Prepared, Step, Temperature};
use crate::clinical::site::Side;
use crate::conduct::{LastTime, Preparing, preparing};

/// One step of loudness, per cent.
const LOUDER: u32 = 10;

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    desk: &mut Desk,
    (roles, now): (Roles, Now),
    out: &mut Vec<Action>,
) {
    let Some(held) = &model.visit.held else { return };
    let low = low(ui);
    if !low {
        rest(ui, model, held, (roles, now), out);
    }
    scroll("prepare").show(ui, |ui| {
        if low {
            rest(ui, model, held, (roles, now), out);
        }
        step(ui, held, Step::Cautions, roles, out, |ui, out| questions(ui, held, roles, out));
        step(ui, held, Step::Cuffs, roles, out, |ui, out| cuffs(ui, model, held, desk, roles, out));
        step(ui, held, Step::Instruments, roles, out, |ui, out| {
            instruments(ui, model, held, roles, out)
        });
        step(ui, held, Step::Feet, roles, out, |ui, out| feet(ui, held, roles, out));
        step(ui, held, Step::Sound, roles, out, |ui, out| sound(ui, model, roles, out));
    });
}

/// The rest clock, large, and the way on.
fn rest(
    ui: &mut Ui,
    model: &Model,
    held: &Held,
    (roles, now): (Roles, Now),
    out: &mut Vec<Action>,
) {
    let rested_s = preparing::rested_s(held.conduct.visit(), held.at(now, None));
    let wanted_s = u64::from(model.choices.rest_min()) * 60;
    panel(ui, roles, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.vertical(|ui| {
                let clock = format!("{}:{:02}", rested_s / 60, rested_s % 60);
                strong(ui, &clock, size::SITE, roles.ink);
                let said = if rested_s >= wanted_s {
                    format!("Rested {} minutes.", model.choices.rest_min())
                } else {
                    format!("At rest, lying, no talking: {} minutes.", model.choices.rest_min())
                };
                words(ui, &said, size::BODY, roles.quiet);
            });
            ui.add_space(3.0 * size::GRID);
            let (text, weight) = if rested_s >= wanted_s {
                ("Start measuring", Weight::Act)
            } else {
                ("Start now: rest cut short", Weight::Plain)
            };
            if target(ui, roles, (text, ""), vec2(300.0, size::GLOVE), weight) {
                out.push(Action::Prepare(Preparing::EndRest));
            }
            if finger(ui, roles, "Leave", Weight::Plain) {
                out.push(Action::Visit(VisitAct::Leave));
            }
            if finger(ui, roles, "Set-up", Weight::Plain) {
                out.push(Action::Go(Screen::SetUp));
            }
        });
    });
}

/// One step: its name, what it asks, and the one act that leaves it out. Done, it is one line.
fn step(
    ui: &mut Ui,
    held: &Held,
    step: Step,
    roles: Roles,
    out: &mut Vec<Action>,
    inside: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let done = preparing::step_done(held.conduct.visit(), step);
    panel(ui, roles, |ui| {
        ui.horizontal_wrapped(|ui| {
            strong(ui, &sentence(step.words()), size::BODY + 2.0, roles.ink);
            if done {
                words(ui, &told(held, step), size::BODY, roles.quiet);
            } else if finger(ui, roles, &format!("Leave out: {}", step.words()), Weight::Plain) {
                out.push(Action::Prepare(Preparing::LeaveOut(step)));
            }
        });
        if !done || step == Step::Cautions {
            inside(ui, out);
        }
    });
    ui.add_space(size::GRID);
}

/// What a step came to, in a line.
fn told(held: &Held, step: Step) -> String {
    let left_out = held
        .conduct
        .visit()
        .prepared
        .iter()
        .any(|p| matches!(p, Prepared::LeftOut { step: left } if *left == step));
    if left_out {
        return "left out".into();
    }
    let said: Vec<String> =
        held.conduct.visit().prepared.iter().filter_map(|p| line(p, step)).collect();
    if step == Step::Cautions {
        let raised = cautions::raised(held.conduct.visit()).len();
        return if raised == 0 {
            "asked: none applies".into()
        } else {
            format!("asked: {raised} applies or apply")
        };
    }
    if said.is_empty() { "done".into() } else { said.join("; ") }
}

fn line(prepared: &Prepared, step: Step) -> Option<String> {
    match (prepared, step) {
        (Prepared::Cuff(cuff), Step::Cuffs) => {
            let limb = if cuff.limb == Limb::Arm { "arm" } else { "ankle" };
            Some(format!(
                "{} {limb} {} x {} cm",
                cuff.side.code(),
                cuff.width_mm / 10,
                cuff.length_mm / 10
            ))
        }
        (Prepared::NeedleAtZero { answer }, Step::Instruments) => Some(match answer {
            Answer::Yes => "needle at zero".into(),
            Answer::No => "needle NOT at zero".into(),
            Answer::Unknown => "needle at zero not known".into(),
        }),
        (Prepared::Probe { mhz }, Step::Instruments) => Some(format!("probe {mhz} MHz")),
        (Prepared::Foot(foot), Step::Feet) => {
            let felt = match foot.pulse_felt {
                Answer::Yes => "pulse felt",
                Answer::No => "no pulse felt",
                Answer::Unknown => "pulse not felt for",
            };
            Some(format!("{} {}, {felt}", foot.side.code(), temperature(foot.temperature)))
        }
        (Prepared::Sound { words }, Step::Sound) => Some(words.clone()),
        _ => None,
    }
}

fn temperature(temperature: Temperature) -> &'static str {
    match temperature {
        Temperature::Warm => "warm",
        Temperature::Cool => "cool",
        Temperature::Cold => "cold",
    }
}

/// Red flags first; one act says that none applies.
fn questions(ui: &mut Ui, held: &Held, roles: Roles, out: &mut Vec<Action>) {
    let mut items: Vec<Item> = cautions::list().into_iter().filter(|item| item.ask).collect();
    items.sort_by_key(|item| item.weight);
    let open = !cautions::to_ask(held.conduct.visit()).is_empty();
    if open {
        let least = vec2(300.0, size::TARGET + 8.0);
        if target(ui, roles, ("None of these applies", ""), least, Weight::Act) {
            out.push(Action::Prepare(Preparing::NoneApplies));
        }
    }
    // Once all are answered only those that apply stay, so that they can be taken back.
    let applies = |item: &Item| {
        let yes = |a: &Answered| a.id == item.id && a.answer == Answer::Yes;
        held.conduct.visit().answers.iter().any(yes)
    };
    for item in items.into_iter().filter(|item| open || applies(item)) {
        ui.horizontal_wrapped(|ui| {
            let width = (ui.available_width() * 0.55).max(260.0);
            ui.allocate_ui(vec2(width, size::TARGET), |ui| {
                ui.set_min_width(width);
                words(ui, &item.question, size::BODY, roles.ink);
            });
            let sides: Vec<Option<Side>> = match item.about {
                About::Patient => vec![None],
                About::Leg | About::Arm => Side::BOTH.map(Some).to_vec(),
            };
            for side in sides {
                let given =
                    held.conduct.visit().answers.iter().find(|a| a.id == item.id && a.side == side);
                let yes = given.is_some_and(|a| a.answer == Answer::Yes);
                let word = side.map_or("yes".to_owned(), |s| format!("yes, {}", s.code()));
                let name = format!("{word}: {}", item.question);
                if choice_named(ui, roles, (&word, &name), yes) {
                    let answer = if yes { Answer::No } else { Answer::Yes };
                    let answered = Answered { id: item.id.clone(), answer, side };
                    out.push(Action::Prepare(Preparing::Answer(item.weight, answered)));
                }
            }
        });
    }
    for flag in cautions::raised(held.conduct.visit()) {
        strong(ui, &sentence(&flag.words), size::BODY, roles.act);
    }
}

fn cuffs(
    ui: &mut Ui,
    model: &Model,
    held: &Held,
    desk: &mut Desk,
    roles: Roles,
    out: &mut Vec<Action>,
) {
    if let Some(cuffs_mm) = model.choices.cuffs() {
        let [a, b, c, d] = cuffs_mm;
        let text = format!(
            "As last time: arm {} x {} cm, ankle {} x {} cm, needle at zero",
            a / 10,
            b / 10,
            c / 10,
            d / 10
        );
        if target(ui, roles, (&text, ""), vec2(300.0, size::TARGET), Weight::Act) {
            let last = LastTime { cuffs_mm, probe: model.choices.probe() };
            out.push(Action::Prepare(Preparing::AsLastTime(last)));
        }
    }
    words(
        ui,
        "Bladder width at least 40 %, length at least 80 % of the way round. At the ankle the cuff ends just above the malleoli; the artery stays reachable.",
        size::SMALL,
        roles.quiet,
    );
    for limb in [Limb::Arm, Limb::Ankle] {
        let name = if limb == Limb::Arm { "arms" } else { "ankles" };
        let entry = desk.cuff(limb);
        ui.horizontal_wrapped(|ui| {
            field(ui, roles, &format!("Round the {name}, cm"), &mut entry.around, 90.0);
            field(ui, roles, &format!("Bladder width, {name}, cm"), &mut entry.width, 90.0);
            field(ui, roles, &format!("Bladder length, {name}, cm"), &mut entry.length, 90.0);
            if finger(ui, roles, &format!("Cuffs on: {name}"), Weight::Plain) {
                for side in Side::BOTH {
                    out.extend(entry.cuff(side, limb).map(Preparing::PutCuff).map(Action::Prepare));
                }
            }
        });
        if let Some(cuff) = entry.cuff(Side::Right, limb) {
            cuff.faults().iter().for_each(|fault| strong(ui, fault, size::BODY, roles.act));
        }
    }
    let put = held.conduct.visit().prepared.iter().filter_map(|p| match p {
        Prepared::Cuff(cuff) => Some(cuff),
        _ => None,
    });
    put.flat_map(Cuff::faults).for_each(|fault| words(ui, &fault, size::BODY, roles.act));
}

fn instruments(ui: &mut Ui, model: &Model, _held: &Held, roles: Roles, out: &mut Vec<Action>) {
    let probe = model
        .choices
        .probe()
        .map_or("not given".into(), |p| format!("{:.1} MHz", f64::from(p) / 10.0));
    let text = format!(
        "Gauge {}, a line every {} mmHg; probe {probe}. Change them in Set-up.",
        model.choices.gauge(),
        model.choices.graduation()
    );
    words(ui, &text, size::BODY, roles.ink);
    question(ui, roles, "Needle at zero, cuff open?", None, |answer| {
        out.push(Action::Prepare(Preparing::NeedleAtZero(answer)));
    });
}

fn feet(ui: &mut Ui, held: &Held, roles: Roles, out: &mut Vec<Action>) {
    for side in Side::BOTH {
        let felt = held
            .conduct
            .visit()
            .prepared
            .iter()
            .any(|p| matches!(p, Prepared::Foot(f) if f.side == side));
        if felt {
            continue;
        }
        ui.horizontal_wrapped(|ui| {
            words(ui, &format!("{} foot", sentence(side.words())), size::BODY, roles.ink);
            for (warmth, pulse_felt, word) in [
                (Temperature::Warm, Answer::Yes, "warm, pulse felt"),
                (Temperature::Warm, Answer::No, "warm, no pulse felt"),
                (Temperature::Cool, Answer::Yes, "cool, pulse felt"),
                (Temperature::Cool, Answer::No, "cool, no pulse felt"),
                (Temperature::Cold, Answer::No, "cold, no pulse felt"),
            ] {
                let name = format!("{} foot: {word}", side.code());
                if choice_named(ui, roles, (word, &name), false) {
                    out.push(Action::Prepare(Preparing::Feel(Foot {
                        side,
                        temperature: warmth,
                        pulse_felt,
                    })));
                }
            }
        });
    }
}

fn sound(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    words(
        ui,
        &format!(
            "{}. {}",
            model.listening.source_words(&model.choices),
            model.listening.check_words()
        ),
        size::BODY,
        roles.ink,
    );
    volume(ui, model, roles, out);
    if finger(ui, roles, "Sound checked", Weight::Plain) {
        out.push(Action::Prepare(Preparing::SoundChecked(model.listening.check_words())));
    }
}

/// How loud sound is passed on; turned while it plays.
fn volume(ui: &mut Ui, model: &Model, roles: Roles, out: &mut Vec<Action>) {
    let choice = model.choices.sound();
    if choice.through.is_none() {
        if choice.cable {
            let text = "The sound is not passed on to an output. Choose one in Set-up if the Doppler's own loudspeaker is silent.";
            words(ui, text, size::BODY, roles.ink);
        }
        return;
    }
    let percent = choice.volume();
    ui.horizontal_wrapped(|ui| {
        words(ui, &format!("Passed on at a loudness of {percent} %"), size::BODY, roles.ink);
        for (text, to) in [("Softer", percent.saturating_sub(LOUDER)), ("Louder", percent + LOUDER)]
        {
            if finger(ui, roles, text, Weight::Plain) {
                out.push(Action::Choose(Change::Volume(to.clamp(LOUDER, 100))));
            }
        }
    });
}
