//! Where a row of a table comes from.

use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;

/// Where a row comes from: so that a row of an export can be found again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Origin<'a> {
    /// The visit's id in its record book; empty where it is in none.
    pub visit: &'a str,
    /// The service that measured.
    pub service: &'a str,
    /// The chain of the record book.
    pub book: &'a str,
}

/// A visit with what was worked out from it, and where it comes from.
pub type TableVisit<'a> = (&'a Visit, &'a VisitResult, Origin<'a>);
