//! Every verb with its output set to a file that is there, a book's file, a folder, a pipe, a device, a full disk and a
//! closed pipe: nothing is destroyed, and each ends with a sentence.

use std::io::Read;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use super::shop::{SHOP, Shop};

/// Each verb that writes a file, with `OUT` for its name, and the ending that the name needs.
pub(super) const WRITERS: &[(&str, &str)] = &[
    ("make plain --out OUT", "wav"),
    ("report visit.json --out OUT", "html"),
    ("report ID --out OUT", "pdf"),
    ("report ID --out OUT", "csv"),
    ("book report ID --out OUT", "json"),
    ("book export --out OUT", "csv"),
    ("book backup OUT", "tar"),
    ("audit --out OUT", "html"),
    ("audit visit.json --out OUT", "json"),
    ("rehear right-pt.wav --slow OUT", "wav"),
    ("rehear right-pt.wav --picture OUT", "png"),
    ("practise --class class.jsonl --out OUT", "jsonl"),
    ("practise --class class.jsonl --page OUT", "html"),
    ("overread gather anna.csv berta.csv --list blinded --out OUT", "csv"),
    ("listen right-pt.wav --features OUT", "csv"),
    ("listen right-pt.wav --sonogram OUT", "svg"),
    ("listen right-pt.wav --sonogram OUT", "png"),
    ("trial --count 1 --out OUT", "csv"),
];

/// Each verb that prints.
const PRINTERS: &[&str] = &[
    "listen right-pt.wav",
    "listen right-pt.wav --json",
    "listen right-pt.wav --features -",
    "index --right-arm 148 --left-arm 142 --right-pt 104",
    "index --csv readings.csv --json",
    "recheck visit.json",
    "report visit.json --format csv --out -",
    "report ID --format pdf --out -",
    "audit --format json --out -",
    "book list",
    "book show ID --json",
    "book check",
    "book code TM-0142",
    "book export --format csv --out -",
    "import earlier.csv --check",
    "make --list",
    "make --list --json",
    "practise --scripted bias_ms=300,sd_ms=80 --count 2",
    "practise --check lesson.toml",
    "agree --csv readers.csv",
    "rehear right-pt.wav",
    "trial --count 1",
    "schema listen",
    "completions bash",
    "help listen",
    "--help",
    "--version",
];

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn refused(shop: &Shop, words: &str, why: &str) {
    let output = shop.run(words);
    let said = said(&output);
    assert!(matches!(output.status.code(), Some(1 | 2)), "{words}: {said}");
    assert!(said.contains(why), "{words}: {said}");
    let notes = |line: &&str| line.contains("is now `");
    assert_eq!(said.lines().filter(|line| !notes(line)).count(), 1, "{words}: {said}");
}

fn with(words: &str, out: &Path) -> String {
    words.replace("OUT", out.to_str().unwrap())
}

#[test]
fn a_file_that_is_there_stays_unless_force_is_said() {
    let folder = tempfile::tempdir().unwrap();
    for (n, (words, ending)) in WRITERS.iter().enumerate() {
        let out = folder.path().join(format!("mine-{n}.{ending}"));
        std::fs::write(&out, "mine").unwrap();
        let words = with(words, &out);
        refused(&SHOP, &words, "is there already");
        assert_eq!(std::fs::read(&out).unwrap(), b"mine", "{words}");
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), WRITERS.len(), "nothing beside");
    for (n, (words, ending)) in
        WRITERS.iter().enumerate().filter(|(_, (words, _))| !words.contains("backup"))
    {
        let out = folder.path().join(format!("mine-{n}.{ending}"));
        let words = with(words, &out);
        SHOP.done(&format!("{words} --force"));
        assert_ne!(std::fs::read(&out).unwrap(), b"mine", "{words}");
    }
}

/// The truth beside a sound is an output as well: `make --out visit.wav` once replaced `visit.json` unnamed.
#[test]
fn what_lies_beside_an_output_and_what_is_read_stay() {
    let shop = Shop::new();
    let visit = std::fs::read(shop.path("visit.json")).unwrap();
    refused(&shop, "make plain --out visit.wav", "visit.json: is there already");
    assert!(!shop.path("visit.wav").exists());
    assert_eq!(std::fs::read(shop.path("visit.json")).unwrap(), visit);
    let sound = std::fs::read(shop.path("right-pt.wav")).unwrap();
    for words in [
        "rehear right-pt.wav --slow ./right-pt.wav --force",
        "rehear recordings/../right-pt.wav --slow right-pt.wav --force",
    ] {
        refused(&shop, words, "is what is read here");
    }
    refused(
        &shop,
        "rehear right-pt.wav --slow two.wav --picture two.wav",
        "two outputs have this one name",
    );
    assert_eq!(std::fs::read(shop.path("right-pt.wav")).unwrap(), sound);
    // Nor is an input reached by another name of it.
    #[cfg(unix)]
    {
        std::fs::create_dir(shop.path("elsewhere")).unwrap();
        std::os::unix::fs::symlink(shop.path("right-pt.wav"), shop.path("elsewhere/link.wav"))
            .unwrap();
        refused(
            &shop,
            "rehear left-pt.wav --slow elsewhere/link.wav --force",
            "a link out of its folder",
        );
        assert_eq!(std::fs::read(shop.path("right-pt.wav")).unwrap(), sound);
    }
}

fn inside(folder: &Path) -> Vec<(String, u64)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            found.extend(inside(&path));
        } else if !entry.file_name().to_string_lossy().ends_with("-shm") {
            found.push((path.display().to_string(), entry.metadata().unwrap().len()));
        }
    }
    found.sort();
    found
}

#[test]
fn what_lies_in_a_record_book_is_never_written_over() {
    let shop = Shop::new();
    let recordings = shop.path("book/recordings").join(&shop.id);
    let recording = std::fs::read_dir(&recordings).unwrap().next().unwrap().unwrap().path();
    let before = inside(&shop.path("book"));
    for (words, ending) in WRITERS {
        for out in [
            shop.path(&format!("book/new.{ending}")),
            shop.path(&format!("book/reports/new.{ending}")),
            recording.clone(),
            shop.path("book/book.sqlite"),
        ] {
            for force in ["", " --force"] {
                let words = with(words, &out) + force;
                let output = shop.run(&words);
                assert!(matches!(output.status.code(), Some(1 | 2)), "{words}");
            }
        }
        refused(
            &shop,
            &with(words, &shop.path(&format!("book/new.{ending}"))),
            "lies in the record book",
        );
    }
    for words in [
        "demo --out book",
        "overread prepare left-pt.wav --out book/second",
        "import earlier.csv --out book/visits",
        "book export --format html --out book/pages",
        "listen --live --record book/arm.wav left-pt.wav",
    ] {
        let output = shop.run(words);
        assert!(!output.status.success(), "{words}");
    }
    let book_files = |all: Vec<(String, u64)>| -> Vec<_> {
        all.into_iter().filter(|(name, _)| !name.ends_with("-wal")).collect()
    };
    assert_eq!(book_files(inside(&shop.path("book"))), book_files(before));
}

#[test]
fn a_folder_is_no_file_and_a_pipe_is_written_to() {
    let folder = tempfile::tempdir().unwrap();
    for (n, (words, ending)) in WRITERS.iter().enumerate() {
        let out = folder.path().join(format!("folder-{n}.{ending}"));
        std::fs::create_dir(&out).unwrap();
        refused(&SHOP, &with(words, &out), "is a folder");
        assert_eq!(std::fs::read_dir(&out).unwrap().count(), 0);
        if words.contains("backup") {
            continue;
        }
        let pipe = folder.path().join(format!("pipe-{n}.{ending}"));
        assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
        let reader = {
            let pipe = pipe.clone();
            std::thread::spawn(move || {
                let mut bytes = Vec::new();
                std::fs::File::open(pipe).unwrap().read_to_end(&mut bytes).unwrap();
                bytes
            })
        };
        SHOP.done(&with(words, &pipe));
        assert!(!reader.join().unwrap().is_empty(), "{words}");
        use std::os::unix::fs::FileTypeExt;
        assert!(
            std::fs::symlink_metadata(&pipe).unwrap().file_type().is_fifo(),
            "{words}: it is a pipe still"
        );
    }
}

#[test]
fn a_device_stays_a_device_and_a_full_one_is_said() {
    for words in [
        "report visit.json --format csv --out OUT",
        "audit --format json --out OUT",
        "book export --format csv --out OUT",
        "rehear right-pt.wav --slow OUT",
        "practise --class class.jsonl --out OUT",
        "trial --count 1 --out OUT",
    ] {
        for force in ["", " --force"] {
            SHOP.done(&(words.replace("OUT", "/dev/null") + force));
            let output = SHOP.run(&(words.replace("OUT", "/dev/full") + force));
            let said = said(&output);
            assert_eq!(output.status.code(), Some(1), "{words}");
            assert!(said.contains("cannot write /dev/full: No space left"), "{words}: {said}");
        }
    }
    for device in ["/dev/null", "/dev/full"] {
        use std::os::unix::fs::FileTypeExt;
        assert!(std::fs::symlink_metadata(device).unwrap().file_type().is_char_device());
    }
}

#[test]
fn a_full_disk_and_a_closed_pipe_end_every_verb_with_a_sentence() {
    for words in PRINTERS {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = SHOP.command(words).stdout(Stdio::from(full)).output().unwrap();
        let told = said(&output);
        assert_eq!(output.status.code(), Some(1), "{words}: {told}");
        assert!(told.contains("standard output: No space left"), "{words}: {told}");
        assert!(!told.contains("panicked"), "{words}: {told}");

        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = SHOP.command(words).stdout(Stdio::from(writer)).output().unwrap();
        let told = said(&output);
        assert_eq!(output.status.code(), Some(1), "{words}: {told}");
        assert!(told.contains("standard output"), "{words}: {told}");
        assert!(!told.contains("panicked"), "{words}: {told}");
    }
}

/// Where nobody hears the faults, the work is still done and the status still tells.
#[test]
fn a_closed_or_full_stderr_stops_no_work() {
    for (words, code) in [
        ("listen right-pt.wav nothing.wav", 1),
        ("book code Mustermann", 0),
        ("index --csv readings.csv", 0),
    ] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = SHOP.command(words).stderr(Stdio::from(full)).output().unwrap();
        assert_eq!(output.status.code(), Some(code), "{words}");
        assert!(!output.stdout.is_empty(), "{words}");
    }
}

/// Nothing is printed around the one writer: a `println!` panics where the reader has gone.
#[test]
fn no_verb_prints_around_the_writer() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli")];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for path in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            let printing = lines
                .filter(|line| ["println!(", "print!("].iter().any(|word| line.contains(word)));
            assert_eq!(printing.count(), 0, "{}", path.display());
            seen += 1;
        }
    }
    assert!(seen > 40);
}
