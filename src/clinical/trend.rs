//! A leg's numbers from visit to visit: like held against like, and what is more than the measurement's doubt.

use serde::Serialize;

use super::exact::Hundredths;
use super::moment::Moment;
use super::result::{LegResult, VisitResult};
use super::site::Side;
use crate::words::{Words, say};

/// A change of the index beyond this is called significant in follow-up (Giornale Italiano
/// dell'Arteriosclerosi 2014, summary of AHA).
pub const BEYOND: Hundredths = Hundredths(15);

/// One leg at one visit.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LegAtVisit {
    /// When it was measured: a moment, or the day that a paper gives.
    pub at: String,
    /// The index; none where there was none.
    pub index: Option<Hundredths>,
    /// Its interval.
    pub interval: Option<(Hundredths, Hundredths)>,
    /// The index lies above this, where an artery could not be closed.
    pub more_than: Option<Hundredths>,
    /// The toe pressure, mmHg.
    pub toe_mmhg: Option<f64>,
    /// Its interval, whole mmHg.
    pub toe_interval_mmhg: Option<(i32, i32)>,
    /// The toe-brachial index.
    pub toe_index: Option<Hundredths>,
    /// Its interval.
    pub toe_index_interval: Option<(Hundredths, Hundredths)>,
    /// What is not as it was at the visit that this one is held against; empty where like meets like.
    pub unlike: Vec<Unlike>,
    /// The change of the index since the last visit that had one.
    pub since_last: Option<TrendChange>,
    /// The change of the index since the first visit that had one, where that is not the last one.
    pub since_first: Option<TrendChange>,
    /// The change of the toe pressure since the last visit that had one.
    pub toe_since_last: Option<TrendChange>,
}

/// One condition that changed between two visits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Unlike {
    /// `artery`, `arm`, `method`, `posture`, or `instrument` for a toe.
    pub what: &'static str,
    /// As it was.
    pub before: String,
    /// As it is.
    pub now: String,
}

/// A change between two visits.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TrendChange {
    /// When the earlier measurement was made.
    pub from: String,
    /// How far the number rose: hundredths of an index, or whole mmHg of a toe pressure; below 0 for a fall.
    pub by: i32,
    /// True where an index changed by more than [`BEYOND`]; never for a pressure.
    pub beyond_limit: bool,
    /// True where the two 95 % intervals lie apart.
    pub intervals_apart: bool,
    /// True where method or posture changed: the two numbers are not the same quantity.
    pub not_comparable: bool,
    /// The sentence.
    pub words: String,
}

impl TrendChange {
    /// True of a change that is to be marked.
    pub fn marked(&self) -> bool {
        !self.not_comparable && (self.beyond_limit || self.intervals_apart)
    }
}

/// One leg over all visits of one record, oldest first, whatever the order they are given in.
pub fn of(side: Side, visits: &[VisitResult]) -> Vec<LegAtVisit> {
    let mut ordered: Vec<&VisitResult> = visits.iter().collect();
    // A measurement from paper has a day and no time: days first, then times.
    let day = |visit: &VisitResult| visit.when().get(..10).map(str::to_owned);
    let time = |visit: &VisitResult| Moment::parse(&visit.opened_at).map(Moment::utc).ok();
    ordered.sort_by_key(|visit| (day(visit), time(visit)));
    let has = |of: fn(&LegResult) -> bool| move |visit: &&&VisitResult| of(visit.leg(side));
    let mut steps = Vec::with_capacity(ordered.len());
    for (at, visit) in ordered.iter().enumerate() {
        let before = &ordered[..at];
        let with_index = has(|leg| leg.index.is_some());
        let last = before.iter().rfind(&with_index);
        let first = before
            .iter()
            .find(&with_index)
            .filter(|first| last.is_some_and(|last| !std::ptr::eq(**first, *last)));
        let toe = before.iter().rfind(has(|leg| toe_mmhg(leg).is_some()));
        steps.push(step(side, visit, last.copied(), first.copied(), toe.copied()));
    }
    steps
}

fn step(
    side: Side,
    now: &VisitResult,
    last: Option<&VisitResult>,
    first: Option<&VisitResult>,
    toe_last: Option<&VisitResult>,
) -> LegAtVisit {
    let leg = now.leg(side);
    let toe = leg.toe.as_ref();
    LegAtVisit {
        at: now.when(),
        index: leg.index,
        interval: leg.low.zip(leg.high),
        more_than: leg.more_than,
        toe_mmhg: toe_mmhg(leg),
        toe_interval_mmhg: toe.and_then(|t| t.interval_mmhg),
        toe_index: toe.and_then(|t| t.index),
        toe_index_interval: toe.and_then(|t| t.low.zip(t.high)),
        unlike: last.map_or_else(Vec::new, |last| unlike(side, last, now)),
        since_last: last.and_then(|last| index_change(side, last, now)),
        since_first: first.and_then(|first| index_change(side, first, now)),
        toe_since_last: toe_last.and_then(|last| toe_change(side, last, now)),
    }
}

fn toe_mmhg(leg: &LegResult) -> Option<f64> {
    leg.toe.as_ref().and_then(|toe| toe.toe_mmhg)
}

/// What the two indexes were not equally made of.
fn unlike(side: Side, before: &VisitResult, now: &VisitResult) -> Vec<Unlike> {
    let facts = |visit: &VisitResult| {
        let leg = visit.leg(side);
        let site = |site: &Option<String>| site.clone().unwrap_or_else(|| "none".into());
        [
            ("artery", site(&leg.ankle_site)),
            ("arm", site(&leg.arm_site)),
            ("method", visit.method.words.clone()),
            ("posture", visit.posture.clone()),
        ]
    };
    let pairs = facts(before).into_iter().zip(facts(now));
    let changed = pairs.filter(|(before, now)| before.1 != now.1);
    changed.map(|((what, before), (_, now))| Unlike { what, before, now }).collect()
}

/// The names of what changed, as a clause; empty where nothing did.
fn clause(words: Words, unlike: &[Unlike]) -> String {
    let each = unlike
        .iter()
        .map(|u| say!(words, "trend-unlike-one", what = u.what, before = u.before, now = u.now));
    let list = each.collect::<Vec<_>>().join("; ");
    if list.is_empty() { list } else { say!(words, "trend-unlike", list = list) }
}

/// An answer as a message takes it.
const fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn index_change(side: Side, before: &VisitResult, now: &VisitResult) -> Option<TrendChange> {
    let (old, new) = (before.leg(side), now.leg(side));
    let (was, is) = (old.index?, new.index?);
    let ends = |leg: &LegResult| leg.low.zip(leg.high);
    let intervals = ends(old).zip(ends(new));
    let apart = intervals.is_some_and(|(a, b)| a.1 < b.0 || b.1 < a.0);
    let unlike = unlike(side, before, now);
    let not_comparable = unlike.iter().any(|u| ["method", "posture"].contains(&u.what));
    let size = Hundredths((is.0 - was.0).abs());
    let beyond_limit = size > BEYOND;
    let language = now.language;
    let (from, to) = (language.number(was), language.number(is));
    let clause = clause(language, &unlike);
    let words = if not_comparable {
        say!(language, "trend-no-change", was = from, is = to, unlike = clause)
    } else {
        let direction = match is.0 - was.0 {
            0 => "same",
            by if by < 0 => "fell",
            _ => "rose",
        };
        let (by, limit) = (language.number(size), language.number(BEYOND));
        let (beyond, apart) = (yes_no(beyond_limit), yes_no(apart));
        say!(
            language,
            "trend-change",
            direction = direction,
            by = by,
            was = from,
            is = to,
            beyond = beyond,
            limit = limit,
            apart = apart,
            unlike = clause,
        )
    };
    Some(TrendChange {
        from: before.when(),
        by: is.0 - was.0,
        beyond_limit,
        intervals_apart: apart,
        not_comparable,
        words,
    })
}

/// A toe pressure is held against the one before; no published limit for its change was found.
fn toe_change(side: Side, before: &VisitResult, now: &VisitResult) -> Option<TrendChange> {
    let (old, new) = (before.leg(side).toe.as_ref()?, now.leg(side).toe.as_ref()?);
    let (was, is) = (old.toe_mmhg?, new.toe_mmhg?);
    let intervals = old.interval_mmhg.zip(new.interval_mmhg);
    let apart = intervals.is_some_and(|(a, b)| a.1 < b.0 || b.1 < a.0);
    let posture = before.posture != now.posture;
    let by = (is - was).round() as i32;
    let language = now.language;
    let (from, to) = (language.number(was), language.number(is));
    let kind = |entered| if entered { "entered" } else { "ear" };
    let clauses = if old.entered == new.entered {
        String::new()
    } else {
        let (before, now) = (kind(old.entered), kind(new.entered));
        say!(language, "trend-toe-unlike", before = before, now = now)
    };
    let words = if posture {
        let (before, now) = (&before.posture, &now.posture);
        say!(
            language,
            "trend-toe-no-change",
            was = from,
            before = before,
            is = to,
            now = now,
            unlike = clauses
        )
    } else {
        let apart = yes_no(apart);
        say!(language, "trend-toe", was = from, is = to, apart = apart, unlike = clauses)
    };
    Some(TrendChange {
        from: before.when(),
        by,
        beyond_limit: false,
        intervals_apart: apart,
        not_comparable: posture,
        words,
    })
}
