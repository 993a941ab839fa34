//! `trial --made`: scores the listener on sounds that other simulators made, each with its truth in a file beside it.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};
use rayon::prelude::*;
use serde::Deserialize;

use super::told::{Score, row_names, row_of, score};
use crate::cli::described::{Described, line};
use crate::cli::output::{many, say};
use crate::cli::place::{Out, Outputs, given};
use crate::cli::progress::Progress;
use crate::live::recording::hear_file;
use crate::trial::ListenerAnswer;
use crate::trial::score::{Judged, Sought, SoughtInflation, SoughtOpening, closed_s, judge};
use crate::trial::table::TrialRow;

/// What is needed of a truth; `make` writes more.
#[derive(Deserialize)]
struct TruthBeside {
    scenario: String,
    heart_rate_bpm: f64,
    openings: Vec<SoughtOpening>,
    #[serde(default)]
    inflations: Vec<SoughtInflation>,
    audible_s: Option<f64>,
    audible_mmhg: Option<f64>,
}

impl TruthBeside {
    /// The truth beside this sound: same name, `.json`.
    fn read(sound: &Path) -> anyhow::Result<Self> {
        let path = sound.with_extension("json");
        let named = || format!("{}: no truth of a sound", path.display());
        let truth: Self = serde_json::from_slice(&given(&path)?).with_context(named)?;
        ensure!(
            truth.heart_rate_bpm > 0.0,
            "{}: a heart rate of {} beats a minute",
            path.display(),
            truth.heart_rate_bpm
        );
        Ok(truth)
    }

    fn sought(self) -> Sought {
        Sought {
            closed_s: closed_s(&self.inflations),
            openings: self.openings,
            audible_s: self.audible_s,
            audible_mmhg: self.audible_mmhg,
            beat_s: 60.0 / self.heart_rate_bpm,
        }
    }
}

/// The listener's score on sounds that were made elsewhere.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct MadeScored {
    /// Sounds in the folder.
    sounds: usize,
    /// Each scenario, and `all`.
    strata: Vec<Score>,
}

impl Described for MadeScored {
    const FORMAT: &'static str = "cuffnote-trial-made";
}

/// One sound, what was said of it, and what that was worth.
struct Case {
    file: String,
    scenario: String,
    audible_s: Option<f64>,
    answer: ListenerAnswer,
    judged: Judged,
}

pub(super) fn run(folder: &Path, json: bool, out: Option<&Path>) -> anyhow::Result<ExitCode> {
    let sounds = sounds(folder)?;
    let out = out.map(|path| Outputs::beside(&sounds).stream(path)).transpose()?;
    let bar = Progress::new("sounds", sounds.len() as u64);
    let cases = sounds
        .par_iter()
        .map(|sound| {
            let case = heard(sound);
            bar.more();
            case
        })
        .collect::<anyhow::Result<Vec<_>>>()?;
    drop(bar);
    let rows = in_rows(&cases);
    if !out.as_ref().is_some_and(Out::is_stream) {
        say(&if json {
            let strata = rows.iter().map(|(name, row)| score(name, row)).collect();
            line(&MadeScored { sounds: cases.len(), strata })?
        } else {
            let lines: String = rows.iter().map(|(name, row)| row_of(name, row)).collect();
            format!(
                "{} of {}\n\n{}{lines}",
                many(cases.len(), "sound"),
                folder.display(),
                row_names()
            )
        })?;
    }
    if let Some(out) = out {
        out.write(&csv_rows(&cases)?)?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The sounds of a folder, by name.
fn sounds(folder: &Path) -> anyhow::Result<Vec<PathBuf>> {
    let named = || folder.display().to_string();
    let mut sounds = Vec::new();
    for entry in std::fs::read_dir(folder).with_context(named)? {
        let path = entry.with_context(named)?.path();
        if path.extension().is_some_and(|e| e == "wav" || e == "flac") {
            sounds.push(path);
        }
    }
    ensure!(
        !sounds.is_empty(),
        "{} holds no sound: it should hold NAME.wav (or .flac) with its truth in NAME.json",
        named()
    );
    sounds.sort();
    Ok(sounds)
}

fn heard(sound: &Path) -> anyhow::Result<Case> {
    let truth = TruthBeside::read(sound)?;
    let heard = hear_file(sound)?;
    let answer = ListenerAnswer {
        return_s: heard.return_s,
        cue_s: heard.cue_s,
        confidence: heard.confidence,
        evidence: None,
    };
    let (scenario, audible_s) = (truth.scenario.clone(), truth.audible_s);
    let judged = judge(&answer, &truth.sought());
    let file = sound.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Ok(Case { file, scenario, audible_s, answer, judged })
}

/// Each scenario, in order of name, and all.
fn in_rows(cases: &[Case]) -> Vec<(String, TrialRow)> {
    let mut rows = std::collections::BTreeMap::<&str, TrialRow>::new();
    let mut all = TrialRow::default();
    for case in cases {
        rows.entry(&case.scenario).or_default().add(case.judged);
        all.add(case.judged);
    }
    let named = rows.into_iter().map(|(name, row)| (name.to_owned(), row));
    named.chain([("all".to_owned(), all)]).collect()
}

fn csv_rows(cases: &[Case]) -> anyhow::Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "file",
        "scenario",
        "audible_s",
        "return_s",
        "cue_s",
        "confidence",
        "verdict",
        "error_s",
        "cue_false",
        "cue_latency_s",
    ])?;
    let cell = |v: Option<f64>| v.map_or(String::new(), |v| format!("{v:.3}"));
    for case in cases {
        writer.write_record([
            case.file.clone(),
            case.scenario.clone(),
            cell(case.audible_s),
            cell(case.answer.return_s),
            cell(case.answer.cue_s),
            cell(case.answer.confidence),
            format!("{:?}", case.judged.verdict),
            cell(case.judged.error_s),
            u8::from(case.judged.cue_false).to_string(),
            cell(case.judged.cue_latency_s),
        ])?;
    }
    Ok(writer.into_inner()?)
}
