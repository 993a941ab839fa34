//! The audit as a page that needs nothing else, with its plots.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::sheet::{completeness, digits, lags, per_cent, rates, repeats};
use super::{Audit, Counts};
use crate::clinical::uncertainty::FALL_MMHG_PER_S;
use crate::report::fonts::spare_needed;
use crate::report::paint::{INK, LINE, QUIET};
use crate::report::style;
use crate::words::Words;

const META: &str = r#"<meta charset="utf-8"/><meta name="viewport" content="width=device-width, initial-scale=1"/>"#;
/// Width and height of a plot, user units.
const PLOT: (f64, f64) = (680.0, 190.0);

/// The bytes of the page; `service` is what the service calls itself.
pub fn page(audit: &Audit, service: &str) -> Vec<u8> {
    let title = "How this service measures";
    let codes: String = audit.operators.iter().map(|(code, _)| code.as_str()).collect();
    let spare = spare_needed(&(codes + service));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head { (PreEscaped(META)) title { (title) } style { (PreEscaped(style::sheet(Words::english(), "Audit of a service", spare))) } }
            body {
                header { h1 style="flex-basis:100%" { (title) } (head(audit, service)) }
                main {
                    (whole(&audit.all))
                    (gauges(audit))
                    @for (code, counts) in &audit.operators { (operator(code, counts)) }
                }
                footer {
                    p { "For the service's and the operator's own eyes. Numbers of different people measure different patients: they are no ranking, and none is made here." }
                    p { "Counted from the records alone. It does not say who measures well, and it does not diagnose." }
                }
            }
        }
    };
    let mut bytes = page.into_string().into_bytes();
    bytes.push(b'\n');
    bytes
}

fn head(audit: &Audit, service: &str) -> Markup {
    let days = match (audit.from.as_str(), audit.to.as_str()) {
        ("", _) => "none".to_owned(),
        (from, to) => format!("{} visits, {from} to {to}", audit.all.visits),
    };
    html! {
        dl {
            @if !service.trim().is_empty() { dt { "Service" } dd { (service) } }
            dt { "Visits" } dd { (days) }
            dt { "Attempts" } dd { (audit.all.attempts) }
        }
    }
}

fn list(words: &[String]) -> Markup {
    html! { ul { @for words in words { li { (words) } } } }
}

fn section(id: &str, title: &str, words: &[String], plot: Option<Markup>) -> Markup {
    html! {
        section id=(id) { h2 { (title) } (list(words)) @if let Some(plot) = plot { figure { (plot) } } }
    }
}

fn whole(counts: &Counts) -> Markup {
    html! {
        (section("completeness", "Completeness", &completeness(counts), None))
        (section("digits", "The last digit", &digits(counts), digit_plot(counts)))
        (section("rates", "Deflation", &rates(counts), rate_plot(counts)))
        (section("lags", "From the first audible pulse to the tap", &lags(counts), lag_plot(counts)))
        (section("repeats", "Repeats, and why", &repeats(counts), None))
        (not_obtained(counts))
    }
}

fn not_obtained(counts: &Counts) -> Markup {
    html! {
        section id="sites" {
            h2 { "Sites without a pressure" }
            div.scroll tabindex="0" role="group" aria-label="Table of sites" {
                table {
                    caption { "Visits without a pressure, for each site and reason." }
                    thead { tr { th scope="col" { "Site" } th scope="col" { "Reason" } th scope="col" { "Visits" } th scope="col" { "Share of all" } } }
                    tbody {
                        @for (site, count) in &counts.sites {
                            @for (why, number) in &count.not_obtained {
                                tr class="plain" {
                                    th scope="row" { (site) } td { (why) } td { (number) }
                                    td { (per_cent(*number as f64 / counts.visits.max(1) as f64)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn gauges(audit: &Audit) -> Markup {
    let each = audit.gauges.iter().map(|gauge| {
        let due = if gauge.overdue { "Overdue: " } else { "" };
        format!("{due}{}, {} readings: {}.", gauge.code, gauge.readings, gauge.state)
    });
    section("gauges", "Gauges", &each.collect::<Vec<_>>(), None)
}

/// One operator's own numbers, by code.
fn operator(code: &str, counts: &Counts) -> Markup {
    html! {
        section {
            h2 { "Operator " (code) }
            h3 { "The last digit" } (list(&digits(counts)))
            h3 { "Deflation" } (list(&rates(counts)))
            h3 { "From the first audible pulse to the tap" } (list(&lags(counts)))
            h3 { "Repeats" } (list(&repeats(counts)))
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

fn digit_plot(counts: &Counts) -> Option<Markup> {
    let all = counts.even();
    let each = counts.digits.iter().enumerate();
    let each: Vec<Bar> = each.map(|(i, n)| Bar { name: format!("{}", 2 * i), count: *n }).collect();
    let expected = (all as f64 / 5.0, "dashed: equal shares");
    (all > 0).then(|| bars("digits", "Readings by their last digit", &each, Some(expected)))
}

/// Classes of one width from 0; what lies beyond falls into the last.
fn classes(values: &[f64], width: f64, count: usize, unit: &str) -> Vec<Bar> {
    let mut all: Vec<Bar> = (0..count)
        .map(|i| Bar {
            name: if i + 1 == count {
                format!("{:.1}+ {unit}", i as f64 * width)
            } else {
                format!("{:.1}", i as f64 * width)
            },
            count: 0,
        })
        .collect();
    for value in values {
        let class = (value / width).floor().clamp(0.0, (count - 1) as f64) as usize;
        all[class].count += 1;
    }
    all
}

fn rate_plot(counts: &Counts) -> Option<Markup> {
    let (least, most) = FALL_MMHG_PER_S;
    let title =
        format!("Deflation rates in classes of 1 mmHg/s; {least:.0} to {most:.0} are asked for");
    (!counts.rates.is_empty())
        .then(|| bars("rates", &title, &classes(&counts.rates, 1.0, 10, "mmHg/s"), None))
}

fn lag_plot(counts: &Counts) -> Option<Markup> {
    let all: Vec<f64> = counts.lags.values().flatten().copied().collect();
    let title = "Taps by their seconds after the first audible pulse; a tap before it stands in the first class";
    (!all.is_empty()).then(|| bars("lags", title, &classes(&all, 0.2, 10, "s"), None))
}
