//! What the program's verbs cost on a made book of many visits: seconds, and the most memory at once.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// `cargo bench -- scale`: a book of 100,000 visits, or as many as `CUFFNOTE_BENCH_VISITS` says.
pub fn run() {
    let visits = std::env::var("CUFFNOTE_BENCH_VISITS").ok().and_then(|n| n.parse().ok());
    let visits: u64 = visits.unwrap_or(100_000);
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path();
    std::fs::create_dir(place.join("stick")).unwrap();
    let make = format!("book make --visits {visits} --book made");
    for (name, words) in [
        ("make", make.as_str()),
        ("list, newest 50", "book list --limit 50 --book made"),
        ("CSV out", "book export --out made.csv --book made"),
        ("audit", "audit --out audit.json --book made"),
        ("check", "book check --book made"),
        ("import of that CSV", "import made.csv --book imported"),
        ("backup", "book backup made.tar --book made"),
        ("restore, with its check", "book restore made.tar --book restored"),
        ("sync into an empty folder", "book sync stick --book made"),
        ("sync once more, nothing new", "book sync stick --book made"),
        ("merge into an empty book", "book merge made --book empty"),
    ] {
        if name.starts_with("merge") {
            timed(place, "book make --visits 1 --seed 9 --book empty");
        }
        let (seconds, most_kb) = timed(place, words);
        let memory = most_kb.map_or(String::new(), |kb| format!("{:>6.0} MB  ", kb as f64 / 1e3));
        println!("  {seconds:>8.2} s  {memory}{name}");
    }
    #[cfg(feature = "service")]
    service(place);
    let bytes = std::fs::metadata(place.join("made/book.sqlite")).map_or(0, |file| file.len());
    println!("  {visits} visits, {:.0} MB", bytes as f64 / 1e6);
}

/// The second program on the same book; into a database where `CUFFNOTE_BENCH_DATABASE` names an empty one.
#[cfg(feature = "service")]
fn service(place: &Path) {
    let mut all =
        vec![("tables, Parquet".to_owned(), "tables --book made --out tables".to_owned())];
    if let Ok(to) = std::env::var("CUFFNOTE_BENCH_DATABASE") {
        let gather = format!("gather --book made --to {to}");
        all.push(("gather".into(), gather.clone()));
        all.push(("gather once more, nothing new".into(), gather));
    }
    for (name, words) in all {
        let (seconds, most_kb) = timed_by(env!("CARGO_BIN_EXE_cuffnote-service"), place, &words);
        let memory = most_kb.map_or(String::new(), |kb| format!("{:>6.0} MB  ", kb as f64 / 1e3));
        println!("  {seconds:>8.2} s  {memory}{name}");
    }
}

/// Runs the program; how long it took, and the most memory that it held at once, where the system tells.
fn timed(place: &Path, words: &str) -> (f64, Option<u64>) {
    timed_by(env!("CARGO_BIN_EXE_cuffnote"), place, words)
}

fn timed_by(program: &str, place: &Path, words: &str) -> (f64, Option<u64>) {
    let begun = Instant::now();
    let mut child = Command::new(program)
        .current_dir(place)
        .env("CUFFNOTE_LOG_DIR", place.join("log"))
        .args(words.split(' '))
        .stdout(Stdio::null())
        .stdin(Stdio::null())
        .spawn()
        .unwrap();
    let mut most_kb = None;
    loop {
        let told = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
        let told = told.unwrap_or_default();
        let line = told.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kb = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
        most_kb = most_kb.max(kb);
        if let Some(status) = child.try_wait().unwrap() {
            assert!(status.success(), "{words}");
            return (begun.elapsed().as_secs_f64(), most_kb);
        }
        std::thread::sleep(Duration::from_millis(5));
    }
}
