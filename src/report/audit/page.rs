//! The audit as a page that needs nothing else, with its plots.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::sentences::{completeness, counted, digits, lags, percent, rates, repeats};
use super::{Audit, Counts};
use crate::clinical::uncertainty::FALL_MMHG_PER_S;
use crate::report::fonts::spare_needed;
use crate::report::paint::{INK, LINE, QUIET};
use crate::report::style;
use crate::report::wording::short_day;
use crate::words::{Words, id, say};

const META: &str = r#"<meta charset="utf-8"/><meta name="viewport" content="width=device-width, initial-scale=1"/>"#;
/// Width and height of a plot, user units.
const PLOT: (f64, f64) = (680.0, 190.0);

/// The bytes of the page; `service` is what the service calls itself.
pub fn page(words: Words, audit: &Audit, service: &str) -> Vec<u8> {
    let title = words.plain(id!("audit-title"));
    let codes: String = audit.operators.iter().map(|(code, _)| code.as_str()).collect();
    let spare = spare_needed(&(codes + service));
    let page = html! {
        (DOCTYPE)
        html lang=(words.tag()) {
            head { (PreEscaped(META)) title { (title) } style { (PreEscaped(style::sheet(words, words.plain(id!("audit-page")), spare))) } }
            body {
                header { h1 style="flex-basis:100%" { (title) } (head(words, audit, service)) }
                main {
                    (whole(words, &audit.all))
                    (gauges(words, audit))
                    @for (code, counts) in &audit.operators { (operator(words, code, counts)) }
                }
                footer {
                    p { (words.plain(id!("audit-foot-eyes"))) }
                    p { (words.plain(id!("audit-foot-counted"))) }
                    @if !words.is_english() { p { (words.plain(id!("report-foot-unreviewed"))) } }
                }
            }
        }
    };
    let mut bytes = page.into_string().into_bytes();
    bytes.push(b'\n');
    bytes
}

fn head(words: Words, audit: &Audit, service: &str) -> Markup {
    let day = |day: &str| short_day(words, day);
    let days = match (audit.from.as_str(), audit.to.as_str()) {
        ("", _) => words.plain(id!("audit-none")).to_owned(),
        (from, to) => {
            let visits = audit.all.visits;
            say!(words, "audit-days", visits = visits, from = day(from), to = day(to))
        }
    };
    html! {
        dl {
            @if !service.trim().is_empty() { dt { (words.plain(id!("report-head-service"))) } dd { (service) } }
            dt { (words.plain(id!("audit-visits"))) } dd { (days) }
            dt { (words.plain(id!("audit-attempts"))) } dd { (audit.all.attempts) }
        }
    }
}

fn list(said: &[String]) -> Markup {
    html! { ul { @for said in said { li { (said) } } } }
}

fn section(id: &str, title: &str, said: &[String], plot: Option<Markup>) -> Markup {
    html! {
        section id=(id) { h2 { (title) } (list(said)) @if let Some(plot) = plot { figure { (plot) } } }
    }
}

fn whole(words: Words, counts: &Counts) -> Markup {
    let title = |id| words.plain(id);
    html! {
        (section("completeness", title(id!("audit-completeness")), &completeness(words, counts), None))
        (section("digits", title(id!("audit-digits")), &digits(words, counts), digit_plot(words, counts)))
        (section("rates", title(id!("audit-deflation")), &rates(words, counts), rate_plot(words, counts)))
        (section("lags", title(id!("audit-lags")), &lags(words, counts), lag_plot(words, counts)))
        (section("repeats", title(id!("audit-repeats")), &repeats(words, counts), None))
        (not_obtained(words, counts))
    }
}

fn not_obtained(words: Words, counts: &Counts) -> Markup {
    let columns = [
        id!("report-column-site"),
        id!("audit-column-reason"),
        id!("audit-visits"),
        id!("audit-column-share"),
    ];
    html! {
        section id="sites" {
            h2 { (words.plain(id!("audit-sites"))) }
            div.scroll tabindex="0" role="group" aria-label=(words.plain(id!("audit-sites-table"))) {
                table {
                    caption { (words.plain(id!("audit-sites-caption"))) }
                    thead { tr { @for column in columns { th scope="col" { (words.plain(column)) } } } }
                    tbody {
                        @for (site, count) in &counts.sites {
                            @for (why, number) in &count.not_obtained {
                                tr class="plain" {
                                    th scope="row" { (site) } td { (counted(words, why)) } td { (number) }
                                    td { (percent(words, *number as f64 / counts.visits.max(1) as f64)) "\u{a0}%" }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn gauges(words: Words, audit: &Audit) -> Markup {
    let each = audit.gauges.iter().map(|gauge| {
        let (code, readings, state) = (&gauge.code, gauge.readings, gauge.check.words(words));
        match gauge.overdue {
            true => {
                say!(words, "audit-gauge-overdue", code = code, readings = readings, state = state)
            }
            false => say!(words, "audit-gauge", code = code, readings = readings, state = state),
        }
    });
    section("gauges", words.plain(id!("audit-gauges")), &each.collect::<Vec<_>>(), None)
}

/// One operator's own numbers, by code.
fn operator(words: Words, code: &str, counts: &Counts) -> Markup {
    html! {
        section {
            h2 { (say!(words, "audit-operator", code = code)) }
            h3 { (words.plain(id!("audit-digits"))) } (list(&digits(words, counts)))
            h3 { (words.plain(id!("audit-deflation"))) } (list(&rates(words, counts)))
            h3 { (words.plain(id!("audit-lags"))) } (list(&lags(words, counts)))
            h3 { (words.plain(id!("audit-operator-repeats"))) } (list(&repeats(words, counts)))
        }
    }
}

/// A bar with its class below and its number above.
struct Bar {
    name: String,
    count: usize,
}

/// Bars side by side; `dashed` is a level to compare with, and its words.
fn bars(id: &str, title: &str, bars: &[Bar], dashed: Option<(f64, &str)>) -> Markup {
    let most = bars.iter().map(|bar| bar.count as f64).chain(dashed.map(|(level, _)| level));
    let most = most.fold(1.0, f64::max);
    let (width, height) = PLOT;
    let (top, bottom) = (28.0, height - 26.0);
    let each = width / bars.len().max(1) as f64;
    let y = |count: f64| bottom - count / most * (bottom - top);
    let told: Vec<String> = bars.iter().map(|bar| format!("{}: {}", bar.name, bar.count)).collect();
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {width} {height}")) role="img"
            aria-labelledby=(format!("{id}-t {id}-d")) font-family=(crate::report::figure::FONTS) font-size="12" {
            title id=(format!("{id}-t")) { (title) }
            desc id=(format!("{id}-d")) { (told.join("; ")) }
            @for (i, bar) in bars.iter().enumerate() {
                @let x = i as f64 * each;
                rect x=(number(x + each * 0.15)) y=(number(y(bar.count as f64))) width=(number(each * 0.7))
                    height=(number(bottom - y(bar.count as f64))) fill=(QUIET) {}
                text x=(number(x + each / 2.0)) y=(number(y(bar.count as f64) - 4.0)) text-anchor="middle" fill=(INK) { (bar.count) }
                text x=(number(x + each / 2.0)) y=(number(bottom + 16.0)) text-anchor="middle" fill=(INK) { (bar.name) }
            }
            line x1="0" y1=(number(bottom)) x2=(number(width)) y2=(number(bottom)) stroke=(INK) stroke-width="1.5" {}
            @if let Some((level, words)) = dashed {
                line x1="0" y1=(number(y(level))) x2=(number(width)) y2=(number(y(level))) stroke=(LINE) stroke-width="1.5" stroke-dasharray="6 4" {}
                text x=(number(width)) y="12" text-anchor="end" fill=(INK) { (words) }
            }
        }
    }
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

fn digit_plot(words: Words, counts: &Counts) -> Option<Markup> {
    let all = counts.even();
    let each = counts.digits.iter().enumerate();
    let each: Vec<Bar> = each.map(|(i, n)| Bar { name: format!("{}", 2 * i), count: *n }).collect();
    let expected = (all as f64 / 5.0, words.plain(id!("audit-plot-equal")));
    let title = words.plain(id!("audit-plot-digits"));
    (all > 0).then(|| bars("digits", title, &each, Some(expected)))
}

/// Classes of one width from 0; what lies beyond falls into the last.
fn classes(words: Words, values: &[f64], (width, count): (f64, usize), unit: &str) -> Vec<Bar> {
    let from = |i: usize| words.decimal(i as f64 * width, 1);
    let mut all: Vec<Bar> = (0..count)
        .map(|i| Bar {
            name: if i + 1 == count { format!("{}+ {unit}", from(i)) } else { from(i) },
            count: 0,
        })
        .collect();
    for value in values {
        let class = (value / width).floor().clamp(0.0, (count - 1) as f64) as usize;
        all[class].count += 1;
    }
    all
}

fn rate_plot(words: Words, counts: &Counts) -> Option<Markup> {
    let (least, most) = FALL_MMHG_PER_S;
    let (least, most) = (words.decimal(least, 0), words.decimal(most, 0));
    let title = say!(words, "audit-plot-rates", least = least, most = most);
    (!counts.rates.is_empty())
        .then(|| bars("rates", &title, &classes(words, &counts.rates, (1.0, 10), "mmHg/s"), None))
}

fn lag_plot(words: Words, counts: &Counts) -> Option<Markup> {
    let all: Vec<f64> = counts.lags.values().flatten().copied().collect();
    let title = words.plain(id!("audit-plot-lags"));
    (!all.is_empty()).then(|| bars("lags", title, &classes(words, &all, (0.2, 10), "s"), None))
}
