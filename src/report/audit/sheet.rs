//! The audit as a table of numbers (CSV): data, in English whatever the language of the page.

use super::statistics::{quartiles, wilson};
use super::{Audit, Counts};
use crate::clinical::uncertainty::FALL_MMHG_PER_S;
use crate::report::table::{Dialect, written};

/// The columns of the table.
pub const COLUMNS: [&str; 8] = ["who", "measure", "class", "count", "of", "share", "low", "high"];

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
