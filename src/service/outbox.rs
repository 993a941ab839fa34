//! What is to be sent, was sent, or was refused, and under which id each part lies on the server: an SQLite file of its own.
//!
//! Nothing here is the record: the books are. An outbox that is lost is made anew by sending everything once more, which
//! changes nothing on a server that has it.

use std::path::Path;

use anyhow::{Context, ensure};
use rusqlite::{Connection, OptionalExtension, params};

use crate::files;

/// The form this program writes.
const FORM: i64 = 1;

const SCHEMA: &str = "
CREATE TABLE visit (
    server TEXT NOT NULL,
    id TEXT NOT NULL,
    book TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('waiting', 'sent', 'refused')),
    mark TEXT NOT NULL DEFAULT '',
    unsure INTEGER NOT NULL DEFAULT 0,
    tries INTEGER NOT NULL DEFAULT 0,
    not_before_s INTEGER NOT NULL DEFAULT 0,
    why TEXT NOT NULL DEFAULT '',
    at TEXT NOT NULL,
    PRIMARY KEY (server, id)
) WITHOUT ROWID;
CREATE TABLE part (
    server TEXT NOT NULL,
    key TEXT NOT NULL,
    remote TEXT NOT NULL,
    version TEXT NOT NULL DEFAULT '',
    hash TEXT NOT NULL,
    PRIMARY KEY (server, key)
) WITHOUT ROWID;
";

/// How a visit stands with a server.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    /// To be sent, now or later.
    Waiting,
    /// The server has it as the book has it.
    Sent,
    /// The server said no; a person has to look.
    Refused,
}

impl State {
    pub(super) const fn word(self) -> &'static str {
        match self {
            State::Waiting => "waiting",
            State::Sent => "sent",
            State::Refused => "refused",
        }
    }

    fn of(word: &str) -> Self {
        match word {
            "sent" => State::Sent,
            "refused" => State::Refused,
            _ => State::Waiting,
        }
    }
}

/// A visit in the outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) id: String,
    pub(super) book: String,
    pub(super) state: State,
    /// What the visit was when it was last sent or refused.
    pub(super) mark: String,
    /// A bundle went out whose answer was never read.
    pub(super) unsure: bool,
    pub(super) tries: u32,
    /// Not to be tried before, seconds since 1970.
    pub(super) not_before_s: i64,
    pub(super) why: String,
    pub(super) at: String,
}

/// A resource on the server.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// Such as `Observation/17`.
    pub(super) remote: String,
    /// Its version there; empty where the server told none.
    pub(super) version: String,
    /// What was sent.
    pub(super) hash: String,
}

/// The file.
pub(super) struct Outbox {
    file: Connection,
    server: String,
}

impl Outbox {
    /// Opens the outbox for one server; makes it where there is none. One program uses it at a time.
    ///
    /// # Errors
    /// It is of a newer program, another one uses it, or the disk refuses.
    pub(super) fn open(path: &Path, server: &str) -> anyhow::Result<Self> {
        let name = || path.display().to_string();
        if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            files::private_folder(folder).with_context(name)?;
        }
        let mut options = files::private();
        options.read(true).write(true).create(true).truncate(false);
        options.open(path).with_context(name)?;
        let file = Connection::open(path).with_context(name)?;
        // Locked for the whole run: two senders would each believe what the other has changed.
        let lock = file.pragma_update(None, "locking_mode", "EXCLUSIVE").and_then(|()| {
            file.execute_batch("PRAGMA synchronous = FULL; BEGIN EXCLUSIVE; COMMIT;")
        });
        lock.with_context(|| format!("{}: another run uses this outbox, or it is none", name()))?;
        let form: i64 =
            file.query_row("PRAGMA user_version", [], |row| row.get(0)).with_context(name)?;
        ensure!(
            form <= FORM,
            "{}: a newer program made this outbox (form {form}): use that one",
            name()
        );
        if form == 0 {
            let made = format!("BEGIN; {SCHEMA} PRAGMA user_version = {FORM}; COMMIT;");
            file.execute_batch(&made).with_context(name)?;
        }
        Ok(Self { file, server: server.to_owned() })
    }

    /// How a visit stands.
    pub(super) fn visit(&self, id: &str) -> anyhow::Result<Option<Row>> {
        let text = "SELECT id, book, state, mark, unsure, tries, not_before_s, why, at FROM visit WHERE server = ?1 AND id = ?2";
        let mut query = self.file.prepare_cached(text)?;
        Ok(query.query_row([&self.server, id], row).optional()?)
    }

    /// Every visit, the newest word first.
    pub(super) fn visits(&self) -> anyhow::Result<Vec<Row>> {
        let text = "SELECT id, book, state, mark, unsure, tries, not_before_s, why, at FROM visit WHERE server = ?1 ORDER BY at DESC, id";
        let mut query = self.file.prepare(text)?;
        Ok(query.query_map([&self.server], row)?.collect::<rusqlite::Result<_>>()?)
    }

    /// Keeps how a visit stands now.
    pub(super) fn keep(&self, one: &Row) -> anyhow::Result<()> {
        let text = "INSERT OR REPLACE INTO visit (server, id, book, state, mark, unsure, tries, not_before_s, why, at)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
        let (state, tries) = (one.state.word(), one.tries);
        self.file.execute(
            text,
            params![
                self.server,
                one.id,
                one.book,
                state,
                one.mark,
                one.unsure,
                tries,
                one.not_before_s,
                one.why,
                one.at
            ],
        )?;
        Ok(())
    }

    /// Where a part lies on the server.
    pub(super) fn part(&self, key: &str) -> anyhow::Result<Option<Part>> {
        let text = "SELECT remote, version, hash FROM part WHERE server = ?1 AND key = ?2";
        let mut query = self.file.prepare_cached(text)?;
        let read = |row: &rusqlite::Row<'_>| {
            Ok(Part { remote: row.get(0)?, version: row.get(1)?, hash: row.get(2)? })
        };
        Ok(query.query_row([&self.server, key], read).optional()?)
    }

    /// Keeps where parts lie, all or none.
    pub(super) fn keep_parts(&mut self, parts: &[(String, Part)]) -> anyhow::Result<()> {
        let all = self.file.transaction()?;
        for (key, part) in parts {
            all.execute(
                "INSERT OR REPLACE INTO part (server, key, remote, version, hash) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![self.server, key, part.remote, part.version, part.hash],
            )?;
        }
        all.commit()?;
        Ok(())
    }

    /// Forgets where a part lies: it is looked for by its identifier then.
    pub(super) fn forget_part(&self, key: &str) -> anyhow::Result<()> {
        self.file
            .execute("DELETE FROM part WHERE server = ?1 AND key = ?2", [&self.server, key])?;
        Ok(())
    }
}

fn row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Row> {
    let state: String = row.get(2)?;
    Ok(Row {
        id: row.get(0)?,
        book: row.get(1)?,
        state: State::of(&state),
        mark: row.get(3)?,
        unsure: row.get(4)?,
        tries: row.get(5)?,
        not_before_s: row.get(6)?,
        why: row.get(7)?,
        at: row.get(8)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outbox_is_one_programs_and_a_newer_one_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("outbox.sqlite");
        let first = Outbox::open(&path, "https://a.example").unwrap();
        assert!(Outbox::open(&path, "https://a.example").is_err());
        drop(first);
        Connection::open(&path).unwrap().pragma_update(None, "user_version", 9).unwrap();
        let why = Outbox::open(&path, "x").err().unwrap().to_string();
        assert!(why.contains("newer program"), "{why}");
    }

    #[test]
    fn parts_are_each_servers_own() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("outbox.sqlite");
        let part = Part { remote: "Observation/1".into(), version: "2".into(), hash: "h".into() };
        let mut outbox = Outbox::open(&path, "a").unwrap();
        outbox.keep_parts(&[("k".into(), part.clone())]).unwrap();
        assert_eq!(outbox.part("k").unwrap(), Some(part));
        drop(outbox);
        assert_eq!(Outbox::open(&path, "b").unwrap().part("k").unwrap(), None);
    }
}
