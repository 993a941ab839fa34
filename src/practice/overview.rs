//! How a class stands, for its teacher: where each student is, and which sound is missed by many. Students stand in the order
//! of their codes; nobody is ranked.

use jiff::Timestamp;

use super::cases::{self, CaseKind, answer_said};
use super::class::Class;
use super::course::{Advice, CourseState, StudentLag};
use super::session::{Done, Session};
use crate::words::{Words, say};

/// The last so many answers of a student to one sound are looked at, and fewer than the least say nothing.
const LOOKED_AT: usize = 10;
const LEAST: usize = 3;
/// Less than this share right, and the sound is missed by that student (as the course has it).
const ENOUGH: f64 = 0.75;

/// Where one student is.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The student's code.
    pub code: String,
    /// The day of the last session, as it was written.
    pub last: String,
    /// Drills done, examinations left out.
    pub drills: usize,
    /// Drills passed.
    pub passed: usize,
    /// The lag of the taps.
    pub lag: Option<StudentLag>,
    /// The threshold in noise and its standard deviation, decibels.
    pub threshold_db: Option<(f64, f64)>,
    /// What is to be practised next.
    pub next: Advice,
    /// Examinations under seal.
    pub sealed: usize,
    /// Examinations that are open: drills passed, of how many.
    pub examined: Option<(usize, usize)>,
}

/// A sound, and how many miss it.
#[derive(Debug, Clone, PartialEq)]
pub struct MissedSound {
    /// What was asked.
    pub kind: CaseKind,
    /// The right word; none where a return was to be found.
    pub word: Option<&'static str>,
    /// Students who answered often enough to tell.
    pub students: usize,
    /// Of them, those who miss it.
    pub missed_by: usize,
    /// Their answers together.
    pub answers: usize,
    /// Of them, right.
    pub right: usize,
}

/// A class as its teacher looks at it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClassOverview {
    /// Each student, in the order of their codes.
    pub students: Vec<Standing>,
    /// Each sound, that missed by most first.
    pub sounds: Vec<MissedSound>,
}

impl ClassOverview {
    /// Of this class, when the newest session was begun.
    pub fn of(class: &Class) -> Self {
        let now = class.sessions().filter_map(|s| s.begun.parse::<Timestamp>().ok()).max();
        let now = now.unwrap_or_default();
        let mut codes: Vec<&str> = class.sessions().map(|s| s.student.as_str()).collect();
        codes.extend(class.sealed().map(|s| s.student.as_str()));
        codes.sort_unstable();
        codes.dedup();
        let students = codes.iter().map(|code| standing(class, code, now)).collect();
        let mut sounds: Vec<MissedSound> = asked()
            .map(|(kind, word)| missed(class, &codes, (kind, word)))
            .filter(|sound| sound.answers > 0)
            .collect();
        let share = |sound: &MissedSound| sound.missed_by as f64 / sound.students.max(1) as f64;
        sounds.sort_by(|a, b| share(b).total_cmp(&share(a)));
        Self { students, sounds }
    }

    /// As a table for other programs: a line a student, comma-separated, in English whatever the language.
    pub fn csv(&self) -> String {
        let mut text = String::from(
            "code,last_session,drills,passed,taps,lag_ms,lag_95_low_ms,lag_95_high_ms,spread_ms,threshold_db,threshold_sd_db,next,examinations_sealed,examined_drills,examined_passed\n",
        );
        for s in &self.students {
            let lag = |of: &dyn Fn(&StudentLag) -> f64| {
                s.lag.as_ref().map_or(String::new(), |lag| format!("{:.1}", of(lag)))
            };
            let level = |of: &dyn Fn((f64, f64)) -> f64| {
                s.threshold_db.map_or(String::new(), |db| format!("{:.2}", of(db)))
            };
            let examined = s.examined.map(|(passed, of)| (of.to_string(), passed.to_string()));
            let (of, passed) = examined.unwrap_or_default();
            let row = [
                cell(&s.code),
                cell(&s.last),
                s.drills.to_string(),
                s.passed.to_string(),
                s.lag.map_or(0, |lag| lag.taps).to_string(),
                lag(&|l| l.mean_ms),
                lag(&|l| l.mean_ms - l.half_ms),
                lag(&|l| l.mean_ms + l.half_ms),
                lag(&|l| l.sd_ms),
                level(&|db| db.0),
                level(&|db| db.1),
                cell(&s.next.said(Words::english())),
                s.sealed.to_string(),
                of,
                passed,
            ];
            text += &row.join(",");
            text.push('\n');
        }
        text
    }
}

/// One cell: quoted where it must be, and never a formula of a spreadsheet.
fn cell(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    match text.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", text.replace('"', "\"\"")),
        false => text,
    }
}

/// Each sound that is asked for.
fn asked() -> impl Iterator<Item = (CaseKind, Option<&'static str>)> {
    CaseKind::ALL.into_iter().flat_map(|kind| match cases::choices(kind) {
        [] => vec![(kind, None)],
        words => words.iter().map(|word| (kind, Some(*word))).collect(),
    })
}

fn standing(class: &Class, code: &str, now: Timestamp) -> Standing {
    let own: Vec<&Session> = class.sessions().filter(|s| s.student == code).collect();
    let state = CourseState::of(own.iter().copied(), now);
    let of = |examination: bool| -> Vec<&Done> {
        own.iter().filter(|s| s.examination == examination).flat_map(|s| &s.drills).collect()
    };
    let passed = |drills: &[&Done]| drills.iter().filter(|done| done.passed()).count();
    let (practised, examined) = (of(false), of(true));
    let sealed: Vec<_> = class.sealed().filter(|s| s.student == code).collect();
    let begun = own.iter().map(|s| &s.begun).chain(sealed.iter().map(|s| &s.begun));
    Standing {
        code: code.to_owned(),
        last: begun.max().cloned().unwrap_or_default(),
        drills: practised.len(),
        passed: passed(&practised),
        lag: state.lag,
        threshold_db: (state.level.trials() > 0).then(|| state.level.threshold_db()),
        next: state.advice,
        sealed: sealed.len(),
        examined: (!examined.is_empty()).then(|| (passed(&examined), examined.len())),
    }
}

fn missed(
    class: &Class,
    codes: &[&str],
    (kind, word): (CaseKind, Option<&'static str>),
) -> MissedSound {
    let (mut students, mut missed_by, mut answers, mut right) = (0, 0, 0, 0);
    for code in codes {
        let mut sessions: Vec<&Session> = class.sessions().filter(|s| s.student == *code).collect();
        sessions.sort_by(|a, b| a.begun.cmp(&b.begun));
        let own: Vec<&Done> = sessions
            .into_iter()
            .flat_map(|s| &s.drills)
            .filter(|done| done.kind == kind && (word.is_none() || done.right.as_deref() == word))
            .collect();
        let recent = &own[own.len().saturating_sub(LOOKED_AT)..];
        let passed = recent.iter().filter(|done| done.passed()).count();
        (answers, right) = (answers + recent.len(), right + passed);
        if recent.len() >= LEAST {
            students += 1;
            missed_by += usize::from((passed as f64) < ENOUGH * recent.len() as f64);
        }
    }
    MissedSound { kind, word, students, missed_by, answers, right }
}

impl MissedSound {
    /// The sound and how many miss it, in the words of a language.
    pub fn said(&self, words: Words) -> String {
        let (kind, missed) = (self.kind.said(words), self.missed(words));
        let name = match self.word {
            Some(word) => {
                let word = answer_said(words, word);
                say!(words, "class-sound", kind = kind, said = word)
            }
            None => kind.to_owned(),
        };
        say!(words, "class-sound", kind = name, said = missed)
    }

    fn missed(&self, words: Words) -> String {
        let Self { students, missed_by, answers, right, .. } = *self;
        if students == 0 {
            return say!(words, "class-missed-unknown", right = right, answers = answers);
        }
        say!(
            words,
            "class-missed-by",
            missed = missed_by,
            students = students,
            right = right,
            answers = answers
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::seal::TeacherLock;
    use super::super::sealed_session::{SealedSession, tests as sealing};
    use super::super::session::tests::{done, said, session};
    use super::*;

    fn damped(right: &str, answer: &str) -> Done {
        said(CaseKind::Damped, right, answer)
    }

    #[test]
    fn students_stand_by_their_codes_and_the_sound_missed_by_most_comes_first() {
        let mut class = Class::default();
        let (hears, misses) = (damped("damped", "damped"), damped("damped", "not damped"));
        let quick = damped("not damped", "not damped");
        for (code, own) in [("S-2", &misses), ("S-1", &hears), ("S-3", &misses)] {
            let mut drills = vec![own.clone(); 4];
            drills.extend(vec![quick.clone(); 4]);
            drills.push(done("b", 250.0, 120.0));
            class.add(session(&format!("p-{code}"), code, drills));
        }
        let lock = TeacherLock::new(sealing::WORD).unwrap();
        class.add_sealed(SealedSession::of(&sealing::examined("e", "=S-4"), &lock).unwrap());
        let seen = ClassOverview::of(&class);
        let codes: Vec<&str> = seen.students.iter().map(|s| s.code.as_str()).collect();
        assert_eq!(codes, ["=S-4", "S-1", "S-2", "S-3"]);
        assert_eq!((seen.students[0].sealed, seen.students[0].drills), (1, 0));
        assert_eq!((seen.students[1].passed, seen.students[2].passed), (9, 5));
        let first = &seen.sounds[0];
        assert_eq!((first.word, first.missed_by, first.students), (Some("damped"), 2, 3));
        let said = first.said(Words::english());
        assert!(said.contains("missed by 2 of 3"), "{said}");
        let csv = seen.csv();
        assert_eq!(csv.lines().count(), 5);
        assert!(csv.contains("\n'=S-4,"), "no formula: {csv}");
        let mut read = csv::Reader::from_reader(csv.as_bytes());
        assert_eq!(read.records().filter_map(Result::ok).count(), 4, "each line is as wide");
        class.open(sealing::WORD);
        let seen = ClassOverview::of(&class);
        assert_eq!((seen.students[0].examined, seen.students[0].sealed), (Some((1, 1)), 0));
    }
}
