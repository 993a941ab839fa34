//! One visit on several laptops: amendments in any order, strangers' chains, hand-overs.

use std::path::Path;

use assert_cmd::Command;
use cuffnote::clinical::event::{Act, Event, Phase};
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::logbook::{Book, Search, VisitId, Whose, Writer};
use rusqlite::Connection;

use super::bedside::mmhg;
use super::book::visit_of;
use super::book_faults::small;
use super::rules::reading;

fn open(folder: &Path) -> Book {
    Book::open(folder).unwrap().book
}

fn read(folder: &Path, visit: VisitId) -> Visit {
    Visit::read(&open(folder).events(visit).unwrap()).unwrap()
}

fn merge(to: &Path, from: &Path) {
    Writer::open(to).unwrap().merge(from).unwrap();
}

/// Runs `cuffnote book ...`; gives stdout and stderr.
fn book(folder: &Path, words: &[&str], code: i32) -> (String, String) {
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.arg("book").args(words).arg("--book").arg(folder);
    let output = command.assert().code(code).get_output().clone();
    (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
}

fn amend(folder: &Path, id: &str, to: &str, who: &str) {
    book(folder, &["amend", id, "--attempt", "2", "--to", to, "--who", who, "--why", "misread"], 0);
}

/// Two laptops in ordinary use, as it once made a visit unreadable for good.
#[test]
fn amendments_of_two_laptops_in_any_order_are_readable_marked_and_settled_by_one_act() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = ["a", "b"].map(|name| folder.path().join(name));
    let visit = small(&a, 2)[0];
    let id = visit.to_string();
    merge(&b, &a);
    amend(&a, &id, "104", "op-1");
    amend(&a, &id, "106", "op-1");
    amend(&b, &id, "110", "op-2");
    merge(&a, &b);
    merge(&b, &a);
    assert_eq!(open(&a).events(visit).unwrap(), open(&b).events(visit).unwrap());
    let told = read(&a, visit);
    // The later in order stands; both values are named.
    assert_eq!(told.attempts[1].reading(), Some(mmhg(106)));
    assert_eq!(told.disagreements.len(), 1);
    let said: Vec<&str> = told.disagreements[0].said.iter().map(|s| s.words.as_str()).collect();
    assert_eq!(said, ["110 mmHg", "106 mmHg"]);
    for words in [vec!["show", &id], vec!["show", "TM-0"], vec!["check"], vec!["list"]] {
        book(&a, &words, 0);
    }
    assert!(book(&a, &["show", &id], 0).0.contains("Two laptops disagree"));
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    book(&a, &["report", &id, "--out", &out("r.html")], 0);
    let page = std::fs::read_to_string(out("r.html")).unwrap();
    assert!(page.contains("Two laptops disagree") && page.contains("110 mmHg by op-2"));
    book(&a, &["export", "--out", &out("all.csv")], 0);
    let table = std::fs::read_to_string(out("all.csv")).unwrap();
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let column = reader.headers().unwrap().iter().position(|c| c == "disagreements").unwrap();
    let told: Vec<String> = reader.records().map(|row| row.unwrap()[column].to_owned()).collect();
    assert_eq!(told, ["1", "0"]);
    assert!(table.contains(&id), "a row says which visit it is");
    book(&a, &["audit", "--out", &out("audit.csv")], 0);
    // The value that stands is right: one act that says so settles it.
    amend(&b, &id, "106", "op-3");
    merge(&a, &b);
    assert_eq!(read(&a, visit).disagreements, []);
    assert_eq!(read(&a, visit).attempts[1].reading(), Some(mmhg(106)));
    let again = ["amend", &id, "--attempt", "2", "--to", "106", "--who", "x", "--why", "y"];
    assert!(book(&a, &again, 1).1.contains("stands there already"));
}

#[test]
fn two_days_of_a_next_test_are_a_disagreement_too() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = ["a", "b"].map(|name| folder.path().join(name));
    let id = small(&a, 1)[0];
    merge(&b, &a);
    let next = |day: &str| {
        ["amend", &id.to_string(), "--next-test", day, "--who", "op"].map(str::to_owned)
    };
    let words = |w: [String; 6], at: &Path| {
        book(at, &w.iter().map(String::as_str).collect::<Vec<_>>(), 0);
    };
    words(next("2027-02-03"), &a);
    words(next("2027-05-06"), &b);
    merge(&a, &b);
    let visit = read(&a, id);
    assert_eq!(visit.disagreements.len(), 1);
    assert!(
        visit.disagreements[0]
            .words(cuffnote::words::Words::english())
            .contains("the day of the next test")
    );
    words(next("2027-05-06"), &a);
    assert_eq!(read(&a, id).disagreements, []);
    let far =
        ["amend", &id.to_string(), "--next-test", "2099-01-01", "--who", "op"].map(str::to_owned);
    let far: Vec<&str> = far.iter().map(String::as_str).collect();
    assert!(book(&a, &far, 1).1.contains("--sure"), "a day years ahead is asked about");
}

/// Appends an event to a book's own chain as a hand could that knows the form.
fn forge(folder: &Path, visit: VisitId, n: u64, act: &Act) {
    let event = Event::new(n, visit_of("x", vec![])[0].at, act.clone());
    let body = serde_json::to_string(&event).unwrap();
    super::tampering::append(folder, 1, Some(visit.to_string().parse().unwrap()), &body);
}

fn index(folder: &Path, visit: VisitId) -> String {
    let result = work_out(&read(folder, visit), &[], Assumed::default());
    format!("{:?} {:?}", result.right.index, result.left.index)
}

/// Only the visit's id is needed, and it stands on reports.
#[test]
fn a_strangers_chain_puts_nothing_into_a_closed_visit() {
    let folder = tempfile::tempdir().unwrap();
    let [own, stranger] = ["own", "stranger"].map(|name| folder.path().join(name));
    let visit = small(&own, 1)[0];
    small(&stranger, 1);
    let before = index(&own, visit);
    let site = "right-arm".parse().unwrap();
    let chosen = Act::SiteChosen { attempt: 77, site, phase: Phase::Rest, gauge: None };
    forge(&stranger, visit, 5, &chosen);
    forge(&stranger, visit, 6, &Act::Outcome { attempt: 77, outcome: reading(250) });
    let taken = Act::TakenOver { who: "x".into(), why: "y".into() };
    forge(&stranger, visit, 7, &taken);
    let merged = Writer::open(&own).unwrap().merge(&stranger).unwrap();
    assert_eq!(merged.aside, 3);
    let note = merged.notes.iter().find(|note| note.contains("set aside")).unwrap();
    assert!(note.contains(&visit.to_string()) && note.contains("chain"), "{note}");
    assert_eq!(index(&own, visit), before);
    let told = read(&own, visit);
    assert_eq!((told.aside.len(), told.others.len(), told.amended.len()), (3, 1, 0));
    assert!(told.closed);
    let checked = open(&own).check(&[]).unwrap();
    assert_eq!((checked.damage, checked.aside), (vec![], 3));
    // A chain that opens the visit anew is not taken at all.
    let two = folder.path().join("two");
    small(&two, 1);
    let opened = visit_of("TM-0", vec![])[0].act.clone();
    forge(&two, visit, 1, &opened);
    let refused = Writer::open(&own).unwrap().merge(&two).unwrap_err().to_string();
    assert!(refused.contains("opened") && refused.contains("nothing was taken"), "{refused}");
    assert_eq!(index(&own, visit), before);
}

/// A deletion counts only from a chain that had the visit.
#[test]
fn nobody_deletes_what_he_only_knows_by_its_id() {
    let folder = tempfile::tempdir().unwrap();
    let [own, stranger] = ["own", "stranger"].map(|name| folder.path().join(name));
    let visit = small(&own, 1)[0];
    small(&stranger, 1);
    forge(&stranger, visit, 2, &Act::Note { who: "x".into(), words: "y".into() });
    use cuffnote::logbook::Forget;
    Writer::open(&stranger).unwrap().forget(visit, Forget::Visit, "x", "y").unwrap();
    let merged = Writer::open(&own).unwrap().merge(&stranger).unwrap();
    assert_eq!(merged.forgotten, 0);
    assert!(merged.notes.iter().any(|note| note.contains("never had it")), "{merged:?}");
    assert_eq!(open(&own).visits(&Search::default()).unwrap().len(), 2);
}

#[test]
fn the_number_of_an_event_is_the_sealed_one_or_nothing_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let [own, other] = ["own", "other"].map(|name| folder.path().join(name));
    let visit = small(&own, 1)[0];
    let db = Connection::open(own.join("book.sqlite")).unwrap();
    db.execute("UPDATE entry SET n = CASE n WHEN 3 THEN 5 WHEN 5 THEN 3 ELSE n END", []).unwrap();
    drop(db);
    let refused = open(&own).events(visit).unwrap_err().to_string();
    assert!(refused.contains("damaged") && refused.contains("another place"), "{refused}");
    let checked = open(&own).check(&[]).unwrap();
    assert!(checked.damage.iter().any(|d| d.kind == "number"), "{:?}", checked.damage);
    small(&other, 1);
    assert!(Writer::open(&other).unwrap().merge(&own).is_err());
    // The others are still shown and written, and it is said how many are not.
    let keeper = cuffnote::logbook::Keeper::start(&own).unwrap();
    let id = keeper.begin();
    let acts = visit_of("TM-8", vec![Act::VisitClosed]);
    super::book::wait_for(&keeper, super::book::keep_all(&keeper, id, &acts));
    keeper.finish().unwrap();
    let out = folder.path().join("all.csv");
    let (_, why) = book(&own, &["export", "--out", out.to_str().unwrap()], 1);
    assert!(why.contains("1 visit skipped") && why.contains(&visit.to_string()), "{why}");
    assert_eq!(std::fs::read_to_string(&out).unwrap().lines().count(), 2);
    let (_, why) =
        book(&own, &["audit", "--out", folder.path().join("a.csv").to_str().unwrap()], 1);
    assert!(why.contains("1 visit skipped"), "{why}");
    assert!(book(&own, &["show", "TM-0"], 1).0.contains("damaged"));
}

/// A book restored with an open visit: both copies offer it, one takes it over, the other says so.
#[test]
fn an_open_visit_is_taken_over_by_one_laptop_and_the_other_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let [a, back] = ["a", "back"].map(|name| folder.path().join(name));
    let file = folder.path().join("a.tar");
    let visit = VisitId::new();
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    let mut writer = Writer::open(&a).unwrap();
    for event in &acts[..6] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    open(&a).backup(&file, None).unwrap();
    cuffnote::logbook::restore(&file, &back, None).unwrap();
    let mut other = Writer::open(&back).unwrap();
    assert_eq!(open(&back).whose(visit).unwrap(), Some(Whose::Before));
    assert_eq!(open(&back).unfinished().unwrap().len(), 1);
    let at = acts[6].at;
    assert!(other.keep(visit, at, acts[6].act.clone()).is_err(), "not without taking it over");
    let id = visit.to_string();
    drop(other);
    let words = ["take-over", &id, "--who", "op-2", "--why", "the first laptop broke"];
    assert!(book(&back, &words, 0).0.contains("goes on here"));
    assert!(book(&back, &words, 1).1.contains("own already"));
    let blank = ["take-over", &id, "--who", " ", "--why", "x"];
    assert!(book(&back, &blank, 2).1.contains("may not be empty"));
    let mut other = Writer::open(&back).unwrap();
    for event in &acts[6..] {
        other.keep(visit, event.at, event.act.clone()).unwrap();
    }
    // The first laptop goes on too, not knowing: that is kept, and does not count.
    for event in &acts[6..8] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    drop((writer, other));
    merge(&a, &back);
    merge(&back, &a);
    assert_eq!(open(&a).events(visit).unwrap(), open(&back).events(visit).unwrap());
    let told = read(&a, visit);
    assert_eq!((told.closed, told.aside.len(), told.attempts.len()), (true, 2, 6));
    assert!(told.aside[0].why.contains("taken the visit over"), "{:?}", told.aside);
    assert!(open(&a).unfinished().unwrap().is_empty());
    assert_eq!(open(&a).check(&[]).unwrap().damage, []);
}

/// Who closes a visit that was his has closed it: a hand-over at the same time does not open it again.
#[test]
fn a_closed_visit_stays_closed_whoever_took_it_over_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let [a, back] = ["a", "back"].map(|name| folder.path().join(name));
    let file = folder.path().join("a.tar");
    let visit = VisitId::new();
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    let mut writer = Writer::open(&a).unwrap();
    for event in &acts[..acts.len() - 3] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    open(&a).backup(&file, None).unwrap();
    for event in &acts[acts.len() - 3..] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    drop(writer);
    cuffnote::logbook::restore(&file, &back, None).unwrap();
    let mut other = Writer::open(&back).unwrap();
    let taken = Act::TakenOver { who: "op-2".into(), why: "looked broken".into() };
    other.keep(visit, acts[0].at, taken).unwrap();
    other.keep(visit, acts[0].at, Act::VisitClosed).unwrap();
    drop(other);
    merge(&a, &back);
    let told = read(&a, visit);
    assert_eq!((told.closed, told.aside.len(), told.attempts.len()), (true, 2, 6));
}

/// On another laptop's open visit nothing is added; once it is closed, anyone who has it may amend it.
#[test]
fn an_open_visit_of_another_laptop_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = ["a", "b"].map(|name| folder.path().join(name));
    let visit = VisitId::new();
    let acts = visit_of("TM-1", vec![Act::VisitClosed]);
    let mut writer = Writer::open(&a).unwrap();
    for event in &acts[..6] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    drop(writer);
    merge(&b, &a);
    let id = visit.to_string();
    assert!(matches!(open(&b).whose(visit).unwrap(), Some(Whose::Elsewhere(_))));
    assert!(book(&b, &["list"], 0).0.contains("on another laptop, chain"));
    let note = ["amend", &id, "--note", "a word", "--who", "op-2"];
    assert!(book(&b, &note, 1).1.contains("take-over"));
    let mut writer = Writer::open(&a).unwrap();
    for event in &acts[6..] {
        writer.keep(visit, event.at, event.act.clone()).unwrap();
    }
    drop(writer);
    merge(&b, &a);
    book(&b, &note, 0);
    merge(&a, &b);
    let told = read(&a, visit);
    assert_eq!((told.notes.len(), told.aside.len(), told.others.len()), (1, 0, 1));
    assert!(book(&a, &["show", &id], 0).0.contains("written by another chain"));
}
