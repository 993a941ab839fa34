//! A table of earlier visits, read: each row a visit's events, or a named fault; no row is half taken.

use std::collections::{BTreeMap, HashMap};
use std::io::Read;

use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};

use super::cells::{plain, pressure, read as outcomes_of};
use super::columns::{COLUMNS, VERSION as FORM, site_column};
use super::sheet::{SheetFault, SheetRow, SheetRows};
use crate::clinical::cautions::{self, Weight};
use crate::clinical::event::{Act, Answered, Event, Gauge, Opened, Outcome, Phase, Posture};
use crate::clinical::method::Method;
use crate::clinical::moment::{Moment, ONLY_THE_DAY};
use crate::clinical::site::{Side, Site};
use crate::clinical::typed;
use crate::clinical::visit::Visit;
use crate::units::Mmhg;

/// A table, read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadTable {
    /// The rows that became visits.
    pub taken: Vec<Taken>,
    /// The rows that did not, and why.
    pub refused: Vec<RefusedRow>,
    /// Columns that are not known and were not read.
    pub ignored: Vec<String>,
    /// The line of the columns' names.
    pub head_line: u64,
}

/// A row that became a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Its line in the file, from 1; the header is line 1.
    pub line: u64,
    /// The visit.
    pub events: Vec<Event>,
}

/// A row that became nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, {column}: {why}")]
pub struct RefusedRow {
    /// Its line in the file.
    pub line: u64,
    /// The column.
    pub column: String,
    /// Why.
    pub why: String,
}

/// Why a file is no table of visits.
#[derive(Debug, thiserror::Error)]
pub enum TableFault {
    /// No table that can be read.
    #[error(transparent)]
    Sheet(#[from] SheetFault),
    /// No column of a site.
    #[error(
        "the first line names no site: it needs columns such as right-arm, right-pt, right-dp, left-pt, left-dp, left-arm"
    )]
    NoSites,
}

/// Reads a whole table; what stands between cells is told by the first line, either decimal sign is read.
///
/// # Errors
/// The file is no table of visits at all. A bad row is no error: it stands among the refused.
pub fn read(bytes: &[u8]) -> Result<ReadTable, TableFault> {
    let mut reading = Reading::open(bytes)?;
    let (ignored, head_line) = (reading.ignored.clone(), reading.head_line());
    let mut table = ReadTable { ignored, head_line, ..ReadTable::default() };
    while let Some(row) = reading.row()? {
        match row {
            Ok(taken) => table.taken.push(taken),
            Err(refused) => table.refused.push(refused),
        }
    }
    Ok(table)
}

/// A table that is read row by row, so that it may be of any length.
pub struct Reading<R> {
    rows: SheetRows<R>,
    names: Vec<String>,
    /// Columns that are not known and are not read.
    pub ignored: Vec<String>,
    /// A digest of record and moment of each visit, and the line it stands in.
    seen: HashMap<[u8; 16], u64>,
}

impl<R: Read> Reading<R> {
    /// Reads the names of the columns.
    ///
    /// # Errors
    /// The file is no table of visits at all.
    pub fn open(from: R) -> Result<Self, TableFault> {
        let rows = SheetRows::open(from, |name| plain(name).trim().to_owned())?;
        let names: Vec<String> =
            rows.names.iter().map(|name| plain(name).trim().to_owned()).collect();
        if !names.iter().any(|name| name.parse::<Site>().is_ok()) {
            return Err(TableFault::NoSites);
        }
        let ignored = names.iter().filter(|name| !COLUMNS.contains(&name.as_str()));
        let ignored = ignored.cloned().collect();
        Ok(Self { rows, names, ignored, seen: HashMap::new() })
    }

    /// The line of the columns' names.
    pub fn head_line(&self) -> u64 {
        self.rows.head_line
    }

    /// Bytes that were read so far.
    pub fn read_bytes(&self) -> u64 {
        self.rows.read_bytes()
    }

    /// The next row: a visit, or why it became none.
    ///
    /// # Errors
    /// The system could not read on.
    pub fn row(&mut self) -> Result<Option<Result<Taken, RefusedRow>>, TableFault> {
        let Some(SheetRow { line, cells }) = self.rows.row()? else { return Ok(None) };
        let taken = cells
            .map_err(|why| fault("the row", why))
            .and_then(|cells| visit(&self.names, &cells, line))
            .and_then(|taken| once(&mut self.seen, taken));
        Ok(Some(taken.map_err(|(column, why)| RefusedRow { line, column, why })))
    }
}

/// Column and reason of a refusal.
type Fault = (String, String);

/// A site in one phase, with the outcome of each attempt.
type Outcomes = (Site, Phase, Vec<Option<Outcome>>);

fn fault(column: &str, why: impl std::fmt::Display) -> Fault {
    (column.to_owned(), why.to_string())
}

/// The same record at the same moment is the same visit: the second is refused.
fn once(seen: &mut HashMap<[u8; 16], u64>, taken: Taken) -> Result<Taken, Fault> {
    let Some(Event { at, act: Act::VisitOpened(opened), .. }) = taken.events.first() else {
        return Err(fault("the row", "it made no visit"));
    };
    // No code holds a line's end. A digest, so that a long table needs little memory.
    let digest = Sha256::digest(format!("{}\n{at}", opened.record));
    let mut key = [0; 16];
    key.copy_from_slice(&digest[..16]);
    match seen.insert(key, taken.line) {
        Some(line) => Err(fault("measured", format!("the same visit stands in line {line}"))),
        None => Ok(taken),
    }
}

/// One row with its names.
struct Cells<'a> {
    cells: BTreeMap<&'a str, &'a str>,
}

impl Cells<'_> {
    fn get(&self, column: &str) -> &str {
        self.cells.get(column).copied().unwrap_or("")
    }

    /// A choice by its word; the default where the cell is empty.
    fn choice<T: DeserializeOwned>(&self, column: &str, default: T) -> Result<T, Fault> {
        let word = self.get(column).trim();
        if word.is_empty() {
            return Ok(default);
        }
        let value = serde_json::Value::String(word.to_owned());
        serde_json::from_value(value).map_err(|_| fault(column, format!("`{word}` is not known")))
    }

    fn opened(&self) -> Result<Opened, Fault> {
        let graduation = match self.get("graduation_mmhg").trim() {
            "" => Mmhg::whole(2).map_err(|f| fault("graduation_mmhg", f))?,
            text => pressure(text).map_err(|why| fault("graduation_mmhg", why))?,
        };
        let posture = self.choice("posture", Posture::Supine)?;
        let mut opened =
            typed::opening(self.choice("method", Method::Higher)?, graduation, posture);
        let set = |to: &mut String, column: &str| {
            if !self.get(column).is_empty() {
                *to = self.get(column).to_owned();
            }
        };
        set(&mut opened.record, "record");
        set(&mut opened.operator, "operator");
        set(&mut opened.reason, "reason");
        set(&mut opened.order, "order");
        set(&mut opened.program, "program");
        let mut code = opened.gauge.code.clone();
        set(&mut code, "gauge");
        opened.gauge = Gauge { code, graduation_mmhg: graduation };
        opened.diabetes = self.choice("diabetes", opened.diabetes)?;
        opened.kidney = self.choice("kidney", opened.kidney)?;
        opened.listener = Some(self.get("listener").to_owned()).filter(|l| !l.is_empty());
        let minutes = self.get("rested_min").trim();
        if !minutes.is_empty() {
            let whole = minutes.parse().map_err(|_| fault("rested_min", "write whole minutes"))?;
            opened.rested_min = Some(whole);
        }
        if !self.get("rules").is_empty() {
            opened.repeats = serde_json::from_str(self.get("rules"))
                .map_err(|_| fault("rules", "these are no rules for repeats"))?;
        }
        Ok(opened)
    }

    /// The moment, and whether only its day is known.
    fn measured(&self) -> Result<(Moment, bool), Fault> {
        let text = self.get("measured").trim();
        if text.is_empty() {
            return Err(fault("measured", "a visit needs its day"));
        }
        let day = text.parse::<jiff::civil::Date>().is_ok() && text.len() == 10;
        let whole = if day { format!("{text}T00:00:00Z") } else { text.to_owned() };
        Ok((Moment::parse(&whole).map_err(|why| fault("measured", why))?, day))
    }

    fn answers(&self) -> Result<Vec<Act>, Fault> {
        if self.get("answers").is_empty() {
            return Ok(Vec::new());
        }
        let known = cautions::list();
        let each = self.get("answers").split_whitespace().map(|words| {
            let wrong =
                || fault("answers", format!("`{words}` is no answer such as rest-pain/left=no"));
            let (what, answer) = words.rsplit_once('=').ok_or_else(wrong)?;
            let answer = serde_json::from_value(answer.into()).map_err(|_| wrong())?;
            let (id, side) = match what.rsplit_once('/') {
                Some((id, "left")) => (id, Some(Side::Left)),
                Some((id, "right")) => (id, Some(Side::Right)),
                _ => (what, None),
            };
            let flag = known.iter().any(|item| item.id == id && item.weight == Weight::RedFlag);
            let answered = Answered { id: id.to_owned(), answer, side };
            Ok(if flag { Act::RedFlag(answered) } else { Act::Caution(answered) })
        });
        each.collect()
    }

    /// The outcomes of every site and phase, in the order of the columns.
    fn outcomes(&self) -> Result<Vec<Outcomes>, Fault> {
        let mut found = Vec::new();
        for phase in [Phase::Rest, Phase::AfterExercise] {
            for site in Site::all() {
                let column = site_column(site, phase);
                let outcomes =
                    outcomes_of(self.get(&column), site).map_err(|why| fault(&column, why))?;
                found.push((site, phase, outcomes));
            }
        }
        Ok(found)
    }

    /// Every attempt in the order of `sequence`; those it does not name follow in the order of the columns.
    fn attempts(&self) -> Result<Vec<(Site, Phase, Option<Outcome>)>, Fault> {
        let mut waiting = self.outcomes()?;
        let mut attempts = Vec::new();
        for name in self.get("sequence").split_whitespace() {
            let found = waiting.iter_mut().find(|(site, phase, outcomes)| {
                site_column(*site, *phase) == name && !outcomes.is_empty()
            });
            let Some((site, phase, outcomes)) = found else {
                return Err(fault(
                    "sequence",
                    format!("`{name}` has no outcome in its own column"),
                ));
            };
            attempts.push((*site, *phase, outcomes.remove(0)));
        }
        for (site, phase, outcomes) in waiting {
            attempts.extend(outcomes.into_iter().map(|outcome| (site, phase, outcome)));
        }
        if attempts.is_empty() {
            return Err(fault("the row", "no site has an outcome"));
        }
        Ok(attempts)
    }
}

fn visit(names: &[String], row: &[String], line: u64) -> Result<Taken, Fault> {
    let cells = names.iter().map(String::as_str).zip(row.iter().map(|cell| plain(cell))).collect();
    let cells = Cells { cells };
    match cells.get("version").trim() {
        "" | FORM => {}
        newer => {
            return Err(fault(
                "version",
                format!("this program knows version {FORM}, not {newer}"),
            ));
        }
    }
    let (at, day_only) = cells.measured()?;
    let mut acts = vec![Act::VisitOpened(cells.opened()?)];
    acts.extend(cells.answers()?);
    for (attempt, (site, phase, outcome)) in (1..).zip(cells.attempts()?) {
        acts.push(Act::SiteChosen { attempt, site, phase, gauge: None });
        acts.extend(outcome.map(|outcome| Act::Outcome { attempt, outcome }));
    }
    let mut words = format!("Taken over from line {line} of a table of visits.");
    if day_only {
        words = format!("{words} {ONLY_THE_DAY}");
    }
    acts.push(Act::Note { who: "import".into(), words });
    match cells.get("closed").trim() {
        "no" => {}
        "" | "yes" => acts.push(Act::VisitClosed),
        other => return Err(fault("closed", format!("`{other}` is neither yes nor no"))),
    }
    let numbered = (1..).zip(acts).map(|(n, act)| Event::new(n, at, act));
    let events: Vec<Event> = numbered.collect();
    Visit::from_events(&events).map_err(|why| fault("the row", why))?;
    Ok(Taken { line, events })
}
