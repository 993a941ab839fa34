//! Visits' events to a report, a bundle, or a table. The end of the name says which, or `--format`.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail, ensure};
use clap_complete::engine::ArgValueCompleter;

use super::nearest::did_you_mean;
use super::output::fault;
use super::place::{Outputs, given};
use super::{complete, index, layers};
use crate::clinical::event::Event;
use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::result::VisitResult;
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::{work_out, work_out_in};
use crate::logbook::{Head, VisitId};
use crate::report::content::{Content, ReportSource, Trail};
use crate::report::pdf::Paper;
use crate::report::table::Dialect;
use crate::report::{fhir, html, json, pdf, table};
use crate::settings::SERVICE_NAME;
use crate::words::{Words, id};

/// What can be written, by the end of the name.
pub(super) const ENDINGS: &[&str] = &["fhir.json", "json", "html", "pdf", "csv"];

/// What `--format` may say.
pub(super) const FORMATS: &[&str] = &["fhir", "csv", "pdf", "html", "json"];

/// Help on the forms.
pub(super) const ABOUT_FORMS: &str = "The end of FILE says what is written, or --format: .html or .pdf (a report), .json (the visit with everything in \
it), .fhir.json (an HL7 FHIR R4 bundle), .csv (a row a visit, for one or several). Fields: docs/exchange.md. Parquet: \
cuffnote-service tables.";

/// What is written, and what stands in it.
#[derive(clap::Args)]
pub(super) struct Form {
    /// The file to write; `-` for standard output, with --format
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    /// What is written; else the end of FILE says it
    #[arg(long, value_name = "FORMAT", value_parser = clap::builder::PossibleValuesParser::new(FORMATS))]
    pub(super) format: Option<String>,
    /// A .csv with semicolons and decimal commas, for spreadsheets that expect them
    #[arg(long)]
    pub(super) semicolon: bool,
    #[command(flatten)]
    pub(super) look: Look,
}

/// What stands in a report, a bundle or a table.
#[derive(clap::Args)]
pub(super) struct Look {
    /// A set of guidance [default: those the visit was shown with, else acc-aha-2024]; may be given several times; the limits of the first are drawn
    #[arg(long, value_name = "NAME", add = ArgValueCompleter::new(complete::guidances))]
    guidance: Vec<String>,
    /// The service that measured, as printed in the head [default: what a visit.json names, else the settings' service.name]
    #[arg(long, value_name = "NAME")]
    service: Option<String>,
    /// Every attempt behind the first page, also where all of them count
    #[arg(long)]
    trail: bool,
    /// The paper of a .pdf: a4 or letter [default: the settings' report.paper, else that of the system's country]
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Paper>,
    /// The language of a report, such as de [default: the settings' report.language, else the window's]; data stay in English
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    language: Option<Words>,
    /// The head of the record's hash chain, to stand in the report
    #[arg(long, value_name = "HASH", value_parser = head)]
    chain: Option<String>,
    #[command(flatten)]
    ties: Ties,
}

/// What ties a .fhir.json to a patient, an encounter and an order elsewhere.
#[derive(clap::Args)]
#[group(skip)]
struct Ties {
    /// In a .fhir.json: the system (a URI) that the record's code is an identifier of
    #[arg(long, value_name = "URI", value_parser = uri)]
    patient_system: Option<String>,
    /// In a .fhir.json: the encounter's identifier
    #[arg(long, value_name = "SYSTEM|VALUE", value_parser = token)]
    encounter: Option<fhir::Token>,
    /// In a .fhir.json: the identifier of the order that it answers
    #[arg(long, value_name = "SYSTEM|VALUE", value_parser = token)]
    order: Option<fhir::Token>,
}

impl Look {
    fn context(&self, service: &str) -> fhir::ServiceContext {
        fhir::ServiceContext {
            service: service.to_owned(),
            patient_system: self.ties.patient_system.clone(),
            encounter: self.ties.encounter.clone(),
            order: self.ties.order.clone(),
            ..fhir::ServiceContext::default()
        }
    }

    /// Whether an encounter or an order is named, which belongs to one visit alone.
    pub(super) fn is_of_one_visit(&self) -> bool {
        self.ties.encounter.is_some() || self.ties.order.is_some()
    }
}

fn uri(text: &str) -> Result<String, String> {
    let good = fhir::is_uri(text);
    good.then(|| text.to_owned())
        .ok_or_else(|| "write a URI, such as https://clinic.example/mrn".into())
}

fn token(text: &str) -> Result<fhir::Token, String> {
    let wrong = "write SYSTEM|VALUE, such as https://clinic.example/orders|A-17";
    fhir::Token::parse(text).ok_or_else(|| wrong.into())
}

/// A head as a report shows it.
fn head(text: &str) -> Result<String, String> {
    let text = text.trim().to_ascii_lowercase();
    let is_head = (16..=64).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_hexdigit());
    if is_head { Ok(text) } else { Err("a head is 16 to 64 signs of 0-9 and a-f".into()) }
}

fn language(tag: &str) -> Result<Words, String> {
    let known = || Words::all().map(Words::tag).collect::<Vec<_>>().join(", ");
    Words::of(tag).ok_or_else(|| format!("write one of {}", known()))
}

fn paper(word: &str) -> Result<Paper, String> {
    Paper::of(word).ok_or_else(|| "write a4 or letter".into())
}

impl Look {
    /// The service: as asked for, else as the settings have it.
    pub(super) fn service(&self) -> anyhow::Result<String> {
        layers::or_set(self.service.as_deref(), SERVICE_NAME)
    }

    /// The service that files of visits name stands in their report, unless another was asked for.
    pub(super) fn take_service(&mut self, named: &str) {
        if self.service.is_none() && !named.is_empty() {
            self.service = Some(named.into());
        }
    }

    fn paper(&self) -> anyhow::Result<Paper> {
        match self.paper {
            Some(paper) => Ok(paper),
            None => Ok(Paper::of(layers::settings()?.report_paper()).unwrap_or_default()),
        }
    }
}

impl Look {
    /// The language of the report, and who confirmed its translation.
    fn language(&self) -> anyhow::Result<(Words, Option<String>)> {
        let settings = layers::settings()?;
        let words = self.language.unwrap_or_else(|| settings.report_language());
        Ok((words, settings.confirmed_by(words).map(str::to_owned)))
    }
}

/// A visit with what was worked out from it.
pub(super) struct Worked {
    events: Vec<Event>,
    pub(super) visit: Visit,
    pub(super) result: VisitResult,
}

/// Where a visit of the record book is kept: in words, and as its file says it.
pub(super) struct Kept {
    pub(super) head: Head,
    pub(super) visit: VisitId,
    pub(super) book: json::Kept,
}

/// Writes these visits, each with where its events came from. Where it is one visit, `kept` says where it is
/// kept, and `sounds` are its recordings that travel along.
pub(super) fn write(
    visits: Vec<(Vec<Event>, String)>,
    form: &Form,
    (kept, sounds): (Option<&Kept>, &[PathBuf]),
    mut outputs: Outputs,
) -> anyhow::Result<ExitCode> {
    ensure!(!visits.is_empty(), "there is no visit to write");
    let Some(ending) = form.ending().filter(|ending| holds_many(ending) || visits.len() == 1)
    else {
        fault(&form.refused(visits.len()));
        return Ok(ExitCode::from(2));
    };
    let out = outputs.stream(&form.out)?;
    let Some(sets) = sets(&form.look)? else { return Ok(ExitCode::from(2)) };
    let given = (sets.as_slice(), kept, sounds);
    out.write(&bytes(visits, &form.look, (ending, dialect(form.semicolon)), given)?)?;
    Ok(ExitCode::SUCCESS)
}

impl Form {
    /// The ending of the form that is wanted, if it is one of ours.
    pub(super) fn ending(&self) -> Option<&'static str> {
        match self.format.as_deref() {
            Some("fhir") => Some("fhir.json"),
            Some(format) => ENDINGS.iter().find(|ending| **ending == format).copied(),
            None => ending(&self.out),
        }
    }

    fn refused(&self, count: usize) -> String {
        let name = self.out.display();
        if self.out.as_os_str() == "-" && self.format.is_none() {
            return "say with --format what goes to standard output".into();
        }
        let wanted = self.out.extension().and_then(|e| e.to_str()).unwrap_or_default();
        let (one, many): (Vec<_>, Vec<_>) = ENDINGS.iter().partition(|ending| !holds_many(ending));
        let list =
            |of: Vec<&&str>| of.iter().map(|e| format!(".{e}")).collect::<Vec<_>>().join(", ");
        let near =
            if count == 1 { did_you_mean(wanted, ENDINGS.iter().copied()) } else { String::new() };
        format!(
            "{name}: end the name with {} for one visit, {} for one or several{near}",
            list(one),
            list(many)
        )
    }
}

/// The sets of guidance that were asked for; names of none are reported, and end the program as a misuse.
pub(super) fn sets(look: &Look) -> anyhow::Result<Option<Vec<GuidanceSet>>> {
    let sets = index::sets(&look.guidance)?;
    Ok(sets.inspect_err(|unknown| fault(unknown)).ok())
}

/// The sets that the visit was shown with last; `None` where nothing was shown, or a set is not shipped any more. A
/// report shows these by whichever way it is made, unless others are asked for.
fn shown(visit: &Visit) -> Option<Vec<GuidanceSet>> {
    visit.shown.last().and_then(guidance::shown_with)
}

/// The form that a file's name ends with, if it is one of ours.
pub(super) fn ending(path: &Path) -> Option<&'static str> {
    let name = path.to_string_lossy().to_lowercase();
    ENDINGS.iter().find(|ending| name.ends_with(&format!(".{ending}"))).copied()
}

/// True of a form that holds several visits in one file.
pub(super) fn holds_many(ending: &str) -> bool {
    ending == "csv"
}

/// Works a visit out from its events, which came from `from`.
pub(super) fn work(events: Vec<Event>, from: &str, sets: &[GuidanceSet]) -> anyhow::Result<Worked> {
    let visit = Visit::read(&events).with_context(|| from.to_owned())?;
    let result = work_out(&visit, sets, Assumed::default());
    Ok(Worked { events, visit, result })
}

/// The bytes of these visits in the form with this ending and way of writing tables; `kept` and `sounds` as for [`write`].
pub(super) fn bytes(
    visits: Vec<(Vec<Event>, String)>,
    look: &Look,
    (ending, dialect): (&str, Dialect),
    (sets, kept, sounds): (&[GuidanceSet], Option<&Kept>, &[PathBuf]),
) -> anyhow::Result<Vec<u8>> {
    let worked = visits.into_iter().map(|(events, from)| work(events, &from, sets));
    let mut worked = worked.collect::<anyhow::Result<Vec<_>>>()?;
    let asked = !look.guidance.is_empty() || holds_many(ending);
    let shown = worked.first().filter(|_| !asked).and_then(|one| shown(&one.visit));
    let sets = shown.as_deref().unwrap_or(sets);
    if shown.is_some() && worked.len() == 1 {
        let one = &mut worked[0];
        one.result = work_out(&one.visit, sets, Assumed::default());
    }
    let (service, paper, (words, confirmed)) = (look.service()?, look.paper()?, look.language()?);
    let Some(first) = worked.first() else { bail!("there is no visit to write") };
    let content = || {
        let result = work_out_in(words, &first.visit, sets, Assumed::default());
        let mut content = Content::of(&ReportSource {
            visit: &first.visit,
            result: &result,
            sets,
            sounds: &[],
            service: &service,
            trail: if look.trail { Trail::Full } else { Trail::Needed },
            chain: look.chain.as_deref(),
        });
        let file = || words.plain(id!("report-from-file")).into();
        content.kept_in(&kept.map_or_else(file, |kept| kept.head.of_visit(words, kept.visit)));
        confirmed.iter().for_each(|who| content.confirmed_by(who));
        content
    };
    Ok(match ending {
        "html" => html::page(&content()),
        "pdf" => pdf::document(&content(), paper)?,
        "json" => json::visit(&service, kept.map(|kept| &kept.book), &first.result, &first.events)?,
        "fhir.json" => {
            let report = pdf::document(&content(), paper)?;
            let context = look.context(&service);
            bundle(&context, (first, sets, kept), sounds, (&report, words))?
        }
        _ => table::csv(&rows(&worked, &service), dialect),
    })
}

pub(super) fn dialect(semicolon: bool) -> Dialect {
    if semicolon { Dialect::Semicolon } else { Dialect::Comma }
}

/// The bundle with the report and the sounds that were asked for.
fn bundle(
    context: &fhir::ServiceContext,
    (one, sets, kept): (&Worked, &[GuidanceSet], Option<&Kept>),
    files: &[PathBuf],
    (report, words): (&[u8], Words),
) -> anyhow::Result<Vec<u8>> {
    let mut sounds = Vec::new();
    for path in files {
        let title = path.file_name().map_or("sound".into(), |name| name.to_string_lossy());
        let bytes = std::fs::read(path).with_context(|| format!("{}", path.display()))?;
        sounds.push((format!("Doppler sound: {title}"), bytes));
    }
    let title = words.plain(id!("report-title"));
    let content_type = "application/pdf";
    let mut documents =
        vec![fhir::Document { title, language: words.tag(), content_type, bytes: report }];
    documents.extend(sounds.iter().map(|(title, bytes)| fhir::Document {
        title,
        language: "en",
        content_type: "audio/wav",
        bytes,
    }));
    let parcel = fhir::Parcel {
        events: &one.events,
        visit: &one.visit,
        result: &one.result,
        sets,
        id: fhir::identity(&one.events)?,
        kept_as: kept.map_or("", |kept| &kept.book.visit),
        context,
        documents: &documents,
    };
    Ok(fhir::bundle(&parcel)?)
}

/// Rows of visits that come from files.
fn rows<'a>(worked: &'a [Worked], service: &'a str) -> Vec<table::TableVisit<'a>> {
    let from = table::Origin { service, ..table::Origin::default() };
    worked.iter().map(|one| (&one.visit, &one.result, from)).collect()
}

/// The events of a `visit.json`, and the service that it names.
pub(super) fn events(path: &Path) -> anyhow::Result<(Vec<Event>, String)> {
    let whole = json::read(&given(path)?).with_context(|| path.display().to_string())?;
    Ok((whole.events, whole.service))
}
