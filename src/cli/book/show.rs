//! Reading the book: lists, one visit, one record with its trend, rechecks.

use std::fmt::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, bail};
use clap_complete::engine::ArgValueCompleter;
use serde::Serialize;

use super::place::{Place, tell};
use crate::cli::described::Described;
use crate::cli::output::say;
use crate::cli::progress::Progress;
use crate::cli::{complete, index, paper, recheck};
use crate::clinical::dispute;
use crate::clinical::event::Event;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::moment::Day;
use crate::clinical::record_code;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Side;
use crate::clinical::trend::LegAtVisit;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::logbook::{Book, History, Recording, Search, SoundState, VisitId, VisitRow, Whose};
use crate::words::Words;

/// Which visits are meant.
#[derive(clap::Args)]
pub(in crate::cli) struct Wanted {
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
    /// Only visits opened so many months ago or earlier: those whose keeping is to be looked at
    #[arg(long, value_name = "MONTHS")]
    older_than: Option<u16>,
}

#[derive(clap::Args)]
pub(super) struct List {
    #[command(flatten)]
    wanted: Wanted,
    /// Only visits that are not closed
    #[arg(long)]
    open: bool,
    /// Only records whose next test is due on this day or earlier, each by the visit that says so
    #[arg(long, value_name = "DAY")]
    due: Option<Day>,
    /// At most so many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
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

impl Wanted {
    pub(super) fn search(&self) -> anyhow::Result<Search> {
        let after = |day: Day| anyhow::Ok(start(Day(day.0.tomorrow()?))?);
        let mut to = self.to.map(after).transpose()?;
        if let Some(months) = self.older_than {
            let today = index::now().1;
            let cut = after(Day(today.checked_sub(jiff::Span::new().months(months))?))?;
            to = Some(to.map_or(cut, |to| to.min(cut)));
        }
        let (record, text) = (self.record.clone(), self.text.clone());
        Ok(Search {
            record,
            text,
            from: self.from.map(start).transpose()?,
            to,
            ..Search::default()
        })
    }
}

pub(super) fn list(place: &Place, words: &List) -> anyhow::Result<ExitCode> {
    let search = Search {
        open_only: words.open,
        due_until: words.due.map(|day| day.to_string()),
        limit: words.limit,
        ..words.wanted.search()?
    };
    let book = place.open()?;
    let rows = book.visits(&search)?;
    if rows.is_empty() && !words.json {
        say("no visits\n")?;
    }
    for row in &rows {
        tell(words.json, row, &line_of(&book, row)?)?;
    }
    Ok(ExitCode::SUCCESS)
}

/// One visit as a line; an open one with whose it is.
fn line_of(book: &Book, row: &VisitRow) -> anyhow::Result<String> {
    let mut line = line(row);
    if !row.closed {
        let whose = match book.whose(row.id)? {
            Some(Whose::Elsewhere(chain)) => format!("  on another laptop, chain {chain}"),
            Some(Whose::Before) => {
                "  in another copy of this book: taken over when it goes on".into()
            }
            _ => String::new(),
        };
        line.insert_str(line.len() - 1, &whose);
    }
    Ok(line)
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
    #[arg(add = ArgValueCompleter::new(complete::visits))]
    what: String,
    /// A set of guidance [default: acc-aha-2024]; may be given several times
    #[arg(long, value_name = "NAME", add = ArgValueCompleter::new(complete::guidances))]
    guidance: Vec<String>,
    /// JSON instead of text
    #[arg(long)]
    json: bool,
}

/// The sets asked for; words that name none end the program as wrong words.
fn sets(names: &[String]) -> anyhow::Result<Vec<GuidanceSet>> {
    index::sets(names)?.map_err(anyhow::Error::msg)
}

/// One visit with everything in it.
#[derive(Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct Whole<'a> {
    /// As it stands in the book's list.
    visit: &'a VisitRow,
    /// What is worked out of it now.
    result: &'a VisitResult,
    /// Its recordings.
    recordings: &'a [Recording],
    /// What was done, in order.
    events: &'a [Event],
}

impl Described for Whole<'_> {
    const FORMAT: &'static str = "cuffnote-book-show";
}

/// One record: its visits, newest first, and the trend of both legs.
#[derive(Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct Told<'a> {
    /// Its code.
    record: &'a str,
    /// Its visits, newest first.
    visits: Vec<&'a VisitRow>,
    /// The day of the next test, where one is set.
    due: Option<&'a str>,
    /// The right leg, oldest first.
    right: Vec<LegAtVisit>,
    /// The left leg, oldest first.
    left: Vec<LegAtVisit>,
    /// Visits that could not be worked out.
    faults: Vec<String>,
}

impl Described for Told<'_> {
    const FORMAT: &'static str = "cuffnote-book-record";
}

pub(super) fn show(place: &Place, words: &Show) -> anyhow::Result<ExitCode> {
    let (book, sets) = (place.open()?, sets(&words.guidance)?);
    match words.what.parse::<VisitId>() {
        Ok(id) => one(&book, id, &sets, words.json),
        Err(_) => record(&book, &words.what, &sets, words.json),
    }
}

fn one(book: &Book, id: VisitId, sets: &[GuidanceSet], json: bool) -> anyhow::Result<ExitCode> {
    let (row, events) = (book.visit(id)?, book.events(id)?);
    let visit = Visit::read(&events).with_context(|| format!("visit {id}"))?;
    let result = work_out(&visit, sets, Assumed::default());
    let recordings = book.recordings(id)?;
    let whole = Whole { visit: &row, result: &result, recordings: &recordings, events: &events };
    let mut text = line_of(book, &row)? + &paper::visit(&result);
    for a in &visit.amended {
        let apart =
            if a.apart { ", apart from the amendment before it: settle which holds" } else { "" };
        let whose = dispute::whose(Words::english(), a.chain.as_deref());
        let _ = writeln!(
            text,
            "Event {} amended by {} on {}{whose}{apart}: {}",
            a.of, a.who, a.at, a.why
        );
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

fn record(book: &Book, code: &str, sets: &[GuidanceSet], json: bool) -> anyhow::Result<ExitCode> {
    let history = History::read(book, code, sets)?;
    let rows = history.visits.iter().map(|(row, _)| row);
    let mut visits: Vec<&VisitRow> =
        rows.chain(history.faults.iter().map(|(row, _)| row)).collect();
    if visits.is_empty() {
        let known = book.records()?;
        let near = record_code::did_you_mean(code, known.iter().map(String::as_str));
        match near.as_slice() {
            [] => bail!("there is no visit and no record `{code}` in this book"),
            near => bail!("there is no record `{code}`: did you mean {}?", near.join(" or ")),
        }
    }
    visits.sort_by_key(|row| std::cmp::Reverse(row.opened_at.utc()));
    let faults = history.faults.iter().map(|(row, fault)| format!("visit {}: {fault}", row.id));
    let [right, left] = Side::BOTH.map(|side| history.steps(side));
    let (due, faults) = (history.due.as_deref(), faults.collect());
    let told = Told { record: code, visits, due, right, left, faults };
    tell(json, &told, &in_words(&told))?;
    Ok(if told.faults.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn in_words(told: &Told) -> String {
    let mut text: String = told.visits.iter().map(|row| line(row)).collect();
    for (side, steps) in [(Side::Right, &told.right), (Side::Left, &told.left)] {
        let _ = writeln!(text, "\n{}, oldest first:", side.words());
        for step in steps {
            text += &step_line(step);
        }
    }
    if let Some(due) = told.due {
        let _ = writeln!(text, "\nNext test due: {due}");
    }
    told.faults.iter().for_each(|fault| text += &format!("cuffnote: {fault}\n"));
    text
}

fn step_line(step: &LegAtVisit) -> String {
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
pub(super) struct Recheck {
    /// A guidance file of your own that some visits were shown with
    #[arg(long, value_name = "FILE")]
    pub(super) guidance: Vec<PathBuf>,
    /// One JSON object a visit
    #[arg(long)]
    pub(super) json: bool,
}

pub(in crate::cli) fn recheck_all(
    place: &Place,
    guidance: &[PathBuf],
    json: bool,
) -> anyhow::Result<ExitCode> {
    let book = place.open()?;
    let mut tally = recheck::Tally::new(guidance, json)?;
    let ids = book.ids(&Search::default())?;
    let progress = Progress::stoppable("visits", ids.len() as u64)?;
    for id in ids {
        progress.step()?;
        tally.add(&format!("visit {id}"), book.events(id).map_err(Into::into))?;
    }
    drop(progress);
    tally.end()
}
