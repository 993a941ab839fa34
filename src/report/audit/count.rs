//! The counting itself.

use std::collections::BTreeMap;

use super::choices::AuditChoices;
use super::counts::{Counts, GaugeCheck, GaugeState};
use crate::clinical::event::{Outcome, Phase, Source};
use crate::clinical::result::{AttemptResult, SiteResult, VisitResult};
use crate::clinical::site::{Artery, Side, Site};
use crate::clinical::visit::{Attempt, Visit};
use crate::words::{Words, id};

/// What is counted goes into data files too, and is kept in English; a page says it in its own language.
fn english(id: &'static str) -> &'static str {
    Words::english().plain(id)
}

/// The six sites of a whole examination.
fn six() -> impl Iterator<Item = Site> {
    let arteries = [Artery::Brachial, Artery::DorsalisPedis, Artery::PosteriorTibial];
    Side::BOTH.into_iter().flat_map(move |side| arteries.map(|artery| Site::new(side, artery)))
}

/// Counts one visit.
pub(super) fn one(counts: &mut Counts, visit: &Visit, result: &VisitResult) {
    counts.visits += 1;
    counts.closed += usize::from(visit.closed);
    counts.rest_known += usize::from(visit.opened.rested_min.is_some());
    let both = result.right.index.is_some() && result.left.index.is_some();
    counts.both_indexes += usize::from(both);
    let rest: Vec<&SiteResult> = result.sites.iter().filter(|s| s.phase == Phase::Rest).collect();
    let ended = |site: &Site| {
        rest.iter().any(|s| s.site == *site && s.outcome != english(id!("clinical-not-yet")))
    };
    counts.complete += usize::from(six().all(|site| ended(&site)));
    for site in six() {
        let count = counts.sites.entry(site.code()).or_default();
        let found = rest.iter().find(|s| s.site == site);
        count.tried += usize::from(found.is_some());
        if found.is_none_or(|s| s.mmhg.is_none()) {
            let why = found.map_or(english(id!("clinical-not-yet")), |s| s.outcome.as_str());
            // Typed reasons are many; they are one class here.
            let typed = english(id!("audit-reason-not-measured"));
            let is_typed = why.starts_with(english(id!("report-not-measured")));
            let why = if is_typed { typed } else { why };
            *count.not_obtained.entry(why.to_owned()).or_default() += 1;
        }
    }
    for site in &result.sites {
        repeats(counts, visit, site);
        for told in &site.attempts {
            if let Some(attempt) = visit.attempt(told.number).filter(|a| a.withdrawn.is_none()) {
                attempted(counts, visit, told, attempt);
            }
        }
    }
}

fn attempted(counts: &mut Counts, visit: &Visit, told: &AttemptResult, attempt: &Attempt) {
    counts.attempts += 1;
    counts.rates.extend(told.deflation_mmhg_per_s);
    digit(counts, visit, attempt);
    let Some(heard) = &told.heard else { return };
    let Some((tap, back)) = told.mark_s.zip(heard.return_s) else { return };
    let mut levels = heard.quality.clone();
    if levels.is_empty() {
        levels.push(english(id!("audit-level-none")).into());
    }
    for level in levels {
        counts.lags.entry(level).or_default().push(tap - back);
    }
}

/// The last digit, on gauges that are read in even numbers.
fn digit(counts: &mut Counts, visit: &Visit, attempt: &Attempt) {
    let opened = &visit.opened;
    let code = attempt.gauge.as_ref().unwrap_or(&opened.gauge.code);
    let gauge =
        std::iter::once(&opened.gauge).chain(&opened.other_gauges).find(|g| g.code == *code);
    if gauge.is_none_or(|g| g.graduation_mmhg.as_tenths() != 20) {
        return;
    }
    let Some(Outcome::Reading { cuff_mmhg, source: Source::EarAndGauge }) = attempt.outcome else {
        return;
    };
    match cuff_mmhg.as_tenths() % 100 {
        last if last % 20 == 0 => counts.digits[(last / 20) as usize] += 1,
        _ => counts.odd += 1,
    }
}

/// Attempts after the first at one site: why the earlier one was not enough, as far as it is recorded.
fn repeats(counts: &mut Counts, visit: &Visit, site: &SiteResult) {
    for pair in site.attempts.windows(2) {
        counts.repeats += 1;
        let withdrawn = visit.attempt(pair[0].number).and_then(|a| a.withdrawn.as_ref());
        let irregular = site
            .attempts
            .iter()
            .any(|a| a.heard.as_ref().is_some_and(|heard| heard.irregular == Some(true)));
        let why = match (withdrawn, pair[0].mmhg, irregular) {
            (Some(_), ..) => id!("audit-why-withdrawn"),
            (_, None, _) => id!("audit-why-no-pressure"),
            (_, _, true) => id!("audit-why-irregular"),
            _ if site.site.is_arm() => id!("audit-why-arm"),
            _ => id!("audit-why-none"),
        };
        *counts.reasons.entry(english(why).to_owned()).or_default() += 1;
    }
}

/// Counts the readings of each gauge.
pub(super) fn used(used: &mut BTreeMap<String, usize>, visit: &Visit) {
    for attempt in visit.attempts.iter().filter(|a| a.reading().is_some() && !a.entered()) {
        let code = attempt.gauge.as_ref().unwrap_or(&visit.opened.gauge.code);
        *used.entry(code.clone()).or_default() += 1;
    }
}

/// Every gauge that was read, with the state of its check.
pub(super) fn gauges(used: &BTreeMap<String, usize>, choices: &AuditChoices) -> Vec<GaugeState> {
    used.iter().map(|(code, readings)| gauge(code, *readings, choices)).collect()
}

fn gauge(code: &str, readings: usize, choices: &AuditChoices) -> GaugeState {
    let checked = choices.gauges.checked.get(code).map(|day| day.0);
    let check = match (checked, choices.gauges.check_every_days, choices.today) {
        (None, ..) => GaugeCheck::Unknown,
        (Some(day), Some(every), Some(today)) => {
            GaugeCheck::Checked { day, passed: (today - day).get_days(), every }
        }
        (Some(day), ..) => GaugeCheck::Unset { day },
    };
    let (state, overdue) = (check.words(Words::english()), check.is_overdue());
    GaugeState { code: code.to_owned(), readings, state, check, overdue }
}
