//! Takes another book in: the lines of both are kept, entry by entry, and one visit stays one visit.
//!
//! Recordings are staged first, then everything is committed at once, then they are put in place. An
//! interrupted merge leaves the book as it was; what was staged is cleared at the next opening.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;
use serde_json::json;
use uuid::Uuid;

use super::backup::Passphrase;
use super::chain::{self, Hash, Kind};
use super::check::{self, ENTRY, Entry};
use super::fault::{BookFault, file, store};
use super::forget::{self, Forget};
use super::schema;
use super::sounds::{self, Sound};
use super::visits::{self, VisitId};
use super::writer::{self, Page, Torn, Writer};

/// Where recordings wait until their entries are committed.
const STAGE: &str = "incoming";

/// What a merge brought.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
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
    /// Sentences on what could not be taken.
    pub notes: Vec<String>,
}

/// Another book, as files: one database that nobody writes at this time, and its recordings.
#[derive(Debug, Clone, Copy)]
pub(super) struct From<'a> {
    pub(super) file: &'a Path,
    pub(super) sounds: &'a Path,
}

/// What one line of the other book has more than this one.
struct More {
    id: Uuid,
    entries: Vec<Entry>,
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
        let folder = self.stage().join("backup");
        let _ = std::fs::remove_dir_all(&folder);
        super::backup::unpack(backup, &folder, passphrase)?;
        let sounds = folder.join(sounds::FOLDER);
        self.take_in(From { file: &schema::path(&folder), sounds: &sounds })
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
        // A whole copy is read: the other book may be in use, or of an older form, and is not changed.
        let mut notes = Vec::new();
        let other = super::book::reading(folder, &mut notes)?;
        schema::form(&other, folder)?;
        let copy = self.stage().join("other.sqlite");
        schema::private_folder(&self.stage())?;
        schema::copy_to(&other, &copy)?;
        drop(other);
        self.take_in(From { file: &copy, sounds: &folder.join(sounds::FOLDER) })
    }

    pub(super) fn stage(&self) -> PathBuf {
        self.folder().join(STAGE)
    }

    pub(super) fn take_in(&mut self, from: From<'_>) -> Result<Merged, BookFault> {
        let fault = |e: rusqlite::Error| store(from.file, &e);
        schema::private_folder(&self.stage())?;
        let mut other = Connection::open(from.file).map_err(fault)?;
        // A stranger's file: no function of its own is called, no page is believed, nothing spills to another place.
        other
            .execute_batch(
                "PRAGMA trusted_schema=OFF; PRAGMA cell_size_check=ON; PRAGMA temp_store=MEMORY;",
            )
            .map_err(fault)?;
        schema::raise_copy(&mut other, from.file)?;
        let gone_there = check::gone(&other).map_err(fault)?;
        let more = self.more(&other, &gone_there, from.file)?;
        let mut merged = Merged::default();
        let sounds = self.stage_sounds(&more, from.sounds, &mut merged)?;
        if !more.is_empty() {
            self.commit(|page| page.take(&more, &mut merged))?;
        }
        self.place_sounds(&sounds)?;
        self.bury_all()?;
        if merged.forgotten > 0 {
            self.scrub()?;
        }
        drop(other);
        self.clear_stage()?;
        Ok(merged)
    }

    /// The entries that the other book has more, line by line, checked.
    fn more(
        &self,
        other: &Connection,
        gone: &BTreeSet<Uuid>,
        from: &Path,
    ) -> Result<Vec<More>, BookFault> {
        let there = |e: rusqlite::Error| store(from, &e);
        let here = |e: rusqlite::Error| store(self.folder(), &e);
        let mut all = Vec::new();
        for (no, id) in check::lines(other).map_err(there)? {
            let own = self.last_of(id).map_err(here)?;
            let theirs = writer::last(other, no).map_err(there)?;
            let shared = own.0.min(theirs.0);
            if shared > 0 {
                let same = self.hash_at(id, shared).map_err(here)?
                    == hash_at(other, no, shared).map_err(there)?;
                if !same {
                    return Err(BookFault::Refused(format!(
                        "chain {id} went on in two places after one copy of the book was made: the two parts cannot be told apart from a change, so nothing was taken. Keep both books, and amend by hand what one of them lacks"
                    )));
                }
            }
            let text =
                format!("SELECT {ENTRY} FROM entry WHERE line = ?1 AND seq > ?2 ORDER BY seq");
            let mut query = other.prepare(&text).map_err(there)?;
            let rows = query.query_map(params![no, own.0 as i64], Entry::read).map_err(there)?;
            let entries: Vec<Entry> = rows.collect::<rusqlite::Result<_>>().map_err(there)?;
            let mut before = own;
            for entry in &entries {
                if let Some((_, words)) = entry.faults(id, before, gone).into_iter().next() {
                    let said = format!(
                        "entry {} of chain {id}: {words}; nothing was taken from it",
                        entry.seq
                    );
                    return Err(BookFault::Damaged { path: from.to_owned(), said });
                }
                before = (entry.seq, entry.hash);
            }
            if !entries.is_empty() {
                all.push(More { id, entries });
            }
        }
        Ok(all)
    }

    fn line_no(&self, id: Uuid) -> rusqlite::Result<Option<i64>> {
        let find = "SELECT no FROM line WHERE id = ?1";
        self.connection().query_row(find, [id.as_bytes()], |row| row.get(0)).optional()
    }

    fn last_of(&self, id: Uuid) -> rusqlite::Result<(u64, Hash)> {
        match self.line_no(id)? {
            Some(no) => writer::last(self.connection(), no),
            None => Ok((0, chain::START)),
        }
    }

    fn hash_at(&self, id: Uuid, seq: u64) -> rusqlite::Result<Option<Hash>> {
        match self.line_no(id)? {
            Some(no) => hash_at(self.connection(), no, seq),
            None => Ok(None),
        }
    }

    /// Copies recordings that this book will know and lacks to the staging folder, each held against its hash.
    /// Those that a cut-short merge left out are fetched too.
    fn stage_sounds(
        &self,
        more: &[More],
        from: &Path,
        merged: &mut Merged,
    ) -> Result<Vec<(VisitId, Sound)>, BookFault> {
        let fault = |e: rusqlite::Error| store(self.folder(), &e);
        let mut wanted = every_sound(self.connection()).map_err(fault)?;
        let sound_of = |entry: &Entry| {
            let sound = serde_json::from_str(entry.body.as_deref()?).ok()?;
            (entry.kind == Kind::Sound as i64).then_some((VisitId(entry.visit?), sound))
        };
        wanted.extend(more.iter().flat_map(|more| &more.entries).filter_map(sound_of));
        let mut dead: Vec<(VisitId, forget::Tombstone)> =
            forget::stones(self.connection()).map_err(fault)?;
        dead.extend(more.iter().flat_map(|more| &more.entries).filter_map(stone_of));
        wanted.retain(|(visit, sound)| {
            !dead.iter().any(|(of, stone)| {
                of == visit && (stone.what == Forget::Visit || stone.files.contains(&sound.file))
            })
        });
        let mut staged = Vec::new();
        for (visit, sound) in wanted {
            let source = from.join(visit.to_string()).join(&sound.file);
            let target = sounds::folder(self.folder(), visit).join(&sound.file);
            if !sounds::is_plain(&sound.file) || target.exists() || !source.is_file() {
                continue;
            }
            let to = self.stage().join(visit.to_string());
            schema::private_folder(&to)?;
            let to = to.join(&sound.file);
            copy_whole(&source, &to)?;
            if sounds::measure(&to)? == (sound.bytes, sound.sha256.clone()) {
                staged.push((visit, sound));
            } else {
                std::fs::remove_file(&to).map_err(|e| file(&to, e))?;
                merged.notes.push(format!("{}: was altered there and not taken", source.display()));
            }
        }
        merged.recordings = staged.len() as u64;
        Ok(staged)
    }

    /// Puts staged recordings whose entries are committed in their place.
    fn place_sounds(&self, staged: &[(VisitId, Sound)]) -> Result<(), BookFault> {
        for (visit, sound) in staged {
            let folder = sounds::folder(self.folder(), *visit);
            schema::private_folder(&folder)?;
            let (from, to) =
                (self.stage().join(visit.to_string()).join(&sound.file), folder.join(&sound.file));
            std::fs::rename(&from, &to).map_err(|e| file(&from, e))?;
            schema::sync_folder(&folder)?;
        }
        Ok(())
    }

    /// Ends what a cut-short merge left: recordings that the book knows go to their place, the rest goes.
    pub(super) fn clear_stage(&self) -> Result<(), BookFault> {
        let stage = self.stage();
        if !stage.is_dir() {
            return Ok(());
        }
        let known = every_sound(self.connection()).map_err(|e| store(self.folder(), &e))?;
        let ready: Vec<(VisitId, Sound)> = known
            .into_iter()
            .filter(|(visit, sound)| {
                let staged = stage.join(visit.to_string()).join(&sound.file);
                sounds::is_plain(&sound.file)
                    && !sounds::folder(self.folder(), *visit).join(&sound.file).exists()
                    && sounds::measure(&staged)
                        .is_ok_and(|m| m == (sound.bytes, sound.sha256.clone()))
            })
            .collect();
        self.place_sounds(&ready)?;
        std::fs::remove_dir_all(&stage).map_err(|e| file(&stage, e))
    }
}

impl Page<'_> {
    /// Appends what another book has more, applies its deletions, and writes down that it was taken in.
    fn take(&mut self, more: &[More], merged: &mut Merged) -> Result<(), Torn> {
        let mut touched: BTreeMap<VisitId, bool> = BTreeMap::new();
        for line in more {
            self.tx.execute(
                "INSERT INTO line (id, own) VALUES (?1, 0) ON CONFLICT (id) DO NOTHING",
                [line.id.as_bytes()],
            )?;
            let find = "SELECT no FROM line WHERE id = ?1";
            let no: i64 = self.tx.query_row(find, [line.id.as_bytes()], |row| row.get(0))?;
            for entry in &line.entries {
                if let Some(visit) = entry.visit.map(VisitId)
                    && !touched.contains_key(&visit)
                {
                    touched.insert(visit, visits::highest(&self.tx, visit)? > 0);
                }
                self.insert(no, entry)?;
                merged.entries += 1;
            }
        }
        for (visit, stone) in forget::stones(&self.tx)? {
            if self.has_texts(visit)? && stone.what == Forget::Visit {
                merged.forgotten += u64::from(touched.get(&visit) == Some(&true));
                self.wipe(visit, stone.what)?;
            }
        }
        for (visit, known) in touched {
            visits::refresh(&self.tx, visit)?;
            if self.has_texts(visit)? {
                merged.new_visits += u64::from(!known);
                merged.grown_visits += u64::from(known);
            }
        }
        // Two books that only tell each other of their meetings would otherwise never come to rest.
        let mut kinds = more.iter().flat_map(|line| &line.entries).map(|entry| entry.kind);
        if kinds.all(|kind| kind == Kind::Merged as i64) {
            return Ok(());
        }
        let heads: Vec<_> = more
            .iter()
            .filter_map(|line| {
                let last = line.entries.last()?;
                Some(json!({"line": line.id, "entries": last.seq, "head": chain::hex(&last.hash)}))
            })
            .collect();
        let body = json!({"at": writer::now(), "lines": heads}).to_string();
        Ok(self.append(Kind::Merged, None, None, &body)?)
    }

    fn insert(&mut self, line: i64, entry: &Entry) -> rusqlite::Result<()> {
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

fn stone_of(entry: &Entry) -> Option<(VisitId, forget::Tombstone)> {
    let stone = serde_json::from_str(entry.body.as_deref()?).ok()?;
    (entry.kind == Kind::Forgotten as i64).then_some((VisitId(entry.visit?), stone))
}

fn hash_at(connection: &Connection, line: i64, seq: u64) -> rusqlite::Result<Option<Hash>> {
    let find = "SELECT hash FROM entry WHERE line = ?1 AND seq = ?2";
    connection.query_row(find, params![line, seq as i64], |row| row.get(0)).optional()
}

/// Every recording that a book knows.
pub(super) fn every_sound(connection: &Connection) -> rusqlite::Result<Vec<(VisitId, Sound)>> {
    let mut query = connection.prepare(
        "SELECT visit, body FROM entry WHERE kind = 2 AND visit IS NOT NULL AND body IS NOT NULL",
    )?;
    let rows =
        query.query_map([], |row| Ok((Uuid::from_bytes(row.get(0)?), row.get::<_, String>(1)?)))?;
    let mut found = Vec::new();
    for row in rows {
        let (visit, body) = row?;
        found.extend(serde_json::from_str(&body).ok().map(|sound| (VisitId(visit), sound)));
    }
    Ok(found)
}

/// A copy that is on the disk when this returns.
pub(super) fn copy_whole(from: &Path, to: &Path) -> Result<(), BookFault> {
    let mut source = std::fs::File::open(from).map_err(|e| file(from, e))?;
    let mut target = schema::private_file(to)?;
    target.set_len(0).map_err(|e| file(to, e))?;
    std::io::copy(&mut source, &mut target).map_err(|e| file(to, e))?;
    target.sync_all().map_err(|e| file(to, e))
}
