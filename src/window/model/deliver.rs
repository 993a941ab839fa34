//! The report of the visit in hand, or of the one looked at: written, and shown or printed by the system.

use std::path::PathBuf;

use super::Model;
use super::refused::Refused;
use super::report::{self, NotWritten};
use crate::clinical::visit::Visit;
use crate::conduct::Conduct;
use crate::logbook::REPORTS;
use crate::window::now::Now;
use crate::window::outside::Deed;
use crate::words::say;

impl Model {
    /// The visit that a result is shown of, in hand or from the book.
    pub fn result_visit(&self) -> Option<&Visit> {
        let looked_at = || self.shelf.looked_at.as_ref().map(|at| &at.visit);
        self.visit.conduct().map(Conduct::visit).or_else(looked_at)
    }

    /// Writes the report as it is now, and has the system show or print it.
    pub(super) fn hand_out(&mut self, deed: Deed, now: Now) -> Result<(), Refused> {
        let path = self.save_report(now)?;
        self.outside.ask(deed, &path);
        Ok(())
    }

    /// Writes the report as PDF and as a page, and says where.
    pub(super) fn save_report(&mut self, now: Now) -> Result<PathBuf, Refused> {
        let visit = self.result_visit().ok_or(NotWritten::OpenAVisit)?;
        let held = self.visit.held.as_ref();
        let id = held.map(|held| held.id).or(self.shelf.looked_at.as_ref().map(|at| at.row.id));
        let words = self.choices.report_language();
        let kept_in = id.zip(self.shelf.head()).map(|(id, head)| head.of_visit(words, id));
        let sounds = held.map_or(&[][..], |held| &held.sounds);
        let content = report::content(visit, (&self.sets, sounds), &self.choices, kept_in);
        // In the visit's own folder, so that deleting the visit finds it.
        let folder = self.keeper.folder().join(REPORTS);
        let folder = id.map_or(folder.clone(), |id| folder.join(id.to_string()));
        let as_named = (visit.opened.record.as_str(), self.choices.paper());
        let path = report::write(&content, as_named, &folder, now)?;
        let at = path.display().to_string();
        self.notice = Some(say!(self.words(), "fault-written", path = at));
        Ok(path)
    }
}
