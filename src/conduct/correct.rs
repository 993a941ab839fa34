//! Putting right what was recorded: an outcome becomes another, an attempt no longer counts. Nothing is overwritten;
//! where a reading came from never changes by itself.

use super::fault::Refusal;
use super::record::Record;
use super::time::At;
use crate::clinical::event::{Act, Outcome};

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
    let act = Act::AttemptWithdrawn { attempt, who: who.to_owned(), why: why.to_owned() };
    Ok(record.does(at, act)?)
}
