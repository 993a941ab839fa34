//! The class as its teacher looks at it: class files gathered, examinations opened by the teacher's word, tables given out.

use crate::practice::class::Class;
use crate::practice::named;
use crate::practice::overview::ClassOverview;
use crate::practice::sealed_session::SealedSession;
use crate::practice::session::Session;
use crate::words::{Spoken, say};

/// See the file's purpose.
#[derive(Debug, Default)]
pub struct ClassView {
    /// A folder of class files, as typed.
    pub folder: String,
    /// The teacher's word, as typed; gone once it was used.
    pub word: String,
    /// The files that were taken in.
    pub files: Vec<String>,
    /// What was said of them.
    pub said: Vec<Spoken>,
    /// How the class stands.
    pub seen: ClassOverview,
    /// Examinations that were opened here.
    pub opened: Vec<Session>,
    pub(super) class: Class,
}

impl ClassView {
    /// Takes a class file in: the union of its sessions.
    pub fn take(&mut self, name: &str, class: Class) {
        self.class.merge(class);
        if !self.files.iter().any(|file| file == name) {
            self.files.push(name.to_owned());
        }
        self.seen = ClassOverview::of(&self.class);
    }

    /// Examinations under seal.
    pub fn sealed(&self) -> usize {
        self.class.sealed().count()
    }

    /// Opens what the typed word opens.
    pub(super) fn unseal(&mut self) {
        let came = self.class.open(&std::mem::take(&mut self.word));
        let count = came.opened.len();
        self.said = vec![Spoken::of(move |w| say!(w, "exam-opened", count = count))];
        for (SealedSession { student, lesson, .. }, fault) in came.shut {
            self.said.push(Spoken::of(move |w| {
                let (lesson, why) = (named::lesson(w, &lesson), fault.said(w));
                say!(w, "exam-shut", student = student, lesson = lesson, why = why)
            }));
        }
        self.opened.extend(came.opened);
        self.opened.sort_by(|a, b| (&a.student, &a.begun).cmp(&(&b.student, &b.begun)));
        self.seen = ClassOverview::of(&self.class);
    }
}
