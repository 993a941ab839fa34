//! Repeated attempts at one site: which of them count, by a rule fixed when the visit opens; never the best.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::event::{Outcome, Phase};
use super::exact::{Mean, Ratio};
use super::reasons;
use super::repeat_rules::FirstArm;
use super::site::{Artery, Side, Site};
use super::visit::{Attempt, Visit};
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// What is known of one site.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum State {
    /// No attempt has ended.
    #[default]
    NotYet,
    /// The pressure, from the attempts that count.
    Value(Mean),
    /// Still open at this pressure, mmHg.
    NotCompressible(Mmhg),
    /// Looked for and not found.
    NoSignal,
    /// Not measured, and why.
    NotMeasured(String),
    /// What stands here contradicts itself: nothing is averaged, and there is no index until it is put right.
    Conflict(Conflict),
}

impl State {
    /// What one outcome says of its site.
    pub fn of(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::Reading { cuff_mmhg, .. } => {
                Mean::of(&[*cuff_mmhg]).map_or(State::NotYet, State::Value)
            }
            Outcome::NotCompressible { limit_mmhg } => State::NotCompressible(*limit_mmhg),
            Outcome::NoSignal => State::NoSignal,
            Outcome::NotMeasured { reason } => State::NotMeasured(reason.clone()),
        }
    }

    /// Why there is no pressure, in words.
    pub fn why(&self, words: Words) -> String {
        match self {
            State::NotYet => words.plain(id!("clinical-not-yet")).into(),
            State::Value(pressure) => say!(words, "clinical-mmhg", n = words.number(pressure)),
            State::NotCompressible(limit) => {
                say!(words, "clinical-not-compressible-at", limit = words.number(limit))
            }
            State::NoSignal => words.plain(id!("clinical-no-signal")).into(),
            State::NotMeasured(reason) => {
                say!(words, "clinical-not-measured", reason = reasons::said(words, reason))
            }
            State::Conflict(conflict) => conflict.words(words),
        }
    }
}

/// What contradicts what at one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conflict {
    /// A reading and "not compressible" both stand.
    ReadingAndNotCompressible,
    /// Readings lie too far apart to be averaged: the lowest and the highest, mmHg.
    ReadingsApart(Mmhg, Mmhg),
}

impl Conflict {
    /// What contradicts what, in words.
    pub fn words(self, words: Words) -> String {
        match self {
            Conflict::ReadingAndNotCompressible => {
                words.plain(id!("clinical-conflict-open")).into()
            }
            Conflict::ReadingsApart(low, high) => {
                let (low, high) = (words.number(low), words.number(high));
                say!(words, "clinical-conflict-apart", low = low, high = high)
            }
        }
    }
}

/// Readings of one site further apart than this are not averaged, mmHg (own choice: three times the 8 mmHg by which two
/// observers differ at an arm pressure of 100, van Langen 2009, SD of differences 0.08).
const CONFLICT_MMHG: i32 = 25;
/// The same where the rhythm is irregular, mmHg (own choice: pressures differ from beat to beat).
const CONFLICT_IRREGULAR_MMHG: i32 = 40;

fn conflict(visit: &Visit, readings: &[Mmhg]) -> Option<Conflict> {
    let (low, high) = (readings.iter().min()?, readings.iter().max()?);
    let limit = if heard_irregular(visit) { CONFLICT_IRREGULAR_MMHG } else { CONFLICT_MMHG };
    let apart = high.as_tenths() - low.as_tenths() > limit * 10;
    apart.then_some(Conflict::ReadingsApart(*low, *high))
}

fn heard_irregular(visit: &Visit) -> bool {
    visit.attempts.iter().any(|a| a.heard.as_ref().and_then(|h| h.irregular) == Some(true))
}

/// Why an attempt does not count.
#[derive(Debug, Clone, PartialEq)]
pub enum LeftOut {
    /// It was taken back, for this reason.
    Withdrawn(String),
    /// It did not end.
    NotFinished,
    /// This stands there, and another attempt gave a reading.
    ForAReading(State),
    /// This stands there, and another attempt says more.
    SaysLess(State),
    /// The first arm's first reading lies too far above the other arm.
    FirstAboveOther,
    /// The first arm's first reading lies too far from its repeat.
    FirstApart,
}

impl LeftOut {
    /// In words.
    pub fn words(&self, words: Words) -> String {
        match self {
            LeftOut::Withdrawn(why) => {
                say!(words, "clinical-left-out-withdrawn", why = reasons::said(words, why))
            }
            LeftOut::NotFinished => words.plain(id!("clinical-not-finished")).into(),
            LeftOut::ForAReading(state) => {
                say!(words, "clinical-left-out-reading", what = state.why(words))
            }
            LeftOut::SaysLess(state) => state.why(words),
            LeftOut::FirstAboveOther => words.plain(id!("clinical-left-out-first-above")).into(),
            LeftOut::FirstApart => words.plain(id!("clinical-left-out-first-apart")).into(),
        }
    }
}

/// One site, with the attempts that count and those that do not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settled {
    /// What is known.
    pub state: State,
    /// The numbers of the attempts behind it.
    pub counted: Vec<u32>,
    /// The numbers of the others, and why.
    pub left_out: Vec<(u32, LeftOut)>,
}

/// What is known of every site of one phase.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pressures {
    sites: BTreeMap<Site, Settled>,
}

const NOT_YET: &State = &State::NotYet;

impl Pressures {
    /// Settles every site of a visit.
    pub fn of(visit: &Visit, phase: Phase) -> Self {
        let sites = Site::all().map(|site| (site, settle(visit, site, phase))).collect();
        Self { sites }
    }

    /// One site.
    pub fn at(&self, site: Site) -> &State {
        self.sites.get(&site).map_or(NOT_YET, |s| &s.state)
    }

    /// One site with its attempts.
    pub fn settled(&self, site: Site) -> Option<&Settled> {
        self.sites.get(&site)
    }

    /// Its pressure, where it has one.
    pub fn value(&self, site: Site) -> Option<Mean> {
        match self.at(site) {
            State::Value(pressure) => Some(*pressure),
            _ => None,
        }
    }

    /// Those of `sites` that have a pressure.
    pub fn values(&self, sites: &[Site]) -> Vec<(Site, Mean)> {
        sites.iter().filter_map(|site| Some((*site, self.value(*site)?))).collect()
    }

    /// Those that have none, and why.
    pub fn missing(&self, sites: &[Site]) -> Vec<(Site, State)> {
        let none = sites.iter().filter(|site| self.value(**site).is_none());
        none.map(|site| (*site, self.at(*site).clone())).collect()
    }

    /// Those that could not be compressed.
    pub fn not_compressible(&self, sites: &[Site]) -> Vec<(Site, Mmhg)> {
        let open = sites.iter().filter_map(|site| match self.at(*site) {
            State::NotCompressible(limit) => Some((*site, *limit)),
            _ => None,
        });
        open.collect()
    }
}

fn settle(visit: &Visit, site: Site, phase: Phase) -> Settled {
    let mut settled = Settled::default();
    let mut readings: Vec<(u32, Mmhg)> = Vec::new();
    let mut others: Vec<(u32, State)> = Vec::new();
    for attempt in visit.attempts.iter().filter(|a| a.site == site && a.phase == phase) {
        match (&attempt.withdrawn, &attempt.outcome) {
            (Some(by), _) => {
                settled.left_out.push((attempt.number, LeftOut::Withdrawn(by.why.clone())))
            }
            (None, None) => settled.left_out.push((attempt.number, LeftOut::NotFinished)),
            (None, Some(Outcome::Reading { cuff_mmhg, .. })) => {
                readings.push((attempt.number, *cuff_mmhg));
            }
            (None, Some(other)) => others.push((attempt.number, State::of(other))),
        }
    }
    if readings.is_empty() {
        others.into_iter().for_each(|(number, state)| rank_in(&mut settled, number, state));
        return settled;
    }
    if let Some((number, _)) = others.iter().find(|(_, s)| matches!(s, State::NotCompressible(_))) {
        settled.state = State::Conflict(Conflict::ReadingAndNotCompressible);
        settled.counted = readings.iter().map(|(n, _)| *n).chain([*number]).collect();
        return settled;
    }
    let less = others.into_iter().map(|(n, state)| (n, LeftOut::ForAReading(state)));
    settled.left_out.extend(less);
    if let Some(why) = first_arm_leaves_out(visit, site, phase, &readings) {
        settled.left_out.push((readings.remove(0).0, why));
    }
    let pressures: Vec<Mmhg> = readings.iter().map(|(_, p)| *p).collect();
    settled.counted = readings.iter().map(|(n, _)| *n).collect();
    settled.state = match conflict(visit, &pressures) {
        Some(conflict) => State::Conflict(conflict),
        None => Mean::of(&pressures).map_or(State::NotYet, State::Value),
    };
    settled
}

/// Without a reading, "not compressible" says more than "no signal", and that more than "not measured".
fn rank_in(settled: &mut Settled, number: u32, state: State) {
    let rank = |state: &State| match state {
        State::NotCompressible(_) => 3,
        State::NoSignal => 2,
        State::NotMeasured(_) => 1,
        _ => 0,
    };
    match rank(&state).cmp(&rank(&settled.state)) {
        Ordering::Less => settled.left_out.push((number, LeftOut::SaysLess(state))),
        Ordering::Equal => settled.counted.push(number),
        Ordering::Greater => {
            let weaker = std::mem::take(&mut settled.counted);
            let less = LeftOut::SaysLess(std::mem::take(&mut settled.state));
            settled.left_out.extend(weaker.into_iter().map(|n| (n, less.clone())));
            settled.counted = vec![number];
            settled.state = state;
        }
    }
}

/// The arm that was read first in this phase.
fn first_arm(visit: &Visit, phase: Phase) -> Option<Site> {
    let read = |a: &&Attempt| {
        a.site.is_arm() && a.phase == phase && a.withdrawn.is_none() && a.reading().is_some()
    };
    visit.attempts.iter().find(read).map(|a| a.site)
}

fn first_arm_leaves_out(
    visit: &Visit,
    site: Site,
    phase: Phase,
    readings: &[(u32, Mmhg)],
) -> Option<LeftOut> {
    let [(_, first), (_, second), ..] = readings else { return None };
    if first_arm(visit, phase) != Some(site) {
        return None;
    }
    match visit.opened.repeats.first_arm {
        FirstArm::AllCount => None,
        FirstArm::Discard => {
            let other = Site::new(site.side.other(), Artery::Brachial);
            let Settled { state: State::Value(other), .. } = settle(visit, other, phase) else {
                return None;
            };
            let above = Mean::of(&[*first])?.above(other);
            (above > Ratio::hundredths(1000)).then_some(LeftOut::FirstAboveOther)
        }
        FirstArm::Average => {
            ((first.as_tenths() - second.as_tenths()).abs() > 100).then_some(LeftOut::FirstApart)
        }
    }
}

/// A further attempt that a rule asks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Wanted {
    /// Where.
    pub site: Site,
    /// Why, with the source.
    pub why: String,
}

/// What the rules still ask for at rest.
pub fn wanted(visit: &Visit, words: Words) -> Vec<Wanted> {
    let pressures = Pressures::of(visit, Phase::Rest);
    let mut wanted = Vec::new();
    arms_apart(visit, words, &pressures, &mut wanted);
    first_arm_again(visit, words, &pressures, &mut wanted);
    for site in Site::all() {
        let asked = [
            contradicted(visit, words, &pressures, site),
            irregular(visit, words, site),
            second_higher(visit, words, site),
        ];
        wanted.extend(asked.into_iter().flatten().map(|why| Wanted { site, why }));
    }
    wanted
}

/// The readings of a site at rest that were not withdrawn.
fn readings(visit: &Visit, site: Site) -> Vec<Mmhg> {
    let at = visit.attempts.iter().filter(|a| a.site == site && a.phase == Phase::Rest);
    at.filter(|a| a.withdrawn.is_none()).filter_map(Attempt::reading).collect()
}

fn arms_apart(visit: &Visit, words: Words, pressures: &Pressures, wanted: &mut Vec<Wanted>) {
    let arms = Side::BOTH.map(|side| Site::new(side, Artery::Brachial));
    let [Some(right), Some(left)] = arms.map(|arm| pressures.value(arm)) else { return };
    if right.above(left).size() <= Ratio::hundredths(1500) {
        return;
    }
    for arm in arms.into_iter().filter(|arm| readings(visit, *arm).len() < 2) {
        let why = words.plain(id!("clinical-wanted-arms")).into();
        wanted.push(Wanted { site: arm, why });
    }
}

fn first_arm_again(visit: &Visit, words: Words, pressures: &Pressures, wanted: &mut Vec<Wanted>) {
    let Some(site) = first_arm(visit, Phase::Rest) else { return };
    let other = Site::new(site.side.other(), Artery::Brachial);
    let (Some(first), Some(other)) = (pressures.value(site), pressures.value(other)) else {
        return;
    };
    let asked = visit.opened.repeats.first_arm != FirstArm::AllCount;
    let apart = first.above(other) > Ratio::hundredths(1000);
    if asked && apart && readings(visit, site).len() < 2 && !wanted.iter().any(|w| w.site == site) {
        let why = words.plain(id!("clinical-wanted-first-arm")).into();
        wanted.push(Wanted { site, why });
    }
}

fn contradicted(visit: &Visit, words: Words, pressures: &Pressures, site: Site) -> Option<String> {
    let State::Conflict(conflict) = pressures.at(site) else { return None };
    (readings(visit, site).len() < 3)
        .then(|| say!(words, "clinical-wanted-conflict", conflict = conflict.words(words)))
}

fn irregular(visit: &Visit, words: Words, site: Site) -> Option<String> {
    let needed = visit.opened.repeats.irregular_at_least as usize;
    let count = readings(visit, site).len();
    let asked = count > 0 && count < needed && heard_irregular(visit);
    asked.then(|| say!(words, "clinical-wanted-irregular", needed = needed))
}

fn second_higher(visit: &Visit, words: Words, site: Site) -> Option<String> {
    let limit = visit.opened.repeats.again_if_higher_by_mmhg?;
    let [first, second] = readings(visit, site)[..] else { return None };
    (second.as_tenths() - first.as_tenths() > limit.as_tenths())
        .then(|| say!(words, "clinical-wanted-second", limit = words.number(limit)))
}
