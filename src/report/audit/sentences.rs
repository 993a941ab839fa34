//! The audit as sentences.

use super::statistics::{binomial, five_equal, quartiles, wilson};
use super::{Counts, SMALL};
use crate::clinical::uncertainty::FALL_MMHG_PER_S;
use crate::report::wording::{heard, sentence};
use crate::words::{Words, id, say};

/// The share of zeros that an unbiased hand reads on a gauge of even numbers: one in five.
pub const ZEROS: f64 = 0.2;

/// What was counted in English, as data files have it, in the words of a language; what is not ours stays as it is.
pub(super) fn counted(words: Words, english: &str) -> String {
    const KNOWN: [&str; 9] = [
        id!("clinical-not-yet"),
        id!("clinical-no-signal"),
        id!("audit-reason-not-measured"),
        id!("audit-level-none"),
        id!("audit-why-withdrawn"),
        id!("audit-why-no-pressure"),
        id!("audit-why-irregular"),
        id!("audit-why-arm"),
        id!("audit-why-none"),
    ];
    let mut known = KNOWN.into_iter();
    if let Some(id) = known.find(|id| Words::english().plain(id) == english) {
        return words.plain(id).into();
    }
    let limit: String = english.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
    let open = say!(Words::english(), "clinical-not-compressible-at", limit = limit);
    match open == english {
        true => say!(words, "clinical-not-compressible-at", limit = words.number(limit)),
        false => heard(words, english).into(),
    }
}

/// What a group of numbers comes to, in sentences.
pub(super) fn digits(words: Words, counts: &Counts) -> Vec<String> {
    let (zeros, all) = (counts.digits[0], counts.even());
    let Some((low, high)) = wilson(zeros, all) else {
        return vec![words.plain(id!("audit-digits-none")).into()];
    };
    let share = zeros as f64 / all as f64;
    let mut said = vec![say!(
        words,
        "audit-digits-zeros",
        zeros = zeros,
        all = all,
        share = percent(words, share),
        low = percent(words, low),
        high = percent(words, high)
    )];
    said.extend((all < SMALL).then(|| say!(words, "audit-small-readings", count = all)));
    if let Some(chance) = binomial(zeros, all, ZEROS) {
        let p = p_value(words, chance);
        said.push(match (chance < 0.05, share > ZEROS) {
            (true, true) => say!(words, "audit-digits-more", p = p),
            (true, false) => say!(words, "audit-digits-fewer", p = p),
            (false, _) => say!(words, "audit-digits-chance", p = p),
        });
    }
    if let Some((x, p)) = five_equal(counts.digits) {
        let (x, p) = (words.decimal(x, 1), p_value(words, p));
        said.push(say!(words, "audit-digits-five", x = x, p = p));
    }
    if counts.odd > 0 {
        said.push(say!(words, "audit-digits-odd", odd = counts.odd));
    }
    said
}

pub(super) fn rates(words: Words, counts: &Counts) -> Vec<String> {
    let (least, most) = FALL_MMHG_PER_S;
    let all = counts.rates.len();
    let Some(quartiles) = quartiles(&counts.rates) else {
        return vec![words.plain(id!("audit-rates-none")).into()];
    };
    let [low, middle, high] = quartiles.map(|rate| words.decimal(rate, 1));
    let slow = counts.rates.iter().filter(|rate| **rate < least).count();
    let fast = counts.rates.iter().filter(|rate| **rate > most).count();
    let mut said = vec![say!(
        words,
        "audit-rates",
        all = all,
        attempts = counts.attempts,
        low = low,
        high = high,
        middle = middle,
        least = words.decimal(least, 0),
        slow = slow,
        most = words.decimal(most, 0),
        fast = fast
    )];
    said.extend((all < SMALL).then(|| say!(words, "audit-small-rates", count = all)));
    said
}

pub(super) fn lags(words: Words, counts: &Counts) -> Vec<String> {
    if counts.lags.is_empty() {
        return vec![words.plain(id!("audit-lags-none")).into()];
    }
    let each = counts.lags.iter().filter_map(|(level, lags)| {
        let [low, middle, high] = quartiles(lags)?.map(|lag| words.decimal(lag, 2));
        let few = if lags.len() < SMALL { words.plain(id!("audit-lag-few")) } else { "" };
        let level = sentence(&counted(words, level));
        let said = say!(
            words,
            "audit-lag",
            level = level,
            middle = middle,
            low = low,
            high = high,
            taps = lags.len()
        );
        Some(said + few)
    });
    let mut said: Vec<String> = each.collect();
    said.push(words.plain(id!("audit-lags-note")).into());
    said
}

pub(super) fn completeness(words: Words, counts: &Counts) -> Vec<String> {
    let all = counts.visits;
    let share = |count: usize| percent(words, count as f64 / all.max(1) as f64);
    let (closed, complete) = (counts.closed, counts.complete);
    let (both, rest) = (counts.both_indexes, counts.rest_known);
    let mut said = vec![
        say!(words, "audit-closed", count = closed, all = all, share = share(closed)),
        say!(words, "audit-complete", count = complete, all = all, share = share(complete)),
        say!(words, "audit-both-indexes", count = both, all = all, share = share(both)),
        say!(words, "audit-rest-known", count = rest, all = all, share = share(rest)),
    ];
    said.extend((all < SMALL).then(|| say!(words, "audit-small-visits", count = all)));
    said
}

pub(super) fn repeats(words: Words, counts: &Counts) -> Vec<String> {
    let (repeats, attempts) = (counts.repeats, counts.attempts);
    let mut said = vec![say!(words, "audit-repeated", repeats = repeats, attempts = attempts)];
    said.extend(counts.reasons.iter().map(|(why, count)| {
        let why = sentence(&counted(words, why));
        say!(words, "audit-repeated-why", why = why, count = *count)
    }));
    said
}

/// A share as a whole number of per cent.
pub(super) fn percent(words: Words, share: f64) -> String {
    words.decimal(share * 100.0, 0)
}

fn p_value(words: Words, p: f64) -> String {
    if p < 0.001 { words.plain(id!("audit-p-below")).into() } else { words.decimal(p, 3) }
}
