//! How well a service measures, counted over many visits.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;

use super::described::{Described, page};
use super::output::fault;
use super::place::Outputs;
use super::report::Worked;
use super::{index, layers, report};
use crate::report::audit::{self, Audit, AuditChoices, Counting, Gauges};

/// What is counted and written.
#[derive(clap::Args)]
pub(super) struct Form {
    /// What to write: .html (a page with plots), .csv or .json; `-` for standard output, with --format
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// What is written; else the end of FILE says it
    #[arg(long, value_name = "FORMAT", value_parser = ENDINGS)]
    format: Option<String>,
    /// When each gauge was last checked: a TOML file with check_every_days and [checked]
    #[arg(long, value_name = "FILE")]
    gauges: Option<PathBuf>,
    /// Each operator's code for itself too; only where the service decided so
    #[arg(long)]
    by_operator: bool,
    /// The service, as printed in the head [default: the settings' service.name]
    #[arg(long, value_name = "NAME")]
    service: Option<String>,
    /// A .csv with semicolons and decimal commas
    #[arg(long)]
    semicolon: bool,
}

/// What an audit is written as.
const ENDINGS: [&str; 3] = ["html", "csv", "json"];

impl Described for Audit {
    const FORMAT: &'static str = "cuffnote-audit";
}

/// Counts the visits that are given one after the other, and writes what was found.
pub(super) fn write(
    form: &Form,
    mut outputs: Outputs,
    give: impl FnOnce(&mut dyn FnMut(&Worked)) -> anyhow::Result<ExitCode>,
) -> anyhow::Result<ExitCode> {
    let named = form.out.extension().and_then(|e| e.to_str()).unwrap_or_default();
    let ending = form.format.as_deref().unwrap_or(named);
    if !ENDINGS.contains(&ending) {
        fault(&format!(
            "{}: end the name with .html, .csv or .json, or say --format",
            form.out.display()
        ));
        return Ok(ExitCode::from(2));
    }
    let out = outputs.stream(&form.out)?;
    let gauges = match &form.gauges {
        Some(path) => {
            let name = || format!("{}", path.display());
            Gauges::parse(&std::fs::read_to_string(path).with_context(name)?).with_context(name)?
        }
        None => Gauges::default(),
    };
    let (_, today) = index::now();
    let choices = AuditChoices { by_operator: form.by_operator, gauges, today: Some(today) };
    let mut counting = Counting::default();
    let code = give(&mut |one| counting.add(&one.visit, &one.result, &choices))?;
    let found = counting.end(&choices);
    out.write(&match ending {
        "html" => {
            let service = layers::or_set(form.service.as_deref(), "service.name")?;
            audit::page(layers::settings()?.report_language(), &found, &service)
        }
        "csv" => audit::csv(&found, report::dialect(form.semicolon)),
        _ => page(&found)?,
    })?;
    Ok(code)
}
