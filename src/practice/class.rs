//! A class: sessions of many students in one file, a session a line; examinations are sealed lines until they are opened.
//! Two files merge as the union of their sessions, so the order and number of merges does not matter.

use std::collections::BTreeMap;

use serde::Serialize;

use super::agreement::mean;
use super::seal::NotOpened;
use super::sealed_session::{SEALED_VERSION, SealedSession};
use super::session::{Done, Session, Summary, VERSION, summary};

/// Sessions by their id.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Class {
    sessions: BTreeMap<String, Session>,
    sealed: BTreeMap<String, SealedSession>,
}

/// What a line's version is, before it is read.
#[derive(serde::Deserialize)]
struct Versioned {
    v: u32,
}

/// What came of opening the examinations of a class.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OpenedClass {
    /// Examinations that were opened.
    pub opened: Vec<Session>,
    /// Those that were not: whose, and why.
    pub shut: Vec<(SealedSession, NotOpened)>,
}

/// Why a class file was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {why}")]
pub struct ClassFault {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong.
    pub why: String,
}

/// A case as the class found it.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct CaseFound {
    /// The case's name.
    pub case: String,
    /// How often it was done.
    pub done: usize,
    /// How often it was passed.
    pub passed: usize,
    /// Mean size of the error, milliseconds, of those that could be scored.
    pub size_ms: Option<f64>,
}

impl Class {
    /// Reads a class file.
    ///
    /// # Errors
    /// A line is no session, or of a newer version.
    pub fn parse(text: &str) -> Result<Self, ClassFault> {
        let mut class = Self::default();
        for (n, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
            let fault = |why: String| ClassFault { line: n + 1, why };
            let told = |e: serde_json::Error| fault(e.to_string());
            match serde_json::from_str::<Versioned>(line).map_err(told)?.v {
                1..=VERSION => class.add(serde_json::from_str(line).map_err(told)?),
                SEALED_VERSION => class.add_sealed(serde_json::from_str(line).map_err(told)?),
                v => {
                    let why = format!("version {v}; this program reads 1 to {SEALED_VERSION}");
                    return Err(fault(why));
                }
            }
        }
        Ok(class)
    }

    /// The file's text; the same sessions give the same text.
    ///
    /// # Errors
    /// A number in a session is none.
    pub fn text(&self) -> Result<String, serde_json::Error> {
        let sealed = self.sealed.values().map(serde_json::to_string);
        let lines = self.sessions.values().map(serde_json::to_string).chain(sealed);
        let lines: Result<Vec<String>, _> = lines.collect();
        Ok(lines?.into_iter().map(|line| line + "\n").collect())
    }

    /// Takes a session. One that is there already stays as it is, unless the new one has more drills: a
    /// session only grows.
    pub fn add(&mut self, session: Session) {
        let kept = self.sessions.get(&session.id).map_or(0, |kept| kept.drills.len() + 1);
        if session.drills.len() + 1 > kept {
            self.sessions.insert(session.id.clone(), session);
        }
    }

    /// Takes an examination under seal, by the same rule. One that was opened and is as long stays open.
    pub fn add_sealed(&mut self, sealed: SealedSession) {
        let open = self.sessions.get(&sealed.id).map_or(0, |open| open.drills.len() + 1);
        let kept = self.sealed.get(&sealed.id).map_or(0, |kept| kept.done + 1);
        if sealed.done + 1 > kept.max(open) {
            self.sealed.insert(sealed.id.clone(), sealed);
        }
    }

    /// Takes all sessions of another.
    pub fn merge(&mut self, other: Self) {
        other.sessions.into_values().for_each(|session| self.add(session));
        other.sealed.into_values().for_each(|sealed| self.add_sealed(sealed));
    }

    /// Examinations under seal.
    pub fn sealed(&self) -> impl Iterator<Item = &SealedSession> {
        self.sealed.values()
    }

    /// Opens the examinations that this word opens; they are plain sessions then.
    pub fn open(&mut self, word: &str) -> OpenedClass {
        let mut came = OpenedClass::default();
        // Of one examination all answers have one lock, and a word is slow to try.
        let mut keys = Vec::new();
        for sealed in std::mem::take(&mut self.sealed).into_values() {
            if !keys.iter().any(|(lock, _)| *lock == sealed.lock) {
                keys.push((sealed.lock.clone(), sealed.lock.key(word)));
            }
            let key = keys.iter().find(|(lock, _)| *lock == sealed.lock).map(|(_, key)| key);
            let opened = match key {
                Some(Ok(key)) => sealed.open_by(key),
                Some(Err(fault)) => Err(fault.clone()),
                None => Err(NotOpened::AnotherWord),
            };
            match opened {
                Ok(session) => {
                    self.add(session.clone());
                    came.opened.push(session);
                }
                Err(fault) => {
                    self.sealed.insert(sealed.id.clone(), sealed.clone());
                    came.shut.push((sealed, fault));
                }
            }
        }
        came
    }

    /// The sessions, oldest id first.
    pub fn sessions(&self) -> impl Iterator<Item = &Session> {
        self.sessions.values()
    }

    /// One student's drills, oldest first.
    pub fn drills_of(&self, student: &str) -> Vec<Done> {
        let own = self.sessions.values().filter(|s| s.student == student);
        let mut own: Vec<&Session> = own.collect();
        own.sort_by(|a, b| a.begun.cmp(&b.begun));
        own.into_iter().flat_map(|s| s.drills.clone()).collect()
    }

    /// Each student by code, summed up.
    pub fn students(&self) -> Vec<(String, Summary)> {
        let mut drills: BTreeMap<&str, Vec<&Done>> = BTreeMap::new();
        for session in self.sessions.values() {
            drills.entry(&session.student).or_default().extend(&session.drills);
        }
        drills.into_iter().map(|(code, all)| (code.to_owned(), summary(all))).collect()
    }

    /// The cases, the hardest first: by the share passed, then by the size of the error.
    pub fn cases(&self) -> Vec<CaseFound> {
        let mut drills: BTreeMap<&str, Vec<&Done>> = BTreeMap::new();
        for done in self.sessions.values().flat_map(|s| &s.drills) {
            drills.entry(&done.case).or_default().push(done);
        }
        let mut found: Vec<CaseFound> = drills
            .into_iter()
            .map(|(case, all)| {
                let sizes: Vec<f64> =
                    all.iter().filter_map(|d| d.score.as_ref()).map(|s| s.error_ms.abs()).collect();
                CaseFound {
                    case: case.into(),
                    done: all.len(),
                    passed: all.iter().filter(|d| d.passed()).count(),
                    size_ms: (!sizes.is_empty()).then(|| mean(&sizes)),
                }
            })
            .collect();
        let share = |c: &CaseFound| c.passed as f64 / c.done as f64;
        found.sort_by(|a, b| {
            let sizes = b.size_ms.unwrap_or(0.0).total_cmp(&a.size_ms.unwrap_or(0.0));
            share(a).total_cmp(&share(b)).then(sizes)
        });
        found
    }
}

#[cfg(test)]
mod tests {
    use super::super::session::tests::{done, session};
    use super::*;

    fn class(sessions: &[Session]) -> Class {
        let mut class = Class::default();
        sessions.iter().cloned().for_each(|s| class.add(s));
        class
    }

    #[test]
    fn merging_is_a_union_whatever_the_order() {
        let a = session("a", "S1", vec![done("x", 100.0, 120.0)]);
        let b = session("bb", "S2", vec![done("x", 2000.0, 114.0)]);
        let longer = session("a", "S1", vec![done("x", 100.0, 120.0), done("y", 90.0, 120.0)]);
        let (mut one, mut other) =
            (class(&[a.clone(), b.clone()]), class(std::slice::from_ref(&longer)));
        let (first, second) = (one.clone(), other.clone());
        one.merge(second);
        other.merge(first);
        assert_eq!(one, other);
        assert_eq!(one.sessions().count(), 2);
        assert_eq!(one.drills_of("S1").len(), 2);
        let again = Class::parse(&one.text().unwrap()).unwrap();
        assert_eq!(again, one);
    }

    #[test]
    fn students_are_compared_and_hard_cases_come_first() {
        let class = class(&[
            session("a", "S1", vec![done("easy", 100.0, 120.0), done("hard", 2500.0, 112.0)]),
            session("bb", "S2", vec![done("easy", 200.0, 120.0), done("hard", 150.0, 120.0)]),
        ]);
        let students = class.students();
        assert_eq!(students[0].0, "S1");
        assert_eq!((students[0].1.passed, students[1].1.passed), (1, 2));
        let cases = class.cases();
        assert_eq!((cases[0].case.as_str(), cases[0].passed, cases[0].done), ("hard", 1, 2));
    }

    #[test]
    fn examinations_stay_sealed_until_their_word_opens_them() {
        use super::super::seal::TeacherLock;
        use super::super::sealed_session::tests::{WORD, examined};
        let lock = TeacherLock::new(WORD).unwrap();
        let mut shared = class(&[session("a", "S1", vec![done("x", 100.0, 120.0)])]);
        for (id, student) in [("e1", "S1"), ("e2", "S2")] {
            let sealed = SealedSession::of(&examined(id, student), &lock).unwrap();
            shared.add_sealed(sealed);
        }
        let text = shared.text().unwrap();
        let mut read = Class::parse(&text).unwrap();
        assert_eq!((read.clone(), read.sessions().count(), read.sealed().count()), (shared, 1, 2));
        let wrong = read.open("another word here");
        assert_eq!((wrong.opened.len(), wrong.shut.len()), (0, 2));
        let mut forged = read.clone();
        forged.sealed.get_mut("e2").unwrap().student = "S1".into();
        let came = forged.open(WORD);
        assert_eq!((came.opened.len(), came.shut[0].1.clone()), (1, NotOpened::Broken));
        assert_eq!(read.open(WORD).opened.len(), 2);
        assert_eq!((read.sessions().count(), read.sealed().count()), (3, 0));
        // The sealed file that comes in again does not count twice.
        read.merge(Class::parse(&text).unwrap());
        assert_eq!((read.sessions().count(), read.sealed().count()), (3, 0));
    }

    #[test]
    fn a_broken_line_is_named() {
        let good = serde_json::to_string(&session("a", "S1", vec![])).unwrap();
        let fault = Class::parse(&format!("{good}\nnonsense\n")).unwrap_err();
        assert_eq!(fault.line, 2);
        let newer = good.replace(&format!("\"v\":{VERSION}"), "\"v\":9");
        assert!(Class::parse(&newer).unwrap_err().why.contains("reads 1 to"));
    }
}
