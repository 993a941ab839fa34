//! The suite: house rules and whole-program tests, one binary for a lean build.

mod demo;
mod house;
mod listening;
mod sim;
