//! A book of the form before several laptops were told apart by causes: `tests/data/old-book`, made by the program of
//! commit 006a1c1 of four books that met, with amendments made apart, a deletion, a move, and two visits that it could
//! no longer read.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::logbook::{Book, BookFault, Search, VisitId, Whose, Writer};
use serde_json::Value;

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/old-book")
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (from, to) = (entry.path(), to.join(entry.file_name()));
        if from.is_dir() {
            copy(&from, &to);
        } else {
            std::fs::copy(&from, &to).unwrap();
        }
    }
}

/// What the old program said of it.
fn told() -> Value {
    serde_json::from_slice(&std::fs::read(kept().join("told.json")).unwrap()).unwrap()
}

/// Acts with their moments, in no order: what must not be lost.
fn acts(events: &Value) -> Vec<String> {
    let mut acts: Vec<String> = events
        .as_array()
        .unwrap()
        .iter()
        .map(|event| {
            let mut act = event["act"].clone();
            // Where events stand in another order they have other numbers.
            act.as_object_mut().unwrap().remove("of");
            format!("{} {act}", event["at"])
        })
        .collect();
    acts.sort();
    acts
}

#[test]
fn nothing_of_an_old_book_is_lost_and_what_it_could_not_read_is_readable() {
    let folder = tempfile::tempdir().unwrap();
    copy(&kept(), folder.path());
    let book = Book::open(folder.path()).unwrap().book;
    let told = told();
    let was: BTreeMap<String, &Value> = told["visits"]
        .as_array()
        .unwrap()
        .iter()
        .map(|visit| (visit["row"]["id"].as_str().unwrap().to_owned(), visit))
        .collect();
    let rows = book.visits(&Search::default()).unwrap();
    assert_eq!(rows.len(), was.len());
    let mut unreadable = 0;
    for row in rows {
        let was = was[&row.id.to_string()];
        // Times are given to the millisecond since then; it is the same instant with the same offset.
        let row_now = serde_json::to_string(&row).unwrap().replace(".000+", "+");
        let row_now: Value = serde_json::from_str(&row_now).unwrap();
        assert_eq!(row_now, was["row"], "{}", row.id);
        let events = book.events(row.id).unwrap();
        assert_eq!(acts(&serde_json::to_value(&events).unwrap()), acts(&was["events"]));
        let visit = Visit::read(&events).unwrap();
        let now = serde_json::to_value(work_out(&visit, &[], Assumed::default())).unwrap();
        match was["result"].as_object() {
            Some(result) => {
                for part in ["sites", "record", "closed", "flags"] {
                    assert_eq!(now[part], result[part], "{} {part}", row.id);
                }
                for leg in ["right", "left"] {
                    assert_eq!(now[leg]["index"], result[leg]["index"], "{}", row.id);
                }
                assert_eq!(visit.aside, [], "{}", row.id);
            }
            None => {
                unreadable += 1;
                assert!(!visit.aside.is_empty() || !visit.disagreements.is_empty());
                assert!(visit.closed && now["right"]["index"] != Value::Null);
            }
        }
    }
    assert_eq!(unreadable, 2, "{told}");
    let checked = book.check(&[told["head"]["hash"].as_str().unwrap().to_owned()]).unwrap();
    assert_eq!(checked.damage, []);
    assert_eq!(checked.recordings, 2);
    assert!(checked.heads > 5 && checked.aside > 0 && checked.disagreements > 0, "{checked:?}");
    let gone: VisitId = told["forgotten"].as_str().unwrap().parse().unwrap();
    assert!(matches!(book.events(gone), Err(BookFault::NoVisit(_))));
}

/// Its open visit was begun where the book lay before: it is offered, and taken over by an act.
#[test]
fn an_open_visit_of_an_old_book_is_taken_over_and_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    copy(&kept(), folder.path());
    let mut writer = Writer::open(folder.path()).unwrap();
    let book = Book::open(folder.path()).unwrap().book;
    let open = book.unfinished().unwrap();
    assert_eq!(open.len(), 1);
    assert_eq!(book.whose(open[0].id).unwrap(), Some(Whose::Before));
    use cuffnote::clinical::event::Act;
    let at = open[0].opened_at;
    let refused = writer.keep(open[0].id, at, Act::VisitClosed).unwrap_err();
    assert!(refused.to_string().contains("take-over"), "{refused}");
    let taken = Act::TakenOver { who: "op-1".into(), why: "the book was moved".into() };
    writer.keep(open[0].id, at, taken).unwrap();
    writer.keep(open[0].id, at, Act::VisitClosed).unwrap();
    let visit = Visit::read(&book.events(open[0].id).unwrap()).unwrap();
    assert!(visit.closed && visit.aside.is_empty());
    assert_eq!(book.check(&[]).unwrap().damage, []);
}
