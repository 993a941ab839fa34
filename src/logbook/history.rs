//! One record from visit to visit: every visit of it, worked out, for whoever shows how it went.

use super::{Book, BookFault, Search, VisitRow};
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::VisitResult;
use crate::clinical::site::Side;
use crate::clinical::trend::{self, LegAtVisit};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out_in;
use crate::words::Words;

/// A record with all its visits.
#[derive(Debug, Clone)]
pub struct History {
    /// Its code.
    pub record: String,
    /// Its visits that could be worked out, oldest first.
    pub visits: Vec<(VisitRow, VisitResult)>,
    /// Those that could not, oldest first, and why.
    pub faults: Vec<(VisitRow, String)>,
    /// When its next test is due, where one is and was not done since.
    pub due: Option<String>,
}

impl History {
    /// Reads and works out all visits of a record, as these sets of guidance have it, in English.
    ///
    /// # Errors
    /// As [`History::read_in`].
    pub fn read(book: &Book, record: &str, sets: &[GuidanceSet]) -> Result<Self, BookFault> {
        Self::read_in(Words::english(), book, record, sets)
    }

    /// The same in a language.
    ///
    /// # Errors
    /// The list of visits cannot be read. One visit that cannot is among the faults.
    pub fn read_in(
        words: Words,
        book: &Book,
        record: &str,
        sets: &[GuidanceSet],
    ) -> Result<Self, BookFault> {
        let all = Search { record: Some(record.to_owned()), ..Search::default() };
        let (mut visits, mut faults) = (Vec::new(), Vec::new());
        for row in book.visits(&all)?.into_iter().rev() {
            let events = book.events(row.id).map_err(|fault| fault.to_string());
            match events.and_then(|e| Visit::read(&e).map_err(|fault| fault.to_string())) {
                Ok(visit) => {
                    visits.push((row, work_out_in(words, &visit, sets, Assumed::default())))
                }
                Err(fault) => faults.push((row, fault)),
            }
        }
        let due = book.next_test_of(record)?;
        Ok(Self { record: record.to_owned(), visits, faults, due })
    }

    /// One leg from visit to visit.
    pub fn steps(&self, side: Side) -> Vec<LegAtVisit> {
        let results: Vec<VisitResult> = self.visits.iter().map(|(_, r)| r.clone()).collect();
        trend::of(side, &results)
    }
}
