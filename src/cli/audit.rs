//! The verb `audit`: how well a service measures, counted over many visits.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;

use crate::files;
use crate::report::audit::{self, Choices, Counting, Gauges};

use super::report::Worked;
use super::{index, report};

#[derive(clap::Args)]
pub(super) struct Words {
    /// Visits as visit.json; those of the record book are counted by `book audit`
    #[arg(required = true)]
    visits: Vec<PathBuf>,
    #[command(flatten)]
    form: Form,
}

/// What is counted and written.
#[derive(clap::Args)]
pub(super) struct Form {
    /// What to write: .html (a page with plots) or .csv
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// When each gauge was last checked: a TOML file with check_every_days and [checked]
    #[arg(long, value_name = "FILE")]
    gauges: Option<PathBuf>,
    /// Each operator's code for itself too; only where the service decided so
    #[arg(long)]
    by_operator: bool,
    /// The service, as it stands in the head
    #[arg(long, value_name = "NAME", default_value = "")]
    service: String,
    /// A .csv with semicolons and decimal commas
    #[arg(long)]
    semicolon: bool,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    write(&words.form, |count| {
        for path in &words.visits {
            let worked = report::work(report::events(path)?, &path.display().to_string(), &[])?;
            count(&worked);
        }
        Ok(ExitCode::SUCCESS)
    })
}

/// Counts the visits that are given one after the other, and writes what was found.
pub(super) fn write(
    form: &Form,
    give: impl FnOnce(&mut dyn FnMut(&Worked)) -> anyhow::Result<ExitCode>,
) -> anyhow::Result<ExitCode> {
    let ending = form.out.extension().and_then(|e| e.to_str()).unwrap_or_default();
    if !["html", "csv"].contains(&ending) {
        eprintln!("cuffnote: {}: end the name with .html or .csv", form.out.display());
        return Ok(ExitCode::from(2));
    }
    let gauges = match &form.gauges {
        Some(path) => {
            let name = || format!("{}", path.display());
            Gauges::parse(&std::fs::read_to_string(path).with_context(name)?).with_context(name)?
        }
        None => Gauges::default(),
    };
    let (_, today) = index::now();
    let choices = Choices { by_operator: form.by_operator, gauges, today: Some(today) };
    let mut counting = Counting::default();
    let code = give(&mut |one| counting.add(&one.visit, &one.result, &choices))?;
    let found = counting.end(&choices);
    let bytes = match ending {
        "html" => audit::page(&found, &form.service),
        _ => audit::csv(&found, report::dialect(form.semicolon)),
    };
    files::write_atomic(&form.out, &bytes).with_context(|| format!("{}", form.out.display()))?;
    Ok(code)
}
