//! The part of the model that a page for browsers has: practice alone.

pub mod action;
pub mod answers;
pub mod drill;
pub mod heard_again;
pub mod kept_class;
pub mod listen_first;
pub mod loud;
pub mod practice;
pub mod running;
