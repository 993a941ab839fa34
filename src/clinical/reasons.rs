//! Reasons that are chosen in one touch. The record has them in English, whatever the language they were chosen in; they are
//! said in the language of whoever reads them. A reason in somebody's own words stays as it was typed.

use crate::words::{Words, id};

/// Why the test is done (common practice).
pub const TEST: [&str; 5] = [
    id!("begin-reason-ulcer"),
    id!("begin-reason-foot"),
    id!("begin-reason-walking"),
    id!("begin-reason-follow-up"),
    id!("begin-reason-screening"),
];

/// Why a site is not measured, in the order of their numbers (common practice).
pub const NOT_MEASURED: [&str; 9] = [
    id!("measure-reason-wound"),
    id!("measure-reason-pain"),
    id!("measure-reason-declines"),
    id!("measure-reason-cuff"),
    id!("measure-reason-time"),
    id!("measure-reason-amputation"),
    id!("measure-reason-bandage"),
    id!("measure-reason-oedema"),
    id!("measure-reason-tremor"),
];

/// Why a reading is put right (common practice).
pub const CORRECTION: [&str; 5] = [
    id!("correct-reason-typing"),
    id!("correct-reason-gauge"),
    id!("correct-reason-site"),
    id!("correct-reason-probe"),
    id!("correct-reason-patient"),
];

/// Why a mark lies elsewhere than the tap.
pub const MOVED_ON_REPLAY: &str = id!("correct-reason-replay");
/// Why a laptop takes a visit over.
pub const TAKEN_OVER: &str = id!("correct-reason-taken-over");

/// In place of a gauge's code, where none was named.
const GAUGE: &str = id!("prepare-gauge-in-use");

/// Why an event does not count, as a visit works it out.
const ASIDE: [&str; 16] = [
    id!("clinical-aside-closed"),
    id!("clinical-aside-opened-twice"),
    id!("clinical-aside-number-used"),
    id!("clinical-aside-no-attempt"),
    id!("clinical-aside-no-mark"),
    id!("clinical-aside-ended"),
    id!("clinical-aside-zero"),
    id!("clinical-aside-undo"),
    id!("clinical-aside-no-amendment"),
    id!("clinical-aside-not-before"),
    id!("clinical-aside-of-aside"),
    id!("clinical-aside-old-value"),
    id!("clinical-aside-other-kind"),
    id!("clinical-aside-opened-elsewhere"),
    id!("clinical-aside-without-visit"),
    id!("clinical-aside-closed-elsewhere"),
];

/// A reason as the record has it: in English.
pub fn kept(id: &'static str) -> &'static str {
    Words::english().plain(id)
}

/// A reason of the record in the words of a language; as it was typed where it was nobody's choice of these.
pub fn said(words: Words, reason: &str) -> &str {
    if words.is_english() {
        return reason;
    }
    let all = TEST.iter().chain(&NOT_MEASURED).chain(&CORRECTION).chain(&ASIDE);
    let all = all.chain([&MOVED_ON_REPLAY, &TAKEN_OVER, &GAUGE]);
    let known = all.copied().find(|id| kept(id) == reason);
    known.map_or(reason, |id| words.plain(id))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_kept_in_english_and_said_in_any_language() {
        let german = Words::of("de").unwrap();
        let kept = kept(NOT_MEASURED[1]);
        assert_eq!((kept, said(Words::english(), kept)), ("too painful", "too painful"));
        assert_eq!(said(german, kept), german.plain(NOT_MEASURED[1]));
        assert_ne!(said(german, kept), kept);
        assert_eq!(said(german, "der Hund war da"), "der Hund war da");
    }
}
