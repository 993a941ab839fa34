//! Practice as the window has it beside the rest: its class file in a folder, the computer's loudspeaker, a teacher's
//! lesson from a file, and two ears on live sound.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use super::Model;
use super::action::PractiseAct;
use super::choices::Choices;
use super::drill::Drilling;
use super::kept_class::ClassFolder;
use super::listening::NoSound;
use super::loud::Loudspeaker;
use super::not_practised::NotPractised;
use super::practice::{Around, Asks, Practice};
use super::refused::Refused;
use super::running::{Running, SetLesson};
use super::teacher;
use crate::clinical::guidance::GuidanceSet;
use crate::live::{Aloud, Plan, Supply};
use crate::practice::examination::SealedExamination;
use crate::practice::lesson::Lesson;
use crate::window::ear::Drive;
use crate::window::now::Now;
use crate::window::sentence::sentence;
use crate::words::{Spoken, say};

impl<'a> Around<'a> {
    /// What practice borrows of the guidance in use and of the choices.
    pub fn of(sets: &'a [GuidanceSet], choices: &Choices) -> Self {
        let output = choices.sound().through.and_then(|through| through.to);
        Self { set: sets.first(), output }
    }
}

impl Practice {
    /// Practice that keeps its class file in this folder.
    pub fn new(folder: PathBuf, drive: Drive) -> Self {
        let aloud: Loudspeaker =
            Rc::new(|source, device, hush| Box::new(Aloud::new(source, device, hush)));
        let loud = (drive == Drive::Thread).then_some(aloud);
        Self::at(Rc::new(ClassFolder(folder)), drive, loud)
    }

    /// The teacher's lesson: sealed, or plain with what it names.
    pub(super) fn teachers(&self) -> Result<SetLesson, NotPractised> {
        let (_, text) = self.teachers_text()?;
        if SealedExamination::is_one(&text) {
            let sealed = SealedExamination::parse(&text)?;
            return Ok((sealed.open(&self.code)?, Some(sealed.lock)));
        }
        let class = self.place.file();
        let book = class.parent().and_then(Path::parent);
        Ok((teacher::lesson(Path::new(self.file.trim()), book)?, None))
    }

    /// Name and text of the teacher's file.
    pub(super) fn teachers_text(&self) -> Result<(String, String), NotPractised> {
        let path = Path::new(self.file.trim());
        if path == Path::new("") {
            return Err(NotPractised::GiveALesson);
        }
        let text = std::fs::read_to_string(path)
            .map_err(|fault| teacher::NoLesson::CannotRead { path: path.to_owned(), fault })?;
        Ok((path.file_name().unwrap_or_default().to_string_lossy().into_owned(), text))
    }

    /// Two ears on this sound. Nothing of it goes into the class file: nobody knows the truth.
    pub fn begin_live(&mut self, sound: Result<(Box<dyn Supply>, Plan), NoSound>, now: Now) {
        self.said = None;
        if let Some(mut drill) = self.running.take().and_then(|running| running.drill) {
            drill.close(now.wall.utc());
        }
        let begun = sound.map(|(supply, plan)| Drilling::live(supply, plan, self.drive, now));
        let drill = match begun {
            Ok(begun) => begun.map_err(|fault| Spoken::of(move |w| sentence(&fault.said(w)))),
            Err(fault) => {
                let said = fault.to_string();
                Err(Spoken::of(move |w| say!(w, "sound-cannot-open", said = said)))
            }
        };
        match drill {
            Ok(drill) => {
                let running = Running::of(Lesson::live(), self.student.trim(), now);
                self.running = Some(Running { drill: Some(drill), live: true, ..running });
            }
            Err(said) => self.said = Some(said),
        }
    }
}

impl Model {
    /// What is done in practice, and what practice asks of the rest of the window.
    pub(super) fn practise(&mut self, act: PractiseAct, now: Now) -> Result<(), Refused> {
        let asks = self.practice.apply(act, &Around::of(&self.sets, &self.choices), now);
        match asks {
            Asks::Nothing => {}
            // A simulated patient begins to pump.
            Asks::LiveSound => {
                "right-dp".parse().into_iter().for_each(|site| self.listening.turn_to(site));
                let sound = self.listening.chosen(&self.choices, None);
                self.practice.begin_live(sound.map_err(Into::into), now);
            }
        }
        Ok(())
    }
}
