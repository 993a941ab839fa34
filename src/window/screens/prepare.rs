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
use crate::window::model::choices::Change;
use crate::window::model::visit::HeldVisit;
use crate::window::paint::parts::Emphasis;
use crate::window::paint::theme::size;
use crate::window::sentence::sentence;
use crate::words::Words;

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
    c.panel(|c| {
        c.row(|c| {
            c.column(|c| {
                let clock = format!("{}:{:02}", rested_s / 60, rested_s % 60);
                c.strong(&clock, size::SITE, c.roles.ink);
                let said = if rested_s >= wanted_s {
                    format!("Rested {} minutes.", model.choices.rest_min())
                } else {
                    format!("At rest, lying, no talking: {} minutes.", model.choices.rest_min())
                };
                c.words(&said, size::BODY, c.roles.quiet);
            });
            c.space(3.0 * size::GRID);
            if held.conduct.current().is_some() {
                if c.target("Back to measuring", "", vec2(240.0, size::GLOVE), Emphasis::Act) {
                    c.act(Action::Go(Screen::Measure));
                }
                return;
            }
            let (text, weight) = if rested_s >= wanted_s {
                ("Start measuring", Emphasis::Act)
            } else {
                ("Start early (rest incomplete)", Emphasis::Plain)
            };
            if c.target(text, "", vec2(300.0, size::GLOVE), weight) {
                c.act(Action::Prepare(Preparing::EndRest));
            }
            if c.finger("Leave", Emphasis::Plain) {
                c.act(Action::Visit(VisitAct::Leave));
            }
            if c.finger("Set-up", Emphasis::Plain) {
                c.act(Action::Go(Screen::SetUp));
            }
        });
    });
}

/// One step: its name, what it asks, and the one act that leaves it out. Done, it is one line.
fn step(c: &mut Canvas<'_>, held: &HeldVisit, step: Step, inside: impl FnOnce(&mut Canvas<'_>)) {
    let done = preparing::step_done(held.conduct.visit(), step);
    c.panel(|c| {
        c.row(|c| {
            c.strong(&sentence(step.words()), size::BODY + 2.0, c.roles.ink);
            if done {
                c.words(&told(held, step), size::BODY, c.roles.quiet);
            } else if c.finger(&format!("Skip: {}", step.words()), Emphasis::Plain) {
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

/// What a step came to, in a line.
fn told(held: &HeldVisit, step: Step) -> String {
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
        let raised = cautions::raised(held.conduct.visit(), Words::english()).len();
        return if raised == 0 {
            "asked: none present".into()
        } else {
            format!("asked: {raised} present")
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
                Answer::Unknown => "pulse not checked",
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
fn questions(c: &mut Canvas<'_>, held: &HeldVisit) {
    let mut items: Vec<Item> = cautions::list().into_iter().filter(|item| item.ask).collect();
    items.sort_by_key(|item| item.weight);
    let open = !cautions::to_ask(held.conduct.visit()).is_empty();
    let any = held.conduct.visit().answers.iter().any(|a| a.answer == Answer::Yes);
    let count = items.len();
    c.words(&format!("{count} questions. Touch what applies."), size::BODY, c.roles.quiet);
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
                let word = side.map_or("yes".to_owned(), |s| format!("yes, {}", s.code()));
                let name = format!("{word}: {}", item.question);
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
            true => ("None of the others", Emphasis::Plain),
            false => ("None of these", Emphasis::Act),
        };
        if c.target(text, "", least, weight) {
            c.act(Action::Prepare(Preparing::NoneApplies));
        }
    }
    for flag in cautions::raised(held.conduct.visit(), Words::english()) {
        c.strong(&sentence(&flag.words), size::BODY, c.roles.act);
    }
}

/// What is done about a wound where the cuff goes.
fn wound(c: &mut Canvas<'_>, held: &HeldVisit, side: Side) {
    let decided = held.conduct.visit().prepared.iter().rev().find_map(|p| match p {
        Prepared::Wound { side: of, care } if *of == side => Some(*care),
        _ => None,
    });
    c.row(|c| {
        let text = format!("Wound where the cuff goes, {} leg:", side.words());
        c.words(&text, size::BODY, c.roles.ink);
        for care in WoundCare::ALL {
            let name = format!("{} leg: {}", side.code(), care.words());
            if c.choice_named(care.words(), &name, decided == Some(care)) {
                c.act(Action::Prepare(Preparing::Wound(side, care)));
            }
        }
    });
}

/// What is said of cuffs that were put on without a measured limb.
const FIT_UNCHECKED: &str =
    "Fit not checked: measure the limb's circumference, type it, and put the cuff on again.";

fn cuffs(c: &mut Canvas<'_>, model: &Model, held: &HeldVisit) {
    c.desk.cuffs_of(held.id);
    if let Some(sizes) = model.choices.cuffs() {
        let [arm_width, arm_length, ankle_width, ankle_length] = sizes.map(|mm| mm / 10);
        let text = format!(
            "As last time: arm {arm_width} x {arm_length} cm, ankle {ankle_width} x {ankle_length} cm, needle at zero"
        );
        if c.target(&text, "", vec2(300.0, size::TARGET), Emphasis::Act) {
            let around_mm = [Limb::Arm, Limb::Ankle].map(|limb| c.desk.cuff(limb).around_mm());
            let last = LastTime { cuffs_mm: sizes, around_mm, probe: model.choices.probe() };
            c.act(Action::Prepare(Preparing::AsLastTime(last)));
        }
    }
    c.words("Bladder width at least 40 %, length at least 80 % of the circumference. At the ankle the cuff ends just above the malleoli; the artery stays reachable.",
        size::SMALL,
        c.roles.quiet,
    );
    for limb in [Limb::Arm, Limb::Ankle] {
        let name = if limb == Limb::Arm { "arms" } else { "ankles" };
        c.row(|c| {
            c.entry(&format!("Circumference, {name}, cm"), 90.0, |d| &mut d.cuff(limb).around);
            c.entry(&format!("Bladder width, {name}, cm"), 90.0, |d| &mut d.cuff(limb).width);
            c.entry(&format!("Bladder length, {name}, cm"), 90.0, |d| &mut d.cuff(limb).length);
            if c.finger(&format!("Cuffs on: {name}"), Emphasis::Plain) {
                for side in Side::BOTH {
                    let cuff = c.desk.cuff(limb).cuff(side, limb);
                    c.out.extend(cuff.map(Preparing::PutCuff).map(Action::Prepare));
                }
            }
        });
        if let Some(cuff) = c.desk.cuff(limb).cuff(Side::Right, limb) {
            cuff.faults(Words::english())
                .iter()
                .for_each(|fault| c.strong(fault, size::BODY, c.roles.act));
        }
    }
    let put = held.conduct.visit().prepared.iter().filter_map(|p| match p {
        Prepared::Cuff(cuff) => Some(cuff),
        _ => None,
    });
    if put.clone().any(|cuff| cuff.circumference_mm.is_none()) {
        c.words(FIT_UNCHECKED, size::BODY, c.roles.act);
    }
    put.flat_map(|cuff| cuff.faults(Words::english()))
        .for_each(|fault| c.words(&fault, size::BODY, c.roles.act));
}

fn instruments(c: &mut Canvas<'_>, model: &Model) {
    let probe = model
        .choices
        .probe()
        .map_or("not given".into(), |p| format!("{:.1} MHz", f64::from(p) / 10.0));
    let text = format!(
        "Gauge {}, a line every {} mmHg; probe {probe}. Change them in Set-up.",
        model.choices.gauge(),
        model.choices.graduation()
    );
    c.words(&text, size::BODY, c.roles.ink);
    if let Some(answer) = question(c, "Needle at zero, cuff open?", None) {
        c.act(Action::Prepare(Preparing::NeedleAtZero(answer)));
    }
}

fn feet(c: &mut Canvas<'_>, held: &HeldVisit) {
    for side in Side::BOTH {
        let felt = held.conduct.visit().prepared.iter().rev().find_map(|p| match p {
            Prepared::Foot(foot) if foot.side == side => Some(*foot),
            _ => None,
        });
        c.row(|c| {
            c.words(&format!("{} foot", sentence(side.words())), size::BODY, c.roles.ink);
            for (warmth, pulse_felt, word) in [
                (Temperature::Warm, Answer::Yes, "warm, pulse felt"),
                (Temperature::Warm, Answer::No, "warm, no pulse felt"),
                (Temperature::Cool, Answer::Yes, "cool, pulse felt"),
                (Temperature::Cool, Answer::No, "cool, no pulse felt"),
                (Temperature::Cold, Answer::Yes, "cold, pulse felt"),
                (Temperature::Cold, Answer::No, "cold, no pulse felt"),
            ] {
                let name = format!("{} foot: {word}", side.code());
                let foot = Foot { side, temperature: warmth, pulse_felt };
                if c.choice_named(word, &name, felt == Some(foot)) {
                    c.act(Action::Prepare(Preparing::Feel(foot)));
                }
            }
        });
    }
}

fn sound(c: &mut Canvas<'_>, model: &Model) {
    c.words(
        &format!(
            "{}. {}",
            model.listening.source_words(&model.choices),
            model.listening.check_words()
        ),
        size::BODY,
        c.roles.ink,
    );
    volume(c, model);
    if c.finger("Sound checked", Emphasis::Plain) {
        c.act(Action::Prepare(Preparing::SoundChecked(model.listening.check_words())));
    }
}

/// How loud sound is passed on; turned while it plays.
fn volume(c: &mut Canvas<'_>, model: &Model) {
    let choice = model.choices.sound();
    if choice.through.is_none() {
        if choice.cable {
            let text = "No sound is passed to the headphones or loudspeaker. Choose an output in Set-up if the Doppler itself is silent.";
            c.words(text, size::BODY, c.roles.ink);
        }
        return;
    }
    let percent = choice.volume();
    c.row(|c| {
        c.words(&format!("Output volume {percent} %"), size::BODY, c.roles.ink);
        for (text, to) in [("Softer", percent.saturating_sub(LOUDER)), ("Louder", percent + LOUDER)]
        {
            if c.finger(text, Emphasis::Plain) {
                c.act(Action::Choose(Change::Volume(to.clamp(LOUDER, 100))));
            }
        }
    });
}
