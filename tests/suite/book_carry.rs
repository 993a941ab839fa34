//! Books that travel: backup and restore, merge, sync between laptops, deletion that follows, old forms.

use std::path::Path;

use cuffnote::clinical::event::{Act, Event};
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{
    Book, Forget, Passphrase, Search, SoundState, VisitId, Writer, is_encrypted, restore,
};

use super::book_faults::small;
use super::rules::reading;

fn open(folder: &Path) -> Book {
    Book::open(folder).unwrap().book
}

fn whole(folder: &Path) {
    assert_eq!(open(folder).check(&[]).unwrap().damage, []);
}

/// The correction of the first reading, from 140 to another one.
fn amendment(events: &[Event], mmhg: i32, who: &str) -> Act {
    let is = |e: &&Event| matches!(e.act, Act::Outcome { .. });
    let event = events.iter().find(is).unwrap();
    let Act::Outcome { attempt, .. } = event.act else { unreachable!() };
    Act::Amendment {
        of: event.n,
        old: Box::new(event.act.clone()),
        new: Box::new(Act::Outcome { attempt, outcome: reading(mmhg) }),
        who: who.into(),
        why: "misread".into(),
    }
}

fn amend(folder: &Path, visit: VisitId, mmhg: i32, who: &str) {
    let events = open(folder).events(visit).unwrap();
    let at = events[0].at;
    Writer::open(folder).unwrap().keep(visit, at, amendment(&events, mmhg, who)).unwrap();
}

fn visits(folder: &Path) -> usize {
    open(folder).visits(&Search::default()).unwrap().len()
}

#[test]
fn a_backup_of_a_book_in_use_is_restored_whole_and_goes_on_with_a_new_chain() {
    let folder = tempfile::tempdir().unwrap();
    let [book, plain, sealed, back] =
        ["book", "plain.tar", "sealed.tar.age", "back"].map(|name| folder.path().join(name));
    let ids = small(&book, 3);
    let in_use = Writer::open(&book).unwrap();
    let secret = Passphrase::new("drei Möwen am Tor\n").unwrap();
    open(&book).backup(&plain, None).unwrap();
    let made = open(&book).backup(&sealed, Some(&secret)).unwrap();
    assert_eq!(
        (made.recordings, made.encrypted, made.head),
        (3, true, open(&book).head().unwrap())
    );
    assert!(open(&book).backup(&plain, None).unwrap_err().to_string().contains("exists already"));
    drop(in_use);
    // The encrypted file shows nothing of what is in it.
    let bytes = std::fs::read(&sealed).unwrap();
    assert!(is_encrypted(&sealed).unwrap() && !is_encrypted(&plain).unwrap());
    assert!(bytes.starts_with(b"age-encryption.org/v1\n-> scrypt "));
    assert!(!bytes.windows(6).any(|w| w == b"SQLite" || w == b"sound "));
    let wrong = Passphrase::new("zwei").unwrap();
    for refused in [restore(&sealed, &back, Some(&wrong)), restore(&sealed, &back, None)] {
        assert!(refused.unwrap_err().to_string().contains("passphrase"));
        assert!(!back.exists(), "nothing is left behind");
    }
    restore(&sealed, &back, Some(&secret)).unwrap();
    whole(&back);
    for id in &ids {
        assert_eq!(open(&back).events(*id).unwrap(), open(&book).events(*id).unwrap());
    }
    assert!(restore(&plain, &back, None).unwrap_err().to_string().contains("not empty"));
    // Both go on apart, and can be brought together: no chain was written in two places.
    let head = open(&book).head().unwrap();
    amend(&back, ids[0], 150, "op-2");
    amend(&book, ids[1], 152, "op-1");
    let restored = open(&back);
    assert_ne!(restored.head().unwrap().hash, head.hash);
    assert_eq!(restored.check(&[head.hash]).unwrap().lines, 2);
    assert_eq!(Writer::open(&book).unwrap().merge(&back).unwrap().grown_visits, 1);
    whole(&book);
}

/// A plain backup is an ordinary tar archive.
#[test]
fn a_backup_opens_with_ordinary_tools() {
    let folder = tempfile::tempdir().unwrap();
    let (book, plain) = (folder.path().join("book"), folder.path().join("a.tar"));
    small(&book, 1);
    open(&book).backup(&plain, None).unwrap();
    let listed = std::process::Command::new("tar").arg("-tf").arg(&plain).output();
    let Ok(listed) = listed else { return };
    let listed = String::from_utf8(listed.stdout).unwrap();
    assert!(listed.starts_with("backup.json\nentries/") && listed.ends_with("end.json\n"));
    assert!(listed.contains("right-dp.wav"), "{listed}");
    // Half a backup, and one with a file that leads elsewhere, are refused.
    let bytes = std::fs::read(&plain).unwrap();
    std::fs::write(&plain, &bytes[..bytes.len() / 2]).unwrap();
    let back = folder.path().join("back");
    assert!(restore(&plain, &back, None).is_err() && !back.exists());
    let mut archive = tar::Builder::new(std::fs::File::create(&plain).unwrap());
    let mut header = tar::Header::new_gnu();
    header.set_size(1);
    archive.append_data(&mut header, "recordings/x/evil.wav", &b"x"[..]).unwrap();
    archive.into_inner().unwrap();
    let refused = restore(&plain, &back, None).unwrap_err().to_string();
    assert!(refused.contains("no part of a backup") && !back.exists(), "{refused}");
}

#[test]
fn the_same_visit_twice_is_one_and_two_amendments_apart_are_both_kept_and_shown() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    let id = small(&one, 2)[0];
    Writer::open(&two).unwrap().merge(&one).unwrap();
    assert_eq!(visits(&two), 2);
    assert_eq!(Writer::open(&two).unwrap().merge(&one).unwrap(), Default::default());
    amend(&one, id, 150, "op-1");
    amend(&two, id, 152, "op-2");
    Writer::open(&one).unwrap().merge(&two).unwrap();
    Writer::open(&two).unwrap().merge(&one).unwrap();
    let events = open(&one).events(id).unwrap();
    assert_eq!(events, open(&two).events(id).unwrap(), "both laptops see one order");
    let visit = Visit::from_events(&events).unwrap();
    let told: Vec<_> = visit.amended.iter().map(|a| (a.who.as_str(), a.apart)).collect();
    assert!(told == [("op-1", false), ("op-2", true)] || told == [("op-2", false), ("op-1", true)]);
    let stands = if told[1].0 == "op-2" { 152 } else { 150 };
    assert_eq!(visit.attempts[0].reading(), Some(super::bedside::mmhg(stands)));
    // Someone settles it: the value that stands is replaced, on either laptop.
    let Act::Amendment { of, new, .. } = events.last().unwrap().act.clone() else { panic!() };
    let settled = Act::Outcome { attempt: 1, outcome: reading(151) };
    let act = Act::Amendment {
        of,
        old: new,
        new: Box::new(settled),
        who: "op-3".into(),
        why: "looked at the sound".into(),
    };
    Writer::open(&two).unwrap().keep(id, events[0].at, act).unwrap();
    Writer::open(&one).unwrap().merge(&two).unwrap();
    let visit = Visit::from_events(&open(&one).events(id).unwrap()).unwrap();
    assert_eq!(visit.attempts[0].reading(), Some(super::bedside::mmhg(151)));
    assert_eq!((visit.amended.len(), visit.amended[2].apart), (3, false));
    whole(&one);
    whole(&two);
    assert!(open(&one).check(&[]).unwrap().lines == 2, "both chains are kept");
}

/// Events that were numbered alike on two laptops get one order, and an amendment still finds its own event.
#[test]
fn an_amendment_finds_its_event_when_numbers_move() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    let id = small(&one, 1)[0];
    Writer::open(&two).unwrap().merge(&one).unwrap();
    let at = open(&one).events(id).unwrap()[0].at;
    let mut writers = [&one, &two].map(|f| Writer::open(f).unwrap());
    for (writer, who) in writers.iter_mut().zip(["op-1", "op-2"]) {
        let note = |words: &str| Act::Note { who: who.into(), words: words.into() };
        let n = open(writer.folder()).events(id).unwrap().len() as u64 + 1;
        writer.keep(id, at, note("first word")).unwrap();
        let (old, new) = (Box::new(note("first word")), Box::new(note("second word")));
        let why = "typing".to_owned();
        writer.keep(id, at, Act::Amendment { of: n, old, new, who: who.into(), why }).unwrap();
    }
    drop(writers);
    Writer::open(&one).unwrap().merge(&two).unwrap();
    let visit = Visit::from_events(&open(&one).events(id).unwrap()).unwrap();
    let mut notes = visit.notes;
    notes.sort();
    assert_eq!(notes, ["op-1", "op-2"].map(|who| (who.to_owned(), "second word".to_owned())));
}

#[test]
fn a_damaged_book_is_not_taken_and_the_own_one_stays_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    small(&one, 2);
    small(&two, 2);
    let connection = rusqlite::Connection::open(two.join("book.sqlite")).unwrap();
    connection.execute("UPDATE entry SET body = '{}' WHERE seq = 30", []).unwrap();
    drop(connection);
    let before = open(&one).head().unwrap();
    let refused = Writer::open(&one).unwrap().merge(&two).unwrap_err().to_string();
    assert!(refused.contains("entry 30") && refused.contains("nothing was taken"), "{refused}");
    assert_eq!(open(&one).head().unwrap(), before);
    let nothing = Writer::open(&one).unwrap().merge(folder.path()).unwrap_err();
    assert!(nothing.to_string().contains("no record book"));
}

#[test]
fn three_laptops_meet_by_way_of_one_folder() {
    let folder = tempfile::tempdir().unwrap();
    let shared = folder.path().join("stick");
    std::fs::create_dir(&shared).unwrap();
    let laptops = ["a", "b", "c"].map(|name| folder.path().join(name));
    for laptop in &laptops {
        small(laptop, 2);
    }
    let sync = |n: usize| Writer::open(&laptops[n]).unwrap().sync(&shared).unwrap();
    // One step a day each: after the second round everyone has everything.
    assert_eq!((sync(0).others, sync(1).others, sync(2).others), (0, 1, 2));
    assert_eq!([0, 1, 2].map(|n| visits(&laptops[n])), [2, 4, 6]);
    for (n, laptop) in laptops.iter().enumerate() {
        sync(n);
        assert_eq!(visits(laptop), 6);
        whole(laptop);
        assert_eq!(open(laptop).check(&[]).unwrap().recordings, 6);
    }
    // Then there is nothing more to tell.
    (0..3).for_each(|n| drop(sync(n)));
    let again = sync(1);
    assert_eq!((again.taken.entries, again.left, again.failed.len()), (0, 0, 0));
    // A half-copied book of another laptop is told, and the rest is done.
    std::fs::create_dir(shared.join("books")).unwrap();
    std::fs::write(shared.join("books").join("00.sqlite"), b"SQLite format 3\0 half").unwrap();
    let told = sync(2);
    assert_eq!((told.failed.len(), told.others), (1, 3));
    assert!(told.failed[0].contains("00.sqlite"), "{}", told.failed[0]);
    let gone = Writer::open(&laptops[0]).unwrap().sync(&folder.path().join("none"));
    assert!(gone.unwrap_err().to_string().contains("stick"));
}

#[test]
fn what_is_forgotten_is_gone_everywhere_and_the_chain_holds() {
    let folder = tempfile::tempdir().unwrap();
    let shared = folder.path().join("stick");
    std::fs::create_dir(&shared).unwrap();
    let [one, two] = ["one", "two"].map(|name| folder.path().join(name));
    let ids = small(&one, 2);
    let sync = |place: &Path| Writer::open(place).unwrap().sync(&shared).unwrap();
    sync(&one);
    sync(&two);
    let mut writer = Writer::open(&one).unwrap();
    writer.forget(ids[0], Forget::Visit, "op-1", "asked for by the patient").unwrap();
    writer.forget(ids[1], Forget::Sounds, "op-1", "kept long enough").unwrap();
    assert!(writer.forget(VisitId::new(), Forget::Visit, "op-1", "").is_err());
    drop(writer);
    amend(&two, ids[0], 150, "op-2");
    for place in [&one, &two, &one] {
        sync(place);
        whole(place);
    }
    for place in [&one, &two] {
        let book = open(place);
        assert!(book.events(ids[0]).is_err() && book.visit(ids[0]).is_err());
        assert!(!book.events(ids[1]).unwrap().is_empty());
        let sounds = book.recordings(ids[1]).unwrap();
        assert_eq!((sounds.len(), sounds[0].state), (1, SoundState::Deleted));
        assert!(!place.join("recordings").join(ids[0].to_string()).exists());
        drop(book);
        // Not a word of the visit is left in any file of the book.
        for name in ["book.sqlite", "book.sqlite-wal"] {
            let bytes = std::fs::read(place.join(name)).unwrap_or_default();
            assert!(!bytes.windows(6).any(|w| w == b"\"TM-0\""), "{name}");
        }
    }
    assert!(!shared.join("recordings").join(ids[0].to_string()).exists());
}

/// Copies by hand, as people make them: the copy goes on with a chain of its own.
#[test]
fn a_book_copied_by_hand_can_still_be_merged() {
    let folder = tempfile::tempdir().unwrap();
    let [one, copy] = ["one", "copy"].map(|name| folder.path().join(name));
    let id = small(&one, 1)[0];
    std::fs::create_dir(&copy).unwrap();
    std::fs::copy(one.join("book.sqlite"), copy.join("book.sqlite")).unwrap();
    amend(&one, id, 150, "op-1");
    amend(&copy, id, 152, "op-2");
    assert_eq!(Writer::open(&one).unwrap().merge(&copy).unwrap().grown_visits, 1);
    assert_eq!(Visit::from_events(&open(&one).events(id).unwrap()).unwrap().amended.len(), 2);
}

/// One chain that went on in two places all the same, by a copy of the whole machine.
#[test]
fn a_chain_in_two_places_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let [one, aside] = ["one", "aside"].map(|name| folder.path().join(name));
    let id = small(&one, 1)[0];
    std::fs::create_dir(&aside).unwrap();
    let place = one.join("book.sqlite");
    let before = std::fs::read(&place).unwrap();
    amend(&one, id, 150, "op-1");
    std::fs::copy(&place, aside.join("book.sqlite")).unwrap();
    // The same file, at the same place: as a second machine from one image would have it.
    std::fs::write(&place, before).unwrap();
    amend(&one, id, 152, "op-2");
    let refused = Writer::open(&one).unwrap().merge(&aside).unwrap_err().to_string();
    assert!(refused.contains("went on in two places"), "{refused}");
    whole(&one);
}

/// Books of every form that was ever written, as they were; each is opened from a copy.
#[test]
fn a_book_of_every_form_opens() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/books");
    let mut forms = 0;
    for entry in std::fs::read_dir(kept).unwrap() {
        let path = entry.unwrap().path();
        let folder = tempfile::tempdir().unwrap();
        std::fs::copy(&path, folder.path().join("book.sqlite")).unwrap();
        let book = open(folder.path());
        let rows = book.visits(&Search::default()).unwrap();
        assert_eq!((rows.len(), rows[0].record.as_str()), (2, "TM-1"), "{}", path.display());
        for row in &rows {
            Visit::from_events(&book.events(row.id).unwrap()).unwrap();
        }
        assert_eq!(book.check(&[]).unwrap().damage.len(), 2, "only its two recordings are missing");
        forms += 1;
    }
    assert_eq!(forms, 2, "one book for each form");
}

/// Writes the book of this form for `tests/data/books`, where it is asked for.
#[test]
fn the_book_of_this_form_is_written_on_request() {
    let Some(target) = std::env::var_os("CUFFNOTE_WRITE_FORM") else { return };
    let folder = tempfile::tempdir().unwrap();
    small(folder.path(), 2);
    let connection = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
    connection.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(())).unwrap();
    drop(connection);
    std::fs::copy(folder.path().join("book.sqlite"), target).unwrap();
}
