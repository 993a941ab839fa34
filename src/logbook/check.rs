//! Holds a whole book against itself: pages, chain, texts, rows, visits, recordings. Changes nothing.

use std::collections::BTreeSet;
use std::path::Path;

use rusqlite::{Connection, OptionalExtension};
use serde::Serialize;
use uuid::Uuid;

use super::book::Book;
use super::chain::START;
use super::entry::{ENTRY, Entry};
use super::fault::BookFault;
use super::lines::{self, Began, Lines, Told};
use super::schema;
use super::sounds::{self, SoundState};
use super::visits::{self, VisitId};
use super::watch::Walk;
use super::writer::Torn;
use crate::clinical::event::EventFault;
use crate::clinical::visit::Visit;
use crate::words::Words;

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct Checked {
    /// Entries that were read, of all lines.
    pub entries: u64,
    /// Lines: the book's own chain, its earlier ones, and those taken in from other books.
    pub lines: u64,
    /// Visits.
    pub visits: u64,
    /// Recordings whose bytes were read.
    pub recordings: u64,
    /// Heads that the book itself sealed, in meetings and moves, and that were proved.
    pub heads: u64,
    /// What is damaged, each named; empty in a whole book.
    pub damage: Vec<Damage>,
    /// What waits, and is no damage.
    pub waiting: Vec<Damage>,
    /// What only a newer program can read, and is no damage.
    pub newer: Vec<Damage>,
    /// Events that are kept and do not count.
    pub aside: u64,
    /// Facts to which two laptops gave two values, and that nobody settled.
    pub disagreements: u64,
    /// What is worth knowing and no damage.
    pub notes: Vec<String>,
}

/// One thing that a check names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Damage {
    /// `file`, `schema`, `chain`, `text`, `number`, `row`, `visit` or `recording`.
    pub kind: &'static str,
    /// Where: an entry, a visit, a file.
    pub place: String,
    /// What is wrong, in a sentence.
    pub words: String,
    /// What to do.
    pub then: &'static str,
}

/// What to do about damage of each kind.
fn then(kind: &str) -> &'static str {
    match kind {
        "row" => "the sealed entries are whole: `cuffnote book mend` works the list out anew",
        "schema" => {
            "it never worked while this program wrote; have it taken out by whoever looks after the laptop"
        }
        "recording" => {
            "the numbers are whole: take the recording from a backup or another laptop with `cuffnote book merge`"
        }
        _ => {
            "keep this book as it is, restore a backup beside it, and compare; another laptop has what was synced"
        }
    }
}

const WAITING: &str = "the next writing program, or the next sync, ends it";
const NEWER: &str = "open the book with the newer program; nothing is lost";

/// Visits whose texts were deleted on purpose.
pub(super) fn gone(connection: &Connection) -> rusqlite::Result<BTreeSet<Uuid>> {
    let mut query = connection.prepare_cached(
        "SELECT visit, body FROM entry WHERE kind = 3 AND kind NOT IN (1, 2) AND visit IS NOT NULL AND body IS NOT NULL",
    )?;
    let rows =
        query.query_map([], |row| Ok((Uuid::from_bytes(row.get(0)?), row.get::<_, String>(1)?)))?;
    let mut gone = BTreeSet::new();
    for row in rows {
        let (visit, body) = row?;
        if super::forget::is_of_visit(&body) {
            gone.insert(visit);
        }
    }
    Ok(gone)
}

/// The lines of a book: number and id.
pub(super) fn lines(connection: &Connection) -> rusqlite::Result<Vec<(i64, Uuid)>> {
    let mut query = connection.prepare("SELECT no, id FROM line ORDER BY no")?;
    let rows = query.query_map([], |row| Ok((row.get(0)?, Uuid::from_bytes(row.get(1)?))))?;
    rows.collect()
}

impl Book {
    /// Checks the whole book. `heads` are heads printed in reports, or their first 16 signs at least: each must
    /// be found in a chain.
    ///
    /// # Errors
    /// The book cannot be read at all, a head is none, or whoever waits wanted no more; anything less is named in the
    /// answer.
    pub fn check(&self, heads: &[String]) -> Result<Checked, BookFault> {
        let mut checked = Checked::default();
        let heads: Vec<String> = heads.iter().map(|h| h.trim().to_ascii_lowercase()).collect();
        let is_head = |head: &&String| {
            (16..=64).contains(&head.len()) && head.bytes().all(|b| b.is_ascii_hexdigit())
        };
        if let Some(other) = heads.iter().find(|head| !is_head(head)) {
            return Err(BookFault::Refused(format!(
                "`{other}` is no head of a chain: type 16 to 64 signs of 0-9 and a-f, as a report shows them"
            )));
        }
        let mut walk = self.walk();
        self.pages(&mut checked)?;
        for kind in ["schema", "chain", "own", "row", "recording"] {
            let done = match kind {
                "schema" => self.tables(&mut checked).map_err(Torn::from),
                "chain" => self
                    .chains(&mut checked, &mut walk)
                    .and_then(|()| Ok(self.sealed(&mut checked)?)),
                "own" => self.own(&mut checked).map_err(Torn::from),
                "row" => self.lists(&mut checked, &mut walk),
                _ => self.sounds(&mut checked, &mut walk),
            };
            let words = match done {
                Ok(()) => None,
                Err(Torn::Store(fault)) => Some(format!("could not be read to the end: {fault}")),
                Err(Torn::Fault(fault) | Torn::Line(_, fault)) => return Err(fault),
            };
            if let Some(words) = words {
                checked.add(if kind == "own" { "chain" } else { kind }, schema::FILE.into(), words);
            }
        }
        for head in &heads {
            self.look_for(head, &mut checked).map_err(self.fault())?;
        }
        Ok(checked)
    }

    /// Each entry once, and each visit twice: its events, and its recordings.
    fn walk(&self) -> Walk {
        let all = "SELECT (SELECT count(*) FROM entry) + 2 * (SELECT count(*) FROM visit)";
        let of: i64 = self.connection().query_row(all, [], |row| row.get(0)).unwrap_or(0);
        Walk::of(self.watch(), of.unsigned_abs())
    }

    /// SQLite's own check of its pages and indexes.
    fn pages(&self, checked: &mut Checked) -> Result<(), BookFault> {
        let read = || -> rusqlite::Result<Vec<String>> {
            let mut query = self.connection().prepare("PRAGMA integrity_check(20)")?;
            query.query_map([], |row| row.get(0))?.collect()
        };
        let told = self.watch().during(self.connection(), (0, 1), read)?;
        let told = told.unwrap_or_else(|fault| vec![fault.to_string()]);
        for words in told.into_iter().filter(|words| words != "ok") {
            checked.add("file", schema::FILE.into(), words);
        }
        Ok(())
    }

    /// Tables, indexes, triggers and views that are not those of a book.
    fn tables(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        let form: i64 =
            self.connection().pragma_query_value(None, "user_version", |row| row.get(0))?;
        for (name, words) in schema::differences(self.connection(), form.unsigned_abs() as usize)? {
            checked.add("schema", name, words);
        }
        Ok(())
    }

    fn chains(&self, checked: &mut Checked, walk: &mut Walk) -> Result<(), Torn> {
        let gone = gone(self.connection())?;
        for (no, id) in lines(self.connection())? {
            checked.lines += 1;
            let text = format!("SELECT {ENTRY} FROM entry WHERE line = ?1 ORDER BY seq");
            let mut query = self.connection().prepare_cached(&text)?;
            let mut before = (0, START);
            for entry in query.query_map([no], Entry::read)? {
                let entry = entry?;
                for (kind, words) in entry.faults(id, before, &gone) {
                    let of = entry.visit.map_or(String::new(), |v| format!(" of visit {v}"));
                    checked.add(kind, format!("entry {} of chain {id}{of}", entry.seq), words);
                }
                before = (entry.seq, entry.hash);
                checked.entries += 1;
                walk.on()?;
            }
            if before.0 == 0 {
                checked.add("chain", format!("chain {id}"), "it has no entries".into());
            }
        }
        Ok(())
    }

    /// Every head that the book sealed when it met another or went on in another place: it must stand where it stood.
    fn sealed(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        let own: BTreeSet<Uuid> = self.own_lines()?.into_iter().collect();
        let all = "SELECT line.id, entry.seq, entry.kind, entry.body FROM entry JOIN line ON line.no = entry.line
            WHERE kind IN (0, 4) AND body IS NOT NULL ORDER BY entry.no";
        let mut query = self.connection().prepare(all)?;
        let rows = query.query_map([], |row| {
            let id = Uuid::from_bytes(row.get(0)?);
            Ok((id, row.get::<_, i64>(1)?, row.get::<_, i64>(2)?, row.get::<_, String>(3)?))
        })?;
        for row in rows {
            let (id, seq, kind, body) = row?;
            for told in told_in(kind, &body) {
                let place = format!("entry {seq} of chain {id}");
                match lines::is_there(self.connection(), &told)? {
                    Some(true) => checked.heads += 1,
                    Some(false) => checked.add("chain", place, format!(
                        "it sealed another head for entry {} of chain {}: one of the two chains was written anew",
                        told.entries, told.line
                    )),
                    // What another book met need not have come here.
                    None if !own.contains(&id) => {}
                    None => checked.add("chain", place, format!(
                        "it sealed {} entries of chain {}, and they are not all here: entries or a whole chain were taken away",
                        told.entries, told.line
                    )),
                }
            }
        }
        Ok(())
    }

    /// The lines that this book wrote, by its sealed texts.
    fn own_lines(&self) -> rusqlite::Result<Vec<Uuid>> {
        let Some(current) = lines::current(self.connection())? else { return Ok(Vec::new()) };
        Ok(Lines::of(self.connection(), &[current].into())?.own(current))
    }

    /// Which chain is the book's own: columns that no hash covers, held against the sealed texts.
    fn own(&self, checked: &mut Checked) -> rusqlite::Result<()> {
        let Some(current) = lines::current(self.connection())? else {
            let words = "which chain is the book's own is not written down: the row was taken away";
            checked.add("chain", "table book".into(), words.into());
            return Ok(());
        };
        let all = Lines::all(self.connection())?;
        let place: String =
            self.connection().query_row("SELECT place FROM book", [], |row| row.get(0))?;
        let began = all.get(current).map(|line| &line.began);
        if let Some(Began { place: Some(sealed), .. }) = began
            && *sealed != place
        {
            let words = "the book's own chain was turned to another one, or its place was changed";
            checked.add("row", "table book".into(), words.into());
        }
        let own = all.own(current);
        for line in all.iter() {
            let column: bool = self.connection().query_row(
                "SELECT own FROM line WHERE no = ?1",
                [line.no],
                |row| row.get(0),
            )?;
            if column != own.contains(&line.id) {
                let words =
                    "whether this book wrote it was changed: the sealed texts say otherwise";
                checked.add("row", format!("chain {}", line.id), words.into());
            }
        }
        Ok(())
    }

    /// Rows held against what their entries say; and every visit against the rules of its acts.
    fn lists(&self, checked: &mut Checked, walk: &mut Walk) -> Result<(), Torn> {
        for visit in self.written()? {
            checked.visits += 1;
            walk.on()?;
            let told = visits::told(self.connection(), visit)?;
            let place = format!("visit {visit}");
            let row = self.visit(visit).ok();
            let at_ms: Option<i64> = self
                .connection()
                .prepare_cached("SELECT at_ms FROM visit WHERE id = ?1")?
                .query_row([visit.0.as_bytes()], |row| row.get(0))
                .optional()?;
            let sealed = visits::row_of(visit, &told.entries);
            let sealed_ms = sealed.as_ref().map(|row| row.opened_at.utc().as_millisecond());
            // What a newer program's acts make of a row is not known here.
            let newer = matches!(visits::events(&told.entries), Err(EventFault::Newer { .. }));
            if !newer && (row != sealed || at_ms != sealed_ms) {
                let words = match row {
                    None => "the list lacks it, and its entries are there: the list was changed",
                    Some(_) => "the list says something else than its events: the list was changed",
                };
                checked.add("row", place.clone(), words.into());
            }
            if told.fault.is_none() {
                self.one(&place, &told, checked);
            }
        }
        let without = "SELECT id FROM visit WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.visit = visit.id
            AND kind IN (1, 2) AND body IS NOT NULL)";
        let mut query = self.connection().prepare(without)?;
        for id in query.query_map([], |row| row.get(0).map(Uuid::from_bytes))? {
            let words = "the list has it and no entry does";
            checked.add("row", format!("visit {}", id?), words.into());
        }
        Ok(())
    }

    /// One visit against the rules of its acts.
    fn one(&self, place: &str, told: &visits::Told, checked: &mut Checked) {
        let events = match visits::events(&told.entries) {
            Ok(events) => events,
            Err(EventFault::Newer { found }) => {
                let words = format!("it was written in version {found} of the events");
                return checked.newer.push(Damage {
                    kind: "visit",
                    place: place.into(),
                    words,
                    then: NEWER,
                });
            }
            Err(fault) => return checked.add("visit", place.into(), fault.to_string()),
        };
        match Visit::read(&events) {
            Ok(visit) => {
                checked.aside += visit.aside.len() as u64;
                checked.disagreements += visit.disagreements.len() as u64;
                let english = Words::english();
                let aside = visit.aside.iter().map(|a| a.words(english));
                let both = aside.chain(visit.disagreements.iter().map(|d| d.words(english)));
                checked.notes.extend(both.map(|words| format!("{place}: {words}")));
            }
            Err(fault) => checked.add("visit", place.into(), fault.to_string()),
        }
    }

    /// Every visit that has an event whose text is there.
    fn written(&self) -> rusqlite::Result<Vec<VisitId>> {
        let mut query = self.connection().prepare(
            "SELECT DISTINCT visit FROM entry WHERE kind IN (1, 2) AND visit IS NOT NULL AND body IS NOT NULL",
        )?;
        let rows = query.query_map([], |row| Ok(VisitId(Uuid::from_bytes(row.get(0)?))))?;
        rows.collect()
    }

    fn sounds(&self, checked: &mut Checked, walk: &mut Walk) -> Result<(), Torn> {
        let own: BTreeSet<Uuid> = self.own_lines()?.into_iter().collect();
        let written = self.written()?;
        for visit in &written {
            walk.on()?;
            let found = self.recordings(*visit).unwrap_or_default();
            for sound in found {
                let place = sound.file.display().to_string();
                match (sound.state, &sound.sha256) {
                    (SoundState::Deleted, _) => {}
                    (SoundState::Missing, _) => self.missing(*visit, &sound.file, &own, checked)?,
                    (SoundState::There, None) => checked.notes.push(format!(
                        "{place}: never registered, so that nothing vouches for it: the program was ended while it was recorded"
                    )),
                    (SoundState::There, Some(hash)) => {
                        checked.recordings += 1;
                        let wrong = altered(&sound.file, sound.bytes, hash);
                        wrong.into_iter().for_each(|words| checked.add("recording", place.clone(), words));
                    }
                }
            }
        }
        let known: BTreeSet<String> = written.iter().map(ToString::to_string).collect();
        let gone: BTreeSet<String> =
            gone(self.connection())?.iter().map(ToString::to_string).collect();
        for (name, path) in sounds::folders(self.folder()) {
            let (place, kind) = (path.display().to_string(), "recording");
            if gone.contains(&name) {
                let words = "its visit was deleted, and this is not deleted yet".to_owned();
                checked.waiting.push(Damage { kind, place, words, then: WAITING });
            } else if !known.contains(&name) {
                let words = "recordings lie there, and there is no such visit in this book";
                checked.add(kind, place, words.into());
            }
        }
        Ok(())
    }

    /// A recording that is not in its place: it waits for its place, for its laptop, or is gone.
    fn missing(
        &self,
        visit: VisitId,
        path: &Path,
        own: &BTreeSet<Uuid>,
        checked: &mut Checked,
    ) -> rusqlite::Result<()> {
        let (place, kind) = (path.display().to_string(), "recording");
        let name = path.file_name().unwrap_or_default();
        let staged = self.folder().join("incoming").join(visit.to_string()).join(name);
        let of = "SELECT line.id FROM entry JOIN line ON line.no = entry.line
            WHERE visit = ?1 AND kind = 2 AND body LIKE ?2 LIMIT 1";
        let like = format!("%\"{}\"%", name.to_string_lossy());
        let line: Option<[u8; 16]> = self
            .connection()
            .query_row(of, rusqlite::params![visit.0.as_bytes(), like], |row| row.get(0))
            .optional()?;
        let words = if staged.is_file() {
            "it has come, and is not yet in its place: the program was ended during a merge"
        } else if line.is_some_and(|line| !own.contains(&Uuid::from_bytes(line))) {
            "it has not come from the laptop that recorded it, or was taken away here"
        } else {
            checked.add(kind, place, "it is missing, and no deletion is written down".into());
            return Ok(());
        };
        checked.waiting.push(Damage { kind, place, words: words.into(), then: WAITING });
        Ok(())
    }

    fn look_for(&self, head: &str, checked: &mut Checked) -> rusqlite::Result<()> {
        let known: i64 = self.connection().query_row(
            "SELECT count(*) FROM entry WHERE substr(lower(hex(hash)), 1, length(?1)) = ?1",
            [head],
            |row| row.get(0),
        )?;
        if known == 0 {
            let words = "no entry has this hash: the book is not the one that the report was made from, or entries were taken away or written anew";
            checked.add("chain", format!("head {head}"), words.into());
        }
        Ok(())
    }

    /// What there is to say of a book whose file cannot be opened as one.
    pub fn cannot_be_checked(folder: &Path, fault: &BookFault) -> Checked {
        let mut checked = Checked::default();
        let place = schema::path(folder).display().to_string();
        match fault {
            BookFault::Newer { .. } => {
                let words = fault.to_string();
                checked.newer.push(Damage { kind: "file", place, words, then: NEWER });
            }
            other => checked.add("file", place, other.to_string()),
        }
        checked
    }
}

/// The heads that an entry's text tells of.
fn told_in(kind: i64, body: &str) -> Vec<Told> {
    #[derive(serde::Deserialize)]
    struct Met {
        lines: Vec<Told>,
    }
    match kind {
        0 => serde_json::from_str::<Began>(body).ok().and_then(|b| b.after).into_iter().collect(),
        _ => serde_json::from_str::<Met>(body).map(|met| met.lines).unwrap_or_default(),
    }
}

/// What is wrong with a recording's bytes.
fn altered(path: &Path, bytes: u64, sha256: &str) -> Option<String> {
    match sounds::measure(path) {
        Ok((_, found)) if found == sha256 => None,
        Ok((found, _)) if found != bytes => {
            Some(format!("it has {found} bytes where {bytes} were registered: it was altered"))
        }
        Ok(_) => Some("its bytes are not the ones that were registered: it was altered".into()),
        Err(fault) => Some(format!("it cannot be read: {fault}")),
    }
}

impl Checked {
    fn add(&mut self, kind: &'static str, place: String, words: String) {
        if kind == "newer" {
            self.newer.push(Damage { kind: "chain", place, words, then: NEWER });
        } else {
            self.damage.push(Damage { kind, place, words, then: then(kind) });
        }
    }
}
