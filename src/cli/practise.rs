//! The verb `practise`: drills without a window, for tests and scripts.

use std::process::ExitCode;

use crate::practice::student::{self, Student};

#[derive(clap::Args)]
pub(super) struct Words {
    /// Run drills in virtual time with a scripted student of this lag and spread: bias_ms=300,sd_ms=80
    #[arg(long, value_name = "STUDENT")]
    scripted: Student,
    /// How many drills
    #[arg(long, default_value_t = 40, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    count: u32,
    /// Same seed, same drills
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Print as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let found = student::run(words.scripted, words.count, words.seed);
    if words.json {
        super::say(&(serde_json::to_string(&found)? + "\n"))?;
        return Ok(ExitCode::SUCCESS);
    }
    let shown = |value: Option<f64>, unit: &str| {
        value.map_or_else(|| "not known".to_owned(), |v| format!("{v:+.1} {unit}"))
    };
    let spread =
        |value: Option<f64>| value.map_or_else(|| "not known".into(), |v| format!("{v:.1}"));
    let mut text = format!(
        "{} drills of the first return, simulated.\nMean error {} (SD {}); {} (SD {}). Late is positive in time and reads low.\n\n{:>12} {:>9} {:>9} {:>9} {:>6} {:>8} {:>8}\n",
        found.count,
        shown(found.bias_ms, "ms"),
        spread(found.sd_ms),
        shown(found.bias_mmhg, "mmHg"),
        spread(found.sd_mmhg),
        "seed",
        "truth s",
        "tap s",
        "error ms",
        "beats",
        "needle",
        "truth",
    );
    for d in &found.drills {
        text += &format!(
            "{:>12} {:>9.3} {:>9.3} {:>9.0} {:>6} {:>8.1} {:>8.1}\n",
            d.seed, d.truth_s, d.tap_s, d.error_ms, d.beats_late, d.reading_mmhg, d.truth_mmhg
        );
    }
    super::say(&text)?;
    Ok(ExitCode::SUCCESS)
}
