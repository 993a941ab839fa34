//! An examination as a teacher sets it: a lesson's text, sealed until the students type its opening code, with the lock that
//! their answers go to.

use serde::{Deserialize, Serialize};

use super::lesson::{Lesson, LessonFault};
use super::seal::{NotOpened, TeacherLock, opened_with, plain_code, sealed_with};
use crate::words::{Words, id, say};

/// The version of the file.
const VERSION: u32 = 1;
/// The ending of its name.
pub const ENDING: &str = "exam";

/// Why an examination is not set, or not begun.
#[derive(Debug, thiserror::Error)]
pub enum NotSet {
    /// Mend the lesson.
    #[error(transparent)]
    MendTheLesson(#[from] LessonFault),
    /// See to the seal.
    #[error(transparent)]
    SeeToTheSeal(#[from] NotOpened),
    /// Type the opening code.
    #[error("this examination is sealed: type its opening code")]
    TypeTheCode,
    /// Take the right code.
    #[error("this code does not open the examination")]
    AnotherCode,
    /// Leave out what cannot be sealed.
    #[error("{0}")]
    LeaveItOut(#[from] BesideTheSeal),
    /// Choose the file of an examination.
    #[error("this is no sealed examination: {0}")]
    ChooseAnother(String),
}

/// What would lie beside the seal, or may have been practised; drills from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BesideTheSeal {
    /// Room sounds of a folder.
    Noise,
    /// A drill's own seed.
    Seed(usize),
    /// A drill's recording.
    Recording(usize),
}

impl BesideTheSeal {
    fn said(self, words: Words) -> String {
        match self {
            BesideTheSeal::Noise => words.plain(id!("exam-no-noise")).to_owned(),
            BesideTheSeal::Seed(drill) => say!(words, "exam-no-seed", drill = drill),
            BesideTheSeal::Recording(drill) => say!(words, "exam-no-recording", drill = drill),
        }
    }
}

impl std::fmt::Display for BesideTheSeal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.said(Words::english()))
    }
}

impl std::error::Error for BesideTheSeal {}

impl NotSet {
    /// In the words of a language. What is wrong within a file stands in it in English.
    pub fn said(&self, words: Words) -> String {
        match self {
            NotSet::MendTheLesson(fault) => say!(words, "lesson-mend", said = fault.to_string()),
            NotSet::SeeToTheSeal(fault) => fault.said(words),
            NotSet::TypeTheCode => words.plain(id!("exam-type-code")).to_owned(),
            NotSet::AnotherCode => words.plain(id!("exam-another-code")).to_owned(),
            NotSet::LeaveItOut(what) => what.said(words),
            NotSet::ChooseAnother(said) => say!(words, "exam-no-examination", said = said),
        }
    }
}

/// The file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealedExamination {
    cuffnote_examination: u32,
    /// Its name, which everyone may read.
    pub name: String,
    /// Where answers go.
    pub lock: TeacherLock,
    sealed: String,
}

impl SealedExamination {
    /// Sets an examination from a lesson's text. Its patients are drawn from `seed`: a drill that names a seed of its own is
    /// refused, for somebody may have practised it, and so is a recording, which would lie beside the seal.
    ///
    /// # Errors
    /// See [`NotSet`].
    pub fn set(
        name: &str,
        text: &str,
        seed: u64,
        (code, word): (&str, &str),
    ) -> Result<(Self, Lesson), NotSet> {
        let wrong = |why: String| LessonFault { name: name.to_owned(), why };
        let mut table: toml::Table = toml::from_str(text).map_err(|e| wrong(e.to_string()))?;
        refuse_what_shows(&table)?;
        table.insert("feedback".into(), "hidden".into());
        table.insert("seed".into(), toml::Value::Integer(seed as i64));
        let text = toml::to_string(&table).map_err(|e| wrong(e.to_string()))?;
        let lesson = Lesson::parse(name, &text)?;
        let sealed = sealed_with(&plain_code(code), text.as_bytes())?;
        let lock = TeacherLock::new(word)?;
        let set = Self { cuffnote_examination: VERSION, name: lesson.name.clone(), lock, sealed };
        Ok((set, lesson))
    }

    /// Reads the file.
    ///
    /// # Errors
    /// It is none, or of a newer version.
    pub fn parse(text: &str) -> Result<Self, NotSet> {
        let another = |why: String| NotSet::ChooseAnother(why);
        let read: Self = serde_json::from_str(text).map_err(|e| another(e.to_string()))?;
        match read.cuffnote_examination {
            VERSION => Ok(read),
            newer => Err(another(format!("version {newer}; this program reads {VERSION}"))),
        }
    }

    /// Whether a text is such a file, at a glance.
    pub fn is_one(text: &str) -> bool {
        text.trim_start().starts_with("{\"cuffnote_examination\"")
    }

    /// The file's text.
    ///
    /// # Errors
    /// A text that JSON cannot hold.
    pub fn text(&self) -> Result<String, serde_json::Error> {
        Ok(serde_json::to_string(self)? + "\n")
    }

    /// Its drills, by the opening code.
    ///
    /// # Errors
    /// It is another code, or the file was changed.
    pub fn open(&self, code: &str) -> Result<Lesson, NotSet> {
        let code = plain_code(code);
        if code.is_empty() {
            return Err(NotSet::TypeTheCode);
        }
        let text = opened_with(&code, &self.sealed).map_err(|fault| match fault {
            NotOpened::AnotherWord => NotSet::AnotherCode,
            fault => NotSet::SeeToTheSeal(fault),
        })?;
        let text = String::from_utf8(text).map_err(|_| NotOpened::Broken)?;
        Ok(Lesson::parse(&self.name, &text)?)
    }
}

/// A seed of the teacher's own, and what would lie beside the seal.
fn refuse_what_shows(table: &toml::Table) -> Result<(), NotSet> {
    if table.contains_key("noise_folder") {
        return Err(BesideTheSeal::Noise.into());
    }
    let drills = table.get("drill").and_then(toml::Value::as_array);
    for (place, drill) in drills.into_iter().flatten().enumerate() {
        let has = |key: &str| drill.get(key).is_some();
        if has("seed") {
            return Err(BesideTheSeal::Seed(place + 1).into());
        }
        if has("recording") {
            return Err(BesideTheSeal::Recording(place + 1).into());
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::seal::opening_code;
    use super::super::sealed_session::tests::WORD;
    use super::*;

    const LESSON: &str = "version = 1\nname = \"Spring\"\n[[drill]]\nkind = \"first-return\"\ntimes = 3\n\
                          [[drill]]\nkind = \"waveform\"\ncase.artery = \"monophasic\"\n";

    #[test]
    fn the_code_opens_the_cases_and_nobody_has_practised_one() {
        let code = opening_code();
        let (set, lesson) = SealedExamination::set("spring", LESSON, 77, (&code, WORD)).unwrap();
        let text = set.text().unwrap();
        assert!(SealedExamination::is_one(&text) && !text.contains("waveform"));
        let read = SealedExamination::parse(&text).unwrap();
        assert_eq!(read.open(&code.to_lowercase()).unwrap(), lesson);
        assert_eq!(lesson.feedback, super::super::lesson::Feedback::Hidden);
        assert!(lesson.drills.iter().all(|drill| drill.seed >= 1 << 32), "of the other stock");
        assert!(matches!(read.open(&opening_code()), Err(NotSet::AnotherCode)));
        assert!(matches!(read.open(" "), Err(NotSet::TypeTheCode)));
        let newer = text.replace("nation\":1", "nation\":2");
        assert!(SealedExamination::parse(&newer).unwrap_err().to_string().contains("reads 1"));
    }

    #[test]
    fn what_would_show_or_was_practised_is_refused() {
        let refused = |text: &str| {
            let set = SealedExamination::set("spring", text, 1, ("ABCD", WORD));
            set.unwrap_err().to_string()
        };
        assert!(refused(&LESSON.replace("times = 3", "seed = 9")).contains("drill 1"));
        let recording = "recording = { file = \"a.wav\", truth = \"kept-tap\", return_s = 9.0 }";
        assert!(refused(&LESSON.replace("times = 3", recording)).contains("beside the seal"));
        assert!(refused(&format!("noise_folder = \"ward\"\n{LESSON}")).contains("noise_folder"));
        assert!(refused("version = 1\nname = \"x\"\ndrill = []\n").contains("no [[drill]]"));
        let short = SealedExamination::set("spring", LESSON, 1, ("ABCD", "word"));
        assert!(short.unwrap_err().to_string().contains("12 letters"));
    }
}
