//! What can go wrong under a record book: each is said in a clear sentence, and nothing committed is lost.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use cuffnote::clinical::event::Act;
use cuffnote::clinical::moment::Moment;
use cuffnote::logbook::{Book, BookFault, Checked, Keeper, Search, VisitId, Writer};
use rusqlite::Connection;

use super::book::{keep_all, visit_of, wait_for};
use super::book_kill;

fn check(folder: &Path) -> Checked {
    Book::open(folder).unwrap().book.check(&[]).unwrap()
}

fn kinds(checked: &Checked) -> Vec<&str> {
    checked.damage.iter().map(|d| d.kind).collect()
}

/// A book with this many closed visits, each with a recording; everything lies in its one file.
pub fn small(folder: &Path, visits: usize) -> Vec<VisitId> {
    let keeper = Keeper::start(folder).unwrap();
    let ids = (0..visits).map(|n| {
        let visit = keeper.begin();
        let _ = keep_all(&keeper, visit, &visit_of(&format!("TM-{n}"), vec![Act::VisitClosed]));
        let path = keeper.recording_file(visit, "right-dp.wav").unwrap();
        std::fs::write(&path, format!("sound {n}").repeat(20)).unwrap();
        keeper.recorded(visit, path, 1, Some(1));
        visit
    });
    let ids = ids.collect();
    keeper.finish().unwrap();
    ids
}

/// Changes the book's file behind its back, as a tool for databases would.
fn tamper(folder: &Path, sql: &str) {
    let connection = Connection::open(folder.join("book.sqlite")).unwrap();
    connection.execute_batch(sql).unwrap();
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
}

#[test]
fn a_whole_book_has_no_damage_and_every_change_is_named() {
    let cases = [
        ("UPDATE entry SET body = replace(body, '98', '89') WHERE body LIKE '%98%'", "text"),
        ("UPDATE entry SET n = n, visit = NULL WHERE seq = 4", "chain"),
        ("UPDATE entry SET kind = 2 WHERE seq = 4", "chain"),
        ("DELETE FROM entry WHERE seq = 5", "chain"),
        ("UPDATE entry SET body = NULL, salt = NULL WHERE seq = 5", "text"),
        ("UPDATE visit SET record = 'TM-9' WHERE record = 'TM-1'", "row"),
        ("DELETE FROM visit WHERE record = 'TM-1'", "row"),
        ("UPDATE entry SET hash = prev WHERE seq = 6", "chain"),
    ];
    for (sql, kind) in cases {
        let folder = tempfile::tempdir().unwrap();
        small(folder.path(), 2);
        assert_eq!(check(folder.path()).damage, []);
        tamper(folder.path(), sql);
        let checked = check(folder.path());
        assert!(kinds(&checked).contains(&kind), "{sql}: {:?}", checked.damage);
    }
}

/// The chain cannot show that its end was taken away; a head printed before can.
#[test]
fn a_printed_head_shows_what_the_chain_alone_cannot() {
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 2);
    let head = Book::open(folder.path()).unwrap().book.head().unwrap().hash;
    let second = "(SELECT id FROM visit WHERE record = 'TM-1')";
    let cut = format!(
        "DELETE FROM entry WHERE seq >= (SELECT min(seq) FROM entry WHERE visit = {second});
        DELETE FROM visit WHERE record = 'TM-1'"
    );
    tamper(folder.path(), &cut);
    // Recordings that are left tell of it.
    let book = Book::open(folder.path()).unwrap().book;
    assert_eq!(kinds(&book.check(&[]).unwrap()), ["recording"]);
    std::fs::remove_dir_all(folder.path().join("recordings")).unwrap();
    let book = Book::open(folder.path()).unwrap().book;
    assert_eq!(book.check(&[]).unwrap().damage, []);
    let found = book.check(&[head]).unwrap();
    assert!(found.damage.iter().any(|d| d.place.starts_with("head ")), "{:?}", found.damage);
}

#[test]
fn recordings_that_went_or_changed_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let ids = small(folder.path(), 3);
    let sound = |n: usize| -> PathBuf {
        Book::open(folder.path()).unwrap().book.recordings(ids[n]).unwrap()[0].file.clone()
    };
    std::fs::remove_file(sound(0)).unwrap();
    let mut bytes = std::fs::read(sound(1)).unwrap();
    bytes[9] ^= 1;
    std::fs::write(sound(1), &bytes).unwrap();
    std::fs::write(sound(2), &bytes[..9]).unwrap();
    let mut words: Vec<String> = check(folder.path()).damage.into_iter().map(|d| d.words).collect();
    words.sort();
    assert!(words[0].contains("has 9 bytes where") && words[1].contains("missing"), "{words:?}");
    assert!(words[2].contains("not the ones that were registered"), "{words:?}");
}

#[test]
fn a_corrupt_page_is_named_and_the_program_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 30);
    tamper(folder.path(), "");
    let path = folder.path().join("book.sqlite");
    let whole = std::fs::read(&path).unwrap();
    let pages = whole.len() / 4096;
    let mut found = 0;
    for page in 1..pages {
        let mut bytes = whole.clone();
        bytes[page * 4096..(page + 1) * 4096].fill(0xA5);
        std::fs::write(&path, &bytes).unwrap();
        let damaged = match Book::open(folder.path()) {
            Ok(opened) => !opened.book.check(&[]).unwrap().damage.is_empty(),
            Err(BookFault::Damaged { .. }) => true,
            Err(other) => panic!("page {page}: {other}"),
        };
        found += usize::from(damaged);
    }
    assert_eq!(found, pages - 1, "every page of a whole book is in use");
    // And one that is no database at all.
    std::fs::write(
        &path,
        "a letter to the clinic, longer than a header of one hundred bytes ".repeat(90),
    )
    .unwrap();
    let refused = Book::open(folder.path()).unwrap_err().to_string();
    assert!(refused.contains("damaged"), "{refused}");
}

#[test]
fn a_newer_book_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 1);
    tamper(folder.path(), "PRAGMA user_version = 99");
    let before = std::fs::read(folder.path().join("book.sqlite")).unwrap();
    for refused in
        [Book::open(folder.path()).unwrap_err(), Keeper::start(folder.path()).unwrap_err()]
    {
        assert!(refused.to_string().contains("form 99"), "{refused}");
    }
    assert_eq!(std::fs::read(folder.path().join("book.sqlite")).unwrap(), before);
    // Another program's database is not touched either.
    let other = tempfile::tempdir().unwrap();
    let path = other.path().join("book.sqlite");
    let connection = Connection::open(&path).unwrap();
    connection.execute_batch("CREATE TABLE a (b); PRAGMA user_version = 1").unwrap();
    drop(connection);
    let refused = Writer::open(other.path()).unwrap_err().to_string();
    assert!(refused.contains("another program"), "{refused}");
}

/// A clock that jumps back, and the hour that comes twice in autumn: the order is that of the acts.
#[test]
fn order_does_not_hang_on_the_clock() {
    let folder = tempfile::tempdir().unwrap();
    let keeper = Keeper::start(folder.path()).unwrap();
    let visit = keeper.begin();
    let mut events = visit_of("TM-1", vec![Act::VisitClosed]);
    let times = ["2026-10-25T02:59:58+02:00", "2026-10-25T02:00:01+01:00", "1970-01-01T00:00:00Z"];
    for (event, time) in events.iter_mut().zip(times.iter().cycle()) {
        event.at = Moment::parse(time).unwrap();
    }
    let _ = keep_all(&keeper, visit, &events);
    keeper.finish().unwrap();
    let book = Book::open(folder.path()).unwrap().book;
    assert_eq!(book.events(visit).unwrap(), events);
    assert_eq!(book.visit(visit).unwrap().opened_at.to_string(), times[0]);
    assert_eq!(check(folder.path()).damage, []);
}

/// A small file system of its own; none where this process may not mount one.
struct Disk(PathBuf);

impl Disk {
    fn of(bytes: &str) -> Option<Self> {
        let path = tempfile::tempdir().unwrap().keep();
        let size = format!("size={bytes},mode=0700");
        let done = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &size, "tmpfs"])
            .arg(&path)
            .output()
            .is_ok_and(|out| out.status.success());
        if !done {
            let _ = std::fs::remove_dir(&path);
            eprintln!("no small disk could be mounted here: this fault was not tested");
        }
        done.then_some(Self(path))
    }

    fn remount(&self, how: &str) {
        let how = format!("remount,{how}");
        let done = Command::new("mount").args(["-o", &how]).arg(&self.0).status().unwrap();
        assert!(done.success());
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
        let _ = std::fs::remove_dir(&self.0);
    }
}

/// The disk is filled so that the first refusal comes at a later write each time; what was told to be kept is
/// there, what waits is kept in order once there is room.
#[test]
fn a_full_disk_is_said_and_nothing_that_waits_is_lost() {
    let Some(disk) = Disk::of("12m") else { return };
    let book = disk.0.join("book");
    let keeper = Keeper::start(&book).unwrap();
    let (mut expected, mut refused) = (Vec::new(), 0);
    for round in 0..40u64 {
        let filler = disk.0.join("filler");
        // Room for some pages, one more each round: another write is the first to be refused.
        fill(&filler, round * 2_048);
        let visit = keeper.begin();
        let acts = visit_of(&format!("TM-{round}"), vec![Act::VisitClosed]);
        let last = keep_all(&keeper, visit, &acts);
        let begun = Instant::now();
        let mut trouble = None;
        while keeper.kept() < last && trouble.is_none() {
            trouble = keeper.trouble();
            assert!(begun.elapsed() < Duration::from_secs(20));
            std::thread::sleep(Duration::from_millis(1));
        }
        if let Some(words) = trouble {
            assert!(words.contains("full") && words.contains("do not close"), "{words}");
            refused += 1;
        }
        std::fs::remove_file(&filler).unwrap();
        wait_for(&keeper, last);
        assert_eq!(keeper.trouble(), None);
        expected.push((visit, acts));
    }
    keeper.finish().unwrap();
    assert!(refused >= 20, "the disk was full only {refused} times");
    let read = Book::open(&book).unwrap().book;
    for (visit, acts) in &expected {
        assert_eq!(&read.events(*visit).unwrap(), acts);
    }
    assert_eq!(check(&book).damage, []);
}

/// Fills the disk but for so many bytes.
fn fill(path: &Path, but: u64) {
    use std::io::Write;
    let mut file = std::fs::File::create(path).unwrap();
    let block = [0u8; 4_096];
    while file.write_all(&block).is_ok() {}
    let length = file.metadata().unwrap().len();
    file.set_len(length.saturating_sub(but)).unwrap();
}

/// The program that the next test runs under a limit; without its folder it does nothing.
#[test]
fn the_program_with_a_limit() {
    let Some(folder) = std::env::var_os("CUFFNOTE_LIMIT_FOLDER") else { return };
    let keeper = Keeper::start(Path::new(&folder)).unwrap();
    loop {
        let visit = keeper.begin();
        for event in visit_of("TM-1", vec![Act::VisitClosed]) {
            let ticket = keeper.keep(visit, event.at, event.act.clone());
            while keeper.kept() < ticket {
                if let Some(trouble) = keeper.trouble() {
                    book_kill::say(&format!("trouble {trouble}"));
                    std::process::exit(0);
                }
            }
            let act = serde_json::to_string(&event.act).unwrap();
            book_kill::say(&format!("act {visit} {} {act}", event.n));
        }
    }
}

/// Where no small disk can be mounted, a limit on the length of files refuses writes in the same places.
#[cfg(unix)]
#[test]
fn a_refused_write_is_said_and_what_was_committed_stays() {
    for kib in [110, 140, 300, 333] {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("book");
        let limited = format!("trap '' XFSZ; ulimit -f {kib}; exec \"$0\" \"$@\"");
        let mut child = Command::new("bash")
            .args(["-c", &limited])
            .arg(std::env::current_exe().unwrap())
            .args(["--exact", "book_faults::the_program_with_a_limit", "--nocapture"])
            .env("CUFFNOTE_LIMIT_FOLDER", &place)
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        let lines = book_kill::told(&mut child);
        child.wait().unwrap();
        let trouble = lines.iter().find_map(|line| line.strip_prefix("trouble "));
        let trouble = trouble.unwrap_or_else(|| panic!("no write was refused: {lines:?}"));
        assert!(trouble.contains("not kept yet") && trouble.contains("do not close"), "{trouble}");
        let mut committed = book_kill::Committed::new();
        book_kill::note(lines, &mut committed, &mut Vec::new());
        book_kill::hold_against(&place, &committed, &[]);
    }
}

#[test]
fn a_disk_without_room_for_a_book_or_a_backup_says_so_and_leaves_nothing_half() {
    let Some(disk) = Disk::of("256k") else { return };
    let filler = disk.0.join("filler");
    fill(&filler, 8_192);
    let refused = Keeper::start(&disk.0.join("book")).unwrap_err();
    assert!(matches!(refused, BookFault::NoSpace { .. }), "{refused}");
    std::fs::remove_file(&filler).unwrap();
    Keeper::start(&disk.0.join("book")).unwrap().finish().unwrap();
    let big = tempfile::tempdir().unwrap();
    small(big.path(), 60);
    let book = Book::open(big.path()).unwrap().book;
    let target = disk.0.join("whole.tar");
    let refused = book.backup(&target, None).unwrap_err().to_string();
    assert!(refused.contains("full"), "{refused}");
    assert!(std::fs::read_dir(&disk.0).unwrap().count() == 1, "only the book is left");
    assert_eq!(check(big.path()).damage, []);
}

/// The book's own disk is full, or cannot be written: a backup to another disk does not need it.
#[test]
fn a_backup_to_another_disk_works_where_the_books_own_is_full_or_read_only() {
    let Some(disk) = Disk::of("4m") else { return };
    let (book, out) = (disk.0.join("book"), tempfile::tempdir().unwrap());
    small(&book, 3);
    let filler = disk.0.join("filler");
    for how in ["full", "read-only"] {
        if how == "full" {
            fill(&filler, 0);
        } else {
            std::fs::remove_file(&filler).unwrap();
            disk.remount("ro");
        }
        let target = out.path().join(format!("{how}.tar"));
        let made = Book::open(&book).unwrap().book.backup(&target, None).unwrap();
        assert!(made.notes.iter().any(|note| note.contains("could not be written down")), "{how}");
        let back = out.path().join(how);
        cuffnote::logbook::restore(&target, &back, None).unwrap();
        assert_eq!(check(&back).damage, []);
        assert_eq!(check(&back).visits, 3);
    }
}

#[test]
fn a_read_only_place_can_be_read_and_says_that_it_cannot_be_written() {
    let Some(disk) = Disk::of("4m") else { return };
    let book = disk.0.join("book");
    let ids = small(&book, 2);
    disk.remount("ro");
    let opened = Book::open(&book).unwrap();
    assert!(
        opened.notes.iter().any(|note| note.to_string().contains("only read")),
        "{:?}",
        opened.notes
    );
    assert_eq!(opened.book.visits(&Search::default()).unwrap().len(), 2);
    assert!(!opened.book.events(ids[0]).unwrap().is_empty());
    for refused in
        [Keeper::start(&book).unwrap_err(), Keeper::start(&disk.0.join("new")).unwrap_err()]
    {
        assert!(matches!(refused, BookFault::ReadOnly { .. }), "{refused}");
    }
    // Once it may be written again, the book goes on.
    disk.remount("rw");
    let keeper = Keeper::start(&book).unwrap();
    let visit = keeper.begin();
    let acts = visit_of("TM-9", vec![Act::VisitClosed]);
    wait_for(&keeper, keep_all(&keeper, visit, &acts[..2]));
    keeper.finish().unwrap();
    assert_eq!(check(&book).damage, []);
}

/// A view in a table's place would be asked like a table, and this one answers for ever.
#[test]
fn a_foreign_book_whose_tables_are_not_a_books_is_refused_at_once() {
    let (own, other) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    small(own.path(), 1);
    small(other.path(), 1);
    tamper(
        other.path(),
        "ALTER TABLE line RENAME TO kept; CREATE VIEW line AS
        WITH RECURSIVE more(no) AS (SELECT 1 UNION ALL SELECT no + 1 FROM more)
        SELECT no, zeroblob(16) AS id, 0 AS own FROM more;",
    );
    let fault = Writer::open(own.path()).unwrap().merge(other.path()).unwrap_err();
    assert!(fault.to_string().contains("not those of a record book"), "{fault}");
    assert_eq!(check(own.path()).damage, []);
}
