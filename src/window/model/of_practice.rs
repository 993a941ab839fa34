//! The part of the model that a page for browsers has: practice alone.

pub mod action;
pub mod answers;
pub mod class_view;
mod delay;
pub mod drill;
pub mod examined;
pub mod given;
pub mod heard_again;
pub mod kept_class;
pub mod kept_drill;
pub mod listen_first;
pub mod loud;
pub mod not_practised;
pub mod practice;
mod practice_alone;
mod practice_files;
pub mod recorded;
pub mod running;
pub mod tried;
