//! Practice as the window has it beside the rest: its class file in a folder, the computer's loudspeaker, a teacher's
//! lesson from a file, and two ears on live sound.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use super::choices::Choices;
use super::drill::Drilling;
use super::kept_class::ClassFolder;
use super::listening::NoSound;
use super::loud::Loudspeaker;
use super::practice::{Around, NotPractised, Practice};
use super::running::Running;
use super::teacher;
use crate::clinical::guidance::GuidanceSet;
use crate::live::{Aloud, Plan, Supply};
use crate::practice::lesson::Lesson;
use crate::window::ear::Drive;
use crate::window::now::Now;
use crate::window::sentence::sentence;

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

    pub(super) fn teachers(&self) -> Result<Lesson, NotPractised> {
        let class = self.place.file();
        let book = class.parent().and_then(Path::parent);
        Ok(teacher::lesson(Path::new(self.file.trim()), book)?)
    }

    /// Two ears on this sound. Nothing of it goes into the class file: nobody knows the truth.
    pub fn begin_live(&mut self, sound: Result<(Box<dyn Supply>, Plan), NoSound>, now: Now) {
        self.said = None;
        if let Some(mut drill) = self.running.take().and_then(|running| running.drill) {
            drill.close(now.wall.utc());
        }
        let drill = match sound {
            Ok((supply, plan)) => {
                Drilling::live(supply, plan, self.drive, now).map_err(|e| e.to_string())
            }
            Err(fault) => Err(fault.to_string()),
        };
        match drill {
            Ok(drill) => {
                let running = Running::of(Lesson::live(), self.student.trim(), now);
                self.running = Some(Running { drill: Some(drill), live: true, ..running });
            }
            Err(said) => self.said = Some(sentence(&said)),
        }
    }
}
