//! The trend of a leg: like held against like, limits marked, slow change seen.

use cuffnote::clinical::event::{Opened, Posture};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::result::VisitResult;
use cuffnote::clinical::site::Side;
use cuffnote::clinical::trend::{self, LegAtVisit};

use super::bedside::opened;
use super::rules::{standard, with};

/// A visit on this day of November with arms at 100 mmHg.
fn visit(day: u32, opened: Opened, right_dp: i32, more: &str) -> VisitResult {
    let words = format!("right-arm 100, left-arm 98, right-dp {right_dp}, right-pt 40{more}");
    let mut result = with(opened, &words, Vec::new());
    result.opened_at = format!("2026-11-{day:02}T10:00:00+01:00");
    result
}

fn right(visits: &[VisitResult]) -> Vec<LegAtVisit> {
    trend::of(Side::Right, visits)
}

#[test]
fn a_change_is_held_against_0_15_and_both_intervals() {
    let change = |a, b| {
        let steps = right(&[visit(1, standard(), a, ""), visit(2, standard(), b, "")]);
        assert_eq!(steps[0].since_last, None);
        steps[1].since_last.clone().unwrap()
    };
    assert!(!change(90, 75).beyond_limit, "0.15 is not beyond 0.15");
    let fell = change(90, 74);
    assert_eq!((fell.by, fell.beyond_limit, fell.marked()), (-16, true, true));
    assert!(fell.words.contains("fell by 0.16, from 0.90 to 0.74: more than the 0.15"));
    let far = change(90, 40);
    assert!(far.intervals_apart && far.words.contains("lie apart"));
    let near = change(90, 88);
    assert!(!near.intervals_apart && !near.marked() && near.words.contains("overlap"));
    assert!(change(90, 90).words.contains("is unchanged"));
}

/// Every step is small, the way is long: held against the first visit too. The order given does not matter.
#[test]
fn a_slow_fall_is_seen_against_the_first_visit() {
    let falls = [95, 89, 83, 77];
    let mut visits: Vec<_> =
        (1..).zip(falls).map(|(day, dp)| visit(day, standard(), dp, "")).collect();
    visits.reverse();
    let steps = right(&visits);
    let last = steps.last().unwrap();
    assert_eq!(steps.iter().map(|s| s.index.unwrap().0).collect::<Vec<_>>(), falls);
    assert!(!last.since_last.as_ref().unwrap().beyond_limit);
    let first = last.since_first.as_ref().unwrap();
    assert_eq!((first.by, first.marked()), (-18, true));
    assert_eq!(steps[1].since_first, None, "the last one is the first one");
}

#[test]
fn what_is_not_like_is_marked_and_other_quantities_are_not_held_together() {
    let plain = visit(1, standard(), 90, "");
    let of = |now: VisitResult| right(&[plain.clone(), now]).pop().unwrap();
    let what = |step: &LegAtVisit| step.unlike.iter().map(|u| u.what).collect::<Vec<_>>();
    let artery = of(visit(2, standard(), 30, ""));
    assert_eq!((what(&artery), artery.unlike[0].now.as_str()), (vec!["artery"], "right-pt"));
    assert!(
        artery.since_last.as_ref().unwrap().words.contains("artery right-dp then, right-pt now")
    );
    assert!(artery.since_last.unwrap().marked());
    let method = of(visit(2, opened(Method::PtOnly), 90, ""));
    let change = method.since_last.clone().unwrap();
    assert!(what(&method).contains(&"method") && change.not_comparable && !change.marked());
    assert!(change.words.starts_with("No change is stated: 0.90 then"), "{}", change.words);
    let sitting = Opened { posture: Posture::Sitting, ..standard() };
    let posture = of(visit(2, sitting, 90, ""));
    assert!(what(&posture) == ["posture"] && posture.since_last.unwrap().not_comparable);
}

#[test]
fn a_visit_without_an_index_is_a_gap_and_the_toe_has_its_own_line() {
    let toe = |day, mmhg| visit(day, standard(), 90, &format!(", right-toe {mmhg}"));
    let none = with(standard(), "right-arm 100, left-arm 98", Vec::new());
    let none = VisitResult { opened_at: "2026-11-02T10:00:00+01:00".into(), ..none };
    let steps = right(&[toe(1, 60), none, toe(3, 30)]);
    assert_eq!((steps[1].index, steps[1].since_last.clone()), (None, None));
    let last = &steps[2];
    assert_eq!(last.since_last.as_ref().unwrap().from, "2026-11-01T10:00:00+01:00");
    let toe = last.toe_since_last.as_ref().unwrap();
    assert_eq!((toe.by, toe.intervals_apart, toe.beyond_limit), (-30, true, false));
    assert!(toe.words.contains("from 60 to 30 mmHg"));
}
