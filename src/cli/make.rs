//! The verb `make`: the sound of a simulated patient, with the truth beside it.

use std::path::PathBuf;
use std::process::ExitCode;

use crate::sim;

#[derive(clap::Args)]
pub(super) struct Words {
    scenario: Option<String>,
    #[arg(long, default_value_t = 1)]
    seed: u64,
    #[arg(long)]
    out: Option<PathBuf>,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let case = sim::Case::default();
    let start = std::time::Instant::now();
    let r = sim::render(&case, words.seed);
    eprintln!("{:?}", start.elapsed());
    if let Some(out) = words.out {
        let spec = hound::WavSpec {
            channels: r.channels as u16,
            sample_rate: r.rate_hz,
            bits_per_sample: 16,
            sample_format: hound::SampleFormat::Int,
        };
        let mut w = hound::WavWriter::create(&out, spec)?;
        for s in &r.samples {
            w.write_sample((s * 32767.0) as i16)?;
        }
        w.finalize()?;
        std::fs::write(out.with_extension("json"), serde_json::to_string_pretty(&r.truth)?)?;
    }
    let _ = words.scenario;
    Ok(ExitCode::SUCCESS)
}
