//! Practice as a whole: scripted students and tables on the command line, drills in the window in virtual time.

use std::path::Path;

use assert_cmd::Command;
use cuffnote::window::model::answers::DrillOutcome;
use cuffnote::window::model::running::Running;
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;
use serde_json::Value;

use super::window::{Bedside, known};

fn run(words: &[&str]) -> Value {
    let run = Command::cargo_bin("cuffnote").unwrap().args(words).assert().success();
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

#[test]
fn a_scripted_student_is_scored_at_its_own_lag_and_spread() {
    for (student, bias, sd) in
        [("bias_ms=300,sd_ms=80", 300.0, 80.0), ("bias_ms=150,sd_ms=40", 150.0, 40.0)]
    {
        let found =
            run(&["practise", "--scripted", student, "--count", "40", "--seed", "7", "--json"]);
        assert_eq!(found["count"], 40);
        let drills = found["drills"].as_array().unwrap();
        // Four standard errors, by normal theory.
        let off = (found["bias_ms"].as_f64().unwrap() - bias).abs();
        assert!(off < 4.0 * sd / 40.0_f64.sqrt(), "{off}");
        let off = (found["sd_ms"].as_f64().unwrap() - sd).abs();
        assert!(off < 4.0 * sd / 78.0_f64.sqrt(), "{off}");
        assert!(found["bias_mmhg"].as_f64().unwrap() < 0.0);
        for drill in drills {
            let of = |name: &str| drill[name].as_f64().unwrap();
            assert!((of("error_ms") - 1000.0 * (of("tap_s") - of("truth_s"))).abs() < 1e-6);
            assert!((of("error_mmhg") - (of("reading_mmhg") - of("truth_mmhg"))).abs() < 1e-9);
        }
        let again =
            run(&["practise", "--scripted", student, "--count", "1", "--seed", "7", "--json"]);
        assert_eq!(again["drills"][0], drills[0], "the same seed gives the same drill");
    }
}

/// Shrout & Fleiss 1979, table 2, by way of a file: 0.17, 0.29, 0.71.
#[test]
fn a_table_of_readers_gives_the_published_coefficients() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("readers.csv");
    let table =
        "record,a,b,c,d\n1,9,2,5,8\n2,6,1,3,2\n3,8,4,6,8\n4,7,1,2,6\n5,10,5,6,9\n6,6,2,4,7\n";
    std::fs::write(&file, table).unwrap();
    let found = run(&["agree", "--csv", file.to_str().unwrap(), "--json"]);
    for (name, printed) in [("icc1", 0.17), ("icc2", 0.29), ("icc3", 0.71)] {
        let value = found["icc"][name].as_f64().unwrap();
        assert!((value - printed).abs() < 0.005, "{name} {value}");
    }
    // a less b: 7 5 4 6 5 4, by hand: mean 31/6, SD 1.1690.
    let limits = &found["bland_altman"];
    assert!((limits["bias"].as_f64().unwrap() - 31.0 / 6.0).abs() < 1e-9);
    assert!((limits["sd"].as_f64().unwrap() - 1.169_045).abs() < 1e-5);
    assert_eq!(found["pairs"].as_array().unwrap().len(), 6);
}

/// A window on practice.
pub fn practice(folder: &Path) -> Bedside {
    let mut bedside = Bedside::new(folder, "visit", known(vec![]), vec2(1280.0, 900.0));
    bedside.click("Practise");
    bedside.write("Code of the student, never a name", "S-07");
    bedside
}

pub fn running(bedside: &Bedside) -> &Running {
    bedside.model().practice.running.as_ref().unwrap()
}

pub fn outcome(bedside: &Bedside) -> DrillOutcome {
    running(bedside).drill.as_ref().unwrap().outcome.clone().unwrap()
}

/// What is told of it, in English.
pub fn told(bedside: &Bedside) -> Vec<String> {
    outcome(bedside).said(Words::english())
}

/// What practice said last, in English.
pub fn notice(bedside: &Bedside) -> String {
    let said = bedside.model().practice.said.clone();
    said.map(|said| said.said(Words::english())).unwrap_or_default()
}

/// Closes the artery and lets the cuff down slowly, always in the same way.
fn work_the_cuff(bedside: &mut Bedside) {
    bedside.click("3 drills");
    bedside.click("Begin the lesson");
    bedside.wait(3.0);
    for _ in 0..10 {
        bedside.key(Key::B);
        bedside.wait(0.4);
    }
    bedside.wait(1.0);
    for _ in 0..8 {
        bedside.key(Key::ArrowUp);
    }
}

#[test]
fn late_on_purpose_by_two_beats_is_said_as_two_beats() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    work_the_cuff(&mut bedside);
    bedside.wait(60.0);
    bedside.key(Key::X);
    bedside.until(2.0, "the truth", |m| {
        m.practice.running.as_ref().unwrap().session.drills.len() == 1
    });
    let missed = outcome(&bedside);
    let truth_s = missed.marks.truth_s.unwrap();
    let words = told(&bedside);
    assert!(!missed.done.passed() && words[0].contains("you did not tap"), "{words:?}");

    // The same lesson in the same hands is the same sound, so the truth is known now.
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    work_the_cuff(&mut bedside);
    let beat_s = 60.0 / running(&bedside).drill.as_ref().unwrap().set.case.heart_rate_bpm;
    let late_s = 2.0 * beat_s + 0.2;
    bedside.until(90.0, "the third pulse", |m| {
        let drill = m.practice.running.as_ref().unwrap().drill.as_ref().unwrap();
        drill.snapshot.sound_s >= truth_s + late_s
    });
    bedside.window.get_by_label("gauge");
    let needle = running(&bedside).drill.as_ref().unwrap().gauge_mmhg().unwrap();
    bedside.key(Key::Space);
    bedside.wait(5.0);
    bedside.digits(&format!("{needle:.0}"));
    bedside.key(Key::Enter);
    bedside.until(2.0, "the score", |m| {
        m.practice.running.as_ref().unwrap().session.drills.len() == 1
    });
    let found = outcome(&bedside);
    let score = found.done.score.clone().unwrap();
    assert_eq!(score.beats_late, 2, "{score:?}");
    assert!((score.error_ms - 1000.0 * late_s).abs() < 120.0, "{score:?}");
    assert!((found.marks.truth_s.unwrap() - truth_s).abs() < 0.01, "it replays exactly");
    let (tap_mmhg, off) = (score.tap_mmhg.unwrap(), score.error_mmhg.unwrap());
    assert!((tap_mmhg - needle).abs() < 1.0 && off < 0.0, "{score:?}");
    let words = told(&bedside);
    assert!(words[0].contains("two beats late"), "{words:?}");
    bedside.window.get_by_label("the sound with the truth and your tap");
    bedside.window.get_by_label(&words[0]);
    bedside.click("Next");
    assert_eq!(running(&bedside).session.drills.len(), 1);
    let class = std::fs::read_to_string(folder.path().join("practice/class.jsonl")).unwrap();
    assert!(class.contains("\"student\":\"S-07\""), "{class}");
}

#[test]
fn a_plain_lesson_that_is_an_examination_asks_for_the_teachers_word_and_is_sealed() {
    let folder = tempfile::tempdir().unwrap();
    let lesson = folder.path().join("exam.toml");
    let text = "version = 1\nname = \"Spring\"\nfeedback = \"hidden\"\n[[drill]]\nname = \"one way only\"\n\
                kind = \"waveform\"\ncase.artery = \"monophasic\"\n[[drill]]\nkind = \"regularity\"\n\
                case.rhythm = \"fibrillation\"\n";
    std::fs::write(&lesson, text).unwrap();
    let mut bedside = practice(folder.path());
    bedside.write("Teacher's lesson file", lesson.to_str().unwrap());
    bedside.click("Begin the teacher's lesson");
    bedside.window.get_by_label("The teacher's word needs 12 letters or more");
    bedside.write("Teacher's word, which opens what is done", "lantern orchard seven");
    bedside.click("Begin the teacher's lesson");
    bedside.wait(4.0);
    bedside.click("monophasic");
    bedside.wait(0.5);
    assert_eq!(running(&bedside).session.drills.len(), 1);
    bedside.window.get_by_label("Kept.");
    bedside.click("Next");
    bedside.wait(4.0);
    bedside.click("regular");
    bedside.wait(0.5);
    bedside.click("Next");
    assert!(running(&bedside).over);
    let drills = &running(&bedside).session.drills;
    assert_eq!((drills[0].passed(), drills[1].passed()), (true, false));
    let file = format!("examination-{}.sealed", running(&bedside).session.id);
    let seen = super::privacy::owner_alone(folder.path(), &["exam.toml"]);
    assert!(["class.jsonl", &file].iter().all(|n| seen.contains(&(*n).to_owned())));
}

#[test]
fn pumping_too_high_is_said_by_the_patient_and_two_ears_hide_their_taps() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    bedside.click("two ears");
    work_the_cuff(&mut bedside);
    for _ in 0..8 {
        bedside.key(Key::B);
        bedside.wait(0.4);
    }
    let drill = running(&bedside).drill.as_ref().unwrap();
    assert!(drill.says.is_some_and(|said| said.contains("tight") || said.contains("hurts")));
    bedside.wait(70.0);
    bedside.key(Key::T);
    bedside.wait(2.0);
    bedside.key(Key::Space);
    bedside.digits("118");
    bedside.key(Key::Enter);
    let drill = running(&bedside).drill.as_ref().unwrap();
    assert!(drill.outcome.is_none(), "the teacher's reading is still to come");
    bedside.digits("122");
    bedside.key(Key::Enter);
    bedside.until(2.0, "both", |m| m.practice.running.as_ref().unwrap().session.drills.len() == 1);
    let said = told(&bedside);
    assert!(said[0].starts_with("Student less teacher") && said[0].contains("-4 mmHg"), "{said:?}");
}

#[test]
fn class_files_are_gathered_into_one_page() {
    let folder = tempfile::tempdir().unwrap();
    let mut files = Vec::new();
    for (student, begun) in [("S-07", "2027-01-05T10:00:00Z"), ("S-08", "2027-01-05T11:00:00Z")] {
        let session = serde_json::json!({
            "v": 1, "id": student, "student": student, "lesson": "Monday", "begun": begun,
            "drills": [{ "case": "fibrillating", "kind": "regularity", "seed": 1,
                         "answer": if student == "S-07" { "irregular" } else { "regular" }, "right": "irregular" }],
        });
        let file = folder.path().join(format!("{student}.jsonl"));
        std::fs::write(&file, format!("{session}\n")).unwrap();
        files.push(file.to_str().unwrap().to_owned());
    }
    let (out, page) = (folder.path().join("all.jsonl"), folder.path().join("class.html"));
    let (out, page) = (out.to_str().unwrap(), page.to_str().unwrap());
    // The first file twice: a union does not count it twice.
    let said = run(&[
        "practise", "--class", &files[0], &files[1], &files[0], "--out", out, "--page", page,
        "--json",
    ]);
    assert_eq!(said["cases"][0]["done"], 2);
    assert_eq!(said["cases"][0]["passed"], 1);
    assert_eq!(std::fs::read_to_string(out).unwrap().lines().count(), 2);
    let page = std::fs::read_to_string(page).unwrap();
    assert!(page.contains("S-07") && page.contains("S-08") && page.contains("fibrillating"));
    for said in ["Where each stands", "Of irregular sounds you called: irregular 1, regular 1."] {
        assert!(page.contains(said), "{said}");
    }
    let folder = folder.path().to_str().unwrap();
    let again = run(&["practise", "--class", folder, "--json"]);
    assert_eq!(
        again["cases"], said["cases"],
        "a folder is its class files, their gathered one among them"
    );
    let fault = Command::cargo_bin("cuffnote").unwrap().arg("practise").assert().failure();
    assert!(String::from_utf8_lossy(&fault.get_output().stderr).contains("--scripted"));
}
