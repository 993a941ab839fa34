//! Results from record books to a FHIR server, once each and corrected in place, by way of the outbox.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use anyhow::Context;

use super::choices::Choices;
use super::outbox::{Outbox, Row, State};
use super::parcels::{self, Change, LOOKED_FOR, Making};
use super::said::{many, note, plain, say, sentence};
use super::server::{Said, Server};
use super::visits::{self, Worked};
use crate::logbook::{Book, SoundState, VisitId, VisitRow};
use crate::report::content::{Content, ReportSource, Trail};
use crate::report::fhir::{self, Document, Parcel, ServiceContext};
use crate::report::pdf::{self, Paper};
use crate::words::Words as Language;

/// The first wait after a try without an answer, and the longest, seconds.
const WAIT_S: (i64, i64) = (30, 6 * 3600);
/// How long a patient who is not on the server is waited for, seconds.
const PATIENT_S: i64 = 3600;

#[derive(clap::Args)]
pub(super) struct Words {
    /// A record book's folder; may be given several times
    #[arg(long, value_name = "DIR", required = true)]
    book: Vec<PathBuf>,
    /// The base address of the FHIR server, https (http only on this machine)
    #[arg(long, value_name = "URL")]
    to: Option<String>,
    /// The outbox: what was sent, waits or was refused
    #[arg(long, value_name = "FILE", default_value = "outbox.sqlite")]
    outbox: PathBuf,
    /// Only this visit
    #[arg(long, value_name = "ID")]
    visit: Option<VisitId>,
    /// The encounter that this visit belongs to
    #[arg(long, value_name = "SYSTEM|VALUE", requires = "visit", value_parser = super::choices::token)]
    encounter: Option<fhir::Token>,
    /// The order that this visit answers
    #[arg(long, value_name = "SYSTEM|VALUE", requires = "visit", value_parser = super::choices::token)]
    order: Option<fhir::Token>,
    /// The visits' recordings travel along
    #[arg(long)]
    sounds: bool,
    /// Also what was refused, and what waits for a later time
    #[arg(long)]
    again: bool,
    /// Write over what somebody else changed on the server since it was sent
    #[arg(long)]
    over: bool,
    /// Go on: look at the books again after so many seconds
    #[arg(long, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(1..))]
    every: Option<u64>,
}

/// What came of one visit.
enum Came {
    Sent(usize),
    Nothing,
    Waits,
    Refused,
    /// Nobody is there: no other visit would fare better.
    Down(String),
}

/// One run.
struct Run<'a> {
    words: &'a Words,
    context: ServiceContext,
    /// What of the choices a resource shows, as a text to compare.
    told: String,
    server: Server,
    outbox: Outbox,
    most: usize,
    find_patient: bool,
    counts: [u64; 4],
}

/// Sends what is to be sent. True where nothing waits or is refused.
pub(super) fn run(words: &Words, choices: &Choices) -> anyhow::Result<bool> {
    let to = words.to.as_ref().or(choices.fhir.to.as_ref());
    let to = to.context("name the FHIR server with --to, or as fhir.to in the settings")?;
    let server = Server::new(to, &choices.fhir, &choices.auth)?;
    let mut context = choices.context()?;
    (context.encounter, context.order) = (words.encounter.clone(), words.order.clone());
    let mut run = Run {
        words,
        told: format!("{context:?}{}", words.sounds),
        context,
        outbox: Outbox::open(&words.outbox, server.base())?,
        server,
        most: choices.fhir.entries.unwrap_or(LOOKED_FOR).max(1),
        find_patient: choices.fhir.find_patient,
        counts: [0; 4],
    };
    loop {
        let good = run.once()?;
        match words.every {
            None => return Ok(good),
            Some(s) => std::thread::sleep(std::time::Duration::from_secs(s)),
        }
    }
}

impl Run<'_> {
    fn once(&mut self) -> anyhow::Result<bool> {
        self.counts = [0; 4];
        let mut skipped = 0;
        let mut down = None;
        'books: for folder in visits::folders(&self.words.book) {
            let book = visits::open(&folder)?;
            for id in book.ids(&crate::logbook::Search::default())? {
                if self.words.visit.is_some_and(|only| only != id) {
                    continue;
                }
                match self.visit(&book, id) {
                    Ok(Came::Down(why)) => {
                        self.counts[1] += 1;
                        down = Some(why);
                        break 'books;
                    }
                    Ok(came) => self.count(&came),
                    Err(fault) => {
                        skipped += 1;
                        note(&format!("skipped: {}", sentence(&fault)));
                    }
                }
            }
        }
        if let Some(why) = &down {
            note(why);
        }
        let [sent, waits, refused, parts] = self.counts;
        let skipped_words =
            if skipped > 0 { format!(", {skipped} skipped") } else { String::new() };
        say(&format!(
            "{} sent ({}), {waits} waiting, {refused} refused{skipped_words}",
            many(sent, "visit"),
            many(parts, "resource")
        ))?;
        Ok(down.is_none() && waits + refused + skipped == 0)
    }

    fn count(&mut self, came: &Came) {
        match came {
            Came::Sent(parts) => {
                self.counts[0] += 1;
                self.counts[3] += *parts as u64;
            }
            Came::Waits => self.counts[1] += 1,
            Came::Refused => self.counts[2] += 1,
            Came::Nothing | Came::Down(_) => {}
        }
    }

    /// One visit: left alone where nothing changed, or where it is not its time.
    fn visit(&mut self, book: &Book, id: VisitId) -> anyhow::Result<Came> {
        let listed = book.visit(id)?;
        if !listed.closed {
            return Ok(Came::Nothing);
        }
        let mark = self.mark(&listed);
        let named = id.to_string();
        let before = self.outbox.visit(&named)?;
        if let Some(row) = &before {
            let same = row.mark == mark;
            let now_s = crate::units::wall_clock().as_second();
            // A clock that was set back must not hold anything longer than the longest wait.
            let early = now_s < row.not_before_s && row.not_before_s - now_s <= WAIT_S.1;
            match row.state {
                State::Sent if same => return Ok(Came::Nothing),
                State::Refused if same && !self.words.again => return Ok(Came::Refused),
                State::Waiting if early && !self.words.again => return Ok(Came::Waits),
                _ => {}
            }
        }
        let row = Row {
            id: named,
            book: book.folder().display().to_string(),
            state: State::Waiting,
            mark,
            unsure: before.as_ref().is_some_and(|row| row.unsure),
            tries: before.as_ref().map_or(0, |row| row.tries),
            not_before_s: 0,
            why: String::new(),
            at: now(),
        };
        self.outbox.keep(&row)?;
        let worked = visits::read(book, id)?;
        self.send(book, &worked, row)
    }

    /// What a visit is as the list tells it: a visit only ever gains events.
    fn mark(&self, listed: &VisitRow) -> String {
        format!("{} {} {}", listed.events, listed.last_at, parcels::digest(&self.told))
    }

    fn send(&mut self, book: &Book, worked: &Worked, mut row: Row) -> anyhow::Result<Came> {
        let patient = match self.patient(worked)? {
            Ok(patient) => patient,
            Err(said) => return self.later(row, said),
        };
        let changes = self.changes(book, worked, &row.id)?;
        let count = changes.changed.len();
        let mut known = changes.known;
        for bundle in parcels::cut(changes.changed, self.most) {
            let making = Making {
                known: &known,
                patient: patient.as_deref(),
                guarded: !row.unsure && !self.words.over,
            };
            let bytes = parcels::bundle(&bundle, &making);
            // Whatever happens from here on, the server may have this.
            row.unsure = true;
            self.outbox.keep(&row)?;
            let answer = match self.server.post(&bytes) {
                Said::Answer(answer) => answer,
                said => {
                    // Where the server answered, it took nothing: a transaction is whole or nothing.
                    row.unsure = !said.is_no();
                    if said.is_gone() && self.words.over {
                        for change in &bundle {
                            self.outbox.forget_part(&change.resource.key)?;
                        }
                    }
                    return self.later(row, said);
                }
            };
            let Some(placed) = parcels::placed(&bundle, &answer) else {
                let why = "the server's answer does not say where each result lies";
                return self.later(row, Said::NotFhir(why.into()));
            };
            for (change, (_, part)) in bundle.iter().zip(&placed) {
                known.insert(change.resource.url.clone(), part.remote.clone());
            }
            self.outbox.keep_parts(&placed)?;
            row.unsure = false;
        }
        (row.state, row.tries, row.at) = (State::Sent, 0, now());
        self.outbox.keep(&row)?;
        Ok(if count == 0 { Came::Nothing } else { Came::Sent(count) })
    }

    /// What the server lacks of a visit, and where it has the rest.
    fn changes(&self, book: &Book, worked: &Worked, id: &str) -> anyhow::Result<Changes> {
        let report = document(
            worked,
            &self.context,
            &book.head()?.of_visit(Language::english(), id.parse()?),
        )?;
        let sounds = self.sounds(book, id.parse()?)?;
        let mut documents = vec![Document {
            title: "Ankle-brachial index: record of a measurement",
            language: "en",
            content_type: "application/pdf",
            bytes: &report,
        }];
        documents.extend(sounds.iter().map(|(title, bytes)| Document {
            title,
            language: "en",
            content_type: "audio/wav",
            bytes,
        }));
        let parcel = Parcel {
            events: &worked.events,
            visit: &worked.visit,
            result: &worked.result,
            sets: &worked.sets,
            id: fhir::identity(&worked.events)?,
            kept_as: id,
            context: &self.context,
            documents: &documents,
        };
        let (mut changed, mut known) = (Vec::new(), HashMap::new());
        for resource in fhir::resources(&parcel) {
            let (hash, there) = (parcels::hash(&resource), self.outbox.part(&resource.key)?);
            if let Some(part) = &there {
                known.insert(resource.url.clone(), part.remote.clone());
            }
            if there.as_ref().is_none_or(|part| part.hash != hash) {
                changed.push(Change { resource, hash, there });
            }
        }
        Ok(Changes { changed, known })
    }

    fn sounds(&self, book: &Book, id: VisitId) -> anyhow::Result<Vec<(String, Vec<u8>)>> {
        let mut all = Vec::new();
        if self.words.sounds {
            for one in book.recordings(id)?.into_iter().filter(|r| r.state == SoundState::There) {
                let name =
                    one.file.file_name().map_or("sound".into(), |name| name.to_string_lossy());
                let bytes =
                    std::fs::read(&one.file).with_context(|| one.file.display().to_string())?;
                all.push((format!("Doppler sound: {name}"), bytes));
            }
        }
        Ok(all)
    }

    /// The patient on the server, where one is to be looked up there.
    fn patient(&self, worked: &Worked) -> anyhow::Result<Result<Option<String>, Said>> {
        let Some(system) = self.context.patient_system.as_ref().filter(|_| self.find_patient)
        else {
            return Ok(Ok(None));
        };
        let record = worked.result.record.trim();
        if record.is_empty() {
            return Ok(Err(Said::No(
                "the visit has no record's code, so it belongs to no patient there".into(),
            )));
        }
        Ok(self.server.find("Patient", system, record).map(Some))
    }

    /// Keeps a visit for later, or as refused.
    fn later(&self, mut row: Row, said: Said) -> anyhow::Result<Came> {
        let now_s = crate::units::wall_clock().as_second();
        row.at = now();
        row.why = plain(said.words());
        let waits_s = match &said {
            Said::No(_) => {
                row.state = State::Refused;
                self.outbox.keep(&row)?;
                note(&format!("visit {}: refused: {}", row.id, row.why));
                return Ok(Came::Refused);
            }
            Said::NoPatient(_) => PATIENT_S,
            _ => said.retry_after_s().unwrap_or_else(|| {
                let doubled = WAIT_S.0.saturating_mul(1 << row.tries.min(20));
                doubled.min(WAIT_S.1)
            }),
        };
        row.tries = row.tries.saturating_add(1);
        row.not_before_s = now_s.saturating_add(waits_s.min(WAIT_S.1));
        self.outbox.keep(&row)?;
        if said.is_down() {
            return Ok(Came::Down(row.why));
        }
        note(&format!("visit {}: waits: {}", row.id, row.why));
        Ok(Came::Waits)
    }
}

/// What is to be sent of a visit, and where the rest lies.
struct Changes {
    changed: Vec<Change>,
    known: HashMap<String, String>,
}

fn now() -> String {
    format!("{:.0}", crate::units::wall_clock())
}

/// The report as PDF.
fn document(worked: &Worked, context: &ServiceContext, kept: &str) -> anyhow::Result<Vec<u8>> {
    let mut content = Content::of(&ReportSource {
        visit: &worked.visit,
        result: &worked.result,
        sets: &worked.sets,
        sounds: &[],
        service: &context.service,
        trail: Trail::Needed,
        chain: None,
    });
    content.kept_in(kept);
    Ok(pdf::document(&content, Paper::A4)?)
}

#[derive(clap::Args)]
pub(super) struct Look {
    /// The outbox
    #[arg(long, value_name = "FILE", default_value = "outbox.sqlite")]
    outbox: PathBuf,
    /// The base address of the FHIR server
    #[arg(long, value_name = "URL")]
    to: Option<String>,
    /// Lines of JSON
    #[arg(long)]
    json: bool,
}

/// What the outbox holds, the newest word first.
pub(super) fn look(words: &Look, choices: &Choices) -> anyhow::Result<bool> {
    let to = words.to.as_ref().or(choices.fhir.to.as_ref());
    let to = to.context("name the FHIR server with --to, or as fhir.to in the settings")?;
    there(&words.outbox)?;
    let outbox = Outbox::open(&words.outbox, to.trim_end_matches('/'))?;
    let all = outbox.visits()?;
    for row in &all {
        if words.json {
            let line = serde_json::json!({"visit": row.id, "book": row.book, "state": row.state.word(),
                "why": row.why, "tries": row.tries, "at": row.at});
            say(&line.to_string())?;
        } else if row.state != State::Sent {
            say(&format!("{} {}: {} ({})", row.at, row.id, row.state.word(), row.why))?;
        }
    }
    let of = |state| all.iter().filter(|row| row.state == state).count();
    let (sent, waits, refused) = (of(State::Sent), of(State::Waiting), of(State::Refused));
    if !words.json {
        say(&format!("{} sent, {waits} waiting, {refused} refused", many(sent as u64, "visit")))?;
    }
    Ok(waits + refused == 0)
}

fn there(path: &Path) -> anyhow::Result<()> {
    anyhow::ensure!(path.is_file(), "{}: there is no outbox yet: send makes one", path.display());
    Ok(())
}
