//! What tests ask of the page: the drill that was last over, for how long the page has worked, and how its sound went.

use std::cell::{Cell, RefCell};

use crate::practice::proof::PlayedDrill;

thread_local! {
    static WORKED_S: Cell<f64> = const { Cell::new(0.0) };
    static GAPS: Cell<u32> = const { Cell::new(0) };
    static LEFT_OUT_S: Cell<f64> = const { Cell::new(0.0) };
    static DELAY_S: Cell<f64> = const { Cell::new(f64::NAN) };
    static LAST: RefCell<Option<PlayedDrill>> = const { RefCell::new(None) };
}

/// Keeps a drill.
pub fn keep(played: PlayedDrill) {
    LAST.set(Some(played));
}

/// What was played in the drill that was last over, as JSON; empty before one.
pub fn last_drill() -> String {
    LAST.with_borrow(|last| last.as_ref().and_then(|last| serde_json::to_string(last).ok()))
        .unwrap_or_default()
}

/// Counts what a frame took, seconds: simulation, listener and layout, without the painting of what was laid out.
pub fn count(seconds: f64) {
    WORKED_S.set(WORKED_S.get() + seconds);
}

/// All that was counted, seconds.
pub fn worked_s() -> f64 {
    WORKED_S.get()
}

/// Keeps the delay from making to hearing, seconds, how often the sound has had a gap, and how much of it was left out,
/// seconds.
pub fn set_sound(delay_s: f64, gaps: u32, left_out_s: f64) {
    DELAY_S.set(delay_s);
    GAPS.set(gaps);
    LEFT_OUT_S.set(left_out_s);
}

/// How much of the sound was left out since the page began, seconds.
pub fn left_out_s() -> f64 {
    LEFT_OUT_S.get()
}

/// How often the sound has had a gap since the page began.
pub fn gaps() -> u32 {
    GAPS.get()
}

/// The delay from making to hearing as it was measured, seconds; no number before a sound.
pub fn delay_s() -> f64 {
    DELAY_S.get()
}
