//! A record book for reading: lists, searches, the events of a visit, its recordings, the chain's head.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use rusqlite::types::Value;
use rusqlite::{Connection, OpenFlags, OptionalExtension, Params, params};
use serde::Serialize;

use super::chain::{self, EntryKind};
use super::fault::{BookFault, store};
use super::lines;
use super::note::BookNote;
use super::schema;
use super::sounds::{self, Recording};
use super::visits::{self, COLUMNS, VisitId, VisitRow};
use super::watch::Waiting;
use super::whose::{Whose, whose};
use super::writer::{self, Writer};
use crate::clinical::event::{Event, EventFault};
use crate::words::{Words, say};

/// How long an opening waits for another program that is just making the book.
const MAKING: Duration = Duration::from_secs(3);

/// A connection for reading. Any number of them may read while one [`super::Keeper`] writes.
#[derive(Debug)]
pub struct Book {
    folder: PathBuf,
    connection: Connection,
    watch: Waiting,
}

/// A book that was opened, and what there is to say of it.
#[derive(Debug)]
pub struct OpenBook {
    /// The book.
    pub book: Book,
    /// Sentences to show, such as that it was brought to a newer form.
    pub notes: Vec<BookNote>,
}

/// What is looked for.
#[derive(Debug, Clone, Default)]
pub struct Search {
    /// Visits of this record; case does not matter.
    pub record: Option<String>,
    /// Words that stand in the record's code, the operator's code or the reason.
    pub text: Option<String>,
    /// Opened at or after.
    pub from: Option<Timestamp>,
    /// Opened before.
    pub to: Option<Timestamp>,
    /// Only visits that are not closed.
    pub open_only: bool,
    /// The next test is due on this day or earlier, such as `2027-02-03`, and was not done since.
    pub due_until: Option<String>,
    /// At most so many; none for all.
    pub limit: Option<u32>,
    /// Leave out so many first.
    pub offset: u32,
}

/// A day of the next test that stands: no later visit of the record named another one, or took place on that
/// day or later.
const STANDS: &str = "NOT EXISTS (SELECT 1 FROM visit AS later WHERE later.record = visit.record
    AND later.record <> '' AND later.at_ms > visit.at_ms AND later.at_ms < ?
    AND (later.due IS NOT NULL OR substr(later.opened, 1, 10) >= visit.due))";

/// Where the book's own chain stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Head {
    /// The chain.
    pub chain: String,
    /// Entries in the chain.
    pub entries: u64,
    /// The hash of the last one, hexadecimal: it stands for all before it.
    pub hash: String,
}

impl Head {
    /// Where a visit is kept, for its report: short, or a plain report would not be one page.
    pub fn of_visit(&self, words: Words, visit: VisitId) -> String {
        say!(words, "report-kept", visit = visit.to_string(), head = self.hash)
    }
}

impl std::fmt::Display for Head {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} entries, head {}", self.entries, self.hash)
    }
}

impl Book {
    /// Opens the book in this folder; makes it where there is none, and brings an older one to the newest form.
    ///
    /// # Errors
    /// A newer program made it, it is damaged, or the disk refuses.
    pub fn open(folder: &Path) -> Result<OpenBook, BookFault> {
        let mut notes = Vec::new();
        let begun = Instant::now();
        while !is_ready(folder)? {
            match Writer::open(folder) {
                Ok(writer) => notes.extend_from_slice(writer.notes()),
                Err(BookFault::InUse { .. }) if begun.elapsed() < MAKING => {
                    std::thread::sleep(Duration::from_millis(50));
                }
                // One of an older form on a medium that cannot be written is read as it lies there.
                Err(BookFault::ReadOnly { .. } | BookFault::NoSpace { .. })
                    if schema::path(folder).is_file() =>
                {
                    return Self::open_as_it_lies(folder);
                }
                Err(fault) => return Err(fault),
            }
        }
        let connection = reading(folder, &mut notes)?;
        notes.extend(schema::open_to_others(folder));
        Ok(OpenBook { book: Self::of(folder, connection), notes })
    }

    /// Opens the book in this folder as it lies there: nothing is made, brought to a newer form, ended or cleared.
    ///
    /// # Errors
    /// There is none, a newer program made it, or it cannot be read.
    pub fn open_as_it_lies(folder: &Path) -> Result<OpenBook, BookFault> {
        schema::not_emptied(folder)?;
        let mut notes = Vec::new();
        let connection = reading(folder, &mut notes)?;
        if schema::form(&connection, folder)? == 0 {
            let said = "there is no record book in it".to_owned();
            return Err(BookFault::Damaged { path: schema::path(folder), said });
        }
        Ok(OpenBook { book: Self::of(folder, connection), notes })
    }

    fn of(folder: &Path, connection: Connection) -> Self {
        Self { folder: folder.to_owned(), connection, watch: Waiting::default() }
    }

    /// Who waits for a check or a backup, and may end it.
    pub fn set_watch(&mut self, watch: Waiting) {
        self.watch = watch;
    }

    pub(super) fn watch(&self) -> &Waiting {
        &self.watch
    }

    /// The book's folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    pub(super) fn connection(&self) -> &Connection {
        &self.connection
    }

    pub(super) fn fault(&self) -> impl Fn(rusqlite::Error) -> BookFault + '_ {
        |fault| store(&self.folder, &fault)
    }

    fn rows(&self, rest: &str, given: impl Params) -> Result<Vec<VisitRow>, BookFault> {
        let read = || {
            let text = format!("SELECT {COLUMNS} FROM visit {rest}");
            let mut query = self.connection.prepare_cached(&text)?;
            query.query_map(given, visits::row)?.collect::<rusqlite::Result<_>>()
        };
        read().map_err(self.fault())
    }

    /// The visits that were looked for, newest first.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn visits(&self, search: &Search) -> Result<Vec<VisitRow>, BookFault> {
        // The inner part is answered by an index alone; rows are only read for what is shown.
        let (inner, given) = looked_for(search);
        self.rows(
            &format!("WHERE id IN ({inner}) ORDER BY at_ms DESC, id DESC"),
            rusqlite::params_from_iter(given),
        )
    }

    /// The ids of the visits that were looked for, oldest first: all that a million visits need in memory.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn ids(&self, search: &Search) -> Result<Vec<VisitId>, BookFault> {
        let (text, given) = looked_for(search);
        let read = || {
            let mut query = self.connection.prepare(&text)?;
            let rows = query.query_map(rusqlite::params_from_iter(given), |row| {
                Ok(VisitId(uuid::Uuid::from_bytes(row.get(0)?)))
            })?;
            rows.collect::<rusqlite::Result<Vec<VisitId>>>()
        };
        let mut ids = read().map_err(self.fault())?;
        ids.reverse();
        Ok(ids)
    }

    /// One visit's row.
    ///
    /// # Errors
    /// There is no such visit, or the book cannot be read.
    pub fn visit(&self, visit: VisitId) -> Result<VisitRow, BookFault> {
        let found = self.rows("WHERE id = ?1", [visit.0.as_bytes()])?.into_iter().next();
        found.ok_or_else(|| BookFault::NoVisit(visit.to_string()))
    }

    /// The events of a visit, numbered from 1. Where two laptops went on with it apart, both parts stand in
    /// it, in one order that is the same on both.
    ///
    /// # Errors
    /// There is no such visit, it was deleted, or an event is of a newer program.
    pub fn events(&self, visit: VisitId) -> Result<Vec<Event>, BookFault> {
        let told = visits::told(&self.connection, visit).map_err(self.fault())?;
        self.worked(visit, &told)
    }

    fn worked(&self, visit: VisitId, told: &visits::Told) -> Result<Vec<Event>, BookFault> {
        if let Some((kind, said)) = &told.fault {
            let (visit, said) = (visit.to_string(), said.clone());
            return Err(match *kind {
                "newer" => BookFault::NewerVisit { visit, said },
                _ => BookFault::DamagedVisit { visit, said },
            });
        }
        if !told.entries.iter().any(|entry| entry.body.is_some()) {
            return Err(BookFault::NoVisit(visit.to_string()));
        }
        visits::events(&told.entries).map_err(|fault| {
            let (visit, said) = (visit.to_string(), fault.to_string());
            match fault {
                EventFault::Newer { .. } => BookFault::NewerVisit { visit, said },
                EventFault::NotAnEvent(_) => BookFault::DamagedVisit { visit, said },
            }
        })
    }

    /// The events of a visit as they stood when a chain had so many entries and this head; none where the book has
    /// no such visit, or where that chain never had this head.
    ///
    /// # Errors
    /// The book cannot be read, or the visit is damaged.
    pub fn events_at(
        &self,
        visit: VisitId,
        chain: &str,
        entries: u64,
        head: &str,
    ) -> Result<Option<Vec<Event>>, BookFault> {
        let Ok(line) = uuid::Uuid::parse_str(chain) else { return Ok(None) };
        let told = lines::Told { line, entries, head: head.to_ascii_lowercase() };
        if lines::is_there(&self.connection, &told).map_err(self.fault())? != Some(true) {
            return Ok(None);
        }
        let after = (line, entries.saturating_add(1));
        let told = visits::told_to(&self.connection, visit, Some(after)).map_err(self.fault())?;
        match self.worked(visit, &told) {
            Err(BookFault::NoVisit(_)) => Ok(None),
            events => events.map(Some),
        }
    }

    /// Whose a visit is until it is closed; none where that cannot be told.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn whose(&self, visit: VisitId) -> Result<Option<Whose>, BookFault> {
        whose(&self.connection, visit).map_err(self.fault())
    }

    /// Visits that this book began or took over and did not close, newest first: they are offered for
    /// resumption. Those of [`Whose::Before`] are among them, and are taken over first. Open visits of another laptop
    /// are finished there.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn unfinished(&self) -> Result<Vec<VisitRow>, BookFault> {
        let mut open = self.rows("WHERE closed = 0 ORDER BY at_ms DESC, id DESC", [])?;
        let mut fault = None;
        open.retain(|row| match self.whose(row.id) {
            Ok(whose) => matches!(whose, Some(Whose::Here | Whose::Before)),
            Err(e) => {
                fault = Some(e);
                false
            }
        });
        fault.map_or(Ok(open), Err)
    }

    /// The newest visit of a record.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn last_visit_of(&self, record: &str) -> Result<Option<VisitRow>, BookFault> {
        let search = Search { record: Some(record.into()), limit: Some(1), ..Search::default() };
        Ok(self.visits(&search)?.into_iter().next())
    }

    /// The day of a record's next test, as long as it was not done.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn next_test_of(&self, record: &str) -> Result<Option<String>, BookFault> {
        let (record, due_until) = (Some(record.into()), Some("9999-12-31".into()));
        let search = Search { record, due_until, limit: Some(1), ..Search::default() };
        Ok(self.visits(&search)?.into_iter().next().and_then(|row| row.due))
    }

    /// The codes of all records, in order.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn records(&self) -> Result<Vec<String>, BookFault> {
        let read = || {
            let all = "SELECT DISTINCT record FROM visit WHERE record <> '' ORDER BY record";
            let mut query = self.connection.prepare_cached(all)?;
            query.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()
        };
        read().map_err(self.fault())
    }

    /// The recordings of a visit: registered ones first, then files that a killed program never came to
    /// register.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn recordings(&self, visit: VisitId) -> Result<Vec<Recording>, BookFault> {
        let read = || {
            let deleted = self.connection.query_row(
                "SELECT EXISTS (SELECT 1 FROM entry WHERE visit = ?1 AND kind = ?2)",
                params![visit.0.as_bytes(), EntryKind::Forgotten as i64],
                |row| row.get(0),
            )?;
            sounds::list(&self.connection, &self.folder, visit, deleted)
        };
        read().map_err(self.fault())
    }

    /// Where the book's own chain stands.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn head(&self) -> Result<Head, BookFault> {
        let read = || {
            let line = "SELECT line.no, line.id FROM book JOIN line ON line.no = book.line";
            let line: Option<(i64, [u8; 16])> = self
                .connection
                .query_row(line, [], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            let (no, id) = line.unwrap_or_default();
            let (entries, hash) = writer::last(&self.connection, no)?;
            let chain = uuid::Uuid::from_bytes(id).to_string();
            Ok(Head { chain, entries, hash: chain::hex(&hash) })
        };
        read().map_err(self.fault())
    }
}

/// The ids of what is looked for, newest first, and what is given to the query.
fn looked_for(search: &Search) -> (String, Vec<Value>) {
    let (mut text, mut given) = (String::from("SELECT id FROM visit WHERE 1"), Vec::<Value>::new());
    let mut add = |part: &str, values: Vec<Value>| {
        text += part;
        given.extend(values);
    };
    if let Some(record) = &search.record {
        add(" AND record = ?", vec![record.trim().to_owned().into()]);
    }
    if let Some(words) = search.text.as_deref().filter(|words| !words.trim().is_empty()) {
        let words = words.trim().replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
        let like = |column| format!("{column} LIKE ? ESCAPE '\\'");
        let looked = ["record", "operator", "reason"].map(like).join(" OR ");
        let words = Value::from(format!("%{words}%"));
        add(&format!(" AND ({looked})"), vec![words.clone(), words.clone(), words]);
    }
    if let Some(from) = search.from {
        add(" AND at_ms >= ?", vec![from.as_millisecond().into()]);
    }
    if let Some(to) = search.to {
        add(" AND at_ms < ?", vec![to.as_millisecond().into()]);
    }
    if let Some(day) = &search.due_until {
        // A visit that a wrong clock dated years ahead was not yet held: it takes nothing off the list.
        let tomorrow = crate::units::wall_clock().as_millisecond() + 86_400_000;
        add(&format!(" AND due <= ? AND {STANDS}"), vec![day.clone().into(), tomorrow.into()]);
    }
    if search.open_only {
        text += " AND closed = 0";
    }
    text += " ORDER BY at_ms DESC, id DESC LIMIT ? OFFSET ?";
    given.push(search.limit.map_or(-1, i64::from).into());
    given.push(i64::from(search.offset).into());
    (text, given)
}

/// True where there is a book of the newest form.
fn is_ready(folder: &Path) -> Result<bool, BookFault> {
    if !schema::path(folder).is_file() {
        return Ok(false);
    }
    let connection = reading(folder, &mut Vec::new())?;
    if schema::form(&connection, folder)? < schema::STEPS.len() {
        return Ok(false);
    }
    let begun = "SELECT EXISTS (SELECT 1 FROM book)";
    connection.query_row(begun, [], |row| row.get(0)).map_err(|e| store(folder, &e))
}

/// A reader's connection; a book on a medium that cannot be written is read as it lies there.
pub(super) fn reading(folder: &Path, notes: &mut Vec<BookNote>) -> Result<Connection, BookFault> {
    let look = |connection: Connection| {
        let looked = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()));
        looked.map(|()| connection).map_err(|e| store(folder, &e))
    };
    match schema::connect(folder, false).and_then(look) {
        // A full disk has no room for the log's index; where there is no log, none is needed.
        Err(BookFault::NoSpace { path }) => {
            let log = schema::path(folder).with_extension("sqlite-wal");
            if std::fs::metadata(log).is_ok_and(|m| m.len() > 0) {
                return Err(BookFault::NoSpace { path });
            }
            notes.push(BookNote::FullOnlyRead(folder.to_owned()));
            look(as_it_lies(folder)?)
        }
        Err(BookFault::ReadOnly { path, said }) => {
            let log = schema::path(folder).with_extension("sqlite-wal");
            if std::fs::metadata(log).is_ok_and(|m| m.len() > 0) {
                return Err(BookFault::ReadOnly { path, said });
            }
            notes.push(BookNote::OnlyRead(folder.to_owned()));
            look(as_it_lies(folder)?)
        }
        other => other,
    }
}

fn as_it_lies(folder: &Path) -> Result<Connection, BookFault> {
    let path = schema::path(folder);
    let path = path.canonicalize().unwrap_or(path);
    let mut name = String::new();
    for c in path.to_string_lossy().chars() {
        match c {
            '%' | '?' | '#' => name += &format!("%{:02X}", c as u32),
            _ => name.push(c),
        }
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(format!("file:{name}?immutable=1"), flags)
        .map_err(|e| store(folder, &e))
}
