//! Listen first, and hearing again after each answer, as a student goes through them in the window, in virtual time.

use std::path::Path;

use cuffnote::window::model::heard_again::HeardAgain;
use cuffnote::window::model::listen_first::ListenFirst;
use cuffnote::words::Words;
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable;

use super::practise::{outcome, practice, running};
use super::window::{Bedside, known};

fn listen(bedside: &Bedside) -> &ListenFirst {
    bedside.model().practice.listen.as_ref().unwrap()
}

fn again(bedside: &Bedside) -> &HeardAgain {
    running(bedside).drill.as_ref().unwrap().heard.as_ref().unwrap()
}

fn picture(bedside: &mut Bedside, name: &str) {
    if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
        std::fs::create_dir_all(&out).unwrap();
        bedside.picture(&Path::new(&out).join(format!("{name}.png")));
    }
}

#[test]
fn a_newcomer_hears_every_step_before_any_question() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 1000.0));
    bedside.click("Practise");
    bedside.click("Listen first");
    let steps = listen(&bedside).steps.len();
    assert!(steps >= 8);
    for n in 0..steps {
        assert_eq!(listen(&bedside).step, n);
        let step = listen(&bedside).steps[n].clone();
        let words = Words::english();
        bedside.window.get_by_label(words.plain(step.title));
        for said in step.words {
            bedside.window.get_by_label(words.plain(said));
        }
        let mut pictures = Vec::new();
        for (key, sound) in [Key::A, Key::B, Key::C].into_iter().zip(&step.sounds) {
            bedside.key(key);
            assert_eq!(listen(&bedside).sound(), Some(sound));
            bedside.key(Key::Space);
            bedside.wait(1.5);
            let heard = listen(&bedside).heard.as_ref().unwrap();
            assert!(heard.plays() && (heard.cursor_s - 1.5).abs() < 0.3, "{}", heard.cursor_s);
            bedside.key(Key::Space);
            let heard = listen(&bedside).heard.as_ref().unwrap();
            assert!(!heard.plays());
            let columns = heard.picture().columns;
            assert!(!pictures.contains(&columns), "each sound has a picture of its own");
            pictures.push(columns);
        }
        picture(&mut bedside, &format!("listen-first-{}", n + 1));
        bedside.key(Key::Enter);
    }
    assert!(bedside.model().practice.listen.is_none());
    bedside.window.get_by_label("Begin the lesson");
}

#[test]
fn a_deflation_is_told_as_it_goes_and_beat_by_beat() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), vec2(1280.0, 1000.0));
    bedside.click("Practise");
    bedside.click("Listen first");
    let at = listen(&bedside).steps.iter().position(|s| s.title == "listen-deflation").unwrap();
    (0..at).for_each(|_| bedside.key(Key::Enter));
    let back_s = listen(&bedside).heard.as_ref().unwrap().marks.truth_s.unwrap();
    bedside.window.get_by_label("The cuff is open: you hear every beat.");
    bedside.key(Key::Space);
    bedside.until(60.0, "the first pulse", |m| {
        let heard = m.practice.listen.as_ref().unwrap().heard.as_ref().unwrap();
        heard.cursor_s > back_s + 0.1
    });
    let heard = listen(&bedside).heard.as_ref().unwrap();
    let needle = heard.sound.as_ref().unwrap().track.at(back_s);
    let said =
        format!("The first pulse. The needle stands at {needle:.0} mmHg: that is the reading.");
    bedside.window.get_by_label(&said);
    picture(&mut bedside, "listen-first-return");
    bedside.key(Key::Space);
    bedside.key(Key::R);
    (0..2).for_each(|_| bedside.key(Key::ArrowRight));
    let heard = listen(&bedside).heard.as_ref().unwrap();
    let words = heard.if_tapped(Words::english());
    assert!(words[0].contains("two beats late"), "{words:?}");
    bedside.window.get_by_label(&words[0]);
    // Half speed lasts twice as long.
    bedside.key(Key::S);
    let from_s = listen(&bedside).heard.as_ref().unwrap().cursor_s;
    bedside.key(Key::Space);
    bedside.wait(2.0);
    let gone = listen(&bedside).heard.as_ref().unwrap().cursor_s - from_s;
    assert!((gone - (1.0 - 0.15)).abs() < 0.2, "{gone}");
    bedside.key(Key::H);
    assert!(!listen(&bedside).heard.as_ref().unwrap().plays(), "silent at once");
}

#[test]
fn after_an_answer_the_same_sound_is_heard_again_with_truth_and_tap() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = practice(folder.path());
    bedside.click("3 drills");
    bedside.click("Begin the lesson");
    bedside.wait(3.0);
    for _ in 0..10 {
        bedside.key(Key::B);
        bedside.wait(0.4);
    }
    bedside.wait(1.0);
    (0..8).for_each(|_| bedside.key(Key::ArrowUp));
    bedside.wait(30.0);
    bedside.key(Key::Space);
    bedside.wait(1.0);
    bedside.digits("100");
    bedside.key(Key::Enter);
    bedside.until(2.0, "the score", |m| {
        m.practice.running.as_ref().unwrap().session.drills.len() == 1
    });
    let score = outcome(&bedside).done.score.clone().unwrap();
    let marks = again(&bedside).marks;
    assert!((marks.truth_s.unwrap() - score.truth_s).abs() < 1e-9, "{marks:?} {score:?}");
    assert!((marks.tap_s.unwrap() - score.tap_s).abs() < 1e-9);
    bedside.window.get_by_label("the sound with the truth and your tap");
    // Where the tap was, it comes to what it came to; at the first pulse it would have been on the beat.
    bedside.key(Key::T);
    let english = Words::english();
    assert_eq!(again(&bedside).if_tapped(english)[0], score.said(english)[0]);
    bedside.key(Key::R);
    let there =
        again(&bedside).sound.as_ref().unwrap().if_tapped(again(&bedside).cursor_s).unwrap();
    assert!(there.on_the_beat() && there.error_ms.abs() < 1.0);
    picture(&mut bedside, "heard-again");
    // The same sound: what plays now is what was made then, sample by sample.
    let made = again(&bedside).sound.as_ref().unwrap().samples.clone();
    let case = running(&bedside).drill.as_ref().unwrap().set.case.clone();
    let seed = running(&bedside).drill.as_ref().unwrap().set.seed;
    let cuff = running(&bedside).drill.as_ref().unwrap().played.clone().unwrap().cuff_mmhg;
    let mut bench = cuffnote::sim::Bedside::new(&case, seed, cuffnote::sim::ROOM_S);
    let fresh: Vec<f32> =
        cuff.iter().flat_map(|mmhg| bench.step(f64::from(*mmhg)).to_vec()).collect();
    let both = made.len().min(fresh.len());
    assert!(both > 16_000 * 30 && made[..both] == fresh[..both]);
    bedside.key(Key::Space);
    bedside.wait(1.0);
    assert!(again(&bedside).plays());
    bedside.key(Key::Enter);
    assert!(running(&bedside).drill.as_ref().unwrap().outcome.is_none(), "the next drill runs");

    // A word drill is heard again too; and Enter on Done ends the lesson.
    bedside.click("End here");
    bedside.key(Key::Enter);
    assert!(bedside.model().practice.running.is_none(), "Enter on Done");
    bedside.click("Damped or not");
    bedside.click("Begin the lesson");
    bedside.wait(4.0);
    bedside.click("not damped");
    bedside.wait(0.5);
    assert!(again(&bedside).beats().len() > 2);
    bedside.key(Key::Home);
    bedside.key(Key::Space);
    bedside.wait(1.0);
    assert!(again(&bedside).cursor_s > 0.5);
    picture(&mut bedside, "heard-again-word");
}
