//! The plain words for what was found and what was lacking. Words of guidance come with their source
//! first; no sentence here calls anything safe or normal by itself.

use super::condition::{Clause, Quantity};
use super::exact::{Hundredths, Ratio};
use super::guidance::{Band, GuidanceSet};
use super::index::Remark;
use super::method::Method;
use super::repeats::State;
use super::site::{Side, Site};
use crate::words::{Words, id, say};

fn list(words: Words, missing: &[(Site, State)]) -> String {
    let each = missing.iter().map(|(site, state)| {
        say!(words, "clinical-missing", site = site.said(words), why = state.why(words))
    });
    each.collect::<Vec<_>>().join("; ")
}

fn sites(words: Words, sites: &[Site]) -> String {
    words.and(sites.iter().map(|site| site.said(words)))
}

/// A remark as a sentence.
pub fn remark(words: Words, remark: &Remark) -> String {
    match remark {
        Remark::OneArtery { used, missing } => {
            let missing = list(words, missing);
            say!(words, "clinical-one-artery", used = used.said(words), missing = missing)
        }
        Remark::NoAnkle(missing) => {
            say!(words, "clinical-no-ankle", missing = list(words, missing))
        }
        Remark::NoSignalAtAll(side) => {
            say!(words, "clinical-no-signal-at-all", side = side.code())
        }
        Remark::NotCompressible { sites: at, limit } => {
            let (limit, sites) = (words.number(limit), sites(words, at));
            say!(words, "clinical-not-compressible", limit = limit, sites = sites)
        }
        Remark::Conflict(site, conflict) => {
            let conflict = conflict.words(words);
            say!(words, "clinical-conflict", site = site.said(words), conflict = conflict)
        }
        Remark::OneArm { used, missing: (other, state) } => {
            let (used, other) = (used.said(words), other.said(words));
            say!(words, "clinical-one-arm", used = used, other = other, why = state.why(words))
        }
        Remark::ArmOpen(arm) => say!(words, "clinical-arm-open", arm = arm.said(words)),
        Remark::Provisional(other) => provisional(words, *other),
        Remark::NoArm(missing) => say!(words, "clinical-no-arm", missing = list(words, missing)),
    }
}

/// What is said of an index whose other arm is still to come.
pub fn provisional(words: Words, other: Site) -> String {
    say!(words, "clinical-provisional", other = other.said(words))
}

/// A number at the precision its quantity is printed with.
pub fn value(words: Words, quantity: Quantity, value: Ratio) -> String {
    match quantity.is_ratio() {
        true => words.number(value.half_up()),
        false => mmhg(words, value),
    }
}

/// A pressure, or a difference of pressures, to the tenth.
pub fn mmhg(words: Words, value: Ratio) -> String {
    let tenths = (value.as_f64() * 10.0).round() / 10.0;
    say!(words, "clinical-mmhg", n = words.number(tenths))
}

/// The ends of an interval, at the same precision.
pub fn ends(words: Words, quantity: Quantity, low: i64, high: i64) -> String {
    match quantity.is_ratio() {
        true => {
            let number = |h: i64| words.number(Hundredths(h as i32));
            say!(words, "clinical-ends", low = number(low), high = number(high))
        }
        false => say!(words, "clinical-ends-mmhg", low = low / 100, high = high / 100),
    }
}

/// The limits that made a band hold, as printed: `0.91-0.99`. The quantity is named wherever the band is
/// not about the index alone.
pub fn limits(words: Words, band: &Band, met: &[Clause]) -> String {
    let index_alone = band.when.0.iter().all(|c| c.quantity == Quantity::Index);
    let printed = met.iter().map(|clause| match index_alone {
        true => clause.printed(words),
        false => {
            let (quantity, value) = (clause.quantity.said(words), clause.printed(words));
            say!(words, "clinical-because", quantity = quantity, value = value)
        }
    });
    let printed: Vec<String> = printed.collect();
    match printed.is_empty() {
        true => words.plain(id!("clinical-limits-open")).into(),
        false => printed.join(", "),
    }
}

/// A band's words as the set has them: quoted, or in its sense. A translation of ours stands beside a quotation, and
/// says whose it is.
pub fn says(words: Words, held: &Band) -> String {
    match (&held.ours.words, held.quoted) {
        (None, true) => say!(words, "clinical-quote", words = held.words),
        (None, false) => held.words.clone(),
        (Some(ours), true) => {
            say!(words, "clinical-quote-ours", words = held.words, ours = ours)
        }
        (Some(ours), false) => say!(words, "clinical-sense-ours", ours = ours),
    }
}

/// What a set says of a band, the source first.
pub fn guidance(words: Words, set: &GuidanceSet, held: &Band, because: &str) -> String {
    let more = match held.ours.more.as_ref().unwrap_or(&held.more).as_str() {
        "" => String::new(),
        more => say!(words, "clinical-guidance-more", more = more),
    };
    let (name, when, says) = (&set.name, held.when.said(words), says(words, held));
    match held.quoted {
        true => say!(
            words,
            "clinical-guidance-quoted",
            set = name,
            because = because,
            when = when,
            words = says,
            more = more
        ),
        false => say!(
            words,
            "clinical-guidance-sense",
            set = name,
            because = because,
            when = when,
            words = says,
            more = more
        ),
    }
}

/// Several bands of one set at once.
pub fn several(words: Words, set: &GuidanceSet) -> String {
    let note = if set.note.is_empty() { String::new() } else { format!(" {}", set.note) };
    say!(words, "clinical-several", set = set.name) + &note
}

/// A set that was asked about a value and has no band for it.
pub fn no_band(words: Words, set: &GuidanceSet, quantity: Quantity, at: Ratio) -> String {
    let at = value(words, quantity, at);
    say!(words, "clinical-no-band", set = set.name, quantity = quantity.said(words), value = at)
}

/// Rounding that decided a band.
pub fn rounded_across(
    words: Words,
    set: &GuidanceSet,
    held: &Clause,
    exact: Ratio,
    rounded: Hundredths,
) -> String {
    say!(
        words,
        "clinical-rounded",
        quantity = held.quantity.said(words),
        set = set.name,
        range = held.printed(words),
        exact = words.decimal(exact.as_f64(), 4),
        rounded = words.number(rounded)
    )
}

/// A limit inside the doubt: what lies inside, the band of its own and that which holds meanwhile, what could settle it.
#[derive(Debug, Clone, Copy)]
pub struct Crossed<'a> {
    /// The set's name.
    pub set: &'a str,
    /// What the limits are about.
    pub quantity: Quantity,
    /// The limits, as printed.
    pub limits: &'a [String],
    /// The interval, as printed.
    pub inside: &'a str,
    /// The band that the value keeps.
    pub own: &'a str,
    /// The more cautious band.
    pub meanwhile: &'a str,
    /// The site whose repeat could settle it.
    pub repeat: Option<Site>,
}

/// A limit inside the doubt.
pub fn crossing(words: Words, crossed: Crossed<'_>) -> String {
    let Crossed { set, quantity, limits, inside, own, meanwhile, repeat } = crossed;
    let settle = repeat.map_or(String::new(), |site| {
        say!(words, "clinical-crossing-settle", site = site.said(words))
    });
    let holds = match own.contains(meanwhile) {
        true => say!(words, "clinical-crossing-own", own = own),
        false => say!(words, "clinical-crossing-meanwhile", own = own, meanwhile = meanwhile),
    };
    let quantity = quantity.said(words);
    let joined = words.and(limits.iter().cloned());
    match limits.len() {
        1 => say!(
            words,
            "clinical-crossing-one",
            set = set,
            limits = joined,
            quantity = quantity,
            inside = inside,
            holds = holds,
            settle = settle
        ),
        _ => say!(
            words,
            "clinical-crossing-many",
            set = set,
            limits = joined,
            quantity = quantity,
            inside = inside,
            holds = holds,
            settle = settle
        ),
    }
}

/// The first line of a leg: index, doubt, what it is made of.
pub fn headline(
    words: Words,
    side: Side,
    index: Option<Hundredths>,
    doubt: Option<(Hundredths, Hundredths)>,
    method: Method,
) -> String {
    let (side, method) = (side.code(), method.said(words));
    let number = |h: Hundredths| words.number(h);
    match (index.map(number), doubt) {
        (Some(index), Some((low, high))) => say!(
            words,
            "clinical-headline",
            side = side,
            index = index,
            low = number(low),
            high = number(high),
            method = method
        ),
        (Some(index), None) => {
            say!(words, "clinical-headline-bare", side = side, index = index, method = method)
        }
        (None, _) => say!(words, "clinical-headline-none", side = side),
    }
}

/// The first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
