//! The other parts of a report: head, warnings, readings, sounds, notes, versions, what cannot be told.

use std::fmt::Write;

use crate::clinical::cautions::{self, Weight};
use crate::clinical::event::{Answer, Phase, VisitKind};
use crate::clinical::reasons;
use crate::clinical::site::{Artery, Side, Site};

use super::blocks::{Block, CautionBlock, Row, Section, Table};
use super::source::ReportSource;
use super::trail::part_of;
use super::wording::{day, name, place, sentence, short_day};
use crate::words::{Words, id, say};

/// The facts in the head, those that are known.
pub fn head(source: &ReportSource<'_>) -> Vec<(String, String)> {
    let (visit, result, words) = (source.visit, source.result, source.result.language);
    let facts = [
        (id!("report-head-service"), source.service.to_owned()),
        (id!("report-head-record"), result.record.clone()),
        (id!("report-head-measured"), measured(source)),
        (id!("report-head-operator"), result.operator.clone()),
        (id!("report-head-reason"), reasons::said(words, &result.reason).to_owned()),
        (id!("report-head-ulcer"), result.ulcer.clone().unwrap_or_default()),
        (
            id!("report-head-scope"),
            if visit.opened.scope.is_full() { String::new() } else { result.kind.clone() },
        ),
    ];
    let known = facts.into_iter().filter(|(_, value)| !value.trim().is_empty());
    known.map(|(name, value)| (words.plain(name).to_owned(), value)).collect()
}

/// When it was measured; of a paper also when it was taken over.
fn measured(source: &ReportSource<'_>) -> String {
    let words = source.result.language;
    let entered = day(words, source.visit.opened_at);
    match (source.visit.measured_on(), &source.visit.opened.scope) {
        (Some(on), VisitKind::OnPaper { by, .. }) => {
            let on = words.day(on.0);
            match by.as_str() {
                "" => say!(words, "report-on-paper", on = on, entered = entered),
                by => say!(words, "report-on-paper-by", on = on, by = by, entered = entered),
            }
        }
        _ => entered,
    }
}

/// Each leg in one line, in the words of the set that the service put first.
pub fn summary(source: &ReportSource<'_>) -> Section {
    let lines = Side::BOTH.map(|side| source.result.in_short(side)).to_vec();
    let title = source.result.language.plain(id!("report-summary")).into();
    Section { id: "summary", title, blocks: vec![Block::List(lines)], trail: false }
}

/// What is to be done next, and when the next test is due; nothing where neither was said.
pub fn plan(source: &ReportSource<'_>) -> Section {
    let (visit, words) = (source.visit, source.result.language);
    let plan = visit.plan.iter().map(|(typed, who)| format!("{typed} ({who})"));
    let next = visit
        .next_test
        .iter()
        .map(|(on, who)| say!(words, "report-next-test", on = words.short_day(on.0), who = who));
    let lines: Vec<String> = plan.chain(next).collect();
    let blocks = if lines.is_empty() { Vec::new() } else { vec![Block::List(lines)] };
    Section { id: "plan", title: words.plain(id!("report-plan")).into(), blocks, trail: false }
}

/// Red flags and cautions, above every number; then what was asked.
pub fn warnings(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let block = |label, said: String| {
        Block::Warning(CautionBlock { label: words.plain(label).into(), words: said })
    };
    let warning = |flag: &cautions::Flag| {
        let label = match flag.weight {
            Weight::RedFlag => id!("report-red-flag"),
            Weight::Caution => id!("report-caution"),
        };
        block(label, format!("{}.", sentence(&flag.words)))
    };
    let mut blocks: Vec<Block> = source.result.flags.iter().map(warning).collect();
    blocks.extend(super::findings::short_rest(words, source.visit));
    if !source.result.closed {
        let said = words.plain(id!("report-not-closed")).into();
        blocks.push(block(id!("report-not-finished"), said));
    }
    blocks.push(Block::Words(asked(source)));
    Section { id: "first", title: words.plain(id!("report-first")).into(), blocks, trail: false }
}

/// What was asked and answered with no; silence is not a no.
fn asked(source: &ReportSource<'_>) -> String {
    let words = source.result.language;
    let items = cautions::said(words);
    let answers = &source.visit.answers;
    let of = |id: &str, answer| answers.iter().any(|a| a.id == id && a.answer == answer);
    let question = |item: &cautions::Item| words.within(&item.question);
    let asked: Vec<&cautions::Item> = items.iter().filter(|item| item.ask).collect();
    let list = |of: &dyn Fn(&cautions::Item) -> bool| {
        let found = asked.iter().filter(|item| of(item)).map(|item| question(item));
        found.collect::<Vec<_>>().join("; ")
    };
    let no = list(&|item| of(&item.id, Answer::No) && !of(&item.id, Answer::Yes));
    let open = list(&|item| !of(&item.id, Answer::No) && !of(&item.id, Answer::Yes));
    let mut said = String::new();
    if !no.is_empty() {
        said += &say!(words, "report-asked-no", list = no);
    }
    if !open.is_empty() {
        said += &say!(words, "report-asked-open", list = open);
    }
    said + words.plain(id!("report-asked-outweighs"))
}

/// What was found at each site, right beside left, and under which conditions.
pub fn readings(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let mut blocks = vec![Block::Words(conditions(source))];
    let rows = found(source);
    if !rows.is_empty() {
        blocks.push(Block::Table(Table {
            caption: words.plain(id!("report-pressures")).into(),
            columns: [
                id!("report-column-site"),
                id!("report-column-right"),
                id!("report-column-left"),
            ]
            .map(|id| words.plain(id).to_owned())
            .to_vec(),
            rows,
        }));
    }
    blocks.extend(asked_for(source).map(Block::Words));
    Section {
        id: "readings",
        title: words.plain(id!("report-readings")).into(),
        blocks,
        trail: false,
    }
}

/// A row for each artery that was turned to, at rest and after exercise.
fn found(source: &ReportSource<'_>) -> Vec<Row> {
    let words = source.result.language;
    let nothing = match source.result.closed {
        true => words.plain(id!("report-not-measured")),
        false => words.plain(id!("clinical-not-yet")),
    };
    let mut rows = Vec::new();
    for phase in [Phase::Rest, Phase::AfterExercise] {
        for artery in Artery::ALL {
            let cells = Side::BOTH.map(|side| at_site(source, Site::new(side, artery), phase));
            if cells.iter().all(Option::is_none) {
                continue;
            }
            let mut row = vec![match phase {
                Phase::Rest => say!(words, "report-row", artery = artery.code()),
                Phase::AfterExercise => say!(words, "report-row-after", artery = artery.code()),
            }];
            row.extend(cells.map(|cell| cell.unwrap_or_else(|| nothing.into())));
            rows.push(Row { cells: row, marked: false });
        }
    }
    rows
}

/// The outcome at one site, the readings behind it, and whether an index is made of it.
fn at_site(source: &ReportSource<'_>, site: Site, phase: Phase) -> Option<String> {
    let found = source.result.sites.iter().find(|s| (s.site, s.phase) == (site, phase))?;
    let words = source.result.language;
    let mut said = found.outcome.clone();
    let counted = found.attempts.iter().filter(|a| a.counts && a.mmhg.is_some());
    let readings: Vec<&str> =
        counted.map(|a| a.outcome.strip_suffix(" mmHg").unwrap_or(&a.outcome)).collect();
    if readings.len() > 1 {
        said += &say!(words, "report-mean-of", readings = readings.join(", "));
    }
    for attempt in found.attempts.iter().filter(|a| a.left_out.is_some()) {
        said += &say!(words, "report-does-not-count", outcome = attempt.outcome);
    }
    if found.attempts.iter().any(|a| a.entered && a.counts) {
        said += words.plain(id!("report-from-instrument"));
    }
    if found.attempts.iter().any(|a| a.from_paper && a.counts) {
        said += words.plain(id!("report-from-paper"));
    }
    if let Some(word) = found.waveform {
        let _ = write!(said, ", {}", word.said(words));
    }
    if !part_of(source, found).is_empty() {
        said += words.plain(id!("report-in-index"));
    }
    Some(said)
}

/// What rules ask for, each rule once with all of its sites.
fn asked_for(source: &ReportSource<'_>) -> Option<String> {
    let words = source.result.language;
    let mut rules: Vec<(&str, Vec<String>)> = Vec::new();
    for wanted in &source.result.wanted {
        match rules.iter_mut().find(|(why, _)| *why == wanted.why) {
            Some((_, sites)) => sites.push(place(words, wanted.site)),
            None => rules.push((&wanted.why, vec![place(words, wanted.site)])),
        }
    }
    let each = rules
        .iter()
        .map(|(why, sites)| say!(words, "report-asked-for", why = why, sites = sites.join(", ")));
    (!rules.is_empty()).then(|| each.collect::<Vec<_>>().join(" "))
}

/// How the patient lay and what was used.
fn conditions(source: &ReportSource<'_>) -> String {
    let opened = &source.visit.opened;
    let words = source.result.language;
    let (posture, method) = (&source.result.posture, &source.result.method.words);
    let gauge = reasons::said(words, &opened.gauge.code);
    let lines = words.number(opened.gauge.graduation_mmhg);
    match opened.rested_min {
        Some(minutes) => say!(
            words,
            "report-conditions",
            posture = posture,
            minutes = minutes,
            gauge = gauge,
            lines = lines,
            method = method
        ),
        None => say!(
            words,
            "report-conditions-rest-unknown",
            posture = posture,
            gauge = gauge,
            lines = lines,
            method = method
        ),
    }
}

/// Notes, assumptions, free words, amendments.
pub fn notes(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let mut notes = source.result.notes.clone();
    let typed = source.visit.notes.iter();
    notes.extend(typed.map(|(who, typed)| say!(words, "report-note-by", who = who, words = typed)));
    let amended = source.visit.amended.iter();
    notes.extend(amended.map(|a| {
        let apart = if a.apart { words.plain(id!("report-amended-apart")) } else { "" };
        let at = day(words, a.at);
        let why = reasons::said(words, &a.why);
        say!(words, "report-amended", of = a.of, who = a.who, at = at, why = why) + apart
    }));
    let blocks = if notes.is_empty() { Vec::new() } else { vec![Block::List(notes)] };
    Section { id: "notes", title: words.plain(id!("report-notes")).into(), blocks, trail: true }
}

/// What no index can say, each with its source.
pub fn cannot_tell(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let mut list: Vec<String> = [
        id!("report-cannot-rule-out"),
        id!("report-cannot-stiff"),
        id!("report-cannot-where"),
        id!("report-cannot-cover"),
        id!("report-cannot-urgent"),
    ]
    .map(|id| words.plain(id).to_owned())
    .to_vec();
    let without = Side::BOTH.into_iter().filter(|side| source.result.leg(*side).index.is_none());
    list.extend(without.map(|side| say!(words, "report-cannot-zero", leg = name(words, side))));
    Section {
        id: "cannot-tell",
        title: words.plain(id!("report-cannot-tell")).into(),
        blocks: vec![Block::List(list)],
        trail: true,
    }
}

/// Program, listener, sets of guidance, the record's chain.
pub fn versions(source: &ReportSource<'_>) -> Section {
    let (versions, words) = (&source.result.versions, source.result.language);
    let program = &versions.program;
    let mut said = match versions.listener.as_deref() {
        Some(listener) => {
            say!(words, "report-program", program = program, listener = listener)
        }
        None => say!(words, "report-program-alone", program = program),
    };
    for set in &source.result.guidance {
        let on = short_day(words, &set.look_again);
        said += &say!(words, "report-set", set = set.name, version = set.version, on = on);
        if !set.note.is_empty() {
            let _ = write!(said, " {}", set.note);
        }
    }
    if let Some(head) = source.chain {
        said += &say!(words, "report-chain", head = head);
    }
    Section {
        id: "versions",
        title: words.plain(id!("report-versions")).into(),
        blocks: vec![Block::Words(said)],
        trail: true,
    }
}

/// Who measured and who countersigned, and room to sign.
pub fn signature(source: &ReportSource<'_>) -> Section {
    let words = source.result.language;
    let mut blocks = Vec::new();
    if !source.visit.countersigned.is_empty() {
        let who = source.visit.countersigned.join(", ");
        blocks.push(Block::Words(say!(words, "report-countersigned", who = who)));
    }
    let blanks = [
        id!("report-blank-by"),
        id!("report-blank-signature"),
        id!("report-blank-date"),
        id!("report-blank-checked"),
    ];
    blocks.push(Block::Blanks(blanks.map(|id| words.plain(id).to_owned()).to_vec()));
    let title = words.plain(id!("report-signature")).into();
    Section { id: "signature", title, blocks, trail: false }
}

/// The cautions in the foot; of a translation, that no clinician has reviewed it.
pub fn foot(words: Words) -> Vec<String> {
    let foot = [id!("report-foot-purpose"), id!("report-foot-record"), id!("report-foot-guidance")];
    let unreviewed = id!("report-foot-unreviewed");
    let foot = foot.into_iter().chain((!words.is_english()).then_some(unreviewed));
    foot.map(|id| words.plain(id).to_owned()).collect()
}
