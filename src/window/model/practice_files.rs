//! Files in practice: what is given is taken for what it is, and a teacher's class is gathered and given out.

use super::action::{ClassAct, TryAct};
use super::class_view::ClassView;
use super::given::{FileRefused, GivenFile};
use super::kept_class::class_in;
use super::not_practised::NotPractised;
use super::practice::{Practice, refused};
use super::tried::Tried;
use crate::practice::class::{Class, ClassFault};
use crate::practice::examination::SealedExamination;
use crate::practice::page::{class_page, session_page};
use crate::practice::student_page::student_page;
use crate::words::{Spoken, Words, say};

impl Practice {
    /// Says why a file is not taken.
    pub fn refuse(&mut self, fault: FileRefused) {
        self.said = Some(refused(fault.into()));
    }

    /// Takes a file that was given.
    pub(super) fn take_given(&mut self, file: &GivenFile) -> Result<(), NotPractised> {
        let bytes = file.read()?;
        if bytes.starts_with(b"RIFF") || file.ends_in(".wav") {
            self.tried = Some(Tried::of(&file.name, &bytes));
            return Ok(());
        }
        let another = || FileRefused::GiveAnother(file.name.clone());
        let text = std::str::from_utf8(&bytes).map_err(|_| another())?;
        let sealed = SealedExamination::is_one(text);
        if sealed || file.ends_in(".toml") {
            // Each examination has a code of its own.
            self.code.clear();
            if let Some(path) = &file.path {
                self.file = path.display().to_string();
            } else {
                self.file.clone_from(&file.name);
                self.given = Some((file.name.clone(), text.to_owned()));
            }
            let name = file.name.clone();
            self.said = Some(Spoken::of(move |w| match sealed {
                true => say!(w, "practice-given-sealed", name = name),
                false => say!(w, "practice-given-lesson", name = name),
            }));
            return Ok(());
        }
        if file.ends_in(".jsonl") || file.ends_in(".sealed") {
            let class = Class::parse(text)
                .map_err(|fault| NotPractised::MendTheClass { name: file.name.clone(), fault })?;
            self.class_view()?.take(&file.name, class);
            return Ok(());
        }
        Err(another().into())
    }

    /// A sound of one's own is tried.
    pub(super) fn at_trial(&mut self, act: TryAct) -> Result<(), NotPractised> {
        match act {
            TryAct::Begin => self.tried = Some(Tried::empty()),
            TryAct::Leave => self.tried = None,
            TryAct::File(path) => self.sound_file = path,
            TryAct::Read => {
                let path = self.sound_file.trim().into();
                self.take_given(&GivenFile::at(path))?;
            }
        }
        Ok(())
    }

    /// The student's own page: what to practise next and why, and progress.
    pub(super) fn own_page(&mut self) -> Result<(), NotPractised> {
        let student = self.student.trim().to_owned();
        if student.is_empty() {
            return Err(NotPractised::TypeACode);
        }
        let class = class_in(&*self.place)?;
        let page = student_page(self.words, &class, &student, crate::units::wall_clock());
        let path = self.place.give("my-course.html", &page)?;
        self.said = Some(Spoken::of(move |w| say!(w, "practice-own-page-is", path = path.said(w))));
        Ok(())
    }

    /// The view of the class; it begins with the class file that is kept here.
    pub(super) fn class_view(&mut self) -> Result<&mut ClassView, NotPractised> {
        if self.class.is_none() {
            let mut view = ClassView::default();
            let own = class_in(&*self.place)?;
            view.take(&self.place.file().display().to_string(), own);
            self.class = Some(view);
        }
        Ok(self.class.get_or_insert_default())
    }

    /// Applies an act of the teacher's.
    pub(super) fn at_class(&mut self, act: ClassAct) -> Result<(), NotPractised> {
        match act {
            ClassAct::Open => drop(self.class_view()?),
            ClassAct::Leave => self.class = None,
            ClassAct::Folder(folder) => self.class_view()?.folder = folder,
            ClassAct::Word(word) => self.class_view()?.word = word,
            ClassAct::Read => self.read_folder()?,
            ClassAct::Unseal => self.class_view()?.unseal(),
            ClassAct::Csv => {
                let csv = self.class_view()?.seen.csv();
                let path = self.place.give("class.csv", csv.as_bytes())?;
                let said = move |w: Words| say!(w, "class-table-is", path = path.said(w));
                self.said = Some(Spoken::of(said));
            }
            ClassAct::Page => {
                let page = class_page(self.words, &self.class_view()?.class);
                let path = self.place.give("class.html", &page)?;
                let said = move |w: Words| say!(w, "class-page-is", path = path.said(w));
                self.said = Some(Spoken::of(said));
            }
            ClassAct::Examination(number) => {
                let Some(session) = self.class_view()?.opened.get(number).cloned() else {
                    return Ok(());
                };
                let name = format!("session-{}.html", session.id);
                let path = self.place.give(&name, &session_page(self.words, &session))?;
                let said = move |w: Words| say!(w, "exam-page-is", path = path.said(w));
                self.said = Some(Spoken::of(said));
            }
        }
        Ok(())
    }

    /// Each class file of the folder; a file that is none is named and left out.
    fn read_folder(&mut self) -> Result<(), NotPractised> {
        let folder = self.class_view()?.folder.trim().to_owned();
        let listed = std::fs::read_dir(&folder)
            .map_err(|fault| FileRefused::CannotRead { name: folder.clone(), fault })?;
        let mut files: Vec<_> = listed.filter_map(|entry| Some(entry.ok()?.path())).collect();
        files.sort();
        let known = |path: &std::path::PathBuf| {
            path.extension().is_some_and(|ending| ending == "jsonl" || ending == "sealed")
        };
        let mut said = Vec::new();
        let (mut read, mut sessions) = (0_usize, 0);
        for path in files.into_iter().filter(known) {
            let file = GivenFile::at(path);
            match read_class(&file) {
                Ok(class) => {
                    read += 1;
                    sessions += class.sessions().count() + class.sealed().count();
                    self.class_view()?.take(&file.name, class);
                }
                Err(fault) => {
                    let said_of = move |w: Words| say!(w, "class-left-out", why = fault.said(w));
                    said.push(Spoken::of(said_of));
                }
            }
        }
        let count = move |w: Words| {
            say!(w, "class-read-folder", files = read, folder = folder, sessions = sessions)
        };
        said.insert(0, Spoken::of(count));
        self.class_view()?.said = said;
        Ok(())
    }
}

fn read_class(file: &GivenFile) -> Result<Class, NotPractised> {
    let bytes = file.read()?;
    let mend = |fault| NotPractised::MendTheClass { name: file.name.clone(), fault };
    let text = std::str::from_utf8(&bytes)
        .map_err(|fault| mend(ClassFault { line: 1, why: fault.to_string() }))?;
    Class::parse(text).map_err(mend)
}
