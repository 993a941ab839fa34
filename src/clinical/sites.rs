//! Every site of a visit with every attempt, those that do not count included.

use super::doubts::deflation;
use super::event::{Outcome, Phase};
use super::repeats::{Pressures, Settled, State};
use super::result::{AttemptResult, SiteResult};
use super::site::Site;
use super::visit::{Attempt, Visit};

/// The sites that were turned to, at rest first, right first.
pub fn all(visit: &Visit) -> Vec<SiteResult> {
    let mut sites = Vec::new();
    for phase in [Phase::Rest, Phase::AfterExercise] {
        let pressures = Pressures::of(visit, phase);
        let turned_to =
            |site: &Site| visit.attempts.iter().any(|a| (a.site, a.phase) == (*site, phase));
        for site in Site::all().filter(turned_to) {
            sites.extend(pressures.settled(site).map(|settled| one(visit, site, phase, settled)));
        }
    }
    sites
}

fn one(visit: &Visit, site: Site, phase: Phase, settled: &Settled) -> SiteResult {
    let at = visit.attempts.iter().filter(|a| (a.site, a.phase) == (site, phase));
    let pressure = match &settled.state {
        State::Value(pressure) => Some(pressure.as_f64()),
        _ => None,
    };
    SiteResult {
        site,
        phase,
        name: site.to_string(),
        mmhg: pressure,
        outcome: settled.state.why(),
        waveform: visit.waveforms.iter().rev().find(|(s, _)| *s == site).map(|(_, word)| *word),
        attempts: at.map(|a| attempt(a, settled)).collect(),
    }
}

fn attempt(attempt: &Attempt, settled: &Settled) -> AttemptResult {
    let number = attempt.number;
    AttemptResult {
        number,
        outcome: match &attempt.outcome {
            None => "not finished".into(),
            Some(Outcome::Reading { cuff_mmhg, .. }) => format!("{cuff_mmhg} mmHg"),
            Some(Outcome::NotCompressible { limit_mmhg }) => {
                format!("not compressible at {limit_mmhg} mmHg")
            }
            Some(Outcome::NoSignal) => "no signal found".into(),
            Some(Outcome::NotMeasured { reason }) => format!("not measured: {reason}"),
        },
        mmhg: attempt.reading().map(|r| r.as_f64()),
        counts: settled.counted.contains(&number),
        left_out: settled.left_out.iter().find(|(n, _)| *n == number).map(|(_, why)| why.clone()),
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
