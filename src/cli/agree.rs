//! The verb `agree`: how well readers agree, from a table with one column a reader.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, ensure};

use super::output::say;
use crate::practice::agreement::{Agreement, BlandAltman, Kappa, Reader, agreement};

#[derive(clap::Args)]
pub(super) struct Words {
    /// The table: a header with the readers' codes, a row a subject; a column `record` is left out
    #[arg(long, value_name = "FILE")]
    csv: PathBuf,
    /// Standard deviations from bias to limit: 2 as in Bland & Altman 1986, or 1.96
    #[arg(long, value_name = "NUMBER", default_value_t = 2.0)]
    times: f64,
    /// Print as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    ensure!((0.1..=10.0).contains(&words.times), "--times {}: expected 0.1 to 10", words.times);
    let name = words.csv.display().to_string();
    let readers = read(&words.csv).with_context(|| name.clone())?;
    let found = agreement(&readers, words.times).context(name)?;
    let text = if words.json { serde_json::to_string(&found)? + "\n" } else { said(&found) };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn read(path: &Path) -> anyhow::Result<Vec<Reader>> {
    let bytes = std::fs::read(path)?;
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes);
    let mut table = csv::ReaderBuilder::new()
        .delimiter(super::table::delimiter(bytes))
        .trim(csv::Trim::All)
        .from_reader(bytes);
    let header = table.headers()?.clone();
    let mut readers: Vec<Reader> =
        header.iter().map(|name| Reader { name: name.to_owned(), cells: Vec::new() }).collect();
    for row in table.records() {
        for (reader, cell) in readers.iter_mut().zip(&row?) {
            reader.cells.push(cell.to_owned());
        }
    }
    readers.retain(|reader| !reader.name.eq_ignore_ascii_case("record"));
    Ok(readers)
}

fn said(found: &Agreement) -> String {
    let mut text = format!(
        "{} readers ({}), {} subjects, {} of them read by all\n",
        found.readers.len(),
        found.readers.join(", "),
        found.subjects,
        found.complete
    );
    for pair in &found.pairs {
        let names = format!("{} less {}", pair.readers[0], pair.readers[1]);
        if let Some(limits) = &pair.bland_altman {
            text += &limits_said(&names, limits);
        }
        if let Some(kappa) = &pair.kappa {
            text += &kappa_said(&pair.readers, kappa);
        }
    }
    if let Some(icc) = &found.icc {
        let lines = [
            ("ICC(1,1)", icc.icc1, icc.icc1_ci),
            ("ICC(2,1)", icc.icc2, icc.icc2_ci),
            ("ICC(3,1)", icc.icc3, icc.icc3_ci),
        ];
        for (name, value, ci) in lines {
            text += &format!("{name} {value:.2}{}\n", interval(ci, 2));
        }
    }
    if let (Some(within), Some(change)) = (found.within_subject_sd, found.minimal_detectable_change)
    {
        text += &format!(
            "spread within a subject {within:.2}; a change under {change:.2} may be chance alone\n"
        );
    }
    text
}

fn interval(ci: Option<[f64; 2]>, places: usize) -> String {
    ci.map_or(String::new(), |[low, high]| {
        format!(" (95 % confidence {low:.places$} to {high:.places$})")
    })
}

fn limits_said(names: &str, limits: &BlandAltman) -> String {
    format!(
        "{names}: bias {:.2}{}, SD {:.2}, limits (bias and {} SD) {:.2}{} to {:.2}{}, {} pairs\n",
        limits.bias,
        interval(Some(limits.bias_ci), 2),
        limits.sd,
        limits.times,
        limits.lower,
        interval(Some(limits.lower_ci), 2),
        limits.upper,
        interval(Some(limits.upper_ci), 2),
        limits.count,
    )
}

fn kappa_said(readers: &[String; 2], kappa: &Kappa) -> String {
    let value = kappa.kappa.map_or("not defined".into(), |k| format!("{k:.2}"));
    format!(
        "{} and {}: agree on {:.0} % of {}; kappa {value}{}\n",
        readers[0],
        readers[1],
        100.0 * kappa.observed,
        kappa.count,
        interval(kappa.ci, 2)
    )
}
