//! Visits in a book: their ids, rows and events, put in one order where several laptops wrote them.

use std::collections::HashMap;
use std::fmt;
use std::str::FromStr;

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use uuid::Uuid;

use super::chain::EntryKind;
use super::entry::{ENTRY, ENTRY_COLUMNS, Entry};
use super::lines::{Lines, Place};
use super::order::{self, Item, Placed};
use crate::clinical::event::{Act, Apart, Event, EventFault, VERSION};
use crate::clinical::moment::Moment;
use crate::clinical::visit::Visit;

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
    /// When it opened, to the millisecond.
    #[serde(serialize_with = "to_the_millisecond")]
    pub opened_at: Moment,
    /// When its last event happened, by the clock of that time, to the millisecond.
    #[serde(serialize_with = "to_the_millisecond")]
    pub last_at: Moment,
    /// How many events it has.
    pub events: u64,
    /// True once it was closed.
    pub closed: bool,
    /// The day of the next test, such as `2027-02-03`.
    pub due: Option<String>,
}

/// The events keep the whole time; a list is for reading.
fn to_the_millisecond<S: serde::Serializer>(at: &Moment, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(&format_args!("{at:.3}"))
}

/// The columns that [`row`] reads, in its order.
pub(super) const COLUMNS: &str = "id, record, operator, reason, opened, last, events, closed, due";

/// One row. A time that is none, which only a hand can have put there, hides no other row.
pub(super) fn row(row: &Row<'_>) -> rusqlite::Result<VisitRow> {
    let moment =
        |at: usize| Ok::<_, rusqlite::Error>(Moment::parse(&row.get::<_, String>(at)?).ok());
    let (opened, last) = (moment(4)?, moment(5)?);
    let never = Moment::new(jiff::Timestamp::UNIX_EPOCH, jiff::tz::Offset::UTC);
    let mut reason: String = row.get(3)?;
    if opened.is_none() || last.is_none() {
        reason = "the list is damaged here: run cuffnote book check".into();
    }
    Ok(VisitRow {
        id: VisitId(Uuid::from_bytes(row.get(0)?)),
        record: row.get(1)?,
        operator: row.get(2)?,
        reason,
        opened_at: opened.unwrap_or(never),
        last_at: last.unwrap_or(never),
        events: row.get::<_, i64>(6)?.unsigned_abs(),
        closed: row.get(7)?,
        due: row.get(8)?,
    })
}

/// One entry of kind event as it is stored.
#[derive(Debug)]
pub(super) struct Stored {
    pub(super) place: Place,
    /// The text; none once it was forgotten.
    pub(super) body: Option<String>,
    /// Whose it is and whether it counts, where several laptops wrote the visit.
    pub(super) apart: Apart,
}

/// A visit's entries in the order of its events, and the line that may add to it while it is open.
#[derive(Debug, Default)]
pub(super) struct Told {
    pub(super) entries: Vec<Stored>,
    pub(super) owner: Option<Uuid>,
    /// What is wrong with an entry by itself: then nothing of the visit is to be believed.
    pub(super) fault: Option<(&'static str, String)>,
}

/// A visit's entries in the order of its events, the same on every laptop.
pub(super) fn told(connection: &Connection, visit: VisitId) -> rusqlite::Result<Told> {
    told_to(connection, visit, None)
}

/// The same as far as the writer of the entry at this place had them.
pub(super) fn told_to(
    connection: &Connection,
    visit: VisitId,
    upto: Option<Place>,
) -> rusqlite::Result<Told> {
    let text = format!(
        "SELECT {ENTRY}, line.id FROM entry JOIN line ON line.no = entry.line
         WHERE entry.visit = ?1 AND entry.kind = ?2 ORDER BY line.id, entry.seq"
    );
    let mut query = connection.prepare_cached(&text)?;
    let of = params![visit.0.as_bytes(), EntryKind::Event as i64];
    let rows = query
        .query_map(of, |row| Ok((Entry::read(row)?, Uuid::from_bytes(row.get(ENTRY_COLUMNS)?))))?;
    let (mut items, mut bodies, mut fault) = (Vec::new(), Vec::new(), None);
    for row in rows {
        let (entry, line) = row?;
        if fault.is_none() {
            let found = entry.alone(line);
            fault = found.map(|(kind, words)| {
                (kind, format!("entry {} of chain {line}: {words}", entry.seq))
            });
        }
        let kind = entry.body.as_deref().map_or(String::new(), kind_of);
        let n = entry.n.unwrap_or_default().unsigned_abs();
        items.push(Item { place: (line, entry.seq), n, kind });
        bodies.push(entry.body);
    }
    let mut lines = order::lines_of(&items);
    if let Some(upto) = upto {
        lines.insert(upto.0);
        let known = Lines::of(connection, &lines)?;
        let keep: Vec<bool> = items.iter().map(|item| known.knows(upto, item.place)).collect();
        let mut at = keep.iter();
        items.retain(|_| at.next() == Some(&true));
        let mut at = keep.iter();
        bodies.retain(|_| at.next() == Some(&true));
        lines = order::lines_of(&items);
    }
    if lines.len() < 2 {
        let owner = lines.into_iter().next();
        let alone =
            |(item, body): (Item, _)| Stored { place: item.place, body, apart: Apart::default() };
        let entries = items.into_iter().zip(bodies).map(alone).collect();
        return Ok(Told { entries, owner, fault });
    }
    let lines = Lines::of(connection, &lines)?;
    let ordered = order::order(&items, &lines);
    let apart = apart(&items, &ordered.placed, &lines);
    let entries = ordered.placed.iter().zip(apart).map(|(placed, apart)| Stored {
        place: items[placed.item].place,
        body: bodies[placed.item].take(),
        apart,
    });
    Ok(Told { entries: entries.collect(), owner: ordered.owner, fault })
}

/// What stands beside each event in this order: its chain, what its writer had not seen, why it is set aside.
fn apart(items: &[Item], placed: &[Placed], lines: &Lines) -> Vec<Apart> {
    let first = placed.first().map(|placed| lines.laptop(items[placed.item].place.0));
    let one = |(at, one): (usize, &Placed)| {
        let item = &items[one.item];
        let other = Some(lines.laptop(item.place.0)) != first;
        // Only what gives a fact another value hangs on what its writer had seen.
        let values = matches!(item.kind.as_str(), "amendment" | "next-test");
        let before = (1..).zip(&placed[..if values { at } else { 0 }]);
        let unseen = before
            .filter(|(_, before)| {
                before.aside.is_none() && !lines.knows(item.place, items[before.item].place)
            })
            .map(|(n, _)| n);
        Apart {
            chain: other.then(|| item.place.0.to_string()),
            unseen: unseen.collect(),
            aside: one.aside.map(str::to_owned),
        }
    };
    placed.iter().enumerate().map(one).collect()
}

/// The kind of an event's act, also of one that a newer program wrote.
fn kind_of(body: &str) -> String {
    #[derive(Deserialize)]
    struct Kinded {
        act: OfKind,
    }
    #[derive(Deserialize)]
    struct OfKind {
        kind: String,
    }
    serde_json::from_str::<Kinded>(body).map_or(String::new(), |event| event.act.kind)
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
        event.apart = entry.apart.clone();
        if event.apart.aside.is_some() {
            // An older program would count it.
            event.v = VERSION;
        }
        if let Act::Amendment { of, .. } | Act::Undone { of, .. } = &mut event.act
            && let Some(place) = link(body)
        {
            // 0 is no event: what an entry of another visit names is nothing here.
            *of = places.get(&place).copied().unwrap_or(0);
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
pub(super) fn refresh(connection: &Connection, visit: VisitId) -> rusqlite::Result<Told> {
    let told = told(connection, visit)?;
    let row = row_of(visit, &told.entries);
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
    Ok(told)
}

/// The row that a visit's entries make; none where no text is left.
pub(super) fn row_of(id: VisitId, stored: &[Stored]) -> Option<VisitRow> {
    let told = events(stored).ok();
    let worked = told.and_then(|events| {
        let visit = Visit::read(&events).ok()?;
        Some((visit, events))
    });
    let Some((visit, events)) = worked else { return plain_row(id, stored) };
    let opened = visit.opened;
    Some(VisitRow {
        id,
        record: opened.record,
        operator: opened.operator,
        reason: opened.reason,
        opened_at: visit.opened_at,
        last_at: events.last()?.at,
        events: events.len() as u64,
        due: visit.next_test.map(|(day, _)| day.to_string()),
        closed: visit.closed,
    })
}

/// The same from plain JSON, so that events of a newer program are listed too.
fn plain_row(id: VisitId, stored: &[Stored]) -> Option<VisitRow> {
    let counts = stored.iter().filter(|entry| entry.apart.aside.is_none());
    let bodies: Vec<&str> = counts.filter_map(|entry| entry.body.as_deref()).collect();
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
        events: stored.iter().filter(|entry| entry.body.is_some()).count() as u64,
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
        .query_row(params![visit.0.as_bytes(), EntryKind::Event as i64], |row| row.get(0))
        .optional()?;
    Ok(found.flatten().map_or(0, i64::unsigned_abs))
}
