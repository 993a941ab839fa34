//! Changing what the book says: amendments, notes, the next test, deletion; and codes of records.

use std::process::ExitCode;

use anyhow::{Context, bail};

use super::place::Place;
use crate::cli::output::say;
use crate::cli::progress::note;
use crate::cli::{import, index};
use crate::clinical::event::{Act, Event, Outcome};
use crate::clinical::moment::Day;
use crate::clinical::record_code;
use crate::clinical::typed::Given;
use crate::clinical::visit::{Visit, standing};
use crate::logbook::{Forget as What, VisitId, Whose};

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
    /// A next test more than a year ahead, or in the past, is meant
    #[arg(long)]
    sure: bool,
    /// Free words; never a name or date of birth
    #[arg(long, value_name = "WORDS", group = "what", value_parser = super::place::said)]
    note: Option<String>,
    /// Whose decision: initials or code
    #[arg(long, value_name = "CODE", value_parser = super::place::said)]
    who: String,
    /// Why; needed unless a note or the next test is added
    #[arg(long, value_name = "WORDS", value_parser = super::place::said)]
    why: Option<String>,
}

impl Amend {
    /// The act that this amounts to.
    fn act(self, events: &[Event], visit: &Visit) -> anyhow::Result<Act> {
        let who = self.who;
        if let Some(words) = self.note {
            return Ok(Act::Note { who, words });
        }
        if let Some(on) = self.next_test {
            let latest = index::now().1.saturating_add(jiff::Span::new().years(1));
            if on.0 > latest && !self.sure {
                bail!("{on} is more than a year ahead: is that right? Then say so with --sure");
            }
            if on.0 < index::now().1 && !self.sure {
                bail!("{on} is past: is that right? Then say so with --sure");
            }
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
        let disputed = visit.disagreements.iter().any(|one| one.of == of);
        if old == new && !disputed {
            bail!("that is what stands there already");
        }
        Ok(Act::Amendment { of, old: Box::new(old), new: Box::new(new), who, why })
    }
}

fn outcome(events: &[Event], attempt: u32, to: Given) -> anyhow::Result<(u64, Act, Act)> {
    let is = |act: &Act| matches!(act, Act::Outcome { attempt: n, .. } if *n == attempt);
    let (of, old) = standing(events, is)
        .with_context(|| format!("attempt {attempt} has no outcome in this visit"))?;
    let visit = Visit::read(events)?;
    let site = visit.attempt(attempt).context("the attempt was never begun")?.site;
    // Where a reading came from never changes by itself.
    let outcome = match (to.outcome(site), &old) {
        (
            Outcome::Reading { cuff_mmhg, .. },
            Act::Outcome { outcome: Outcome::Reading { source, .. }, .. },
        ) => Outcome::Reading { cuff_mmhg, source: *source },
        (outcome, _) => outcome,
    };
    Ok((of, old, Act::Outcome { attempt, outcome }))
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
    let act = words.act(&events, &Visit::read(&events)?)?;
    let (at, n) = (index::now().0, events.len() as u64 + 1);
    // What would not fit is refused before it is kept.
    events.push(Event::new(n, at, act.clone()));
    if let Some(aside) = Visit::read(&events)?.aside.into_iter().find(|aside| aside.n == n) {
        bail!("event {n}: {}", aside.why);
    }
    place.write()?.keep(visit, at, act)?;
    say(&format!("kept as event {n} of visit {visit}\n"))?;
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct TakeOver {
    /// The visit's id
    #[arg(value_parser = super::place::id)]
    visit: VisitId,
    /// Whose decision: initials or code
    #[arg(long, value_name = "CODE", value_parser = super::place::said)]
    who: String,
    /// Why, such as a broken laptop
    #[arg(long, value_name = "WORDS", value_parser = super::place::said)]
    why: String,
}

/// The other laptop learns of it at its next sync; what it adds meanwhile is kept and set aside.
pub(super) fn take_over(place: &Place, words: TakeOver) -> anyhow::Result<ExitCode> {
    let visit = words.visit;
    let book = place.open()?;
    book.visit(visit)?;
    if matches!(book.whose(visit)?, Some(Whose::Here)) {
        bail!("visit {visit} is this book's own already: it goes on in the window");
    }
    let act = Act::TakenOver { who: words.who, why: words.why };
    place.write()?.keep(visit, index::now().0, act)?;
    say(&format!(
        "visit {visit} goes on here. Sync, so that the other laptop says so too: what is added there until then is kept and does not count\n"
    ))?;
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
    #[arg(long, value_name = "CODE", value_parser = super::place::said)]
    who: String,
    /// Why; this stays, so never a name in it
    #[arg(long, value_name = "WORDS", value_parser = super::place::said)]
    why: String,
}

pub(super) fn forget(place: &Place, words: &Forget) -> anyhow::Result<ExitCode> {
    let what = if words.sounds { What::Sounds } else { What::Visit };
    place.write()?.forget(words.visit, what, &words.who, &words.why)?;
    let what = if words.sounds { "the recordings of visit" } else { "visit" };
    let mut text = format!(
        "deleted: {what} {}. What left the book before still holds it: printed and exported reports, shared folders until their next sync, and backups.\n",
        words.visit
    );
    for copy in place.open()?.copies() {
        let there = if copy.file.exists() { "" } else { " (not found there now)" };
        text += &format!("still holds it: backup of {}, {}{there}\n", copy.at, copy.file.display());
    }
    say(&text)?;
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
    } else if record_code::check(&words.code).is_ok() {
        note("the code is whole already: its last character is its check character");
        say(&(words.code.trim().to_ascii_uppercase() + "\n"))?;
    } else {
        let whole = record_code::with_check(&words.code)?;
        if !words.code.contains(|c: char| c.is_ascii_digit()) {
            note("a record goes by a code, never by a name: if this is a name, take another");
        }
        say(&(whole + "\n"))?;
    }
    Ok(ExitCode::SUCCESS)
}

#[derive(clap::Args)]
pub(super) struct Import {
    #[command(flatten)]
    words: import::Words,
}

pub(super) fn import_table(place: &Place, words: &Import) -> anyhow::Result<ExitCode> {
    import_into(place, &words.words)
}

/// Each good row becomes a visit of the book; every bad one is named, and none is taken by half. A visit that
/// the book has is not taken twice.
pub(in crate::cli) fn import_into(
    place: &Place,
    words: &import::Words,
) -> anyhow::Result<ExitCode> {
    // Made only once there is something to keep.
    let mut writer = None;
    // A clock at the end of time is no reason to stop.
    let year = jiff::SignedDuration::from_hours(24 * 366);
    let latest = crate::units::wall_clock().saturating_add(year).unwrap_or(jiff::Timestamp::MAX);
    import::read(words, |some| {
        let far = some.iter().find(|taken| taken.events.iter().any(|e| e.at.utc() > latest));
        if let Some(far) = far.filter(|_| !words.sure) {
            bail!(
                "line {}: this visit is dated more than a year ahead ({}): is that right? Then say so with --sure; the rows from line {} on were not taken",
                far.line,
                far.events[0].at,
                some[0].line
            );
        }
        let writer = match &mut writer {
            Some(writer) => writer,
            None => writer.insert(place.write_or_make()?),
        };
        let visits: Vec<&[Event]> = some.iter().map(|taken| taken.events.as_slice()).collect();
        Ok(writer.keep_all_earlier(&visits)?)
    })
}
