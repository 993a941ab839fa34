//! Why something cannot be done in a visit.

use crate::clinical::visit::VisitFault;

/// Why a command was not carried out; nothing was changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// No site is turned to.
    #[error("turn to a site first")]
    NoAttempt,
    /// There is no reading to correct.
    #[error("there is no reading to correct")]
    NoReading,
    /// Nothing was done that can be undone.
    #[error("there is nothing to undo")]
    NothingToUndo,
    /// It does not fit the visit.
    #[error(transparent)]
    Visit(#[from] VisitFault),
}
