//! Which bands of a set hold, whether rounding decided it, and whether a limit lies inside the doubt.

use std::cmp::Reverse;

use super::condition::{Clause, Quantity};
use super::exact::{Hundredths, Ratio};
use super::guidance::{Band, GuidanceSet, Values};
use super::result::{BandHit, Crossing};
use super::sentences;
use super::uncertainty::ResultInterval;

/// The bands of a set at these values, or those for an artery that could not be closed.
pub fn hits(set: &GuidanceSet, values: &Values, not_compressible: bool) -> Vec<BandHit> {
    let mut hits: Vec<BandHit> = Vec::new();
    if not_compressible {
        let because = "arteries that could not be compressed".to_owned();
        hits.extend(set.not_compressible().map(|band| hit(set, band, &[], because.clone())));
    }
    for (band, met) in set.bands_at(values) {
        let because = met.iter().filter_map(|clause| {
            let at = values.get(clause.quantity)?;
            let at = sentences::value(clause.quantity, at);
            Some(format!("{} {at}", clause.quantity.words()))
        });
        let because = because.collect::<Vec<_>>().join(" and ");
        hits.push(hit(set, band, &met, because));
    }
    hits
}

fn hit(set: &GuidanceSet, band: &Band, met: &[Clause], because: String) -> BandHit {
    BandHit {
        guidance: set.name.clone(),
        band: format!("{} ({})", band.name, sentences::limits(band, met)),
        name: band.name.clone(),
        limits: sentences::limits(band, met),
        source: set.source_of(band),
        id: set.id.clone(),
        set_version: set.version.clone(),
        words: sentences::guidance(set, band, &because),
        says: if band.quoted { format!("\"{}\"", band.words) } else { band.words.clone() },
        because,
        caution: band.caution,
    }
}

/// The sentence for a rounding that moved a value across a limit of this set.
pub fn moved(set: &GuidanceSet, quantity: Quantity, exact: Ratio) -> Option<String> {
    let rounded = exact.half_up();
    let clauses = set.bands.iter().flat_map(|band| &band.when.0);
    // A band that holds only because of the rounding, or would have held without it.
    clauses
        .filter(|c| c.quantity == quantity)
        .find(|c| c.holds(exact) != c.holds(rounded.exact()))
        .map(|c| sentences::rounded_across(set, c, exact, rounded))
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
    let limits = limits(set, quantity, &reached, low, high);
    let name = |i: &usize| named(set, quantity, &set.bands[*i]);
    let own = match own.is_empty() {
        true => "none of this set".to_owned(),
        false => own.iter().map(name).collect::<Vec<_>>().join(" and "),
    };
    let meanwhile = reached.first().map(name).unwrap_or_default();
    let repeat = doubt.widest_site();
    let inside = sentences::ends(quantity, low, high);
    let words =
        sentences::crossing(&set.name, quantity, (&limits, &inside), (&own, &meanwhile), repeat);
    Some(Crossing {
        guidance: set.name.clone(),
        quantity: quantity.words().into(),
        limits,
        own,
        meanwhile,
        repeat,
        words,
    })
}

/// A band's name in quotation marks, with its range of this quantity.
fn named(set: &GuidanceSet, quantity: Quantity, band: &Band) -> String {
    let ranges = band.when.0.iter().filter(|c| c.quantity == quantity).map(Clause::printed);
    let ranges = ranges.collect::<Vec<_>>().join(" or ");
    format!("{} \"{}\" ({ranges})", set.name, band.name)
}

/// The limits that lie inside; the two sides of one printed step, such as 0.90 and 0.91, are named together.
fn limits(
    set: &GuidanceSet,
    quantity: Quantity,
    bands: &[usize],
    low: i64,
    high: i64,
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
