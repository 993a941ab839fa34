//! A table of visits (CSV) for the verb `index`: a header of site names, a visit a line.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::ExitCode;

use anyhow::{Context, bail};

use super::output::pipe;
use crate::clinical::result::{BandHit, LegResult, VisitResult};
use crate::clinical::site::Site;
use crate::clinical::typed::Given;

use super::paper::with_ends;

/// What a column holds.
enum Column {
    Site(Site),
    Record,
}

/// One line of the answer.
#[derive(serde::Serialize)]
struct Line<'a> {
    line: u64,
    #[serde(flatten)]
    result: &'a VisitResult,
}

/// Works out every visit of a table. A line with a fault is named on stderr, the others are still done.
pub(super) fn run(
    path: &Path,
    json: bool,
    work: impl Fn(&[(Site, Given)]) -> anyhow::Result<VisitResult>,
) -> anyhow::Result<ExitCode> {
    let name = path.display();
    let mut source: Box<dyn BufRead> = match path.to_str() {
        Some("-") => Box::new(BufReader::new(std::io::stdin())),
        _ => {
            Box::new(BufReader::new(std::fs::File::open(path).with_context(|| format!("{name}"))?))
        }
    };
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes).with_context(|| format!("{name}"))?;
    // A byte-order mark, as spreadsheets write it, is no part of the first name.
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes);
    let mut table = csv::ReaderBuilder::new()
        .delimiter(delimiter(bytes))
        .trim(csv::Trim::All)
        .flexible(false)
        .from_reader(bytes);
    let header = table.headers().with_context(|| format!("{name}"))?.clone();
    let columns = header.iter().map(column).collect::<anyhow::Result<Vec<_>>>();
    let columns = columns.with_context(|| format!("{name}, line 1"))?;
    if !columns.iter().any(|c| matches!(c, Column::Site(_))) {
        bail!(
            "{name}, line 1: expected a header with site names such as right-arm,left-arm,right-dp"
        );
    }
    let mut out = std::io::stdout().lock();
    let (mut done, mut faults) = (0, 0);
    for row in table.records() {
        let row = row.map_err(|e| (e.position().map_or(0, csv::Position::line), named(&e)));
        let visit = row.and_then(|row| {
            let line = row.position().map_or(0, csv::Position::line);
            one(&columns, &row, &work)
                .map(|result| (line, result))
                .map_err(|e| (line, format!("{e:#}")))
        });
        match visit {
            Ok((line, result)) => {
                done += 1;
                let text = if json {
                    serde_json::to_string(&Line { line, result: &result })?
                } else {
                    in_a_line(line, &result)
                };
                pipe(writeln!(out, "{text}"))?;
            }
            Err((line, why)) => {
                faults += 1;
                eprintln!("cuffnote: {name}, line {line}: {why}");
            }
        }
    }
    if done + faults == 0 {
        bail!("{name}: there is a header, and no visit under it");
    }
    Ok(if faults == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// A fault of the table in our words.
fn named(fault: &csv::Error) -> String {
    match fault.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!(
                "{len} cells where the header has {expected_len}: leave a cell empty where a site is not yet measured"
            )
        }
        csv::ErrorKind::Utf8 { .. } => "the line is not UTF-8 text: save the table as UTF-8".into(),
        _ => fault.to_string(),
    }
}

/// A semicolon where the header has one, so that decimal commas can be used; else a comma.
pub(super) fn delimiter(bytes: &[u8]) -> u8 {
    let header = bytes.split(|b| *b == b'\n').next().unwrap_or_default();
    if header.contains(&b';') { b';' } else { b',' }
}

fn column(name: &str) -> anyhow::Result<Column> {
    match name.to_ascii_lowercase().replace('_', "-").as_str() {
        "record" => Ok(Column::Record),
        code => {
            Ok(Column::Site(code.parse::<Site>().context("columns are `record` and site names")?))
        }
    }
}

fn one(
    columns: &[Column],
    row: &csv::StringRecord,
    work: &impl Fn(&[(Site, Given)]) -> anyhow::Result<VisitResult>,
) -> anyhow::Result<VisitResult> {
    let mut given = Vec::new();
    let mut record = String::new();
    for (column, cell) in columns.iter().zip(row) {
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
    format!("{record:12}  right {}  |  left {}", leg(&result.right), leg(&result.left))
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
