//! Long work on a record book tells how far it is, and Ctrl-C ends it cleanly: status 1, a sentence, and what it was
//! writing is as it was, or whole as far as it was told.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Command, Stdio};

/// Enough that each verb works for a while, and little enough for a test.
const VISITS: usize = 3_000;

fn program(place: &Path, book: &str, words: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command
        .current_dir(place)
        .env("CUFFNOTE_BOOK", place.join(book))
        .env("CUFFNOTE_LOG_DIR", place.join("log"))
        .env("HOME", place)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .args(words.split_whitespace())
        .args(["--progress", "always"]);
    command
}

/// What was printed and said by words that must be done.
fn done(place: &Path, book: &str, words: &str) -> (String, String) {
    let output = program(place, book, words).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{words}: {said}");
    (String::from_utf8(output.stdout).unwrap(), said)
}

/// Begins the work, waits until it tells that a part is done, then does what Ctrl-C does. Gives what was printed and
/// what was said after that.
fn stopped(place: &Path, book: &str, words: &str) -> (String, String) {
    let mut child = program(place, book, words).spawn().unwrap();
    let mut said = BufReader::new(child.stderr.take().unwrap());
    let mut line = String::new();
    while !line.contains('%') {
        line.clear();
        assert!(said.read_line(&mut line).unwrap() > 0, "{words}: told nothing of its progress");
    }
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let (mut told, mut printed) = (line, String::new());
    said.read_to_string(&mut told).unwrap();
    child.stdout.take().unwrap().read_to_string(&mut printed).unwrap();
    let status = child.wait().unwrap();
    assert_eq!(status.code(), Some(1), "{words}: {told}");
    assert!(told.contains("stopped"), "{words}: {told}");
    (printed, told)
}

/// How many visits a book lists.
fn count(place: &Path, book: &str) -> usize {
    done(place, book, "book list --json --limit 1000000").0.lines().count()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn check_backup_restore_merge_sync_and_import_end_cleanly_when_they_are_stopped() {
    let place = tempfile::tempdir().unwrap();
    let place = place.path();
    done(place, "full", &format!("book make --visits {VISITS}"));
    done(place, "empty", "book make --visits 1 --seed 9");

    let (printed, said) = stopped(place, "full", "book check");
    assert!(printed.is_empty() && said.contains("the book is not judged"), "{said}");
    let (printed, said) = done(place, "full", "book check");
    assert!(printed.contains("no damage found") && said.contains("check: 100 %"), "{said}");

    let before = names(place);
    let (_, said) = stopped(place, "full", "book backup kept.tar");
    assert!(said.contains("no backup was written"), "{said}");
    assert_eq!(names(place), before, "neither a backup nor a part of one");
    done(place, "full", "book backup kept.tar");

    let before = names(place);
    let (_, said) = stopped(place, "again", "book restore kept.tar");
    assert!(said.contains("nothing was restored"), "{said}");
    assert_eq!(names(place), before, "neither a book nor a part of one");
    done(place, "again", "book restore kept.tar");
    assert_eq!(count(place, "again"), VISITS);

    for from in ["full", "kept.tar"] {
        let (_, said) = stopped(place, "empty", &format!("book merge {from}"));
        assert!(said.contains("this book is as it was before"), "{said}");
        assert_eq!(count(place, "empty"), 1);
        assert!(!place.join("empty/incoming").exists(), "nothing staged stays");
    }

    std::fs::create_dir(place.join("stick")).unwrap();
    let (_, said) = stopped(place, "full", "book sync stick");
    assert!(said.contains("the next sync does the rest"), "{said}");
    done(place, "full", "book sync stick");
    let (_, said) = stopped(place, "empty", "book sync stick");
    assert!(said.contains("each chain was taken in whole or not at all"), "{said}");
    assert_eq!(count(place, "empty"), 1);
    done(place, "empty", "book sync stick");
    assert_eq!(count(place, "empty"), VISITS + 1);

    done(place, "full", "book export --format csv --out all.csv");
    let (printed, said) = stopped(place, "third", "import all.csv");
    let taken: usize = printed.split(' ').next().unwrap().parse().unwrap();
    assert!(said.contains("on were not taken") && taken > 0 && taken < VISITS, "{printed}{said}");
    assert_eq!(count(place, "third"), taken, "what was told as taken is there");
    let (printed, _) = done(place, "third", "import all.csv --quiet");
    assert!(printed.contains(&format!("{taken} there before")), "{printed}");
    assert_eq!(count(place, "third"), VISITS);
    for book in ["full", "again", "empty", "third"] {
        assert!(done(place, book, "book check").0.contains("no damage found"), "{book}");
    }
}
