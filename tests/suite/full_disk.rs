//! A file system that is really full, under every verb that writes: status 1, one sentence that says so, nothing half
//! written, and what was there before is whole. Needs root; without it the test says that it did not run.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::outputs::WRITERS;
use super::shop::Shop;

/// A small file system of its own, taken away again at the end.
struct Disk(PathBuf);

impl Disk {
    fn mounted(place: &Path, size: &str) -> Option<Self> {
        std::fs::create_dir_all(place).unwrap();
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", &format!("size={size}"), "tmpfs"]).arg(place);
        match mount.output() {
            Ok(done) if done.status.success() => Some(Self(place.to_owned())),
            _ => {
                eprintln!(
                    "no small disk could be mounted here (root alone may): a full disk was not tested"
                );
                None
            }
        }
    }

    /// Fills it to the last byte.
    fn fill(&self) {
        let mut filling = std::fs::File::create(self.0.join("filling")).unwrap();
        for piece in [1 << 16, 1 << 10, 1] {
            while filling.write_all(&vec![b'x'; piece]).is_ok() {}
        }
    }

    fn empty(&self) {
        std::fs::remove_file(self.0.join("filling")).unwrap();
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

/// What was said on stderr by words that must fail with status 1, without notes.
fn full(shop: &Shop, words: &str) {
    let output = shop.run(words);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{words}: {said}");
    let is_full = ["No space left", "the disk is full"].iter().any(|sign| said.contains(sign));
    assert!(is_full && !said.contains("panicked"), "{words}: {said}");
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_full_disk_is_said_by_every_verb_that_writes_and_leaves_nothing_half_written() {
    let shop = Shop::new();
    let Some(disk) = Disk::mounted(&shop.path("disk"), "16m") else { return };
    // A file of the user's own is there, and the disk is full.
    for (n, (_, ending)) in WRITERS.iter().enumerate() {
        std::fs::write(disk.0.join(format!("mine-{n}.{ending}")), "mine").unwrap();
    }
    disk.fill();
    let before = names(&disk.0);
    for (n, (words, ending)) in WRITERS.iter().enumerate() {
        let out = disk.0.join(format!("new-{n}.{ending}"));
        full(&shop, &words.replace("OUT", out.to_str().unwrap()));
        if words.contains("backup") {
            continue;
        }
        let mine = disk.0.join(format!("mine-{n}.{ending}"));
        full(&shop, &(words.replace("OUT", mine.to_str().unwrap()) + " --force"));
        assert_eq!(std::fs::read(&mine).unwrap(), b"mine", "{words}");
    }
    for words in [
        "demo --out disk/demo",
        "overread prepare right-pt.wav left-pt.wav --out disk/second",
        "import earlier.csv --out disk/visits",
        "book export --format html --out disk/pages",
        "man --out disk/pages",
        "book sync disk",
        "book restore kept.tar --book disk/restored",
    ] {
        full(&shop, words);
    }
    assert_eq!(
        std::fs::read_dir(&disk.0)
            .unwrap()
            .filter(|entry| {
                entry
                    .as_ref()
                    .is_ok_and(|entry| entry.file_name().to_string_lossy().ends_with(".part"))
            })
            .count(),
        0,
        "no part of a file stays"
    );
    for name in &before {
        assert!(disk.0.join(name).exists(), "{name} stays");
    }
    // With room again each word is done.
    disk.empty();
    for folder in ["demo", "second", "visits", "pages", "restored", "entries", "recordings"] {
        let _ = std::fs::remove_dir_all(disk.0.join(folder));
    }
    shop.done("report visit.json --out disk/report.html");
    shop.done("book sync disk");
}

#[test]
fn a_book_on_a_full_disk_says_so_and_keeps_what_it_had() {
    let shop = Shop::new();
    let Some(disk) = Disk::mounted(&shop.path("small"), "24m") else { return };
    let copied = Command::new("cp").arg("-r").arg(shop.path("book")).arg(&disk.0).status().unwrap();
    assert!(copied.success());
    shop.done("book check --book small/book");
    let list = shop.done("book list --json --book small/book");
    disk.fill();
    let amend = "book amend ID --next-test 2027-02-03 --who op-7 --book small/book";
    for words in [
        "import earlier.csv --book small/book",
        amend,
        "book merge other-book --book small/book",
        "book make --visits 500 --book small/book",
    ] {
        full(&shop, words);
    }
    // What reads still reads, and a backup goes to another disk.
    shop.done("book backup away.tar --book small/book");
    assert_eq!(shop.done("book list --json --book small/book"), list);
    disk.empty();
    shop.done("book check --book small/book");
    shop.done(amend);
    assert_eq!(
        shop.done("book list --json --book small/book").lines().count(),
        list.lines().count()
    );
}
