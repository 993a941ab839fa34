//! Why an act was not done, by the part of the window that refused it, in the words of a language.

use super::correcting::NotCorrected;
use super::opening::NotBegun;
use super::report::NotWritten;
use super::shelf::NotShown;
use super::visit::NotDone;
use crate::clinical::moment::NoDay;
use crate::clinical::reasons;
use crate::clinical::visit::VisitFault;
use crate::conduct::Refusal;
use crate::logbook::{BookFault, NotKept, NotKeptYet};
use crate::words::{Words, id, say};

/// Why an act was not done, by the part that refused it.
#[derive(Debug)]
pub enum Refused {
    /// No visit is begun.
    Opening(NotBegun),
    /// The visit does not take it.
    Visit(NotDone),
    /// Nothing is put right yet.
    Correcting(NotCorrected),
    /// It is not shown.
    Shelf(NotShown),
    /// No report is written.
    Report(NotWritten),
}

macro_rules! from {
    ($($fault:ty => $variant:ident),*) => { $(impl From<$fault> for Refused {
        fn from(fault: $fault) -> Self {
            Self::$variant(fault)
        }
    })* };
}
from!(NotBegun => Opening, NotDone => Visit, NotCorrected => Correcting, NotShown => Shelf, NotWritten => Report);

impl Refused {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        match self {
            Refused::Opening(fault) => fault.said(words),
            Refused::Visit(fault) => not_done(words, fault),
            Refused::Correcting(fault) => fault.said(words),
            Refused::Shelf(fault) => not_shown(words, fault),
            Refused::Report(fault) => not_written(words, fault),
        }
    }
}

fn not_done(words: Words, fault: &NotDone) -> String {
    match fault {
        NotDone::BeginOne => words.plain(id!("fault-no-visit")).into(),
        NotDone::TypeADay(NoDay(typed)) => say!(words, "fault-no-day", typed = typed),
        NotDone::Refused(refusal) => self::refusal(words, refusal),
    }
}

fn refusal(words: Words, refusal: &Refusal) -> String {
    let id = match refusal {
        Refusal::NoAttempt => id!("fault-no-site"),
        Refusal::NothingAtRest => id!("fault-nothing-at-rest"),
        Refusal::NoCode => id!("fault-no-code"),
        Refusal::NoReading => id!("fault-no-reading"),
        Refusal::NoReason => id!("fault-no-reason"),
        Refusal::NobodyOrNoReason => id!("fault-nobody"),
        Refusal::NothingToUndo => id!("fault-nothing-to-undo"),
        Refusal::Visit(fault) => return visit(words, fault),
    };
    words.plain(id).into()
}

pub(super) fn visit(words: Words, fault: &VisitFault) -> String {
    match fault {
        VisitFault::DoesNotFit { why, .. } => {
            say!(words, "fault-does-not-fit", why = reasons::said(words, why))
        }
        other => say!(words, "fault-visit-file", said = other.to_string()),
    }
}

fn not_shown(words: Words, fault: &NotShown) -> String {
    match fault {
        NotShown::SeeToTheBook(fault) => book(words, fault),
        NotShown::LookAtAnother(fault) => visit(words, fault),
        NotShown::LookAtOneFirst => words.plain(id!("fault-look-first")).into(),
        NotShown::DoOtherwise(refusal) => self::refusal(words, refusal),
        NotShown::Wait(NotKept::Refused(said)) => say!(words, "fault-book", said = said),
        NotShown::Wait(NotKept::Late(after)) => {
            let seconds = words.number(after.as_secs_f32());
            say!(words, "fault-late", seconds = seconds)
        }
        NotShown::Wait(NotKept::Ended) => words.plain(id!("fault-book-closed")).into(),
        NotShown::FinishItThere => words.plain(id!("fault-elsewhere")).into(),
        NotShown::ClosedBefore => words.plain(id!("fault-closed-before")).into(),
    }
}

/// What is wrong with the record book. What a system or a library said stands in it as it came.
pub(super) fn book(words: Words, fault: &BookFault) -> String {
    let at = |path: &std::path::Path| path.display().to_string();
    match fault {
        BookFault::InUse { path } => say!(words, "fault-in-use", path = at(path)),
        BookFault::Newer { path, .. } => say!(words, "fault-newer-book", path = at(path)),
        BookFault::NoSpace { path } => say!(words, "fault-full", path = at(path)),
        BookFault::ReadOnly { path, said } => {
            say!(words, "fault-read-only", path = at(path), said = said)
        }
        BookFault::Damaged { path, said } => {
            say!(words, "fault-damaged", path = at(path), said = said)
        }
        BookFault::Emptied { path } => say!(words, "fault-emptied", path = at(path)),
        BookFault::Gone { path } => say!(words, "fault-gone", path = at(path)),
        BookFault::NewerVisit { visit, said } => {
            say!(words, "fault-newer-visit", visit = visit, said = said)
        }
        BookFault::DamagedVisit { visit, said } => {
            say!(words, "fault-damaged-visit", visit = visit, said = said)
        }
        BookFault::NoVisit(_)
        | BookFault::Stopped { .. }
        | BookFault::Refused(_)
        | BookFault::File { .. }
        | BookFault::Store { .. } => say!(words, "fault-book", said = fault.to_string()),
    }
}

/// What cannot be kept, as long as it cannot.
pub(super) fn trouble(words: Words, trouble: &NotKeptYet) -> String {
    match trouble {
        NotKeptYet::Acts(fault) => say!(words, "fault-not-kept", said = book(words, fault)),
        NotKeptYet::Book(fault) => book(words, fault),
        NotKeptYet::Recording(fault) => {
            say!(words, "fault-unregistered", said = book(words, fault))
        }
    }
}

fn not_written(words: Words, fault: &NotWritten) -> String {
    match fault {
        NotWritten::OpenAVisit => words.plain(id!("fault-no-visit")).into(),
        NotWritten::TellTheMakers(fault) => say!(words, "fault-no-pdf", said = fault.to_string()),
        NotWritten::SeeToTheDisk { path, fault } => {
            let (path, said) = (path.display().to_string(), fault.to_string());
            say!(words, "fault-not-written", path = path, said = said)
        }
    }
}
