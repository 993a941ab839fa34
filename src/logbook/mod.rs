//! What must not be lost: the events of each visit on disk.
//!
//! A shell. The first store is a plain append-only file of events.

pub mod journal;
