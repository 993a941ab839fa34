//! Every combination of six sites and five outcomes gives sentences, and none calls anything safe or normal
//! in the program's own voice: the words stand only in quotation marks, behind the set that uses them.

use std::sync::OnceLock;

use cuffnote::clinical::guidance::GuidanceSet;
use cuffnote::clinical::result::VisitResult;
use proptest::prelude::*;

use super::bedside::{all_sets, events, opened, result_of, sentences};

const SITES: [&str; 6] = ["right-arm", "left-arm", "right-dp", "right-pt", "left-dp", "left-pt"];

fn sets() -> &'static [GuidanceSet] {
    static SETS: OnceLock<Vec<GuidanceSet>> = OnceLock::new();
    SETS.get_or_init(all_sets)
}

/// The text without what stands in quotation marks.
pub fn unquoted(text: &str) -> String {
    text.split('"').step_by(2).collect::<Vec<_>>().join(" ")
}

pub fn says(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric());
    words
        .into_iter()
        .any(|w| ["safe", "safely", "normal", "normally"].contains(&w.to_lowercase().as_str()))
}

/// The sentence that breaks the rule, if there is one.
fn bare(result: &VisitResult) -> Option<String> {
    sentences(result).into_iter().find(|sentence| {
        let source_first = sets().iter().any(|set| sentence.starts_with(&set.name));
        says(&unquoted(sentence)) || (says(sentence) && !source_first)
    })
}

fn holds(result: &VisitResult, words: &str) {
    assert_eq!(bare(result), None, "{words}");
    for leg in [&result.right, &result.left] {
        assert!(!leg.words.is_empty(), "{words}");
        let headline = leg.words.iter().any(|w| w.contains("ankle-brachial index"));
        assert!(headline, "{words}");
        assert_ne!(leg.index.map(|i| i.0), Some(0), "{words}");
        for band in &leg.bands {
            assert!(band.shown().starts_with(&band.guidance) && band.limits.len() > 1);
        }
    }
    assert!(!result.notes.is_empty());
    serde_json::to_string(result).unwrap();
}

#[test]
fn the_check_itself_can_fail() {
    assert!(says("this is safe.") && says("Normal") && !says("abnormal"));
    assert!(!says(&unquoted("X: \"normal\" (1.00-1.40)")));
}

#[test]
fn all_combinations_of_six_sites_and_five_outcomes() {
    let outcomes = ["reading", "nc", "none", "skipped", ""];
    let pressures = ["148", "142", "96", "104", "150", "146"];
    for code in 0..5usize.pow(6) {
        let mut words = Vec::new();
        for (place, site) in SITES.iter().enumerate() {
            match outcomes[code / 5usize.pow(place as u32) % 5] {
                "" => {}
                "reading" => words.push(format!("{site} {}", pressures[place])),
                outcome => words.push(format!("{site} {outcome}")),
            }
        }
        let words = words.join(", ");
        let result = result_of(&events(opened(Default::default()), &words, Vec::new()), sets());
        holds(&result, &words);
    }
}

proptest! {
    #[test]
    fn any_pressures_give_sentences(p in proptest::array::uniform6(1i32..=300), toe in 1i32..=300) {
        let mut words: Vec<String> = SITES.iter().zip(p).map(|(s, p)| format!("{s} {p}")).collect();
        words.push(format!("right-toe {toe}"));
        let words = words.join(", ");
        let result = result_of(&events(opened(Default::default()), &words, Vec::new()), sets());
        holds(&result, &words);
        // A higher ankle never lowers an index, whatever else stands there.
        let higher = words.replace(&format!("right-dp {}", p[2]), &format!("right-dp {}", (p[2] + 20).min(300)));
        let more = result_of(&events(opened(Default::default()), &higher, Vec::new()), sets());
        prop_assert!(more.right.index >= result.right.index);
    }
}
