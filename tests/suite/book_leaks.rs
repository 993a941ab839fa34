//! What must not be found afterwards: deleted texts anywhere in a book's folder, plain copies on the way to a backup.

use std::path::{Path, PathBuf};
use std::time::Duration;

use assert_cmd::Command;
use cuffnote::clinical::event::Act;
use cuffnote::logbook::{Book, Forget, Keeper, Passphrase, VisitId, Writer, restore};

use super::book::{keep_all, visit_of, wait_for};
use super::book_faults::small;

/// Words that stand nowhere else.
const SECRET: &str = "the patient told of a violet cormorant";

fn open(folder: &Path) -> Book {
    Book::open(folder).unwrap().book
}

/// Every file below a folder.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        if entry.path().is_dir() {
            found.extend(files(&entry.path()));
        } else {
            found.push(entry.path());
        }
    }
    found
}

/// The files that hold these words.
pub fn holding(folder: &Path, words: &str) -> Vec<PathBuf> {
    let holds = |path: &PathBuf| {
        let bytes = std::fs::read(path).unwrap();
        bytes.windows(words.len()).any(|part| part == words.as_bytes())
    };
    files(folder).into_iter().filter(holds).collect()
}

/// A book with one visit that has the secret words in it, among others.
fn with_secret(folder: &Path) -> VisitId {
    small(folder, 3);
    let keeper = Keeper::start(folder).unwrap();
    let visit = keeper.begin();
    let note = Act::Note { who: "op-1".into(), words: SECRET.into() };
    wait_for(
        &keeper,
        keep_all(&keeper, visit, &visit_of("TM-SECRET-1", vec![note, Act::VisitClosed])),
    );
    let path = keeper.recording_file(visit, "right-dp.wav").unwrap();
    std::fs::write(&path, SECRET.repeat(20)).unwrap();
    keeper.recorded(visit, path, 1, Some(1));
    keeper.finish().unwrap();
    visit
}

/// Runs `cuffnote book ...`; gives stdout and stderr.
fn book(folder: &Path, words: &[&str], code: i32) -> (String, String) {
    let mut command = Command::cargo_bin("cuffnote").unwrap();
    command.arg("book").args(words).arg("--book").arg(folder);
    let output = command.assert().code(code).get_output().clone();
    (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
}

#[test]
fn after_a_deletion_no_byte_of_the_text_is_found_in_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let visit = with_secret(&place);
    let id = visit.to_string();
    // Reports in the book: one as it is written now, and one of an older program, which only names the visit.
    let reports = place.join("reports");
    std::fs::create_dir_all(reports.join(&id)).unwrap();
    std::fs::write(reports.join(&id).join("a.pdf"), SECRET).unwrap();
    std::fs::write(reports.join("old.html"), format!("{SECRET} Record book: visit {id}, head 00."))
        .unwrap();
    std::fs::write(reports.join("old.pdf"), SECRET).unwrap();
    std::fs::write(reports.join("another.html"), "of another visit").unwrap();
    // A copy from before a newer form, and what an older program that was killed left: whole plain copies.
    let bytes =
        || std::fs::copy(place.join("book.sqlite"), place.join("book-before-form-2.sqlite"));
    drop(Writer::open(&place).unwrap());
    bytes().unwrap();
    std::fs::copy(place.join("book.sqlite"), place.join("backup-4711.sqlite")).unwrap();
    std::fs::write(place.join("backup-4711.part"), SECRET).unwrap();
    let backup = folder.path().join("before.tar");
    open(&place).backup(&backup, None).unwrap();
    assert!(holding(&place, SECRET).len() >= 6, "{:?}", holding(&place, SECRET));
    let (told, noted) = book(&place, &["forget", &id, "--who", "op-1", "--why", "asked for"], 0);
    assert_eq!(holding(&place, SECRET), Vec::<PathBuf>::new());
    assert_eq!(holding(&place, "TM-SECRET-1"), Vec::<PathBuf>::new());
    assert!(told.contains("still holds it: backup of") && told.contains("before.tar"), "{told}");
    assert!(noted.contains("backup-4711.sqlite: was left by a program that was ended"), "{noted}");
    assert!(reports.join("another.html").exists());
    assert_eq!(open(&place).check(&[]).unwrap().damage, []);
    for words in [["--who", " ", "--why", "x"], ["--who", "x", "--why", ""]] {
        let blank = [&["forget", id.as_str()][..], &words[..]].concat();
        assert!(book(&place, &blank, 2).1.contains("may not be empty"));
    }
    assert!(Writer::open(&place).unwrap().forget(visit, Forget::Visit, "", "x").is_err());
}

/// A reader holds the log: it is said that the deletion is not finished, and once more ends it.
#[test]
fn a_deletion_that_a_reader_holds_up_says_that_it_is_not_finished() {
    let folder = tempfile::tempdir().unwrap();
    let visit = with_secret(folder.path());
    let mut writer = Writer::open(folder.path()).unwrap();
    let note = Act::Note { who: "op-1".into(), words: SECRET.into() };
    writer.keep(visit, visit_of("x", vec![])[0].at, note).unwrap();
    let reader = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
    reader.execute_batch("BEGIN; SELECT count(*) FROM entry;").unwrap();
    let count: i64 = reader.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    assert!(count > 0);
    let said = writer.forget(visit, Forget::Visit, "op-1", "asked for").unwrap_err().to_string();
    assert!(said.contains("NOT FINISHED") && said.contains("once more"), "{said}");
    reader.execute_batch("COMMIT").unwrap();
    drop(reader);
    writer.forget(visit, Forget::Visit, "op-1", "asked for").unwrap();
    assert_eq!(holding(folder.path(), SECRET), Vec::<PathBuf>::new());
    let stones: i64 = rusqlite::Connection::open(folder.path().join("book.sqlite"))
        .unwrap()
        .query_row("SELECT count(*) FROM entry WHERE kind = 3", [], |row| row.get(0))
        .unwrap();
    assert_eq!(stones, 1, "written down once");
}

/// Nothing of a backup lies on any disk but in its target, and there it is encrypted from the first byte.
#[test]
fn a_backup_goes_straight_into_its_target() {
    let folder = tempfile::tempdir().unwrap();
    let (place, out) = (folder.path().join("book"), folder.path().join("out"));
    with_secret(&place);
    std::fs::create_dir(&out).unwrap();
    let before: Vec<PathBuf> = files(&place);
    let stop = std::sync::atomic::AtomicBool::new(false);
    let seen = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !stop.load(std::sync::atomic::Ordering::Relaxed) {
                for path in files(folder.path()) {
                    let known = before.contains(&path) || path.ends_with("backups.jsonl");
                    let log = path.to_string_lossy().contains("book.sqlite-");
                    if !known
                        && !log
                        && std::fs::read(&path)
                            .is_ok_and(|b| b.windows(SECRET.len()).any(|w| w == SECRET.as_bytes()))
                    {
                        seen.lock().unwrap().push(path);
                    }
                }
                std::thread::sleep(Duration::from_micros(200));
            }
        });
        let secret =
            Passphrase::new("violet cormorant counts eleven barges").unwrap().strong().unwrap();
        for n in 0..3 {
            open(&place).backup(&out.join(format!("{n}.age")), Some(&secret)).unwrap();
        }
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
    });
    assert_eq!(*seen.lock().unwrap(), Vec::<PathBuf>::new());
    let left = files(&place).into_iter().filter(|path| !before.contains(path));
    let left: Vec<PathBuf> =
        left.filter(|path| !path.to_string_lossy().contains("book.sqlite-")).collect();
    assert_eq!(left, [place.join("backups.jsonl")]);
    // What an interrupted one left is deleted, and named.
    std::fs::write(out.join("4.tar.part"), "half").unwrap();
    let made = open(&place).backup(&out.join("4.tar"), None).unwrap();
    assert!(made.notes.iter().any(|note| note.contains("4.tar.part")), "{:?}", made.notes);
}

#[test]
fn a_weak_passphrase_encrypts_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    small(&place, 1);
    let (word, out) = (folder.path().join("word"), folder.path().join("a.age"));
    let words = ["backup", out.to_str().unwrap(), "--passphrase-file", word.to_str().unwrap()];
    for weak in ["x", " ", "passwort", "password1", "qwertz123", "11111111111111"] {
        std::fs::write(&word, weak).unwrap();
        let (_, why) = book(&place, &words, 1);
        assert!(
            why.contains("guessed") && !why.contains(weak.trim()) || weak == " ",
            "{weak}: {why}"
        );
        assert!(!out.exists());
    }
    std::fs::write(&word, "drei Möwen zählen elf Kähne").unwrap();
    book(&place, &words, 0);
}

/// A tar archive that is cut between two of its members looks whole to an ordinary reader.
#[test]
fn a_cut_backup_is_refused_wherever_it_is_cut() {
    let folder = tempfile::tempdir().unwrap();
    let [place, whole, cut, back] =
        ["book", "a.tar", "cut.tar", "back"].map(|n| folder.path().join(n));
    small(&place, 4);
    open(&place).backup(&whole, None).unwrap();
    let bytes = std::fs::read(&whole).unwrap();
    let mut refused = 0;
    for length in (0..bytes.len() - 1024).step_by(512) {
        std::fs::write(&cut, &bytes[..length]).unwrap();
        assert!(restore(&cut, &back, None).is_err(), "{length} of {} bytes", bytes.len());
        assert!(!back.exists());
        refused += 1;
    }
    assert!(refused > 20);
    let other = folder.path().join("other");
    small(&other, 1);
    std::fs::write(&cut, &bytes[..bytes.len() / 1024 * 512]).unwrap();
    let why = Writer::open(&other).unwrap().merge_backup(&cut, None).unwrap_err().to_string();
    assert!(why.contains("is cut") || why.contains("no longer a whole one"), "{why}");
    restore(&whole, &back, None).unwrap();
    assert_eq!(open(&back).check(&[]).unwrap().damage, []);
    // One of an older program, whose database lies in it as a file, cut and whole.
    let old = folder.path().join("old.tar");
    let mut archive = tar::Builder::new(std::fs::File::create(&old).unwrap());
    let mut header = tar::Header::new_gnu();
    let database =
        std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/books/form-2.sqlite"))
            .unwrap();
    header.set_size(database.len() as u64);
    header.set_mode(0o600);
    archive.append_data(&mut header, "book.sqlite", database.as_slice()).unwrap();
    archive.into_inner().unwrap();
    let bytes = std::fs::read(&old).unwrap();
    std::fs::write(&cut, &bytes[..bytes.len() - 1024]).unwrap();
    let place = folder.path().join("from-old");
    assert!(restore(&cut, &place, None).unwrap_err().to_string().contains("is cut"));
    restore(&old, &place, None).unwrap();
    assert_eq!(open(&place).visits(&Default::default()).unwrap().len(), 2);
}
