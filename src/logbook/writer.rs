//! The one who writes in a book: holds its lock, appends entries to its line, one transaction at a time.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use serde_json::json;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::chain::{self, Hash, Kind, START, Sealed};
use super::fault::{BookFault, file, store};
use super::schema;
use super::sounds::Sound;
use super::visits::{self, VisitId};
use crate::clinical::event::{Act, Event};
use crate::clinical::moment::Moment;

/// The lock's file. It stays; what counts is who holds it.
const LOCK: &str = "writer.lock";

/// The one who writes in a book. Only one program can be it at a time.
#[derive(Debug)]
pub struct Writer {
    folder: PathBuf,
    connection: Connection,
    line: Line,
    /// What there is to say of the book's opening.
    notes: Vec<String>,
    _lock: File,
}

/// The line that a book writes.
#[derive(Debug, Clone, Copy)]
struct Line {
    no: i64,
    id: Uuid,
}

/// Now, with this computer's offset.
pub(super) fn now() -> Moment {
    let now = jiff::Timestamp::now();
    Moment::new(now, jiff::tz::TimeZone::system().to_offset(now))
}

impl Writer {
    /// Opens a book for writing; makes it where there is none, and brings an older one to the newest form.
    ///
    /// # Errors
    /// Another program writes in it, a newer program made it, or the disk refuses.
    pub fn open(folder: &Path) -> Result<Self, BookFault> {
        schema::private_folder(folder)?;
        let lock = take_lock(folder)?;
        let new = !schema::path(folder).exists();
        if new {
            // Never opened where it exists: closing it would take SQLite's own locks of this process with it.
            schema::private_file(&schema::path(folder))?;
        }
        let mut connection = schema::connect(folder, true)?;
        let mut notes = schema::raise(&mut connection, folder, schema::STEPS)?;
        let line = own_line(&mut connection, folder, &mut notes)?;
        if new {
            schema::sync_folder(folder)?;
        }
        let mut writer = Self { folder: folder.to_owned(), connection, line, notes, _lock: lock };
        writer.end_what_was_cut_short();
        Ok(writer)
    }

    /// Ends deletions and merges that were cut short, and registers recordings that a killed program left in
    /// open visits. What fails is said and tried again at the next opening.
    fn end_what_was_cut_short(&mut self) {
        let done = [self.bury_all(), self.clear_stage(), self.adopt()];
        let faults = done.into_iter().filter_map(Result::err);
        self.notes.extend(faults.map(|fault| fault.to_string()));
    }

    /// Registers recordings of open visits that nobody registered.
    fn adopt(&mut self) -> Result<(), BookFault> {
        for (visit, path) in self.lost_sounds().map_err(|e| store(&self.folder, &e))? {
            let sound = super::sounds::measured(&path, None, None)?;
            self.commit(|page| page.sound(visit, &sound))?;
            self.notes.push(format!(
                "{}: was cut short when the program ended, and is now registered",
                path.display()
            ));
        }
        Ok(())
    }

    fn lost_sounds(&self) -> rusqlite::Result<Vec<(VisitId, PathBuf)>> {
        let mut lost = Vec::new();
        for visit in visits::open(&self.connection)? {
            let known = super::sounds::registered(&self.connection, visit)?;
            let paths = super::sounds::unregistered(&self.folder, visit, &known);
            lost.extend(paths.into_iter().map(|path| (visit, path)));
        }
        Ok(lost)
    }

    /// What there is to say of the book's opening, in sentences.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// The book's folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    pub(super) fn connection(&self) -> &Connection {
        &self.connection
    }

    /// Does all of `work` in one transaction, on the disk when this returns, or none of it.
    pub(super) fn commit<T>(
        &mut self,
        work: impl FnOnce(&mut Page<'_>) -> Result<T, Torn>,
    ) -> Result<T, BookFault> {
        let (folder, line) = (self.folder.clone(), self.line);
        let fault = |e: rusqlite::Error| store(&folder, &e);
        let tx = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        let mut page = Page { tx, line };
        let done = work(&mut page).map_err(|torn| match torn {
            Torn::Store(e) => store(&folder, &e),
            Torn::Fault(fault) => fault,
        })?;
        page.tx.commit().map_err(fault)?;
        Ok(done)
    }

    /// Keeps one act of a visit; it is on the disk when this returns.
    ///
    /// # Errors
    /// The disk refuses; the act then does not count.
    pub fn keep(&mut self, visit: VisitId, at: Moment, act: Act) -> Result<(), BookFault> {
        self.commit(|page| page.event(visit, at, &act))
    }

    /// Keeps a whole visit of earlier times, or nothing of it. False where the book has a visit of the same
    /// record at the same moment: nothing was kept then.
    ///
    /// # Errors
    /// There is no opening among the events, or the disk refuses; nothing of the visit is kept then.
    pub fn keep_earlier(&mut self, events: &[Event]) -> Result<bool, BookFault> {
        let opening = events.iter().find_map(|event| match &event.act {
            Act::VisitOpened(opened) => Some((&opened.record, event.at)),
            _ => None,
        });
        let (record, at) =
            opening.ok_or_else(|| BookFault::Refused("this visit was never opened".to_owned()))?;
        let visit = VisitId::new();
        self.commit(|page| {
            let there = "SELECT EXISTS (SELECT 1 FROM visit WHERE record = ?1 AND at_ms = ?2)";
            let of = params![record, at.utc().as_millisecond()];
            if page.tx.query_row(there, of, |row| row.get(0))? {
                return Ok(false);
            }
            events.iter().try_for_each(|event| page.event(visit, event.at, &event.act))?;
            Ok(true)
        })
    }
}

fn take_lock(folder: &Path) -> Result<File, BookFault> {
    let path = folder.join(LOCK);
    let lock = schema::private_file(&path)?;
    match lock.try_lock() {
        Ok(()) => Ok(lock),
        Err(TryLockError::WouldBlock) => Err(BookFault::InUse { path: folder.to_owned() }),
        Err(TryLockError::Error(e)) => Err(file(&path, e)),
    }
}

/// The line that this book writes. A book that finds itself in another place was moved, copied or restored:
/// it begins a new line after the old one, so that two copies can never write the same line apart.
fn own_line(
    connection: &mut Connection,
    folder: &Path,
    notes: &mut Vec<String>,
) -> Result<Line, BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    let here = place(folder);
    let found: Option<(i64, [u8; 16], String)> = connection
        .query_row(
            "SELECT line.no, line.id, book.place FROM book JOIN line ON line.no = book.line",
            [],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()
        .map_err(fault)?;
    let before = found.map(|(no, id, place)| (Line { no, id: Uuid::from_bytes(id) }, place));
    match before {
        Some((line, place)) if place == here => return Ok(line),
        Some(_) => notes.push(
            "this record book was moved, copied or restored: it goes on with a new chain after the old one"
                .into(),
        ),
        None => {}
    }
    begin_line(connection, before.map(|(line, _)| line), &here).map_err(fault)
}

fn begin_line(
    connection: &mut Connection,
    after: Option<Line>,
    place: &str,
) -> rusqlite::Result<Line> {
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let id = Uuid::now_v7();
    tx.execute("INSERT INTO line (id, own) VALUES (?1, 1)", [id.as_bytes()])?;
    let line = Line { no: tx.last_insert_rowid(), id };
    let after = after.map(|old| {
        let (seq, hash) = last(&tx, old.no)?;
        Ok::<_, rusqlite::Error>(json!({"line": old.id, "entries": seq, "head": chain::hex(&hash)}))
    });
    let program = env!("CARGO_PKG_VERSION");
    let body = json!({"v": 1, "program": program, "at": now(), "after": after.transpose()?});
    let mut page = Page { tx, line };
    page.append(Kind::Began, None, None, &body.to_string())?;
    page.tx.execute(
        "INSERT INTO book (one, line, place) VALUES (1, ?1, ?2)
         ON CONFLICT (one) DO UPDATE SET line = ?1, place = ?2",
        params![line.no, place],
    )?;
    page.tx.commit()?;
    Ok(line)
}

/// A hash of this computer, the folder, and when the file was born where the system tells: equal for the same
/// book in the same place, and it tells none of them.
fn place(folder: &Path) -> String {
    let born = std::fs::metadata(schema::path(folder)).and_then(|m| m.created()).ok();
    let born = born.and_then(|at| at.duration_since(std::time::UNIX_EPOCH).ok());
    let path = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    let machine = std::fs::read("/etc/machine-id").unwrap_or_else(|_| {
        std::env::var("COMPUTERNAME")
            .or_else(|_| std::env::var("HOSTNAME"))
            .unwrap_or_default()
            .into()
    });
    let hash = Sha256::new()
        .chain_update(path.as_os_str().as_encoded_bytes())
        .chain_update([0])
        .chain_update(machine)
        .chain_update(born.map_or(0, |at| at.as_nanos()).to_be_bytes())
        .finalize();
    chain::hex(&hash)
}

/// Number and hash of a line's last entry; 0 and [`START`] before the first.
pub(super) fn last(connection: &Connection, line: i64) -> rusqlite::Result<(u64, Hash)> {
    let mut query = connection
        .prepare_cached("SELECT seq, hash FROM entry WHERE line = ?1 ORDER BY seq DESC LIMIT 1")?;
    let found = query
        .query_row([line], |row| Ok((row.get::<_, i64>(0)?.unsigned_abs(), row.get(1)?)))
        .optional()?;
    Ok(found.unwrap_or((0, START)))
}

/// Why a transaction was torn up.
#[derive(Debug)]
pub(super) enum Torn {
    /// The database refused.
    Store(rusqlite::Error),
    /// Anything else.
    Fault(BookFault),
}

impl From<rusqlite::Error> for Torn {
    fn from(fault: rusqlite::Error) -> Self {
        Self::Store(fault)
    }
}

impl From<BookFault> for Torn {
    fn from(fault: BookFault) -> Self {
        Self::Fault(fault)
    }
}

/// What is written in one transaction.
pub(super) struct Page<'a> {
    pub(super) tx: Transaction<'a>,
    line: Line,
}

impl Page<'_> {
    /// Appends one sealed entry to the book's own line.
    pub(super) fn append(
        &mut self,
        kind: Kind,
        visit: Option<VisitId>,
        n: Option<u64>,
        body: &str,
    ) -> rusqlite::Result<()> {
        let (before, prev) = last(&self.tx, self.line.no)?;
        let salt: [u8; 16] = self.tx.query_row("SELECT randomblob(16)", [], |row| row.get(0))?;
        let sealed = Sealed {
            line: self.line.id,
            seq: before + 1,
            prev,
            kind,
            visit: visit.map_or(Uuid::nil(), |v| v.0),
            body: chain::of_body(&salt, body),
        };
        self.tx
            .prepare_cached(
                "INSERT INTO entry (line, seq, prev, hash, kind, visit, n, sealed, salt, body)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            )?
            .execute(params![
                self.line.no,
                sealed.seq as i64,
                prev,
                sealed.hash(),
                kind as i64,
                visit.map(|v| *v.0.as_bytes()),
                n.map(|n| n as i64),
                sealed.body,
                salt,
                body
            ])?;
        Ok(())
    }

    /// Keeps one act as the next event of its visit.
    pub(super) fn event(&mut self, visit: VisitId, at: Moment, act: &Act) -> Result<(), Torn> {
        let n = visits::highest(&self.tx, visit)? + 1;
        let of = match act {
            Act::Amendment { of, .. } => self.place(visit, *of)?,
            _ => None,
        };
        let event = Event::new(n, at, act.clone());
        let body = visits::body(&event, of)
            .map_err(|e| BookFault::Refused(format!("this act cannot be written: {e}")))?;
        self.append(Kind::Event, Some(visit), Some(n), &body)?;
        let in_row = matches!(
            act,
            Act::VisitOpened(_) | Act::VisitClosed | Act::Amendment { .. } | Act::NextTest { .. }
        );
        if n == 1 || in_row {
            visits::refresh(&self.tx, visit)?;
        } else {
            self.tx
                .prepare_cached("UPDATE visit SET events = events + 1, last = ?2 WHERE id = ?1")?
                .execute(params![visit.0.as_bytes(), at.to_string()])?;
        }
        Ok(())
    }

    /// Where the entry of a visit's event stands.
    fn place(&self, visit: VisitId, n: u64) -> rusqlite::Result<Option<visits::Place>> {
        let at = usize::try_from(n).ok().and_then(|n| n.checked_sub(1));
        let stored = visits::stored(&self.tx, visit)?;
        Ok(at.and_then(|at| stored.get(at)).map(|entry| entry.place))
    }

    /// Registers a finished recording, once.
    pub(super) fn sound(&mut self, visit: VisitId, sound: &Sound) -> Result<(), Torn> {
        if super::sounds::registered(&self.tx, visit)?.contains(sound) {
            return Ok(());
        }
        let body = serde_json::to_string(sound)
            .map_err(|e| BookFault::Refused(format!("this recording cannot be registered: {e}")))?;
        Ok(self.append(Kind::Sound, Some(visit), None, &body)?)
    }
}
