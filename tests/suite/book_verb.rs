//! The verb `book` as a user meets it: a demonstration's visit followed to list, trend, report, check, backup.

use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;

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
    let head = report.split("the head ").nth(1).unwrap().get(..64).unwrap().to_owned();
    book(&place, &["check", "--head", &head], 0);
    assert!(book(&place, &["check", "--head", &head.replace('a', "b")], 1).0.contains("DAMAGED"));
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

#[test]
fn codes_are_made_and_checked() {
    let folder = Path::new("none");
    assert_eq!(book(folder, &["code", "tm-0142"], 0).0, "TM-0142-7\n");
    book(folder, &["code", "--check", "TM-0142-7"], 0);
    assert!(book(folder, &["code", "--check", "TM-0124-7"], 1).1.contains("two are swapped"));
}
