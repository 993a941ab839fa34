//! A class: sessions of many students in one file, a session a line. Two files merge as the union of their
//! sessions, so the order and number of merges does not matter.

use std::collections::BTreeMap;

use serde::Serialize;

use super::agreement::mean;
use super::session::{Done, Session, Summary, VERSION, summary};

/// Sessions by their id.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Class {
    sessions: BTreeMap<String, Session>,
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
            let session: Session = serde_json::from_str(line).map_err(|e| fault(e.to_string()))?;
            if !(1..=VERSION).contains(&session.v) {
                let why = format!("version {}; this program reads 1 to {VERSION}", session.v);
                return Err(fault(why));
            }
            class.add(session);
        }
        Ok(class)
    }

    /// The file's text; the same sessions give the same text.
    ///
    /// # Errors
    /// A number in a session is none.
    pub fn text(&self) -> Result<String, serde_json::Error> {
        let lines = self.sessions.values().map(serde_json::to_string);
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

    /// Takes all sessions of another.
    pub fn merge(&mut self, other: Self) {
        other.sessions.into_values().for_each(|session| self.add(session));
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
    use super::super::session::tests::done;
    use super::*;

    fn session(id: &str, student: &str, drills: Vec<Done>) -> Session {
        Session {
            v: VERSION,
            id: id.into(),
            student: student.into(),
            lesson: "Monday".into(),
            begun: format!("2027-01-0{}", id.len()),
            examination: false,
            drills,
            threshold: None,
        }
    }

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
    fn a_broken_line_is_named() {
        let good = serde_json::to_string(&session("a", "S1", vec![])).unwrap();
        let fault = Class::parse(&format!("{good}\nnonsense\n")).unwrap_err();
        assert_eq!(fault.line, 2);
        let newer = good.replace(&format!("\"v\":{VERSION}"), "\"v\":9");
        assert!(Class::parse(&newer).unwrap_err().why.contains("reads 1 to"));
    }
}
