//! Which bands of a set hold, whether rounding decided it, and whether a limit lies inside the doubt.

use std::cmp::Reverse;

use super::condition::{Clause, Quantity};
use super::exact::{Hundredths, Ratio};
use super::guidance::{Band, GuidanceSet, Values};
use super::result::{BandHit, Crossing};
use super::sentences::{self, Crossed};
use super::uncertainty::ResultInterval;
use crate::words::{Words, id, say};

/// The bands of a set at these values, or those for an artery that could not be closed.
pub fn hits(
    set: &GuidanceSet,
    words: Words,
    values: &Values,
    not_compressible: bool,
) -> Vec<BandHit> {
    let mut hits: Vec<BandHit> = Vec::new();
    if not_compressible {
        let because = words.plain(id!("clinical-because-open")).to_owned();
        hits.extend(
            set.not_compressible().map(|band| hit(set, words, (band, &[]), because.clone())),
        );
    }
    for (band, met) in set.bands_at(values) {
        let because = met.iter().filter_map(|clause| {
            let at = values.get(clause.quantity)?;
            let at = sentences::value(words, clause.quantity, at);
            let quantity = clause.quantity.said(words);
            Some(say!(words, "clinical-because", quantity = quantity, value = at))
        });
        let because = words.and(because);
        hits.push(hit(set, words, (band, &met), because));
    }
    hits
}

fn hit(
    set: &GuidanceSet,
    words: Words,
    (band, met): (&Band, &[Clause]),
    because: String,
) -> BandHit {
    let limits = sentences::limits(words, band, met);
    BandHit {
        guidance: set.name.clone(),
        band: format!("{} ({limits})", band.name),
        name: band.name.clone(),
        limits,
        source: set.source_of(band, words),
        id: set.id.clone(),
        set_version: set.version.clone(),
        words: sentences::guidance(words, set, band, &because),
        says: sentences::says(words, band),
        because,
        caution: band.caution,
    }
}

/// The sentence for a rounding that moved a value across a limit of this set.
pub fn moved(set: &GuidanceSet, words: Words, quantity: Quantity, exact: Ratio) -> Option<String> {
    let rounded = exact.half_up();
    let clauses = set.bands.iter().flat_map(|band| &band.when.0);
    // A band that holds only because of the rounding, or would have held without it.
    clauses
        .filter(|c| c.quantity == quantity)
        .find(|c| c.holds(exact) != c.holds(rounded.exact()))
        .map(|c| sentences::rounded_across(words, set, c, exact, rounded))
}

/// The bands that hold at a value, as indices into the set.
fn held(set: &GuidanceSet, quantity: Quantity, hundredths: i64) -> Vec<usize> {
    let value = Ratio::hundredths(hundredths);
    let holds = |band: &Band| band.when.0.iter().any(|c| c.quantity == quantity && c.holds(value));
    (0..set.bands.len()).filter(|i| holds(&set.bands[*i])).collect()
}

/// A limit of this set inside the doubt of a value: what it keeps, what holds meanwhile, what could settle it.
pub fn crossing(
    set: &GuidanceSet,
    words: Words,
    quantity: Quantity,
    at: Ratio,
    doubt: &ResultInterval,
) -> Option<Crossing> {
    let (low, high) = if quantity.is_ratio() {
        let (low, high) = doubt.hundredths(Hundredths(at.half_up().0));
        (i64::from(low.0), i64::from(high.0))
    } else {
        let (low, high) = doubt.whole();
        (i64::from(low) * 100, i64::from(high) * 100)
    };
    let own = held(set, quantity, i64::from(at.half_up().0));
    // Ratios are judged at two decimals; pressures may lie between whole numbers, so half steps count too.
    let step = if quantity.is_ratio() { 1 } else { 50 };
    let mut reached: Vec<usize> = Vec::new();
    let mut crossed = false;
    for hundredths in (low..=high).step_by(step) {
        let here = held(set, quantity, hundredths);
        crossed |= here != own;
        reached.extend(here);
    }
    if !crossed {
        return None;
    }
    reached.sort_by_key(|i| (Reverse(set.bands[*i].caution), *i));
    reached.dedup();
    let limits = limits(set, quantity, &reached, (low, high));
    let limits: Vec<String> = limits.into_iter().map(|limit| words.number(limit)).collect();
    let name = |i: &usize| named(set, words, quantity, &set.bands[*i]);
    let own = match own.is_empty() {
        true => words.plain(id!("clinical-crossing-none")).to_owned(),
        false => words.and(own.iter().map(name)),
    };
    let meanwhile = reached.first().map(name).unwrap_or_default();
    let repeat = doubt.widest_site();
    let crossed = Crossed {
        set: &set.name,
        quantity,
        limits: &limits,
        inside: &sentences::ends(words, quantity, low, high),
        own: &own,
        meanwhile: &meanwhile,
        repeat,
    };
    let said = sentences::crossing(words, crossed);
    Some(Crossing {
        guidance: set.name.clone(),
        quantity: quantity.said(words).into(),
        of: quantity,
        limits,
        own,
        meanwhile,
        repeat,
        words: said,
    })
}

/// A band's name in quotation marks, with its range of this quantity.
fn named(set: &GuidanceSet, words: Words, quantity: Quantity, band: &Band) -> String {
    let ranges = band.when.0.iter().filter(|c| c.quantity == quantity).map(|c| c.printed(words));
    let ranges = ranges.reduce(|a, b| say!(words, "locale-or", a = a, b = b)).unwrap_or_default();
    format!("{} \"{}\" ({ranges})", set.name, band.name)
}

/// The limits that lie inside; the two sides of one printed step, such as 0.90 and 0.91, are named together.
fn limits(
    set: &GuidanceSet,
    quantity: Quantity,
    bands: &[usize],
    (low, high): (i64, i64),
) -> Vec<String> {
    let clauses = bands.iter().flat_map(|i| &set.bands[*i].when.0);
    let ends = clauses.filter(|c| c.quantity == quantity).flat_map(Clause::limits);
    let mut inside: Vec<i64> =
        ends.map(|l| l.hundredths).filter(|h| (low..=high).contains(h)).collect();
    inside.sort_unstable();
    inside.dedup();
    let (apart, unit) = if quantity.is_ratio() { (1, "") } else { (100, " mmHg") };
    let number = |h: &i64| match quantity.is_ratio() {
        true => Hundredths(*h as i32).to_string(),
        false => (h / 100).to_string(),
    };
    let named = |pair: &[i64]| pair.iter().map(number).collect::<Vec<_>>().join("/") + unit;
    inside.chunk_by(|a, b| b - a <= apart).map(named).collect()
}
