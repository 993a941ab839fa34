//! Every site of a visit with every attempt, those that do not count included.

use super::doubts::deflation;
use super::event::Phase;
use super::repeats::{Pressures, Settled, State};
use super::result::{AttemptResult, SiteResult};
use super::site::Site;
use super::visit::{Attempt, Visit};
use crate::words::{Words, id};

/// The sites that were turned to, at rest first, right first.
pub fn all(visit: &Visit, words: Words) -> Vec<SiteResult> {
    let mut sites = Vec::new();
    for phase in [Phase::Rest, Phase::AfterExercise] {
        let pressures = Pressures::of(visit, phase);
        let turned_to =
            |site: &Site| visit.attempts.iter().any(|a| (a.site, a.phase) == (*site, phase));
        for site in Site::all().filter(turned_to) {
            let settled = pressures.settled(site);
            sites.extend(settled.map(|settled| one(visit, words, (site, phase), settled)));
        }
    }
    sites
}

fn one(visit: &Visit, words: Words, at: (Site, Phase), settled: &Settled) -> SiteResult {
    let (site, phase) = at;
    let at = visit.attempts.iter().filter(|a| (a.site, a.phase) == (site, phase));
    let pressure = match &settled.state {
        State::Value(pressure) => Some(pressure.as_f64()),
        _ => None,
    };
    SiteResult {
        site,
        phase,
        name: site.said(words),
        mmhg: pressure,
        outcome: settled.state.why(words),
        waveform: visit.waveforms.iter().rev().find(|(s, _)| *s == site).map(|(_, word)| *word),
        attempts: at.map(|a| attempt(a, words, settled)).collect(),
    }
}

fn attempt(attempt: &Attempt, words: Words, settled: &Settled) -> AttemptResult {
    let number = attempt.number;
    AttemptResult {
        number,
        outcome: match &attempt.outcome {
            None => words.plain(id!("clinical-not-finished")).into(),
            Some(outcome) => State::of(outcome).why(words),
        },
        mmhg: attempt.reading().map(|r| r.as_f64()),
        counts: settled.counted.contains(&number),
        left_out: settled
            .left_out
            .iter()
            .find(|(n, _)| *n == number)
            .map(|(_, why)| why.words(words)),
        entered: attempt.entered(),
        from_paper: attempt.from_paper(),
        mark_s: attempt.tapped.map(|at| at.seconds()),
        moved_to_s: attempt
            .mark
            .map(|(at, _)| at)
            .filter(|at| Some(*at) != attempt.tapped)
            .map(|at| at.seconds()),
        deflation_mmhg_per_s: deflation(attempt),
        heard: attempt.heard.clone(),
    }
}
