//! The two legs of a report: the numbers with their doubt, and what each set of guidance says of them.

use crate::clinical::condition::{Clause, Quantity};
use crate::clinical::exact::Hundredths;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::{GuidanceApplied, LegResult};
use crate::clinical::sentences;
use crate::clinical::site::Side;

use super::blocks::{Block, Guidance, Leg, Line, LineBand, Section};
use super::source::ReportSource;
use super::wording::{name, places};

/// The part with both numbers.
pub fn indexes(source: &ReportSource<'_>) -> Section {
    let legs = Side::BOTH.map(|side| leg(source, side));
    let key = key(&legs);
    let blocks = legs.into_iter().map(Block::Leg).chain(key).collect();
    Section { id: "indexes", title: "Ankle-brachial index".into(), blocks, trail: false }
}

/// How to read the lines that are drawn.
fn key(legs: &[Leg]) -> Option<Block> {
    let mut lines = legs.iter().filter_map(|leg| leg.line.as_ref()).peekable();
    lines.peek()?;
    let limits = lines.find(|line| !line.bands.is_empty()).map_or(String::new(), |line| {
        format!(" The limits and their names are those of {} only.", line.set)
    });
    Some(Block::Words(format!(
        "On each line the diamond is the index. The bar above it is its 95\u{a0}% interval.{limits} A place on the line is a number, not a judgement of the leg."
    )))
}

fn leg(source: &ReportSource<'_>, side: Side) -> Leg {
    let leg = source.result.leg(side);
    let line = source.sets.first().and_then(|set| line(source, leg, set));
    let (provisional, further): (Vec<_>, Vec<_>) =
        rest(source, leg).into_iter().partition(|words| words.starts_with("Provisional"));
    Leg {
        name: name(side),
        number: match (leg.index, leg.more_than) {
            (_, Some(lowest)) => format!("above {lowest}"),
            (Some(index), None) => index.to_string(),
            (None, None) => "no index".into(),
        },
        interval: leg.low.zip(leg.high).map(|(low, high)| format!("{low} to {high}")),
        made_of: made_of(leg),
        first: provisional.into_iter().chain(first(leg)).collect(),
        further,
        line,
    }
}

fn made_of(leg: &LegResult) -> String {
    let part = |mmhg: Option<f64>, site: &Option<String>| {
        Some(format!("{} mmHg at the {}", mmhg?, places(site.as_ref()?)))
    };
    let ankle = part(leg.ankle_mmhg, &leg.ankle_site);
    let arm = part(leg.arm_mmhg, &leg.arm_site);
    match (ankle, arm) {
        (Some(ankle), Some(arm)) => format!("{ankle}, over {arm}."),
        (Some(ankle), None) => format!("{ankle}; no arm pressure to set it over."),
        (None, Some(arm)) if leg.more_than.is_some() => {
            format!("An ankle artery that could not be compressed, over {arm}.")
        }
        (None, Some(arm)) => format!("No ankle pressure to set over {arm}."),
        (None, None) => "No ankle and no arm pressure.".into(),
    }
}

/// What is said before anything else about a number.
fn first(leg: &LegResult) -> Vec<String> {
    let mut first: Vec<String> = leg.bands_withheld.iter().cloned().collect();
    for crossing in leg.crossings.iter().filter(|c| c.quantity == Quantity::Index.words()) {
        first.push(format!(
            "The interval crosses the limit {} of {}: this measurement cannot tell on which side of it the leg is.",
            crossing.limits.join(" and "),
            crossing.guidance
        ));
    }
    first
}

/// The place of a number; limits are drawn only where their set spoke of it.
fn line(source: &ReportSource<'_>, leg: &LegResult, set: &GuidanceSet) -> Option<Line> {
    let number = |h: Hundredths| f64::from(h.0) / 100.0;
    let at = leg.index.map(number);
    let above = leg.more_than.map(number);
    at.or(above)?;
    let spoke = |words: &String| owner(source, words).is_some_and(|of| of.id == set.id);
    let bands = if leg.words.iter().any(spoke) { bands(set) } else { Vec::new() };
    Some(Line {
        name: name(leg.side),
        at: at.filter(|_| above.is_none()),
        ends: leg.low.zip(leg.high).map(|(low, high)| (number(low), number(high))),
        above,
        set: set.name.clone(),
        bands,
    })
}

/// The ranges of the index that a set names.
fn bands(set: &GuidanceSet) -> Vec<LineBand> {
    let of_band = |band: &crate::clinical::guidance::Band| {
        let ranges = band.when.0.iter().filter(|c| c.quantity == Quantity::Index);
        let named = |clause: &Clause| LineBand {
            from: clause.lower.map(|l| l.hundredths as f64 / 100.0),
            to: clause.upper.map(|l| l.hundredths as f64 / 100.0),
            name: range_name(&clause.printed(), &band.name),
        };
        ranges.map(named).collect::<Vec<_>>()
    };
    set.bands.iter().flat_map(of_band).collect()
}

/// `0.50-0.80 "mixed disease"`: the set's own word, so in quotation marks; a name that is itself a range,
/// such as `above 0.8`, stands alone.
fn range_name(printed: &str, name: &str) -> String {
    match name.starts_with("above ") || name.starts_with("below ") {
        true => name.to_owned(),
        false => format!("{printed} \"{name}\""),
    }
}

/// The part with what guidance says, each set for itself, its source first.
pub fn guidance(source: &ReportSource<'_>) -> Section {
    let said = |set| Block::Guidance(says(source, set));
    let blocks = source.result.guidance.iter().map(said).collect();
    Section { id: "guidance", title: "Published guidance".into(), blocks, trail: true }
}

fn says(source: &ReportSource<'_>, set: &GuidanceApplied) -> Guidance {
    let of_leg = |side| (name(side), says_of(source, source.result.leg(side), set));
    Guidance {
        set: set.name.clone(),
        source: format!("{} ({})", set.source, set.status.words()),
        says: Side::BOTH.map(of_leg).to_vec(),
    }
}

/// What one set says of a leg, in the order of the clinical room: limits inside the doubt come first.
fn says_of(source: &ReportSource<'_>, leg: &LegResult, set: &GuidanceApplied) -> Vec<String> {
    let own =
        leg.words.iter().filter(|words| owner(source, words).is_some_and(|of| of.id == set.id));
    let mut says: Vec<String> = own.map(|words| after_name(words, &set.name)).collect();
    if says.is_empty() {
        says.push("This set has no recommendation for the leg as measured.".into());
    }
    says
}

/// The set whose sentence this is: such a sentence begins with the set's name, its source.
fn owner<'a>(source: &ReportSource<'a>, words: &str) -> Option<&'a GuidanceApplied> {
    let begins = |set: &&GuidanceApplied| {
        words.strip_prefix(set.name.as_str()).is_some_and(|rest| rest.starts_with([' ', ':']))
    };
    source.result.guidance.iter().filter(begins).max_by_key(|set| set.name.len())
}

/// A sentence without the set's name before it: the name stands above as its source.
fn after_name(words: &str, name: &str) -> String {
    let rest = words.strip_prefix(name).map_or(words, |rest| rest.trim_start_matches([':', ' ']));
    let mut letters = rest.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// The sentences of a leg that stand nowhere else in the report.
fn rest(source: &ReportSource<'_>, leg: &LegResult) -> Vec<String> {
    let ends = leg.low.zip(leg.high);
    let method = source.result.method.code;
    let headline = sentences::headline(leg.side, leg.index, ends, method);
    let elsewhere = |words: &&String| {
        **words == headline
            || leg.bands_withheld.as_ref() == Some(*words)
            || owner(source, words).is_some()
            || source.result.flags.iter().any(|flag| words.contains(flag.words.as_str()))
    };
    leg.words.iter().filter(|words| !elsewhere(words)).cloned().collect()
}
