//! The one who writes in a book: holds its lock, appends entries to its line, one transaction at a time.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior, params};
use serde_json::json;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::chain::{self, EntryKind};
use super::fault::{BookFault, file, store};
use super::lines::{self, Lines};
use super::note::BookNote;
use super::page::Line;
pub(super) use super::page::{Page, Torn, last, now};
use super::schema;
use super::visits::{self, VisitId};
use super::watch::Waiting;
use super::whose::{Whose, whose};
use crate::clinical::event::{Act, Event};
use crate::clinical::moment::Moment;

/// The lock's file. It stays; what counts is who holds it.
const LOCK: &str = "writer.lock";

/// How long a program may hold the lock that it only inherited while it is started.
const STARTING: std::time::Duration = std::time::Duration::from_millis(300);

/// The one who writes in a book. Only one program can be it at a time.
#[derive(Debug)]
pub struct Writer {
    folder: PathBuf,
    connection: Connection,
    line: Line,
    /// What there is to say of the book's opening.
    notes: Vec<BookNote>,
    /// Which file was opened.
    seen: Option<Seen>,
    watch: Waiting,
    _lock: File,
}

/// Which file the book is: a path alone does not tell once the folder was removed or another file put there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Seen {
    file: (u64, u64),
}

impl Seen {
    /// The file that lies there now; none where there is none, or an empty one.
    fn of(folder: &Path) -> Option<Self> {
        let file = std::fs::metadata(schema::path(folder)).ok().filter(|file| file.len() > 0)?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            Some(Self { file: (file.dev(), file.ino()) })
        }
        #[cfg(not(unix))]
        {
            let _ = file;
            Some(Self { file: (0, 0) })
        }
    }
}

impl Writer {
    /// Opens a book for writing; makes it where there is none, and brings an older one to the newest form.
    ///
    /// # Errors
    /// Another program writes in it, a newer program made it, or the disk refuses.
    pub fn open(folder: &Path) -> Result<Self, BookFault> {
        schema::not_emptied(folder)?;
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
        let seen = Seen::of(folder);
        let folder = folder.to_owned();
        let watch = Waiting::default();
        let mut writer = Self { folder, connection, line, notes, seen, watch, _lock: lock };
        writer.notes.extend(writer.clock());
        writer.end_what_was_cut_short();
        Ok(writer)
    }

    /// Ends deletions and merges that were cut short, and registers recordings that a killed program left in
    /// open visits. What fails is reported and tried again at the next opening.
    fn end_what_was_cut_short(&mut self) {
        match self.clear_leftovers() {
            Ok(gone) => self.notes.extend(gone.into_iter().map(BookNote::Left)),
            Err(fault) => self.notes.push(BookNote::Failed(fault.to_string())),
        }
        let done = [self.bury_all(), self.clear_stage(), self.adopt()];
        let faults = done.into_iter().filter_map(Result::err);
        self.notes.extend(faults.map(|fault| BookNote::Failed(fault.to_string())));
    }

    /// Registers recordings of open visits that nobody registered.
    fn adopt(&mut self) -> Result<(), BookFault> {
        for (visit, path) in self.lost_sounds().map_err(|e| store(&self.folder, &e))? {
            let sound = super::sounds::measured(&path, None, None)?;
            self.commit(|page| page.sound(visit, &sound))?;
            self.notes.push(BookNote::CutShort(path));
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

    /// What there is to say of the book's opening.
    pub fn notes(&self) -> &[BookNote] {
        &self.notes
    }

    /// Who waits for a merge or a sync, and may end it.
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
            Torn::Fault(fault) | Torn::Line(_, fault) => fault,
        })?;
        let is_there = || match Seen::of(&folder) == self.seen {
            true => Ok(()),
            false => Err(BookFault::Gone { path: schema::path(&folder) }),
        };
        is_there()?;
        page.tx.commit().map_err(fault)?;
        // A file that is no longer in its place takes what is written too; nobody will find it there.
        is_there()?;
        Ok(done)
    }

    /// Whether the book still lies where it was opened.
    ///
    /// # Errors
    /// It does not.
    pub fn is_there(&self) -> Result<(), BookFault> {
        match Seen::of(&self.folder) == self.seen {
            true => Ok(()),
            false => Err(BookFault::Gone { path: schema::path(&self.folder) }),
        }
    }

    /// A sentence where this computer's clock and the book's last entry do not fit.
    fn clock(&self) -> Option<BookNote> {
        let last = "SELECT max(last) FROM (SELECT last FROM visit ORDER BY id DESC LIMIT 50)";
        let last: Option<String> = self.connection.query_row(last, [], |row| row.get(0)).ok()?;
        let last = Moment::parse(&last?).ok()?;
        let (now, day) = (now(), jiff::SignedDuration::from_hours(24));
        let since = now.utc().duration_since(last.utc());
        let wrong = since < -day / 24 || since > day * 730;
        wrong.then(|| BookNote::Clock { now: now.to_string(), last: last.to_string() })
    }

    /// Keeps one act of a visit; it is on the disk when this returns.
    ///
    /// # Errors
    /// The visit is open on another laptop, or the disk refuses; the act then does not count.
    pub fn keep(&mut self, visit: VisitId, at: Moment, act: Act) -> Result<(), BookFault> {
        self.may_add(visit, &act)?;
        self.commit(|page| page.event(visit, at, &act))
    }

    /// Refuses what would be set aside: an open visit is finished by the laptop that has it.
    fn may_add(&self, visit: VisitId, act: &Act) -> Result<(), BookFault> {
        let fault = |e: rusqlite::Error| store(&self.folder, &e);
        let owner = whose(self.connection(), visit).map_err(fault)?;
        let closed = "SELECT EXISTS (SELECT 1 FROM visit WHERE id = ?1 AND closed = 1)";
        let closed: bool = self
            .connection
            .query_row(closed, [visit.0.as_bytes()], |row| row.get(0))
            .map_err(fault)?;
        let takes = matches!(act, Act::TakenOver { .. });
        match owner {
            _ if takes && closed => Err(BookFault::Refused(format!(
                "visit {visit} is closed: it is not taken over; amend it instead"
            ))),
            Some(Whose::Before | Whose::Elsewhere(_)) if !closed && !takes => {
                Err(BookFault::Refused(format!(
                    "visit {visit} is open on another laptop, or in another copy of this book, and is finished there: where that is gone, take the visit over first with `cuffnote book take-over {visit} --who CODE --why WORDS`"
                )))
            }
            _ => Ok(()),
        }
    }

    /// Keeps a whole visit of earlier times, or nothing of it. False where the book has a visit of the same
    /// record at the same moment: nothing was kept then.
    ///
    /// # Errors
    /// There is no opening among the events, or the disk refuses; nothing of the visit is kept then.
    pub fn keep_earlier(&mut self, events: &[Event]) -> Result<bool, BookFault> {
        Ok(self.keep_all_earlier(&[events])?.first() == Some(&true))
    }

    /// Keeps several visits of earlier times by one commit, as [`Writer::keep_earlier`] keeps one.
    ///
    /// # Errors
    /// As there; nothing of any of them is kept then.
    pub fn keep_all_earlier(&mut self, visits: &[&[Event]]) -> Result<Vec<bool>, BookFault> {
        self.commit(|page| visits.iter().map(|events| page.earlier(events)).collect())
    }
}

fn take_lock(folder: &Path) -> Result<File, BookFault> {
    let path = folder.join(LOCK);
    let lock = schema::private_file(&path)?;
    let begun = std::time::Instant::now();
    loop {
        match lock.try_lock() {
            Ok(()) => return Ok(lock),
            // A program that is just being started holds what this one had open, until it begins.
            Err(TryLockError::WouldBlock) if begun.elapsed() < STARTING => {
                std::thread::sleep(STARTING / 20);
            }
            Err(TryLockError::WouldBlock) => {
                return Err(BookFault::InUse { path: folder.to_owned() });
            }
            Err(TryLockError::Error(e)) => return Err(file(&path, e)),
        }
    }
}

/// The line that this book writes. A book that finds itself in another place was moved, copied or restored:
/// it begins a new line after the old one, so that two copies can never write the same line apart. So does one that
/// was brought to a newer form, whose lines say more.
fn own_line(
    connection: &mut Connection,
    folder: &Path,
    notes: &mut Vec<BookNote>,
) -> Result<Line, BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    let here = place(folder);
    let found = lines::current(connection).map_err(fault)?;
    let Some(found) = found else {
        return begin_line(connection, None, &here, false).map_err(fault);
    };
    let of = Lines::of(connection, &[found].into()).map_err(fault)?;
    if let Some(line) = of.get(found)
        && line.began.place.as_ref() == Some(&here)
    {
        return Ok(Line { no: line.no, id: line.id });
    }
    // Where the column was turned to another line, the sealed texts still tell which one is written here.
    let all = Lines::all(connection).map_err(fault)?;
    let last =
        |id: uuid::Uuid| !all.iter().any(|l| l.began.after.as_ref().is_some_and(|a| a.line == id));
    let sealed = all.iter().find(|l| l.began.place.as_ref() == Some(&here) && last(l.id));
    if let Some(line) = sealed {
        let turn = "UPDATE book SET line = ?1, place = ?2";
        connection.execute(turn, params![line.no, here]).map_err(fault)?;
        notes.push(BookNote::TurnedBack);
        return Ok(Line { no: line.no, id: line.id });
    }
    let column: String =
        connection.query_row("SELECT place FROM book", [], |row| row.get(0)).map_err(fault)?;
    let old = all.get(found).is_none_or(|line| line.began.v < lines::BEGAN);
    let goes_on = old && column == here;
    if !goes_on {
        notes.push(BookNote::Moved);
    }
    let before = all.get(found).map(|line| Line { no: line.no, id: line.id });
    begin_line(connection, before, &here, goes_on).map_err(fault)
}

fn begin_line(
    connection: &mut Connection,
    after: Option<Line>,
    place: &str,
    goes_on: bool,
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
    let body = json!({
        "v": lines::BEGAN,
        "program": program,
        "at": now(),
        "place": place,
        "goes_on": goes_on,
        "after": after.transpose()?,
    });
    let mut page = Page { tx, line };
    page.append(EntryKind::Began, None, None, &body.to_string())?;
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
