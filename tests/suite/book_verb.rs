//! The verb `book` as a user meets it: a demonstration's visit followed to list, trend, report, check, backup.

use std::path::Path;

use assert_cmd::Command;
use cuffnote::clinical::event::Act;
use cuffnote::logbook::{Book, Writer};
use serde_json::Value;

use super::book::visit_of;
use super::book_faults::small;

/// Runs `cuffnote book ...` on this book; gives stdout and stderr.
fn book(folder: &Path, words: &[&str], code: i32) -> (String, String) {
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.arg("book").args(words).arg("--book").arg(folder);
    let output = command.assert().code(code).get_output().clone();
    (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

#[test]
fn a_visit_is_listed_shown_amended_reported_and_rechecked() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let id = small(&place, 1)[0].to_string();
    let (listed, _) = book(&place, &["list", "--json", "--record", "tm-0"], 0);
    let row = json(&listed);
    assert_eq!((&row["id"], &row["record"]), (&id.clone().into(), &"TM-0".into()));
    assert!(book(&place, &["list", "--open"], 0).0.contains("no visits"));
    assert!(book(&place, &["list", "--older-than", "1200"], 0).0.contains("no visits"));
    let amend = ["amend", &id, "--attempt", "1", "--to", "150", "--who", "op-1"];
    assert!(book(&place, &amend, 1).1.contains("--why"));
    let amend = [&amend[..], &["--why", "misread"]].concat();
    book(&place, &amend, 0);
    assert!(book(&place, &amend, 1).1.contains("stands there already"));
    book(&place, &["amend", &id, "--next-test", "2027-02-03", "--who", "op-1"], 0);
    assert!(
        book(&place, &["amend", &id, "--record", "TM-0142-8", "--who", "a", "--why", "b"], 1)
            .1
            .contains("does not agree")
    );
    let shown = json(&book(&place, &["show", &id, "--json"], 0).0);
    assert_eq!(shown["result"]["sites"][0]["attempts"][0]["mmhg"], 150);
    assert_eq!(shown["visit"]["due"], "2027-02-03");
    let (text, _) = book(&place, &["show", "TM-0"], 0);
    assert!(
        text.contains("patient's right") && text.contains("Next test due: 2027-02-03"),
        "{text}"
    );
    assert!(book(&place, &["list", "--due", "2027-02-03"], 0).0.contains(&id));
    assert!(book(&place, &["show", "TM-1"], 1).1.contains("did you mean TM-0?"));
    let out = folder.path().join("report.html");
    book(&place, &["report", &id, "--out", out.to_str().unwrap()], 0);
    let report = std::fs::read_to_string(out).unwrap();
    let head = report.split(", head ").nth(1).unwrap().get(..64).unwrap().to_owned();
    book(&place, &["check", "--head", &head], 0);
    book(&place, &["check", "--head", &head[..16]], 0);
    let other = head.replace(|c: char| c.is_ascii_digit(), "e");
    assert!(book(&place, &["check", "--head", &other], 1).0.contains("DAMAGED"));
    for nonsense in ["xyz", &head[..15], &format!("{head}0")] {
        let (told, why) = book(&place, &["check", "--head", nonsense], 1);
        assert!(told.is_empty() && why.contains("is no head of a chain"), "{told}{why}");
    }
    assert!(book(&place, &["recheck"], 0).0.contains("1 never shown"));
}

#[test]
fn check_names_damage_and_exits_1_and_nothing_makes_a_book_by_mistake() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    assert!(book(&place, &["list"], 1).1.contains("no record book"));
    assert!(!place.exists());
    let id = small(&place, 1)[0].to_string();
    assert!(book(&place, &["check"], 0).0.contains("no damage found"));
    let sound = place.join("recordings").join(&id).join("right-dp.wav");
    std::fs::remove_file(&sound).unwrap();
    let (told, _) = book(&place, &["check"], 1);
    assert!(told.contains("DAMAGED recording") && told.contains("right-dp.wav"), "{told}");
    assert_eq!(json(&book(&place, &["check", "--json"], 1).0)["damage"][0]["kind"], "recording");
}

#[test]
fn a_passphrase_comes_from_a_file_and_is_never_shown() {
    let folder = tempfile::tempdir().unwrap();
    let [place, sealed, secret, back] =
        ["book", "a.tar.age", "secret", "back"].map(|name| folder.path().join(name));
    let id = small(&place, 1)[0].to_string();
    std::fs::write(&secret, "sieben Möwen\n").unwrap();
    let (file, word) = (sealed.to_str().unwrap(), secret.to_str().unwrap());
    let (told, noted) = book(&place, &["backup", file, "--passphrase-file", word, "--json"], 0);
    assert_eq!(json(&told)["encrypted"], true);
    // The work to open it does not hang on how fast this computer was today (age-encryption.org/v1: "-> scrypt SALT LOG2").
    let head = std::fs::read(&sealed).unwrap();
    let asked = head.split(|b| *b == b'\n').nth(1).unwrap();
    assert!(asked.starts_with(b"-> scrypt ") && asked.ends_with(b" 18"), "{asked:?}");
    assert!(!told.contains("sieben") && !noted.contains("sieben"));
    assert!(book(&back, &["restore", file], 1).1.contains("passphrase"));
    book(&back, &["restore", file, "--passphrase-file", word], 0);
    assert!(book(&back, &["list"], 0).0.contains(&id));
    book(&place, &["forget", &id, "--who", "op-1", "--why", "asked for"], 0);
    assert!(book(&place, &["show", &id], 1).1.contains("no visit"));
    // The backup still holds it, and a merge does not bring it back.
    let merged = json(&book(&place, &["merge", file, "--passphrase-file", word, "--json"], 0).0);
    assert_eq!(merged["new_visits"], 0);
    assert!(book(&place, &["list"], 0).0.contains("no visits"));
    book(&place, &["check"], 0);
}

/// Visits of records, days and days of the next test, each kept as an import keeps them.
fn with_days(place: &Path, visits: &[(&str, &str, Option<&str>)]) {
    let mut writer = Writer::open(place).unwrap();
    for (record, day, due) in visits {
        let due = due.map(|on| Act::NextTest { on: on.parse().unwrap(), who: "op-1".into() });
        let acts = due.into_iter().chain([Act::VisitClosed]).collect();
        let mut events = visit_of(record, acts);
        for event in &mut events {
            event.at = format!("{day}T10:00:00+01:00").try_into().unwrap();
        }
        assert!(writer.keep_earlier(&events).unwrap());
        assert!(!writer.keep_earlier(&events).unwrap(), "the same visit is not taken twice");
    }
}

/// A recall list: what was done or named anew is not on it, and a visit between does not take it off.
#[test]
fn a_next_test_is_due_until_it_was_done() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    with_days(
        &place,
        &[
            ("DONE", "2026-01-05", Some("2026-07-01")),
            ("DONE", "2026-07-01", None),
            ("BETWEEN", "2026-01-06", Some("2026-07-02")),
            ("BETWEEN", "2026-03-06", None),
            ("ANEW", "2026-01-07", Some("2026-07-03")),
            ("ANEW", "2026-06-07", Some("2026-12-03")),
            ("", "2026-01-08", Some("2026-07-04")),
            ("", "2026-09-08", None),
        ],
    );
    let due = |day: &str| -> Vec<String> {
        let (told, _) = book(&place, &["list", "--json", "--due", day], 0);
        told.lines().map(|line| json(line)["due"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(due("2026-11-25"), ["2026-07-04", "2026-07-02"]);
    assert_eq!(due("2026-12-03"), ["2026-12-03", "2026-07-04", "2026-07-02"]);
    let of = |record: &str| json(&book(&place, &["show", record, "--json"], 0).0)["due"].clone();
    assert_eq!((of("done"), of("ANEW")), (Value::Null, "2026-12-03".into()));
}

/// One file where a form holds many visits, else one a visit; each report names the book's head.
#[test]
fn visits_are_exported_by_format_and_choice() {
    let folder = tempfile::tempdir().unwrap();
    let (place, out) = (folder.path().join("book"), folder.path().join("out"));
    let ids = small(&place, 3);
    let out_at = |name: &str| out.join(name).to_str().unwrap().to_owned();
    std::fs::create_dir(&out).unwrap();
    let export = |words: &[&str], code| book(&place, &[&["export"], words].concat(), code);
    export(&["--format", "csv", "--out", &out_at("table")], 0);
    assert_eq!(std::fs::read_to_string(out.join("table")).unwrap().lines().count(), 4);
    for (format, ending) in [("pdf", "pdf"), ("html", "html"), ("fhir", "fhir.json")] {
        let (told, _) = export(&["--format", format, "--sounds", "--out", &out_at(format)], 0);
        assert!(told.contains("3 visits written"), "{told}");
        for id in &ids {
            assert!(out.join(format).join(format!("{id}.{ending}")).is_file());
        }
    }
    let head = Book::open(&place).unwrap().book.head().unwrap().hash;
    let page = std::fs::read_to_string(out.join("html").join(format!("{}.html", ids[2]))).unwrap();
    assert!(page.contains(&head));
    // A visit's own recording travels with it, and no other's.
    let bundle = |id| std::fs::read(out.join("fhir").join(format!("{id}.fhir.json"))).unwrap();
    let documents: Vec<Value> = json(std::str::from_utf8(&bundle(ids[1])).unwrap())["entry"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["resource"]["resourceType"] == "DocumentReference")
        .map(|entry| entry["resource"]["content"][0]["attachment"].clone())
        .collect();
    let sound =
        base64::Engine::encode(&base64::engine::general_purpose::STANDARD, "sound 1".repeat(20));
    assert_eq!((documents.len(), &documents[0]["data"]), (1, &sound.into()));
    export(&["--record", "tm-1", "--out", &out_at("one.html")], 0);
    assert!(std::fs::read_to_string(out.join("one.html")).unwrap().contains(&head));
    assert!(export(&["--older-than", "1200", "--out", &out_at("a.csv")], 1).1.contains("no visit"));
    assert!(export(&["--out", &out_at("all.pdf")], 2).1.contains("end the name"));
    export(&["--format", "docx", "--out", &out_at("d")], 2);
}

/// The report's document is one and the same to a server, though the book's head moved on between.
#[test]
fn a_visit_sent_again_later_is_the_same_to_a_server() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let id = small(&place, 2)[0].to_string();
    let names = || -> Vec<Value> {
        let out = folder.path().join("v.fhir.json");
        book(&place, &["report", &id, "--force", "--out", out.to_str().unwrap()], 0);
        let bundle = json(&std::fs::read_to_string(out).unwrap());
        bundle["entry"].as_array().unwrap().iter().map(|e| e["fullUrl"].clone()).collect()
    };
    let before = names();
    with_days(&place, &[("LATER", "2026-07-01", None)]);
    assert_eq!(before, names());
}

#[test]
fn a_table_is_taken_into_the_book_once() {
    let folder = tempfile::tempdir().unwrap();
    let (place, table) = (folder.path().join("book"), folder.path().join("t.csv"));
    let words = ["import", table.to_str().unwrap()];
    std::fs::write(&table, "nothing,here\n").unwrap();
    assert!(book(&place, &words, 1).1.contains("names no site"));
    assert!(!place.exists(), "no book is made of nothing");
    let good = "record,measured,right-arm,right-pt\nK-1,2026-03-04,148,104\nK-2,2026-03-04,148,x\n";
    std::fs::write(&table, good).unwrap();
    let (told, why) = book(&place, &words, 1);
    assert!(told.starts_with("1 visit taken, 0 there before, 1 row refused"), "{told}");
    assert!(why.contains("line 3, right-pt"), "{why}");
    let (told, why) = book(&place, &words, 1);
    assert!(told.starts_with("0 visits taken, 1 there before") && why.contains("line 2"));
    assert_eq!(book(&place, &["list"], 0).0.lines().count(), 1);
    book(&place, &["check"], 0);
}

/// What was typed elsewhere cannot steer the terminal, and what is no file of ours is told in one line.
#[test]
fn nothing_typed_steers_the_terminal_and_a_refusal_is_one_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    with_days(&place, &[("a\u{1b}[2J\u{202E}b", "2026-07-01", None)]);
    let (listed, _) = book(&place, &["list"], 0);
    assert!(!listed.contains(['\u{1b}', '\u{202E}']) && listed.contains("[2J"), "{listed:?}");
    let file = folder.path().join("passwords");
    std::fs::write(&file, "root:secret:0:0:the owner\n".repeat(60)).unwrap();
    let file = file.to_str().unwrap();
    let new = folder.path().join("new");
    for (at, words) in [(&new, ["restore", file]), (&place, ["merge", file])] {
        let (_, told) = book(at, &words, 1);
        let kept: Vec<&str> = told.lines().filter(|line| !line.contains("is now")).collect();
        assert!(kept.len() == 1 && kept[0].contains("is no backup of a record book"), "{told}");
        assert!(!told.contains("secret"), "{told}");
    }
    assert!(!new.exists());
    let (_, told) = book(&place, &["backup", "/nowhere/at/all.tar"], 1);
    assert_eq!(told.matches("folder is not there").count(), 1, "said once: {told}");
}

#[test]
fn codes_are_made_and_checked() {
    let folder = Path::new("none");
    assert_eq!(book(folder, &["code", "tm-0142"], 0).0, "TM-0142-7\n");
    book(folder, &["code", "--check", "TM-0142-7"], 0);
    assert!(book(folder, &["code", "--check", "TM-0124-7"], 1).1.contains("two are swapped"));
}
