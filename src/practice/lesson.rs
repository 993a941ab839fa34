//! A lesson: drills in a row, set by a teacher in a TOML file or made from a kind and a seed. Replays exactly.

use serde::{Deserialize, Serialize};

use super::cases::{self, CaseKind, Stock};
pub use super::drill::Drill;
use super::named::{self, LIVE};
use super::recording::{RecordingText, WrongRecording};
use crate::sim::Case;
use crate::sim::scenario::{OddField, check_case};
use crate::words::{Words, id, say};

/// Most drills of one lesson: each is a whole patient.
const MOST: usize = 500;

/// When the student learns how it went.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Feedback {
    /// After each drill.
    #[default]
    AtOnce,
    /// After the last.
    AtTheEnd,
    /// Never on screen: an examination, sealed until the teacher opens it.
    Hidden,
}

impl Feedback {
    /// All, in the order offered.
    pub const ALL: [Feedback; 3] = [Feedback::AtOnce, Feedback::AtTheEnd, Feedback::Hidden];

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Feedback::AtOnce => id!("practice-feedback-at-once"),
            Feedback::AtTheEnd => id!("practice-feedback-at-the-end"),
            Feedback::Hidden => id!("practice-feedback-hidden"),
        })
    }

    /// Where the patients of such a lesson come from.
    pub const fn stock(self) -> Stock {
        match self {
            Feedback::AtOnce | Feedback::AtTheEnd => Stock::Practice,
            Feedback::Hidden => Stock::Examination,
        }
    }
}

/// A lesson as it is set.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Its name.
    pub name: String,
    /// When the student learns how it went.
    pub feedback: Feedback,
    /// The pressure of the arm that an index is formed with, mmHg.
    pub arm_mmhg: f64,
    /// A folder of room sounds beside the file, in place of the noises made here.
    pub noise_folder: Option<String>,
    /// In order.
    pub drills: Vec<Drill>,
}

/// Why a lesson could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("lesson `{name}`: {why}")]
pub struct LessonFault {
    /// The file.
    pub name: String,
    /// The line where there is one, what is wrong, and what was expected.
    pub why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: u32,
    name: String,
    #[serde(default)]
    feedback: Feedback,
    #[serde(default = "arm")]
    arm_mmhg: f64,
    #[serde(default = "one")]
    seed: u64,
    noise_folder: Option<String>,
    drill: Vec<DrillText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DrillText {
    name: Option<String>,
    kind: CaseKind,
    #[serde(default = "times")]
    times: u32,
    seed: Option<u64>,
    recording: Option<RecordingText>,
    /// What differs from the patient drawn for this kind.
    #[serde(default)]
    case: toml::Table,
}

const fn arm() -> f64 {
    130.0
}

const fn one() -> u64 {
    1
}

const fn times() -> u32 {
    1
}

impl Lesson {
    /// So many drills of one kind.
    pub fn of(kind: CaseKind, count: u32, seed: u64, feedback: Feedback) -> Self {
        let (lesson, stock) = (seed, feedback.stock());
        let drill = |(place, seed): (usize, u64)| {
            let name = stock.case_name(kind, lesson, place + 1);
            Drill { name, kind, case: cases::draw(kind, seed), seed, recording: None }
        };
        Self {
            name: kind.name().into(),
            feedback,
            arm_mmhg: arm(),
            noise_folder: None,
            drills: match kind {
                CaseKind::WholeVisit => super::whole::drills(stock, seed),
                _ => {
                    let seeds = cases::seeds(kind, stock, seed, count);
                    seeds.into_iter().enumerate().map(drill).collect()
                }
            },
        }
    }

    /// Two ears on what is heard now: one deflation, of which nobody knows the truth.
    pub fn live() -> Self {
        let lesson = Self::of(CaseKind::FirstReturn, 1, 1, Feedback::AtOnce);
        Self { name: named::kept(LIVE).into(), ..lesson }
    }

    /// Reads a teacher's file.
    ///
    /// # Errors
    /// See [`LessonFault`]: the line and what was expected.
    pub fn parse(name: &str, text: &str) -> Result<Self, LessonFault> {
        let wrong = |why: String| LessonFault { name: name.to_owned(), why };
        let file: File = toml::from_str(text).map_err(|e| wrong(e.to_string().trim().into()))?;
        if file.version != 1 {
            return Err(wrong(format!("version {}; this program reads 1", file.version)));
        }
        if !(60.0..=260.0).contains(&file.arm_mmhg) {
            return Err(wrong(format!("arm_mmhg is {}; expected 60 to 260", file.arm_mmhg)));
        }
        let mut drills = Vec::new();
        for (place, set) in file.drill.iter().enumerate() {
            let fault = |why: String| wrong(format!("drill {}: {why}", place + 1));
            if !(1..=200).contains(&set.times) {
                return Err(fault(format!("times is {}; expected 1 to 200", set.times)));
            }
            if drills.len() + set.times as usize > MOST {
                return Err(fault(format!("more than {MOST} drills in one lesson")));
            }
            for _ in 0..set.times {
                let number = drills.len() as u32;
                let stock = file.feedback.stock();
                let seed = set.seed.unwrap_or_else(|| stock.seed(file.seed, number));
                let drill = set.drill(seed, || match set.seed {
                    Some(own) => {
                        let (english, seed) = (Words::english(), own.to_string());
                        say!(english, "practice-case-seed", kind = set.kind.name(), seed = seed)
                    }
                    None => stock.case_name(set.kind, file.seed, number as usize + 1),
                });
                drills.push(drill.map_err(|e| fault(e.to_string()))?);
            }
        }
        if drills.is_empty() {
            return Err(wrong("no [[drill]]; expected one or more".into()));
        }
        let (feedback, arm_mmhg, noise_folder) = (file.feedback, file.arm_mmhg, file.noise_folder);
        Ok(Self { name: file.name, feedback, arm_mmhg, noise_folder, drills })
    }
}

/// Why a lesson's words make no drill.
#[derive(Debug, thiserror::Error)]
enum WrongDrill {
    #[error("a recording is a first-return, and has no case of its own")]
    RecordingWithCase,
    #[error(transparent)]
    Recording(#[from] WrongRecording),
    #[error("{0}")]
    Case(String),
    #[error(transparent)]
    Field(#[from] OddField),
}

fn read_case(table: toml::Table) -> Result<Case, WrongDrill> {
    table.try_into().map_err(|e| WrongDrill::Case(e.to_string().trim().to_owned()))
}

impl DrillText {
    fn drill(&self, seed: u64, unnamed: impl FnOnce() -> String) -> Result<Drill, WrongDrill> {
        let recording = self.recording.as_ref().map(RecordingText::recording).transpose()?;
        if recording.is_some() && (self.kind != CaseKind::FirstReturn || !self.case.is_empty()) {
            return Err(WrongDrill::RecordingWithCase);
        }
        let drawn = cases::draw(self.kind, seed);
        let mut table =
            toml::Table::try_from(&drawn).map_err(|e| WrongDrill::Case(e.to_string()))?;
        for (key, value) in &self.case {
            table.insert(key.clone(), value.clone());
        }
        let mut case: Case = read_case(table)?;
        check_case(&case)?;
        let name = self.name.clone().unwrap_or_else(unnamed);
        case.scenario.clone_from(&name);
        Ok(Drill { name, kind: self.kind, case, seed, recording })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LESSON: &str = r#"
version = 1
name = "Monday"
feedback = "hidden"
arm_mmhg = 140
[[drill]]
kind = "first-return"
times = 2
[[drill]]
name = "the faint one"
kind = "first-return"
seed = 9
case.systolic_mmhg = 96.0
case.diastolic_mmhg = 60.0
case.snr_db = 4.0
"#;

    #[test]
    fn a_teachers_file_gives_the_same_drills_each_time() {
        let lesson = Lesson::parse("monday", LESSON).unwrap();
        assert_eq!(lesson, Lesson::parse("monday", LESSON).unwrap());
        assert_eq!((lesson.drills.len(), lesson.feedback), (3, Feedback::Hidden));
        let last = &lesson.drills[2];
        assert_eq!((last.seed, last.case.systolic_mmhg, last.case.snr_db), (9, 96.0, 4.0));
        assert_eq!(last.name, "the faint one");
        assert_ne!(lesson.drills[0].seed, lesson.drills[1].seed);
    }

    #[test]
    fn a_wrong_file_is_refused_with_its_place() {
        let refused = |from: &str, to: &str| {
            let fault = Lesson::parse("monday", &LESSON.replace(from, to)).unwrap_err();
            fault.to_string()
        };
        assert!(refused("version = 1", "version = 2").contains("reads 1"));
        assert!(refused("hidden", "secret").contains("line 4"));
        assert!(refused("case.snr_db", "case.snr").contains("drill 2"));
        assert!(refused("96.0", "960.0").contains("20 to 400"));
        assert!(refused("times = 2", "times = 0").contains("1 to 200"));
        assert!(refused("arm_mmhg = 140", "arm_mmhg = 9").contains("60 to 260"));
        let named =
            "times = 2\nrecording = { file = \"a.wav\", truth = \"kept-tap\", return_s = 9.0 }";
        assert!(refused("times = 2", &named.replace("9.0", "-9.0")).contains("return_s"));
        let other = "kind = \"waveform\"\nrecording = { visit = \"v\", attempt = 3, truth = \"over-read\" }";
        assert!(refused("kind = \"first-return\"\ntimes = 2", other).contains("first-return"));
        let more = "[[drill]]\nkind = \"first-return\"\ntimes = 200\n".repeat(3);
        assert!(refused("times = 2\n", &format!("times = 2\n{more}")).contains("more than 500"));
    }
}
