//! The verb `practise`: scripted students, a teacher's lesson checked, classes gathered; drills by ear are the window's.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;

use super::book::passphrase;
use super::described::{Described, line};
use super::layers;
use super::output::{aside, many, misuse, say};
use super::place::{Out, Outputs};
use crate::live::Piece;
use crate::practice::class::{CaseFound, Class};
use crate::practice::examination::SealedExamination;
use crate::practice::lesson::Lesson;
use crate::practice::page::class_page;
use crate::practice::recording::{ConfirmedRecording, Whence};
use crate::practice::seal::opening_code;
use crate::practice::session::Summary;
use crate::practice::student::{self, Student};
use crate::settings::book_folder;
use crate::window::model::teacher;
use crate::words::Words as Language;

/// Examinations are drawn from so many seeds.
const SEEDS: u64 = 1_000_000;

#[derive(clap::Args)]
pub(super) struct Words {
    /// Run drills in virtual time with a scripted student of this lag and spread: bias_ms=300,sd_ms=80
    #[arg(long, value_name = "STUDENT", conflicts_with_all = ["class", "check"])]
    scripted: Option<Student>,
    /// How many drills
    #[arg(long, default_value_t = 40, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    count: u32,
    /// Same seed, same drills
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Print as JSON
    #[arg(long)]
    json: bool,
    /// Gather class files, or folders of them: the union of their sessions
    #[arg(long, value_name = "FILE", num_args = 1..)]
    class: Vec<PathBuf>,
    /// Write the gathered class file, or with --seal the examination (`-` for standard output)
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Write the class's page: students compared, cases that are hard (`-` for standard output)
    #[arg(long, value_name = "FILE.html", requires = "class")]
    page: Option<PathBuf>,
    /// Read a teacher's lesson and say what is in it
    #[arg(long, value_name = "FILE.toml", conflicts_with = "class")]
    check: Option<PathBuf>,
    /// With --scripted: the drills of this teacher's lesson that have a return
    #[arg(long, value_name = "FILE.toml", requires = "scripted", conflicts_with_all = ["count", "seed"])]
    lesson: Option<PathBuf>,
    /// Seal a teacher's lesson as an examination: draws its patients and its opening code (--out: the file)
    #[arg(long, value_name = "FILE.toml", conflicts_with_all = ["scripted", "class", "check"], requires = "out")]
    seal: Option<PathBuf>,
    /// With --class: open the examinations that the teacher's word opens
    #[arg(long, requires = "class")]
    open: bool,
    /// The teacher's word stands in this file; else it is asked for
    #[arg(long, value_name = "FILE")]
    word_file: Option<PathBuf>,
    /// The book's folder, for a lesson that names recordings of it [default: CUFFNOTE_BOOK, else the settings' book.folder, else the platform's data folder]
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    if let Some(lesson) = &words.seal {
        seal(lesson, &words)?;
        return Ok(ExitCode::SUCCESS);
    }
    if words.out.is_some() && words.class.is_empty() {
        return Err(misuse("--out goes with --class or --seal"));
    }
    match (&words.scripted, &words.check, words.class.as_slice()) {
        (Some(student), ..) => scripted(*student, &words)?,
        (None, Some(lesson), _) => check(lesson, &words)?,
        (None, None, []) => {
            return Err(misuse(
                "say --scripted bias_ms=300,sd_ms=80, --class FILE, --check LESSON.toml or --seal LESSON.toml; drills by ear are in the window",
            ));
        }
        (None, None, files) => gather(files, &words)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// A teacher's lesson, with what it names.
fn read(path: &Path, words: &Words) -> anyhow::Result<Lesson> {
    let book = match &words.book {
        Some(book) => Some(book.clone()),
        None => book_folder(&layers::settings()?),
    };
    // A book that is not there is not made for a lesson.
    let book = book.filter(|book| book.join("book.sqlite").is_file());
    Ok(teacher::lesson(path, book.as_deref())?)
}

fn check(path: &Path, words: &Words) -> anyhow::Result<()> {
    let lesson = read(path, words)?;
    let english = Language::english();
    let mut said = format!(
        "{}: {}, {} drills\n",
        lesson.name,
        lesson.feedback.said(english),
        lesson.drills.len()
    );
    for drill in &lesson.drills {
        let by = drill.recording.as_ref().map(|recording| {
            let (by, at_s) = (recording.confirmed.said(english), recording.return_s);
            let needle = if recording.needle.is_empty() { "not known" } else { "known" };
            format!("; a recording: {by} at {at_s:.2} s, needle {needle}")
        });
        let (kind, by) = (drill.kind.name(), by.unwrap_or_default());
        said += &format!("  {} ({kind}, seed {}{by})\n", drill.name, drill.seed);
    }
    say(&said)
}

/// A lesson sealed as an examination. The code is shown once, and nowhere kept.
fn seal(path: &Path, words: &Words) -> anyhow::Result<()> {
    let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let text = std::fs::read_to_string(path).with_context(|| path.display().to_string())?;
    let mut outputs = Outputs::beside(&[path.to_owned()]);
    let out = words.out.as_ref().map(|out| outputs.stream(out)).transpose()?;
    let word = passphrase::text(words.word_file.as_deref(), "Teacher's word: ", true)?;
    let (code, seed) = (opening_code(), uuid::Uuid::now_v7().as_u64_pair().1 % SEEDS);
    let (set, lesson) = SealedExamination::set(&name, &text, seed, (&code, &word))?;
    if let Some(out) = &out {
        out.write(set.text()?.as_bytes())?;
    }
    aside(&format!(
        "{}: {} drills, sealed. Opening code: {code}\nWrite the code down, it is shown once. Students type it to begin; only your word opens what they do.",
        lesson.name,
        lesson.drills.len()
    ));
    Ok(())
}

/// The examinations that the teacher's word opens are plain sessions from here on; the others are named.
fn unseal(class: &mut Class, words: &Words) -> anyhow::Result<()> {
    let word = passphrase::text(words.word_file.as_deref(), "Teacher's word: ", false)?;
    let came = class.open(&word);
    aside(&(many(came.opened.len(), "examination") + " opened"));
    for (sealed, fault) in &came.shut {
        aside(&format!("still sealed: {}, {}: {fault}", sealed.student, sealed.lesson));
    }
    let none = came.opened.is_empty() && !came.shut.is_empty();
    anyhow::ensure!(!none, "no examination was opened");
    Ok(())
}

/// A class, as it is printed.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub(super) struct Gathered {
    /// Each student's code, and what that student did.
    students: Vec<(String, Summary)>,
    /// How the class found each case, the hardest first.
    cases: Vec<CaseFound>,
}

impl Described for Gathered {
    const FORMAT: &'static str = "cuffnote-practise-class";
}

/// Of a folder its class files, in the order of their names.
fn class_files(paths: &[PathBuf]) -> anyhow::Result<Vec<PathBuf>> {
    let mut all = Vec::new();
    for path in paths {
        if !path.is_dir() {
            all.push(path.clone());
            continue;
        }
        let name = || path.display().to_string();
        let inside: Result<Vec<_>, _> = std::fs::read_dir(path).with_context(name)?.collect();
        let files = inside.with_context(name)?.into_iter().map(|entry| entry.path());
        let mut files: Vec<PathBuf> = files
            .filter(|file| file.extension().is_some_and(|e| e == "jsonl" || e == "sealed"))
            .collect();
        anyhow::ensure!(!files.is_empty(), "{} holds no class file (.jsonl)", path.display());
        files.sort();
        all.extend(files);
    }
    Ok(all)
}

fn gather(paths: &[PathBuf], words: &Words) -> anyhow::Result<()> {
    let paths = &class_files(paths)?;
    let mut outputs = Outputs::beside(paths);
    let mut planned = |path: &Option<PathBuf>| path.as_ref().map(|p| outputs.stream(p)).transpose();
    let (out, page) = (planned(&words.out)?, planned(&words.page)?);
    let mut class = Class::default();
    for path in paths {
        let name = path.display().to_string();
        let text = std::fs::read_to_string(path).with_context(|| name.clone())?;
        class.merge(Class::parse(&text).context(name)?);
    }
    if words.open {
        unseal(&mut class, words)?;
    }
    if let Some(out) = &out {
        out.write(class.text()?.as_bytes())?;
    }
    if let Some(out) = &page {
        out.write(&class_page(Language::english(), &class))?;
    }
    // What is written to standard output stands there alone.
    if [&out, &page].iter().any(|out| out.as_ref().is_some_and(Out::is_stream)) {
        return Ok(());
    }
    if words.json {
        return say(&line(&Gathered { students: class.students(), cases: class.cases() })?);
    }
    let mut said = format!("{} sessions\n", class.sessions().count());
    if class.sealed().count() > 0 {
        said += &(many(class.sealed().count(), "examination") + " under seal: --open opens them\n");
    }
    for (code, sum) in class.students() {
        said += &format!("  {code}: {} of {} passed\n", sum.passed, sum.drills);
    }
    say(&said)
}

/// What the listener finds in a recording around its return, seconds.
fn beats(recording: &ConfirmedRecording) -> Result<Vec<f64>, String> {
    let Whence::Found(file) = &recording.whence else {
        return Err("the recording was not searched for".into());
    };
    Ok(Piece::read(file, recording.return_s).map_err(|e| e.to_string())?.onsets())
}

fn scripted(student: Student, words: &Words) -> anyhow::Result<()> {
    let found = match &words.lesson {
        None => student::run(student, words.count, words.seed),
        Some(path) => {
            student::run_lesson(student, &read(path, words)?, beats).map_err(anyhow::Error::msg)?
        }
    };
    if words.json {
        return say(&line(&found)?);
    }
    let shown = |value: Option<f64>, unit: &str| {
        value.map_or_else(|| "not known".to_owned(), |v| format!("{v:+.1} {unit}"))
    };
    let spread =
        |value: Option<f64>| value.map_or_else(|| "not known".into(), |v| format!("{v:.1}"));
    let mut text = format!(
        "{} drills of the first return.\nMean error {} (SD {}); {} (SD {}). Late is positive in time and reads low.\n\n{:>12} {:>9} {:>9} {:>9} {:>6} {:>8} {:>8}\n",
        found.count,
        shown(found.bias_ms, "ms"),
        spread(found.sd_ms),
        shown(found.bias_mmhg, "mmHg"),
        spread(found.sd_mmhg),
        "seed",
        "truth s",
        "tap s",
        "error ms",
        "beats",
        "needle",
        "truth",
    );
    let mmhg = |value: Option<f64>| value.map_or_else(|| "-".into(), |v| format!("{v:.1}"));
    for d in &found.drills {
        let (needle, truth) = (mmhg(d.reading_mmhg), mmhg(d.truth_mmhg));
        text += &format!(
            "{:>12} {:>9.3} {:>9.3} {:>9.0} {:>6} {needle:>8} {truth:>8}\n",
            d.seed, d.truth_s, d.tap_s, d.error_ms, d.beats_late
        );
    }
    say(&text)
}
