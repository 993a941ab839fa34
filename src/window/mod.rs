//! The bedside window: a visit run with both hands full.
//!
//! A shell. [`model::Model`] is plain Rust: it takes [`action::Action`]s and the time, owns the visit in hand
//! and decides nothing about medicine; `clinical` does. Screens lay out and paint the model and emit actions.
//! The window sees the latest picture of the sound (`live::Snapshot`) and what happened, never a device; every
//! act goes to the book's queue (`logbook::Keeper`) before it is shown as kept.

// Temporary, until every act here is waited for: issue 18, the window's lane.
#![expect(unused_must_use, reason = "tickets are dropped in places that are being rewritten")]

pub mod action;
pub mod again;
mod app;
mod awake;
mod begin;
mod cautions;
pub mod choices;
pub mod drill;
pub mod ear;
pub mod exam;
pub mod history;
pub mod keys;
mod ledger;
mod lesson;
mod measure;
pub mod model;
mod parts;
mod plot;
pub mod practice;
mod prepare;
mod result;
mod setup;
pub mod teacher;
pub mod theme;
mod tone;
mod visits;

pub use app::{App, WindowFault, run};
pub use ear::Source;

use std::time::Instant;

use crate::clinical::moment::Moment;

/// One instant on both clocks: the computer's own, and the wall's with its offset.
#[derive(Debug, Clone, Copy)]
pub struct Now {
    /// The computer's own clock.
    pub at: Instant,
    /// The wall clock.
    pub wall: Moment,
}

impl Now {
    /// This instant.
    pub fn here() -> Self {
        let utc = jiff::Timestamp::now();
        let offset = jiff::tz::TimeZone::system().to_offset(utc);
        Self { at: Instant::now(), wall: Moment::new(utc, offset) }
    }
}
