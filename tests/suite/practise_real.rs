//! Practice on what is no simulation to the program: recordings whose return somebody confirmed, a teacher's room sounds,
//! and two ears on live sound.

use std::path::{Path, PathBuf};

use assert_cmd::Command;
use cuffnote::logbook::{Book, Search};
use cuffnote::practice::student::played;
use cuffnote::sim::scenario::{self, site_seed};
use cuffnote::window::model::teacher;
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;
use serde_json::Value;

use super::practise::{outcome, practice, running, told};
use super::window::{Bedside, known};
use super::window_again::book_with_sound;

const RATE_HZ: u32 = 16_000;

fn write_wav(file: &Path, samples: &[f32]) {
    let (bits_per_sample, sample_format) = (16, hound::SampleFormat::Int);
    let spec = hound::WavSpec { channels: 1, sample_rate: RATE_HZ, bits_per_sample, sample_format };
    let mut wav = hound::WavWriter::create(file, spec).unwrap();
    samples.iter().for_each(|s| wav.write_sample((s * 32_767.0) as i16).unwrap());
    wav.finalize().unwrap();
}

/// A recording in the folder; gives its true first pulse, seconds, and its pulses in a minute.
fn recording(folder: &Path, name: &str) -> (f64, f64) {
    let mut case = scenario::load("plain").unwrap().case(None).unwrap().clone();
    case.rate_hz = RATE_HZ;
    let made = cuffnote::sim::render(&case, 3);
    write_wav(&folder.join(name), &made.samples);
    (made.truth.audible_s.unwrap(), made.truth.heart_rate_bpm)
}

fn lesson(folder: &Path, drills: &str) -> PathBuf {
    let file = folder.join("own.toml");
    std::fs::write(&file, format!("version = 1\nname = \"Own\"\n{drills}")).unwrap();
    file
}

fn drill(recording: &str) -> String {
    format!("[[drill]]\nkind = \"first-return\"\nname = \"ours\"\nrecording = {{ {recording} }}\n")
}

#[test]
fn a_scripted_student_is_scored_on_recordings_too() {
    let folder = tempfile::tempdir().unwrap();
    let (back_s, _) = recording(folder.path(), "dp.wav");
    let bare = format!("file = \"dp.wav\", truth = \"over-read\", return_s = {back_s}");
    let known = format!("{bare}, reading_mmhg = 118, fall_mmhg_s = 2.5");
    let lesson = lesson(folder.path(), &(drill(&known) + &drill(&bare)));
    let lesson = lesson.to_str().unwrap();
    let words = ["practise", "--scripted", "bias_ms=300,sd_ms=0", "--lesson", lesson, "--json"];
    let run = Command::cargo_bin("cuffnote").unwrap().args(words).assert().success();
    let found: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    assert_eq!(found["count"], 2);
    for (place, error_mmhg) in [(0, Some(-0.75)), (1, None)] {
        let drill = &found["drills"][place];
        assert!((drill["error_ms"].as_f64().unwrap() - 300.0).abs() < 0.001, "{drill}");
        assert_eq!(drill["beats_late"], 0, "{drill}");
        assert_eq!(drill["error_mmhg"].as_f64(), error_mmhg, "only where the needle is known");
    }
    let words = ["practise", "--check", lesson];
    let run = Command::cargo_bin("cuffnote").unwrap().args(words).assert().success();
    let said = String::from_utf8_lossy(&run.get_output().stdout).into_owned();
    assert!(said.contains("the mark of an over-reader at") && said.contains("not known"), "{said}");
}

#[test]
fn a_lesson_reaches_nothing_outside_its_own_folder() {
    let folder = tempfile::tempdir().unwrap();
    let inside = folder.path().join("lessons");
    std::fs::create_dir(&inside).unwrap();
    recording(folder.path(), "other.wav");
    let outside = folder.path().join("other.wav");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&outside, inside.join("link.wav")).unwrap();
    let refused = |name: &str| {
        let one = format!("file = \"{name}\", truth = \"kept-tap\", return_s = 9.0");
        teacher::lesson(&lesson(&inside, &drill(&one)), None).unwrap_err()
    };
    assert!(refused("../other.wav").to_string().contains("outside"), "a way up");
    assert!(refused(outside.to_str().unwrap()).to_string().contains("outside"), "a whole path");
    #[cfg(unix)]
    assert!(refused("link.wav").to_string().contains("outside"), "a link");
    assert!(refused("none.wav").to_string().contains("cannot read"));
    let noise = "noise_folder = \"..\"\n[[drill]]\nkind = \"first-return\"\n";
    assert!(
        teacher::lesson(&lesson(&inside, noise), None).unwrap_err().to_string().contains("outside")
    );
}

#[test]
fn a_teachers_room_sounds_take_the_place_of_ours() {
    let folder = tempfile::tempdir().unwrap();
    let room = folder.path().join("ward");
    std::fs::create_dir(&room).unwrap();
    let hum: Vec<f32> = (0..32_000).map(|n| (n as f32 * 0.3).sin() * 0.2).collect();
    write_wav(&room.join("trolley.wav"), &hum);
    let drills = "noise_folder = \"ward\"\n[[drill]]\nkind = \"first-return\"\nseed = 5\n\
                  case.noise = [\"speech\"]\ncase.snr_db = 6.0\n";
    let file = lesson(folder.path(), drills);
    let drill = teacher::lesson(&file, None).unwrap().drills.remove(0);
    let (truth, _) = played(&drill.case, drill.seed);
    assert_eq!(truth.noise, ["trolley"]);
    std::fs::write(&file, std::fs::read_to_string(&file).unwrap().replace("ward", ".")).unwrap();
    assert!(teacher::lesson(&file, None).unwrap_err().to_string().contains("no WAV"));
}

/// Waits until the stream has come to this second.
fn until_s(bedside: &mut Bedside, at_s: f64) {
    bedside.until(120.0, "this second of the sound", |model| {
        let drill = model.practice.running.as_ref().unwrap().drill.as_ref().unwrap();
        drill.snapshot.sound_s >= at_s
    });
}

fn begin_lesson(folder: &Path, file: &Path) -> Bedside {
    let mut bedside = practice(folder);
    bedside.write("Teacher's lesson file", file.to_str().unwrap());
    bedside.click("Begin the teacher's lesson");
    bedside
}

#[test]
fn a_recording_of_the_book_is_a_drill_once_its_return_is_confirmed() {
    let folder = tempfile::tempdir().unwrap();
    let (_, tapped_s) = book_with_sound(folder.path());
    let visit = Book::open(folder.path()).unwrap().book.visits(&Search::default()).unwrap()[0].id;
    let elsewhere = tempfile::tempdir().unwrap();
    let named = |attempt: u32, truth: &str| {
        drill(&format!("visit = \"{visit}\", attempt = {attempt}, truth = \"{truth}\""))
    };
    for (wrong, why) in [
        (named(3, "over-read"), "no mark of an over-reader"),
        (named(1, "kept-tap"), "no kept reading"),
    ] {
        let said = teacher::lesson(&lesson(elsewhere.path(), &wrong), Some(folder.path()));
        assert!(said.as_ref().unwrap_err().to_string().contains(why), "{said:?}");
    }
    let file = lesson(elsewhere.path(), &named(3, "kept-tap"));
    let mut bedside = begin_lesson(folder.path(), &file);
    assert!(bedside.window.query_by_label("gauge").is_none(), "its needle is not known");
    assert!(bedside.window.query_by_label("Squeeze").is_none(), "nobody holds this cuff");
    // It replays from where the seed says, so the truth's place is known from a drill that is let pass.
    bedside.wait(2.0);
    bedside.key(Key::X);
    bedside.wait(0.5);
    let passed = outcome(&bedside);
    let words = told(&bedside);
    assert!(words[0].contains("you did not tap"), "{words:?}");
    let truth_s = passed.marks.truth_s.unwrap();
    drop(bedside);
    let mut bedside = begin_lesson(folder.path(), &file);
    until_s(&mut bedside, truth_s + 1.0);
    bedside.key(Key::Space);
    bedside.key(Key::Enter);
    bedside.wait(0.5);
    let found = outcome(&bedside);
    let score = found.done.score.clone().unwrap();
    assert!((score.error_ms - 1000.0).abs() < 150.0 && score.beats_late == 1, "{score:?}");
    assert!((score.truth_s - tapped_s).abs() < 0.001 && score.error_mmhg.is_none(), "{score:?}");
    bedside.window.get_by_label("the sound with the truth and your tap");
    let said = running(&bedside).drill.as_ref().unwrap().truth_said(Words::english());
    assert!(said.contains("the clinician's tap of a kept reading"), "{said}");
}

#[test]
fn a_recording_with_needle_marks_has_a_gauge_and_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let (back_s, bpm) = recording(folder.path(), "dp.wav");
    let (first_s, last_s) = (back_s - 8.0, back_s + 2.0);
    let marked = format!(
        "file = \"dp.wav\", truth = \"kept-tap\", return_s = {back_s}, \
         needle = [[{first_s}, 140], [{last_s}, 115]]"
    );
    let file = lesson(folder.path(), &drill(&marked));
    let mut bedside = begin_lesson(folder.path(), &file);
    // The recording is shorter than the lead, so it is played from its own beginning.
    until_s(&mut bedside, back_s + 60.0 / bpm + 0.3);
    let needle = running(&bedside).drill.as_ref().unwrap().gauge_mmhg().unwrap();
    bedside.key(Key::Space);
    bedside.key(Key::Enter);
    bedside.window.get_by_label("Type the pressure");
    bedside.digits(&format!("{needle:.0}"));
    bedside.key(Key::Enter);
    bedside.wait(0.5);
    let score = outcome(&bedside).done.score.unwrap();
    assert_eq!((score.beats_late, score.truth_mmhg.map(f64::round)), (1, Some(120.0)), "{score:?}");
    let expected = -2.5 * (60.0 / bpm + 0.3);
    assert!((score.error_mmhg.unwrap() - expected).abs() < 1.0, "{score:?}");
}

#[test]
fn two_ears_on_live_sound_hide_their_taps_and_tell_beats_and_mmhg() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    bedside.click("Two listeners, live sound");
    let case = scenario::load("visit").unwrap().case(Some("right-dp")).unwrap().clone();
    let (truth, _) = played(&case, site_seed(1, Some("right-dp")) ^ (1 << 40));
    let (back_s, beat_s) = (truth.audible_s.unwrap(), 60.0 / truth.heart_rate_bpm);
    until_s(&mut bedside, back_s + 0.3);
    bedside.key(Key::T);
    until_s(&mut bedside, back_s + 2.0 * beat_s + 0.3);
    bedside.key(Key::Space);
    for said in ["+2 beats", "Student less"] {
        assert!(bedside.window.query_by_label_contains(said).is_none(), "hidden until both read");
    }
    bedside.digits("118");
    bedside.key(Key::Enter);
    bedside.wait(6.0);
    assert!(running(&bedside).drill.as_ref().unwrap().outcome.is_none(), "one reading is missing");
    bedside.digits("124");
    bedside.key(Key::Enter);
    bedside.wait(5.0);
    let said = told(&bedside);
    assert!(said[0].starts_with("Student less teacher: +2 beats"), "{said:?}");
    assert!(said[0].contains("-6 mmHg by the readings"), "{said:?}");
    bedside.window.get_by_label(&said[0]);
    bedside.window.get_by_label("the sound with both taps");
    assert!(running(&bedside).session.drills.is_empty(), "nothing of it is kept");
    assert!(!folder.path().join("practice/class.jsonl").exists());
    bedside.click("Next");
    assert!(running(&bedside).drill.as_ref().unwrap().outcome.is_none(), "another deflation");
    bedside.click("End here");
    assert!(bedside.model().practice.running.is_none());
}

/// Pictures of practice, where they are asked for.
#[test]
fn pictures_of_practice() {
    let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") else { return };
    let out = PathBuf::from(out);
    for (name, size) in [("1024x600", vec2(1024.0, 600.0)), ("1280x800", vec2(1280.0, 800.0))] {
        let folder = tempfile::tempdir().unwrap();
        let shot = |bedside: &mut Bedside, what: &str| {
            bedside.picture(&out.join(format!("dim-{name}-100-{what}.png")));
        };
        let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), size);
        bedside.click("Practise");
        bedside.write("Code of the student, never a name", "S-07");
        shot(&mut bedside, "15-practise");
        bedside.click("two ears");
        bedside.click("Begin the lesson");
        for _ in 0..9 {
            bedside.key(Key::B);
            bedside.wait(0.4);
        }
        bedside.wait(3.0);
        bedside.key(Key::T);
        bedside.key(Key::Space);
        shot(&mut bedside, "16-two-ears");
        bedside.digits("118");
        bedside.key(Key::Enter);
        bedside.digits("124");
        bedside.key(Key::Enter);
        bedside.wait(1.0);
        shot(&mut bedside, "17-told");
        bedside.click("End here");
        shot(&mut bedside, "18-over");
        bedside.click("Done");
        bedside.click("examination");
        bedside.click("Multiphasic or monophasic");
        bedside.click("Begin the lesson");
        bedside.wait(5.0);
        shot(&mut bedside, "19-examination");
    }
}
