//! The first lesson of docs/teaching.md, minute by minute, as a first-time student does it in the window in virtual time; what
//! came of it is heard again at its end, a sound of one's own is tried, and the class is looked at.

use std::path::Path;

use cuffnote::live::Piece;
use cuffnote::practice::score::Score;
use cuffnote::window::model::action::{Action, PractiseAct, TryAct};
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;

use super::practise::{outcome, practice, running};
use super::window::{Bedside, known};

fn picture(bedside: &mut Bedside, name: &str) {
    if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
        std::fs::create_dir_all(&out).unwrap();
        bedside.picture(&Path::new(&out).join(format!("{name}.png")));
    }
}

/// Three drills with a word to choose; whether the word is right is the student's own affair.
fn words(bedside: &mut Bedside, kind: &str, word: &str) {
    bedside.click(kind);
    bedside.click("3 drills");
    bedside.click("Begin the lesson");
    let name = kind.to_lowercase().replace(' ', "-");
    for drill in 1..=3 {
        bedside.wait(5.0);
        if drill == 1 {
            picture(bedside, &format!("first-lesson-{name}-1-asked"));
        }
        bedside.click(word);
        bedside.wait(0.5);
        assert!(outcome(bedside).done.right.is_some());
        bedside.window.get_by_label("the sound, to be heard again");
        if drill == 1 {
            picture(bedside, &format!("first-lesson-{name}-2-told"));
        }
        bedside.key(Key::Enter);
    }
    assert!(running(bedside).over);
    picture(bedside, &format!("first-lesson-{name}-3-over"));
    bedside.key(Key::Enter);
}

/// One deflation by the steps of the page: free pulse, squeeze until it is gone and twice more, open, tap `beats` after the
/// pressure at which this patient's pulse comes back, read the needle, let go, type.
fn deflate(bedside: &mut Bedside, beats: f64, shown: Option<&str>) -> Score {
    let drill = |b: &Bedside| running(b).drill.as_ref().unwrap().set.case.clone();
    let case = drill(bedside);
    let gauge = |b: &Bedside| running(b).drill.as_ref().unwrap().gauge_mmhg().unwrap();
    let taken = |b: &mut Bedside, part: &str| {
        if let Some(name) = shown {
            picture(b, &format!("{name}-{part}"));
        }
    };
    bedside.wait(3.0);
    taken(bedside, "1-free");
    while gauge(bedside) < case.systolic_mmhg + 25.0 {
        bedside.key(Key::B);
        bedside.wait(0.4);
    }
    bedside.wait(1.0);
    (0..8).for_each(|_| bedside.key(Key::ArrowUp));
    taken(bedside, "2-falling");
    bedside.until(60.0, "the pressure of the first pulse", |m| {
        let drill = m.practice.running.as_ref().unwrap().drill.as_ref().unwrap();
        drill.gauge_mmhg().unwrap() < case.systolic_mmhg - 1.0
    });
    bedside.wait(0.25 + beats * 60.0 / case.heart_rate_bpm);
    let needle = gauge(bedside);
    bedside.key(Key::Space);
    taken(bedside, "3-tapped");
    bedside.wait(5.0);
    bedside.key(Key::Escape);
    bedside.digits(&format!("{needle:.0}"));
    taken(bedside, "4-typed");
    bedside.key(Key::Enter);
    bedside.wait(0.5);
    let told = outcome(bedside);
    bedside.window.get_by_label(&told.said(Words::english())[0]);
    taken(bedside, "5-told");
    told.done.score.unwrap()
}

fn returns(bedside: &mut Bedside, kind: &str, count: usize, beats: f64) -> Vec<Score> {
    bedside.click(kind);
    bedside.click(&format!("{count} drills"));
    bedside.click("Begin the lesson");
    let name = format!("first-lesson-{}", kind.to_lowercase().replace(' ', "-"));
    let mut scores = Vec::new();
    for drill in 0..count {
        scores.push(deflate(bedside, beats, (drill == 0 && beats == 0.0).then_some(&name)));
        bedside.key(Key::Enter);
    }
    assert!(running(bedside).over);
    picture(bedside, &format!("{name}-6-over"));
    scores
}

#[test]
fn a_first_time_student_goes_through_the_first_lesson() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 1000.0));
    bedside.click("Practise");
    bedside.write("Code of the student, never a name", "S-07");
    picture(&mut bedside, "first-lesson-0-choose");
    words(&mut bedside, "Multiphasic or monophasic", "multiphasic");
    words(&mut bedside, "Regular or irregular", "regular");
    let scores = returns(&mut bedside, "First return", 6, 0.0);
    // Tapped by the needle, not by ear: the first pulse falls within a beat and a half of that.
    assert!(scores.iter().all(|s| s.beats_late.abs() <= 2), "{scores:?}");
    hear_every_case_again(&mut bedside);
    bedside.key(Key::Enter);
    let late = returns(&mut bedside, "First return", 3, 2.0);
    assert!(late.iter().all(|s| s.beats_late >= 1 && s.error_mmhg.unwrap() < 0.0), "{late:?}");
    bedside.key(Key::Enter);
    returns(&mut bedside, "Artery beside a vein", 3, 0.0);
    bedside.key(Key::Enter);
    // What is next, and the student's own page.
    bedside.window.get_by_label("The course of S-07");
    picture(&mut bedside, "first-lesson-7-course");
    bedside.click("My page");
    let page = std::fs::read_to_string(folder.path().join("practice/my-course.html")).unwrap();
    assert!(page.contains("What to practise next, and why") && page.contains("18 drills"));
    bedside.click("The class");
    bedside.window.get_by_label("Who is where");
    picture(&mut bedside, "first-lesson-8-class");
}

/// At the end of a lesson each case is heard again: the very sound of the drill, with its truth and tap.
fn hear_every_case_again(bedside: &mut Bedside) {
    let marks: Vec<_> = running(bedside).kept.iter().map(|k| k.as_ref().unwrap().marks).collect();
    for number in [0, marks.len() - 1] {
        bedside.click(&format!("Hear case {} again", number + 1));
        let (shown, again) = running(bedside).heard.as_ref().unwrap();
        assert_eq!((*shown, again.marks), (number, marks[number]));
        assert!(again.marks.truth_s.is_some() && again.marks.tap_s.is_some());
        bedside.window.get_by_label("the sound of this case, to be heard again");
        bedside.key(Key::T);
        bedside.key(Key::Space);
        bedside.wait(1.0);
        let (_, again) = running(bedside).heard.as_ref().unwrap();
        assert!(again.plays() && again.cursor_s > again.marks.tap_s.unwrap() + 0.5);
        bedside.key(Key::Space);
    }
    picture(bedside, "first-lesson-hear-case-again");
}

#[test]
fn feedback_at_the_end_lets_every_case_be_heard_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    bedside.click("feedback at the end");
    bedside.click("Damped or not");
    bedside.click("3 drills");
    bedside.click("Begin the lesson");
    for _ in 0..3 {
        bedside.wait(4.0);
        bedside.click("damped");
        bedside.wait(0.5);
        bedside.window.get_by_label("Kept.");
        assert!(running(&bedside).drill.as_ref().unwrap().heard.is_none(), "not before the end");
        bedside.key(Key::Enter);
    }
    bedside.click("Hear case 2 again");
    bedside.key(Key::Home);
    bedside.key(Key::Space);
    bedside.wait(1.5);
    let (number, again) = running(&bedside).heard.as_ref().unwrap();
    assert!(*number == 1 && again.plays() && again.cursor_s > 1.0);
}

#[test]
fn a_sound_of_ones_own_is_shown_with_what_the_listener_finds() {
    let folder = tempfile::tempdir().unwrap();
    let sound = Path::new("audio-fixtures").read_dir().unwrap().filter_map(Result::ok);
    let mut wavs: Vec<_> = sound
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "wav"))
        .collect();
    wavs.sort();
    let wav = &wavs[0];
    let mut bedside = practice(folder.path());
    bedside.click("Try it on a sound");
    bedside.window.get_by_label("For learning only: nothing of it is for use on a patient.");
    bedside.write("Sound file (WAV)", wav.to_str().unwrap());
    bedside.click("Hear this file");
    bedside.until(30.0, "the listener's end", |m| {
        m.practice.tried.as_ref().is_some_and(|tried| tried.heard.is_some())
    });
    let tried = bedside.model().practice.tried.as_ref().unwrap();
    let piece = &tried.heard.as_ref().unwrap().piece;
    let native = Piece::read(wav, 1.0).unwrap();
    let early = |beats: &[(f64, f64)]| -> Vec<f64> {
        beats.iter().map(|b| b.0).filter(|s| *s < 15.0).collect()
    };
    assert_eq!(early(&piece.beats), early(&native.beats), "what the program finds in the file");
    let said: Vec<String> = tried.said.iter().map(|s| s.said(Words::english())).collect();
    assert!(
        said[0].contains("pulses in") && said.last().unwrap().contains("may be wrong"),
        "{said:?}"
    );
    for said in &said {
        bedside.window.get_by_label(said);
    }
    bedside.key(Key::Space);
    bedside.wait(1.0);
    assert!(bedside.model().practice.tried.as_ref().unwrap().heard.as_ref().unwrap().plays());
    picture(&mut bedside, "own-sound");
    bedside.key(Key::Escape);
    let bad = folder.path().join("bad.wav");
    std::fs::write(&bad, b"RIFF no sound").unwrap();
    bedside.click("Try it on a sound");
    let path = bad.to_str().unwrap().to_owned();
    bedside.act(Action::Practise(PractiseAct::Try(TryAct::File(path))));
    bedside.click("Hear this file");
    let said = &bedside.model().practice.tried.as_ref().unwrap().said;
    let first = said[0].said(Words::english());
    assert!(said.len() == 1 && first.starts_with("bad.wav: this is no WAV file"), "{first}");
}

#[test]
fn a_class_is_looked_at_from_a_folder_and_given_out() {
    let folder = tempfile::tempdir().unwrap();
    let class = folder.path().join("collected");
    std::fs::create_dir(&class).unwrap();
    for (code, answer) in [("S-2", "regular"), ("S-1", "irregular"), ("S-3", "regular")] {
        let drill = serde_json::json!({ "case": "c", "kind": "regularity", "seed": 1, "answer": answer,
                                        "right": "irregular" });
        let session = serde_json::json!({ "v": 1, "id": code, "student": code, "lesson": "Monday",
            "begun": "2027-01-05T10:00:00Z", "drills": vec![drill; 4] });
        std::fs::write(class.join(format!("{code}.jsonl")), format!("{session}\n")).unwrap();
    }
    std::fs::write(class.join("torn.jsonl"), "{ half").unwrap();
    let mut bedside = practice(folder.path());
    bedside.click("The class");
    bedside.write("Folder of class files", class.to_str().unwrap());
    bedside.click("Read the folder");
    let view = bedside.model().practice.class.as_ref().unwrap();
    let codes: Vec<&str> = view.seen.students.iter().map(|s| s.code.as_str()).collect();
    assert_eq!(codes, ["S-1", "S-2", "S-3"]);
    assert!(format!("{:?}", view.said[1]).contains("torn.jsonl, line 1"), "{:?}", view.said);
    bedside.window.get_by_label("Regular or irregular: irregular: missed by 2 of 3 students (less than three quarters right); 4 of 12 answers right.");
    picture(&mut bedside, "class-view");
    bedside.click("Table (CSV)");
    bedside.click("Page (HTML)");
    let own = folder.path().join("practice");
    let csv = std::fs::read_to_string(own.join("class.csv")).unwrap();
    assert!(csv.lines().count() == 4 && csv.contains("\nS-1,2027-01-05T10:00:00Z,4,4,"), "{csv}");
    let page = std::fs::read_to_string(own.join("class.html")).unwrap();
    assert!(page.contains("Sounds missed by many") && page.contains("missed by 2 of 3"));
    bedside.click("Back to practice");
    assert!(bedside.model().practice.class.is_none());
}
