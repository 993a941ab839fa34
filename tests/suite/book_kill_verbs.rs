//! Kill -9 at random instants of a backup, a deletion, a sync, a merge, a take-over: nothing acknowledged is lost, no
//! text lies where it should not, and the same verb once more ends what was cut.
//!
//! This test binary runs itself as the program that is killed. `CUFFNOTE_KILLS=10000 cargo test --release --test suite
//! book_kill_verbs` kills more often.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use cuffnote::clinical::event::Act;
use cuffnote::clinical::visit::Visit;
use cuffnote::logbook::{Book, Forget, Keeper, Passphrase, Search, VisitId, Writer};

use super::book::{keep_all, visit_of, wait_for};
use super::book_leaks::holding;
use super::laptops::Chance;

const VERB: &str = "CUFFNOTE_KILL_VERB";
const VERBS: [&str; 5] = ["backup", "forget", "sync", "merge", "take-over"];
/// Words that stand in one visit only.
const SECRET: &str = "seventeen herons on the weir";
const WORD: &str = "four herons count eleven slow barges";

/// The program that is killed; without its verb it does nothing.
#[test]
fn the_verb_that_is_killed() {
    let Some(verb) = std::env::var_os(VERB) else { return };
    let place = PathBuf::from(std::env::var_os("CUFFNOTE_KILL_PLACE").unwrap());
    let visit: VisitId = std::env::var("CUFFNOTE_KILL_VISIT").unwrap().parse().unwrap();
    let book = place.join("book");
    let at = visit_of("x", vec![])[0].at;
    match verb.to_str().unwrap() {
        "backup" => {
            let secret = Passphrase::new(WORD).unwrap();
            Book::open(&book).unwrap().book.backup(&place.join("b.age"), Some(&secret)).unwrap();
        }
        "forget" => {
            Writer::open(&book).unwrap().forget(visit, Forget::Visit, "op", "asked").unwrap()
        }
        "sync" => drop(Writer::open(&book).unwrap().sync(&place.join("stick")).unwrap()),
        "merge" => drop(Writer::open(&book).unwrap().merge(&place.join("other")).unwrap()),
        _ => {
            let act = Act::TakenOver { who: "op".into(), why: "broken".into() };
            Writer::open(&book).unwrap().keep(visit, at, act).unwrap();
        }
    }
    super::book_kill::say("done");
}

/// A book with closed visits, one with the secret words and a recording, and another's open visit.
fn made(place: &Path) -> (VisitId, VisitId) {
    let (own, other) = (place.join("book"), place.join("other"));
    let keeper = Keeper::start(&other).unwrap();
    let open = keeper.begin();
    wait_for(&keeper, keep_all(&keeper, open, &visit_of("O-1", Vec::new())));
    for n in 0..6 {
        let visit = keeper.begin();
        let _ = keep_all(&keeper, visit, &visit_of(&format!("O-{n}"), vec![Act::VisitClosed]));
        let path = keeper.recording_file(visit, "a.wav").unwrap();
        std::fs::write(&path, vec![n as u8; 40_000]).unwrap();
        keeper.recorded(visit, path, 1, None);
    }
    keeper.finish().unwrap();
    let keeper = Keeper::start(&own).unwrap();
    let secret = keeper.begin();
    let note = Act::Note { who: "op".into(), words: SECRET.into() };
    let _ = keep_all(&keeper, secret, &visit_of("S-1", vec![note, Act::VisitClosed]));
    let path = keeper.recording_file(secret, "a.wav").unwrap();
    std::fs::write(&path, SECRET.repeat(2_000)).unwrap();
    keeper.recorded(secret, path, 1, None);
    keeper.finish().unwrap();
    let mut writer = Writer::open(&own).unwrap();
    writer.merge(&other).unwrap();
    drop(writer);
    std::fs::create_dir(place.join("stick")).unwrap();
    Writer::open(&other).unwrap().sync(&place.join("stick")).unwrap();
    (secret, open)
}

fn start(verb: &str, place: &Path, visit: VisitId) -> std::process::Child {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "book_kill_verbs::the_verb_that_is_killed", "--nocapture"]);
    command.env(VERB, verb).env("CUFFNOTE_KILL_PLACE", place);
    command.env("CUFFNOTE_KILL_VISIT", visit.to_string());
    command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

/// What must hold after a kill, and after the same verb once more.
fn held(verb: &str, place: &Path, secret: VisitId, open: VisitId) {
    let book = place.join("book");
    // No plain text of a backup anywhere, before anything is cleared.
    if verb == "backup" {
        for path in holding(place, SECRET) {
            let inside = path.starts_with(&book) || path.starts_with(place.join("stick"));
            assert!(inside && !path.to_string_lossy().contains("backup"), "{}", path.display());
        }
    }
    let mut writer = Writer::open(&book).unwrap();
    let check = || {
        let opened = Book::open(&book).unwrap().book;
        assert_eq!(opened.check(&[]).unwrap().damage, [], "{verb}");
        for row in opened.visits(&Search::default()).unwrap() {
            Visit::read(&opened.events(row.id).unwrap()).unwrap();
        }
        opened
    };
    let opened = check();
    match verb {
        "forget" if opened.events(secret).is_err() => {
            drop(opened);
            assert_eq!(holding(&book, SECRET), Vec::<PathBuf>::new(), "what was deleted is gone");
        }
        "forget" => {
            drop(opened);
            writer.forget(secret, Forget::Visit, "op", "asked").unwrap();
            assert_eq!(holding(&book, SECRET), Vec::<PathBuf>::new());
        }
        "sync" => {
            writer.sync(&place.join("stick")).unwrap();
            let mut other = Writer::open(&place.join("other")).unwrap();
            let synced = other.sync(&place.join("stick")).unwrap();
            assert_eq!(synced.failed, Vec::<String>::new());
            assert!(Book::open(&place.join("other")).unwrap().book.events(secret).is_ok());
        }
        "merge" => drop(writer.merge(&place.join("other")).unwrap()),
        "take-over" => {
            let at = visit_of("x", vec![])[0].at;
            let act = Act::TakenOver { who: "op".into(), why: "broken".into() };
            // Kept before the kill, or now.
            let _ = writer.keep(open, at, act);
            writer.keep(open, at, Act::VisitClosed).unwrap();
        }
        _ => drop(opened.backup(&place.join("again.age"), Passphrase::new(WORD).as_ref()).unwrap()),
    }
    check();
    assert!(!book.join("incoming").exists());
}

/// How long a verb takes on this machine where nobody kills it, microseconds: kills are drawn over that time.
fn takes_us(verb: &str, root: &Path) -> u32 {
    let place = tempfile::Builder::new().tempdir_in(root).unwrap();
    let (secret, open) = made(place.path());
    let begun = Instant::now();
    let visit = if verb == "take-over" { open } else { secret };
    assert!(start(verb, place.path(), visit).wait().unwrap().success(), "{verb} does its work");
    u32::try_from(begun.elapsed().as_micros()).unwrap()
}

#[test]
fn a_killed_verb_loses_nothing_and_is_ended_by_the_same_verb() {
    let kills: u32 =
        std::env::var("CUFFNOTE_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(40);
    // CUFFNOTE_FROM begins with another chance.
    let from = std::env::var("CUFFNOTE_FROM").ok().and_then(|n| n.parse().ok());
    let mut chance = Chance(5 + from.unwrap_or(0));
    let (mut ended, begun) = ([0; 5], Instant::now());
    let memory = Path::new("/dev/shm");
    let root = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    let longest = VERBS.map(|verb| takes_us(verb, &root));
    for kill in 0..kills {
        let place = tempfile::Builder::new().tempdir_in(&root).unwrap();
        let (secret, open) = made(place.path());
        let which = kill as usize % VERBS.len();
        let visit = if VERBS[which] == "take-over" { open } else { secret };
        let mut child = start(VERBS[which], place.path(), visit);
        std::thread::sleep(Duration::from_micros(u64::from(chance.below(longest[which]))));
        ended[which] += u32::from(child.try_wait().unwrap().is_some());
        child.kill().unwrap();
        child.wait().unwrap();
        held(VERBS[which], place.path(), secret, open);
    }
    println!(
        "{kills} kills in {:.0} s; ended before the kill, by verb: {VERBS:?} {ended:?}",
        begun.elapsed().as_secs_f64()
    );
    assert!(ended.iter().sum::<u32>() < kills, "every kill came too late");
}
