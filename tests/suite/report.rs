//! The report as a document: well-formed, self-contained, readable without eyes, and closed to typed text.

use std::collections::BTreeSet;

use cuffnote::clinical::event::Posture;
use cuffnote::clinical::event::{
    Act, Answer, Answered, Event, Heard, Made, Outcome, Phase, SoundTime,
};
use cuffnote::clinical::guidance::{self, GuidanceSet};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::site::Side;
use cuffnote::clinical::typed::{self, Given};
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::report::content::{Content, ReportSource, SoundPicture, Trail};
use cuffnote::report::{html, paint};
use cuffnote::units::{Mmhg, SampleIndex, Sonogram};
use proptest::prelude::*;
use roxmltree::{Document, Node, ParsingOptions};

const SITES: [&str; 6] = ["right-arm", "right-pt", "right-dp", "left-pt", "left-dp", "left-arm"];

fn at() -> Moment {
    Moment::parse("2026-11-24T14:22:00+01:00").unwrap()
}

/// The acts of a visit with these readings, something heard at each site, and typed words wherever someone
/// can type.
fn events(readings: [&str; 6], typed_words: &str) -> Vec<Event> {
    let words = || typed_words.to_owned();
    let mut opened = typed::opening(Method::Higher, Mmhg::whole(2).unwrap(), Posture::Supine);
    (opened.record, opened.operator, opened.reason) = (words(), words(), words());
    opened.gauge.code = words();
    let mut acts = vec![Act::VisitOpened(opened)];
    let answer = |id: &str, answer| Answered { id: id.into(), answer, side: Some(Side::Left) };
    acts.push(Act::RedFlag(answer("rest-pain", Answer::Yes)));
    acts.push(Act::Caution(answer(typed_words, Answer::Yes)));
    for (attempt, (site, reading)) in (1..).zip(SITES.iter().zip(readings)) {
        let site = site.parse().unwrap();
        acts.push(Act::SiteChosen { attempt, site, phase: Phase::Rest, gauge: None });
        let at = SoundTime { epoch: attempt, sample: SampleIndex(96_000), rate_hz: 16_000 };
        acts.push(Act::Mark { attempt, at, made: Made::Key });
        let heard = Heard {
            lost_s: Some(2.0),
            return_s: Some(5.5),
            confidence: Some(0.9),
            rhythm: words(),
            quality: vec![words()],
            ..Heard::default()
        };
        acts.push(Act::Finding { attempt, heard });
        let outcome = match reading.parse().unwrap() {
            Given::Pressure(cuff_mmhg) => {
                Outcome::Reading { cuff_mmhg, source: Default::default() }
            }
            Given::NotCompressible => Outcome::NotCompressible { limit_mmhg: Mmhg::LIMIT },
            Given::NoSignal => Outcome::NoSignal,
            Given::Skipped => Outcome::NotMeasured { reason: words() },
        };
        acts.push(Act::Outcome { attempt, outcome });
    }
    acts.push(Act::Note { who: words(), words: words() });
    let numbered = (1..).zip(acts);
    numbered.map(|(n, act)| Event::new(n, at(), act)).collect()
}

fn sets() -> Vec<GuidanceSet> {
    guidance::ids().map(|id| guidance::shipped(id).unwrap().unwrap()).collect()
}

fn page(readings: [&str; 6], words: &str) -> String {
    let visit = Visit::from_events(&events(readings, words)).unwrap();
    let sets = sets();
    let result = work_out(&visit, &sets, Assumed::default());
    let levels = (0..800 * 8).map(|i| (i % 251) as u8).collect();
    let sonogram = Sonogram { start_s: 0.005, column_s: 0.01, top_hz: 4000.0, rows: 8, levels };
    let sounds: Vec<SoundPicture> =
        (1..=6).map(|attempt| SoundPicture { attempt, sonogram: sonogram.clone() }).collect();
    let source = ReportSource {
        visit: &visit,
        result: &result,
        sets: &sets,
        sounds: &sounds,
        service: words,
        trail: Trail::Full,
        chain: Some(words),
    };
    String::from_utf8(html::page(&Content::of(&source))).unwrap()
}

const READINGS: [&str; 6] = ["148", "104", "96", "146", "150", "142"];
const ODD: [&str; 6] = ["148", "none", "nc", "none", "none", "skipped"];

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(page, options).unwrap()
}

fn named<'a>(document: &'a Document<'_>, name: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document.descendants().filter(move |node| node.tag_name().name() == name)
}

#[test]
fn the_page_needs_nothing_from_outside() {
    let page = page(READINGS, "K-2041");
    let document = parsed(&page);
    for node in document.descendants() {
        for attribute in node.attributes() {
            if ["href", "src", "srcset", "action", "data"].contains(&attribute.name()) {
                assert!(attribute.value().starts_with("data:image/png"), "{attribute:?}");
            }
        }
    }
    for name in ["script", "link", "a", "iframe", "object", "base"] {
        assert_eq!(named(&document, name).count(), 0, "{name}");
    }
    let style = named(&document, "style").next().unwrap().text().unwrap();
    assert!(style.matches("url(").count() == style.matches("url(data:font/otf").count());
    assert!(!style.contains("@import"));
}

#[test]
fn it_can_be_read_without_eyes() {
    for readings in [READINGS, ODD] {
        let page = page(readings, "K-2041");
        let document = parsed(&page);
        let root = document.root_element();
        assert_eq!(root.attribute("lang"), Some("en"));
        assert_eq!(
            named(&document, "title").next().unwrap().text().unwrap(),
            "Ankle-brachial index: record of a measurement, record K-2041"
        );
        let levels: Vec<u32> = document
            .descendants()
            .filter_map(|n| n.tag_name().name().strip_prefix('h')?.parse().ok())
            .collect();
        assert_eq!(levels[0], 1);
        assert!(levels.windows(2).all(|w| w[1] > 1 && w[1] <= w[0] + 1), "{levels:?}");
        let ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "an id twice");
        for node in document.descendants() {
            for id in node.attribute("aria-labelledby").unwrap_or("").split_whitespace() {
                assert!(ids.contains(&id), "{id} names nothing");
            }
        }
        for svg in named(&document, "svg") {
            assert_eq!(svg.attribute("role"), Some("img"));
            for part in ["title", "desc"] {
                let text =
                    svg.children().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", part)));
                assert!(text.and_then(|n| n.text()).is_some_and(|t| t.len() > 10), "{part}");
            }
        }
        for table in named(&document, "table") {
            assert!(table.children().any(|n| n.tag_name().name() == "caption"));
            let heads = table.descendants().filter(|n| n.tag_name().name() == "th");
            assert!(
                heads.clone().count() > 5
                    && heads.clone().all(|th| th.attribute("scope").is_some())
            );
        }
    }
}

/// What is told by a line is told by a word beside it, so that it survives without colour.
#[test]
fn every_mark_on_a_sonogram_has_its_word_and_its_own_kind_of_line() {
    let page = page(READINGS, "K-2041");
    let document = parsed(&page);
    let pictures = named(&document, "svg")
        .filter(|svg| svg.descendants().any(|n| n.tag_name().name() == "image"));
    let mut seen = 0;
    for svg in pictures {
        let words: Vec<&str> = svg
            .descendants()
            .filter(|n| n.tag_name().name() == "text")
            .filter_map(|n| n.text())
            .collect();
        for word in ["pulse lost", "first pulse heard", "tap"] {
            assert!(words.contains(&word), "{words:?}");
        }
        let kind = |colour: &str| {
            let line = svg
                .descendants()
                .find(|n| n.attribute("stroke") == Some(colour) && n.tag_name().name() == "line");
            line.unwrap().attribute("stroke-dasharray").unwrap().to_owned()
        };
        assert!(kind(paint::HEARD) != "none" && kind(paint::ACT) == "none");
        seen += 1;
    }
    assert_eq!(seen, 6);
}

#[test]
fn only_the_limits_of_the_first_set_are_drawn_and_each_has_its_name() {
    let page = page(READINGS, "K-2041");
    let document = parsed(&page);
    let line = named(&document, "svg").next().unwrap();
    let text: Vec<&str> = line
        .descendants()
        .filter(|n| n.tag_name().name() == "text")
        .filter_map(|n| n.text())
        .collect();
    for name in [
        "<= 0.90 \"abnormal\"",
        "0.91-0.99 \"borderline\"",
        "1.00-1.40 \"normal\"",
        "> 1.40 \"non-compressible\"",
    ] {
        assert!(text.contains(&name), "{name} is not in {text:?}");
    }
    assert_eq!(text.len(), 9 + 4, "nine numbers of the scale and four names: {text:?}");
}

#[test]
fn colours_are_only_those_whose_contrast_is_tested() {
    let page = page(READINGS, "K-2041");
    let known: BTreeSet<&str> = paint::PAIRS.iter().flat_map(|p| [p.front, p.behind]).collect();
    let mut found = BTreeSet::new();
    for (at, _) in page.match_indices('#') {
        let colour = page.get(at..at + 7).unwrap_or("");
        if colour.len() == 7 && colour[1..].bytes().all(|b| b.is_ascii_hexdigit()) {
            found.insert(colour);
        }
    }
    assert!(found.is_subset(&known), "{found:?}");
    assert!(found.len() >= 7, "the page uses its colours: {found:?}");
}

#[test]
fn red_flags_stand_before_every_number_and_sources_before_words() {
    let page = page(READINGS, "K-2041");
    let flag = page.find("rest pain was recorded").unwrap();
    assert!(flag < page.find("95\u{a0}% interval").unwrap());
    assert!(page.find("Source: ").unwrap() < page.find("For index 0.70").unwrap());
}

/// "Normal" and "safe" are other people's words: they stand in quotation marks, figures included.
#[test]
fn no_judging_word_stands_bare() {
    let mut seen = 0;
    for readings in [READINGS, ODD] {
        let page = page(readings, "K-2041");
        let document = parsed(&page);
        let read = document
            .descendants()
            .filter(|n| n.is_text() && n.parent().unwrap().tag_name().name() != "style");
        for text in read.filter_map(|n| n.text()) {
            let lower = text.to_lowercase();
            for word in ["normal", "safe"] {
                for (at, _) in lower.match_indices(word) {
                    let quoted = lower[..at].matches('"').count() % 2 == 1;
                    assert!(quoted, "`{word}` stands bare in: {text}");
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 3, "the words were looked for where they are: {seen}");
}

/// The names of all elements, in order: what typed text must not be able to change.
fn skeleton(page: &str) -> Vec<String> {
    parsed(page).descendants().map(|n| n.tag_name().name().to_owned()).collect()
}

/// Text with what markup, style sheets, scripts and terminals care about.
fn nasty() -> impl Strategy<Value = String> {
    let pieces = prop_oneof![
        any::<char>().prop_map(String::from),
        "[a-zA-Z0-9 ]{1,12}",
        prop::sample::select(vec![
            "<",
            ">",
            "&",
            "\"",
            "'",
            "</style>",
            "</title>",
            "<script>",
            "]]>",
            "<!--",
            "-->",
            "&amp;",
            "&#0;",
            "\\",
            "\\22",
            "}",
            "{",
            ";",
            "/*",
            "url(",
            "\u{0}",
            "\u{202E}",
            "\u{2028}",
            "\u{FFFE}",
            "\u{1b}[31m",
            "${x}",
            "=cmd",
            "ş",
            "Ж",
        ])
        .prop_map(str::to_owned),
    ];
    prop::collection::vec(pieces, 1..12).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_typed_text_changes_the_document(words in nasty()) {
        // An empty value has no row in the head, so the plain text to compare with is never empty.
        let words = format!("K{words}");
        let (plain, typed) = (page(ODD, "K"), page(ODD, &words));
        prop_assert_eq!(skeleton(&plain), skeleton(&typed));
        let document = parsed(&typed);
        let record = named(&document, "dd").nth(1).unwrap().text().unwrap().to_owned();
        let kept = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).collect::<String>();
        prop_assert_eq!(kept(&record), kept(&words));
        let style = named(&document, "style").next().unwrap();
        prop_assert_eq!(style.children().count(), 1);
    }
}
