//! The trail of a report: every attempt, the sounds, the sources in full. It stands behind what matters first.

use std::fmt::Write;

use crate::clinical::event::Phase;
use crate::clinical::result::{AttemptResult, SiteResult};
use crate::clinical::site::Side;

use super::blocks::{Block, Row, Section, SoundShown, Table};
use super::source::{ReportSource, Trail};
use super::wording::{place, sentence};

/// All attempts in the order they were made.
fn every<'a>(source: &ReportSource<'a>) -> Vec<(&'a SiteResult, &'a AttemptResult)> {
    let sites = source.result.sites.iter();
    let mut all: Vec<_> =
        sites.flat_map(|site| site.attempts.iter().map(move |attempt| (site, attempt))).collect();
    all.sort_by_key(|(_, attempt)| attempt.number);
    all
}

/// "Right arm", "Right arm, 2 of 2", "Left dorsalis pedis after exercise".
fn attempt_name(site: &SiteResult, attempt: &AttemptResult) -> String {
    let which = site.attempts.iter().position(|a| a.number == attempt.number).unwrap_or(0) + 1;
    let mut name = sentence(&place(site.site));
    if site.phase == Phase::AfterExercise {
        name += " after exercise";
    }
    if site.attempts.len() > 1 {
        let _ = write!(name, ", {which}\u{a0}of\u{a0}{}", site.attempts.len());
    }
    name
}

/// Every attempt, where it is wanted or where one of them does not count.
pub fn attempts(source: &ReportSource<'_>) -> Section {
    let all = every(source);
    let needed = all.iter().any(|(_, a)| a.left_out.is_some()) || !source.visit.amended.is_empty();
    let mut blocks = Vec::new();
    if !all.is_empty() && (needed || source.trail == Trail::Full) {
        blocks.push(Block::Table(Table {
            caption: "All attempts in the order they were made. Rows in bold with a bar are part of an index.".into(),
            columns: vec!["Site", "Outcome", "Tap and listener", "Deflation", "What it counts for"],
            rows: all.into_iter().map(|(s, a)| row(source, s, a)).collect(),
        }));
    }
    Section { id: "attempts", title: "Every attempt".into(), blocks, trail: true }
}

fn row(source: &ReportSource<'_>, site: &SiteResult, attempt: &AttemptResult) -> Row {
    let part_of = part_of(source, site);
    let marked = attempt.counts && !part_of.is_empty();
    let together = site.attempts.iter().filter(|a| a.counts).count();
    let mean = match together {
        0 | 1 => String::new(),
        _ => format!(", with the others of this site as a mean of {}", site.outcome),
    };
    let counts = match (&attempt.left_out, attempt.counts) {
        (Some(why), _) => format!("Does not count: {why}."),
        (None, true) if marked => format!("Counts as {}{mean}.", part_of.join(" and ")),
        (None, true) => format!("Counts for its site{mean}; not part of an index."),
        (None, false) => "No pressure.".into(),
    };
    let deflation = attempt.deflation_mmhg_per_s.map(|rate| format!("{rate:.1} mmHg/s"));
    let from = match (attempt.entered, attempt.from_paper) {
        (true, _) => " (entered from another instrument)",
        (false, true) => " (taken over from paper)",
        (false, false) => "",
    };
    let cells = vec![
        attempt_name(site, attempt),
        format!("{}{from}", sentence(&attempt.outcome)),
        tap(attempt),
        deflation.unwrap_or_else(|| "not recorded".into()),
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
    let arms: Vec<&str> = Side::BOTH
        .into_iter()
        .filter(|side| has(&source.result.leg(*side).arm_site))
        .map(Side::code)
        .collect();
    let ankle = Side::BOTH.into_iter().filter(|side| has(&source.result.leg(*side).ankle_site));
    let mut parts: Vec<String> =
        ankle.map(|side| format!("ankle pressure of the {} leg", side.code())).collect();
    match arms[..] {
        [] => {}
        [side] => parts.push(format!("arm pressure of the {side} leg")),
        _ => parts.push("arm pressure of both legs".into()),
    }
    parts
}

/// The tap, and how it stands to what the listener heard.
fn tap(attempt: &AttemptResult) -> String {
    let back = attempt.heard.as_ref().and_then(|h| h.return_s);
    let moved = attempt.moved_to_s.map(|s| format!("; mark moved afterwards to {s:.1} s"));
    let tapped = match (attempt.mark_s, back) {
        (Some(mark), Some(_)) => format!("Tap at {mark:.1} s, {}", lateness(attempt)),
        (Some(mark), None) => format!("Tap at {mark:.1} s; {}", lateness(attempt)),
        (None, Some(back)) => format!("No tap; first pulse heard at {back:.1} s"),
        (None, None) => format!("No tap, {}", lateness(attempt)),
    };
    tapped + &moved.unwrap_or_default()
}

/// How the tap stands to the first pulse heard, or why it cannot be said.
fn lateness(attempt: &AttemptResult) -> String {
    let Some(heard) = &attempt.heard else { return "no listener".into() };
    match (attempt.mark_s, heard.return_s) {
        (Some(mark), Some(back)) => {
            let side = if mark < back { "before" } else { "after" };
            format!("{:.1} s {side} the first pulse heard", (mark - back).abs())
        }
        (None, Some(_)) => "no tap".into(),
        (_, None) => "the listener heard no return".into(),
    }
}

/// The sounds, each with what was heard and what was done.
pub fn sounds(source: &ReportSource<'_>) -> Section {
    let mut blocks = Vec::new();
    for (site, attempt) in every(source) {
        let Some(sound) = source.sounds.iter().find(|s| s.attempt == attempt.number) else {
            continue;
        };
        let heard = attempt.heard.as_ref();
        blocks.push(Block::Sound(SoundShown {
            name: attempt_name(site, attempt),
            caption: caption(attempt),
            sonogram: sound.sonogram.clone(),
            lost_s: heard.and_then(|h| h.lost_s),
            return_s: heard.and_then(|h| h.return_s),
            tap_s: attempt.mark_s,
        }));
    }
    if !blocks.is_empty() {
        let key = "Time runs to the right, pitch upwards; the darker, the louder above the background. Dotted lines are what the listener heard. The solid line is the clinician's tap. The ear and the gauge are the record; the listener only assists.";
        blocks.insert(0, Block::Words(key.into()));
    }
    Section { id: "sounds", title: "The sound at each site".into(), blocks, trail: true }
}

fn caption(attempt: &AttemptResult) -> String {
    let tapped = if attempt.mark_s.is_some() { "Tap: " } else { "" };
    let late = sentence(&format!("{tapped}{}", lateness(attempt)));
    let mut words = format!("{}. {late}.", sentence(&attempt.outcome));
    let Some(heard) = &attempt.heard else { return words };
    if let Some(confidence) = heard.confidence {
        let _ = write!(words, " Confidence {}.", per_cent(confidence));
    }
    if let Some(rate) = heard.heart_rate_bpm {
        let rhythm = if heard.rhythm.is_empty() { "" } else { ", " };
        let _ = write!(words, " Pulse {rate:.0}/min{rhythm}{}.", heard.rhythm);
    }
    if !heard.quality.is_empty() {
        let _ = write!(words, " Hard to hear: {}.", heard.quality.join(", "));
    }
    words
}

/// A confidence in words; never a whole 100 %.
fn per_cent(part: f64) -> String {
    match (part * 100.0).round() {
        100.0 => "over 99\u{a0}%".into(),
        whole => format!("{whole:.0}\u{a0}%"),
    }
}
