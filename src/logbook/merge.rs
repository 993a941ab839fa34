//! Takes another book in: the lines of both are kept, entry by entry, and one visit stays one visit.
//!
//! Entries are read one after the other, each held against its chain. Recordings are staged, then everything is
//! committed at once, then they are put in place. An interrupted merge leaves the book as it was; what was staged is
//! cleared at the next opening.

use std::collections::{BTreeMap, BTreeSet, btree_map};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;
use serde_json::json;
use uuid::Uuid;

use super::backup::{self, Passphrase, Unpacked};
use super::chain::{self, EntryKind, Hash};
use super::entry::Entry;
use super::fault::{BookFault, file, store};
use super::forget::{self, Forget};
use super::lines::hash_at;
use super::schema;
use super::sounds::{self, Sound};
use super::source::Source;
use super::visits::{self, VisitId};
use super::watch::Walk;
use super::writer::{self, Page, Torn, Writer};

/// What a merge brought.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, schemars::JsonSchema)]
pub struct Merged {
    /// Entries that were not here before.
    pub entries: u64,
    /// Visits that were not here before.
    pub new_visits: u64,
    /// Visits that were here and got more events.
    pub grown_visits: u64,
    /// Recordings that were copied.
    pub recordings: u64,
    /// Visits that were deleted there and are now deleted here.
    pub forgotten: u64,
    /// Events that are kept and do not count, of the visits that came or grew.
    pub aside: u64,
    /// Sentences on what could not be taken, and on what is set aside.
    pub notes: Vec<String>,
    /// Chains of which nothing was taken, and why.
    pub refused: Vec<String>,
}

/// Another book: its entries, and where its recordings lie.
pub(super) struct From<'a> {
    pub(super) entries: Source<'a>,
    pub(super) sounds: &'a Path,
    /// Nothing is taken where one chain is damaged.
    pub(super) strict: bool,
}

/// What is taken in one transaction.
#[derive(Default)]
struct Taking {
    merged: Merged,
    /// Visits that got entries, and whether they were here before.
    touched: BTreeMap<VisitId, bool>,
    /// Visits whose texts are missing, and a line where they are.
    textless: BTreeMap<Uuid, Uuid>,
    /// Up to where each line went.
    heads: Vec<(Uuid, u64, Hash)>,
    /// True once something came that is more than the word of a meeting.
    matters: bool,
    /// Chains that are passed over, and why.
    refused: BTreeMap<Uuid, String>,
    /// A text that came was deleted at once.
    wiped: bool,
    walk: Walk,
}

impl Writer {
    /// Takes a backup into this book, as [`Writer::merge`] takes a folder.
    ///
    /// # Errors
    /// As there; or the passphrase is wrong, or the file is no whole backup.
    pub fn merge_backup(
        &mut self,
        backup: &Path,
        passphrase: Option<&Passphrase>,
    ) -> Result<Merged, BookFault> {
        self.staged(|writer| {
            let folder = writer.stage().join("backup");
            let _ = std::fs::remove_dir_all(&folder);
            let unpacked = backup::unpack(backup, &folder, passphrase, writer.watch())?;
            let sounds = folder.join(sounds::FOLDER);
            match unpacked {
                Unpacked::Database => writer.take_database(&schema::path(&folder), &sounds),
                Unpacked::Shelf(_) => {
                    let entries = Source::shelf(&folder)?;
                    writer.take_in(&From { entries, sounds: &sounds, strict: true })
                }
            }
        })
    }

    /// Takes the book in another folder into this one. The other is only read. The same visit twice gives
    /// one; two amendments of one reading are both kept, and shown as made apart.
    ///
    /// # Errors
    /// The other book is damaged, or one chain went on in two places: nothing was changed then.
    pub fn merge(&mut self, folder: &Path) -> Result<Merged, BookFault> {
        if !schema::path(folder).is_file() {
            return Err(BookFault::Refused(format!(
                "{}: there is no record book",
                folder.display()
            )));
        }
        if folder.canonicalize().ok() == self.folder().canonicalize().ok() {
            let said = "is this record book itself: name the other one";
            return Err(BookFault::Refused(format!("{}: {said}", folder.display())));
        }
        // A whole copy is read: the other book may be in use, or of an older form, and is not changed.
        let mut notes = Vec::new();
        let other = super::book::reading(folder, &mut notes)?;
        schema::form(&other, folder)?;
        self.staged(|writer| {
            let copy = writer.stage().join("other.sqlite");
            schema::private_folder(&writer.stage())?;
            schema::copy_to(&other, &copy, writer.watch())?;
            drop(other);
            writer.take_database(&copy, &folder.join(sounds::FOLDER))
        })
    }

    /// Takes another book's database, a copy that nobody else has, into this one.
    pub(super) fn take_database(
        &mut self,
        database: &Path,
        sounds: &Path,
    ) -> Result<Merged, BookFault> {
        let fault = |e: rusqlite::Error| store(database, &e);
        let mut other = Connection::open(database).map_err(fault)?;
        schema::distrust(&other).map_err(fault)?;
        schema::raise_copy(&mut other, database)?;
        let entries = Source::Database { connection: &other, file: database };
        let merged = self.take_in(&From { entries, sounds, strict: true })?;
        drop(other);
        self.clear_stage()?;
        Ok(merged)
    }

    pub(super) fn take_in(&mut self, from: &From<'_>) -> Result<Merged, BookFault> {
        schema::private_folder(&self.stage())?;
        let places = (self.folder().to_owned(), self.stage());
        let mut refused = BTreeMap::new();
        // A chain that turns out to be broken is passed over, and the others are taken from the start again.
        let (merged, sounds) = loop {
            // Each entry is read, and perhaps worked into a list.
            let walk = Walk::of(self.watch(), 2 * self.ahead(from, &refused)?);
            let mut taking = Taking { refused: refused.clone(), walk, ..Taking::default() };
            let mut broken = None;
            let done = self.commit(|page| {
                let done = page.take(from, &places, &mut taking);
                done.map_err(|torn| match torn {
                    Torn::Line(line, fault) => {
                        broken = Some(line);
                        Torn::Fault(fault)
                    }
                    other => other,
                })
            });
            match (done, broken) {
                (Ok(sounds), _) => {
                    if taking.wiped {
                        self.deletions_again();
                    }
                    break (taking.merged, sounds);
                }
                (Err(fault), Some(line)) if !from.strict => {
                    refused.insert(line, fault.to_string());
                }
                (Err(fault), _) => return Err(fault),
            }
        };
        self.place_sounds(&sounds)?;
        self.bury_all()?;
        self.clear_stage()?;
        Ok(merged)
    }

    /// How many entries there are that this book lacks.
    fn ahead(&self, from: &From<'_>, but: &BTreeMap<Uuid, String>) -> Result<u64, BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let mut known: BTreeMap<Uuid, u64> = BTreeMap::new();
        for (no, id) in super::check::lines(self.connection()).map_err(fault)? {
            known.insert(id, writer::last(self.connection(), no).map_err(fault)?.0);
        }
        let lines = from.entries.lines()?.into_iter().filter(|id| !but.contains_key(id));
        lines.map(|id| from.entries.ahead(id, known.get(&id).copied().unwrap_or(0))).sum()
    }
}

impl Page<'_> {
    /// Appends what another book has more, applies its deletions, stages its recordings, and writes down that it was
    /// taken in. Gives the recordings that wait to be put in place.
    fn take(
        &mut self,
        from: &From<'_>,
        (folder, stage): &(PathBuf, PathBuf),
        taking: &mut Taking,
    ) -> Result<Vec<(VisitId, Sound)>, Torn> {
        for id in from.entries.lines()? {
            if !taking.refused.contains_key(&id) {
                self.take_line(&from.entries, id, taking)?;
            }
        }
        taking.merged.refused =
            taking.refused.iter().map(|(id, why)| format!("chain {id}: {why}")).collect();
        self.apply_deletions(&from.entries, taking)?;
        self.list_touched(taking)?;
        let sounds = self.stage_sounds(from.sounds, (folder, stage), taking)?;
        // Two books that only tell each other of their meetings would otherwise never come to rest.
        if taking.matters {
            let told = |(line, entries, head): &(Uuid, u64, Hash)| json!({"line": line, "entries": entries, "head": chain::hex(head)});
            let lines: Vec<_> = taking.heads.iter().map(told).collect();
            let body = json!({"at": writer::now(), "lines": lines}).to_string();
            self.append(EntryKind::Merged, None, None, &body)?;
        }
        Ok(sounds)
    }

    /// Appends what the other book has more of one line, each entry held against the one before it.
    fn take_line(
        &mut self,
        source: &Source<'_>,
        id: Uuid,
        taking: &mut Taking,
    ) -> Result<(), Torn> {
        let known = self.line_no(id)?;
        let own = match known {
            Some(no) => writer::last(&self.tx, no)?,
            None => (0, chain::START),
        };
        let mine = |seq| match known {
            Some(no) => hash_at(&self.tx, no, seq),
            None => Ok(None),
        };
        if source.forked(id, own.0, mine)? {
            return Err(Torn::Line(id, forked(id)));
        }
        let mut before = own;
        source.after(id, own.0, |entry| {
            if let Some((_, words)) = entry.follows(before).or_else(|| entry.alone(id)) {
                if entry.seq == own.0 + 1 && own.0 > 0 && entry.prev != own.1 {
                    return Err(Torn::Line(id, forked(id)));
                }
                let said = format!(
                    "entry {} of chain {id}: {words}; nothing was taken from it",
                    entry.seq
                );
                return Err(Torn::Line(id, BookFault::Damaged { path: source.path(), said }));
            }
            before = (entry.seq, entry.hash);
            self.take_entry(id, &entry, taking)
        })?;
        if before.0 > own.0 {
            taking.heads.push((id, before.0, before.1));
        }
        Ok(())
    }

    fn take_entry(&mut self, id: Uuid, entry: &Entry, taking: &mut Taking) -> Result<(), Torn> {
        taking.walk.on()?;
        if let Some(visit) = entry.visit.map(VisitId) {
            if let Some(other) = self.opened_before(id, entry)? {
                let said = format!(
                    "it opens visit {visit}, which chain {other} opened: nothing was taken from it; find out who made it"
                );
                return Err(Torn::Line(id, BookFault::Refused(said)));
            }
            if let btree_map::Entry::Vacant(first) = taking.touched.entry(visit) {
                first.insert(visits::highest(&self.tx, visit)? > 0);
            }
            if entry.body.is_none() {
                taking.textless.entry(visit.0).or_insert(id);
            }
        }
        let no = self.line_made(id)?;
        self.insert(no, entry)?;
        taking.merged.entries += 1;
        taking.matters |= entry.kind != EntryKind::Merged as i64;
        Ok(())
    }

    /// The chain that opened this entry's visit before, where the entry opens it anew.
    fn opened_before(&self, id: Uuid, entry: &Entry) -> rusqlite::Result<Option<Uuid>> {
        if entry.kind != EntryKind::Event as i64 || entry.n != Some(1) || entry.body.is_none() {
            return Ok(None);
        }
        let other = "SELECT line.id FROM entry JOIN line ON line.no = entry.line
            WHERE entry.visit = ?1 AND entry.kind = 1 AND entry.n = 1 AND line.id <> ?2";
        let of = params![entry.visit.map(|visit| *visit.as_bytes()), id.as_bytes()];
        let found = self.tx.prepare_cached(other)?.query_row(of, |row| row.get(0)).optional()?;
        Ok(found.map(Uuid::from_bytes))
    }

    fn line_no(&self, id: Uuid) -> rusqlite::Result<Option<i64>> {
        let find = "SELECT no FROM line WHERE id = ?1";
        self.tx.prepare_cached(find)?.query_row([id.as_bytes()], |row| row.get(0)).optional()
    }

    pub(super) fn line_made(&self, id: Uuid) -> rusqlite::Result<i64> {
        if let Some(no) = self.line_no(id)? {
            return Ok(no);
        }
        self.tx.execute("INSERT INTO line (id, own) VALUES (?1, 0)", [id.as_bytes()])?;
        Ok(self.tx.last_insert_rowid())
    }

    /// Applies the deletions of both books; a text that is missing without one is damage.
    fn apply_deletions(&mut self, source: &Source<'_>, taking: &mut Taking) -> Result<(), Torn> {
        let mut gone = BTreeSet::new();
        for (visit, stone) in forget::stones(&self.tx)? {
            if stone.what != Forget::Visit {
                continue;
            }
            gone.insert(visit.0);
            if !self.has_texts(visit)? {
                continue;
            }
            if forget::had_it(&self.tx, visit, &stone)? {
                taking.merged.forgotten += u64::from(taking.touched.get(&visit) == Some(&true));
                taking.wiped = true;
                self.wipe(visit, stone.what)?;
            } else {
                taking.merged.notes.push(format!(
                    "chain {} says that visit {visit} was deleted, and never had it: it was not deleted",
                    stone.line
                ));
            }
        }
        match taking.textless.iter().find(|(visit, _)| !gone.contains(visit)) {
            Some((visit, line)) => {
                let said = format!(
                    "chain {line}: the text of visit {visit} is missing and no deletion is written down; nothing was taken from it"
                );
                Err(Torn::Line(*line, BookFault::Damaged { path: source.path(), said }))
            }
            None => Ok(()),
        }
    }

    /// Works out the rows of visits that came or grew; names what is set aside in them.
    fn list_touched(&mut self, taking: &mut Taking) -> Result<(), Torn> {
        taking.walk.left(taking.touched.len());
        for (visit, known) in &taking.touched {
            taking.walk.on()?;
            let told = visits::refresh(&self.tx, *visit)?;
            if self.has_texts(*visit)? {
                taking.merged.new_visits += u64::from(!known);
                taking.merged.grown_visits += u64::from(*known);
            }
            let aside =
                told.entries.iter().filter_map(|e| Some((e.place.0, e.apart.aside.as_ref()?)));
            let aside: Vec<_> = aside.collect();
            taking.merged.aside += aside.len() as u64;
            if let Some((line, why)) = aside.first() {
                taking.merged.notes.push(format!(
                    "visit {visit}: {} of chain {line} kept and set aside: {why}",
                    if aside.len() == 1 {
                        "1 event".into()
                    } else {
                        format!("{} events", aside.len())
                    }
                ));
            }
        }
        Ok(())
    }

    /// Copies recordings that this book knows and lacks to the staging folder, each held against its hash.
    /// Those that a cut-short merge left out are fetched too.
    fn stage_sounds(
        &self,
        from: &Path,
        (folder, stage): (&Path, &Path),
        taking: &mut Taking,
    ) -> Result<Vec<(VisitId, Sound)>, Torn> {
        let dead = forget::stones(&self.tx)?;
        let mut staged = Vec::new();
        let every = sounds::every(&self.tx)?;
        taking.walk.left(every.len());
        for (visit, sound) in every {
            taking.walk.on()?;
            let source = from.join(visit.to_string()).join(&sound.file);
            let target = sounds::folder(folder, visit).join(&sound.file);
            let is_dead = || {
                dead.iter().any(|(of, stone)| {
                    *of == visit
                        && (stone.what == Forget::Visit || stone.files.contains(&sound.file))
                })
            };
            if !sounds::is_plain(&sound.file) || target.exists() || !source.is_file() || is_dead() {
                continue;
            }
            let to = stage.join(visit.to_string());
            schema::private_folder(&to)?;
            let to = to.join(&sound.file);
            sounds::copy_whole(&source, &to)?;
            if sounds::measure(&to)? == (sound.bytes, sound.sha256.clone()) {
                staged.push((visit, sound));
            } else {
                std::fs::remove_file(&to).map_err(|e| file(&to, e))?;
                let said = format!("{}: was altered there and not taken", source.display());
                taking.merged.notes.push(said);
            }
        }
        taking.merged.recordings = staged.len() as u64;
        Ok(staged)
    }

    pub(super) fn insert(&mut self, line: i64, entry: &Entry) -> rusqlite::Result<()> {
        self.tx
            .prepare_cached(
                "INSERT INTO entry (line, seq, prev, hash, kind, visit, n, sealed, salt, body)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            )?
            .execute(params![
                line,
                entry.seq as i64,
                entry.prev,
                entry.hash,
                entry.kind,
                entry.visit.map(|visit| *visit.as_bytes()),
                entry.n,
                entry.sealed,
                entry.salt,
                entry.body
            ])?;
        Ok(())
    }

    fn has_texts(&self, visit: VisitId) -> rusqlite::Result<bool> {
        self.tx.query_row(
            "SELECT EXISTS (SELECT 1 FROM entry WHERE visit = ?1 AND kind IN (1, 2) AND body IS NOT NULL)",
            [visit.0.as_bytes()],
            |row| row.get(0),
        )
    }
}

fn forked(id: Uuid) -> BookFault {
    BookFault::Refused(format!(
        "chain {id} went on in two places after one copy of the book was made: the two parts cannot be told apart from a change, so nothing was taken. Keep both books, and amend by hand what one of them lacks"
    ))
}
