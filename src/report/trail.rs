//! The trail of a report: every attempt, the sounds, the sources in full. It stands behind what matters first.

use crate::clinical::event::Phase;
use crate::clinical::result::{AttemptResult, SiteResult};
use crate::clinical::site::Side;

use super::blocks::{Block, Row, Section, SoundShown, Table};
use super::source::{ReportSource, Trail};
use super::wording::{place, sentence};
use crate::words::{Words, id, say};

/// All attempts in the order they were made.
fn every<'a>(source: &ReportSource<'a>) -> Vec<(&'a SiteResult, &'a AttemptResult)> {
    let sites = source.result.sites.iter();
    let mut all: Vec<_> =
        sites.flat_map(|site| site.attempts.iter().map(move |attempt| (site, attempt))).collect();
    all.sort_by_key(|(_, attempt)| attempt.number);
    all
}

/// "Right arm", "Right arm, 2 of 2", "Left dorsalis pedis after exercise".
fn attempt_name(words: Words, site: &SiteResult, attempt: &AttemptResult) -> String {
    let which = site.attempts.iter().position(|a| a.number == attempt.number).unwrap_or(0) + 1;
    let mut name = sentence(&place(words, site.site));
    if site.phase == Phase::AfterExercise {
        name = say!(words, "report-attempt-after", site = name);
    }
    if site.attempts.len() > 1 {
        name += &say!(words, "report-attempt-which", n = which, all = site.attempts.len());
    }
    name
}

/// Every attempt, where it is wanted or where one of them does not count.
pub fn attempts(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let all = every(source);
    let needed = all.iter().any(|(_, a)| a.left_out.is_some()) || !source.visit.amended.is_empty();
    let mut blocks = Vec::new();
    if !all.is_empty() && (needed || source.trail == Trail::Full) {
        blocks.push(Block::Table(Table {
            caption: words.plain(id!("report-attempts-caption")).into(),
            columns: [
                id!("report-column-site"),
                id!("report-column-outcome"),
                id!("report-column-tap"),
                id!("report-column-deflation"),
                id!("report-column-counts"),
            ]
            .map(|id| words.plain(id).to_owned())
            .to_vec(),
            rows: all.into_iter().map(|(s, a)| row(source, s, a)).collect(),
        }));
    }
    Section {
        id: "attempts",
        title: words.plain(id!("report-attempts")).into(),
        blocks,
        trail: true,
    }
}

fn row(source: &ReportSource<'_>, site: &SiteResult, attempt: &AttemptResult) -> Row {
    let words = source.result.language;
    let part_of = part_of(source, site);
    let marked = attempt.counts && !part_of.is_empty();
    let together = site.attempts.iter().filter(|a| a.counts).count();
    let (parts, mean) = (words.and(part_of), &site.outcome);
    let counts = match (&attempt.left_out, attempt.counts, marked, together > 1) {
        (Some(why), ..) => say!(words, "report-counts-not", why = why),
        (None, true, true, false) => say!(words, "report-counts-as", parts = parts),
        (None, true, true, true) => {
            say!(words, "report-counts-as-mean", parts = parts, mean = mean)
        }
        (None, true, false, false) => words.plain(id!("report-counts-site")).into(),
        (None, true, false, true) => say!(words, "report-counts-site-mean", mean = mean),
        (None, false, ..) => words.plain(id!("report-counts-no-pressure")).into(),
    };
    let deflation = match attempt.deflation_mmhg_per_s {
        Some(rate) => say!(words, "report-rate", rate = words.decimal(rate, 1)),
        None => words.plain(id!("report-rate-unknown")).into(),
    };
    let from = match (attempt.entered, attempt.from_paper) {
        (true, _) => words.plain(id!("report-attempt-entered")),
        (false, true) => words.plain(id!("report-attempt-paper")),
        (false, false) => "",
    };
    let cells = vec![
        attempt_name(words, site, attempt),
        format!("{}{from}", sentence(&attempt.outcome)),
        tap(words, attempt),
        deflation,
        counts,
    ];
    Row { cells, marked }
}

/// Which indexes a site is part of.
pub fn part_of(source: &ReportSource<'_>, site: &SiteResult) -> Vec<String> {
    if site.phase != Phase::Rest {
        return Vec::new();
    }
    let code = site.site.code();
    let has = |codes: &Option<String>| {
        codes.as_ref().is_some_and(|codes| codes.split('+').any(|c| c == code))
    };
    let words = source.result.language;
    let arms: Vec<&str> = Side::BOTH
        .into_iter()
        .filter(|side| has(&source.result.leg(*side).arm_site))
        .map(Side::code)
        .collect();
    let ankle = Side::BOTH.into_iter().filter(|side| has(&source.result.leg(*side).ankle_site));
    let mut parts: Vec<String> =
        ankle.map(|side| say!(words, "report-part-ankle", side = side.code())).collect();
    match arms[..] {
        [] => {}
        [side] => parts.push(say!(words, "report-part-arm", side = side)),
        _ => parts.push(words.plain(id!("report-part-arm-both")).into()),
    }
    parts
}

/// The tap, and how it stands to what the listener heard.
fn tap(words: Words, attempt: &AttemptResult) -> String {
    let back = attempt.heard.as_ref().and_then(|h| h.return_s);
    let s = |s: f64| words.decimal(s, 1);
    let moved = attempt.moved_to_s.map(|to| say!(words, "report-tap-moved", to = s(to)));
    let lateness = lateness(words, attempt);
    let tapped = match (attempt.mark_s, back) {
        (Some(mark), Some(_)) => {
            say!(words, "report-tap-heard", mark = s(mark), lateness = lateness)
        }
        (Some(mark), None) => {
            say!(words, "report-tap-unheard", mark = s(mark), lateness = lateness)
        }
        (None, Some(back)) => say!(words, "report-no-tap-heard", back = s(back)),
        (None, None) => say!(words, "report-no-tap", lateness = lateness),
    };
    tapped + &moved.unwrap_or_default()
}

/// How the tap stands to the first pulse heard, or why it cannot be said.
fn lateness(words: Words, attempt: &AttemptResult) -> String {
    let Some(heard) = &attempt.heard else {
        return words.plain(id!("report-late-no-listener")).into();
    };
    match (attempt.mark_s, heard.return_s) {
        (Some(mark), Some(back)) => {
            let by = words.decimal((mark - back).abs(), 1);
            match mark < back {
                true => say!(words, "report-late-before", by = by),
                false => say!(words, "report-late-after", by = by),
            }
        }
        (None, Some(_)) => words.plain(id!("report-late-no-tap")).into(),
        (_, None) => words.plain(id!("report-late-no-return")).into(),
    }
}

/// The sounds, each with what was heard and what was done.
pub fn sounds(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let mut blocks = Vec::new();
    for (site, attempt) in every(source) {
        let Some(sound) = source.sounds.iter().find(|s| s.attempt == attempt.number) else {
            continue;
        };
        let heard = attempt.heard.as_ref();
        blocks.push(Block::Sound(SoundShown {
            language: words,
            name: attempt_name(words, site, attempt),
            caption: caption(words, attempt),
            sonogram: sound.sonogram.clone(),
            lost_s: heard.and_then(|h| h.lost_s),
            return_s: heard.and_then(|h| h.return_s),
            tap_s: attempt.mark_s,
        }));
    }
    if !blocks.is_empty() {
        blocks.insert(0, Block::Words(words.plain(id!("report-sounds-key")).into()));
    }
    let title = words.plain(id!("report-sounds")).into();
    Section { id: "sounds", title, blocks, trail: true }
}

fn caption(words: Words, attempt: &AttemptResult) -> String {
    let lateness = lateness(words, attempt);
    let late = match attempt.mark_s {
        Some(_) => say!(words, "report-caption-tap", late = lateness),
        None => sentence(&lateness),
    };
    let mut said = format!("{}. {late}.", sentence(&attempt.outcome));
    let Some(heard) = &attempt.heard else { return said };
    if let Some(confidence) = heard.confidence {
        said += &sureness(words, confidence);
    }
    if let Some(rate) = heard.heart_rate_bpm {
        let rate = words.decimal(rate, 0);
        said += &match heard.rhythm.as_str() {
            "" => say!(words, "report-caption-pulse", rate = rate),
            rhythm => {
                let rhythm = super::wording::heard(words, rhythm);
                say!(words, "report-caption-rhythm", rate = rate, rhythm = rhythm)
            }
        };
    }
    if !heard.quality.is_empty() {
        let why: Vec<&str> =
            heard.quality.iter().map(|why| super::wording::heard(words, why)).collect();
        said += &say!(words, "report-caption-hard", why = why.join(", "));
    }
    said
}

/// A confidence in words; never a whole 100 %.
fn sureness(words: Words, part: f64) -> String {
    match (part * 100.0).round() {
        100.0 => words.plain(id!("report-caption-confident")).into(),
        whole => say!(words, "report-caption-confidence", percent = words.decimal(whole, 0)),
    }
}
