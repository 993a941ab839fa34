//! One page of HTML for the student: what to practise next and why, when each kind is due, and progress as curves with their
//! intervals.

use jiff::Timestamp;
use maud::{Markup, html};

use super::class::Class;
use super::confusion::{Share, share};
use super::course::{CourseState, lag};
use super::page::page;
use super::session::Done;

/// Drills in a stretch of a curve.
const STRETCH: usize = 10;
/// The curves' size, pixels, and their margins.
const SIZE: (f64, f64) = (640.0, 200.0);
const LEFT: f64 = 70.0;
const EDGE: f64 = 14.0;

/// A mean with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    mean: f64,
    low: f64,
    high: f64,
}

/// The page of this student, by what the class file holds of it, examinations left out.
pub fn student_page(class: &Class, code: &str, now: Timestamp) -> Vec<u8> {
    let own: Vec<_> = class.sessions().filter(|s| s.student == code && !s.examination).collect();
    let state = CourseState::of(own.iter().copied(), now);
    let mut sessions = own;
    sessions.sort_by(|a, b| a.begun.cmp(&b.begun));
    let drills: Vec<&Done> = sessions.iter().flat_map(|s| &s.drills).collect();
    let inside = html! {
        h1 { "The course of " (code) }
        p { (drills.len()) " drills until " (now.strftime("%Y-%m-%d").to_string())
            ". Simulated patients and recordings; no clinical record, and no certificate." }
        h2 { "What to practise next, and why" }
        @for said in state.words() { p { (said) } }
        h2 { "When each kind is due" }
        (due(&state))
        h2 { "Progress" }
        (curve("Lag of the taps for the first pulse, ms", &lags(&drills), (0.0, 500.0), &[0.0, 250.0, 500.0]))
        (curve("Drills passed, %", &shares(&drills), (0.0, 100.0), &[0.0, 50.0, 75.0, 100.0]))
        p { "Each mark is ten drills, oldest at the left, with its 95 % interval (of the lag by the normal law; of the share by Wilson 1927). "
            "Marks whose intervals overlap much may differ by chance alone." }
    };
    page(&format!("The course of {code}"), inside)
}

fn due(state: &CourseState) -> Markup {
    html! {
        table {
            tr { th { "Kind" } th { "Due" } th.n { "Right, of the last" } th.n { "95 % interval, %" } }
            @for due in &state.due {
                tr {
                    td { (due.kind.words()) }
                    td { (due.at.map_or("not begun".into(), |at| at.strftime("%Y-%m-%d").to_string())) }
                    td.n { (due.share.map_or(String::new(), |s| format!("{} of {}", s.right, s.of))) }
                    td.n { (due.share.map_or(String::new(), |s| format!("{:.0} to {:.0}", 100.0 * s.low, 100.0 * s.high))) }
                }
            }
        }
    }
}

/// The mean lag of each stretch of scored drills.
fn lags(drills: &[&Done]) -> Vec<Stretch> {
    let scored: Vec<&Done> = drills.iter().copied().filter(|d| d.score.is_some()).collect();
    let found = stretches(&scored).filter_map(|some| lag(some.iter().copied()));
    found
        .map(|lag| {
            let (mean, half) = (lag.mean_ms, lag.half_ms);
            Stretch { mean, low: mean - half, high: mean + half }
        })
        .collect()
}

/// The share passed of each stretch, per cent.
fn shares(drills: &[&Done]) -> Vec<Stretch> {
    let told = |Share { right, of, low, high }: Share| Stretch {
        mean: 100.0 * right as f64 / of as f64,
        low: 100.0 * low,
        high: 100.0 * high,
    };
    let passed = |some: &[&Done]| some.iter().filter(|done| done.passed()).count();
    stretches(drills).filter_map(|some| share(passed(some), some.len())).map(told).collect()
}

/// Whole stretches, and a last one that is at least half as long.
fn stretches<'a, 'b>(drills: &'b [&'a Done]) -> impl Iterator<Item = &'b [&'a Done]> {
    drills.chunks(STRETCH).filter(|some| 2 * some.len() >= STRETCH)
}

fn curve(name: &str, stretches: &[Stretch], (least, most): (f64, f64), lines: &[f64]) -> Markup {
    if stretches.len() < 2 {
        return html! { p { (name) ": a curve begins with the second stretch of ten drills." } };
    }
    let low = stretches.iter().map(|s| s.low).fold(least, f64::min);
    let high = stretches.iter().map(|s| s.high).fold(most, f64::max);
    let (wide, tall) = SIZE;
    let y_of = |v: f64| tall - EDGE - (v - low) / (high - low) * (tall - 2.0 * EDGE);
    let step = (wide - LEFT - EDGE) / stretches.len() as f64;
    let x_of = |n: usize| LEFT + (n as f64 + 0.5) * step;
    let number = |v: f64| format!("{v:.1}");
    let path: Vec<String> = stretches
        .iter()
        .enumerate()
        .map(|(n, s)| format!("{:.1},{:.1}", x_of(n), y_of(s.mean)))
        .collect();
    html! {
        figure {
            figcaption { (name) }
            svg viewBox=(format!("0 0 {wide} {tall}")) width="100%" role="img" aria-label=(name) {
                @for v in lines {
                    line x1=(number(LEFT)) x2=(number(wide - EDGE)) y1=(number(y_of(*v))) y2=(number(y_of(*v))) stroke="#66707b" {}
                    text x=(number(LEFT - 8.0)) y=(number(y_of(*v) + 5.0)) text-anchor="end" font-size="15" { (format!("{v:.0}")) }
                }
                polyline points=(path.join(" ")) fill="none" stroke="#66707b" stroke-width="1.5" {}
                @for (n, s) in stretches.iter().enumerate() {
                    line x1=(number(x_of(n))) x2=(number(x_of(n))) y1=(number(y_of(s.low))) y2=(number(y_of(s.high))) stroke="#6b3a00" stroke-width="3" {}
                    circle cx=(number(x_of(n))) cy=(number(y_of(s.mean))) r="5" fill="#15202b" {}
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::session::tests::{done, session};
    use super::*;

    #[test]
    fn the_page_says_what_is_next_and_shows_both_curves_with_their_intervals() {
        let drills: Vec<Done> = (0..30)
            .map(|n| done("a", if n % 5 == 4 { 2100.0 } else { 400.0 - 6.0 * f64::from(n) }, 120.0))
            .collect();
        let mut class = Class::default();
        class.add(session("a", "<S-7>", drills));
        class.add(session("b", "S-8", vec![done("b", 100.0, 120.0)]));
        let now = "2027-01-06T10:00:00Z".parse().unwrap();
        let text = String::from_utf8(student_page(&class, "<S-7>", now)).unwrap();
        for said in ["The course of &lt;S-7&gt;", "30 drills", "Next: ", "not begun", "16 of 20"] {
            assert!(text.contains(said), "{said}");
        }
        assert_eq!(text.matches("<circle").count(), 6, "three stretches, two curves");
        assert!(!text.contains("S-8"), "nobody else stands on it");
    }
}
