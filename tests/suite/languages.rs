//! Reports in every language: the same numbers, nothing missing, nothing cut; what is data stays English.

use std::collections::BTreeMap;
use std::process::Command;

use cuffnote::clinical::event::{
    Act, Answer, Answered, Cuff, Event, Foot, Limb, Posture, Prepared, Temperature, Ulcer,
    VisitKind, WoundCare,
};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::site::Side;
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::{work_out, work_out_in};
use cuffnote::report::content::{Content, Trail};
use cuffnote::report::pdf::{Paper, document};
use cuffnote::report::{html, json};
use cuffnote::words::Words;
use proptest::prelude::*;

use super::bedside::all_sets;
use super::catalogue::files;
use super::shop::SHOP;
use super::visits::{Maker, content_in, ten};

/// English, long and accented, with a word that runs from right to left and its mark: what no layout may be written for.
pub fn pseudo() -> Words {
    static PSEUDO: std::sync::OnceLock<Words> = std::sync::OnceLock::new();
    *PSEUDO.get_or_init(|| {
        let texts: Vec<String> = files("en").values().map(|text| strange(text)).collect();
        Words::of_texts("en-XA", &texts).unwrap()
    })
}

/// Every message of a file made strange, whatever stands in braces left as it is.
fn strange(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let trimmed = line.trim_start();
        let (head, rest) = match () {
            () if line.starts_with("locale-decimal") || line.starts_with("locale-nouns") => {
                (line, "")
            }
            () if trimmed.starts_with(['[', '*']) => line.split_at(line.find(']').unwrap() + 1),
            () if trimmed.starts_with('}') => line.split_at(line.find('}').unwrap() + 1),
            () if line.starts_with(' ') && !trimmed.starts_with('.') => ("", line),
            () => line.split_at(line.find('=').map_or(0, |at| at + 1)),
        };
        out.push_str(head);
        let mut depth = 0;
        for c in rest.chars() {
            depth += i32::from(c == '{') - i32::from(c == '}');
            let long = if depth == 0 { strange_letter(c) } else { None };
            match long {
                Some(long) => out.push_str(long),
                None => out.push(c),
            }
        }
        // Only behind whole messages, and only where there is room for a word more.
        let whole =
            depth == 0 && line.contains(" = ") && rest.ends_with(['.', '!']) && rest.len() > 40;
        out.push_str(if whole { " \u{5d0}\u{5d1}\u{200f}\n" } else { "\n" });
    }
    out
}

const fn strange_letter(c: char) -> Option<&'static str> {
    match c {
        'a' => Some("áá"),
        'e' => Some("é"),
        'i' => Some("ïï"),
        'o' => Some("ö"),
        'u' => Some("ûû"),
        'n' => Some("ñ"),
        's' => Some("š"),
        _ => None,
    }
}

/// Visits for reports: the ten, and those with all that a report can say beside them.
fn visits() -> Vec<(String, Vec<Event>)> {
    let mut all: Vec<(String, Vec<Event>)> =
        ten().into_iter().map(|(name, events)| (name.to_owned(), events)).collect();
    all.push(("full".into(), full()));
    all.push(("paper".into(), paper()));
    all
}

/// A visit that is not closed, of a sitting patient who moved: findings, flags, cuffs, plan, notes, another operator.
fn full() -> Vec<Event> {
    let foot = |side, temperature, pulse_felt| {
        Act::Prepared(Prepared::Foot(Foot { side, temperature, pulse_felt }))
    };
    let cuff = |side, limb, circumference_mm| {
        let size = Cuff { side, limb, circumference_mm, width_mm: 115, length_mm: 230 };
        Act::Prepared(Prepared::Cuff(size))
    };
    let yes = |id: &str, side| Answered { id: id.into(), answer: Answer::Yes, side };
    let who = || "op-3".to_owned();
    let (right, left) = (Side::Right, Side::Left);
    let acts = vec![
        foot(right, Temperature::Cold, Answer::No),
        foot(left, Temperature::Warm, Answer::Unknown),
        cuff(right, Limb::Arm, Some(341)),
        cuff(left, Limb::Arm, Some(341)),
        cuff(right, Limb::Ankle, Some(225)),
        cuff(left, Limb::Ankle, None),
        Act::Prepared(Prepared::Wound { side: left, care: WoundCare::Covered }),
        Act::Prepared(Prepared::Rested { minutes: 4, wanted_min: 10 }),
        Act::Prepared(Prepared::RestBeganAgain),
        Act::RedFlag(yes("rest-pain", Some(right))),
        Act::RedFlag(yes("acute-limb", Some(right))),
        Act::Caution(yes("wound-under-cuff", Some(left))),
        Act::Caution(yes("of-a-later-version", Some(left))),
        Act::Plan { words: "vascular clinic this week".into(), who: who() },
        Act::NextTest { on: "2027-02-03".parse().unwrap(), who: who() },
        Act::Note { who: who(), words: "lay on the left side".into() },
        Act::Countersigned { who: "op-9".into() },
        Act::Exercised { words: "heel raises".into() },
    ];
    let mut maker = Maker::open("K-2011");
    for (site, reading) in [
        ("right-arm", "170"),
        ("right-arm", "152"),
        ("left-arm", "142"),
        ("right-pt", "104"),
        ("right-dp", "150"),
        ("left-pt", "nc"),
        ("left-pt", "120"),
        ("left-dp", "skipped: dressing"),
        ("right-toe", "62"),
    ] {
        maker = maker.site(site, reading);
    }
    let mut events = acts.into_iter().fold(maker, Maker::act).events();
    if let Act::VisitOpened(opened) = &mut events[0].act {
        opened.posture = Posture::Sitting;
        opened.method = Method::Mean;
        opened.diabetes = Answer::Yes;
        opened.rested_min = None;
        opened.scope = VisitKind::OneLeg { side: left };
        opened.ulcer = Some(Ulcer { side: left, place: "over the ankle".into() });
        opened.listener = None;
    }
    events
}

/// A visit that was taken over from paper, with exercise and both arteries of an ankle absent.
fn paper() -> Vec<Event> {
    let readings = [
        ("right-arm", "148"),
        ("right-pt", "none"),
        ("right-dp", "none"),
        ("left-pt", "300"),
        ("left-dp", "152"),
        ("left-arm", "nc"),
    ];
    let maker = Maker::open("K-2012").without_sound();
    let maker = readings.iter().fold(maker, |maker, (site, reading)| maker.site(site, reading));
    let mut events = maker.closed();
    if let Act::VisitOpened(opened) = &mut events[0].act {
        opened.scope = VisitKind::OnPaper { on: "2026-08-25".parse().unwrap(), by: "op-1".into() };
    }
    events
}

#[test]
fn every_report_is_whole_in_every_language_and_its_numbers_are_those_of_english() {
    let digits = |content: &Content| {
        let mut runs: BTreeMap<String, usize> = BTreeMap::new();
        for run in content.text().split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty())
        {
            *runs.entry(run.to_owned()).or_default() += 1;
        }
        runs
    };
    for (name, events) in visits() {
        for trail in [Trail::Needed, Trail::Full] {
            let english = content_in(Words::english(), &events, trail);
            for words in Words::all().filter(|words| !words.is_english()).chain([pseudo()]) {
                let theirs = content_in(words, &events, trail);
                let count = |content: &Content| {
                    content.sections.iter().map(|s| (s.id, s.blocks.len())).collect::<Vec<_>>()
                };
                assert_eq!(count(&english), count(&theirs), "{name} {}", words.tag());
                let (ours, other) = (digits(&english), digits(&theirs));
                // Months are words in some forms of a day and figures in others, so days are left out.
                let unlike: Vec<_> = ours
                    .iter()
                    .filter(|(run, _)| run.len() != 2 && !other.contains_key(*run))
                    .collect();
                assert!(unlike.is_empty(), "{name} {}: {unlike:?}", words.tag());
                let page = String::from_utf8(html::page(&theirs)).unwrap();
                assert!(page.contains(&format!("<html lang=\"{}\"", words.tag())), "{name}");
                roxmltree::Document::parse(page.trim_start_matches("<!DOCTYPE html>")).unwrap();
                for left in ["report-", "clinical-", "caution-", "figure-", "locale-"] {
                    assert!(!theirs.text().contains(left), "{name} {}: {left}", words.tag());
                }
            }
        }
    }
    for words in Words::all().chain([pseudo()]) {
        assert_eq!(words.missed(), 0, "{}: messages said in English", words.tag());
    }
}

#[test]
fn a_translation_says_that_nobody_has_reviewed_it_until_somebody_has() {
    let (_, events) = &visits()[0];
    for words in Words::all() {
        let mut content = content_in(words, events, Trail::Needed);
        let unreviewed = words.plain("report-foot-unreviewed");
        assert_eq!(content.foot.iter().any(|line| line == unreviewed), !words.is_english());
        content.confirmed_by("K-7");
        assert!(!content.foot.iter().any(|line| line == unreviewed));
        assert_eq!(content.foot.iter().any(|line| line.contains("K-7")), !words.is_english());
    }
}

/// What a word is drawn in: page, left, top, right, bottom; points.
fn boxes(pdf: &[u8]) -> Vec<(usize, [f64; 4], String)> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("r.pdf");
    std::fs::write(&path, pdf).unwrap();
    let done = Command::new("pdftotext").arg("-bbox").arg(&path).arg("-").output().unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    let (mut found, mut page) = (Vec::new(), 0);
    for line in text.lines().map(str::trim) {
        page += usize::from(line.starts_with("<page "));
        let Some(rest) = line.strip_prefix("<word ") else { continue };
        let place = |name: &str| -> f64 {
            let value = rest.split(&format!("{name}=\"")).nth(1).unwrap();
            value.split('"').next().unwrap().parse().unwrap()
        };
        let word = rest.split('>').nth(1).unwrap().split('<').next().unwrap().to_owned();
        found.push((page, ["xMin", "yMin", "xMax", "yMax"].map(place), word));
    }
    found
}

/// Words that leave the paper's margins, and pairs that lie over one another.
fn cut(pdf: &[u8], (width, height): (f32, f32)) -> Vec<String> {
    let boxes = boxes(pdf);
    assert!(boxes.len() > 100);
    let (width, height) = (f64::from(width), f64::from(height));
    let mut faults = Vec::new();
    for (i, (page, [left, top, right, bottom], word)) in boxes.iter().enumerate() {
        if *left < 38.0 || *right > width - 38.0 || *top < 20.0 || *bottom > height - 5.0 {
            faults.push(format!("page {page}: {word} leaves the margins, {left:.0} to {right:.0}"));
        }
        for (_, [a, b, c, d], other) in boxes[i + 1..].iter().filter(|(p, ..)| p == page) {
            let wide = right.min(*c) - left.max(*a);
            let tall = bottom.min(*d) - top.max(*b);
            // A box is as tall as its face, more than the letters in it: a third of it is another line's word.
            let least = (bottom - top).min(d - b);
            if wide > 1.0 && tall > least / 2.0 {
                faults.push(format!("page {page}: {word} and {other} lie over one another"));
            }
        }
    }
    faults
}

#[test]
fn no_word_of_a_report_is_cut_or_lies_on_another_in_any_language() {
    let mut faults = Vec::new();
    for words in Words::all().chain([pseudo()]) {
        for (name, events) in visits() {
            for (paper, trail) in [(Paper::A4, Trail::Needed), (Paper::Letter, Trail::Full)] {
                let pdf = document(&content_in(words, &events, trail), paper).unwrap();
                let found = cut(&pdf, paper.size_pt());
                faults.extend(
                    found
                        .into_iter()
                        .map(|fault| format!("{} {name} {paper:?}: {fault}", words.tag())),
                );
                if let Ok(folder) = std::env::var("CUFFNOTE_PICTURES") {
                    std::fs::write(format!("{folder}/{}-{name}-{paper:?}.pdf", words.tag()), &pdf)
                        .unwrap();
                }
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults: {}",
        faults.len(),
        faults[..faults.len().min(40)].join("\n")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// The numbers of a result, and how many sentences it has, do not hang on the language; nor does any data.
    #[test]
    fn a_result_is_the_same_but_for_its_words(
        cells in proptest::array::uniform7(prop_oneof![
            (40i32..=300).prop_map(|p| p.to_string()),
            Just("nc".to_owned()), Just("none".to_owned()), Just("skipped".to_owned()), Just(String::new()),
        ]),
        yes in any::<u8>(),
    ) {
        let sites = ["right-arm", "left-arm", "right-dp", "right-pt", "left-dp", "left-pt", "right-toe"];
        let given = sites.iter().zip(&cells).filter(|(_, cell)| !cell.is_empty());
        let typed: Vec<String> = given.map(|(site, cell)| format!("{site} {cell}")).collect();
        let flags = cuffnote::clinical::cautions::list().into_iter().enumerate();
        let more = flags.filter(|(i, _)| yes >> (i % 8) & 1 == 1).map(|(_, item)| {
            Act::RedFlag(Answered { id: item.id, answer: Answer::Yes, side: Some(Side::Left) })
        });
        let events = super::bedside::events(super::bedside::opened(Default::default()), &typed.join(", "), more.collect());
        let visit = Visit::from_events(&events).unwrap();
        let english = work_out(&visit, &all_sets(), Assumed::default());
        for words in Words::all().chain([pseudo()]) {
            let theirs = work_out_in(words, &visit, &all_sets(), Assumed::default());
            for side in Side::BOTH {
                let (a, b) = (english.leg(side), theirs.leg(side));
                prop_assert_eq!((a.index, a.low, a.high, a.more_than), (b.index, b.low, b.high, b.more_than));
                prop_assert_eq!((a.words.len(), a.bands.len(), a.crossings.len()), (b.words.len(), b.bands.len(), b.crossings.len()));
            }
            prop_assert_eq!(english.notes.len(), theirs.notes.len());
            prop_assert_eq!(words.missed(), 0);
        }
        let data = String::from_utf8(json::visit("", None, &english, &events).unwrap()).unwrap();
        prop_assert!(!data.contains("language"));
    }
}

/// The program itself: a report in a language, by word and by setting; data as they are; a wrong language is named.
#[test]
fn the_verb_writes_reports_in_a_language_and_data_in_none() {
    let folder = tempfile::tempdir().unwrap();
    let user = folder.path().join("user.toml");
    let page = |words: &str, out: &str| {
        let to = folder.path().join(out);
        let line = format!("report visit.json --out \"{}\" {words}", to.display());
        let done = SHOP.command(&line).env("CUFFNOTE_SETTINGS", &user).output().unwrap();
        (done.status.code(), std::fs::read_to_string(&to).unwrap_or_default())
    };
    let (code, german) = page("--language de", "de.html");
    assert!(
        code == Some(0)
            && german.contains("lang=\"de\"")
            && german.contains("Warnzeichen und Vorsicht")
    );
    assert!(
        german.contains("<b>0,") && german.contains("Keine Fachkraft hat die Übersetzung geprüft.")
    );
    let chosen = "version = 1\n[report]\nlanguage = \"fr\"\nlanguage_confirmed_by = \"fr=K-7\"\n";
    std::fs::write(&user, chosen).unwrap();
    let (_, set) = page("", "fr.html");
    std::fs::remove_file(&user).unwrap();
    assert!(set.contains("lang=\"fr\"") && set.contains("K-7") && !set.contains("Aucun clinicien"));
    let (_, english) = page("", "en.html");
    assert!(english.contains("lang=\"en\"") && !english.contains("translation"));
    for out in ["v.csv", "v.json"] {
        let (code, plain) = page("", out);
        assert_eq!(code, Some(0), "{out}");
        assert_eq!(plain, page("--language nl", out).1, "{out}");
    }
    let (_, bundle) = page("--language es", "v.fhir.json");
    let english = page("", "w.fhir.json").1;
    assert!(bundle.contains("\"language\": \"es\"") && english.contains("\"language\": \"en\""));
    let without = |text: &str| {
        let lines = text.lines().filter(|line| {
            !["\"data\"", "\"language\"", "\"title\""].iter().any(|key| line.contains(key))
        });
        lines.collect::<String>()
    };
    assert_eq!(without(&bundle), without(&english), "coded values do not depend on the language");
    assert_ne!(page("--language xx", "x.html").0, Some(0));
}
