//! The demonstration as a whole program: what it writes, and that its findings come from sound.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use cuffnote::clinical::guidance;
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::logbook::{Book, Search};
use cuffnote::report::json;
use serde_json::Value;

fn cuffnote() -> Command {
    Command::cargo_bin("cuffnote").unwrap()
}

fn shipped() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures")
}

/// What one run of the demonstration left.
struct Ran {
    folder: tempfile::TempDir,
    told: String,
}

impl Ran {
    fn on(recordings: &Path) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let run = cuffnote()
            .args(["demo", "--out", out.to_str().unwrap()])
            .args(["--recordings", recordings.to_str().unwrap()])
            .assert()
            .success();
        let told = String::from_utf8(run.get_output().stdout.clone()).unwrap();
        Self { folder, told }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join("out").join(name)
    }

    fn visit(&self) -> Value {
        serde_json::from_slice(&fs::read(self.path("visit.json")).unwrap()).unwrap()
    }

    fn report(&self) -> String {
        fs::read_to_string(self.path("report.html")).unwrap()
    }
}

/// The shipped visit with one recording changed; its truth stays beside it.
fn with(file: &str, change: impl Fn(&mut Vec<u8>)) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for entry in fs::read_dir(shipped()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if name.starts_with("visit-") {
            fs::copy(&path, folder.path().join(name)).unwrap();
        }
    }
    let path = folder.path().join(file);
    let mut bytes = fs::read(&path).unwrap();
    change(&mut bytes);
    fs::write(&path, bytes).unwrap();
    folder
}

fn silence(bytes: &mut [u8]) {
    bytes[44..].fill(0);
}

#[test]
fn the_whole_job_gives_two_indexes_a_report_and_a_record() {
    let ran = Ran::on(&shipped());
    let visit = ran.visit();
    assert_eq!((&visit["format"], &visit["version"]), (&"cuffnote-visit".into(), &1.into()));
    assert_eq!(visit["result"]["closed"], true);
    for side in ["right", "left"] {
        let leg = &visit["result"][side];
        let [index, low, high] = ["index", "low", "high"].map(|k| leg[k].as_f64().unwrap());
        assert!(low <= index && index <= high, "{side}: {low} {index} {high}");
        for text in [format!("{index:.2}"), format!("{low:.2} to {high:.2}")] {
            assert!(ran.told.contains(&text), "the terminal lacks {text}");
            assert!(ran.report().contains(&text), "the report lacks {text}");
        }
        for band in leg["bands"].as_array().unwrap() {
            let words = band["words"].as_str().unwrap().split_once(" for index").unwrap().1;
            let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat(&ran.told).contains(&flat(words)), "the terminal lacks: {words}");
        }
    }
    let book = Book::open(&ran.path("book")).unwrap().book;
    let rows = book.visits(&Search::default()).unwrap();
    assert_eq!((rows.len(), rows[0].record.as_str(), rows[0].closed), (1, "TM-0142-7", true));
    assert_eq!(serde_json::to_value(book.events(rows[0].id).unwrap()).unwrap(), visit["events"]);
    let checked = book.check(&[book.head().unwrap().hash]).unwrap();
    assert_eq!((checked.damage, checked.notes, checked.recordings), (vec![], vec![], 7));
    assert!(ran.report().contains(&book.head().unwrap().hash), "the report names the head");
}

/// Each reading lies where a tap 0.4 s late must find the cuff: the true pressure at the first audible
/// pulse, less the fall until the tap, within one division of the gauge and one mmHg of unsteady bleed.
#[test]
fn each_reading_follows_the_sound_of_its_own_recording() {
    let visit = Ran::on(&shipped()).visit();
    let sites = visit["result"]["sites"].as_array().unwrap();
    let mut seen = 0;
    for (site, attempt) in
        sites.iter().flat_map(|s| s["attempts"].as_array().unwrap().iter().map(move |a| (s, a)))
    {
        let again = if attempt["number"] == 7 { "-again" } else { "" };
        let name = format!("visit-{}{again}.json", site["site"].as_str().unwrap());
        let truth: Value =
            serde_json::from_slice(&fs::read(shipped().join(name)).unwrap()).unwrap();
        let audible_s = truth["audible_s"].as_f64().unwrap();
        let heard_s = attempt["heard"]["return_s"].as_f64().unwrap();
        assert!((heard_s - audible_s).abs() < 0.1, "{site}: {heard_s} and {audible_s}");
        let above = truth["audible_mmhg"].as_f64().unwrap() - attempt["mmhg"].as_f64().unwrap();
        assert!((-1.0..=1.2 + 1.0 + 1.0).contains(&above), "{site}: {above} mmHg");
        seen += 1;
    }
    assert_eq!(seen, 7);
}

#[test]
fn a_silenced_recording_is_no_signal_and_the_other_artery_counts() {
    let whole = Ran::on(&shipped()).visit();
    assert_eq!(whole["result"]["right"]["ankle_site"], "right-pt");
    let recordings = with("visit-right-pt.wav", |bytes| silence(bytes));
    let ran = Ran::on(recordings.path());
    let visit = ran.visit();
    assert_eq!(visit["result"]["right"]["ankle_site"], "right-dp");
    assert!(
        visit["result"]["right"]["index"].as_f64() < whole["result"]["right"]["index"].as_f64()
    );
    assert_eq!(visit["result"]["left"], whole["result"]["left"]);
    assert!(ran.report().contains("No signal found"));
    assert!(ran.told.contains("no signal found"));
}

#[test]
fn without_a_signal_in_either_artery_there_is_no_index_but_a_red_flag_first() {
    let one = with("visit-left-pt.wav", |bytes| silence(bytes));
    silence_file(&one.path().join("visit-left-dp.wav"));
    let ran = Ran::on(one.path());
    let leg = &ran.visit()["result"]["left"];
    assert!(leg["index"].is_null() && leg["bands"].as_array().unwrap().is_empty());
    let report = ran.report();
    let flag = report.find("Red flag, above every number").unwrap();
    assert!(flag < report.find("In short").unwrap());
    assert!(report.contains("this does not mean an index of zero"));
    assert!(!report.contains("0.00"));
}

fn silence_file(path: &Path) {
    let mut bytes = fs::read(path).unwrap();
    silence(&mut bytes);
    fs::write(path, bytes).unwrap();
}

/// A recording that ends while the cuff is still closed gives no reading.
#[test]
fn a_pulse_that_does_not_come_back_is_not_measured() {
    let recordings = with("visit-left-dp.wav", |bytes| {
        let twelve_seconds = 44 + 12 * 16_000 * 2;
        bytes[twelve_seconds..].fill(0);
    });
    let visit = Ran::on(recordings.path()).visit();
    assert_eq!(visit["result"]["left"]["ankle_site"], "left-pt");
    let sites = visit["result"]["sites"].as_array().unwrap();
    let site = sites.iter().find(|s| s["site"] == "left-dp").unwrap();
    assert!(site["outcome"].as_str().unwrap().starts_with("not measured"), "{}", site["outcome"]);
}

#[test]
fn what_cannot_be_read_is_named_and_the_rest_is_done() {
    let recordings = with("visit-right-dp.wav", |bytes| bytes.truncate(20));
    let folder = tempfile::tempdir().unwrap();
    let run = cuffnote()
        .args(["demo", "--out", folder.path().to_str().unwrap()])
        .args(["--recordings", recordings.path().to_str().unwrap()])
        .assert()
        .code(1);
    let named = String::from_utf8_lossy(&run.get_output().stderr).into_owned();
    assert!(named.contains("visit-right-dp.wav"), "{named}");
    assert!(folder.path().join("report.html").exists());
}

#[test]
fn the_record_makes_the_same_result_again_and_the_same_report_verb_works() {
    let ran = Ran::on(&shipped());
    let bytes = fs::read(ran.path("visit.json")).unwrap();
    let events = json::events(&bytes).unwrap();
    let visit = Visit::from_events(&events).unwrap();
    let sets = ["nice-cks", "acc-aha-2024"].map(|id| guidance::shipped(id).unwrap().unwrap());
    let again = work_out(&visit, &sets, Assumed::default());
    assert_eq!(serde_json::to_value(&again).unwrap(), ran.visit()["result"]);
    let written = json::visit("a service", None, &again, &events).unwrap();
    assert_eq!(json::events(&written).unwrap(), events);
    let out = ran.path("again.html");
    cuffnote()
        .args(["report".as_ref(), ran.path("visit.json").as_os_str()])
        .arg("--out")
        .arg(&out)
        .args(["--guidance", "nice-cks"])
        .assert()
        .success();
    assert!(fs::read_to_string(&out).unwrap().contains("TM-0142"));
}

#[test]
fn an_earlier_demonstration_stays_in_the_book() {
    let folder = tempfile::tempdir().unwrap();
    let demo = || {
        let mut run = cuffnote();
        run.current_dir(env!("CARGO_MANIFEST_DIR"));
        run.args(["demo", "--out", folder.path().to_str().unwrap()]);
        run
    };
    demo().assert().success();
    // Its report would be replaced: only where that is asked for, and a refused one leaves no half visit.
    demo().assert().code(1);
    demo().arg("--force").assert().success();
    let book = Book::open(&folder.path().join("book")).unwrap().book;
    assert_eq!(book.visits(&Search::default()).unwrap().len(), 2);
}

#[test]
fn a_report_of_a_file_keeps_the_service_that_it_names_and_takes_paper_from_the_settings() {
    let ran = Ran::on(&shipped());
    let mut visit: serde_json::Value =
        serde_json::from_slice(&fs::read(ran.path("visit.json")).unwrap()).unwrap();
    visit["service"] = "Weir foot service (invented)".into();
    fs::write(ran.path("named.json"), visit.to_string()).unwrap();
    visit["service"] = "".into();
    fs::write(ran.path("nameless.json"), visit.to_string()).unwrap();
    let settings =
        "version = 1\n[service]\nname = \"Mill clinic (invented)\"\n[report]\npaper = \"letter\"\n";
    fs::write(ran.path("settings.toml"), settings).unwrap();
    let report = |from: &str, out: &str, more: &[&str]| {
        let out = ran.path(out);
        let mut command = cuffnote();
        command.env("CUFFNOTE_SETTINGS", ran.path("settings.toml"));
        command.arg("report").arg(ran.path(from)).arg("--out").arg(&out).args(more);
        command.assert().success();
        fs::read(out).unwrap()
    };
    let has =
        |bytes: &[u8], words: &str| bytes.windows(words.len()).any(|at| at == words.as_bytes());
    let (weir, mill) = ("Weir foot service (invented)", "Mill clinic (invented)");
    let page = report("named.json", "named.html", &[]);
    assert!(has(&page, weir) && !has(&page, mill), "the file's own");
    assert!(has(&report("nameless.json", "nameless.html", &[]), mill), "else the settings'");
    let asked = report("named.json", "asked.html", &["--service", "Another"]);
    assert!(has(&asked, "Another") && !has(&asked, weir), "unless another is asked for");
    // Points of US Letter and of ISO 216 A4.
    assert!(has(&report("named.json", "a.pdf", &[]), "[0 0 612 792]"));
    assert!(has(&report("named.json", "b.pdf", &["--paper", "A4"]), "595.28"));
}
