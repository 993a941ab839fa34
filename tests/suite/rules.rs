//! The rules of a visit: arms, repeats, posture, exercise, toe, flags, change.

use cuffnote::clinical::cautions;
use cuffnote::clinical::event::{
    Act, Answer, Answered, Heard, Made, Opened, Outcome, Phase, Posture, SoundTime, Source,
};
use cuffnote::clinical::exact::Hundredths;
use cuffnote::clinical::method::Method;
use cuffnote::clinical::repeat_rules::{FirstArm, Repeats};
use cuffnote::clinical::result::VisitResult;
use cuffnote::clinical::site::Side;
use cuffnote::clinical::visit::Visit;
use cuffnote::units::SampleIndex;

use super::bedside::*;

pub const PLAIN: &str =
    "right-arm 140, left-arm 138, right-dp 130, right-pt 98, left-dp 136, left-pt 130";

fn said(words: &[String], text: &str) -> bool {
    words.iter().any(|w| w.contains(text))
}

pub fn with(opened: Opened, words: &str, more: Vec<Act>) -> VisitResult {
    result_of(&events(opened, words, more), &all_sets())
}

pub fn standard() -> Opened {
    opened(Method::Higher)
}

pub fn attempt(number: u32, site: &str, outcome: Outcome) -> Vec<Act> {
    let site = site.parse().unwrap();
    let chosen = Act::SiteChosen { attempt: number, site, phase: Phase::Rest, gauge: None };
    vec![chosen, Act::Outcome { attempt: number, outcome }]
}

pub fn reading(whole: i32) -> Outcome {
    Outcome::Reading { cuff_mmhg: mmhg(whole), source: Source::EarAndGauge }
}

#[test]
fn arms_missing_in_every_way() {
    let provisional = visit("right-arm 140, right-dp 120");
    assert!(provisional.right.provisional && provisional.right.bands.is_empty());
    assert!(said(&provisional.right.words, "Provisional"));
    assert_eq!(indexes(&provisional)[0], "0.86");
    let one = visit("right-arm 140, left-arm skipped, right-dp 120");
    assert!(said(&one.right.words, "may be falsely high") && !one.right.bands.is_empty());
    let open = visit("right-arm 140, left-arm nc, right-dp 120");
    assert!(said(&open.right.words, "is falsely high") && open.right.bands.is_empty());
    let none = with(standard(), "right-arm none, left-arm skipped, right-dp 45", vec![]);
    assert_eq!(indexes(&none)[0], "-");
    assert!(said(&none.right.words, "ankle pressures only"));
    // Limits on the ankle pressure itself still stand.
    assert!(none.right.bands.iter().any(|b| b.id == "tasc-2007"));
}

#[test]
fn arms_far_apart_are_repeated_and_the_higher_one_counts() {
    // NICE NG136 1.2.1: more than 15 mmHg. Constructed vector C3: 22 apart; C2: exactly 10.
    let far = visit("right-arm 150, left-arm 128, right-dp 90, left-dp 150");
    assert_eq!(far.left.arm_site.as_deref(), Some("right-arm"));
    assert!(said(&far.notes, "differ by 22 mmHg"));
    assert_eq!(far.wanted.len(), 2);
    let edge = visit("right-arm 145, left-arm 130, right-dp 90");
    assert!(!said(&edge.notes, "The arms differ"));
    let ten = visit("right-arm 140, left-arm 130, right-dp 126");
    assert!(ten.wanted.is_empty(), "10 is not more than 10");
    assert_eq!(visit("right-arm 141, left-arm 130, right-dp 126").wanted.len(), 1);
}

fn first_arm(rule: FirstArm, readings: [i32; 2], other: i32) -> (Option<f64>, VisitResult) {
    let opened =
        Opened { repeats: Repeats { first_arm: rule, ..Repeats::default() }, ..standard() };
    let words = format!(
        "right-arm {}, right-dp 100, left-arm {other}, right-arm {}",
        readings[0], readings[1]
    );
    let result = with(opened, &words, vec![]);
    (result.sites.iter().find(|s| s.site.code() == "right-arm").unwrap().mmhg, result)
}

#[test]
fn the_first_arm_in_both_wordings() {
    // AHA 2012, wording (b), from memory: average, unless they differ by more than 10.
    assert_eq!(first_arm(FirstArm::Average, [150, 140], 138).0, Some(145.0));
    assert_eq!(first_arm(FirstArm::Average, [151, 140], 138).0, Some(140.0));
    // Wording (a), secondary: the first exceeds the second arm by more than 10, so it is discarded.
    assert_eq!(first_arm(FirstArm::Discard, [150, 144], 140).0, Some(147.0));
    let (pressure, result) = first_arm(FirstArm::Discard, [151, 144], 140);
    assert_eq!(pressure, Some(144.0));
    assert_eq!(first_arm(FirstArm::AllCount, [164, 140], 138).0, Some(152.0));
    // Further apart than 25 mmHg (own choice) they contradict each other: no mean, no index.
    let (pressure, apart) = first_arm(FirstArm::AllCount, [166, 140], 138);
    assert_eq!((pressure, apart.right.index), (None, None));
    assert!(said(&apart.right.words, "readings of 140 and 166 mmHg contradict each other"));
    // All attempts stay visible, with the reason.
    let arm = result.sites.iter().find(|s| s.site.code() == "right-arm").unwrap();
    assert_eq!(arm.attempts.len(), 2);
    assert!(arm.attempts[0].left_out.as_ref().unwrap().contains("more than 10 mmHg"));
    assert!(said(&result.notes, "unverified"));
}

#[test]
fn repeats_count_by_rule_and_never_as_the_best() {
    let twice = visit("right-arm 140, left-arm 138, right-dp 120, right-dp 127");
    assert_eq!(twice.right.ankle_mmhg, Some(123.5));
    assert_eq!(indexes(&twice)[0], "0.88");
    let found = visit("right-arm 140, left-arm 138, right-dp none, right-dp 120");
    assert_eq!(found.right.ankle_mmhg, Some(120.0));
    let both = visit("right-arm 140, left-arm 138, right-dp nc, right-dp 120, right-pt 100");
    assert_eq!(indexes(&both)[0], "-");
    assert!(said(&both.right.words, "withdraw one of them"));
}

#[test]
fn an_irregular_rhythm_asks_for_three_readings_and_a_rise_for_another() {
    let heard = Heard { irregular: Some(true), heart_rate_bpm: Some(80.0), ..Heard::default() };
    let finding = Act::Finding { attempt: 1, heard };
    let irregular = with(standard(), PLAIN, vec![finding]);
    assert_eq!(irregular.wanted.len(), 6);
    assert!(irregular.wanted[0].why.contains("BIHS 2019"));
    let manual = Repeats { again_if_higher_by_mmhg: Some(mmhg(5)), ..Repeats::default() };
    let wanted = |second: i32| {
        let opened = Opened { repeats: manual.clone(), ..standard() };
        with(opened, &format!("right-dp 100, right-dp {second}"), vec![]).wanted.len()
    };
    assert_eq!([wanted(105), wanted(106)], [0, 1]);
}

#[test]
fn not_lying_flat_is_recorded_and_bands_are_withheld() {
    let seated = with(Opened { posture: Posture::Sitting, ..standard() }, PLAIN, vec![]);
    assert_eq!(indexes(&seated)[0], "0.93");
    assert!(seated.right.bands.is_empty() && seated.right.crossings.is_empty());
    assert!(said(&seated.right.words, "No recommendation is shown"));
    assert_eq!(seated.posture, "sitting");
}

#[test]
fn not_compressible_gives_no_index_but_its_band() {
    let result = visit("right-arm 140, left-arm 138, right-dp nc, right-pt 120, right-toe 60");
    assert_eq!(indexes(&result)[0], "-");
    assert_eq!(result.right.more_than, Some(Hundredths(214)));
    assert_eq!(result.right.bands[0].name, "non-compressible");
    let toe = result.right.toe.as_ref().unwrap();
    assert_eq!((toe.index, toe.entered), (Some(Hundredths(43)), true));
    assert!(said(&result.right.words, "entered from another instrument"));
    assert!(result.right.bands.iter().any(|b| b.name == "abnormal toe-brachial index"));
    // By the lower artery the other one still gives an index.
    let lower = by(Method::Lower, "right-arm 140, left-arm 138, right-dp nc, right-pt 120");
    assert_eq!(indexes(&lower)[0], "0.86");
    assert!(said(&lower.right.words, "Not compressible"));
    assert_eq!(
        indexes(&by(Method::Mean, "right-arm 140, left-arm 138, right-dp nc, right-pt 120"))[0],
        "-"
    );
}

#[test]
fn the_peroneal_is_optional_and_counts_only_for_the_higher_artery() {
    let words = "right-arm 140, left-arm 138, right-dp 100, right-pt 98, right-peroneal 126";
    assert_eq!(indexes(&visit(words))[0], "0.90");
    assert_eq!(indexes(&by(Method::Lower, words))[0], "0.70");
    assert!(!said(&visit(PLAIN).right.words, "peroneal"));
}

#[test]
fn arteries_of_one_ankle_far_apart_are_pointed_out() {
    assert!(said(&visit(PLAIN).right.words, "differ by 32 mmHg"));
    assert!(!said(
        &visit("right-arm 140, left-arm 138, right-dp 115, right-pt 100").right.words,
        "differ by"
    ));
}

#[test]
fn exercise_falls_are_judged_by_both_published_criteria() {
    // More than 20 % of the index or more than 30 mmHg of the ankle (Mahe 2015).
    let after = |ankle: i32, arm: i32| {
        let mut acts = Vec::new();
        for (number, site, pressure) in
            [(21, "right-arm", arm), (22, "left-arm", arm), (23, "right-dp", ankle)]
        {
            let site = site.parse().unwrap();
            acts.push(Act::SiteChosen {
                attempt: number,
                site,
                phase: Phase::AfterExercise,
                gauge: None,
            });
            acts.push(Act::Outcome { attempt: number, outcome: reading(pressure) });
        }
        let rest = "right-arm 150, left-arm 150, right-dp 150";
        with(standard(), rest, acts).right.exercise.unwrap()
    };
    let exactly = after(120, 150);
    assert!(!said(&exactly.words, "more than 20 %") && !said(&exactly.words, "more than 30 mmHg"));
    assert!(said(&after(119, 150).words, "more than 20 %"));
    assert!(said(&after(119, 150).words, "more than 30 mmHg"));
    let arm_rose = after(130, 180);
    assert!(said(&arm_rose.words, "more than 20 %") && !said(&arm_rose.words, "more than 30 mmHg"));
    assert_eq!(with(standard(), PLAIN, vec![]).right.exercise, None);
}

#[test]
fn flags_stand_above_every_number() {
    let flag = |id: &str, side| Answered { id: id.into(), answer: Answer::Yes, side };
    let acts = vec![
        Act::Caution(flag("graft-or-stent", Some(Side::Right))),
        Act::RedFlag(flag("rest-pain", Some(Side::Right))),
        Act::RedFlag(flag("from-the-future", None)),
    ];
    let opened = Opened { diabetes: Answer::Yes, ..standard() };
    let result = with(opened, PLAIN, acts.clone());
    assert!(result.right.words[0].starts_with("Red flag, above every number"));
    assert!(said(&result.right.words, "rest pain") && !said(&result.left.words, "rest pain"));
    assert!(said(&result.left.words, "from-the-future"), "an unknown flag is never dropped");
    assert!(said(&result.left.words, "diabetes"));
    let taken_back = Answered { answer: Answer::No, ..flag("rest-pain", Some(Side::Right)) };
    let later = [acts, vec![Act::RedFlag(taken_back)]].concat();
    assert!(!said(&with(standard(), PLAIN, later).right.words, "rest pain"));
}

#[test]
fn the_list_of_cautions_holds_what_must_be_asked() {
    let visit = Visit::from_events(&events(standard(), "", Vec::new())).unwrap();
    let asked: Vec<String> = cautions::to_ask(&visit).into_iter().map(|item| item.id).collect();
    for id in [
        "acute-limb",
        "rest-pain",
        "gangrene",
        "spreading-infection",
        "suspected-clot",
        "graft-or-stent",
        "wound-under-cuff",
        "arm-not-usable",
    ] {
        assert!(asked.contains(&id.to_owned()), "{id}");
    }
    assert!(cautions::list().iter().all(|item| !item.source.is_empty() && !item.words.is_empty()));
}

#[test]
fn deflation_is_taken_from_the_needle_where_it_was_marked() {
    let time = |s: u64| SoundTime { epoch: 1, sample: SampleIndex(s * 8_000), rate_hz: 8_000 };
    let needle = |p, s| Act::Needle { attempt: 1, cuff_mmhg: mmhg(p), at: time(s) };
    let mark = Act::Mark { attempt: 1, at: time(30), made: Made::Key };
    let rate = |acts| {
        let result = with(standard(), PLAIN, acts);
        result.sites[0].attempts[0].deflation_mmhg_per_s
    };
    assert_eq!(rate(vec![needle(200, 0), needle(150, 25)]), Some(2.0));
    // One needle mark and the reading (140) at the tap: 40 mmHg in 20 s.
    assert_eq!(rate(vec![needle(180, 10), mark.clone()]), Some(2.0));
    assert_eq!(rate(vec![needle(180, 10)]), None);
    assert_eq!(rate(vec![needle(150, 0), needle(200, 5)]), None, "pumped up, not let down");
    // A tap bounds the lag, so the interval narrows.
    let width = |acts| {
        let leg = with(standard(), PLAIN, acts).right;
        leg.doubt.unwrap().combined.standard
    };
    assert!(width(vec![mark]) < width(vec![]));
}
