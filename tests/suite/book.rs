//! The record book: kept, listed, resumed, and refused with a sentence.

use std::path::Path;
use std::time::{Duration, Instant};

use cuffnote::clinical::event::{Act, Event};
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{
    Book, BookFault, Forget, Keeper, NotKept, Search, SoundState, Ticket, VisitId, Writer,
};

use super::bedside::events;
use super::rules::{PLAIN, standard};

/// The acts of one plain visit of this record.
pub fn visit_of(record: &str, more: Vec<Act>) -> Vec<Event> {
    let opened = cuffnote::clinical::event::Opened { record: record.into(), ..standard() };
    events(opened, PLAIN, more)
}

pub fn keep_all(keeper: &Keeper, visit: VisitId, events: &[Event]) -> Ticket {
    events.iter().map(|e| keeper.keep(visit, e.at, e.act.clone())).last().unwrap()
}

/// Waits until a ticket is kept; a test that hangs says so.
pub fn wait_for(keeper: &Keeper, ticket: Ticket) {
    keeper.wait(ticket, Duration::from_secs(60)).unwrap();
}

fn book(folder: &Path) -> Book {
    Book::open(folder).unwrap().book
}

#[test]
fn what_was_kept_comes_back_and_a_visit_goes_on_with_its_next_number() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    let keeper = Keeper::start(&place).unwrap();
    let visit = keeper.begin();
    assert!(book(&place).visits(&Search::default()).unwrap().is_empty());
    let ticket = keep_all(&keeper, visit, &acts[..4]);
    wait_for(&keeper, ticket);
    // Seen by a reader while the keeper still runs.
    let open = book(&place).unfinished().unwrap();
    assert_eq!((open.len(), open[0].id, open[0].events), (1, visit, 4));
    keeper.finish().unwrap();
    let keeper = Keeper::start(&place).unwrap();
    let _ = keep_all(&keeper, visit, &acts[4..]);
    keeper.finish().unwrap();
    let book = book(&place);
    assert_eq!(book.events(visit).unwrap(), acts);
    assert!(Visit::from_events(&book.events(visit).unwrap()).unwrap().closed);
    assert!(book.unfinished().unwrap().is_empty());
    let row = book.last_visit_of("tm-1").unwrap().unwrap();
    assert_eq!((row.id, row.closed, row.events), (visit, true, acts.len() as u64));
    assert_eq!(row.opened_at, acts[0].at);
    // One entry begins the chain, each event is one more.
    assert_eq!(book.head().unwrap().entries, 1 + acts.len() as u64);
}

#[test]
fn lists_are_newest_first_and_found_by_record_words_and_day() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = Writer::open(folder.path()).unwrap();
    let mut ids = Vec::new();
    for (n, record) in ["TM-1", "TM-2", "TM-1", "50%_"].into_iter().enumerate() {
        let visit = VisitId::new();
        let mut event = visit_of(record, Vec::new()).remove(0);
        event.at = format!("2026-11-0{}T10:00:00+01:00", n + 1).try_into().unwrap();
        writer.keep(visit, event.at, event.act).unwrap();
        ids.push(visit);
    }
    let book = book(folder.path());
    let found = |search: Search| -> Vec<usize> {
        let rows = book.visits(&search).unwrap();
        rows.iter().map(|row| ids.iter().position(|id| *id == row.id).unwrap()).collect()
    };
    let all = Search::default;
    assert_eq!(found(all()), [3, 2, 1, 0]);
    assert_eq!(found(Search { record: Some("tm-1 ".into()), ..all() }), [2, 0]);
    assert_eq!(found(Search { text: Some("0%_".into()), ..all() }), [3]);
    assert_eq!(found(Search { text: Some("m-".into()), limit: Some(1), offset: 1, ..all() }), [1]);
    let day = |text: &str| Some(text.parse().unwrap());
    let (from, to) = (day("2026-11-02T09:00:00Z"), day("2026-11-03T09:00:00Z"));
    assert_eq!(found(Search { from, to, ..all() }), [1]);
    assert_eq!(found(Search { open_only: true, ..all() }), [3, 2, 1, 0]);
}

#[test]
fn only_one_program_writes_and_any_may_read() {
    let folder = tempfile::tempdir().unwrap();
    let keeper = Keeper::start(folder.path()).unwrap();
    let refused = Keeper::start(folder.path()).unwrap_err();
    assert!(matches!(refused, BookFault::InUse { .. }));
    assert!(refused.to_string().contains("another program"), "{refused}");
    assert!(Writer::open(folder.path()).is_err());
    book(folder.path());
    keeper.finish().unwrap();
    Writer::open(folder.path()).unwrap();
}

#[test]
fn recordings_lie_in_their_visit_with_length_and_hash() {
    let folder = tempfile::tempdir().unwrap();
    let keeper = Keeper::start(folder.path()).unwrap();
    let visit = keeper.begin();
    let _ = keep_all(&keeper, visit, &visit_of("TM-1", Vec::new()));
    let path = keeper.recording_file(visit, "../../right-dp.wav").unwrap();
    assert!(path.starts_with(folder.path().join("recordings").join(visit.to_string())));
    std::fs::write(&path, b"abc").unwrap();
    let long = keeper.recording_file(visit, &format!("{}-dp.wav", "ü".repeat(300))).unwrap();
    std::fs::write(&long, b"a name that can be made").unwrap();
    assert!(long.to_string_lossy().ends_with("ü-dp.wav"));
    std::fs::remove_file(&long).unwrap();
    let orphan = keeper.recording_file(visit, "killed.wav").unwrap();
    std::fs::write(&orphan, [0; 50]).unwrap();
    keeper.recorded(visit, path.clone(), 1, Some(1));
    keeper.finish().unwrap();
    let sounds = book(folder.path()).recordings(visit).unwrap();
    assert_eq!((sounds.len(), &sounds[0].file, sounds[0].bytes), (2, &path, 3));
    // The digest of "abc" as published with the standard (FIPS 180-4 example).
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(sounds[0].sha256.as_deref(), Some(abc));
    assert_eq!((&sounds[1].file, sounds[1].sha256.as_deref()), (&orphan, None));
    std::fs::remove_file(&path).unwrap();
    let state = |n: usize| book(folder.path()).recordings(visit).unwrap()[n].state;
    assert_eq!(state(0), SoundState::Missing);
}

/// Another program holds the book's file: nothing can be committed until it lets go.
#[test]
fn a_wait_ends_with_the_commit_or_says_that_there_was_none() {
    let folder = tempfile::tempdir().unwrap();
    let keeper = Keeper::start(folder.path()).unwrap();
    let visit = keeper.begin();
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    keeper.wait(keep_all(&keeper, visit, &acts[..2]), Duration::from_secs(60)).unwrap();
    assert_eq!(book(folder.path()).events(visit).unwrap(), acts[..2]);
    let other = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let ticket = keep_all(&keeper, visit, &acts[2..]);
    let (limit, begun) = (Duration::from_millis(300), Instant::now());
    let refused = keeper.wait(ticket, limit).unwrap_err();
    assert!(matches!(refused, NotKept::Late(_) | NotKept::Refused(_)), "{refused:?}");
    assert!(refused.to_string().contains("do not close"), "{refused}");
    assert!(begun.elapsed() >= limit);
    assert_eq!(book(folder.path()).events(visit).unwrap(), acts[..2], "it was not kept meanwhile");
    other.execute_batch("ROLLBACK").unwrap();
    keeper.wait(ticket, Duration::from_secs(60)).unwrap();
    assert_eq!(book(folder.path()).events(visit).unwrap(), acts);
    keeper.finish().unwrap();
}

#[test]
fn a_deletion_waits_its_turn_and_is_written_down_once() {
    let folder = tempfile::tempdir().unwrap();
    let keeper = Keeper::start(folder.path()).unwrap();
    let visit = keeper.begin();
    let _ = keep_all(&keeper, visit, &visit_of("TM-1", Vec::new()));
    let forget = |visit| keeper.forget(visit, Forget::Visit, "op-1", "asked for");
    let _ = (forget(visit), forget(VisitId::new()));
    wait_for(&keeper, forget(visit));
    assert_eq!(keeper.trouble(), None);
    keeper.finish().unwrap();
    let book = book(folder.path());
    assert!(matches!(book.events(visit), Err(BookFault::NoVisit(_))));
    let acts = visit_of("TM-1", Vec::new()).len() as u64;
    assert_eq!(book.head().unwrap().entries, 1 + acts + 1);
    assert_eq!(book.check(&[]).unwrap().damage, []);
}

#[cfg(unix)]
#[test]
fn nobody_else_may_look_into_a_book() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let keeper = Keeper::start(&place).unwrap();
    let visit = keeper.begin();
    let ticket = keep_all(&keeper, visit, &visit_of("TM-1", Vec::new()));
    let sounds = keeper.recording_file(visit, "a.wav").unwrap();
    wait_for(&keeper, ticket);
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!((mode(&place), mode(sounds.parent().unwrap())), (0o700, 0o700));
    let mut seen = 0;
    for entry in std::fs::read_dir(&place).unwrap().map(Result::unwrap) {
        let (path, is_file) = (entry.path(), entry.file_type().unwrap().is_file());
        assert!(!is_file || mode(&path) == 0o600, "{} {:o}", path.display(), mode(&path));
        seen += usize::from(is_file);
    }
    assert!(seen >= 4, "book, log, index and lock");
    std::fs::set_permissions(&place, std::fs::Permissions::from_mode(0o755)).unwrap();
    assert!(Book::open(&place).unwrap().notes.iter().any(|note| note.to_string().contains("755")));
}
