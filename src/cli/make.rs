//! The verb `make`: the sound of a simulated patient, with the truth beside it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};

use crate::audio::wav;
use crate::files;
use crate::sim::scenario::{self, Scenario};
use crate::sim::{Case, Rendered, render};
use crate::units::SampleRate;

#[derive(clap::Args)]
pub(super) struct Words {
    /// Name of a scenario, or the path of a TOML file that holds one
    #[arg(required_unless_present = "list")]
    scenario: Option<String>,
    /// One site of a visit: right-arm, left-arm, right-dp, right-pt, left-dp, left-pt, right-toe, left-toe
    #[arg(long)]
    site: Option<String>,
    /// Same seed, same sound
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The WAV file to write (16 bit); the truth goes beside it as JSON
    #[arg(long, value_name = "FILE.wav", required_unless_present = "list")]
    out: Option<PathBuf>,
    /// Samples a second, 8000 to 192000 [default: the scenario's, 16000]
    #[arg(long, value_name = "HZ")]
    rate: Option<u32>,
    /// List the scenarios, one a line, the name first
    #[arg(long)]
    list: bool,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if words.list {
        return list();
    }
    let (Some(name), Some(out)) = (&words.scenario, &words.out) else {
        bail!("name a scenario and a file: cuffnote make SCENARIO --out FILE.wav");
    };
    ensure!(
        out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("wav")),
        "{}: the sound is a WAV file; give a name that ends in .wav",
        out.display()
    );
    let scenario = named(name)?;
    let site = words.site.as_deref().or_else(|| scenario.sites().next());
    if words.site.is_none()
        && let Some(site) = site
    {
        eprintln!(
            "cuffnote: `{name}` is a visit; making its first site, {site} (choose with --site)"
        );
    }
    let mut case: Case = scenario.case(site)?.clone();
    case.rate_hz = words.rate.unwrap_or(case.rate_hz);
    let rate = SampleRate::new(case.rate_hz)
        .with_context(|| format!("--rate {}: expected 8000 to 192000", case.rate_hz))?;
    let mut rendered = render(&case, scenario::site_seed(words.seed, site));
    rendered.truth.seed = words.seed;
    write(out, rate, &rendered)?;
    Ok(ExitCode::SUCCESS)
}

fn list() -> anyhow::Result<ExitCode> {
    let mut out = std::io::stdout().lock();
    for (name, about) in scenario::names() {
        let sites = scenario::load(name)?.sites().collect::<Vec<_>>().join(" ");
        let sites = if sites.is_empty() { sites } else { format!(" [{sites}]") };
        // A reader that has seen enough (`| head`) closes the pipe; that is no fault.
        if writeln!(out, "{name:<18} {about}{sites}").is_err() {
            break;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// A shipped scenario, or one from a file.
fn named(name: &str) -> anyhow::Result<Scenario> {
    if !name.ends_with(".toml") {
        return Ok(scenario::load(name)?);
    }
    let text = std::fs::read_to_string(name).with_context(|| format!("cannot read {name}"))?;
    let stem = Path::new(name).file_stem().unwrap_or_default().to_string_lossy();
    Ok(scenario::parse(&stem, &text)?)
}

/// The truth first, so that no sound ever stands without it.
fn write(out: &Path, rate: SampleRate, rendered: &Rendered) -> anyhow::Result<()> {
    let beside = out.with_extension("json");
    let mut truth = serde_json::to_string_pretty(&rendered.truth)?;
    truth.push('\n');
    let cannot = |path: &Path| format!("cannot write {}", path.display());
    files::write_atomic(&beside, truth.as_bytes()).with_context(|| cannot(&beside))?;
    let bytes = wav::encode_16(&rendered.samples, rate, rendered.channels as u16);
    let written = files::write_atomic(out, &bytes);
    // Nor a truth without its sound.
    written.inspect_err(|_| drop(std::fs::remove_file(&beside))).with_context(|| cannot(out))
}
