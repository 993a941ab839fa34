//! A book that waits, is newer, is damaged, is empty or gone, or has a wrong clock: each is told apart, with what to do.

use std::path::Path;
use std::time::{Duration, Instant};

use assert_cmd::Command;
use cuffnote::clinical::event::Act;
use cuffnote::logbook::{Book, BookFault, Keeper, Sharing, VisitId, Writer};
use rusqlite::Connection;
use serde_json::Value;

use super::book::{keep_all, visit_of};
use super::book_faults::small;

fn open(folder: &Path) -> Book {
    Book::open(folder).unwrap().book
}

/// Runs `cuffnote book ...`; gives stdout and stderr.
fn book(folder: &Path, words: &[&str], code: i32) -> (String, String) {
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.arg("book").args(words).arg("--book").arg(folder);
    let output = command.assert().code(code).get_output().clone();
    (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
}

/// Recordings of a merge that was killed after its commit wait in `incoming`: no damage, and the next writer ends it.
#[test]
fn what_waits_is_no_damage() {
    let folder = tempfile::tempdir().unwrap();
    let id = small(folder.path(), 1)[0].to_string();
    let place = folder.path().join("recordings").join(&id).join("right-dp.wav");
    let staged = folder.path().join("incoming").join(&id);
    std::fs::create_dir_all(&staged).unwrap();
    std::fs::rename(&place, staged.join("right-dp.wav")).unwrap();
    let (told, _) = book(folder.path(), &["check"], 0);
    assert!(told.contains("waiting recording") && told.contains("What to do:"), "{told}");
    assert!(told.contains("no damage found") && told.contains("1 waiting"), "{told}");
    drop(Writer::open(folder.path()).unwrap());
    assert!(place.exists());
    assert!(!book(folder.path(), &["check"], 0).0.contains("waiting"));
}

/// An event of a newer program is no damage, and hides no other visit.
#[test]
fn what_only_a_newer_program_can_read_is_no_damage() {
    let folder = tempfile::tempdir().unwrap();
    let ids = small(folder.path(), 2);
    let visit: uuid::Uuid = ids[0].to_string().parse().unwrap();
    super::tampering::append(
        folder.path(),
        1,
        Some(visit),
        r#"{"n":99,"v":9,"at":"2026-11-03T10:15:02+01:00","act":{"kind":"unheard-of"}}"#,
    );
    let (told, _) = book(folder.path(), &["check"], 0);
    assert!(told.contains("newer program visit") && told.contains("nothing is lost"), "{told}");
    let refused = open(folder.path()).events(ids[0]).unwrap_err();
    assert!(matches!(refused, BookFault::NewerVisit { .. }), "{refused}");
    assert!(refused.to_string().contains("newer program"));
    let elsewhere = tempfile::tempdir().unwrap();
    let out = elsewhere.path().join("all.csv");
    let (_, why) = book(folder.path(), &["export", "--out", out.to_str().unwrap()], 1);
    assert!(
        why.contains("1 visit skipped")
            && std::fs::read_to_string(&out).unwrap().lines().count() == 2
    );
    // So is an entry of a kind that is not known here.
    super::tampering::append(folder.path(), 9, None, "{}");
    assert!(book(folder.path(), &["check"], 0).0.contains("2 for a newer program"));
}

#[test]
fn damage_says_what_to_do_and_a_list_is_mended_from_what_is_sealed() {
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 2);
    let db = Connection::open(folder.path().join("book.sqlite")).unwrap();
    db.execute_batch("UPDATE visit SET at_ms = 1; UPDATE line SET own = 0; UPDATE visit SET opened = 'never' WHERE record = 'TM-1'").unwrap();
    drop(db);
    let (told, _) = book(folder.path(), &["check"], 1);
    assert!(told.contains("DAMAGED row") && told.contains("cuffnote book mend"), "{told}");
    // A row that cannot be read hides no other.
    assert_eq!(book(folder.path(), &["list"], 0).0.lines().count(), 2);
    book(folder.path(), &["mend"], 0);
    book(folder.path(), &["check"], 0);
    // A file that is no database: the check is not advised to itself.
    std::fs::write(folder.path().join("book.sqlite"), "a letter ".repeat(900)).unwrap();
    let _ = std::fs::remove_file(folder.path().join("book.sqlite-wal"));
    let (told, _) = book(folder.path(), &["check"], 1);
    assert!(told.contains("DAMAGED file") && !told.contains("run `cuffnote book check`"), "{told}");
}

/// No new book is made where recordings of an old one lie.
#[test]
fn an_empty_file_beside_recordings_is_never_replaced() {
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 1);
    let file = folder.path().join("book.sqlite");
    let table = folder.path().join("t.csv");
    std::fs::write(&table, "record,measured,right-arm,right-pt\nK-1,2026-03-04,148,104\n").unwrap();
    for how in ["empty", "gone"] {
        if how == "empty" {
            std::fs::write(&file, "").unwrap();
        } else {
            std::fs::remove_file(&file).unwrap();
        }
        let _ = std::fs::remove_file(folder.path().join("book.sqlite-wal"));
        let begun = Instant::now();
        for refused in [
            Keeper::start(folder.path()).unwrap_err(),
            Writer::open(folder.path()).unwrap_err(),
            Book::open(folder.path()).unwrap_err(),
        ] {
            assert!(matches!(refused, BookFault::Emptied { .. }), "{how}: {refused}");
        }
        for words in [vec!["list"], vec!["check"], vec!["import", table.to_str().unwrap()]] {
            let (told, why) = book(folder.path(), &words, 1);
            assert!(
                (told + &why).contains(if how == "gone" { "" } else { "empty or gone" }),
                "{how} {words:?}: {why}"
            );
        }
        assert!(begun.elapsed() < Duration::from_secs(20), "said at once");
        assert!(std::fs::metadata(&file).map_or(true, |file| file.len() == 0), "nothing was made");
    }
}

/// The folder goes while a program works: nothing more is told as kept, and it is said within two seconds.
#[cfg(unix)]
#[test]
fn a_folder_that_goes_is_said_and_nothing_is_told_as_kept() {
    let folder = tempfile::tempdir().unwrap();
    let (place, aside) = (folder.path().join("book"), folder.path().join("aside"));
    let keeper = Keeper::start(&place).unwrap();
    let visit = keeper.begin();
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    let ticket = keep_all(&keeper, visit, &acts[..4]);
    keeper.wait(ticket, Duration::from_secs(60)).unwrap();
    std::fs::rename(&place, &aside).unwrap();
    // Also while nothing is done.
    let begun = Instant::now();
    while keeper.trouble().is_none() {
        assert!(begun.elapsed() < Duration::from_secs(2), "said too late");
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(keeper.trouble().unwrap().contains("no longer there"));
    let ticket = keep_all(&keeper, visit, &acts[4..]);
    assert!(keeper.wait(ticket, Duration::from_secs(2)).is_err());
    // It comes back: what waited is kept, once and in order.
    std::fs::rename(&aside, &place).unwrap();
    keeper.wait(ticket, Duration::from_secs(60)).unwrap();
    assert_eq!(keeper.trouble(), None);
    keeper.finish().unwrap();
    assert_eq!(open(&place).events(visit).unwrap(), acts);
    // A command's writer says it too.
    let mut writer = Writer::open(&place).unwrap();
    std::fs::remove_dir_all(&place).unwrap();
    let refused = writer.keep_earlier(&visit_of("TM-2", vec![Act::VisitClosed])).unwrap_err();
    assert!(matches!(refused, BookFault::Gone { .. }), "{refused}");
}

#[test]
fn a_clock_that_is_wrong_is_said_and_a_visit_years_ahead_silences_no_list() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = Writer::open(folder.path()).unwrap();
    let mut keep = |record: &str, at: &str, more: Vec<Act>| {
        let mut events = visit_of(record, more);
        events.iter_mut().for_each(|event| event.at = at.to_owned().try_into().unwrap());
        assert!(writer.keep_earlier(&events).unwrap());
    };
    let next = Act::NextTest { on: "2026-07-01".parse().unwrap(), who: "op".into() };
    keep("TM-1", "2026-01-05T10:00:00+01:00", vec![next, Act::VisitClosed]);
    keep("TM-1", "2099-01-05T10:00:00+01:00", vec![Act::VisitClosed]);
    drop(writer);
    let due = book(folder.path(), &["list", "--due", "2026-12-01"], 0).0;
    assert!(due.contains("2026-07-01"), "{due}");
    let (_, said) = book(folder.path(), &["mend"], 0);
    assert!(said.contains("clock says") && said.contains("2099"), "{said}");
    let table = folder.path().join("t.csv");
    std::fs::write(&table, "record,measured,right-arm,right-pt\nK-1,2098-03-04,148,104\n").unwrap();
    let words = ["import", table.to_str().unwrap()];
    assert!(book(folder.path(), &words, 1).1.contains("--sure"));
    book(folder.path(), &[&words[..], &["--sure"]].concat(), 0);
}

/// A visit file carries the head, and the book confirms it; an edited one is no record.
#[test]
fn a_visit_file_is_confirmed_by_its_book_and_an_edited_one_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let id = small(&place, 2)[0].to_string();
    let file = folder.path().join("visit.json");
    let name = file.to_str().unwrap();
    book(&place, &["report", &id, "--out", name], 0);
    let (told, _) = book(&place, &["confirm", name], 0);
    assert!(told.contains("CONFIRMED") && !told.contains("NOT"), "{told}");
    let whole: Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    assert_eq!(whole["book"]["head"], open(&place).head().unwrap().hash.as_str());
    // The book went on: the file still is what it was.
    book(
        &place,
        &["amend", &id, "--attempt", "1", "--to", "150", "--who", "op", "--why", "misread"],
        0,
    );
    let (told, _) = book(&place, &["confirm", name], 0);
    assert!(told.contains("CONFIRMED") && told.contains("added to since"), "{told}");
    let edits: [fn(&mut Value); 5] = [
        |v| v["events"][2]["act"]["outcome"]["cuff_mmhg"] = 180.0.into(),
        |v| v["result"]["right"]["index"] = "1.05".into(),
        |v| v["book"]["head"] = "0".repeat(64).into(),
        |v| v["book"]["visit"] = VisitId::new().to_string().into(),
        |v| drop(v.as_object_mut().unwrap().remove("book")),
    ];
    for (n, edit) in edits.iter().enumerate() {
        let mut edited = whole.clone();
        edit(&mut edited);
        std::fs::write(&file, serde_json::to_vec(&edited).unwrap()).unwrap();
        let (told, _) = book(&place, &["confirm", name], 1);
        assert!(told.contains("NOT CONFIRMED"), "edit {n}: {told}");
    }
    // A report of a file says that it is none.
    let page = folder.path().join("r.html");
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.args(["report", name, "--out", page.to_str().unwrap()]).assert().success();
    assert!(std::fs::read_to_string(&page).unwrap().contains("this is no record"));
}

/// An unchanged book writes nothing into the shared folder, and a visit costs its own size.
#[test]
fn a_sync_writes_what_is_new_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b, stick] = ["a", "b", "stick"].map(|name| folder.path().join(name));
    std::fs::create_dir(&stick).unwrap();
    small(&a, 40);
    small(&b, 2);
    let sync = |at: &Path| Writer::open(at).unwrap().sync(&stick).unwrap();
    let first = sync(&a).left_bytes;
    sync(&b);
    sync(&a);
    sync(&b);
    let before = super::book_leaks::files(&stick).len();
    for at in [&a, &b, &a] {
        let again = sync(at);
        assert_eq!((again.left_bytes, again.left_entries, again.taken.entries), (0, 0, 0));
    }
    assert_eq!(super::book_leaks::files(&stick).len(), before);
    small(&a, 1);
    let more = sync(&a).left_bytes;
    assert!(more > 0 && more < first / 10, "{more} of {first}");
    assert_eq!(sync(&b).taken.new_visits, 1);
    // Several clinics in one folder: each reads its own laptops, or all.
    let share = folder.path().join("share");
    std::fs::create_dir(&share).unwrap();
    let [c, d, e] = ["c", "d", "e"].map(|name| folder.path().join(name));
    [&c, &d, &e].into_iter().for_each(|at| drop(small(at, 1)));
    let with = |at: &Path, clinic: &str, all| {
        let sharing = Sharing { clinic: Some(clinic.into()), all };
        Writer::open(at).unwrap().sync_as(&share, &sharing).unwrap()
    };
    with(&c, "north", false);
    with(&d, "south", false);
    assert_eq!(with(&e, "north", false).taken.new_visits, 1);
    assert_eq!(with(&e, "north", true).taken.new_visits, 1);
    // What was read from another clinic does not travel on into one's own.
    assert_eq!(with(&c, "north", false).taken.new_visits, 1);
    assert!(
        Writer::open(&c)
            .unwrap()
            .sync_as(&share, &Sharing { clinic: Some("../x".into()), all: false })
            .is_err()
    );
}

/// What the first version did not let follow a closing is of the second: an older program then asks for the newer one,
/// and does not call the visit wrong.
#[test]
fn a_withdrawal_after_the_closing_is_of_the_second_version() {
    let folder = tempfile::tempdir().unwrap();
    let closed = small(folder.path(), 1)[0];
    let keeper = Keeper::start(folder.path()).unwrap();
    let running = keeper.begin();
    let _ = keep_all(&keeper, running, &visit_of("TM-8", Vec::new()));
    keeper.finish().unwrap();
    let mut writer = Writer::open(folder.path()).unwrap();
    let at = visit_of("x", Vec::new())[0].at;
    for (visit, version) in [(closed, 2), (running, 1)] {
        let (who, why) = ("op-1".to_owned(), "the cuff slipped".to_owned());
        writer.keep(visit, at, Act::AttemptWithdrawn { attempt: 1, who, why }).unwrap();
        let events = open(folder.path()).events(visit).unwrap();
        let last = events.last().unwrap();
        assert!(matches!(last.act, Act::AttemptWithdrawn { .. }));
        assert_eq!(last.v, version);
        assert!(events[..events.len() - 1].iter().all(|event| event.v == 1));
    }
    assert_eq!(open(folder.path()).check(&[]).unwrap().damage, []);
}
