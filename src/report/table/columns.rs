//! The columns of the table of visits and what stands in them.

use super::cells::{number, outcomes};
use super::dialect::Dialect;
use super::origin::Origin;
use crate::clinical::event::{Answer, Phase};
use crate::clinical::result::{LegResult, VisitResult};
use crate::clinical::site::{Side, Site};
use crate::clinical::visit::{Attempt, Visit};

/// The header. The columns up to `closed` make the visit again; the others are worked out and never read.
pub const COLUMNS: [&str; 62] = [
    "record",
    "measured",
    "operator",
    "reason",
    "posture",
    "rested_min",
    "diabetes",
    "kidney",
    "gauge",
    "graduation_mmhg",
    "method",
    "order",
    "rules",
    "sequence",
    "answers",
    "right-arm",
    "right-dp",
    "right-pt",
    "right-peroneal",
    "right-toe",
    "left-arm",
    "left-dp",
    "left-pt",
    "left-peroneal",
    "left-toe",
    "right-arm/after",
    "right-dp/after",
    "right-pt/after",
    "right-peroneal/after",
    "right-toe/after",
    "left-arm/after",
    "left-dp/after",
    "left-pt/after",
    "left-peroneal/after",
    "left-toe/after",
    "program",
    "listener",
    "closed",
    "right_index",
    "right_low",
    "right_high",
    "right_above",
    "right_provisional",
    "right_toe_index",
    "right_bands",
    "left_index",
    "left_low",
    "left_high",
    "left_above",
    "left_provisional",
    "left_toe_index",
    "left_bands",
    "flags",
    "attempts",
    "attempts_not_counted",
    "amended",
    "disagreements",
    "set_aside",
    "visit",
    "service",
    "book",
    "version",
];

/// Written in the last column, so that a later form can be told.
pub(super) const VERSION: &str = "1";

/// The name of a site's column.
pub(super) fn site_column(site: Site, phase: Phase) -> String {
    match phase {
        Phase::Rest => site.code(),
        Phase::AfterExercise => format!("{}/after", site.code()),
    }
}

/// A word of a choice, as events write it.
pub(super) fn word<T: serde::Serialize>(choice: &T) -> String {
    match serde_json::to_value(choice) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}

/// The cells of one visit, one for each of [`COLUMNS`].
pub(super) fn row(
    visit: &Visit,
    result: &VisitResult,
    from: Origin<'_>,
    dialect: Dialect,
) -> Vec<String> {
    let one = |column: &&str| match *column {
        "visit" => from.visit.to_owned(),
        "service" => from.service.to_owned(),
        "book" => from.book.to_owned(),
        column => cell(column, visit, result, dialect),
    };
    COLUMNS.iter().map(one).collect()
}

fn cell(column: &str, visit: &Visit, result: &VisitResult, dialect: Dialect) -> String {
    let opened = &visit.opened;
    if let Some(name) = column.strip_prefix("right_") {
        return of_leg(name, &result.right, dialect);
    }
    if let Some(name) = column.strip_prefix("left_") {
        return of_leg(name, &result.left, dialect);
    }
    match column {
        "record" => opened.record.clone(),
        "measured" => visit.when(),
        "operator" => opened.operator.clone(),
        "reason" => opened.reason.clone(),
        "posture" => word(&opened.posture),
        "rested_min" => opened.rested_min.map_or(String::new(), |minutes| minutes.to_string()),
        "diabetes" => word(&opened.diabetes),
        "kidney" => word(&opened.kidney),
        "gauge" => opened.gauge.code.clone(),
        "graduation_mmhg" => number(opened.gauge.graduation_mmhg.to_string(), dialect),
        "method" => word(&opened.method),
        "order" => opened.order.clone(),
        "rules" => serde_json::to_string(&opened.repeats).unwrap_or_default(),
        "sequence" => sequence(visit),
        "answers" => answers(visit),
        "program" => opened.program.clone(),
        "listener" => opened.listener.clone().unwrap_or_default(),
        "closed" => yes_no(visit.closed),
        "flags" => {
            let flags = result.flags.iter().map(|flag| flag.words.as_str());
            flags.collect::<Vec<_>>().join("; ")
        }
        "attempts" => visit.attempts.len().to_string(),
        "attempts_not_counted" => not_counted(result).to_string(),
        "amended" => yes_no(!visit.amended.is_empty()),
        "disagreements" => visit.disagreements.len().to_string(),
        "set_aside" => visit.aside.len().to_string(),
        "version" => VERSION.into(),
        _ => at_site(column, visit, dialect),
    }
}

fn yes_no(it_is: bool) -> String {
    if it_is { "yes" } else { "no" }.into()
}

fn of_leg(name: &str, leg: &LegResult, dialect: Dialect) -> String {
    let shown = |value: Option<crate::clinical::exact::Hundredths>| {
        value.map_or(String::new(), |value| number(value.to_string(), dialect))
    };
    match name {
        "index" => shown(leg.index),
        "low" => shown(leg.low),
        "high" => shown(leg.high),
        "above" => shown(leg.more_than),
        "provisional" => yes_no(leg.provisional),
        "toe_index" => shown(leg.toe.as_ref().and_then(|toe| toe.index)),
        "bands" => leg.bands.iter().map(|band| band.shown()).collect::<Vec<_>>().join("; "),
        _ => String::new(),
    }
}

fn not_counted(result: &VisitResult) -> usize {
    let attempts = result.sites.iter().flat_map(|site| &site.attempts);
    attempts.filter(|attempt| attempt.left_out.is_some()).count()
}

/// Attempts that were not taken back.
fn standing(visit: &Visit) -> impl Iterator<Item = &Attempt> {
    visit.attempts.iter().filter(|attempt| attempt.withdrawn.is_none())
}

fn sequence(visit: &Visit) -> String {
    let sites = standing(visit).map(|attempt| site_column(attempt.site, attempt.phase));
    sites.collect::<Vec<_>>().join(" ")
}

/// `rest-pain/left=yes suspected-clot/right=no`.
fn answers(visit: &Visit) -> String {
    let each = visit.answers.iter().map(|answered| {
        let side = answered.side.map_or(String::new(), |side: Side| format!("/{}", side.code()));
        let id: String = answered.id.split_whitespace().collect();
        format!("{id}{side}={}", word::<Answer>(&answered.answer))
    });
    each.collect::<Vec<_>>().join(" ")
}

fn at_site(column: &str, visit: &Visit, dialect: Dialect) -> String {
    let here = standing(visit).filter(|a| site_column(a.site, a.phase) == column);
    outcomes(&here.collect::<Vec<_>>(), dialect)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_site_has_its_columns_and_no_name_stands_twice() {
        for site in Site::all() {
            for phase in [Phase::Rest, Phase::AfterExercise] {
                assert!(COLUMNS.contains(&site_column(site, phase).as_str()));
            }
        }
        let names: std::collections::BTreeSet<&str> = COLUMNS.into_iter().collect();
        assert_eq!(names.len(), COLUMNS.len());
    }
}
