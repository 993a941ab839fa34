//! A teacher sets, seals, holds and reads an examination, as docs/teaching.md tells it: on the command line and in the window.

use std::path::Path;

use assert_cmd::Command;
use cuffnote::practice::cases::CaseKind;
use cuffnote::practice::class::Class;
use cuffnote::practice::examination::SealedExamination;
use cuffnote::practice::lesson::{Feedback, Lesson};
use cuffnote::window::model::action::{Action, PractiseAct};
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;

use super::practise::{notice, practice, running};
use super::window::{Bedside, known};

const WORD: &str = "lantern orchard seven";
const LESSON: &str = "version = 1\nname = \"Spring\"\n[[drill]]\nkind = \"waveform\"\ntimes = 2\n[[drill]]\n\
                      kind = \"regularity\"\ncase.rhythm = \"fibrillation\"\n";

fn cuffnote(words: &[&str]) -> (bool, String, String) {
    let run = Command::cargo_bin("cuffnote").unwrap().args(words).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (run.status.success(), text(run.stdout), text(run.stderr))
}

fn picture(bedside: &mut Bedside, name: &str) {
    if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
        std::fs::create_dir_all(&out).unwrap();
        bedside.picture(&Path::new(&out).join(format!("{name}.png")));
    }
}

fn texts(folder: &Path) -> Vec<(String, String)> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let named = |path: std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        Some((name, std::fs::read_to_string(path).ok()?))
    };
    files.filter_map(named).collect()
}

#[test]
fn a_teacher_sets_seals_holds_and_reads_an_examination() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(at("spring.toml"), LESSON).unwrap();
    std::fs::write(at("word.txt"), format!("{WORD}\n")).unwrap();

    // Set and seal: the patients are drawn now, and nobody can read them.
    let (ok, _, said) = cuffnote(&[
        "practise",
        "--seal",
        &at("spring.toml"),
        "--word-file",
        &at("word.txt"),
        "--out",
        &at("spring.exam"),
    ]);
    assert!(ok && said.contains("3 drills, sealed"), "{said}");
    let code = said.split("Opening code: ").nth(1).unwrap().lines().next().unwrap().to_owned();
    let sealed = std::fs::read_to_string(at("spring.exam")).unwrap();
    assert!(!sealed.contains("waveform") && !sealed.contains("seed"));
    let set = SealedExamination::parse(&sealed).unwrap().open(&code).unwrap();
    assert!(set.drills.iter().all(|drill| drill.seed >= 1 << 32));

    // Hold: a student opens it with the code, and is told nothing.
    let book = folder.path().join("book");
    let mut bedside = Bedside::new(&book, "visit", known(vec![]), vec2(1280.0, 1000.0));
    bedside.click("Practise");
    bedside.write("Code of the student, never a name", "S-07");
    bedside.write("Teacher's lesson file", &at("spring.exam"));
    bedside.click("Begin the teacher's lesson");
    bedside.window.get_by_label("This examination is sealed: type its opening code");
    bedside.write("Opening code, of a sealed examination", "ABCD-EFGH-JKLM");
    bedside.click("Begin the teacher's lesson");
    bedside.window.get_by_label("This code does not open the examination");
    bedside.act(Action::Practise(PractiseAct::Code(code.to_lowercase())));
    picture(&mut bedside, "examination-1-begin");
    bedside.click("Begin the teacher's lesson");
    for word in ["multiphasic", "multiphasic", "regular"] {
        bedside.wait(4.0);
        bedside.click(word);
        bedside.wait(0.5);
        bedside.window.get_by_label("Kept.");
        bedside.click("Next");
    }
    assert!(running(&bedside).over && running(&bedside).kept.len() == 3);
    bedside.window.get_by_label("An examination, sealed: only the teacher's word opens it.");
    assert!(bedside.window.query_by_label("Hear case 1 again").is_none(), "nothing is heard again");
    picture(&mut bedside, "examination-2-over");
    let said = notice(&bedside);
    let own = book.join("practice");
    assert!(said.contains(own.to_str().unwrap()) && said.contains(".sealed"), "its path: {said}");
    bedside.key(Key::Enter);
    assert!(bedside.model().practice.running.is_none(), "Enter on Done");
    let kept = texts(&own);
    for (name, text) in &kept {
        for told in ["multiphasic", "irregular", "answer", "Examination "] {
            assert!(!text.contains(told), "{name} tells {told}");
        }
    }
    assert!(kept.iter().any(|(name, _)| name.ends_with(".sealed")));
    assert!(!kept.iter().any(|(name, _)| name.starts_with("session-")), "no page yet");

    // Read: the teacher has the sealed files of the class in a folder.
    let class = folder.path().join("collected");
    std::fs::create_dir(&class).unwrap();
    for (name, text) in kept.iter().filter(|(name, _)| !name.ends_with(".html")) {
        std::fs::write(class.join(name), text).unwrap();
    }
    read_in_the_window(&mut bedside, &class);
    let page = texts(&own).into_iter().find(|(name, _)| name.starts_with("session-")).unwrap().1;
    assert!(page.contains("Examination: Spring") && page.contains("it was irregular"));
    read_on_the_command_line(&class, &at("word.txt"), &at("class.html"));
    alter_one_letter(&class, &at("word.txt"));
}

fn read_in_the_window(bedside: &mut Bedside, class: &Path) {
    bedside.click("The class");
    bedside.write("Folder of class files", class.to_str().unwrap());
    bedside.click("Read the folder");
    bedside.window.get_by_label("Under seal: 1.");
    bedside.write("Teacher's word", "another word here");
    bedside.click("Open the examinations");
    bedside.window.get_by_label("S-07, Spring: this word does not open it.");
    bedside.write("Teacher's word", WORD);
    picture(bedside, "examination-3-word");
    bedside.click("Open the examinations");
    bedside.window.get_by_label("One examination was opened.");
    assert_eq!(bedside.model().practice.class.as_ref().unwrap().opened[0].drills.len(), 3);
    bedside.click("Page of S-07, Spring");
    picture(bedside, "examination-4-opened");
    assert!(notice(bedside).contains("session-"));
}

fn read_on_the_command_line(class: &Path, word_file: &str, page: &str) {
    let class = class.to_str().unwrap();
    let (ok, said, _) = cuffnote(&["practise", "--class", class]);
    assert!(ok && said.contains("1 examination under seal"), "{said}");
    let open = ["practise", "--class", class, "--open", "--word-file", word_file, "--page", page];
    let (ok, said, told) = cuffnote(&open);
    assert!(ok && told.contains("1 examination opened"), "{told}");
    assert!(said.contains("S-07") && std::fs::read_to_string(page).unwrap().contains("S-07"));
}

/// Whatever letter of the seal is changed, the answers do not open; so with another student's code on the label.
fn alter_one_letter(class: &Path, word_file: &str) {
    let path = class.join("class.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    let sealed = Class::parse(&text).unwrap().sealed().next().unwrap().clone();
    let mut letters: Vec<char> = sealed.sealed.chars().collect();
    let middle = letters.len() / 2;
    letters[middle] = if letters[middle] == 'A' { 'B' } else { 'A' };
    let altered = text.replace(&sealed.sealed, &letters.into_iter().collect::<String>());
    for changed in [altered, text.replace("\"student\":\"S-07\"", "\"student\":\"S-08\"")] {
        assert_ne!(changed, text);
        std::fs::write(&path, changed).unwrap();
        let file = path.to_str().unwrap();
        let (ok, _, told) =
            cuffnote(&["practise", "--class", file, "--open", "--word-file", word_file]);
        assert!(!ok && told.contains("the seal is broken"), "{told}");
    }
}

#[test]
fn a_lesson_is_sealed_in_the_window_and_a_weak_word_or_a_known_patient_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let lesson = folder.path().join("autumn.toml");
    std::fs::write(&lesson, LESSON).unwrap();
    let mut bedside = practice(folder.path());
    bedside.write("Teacher's lesson file", lesson.to_str().unwrap());
    bedside.click("Seal it as an examination");
    bedside.window.get_by_label("The teacher's word needs 12 letters or more");
    bedside.write("Teacher's word, which opens what is done", WORD);
    bedside.click("Seal it as an examination");
    let said = notice(&bedside);
    assert!(said.contains("autumn.exam") && said.contains("opening code is"), "{said}");
    assert!(bedside.model().practice.word.is_empty(), "the word is gone once it was used");
    picture(&mut bedside, "examination-0-sealed");
    let code = said.split("opening code is ").nth(1).unwrap()[..14].to_owned();
    let text = std::fs::read_to_string(folder.path().join("practice/autumn.exam")).unwrap();
    assert_eq!(SealedExamination::parse(&text).unwrap().open(&code).unwrap().drills.len(), 3);
    std::fs::write(&lesson, LESSON.replace("times = 2", "seed = 4")).unwrap();
    bedside.write("Teacher's word, which opens what is done", WORD);
    bedside.click("Seal it as an examination");
    let said = notice(&bedside);
    assert!(said.contains("leave its seed out"), "{said}");
}

/// Whatever was practised here, an examination that is drawn has none of its cases; a hundred are drawn.
#[test]
fn a_drawn_seed_never_brings_a_case_that_was_practised() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    // Practice of the very seed that is drawn gives other patients.
    for _ in 0..100 {
        for feedback in [Feedback::AtOnce, Feedback::Hidden] {
            bedside.act(Action::Practise(PractiseAct::Feedback(feedback)));
        }
        let seed: u64 = bedside.model().practice.seed.parse().unwrap();
        for kind in CaseKind::ALL {
            let of = |feedback| Lesson::of(kind, 24, seed, feedback).drills;
            let practised: Vec<u64> = of(Feedback::AtOnce).iter().map(|d| d.seed).collect();
            assert!(of(Feedback::Hidden).iter().all(|d| !practised.contains(&d.seed)));
        }
    }
}
