//! The bedside window: a visit run with both hands full.
//!
//! A shell. [`model::Model`] is plain Rust: it takes [`model::action::Action`]s and the time, holds the visit in hand
//! and decides nothing about medicine; `clinical` does. `screens` lay the model out and emit actions, with what `paint`
//! gives them. The window sees the latest picture of the sound (`live::Snapshot`) and what happened, never a device;
//! every act goes to the book's queue (`logbook::Keeper`) before it is shown as kept.

mod app;
mod awake;
pub mod ear;
pub mod keys;
pub mod model;
mod now;
pub mod outside;
pub mod paint;
mod screens;
mod sentence;
pub mod tap;
mod tone;

pub use app::{App, WindowFault, run};
pub use ear::{Drive, SoundSource};
pub use now::Now;
