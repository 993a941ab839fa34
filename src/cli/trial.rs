//! The verb `trial`: scores the listener on simulated deflations, beside two general-purpose methods.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use indicatif::ProgressBar;
use rayon::prelude::*;

use crate::files;
use crate::live::room;
use crate::signal::{Chain, Evidence, Pointed};
use crate::sim::{Rendered, Truth};
use crate::trial::grid::RoomSound;
use crate::trial::score::{Judged, ideal, judge};
use crate::trial::table::{Row, wilson};
use crate::trial::{Answer, Half, Rooms, Stratum, Verdict, plain};

mod case;
mod material;
mod tuning;

use case::{Draw, Source, hear, on_grid};

#[derive(clap::Args)]
pub(super) struct Words {
    #[command(flatten)]
    draw: Draw,
    /// Folder of recorded room sounds, one folder a kind (16 kHz mono WAV); else all noise is made here
    #[arg(long, value_name = "DIR")]
    noise: Option<PathBuf>,
    /// Another such folder to train on, whole, each sound varied at every draw
    #[arg(long, value_name = "DIR", hide = true)]
    more: Option<PathBuf>,
    /// The listener's quick way, without the network of second hearing
    #[arg(long)]
    quick: bool,
    /// A row a case, as CSV
    #[arg(long, value_name = "CSV")]
    out: Option<PathBuf>,
    /// Draw from the half that is kept for tuning instead of the one kept for reporting
    #[arg(long)]
    tuning: bool,
    /// Score strangers, drawn wider than the grid, instead of it (tuning half only)
    #[arg(long, hide = true)]
    strangers: bool,
    /// Write what training needs (frames, beats or chains) to --out, and score nothing
    #[arg(long, value_name = "WHAT", hide = true, requires = "out")]
    material: Option<material::What>,
    /// Try this many other beliefs on the same sounds, print the best, and score nothing
    #[arg(long, value_name = "TRIES", hide = true)]
    tune: Option<u64>,
}

/// One case with what the three methods and the ideal observer said of it.
struct Outcome {
    source: Source,
    truth: Truth,
    answers: [Answer; 4],
    judged: [Judged; 4],
}

const METHODS: [&str; 4] = [
    "listener",
    "spectral flux and rhythm",
    "band energy",
    "ideal observer, first opening with d' >= 8",
];

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let half = if words.tuning { Half::Tuning } else { Half::Report };
    let mut rooms = match &words.noise {
        Some(folder) => Rooms::of_half(room_sounds(folder)?, half),
        None => Rooms::default(),
    };
    if let Some(folder) = &words.more {
        rooms = rooms.and_varied(room_sounds(folder)?);
    }
    let learns =
        words.strangers || words.material.is_some() || words.tune.is_some() || words.more.is_some();
    ensure!(
        !learns || half == Half::Tuning,
        "training and tuning draw from the tuning half only: add --tuning"
    );
    if let (Some(what), Some(path)) = (words.material, &words.out) {
        return material::write(what, path, words.draw, &rooms);
    }
    if let Some(tries) = words.tune {
        return tuning::run(tries, words.draw, &rooms);
    }
    let cases = if words.strangers {
        (0..9 * words.draw.count).map(Source::Stranger).collect()
    } else {
        on_grid(words.draw.count)
    };
    let bar = ProgressBar::new(cases.len() as u64);
    let outcomes: Vec<Outcome> = cases
        .par_iter()
        .map(|&source| {
            let outcome = try_case(source, source.make(words.draw.seed, half, &rooms), words.quick);
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

fn try_case(source: Source, rendered: Rendered, quick: bool) -> Outcome {
    let (answer, features) = hear(&rendered, quick);
    let truth = rendered.truth;
    let plain = [plain::flux_with_rhythm(&features), plain::band_energy(&features)];
    let answers = [answer, plain[0], plain[1], ideal(&truth)];
    let judged = answers.each_ref().map(|a| judge(a, &truth));
    Outcome { source, truth, answers, judged }
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
        words.draw.seed,
        words.draw.count,
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
        let mut names: Vec<&str> = Stratum::ALL.map(Stratum::name).to_vec();
        names.push("strangers");
        for name in names {
            let mut row = Row::default();
            outcomes.iter().filter(|o| o.source.name() == name).for_each(|o| row.add(o.judged[m]));
            if row.count() > 0 {
                print_row(name, &row);
            }
            all.extend(&row);
        }
        print_row("all", &all);
        if m == 0 {
            print_calibration(&all);
        }
        if m == 3 {
            print_audible(outcomes);
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

/// How many sounds hold a return that the ideal observer hears.
fn print_audible(outcomes: &[Outcome]) {
    println!("\nshare with an audible return, %");
    for name in Stratum::ALL.map(Stratum::name) {
        let of: Vec<&Outcome> = outcomes.iter().filter(|o| o.source.name() == name).collect();
        let audible = of.iter().filter(|o| o.truth.audible_s.is_some()).count();
        println!("  {name:<24}{:>6.1}", 100.0 * audible as f64 / of.len().max(1) as f64);
    }
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
        "choice",
        "returned",
        "share",
        "cue_false",
        "cue_latency_s",
    ])?;
    let cell = |v: Option<f64>| v.map_or(String::new(), |v| format!("{v:.3}"));
    for o in outcomes {
        let e = o.answers[0].evidence;
        let chain = match e {
            Some(Evidence::Chain(chain)) => Some(chain),
            _ => None,
        };
        let pointed = match e {
            Some(Evidence::Pointed(pointed)) => Some(pointed),
            _ => None,
        };
        let part = |of: fn(&Chain) -> f32| cell(chain.as_ref().map(|e| f64::from(of(e))));
        let word = |of: fn(&Pointed) -> f32| {
            pointed.map_or(String::new(), |e| format!("{:.6}", of(&e)))
        };
        writer.write_record([
            o.source.name().to_owned(),
            o.source.number().to_string(),
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
            part(|e| e.choice),
            word(|e| e.returned),
            word(|e| e.share),
            u8::from(o.judged[0].cue_false).to_string(),
            cell(o.judged[0].cue_latency_s),
        ])?;
    }
    Ok(writer.into_inner()?)
}
