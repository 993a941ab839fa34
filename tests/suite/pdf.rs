//! The report as PDF: one page where it is plain, text in reading order, closed to typed text, same bytes.

use std::process::{Command, Stdio};

use cuffnote::clinical::event::Act;
use cuffnote::report::content::Trail;
use cuffnote::report::pdf::{Paper, document};
use proptest::prelude::*;

use super::visits::{content, content_in_book, ten};

const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

/// What a program of poppler says of a PDF.
fn poppler(program: &str, words: &[&str], pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("r.pdf");
    std::fs::write(&path, pdf).unwrap();
    let mut command = Command::new(program);
    let at = words.iter().position(|word| *word == "-").unwrap_or(words.len());
    command.args(&words[..at]).arg(&path).args(&words[at..]).stderr(Stdio::null());
    let done = command.output().expect("poppler-utils are installed: tests/run does it");
    assert!(done.status.success(), "{program} refused the PDF");
    String::from_utf8(done.stdout).unwrap()
}

fn pages(pdf: &[u8]) -> usize {
    let info = poppler("pdfinfo", &[], pdf);
    let line = info.lines().find(|line| line.starts_with("Pages:")).unwrap();
    line.split_whitespace().last().unwrap().parse().unwrap()
}

fn text(pdf: &[u8]) -> String {
    poppler("pdftotext", &["-"], pdf)
}

fn events_of(name: &str) -> Vec<cuffnote::clinical::event::Event> {
    ten().into_iter().find(|(other, _)| *other == name).unwrap().1
}

#[test]
fn a_plain_visit_is_one_page_with_rules_and_sources_behind_it() {
    for name in [
        "plain",
        "one-arm",
        "absent-artery",
        "not-compressible",
        "toe-only",
        "provisional",
        "no-sound",
    ] {
        for paper in PAPERS {
            let events = events_of(name);
            for content in [content(&events, Trail::Needed), content_in_book(&events)] {
                let pdf = document(&content, paper).unwrap();
                assert_eq!(pages(&pdf), 2, "{name} on {paper:?}");
                let first = poppler("pdftotext", &["-l", "1", "-"], &pdf);
                assert!(first.contains("In short") && first.contains("Measured by"), "{first}");
                assert!(!first.contains("from memory"), "{name}: {first}");
            }
        }
    }
}

#[test]
fn title_language_size_and_roles_are_there() {
    for (paper, size) in PAPERS.iter().zip(["595.28 x 841.89", "612 x 792"]) {
        let pdf = document(&content(&events_of("plain"), Trail::Needed), *paper).unwrap();
        let info = poppler("pdfinfo", &[], &pdf);
        assert!(info.contains("Ankle-brachial index: record of a measurement, record K-2001"));
        assert!(info.contains(size) && info.contains("Tagged:          yes"), "{info}");
        let meta = poppler("pdfinfo", &["-meta"], &pdf);
        let language = meta.split("<dc:language>").nth(1).unwrap();
        assert!(language.split("</dc:language>").next().unwrap().contains(">en<"), "{meta}");
        let fonts = poppler("pdffonts", &[], &pdf);
        for line in fonts.lines().skip(2) {
            let embedded = line.split_whitespace().rev().nth(4);
            assert_eq!(embedded, Some("yes"), "not embedded: {line}");
        }
        assert!(fonts.contains("B612"), "{fonts}");
        let structure = poppler("pdfinfo", &["-struct"], &pdf);
        for role in ["H1", "H2", "Table", "TH", "Figure"] {
            assert!(structure.contains(role), "{role} is not in {structure}");
        }
    }
}

/// Each thing stands after the one before it when the text is copied out.
#[test]
fn text_copies_out_in_reading_order() {
    for paper in PAPERS {
        let pdf = document(&content(&events_of("repeats"), Trail::Full), paper).unwrap();
        let text = text(&pdf).replace('\n', " ");
        let mut at = 0;
        for words in [
            "Ankle-brachial index: record of a measurement",
            "Tidemill leg clinic (invented)",
            "K-2005",
            "Red flags and cautions",
            "In short",
            "Ankle-brachial index",
            "right leg",
            "0.70",
            "left leg",
            "1.01",
            "What went into the indexes",
            "149 mmHg (mean of 152, 146), in the index",
            "Measured by",
            "For training and for recording",
            "Published guidance",
            "Notes and assumptions",
            "Every attempt",
            "the patient coughed as the cuff came down",
            "The sound at each site",
            "Rules, versions and sources",
        ] {
            let found = text[at..].find(words);
            at += found.unwrap_or_else(|| panic!("{words:?} is not behind byte {at} of: {text}"));
        }
        assert!(text.contains("Page 1 of"), "{text}");
        assert!(text.contains("Hash chain 9f2c61f0b7a94d0e"), "{text}");
    }
}

#[test]
fn letters_that_the_first_face_lacks_are_embedded_and_copy_out() {
    let pdf = document(&content(&events_of("long-notes"), Trail::Needed), Paper::A4).unwrap();
    let text = text(&pdf);
    for word in ["Şişli", "Ωμέγα", "Жук"] {
        assert!(text.contains(word), "{word} is not in {text}");
    }
    assert!(poppler("pdffonts", &[], &pdf).contains("DejaVu"));
}

#[test]
fn nothing_of_a_long_note_is_lost_between_pages() {
    for paper in PAPERS {
        let pdf = document(&content(&events_of("long-notes"), Trail::Needed), paper).unwrap();
        let words = "dressing that could not be moved.";
        let text = text(&pdf).replace(['\n', '\u{c}'], " ");
        assert_eq!(text.matches("could not be").count(), 14, "{words}");
    }
}

#[test]
fn the_same_content_gives_the_same_bytes() {
    for trail in [Trail::Needed, Trail::Full] {
        let content = content(&events_of("plain"), trail);
        let one = document(&content, Paper::Letter).unwrap();
        assert!(one == document(&content, Paper::Letter).unwrap());
    }
}

#[test]
fn all_ten_become_pdf_on_both_papers() {
    for (name, events) in ten() {
        for paper in PAPERS {
            for trail in [Trail::Needed, Trail::Full] {
                let pdf = document(&content(&events, trail), paper).unwrap();
                assert!(pdf.starts_with(b"%PDF-"), "{name}");
                let many = pages(&pdf);
                assert!((1..=7).contains(&many), "{name} {paper:?} {trail:?}: {many} pages");
                if let Ok(folder) = std::env::var("CUFFNOTE_PICTURES") {
                    let file = format!("{folder}/{name}-{paper:?}-{trail:?}.pdf");
                    std::fs::write(file, &pdf).unwrap();
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_typed_text_breaks_the_pdf(words in prop_oneof![any::<String>(), "[\u{0}-\u{ff}\u{590}-\u{6ff}\u{2000}-\u{206f}]{0,80}"]) {
        let mut events = events_of("plain");
        if let Some(Act::VisitOpened(opened)) = events.first_mut().map(|event| &mut event.act) {
            opened.record.clone_from(&words);
            opened.operator.clone_from(&words);
            opened.reason.clone_from(&words);
            opened.gauge.code.clone_from(&words);
        }
        let at = events[0].at;
        let act = Act::Note { who: words.clone(), words };
        events.push(cuffnote::clinical::event::Event::new(events.len() as u64 + 1, at, act));
        let pdf = document(&content(&events, Trail::Needed), Paper::A4).unwrap();
        prop_assert!(pages(&pdf) >= 1);
        // What is ours still stands there, and in its order.
        let text = text(&pdf);
        let first = text.find("In short").unwrap();
        prop_assert!(text[first..].contains("Measured by"));
    }
}
