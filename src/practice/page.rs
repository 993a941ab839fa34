//! One page of HTML: what an examination came to, or what a class file says. For the teacher.

use maud::{DOCTYPE, Markup, html};

use super::cases::{CaseKind, answer_said};
use super::class::Class;
use super::confusion::Confusion;
use super::named;
use super::overview::{ClassOverview, Standing};
use super::session::{Done, Session, Summary, summary};
use crate::words::{Words, id, say};

const STYLE: &str = "body{font:16px/1.4 B612,sans-serif;margin:2em auto;max-width:60em;color:#15202b;background:#fff}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.25em .6em;border-bottom:1px solid #66707b}\
td.n,th.n{text-align:right}h1{font-size:1.6em}h2{font-size:1.2em}@page{size:A4;margin:15mm}@media print{body{margin:0;font-size:12px}}";

/// A whole page of this room.
pub(super) fn page(words: Words, title: &str, inside: Markup) -> Vec<u8> {
    let whole = html! {
        (DOCTYPE)
        html lang=(words.tag()) {
            head { meta charset="utf-8"; title { (title) } style { (STYLE) } }
            body { (inside) }
        }
    };
    whole.into_string().into_bytes()
}

fn unknown(words: Words) -> String {
    words.plain(id!("window-unknown")).to_owned()
}

fn number(words: Words, value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| unknown(words), |v| words.decimal(v, places))
}

fn signed(words: Words, value: f64, places: usize) -> String {
    words.number(format_args!("{value:+.places$}"))
}

fn percent(words: Words, value: Option<f64>) -> String {
    value.map_or_else(|| unknown(words), |v| format!("{} %", words.decimal(100.0 * v, 0)))
}

/// Heads of columns; those of numbers stand at the right.
pub(super) fn heads(words: Words, columns: &[(&'static str, bool)]) -> Markup {
    html! {
        tr {
            @for (name, number) in columns {
                @if *number { th.n { (words.plain(name)) } } @else { th { (words.plain(name)) } }
            }
        }
    }
}

/// The page of one session, in the words of a language.
pub fn session_page(words: Words, session: &Session) -> Vec<u8> {
    let sum = summary(&session.drills);
    let lesson = named::lesson(words, &session.lesson);
    let title = match session.examination {
        true => say!(words, "page-examination", lesson = lesson),
        false => say!(words, "page-practice", lesson = lesson),
    };
    let (code, begun) = (&session.student, &session.begun);
    let inside = html! {
        h1 { (title) }
        p { (say!(words, "page-student", code = code, begun = begun)) " " (patients(words, &session.drills)) }
        (sums(words, &sum))
        @if let Some(threshold) = session.threshold {
            p { (noise(words, threshold)) }
        }
        table {
            (heads(words, &[
                (id!("page-case"), false), (id!("page-asked"), false), (id!("page-tap"), true),
                (id!("page-beats"), true), (id!("page-read"), true), (id!("page-true"), true),
                (id!("page-fall"), true), (id!("page-came-to"), false),
            ]))
            @for done in &session.drills { (row(words, done)) }
        }
        p { (words.plain(id!("page-notes"))) }
    };
    page(words, &title, inside)
}

fn noise(words: Words, threshold: super::staircase::Threshold) -> String {
    let (db, spread) = (words.decimal(threshold.snr_db, 1), words.decimal(threshold.spread_db, 1));
    say!(words, "page-noise", db = db, spread = spread, trials = threshold.trials)
}

fn patients(words: Words, drills: &[Done]) -> &'static str {
    words.plain(match drills.iter().any(|done| done.confirmed.is_some()) {
        true => id!("page-recordings"),
        false => id!("page-simulated"),
    })
}

fn range(words: Words, low: String, high: String) -> String {
    say!(words, "page-range", low = low, high = high)
}

fn sums(words: Words, sum: &Summary) -> Markup {
    let w = |id: &'static str| words.plain(id);
    html! {
        table {
            tr { th { (w(id!("page-drills"))) } td.n { (sum.drills) }
                 th { (w(id!("page-passed-row"))) } td.n { (sum.passed) } }
            tr { th { (w(id!("page-lag-row"))) } td.n { (number(words, sum.bias_ms, 0)) }
                 th { (w(id!("page-spread"))) } td.n { (number(words, sum.sd_ms, 0)) } }
            @if let Some(read) = &sum.readings {
                tr { th { (w(id!("page-readings"))) } td.n { (signed(words, read.bias, 1)) }
                     th { (say!(words, "page-limits", times = words.number(read.times))) }
                     td.n { (range(words, signed(words, read.lower, 1), signed(words, read.upper, 1))) } }
            }
            tr { th { (w(id!("page-zero-row"))) } td.n { (percent(words, sum.end_zero)) }
                 th { (w(id!("page-advice-row"))) } td.n { (sum.other_advice) } }
        }
    }
}

fn row(words: Words, done: &Done) -> Markup {
    let score = done.score.as_ref();
    let shown = |value: Option<f64>, places: usize| {
        value.map_or(String::new(), |v| words.decimal(v, places))
    };
    html! {
        tr {
            td {
                (named::case(words, done))
                @if let Some(by) = done.confirmed { " " (say!(words, "page-truth", who = by.said(words))) }
            }
            td { (done.kind.said(words)) }
            td.n { (score.map_or(String::new(), |s| signed(words, s.error_ms, 0))) }
            td.n { (score.map_or(String::new(), |s| format!("{:+}", s.beats_late))) }
            td.n { (shown(score.and_then(|s| s.read_mmhg), 0)) }
            td.n { (shown(score.and_then(|s| s.truth_mmhg), 0)) }
            td.n { (shown(score.and_then(|s| s.fall_mmhg_s), 1)) }
            td { (came_to(words, done)) }
        }
    }
}

fn came_to(words: Words, done: &Done) -> String {
    if let Some(why) = &done.no_score {
        return named::no_score(words, why).to_owned();
    }
    if let (Some(answer), Some(right)) = (&done.answer, &done.right) {
        let said = answer_said(words, answer);
        return match answer == right {
            true => say!(words, "page-word-right", answer = said),
            false => {
                let right = answer_said(words, right);
                say!(words, "page-word-wrong", answer = said, right = right)
            }
        };
    }
    let Some(effect) = &done.effect else {
        let id = if done.passed() { id!("page-first") } else { id!("page-not-first") };
        return words.plain(id).to_owned();
    };
    let (read, truth) = (words.number(effect.read), words.number(effect.truth));
    let index = say!(words, "page-index", read = read, truth = truth);
    match effect.changes {
        true => say!(words, "page-index-other", index = index),
        false => index,
    }
}

/// The page of a class, in the words of a language.
pub fn class_page(words: Words, class: &Class) -> Vec<u8> {
    let seen = ClassOverview::of(class);
    let w = |id: &'static str| words.plain(id);
    let confused = CaseKind::ALL.into_iter().flat_map(|kind| {
        let drills = class.sessions().flat_map(|s| &s.drills);
        let sentences = Confusion::of(kind, drills).sentences(words).into_iter();
        sentences.map(move |said| say!(words, "class-sound", kind = kind.said(words), said = said))
    });
    let count = class.sessions().count();
    let inside = html! {
        h1 { (w(id!("page-class"))) }
        p { (say!(words, "page-class-what", count = count)) }
        h2 { (w(id!("page-students"))) }
        (students(words, class))
        h2 { (w(id!("page-standing"))) }
        p { (w(id!("page-standing-what"))) }
        (standings(words, &seen.students))
        h2 { (w(id!("class-missed"))) }
        p { (w(id!("class-missed-what"))) }
        ul { @for sound in &seen.sounds { li { (sound.said(words)) } } }
        h2 { (w(id!("page-confused"))) }
        ul { @for said in confused { li { (said) } } }
        h2 { (w(id!("page-cases"))) }
        (cases(words, class))
    };
    page(words, w(id!("page-class")), inside)
}

fn students(words: Words, class: &Class) -> Markup {
    let columns = [
        (id!("page-code"), false),
        (id!("page-drills"), true),
        (id!("page-passed"), true),
        (id!("page-lag"), true),
        (id!("page-spread"), true),
        (id!("page-readings"), true),
        (id!("page-zero"), true),
        (id!("page-advice"), true),
    ];
    html! {
        table {
            (heads(words, &columns))
            @for (code, sum) in class.students() {
                tr { td { (code) } td.n { (sum.drills) } td.n { (sum.passed) }
                     td.n { (number(words, sum.bias_ms, 0)) } td.n { (number(words, sum.sd_ms, 0)) }
                     td.n { (number(words, sum.readings.as_ref().map(|r| r.bias), 1)) }
                     td.n { (percent(words, sum.end_zero)) } td.n { (sum.other_advice) } }
            }
        }
    }
}

fn standings(words: Words, students: &[Standing]) -> Markup {
    let columns = [
        (id!("page-code"), false),
        (id!("page-last-session"), false),
        (id!("page-next"), false),
        (id!("page-lag"), true),
        (id!("page-threshold"), true),
        (id!("exam-title"), true),
    ];
    let examined = |at: &Standing| {
        let passed = |(passed, of)| say!(words, "page-examined", passed = passed, count = of);
        let sealed = (at.sealed > 0).then(|| say!(words, "page-sealed", count = at.sealed));
        let both: Vec<String> = at.examined.map(passed).into_iter().chain(sealed).collect();
        both.join(" ")
    };
    html! {
        table {
            (heads(words, &columns))
            @for at in students {
                tr { td { (at.code) } td { (words.day_of(&at.last)) } td { (at.next.said(words)) }
                     td.n { (number(words, at.lag.map(|lag| lag.mean_ms), 0)) }
                     td.n { (number(words, at.threshold_db.map(|db| db.0), 1)) }
                     td.n { (examined(at)) } }
            }
        }
    }
}

fn cases(words: Words, class: &Class) -> Markup {
    let columns = [
        (id!("page-case"), false),
        (id!("page-done"), true),
        (id!("page-passed"), true),
        (id!("page-size"), true),
    ];
    html! {
        table {
            (heads(words, &columns))
            @for case in class.cases() {
                tr { td { (named::case_alone(words, &case.case)) } td.n { (case.done) } td.n { (case.passed) }
                     td.n { (number(words, case.size_ms, 0)) } }
            }
        }
    }
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
        let page = String::from_utf8(session_page(Words::english(), &session)).unwrap();
        for said in
            ["Examination", "S-07", "&lt;Monday&gt;", "easy", "+2300", "+2", "not the first pulse"]
        {
            assert!(page.contains(said), "{said}");
        }
        let mut class = Class::default();
        class.add(session);
        let page = String::from_utf8(class_page(Words::english(), &class)).unwrap();
        assert!(page.find("faint").unwrap() < page.find("easy").unwrap());
    }
}
