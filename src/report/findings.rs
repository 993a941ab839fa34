//! What was found before the cuffs were inflated: feet, cuffs and their fit, what was answered on diabetes and kidney
//! disease, and how the rest went.

use crate::clinical::event::{Answer, Cuff, Foot, Limb, Prepared, Temperature, WoundCare};
use crate::clinical::site::Side;
use crate::clinical::visit::{Attempt, Visit};

use super::blocks::{Block, CautionBlock, Section};
use super::source::ReportSource;
use super::wording::day;
use crate::words::{Words, id, say};

/// Feet, cuffs and answers; nothing where none of it was recorded.
pub fn findings(source: &ReportSource<'_>) -> Section {
    let (visit, words) = (source.visit, source.result.language);
    let mut lines: Vec<String> =
        Side::BOTH.into_iter().filter_map(|side| foot(words, visit, side)).collect();
    lines.extend(wounds(words, visit));
    lines.extend(rests(words, visit));
    lines.extend(cuffs(words, visit));
    // Beside what was found; alone they would cost a plain visit its one page, and a yes is a caution anyway.
    if !lines.is_empty() {
        lines.extend(answers(words, visit));
    }
    let blocks = if lines.is_empty() { Vec::new() } else { vec![Block::List(lines)] };
    let title = words.plain(id!("report-findings")).into();
    Section { id: "findings", title, blocks, trail: false }
}

/// An answer as the catalogue chooses by it.
const fn code(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::Unknown => "unknown",
    }
}

fn foot(words: Words, visit: &Visit, side: Side) -> Option<String> {
    let felt = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Foot(foot) if foot.side == side => Some(*foot),
        _ => None,
    })?;
    let Foot { temperature, pulse_felt, .. } = felt;
    let temperature = match temperature {
        Temperature::Warm => "warm",
        Temperature::Cool => "cool",
        Temperature::Cold => "cold",
    };
    let (side, pulse) = (side.code(), code(pulse_felt));
    Some(say!(words, "report-foot-found", side = side, temperature = temperature, pulse = pulse))
}

/// What was done about a wound where the cuff goes.
fn wounds(words: Words, visit: &Visit) -> Vec<String> {
    let decided = visit.prepared.iter().filter_map(|p| match p {
        Prepared::Wound { side, care } => Some((*side, *care)),
        _ => None,
    });
    let line = |(side, care): (Side, WoundCare)| {
        say!(words, "report-wound", side = side.code(), care = care.said(words))
    };
    decided.map(line).collect()
}

/// A patient who moved, and one who exercised.
fn rests(words: Words, visit: &Visit) -> Vec<String> {
    let moved = visit.prepared.iter().filter(|p| **p == Prepared::RestBeganAgain).count();
    let mut lines = Vec::new();
    if moved > 0 {
        let before = |a: &&Attempt| {
            a.reading().is_some() && a.ended_at.is_some_and(|at| at.utc() < visit.rest_began.utc())
        };
        let before = visit.attempts.iter().filter(before).count();
        let from = day(words, visit.rest_began);
        lines.push(say!(words, "report-moved", moved = moved, from = from, before = before));
    }
    if let Some((stopped, typed)) = &visit.exercised {
        let at = day(words, *stopped);
        lines.push(match typed.as_str() {
            "" => say!(words, "report-exercised", at = at),
            typed => say!(words, "report-exercised-words", at = at, words = typed),
        });
    }
    lines
}

/// The cuffs last put on each limb, with what is wrong with their size.
fn cuffs(words: Words, visit: &Visit) -> Vec<String> {
    let mut lines = Vec::new();
    for (limb, name) in [(Limb::Arm, "arm"), (Limb::Ankle, "ankle")] {
        let on = |side: Side| {
            visit.prepared.iter().rev().find_map(|p| match p {
                Prepared::Cuff(cuff) if (cuff.side, cuff.limb) == (side, limb) => Some(*cuff),
                _ => None,
            })
        };
        match Side::BOTH.map(on) {
            [Some(right), Some(left)] if same(&right, &left) => {
                let size = cuff_size(words, &right);
                lines.push(say!(words, "report-cuffs-both", limb = name, size = size));
            }
            sides => lines.extend(sides.into_iter().flatten().map(|cuff| {
                let (side, size) = (cuff.side.code(), cuff_size(words, &cuff));
                say!(words, "report-cuff-one", side = side, limb = name, size = size)
            })),
        }
    }
    lines
}

fn same(a: &Cuff, b: &Cuff) -> bool {
    let size = |c: &Cuff| (c.circumference_mm, c.width_mm, c.length_mm);
    size(a) == size(b)
}

fn cuff_size(words: Words, cuff: &Cuff) -> String {
    let cm = |mm: u32| words.number(f64::from(mm) / 10.0);
    let (width, length) = (cm(cuff.width_mm), cm(cuff.length_mm));
    let size = match cuff.circumference_mm.map(cm) {
        Some(around) => {
            say!(words, "report-cuff-size", width = width, length = length, around = around)
        }
        None => say!(words, "report-cuff-size-unknown", width = width, length = length),
    };
    [vec![size], cuff.faults(words)].concat().join(" ")
}

fn answers(words: Words, visit: &Visit) -> Option<String> {
    let (diabetes, kidney) = (visit.opened.diabetes, visit.opened.kidney);
    let known = diabetes != Answer::Unknown || kidney != Answer::Unknown;
    known.then(|| say!(words, "report-diseases", diabetes = code(diabetes), kidney = code(kidney)))
}

/// A rest that was cut short is a caution: the pressures may still have been falling.
pub fn short_rest(words: Words, visit: &Visit) -> Option<Block> {
    let rested = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Rested { minutes, wanted_min } => Some((*minutes, *wanted_min)),
        _ => None,
    });
    let (minutes, wanted) = rested.filter(|(minutes, wanted)| minutes < wanted)?;
    let label = words.plain(id!("report-caution")).into();
    let words = say!(words, "report-short-rest", minutes = minutes, wanted = wanted);
    Some(Block::Warning(CautionBlock { label, words }))
}
