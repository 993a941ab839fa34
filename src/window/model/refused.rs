//! Why an act was not done, by the part of the window that refused it.

use super::correcting::NotCorrected;
use super::opening::NotBegun;
use super::report::NotWritten;
use super::shelf::NotShown;
use super::visit::NotDone;

/// Why an act was not done, by the part that refused it.
#[derive(Debug, thiserror::Error)]
pub enum Refused {
    /// No visit is begun.
    #[error(transparent)]
    Opening(#[from] NotBegun),
    /// The visit does not take it.
    #[error(transparent)]
    Visit(#[from] NotDone),
    /// Nothing is put right yet.
    #[error(transparent)]
    Correcting(#[from] NotCorrected),
    /// It is not shown.
    #[error(transparent)]
    Shelf(#[from] NotShown),
    /// No report is written.
    #[error(transparent)]
    Report(#[from] NotWritten),
}
