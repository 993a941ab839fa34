//! The book's file: opened with every guard on, made with private modes, brought to the newest form by
//! numbered steps with a backup taken before each.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};

use super::fault::{BookFault, file, store};
use super::note::BookNote;
use super::watch::Waiting;
use crate::files;

/// The book's file inside its folder.
pub const FILE: &str = "book.sqlite";
/// The mark of our files in SQLite's header: "CufN".
const APPLICATION: i64 = 0x4375_664E;
/// How long a reader or writer waits for another.
const PATIENCE: Duration = Duration::from_secs(5);

/// The steps from one form of the book to the next. A step that was once released is never changed.
pub const STEPS: &[&str] =
    &[include_str!("step-1.sql"), include_str!("step-2.sql"), include_str!("step-3.sql")];

/// The file of a book.
pub fn path(folder: &Path) -> PathBuf {
    folder.join(FILE)
}

/// A connection with every guard on.
pub fn connect(folder: &Path, writing: bool) -> Result<Connection, BookFault> {
    let path = path(folder);
    let fault = |e: rusqlite::Error| store(folder, &e);
    let flags = OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_READ_WRITE;
    let connection = Connection::open_with_flags(&path, flags).map_err(fault)?;
    connection.busy_timeout(PATIENCE).map_err(fault)?;
    let guards = "PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; PRAGMA trusted_schema=OFF;
        PRAGMA secure_delete=ON; PRAGMA cell_size_check=ON; PRAGMA fullfsync=ON;
        PRAGMA checkpoint_fullfsync=ON; PRAGMA temp_store=MEMORY;";
    connection.execute_batch(guards).map_err(fault)?;
    distrust(&connection).map_err(fault)?;
    if writing {
        let mode: String = connection
            .pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))
            .map_err(fault)?;
        if mode != "wal" {
            let said = format!("this place allows no write-ahead log, only `{mode}`");
            return Err(BookFault::Store { path, said });
        }
    } else {
        connection.pragma_update(None, "query_only", true).map_err(fault)?;
    }
    Ok(connection)
}

/// A stranger's file: no function of its own is called, no page is believed, nothing spills to another place, and no
/// trigger or view of it works.
pub fn distrust(connection: &Connection) -> rusqlite::Result<()> {
    use rusqlite::config::DbConfig::{
        SQLITE_DBCONFIG_ENABLE_QPSG, SQLITE_DBCONFIG_ENABLE_TRIGGER, SQLITE_DBCONFIG_ENABLE_VIEW,
    };
    connection.set_db_config(SQLITE_DBCONFIG_ENABLE_TRIGGER, false)?;
    connection.set_db_config(SQLITE_DBCONFIG_ENABLE_VIEW, false)?;
    // Else a kept statement is prepared anew for each value, since an index might not hold for it: a tenth of the time
    // that many visits take to read.
    connection.set_db_config(SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.execute_batch(
        "PRAGMA trusted_schema=OFF; PRAGMA cell_size_check=ON; PRAGMA temp_store=MEMORY;",
    )
}

/// Refuses a book whose file is empty or gone while what belongs to it still lies there: no new book is made in its
/// place.
pub fn not_emptied(folder: &Path) -> Result<(), BookFault> {
    let file = path(folder);
    let empty = std::fs::metadata(&file).map_or(true, |file| file.len() == 0);
    let left = |name: &str| {
        std::fs::read_dir(folder.join(name)).is_ok_and(|mut inside| inside.next().is_some())
    };
    let log = std::fs::metadata(file.with_extension("sqlite-wal")).is_ok_and(|log| log.len() > 0);
    if empty && (log || ["recordings", "reports"].into_iter().any(left)) {
        return Err(BookFault::Emptied { path: file });
    }
    Ok(())
}

/// The book's form; 0 for a file that is still empty.
///
/// # Errors
/// The file is of another program, or newer than this program knows.
pub fn form(connection: &Connection, folder: &Path) -> Result<usize, BookFault> {
    let number = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let fault = |e: rusqlite::Error| store(folder, &e);
    let found = number("user_version").map_err(fault)?;
    let application = number("application_id").map_err(fault)?;
    let path = path(folder);
    if found > STEPS.len() as i64 {
        return Err(BookFault::Newer { path, found, known: STEPS.len() as i64 });
    }
    if found < 0 || (found > 0 && application != APPLICATION) {
        let said = "it is a database of another program".to_owned();
        return Err(BookFault::Damaged { path, said });
    }
    Ok(found as usize)
}

/// Brings the book to the newest form. Before each step a whole copy of a book in use is left beside it.
/// Returns a sentence for each step that was taken on a book in use.
pub fn raise(
    connection: &mut Connection,
    folder: &Path,
    steps: &[&str],
) -> Result<Vec<BookNote>, BookFault> {
    let fault = |e: rusqlite::Error| store(folder, &e);
    let mut notes = Vec::new();
    let found = form(connection, folder)?;
    for (from, text) in steps.iter().enumerate().skip(found) {
        // A book that is only being made has nothing to keep a copy of.
        if found > 0 {
            let copy = folder.join(format!("book-before-form-{}.sqlite", from + 1));
            copy_to(connection, &copy, &Waiting::default())?;
            notes.push(BookNote::NewForm { form: from + 1, copy });
        }
        let step = connection.transaction().map_err(fault)?;
        step.execute_batch(text).map_err(fault)?;
        step.pragma_update(None, "application_id", APPLICATION).map_err(fault)?;
        step.pragma_update(None, "user_version", from as i64 + 1).map_err(fault)?;
        step.commit().map_err(fault)?;
    }
    Ok(notes)
}

/// Brings a copy of a book, which is nobody's only one, to the newest form.
pub fn raise_copy(connection: &mut Connection, file: &Path) -> Result<(), BookFault> {
    let folder = file.parent().unwrap_or(file);
    let fault = |e: rusqlite::Error| store(file, &e);
    match form(connection, folder)? {
        0 => {
            let said = "there is no record book in it".to_owned();
            Err(BookFault::Damaged { path: file.to_owned(), said })
        }
        from => {
            only_ours(connection, file, from)?;
            STEPS[from..].iter().try_for_each(|step| connection.execute_batch(step)).map_err(fault)
        }
    }
}

/// What stands in a database beside its rows: type, name, text.
fn objects(of: &Connection) -> rusqlite::Result<Vec<(String, String, Option<String>)>> {
    let text = "SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_stat%' ORDER BY type, name";
    let mut query = of.prepare(text)?;
    query.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?.collect()
}

/// What stands in a book of this form.
fn ours(form: usize) -> rusqlite::Result<Vec<(String, String, Option<String>)>> {
    let fresh = Connection::open_in_memory()?;
    STEPS[..form.min(STEPS.len())].iter().try_for_each(|step| fresh.execute_batch(step))?;
    objects(&fresh)
}

/// Tables, indexes, triggers and views that are not those of a book of this form: name and what is wrong.
pub fn differences(
    connection: &Connection,
    form: usize,
) -> rusqlite::Result<Vec<(String, String)>> {
    let (ours, found) = (ours(form)?, objects(connection)?);
    let mut faults = Vec::new();
    for (kind, name, _) in found.iter().filter(|one| !ours.contains(one)) {
        let words = format!("this {kind} is not one of a record book: it was put in or changed");
        faults.push((format!("{kind} {name}"), words));
    }
    for (kind, name, _) in &ours {
        if !found.iter().any(|(_, other, _)| other == name) {
            faults.push((format!("{kind} {name}"), format!("this {kind} is missing")));
        }
    }
    Ok(faults)
}

/// Refuses another's file whose tables are not those that the steps make: a view in a table's place could work
/// for ever, or answer something else each time it is asked.
fn only_ours(connection: &Connection, file: &Path, form: usize) -> Result<(), BookFault> {
    let differ = differences(connection, form).map_err(|e| store(file, &e))?;
    if differ.is_empty() {
        return Ok(());
    }
    let said = "its tables are not those of a record book".to_owned();
    Err(BookFault::Damaged { path: file.to_owned(), said })
}

/// A whole copy of the open book in a new private file, made by SQLite's own backup while others may write.
pub fn copy_to(connection: &Connection, target: &Path, watch: &Waiting) -> Result<(), BookFault> {
    let part = target.with_extension("part");
    let _ = std::fs::remove_file(&part);
    private_file(&part)?;
    let fault = |e: rusqlite::Error| store(target, &e);
    let copied = (|| {
        let mut to = Connection::open(&part).map_err(fault)?;
        let backup = Backup::new(connection, &mut to).map_err(fault)?;
        loop {
            match backup.step(4096).map_err(fault)? {
                StepResult::Done => break,
                StepResult::More => {}
                // Another program holds the pages.
                _ => std::thread::sleep(Duration::from_millis(5)),
            }
            let (of, left) = (backup.progress().pagecount, backup.progress().remaining);
            watch.at(u64::from((of - left).unsigned_abs()), u64::from(of.unsigned_abs()))?;
        }
        drop(backup);
        // The copy is one file that needs no other beside it.
        to.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(())).map_err(fault)?;
        to.close().map_err(|(_, e)| fault(e))
    })();
    let kept = copied.and_then(|()| {
        std::fs::File::open(&part).and_then(|f| f.sync_all()).map_err(|e| file(&part, e))?;
        std::fs::rename(&part, target).map_err(|e| file(target, e))
    });
    if kept.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    kept
}

/// Makes the folder and those above it, for the owner alone; one that exists is left as it is.
pub fn private_folder(path: &Path) -> Result<(), BookFault> {
    files::private_folder(path).map_err(|e| file(path, e))
}

/// Makes an empty file for the owner alone; one that exists is left as it is.
pub fn private_file(path: &Path) -> Result<std::fs::File, BookFault> {
    let mut options = files::private();
    options.read(true).write(true).create(true).truncate(false);
    options.open(path).map_err(|e| file(path, e))
}

/// A note where others on this computer may read what lies in the folder.
pub fn open_to_others(path: &Path) -> Option<BookNote> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(path).ok()?.permissions().mode() & 0o777;
        if mode & 0o077 != 0 {
            return Some(BookNote::OthersMayLook { path: path.to_owned(), mode });
        }
    }
    let _ = path;
    None
}

/// Makes new names in a folder durable, where the platform lets a folder be opened.
pub fn sync_folder(folder: &Path) -> Result<(), BookFault> {
    if cfg!(unix) {
        std::fs::File::open(folder).and_then(|f| f.sync_all()).map_err(|e| file(folder, e))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(connection: &Connection, text: &str) -> i64 {
        connection.query_row(text, [], |row| row.get(0)).unwrap()
    }

    #[test]
    fn a_step_leaves_a_copy_of_what_was_before_and_a_failed_one_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        private_file(&path(folder.path())).unwrap();
        let mut book = connect(folder.path(), true).unwrap();
        assert!(raise(&mut book, folder.path(), STEPS).unwrap().is_empty());
        book.execute("INSERT INTO line (id, own) VALUES (zeroblob(16), 1)", []).unwrap();
        let known = STEPS.len() as i64;
        let with = |more| STEPS.iter().copied().chain([more]).collect::<Vec<&str>>();
        let bad = "ALTER TABLE line ADD COLUMN more TEXT; SELECT * FROM nowhere;";
        assert!(raise(&mut book, folder.path(), &with(bad)).is_err());
        let form = "SELECT user_version FROM pragma_user_version";
        assert_eq!(number(&book, form), known);
        let more = "SELECT count(*) FROM pragma_table_info('line') WHERE name = 'more'";
        assert_eq!(number(&book, more), 0, "half a step is no step");
        let good = "ALTER TABLE line ADD COLUMN more TEXT;";
        let notes = raise(&mut book, folder.path(), &with(good)).unwrap();
        let name = format!("book-before-form-{}.sqlite", known + 1);
        assert!(notes.len() == 1 && notes[0].to_string().contains(&name), "{notes:?}");
        assert_eq!((number(&book, form), number(&book, more)), (known + 1, 1));
        let copy = Connection::open(folder.path().join(name)).unwrap();
        assert_eq!((number(&copy, form), number(&copy, more)), (known, 0));
        assert_eq!(number(&copy, "SELECT count(*) FROM line"), 1);
        // To this program the book is a newer one now.
        assert!(matches!(super::form(&book, folder.path()), Err(BookFault::Newer { .. })));
    }
}
