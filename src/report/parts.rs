//! The other parts of a report: head, warnings, readings, sounds, notes, versions, what cannot be told.

use std::fmt::Write;

use crate::clinical::cautions::{self, Weight};
use crate::clinical::event::{Answer, Phase};
use crate::clinical::moment::Moment;
use crate::clinical::result::{AttemptResult, SiteResult};
use crate::clinical::site::Side;

use super::content::{Block, Row, Section, SoundShown, Source, Table, Warning};
use super::legs::{name, place};

/// What is said of an amendment that was made without knowledge of another.
const AMENDED_APART: &str = " It was made on another computer without knowledge of the amendment before it: both are kept, this one counts, and someone has to settle it.";

/// The facts in the head, those that are known.
pub fn head(source: &Source<'_>) -> Vec<(String, String)> {
    let (visit, result) = (source.visit, source.result);
    let facts = [
        ("Service", source.service.to_owned()),
        ("Record", result.record.clone()),
        ("Measured", day(visit.opened_at)),
        ("Operator", result.operator.clone()),
        ("Reason", result.reason.clone()),
    ];
    let known = facts.into_iter().filter(|(_, value)| !value.trim().is_empty());
    known.map(|(name, value)| (name.to_owned(), value)).collect()
}

/// "25 November 2026, 14:22 (UTC +01:00)".
fn day(at: Moment) -> String {
    let text = at.to_string();
    let parts = || {
        let (date, rest) = text.split_once('T')?;
        let date: jiff::civil::Date = date.parse().ok()?;
        let time = rest.get(..5)?;
        let offset = rest.find(['+', '-', 'Z']).and_then(|at| rest.get(at..))?;
        let offset = if offset == "Z" { "+00:00" } else { offset };
        Some(format!("{}, {time} (UTC {offset})", date.strftime("%-d %B %Y")))
    };
    parts().unwrap_or_else(|| text.clone())
}

/// Red flags and cautions, above every number; then what was asked.
pub fn warnings(source: &Source<'_>) -> Section {
    let warning = |flag: &cautions::Flag| {
        let label = match flag.weight {
            Weight::RedFlag => "Red flag, above every number",
            Weight::Caution => "Caution",
        };
        Block::Warning(Warning { label, words: format!("{}.", sentence(&flag.words)) })
    };
    let mut blocks: Vec<Block> = source.result.flags.iter().map(warning).collect();
    if !source.result.closed {
        let words = "This visit is not closed. What is missing may still change the numbers.";
        blocks.push(Block::Warning(Warning { label: "Not finished", words: words.into() }));
    }
    blocks.push(Block::Words(asked(source)));
    Section { id: "first", title: "Red flags and cautions".into(), blocks }
}

/// What was asked and answered with no; silence is not a no.
fn asked(source: &Source<'_>) -> String {
    let items = cautions::list();
    let answers = &source.visit.answers;
    let of = |id: &str, answer| answers.iter().any(|a| a.id == id && a.answer == answer);
    let question = |item: &cautions::Item| item.question.trim_end_matches('?').to_lowercase();
    let asked: Vec<&cautions::Item> = items.iter().filter(|item| item.ask).collect();
    let list = |of: &dyn Fn(&cautions::Item) -> bool| {
        let found = asked.iter().filter(|item| of(item)).map(|item| question(item));
        found.collect::<Vec<_>>().join("; ")
    };
    let no = list(&|item| of(&item.id, Answer::No) && !of(&item.id, Answer::Yes));
    let open = list(&|item| !of(&item.id, Answer::No) && !of(&item.id, Answer::Yes));
    let mut words = String::new();
    if !no.is_empty() {
        let _ = write!(words, "Asked and answered with no: {no}. ");
    }
    if !open.is_empty() {
        let _ = write!(words, "Not asked or not known: {open}. ");
    }
    words + "Such a sign outweighs any number, also when it appears later."
}

/// First letter large, for words that stand alone.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// All attempts in the order they were made.
fn attempts<'a>(source: &Source<'a>) -> Vec<(&'a SiteResult, &'a AttemptResult)> {
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

/// Every attempt, those that do not count included.
pub fn readings(source: &Source<'_>) -> Section {
    let rows: Vec<Row> = attempts(source).into_iter().map(|(s, a)| row(source, s, a)).collect();
    let mut blocks = vec![Block::Words(conditions(source))];
    if !rows.is_empty() {
        blocks.push(Block::Table(Table {
            caption: "All attempts in the order they were made. Rows in bold with a bar are part of an index.".into(),
            columns: vec!["Site", "Outcome", "Tap and listener", "Deflation", "What it counts for"],
            rows,
        }));
    }
    if !source.result.wanted.is_empty() {
        let wanted = source.result.wanted.iter();
        let each = wanted.map(|w| format!("Asked for by a rule: {}, {}.", place(w.site), w.why));
        blocks.push(Block::List(each.collect()));
    }
    Section { id: "readings", title: "What went into the indexes".into(), blocks }
}

/// How the patient lay and what was used.
fn conditions(source: &Source<'_>) -> String {
    let opened = &source.visit.opened;
    let rest = match opened.rested_min {
        Some(minutes) => format!("Rest before: {minutes} minutes."),
        None => "How long the patient rested before is not recorded.".into(),
    };
    format!(
        "The patient was {}. {rest} Gauge {}, its lines {} mmHg apart. Method: {}.",
        source.result.posture,
        opened.gauge.code,
        opened.gauge.graduation_mmhg,
        source.result.method.words
    )
}

fn row(source: &Source<'_>, site: &SiteResult, attempt: &AttemptResult) -> Row {
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
    let from = if attempt.entered { " (entered from another instrument)" } else { "" };
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
fn part_of(source: &Source<'_>, site: &SiteResult) -> Vec<String> {
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
    match (attempt.mark_s, back) {
        (Some(mark), Some(_)) => format!("Tap at {mark:.1} s, {}", lateness(attempt)),
        (Some(mark), None) => format!("Tap at {mark:.1} s; {}", lateness(attempt)),
        (None, Some(back)) => format!("No tap; first pulse heard at {back:.1} s"),
        (None, None) => format!("No tap, {}", lateness(attempt)),
    }
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
pub fn sounds(source: &Source<'_>) -> Section {
    let mut blocks = Vec::new();
    for (site, attempt) in attempts(source) {
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
    Section { id: "sounds", title: "The sound at each site".into(), blocks }
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

/// Notes, assumptions, free words, amendments.
pub fn notes(source: &Source<'_>) -> Section {
    let mut notes = source.result.notes.clone();
    let typed = source.visit.notes.iter();
    notes.extend(typed.map(|(who, words)| format!("Note by {who}: {words}")));
    let amended = source.visit.amended.iter();
    notes.extend(amended.map(|a| {
        let apart = if a.apart { AMENDED_APART } else { "" };
        format!("Event {} was amended by {} on {}: {}.{apart}", a.of, a.who, day(a.at), a.why)
    }));
    let blocks = if notes.is_empty() { Vec::new() } else { vec![Block::List(notes)] };
    Section { id: "notes", title: "Notes and assumptions".into(), blocks }
}

/// What no index can say, each with its source.
pub fn cannot_tell(source: &Source<'_>) -> Section {
    let mut list: Vec<String> = [
        "A number does not rule out arterial disease, least of all with diabetes or kidney disease (NICE CKS, by way of a secondary page).",
        "Stiff arteries resist the cuff. The index is then higher than the blood flow deserves (2016 and 2024 ACC/AHA call an index above 1.40 non-compressible).",
        "The number does not say where an artery is narrowed, nor how well a wound will heal (common practice).",
        "The interval holds the gauge, the beat, and the reaction. It does not hold a wrong cuff size, a restless patient, or too short a rest.",
        "Pain at rest, tissue loss, spreading infection, or a cold, pale or numb foot is urgent whatever the number (common practice).",
    ]
    .map(str::to_owned)
    .to_vec();
    for side in Side::BOTH {
        if source.result.leg(side).index.is_none() {
            list.push(format!("{}: no index is not an index of zero.", name(side)));
        }
    }
    Section {
        id: "cannot-tell",
        title: "What the number cannot tell".into(),
        blocks: vec![Block::List(list)],
    }
}

/// Program, listener, sets of guidance.
pub fn versions(source: &Source<'_>) -> Section {
    let versions = &source.result.versions;
    let listener = match versions.listener.as_deref() {
        Some(listener) => format!("Listener: version {listener}."),
        None => "Listener: none was running.".into(),
    };
    let mut list = vec![format!("Program: cuffnote {}.", versions.program), listener];
    for set in &source.result.guidance {
        let note = if set.note.is_empty() { String::new() } else { format!(" {}", set.note) };
        list.push(format!(
            "{}, copy {}: {} ({}). To be looked at again by {}.{note}",
            set.name,
            set.version,
            set.source,
            set.status.words(),
            set.look_again
        ));
    }
    Section {
        id: "versions",
        title: "Sources and versions".into(),
        blocks: vec![Block::List(list)],
    }
}

/// Room to sign.
pub fn signature() -> Section {
    let blanks = vec!["Measured by", "Signature", "Date", "Checked by"];
    Section { id: "signature", title: "Signature".into(), blocks: vec![Block::Blanks(blanks)] }
}

/// The cautions in the foot.
pub fn foot() -> Vec<String> {
    [
        "For training and for recording what a clinician measured. It does not diagnose, and it is not a cleared medical device.",
        "The clinician's ear and gauge are the record; the listener only assists. Check every value.",
        "Words of guidance are quoted or given in their sense with their source; none is this program's own advice. Local policy and licensed practice decide.",
    ]
    .map(str::to_owned)
    .to_vec()
}
