//! What was found before the cuffs were inflated: feet, cuffs and their fit, what was answered on diabetes and kidney
//! disease, and how the rest went.

use crate::clinical::event::{Answer, Cuff, Foot, Limb, Prepared, Temperature, WoundCare};
use crate::clinical::site::Side;
use crate::clinical::visit::{Attempt, Visit};

use super::blocks::{Block, CautionBlock, Section};
use super::source::ReportSource;
use super::wording::{day, sentence};

/// Feet, cuffs and answers; nothing where none of it was recorded.
pub fn findings(source: &ReportSource<'_>) -> Section {
    let visit = source.visit;
    let mut lines: Vec<String> =
        Side::BOTH.into_iter().filter_map(|side| foot(visit, side)).collect();
    lines.extend(wounds(visit));
    lines.extend(rests(visit));
    lines.extend(cuffs(visit));
    // Beside what was found; alone they would cost a plain visit its one page, and a yes is a caution anyway.
    if !lines.is_empty() {
        lines.extend(answers(visit));
    }
    let blocks = if lines.is_empty() { Vec::new() } else { vec![Block::List(lines)] };
    Section { id: "findings", title: "Findings before measuring".into(), blocks, trail: false }
}

fn foot(visit: &Visit, side: Side) -> Option<String> {
    let felt = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Foot(foot) if foot.side == side => Some(*foot),
        _ => None,
    })?;
    let Foot { temperature, pulse_felt, .. } = felt;
    let warmth = match temperature {
        Temperature::Warm => "warm",
        Temperature::Cool => "cool",
        Temperature::Cold => "cold",
    };
    let pulse = match pulse_felt {
        Answer::Yes => "pulse felt",
        Answer::No => "no pulse felt",
        Answer::Unknown => "pulse not checked",
    };
    Some(format!("{} foot: {warmth}, {pulse}.", sentence(side.words())))
}

/// What was done about a wound where the cuff goes.
fn wounds(visit: &Visit) -> Vec<String> {
    let decided = visit.prepared.iter().filter_map(|p| match p {
        Prepared::Wound { side, care } => Some((*side, *care)),
        _ => None,
    });
    let line = |(side, care): (Side, WoundCare)| {
        format!("Wound where the cuff goes, {} leg: {}.", side.words(), care.words())
    };
    decided.map(line).collect()
}

/// A patient who moved, and one who exercised.
fn rests(visit: &Visit) -> Vec<String> {
    let moved = visit.prepared.iter().filter(|p| **p == Prepared::RestBeganAgain).count();
    let mut lines = Vec::new();
    if moved > 0 {
        let times = if moved == 1 { "once".to_owned() } else { format!("{moved} times") };
        let before = |a: &&Attempt| {
            a.reading().is_some() && a.ended_at.is_some_and(|at| at.utc() < visit.rest_began.utc())
        };
        let before = visit.attempts.iter().filter(before).count();
        let readings = if before == 1 { "reading" } else { "readings" };
        lines.push(format!(
            "The patient moved {times} and rested again, the last time from {}; {before} {readings} stand from before.",
            day(visit.rest_began)
        ));
    }
    if let Some((stopped, words)) = &visit.exercised {
        let words = if words.is_empty() { String::new() } else { format!(": {words}") };
        lines.push(format!("Exercise ended {}{words}.", day(*stopped)));
    }
    lines
}

/// The cuffs last put on each limb, with what is wrong with their size.
fn cuffs(visit: &Visit) -> Vec<String> {
    let mut lines = Vec::new();
    for limb in [Limb::Arm, Limb::Ankle] {
        let on = |side: Side| {
            visit.prepared.iter().rev().find_map(|p| match p {
                Prepared::Cuff(cuff) if (cuff.side, cuff.limb) == (side, limb) => Some(*cuff),
                _ => None,
            })
        };
        let name = if limb == Limb::Arm { "arm" } else { "ankle" };
        match Side::BOTH.map(on) {
            [Some(right), Some(left)] if same(&right, &left) => {
                lines.push(cuff(&format!("Cuffs, both {name}s"), &right));
            }
            sides => lines.extend(
                sides
                    .into_iter()
                    .flatten()
                    .map(|c| cuff(&format!("Cuff, {} {name}", c.side.words()), &c)),
            ),
        }
    }
    lines
}

fn same(a: &Cuff, b: &Cuff) -> bool {
    let size = |c: &Cuff| (c.circumference_mm, c.width_mm, c.length_mm);
    size(a) == size(b)
}

fn cuff(name: &str, cuff: &Cuff) -> String {
    let cm = |mm: u32| f64::from(mm) / 10.0;
    let around = match cuff.circumference_mm {
        Some(mm) => format!("limb circumference {} cm", cm(mm)),
        None => "limb not measured, so fit not checked".into(),
    };
    let size =
        format!("{name}: bladder {} x {} cm, {around}.", cm(cuff.width_mm), cm(cuff.length_mm));
    [vec![size], cuff.faults()].concat().join(" ")
}

fn answers(visit: &Visit) -> Option<String> {
    let word = |answer: Answer| match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::Unknown => "not known",
    };
    let (diabetes, kidney) = (visit.opened.diabetes, visit.opened.kidney);
    let known = diabetes != Answer::Unknown || kidney != Answer::Unknown;
    known.then(|| format!("Diabetes {}, kidney disease {}.", word(diabetes), word(kidney)))
}

/// A rest that was cut short is a caution: the pressures may still have been falling.
pub fn short_rest(visit: &Visit) -> Option<Block> {
    let rested = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Rested { minutes, wanted_min } => Some((*minutes, *wanted_min)),
        _ => None,
    });
    let (minutes, wanted) = rested.filter(|(minutes, wanted)| minutes < wanted)?;
    let words = format!(
        "The patient rested {minutes} of {wanted} minutes. Pressures fall during rest: after 5 minutes half of 199 patients were within 5 mmHg of their steady pressure (Mahe 2017, Scientific Reports, PMC5635024)."
    );
    Some(Block::Warning(CautionBlock { label: "Caution", words }))
}
