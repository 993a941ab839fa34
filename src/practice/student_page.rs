//! One page of HTML for the student: what to practise next and why, when each kind is due, and progress as curves with their
//! intervals.

use jiff::Timestamp;
use maud::{Markup, html};

use super::class::Class;
use super::confusion::{Share, share};
use super::course::{CourseState, lag};
use super::page::{heads, page};
use super::session::Done;
use crate::words::{Words, id, say};

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

/// The page of this student in the words of a language, by what the class file holds of it, examinations left out.
pub fn student_page(words: Words, class: &Class, code: &str, now: Timestamp) -> Vec<u8> {
    let own: Vec<_> = class.sessions().filter(|s| s.student == code && !s.examination).collect();
    let state = CourseState::of(own.iter().copied(), now);
    let mut sessions = own;
    sessions.sort_by(|a, b| a.begun.cmp(&b.begun));
    let drills: Vec<&Done> = sessions.iter().flat_map(|s| &s.drills).collect();
    let w = |id: &'static str| words.plain(id);
    let title = say!(words, "practice-course", student = code);
    let (count, day) = (drills.len(), short_day(words, now));
    let (lag, passed) = (w(id!("page-curve-lag")), w(id!("page-curve-passed")));
    let inside = html! {
        h1 { (title) }
        p { (say!(words, "page-course-what", count = count, day = day)) }
        h2 { (w(id!("page-next-and-why"))) }
        @for said in state.said(words) { p { (said) } }
        h2 { (w(id!("page-due"))) }
        (due(words, &state))
        h2 { (w(id!("page-progress"))) }
        (curve(words, lag, &lags(&drills), &[0.0, 250.0, 500.0]))
        (curve(words, passed, &shares(&drills), &[0.0, 50.0, 75.0, 100.0]))
        p { (w(id!("page-curve-notes"))) }
    };
    page(words, &title, inside)
}

/// The day of a moment by UTC, in figures.
pub fn short_day(words: Words, at: Timestamp) -> String {
    words.short_day(jiff::tz::Offset::UTC.to_datetime(at).date())
}

fn due(words: Words, state: &CourseState) -> Markup {
    let columns = [
        (id!("page-kind"), false),
        (id!("page-due-column"), false),
        (id!("page-right-of"), true),
        (id!("page-interval"), true),
    ];
    let day = |at: Option<Timestamp>| match at {
        Some(at) => short_day(words, at),
        None => words.plain(id!("practice-not-begun")).to_owned(),
    };
    let of = |share: Share| say!(words, "page-of", right = share.right, count = share.of);
    let range = |share: Share| {
        let [low, high] = [share.low, share.high].map(|end| words.decimal(100.0 * end, 0));
        say!(words, "page-range", low = low, high = high)
    };
    html! {
        table {
            (heads(words, &columns))
            @for due in &state.due {
                tr {
                    td { (due.kind.said(words)) }
                    td { (day(due.at)) }
                    td.n { (due.share.map_or(String::new(), of)) }
                    td.n { (due.share.map_or(String::new(), range)) }
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

/// A curve over these lines, which it reaches from the first to the last at least.
fn curve(words: Words, name: &str, stretches: &[Stretch], lines: &[f64]) -> Markup {
    if stretches.len() < 2 {
        return html! { p { (say!(words, "page-curve-none", name = name)) } };
    }
    let least = lines.first().copied().unwrap_or(0.0);
    let most = lines.last().copied().unwrap_or(1.0);
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
        let text = String::from_utf8(student_page(Words::english(), &class, "<S-7>", now)).unwrap();
        for said in ["The course of &lt;S-7&gt;", "30 drills", "Next: ", "not begun", "16 of 20"] {
            assert!(text.contains(said), "{said}");
        }
        assert_eq!(text.matches("<circle").count(), 6, "three stretches, two curves");
        assert!(!text.contains("S-8"), "nobody else stands on it");
    }
}
