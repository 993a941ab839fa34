//! Before the first inflation: what was done, what was left out, what still has to be asked.

use super::command::LastTime;
use super::fault::Refusal;
use super::record::Record;
use super::time::At;
use crate::clinical::cautions::{self, CautionAbout, Weight};
use crate::clinical::event::{Act, Answer, Answered, Cuff, Limb, Outcome, Prepared, Step};
use crate::clinical::sequence::Order;
use crate::clinical::site::{Side, Site};
use crate::clinical::visit::Visit;

/// A question was answered.
pub fn answer(
    record: &mut Record,
    at: At,
    weight: Weight,
    answered: Answered,
) -> Result<(), Refusal> {
    let act = match weight {
        Weight::RedFlag => Act::RedFlag(answered),
        Weight::Caution => Act::Caution(answered),
    };
    record.does(at, act)?;
    Ok(())
}

/// None of the questions without an answer applies.
pub fn none_applies(record: &mut Record, at: At) -> Result<(), Refusal> {
    for item in cautions::to_ask(record.visit()) {
        let sides: Vec<Option<Side>> = match item.about {
            CautionAbout::Patient => vec![None],
            CautionAbout::Leg | CautionAbout::Arm => Side::BOTH.map(Some).to_vec(),
        };
        for side in sides {
            let answered = Answered { id: item.id.clone(), answer: Answer::No, side };
            answer(record, at, item.weight, answered)?;
        }
    }
    Ok(())
}

/// Something was prepared.
pub fn prepared(record: &mut Record, at: At, prepared: Prepared) -> Result<(), Refusal> {
    record.does(at, Act::Prepared(prepared))?;
    Ok(())
}

/// Cuffs, needle at zero and probe are as last time, in one act.
pub fn as_last_time(record: &mut Record, at: At, last: LastTime) -> Result<(), Refusal> {
    let [arm_width, arm_length, ankle_width, ankle_length] = last.cuffs_mm;
    for side in Side::BOTH {
        for (limb, circumference_mm, width_mm, length_mm) in [
            (Limb::Arm, last.around_mm[0], arm_width, arm_length),
            (Limb::Ankle, last.around_mm[1], ankle_width, ankle_length),
        ] {
            let cuff = Cuff { side, limb, circumference_mm, width_mm, length_mm };
            prepared(record, at, Prepared::Cuff(cuff))?;
        }
    }
    prepared(record, at, Prepared::NeedleAtZero { answer: Answer::Yes })?;
    if let Some(tenths) = last.probe {
        prepared(record, at, Prepared::Probe { mhz: f64::from(tenths) / 10.0 })?;
    }
    Ok(())
}

/// Whole seconds at rest, by the wall clock: it goes on while the computer sleeps.
pub fn rested_s(visit: &Visit, at: At) -> u64 {
    let since = at.wall.utc().duration_since(visit.rest_began.utc());
    u64::try_from(since.as_secs()).unwrap_or(0)
}

/// The minutes of rest that were recorded; `None` while it goes on.
pub fn rest_recorded(visit: &Visit) -> Option<u32> {
    let last = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Rested { minutes, .. } => Some(Some(*minutes)),
        Prepared::RestBeganAgain => Some(None),
        Prepared::Cuff(_)
        | Prepared::NeedleAtZero { .. }
        | Prepared::Probe { .. }
        | Prepared::Foot(_)
        | Prepared::Wound { .. }
        | Prepared::Sound { .. }
        | Prepared::LeftOut { .. } => None,
    });
    last.flatten()
}

/// Whether the patient rests again after having moved.
pub fn rests_again(visit: &Visit) -> bool {
    let last = visit
        .prepared
        .iter()
        .rfind(|p| matches!(p, Prepared::Rested { .. } | Prepared::RestBeganAgain));
    last == Some(&Prepared::RestBeganAgain)
}

/// The rest is over: its minutes are recorded, once.
pub fn end_rest(record: &mut Record, at: At, wanted_min: u32) -> Result<(), Refusal> {
    if rest_recorded(record.visit()).is_some() {
        return Ok(());
    }
    let minutes = u32::try_from(rested_s(record.visit(), at) / 60).unwrap_or(u32::MAX);
    prepared(record, at, Prepared::Rested { minutes, wanted_min })
}

/// Whether a step of the preparation was done, or left out.
pub fn step_done(visit: &Visit, step: Step) -> bool {
    let any = |what: fn(&Prepared) -> bool| visit.prepared.iter().any(what);
    let left_out = visit
        .prepared
        .iter()
        .any(|p| matches!(p, Prepared::LeftOut { step: left } if *left == step));
    left_out
        || match step {
            Step::Cautions => cautions::to_ask(visit).is_empty(),
            Step::Cuffs => any(|p| matches!(p, Prepared::Cuff(_))),
            Step::Instruments => any(|p| matches!(p, Prepared::NeedleAtZero { .. })),
            Step::Feet => {
                visit.prepared.iter().filter(|p| matches!(p, Prepared::Foot(_))).count() >= 2
            }
            Step::Sound => any(|p| matches!(p, Prepared::Sound { .. })),
            Step::Rest => rest_recorded(visit).is_some() || rests_again(visit),
        }
}

/// Before measuring: what was not done in the preparation is recorded as left out.
pub fn leave_out_the_rest(record: &mut Record, at: At) -> Result<(), Refusal> {
    let open = Step::ALL.into_iter().filter(|step| !step_done(record.visit(), *step));
    for step in open.collect::<Vec<Step>>() {
        record.add(at, Act::Prepared(Prepared::LeftOut { step }))?;
    }
    Ok(())
}

/// Sites that a caution takes out of the order are recorded as not measured, with its reason.
pub fn take_out_of_order(record: &mut Record, at: At, order: &Order) -> Result<(), Refusal> {
    let sites = order.of_visit(record.visit());
    for site in sites {
        let tried = record.visit().attempts.iter().any(|a| a.site == site);
        let why = cautions::left_out(record.visit(), site).filter(|_| !tried);
        let Some(reason) = why.map(|why| why.to_lowercase()) else { continue };
        not_measured(record, at, (site, &reason))?;
    }
    Ok(())
}

/// A site is recorded as not measured, without being turned to.
pub fn not_measured(
    record: &mut Record,
    at: At,
    (site, reason): (Site, &str),
) -> Result<(), Refusal> {
    let attempt = record.next_attempt();
    let (phase, reason) = (record.visit().phase(), reason.to_owned());
    record.add(at, Act::SiteChosen { attempt, site, phase, gauge: None })?;
    record.add(at, Act::Outcome { attempt, outcome: Outcome::NotMeasured { reason } })?;
    Ok(())
}
