//! The verb `trial`: scores the listener on simulated deflations, beside two general-purpose methods.

use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use indicatif::ProgressBar;
use rayon::prelude::*;

use crate::files;
use crate::live::room;
use crate::signal::{Beliefs, Candidate, Evidence, Examined, FEATURES, Finding, Listener};
use crate::sim::{Chance, Rendered, Truth, render};
use crate::trial::grid::{self, RoomSound};
use crate::trial::score::{Judged, judge};
use crate::trial::table::{Row, wilson};
use crate::trial::{Answer, Half, Rooms, Stratum, Verdict, plain};
use crate::units::SampleRate;

#[derive(clap::Args)]
pub(super) struct Words {
    /// Seed of the grid
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Cases a stratum
    #[arg(long, default_value_t = 100)]
    count: u64,
    /// Folder of recorded room sounds, one folder a kind (16 kHz mono WAV); else all noise is made here
    #[arg(long, value_name = "DIR")]
    noise: Option<PathBuf>,
    /// A row a case, as CSV
    #[arg(long, value_name = "CSV")]
    out: Option<PathBuf>,
    /// Draw from the half that is kept for tuning instead of the one kept for reporting
    #[arg(long)]
    tuning: bool,
    /// Write features and labels of every frame, for training, and score nothing
    #[arg(long, value_name = "FILE", hide = true)]
    features: Option<PathBuf>,
    /// Write the traits and labels of every candidate beat, for training, and score nothing
    #[arg(long, value_name = "FILE", hide = true)]
    beats: Option<PathBuf>,
    /// Try this many other beliefs on the same sounds, print the best, and score nothing
    #[arg(long, value_name = "TRIES", hide = true)]
    tune: Option<u64>,
}

/// One case with what the three methods said of it.
struct Outcome {
    stratum: Stratum,
    number: u64,
    truth: Truth,
    answers: [Answer; 3],
    judged: [Judged; 3],
}

const METHODS: [&str; 3] = ["listener", "spectral flux and rhythm", "band energy"];

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let half = if words.tuning { Half::Tuning } else { Half::Report };
    let rooms = match &words.noise {
        Some(folder) => Rooms::of_half(room_sounds(folder)?, half),
        None => Rooms::default(),
    };
    let cases: Vec<(Stratum, u64)> =
        (0..words.count).flat_map(|n| Stratum::ALL.map(|stratum| (stratum, n))).collect();
    if let Some(path) = &words.features {
        return write_labelled(path, &cases, &words, half, &rooms, labelled);
    }
    if let Some(path) = &words.beats {
        return write_labelled(path, &cases, &words, half, &rooms, labelled_beats);
    }
    if let Some(tries) = words.tune {
        return tune(tries, &cases, &words, half, &rooms);
    }
    let bar = ProgressBar::new(cases.len() as u64);
    let outcomes: Vec<Outcome> = cases
        .par_iter()
        .map(|&(stratum, number)| {
            let (case, seed) = grid::draw(stratum, words.seed, number, half, &rooms);
            let outcome = try_case(stratum, number, render(&case, seed));
            bar.inc(1);
            outcome
        })
        .collect();
    bar.finish_and_clear();
    print_head(&words, half, &rooms);
    print_tables(&outcomes);
    if let Some(path) = &words.out {
        files::write_atomic(path, &csv_rows(&outcomes)?)
            .with_context(|| format!("{}", path.display()))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn try_case(stratum: Stratum, number: u64, rendered: Rendered) -> Outcome {
    let (answer, features) = hear(&rendered);
    let answers = [answer, plain::flux_with_rhythm(&features), plain::band_energy(&features)];
    let judged = answers.each_ref().map(|a| judge(a, &rendered.truth));
    Outcome { stratum, number, truth: rendered.truth, answers, judged }
}

/// The listener's answer to a sound, and the frames that it saw.
fn hear(rendered: &Rendered) -> (Answer, Vec<[f32; FEATURES]>) {
    let mut frames = Vec::new();
    let mut answer = Answer::default();
    let Some(rate) = SampleRate::new(rendered.rate_hz) else { return (answer, frames) };
    let mut listener = Listener::new(rate, rendered.channels);
    for block in rendered.samples.chunks(4096) {
        listener.push_examined(block, |frame| frames.push(*frame.features));
        take_answer(&mut listener, rate, &mut answer);
    }
    listener.finish();
    take_answer(&mut listener, rate, &mut answer);
    (answer, frames)
}

/// Notes the first return and the first cue that was given before it.
fn take_answer(listener: &mut Listener, rate: SampleRate, answer: &mut Answer) {
    while let Some(finding) = listener.poll() {
        match finding {
            Finding::Cue(cue) if answer.return_s.is_none() && answer.cue_s.is_none() => {
                answer.cue_s = Some(cue.at.seconds(rate));
            }
            Finding::Return(found) if answer.return_s.is_none() => {
                answer.return_s = Some(found.onset.seconds(rate));
                answer.confidence = Some(f64::from(found.confidence));
                answer.evidence = Some(found.evidence);
                answer.cue_s = found.cue.map(|cue| cue.at.seconds(rate));
            }
            _ => {}
        }
    }
}

/// Reads `FOLDER/KIND/*.wav`.
fn room_sounds(folder: &Path) -> anyhow::Result<Vec<RoomSound>> {
    let named = || folder.display().to_string();
    let mut sounds = Vec::new();
    for kind in std::fs::read_dir(folder).with_context(named)? {
        let kind = kind?.path();
        let name = kind.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let of = if kind.is_dir() { room::sounds(&kind) } else { Ok(Vec::new()) };
        let of = of.map_err(anyhow::Error::msg)?.into_iter();
        sounds.extend(of.map(|sound| RoomSound { kind: name.clone(), sound }));
    }
    ensure!(
        !sounds.is_empty(),
        "{} holds no folder with WAV files: it should hold one folder a kind of sound",
        named()
    );
    Ok(sounds)
}

fn print_head(words: &Words, half: Half, rooms: &Rooms) {
    println!(
        "{} half, seed {}, {} cases a stratum, {}",
        if half == Half::Tuning { "tuning" } else { "reporting" },
        words.seed,
        words.count,
        match rooms.len() {
            0 => "synthetic room noise only".to_owned(),
            n => format!("{n} recorded room sounds"),
        }
    );
}

fn print_tables(outcomes: &[Outcome]) {
    for (m, method) in METHODS.iter().enumerate() {
        println!("\n{method}");
        println!(
            "{:<26}{:>6}{:>8}{:>16}{:>7}{:>7}{:>7}{:>7}{:>9}{:>8}{:>8}{:>8}{:>8}",
            "stratum",
            "n",
            "hit %",
            "(95 %)",
            "late",
            "early",
            "miss",
            "false",
            "err ms",
            "mmHg",
            "cue ms",
            "in time",
            "f.cue"
        );
        let mut all = Row::default();
        for stratum in Stratum::ALL {
            let mut row = Row::default();
            outcomes.iter().filter(|o| o.stratum == stratum).for_each(|o| row.add(o.judged[m]));
            print_row(stratum.name(), &row);
            all.extend(&row);
        }
        print_row("all", &all);
        if m == 0 {
            print_calibration(&all);
        }
    }
}

fn print_row(name: &str, row: &Row) {
    let n = row.count();
    // Where nothing returned, silence is the right answer and counts as a hit.
    let right = row.of(Verdict::Hit) + row.of(Verdict::Silent);
    let (low, high) = wilson(right, n);
    let percent = |x: f64| 100.0 * x;
    let share = |v: usize| format!("{:.1}", percent(v as f64 / n.max(1) as f64));
    let number = |v: Option<f64>, scale: f64, digits: usize| {
        v.map_or("-".to_owned(), |v| format!("{:.*}", digits, v * scale))
    };
    println!(
        "{name:<26}{n:>6}{:>8}{:>16}{:>7}{:>7}{:>7}{:>7}{:>9}{:>8}{:>8}{:>8}{:>8}",
        share(right),
        format!("({:.1}-{:.1})", percent(low), percent(high)),
        share(row.of(Verdict::Late)),
        share(row.of(Verdict::Early)),
        share(row.of(Verdict::Missed)),
        share(row.of(Verdict::False)),
        number(row.median_shift_s(), 1000.0, 0),
        number(row.mean_lag_mmhg(), 1.0, 1),
        number(row.median_cue_s(), 1000.0, 0),
        number(row.cues_in_time(), 100.0, 0),
        share(row.false_cues()),
    );
}

fn print_calibration(row: &Row) {
    println!("\nconfidence: claims, mean claimed, share right");
    for (n, claimed, right) in row.reliability().iter().filter(|bin| bin.0 > 0) {
        println!("  {n:>6}  {claimed:.2}  {right:.2}");
    }
    if let (Some(brier), Some(error)) = (row.brier(), row.calibration_error()) {
        println!("  Brier score {brier:.3}, expected calibration error {error:.3}");
    }
}

fn csv_rows(outcomes: &[Outcome]) -> anyhow::Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "stratum",
        "number",
        "noise",
        "audible_s",
        "return_s",
        "cue_s",
        "confidence",
        "verdict",
        "error_s",
        "flux_verdict",
        "energy_verdict",
        "sound",
        "rhythm",
        "first",
        "next",
        "rival",
        "margin",
        "beats",
    ])?;
    let cell = |v: Option<f64>| v.map_or(String::new(), |v| format!("{v:.3}"));
    for o in outcomes {
        let e = o.answers[0].evidence;
        let part = |of: fn(&Evidence) -> f32| cell(e.as_ref().map(|e| f64::from(of(e))));
        writer.write_record([
            o.stratum.name().to_owned(),
            o.number.to_string(),
            o.truth.noise.join("+"),
            cell(o.truth.audible_s),
            cell(o.answers[0].return_s),
            cell(o.answers[0].cue_s),
            cell(o.answers[0].confidence),
            format!("{:?}", o.judged[0].verdict),
            cell(o.judged[0].error_s),
            format!("{:?}", o.judged[1].verdict),
            format!("{:?}", o.judged[2].verdict),
            part(|e| e.sound),
            part(|e| e.rhythm),
            part(|e| e.first),
            part(|e| e.next),
            part(|e| e.rival),
            part(|e| e.margin),
            part(|e| e.beats as f32),
        ])?;
    }
    Ok(writer.into_inner()?)
}

/// What training wants of each case, case after case: see `tests/train`.
fn write_labelled(
    path: &Path,
    cases: &[(Stratum, u64)],
    words: &Words,
    half: Half,
    rooms: &Rooms,
    labelled: fn(&Rendered) -> Vec<u8>,
) -> anyhow::Result<ExitCode> {
    let mut file =
        BufWriter::new(std::fs::File::create(path).with_context(|| format!("{}", path.display()))?);
    let bar = ProgressBar::new(cases.len() as u64);
    for group in cases.chunks(64) {
        let rendered: Vec<Vec<u8>> = group
            .par_iter()
            .map(|&(stratum, number)| {
                let (case, seed) = grid::draw(stratum, words.seed, number, half, rooms);
                labelled(&render(&case, seed))
            })
            .collect();
        bar.inc(group.len() as u64);
        for bytes in rendered {
            file.write_all(&bytes)?;
        }
    }
    file.flush()?;
    bar.finish_and_clear();
    Ok(ExitCode::SUCCESS)
}

fn labelled(rendered: &Rendered) -> Vec<u8> {
    let (_, frames) = hear(rendered);
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

/// Candidates of both hearings: which hearing, label, weight, traits, all as f32.
fn labelled_beats(rendered: &Rendered) -> Vec<u8> {
    let Some(rate) = SampleRate::new(rendered.rate_hz) else { return Vec::new() };
    let mut listener = Listener::new(rate, rendered.channels);
    let mut bytes = Vec::new();
    let mut take = |listener: &mut Listener| {
        for near in [true, false] {
            while let Some(candidate) = listener.poll_candidate(near) {
                let Some((label, weight)) = beat_label(&candidate, &rendered.truth) else {
                    continue;
                };
                let head = [f32::from(u8::from(near)), label, weight];
                bytes.extend(head.iter().chain(&candidate.traits).flat_map(|v| v.to_le_bytes()));
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

/// The frames of one sound as they were examined, to be heard again.
struct Kept {
    truth: Truth,
    frames: Vec<([f32; FEATURES], [f32; 3])>,
}

/// Looks for better beliefs by chance, on sounds of the tuning half that are rendered once.
fn tune(
    tries: u64,
    cases: &[(Stratum, u64)],
    words: &Words,
    half: Half,
    rooms: &Rooms,
) -> anyhow::Result<ExitCode> {
    ensure!(half == Half::Tuning, "beliefs are tuned on the tuning half only: add --tuning");
    let kept: Vec<Kept> = cases
        .par_iter()
        .map(|&(stratum, number)| {
            let (case, seed) = grid::draw(stratum, words.seed, number, half, rooms);
            let rendered = render(&case, seed);
            let mut frames = Vec::new();
            if let Some(rate) = SampleRate::new(rendered.rate_hz) {
                let mut listener = Listener::new(rate, rendered.channels);
                listener.push_examined(&rendered.samples, |f| {
                    frames.push((*f.features, [f.near, f.far, f.begins]));
                });
            }
            Kept { truth: rendered.truth, frames }
        })
        .collect();
    let mut chance = Chance::new(words.seed, 0x7e5);
    let mut best = (Beliefs::default(), f64::INFINITY);
    for attempt in 0..=tries {
        let beliefs = if attempt == 0 { best.0 } else { moved(best.0, &mut chance) };
        let cost = cost(&kept, beliefs);
        if cost < best.1 {
            best = (beliefs, cost);
            println!("try {attempt}: cost {cost:.4} with {beliefs:?}");
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// One or two numbers changed a little, or much.
fn moved(mut beliefs: Beliefs, chance: &mut Chance) -> Beliefs {
    for _ in 0..=chance.index(2) {
        let belief = if chance.happens(0.4) { &mut beliefs.near } else { &mut beliefs.far };
        let step = chance.pick(&[0.15, 0.5, 1.5]) * chance.normal();
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
            let judged = judge(&rehear(kept, beliefs), &kept.truth);
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

fn rehear(kept: &Kept, beliefs: Beliefs) -> Answer {
    let Some(rate) = SampleRate::new(8_000) else { return Answer::default() };
    let mut listener = Listener::with_beliefs(rate, 1, beliefs);
    let mut answer = Answer::default();
    for (features, [near, far, begins]) in &kept.frames {
        let (near, far, begins) = (*near, *far, *begins);
        listener.rehear(&Examined { features, near, far, begins });
        take_answer(&mut listener, rate, &mut answer);
    }
    listener.finish();
    take_answer(&mut listener, rate, &mut answer);
    answer
}
