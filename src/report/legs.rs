//! The two legs of a report: the numbers with their doubt, and what each set of guidance says of them.

use crate::clinical::condition::{Clause, Quantity};
use crate::clinical::exact::Hundredths;
use crate::clinical::guidance::{Band, GuidanceSet};
use crate::clinical::result::{GuidanceApplied, LegResult};
use crate::clinical::sentences;
use crate::clinical::site::{Artery, Side, Site};

use super::blocks::{Block, Guidance, Leg, Line, LineBand, Section};
use super::source::ReportSource;
use super::wording::{name, places};
use crate::words::{Words, id, say};

/// The part with both numbers.
pub fn indexes(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let legs = Side::BOTH.map(|side| leg(source, side));
    let key = key(words, &legs);
    let blocks = legs.into_iter().map(Block::Leg).chain(key).collect();
    Section {
        id: "indexes",
        title: words.plain(id!("report-indexes")).into(),
        blocks,
        trail: false,
    }
}

/// How to read the lines that are drawn.
fn key(words: Words, legs: &[Leg]) -> Option<Block> {
    let mut lines = legs.iter().filter_map(|leg| leg.line.as_ref()).peekable();
    lines.peek()?;
    Some(Block::Words(match lines.find(|line| !line.bands.is_empty()) {
        Some(line) => say!(words, "report-line-key-limits", set = line.set),
        None => words.plain(id!("report-line-key")).into(),
    }))
}

fn leg(source: &ReportSource<'_>, side: Side) -> Leg {
    let words = source.result.language;
    let leg = source.result.leg(side);
    let line = source.sets.first().and_then(|set| line(source, leg, set));
    let provisional =
        Side::BOTH.map(|side| sentences::provisional(words, Site::new(side, Artery::Brachial)));
    let (provisional, further): (Vec<_>, Vec<_>) =
        rest(source, leg).into_iter().partition(|words| provisional.contains(words));
    Leg {
        name: name(words, side),
        number: match (leg.index, leg.more_than) {
            (_, Some(lowest)) => say!(words, "report-above", lowest = words.number(lowest)),
            (Some(index), None) => words.number(index),
            (None, None) => words.plain(id!("report-no-index")).into(),
        },
        interval: leg.low.zip(leg.high).map(|(low, high)| {
            let ends = sentences::ends(words, Quantity::Index, low.0.into(), high.0.into());
            say!(words, "report-interval", ends = ends)
        }),
        made_of: made_of(words, leg),
        first: provisional.into_iter().chain(first(words, leg)).collect(),
        further,
        line,
    }
}

fn made_of(words: Words, leg: &LegResult) -> String {
    let part = |mmhg: Option<f64>, site: &Option<String>| {
        Some((words.number(mmhg?), places(words, site.as_ref()?)))
    };
    let ankle = part(leg.ankle_mmhg, &leg.ankle_site);
    let arm = part(leg.arm_mmhg, &leg.arm_site);
    match (ankle, arm) {
        (Some((ankle, at)), Some((arm, on))) => {
            say!(words, "report-made", ankle = ankle, ankle_site = at, arm = arm, arm_site = on)
        }
        (Some((ankle, at)), None) => {
            say!(words, "report-made-ankle", ankle = ankle, ankle_site = at)
        }
        (None, Some((arm, on))) if leg.more_than.is_some() => {
            say!(words, "report-made-open", arm = arm, arm_site = on)
        }
        (None, Some((arm, on))) => say!(words, "report-made-arm", arm = arm, arm_site = on),
        (None, None) => words.plain(id!("report-made-none")).into(),
    }
}

/// What is said before anything else about a number.
fn first(words: Words, leg: &LegResult) -> Vec<String> {
    let mut first: Vec<String> = leg.bands_withheld.iter().cloned().collect();
    for crossing in leg.crossings.iter().filter(|c| c.of == Quantity::Index) {
        let limits = words.and(crossing.limits.iter().cloned());
        first.push(say!(words, "report-crosses", limits = limits, set = crossing.guidance));
    }
    first
}

/// The place of a number; limits are drawn only where their set spoke of it.
fn line(source: &ReportSource<'_>, leg: &LegResult, set: &GuidanceSet) -> Option<Line> {
    let words = source.result.language;
    let number = |h: Hundredths| f64::from(h.0) / 100.0;
    let at = leg.index.map(number);
    let above = leg.more_than.map(number);
    at.or(above)?;
    let spoke = |words: &String| owner(source, words).is_some_and(|of| of.id == set.id);
    let bands = if leg.words.iter().any(spoke) { bands(words, set) } else { Vec::new() };
    Some(Line {
        language: words,
        name: name(words, leg.side),
        at: at.filter(|_| above.is_none()),
        ends: leg.low.zip(leg.high).map(|(low, high)| (number(low), number(high))),
        above,
        set: set.name.clone(),
        bands,
    })
}

/// The ranges of the index that a set names.
fn bands(words: Words, set: &GuidanceSet) -> Vec<LineBand> {
    let said = set.said(words);
    let of_band = |(band, said): (&Band, &Band)| {
        let ranges = band.when.0.iter().filter(|c| c.quantity == Quantity::Index);
        let named = |clause: &Clause| LineBand {
            from: clause.lower.map(|l| l.hundredths as f64 / 100.0),
            to: clause.upper.map(|l| l.hundredths as f64 / 100.0),
            name: range_name(&clause.printed(words), &band.name, &said.name),
        };
        ranges.map(named).collect::<Vec<_>>()
    };
    set.bands.iter().zip(&said.bands).flat_map(of_band).collect()
}

/// `0.50-0.80 "mixed disease"`: the set's own word, so in quotation marks; a name that is itself a range,
/// such as `above 0.8`, stands alone. Whether it is one is told by its name in the set's file.
fn range_name(printed: &str, name: &str, said: &str) -> String {
    match name.starts_with("above ") || name.starts_with("below ") {
        true => said.to_owned(),
        false => format!("{printed} \"{said}\""),
    }
}

/// The part with what guidance says, each set for itself, its source first.
pub fn guidance(source: &ReportSource<'_>) -> Section {
    let title = source.result.language.plain(id!("report-guidance")).into();
    let said = |set| Block::Guidance(says(source, set));
    let blocks = source.result.guidance.iter().map(said).collect();
    Section { id: "guidance", title, blocks, trail: true }
}

fn says(source: &ReportSource<'_>, set: &GuidanceApplied) -> Guidance {
    let words = source.result.language;
    let of_leg = |side| (name(words, side), says_of(source, source.result.leg(side), set));
    Guidance {
        set: set.name.clone(),
        source: say!(words, "caution-source", source = set.source, status = set.status.said(words)),
        says: Side::BOTH.map(of_leg).to_vec(),
    }
}

/// What one set says of a leg, in the order of the clinical room: limits inside the doubt come first.
fn says_of(source: &ReportSource<'_>, leg: &LegResult, set: &GuidanceApplied) -> Vec<String> {
    let own =
        leg.words.iter().filter(|words| owner(source, words).is_some_and(|of| of.id == set.id));
    let mut says: Vec<String> = own.map(|words| after_name(words, &set.name)).collect();
    if says.is_empty() {
        says.push(source.result.language.plain(id!("report-says-nothing")).into());
    }
    says
}

/// What stands between a set's name and what it says; in French a narrow space before the colon.
const BETWEEN: [char; 4] = [' ', ':', '\u{a0}', '\u{202f}'];

/// The set whose sentence this is: such a sentence begins with the set's name, its source.
fn owner<'a>(source: &ReportSource<'a>, words: &str) -> Option<&'a GuidanceApplied> {
    let begins = |set: &&GuidanceApplied| {
        words.strip_prefix(set.name.as_str()).is_some_and(|rest| rest.starts_with(BETWEEN))
    };
    source.result.guidance.iter().filter(begins).max_by_key(|set| set.name.len())
}

/// A sentence without the set's name before it: the name stands above as its source.
fn after_name(words: &str, name: &str) -> String {
    let rest = words.strip_prefix(name).map_or(words, |rest| rest.trim_start_matches(BETWEEN));
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
    let headline = sentences::headline(source.result.language, leg.side, leg.index, ends, method);
    let elsewhere = |words: &&String| {
        **words == headline
            || leg.bands_withheld.as_ref() == Some(*words)
            || owner(source, words).is_some()
            || source.result.flags.iter().any(|flag| words.contains(flag.words.as_str()))
    };
    leg.words.iter().filter(|words| !elsewhere(words)).cloned().collect()
}
