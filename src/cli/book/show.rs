//! Reading the book: lists, one visit, one record with its trend, reports, rechecks.

use std::fmt::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, bail};
use serde::Serialize;

use super::{Place, tell};
use crate::cli::{audit, index, paper, recheck, report, say};
use crate::clinical::event::Event;
use crate::clinical::guidance::Set;
use crate::clinical::moment::Day;
use crate::clinical::record_code;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Side;
use crate::clinical::trend::{self, Step};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::logbook::{Book, Recording, Search, SoundState, VisitId, VisitRow};

#[derive(clap::Args)]
pub(super) struct List {
    /// Only this record
    #[arg(long, value_name = "CODE")]
    record: Option<String>,
    /// Only visits with these words in record, operator or reason
    #[arg(long, value_name = "WORDS")]
    text: Option<String>,
    /// Opened on this day or later
    #[arg(long, value_name = "DAY")]
    from: Option<Day>,
    /// Opened on this day or earlier
    #[arg(long, value_name = "DAY")]
    to: Option<Day>,
    /// Only visits that are not closed
    #[arg(long)]
    open: bool,
    /// Only visits opened so many months ago or earlier: those whose keeping is to be looked at
    #[arg(long, value_name = "MONTHS")]
    older_than: Option<u16>,
    /// Only visits whose next test is due on this day or earlier
    #[arg(long, value_name = "DAY")]
    due: Option<Day>,
    /// At most so many
    #[arg(long, value_name = "N")]
    limit: Option<u32>,
    /// One JSON object a visit
    #[arg(long)]
    json: bool,
}

/// The first instant of a day, here.
fn start(day: Day) -> anyhow::Result<jiff::Timestamp> {
    let midnight = day.0.to_datetime(jiff::civil::Time::midnight());
    Ok(jiff::tz::TimeZone::system().to_timestamp(midnight)?)
}

impl List {
    fn search(&self) -> anyhow::Result<Search> {
        let after = |day: Day| anyhow::Ok(start(Day(day.0.tomorrow()?))?);
        let mut to = self.to.map(after).transpose()?;
        if let Some(months) = self.older_than {
            let today = index::now().1;
            let cut = after(Day(today.checked_sub(jiff::Span::new().months(months))?))?;
            to = Some(to.map_or(cut, |to| to.min(cut)));
        }
        Ok(Search {
            record: self.record.clone(),
            text: self.text.clone(),
            from: self.from.map(start).transpose()?,
            to,
            open_only: self.open,
            due_until: self.due.map(|day| day.to_string()),
            limit: self.limit,
            offset: 0,
        })
    }
}

pub(super) fn list(place: &Place, words: &List) -> anyhow::Result<ExitCode> {
    let rows = place.open()?.visits(&words.search()?)?;
    if rows.is_empty() && !words.json {
        say("no visits\n")?;
    }
    for row in &rows {
        tell(words.json, row, &line(row))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// One visit as a line.
fn line(row: &VisitRow) -> String {
    let day = row.opened_at.to_string();
    let mut line = format!(
        "{}  {}  {:14} {:8} {:6}",
        row.id,
        day.get(..16).unwrap_or(&day).replace('T', " "),
        row.record,
        row.operator,
        if row.closed { "closed" } else { "OPEN" }
    );
    if let Some(due) = &row.due {
        let _ = write!(line, "  next test {due}");
    }
    line.trim_end().to_owned() + "\n"
}

#[derive(clap::Args)]
pub(super) struct Show {
    /// A visit's id, or a record's code
    what: String,
    /// A set of guidance; may be given several times
    #[arg(long, value_name = "NAME")]
    guidance: Vec<String>,
    /// JSON instead of text
    #[arg(long)]
    json: bool,
}

/// The sets asked for; words that name none end the program as wrong words.
fn sets(names: &[String]) -> anyhow::Result<Vec<Set>> {
    index::sets(names)?.map_err(anyhow::Error::msg)
}

/// One visit with everything in it.
#[derive(Serialize)]
struct Whole<'a> {
    visit: &'a VisitRow,
    result: &'a VisitResult,
    recordings: &'a [Recording],
    events: &'a [Event],
}

/// One record: its visits and the trend of both legs.
#[derive(Serialize)]
struct History {
    record: String,
    visits: Vec<VisitRow>,
    due: Option<String>,
    right: Vec<Step>,
    left: Vec<Step>,
    /// Visits that could not be worked out.
    faults: Vec<String>,
}

pub(super) fn show(place: &Place, words: &Show) -> anyhow::Result<ExitCode> {
    let (book, sets) = (place.open()?, sets(&words.guidance)?);
    match words.what.parse::<VisitId>() {
        Ok(id) => one(&book, id, &sets, words.json),
        Err(_) => record(&book, &words.what, &sets, words.json),
    }
}

fn one(book: &Book, id: VisitId, sets: &[Set], json: bool) -> anyhow::Result<ExitCode> {
    let (row, events) = (book.visit(id)?, book.events(id)?);
    let visit = Visit::from_events(&events).with_context(|| format!("visit {id}"))?;
    let result = work_out(&visit, sets, Assumed::default());
    let recordings = book.recordings(id)?;
    let whole = Whole { visit: &row, result: &result, recordings: &recordings, events: &events };
    let mut text = line(&row) + &paper::visit(&result);
    for a in &visit.amended {
        let apart =
            if a.apart { ", apart from the amendment before it: settle which holds" } else { "" };
        let _ = writeln!(text, "Event {} amended by {} on {}{apart}: {}", a.of, a.who, a.at, a.why);
    }
    for (who, note) in &visit.notes {
        let _ = writeln!(text, "Note by {who}: {note}");
    }
    for sound in &recordings {
        let state = match sound.state {
            SoundState::There => "",
            SoundState::Deleted => "  (deleted)",
            SoundState::Missing => "  (MISSING)",
        };
        let _ = writeln!(text, "Recording: {}{state}", sound.file.display());
    }
    tell(json, &whole, &text)?;
    Ok(ExitCode::SUCCESS)
}

fn record(book: &Book, code: &str, sets: &[Set], json: bool) -> anyhow::Result<ExitCode> {
    let all = Search { record: Some(code.into()), ..Search::default() };
    let visits = book.visits(&all)?;
    if visits.is_empty() {
        let known = book.records()?;
        let near = record_code::did_you_mean(code, known.iter().map(String::as_str));
        match near.as_slice() {
            [] => bail!("there is no visit and no record `{code}` in this book"),
            near => bail!("there is no record `{code}`: did you mean {}?", near.join(" or ")),
        }
    }
    let (mut results, mut faults) = (Vec::new(), Vec::new());
    for row in &visits {
        let made = book
            .events(row.id)
            .map_err(anyhow::Error::from)
            .and_then(|events| Ok(Visit::from_events(&events)?));
        match made {
            Ok(visit) => results.push(work_out(&visit, sets, Assumed::default())),
            Err(fault) => faults.push(format!("visit {}: {fault:#}", row.id)),
        }
    }
    let [right, left] = Side::BOTH.map(|side| trend::of(side, &results));
    let due = visits.iter().find_map(|row| row.due.clone());
    let history = History { record: code.into(), visits, due, right, left, faults };
    tell(json, &history, &told(&history))?;
    Ok(if history.faults.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn told(history: &History) -> String {
    let mut text: String = history.visits.iter().map(line).collect();
    for (side, steps) in [(Side::Right, &history.right), (Side::Left, &history.left)] {
        let _ = writeln!(text, "\n{}, oldest first:", side.words());
        for step in steps {
            text += &step_line(step);
        }
    }
    if let Some(due) = &history.due {
        let _ = writeln!(text, "\nNext test due: {due}");
    }
    history.faults.iter().for_each(|fault| text += &format!("cuffnote: {fault}\n"));
    text
}

fn step_line(step: &Step) -> String {
    let day = step.at.get(..10).unwrap_or(&step.at);
    let mut line = match (step.index, step.interval, step.more_than) {
        (Some(index), Some((low, high)), _) => format!("  {day}  {index} ({low} to {high})"),
        (Some(index), None, _) => format!("  {day}  {index}"),
        (None, _, Some(bound)) => format!("  {day}  above {bound}"),
        (None, _, None) => format!("  {day}  no index"),
    };
    if let Some(toe) = step.toe_mmhg {
        let _ = write!(line, "  toe {toe} mmHg");
    }
    line.push('\n');
    let changes = [
        ("", &step.since_last),
        ("since the first visit: ", &step.since_first),
        ("", &step.toe_since_last),
    ];
    for (before, change) in changes {
        let Some(change) = change else { continue };
        let mark = if change.marked() { "CHANGED: " } else { "" };
        let _ = writeln!(line, "      {mark}{before}{}", change.words);
    }
    line
}

#[derive(clap::Args)]
pub(super) struct Report {
    /// The visit's id
    #[arg(value_parser = super::id)]
    visit: VisitId,
    #[command(flatten)]
    form: report::Form,
}

pub(super) fn report(place: &Place, words: &Report) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let (events, head) = (book.events(words.visit)?, book.head()?);
    let from = format!("visit {}", words.visit);
    let kept = head.of_visit(words.visit);
    report::write(vec![(events, from)], &words.form, Some(&kept))
}

#[derive(clap::Args)]
pub(super) struct Export {
    /// Only visits of this record
    #[arg(long, value_name = "CODE")]
    record: Option<String>,
    #[command(flatten)]
    form: report::Form,
}

/// Every visit of the book, or of a record, oldest first; .pdf, .html and .fhir.json hold one visit each.
pub(super) fn export(place: &Place, words: &Export) -> anyhow::Result<ExitCode> {
    report::write(all(place, words.record.clone())?, &words.form, None)
}

#[derive(clap::Args)]
pub(super) struct Audit {
    #[command(flatten)]
    form: audit::Form,
}

/// Counts all visits of the book.
pub(super) fn count(place: &Place, words: &Audit) -> anyhow::Result<ExitCode> {
    let mut worked = Vec::new();
    for (events, from) in all(place, None)? {
        worked.push(report::work(events, &from, &[])?);
    }
    audit::write(&worked, &words.form)
}

fn all(place: &Place, record: Option<String>) -> anyhow::Result<Vec<(Vec<Event>, String)>> {
    let book = place.open()?;
    let search = Search { record, ..Search::default() };
    let mut rows = book.visits(&search)?;
    rows.reverse();
    let with_events =
        rows.iter().map(|row| Ok((book.events(row.id)?, format!("visit {}", row.id))));
    with_events.collect()
}

#[derive(clap::Args)]
pub(super) struct Recheck {
    /// A guidance file of your own that some visits were shown with
    #[arg(long, value_name = "FILE")]
    guidance: Vec<PathBuf>,
    /// One JSON object a visit
    #[arg(long)]
    json: bool,
}

pub(super) fn recheck_all(place: &Place, words: &Recheck) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let mut tally = recheck::Tally::new(&words.guidance, words.json)?;
    for row in book.visits(&Search::default())? {
        tally.add(&format!("visit {}", row.id), book.events(row.id).map_err(Into::into))?;
    }
    tally.end()
}
