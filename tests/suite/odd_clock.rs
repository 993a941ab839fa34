//! A computer's clock at the end of time, and at its beginning: every verb that asks for the time ends with a sentence,
//! and none breaks. The clock is put before the program by a small library of its own, which needs a C compiler.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::shop::Shop;

/// Stands between the program and the system's wall clock; the clocks that only count are left alone.
const SHIM: &str = r#"
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <time.h>
int clock_gettime(clockid_t which, struct timespec *to) {
    static int (*real)(clockid_t, struct timespec *);
    if (!real) real = dlsym(RTLD_NEXT, "clock_gettime");
    const char *said = getenv("ODD_CLOCK_S");
    if (which != CLOCK_REALTIME || !said) return real(which, to);
    to->tv_sec = atoll(said);
    to->tv_nsec = 999999999;
    return 0;
}
"#;

fn shim(folder: &Path) -> PathBuf {
    let (source, library) = (folder.join("shim.c"), folder.join("shim.so"));
    std::fs::write(&source, SHIM).unwrap();
    let mut compiler = Command::new("cc");
    compiler.args(["-shared", "-fPIC", "-o"]).arg(&library).arg(&source).arg("-ldl");
    assert!(compiler.status().expect("tests/run installs a C compiler").success());
    library
}

#[test]
fn no_verb_breaks_where_the_clock_is_at_the_end_or_the_beginning_of_time() {
    let shop = Shop::new();
    let library = shim(&shop.path(""));
    // 9999-12-31T23:59:59Z and 22 hours before; 1970-01-01; 1900-01-01; and years that no calendar here has.
    for second in ["253402300799", "253402221600", "0", "-2208988800", "9223372036854775"] {
        for words in [
            "book list",
            "book list --due 2027-06-30",
            "book list --older-than 12 --json",
            "book show ID",
            "book check",
            "index --right-arm 148 --right-pt 104",
            "report ID --format html --out -",
            "audit --format json --out -",
            "book export --format csv --out -",
            "import earlier.csv --check",
            "book amend ID --next-test 2027-02-03 --sure --who op-7",
            "book sync shared",
            "recheck",
            "doctor",
            "listen right-pt.wav",
        ] {
            let mut command = shop.command(words);
            command.env("LD_PRELOAD", &library).env("ODD_CLOCK_S", second);
            command.env("PULSE_SERVER", "unix:/nowhere").env("XDG_RUNTIME_DIR", shop.path(""));
            let output = command.output().unwrap();
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            let code = output.status.code();
            assert!(matches!(code, Some(0..=2)), "{words} at {second}: {code:?} {said}");
            assert!(!said.contains("panicked"), "{words} at {second}: {said}");
        }
    }
    // The clock is really another one: the doctor says so.
    let mut command = shop.command("doctor");
    command.env("LD_PRELOAD", &library).env("ODD_CLOCK_S", "0");
    let told = String::from_utf8(command.output().unwrap().stdout).unwrap();
    let clock = told.lines().find(|line| line.starts_with("clock")).unwrap();
    assert!(clock.contains("FAULT") && clock.contains("1970-01-01"), "{told}");
}

/// jiff's own clock stops the program beyond the year 9999, so only the one of `units` is asked.
#[test]
fn only_one_place_asks_the_wall_clock() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for path in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            let asks = ["Timestamp::now()", "Zoned::now()"].iter().any(|word| text.contains(word));
            assert!(!asks, "{}: ask `units::wall_clock`", path.display());
            seen += 1;
        }
    }
    assert!(seen > 300);
}
