//! What a student did in an examination, sealed until its teacher opens it: a line of the class file, or a file of its own.

use serde::{Deserialize, Serialize};

use super::seal::{NotOpened, TeacherKey, TeacherLock};
use super::session::Session;

/// The version of a sealed line: programs that know plain sessions alone refuse it with a sentence.
pub const SEALED_VERSION: u32 = 3;

/// An examination under seal. The label can be read by everyone; what it says is held against what was sealed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct SealedSession {
    /// The layout.
    pub v: u32,
    /// The session's id.
    pub id: String,
    /// The student's code.
    pub student: String,
    /// The examination's name.
    pub lesson: String,
    /// When it was begun.
    pub begun: String,
    /// How many drills were done.
    pub done: usize,
    /// What the teacher's word opens.
    pub lock: TeacherLock,
    /// The session, sealed.
    pub sealed: String,
}

impl SealedSession {
    /// Seals what was done until now.
    ///
    /// # Errors
    /// The lock is no lock.
    pub fn of(session: &Session, lock: &TeacherLock) -> Result<Self, NotOpened> {
        let plain = serde_json::to_vec(session).map_err(|e| NotOpened::NotSealed(e.to_string()))?;
        Ok(Self {
            v: SEALED_VERSION,
            id: session.id.clone(),
            student: session.student.clone(),
            lesson: session.lesson.clone(),
            begun: session.begun.clone(),
            done: session.drills.len(),
            lock: lock.clone(),
            sealed: lock.seal(&plain)?,
        })
    }

    /// What was done, by the teacher's word.
    ///
    /// # Errors
    /// It is another word, or the seal or its label was changed.
    pub fn open(&self, word: &str) -> Result<Session, NotOpened> {
        self.open_by(&self.lock.key(word)?)
    }

    /// What was done, by a key that is there already.
    ///
    /// # Errors
    /// The seal or its label was changed.
    pub fn open_by(&self, key: &TeacherKey) -> Result<Session, NotOpened> {
        let plain = key.open(&self.sealed)?;
        let session: Session = serde_json::from_slice(&plain).map_err(|_| NotOpened::Broken)?;
        let label = (&self.id, &self.student, &self.lesson, &self.begun, self.done);
        let own = (&session.id, &session.student, &session.lesson, &session.begun);
        let same = label == (own.0, own.1, own.2, own.3, session.drills.len());
        same.then_some(session).ok_or(NotOpened::Broken)
    }

    /// The file's text: one line.
    ///
    /// # Errors
    /// A text that JSON cannot hold.
    pub fn line(&self) -> Result<String, serde_json::Error> {
        Ok(serde_json::to_string(self)? + "\n")
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::session::tests::{done, session};
    use super::*;

    pub const WORD: &str = "lantern orchard seven";

    pub fn examined(id: &str, student: &str) -> Session {
        let drills = vec![done("Examination 12, case 1", 180.0, 120.0)];
        let lesson = "Spring".into();
        Session { lesson, examination: true, ..session(id, student, drills) }
    }

    #[test]
    fn nothing_of_the_answers_is_read_and_no_label_is_changed_unnoticed() {
        let lock = TeacherLock::new(WORD).unwrap();
        let session = examined("a", "S-07");
        let sealed = SealedSession::of(&session, &lock).unwrap();
        let line = sealed.line().unwrap();
        for said in ["error_ms", "180", "case 1"] {
            assert!(!line.contains(said), "{said}");
        }
        assert_eq!(sealed.open(WORD).unwrap(), session);
        let relabelled = SealedSession { student: "S-08".into(), ..sealed.clone() };
        assert_eq!(relabelled.open(WORD), Err(NotOpened::Broken));
        let shorter = SealedSession { done: 0, ..sealed.clone() };
        assert_eq!(shorter.open(WORD), Err(NotOpened::Broken));
        assert_eq!(sealed.open("another word here"), Err(NotOpened::AnotherWord));
    }
}
