//! The other parts of a report: head, warnings, readings, sounds, notes, versions, what cannot be told.

use std::fmt::Write;

use crate::clinical::cautions::{self, Weight};
use crate::clinical::event::{Answer, Phase, VisitKind};
use crate::clinical::site::{Artery, Side, Site};

use super::blocks::{Block, CautionBlock, Row, Section, Table};
use super::source::ReportSource;
use super::trail::part_of;
use super::wording::{day, name, place, sentence};

/// What is said of an amendment that was made without knowledge of another.
const AMENDED_APART: &str = " It was made on another computer without knowledge of the amendment before it: both are kept, this one counts, and someone has to settle it.";

/// The facts in the head, those that are known.
pub fn head(source: &ReportSource<'_>) -> Vec<(String, String)> {
    let (visit, result) = (source.visit, source.result);
    let facts = [
        ("Service", source.service.to_owned()),
        ("Record", result.record.clone()),
        ("Measured", measured(source)),
        ("Operator", result.operator.clone()),
        ("Reason", result.reason.clone()),
        ("Ulcer", result.ulcer.clone().unwrap_or_default()),
        (
            "Asked for",
            if visit.opened.scope.is_full() { String::new() } else { result.kind.clone() },
        ),
    ];
    let known = facts.into_iter().filter(|(_, value)| !value.trim().is_empty());
    known.map(|(name, value)| (name.to_owned(), value)).collect()
}

/// When it was measured; of a paper also when it was taken over.
fn measured(source: &ReportSource<'_>) -> String {
    let entered = day(source.visit.opened_at);
    match (source.visit.measured_on(), &source.visit.opened.scope) {
        (Some(on), VisitKind::OnPaper { by, .. }) => {
            let by = if by.is_empty() { String::new() } else { format!(" by {by}") };
            format!("on {}{by}; taken over from paper {entered}", on.0.strftime("%-d %B %Y"))
        }
        _ => entered,
    }
}

/// Each leg in one line, in the words of the set that the service put first.
pub fn summary(source: &ReportSource<'_>) -> Section {
    let lines = Side::BOTH.map(|side| source.result.in_short(side)).to_vec();
    let title = "In short".into();
    Section { id: "summary", title, blocks: vec![Block::List(lines)], trail: false }
}

/// What is to be done next, and when the next test is due; nothing where neither was said.
pub fn plan(source: &ReportSource<'_>) -> Section {
    let visit = source.visit;
    let plan = visit.plan.iter().map(|(words, who)| format!("{words} ({who})"));
    let next = visit.next_test.iter().map(|(on, who)| format!("Next test due {on} ({who})."));
    let lines: Vec<String> = plan.chain(next).collect();
    let blocks = if lines.is_empty() { Vec::new() } else { vec![Block::List(lines)] };
    Section { id: "plan", title: "Plan and next test".into(), blocks, trail: false }
}

/// Red flags and cautions, above every number; then what was asked.
pub fn warnings(source: &ReportSource<'_>) -> Section {
    let warning = |flag: &cautions::Flag| {
        let label = match flag.weight {
            Weight::RedFlag => "Red flag, above every number",
            Weight::Caution => "Caution",
        };
        Block::Warning(CautionBlock { label, words: format!("{}.", sentence(&flag.words)) })
    };
    let mut blocks: Vec<Block> = source.result.flags.iter().map(warning).collect();
    blocks.extend(super::findings::short_rest(source.visit));
    if !source.result.closed {
        let words = "This visit is not closed. What is missing may still change the numbers.";
        blocks.push(Block::Warning(CautionBlock { label: "Not finished", words: words.into() }));
    }
    blocks.push(Block::Words(asked(source)));
    Section { id: "first", title: "Red flags and cautions".into(), blocks, trail: false }
}

/// What was asked and answered with no; silence is not a no.
fn asked(source: &ReportSource<'_>) -> String {
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

/// What was found at each site, right beside left, and under which conditions.
pub fn readings(source: &ReportSource<'_>) -> Section {
    let mut blocks = vec![Block::Words(conditions(source))];
    let rows = found(source);
    if !rows.is_empty() {
        blocks.push(Block::Table(Table {
            caption: "Pressures, mmHg.".into(),
            columns: vec!["Site", "Patient's right", "Patient's left"],
            rows,
        }));
    }
    blocks.extend(asked_for(source).map(Block::Words));
    Section { id: "readings", title: "What went into the indexes".into(), blocks, trail: false }
}

/// A row for each artery that was turned to, at rest and after exercise.
fn found(source: &ReportSource<'_>) -> Vec<Row> {
    let mut rows = Vec::new();
    for phase in [Phase::Rest, Phase::AfterExercise] {
        for artery in Artery::ALL {
            let cells = Side::BOTH.map(|side| at_site(source, Site::new(side, artery), phase));
            if cells.iter().all(Option::is_none) {
                continue;
            }
            let after = if phase == Phase::AfterExercise { " after exercise" } else { "" };
            let name = if artery == Artery::Brachial { "arm" } else { artery.words() };
            let mut row = vec![format!("{}{after}", sentence(name))];
            let nothing = if source.result.closed { "not measured" } else { "not yet measured" };
            row.extend(cells.map(|cell| cell.unwrap_or_else(|| nothing.into())));
            rows.push(Row { cells: row, marked: false });
        }
    }
    rows
}

/// The outcome at one site, the readings behind it, and whether an index is made of it.
fn at_site(source: &ReportSource<'_>, site: Site, phase: Phase) -> Option<String> {
    let found = source.result.sites.iter().find(|s| (s.site, s.phase) == (site, phase))?;
    let mut words = found.outcome.clone();
    let counted = found.attempts.iter().filter(|a| a.counts && a.mmhg.is_some());
    let readings: Vec<&str> =
        counted.map(|a| a.outcome.strip_suffix(" mmHg").unwrap_or(&a.outcome)).collect();
    if readings.len() > 1 {
        let _ = write!(words, " (mean of {})", readings.join(", "));
    }
    for attempt in found.attempts.iter().filter(|a| a.left_out.is_some()) {
        let _ = write!(words, "; {} does not count, see the trail", attempt.outcome);
    }
    if found.attempts.iter().any(|a| a.entered && a.counts) {
        words += ", from another instrument";
    }
    if found.attempts.iter().any(|a| a.from_paper && a.counts) {
        words += ", from paper";
    }
    if let Some(word) = found.waveform {
        let _ = write!(words, ", {}", word.words());
    }
    if !part_of(source, found).is_empty() {
        words += ", in the index";
    }
    Some(words)
}

/// What rules ask for, each rule once with all of its sites.
fn asked_for(source: &ReportSource<'_>) -> Option<String> {
    let mut rules: Vec<(&str, Vec<String>)> = Vec::new();
    for wanted in &source.result.wanted {
        match rules.iter_mut().find(|(why, _)| *why == wanted.why) {
            Some((_, sites)) => sites.push(place(wanted.site)),
            None => rules.push((&wanted.why, vec![place(wanted.site)])),
        }
    }
    let each = rules
        .iter()
        .map(|(why, sites)| format!("Asked for by a rule ({why}): {}.", sites.join(", ")));
    (!rules.is_empty()).then(|| each.collect::<Vec<_>>().join(" "))
}

/// How the patient lay and what was used.
fn conditions(source: &ReportSource<'_>) -> String {
    let opened = &source.visit.opened;
    let rest = match opened.rested_min {
        Some(minutes) => format!("Rest before measuring: {minutes} minutes."),
        None => "Rest before measuring was not recorded.".into(),
    };
    format!(
        "The patient was {}. {rest} Gauge {}, its lines {} mmHg apart. Method: {}.",
        source.result.posture,
        opened.gauge.code,
        opened.gauge.graduation_mmhg,
        source.result.method.words
    )
}

/// Notes, assumptions, free words, amendments.
pub fn notes(source: &ReportSource<'_>) -> Section {
    let mut notes = source.result.notes.clone();
    let typed = source.visit.notes.iter();
    notes.extend(typed.map(|(who, words)| format!("Note by {who}: {words}")));
    let amended = source.visit.amended.iter();
    notes.extend(amended.map(|a| {
        let apart = if a.apart { AMENDED_APART } else { "" };
        format!("Event {} was amended by {} on {}: {}.{apart}", a.of, a.who, day(a.at), a.why)
    }));
    let blocks = if notes.is_empty() { Vec::new() } else { vec![Block::List(notes)] };
    Section { id: "notes", title: "Notes and assumptions".into(), blocks, trail: true }
}

/// What no index can say, each with its source.
pub fn cannot_tell(source: &ReportSource<'_>) -> Section {
    let mut list: Vec<String> = [
        "A number does not rule out arterial disease, least of all with diabetes or kidney disease (NICE CKS, by way of a secondary page).",
        "Stiff arteries resist the cuff. The index is then falsely high (2016 and 2024 ACC/AHA call an index above 1.40 non-compressible).",
        "The number does not say where an artery is narrowed, nor how well a wound will heal (common practice).",
        "The interval covers the gauge, the beat-to-beat pressure and the reaction time. It does not cover a wrong cuff size, a restless patient or too short a rest.",
        "Pain at rest, tissue loss, spreading infection, or a cold, pale or numb foot is urgent whatever the number (common practice).",
    ]
    .map(str::to_owned)
    .to_vec();
    for side in Side::BOTH {
        if source.result.leg(side).index.is_none() {
            list.push(format!(
                "{}: no index was obtained; this does not mean an index of zero.",
                name(side)
            ));
        }
    }
    Section {
        id: "cannot-tell",
        title: "What the number cannot tell".into(),
        blocks: vec![Block::List(list)],
        trail: true,
    }
}

/// Program, listener, sets of guidance, the record's chain.
pub fn versions(source: &ReportSource<'_>) -> Section {
    let versions = &source.result.versions;
    let mut words = format!("Program cuffnote {}", versions.program);
    match versions.listener.as_deref() {
        Some(listener) => {
            let _ = write!(words, ", listener {listener}.");
        }
        None => words += ". No listener was running.",
    }
    for set in &source.result.guidance {
        let note = if set.note.is_empty() { String::new() } else { format!(" {}", set.note) };
        let _ = write!(
            words,
            " {}, copy {}, to be looked at again by {}.{note}",
            set.name, set.version, set.look_again
        );
    }
    if let Some(head) = source.chain {
        let _ = write!(words, " Head of a hash chain, as it was given and not checked: {head}.");
    }
    Section {
        id: "versions",
        title: "Rules, versions and sources".into(),
        blocks: vec![Block::Words(words)],
        trail: true,
    }
}

/// Who measured and who countersigned, and room to sign.
pub fn signature(source: &ReportSource<'_>) -> Section {
    let mut blocks = Vec::new();
    if !source.visit.countersigned.is_empty() {
        let who = source.visit.countersigned.join(", ");
        blocks.push(Block::Words(format!("Countersigned in the record by {who}.")));
    }
    blocks.push(Block::Blanks(vec!["Measured by", "Signature", "Date", "Checked by"]));
    Section { id: "signature", title: "Signature".into(), blocks, trail: false }
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
