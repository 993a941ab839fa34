//! A folder with everything that the command line's examples name, made once by the program itself.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;

/// The folder, with a record book of one visit in it.
pub(super) struct Shop {
    folder: tempfile::TempDir,
    /// The visit in the book.
    pub(super) id: String,
}

/// One for all tests that only read.
pub(super) static SHOP: LazyLock<Shop> = LazyLock::new(Shop::new);

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

impl Shop {
    pub(super) fn new() -> Self {
        let mut shop = Self { folder: tempfile::tempdir().unwrap(), id: String::new() };
        let copy = |from: &str, to: &str| {
            std::fs::copy(root().join(from), shop.path(to)).unwrap();
        };
        for name in ["right-pt.wav", "left-pt.wav"] {
            copy(&format!("audio-fixtures/visit-{name}"), name);
        }
        std::fs::create_dir_all(shop.path("recordings/within")).unwrap();
        copy("audio-fixtures/visit-right-pt.wav", "recordings/within/one.wav");
        copy("audio-fixtures/visit-left-dp.wav", "recordings/two.WAV");
        copy("tests/fuzz/corpus/lesson/monday.toml", "lesson.toml");
        copy("tests/fuzz/corpus/class/two.jsonl", "class.jsonl");
        let write = |name: &str, text: &str| std::fs::write(shop.path(name), text).unwrap();
        write(
            "readings.csv",
            "record,right-arm,left-arm,right-pt,left-pt\nK-1,148,142,104,146\nK-2,130,128,nc,120\n",
        );
        write(
            "readers.csv",
            "record,anna,berta,carla\n1,12.5,12.7,12.4\n2,9.2,9.0,9.3\n3,15.1,15.2,15.6\n",
        );
        write(
            "earlier.csv",
            "record,measured,right-arm,left-arm,right-pt,left-pt\nK-1,2026-03-04,148,142,104,146\nK-2,2026-03-05T10:15:00+01:00,130,128,nc,120\n",
        );
        write("words.csv", "anna;berta\nmono;mono\nbi;mono\nmono;mono\n");
        write("anna.csv", "number,return_s,reading_mmhg,word\n1,12.5,,\n2,9.25,,\n");
        write("berta.csv", "number,return_s,reading_mmhg,word\n1,12.75,,\n2,9.5,,\n");
        std::fs::create_dir(shop.path("shared")).unwrap();
        shop.done("demo --out first");
        shop.done("demo --out second-clinic");
        std::fs::rename(shop.path("first/book"), shop.path("book")).unwrap();
        std::fs::rename(shop.path("second-clinic/book"), shop.path("other-book")).unwrap();
        std::fs::copy(shop.path("first/visit.json"), shop.path("visit.json")).unwrap();
        shop.done("book backup kept.tar");
        shop.done("overread prepare right-pt.wav left-pt.wav --out blinded");
        let list = shop.done("book list --json");
        let row: serde_json::Value = serde_json::from_str(list.lines().next().unwrap()).unwrap();
        shop.id = row["id"].as_str().unwrap().to_owned();
        shop
    }

    pub(super) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The program in this folder, on this book and with its own log and settings.
    pub(super) fn command(&self, words: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
        command
            .current_dir(self.folder.path())
            .env("CUFFNOTE_BOOK", self.path("book"))
            .env("CUFFNOTE_LOG_DIR", self.path("log"))
            .env("HOME", self.folder.path())
            .env_remove("XDG_CONFIG_HOME")
            .stdin(Stdio::null())
            .args(
                split(words)
                    .into_iter()
                    .map(|word| if word == "ID" { self.id.clone() } else { word }),
            );
        command
    }

    pub(super) fn run(&self, words: &str) -> Output {
        self.command(words).output().unwrap()
    }

    /// What was printed by words that must be done.
    pub(super) fn done(&self, words: &str) -> String {
        let output = self.run(words);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{words}: {said}");
        String::from_utf8(output.stdout).unwrap()
    }
}

/// Words as a shell takes them apart: blanks between them, quotation marks around those that hold some.
pub(super) fn split(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (n, part) in line.split('"').enumerate() {
        if n % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}
