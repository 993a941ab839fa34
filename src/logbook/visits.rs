//! Visits in a book: their ids, rows and events, put in one order where several laptops wrote them.

use std::collections::HashMap;
use std::fmt;
use std::str::FromStr;

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use uuid::Uuid;

use super::chain::Kind;
use crate::clinical::event::{Act, Event, EventFault};
use crate::clinical::moment::Moment;

/// A visit's id: a UUID of version 7, so that two laptops never give the same one.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[schemars(with = "String")]
pub struct VisitId(pub(super) Uuid);

impl VisitId {
    /// A new one.
    pub fn new() -> Self {
        Self(Uuid::now_v7())
    }
}

impl Default for VisitId {
    fn default() -> Self {
        Self::new()
    }
}

impl fmt::Display for VisitId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Text that is no id of a visit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no id of a visit: `cuffnote book list` shows them")]
pub struct NoVisitId(pub String);

impl FromStr for VisitId {
    type Err = NoVisitId;

    fn from_str(text: &str) -> Result<Self, NoVisitId> {
        Uuid::from_str(text).map(Self).map_err(|_| NoVisitId(text.into()))
    }
}

/// One visit in a list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct VisitRow {
    /// Its id.
    pub id: VisitId,
    /// The record's code.
    pub record: String,
    /// The operator's code.
    pub operator: String,
    /// Why the test was done.
    pub reason: String,
    /// When it opened.
    pub opened_at: Moment,
    /// When its last event happened, by the clock of that time.
    pub last_at: Moment,
    /// How many events it has.
    pub events: u64,
    /// True once it was closed.
    pub closed: bool,
    /// The day of the next test, such as `2027-02-03`.
    pub due: Option<String>,
}

/// The columns that [`row`] reads, in its order.
pub(super) const COLUMNS: &str = "id, record, operator, reason, opened, last, events, closed, due";

pub(super) fn row(row: &Row<'_>) -> rusqlite::Result<VisitRow> {
    let moment = |at: usize| {
        let text: String = row.get(at)?;
        Moment::parse(&text).map_err(|fault| {
            rusqlite::Error::FromSqlConversionFailure(
                at,
                rusqlite::types::Type::Text,
                Box::new(fault),
            )
        })
    };
    Ok(VisitRow {
        id: VisitId(Uuid::from_bytes(row.get(0)?)),
        record: row.get(1)?,
        operator: row.get(2)?,
        reason: row.get(3)?,
        opened_at: moment(4)?,
        last_at: moment(5)?,
        events: row.get::<_, i64>(6)?.unsigned_abs(),
        closed: row.get(7)?,
        due: row.get(8)?,
    })
}

/// Where an entry stands: its line and its place in it.
pub(super) type Place = (Uuid, u64);

/// One entry of kind event as it is stored.
pub(super) struct Stored {
    pub(super) place: Place,
    /// The text; none once it was forgotten.
    pub(super) body: Option<String>,
}

/// A visit's entries in the order of its events. An event's number was one more than the highest that its
/// writer knew, so an event always stands behind those it was made upon; ties are broken by the lines' ids.
pub(super) fn stored(connection: &Connection, visit: VisitId) -> rusqlite::Result<Vec<Stored>> {
    let mut query = connection.prepare_cached(
        "SELECT line.id, entry.seq, entry.body FROM entry JOIN line ON line.no = entry.line
         WHERE entry.visit = ?1 AND entry.kind = ?2 ORDER BY entry.n, line.id",
    )?;
    let rows = query.query_map(params![visit.0.as_bytes(), Kind::Event as i64], |row| {
        let place = (Uuid::from_bytes(row.get(0)?), row.get::<_, i64>(1)?.unsigned_abs());
        Ok(Stored { place, body: row.get(2)? })
    })?;
    rows.collect()
}

/// The events of stored entries, numbered from 1 in this order; an amendment names its event by the number
/// that it has here.
pub(super) fn events(stored: &[Stored]) -> Result<Vec<Event>, EventFault> {
    let places: HashMap<Place, u64> = stored.iter().map(|s| s.place).zip(1..).collect();
    let mut events = Vec::with_capacity(stored.len());
    for (n, entry) in (1..).zip(stored) {
        let Some(body) = &entry.body else { continue };
        let mut event = Event::from_json(body)?;
        event.n = n;
        if let Act::Amendment { of, .. } = &mut event.act
            && let Some(place) = link(body)
            && let Some(n) = places.get(&place)
        {
            *of = *n;
        }
        events.push(event);
    }
    Ok(events)
}

/// The entry that an amendment's text names.
fn link(body: &str) -> Option<Place> {
    #[derive(Deserialize)]
    struct Linked {
        of: Place,
    }
    serde_json::from_str::<Linked>(body).ok().map(|linked| linked.of)
}

/// An event's text; an amendment's also names the entry that it amends, so that numbers given on another
/// laptop cannot turn it to another event.
pub(super) fn body(event: &Event, of: Option<Place>) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Linked<'a> {
        #[serde(flatten)]
        event: &'a Event,
        of: Place,
    }
    match of {
        Some(of) => serde_json::to_string(&Linked { event, of }),
        None => serde_json::to_string(event),
    }
}

/// Works the row of a visit out anew from its entries; a visit without any has no row.
pub(super) fn refresh(connection: &Connection, visit: VisitId) -> rusqlite::Result<()> {
    let row = row_of(visit, &stored(connection, visit)?);
    let id = visit.0.as_bytes();
    connection.prepare_cached("DELETE FROM visit WHERE id = ?1")?.execute([id])?;
    if let Some(row) = row {
        connection
            .prepare_cached(
                "INSERT INTO visit (id, record, operator, reason, opened, at_ms, last, events, closed, due)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            )?
            .execute(params![
                id,
                row.record,
                row.operator,
                row.reason,
                row.opened_at.to_string(),
                row.opened_at.utc().as_millisecond(),
                row.last_at.to_string(),
                row.events as i64,
                row.closed,
                row.due
            ])?;
    }
    Ok(())
}

/// The row that a visit's entries make; none where no text is left. Read from plain JSON, so that events of
/// a newer program are listed too.
pub(super) fn row_of(id: VisitId, stored: &[Stored]) -> Option<VisitRow> {
    let bodies: Vec<&str> = stored.iter().filter_map(|entry| entry.body.as_deref()).collect();
    let values: Vec<Value> =
        bodies.iter().filter_map(|body| serde_json::from_str(body).ok()).collect();
    let at = |value: &Value| Moment::parse(value["at"].as_str()?).ok();
    let kind = |act: &Value, name: &str| act["kind"] == name;
    let (mut opened, mut due) = (&Value::Null, &Value::Null);
    for act in values.iter().map(|value| &value["act"]) {
        let act = if kind(act, "amendment") { &act["new"] } else { act };
        if kind(act, "visit-opened") {
            opened = act;
        } else if kind(act, "next-test") {
            due = &act["on"];
        }
    }
    let text = |name: &str| opened[name].as_str().unwrap_or_default().to_owned();
    Some(VisitRow {
        id,
        record: text("record"),
        operator: text("operator"),
        reason: text("reason"),
        opened_at: values.first().and_then(at)?,
        last_at: values.last().and_then(at)?,
        events: bodies.len() as u64,
        due: due.as_str().map(str::to_owned),
        closed: values.iter().any(|value| kind(&value["act"], "visit-closed")),
    })
}

/// Visits that are not closed.
pub(super) fn open(connection: &Connection) -> rusqlite::Result<Vec<VisitId>> {
    let mut query = connection.prepare("SELECT id FROM visit WHERE closed = 0")?;
    let rows = query.query_map([], |row| Ok(VisitId(Uuid::from_bytes(row.get(0)?))))?;
    rows.collect()
}

/// The highest number that an event of this visit was given; 0 where there is none.
pub(super) fn highest(connection: &Connection, visit: VisitId) -> rusqlite::Result<u64> {
    let mut query =
        connection.prepare_cached("SELECT max(n) FROM entry WHERE visit = ?1 AND kind = ?2")?;
    let found: Option<Option<i64>> = query
        .query_row(params![visit.0.as_bytes(), Kind::Event as i64], |row| row.get(0))
        .optional()?;
    Ok(found.flatten().map_or(0, i64::unsigned_abs))
}
