//! The plain words for what was found and what was lacking. Words of guidance come with their source
//! first; no sentence here calls anything safe or normal by itself.

use super::condition::{Clause, Quantity};
use super::exact::{Hundredths, Ratio};
use super::guidance::{Band, GuidanceSet};
use super::index::Remark;
use super::method::Method;
use super::site::{Side, Site};

/// What one study found between people and visits (Casey 2020, J Foot Ankle Res, n = 85).
pub const MEASUREMENT_ONLY: &str = "The interval is of the measurement only: two people or two visits differ more (limits of agreement about 0.16 in one study, Casey 2020, J Foot Ankle Res).";

/// What is said of any other method than the standard.
pub const OTHER_METHOD: &str =
    "the limits of published guidance were set for the higher ankle artery over the higher arm";

fn list(missing: &[(Site, String)]) -> String {
    let each: Vec<String> = missing.iter().map(|(site, why)| format!("{site}: {why}")).collect();
    each.join("; ")
}

fn sites(sites: &[Site]) -> String {
    sites.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ")
}

/// A remark as a sentence.
pub fn remark(remark: &Remark) -> String {
    match remark {
        Remark::OneArtery { used, missing } => {
            format!("Only one artery stands behind the ankle pressure, {used} ({}).", list(missing))
        }
        Remark::NoAnkle(missing) => format!("No index: no ankle pressure ({}).", list(missing)),
        Remark::NoSignalAtAll(side) => format!(
            "No index: no signal was found in the {} dorsalis pedis or posterior tibial. This does not mean an index of zero.",
            side.words()
        ),
        Remark::NotCompressible { sites: at, limit } => {
            format!("Not compressible: the signal was still there at {limit} mmHg ({}).", sites(at))
        }
        Remark::Conflict(site, conflict) => format!(
            "No index: at the {site} {}. Measure again, or withdraw one of them with its reason; while both stand there is no index.",
            conflict.words()
        ),
        Remark::OneArm { used, missing: (other, why) } => format!(
            "Only one arm could be used, {used} ({other}: {why}): the index may be falsely high, for the other arm could be higher."
        ),
        Remark::ArmOpen(arm) => format!(
            "The arm that could not be compressed ({arm}) is the higher one, so an index over the other arm is falsely high: no band."
        ),
        Remark::Provisional(other) => format!(
            "Provisional, without a band: the other arm is not yet measured ({other}). Where it cannot be, say so."
        ),
        Remark::NoArm(missing) => {
            format!("No index: no usable arm pressure ({}); ankle pressures only.", list(missing))
        }
    }
}

/// A number at the precision its quantity is printed with.
pub fn value(quantity: Quantity, value: Ratio) -> String {
    match quantity.is_ratio() {
        true => value.half_up().to_string(),
        false => {
            let tenths = (value.as_f64() * 10.0).round() / 10.0;
            format!("{tenths} mmHg")
        }
    }
}

/// The ends of an interval, at the same precision.
pub fn ends(quantity: Quantity, low: i64, high: i64) -> String {
    match quantity.is_ratio() {
        true => format!("{} to {}", Hundredths(low as i32), Hundredths(high as i32)),
        false => format!("{} to {} mmHg", low / 100, high / 100),
    }
}

/// The limits that made a band hold, as printed: `0.91-0.99`. The quantity is named wherever the band is
/// not about the index alone.
pub fn limits(band: &Band, met: &[Clause]) -> String {
    let index_alone = band.when.0.iter().all(|c| c.quantity == Quantity::Index);
    let printed = met.iter().map(|clause| match index_alone {
        true => clause.printed(),
        false => format!("{} {}", clause.quantity.words(), clause.printed()),
    });
    let printed: Vec<String> = printed.collect();
    if printed.is_empty() { "not compressible".into() } else { printed.join(", ") }
}

/// What a set says of a band, the source first.
pub fn guidance(set: &GuidanceSet, held: &Band, because: &str) -> String {
    let (open, close) = if held.quoted { ("\"", "\"") } else { ("in its sense: ", "") };
    let more = match held.more.as_str() {
        "" => String::new(),
        more => format!("; in its sense: {more}"),
    };
    format!("{} for {because} [{}]: {open}{}{close}{more}.", set.name, held.when, held.words)
}

/// Several bands of one set at once.
pub fn several(set: &GuidanceSet) -> String {
    let note = if set.note.is_empty() { String::new() } else { format!(" {}", set.note) };
    format!("{}: several bands hold at once, each as printed.{note}", set.name)
}

/// A set that was asked about a value and has no band for it.
pub fn no_band(set: &GuidanceSet, quantity: Quantity, at: Ratio) -> String {
    format!("{} has no band for {} {}.", set.name, quantity.words(), value(quantity, at))
}

/// Rounding that decided a band.
pub fn rounded_across(
    set: &GuidanceSet,
    held: &Clause,
    exact: Ratio,
    rounded: Hundredths,
) -> String {
    format!(
        "Rounding moved the {} across a limit of {} ({}): {:.4} before rounding, {rounded} after it, half up to two decimals.",
        held.quantity.words(),
        set.name,
        held.printed(),
        exact.as_f64()
    )
}

/// A limit inside the doubt.
pub fn crossing(
    set: &str,
    quantity: Quantity,
    (limits, inside): (&[String], &str),
    (own, meanwhile): (&str, &str),
    repeat: Option<Site>,
) -> String {
    let several = if limits.len() == 1 { ("limit", "lies") } else { ("limits", "lie") };
    let settle = repeat.map_or(String::new(), |site| {
        format!(" A repeat of one pressure could settle it: {site}.")
    });
    let holds = match own.contains(meanwhile) {
        true => format!("The value keeps its own band, {own}: the more cautious side."),
        false => format!(
            "The value keeps its own band, {own}; until it is settled the more cautious side holds: {meanwhile}."
        ),
    };
    format!(
        "{set}: the {} {} for the {} {} within the measurement uncertainty ({inside}). {holds}{settle}",
        several.0,
        limits.join(" and "),
        quantity.words(),
        several.1,
    )
}

/// The first line of a leg: index, doubt, what it is made of.
pub fn headline(
    side: Side,
    index: Option<Hundredths>,
    doubt: Option<(Hundredths, Hundredths)>,
    method: Method,
) -> String {
    match (index, doubt) {
        (Some(index), Some((low, high))) => format!(
            "The {} leg: ankle-brachial index {index} ({low} to {high}), {}.",
            side.words(),
            method.words()
        ),
        (Some(index), None) => {
            format!("The {} leg: ankle-brachial index {index}, {}.", side.words(), method.words())
        }
        (None, _) => format!("The {} leg: no ankle-brachial index.", side.words()),
    }
}

/// The first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
