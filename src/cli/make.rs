//! The verb `make`: the sound of a simulated patient, with the truth beside it.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};
use clap_complete::engine::ArgValueCompleter;

use super::complete;
use super::described::{Described, line};
use super::nearest::did_you_mean;
use super::output::say;
use super::place::{Out, Outputs};
use super::progress::note;
use crate::audio::wav;
use crate::sim::scenario::{self, Scenario};
use crate::sim::{Case, Rendered, render};
use crate::units::SampleRate;

#[derive(clap::Args)]
pub(super) struct Words {
    /// Name of a scenario, or the path of a TOML file that holds one
    #[arg(required_unless_present = "list", add = ArgValueCompleter::new(complete::scenarios))]
    scenario: Option<String>,
    /// One site of a visit: right-arm, left-arm, right-dp, right-pt, left-dp, left-pt, right-toe, left-toe
    #[arg(long)]
    site: Option<String>,
    /// Same seed, same sound
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The WAV file to write (16 bit); the truth goes beside it as JSON (`-` for standard output, without the truth)
    #[arg(long, value_name = "FILE.wav", required_unless_present = "list")]
    out: Option<PathBuf>,
    /// Samples a second, 4000 to 384000 [default: the scenario's, 16000]
    #[arg(long, value_name = "HZ", value_parser = clap::value_parser!(u32).range(4_000..=384_000))]
    rate: Option<u32>,
    /// List the scenarios, one a line, the name first
    #[arg(long)]
    list: bool,
    /// With --list: one JSON object a line
    #[arg(long, requires = "list")]
    json: bool,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.list {
        return list(words.json);
    }
    let (Some(name), Some(out)) = (&words.scenario, &words.out) else {
        bail!("name a scenario and a file: cuffnote make SCENARIO --out FILE.wav");
    };
    let stream = out.as_os_str() == "-";
    ensure!(
        stream || out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("wav")),
        "{}: the sound is a WAV file; give a name that ends in .wav",
        out.display()
    );
    // The truth lies beside the sound and is an output as well.
    let mut outputs = Outputs::new();
    let beside = if stream { None } else { Some(out.with_extension("json")) };
    let out = outputs.stream(out)?;
    let beside = beside.map(|path| outputs.file(&path)).transpose()?;
    let scenario = named(name)?;
    let site = words.site.as_deref().or_else(|| scenario.sites().next());
    if words.site.is_none()
        && let Some(site) = site
    {
        note(&format!("`{name}` is a visit; making its first site, {site} (choose with --site)"));
    }
    let mut case: Case = scenario.case(site)?.clone();
    case.rate_hz = words.rate.unwrap_or(case.rate_hz);
    let rate = SampleRate::new(case.rate_hz)
        .with_context(|| format!("--rate {}: expected 4000 to 384000", case.rate_hz))?;
    let mut rendered = render(&case, scenario::site_seed(words.seed, site));
    rendered.truth.seed = words.seed;
    write(&out, beside.as_ref(), (rate, &rendered))?;
    Ok(ExitCode::SUCCESS)
}

/// One scenario, as it is listed.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub(super) struct Listed {
    /// Its name.
    name: String,
    /// What it is.
    about: String,
    /// Its sites, where it is a whole visit.
    sites: Vec<String>,
}

impl Described for Listed {
    const FORMAT: &'static str = "cuffnote-scenarios";
}

fn list(json: bool) -> anyhow::Result<ExitCode> {
    let mut text = String::new();
    for (name, about) in scenario::names() {
        let sites: Vec<String> = scenario::load(name)?.sites().map(str::to_owned).collect();
        if json {
            text += &line(&Listed { name: name.into(), about, sites })?;
            continue;
        }
        let sites =
            if sites.is_empty() { String::new() } else { format!(" [{}]", sites.join(" ")) };
        text += &format!("{name:<18} {about}{sites}\n");
    }
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// A shipped scenario, or one from a file.
fn named(name: &str) -> anyhow::Result<Scenario> {
    if !name.ends_with(".toml") {
        let near = || did_you_mean(name, scenario::names().into_iter().map(|(name, _)| name));
        return scenario::load(name).map_err(|fault| anyhow::anyhow!("{fault}{}", near()));
    }
    let text = std::fs::read_to_string(name).with_context(|| format!("cannot read {name}"))?;
    let stem = Path::new(name).file_stem().unwrap_or_default().to_string_lossy();
    Ok(scenario::parse(&stem, &text)?)
}

/// The truth first, so that no sound ever stands without it.
fn write(
    out: &Out,
    beside: Option<&Out>,
    (rate, rendered): (SampleRate, &Rendered),
) -> anyhow::Result<()> {
    let bytes = wav::encode_16(&rendered.samples, rate, rendered.channels as u16);
    let Some(beside) = beside else { return out.write(&bytes) };
    let mut truth = serde_json::to_string_pretty(&rendered.truth)?;
    truth.push('\n');
    beside.write(truth.as_bytes())?;
    // Nor a truth without its sound.
    out.write(&bytes).inspect_err(|_| beside.undo())
}
