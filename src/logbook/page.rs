//! What is written in one transaction: entries appended to the book's own line, each sealed with all before it.

use rusqlite::{Connection, OptionalExtension, Transaction, params};
use uuid::Uuid;

use super::chain::{self, EntryKind, Hash, START, Sealed};
use super::fault::BookFault;
use super::lines;
use super::sounds::Sound;
use super::visits::{self, VisitId};
use crate::clinical::event::{Act, Event};
use crate::clinical::moment::Moment;

/// The line that a book writes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) no: i64,
    pub(super) id: Uuid,
}

/// Now, with this computer's offset.
pub(super) fn now() -> Moment {
    let now = crate::units::wall_clock();
    Moment::new(now, jiff::tz::TimeZone::system().to_offset(now))
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
    /// One line of another book is broken.
    Line(Uuid, BookFault),
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
    pub(super) line: Line,
}

impl<'a> Page<'a> {
    /// A page for entries of other lines alone.
    pub(super) fn of(tx: Transaction<'a>) -> Self {
        Self { tx, line: Line { no: 0, id: Uuid::nil() } }
    }
}

impl Page<'_> {
    /// Appends one sealed entry to the book's own line.
    pub(super) fn append(
        &mut self,
        kind: EntryKind,
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
            Act::Amendment { of, .. } | Act::Undone { of, .. } => self.place(visit, *of)?,
            _ => None,
        };
        let event = match self.is_closed(visit)? {
            true => Event::after_closing(n, at, act.clone()),
            false => Event::new(n, at, act.clone()),
        };
        self.write(visit, &event, of)?;
        let in_row = matches!(
            act,
            Act::VisitOpened(_)
                | Act::VisitClosed
                | Act::Amendment { .. }
                | Act::NextTest { .. }
                | Act::TakenOver { .. }
                | Act::Undone { .. }
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

    fn is_closed(&self, visit: VisitId) -> rusqlite::Result<bool> {
        let closed = "SELECT EXISTS (SELECT 1 FROM visit WHERE id = ?1 AND closed = 1)";
        self.tx.prepare_cached(closed)?.query_row([visit.0.as_bytes()], |row| row.get(0))
    }

    /// Keeps a whole visit of earlier times; false where it is there.
    pub(super) fn earlier(&mut self, events: &[Event]) -> Result<bool, Torn> {
        let opening = events.iter().find_map(|event| match &event.act {
            Act::VisitOpened(opened) => Some((&opened.record, event.at)),
            _ => None,
        });
        let (record, at) =
            opening.ok_or_else(|| BookFault::Refused("this visit was never opened".to_owned()))?;
        let there = "SELECT EXISTS (SELECT 1 FROM visit WHERE record = ?1 AND at_ms = ?2)";
        let of = params![record, at.utc().as_millisecond()];
        if self.tx.prepare_cached(there)?.query_row(of, |row| row.get(0))? {
            return Ok(false);
        }
        let (visit, mut closed) = (VisitId::new(), false);
        for (n, event) in (1..).zip(events) {
            let event = match closed {
                true => Event::after_closing(n, event.at, event.act.clone()),
                false => Event::new(n, event.at, event.act.clone()),
            };
            closed |= matches!(event.act, Act::VisitClosed);
            self.write(visit, &event, None)?;
        }
        visits::refresh(&self.tx, visit)?;
        Ok(true)
    }

    /// Appends an event as it is.
    fn write(
        &mut self,
        visit: VisitId,
        event: &Event,
        of: Option<lines::Place>,
    ) -> Result<(), Torn> {
        let body = visits::body(event, of)
            .map_err(|e| BookFault::Refused(format!("this act cannot be written: {e}")))?;
        Ok(self.append(EntryKind::Event, Some(visit), Some(event.n), &body)?)
    }

    /// Where the entry of a visit's event stands.
    fn place(&self, visit: VisitId, n: u64) -> rusqlite::Result<Option<lines::Place>> {
        let at = usize::try_from(n).ok().and_then(|n| n.checked_sub(1));
        let told = visits::told(&self.tx, visit)?;
        Ok(at.and_then(|at| told.entries.get(at)).map(|entry| entry.place))
    }

    /// Registers a finished recording, once.
    pub(super) fn sound(&mut self, visit: VisitId, sound: &Sound) -> Result<(), Torn> {
        if super::sounds::registered(&self.tx, visit)?.contains(sound) {
            return Ok(());
        }
        let body = serde_json::to_string(sound)
            .map_err(|e| BookFault::Refused(format!("this recording cannot be registered: {e}")))?;
        Ok(self.append(EntryKind::Sound, Some(visit), None, &body)?)
    }
}
