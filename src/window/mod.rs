//! The bedside window: a visit run with both hands full.
//!
//! A shell. [`model::Model`] is plain Rust: it takes [`model::action::Action`]s and the time, holds the visit in hand
//! and decides nothing about medicine; `clinical` does. `screens` lay the model out and emit actions, with what `paint`
//! gives them. The window sees the latest picture of the sound (`live::Snapshot`) and what happened, never a device;
//! every act goes to the book's queue (`logbook::Keeper`) before it is shown as kept.

#[cfg(feature = "bedside")]
mod app;
#[cfg(feature = "bedside")]
mod awake;
pub mod ear;
#[cfg(feature = "bedside")]
pub mod keys;
#[cfg(feature = "bedside")]
pub mod model;
#[cfg(not(feature = "bedside"))]
#[path = "model/of_practice.rs"]
pub mod model;
mod now;
#[cfg(feature = "bedside")]
pub mod outside;
pub mod paint;
pub mod practice_keys;
pub(crate) mod screens;
mod sentence;
pub mod tap;
#[cfg(feature = "bedside")]
mod tone;

#[cfg(feature = "bedside")]
pub use app::{App, WindowFault, run};
pub use ear::{Drive, SoundSource};
pub use now::Now;
