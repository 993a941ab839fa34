//! A book made anew of text: from a backup's shelf, and its lists from its entries.

use std::path::Path;

use rusqlite::{Connection, params};
use uuid::Uuid;

use super::fault::{BookFault, store};
use super::lines::Lines;
use super::schema;
use super::shelf;
use super::visits::{self, VisitId};
use super::watch::{Waiting, Walk};
use super::writer::{Page, Torn, Writer};

/// Makes the database of a book, which wrote this line from this place, from the shelf in its folder, as it lies there:
/// `check` names what is damaged. The shelf goes.
pub(super) fn book(
    folder: &Path,
    (line, place): (Uuid, &str),
    watch: &Waiting,
) -> Result<(), BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    schema::private_file(&schema::path(folder))?;
    let mut connection = schema::connect(folder, true)?;
    schema::raise(&mut connection, folder, schema::STEPS)?;
    let tx = connection.transaction().map_err(fault)?;
    let mut page = Page::of(tx);
    let pieces = shelf::pieces(folder)?;
    // Each entry is read, and perhaps worked into a list.
    let all = pieces.values().flatten().map(|piece| piece.to + 1 - piece.from).sum::<u64>();
    let mut walk = Walk::of(watch, 2 * all);
    for (id, pieces) in &pieces {
        let no = page.line_made(*id).map_err(fault)?;
        for piece in pieces {
            let done = shelf::read(&shelf::path(folder, *id, piece), |entry| {
                walk.on()?;
                page.insert(no, &entry).map_err(Torn::from)
            });
            done.map_err(|torn| match torn {
                Torn::Store(e) => fault(e),
                Torn::Fault(fault) | Torn::Line(_, fault) => fault,
            })?;
        }
    }
    let tx = page.tx;
    rows(&tx, &mut walk).map_err(|torn| match torn {
        Torn::Store(e) => fault(e),
        Torn::Fault(fault) | Torn::Line(_, fault) => fault,
    })?;
    let own = Lines::all(&tx).map_err(fault)?.own(line);
    for id in own {
        tx.execute("UPDATE line SET own = 1 WHERE id = ?1", [id.as_bytes()]).map_err(fault)?;
    }
    let book = "INSERT INTO book (one, line, place) SELECT 1, no, ?2 FROM line WHERE id = ?1";
    tx.execute(book, params![line.as_bytes(), place]).map_err(fault)?;
    tx.commit().map_err(fault)?;
    let entries = folder.join(shelf::FOLDER);
    if entries.is_dir() {
        std::fs::remove_dir_all(&entries).map_err(|e| super::fault::file(&entries, e))?;
    }
    Ok(())
}

/// Works out the rows of all visits.
fn rows(connection: &Connection, walk: &mut Walk) -> Result<(), Torn> {
    connection.execute("DELETE FROM visit", [])?;
    let all = "SELECT DISTINCT visit FROM entry WHERE kind = 1 AND visit IS NOT NULL AND body IS NOT NULL";
    let mut query = connection.prepare(all)?;
    let ids = query.query_map([], |row| row.get(0).map(Uuid::from_bytes))?;
    let ids = ids.collect::<rusqlite::Result<Vec<Uuid>>>()?;
    walk.left(ids.len());
    for id in ids {
        walk.on()?;
        visits::refresh(connection, VisitId(id))?;
    }
    Ok(())
}

impl Writer {
    /// Works out the lists, and which chains are this book's own, anew from the sealed entries. Nothing that was
    /// sealed is changed.
    ///
    /// # Errors
    /// The disk refuses; nothing was changed then.
    pub fn mend(&mut self) -> Result<(), BookFault> {
        let mut walk = Walk::of(self.watch(), 0);
        self.commit(|page| {
            rows(&page.tx, &mut walk)?;
            let current = super::lines::current(&page.tx)?.unwrap_or_default();
            let own = Lines::all(&page.tx)?.own(current);
            page.tx.execute("UPDATE line SET own = 0", [])?;
            for id in own {
                page.tx.execute("UPDATE line SET own = 1 WHERE id = ?1", [id.as_bytes()])?;
            }
            Ok(())
        })
    }
}
