//! Changing what the book says: amendments, notes, the next test, deletion; and codes of records.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, bail};

use super::place::Place;
use crate::cli::output::say;
use crate::cli::{import, index};
use crate::clinical::event::{Act, Event};
use crate::clinical::moment::Day;
use crate::clinical::record_code;
use crate::clinical::typed::Given;
use crate::clinical::visit::Visit;
use crate::logbook::{Forget as What, VisitId};

#[derive(clap::Args)]
#[command(group(clap::ArgGroup::new("what").required(true)))]
pub(super) struct Amend {
    /// The visit's id
    #[arg(value_parser = super::place::id)]
    visit: VisitId,
    /// The attempt whose outcome is corrected, with --to
    #[arg(long, value_name = "N", group = "what", requires = "to")]
    attempt: Option<u32>,
    /// What the outcome is: mmHg, nc, none or skipped
    #[arg(long, value_name = "VALUE", requires = "attempt", allow_hyphen_values = true)]
    to: Option<Given>,
    /// An attempt that is not to count; it stays visible
    #[arg(long, value_name = "N", group = "what")]
    withdraw: Option<u32>,
    /// The record's right code
    #[arg(long, value_name = "CODE", group = "what")]
    record: Option<String>,
    /// The day of the next test
    #[arg(long, value_name = "DAY", group = "what")]
    next_test: Option<Day>,
    /// Free words; never a name or date of birth
    #[arg(long, value_name = "WORDS", group = "what")]
    note: Option<String>,
    /// Whose decision: initials or code
    #[arg(long, value_name = "CODE")]
    who: String,
    /// Why; needed unless a note or the next test is added
    #[arg(long, value_name = "WORDS")]
    why: Option<String>,
}

impl Amend {
    /// The act that this amounts to.
    fn act(self, events: &[Event]) -> anyhow::Result<Act> {
        let who = self.who;
        if let Some(words) = self.note {
            return Ok(Act::Note { who, words });
        }
        if let Some(on) = self.next_test {
            return Ok(Act::NextTest { on, who });
        }
        let why =
            self.why.context("say why with --why: an amendment without a reason is refused")?;
        if let Some(attempt) = self.withdraw {
            return Ok(Act::AttemptWithdrawn { attempt, who, why });
        }
        let (of, old, new) = match (self.attempt.zip(self.to), self.record) {
            (Some((attempt, to)), _) => outcome(events, attempt, to)?,
            (None, Some(code)) => record(events, &code)?,
            (None, None) => bail!("say what is to be amended"),
        };
        if old == new {
            bail!("that is what stands there already");
        }
        Ok(Act::Amendment { of, old: Box::new(old), new: Box::new(new), who, why })
    }
}

/// An event as it stands after every amendment of it.
fn standing(events: &[Event], wanted: impl Fn(&Act) -> bool) -> Option<(u64, Act)> {
    let event = events.iter().find(|event| wanted(&event.act))?;
    let amended = events.iter().rev().find_map(|other| match &other.act {
        Act::Amendment { of, new, .. } if *of == event.n => Some((**new).clone()),
        _ => None,
    });
    Some((event.n, amended.unwrap_or_else(|| event.act.clone())))
}

fn outcome(events: &[Event], attempt: u32, to: Given) -> anyhow::Result<(u64, Act, Act)> {
    let is = |act: &Act| matches!(act, Act::Outcome { attempt: n, .. } if *n == attempt);
    let (of, old) = standing(events, is)
        .with_context(|| format!("attempt {attempt} has no outcome in this visit"))?;
    let visit = Visit::from_events(events)?;
    let site = visit.attempt(attempt).context("the attempt was never begun")?.site;
    Ok((of, old, Act::Outcome { attempt, outcome: to.outcome(site) }))
}

fn record(events: &[Event], code: &str) -> anyhow::Result<(u64, Act, Act)> {
    record_code::check(code).with_context(|| format!("`{code}`"))?;
    let (of, old) = standing(events, |act| matches!(act, Act::VisitOpened(_)))
        .context("the visit was never opened")?;
    let Act::VisitOpened(opened) = &old else { bail!("the visit was never opened") };
    let mut opened = opened.clone();
    opened.record = code.trim().to_ascii_uppercase();
    Ok((of, old, Act::VisitOpened(opened)))
}

pub(super) fn amend(place: &Place, words: Amend) -> anyhow::Result<ExitCode> {
    let visit = words.visit;
    let mut events = place.open()?.events(visit)?;
    let act = words.act(&events)?;
    let (at, n) = (index::now().0, events.len() as u64 + 1);
    // What would not fit is refused before it is kept.
    events.push(Event::new(n, at, act.clone()));
    Visit::from_events(&events)?;
    place.write()?.keep(visit, at, act)?;
    say(&format!("kept as event {n} of visit {visit}\n"))?;
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Forget {
    /// The visit's id
    #[arg(value_parser = super::place::id)]
    visit: VisitId,
    /// Only its recordings; every number stays
    #[arg(long)]
    sounds: bool,
    /// Whose decision: initials or code
    #[arg(long, value_name = "CODE")]
    who: String,
    /// Why; this stays, so never a name in it
    #[arg(long, value_name = "WORDS")]
    why: String,
}

pub(super) fn forget(place: &Place, words: &Forget) -> anyhow::Result<ExitCode> {
    let what = if words.sounds { What::Sounds } else { What::Visit };
    place.write()?.forget(words.visit, what, &words.who, &words.why)?;
    let what = if words.sounds { "the recordings of visit" } else { "visit" };
    say(&format!(
        "deleted: {what} {}. Backups, reports and shared folders made before still hold it.\n",
        words.visit
    ))?;
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Code {
    /// A code
    code: String,
    /// The code is whole: check it
    #[arg(long)]
    check: bool,
}

pub(super) fn code(words: &Code) -> anyhow::Result<ExitCode> {
    if words.check {
        record_code::check(&words.code).with_context(|| format!("`{}`", words.code))?;
        say("the code is whole\n")?;
    } else {
        let whole = record_code::with_check(&words.code)?;
        if !words.code.contains(|c: char| c.is_ascii_digit()) {
            eprintln!(
                "cuffnote: a record goes by a code, never by a name: if this is a name, take another"
            );
        }
        say(&(whole + "\n"))?;
    }
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Import {
    /// A table of visits (CSV): the columns that `export --out FILE.csv` writes, or some of them
    table: PathBuf,
    /// Only say what would be taken
    #[arg(long)]
    check: bool,
}

/// Each good row becomes a visit of the book; every bad one is named, and none is taken by half. A visit that
/// the book has is not taken twice.
pub(super) fn import_table(place: &Place, words: &Import) -> anyhow::Result<ExitCode> {
    // Made only once there is something to keep.
    let mut writer = None;
    import::read(&words.table, words.check, |taken| {
        let writer = match &mut writer {
            Some(writer) => writer,
            None => writer.insert(place.write_or_make()?),
        };
        Ok(writer.keep_earlier(&taken.events)?)
    })
}
