//! The audit as sentences, and as a table of numbers (CSV).

use super::statistics::{binomial, five_equal, quartiles, wilson};
use super::{Audit, Counts, SMALL};
use crate::clinical::uncertainty::FALL_MMHG_PER_S;
use crate::report::table::{Dialect, written};

/// The columns of the table.
pub const COLUMNS: [&str; 8] = ["who", "measure", "class", "count", "of", "share", "low", "high"];

/// The share of zeros that an unbiased hand reads on a gauge of even numbers: one in five.
pub const ZEROS: f64 = 0.2;

/// The bytes of the table: a row a number.
pub fn csv(audit: &Audit, dialect: Dialect) -> Vec<u8> {
    let head = COLUMNS.map(str::to_owned).to_vec();
    let mut rows = vec![head];
    add(&mut rows, "all", &audit.all);
    for (code, counts) in &audit.operators {
        add(&mut rows, &format!("operator {code}"), counts);
    }
    for gauge in &audit.gauges {
        let class = format!("{}: {}", gauge.code, gauge.state);
        rows.push(row("all", "gauge", &class, gauge.readings, None));
    }
    if dialect == Dialect::Semicolon {
        for row in rows.iter_mut().skip(1) {
            row[5..].iter_mut().for_each(|cell| *cell = cell.replace('.', ","));
        }
    }
    written(rows.into_iter(), dialect)
}

fn row(who: &str, measure: &str, class: &str, count: usize, of: Option<usize>) -> Vec<String> {
    let mut row = vec![who.to_owned(), measure.into(), class.into(), count.to_string()];
    row.push(of.map_or(String::new(), |of| of.to_string()));
    let share = of.filter(|of| *of > 0).map(|of| count as f64 / of as f64);
    row.push(share.map_or(String::new(), |share| format!("{share:.4}")));
    let ends = of.and_then(|of| wilson(count, of));
    row.extend(match ends {
        Some((low, high)) => [format!("{low:.4}"), format!("{high:.4}")],
        None => [String::new(), String::new()],
    });
    row
}

/// Quartiles as a row: their three numbers stand in the last three cells.
fn spread(who: &str, measure: &str, class: &str, values: &[f64]) -> Vec<String> {
    let mut row =
        vec![who.to_owned(), measure.into(), class.into(), values.len().to_string(), String::new()];
    row.extend(match quartiles(values) {
        Some([low, middle, high]) => [middle, low, high].map(|v| format!("{v:.3}")),
        None => [String::new(), String::new(), String::new()],
    });
    row
}

fn add(rows: &mut Vec<Vec<String>>, who: &str, counts: &Counts) {
    let visits = Some(counts.visits);
    for (class, count) in [
        ("closed", counts.closed),
        ("all six sites have an outcome", counts.complete),
        ("an index of both legs", counts.both_indexes),
        ("rest before is recorded", counts.rest_known),
    ] {
        rows.push(row(who, "completeness", class, count, visits));
    }
    for (digit, count) in counts.digits.iter().enumerate() {
        rows.push(row(who, "last digit", &(2 * digit).to_string(), *count, Some(counts.even())));
    }
    rows.push(row(who, "last digit", "not even", counts.odd, Some(counts.even() + counts.odd)));
    rows.push(spread(who, "deflation mmHg/s (median, quartiles)", "all", &counts.rates));
    let (least, most) = FALL_MMHG_PER_S;
    let all = Some(counts.rates.len());
    let slow = counts.rates.iter().filter(|rate| **rate < least).count();
    let fast = counts.rates.iter().filter(|rate| **rate > most).count();
    rows.push(row(who, "deflation", "slower than asked", slow, all));
    rows.push(row(who, "deflation", "faster than asked", fast, all));
    for (level, lags) in &counts.lags {
        rows.push(spread(who, "tap after first pulse s (median, quartiles)", level, lags));
    }
    for (why, count) in &counts.reasons {
        rows.push(row(who, "repeats", why, *count, Some(counts.repeats)));
    }
    for (site, count) in &counts.sites {
        for (why, count) in &count.not_obtained {
            rows.push(row(who, &format!("not obtained, {site}"), why, *count, visits));
        }
    }
}

/// What a group of numbers comes to, in sentences.
pub(super) fn digits(counts: &Counts) -> Vec<String> {
    let (zeros, all) = (counts.digits[0], counts.even());
    let mut words = Vec::new();
    let Some((low, high)) = wilson(zeros, all) else {
        return vec!["No reading of a gauge with lines 2 mmHg apart.".into()];
    };
    words.push(format!(
        "{zeros} of {all} even readings end in 0: {}, 95\u{a0}% interval {} to {} (Wilson). One in five, 20\u{a0}%, would be expected.",
        per_cent(zeros as f64 / all as f64),
        per_cent(low),
        per_cent(high)
    ));
    words.extend(small(all, "readings"));
    if let Some(p) = binomial(zeros, all, ZEROS) {
        words.push(match (p < 0.05, zeros as f64 / all as f64 > ZEROS) {
            (true, true) => {
                format!("More zeros than chance explains (exact binomial test, p {}).", p_value(p))
            }
            (true, false) => {
                format!("Fewer zeros than chance explains (exact binomial test, p {}).", p_value(p))
            }
            (false, _) => {
                format!("Chance alone can explain it (exact binomial test, p {}).", p_value(p))
            }
        });
    }
    if let Some((x, p)) = five_equal(counts.digits) {
        words.push(format!("All five digits against equal shares: chi-squared {x:.1} with 4 degrees of freedom, p {}.", p_value(p)));
    }
    if counts.odd > 0 {
        words.push(format!("{} readings between the lines are not in these counts.", counts.odd));
    }
    words
}

pub(super) fn rates(counts: &Counts) -> Vec<String> {
    let (least, most) = FALL_MMHG_PER_S;
    let all = counts.rates.len();
    let Some([low, middle, high]) = quartiles(&counts.rates) else {
        return vec!["No deflation rate was recorded.".into()];
    };
    let slow = counts.rates.iter().filter(|rate| **rate < least).count();
    let fast = counts.rates.iter().filter(|rate| **rate > most).count();
    let mut words = vec![format!(
        "{all} of {} attempts have a rate. Half of them lie between {low:.1} and {high:.1} mmHg/s, the median is {middle:.1}. Slower than {least:.0}: {slow}. Faster than {most:.0}: {fast}. ({least:.0} to {most:.0} mmHg/s: BIHS 2019; Zheng 2011.)",
        counts.attempts
    )];
    words.extend(small(all, "rates"));
    words
}

pub(super) fn lags(counts: &Counts) -> Vec<String> {
    if counts.lags.is_empty() {
        return vec!["No tap beside a first pulse that the listener heard.".into()];
    }
    let each = counts.lags.iter().filter_map(|(level, lags)| {
        let [low, middle, high] = quartiles(lags)?;
        let few = if lags.len() < SMALL { " A small number: it says little." } else { "" };
        Some(format!(
            "{}: median {middle:.2} s after the first audible pulse, half between {low:.2} and {high:.2} s, {} taps.{few}",
            crate::report::wording::sentence(level),
            lags.len()
        ))
    });
    let mut words: Vec<String> = each.collect();
    words.push("A sound with several troubles stands under each of them. The first pulse is the listener's; it can be wrong.".into());
    words
}

pub(super) fn completeness(counts: &Counts) -> Vec<String> {
    let of = |what: &str, count: usize| {
        let share = per_cent(count as f64 / counts.visits.max(1) as f64);
        format!("{what}: {count} of {} ({share}).", counts.visits)
    };
    let mut words = vec![
        of("Closed", counts.closed),
        of("All six sites have an outcome", counts.complete),
        of("An index of both legs", counts.both_indexes),
        of("The rest before is recorded", counts.rest_known),
    ];
    words.extend(small(counts.visits, "visits"));
    words
}

pub(super) fn repeats(counts: &Counts) -> Vec<String> {
    let mut words = vec![format!(
        "{} of {} attempts came after another at the same site.",
        counts.repeats, counts.attempts
    )];
    words.extend(
        counts
            .reasons
            .iter()
            .map(|(why, count)| format!("{}: {count}.", crate::report::wording::sentence(why))),
    );
    words
}

/// The sentence for few.
pub(super) fn small(count: usize, what: &str) -> Option<String> {
    (count < SMALL).then(|| format!("A small number: {count} {what} say little."))
}

pub(super) fn per_cent(share: f64) -> String {
    format!("{:.0}\u{a0}%", share * 100.0)
}

fn p_value(p: f64) -> String {
    if p < 0.001 { "below 0.001".into() } else { format!("{p:.3}") }
}
