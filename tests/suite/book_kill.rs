//! Kill -9 at random instants of a simulated visit: no committed act is lost, the chain holds, the WAV opens.
//!
//! This test binary runs itself as the program that is killed. `CUFFNOTE_KILLS=10000 cargo test --release
//! --test suite book_kill` kills more often. It does not show what happens when the power fails.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use cuffnote::audio::callback;
use cuffnote::audio::recorder::{Depth, Names, Recorder};
use cuffnote::clinical::event::Act;
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{Book, Keeper, VisitId, Writer};
use cuffnote::units::SampleRate;

use super::book::visit_of;

/// Where the killed program works; set only for it.
const FOLDER: &str = "CUFFNOTE_KILL_FOLDER";
/// The book that it merges; set only where it is to merge.
const OTHER: &str = "CUFFNOTE_KILL_OTHER";
const RATE_HZ: u32 = 8_000;

/// The program that is killed. As a test of its own it shows that it ends quietly without its folder.
#[test]
fn the_program_that_is_killed() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    if let Some(other) = std::env::var_os(OTHER) {
        Writer::open(&folder).unwrap().merge(Path::new(&other)).unwrap();
        say("merged");
        return;
    }
    let keeper = Keeper::start(&folder).unwrap();
    let open = Book::open(&folder).unwrap().book.unfinished().unwrap();
    let mut resumed = open.first().map(|row| (row.id, row.events));
    loop {
        let (visit, from) = resumed.take().unwrap_or_else(|| (keeper.begin(), 0));
        one_visit(&keeper, visit, from);
    }
}

/// Acts one after the other while sound is recorded; each is told once it is committed.
fn one_visit(keeper: &Keeper, visit: VisitId, from: u64) {
    let note = |n: u32| Act::Note { who: "op-1".into(), words: format!("note {n} äöü") };
    let acts = visit_of("TM-0142-7", (0..30).map(note).chain([Act::VisitClosed]).collect());
    let rate = SampleRate::new(RATE_HZ).unwrap();
    let (mut ear, readers) = callback::open(rate, 1, false);
    let begun = Instant::now();
    let mut recording = None;
    let mut heard = 0u64;
    let mut readers = Some(readers);
    for (n, event) in (1u64..).zip(acts).skip(from as usize) {
        let ticket = keeper.keep(visit, event.at, event.act.clone());
        while keeper.kept() < ticket {
            std::thread::yield_now();
        }
        say(&format!("act {visit} {n} {}", serde_json::to_string(&event.act).unwrap()));
        if let Some(readers) = readers.take() {
            let path = keeper.recording_file(visit, &format!("from-{from}.wav")).unwrap();
            if !path.exists() {
                let names = Names::new(&path);
                recording = Recorder::start(readers.recorder, &names, Depth::Bits16).ok();
                say(&format!("sound {}", path.display()));
            }
        }
        // The sound runs with the clock; a visit that is let live waits for it.
        let until = (begun.elapsed().as_secs_f64() * f64::from(RATE_HZ)) as u64;
        while heard + 80 <= until {
            ear.take(&[0.25f32; 80], 0, 0);
            heard += 80;
        }
        if std::env::var_os("CUFFNOTE_KILL_SLOW").is_some() {
            std::thread::sleep(Duration::from_millis(80));
        }
    }
    if let Some(mut recording) = recording {
        recording.finish();
    }
}

pub fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    writeln!(out, "\n@{line}").and_then(|()| out.flush()).unwrap();
}

fn start(folder: &Path, more: &[(&str, &Path)]) -> Child {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "book_kill::the_program_that_is_killed", "--nocapture"]);
    command.env(FOLDER, folder).stdout(Stdio::piped()).stderr(Stdio::null());
    command.envs(more.iter().copied());
    command.spawn().unwrap()
}

/// Lines that were told whole, until the program has ended.
pub fn told(child: &mut Child) -> Vec<String> {
    let mut bytes = Vec::new();
    child.stdout.take().unwrap().read_to_end(&mut bytes).unwrap();
    lines(&bytes)
}

/// Kills the program some time after its start, or after the first act that it told as committed.
fn killed(mut child: Child, after_first: bool, wait: Duration) -> Vec<String> {
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut bytes = Vec::new();
    while after_first && !bytes.windows(4).any(|part| part == b"@act") {
        if out.read_until(b'\n', &mut bytes).unwrap() == 0 {
            break;
        }
    }
    std::thread::sleep(wait);
    child.kill().unwrap();
    child.wait().unwrap();
    out.read_to_end(&mut bytes).unwrap();
    lines(&bytes)
}

fn lines(bytes: &[u8]) -> Vec<String> {
    let whole = bytes.iter().rposition(|b| *b == b'\n').map_or(0, |at| at + 1);
    let lines = BufReader::new(&bytes[..whole]).lines().map(Result::unwrap);
    lines.filter_map(|line| line.strip_prefix('@').map(str::to_owned)).collect()
}

/// A small generator: the instants need no more.
struct Instants(u64);

impl Instants {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

/// What was told to be committed, by visit and number.
pub type Committed = BTreeMap<(VisitId, u64), String>;

pub fn note(lines: Vec<String>, committed: &mut Committed, sounds: &mut Vec<PathBuf>) {
    for line in lines {
        if let Some(path) = line.strip_prefix("sound ") {
            sounds.push(path.into());
        } else if let Some(act) = line.strip_prefix("act ") {
            let (visit, rest) = act.split_once(' ').unwrap();
            let (n, json) = rest.split_once(' ').unwrap();
            committed.insert((visit.parse().unwrap(), n.parse().unwrap()), json.into());
        }
    }
}

pub fn hold_against(folder: &Path, committed: &Committed, sounds: &[PathBuf]) {
    let book = Book::open(folder).unwrap().book;
    let mut events = BTreeMap::new();
    for (visit, _) in committed.keys() {
        events.entry(*visit).or_insert_with(|| book.events(*visit).unwrap());
    }
    for ((visit, n), json) in committed {
        let event = &events[visit][*n as usize - 1];
        assert_eq!((event.n, &serde_json::to_string(&event.act).unwrap()), (*n, json));
    }
    for events in events.values() {
        Visit::from_events(events).unwrap();
    }
    let checked = book.check(&[]).unwrap();
    assert_eq!(checked.damage, []);
    for path in sounds {
        let wav = hound::WavReader::open(path);
        let mut wav = wav.unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        assert!(wav.samples::<i16>().all(|sample| sample.is_ok()), "{}", path.display());
    }
}

#[test]
fn no_committed_act_is_lost_however_often_the_program_is_killed() {
    let kills: u64 =
        std::env::var("CUFFNOTE_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(300);
    let mut instants = Instants(0x9E37_79B9_7F4A_7C15);
    let (mut acts, mut files, mut resumed) = (0, 0, 0);
    let mut done = 0;
    while done < kills {
        // A new book now and then keeps the last check short.
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("book");
        let (mut committed, mut sounds) = (Committed::new(), Vec::new());
        for _ in 0..25.min(kills - done) {
            let before = committed.len();
            // Every third while the book is opened or made, the others while acts are kept.
            let after_first = done % 3 != 0;
            let wait =
                Duration::from_micros(instants.below(if after_first { 20_000 } else { 60_000 }));
            let lines = killed(start(&place, &[]), after_first, wait);
            note(lines, &mut committed, &mut sounds);
            if place.join("book.sqlite").exists() {
                hold_against(&place, &committed, &sounds);
            }
            resumed += usize::from(before > 0 && committed.len() > before);
            done += 1;
        }
        (acts, files) = (acts + committed.len(), files + sounds.len());
    }
    println!("{kills} kills: {acts} acts committed, {files} recordings, {resumed} times gone on");
    assert!(acts > 0 && files > 0 && resumed > 0, "the kills came too early: {acts} {files}");
}

#[test]
fn sound_is_on_the_disk_within_a_second() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("book");
    let mut child = start(&place, &[("CUFFNOTE_KILL_SLOW", Path::new("1"))]);
    std::thread::sleep(Duration::from_millis(2_600));
    child.kill().unwrap();
    child.wait().unwrap();
    let (mut committed, mut sounds) = (Committed::new(), Vec::new());
    note(told(&mut child), &mut committed, &mut sounds);
    hold_against(&place, &committed, &sounds);
    // Acts came 80 ms apart while the sound ran: what is older than the last header is there. Half of it is
    // asked for, since a busy machine starts late.
    let frames = hound::WavReader::open(&sounds[0]).unwrap().duration();
    let ran_s = 0.08 * committed.len() as f64;
    let kept_s = f64::from(frames) / f64::from(RATE_HZ);
    assert!(kept_s >= (ran_s - 1.2).max(0.0), "{kept_s} s of {ran_s} s");
}

#[test]
fn an_interrupted_merge_leaves_the_book_as_it_was_or_takes_it_all() {
    let folder = tempfile::tempdir().unwrap();
    let other = folder.path().join("other");
    let keeper = Keeper::start(&other).unwrap();
    for n in 0..40 {
        let visit = keeper.begin();
        let _ = super::book::keep_all(
            &keeper,
            visit,
            &visit_of(&format!("R-{n}"), vec![Act::VisitClosed]),
        );
        let path = keeper.recording_file(visit, "a.wav").unwrap();
        std::fs::write(&path, vec![n as u8; 60_000]).unwrap();
        keeper.recorded(visit, path, 1, None);
    }
    keeper.finish().unwrap();
    let theirs = Book::open(&other).unwrap().book.head().unwrap().entries;
    let mut instants = Instants(7);
    let (mut whole, mut none) = (0, 0);
    for round in 0..25 {
        let place = folder.path().join(format!("book-{round}"));
        let visit = VisitId::new();
        let mut writer = Writer::open(&place).unwrap();
        for event in visit_of("OWN", vec![Act::VisitClosed]) {
            writer.keep(visit, event.at, event.act).unwrap();
        }
        drop(writer);
        let before = Book::open(&place).unwrap().book.head().unwrap();
        let mut child = start(&place, &[(OTHER, &other)]);
        std::thread::sleep(Duration::from_micros(3_000 + instants.below(60_000)));
        child.kill().unwrap();
        child.wait().unwrap();
        // The next opening for writing ends or clears what was cut short.
        drop(Writer::open(&place).unwrap());
        let book = Book::open(&place).unwrap().book;
        let checked = book.check(std::slice::from_ref(&before.hash)).unwrap();
        assert_eq!(checked.damage, []);
        if book.head().unwrap() == before {
            assert_eq!((checked.visits, checked.entries), (1, before.entries));
            none += 1;
        } else {
            assert_eq!((checked.visits, checked.recordings), (41, 40));
            assert_eq!(checked.entries, before.entries + theirs + 1);
            whole += 1;
        }
        assert!(!place.join("incoming").exists());
    }
    println!("merges killed: {none} left nothing, {whole} had done all");
    assert!(none > 0, "no merge was interrupted");
}
