//! Looks for better beliefs by chance, on sounds of the tuning half.

use std::process::ExitCode;

use rayon::prelude::*;

use super::case::{Draw, Heard, half_strangers, take_answer};
use crate::cli::output::say;
use crate::signal::{Beliefs, Examined, FEATURES, FrameScore, Listener};
use crate::sim::{Chance, Truth};
use crate::trial::score::judge;
use crate::trial::{Half, ListenerAnswer, Rooms, Verdict};
use crate::units::SampleRate;

/// The frames of one sound as they were examined, to be heard again.
struct Kept {
    truth: Truth,
    frames: Vec<([f32; FEATURES], Option<FrameScore>)>,
}

/// Looks for better beliefs by chance, on sounds of the tuning half that are rendered once.
pub(super) fn run(tries: u64, draw: Draw, rooms: &Rooms) -> anyhow::Result<ExitCode> {
    let kept: Vec<Kept> = half_strangers(draw.count, 2)
        .par_iter()
        .map(|source| {
            let rendered = source.make(draw.seed, Half::Tuning, rooms);
            let mut frames = Vec::new();
            if let Some(rate) = SampleRate::new(rendered.rate_hz) {
                let mut listener = Listener::quick(rate, rendered.channels);
                listener.push_examined(&rendered.samples, |f| {
                    frames.push((*f.features, f.score));
                });
            }
            Kept { truth: rendered.truth, frames }
        })
        .collect();
    let mut chance = Chance::new(draw.seed, 0x7e5);
    let mut best = (Beliefs::default(), f64::INFINITY);
    for attempt in 0..=tries {
        let beliefs = if attempt == 0 { best.0 } else { moved(best.0, &mut chance) };
        let cost = cost(&kept, beliefs);
        if cost < best.1 {
            best = (beliefs, cost);
            say(&format!("try {attempt}: cost {cost:.4} with {beliefs:?}\n"))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// One or two numbers changed a little, or much.
fn moved(mut beliefs: Beliefs, chance: &mut Chance) -> Beliefs {
    for _ in 0..=chance.index(2) {
        let belief = if chance.happens(0.45) { &mut beliefs.near } else { &mut beliefs.late };
        let step = chance.pick(&[0.15, 0.5, 1.5]) * chance.normal();
        if chance.happens(0.1) {
            beliefs.cue = (beliefs.cue + step as f32).clamp(-3.0, 6.0);
            continue;
        }
        match chance.index(7) {
            0 => belief.start = (belief.start + step as f32).clamp(0.0, 12.0),
            1 => belief.again = (belief.again + step as f32).clamp(0.0, 20.0),
            2 => belief.rhythm = (belief.rhythm + 0.3 * step as f32).clamp(0.1, 2.0),
            3 => belief.margin = (belief.margin + step as f32).clamp(0.2, 12.0),
            4 => belief.alone = (belief.alone + step as f32).clamp(0.2, 12.0),
            5 => belief.bias = (belief.bias + 0.5 * step as f32).clamp(-3.0, 4.0),
            _ => belief.gain = (belief.gain + 0.2 * step as f32).clamp(0.2, 2.0),
        }
    }
    beliefs
}

/// Misses and late returns count once, early and false ones three times, false cues likewise; a cue that
/// is not in time counts a tenth.
fn cost(kept: &[Kept], beliefs: Beliefs) -> f64 {
    let costs: f64 = kept
        .par_iter()
        .map(|kept| {
            let judged = judge(&rehear(kept, beliefs), &(&kept.truth).into());
            let verdict = match judged.verdict {
                Verdict::Hit | Verdict::Silent => 0.0,
                Verdict::Late | Verdict::Missed => 1.0,
                Verdict::Early | Verdict::False => 3.0,
            };
            let slow = judged.cue_latency_s.map_or(0.0, |l| (l - 0.25).clamp(0.0, 2.0) * 0.05);
            verdict + 3.0 * f64::from(u8::from(judged.cue_false)) + slow
        })
        .sum();
    costs / kept.len() as f64
}

fn rehear(kept: &Kept, beliefs: Beliefs) -> ListenerAnswer {
    let Some(rate) = SampleRate::new(8_000) else { return ListenerAnswer::default() };
    let mut listener = Listener::with_beliefs(rate, 1, beliefs);
    let mut heard = Heard::default();
    for &(ref features, score) in &kept.frames {
        listener.rehear(&Examined { features, score });
        take_answer(&mut listener, rate, &mut heard);
    }
    listener.finish();
    take_answer(&mut listener, rate, &mut heard);
    heard.answer
}
