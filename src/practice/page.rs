//! One page of HTML: what an examination came to, or what a class file says. For the teacher.

use maud::{DOCTYPE, Markup, html};

use super::cases::CaseKind;
use super::class::Class;
use super::confusion::Confusion;
use super::overview::ClassOverview;
use super::session::{Done, Session, Summary, summary};

const STYLE: &str = "body{font:16px/1.4 B612,sans-serif;margin:2em auto;max-width:60em;color:#15202b;background:#fff}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.25em .6em;border-bottom:1px solid #66707b}\
td.n,th.n{text-align:right}h1{font-size:1.6em}h2{font-size:1.2em}@page{size:A4;margin:15mm}@media print{body{margin:0;font-size:12px}}";

/// A whole page of this room.
pub(super) fn page(title: &str, inside: Markup) -> Vec<u8> {
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; title { (title) } style { (STYLE) } }
            body { (inside) }
        }
    };
    whole.into_string().into_bytes()
}

fn number(value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| "not known".into(), |v| format!("{v:.places$}"))
}

fn percent(value: Option<f64>) -> String {
    value.map_or_else(|| "not known".into(), |v| format!("{:.0} %", 100.0 * v))
}

/// The page of one session.
pub fn session_page(session: &Session) -> Vec<u8> {
    let sum = summary(&session.drills);
    let title = if session.examination { "Examination" } else { "Practice" };
    let inside = html! {
        h1 { (title) ": " (session.lesson) }
        p { "Student " b { (session.student) } ", begun " (session.begun) ". " (patients(&session.drills)) }
        (sums(&sum))
        @if let Some(threshold) = session.threshold {
            p { "In noise the return was found in 70.7 % of trials at a ratio of signal to noise of "
                (format!("{:.1}", threshold.snr_db)) " dB (spread of the reversals "
                (format!("{:.1}", threshold.spread_db)) " dB, " (threshold.trials)
                " trials; two down, one up: Levitt 1971)." }
        }
        table {
            tr { th { "Case" } th { "Asked" } th.n { "Tap, ms" } th.n { "Beats" } th.n { "Read" } th.n { "True" }
                 th.n { "Fall, mmHg/s" } th { "Came to" } }
            @for done in &session.drills { (row(done)) }
        }
        p { "Tap: milliseconds after the first of two pulses in rhythm that an ideal observer hears; late is positive. "
            "Beats: further pulses before the tap. True: the cuff's pressure at that first pulse. "
            "Of a recording the truth is what stands beside its name, and beats are those that the listener found. "
            "This page does not certify anyone." }
    };
    page(title, inside)
}

fn patients(drills: &[Done]) -> &'static str {
    match drills.iter().any(|done| done.confirmed.is_some()) {
        true => "Recordings among them; no clinical record.",
        false => "Simulated patients; no clinical record.",
    }
}

fn sums(sum: &Summary) -> Markup {
    html! {
        table {
            tr { th { "Drills" } td.n { (sum.drills) } th { "First pulse tapped, or word right" } td.n { (sum.passed) } }
            tr { th { "Mean lag of the tap, ms" } td.n { (number(sum.bias_ms, 0)) } th { "Spread, ms" } td.n { (number(sum.sd_ms, 0)) } }
            @if let Some(read) = &sum.readings {
                tr { th { "Readings less truth, mmHg" } td.n { (format!("{:+.1}", read.bias)) }
                     th { "Limits (bias and " (read.times) " SD; Bland & Altman 1986)" }
                     td.n { (format!("{:+.1} to {:+.1}", read.lower, read.upper)) } }
            }
            tr { th { "Readings that end in 0" } td.n { (percent(sum.end_zero)) }
                 th { "Readings that would have led to other advice" } td.n { (sum.other_advice) } }
        }
    }
}

fn row(done: &Done) -> Markup {
    let score = done.score.as_ref();
    html! {
        tr {
            td {
                (done.case)
                @if let Some(by) = done.confirmed { " (recording; truth: " (by.words()) ")" }
            }
            td { (done.kind.words()) }
            td.n { (score.map_or(String::new(), |s| format!("{:+.0}", s.error_ms))) }
            td.n { (score.map_or(String::new(), |s| format!("{:+}", s.beats_late))) }
            td.n { (score.and_then(|s| s.read_mmhg).map_or(String::new(), |r| format!("{r:.0}"))) }
            td.n { (score.and_then(|s| s.truth_mmhg).map_or(String::new(), |t| format!("{t:.0}"))) }
            td.n { (score.and_then(|s| s.fall_mmhg_s).map_or(String::new(), |f| format!("{f:.1}"))) }
            td { (came_to(done)) }
        }
    }
}

fn came_to(done: &Done) -> String {
    if let Some(why) = &done.no_score {
        return why.clone();
    }
    if let (Some(answer), Some(right)) = (&done.answer, &done.right) {
        return match answer == right {
            true => format!("{answer}: right"),
            false => format!("{answer}; it was {right}"),
        };
    }
    match &done.effect {
        Some(effect) => format!(
            "index {} for {}{}",
            effect.read,
            effect.truth,
            if effect.changes { ": other advice" } else { "" }
        ),
        None if done.passed() => "first pulse".into(),
        None => "not the first pulse".into(),
    }
}

/// The page of a class.
pub fn class_page(class: &Class) -> Vec<u8> {
    let seen = ClassOverview::of(class);
    let inside = html! {
        h1 { "Class" }
        p { (class.sessions().count()) " sessions. Students by code. Simulated patients and recordings; no clinical record." }
        h2 { "Students" }
        table {
            tr { th { "Code" } th.n { "Drills" } th.n { "Passed" } th.n { "Lag, ms" } th.n { "Spread, ms" }
                 th.n { "Reading less truth, mmHg" } th.n { "End in 0" } th.n { "Other advice" } }
            @for (code, sum) in class.students() {
                tr { td { (code) } td.n { (sum.drills) } td.n { (sum.passed) } td.n { (number(sum.bias_ms, 0)) }
                     td.n { (number(sum.sd_ms, 0)) } td.n { (number(sum.readings.as_ref().map(|r| r.bias), 1)) }
                     td.n { (percent(sum.end_zero)) } td.n { (sum.other_advice) } }
            }
        }
        h2 { "Where each stands" }
        p { "What each would be told to practise next when the newest session was begun; in the order of the codes." }
        table {
            tr { th { "Code" } th { "Last session" } th { "Next" } th.n { "Lag, ms" } th.n { "Threshold in noise, dB" }
                 th.n { "Examinations" } }
            @for at in &seen.students {
                tr {
                    td { (at.code) }
                    td { (at.last) }
                    td { (at.next) }
                    td.n { (number(at.lag.map(|lag| lag.mean_ms), 0)) }
                    td.n { (number(at.threshold_db.map(|db| db.0), 1)) }
                    td.n {
                        (at.examined.map_or(String::new(), |(passed, of)| format!("{passed} of {of} passed")))
                        @if at.sealed > 0 { " " (at.sealed) " sealed" }
                    }
                }
            }
        }
        h2 { "Sounds missed by many" }
        p { "Of each student the last ten answers to a sound count; fewer than three say nothing." }
        ul { @for sound in &seen.sounds { li { (sound.name()) ": " (sound.sentence()) } } }
        h2 { "Sounds taken for others, all students together" }
        ul {
            @for kind in CaseKind::ALL {
                @for said in Confusion::of(kind, class.sessions().flat_map(|s| &s.drills)).sentences() {
                    li { (kind.words()) ": " (said) }
                }
            }
        }
        h2 { "Cases, the hardest first" }
        table {
            tr { th { "Case" } th.n { "Done" } th.n { "Passed" } th.n { "Mean size of the error, ms" } }
            @for case in class.cases() {
                tr { td { (case.case) } td.n { (case.done) } td.n { (case.passed) } td.n { (number(case.size_ms, 0)) } }
            }
        }
    };
    page("Class", inside)
}

#[cfg(test)]
mod tests {
    use super::super::session::tests::{done, session};
    use super::*;

    #[test]
    fn an_examination_is_one_page_with_every_drill_and_escaped_names() {
        let drills = vec![done("easy", 180.0, 120.0), done("faint", 2300.0, 112.0)];
        let held = session("a", "S-07", drills);
        let session = Session { lesson: "<Monday>".into(), examination: true, ..held };
        let page = String::from_utf8(session_page(&session)).unwrap();
        for said in
            ["Examination", "S-07", "&lt;Monday&gt;", "easy", "+2300", "+2", "not the first pulse"]
        {
            assert!(page.contains(said), "{said}");
        }
        let mut class = Class::default();
        class.add(session);
        let page = String::from_utf8(class_page(&class)).unwrap();
        assert!(page.find("faint").unwrap() < page.find("easy").unwrap());
    }
}
