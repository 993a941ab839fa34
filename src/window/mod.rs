//! The bedside window: a visit run with both hands full.
//!
//! A shell. [`model::Model`] is plain Rust: it takes [`model::action::Action`]s and the time, holds the visit in hand
//! and decides nothing about medicine; `clinical` does. Screens lay out and paint the model and emit actions.
//! The window sees the latest picture of the sound (`live::Snapshot`) and what happened, never a device; every
//! act goes to the book's queue (`logbook::Keeper`) before it is shown as kept.

mod again;
mod app;
mod awake;
mod begin;
mod cautions;
pub mod ear;
mod history;
pub mod keys;
mod ledger;
mod lesson;
mod measure;
pub mod model;
mod now;
mod parts;
mod plot;
mod prepare;
mod result;
mod sentence;
mod setup;
pub mod tap;
pub mod theme;
mod tone;
mod visits;

pub use app::{App, WindowFault, run};
pub use ear::{Drive, Source};
pub use now::Now;
