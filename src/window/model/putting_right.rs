//! Putting right what was recorded, in the visit in hand or in one that is looked at.

use super::Model;
use super::action::PutRight;
use super::action::Screen;
use super::correcting::{Correcting, NotCorrected};
use super::refused::Refused;
use super::shelf::NotShown;
use super::visit::{self, NotDone};
use crate::conduct::{AtSite, Command, Conduct};
use crate::window::now::Now;
use crate::words::id;

impl Model {
    /// What was recorded is put right, in the visit in hand or in one that is looked at.
    pub(super) fn put_right(&mut self, act: PutRight, now: Now) -> Result<(), Refused> {
        match act {
            PutRight::Begin(site) => {
                let visit = self.result_visit().ok_or(NotDone::BeginOne)?;
                let operator = self.choices.operator();
                self.correcting = Some(Correcting::at(site, visit, operator, self.screen));
                self.screen = Screen::Correct;
                Ok(())
            }
            PutRight::Fill(field) => {
                self.correcting.iter_mut().for_each(|correcting| correcting.take(field.clone()));
                Ok(())
            }
            PutRight::Correct | PutRight::Withdraw => {
                let looked_at = self.shelf.looked_at.as_ref().map(|at| &at.visit);
                let visit = self.visit.conduct().map(Conduct::visit).or(looked_at);
                let visit = visit.ok_or(NotDone::BeginOne)?;
                let correcting = self.correcting.as_mut().ok_or(NotCorrected::ChooseAnAttempt)?;
                let withdraw = act == PutRight::Withdraw;
                let correction = match withdraw {
                    true => correcting.withdrawal()?,
                    false => correcting.correction(visit)?,
                };
                self.record(Command::Correct(correction), now)
            }
            PutRight::MeasureAgain => {
                let Some(correcting) = self.correcting.take() else { return Ok(()) };
                let again = AtSite::TurnTo(correcting.site);
                self.in_visit(now, |visit, beside| visit.at_site(again, beside))
            }
            PutRight::Back => self.back_from_correcting(now),
        }
    }

    /// A correction goes to the visit in hand, or to the one that is looked at.
    fn record(&mut self, command: Command, now: Now) -> Result<(), Refused> {
        if self.visit.held.is_some() {
            self.in_visit(now, |visit, beside| visit.act(command, beside))?;
        } else {
            let rules = visit::rules(&self.choices);
            self.shelf.record(command, rules, &self.keeper, now)?;
        }
        self.back_from_correcting(now)?;
        self.visit.wait_for_book(&self.keeper).map_err(NotShown::from)?;
        self.notice = Some(self.words().plain(id!("correct-done")).into());
        Ok(())
    }

    fn back_from_correcting(&mut self, now: Now) -> Result<(), Refused> {
        let from = self.correcting.take().map(|correcting| correcting.from);
        from.map_or(Ok(()), |screen| self.go(screen, now))
    }
}
