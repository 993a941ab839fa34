//! Differences worth a sentence: between the arms, the arteries of one ankle, before and after exercise.

use super::event::Phase;
use super::exact::Ratio;
use super::index::{Formed, form};
use super::moment::Moment;
use super::repeat_rules::FirstArm;
use super::repeats::Pressures;
use super::result::ExerciseResult;
use super::sentences::mmhg;
use super::site::{Artery, Side, Site};
use super::visit::{Attempt, Visit};
use crate::words::{Words, id, say};

/// Arms further apart than this are repeated (NICE NG136 1.2.1), mmHg.
const ARMS_APART_MMHG: i64 = 15;
/// Arteries of one ankle further apart than this are pointed out; no guideline cut-off was found, mmHg.
const ARTERIES_APART_MMHG: i64 = 15;

/// From here on a pressure after exercise is called late, minutes (own choice; the criteria are for 1 minute).
const LATE_MIN: f64 = 2.0;

/// Sentences on the two arms.
pub fn arms(visit: &Visit, words: Words, rest: &Pressures) -> Vec<String> {
    let [right, left] = Side::BOTH.map(|side| rest.value(Site::new(side, Artery::Brachial)));
    let (Some(right), Some(left)) = (right, left) else { return Vec::new() };
    let apart = right.above(left).size();
    let higher = if right >= left { Side::Right } else { Side::Left };
    let mut said = Vec::new();
    if apart > Ratio::hundredths(ARMS_APART_MMHG * 100) {
        let apart = mmhg(words, apart);
        said.push(say!(words, "clinical-arms-differ", apart = apart, side = higher.code()));
    }
    let repeated =
        visit.attempts.iter().filter(|a| a.site.is_arm() && a.reading().is_some()).count();
    if repeated > 2 && visit.opened.repeats.first_arm != FirstArm::AllCount {
        let rule = visit.opened.repeats.first_arm.said(words);
        said.push(say!(words, "clinical-rule-in-use", rule = rule));
    }
    said
}

/// A sentence on the two arteries of one ankle, where they lie far apart.
pub fn arteries(side: Side, words: Words, rest: &Pressures) -> Option<String> {
    let at = |artery| rest.value(Site::new(side, artery));
    let (dp, pt) = (at(Artery::DorsalisPedis)?, at(Artery::PosteriorTibial)?);
    let apart = dp.above(pt).size();
    (apart > Ratio::hundredths(ARTERIES_APART_MMHG * 100)).then(|| {
        say!(
            words,
            "clinical-arteries-differ",
            dp = words.number(dp),
            pt = words.number(pt),
            apart = mmhg(words, apart),
            limit = ARTERIES_APART_MMHG
        )
    })
}

/// What happened after exercise on one leg; none where nothing was measured then.
pub fn exercise(
    visit: &Visit,
    words: Words,
    side: Side,
    before: &Formed,
) -> Option<ExerciseResult> {
    let after = Pressures::of(visit, Phase::AfterExercise);
    let formed = form(side, visit.opened.method, &after);
    let ankle_after = formed.ankle.as_ref()?;
    let ankle_before = before.ankle.as_ref()?;
    let fall = ankle_before.pressure.above(ankle_after.pressure);
    let after_min = minutes_after(visit, &ankle_after.sites);
    let (side, after, change) =
        (side.code(), words.number(ankle_after.pressure), change(words, fall));
    let mut said = vec![match after_min {
        Some(minutes) => say!(
            words,
            "clinical-exercise-since",
            minutes = words.decimal(minutes, 0),
            side = side,
            after = after,
            change = change
        ),
        None => say!(words, "clinical-exercise", side = side, after = after, change = change),
    }];
    if after_min.is_some_and(|min| min > LATE_MIN) {
        said.push(words.plain(id!("clinical-exercise-late")).into());
    }
    if fall > Ratio::hundredths(3000) {
        said.push(words.plain(id!("clinical-exercise-pressure")).into());
    }
    let share = before.ratio.zip(formed.ratio).map(|(b, a)| a.over(b));
    if share.is_some_and(|s| s < Ratio::hundredths(80)) {
        said.push(words.plain(id!("clinical-exercise-index")).into());
    }
    Some(ExerciseResult {
        index_after: formed.ratio.map(Ratio::half_up),
        index_fall_percent: share.map(|s| 100.0 * (1.0 - s.as_f64())),
        ankle_fall_mmhg: Some(fall.as_f64()),
        after_min,
        words: said,
    })
}

/// From the end of the exercise to the last reading at these sites, minutes; `None` where either is not known.
fn minutes_after(visit: &Visit, sites: &[Site]) -> Option<f64> {
    let (stopped, _) = visit.exercised.as_ref()?;
    let after = |a: &&Attempt| a.phase == Phase::AfterExercise && sites.contains(&a.site);
    let read = visit.attempts.iter().filter(after).filter_map(|a| a.ended_at).map(Moment::utc);
    let since = read.max()?.duration_since(stopped.utc());
    Some(since.as_secs_f64() / 60.0)
}

fn change(words: Words, fall: Ratio) -> String {
    match fall >= Ratio::hundredths(0) {
        true => say!(words, "clinical-exercise-fall", by = mmhg(words, fall)),
        false => say!(words, "clinical-exercise-rise", by = mmhg(words, fall.size())),
    }
}
