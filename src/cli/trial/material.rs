//! What training needs of simulated sounds: labelled frames, candidate beats, chains' first beats and cues.
//! `tests/train` reads these files.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::process::ExitCode;

use rayon::prelude::*;

use super::case::{Draw, half_strangers, hear};
use crate::cli::progress::Progress;
use crate::signal::stages::Intake;
use crate::signal::{
    CUE_TRAITS, Candidate, CueMoment, FEATURES, Hearing, Listener, PossibleFirst, START_TRAITS,
};
use crate::sim::{Rendered, Truth};
use crate::trial::score::{judge, trace_s};
use crate::trial::{Half, ListenerAnswer, Rooms, Verdict, unlost};
use crate::units::SampleRate;

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum What {
    /// Features and labels of every frame.
    Frames,
    /// Traits and labels of every candidate beat.
    Beats,
    /// Traits and labels of the beats that may have been the first of a return, and of the moments at which
    /// a cue might be given.
    Chains,
    /// Whole sounds at 8 kHz with their openings, for the network of second hearing.
    Sounds,
}

/// Writes case after case.
pub(super) fn write(what: What, file: File, draw: Draw, rooms: &Rooms) -> anyhow::Result<ExitCode> {
    let mut file = BufWriter::new(file);
    let often = if what == What::Sounds { 4 } else { 2 };
    let cases: Vec<_> = half_strangers(draw.count, often).into_iter().enumerate().collect();
    let bar = Progress::new("cases", cases.len() as u64);
    for group in cases.chunks(64) {
        let labelled: Vec<Vec<u8>> = group
            .par_iter()
            .map(|&(case, source)| {
                if what == What::Sounds && case % UNCLOSED == UNCLOSED - 1 {
                    return unclosed(draw.seed, (case / UNCLOSED) as u64).unwrap_or_default();
                }
                let rendered = source.make(draw.seed, Half::Tuning, rooms);
                match what {
                    What::Frames => frames(&rendered),
                    What::Sounds => sound(&rendered).unwrap_or_default(),
                    _ => rows(what, case, &rendered),
                }
            })
            .collect();
        group.iter().for_each(|_| bar.more());
        for bytes in labelled {
            file.write_all(&bytes)?;
        }
    }
    file.flush()?;
    Ok(ExitCode::SUCCESS)
}

/// One in so many sounds is of a pulse that was never closed, of each kind in turn, in seeds that no test uses.
const UNCLOSED: usize = 7;

fn unclosed(seed: u64, nth: u64) -> Option<Vec<u8>> {
    let heard = unlost::never_closed(1_000_000 + seed * 10_000 + nth, true);
    let known = Known { closed_s: 3.0, beat_s: 0.9, pulses: Vec::new(), free: None };
    packed(&known, &heard.iter().map(|x| whole(*x)).collect::<Vec<_>>())
}

/// As a 16-bit sample.
fn whole(x: f32) -> i16 {
    (x.clamp(-1.0, 1.0) * 32_767.0) as i16
}

/// Length and JSON of what is known, number of samples and the samples as 16 bits.
fn packed(known: &Known, samples: &[i16]) -> Option<Vec<u8>> {
    let json = serde_json::to_vec(known).ok()?;
    let mut bytes = (json.len() as u32).to_le_bytes().to_vec();
    bytes.extend(json);
    bytes.extend((samples.len() as u32).to_le_bytes());
    samples.iter().for_each(|x| bytes.extend(x.to_le_bytes()));
    Some(bytes)
}

/// What is known of a sound that the networks learn on; times in seconds.
#[derive(serde::Serialize)]
struct Known {
    closed_s: f64,
    beat_s: f64,
    /// Onset, end and d' of each opening after the closure.
    pulses: Vec<(f64, f64, f64)>,
    /// The same of all others; none where they are not known.
    free: Option<Vec<(f64, f64, f64)>>,
}

/// The first inflation of a sound.
fn sound(rendered: &Rendered) -> Option<Vec<u8>> {
    let known = known(&rendered.truth)?;
    let mut samples = Vec::new();
    let mut intake = Intake::new(SampleRate::new(rendered.rate_hz)?, rendered.channels);
    intake.push(&rendered.samples, |_, x| samples.push(whole(x)));
    samples.truncate((first_ends_s(&rendered.truth) * 8_000.0) as usize);
    packed(&known, &samples)
}

/// Where the first inflation's sound ends, seconds.
fn first_ends_s(truth: &Truth) -> f64 {
    truth.inflations.get(1).map_or(truth.duration_s, |next| next.pump_start_s)
}

/// What comes back after the first inflation.
fn known(truth: &Truth) -> Option<Known> {
    let (first, end_s) = (truth.inflations.first()?, first_ends_s(truth));
    let closed_s = first.closed_s.unwrap_or(first.top_s);
    // Where recording began with the cuff closed, no pulse was heard to stop, but one comes back all the same.
    let returns = first.closed_s.or(first.first_opening_s).is_some();
    let openings = truth.openings.iter().filter(|o| o.onset_s < end_s - 0.1);
    let told = openings.map(|o| (o.onset_s, o.end_s.max(o.onset_s + 0.03), o.d_prime));
    let (pulses, free) = told.partition(|o| returns && o.0 > closed_s);
    Some(Known { closed_s, beat_s: 60.0 / truth.heart_rate_bpm.max(1.0), pulses, free: Some(free) })
}

/// Frames and features in number, the features as thousandths, the labels.
fn frames(rendered: &Rendered) -> Vec<u8> {
    let frames = hear(rendered, true).frames;
    let mut bytes = Vec::with_capacity(8 + frames.len() * (2 * FEATURES + 1));
    bytes.extend((frames.len() as u32).to_le_bytes());
    bytes.extend((FEATURES as u32).to_le_bytes());
    for frame in &frames {
        for value in frame {
            bytes.extend(((value * 1000.0) as i16).to_le_bytes());
        }
    }
    bytes.extend(labels(frames.len(), &rendered.truth));
    bytes
}

/// A pulse this plain (d') is to be found; a fainter one is not scored.
const PLAIN_ENOUGH: f64 = 5.0;
/// Of a long flow only the beginning is the pulse, seconds.
const PULSE_S: f64 = 0.3;
const SOUNDS: u8 = 1;
const BEGINS: u8 = 2;
const UNSCORED: u8 = 4;
const WEIGHTY: u8 = 8;

/// For each frame: [`SOUNDS`], [`BEGINS`], [`UNSCORED`], [`WEIGHTY`] as bits.
fn labels(frames: usize, truth: &Truth) -> Vec<u8> {
    let mut labels = vec![0u8; frames];
    let mut mark = |from_s: f64, to_s: f64, bits: u8| {
        let frame = |s: f64| ((s - 0.016) / 0.01).round().clamp(0.0, frames as f64) as usize;
        labels[frame(from_s)..frame(to_s).max(frame(from_s))].iter_mut().for_each(|l| *l |= bits);
    };
    for inflation in &truth.inflations {
        // The closed cuff and the first beats after it are what the listener is for.
        let from = inflation.closed_s.unwrap_or(inflation.top_s);
        let to = inflation.audible_s.map_or(truth.duration_s, |a| a + 5.0);
        mark(from, to, WEIGHTY);
    }
    for opening in truth.openings.iter().filter(|o| o.d_prime >= 1.0) {
        let onset = opening.onset_s;
        let end = opening.end_s.max(onset + 0.03);
        if opening.d_prime < PLAIN_ENOUGH {
            mark(onset - 0.01, end + 0.02, UNSCORED);
            continue;
        }
        mark(onset, end.min(onset + PULSE_S), SOUNDS);
        mark(onset + PULSE_S, end.max(onset + PULSE_S), UNSCORED);
        mark(onset - 0.01, onset + 0.011, BEGINS);
    }
    labels
}

/// Rows of f32: a head of three numbers, then the traits.
fn rows(what: What, case: usize, rendered: &Rendered) -> Vec<u8> {
    let Some(rate) = SampleRate::new(rendered.rate_hz) else { return Vec::new() };
    let mut listener = Listener::quick(rate, rendered.channels);
    let mut bytes = Vec::new();
    let mut plain_moments = 0;
    let mut take = |listener: &mut Listener| {
        let mut row = |head: [f32; 3], traits: &[f32]| {
            bytes.extend(head.iter().chain(traits).flat_map(|v| v.to_le_bytes()));
        };
        for (kind, hearing) in [Hearing::Far, Hearing::Near, Hearing::Late].into_iter().enumerate()
        {
            while let Some(candidate) = listener.poll_candidate(hearing) {
                let label = beat_label(&candidate, &rendered.truth);
                if let Some((label, weight)) = label.filter(|_| what == What::Beats) {
                    row([kind as f32, label, weight], &candidate.traits);
                }
            }
        }
        while let Some(first) = listener.poll_first() {
            let right = first_label(&first, rate, &rendered.truth);
            if what == What::Chains && first.of == 0 {
                // All rows of a file are as long as the longest.
                let mut traits = [0.0; CUE_TRAITS];
                traits[..START_TRAITS].copy_from_slice(&first.traits);
                row([case as f32, f32::from(u8::from(right)), FIRST], &traits);
            }
        }
        while let Some(moment) = listener.poll_moment() {
            let Some(right) = moment_label(&moment, rate, &rendered.truth) else { continue };
            plain_moments += u32::from(right);
            if what == What::Chains && (!right || plain_moments <= MOMENTS) {
                row([case as f32, f32::from(u8::from(right)), MOMENT], &moment.traits);
            }
        }
        while listener.poll().is_some() {}
    };
    for block in rendered.samples.chunks(4096) {
        listener.push(block);
        take(&mut listener);
    }
    listener.finish();
    take(&mut listener);
    bytes
}

/// Which kind of row it is, where both are in one file.
const FIRST: f32 = 0.0;
const MOMENT: f32 = 1.0;
/// Moments after the return that matter: later ones are plain to anyone.
const MOMENTS: u32 = 4;
/// A beat at which a cue is right: this plain (d').
const CUED: f64 = 4.0;

/// Whether a return that begins here would be a hit.
fn first_label(first: &PossibleFirst, rate: SampleRate, truth: &Truth) -> bool {
    let return_s = Some(first.onset.seconds(rate));
    judge(&ListenerAnswer { return_s, ..ListenerAnswer::default() }, &truth.into()).verdict
        == Verdict::Hit
}

/// Whether a cue now would be right; `None` where it is neither plainly right nor false.
fn moment_label(moment: &CueMoment, rate: SampleRate, truth: &Truth) -> Option<bool> {
    let (at, newest) = (moment.at.seconds(rate), moment.newest.seconds(rate));
    let Some(trace_s) = trace_s(&truth.into()).filter(|_| truth.audible_s.is_some()) else {
        return Some(false);
    };
    if at < trace_s {
        return Some(false);
    }
    let heard = |o: &&crate::sim::TrueOpening| {
        o.onset_s >= trace_s && o.d_prime >= CUED && (o.onset_s - newest).abs() < 0.15
    };
    truth.openings.iter().find(heard).map(|_| true)
}

/// Whether a candidate is a beat, and how much it matters; `None` where nobody could tell.
fn beat_label(candidate: &Candidate, truth: &Truth) -> Option<(f32, f32)> {
    let at = candidate.onset_s;
    let near = truth
        .openings
        .iter()
        .filter(|o| at > o.onset_s - 0.15 && at < o.end_s.min(o.onset_s + 0.25))
        .map(|o| o.d_prime)
        .fold(0.0, f64::max);
    if (1.0..4.0).contains(&near) {
        return None;
    }
    let matters = truth.inflations.iter().any(|i| {
        let from = i.closed_s.unwrap_or(i.top_s);
        (from..i.audible_s.map_or(truth.duration_s, |a| a + 6.0)).contains(&at)
    });
    Some((f32::from(u8::from(near >= 4.0)), if matters { 1.0 } else { 0.25 }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::trial::case::Source;

    /// Also where no pulse was heard before.
    #[test]
    fn what_returns_in_the_trial_returns_in_training() {
        let rooms = Rooms::default();
        let truths: Vec<Truth> = (0..120u64)
            .into_par_iter()
            .map(|n| Source::Stranger(n).make(3, Half::Tuning, &rooms).truth)
            .collect();
        let (mut returns, mut unheard_before) = (0, 0);
        for truth in &truths {
            let known = known(truth).expect("every sound has an inflation");
            let first = &truth.inflations[0];
            let back = |s: &f64| known.pulses.iter().any(|p| p.0 == *s && p.2 >= crate::sim::HEARD);
            match first.audible_s.filter(|s| *s < first_ends_s(truth) - 0.1) {
                Some(s) => {
                    assert!(back(&s), "the return at {s} s is among what training is told");
                    returns += 1;
                    unheard_before += usize::from(first.closed_s.is_none());
                }
                None if first.first_opening_s.is_none() => assert!(known.pulses.is_empty()),
                None => {}
            }
        }
        assert!(returns > 40 && unheard_before > 1, "{returns}, {unheard_before}");
    }
}
