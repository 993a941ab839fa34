//! The benchmark: grids of simulated deflations through the listener, scored against the truth.
//!
//! [`grid`] draws a case of a stratum from a seed, [`score`] judges what the listener (or one of two
//! general-purpose methods, [`plain`]) said of it, [`table`] counts with Wilson intervals, [`beats`] counts pulses.
//! [`wide`] draws strangers to train on, far wider than the grid; [`unlost`] sounds in which nothing was lost.
//! Seeds and room sounds are split in two: one half to tune on, the other to report.
//!
//! Pure: sounds for the rooms are handed in, tables come out.

pub mod beats;
mod bursts;
pub mod grid;
pub mod plain;
pub mod score;
pub mod table;
pub mod unlost;
pub mod wide;

pub use grid::{Half, Rooms, Stratum};
pub use score::{ListenerAnswer, Verdict};
