//! The verb `trial`: scores the listener on simulated deflations, beside two general-purpose methods.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use rayon::prelude::*;

use super::described::line;
use super::output::say;
use super::place::{Out, Outputs};
use super::progress::Progress;
use crate::live::room;
use crate::signal::{ChainEvidence, Evidence, Pointed};
use crate::sim::Rendered;
use crate::trial::beats::{LossTold, PulseCounts};
use crate::trial::grid::RoomSound;
use crate::trial::score::{Sought, ideal, judge};
use crate::trial::{Half, Rooms, plain};

pub(super) mod book;
mod case;
pub(super) mod made;
mod material;
mod outcome;
pub(super) mod told;
mod tuning;

use case::{Draw, Heard, Source, hear, on_grid};
use outcome::Outcome;

#[derive(clap::Args)]
pub(super) struct Words {
    #[command(flatten)]
    draw: Draw,
    #[command(flatten)]
    service: book::Words,
    /// Folder of recorded room sounds, one folder a kind (16 kHz mono WAV); else all noise is made here
    #[arg(long, value_name = "DIR")]
    noise: Option<PathBuf>,
    /// Another such folder to train on, whole, each sound varied at every draw
    #[arg(long, value_name = "DIR", hide = true)]
    more: Option<PathBuf>,
    /// The listener's quick way, without the networks
    #[arg(long)]
    quick: bool,
    /// A row a case, as CSV (`-` for standard output)
    #[arg(long, value_name = "CSV")]
    out: Option<PathBuf>,
    /// One JSON object: the listener's score in each stratum and in all
    #[arg(long)]
    json: bool,
    /// Draw from the half that is kept for tuning instead of the one kept for reporting
    #[arg(long)]
    tuning: bool,
    /// Score strangers instead: patients, rooms and devices drawn far wider than the grid, and pulses of another make
    #[arg(long)]
    strangers: bool,
    /// Instead: the sounds of this folder, each with its truth beside it as `make` writes it, whoever made them
    #[arg(long, value_name = "DIR", conflicts_with_all = ["book", "noise", "more", "quick", "strangers", "tuning", "material", "tune"])]
    made: Option<PathBuf>,
    /// Write what training needs (frames, beats or chains) to --out, and score nothing
    #[arg(long, value_name = "WHAT", hide = true, requires = "out")]
    material: Option<material::What>,
    /// Try this many other beliefs on the same sounds, print the best, and score nothing
    #[arg(long, value_name = "TRIES", hide = true)]
    tune: Option<u64>,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.service.book.is_some() {
        return book::run(&words.service, words.json, words.out.as_deref());
    }
    if let Some(folder) = &words.made {
        return made::run(folder, words.json, words.out.as_deref());
    }
    let half = if words.tuning { Half::Tuning } else { Half::Report };
    let mut rooms = match &words.noise {
        Some(folder) => Rooms::of_half(room_sounds(folder)?, half),
        None => Rooms::default(),
    };
    if let Some(folder) = &words.more {
        rooms = rooms.and_varied(room_sounds(folder)?);
    }
    let learns = words.material.is_some() || words.tune.is_some() || words.more.is_some();
    ensure!(
        !learns || half == Half::Tuning,
        "training and tuning draw from the tuning half only: add --tuning"
    );
    let out = words.out.as_ref().map(|path| Outputs::new().stream(path)).transpose()?;
    if let (Some(what), Some(out)) = (words.material, &out) {
        return material::write(what, out.open()?, words.draw, &rooms);
    }
    if let Some(tries) = words.tune {
        return tuning::run(tries, words.draw, &rooms);
    }
    let cases = if words.strangers {
        (0..9 * words.draw.count).map(Source::Stranger).collect()
    } else {
        on_grid(words.draw.count)
    };
    let bar = Progress::new("cases", cases.len() as u64);
    let outcomes: Vec<Outcome> = cases
        .par_iter()
        .map(|&source| {
            let outcome = try_case(source, source.make(words.draw.seed, half, &rooms), words.quick);
            bar.more();
            outcome
        })
        .collect();
    drop(bar);
    // Rows that go to standard output stand there alone.
    if out.as_ref().is_some_and(Out::is_stream) {
    } else if words.json {
        say(&line(&told::scored(words.draw, half, &outcomes))?)?;
    } else {
        say(&(told::head(words.draw, half, &rooms) + &told::tables(&outcomes)))?;
    }
    if let Some(out) = &out {
        out.write(&csv_rows(&outcomes)?)?;
    }
    Ok(ExitCode::SUCCESS)
}

fn try_case(source: Source, rendered: Rendered, quick: bool) -> Outcome {
    let Heard { answer, pulses, frames: features } = hear(&rendered, quick);
    let truth = rendered.truth;
    let (pulses, loss) = (PulseCounts::of(&truth, &pulses), LossTold::of(&truth, &pulses));
    let sought = Sought::from(&truth);
    let plain = [plain::flux_with_rhythm(&features), plain::band_energy(&features)];
    let answers = [answer, plain[0], plain[1], ideal(&sought)];
    let judged = answers.each_ref().map(|a| judge(a, &sought));
    Outcome { source, truth, answers, judged, pulses, loss }
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

/// What the rows of a case are called.
const CSV: [&str; 33] = [
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
    "first_share",
    "free_pulses",
    "plain_pulses",
    "found_pulses",
    "told_pulses",
    "wrong_pulses",
    "rate",
    "right_rate",
    "loss",
    "loss_latency_s",
];

fn csv_rows(outcomes: &[Outcome]) -> anyhow::Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(CSV)?;
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
        let part = |of: fn(&ChainEvidence) -> f32| cell(chain.as_ref().map(|e| f64::from(of(e))));
        let word =
            |of: fn(&Pointed) -> f32| pointed.map_or(String::new(), |e| format!("{:.6}", of(&e)));
        let loss = match o.loss {
            None => "",
            Some(LossTold::After(_)) => "told",
            Some(LossTold::Early) => "early",
            Some(LossTold::Never) => "never",
        };
        writer.write_record([
            o.family().to_owned(),
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
            cell(o.first_share()),
            o.free_pulses().to_string(),
            o.pulses.plain.to_string(),
            o.pulses.found.to_string(),
            o.pulses.told.to_string(),
            o.pulses.wrong.to_string(),
            (o.pulses.rates + o.pulses.false_rates).to_string(),
            o.pulses.right_rates.to_string(),
            loss.to_owned(),
            cell(o.loss.and_then(LossTold::after_s)),
        ])?;
    }
    Ok(writer.into_inner()?)
}
