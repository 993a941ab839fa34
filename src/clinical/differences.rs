//! Differences worth a sentence: between the arms, the arteries of one ankle, before and after exercise.

use super::event::Phase;
use super::exact::Ratio;
use super::index::{Formed, form};
use super::moment::Moment;
use super::repeat_rules::FirstArm;
use super::repeats::Pressures;
use super::result::ExerciseResult;
use super::site::{Artery, Side, Site};
use super::visit::{Attempt, Visit};

/// Arms further apart than this are repeated (NICE NG136 1.2.1), mmHg.
const ARMS_APART_MMHG: i64 = 15;
/// Arteries of one ankle further apart than this are pointed out; no guideline cut-off was found, mmHg.
const ARTERIES_APART_MMHG: i64 = 15;

/// From here on a pressure after exercise is called late, minutes (own choice; the criteria are for 1 minute).
const LATE_MIN: f64 = 2.0;

fn mmhg(value: Ratio) -> String {
    let tenths = (value.as_f64() * 10.0).round() / 10.0;
    format!("{tenths} mmHg")
}

/// Sentences on the two arms.
pub fn arms(visit: &Visit, rest: &Pressures) -> Vec<String> {
    let [right, left] = Side::BOTH.map(|side| rest.value(Site::new(side, Artery::Brachial)));
    let (Some(right), Some(left)) = (right, left) else { return Vec::new() };
    let apart = right.above(left).size();
    let higher = if right >= left { Side::Right } else { Side::Left };
    let mut words = Vec::new();
    if apart > Ratio::hundredths(ARMS_APART_MMHG * 100) {
        words.push(format!(
            "The arms differ by {}, the {} arm is higher. NICE NG136 1.2.1 for more than 15 mmHg: repeat; if still so, the higher arm from then on. AHA 2012 by way of a secondary page: above 15 mmHg a subclavian stenosis is suspected.",
            mmhg(apart),
            higher.words()
        ));
    }
    let repeated =
        visit.attempts.iter().filter(|a| a.site.is_arm() && a.reading().is_some()).count();
    if repeated > 2 && visit.opened.repeats.first_arm != FirstArm::AllCount {
        words.push(format!("Rule in use, {}.", visit.opened.repeats.first_arm.words()));
    }
    words
}

/// A sentence on the two arteries of one ankle, where they lie far apart.
pub fn arteries(side: Side, rest: &Pressures) -> Option<String> {
    let at = |artery| rest.value(Site::new(side, artery));
    let (dp, pt) = (at(Artery::DorsalisPedis)?, at(Artery::PosteriorTibial)?);
    let apart = dp.above(pt).size();
    (apart > Ratio::hundredths(ARTERIES_APART_MMHG * 100)).then(|| {
        format!(
            "Dorsalis pedis ({dp} mmHg) and posterior tibial ({pt} mmHg) differ by {}: more than {ARTERIES_APART_MMHG} mmHg is pointed out here so that probe and site are looked at again (no guideline cut-off was found).",
            mmhg(apart)
        )
    })
}

/// What happened after exercise on one leg; none where nothing was measured then.
pub fn exercise(visit: &Visit, side: Side, before: &Formed) -> Option<ExerciseResult> {
    let after = Pressures::of(visit, Phase::AfterExercise);
    let formed = form(side, visit.opened.method, &after);
    let ankle_after = formed.ankle.as_ref()?;
    let ankle_before = before.ankle.as_ref()?;
    let fall = ankle_before.pressure.above(ankle_after.pressure);
    let after_min = minutes_after(visit, &ankle_after.sites);
    let since = after_min.map_or(String::new(), |min| format!(", {min:.0} min after it ended"));
    let mut words = vec![format!(
        "After exercise{since} the ankle pressure of the {} leg is {} mmHg ({}).",
        side.words(),
        ankle_after.pressure,
        change(fall)
    )];
    if after_min.is_some_and(|min| min > LATE_MIN) {
        words.push("The published criteria are for pressures taken 1 minute after exercise (Mahe 2015, Medicine): this one is later, and a fall may have passed.".into());
    }
    if fall > Ratio::hundredths(3000) {
        words.push("The ankle pressure fell by more than 30 mmHg: a published post-exercise criterion (Mahe 2015, Medicine; Kyte 2023).".into());
    }
    let share = before.ratio.zip(formed.ratio).map(|(b, a)| a.over(b));
    if share.is_some_and(|s| s < Ratio::hundredths(80)) {
        words.push("The index fell by more than 20 %: a published post-exercise criterion (Mahe 2015, Medicine); 60 % of healthy young adults show it too (Kyte 2023).".into());
    }
    Some(ExerciseResult {
        index_after: formed.ratio.map(Ratio::half_up),
        index_fall_percent: share.map(|s| 100.0 * (1.0 - s.as_f64())),
        ankle_fall_mmhg: Some(fall.as_f64()),
        after_min,
        words,
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

fn change(fall: Ratio) -> String {
    match fall >= Ratio::hundredths(0) {
        true => format!("a fall of {}", mmhg(fall)),
        false => format!("a rise of {}", mmhg(fall.size())),
    }
}
