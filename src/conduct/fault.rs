//! Why something cannot be done in a visit.

use crate::clinical::visit::VisitFault;

/// Why a command was not carried out; nothing was changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// No site is turned to.
    #[error("choose a site first")]
    NoAttempt,
    /// After exercise the sites of the indexes at rest are measured; there are none.
    #[error("measure at rest first: there is no index to compare with")]
    NothingAtRest,
    /// Something needs a word.
    #[error("type a code first")]
    NoCode,
    /// There is no reading to correct.
    #[error("there is no reading to correct")]
    NoReading,
    /// What was not done needs one reason for all.
    #[error("say why the rest was not measured")]
    NoReason,
    /// Who and why are missing.
    #[error("say who corrects it and why")]
    NobodyOrNoReason,
    /// Nothing was done that can be undone.
    #[error("there is nothing to undo")]
    NothingToUndo,
    /// It does not fit the visit.
    #[error(transparent)]
    Visit(#[from] VisitFault),
}
