//! Putting right what was recorded: an outcome becomes another, an attempt no longer counts. Nothing is overwritten;
//! where a reading came from never changes by itself.

use super::attempt::CurrentAttempt;
use super::fault::Refusal;
use super::record::Record;
use super::time::At;
use crate::clinical::event::{Act, Outcome};
use crate::units::Mmhg;

/// The outcome of an attempt becomes another; gives the amendment's number.
///
/// # Errors
/// The attempt has not ended, or nobody and no reason is named.
pub fn outcome(
    record: &mut Record,
    at: At,
    (attempt, outcome): (u32, Outcome),
    (who, why): (&str, &str),
) -> Result<u64, Refusal> {
    named(who, why)?;
    let place = record
        .events()
        .iter()
        .position(|event| matches!(event.act, Act::Outcome { attempt: of, .. } if of == attempt));
    let place = place.ok_or(Refusal::NoReading)?;
    let old = record.standing(place).ok_or(Refusal::NoReading)?;
    let new = Act::Outcome { attempt, outcome };
    let act = Act::Amendment {
        of: place as u64 + 1,
        old: Box::new(old),
        new: Box::new(new),
        who: who.to_owned(),
        why: why.to_owned(),
    };
    Ok(record.does(at, act)?)
}

/// An attempt does not count; it stays visible.
///
/// # Errors
/// There is no such attempt.
pub fn withdraw(
    record: &mut Record,
    at: At,
    attempt: u32,
    (who, why): (&str, &str),
) -> Result<u64, Refusal> {
    named(who, why)?;
    let act = Act::AttemptWithdrawn { attempt, who: who.to_owned(), why: why.to_owned() };
    Ok(record.does(at, act)?)
}

/// The reading just kept becomes another; where it came from stays as it was.
///
/// # Errors
/// The attempt did not end with a reading.
pub fn current(
    record: &mut Record,
    at: At,
    current: &mut CurrentAttempt,
    mmhg: Mmhg,
) -> Result<(), Refusal> {
    let shown = current.ended.as_ref().is_some_and(|ended| ended.comparison.is_some());
    let why = if shown { "changed after the comparison was shown" } else { "typing error" };
    let operator = record.visit().opened.operator.clone();
    let who = if operator.is_empty() { "operator not named".into() } else { operator };
    let standing = record.visit().attempt(current.number).and_then(|a| a.outcome.clone());
    let Some(Outcome::Reading { source, .. }) = standing else {
        return Err(Refusal::NoReading);
    };
    let reading = Outcome::Reading { cuff_mmhg: mmhg, source };
    let event = outcome(record, at, (current.number, reading.clone()), (&who, why))?;
    current.correcting = false;
    current.entry.clear();
    current.hush();
    if let Some(ended) = &mut current.ended {
        (ended.event, ended.outcome, ended.corrected) = (event, reading, true);
    }
    Ok(())
}

/// Nothing is put right by nobody or without a reason.
fn named(who: &str, why: &str) -> Result<(), Refusal> {
    let given = !who.trim().is_empty() && !why.trim().is_empty();
    if given { Ok(()) } else { Err(Refusal::NobodyOrNoReason) }
}
