//! A visit as rows of the three tables of the dictionary.

use std::sync::LazyLock;

use super::dictionary::{ATTEMPT, LEG, VISIT};
use super::visits::Worked;
use crate::clinical::cautions::Weight;
use crate::clinical::event::{Answer, Outcome, Phase};
use crate::clinical::exact::Hundredths;
use crate::clinical::result::{AttemptResult, LegResult, SiteResult};
use crate::clinical::site::{Artery, Side, Site};
use crate::clinical::visit::Attempt;

/// The ids of urgent signs.
static URGENT: LazyLock<Vec<String>> = LazyLock::new(|| {
    let all = crate::clinical::cautions::list().into_iter();
    all.filter(|item| item.weight == Weight::RedFlag).map(|item| item.id).collect()
});

/// One value; empty where there is none.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Empty,
    Text(String),
    Whole(i64),
    Number(f64),
    Truth(bool),
    /// A day.
    Day(jiff::civil::Date),
    /// Microseconds since 1970.
    Instant(i64),
}

impl Cell {
    fn text(text: impl Into<String>) -> Self {
        Cell::Text(text.into())
    }

    fn some(text: &str) -> Self {
        if text.is_empty() { Cell::Empty } else { Cell::text(text) }
    }

    fn count(count: usize) -> Self {
        i64::try_from(count).map_or(Cell::Empty, Cell::Whole)
    }
}

impl std::convert::From<Option<f64>> for Cell {
    fn from(value: Option<f64>) -> Self {
        value.filter(|value| value.is_finite()).map_or(Cell::Empty, Cell::Number)
    }
}

impl std::convert::From<Option<Hundredths>> for Cell {
    fn from(value: Option<Hundredths>) -> Self {
        value.and_then(|value| value.to_string().parse().ok()).map_or(Cell::Empty, Cell::Number)
    }
}

/// A row: a value for each column of its table.
pub(super) type Row = Vec<Cell>;

/// Where a visit comes from.
#[derive(Debug, Clone, Copy)]
pub(super) struct From<'a> {
    pub(super) id: &'a str,
    pub(super) service: &'a str,
    pub(super) book: &'a str,
}

/// The visit's rows.
#[derive(Debug, Clone)]
pub(super) struct Facts {
    pub(super) id: String,
    /// The month it was measured in, such as `2026-11`.
    pub(super) month: String,
    pub(super) visit: Row,
    pub(super) legs: Vec<Row>,
    pub(super) attempts: Vec<Row>,
}

impl Facts {
    pub(super) fn of(worked: &Worked, from: From<'_>) -> Self {
        let (visit, result) = (&worked.visit, &worked.result);
        let when = visit.when();
        let legs = Side::BOTH.map(|side| leg(from.id, result.leg(side))).to_vec();
        let mut attempts = Vec::new();
        for site in &result.sites {
            for (at, told) in site.attempts.iter().enumerate() {
                if let Some(own) = visit.attempt(told.number) {
                    attempts.push(attempt(from.id, worked, (site, told, own), at + 1));
                }
            }
        }
        let row = visit_row(worked, from);
        debug_assert!(row.len() == VISIT.len() && legs.iter().all(|row| row.len() == LEG.len()));
        debug_assert!(attempts.iter().all(|row| row.len() == ATTEMPT.len()));
        Self {
            id: from.id.to_owned(),
            month: when.get(..7).unwrap_or_default().to_owned(),
            visit: row,
            legs,
            attempts,
        }
    }
}

/// A choice's word as events write it.
fn word<T: serde::Serialize>(choice: &T) -> Cell {
    match serde_json::to_value(choice) {
        Ok(serde_json::Value::String(word)) => Cell::Text(word),
        Ok(value) => value["is"].as_str().map_or(Cell::Empty, Cell::text),
        Err(_) => Cell::Empty,
    }
}

/// The six sites of a whole examination.
fn six() -> impl Iterator<Item = Site> {
    let arteries = [Artery::Brachial, Artery::DorsalisPedis, Artery::PosteriorTibial];
    Side::BOTH.into_iter().flat_map(move |side| arteries.map(|artery| Site::new(side, artery)))
}

fn is_complete(sites: &[SiteResult]) -> bool {
    let ended = |site: Site| {
        sites
            .iter()
            .any(|s| s.phase == Phase::Rest && s.site == site && s.outcome != "not yet measured")
    };
    six().all(ended)
}

fn visit_row(worked: &Worked, from: From<'_>) -> Row {
    let (visit, result) = (&worked.visit, &worked.result);
    let opened = &visit.opened;
    let day = visit.measured_on().unwrap_or_else(|| visit.opened_at.day());
    let flags = visit
        .answers
        .iter()
        .filter(|answered| answered.answer == Answer::Yes && URGENT.contains(&answered.id));
    let mut flags: Vec<&str> = flags.map(|answered| answered.id.as_str()).collect();
    flags.dedup();
    vec![
        Cell::text(from.id),
        Cell::text(from.service),
        Cell::text(from.book),
        Cell::text(result.record.as_str()),
        Cell::Instant(visit.opened_at.utc().as_microsecond()),
        Cell::Day(day.0),
        word(&opened.scope),
        Cell::text(opened.operator.as_str()),
        Cell::text(opened.reason.as_str()),
        word(&opened.method),
        word(&opened.posture),
        opened.rested_min.map_or(Cell::Empty, |minutes| Cell::Whole(minutes.into())),
        word(&opened.diabetes),
        word(&opened.kidney),
        Cell::text(opened.gauge.code.as_str()),
        Cell::Number(opened.gauge.graduation_mmhg.as_f64()),
        Cell::Truth(visit.closed),
        Cell::Truth(is_complete(&result.sites)),
        Cell::Truth(result.right.index.is_some() && result.left.index.is_some()),
        Cell::count(visit.amended.len()),
        Cell::count(visit.disagreements.len()),
        Cell::count(visit.aside.len()),
        Cell::some(&flags.join(" ")),
        Cell::text(opened.program.as_str()),
        opened.listener.as_deref().map_or(Cell::Empty, Cell::text),
        Cell::count(worked.events.len()),
    ]
}

fn leg(id: &str, leg: &LegResult) -> Row {
    let toe = leg.toe.as_ref();
    let exercise = leg.exercise.as_ref();
    vec![
        Cell::text(id),
        Cell::text(leg.side.code()),
        leg.index.into(),
        leg.low.into(),
        leg.high.into(),
        leg.more_than.into(),
        Cell::Truth(leg.provisional),
        leg.ankle_mmhg.into(),
        leg.ankle_site.as_deref().map_or(Cell::Empty, Cell::text),
        leg.arm_mmhg.into(),
        leg.arm_site.as_deref().map_or(Cell::Empty, Cell::text),
        toe.and_then(|toe| toe.toe_mmhg).into(),
        toe.and_then(|toe| toe.index).into(),
        exercise.and_then(|exercise| exercise.index_after).into(),
        exercise.and_then(|exercise| exercise.index_fall_percent).into(),
    ]
}

fn attempt(
    id: &str,
    worked: &Worked,
    (site, told, own): (&SiteResult, &AttemptResult, &Attempt),
    repeat: usize,
) -> Row {
    let opened = &worked.visit.opened;
    let code = own.gauge.as_ref().unwrap_or(&opened.gauge.code);
    let gauge =
        std::iter::once(&opened.gauge).chain(&opened.other_gauges).find(|g| g.code == *code);
    let heard = told.heard.as_ref();
    let (outcome, limit, why, source) = match &own.outcome {
        None => ("unfinished", Cell::Empty, Cell::Empty, Cell::Empty),
        Some(Outcome::Reading { source, .. }) => {
            ("reading", Cell::Empty, Cell::Empty, word(source))
        }
        Some(Outcome::NotCompressible { limit_mmhg }) => {
            ("not-compressible", Cell::Number(limit_mmhg.as_f64()), Cell::Empty, Cell::Empty)
        }
        Some(Outcome::NoSignal) => ("no-signal", Cell::Empty, Cell::Empty, Cell::Empty),
        Some(Outcome::NotMeasured { reason }) => {
            ("not-measured", Cell::Empty, Cell::text(reason.as_str()), Cell::Empty)
        }
    };
    vec![
        Cell::text(id),
        Cell::Whole(told.number.into()),
        Cell::text(site.site.code()),
        Cell::text(site.site.side.code()),
        Cell::text(site.site.artery.words()),
        word(&site.phase),
        Cell::count(repeat),
        Cell::text(own.operator.as_str()),
        Cell::text(outcome),
        told.mmhg.into(),
        limit,
        why,
        source,
        Cell::Truth(told.counts),
        told.left_out.as_deref().map_or(Cell::Empty, Cell::text),
        Cell::Truth(own.withdrawn.is_some()),
        Cell::text(code.as_str()),
        gauge.map(|gauge| gauge.graduation_mmhg.as_f64()).into(),
        site.waveform.map_or(Cell::Empty, |word| Cell::text(word.words())),
        own.ended_at.map_or(Cell::Empty, |at| Cell::Instant(at.utc().as_microsecond())),
        site.mmhg.into(),
        Cell::text(site.outcome.as_str()),
        told.mark_s.into(),
        heard.and_then(|heard| heard.lost_s).into(),
        heard.and_then(|heard| heard.return_s).into(),
        told.mark_s
            .zip(heard.and_then(|heard| heard.return_s))
            .map(|(tap, back)| tap - back)
            .into(),
        told.deflation_mmhg_per_s.into(),
        heard.and_then(|heard| heard.confidence).into(),
        heard.and_then(|heard| heard.heart_rate_bpm).into(),
        heard.and_then(|heard| heard.irregular).map_or(Cell::Empty, Cell::Truth),
        heard.map_or(Cell::Empty, |heard| Cell::some(&heard.quality.join("; "))),
    ]
}
