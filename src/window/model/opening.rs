//! Before a visit: the form, what the book knows of its record, the question about a code that does not check.

use super::action::Field;
use super::choices::Choices;
use crate::clinical::event::{Answer, Gauge, Opened, Posture};
use crate::clinical::record_code::{self, CodeFault};
use crate::clinical::working::PROGRAM;
use crate::logbook::Book;
use crate::window::sentence::{date, sentence};

/// What the form before a visit holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Form {
    /// The record's code.
    pub record: String,
    /// The operator's code.
    pub operator: String,
    /// Why the test is done.
    pub reason: String,
    /// Diabetes.
    pub diabetes: Option<Answer>,
    /// Kidney disease.
    pub kidney: Option<Answer>,
    /// How the patient lies.
    pub posture: Option<Posture>,
    /// The last visit of this record, or that there is none; nothing while no whole code stands there.
    pub last_visit: Option<String>,
    /// The code that was asked about, since its last character does not agree with the others.
    doubted: Option<String>,
}

/// Why no visit begins yet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotBegun {
    /// Type the record's code.
    #[error("the record's code is missing")]
    NameTheRecord,
    /// Choose how the patient lies.
    #[error("say how the patient lies")]
    SayThePosture,
    /// Look at the code again; begin once more where it is meant.
    #[error("{fault}.{} Begin once more to use it all the same.", meant(near))]
    CheckTheCode {
        /// What is wrong with it.
        fault: CodeFault,
        /// Codes of the book that are like it.
        near: Vec<String>,
    },
}

fn meant(near: &[String]) -> String {
    match near {
        [] => String::new(),
        near => format!(" Did you mean {}?", near.join(" or ")),
    }
}

impl Form {
    /// An empty form for this operator.
    pub fn of(operator: &str) -> Self {
        Self { operator: operator.to_owned(), ..Self::default() }
    }

    /// Takes one field over.
    pub fn fill(&mut self, field: Field, book: &Book) {
        match field {
            Field::Record(code) => {
                self.record = code;
                self.last_visit = last_visit(self.record.trim(), book);
            }
            Field::Operator(code) => self.operator = code,
            Field::Reason(reason) => self.reason = reason,
            Field::Diabetes(answer) => self.diabetes = Some(answer),
            Field::Kidney(answer) => self.kidney = Some(answer),
            Field::Posture(posture) => self.posture = Some(posture),
        }
    }

    /// What the visit opens with.
    ///
    /// # Errors
    /// What is missing, or doubted and to be confirmed by doing it again.
    pub fn opened(&mut self, choices: &Choices, book: &Book) -> Result<Opened, NotBegun> {
        if self.record.trim().is_empty() {
            return Err(NotBegun::NameTheRecord);
        }
        let posture = self.posture.ok_or(NotBegun::SayThePosture)?;
        self.doubt_code(book)?;
        Ok(Opened {
            record: self.record.trim().to_owned(),
            operator: self.operator.trim().to_owned(),
            method: choices.method(),
            order: choices.order().to_owned(),
            repeats: Default::default(),
            gauge: Gauge {
                code: choices.gauge().to_owned(),
                graduation_mmhg: choices.graduation(),
            },
            other_gauges: Vec::new(),
            posture,
            reason: self.reason.trim().to_owned(),
            diabetes: self.diabetes.unwrap_or_default(),
            kidney: self.kidney.unwrap_or_default(),
            rested_min: None,
            program: PROGRAM.into(),
            listener: Some(PROGRAM.into()),
        })
    }

    /// Asks once about a new code that does not check: two patients mixed up is the worst error.
    fn doubt_code(&mut self, book: &Book) -> Result<(), NotBegun> {
        let code = self.record.trim().to_owned();
        let Err(fault) = record_code::check(&code) else { return Ok(()) };
        let known = book.last_visit_of(&code).is_ok_and(|row| row.is_some());
        if known || self.doubted.as_ref() == Some(&code) {
            return Ok(());
        }
        let records = book.records().unwrap_or_default();
        let near = record_code::did_you_mean(&code, records.iter().map(String::as_str));
        let near = near.into_iter().map(str::to_owned).collect();
        self.doubted = Some(code);
        Err(NotBegun::CheckTheCode { fault, near })
    }
}

/// What the book knows of the record of this code.
fn last_visit(code: &str, book: &Book) -> Option<String> {
    if code.is_empty() {
        return None;
    }
    Some(match book.last_visit_of(code) {
        Ok(Some(row)) => {
            format!("Last visit of {}: {}", row.record, date(&row.opened_at.to_string()))
        }
        Ok(None) => format!("No visit of {code} in this book yet."),
        Err(fault) => sentence(&fault.to_string()),
    })
}
