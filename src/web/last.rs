//! The drill that was last over, kept for tests that hold the page against the program.

use std::cell::RefCell;

use crate::practice::proof::PlayedDrill;

thread_local! {
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
