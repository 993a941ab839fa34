//! A table of visits (CSV) for the verb `index`: a header of site names, a visit a line.

use std::path::Path;
use std::process::ExitCode;

use anyhow::{Context, bail};

use super::described::{Described, line as as_line};
use super::nearest::did_you_mean;
use super::output::{fault, say};
use super::paper::with_ends;
use super::place::given;
use crate::clinical::result::{BandHit, LegResult, VisitResult};
use crate::clinical::site::Site;
use crate::clinical::typed::Given;
use crate::report::table::Sheet;

/// What a column holds.
enum Column {
    Site(Site),
    Record,
}

/// One line of the answer.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub(super) struct Line<'a> {
    /// The line of the table, from 1, as an editor counts.
    line: u64,
    #[serde(flatten)]
    result: &'a VisitResult,
}

impl Described for Line<'_> {
    const FORMAT: &'static str = "cuffnote-index-table";
}

/// Works out every visit of a table. A line with a fault is named on stderr, the others are still done.
pub(super) fn run(
    path: &Path,
    json: bool,
    work: impl Fn(&[(Site, Given)]) -> anyhow::Result<VisitResult>,
) -> anyhow::Result<ExitCode> {
    let name = path.display();
    let sheet = Sheet::read(&given(path)?, same).with_context(|| format!("{name}"))?;
    let columns = sheet.names.iter().map(|name| column(name)).collect::<anyhow::Result<Vec<_>>>();
    let columns = columns.with_context(|| format!("{name}, line {}", sheet.head_line))?;
    if !columns.iter().any(|c| matches!(c, Column::Site(_))) {
        bail!(
            "{name}, line {}: expected a header with site names such as right-arm,left-arm,right-dp",
            sheet.head_line
        );
    }
    if sheet.rows.is_empty() {
        bail!("{name}: there is a header, and no visit under it");
    }
    let mut faults = 0;
    for row in sheet.rows {
        let line = row.line;
        let result =
            row.cells.map_err(anyhow::Error::msg).and_then(|cells| one(&columns, &cells, &work));
        match result {
            Ok(result) if json => say(&as_line(&Line { line, result: &result })?)?,
            Ok(result) => say(&in_a_line(line, &result))?,
            Err(why) => {
                faults += 1;
                fault(&format!("{name}, line {line}: {why:#}"));
            }
        }
    }
    Ok(if faults == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// Names that mean the same column.
fn same(name: &str) -> String {
    name.to_ascii_lowercase().replace('_', "-")
}

fn column(name: &str) -> anyhow::Result<Column> {
    let code = same(name);
    if code == "record" {
        return Ok(Column::Record);
    }
    let site = code.parse::<Site>().with_context(|| {
        let known: Vec<String> = Site::all().map(|site| site.code()).collect();
        let near = did_you_mean(&code, known.iter().map(String::as_str).chain(["record"]));
        format!("columns are `record` and site names{near}")
    })?;
    Ok(Column::Site(site))
}

fn one(
    columns: &[Column],
    row: &[String],
    work: &impl Fn(&[(Site, Given)]) -> anyhow::Result<VisitResult>,
) -> anyhow::Result<VisitResult> {
    let mut given = Vec::new();
    let mut record = String::new();
    for (column, cell) in columns.iter().zip(row.iter().map(|cell| cell.trim())) {
        match column {
            Column::Record => cell.clone_into(&mut record),
            Column::Site(_) if cell.is_empty() => {}
            Column::Site(site) => {
                given.push((*site, cell.parse::<Given>().with_context(|| site.code())?));
            }
        }
    }
    let mut result = work(&given)?;
    result.record = record;
    Ok(result)
}

/// One visit in one line: record, then each leg with its index, interval and bands.
fn in_a_line(line: u64, result: &VisitResult) -> String {
    let record = match result.record.as_str() {
        "" => format!("line {line}"),
        record => record.to_owned(),
    };
    format!("{record:12}  right {}  |  left {}\n", leg(&result.right), leg(&result.left))
}

fn leg(leg: &LegResult) -> String {
    let number = match leg.more_than {
        Some(lowest) => format!("above {lowest}"),
        None => with_ends(leg.index, leg.low, leg.high),
    };
    let bands: Vec<String> = leg.bands.iter().map(BandHit::shown).collect();
    let flags = if leg.words.iter().any(|w| w.starts_with("Red flag")) { "  RED FLAG" } else { "" };
    let provisional = if leg.provisional { "  provisional" } else { "" };
    format!("{number}  {}{provisional}{flags}", bands.join("; ")).trim_end().to_owned()
}
