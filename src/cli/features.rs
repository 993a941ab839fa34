//! What researchers want of a recording beside its findings: a row a pulse or a frame, and the sonogram as a picture.

use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};

use super::output::misuse;
use super::place::{Out, Outputs};
use crate::live::recording::HeardRecording;
use crate::report::figure::{self, RecordingFigure};
use crate::report::raster;
use crate::report::table::{self, ColumnValues, Columns};
use crate::signal::{Listener, ROWS};
use crate::units::Sonogram;

/// The upper end of a column: the listener's rows are 62.5 Hz each.
pub(super) const TOP_HZ: f64 = 62.5 * ROWS as f64;
/// Decibels of one step of a column's levels.
const STEP_DB: f64 = 30.0 / 255.0;
/// Rows that make one band of 500 Hz.
const BAND: usize = 8;

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// Write a table for programs: a row a pulse, with onset, end, levels and rhythm; `-` for standard output
    #[arg(long, value_name = "FILE.csv", conflicts_with = "live")]
    features: Option<PathBuf>,
    /// With --features: a row a frame of 10 ms, with levels in bands of 500 Hz
    #[arg(long, requires = "features")]
    frames: bool,
    /// Write the sonogram of one recording as a picture, findings marked; `-` for SVG to standard output
    #[arg(long, value_name = "FILE.png|svg", conflicts_with = "live")]
    sonogram: Option<PathBuf>,
}

/// What is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Csv,
    Png,
    Svg,
}

/// A recording, heard, and its sonogram's columns where they were kept.
pub(super) struct Kept {
    pub(super) heard: HeardRecording,
    pub(super) columns: Vec<u8>,
}

/// Where features and picture go.
pub(super) struct Planned {
    pub(super) features: Option<(Out, Form)>,
    frames: bool,
    sonogram: Option<(Out, Form)>,
}

impl Words {
    /// Looks at the outputs before anything is heard.
    pub(super) fn plan(&self, outputs: &mut Outputs, count: usize) -> anyhow::Result<Planned> {
        let features = self.features.as_ref().map(|path| {
            let form = match ending(path).as_str() {
                "csv" => Form::Csv,
                _ if path.as_os_str() == "-" => Form::Csv,
                _ => {
                    let said = format!("{}: end the name with .csv", path.display());
                    return Err(misuse(said));
                }
            };
            Ok((outputs.stream(path)?, form))
        });
        let features = features.transpose()?;
        let sonogram = self.sonogram.as_ref().map(|path| {
            let form = match ending(path).as_str() {
                "png" => Form::Png,
                "svg" => Form::Svg,
                _ if path.as_os_str() == "-" => Form::Svg,
                _ => {
                    let said = format!("{}: end the name with .png or .svg", path.display());
                    return Err(misuse(said));
                }
            };
            ensure!(count == 1, "--sonogram takes one recording at a time, and here are {count}");
            Ok((outputs.stream(path)?, form))
        });
        Ok(Planned { features, frames: self.frames, sonogram: sonogram.transpose()? })
    }
}

fn ending(path: &Path) -> String {
    path.extension().and_then(|e| e.to_str()).unwrap_or_default().to_ascii_lowercase()
}

impl Planned {
    /// True where one of them goes to standard output, which findings do not share.
    pub(super) fn streams(&self) -> bool {
        [&self.features, &self.sonogram].into_iter().flatten().any(|(out, _)| out.is_stream())
    }

    /// True where the sonogram's columns are needed.
    pub(super) fn keeps_columns(&self) -> bool {
        self.features.is_some() || self.sonogram.is_some()
    }

    /// Writes both, of what could be heard.
    pub(super) fn write(&self, all: &[Kept]) -> anyhow::Result<()> {
        if let Some((out, _)) = &self.features {
            let columns = if self.frames { frames(all) } else { pulses(all) };
            out.write(&table::typed_csv(&columns))?;
        }
        if let (Some((out, form)), [one]) = (&self.sonogram, all) {
            let drawn = drawn(one);
            out.write(&match form {
                Form::Png => raster::png(&drawn).context("the picture could not be drawn")?,
                _ => drawn.svg.into_bytes(),
            })?;
        }
        Ok(())
    }
}

/// The sonogram of a recording from its columns.
pub(super) fn sonogram(columns: &[u8]) -> Sonogram {
    let column_s = Listener::COLUMN_S;
    Sonogram {
        start_s: column_s / 2.0,
        column_s,
        top_hz: TOP_HZ,
        rows: ROWS,
        levels: columns.to_vec(),
    }
}

fn drawn(one: &Kept) -> figure::Figure {
    let heard = &one.heard;
    let recording = RecordingFigure {
        language: crate::words::Words::english(),
        name: heard.file.clone(),
        sonogram: sonogram(&one.columns),
        lost_s: heard.lost_s,
        return_s: heard.return_s,
        confidence: heard.confidence,
        pulses: heard.pulses.iter().map(|pulse| pulse.onset_s).collect(),
    };
    figure::recording("recording", &recording)
}

/// Mean and highest level over the background between two times, decibels.
fn levels(columns: &[u8], from_s: f64, to_s: f64) -> Option<(f64, f64)> {
    let column = |s: f64| ((s / Listener::COLUMN_S).max(0.0) as usize).min(columns.len() / ROWS);
    let (from, to) = (column(from_s), column(to_s).max(column(from_s) + 1));
    let within = columns.get(from * ROWS..to * ROWS)?;
    let sum: f64 = within.iter().map(|level| f64::from(*level)).sum();
    let highest = within.iter().max().copied().unwrap_or(0);
    let rounded = |db: f64| (db * 100.0).round() / 100.0;
    let mean = sum / within.len().max(1) as f64;
    Some((rounded(mean * STEP_DB), rounded(f64::from(highest) * STEP_DB)))
}

/// A row a pulse. docs/exchange.md names each column.
fn pulses(all: &[Kept]) -> Columns {
    let rows: Vec<(&Kept, usize)> =
        all.iter().flat_map(|one| (0..one.heard.pulses.len()).map(move |n| (one, n))).collect();
    let pulse =
        |(one, n): (&'_ Kept, usize)| (one.heard.pulses[n].onset_s, one.heard.pulses[n].end_s);
    let number = |of: &dyn Fn(&Kept, usize) -> Option<f64>| {
        ColumnValues::Number(rows.iter().map(|(one, n)| of(one, *n)).collect())
    };
    let text = |of: &dyn Fn(&Kept, usize) -> Option<String>| {
        ColumnValues::Text(rows.iter().map(|(one, n)| of(one, *n)).collect())
    };
    let level = |one: &Kept, n: usize| {
        let (onset, end) = pulse((one, n));
        levels(&one.columns, onset, end)
    };
    let columns = [
        ("file", text(&|one, _| Some(one.heard.file.clone()))),
        (
            "pulse",
            ColumnValues::Whole(rows.iter().map(|(_, n)| i32::try_from(n + 1).ok()).collect()),
        ),
        ("onset_s", number(&|one, n| Some(pulse((one, n)).0))),
        ("end_s", number(&|one, n| Some(pulse((one, n)).1))),
        ("interval_s", number(&|one, n| interval(&one.heard, n))),
        ("strength_db", number(&|one, n| Some(one.heard.pulses[n].strength_db))),
        ("mean_db", number(&|one, n| Some(level(one, n)?.0))),
        ("peak_db", number(&|one, n| Some(level(one, n)?.1))),
        ("cuff", text(&|one, n| Some(cuff(&one.heard, n).into()))),
        (
            "first_return",
            ColumnValues::Truth(
                rows.iter().map(|(one, n)| Some(is_first(&one.heard, *n))).collect(),
            ),
        ),
        ("lost_s", number(&|one, _| one.heard.lost_s)),
        ("return_s", number(&|one, _| one.heard.return_s)),
        ("confidence", number(&|one, _| one.heard.confidence)),
        ("heart_rate_bpm", number(&|one, _| one.heard.heart_rate_bpm)),
        ("rhythm", text(&|one, _| one.heard.rhythm.map(str::to_owned))),
        ("lossy", ColumnValues::Truth(rows.iter().map(|(one, _)| Some(one.heard.lossy)).collect())),
    ];
    columns.into_iter().map(|(name, values)| (name.to_owned(), values)).collect()
}

/// From the pulse before, seconds; none over the time when the cuff was closed.
fn interval(heard: &HeardRecording, n: usize) -> Option<f64> {
    let before = n.checked_sub(1)?;
    (cuff(heard, before) == cuff(heard, n))
        .then(|| ((heard.pulses[n].onset_s - heard.pulses[before].onset_s) * 1e4).round() / 1e4)
}

/// Before the cuff closed, or after the pulse came back; of a recording without a return, before.
fn cuff(heard: &HeardRecording, n: usize) -> &'static str {
    let onset_s = heard.pulses[n].onset_s;
    // A pulse may begin a trace before the return that was reported for it.
    if heard.return_s.is_some_and(|back| onset_s >= back - 0.05) { "after" } else { "before" }
}

fn is_first(heard: &HeardRecording, n: usize) -> bool {
    cuff(heard, n) == "after"
        && n.checked_sub(1).is_none_or(|before| cuff(heard, before) == "before")
}

/// A row a frame of 10 ms.
fn frames(all: &[Kept]) -> Columns {
    let rows: Vec<(&Kept, &[u8], f64)> = all
        .iter()
        .flat_map(|one| {
            let at = |n: usize| ((n as f64 + 0.5) * Listener::COLUMN_S * 1e4).round() / 1e4;
            one.columns.chunks_exact(ROWS).enumerate().map(move |(n, column)| (one, column, at(n)))
        })
        .collect();
    let mean = |levels: &[u8]| {
        let sum: f64 = levels.iter().map(|level| f64::from(*level)).sum();
        (sum / levels.len() as f64 * STEP_DB * 100.0).round() / 100.0
    };
    let number = |of: &dyn Fn(&[u8], f64) -> f64| {
        ColumnValues::Number(rows.iter().map(|(_, column, at)| Some(of(column, *at))).collect())
    };
    let in_pulse = |one: &Kept, at: f64| {
        one.heard.pulses.iter().any(|pulse| (pulse.onset_s..pulse.end_s).contains(&at))
    };
    let mut columns: Columns = vec![
        (
            "file".into(),
            ColumnValues::Text(rows.iter().map(|(one, ..)| Some(one.heard.file.clone())).collect()),
        ),
        ("time_s".into(), number(&|_, at| at)),
        (
            "in_pulse".into(),
            ColumnValues::Truth(rows.iter().map(|(one, _, at)| Some(in_pulse(one, *at))).collect()),
        ),
        ("mean_db".into(), number(&|column, _| mean(column))),
    ];
    for band in 0..ROWS / BAND {
        let (low, high) = (band * 500, (band + 1) * 500);
        let of = number(&|column: &[u8], _| mean(&column[band * BAND..(band + 1) * BAND]));
        columns.push((format!("db_{low}_{high}_hz"), of));
    }
    columns
}
