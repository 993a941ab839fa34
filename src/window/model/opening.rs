//! Before a visit: the form with what is measured, what the book knows of its record, the question about a code that does not check.

use super::action::{FormField, What};
use super::choices::Choices;
use crate::clinical::event::{Answer, Gauge, Opened, Posture, Ulcer, VisitKind};
use crate::clinical::moment::{Day, Moment, NoDay};
use crate::clinical::record_code::{self, CodeFault};
use crate::clinical::site::{Side, Site};
use crate::clinical::working::PROGRAM;
use crate::logbook::Book;
use crate::window::sentence::day;
use crate::words::{Words, id, say};

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
    /// What is measured.
    pub what: What,
    /// The one artery that is measured.
    pub artery: Option<Site>,
    /// The day of a measurement on paper.
    pub paper_day: String,
    /// Who measured then.
    pub paper_by: String,
    /// The side of the ulcer.
    pub ulcer_side: Option<Side>,
    /// The place of the ulcer.
    pub ulcer_place: String,
    /// The last visit of this record, or that there is none; nothing while no whole code stands there.
    pub last_visit: Option<Known>,
    /// The code that was asked about, since its last character does not agree with the others.
    doubted: Option<String>,
}

/// What the book knows of the record whose code is typed.
#[derive(Debug, Clone, PartialEq)]
pub enum Known {
    /// Its last visit: the code as it stands there, and when.
    Last(String, Moment),
    /// It has none in this book.
    Nothing(String),
    /// The book cannot be read.
    Unread(String),
}

impl Known {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        match self {
            Known::Last(record, at) => {
                say!(words, "begin-last", record = record, day = day(words, at))
            }
            Known::Nothing(record) => say!(words, "begin-none-yet", record = record),
            Known::Unread(said) => say!(words, "fault-book", said = said),
        }
    }
}

/// Why no visit begins yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotBegun {
    /// Type the record's code.
    NameTheRecord,
    /// Choose how the patient lies.
    SayThePosture,
    /// Choose the artery.
    ChooseTheArtery,
    /// Type the day that stands on the paper.
    TypeTheDay(NoDay),
    /// A paper of tomorrow cannot be.
    DayToCome(Day),
    /// Look at the code again; begin once more where it is meant.
    CheckTheCode {
        /// What is wrong with it.
        fault: CodeFault,
        /// Codes of the book that are like it.
        near: Vec<String>,
    },
}

impl From<NoDay> for NotBegun {
    fn from(fault: NoDay) -> Self {
        Self::TypeTheDay(fault)
    }
}

impl NotBegun {
    /// As a sentence.
    pub fn said(&self, words: Words) -> String {
        match self {
            NotBegun::NameTheRecord => words.plain(id!("fault-record")).into(),
            NotBegun::SayThePosture => words.plain(id!("fault-position")).into(),
            NotBegun::ChooseTheArtery => words.plain(id!("fault-artery")).into(),
            NotBegun::TypeTheDay(NoDay(typed)) => say!(words, "fault-no-day", typed = typed),
            NotBegun::DayToCome(on) => say!(words, "fault-day-to-come", day = day(words, on)),
            NotBegun::CheckTheCode { fault, near } => {
                let fault = match fault {
                    CodeFault::TooShort => words.plain(id!("fault-code-short")).to_owned(),
                    CodeFault::Strange(letter) => {
                        say!(words, "fault-code-strange", letter = letter.to_string())
                    }
                    CodeFault::Wrong => words.plain(id!("fault-code-wrong")).to_owned(),
                };
                let join = |a: String, b: String| say!(words, "locale-or", a = a, b = b);
                let codes = near.iter().cloned().reduce(join);
                let meant =
                    codes.map_or(String::new(), |c| say!(words, "fault-code-meant", codes = c));
                say!(words, "fault-code", fault = fault, meant = meant)
            }
        }
    }
}

impl Form {
    /// An empty form for this operator.
    pub fn of(operator: &str) -> Self {
        Self { operator: operator.to_owned(), ..Self::default() }
    }

    /// Takes one field over.
    pub fn fill(&mut self, field: FormField, book: &Book) {
        match field {
            FormField::Record(code) => {
                self.record = code;
                self.last_visit = last_visit(self.record.trim(), book);
            }
            FormField::Operator(code) => self.operator = code,
            FormField::Reason(reason) => self.reason = reason,
            FormField::Diabetes(answer) => self.diabetes = Some(answer),
            FormField::Kidney(answer) => self.kidney = Some(answer),
            FormField::Posture(posture) => self.posture = Some(posture),
            FormField::What(what) => self.what = what,
            FormField::Artery(site) => self.artery = Some(site),
            FormField::PaperDay(day) => self.paper_day = day,
            FormField::PaperBy(code) => self.paper_by = code,
            FormField::UlcerSide(side) => self.ulcer_side = side,
            FormField::UlcerPlace(place) => self.ulcer_place = place,
        }
    }

    /// What the visit opens with.
    ///
    /// # Errors
    /// What is missing, or doubted and to be confirmed by doing it again.
    pub fn opened(
        &mut self,
        choices: &Choices,
        book: &Book,
        today: Day,
    ) -> Result<Opened, NotBegun> {
        if self.record.trim().is_empty() {
            return Err(NotBegun::NameTheRecord);
        }
        let posture = self.posture.ok_or(NotBegun::SayThePosture)?;
        if choices.check_codes() {
            self.doubt_code(book)?;
        }
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
            scope: self.scope(today)?,
            reason: self.reason.trim().to_owned(),
            ulcer: self.ulcer(),
            diabetes: self.diabetes.unwrap_or_default(),
            kidney: self.kidney.unwrap_or_default(),
            rested_min: None,
            program: PROGRAM.into(),
            listener: Some(PROGRAM.into()),
        })
    }

    fn scope(&self, today: Day) -> Result<VisitKind, NotBegun> {
        Ok(match self.what {
            What::BothLegs => VisitKind::Full,
            What::OneLeg(side) => VisitKind::OneLeg { side },
            What::OneArtery => {
                VisitKind::OneArtery { site: self.artery.ok_or(NotBegun::ChooseTheArtery)? }
            }
            What::Toes => VisitKind::Toes,
            What::Exercise => VisitKind::Exercise,
            What::NoPressures => VisitKind::WithoutIndex,
            What::OnPaper => {
                let on: Day = self.paper_day.trim().parse()?;
                if on > today {
                    return Err(NotBegun::DayToCome(on));
                }
                VisitKind::OnPaper { on, by: self.paper_by.trim().to_owned() }
            }
        })
    }

    fn ulcer(&self) -> Option<Ulcer> {
        let place = self.ulcer_place.trim().to_owned();
        self.ulcer_side.map(|side| Ulcer { side, place })
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
fn last_visit(code: &str, book: &Book) -> Option<Known> {
    if code.is_empty() {
        return None;
    }
    Some(match book.last_visit_of(code) {
        Ok(Some(row)) => Known::Last(row.record, row.opened_at),
        Ok(None) => Known::Nothing(code.to_owned()),
        Err(fault) => Known::Unread(fault.to_string()),
    })
}
