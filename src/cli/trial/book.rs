//! `trial --book`: scores the listener on a service's own recordings, where people agreed on the return.
//!
//! The recordings were handed out by `overread prepare`; which visit and site a numbered copy is, its bytes say: the
//! book has the SHA-256 of every recording. What is right is what the readers say, so no more than that is claimed.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};
use rayon::prelude::*;

use super::told::{Score, score};
use crate::cli::described::{Described, line};
use crate::cli::nearest::did_you_mean;
use crate::cli::output::{many, say};
use crate::cli::overread::{answers, number_file, prepared};
use crate::cli::place::{Out, Outputs, given};
use crate::cli::progress::Progress;
use crate::clinical::visit::Visit;
use crate::live::recording::{HeardRecording, hear_file};
use crate::logbook::{Book, Search, VisitId, sha256_of};
use crate::practice::agreement::Reader;
use crate::practice::overread::gathered;
use crate::report::table::Sheet;
use crate::trial::score::Judged;
use crate::trial::table::TrialRow;
use crate::trial::{ListenerAnswer, Verdict};

/// What a reader writes where no pulse comes back.
const NONE: &str = "none";
/// One beat where the listener tells no heart rate, seconds.
const BEAT_S: f64 = 1.0;

#[derive(clap::Args)]
#[group(skip)]
pub(super) struct Words {
    /// Instead: the recordings of this record book on whose return the readers agree
    #[arg(long, value_name = "DIR", requires_all = ["list", "answers"])]
    pub(super) book: Option<PathBuf>,
    /// The folder that `overread prepare` made of them
    #[arg(long, value_name = "FOLDER", requires = "book")]
    list: Option<PathBuf>,
    /// The readers' sheets, two or more; `return_s` is seconds, `none` where no pulse comes back, empty where not judged
    #[arg(long, value_name = "FILE", num_args = 2.., requires = "book")]
    answers: Vec<PathBuf>,
    /// Readers agree where their answers lie no farther apart, seconds
    #[arg(long, value_name = "SECONDS", default_value_t = 0.5, requires = "book", value_parser = seconds)]
    within: f64,
    /// A table of what is known of each: the column `number` of the prepared folder or `visit`, and columns such as `device` and `room`
    #[arg(long, value_name = "FILE", requires = "book")]
    about: Option<PathBuf>,
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(s) if s > 0.0 && s <= 10.0 => Ok(s),
        _ => Err("expected seconds, more than 0 and at most 10".into()),
    }
}

/// The listener's score on a service's own recordings.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct Served {
    /// The readers' codes.
    readers: Vec<String>,
    /// So far apart answers may lie that agree, seconds.
    within_s: f64,
    /// Recordings in the prepared folder.
    recordings: usize,
    /// Those that a reader did not judge.
    not_judged: usize,
    /// Those on which the readers disagree.
    disagreed: usize,
    /// Those that this book does not have.
    not_in_book: usize,
    /// Those that were scored.
    scored: usize,
    /// All of them, and each site, and each value of the columns that were given about them.
    strata: Vec<Stratum>,
}

impl Described for Served {
    const FORMAT: &'static str = "cuffnote-trial-book";
}

/// The listener on some of the recordings. Right is within one beat of where the readers agree, or silence with them.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
struct Stratum {
    /// What they have in common: `all`, `site`, or a column that was given.
    by: String,
    /// Visits that they come from; those of one visit are not independent, and the interval takes them as if they were.
    visits: usize,
    #[serde(flatten)]
    score: Score,
}

/// One recording that is scored.
struct Case {
    number: usize,
    visit: VisitId,
    site: String,
    /// Where the readers agree that the pulse comes back; none where they agree that it does not.
    truth_s: Option<f64>,
    answer: ListenerAnswer,
    judged: Judged,
    /// Column and value of what was given about it.
    about: Vec<(String, String)>,
}

/// What the readers say of one recording.
enum Said {
    Agreed(Option<f64>),
    Disagreed,
    NotJudged,
}

pub(super) fn run(words: &Words, json: bool, out: Option<&Path>) -> anyhow::Result<ExitCode> {
    let book = words.book.as_deref().context("name the record book with --book")?;
    let list = words.list.as_deref().context("name the prepared folder with --list")?;
    let out = out.map(|path| Outputs::beside(&words.answers).stream(path)).transpose()?;
    let names = prepared(list)?;
    let count = names.len();
    let copies: Vec<PathBuf> =
        names.iter().enumerate().map(|(at, name)| list.join(number_file(at + 1, name))).collect();
    let sheets = words.answers.iter().map(|path| answers(path, "return_s"));
    let readers = gathered(count, &sheets.collect::<anyhow::Result<Vec<_>>>()?)?;
    let names: BTreeSet<&str> = readers.iter().map(|reader| reader.name.as_str()).collect();
    ensure!(
        names.len() == readers.len(),
        "two sheets have one name: each is named after its reader"
    );
    let about = words.about.as_deref().map(About::read).transpose()?.unwrap_or_default();
    let mut served = Served {
        readers: readers.iter().map(|reader| reader.name.clone()).collect(),
        within_s: words.within,
        recordings: count,
        not_judged: 0,
        disagreed: 0,
        not_in_book: 0,
        scored: 0,
        strata: Vec::new(),
    };
    let mut agreed = Vec::new();
    for number in 1..=count {
        match said(&readers, number, words.within)? {
            Said::Agreed(truth_s) => agreed.push((number, truth_s)),
            Said::Disagreed => served.disagreed += 1,
            Said::NotJudged => served.not_judged += 1,
        }
    }
    let known = known(book, &copies, &agreed)?;
    served.not_in_book = agreed.len() - known.len();
    let cases = heard(&copies, &agreed, known, &about)?;
    served.scored = cases.len();
    served.strata = strata(&cases);
    if !out.as_ref().is_some_and(Out::is_stream) {
        say(&if json { line(&served)? } else { in_words(&served) })?;
    }
    if let Some(out) = out {
        out.write(&rows(&cases)?)?;
    }
    Ok(ExitCode::SUCCESS)
}

/// What the readers together say of a recording.
fn said(readers: &[Reader], number: usize, within_s: f64) -> anyhow::Result<Said> {
    let mut all = Vec::new();
    for reader in readers {
        let cell = reader.cells[number - 1].trim();
        match cell {
            "" => return Ok(Said::NotJudged),
            NONE => all.push(None),
            _ => {
                let at = cell
                    .replace(',', ".")
                    .parse::<f64>()
                    .ok()
                    .filter(|s| s.is_finite() && *s >= 0.0);
                let Some(at) = at else {
                    bail!(
                        "reader `{}`, number {number}: `{cell}` is neither seconds nor `{NONE}`",
                        reader.name
                    );
                };
                all.push(Some(at));
            }
        }
    }
    let times: Vec<f64> = all.iter().copied().flatten().collect();
    if times.is_empty() {
        return Ok(Said::Agreed(None));
    }
    let ends =
        times.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), s| (low.min(*s), high.max(*s)));
    // Half a millisecond of room for what two players round.
    if times.len() < all.len() || ends.1 - ends.0 > within_s + 5e-4 {
        return Ok(Said::Disagreed);
    }
    Ok(Said::Agreed(Some(times.iter().sum::<f64>() / times.len() as f64)))
}

/// Visit and site of each numbered recording that the book has.
fn known(
    book: &Path,
    copies: &[PathBuf],
    agreed: &[(usize, Option<f64>)],
) -> anyhow::Result<BTreeMap<usize, (VisitId, String)>> {
    let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
    for (number, _) in agreed {
        wanted.insert(sha256_of(&copies[*number - 1])?, *number);
    }
    let book = Book::open_as_it_lies(book)?.book;
    let mut found = BTreeMap::new();
    for id in book.ids(&Search::default())? {
        for recording in book.recordings(id)? {
            let Some(number) = recording.sha256.as_ref().and_then(|hash| wanted.get(hash)) else {
                continue;
            };
            let visit = Visit::read(&book.events(id)?)?;
            let attempt = recording.attempt.and_then(|number| visit.attempt(number));
            let site = attempt.map_or("several sites".to_owned(), |attempt| attempt.site.code());
            found.insert(*number, (id, site));
        }
    }
    Ok(found)
}

/// Hears those recordings that the book has, and judges what the listener says.
fn heard(
    copies: &[PathBuf],
    agreed: &[(usize, Option<f64>)],
    known: BTreeMap<usize, (VisitId, String)>,
    about: &About,
) -> anyhow::Result<Vec<Case>> {
    let agreed: Vec<_> = agreed.iter().filter(|(number, _)| known.contains_key(number)).collect();
    let bar = Progress::new("recordings", agreed.len() as u64);
    let heard: Vec<_> = agreed
        .par_iter()
        .map(|(number, _)| {
            let heard = hear_file(&copies[*number - 1]);
            bar.more();
            heard
        })
        .collect::<Result<_, _>>()?;
    let mut cases = Vec::new();
    for ((number, truth_s), heard) in agreed.into_iter().zip(heard) {
        let Some((visit, site)) = known.get(number).cloned() else { continue };
        let answer = ListenerAnswer {
            return_s: heard.return_s,
            cue_s: heard.cue_s,
            confidence: heard.confidence,
            evidence: None,
        };
        let judged = judged(&answer, &heard, *truth_s);
        let about = about.of(*number, visit);
        cases.push(Case { number: *number, visit, site, truth_s: *truth_s, answer, judged, about });
    }
    Ok(cases)
}

/// The answer held against what the readers agree on: one beat to either side is right.
fn judged(answer: &ListenerAnswer, heard: &HeardRecording, truth_s: Option<f64>) -> Judged {
    let beat_s = heard.heart_rate_bpm.filter(|bpm| *bpm > 0.0).map_or(BEAT_S, |bpm| 60.0 / bpm);
    let late_s = answer.return_s.zip(truth_s).map(|(at, truth)| at - truth);
    let verdict = match (answer.return_s, truth_s, late_s) {
        (None, None, _) => Verdict::Silent,
        (None, Some(_), _) => Verdict::Missed,
        (Some(_), None, _) => Verdict::False,
        (_, _, Some(late)) if late > beat_s => Verdict::Late,
        (_, _, Some(late)) if late < -beat_s => Verdict::Early,
        _ => Verdict::Hit,
    };
    let cue = |truth: f64| answer.cue_s.map(|cue| cue - truth).filter(|late| *late >= -beat_s);
    let cue_latency_s = truth_s.and_then(cue);
    Judged {
        verdict,
        error_s: late_s.filter(|_| verdict == Verdict::Hit),
        lag_mmhg: None,
        cue_latency_s,
        beat_s,
        cue_false: answer.cue_s.is_some() && cue_latency_s.is_none(),
        confidence: answer.return_s.and(answer.confidence),
    }
}

/// What is known about recordings or visits from a table.
#[derive(Default)]
struct About(BTreeMap<String, Vec<(String, String)>>);

impl About {
    fn read(path: &Path) -> anyhow::Result<Self> {
        let name = path.display();
        let sheet = Sheet::read(&given(path)?, str::to_owned).with_context(|| name.to_string())?;
        let place = sheet.names.iter().position(|column| column == "number" || column == "visit");
        let Some(place) = place else {
            let near = did_you_mean("number", sheet.names.iter().map(String::as_str));
            bail!("{name}: expected a column `number` or `visit`{near}");
        };
        let mut about = BTreeMap::new();
        for row in &sheet.rows {
            let cells = row.cells.as_ref();
            let cells = cells.map_err(|why| anyhow::anyhow!("{name}, line {}: {why}", row.line))?;
            let key = cells[place].trim().to_owned();
            let others = sheet.names.iter().zip(cells).enumerate().filter(|(at, _)| *at != place);
            let told: Vec<_> = others
                .map(|(_, (column, cell))| (column.clone(), cell.trim().to_owned()))
                .filter(|(_, cell)| !cell.is_empty())
                .collect();
            ensure!(
                about.insert(key, told).is_none(),
                "{name}, line {}: stands there twice",
                row.line
            );
        }
        Ok(Self(about))
    }

    fn of(&self, number: usize, visit: VisitId) -> Vec<(String, String)> {
        let by_number = self.0.get(&number.to_string());
        by_number.or_else(|| self.0.get(&visit.to_string())).cloned().unwrap_or_default()
    }
}

fn strata(cases: &[Case]) -> Vec<Stratum> {
    let mut groups: BTreeMap<(String, String), Vec<&Case>> = BTreeMap::new();
    for case in cases {
        let site = ("site".to_owned(), case.site.clone());
        for group in case.about.iter().cloned().chain([site]) {
            groups.entry(group).or_default().push(case);
        }
    }
    let all = std::iter::once((("all".to_owned(), "all".to_owned()), cases.iter().collect()));
    let stratum = |((by, name), cases): ((String, String), Vec<&Case>)| {
        let mut row = TrialRow::default();
        cases.iter().for_each(|case| row.add(case.judged));
        let visits = cases.iter().map(|case| case.visit).collect::<BTreeSet<_>>().len();
        Stratum { by, visits, score: score(&name, &row) }
    };
    all.chain(groups).map(stratum).collect()
}

fn in_words(served: &Served) -> String {
    let mut text = format!(
        "{} of {} scored: {} not judged by all readers, {} on which they disagree, {} not in this book\n",
        served.scored,
        many(served.recordings, "recording"),
        served.not_judged,
        served.disagreed,
        served.not_in_book
    );
    let _ = writeln!(
        text,
        "readers: {}; they agree within {} s; right is within one beat of that\n\n{:<32}{:>5}{:>8}{:>8}{:>16}{:>6}{:>7}{:>8}{:>7}{:>8}",
        served.readers.join(", "),
        served.within_s,
        "",
        "n",
        "visits",
        "right %",
        "(95 %)",
        "late",
        "early",
        "missed",
        "false",
        "err ms"
    );
    for Stratum { by, visits, score } in &served.strata {
        let name = if by == "all" { by.clone() } else { format!("{by}: {}", score.name()) };
        let _ = writeln!(text, "{name:<32}{}", score.in_a_row(*visits));
    }
    text + "\nRecordings of one visit are not independent: the intervals take them as if they were.\n"
}

fn rows(cases: &[Case]) -> anyhow::Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "number",
        "visit",
        "site",
        "agreed_s",
        "return_s",
        "confidence",
        "verdict",
        "about",
    ])?;
    let cell = |v: Option<f64>| v.map_or(String::new(), |v| format!("{v:.3}"));
    for case in cases {
        let about: Vec<String> =
            case.about.iter().map(|(column, value)| format!("{column}={value}")).collect();
        writer.write_record([
            case.number.to_string(),
            case.visit.to_string(),
            case.site.clone(),
            cell(case.truth_s),
            cell(case.answer.return_s),
            cell(case.answer.confidence),
            format!("{:?}", case.judged.verdict),
            about.join("; "),
        ])?;
    }
    Ok(writer.into_inner()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readers_agree_disagree_or_did_not_judge() {
        let of = |cells: &[&str]| -> Vec<Reader> {
            let reader = |(n, cell): (usize, &&str)| Reader {
                name: format!("r{n}"),
                cells: vec![(*cell).to_owned()],
            };
            cells.iter().enumerate().map(reader).collect()
        };
        let said = |cells: &[&str]| said(&of(cells), 1, 0.5);
        assert!(matches!(said(&["12.0", "12,5"]), Ok(Said::Agreed(Some(s))) if s == 12.25));
        assert!(matches!(said(&["none", "none"]), Ok(Said::Agreed(None))));
        assert!(matches!(said(&["12.0", "12.6"]), Ok(Said::Disagreed)));
        assert!(matches!(said(&["12.0", "none"]), Ok(Said::Disagreed)));
        assert!(matches!(said(&["12.0", "12.1", ""]), Ok(Said::NotJudged)));
        assert!(said(&["12.0", "soon"]).is_err() && said(&["12.0", "NaN"]).is_err());
    }
}
