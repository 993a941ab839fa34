//! The verb `demo`.

use std::process::ExitCode;

#[derive(clap::Args)]
pub(super) struct Words {}

pub(super) fn run(_words: Words) -> anyhow::Result<ExitCode> {
    anyhow::bail!("not built yet")
}
