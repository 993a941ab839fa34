//! The suite: house rules and whole-program tests, one binary for a lean build.

mod bedside;
mod demo;
mod doubt;
mod examples;
mod house;
mod index_verb;
mod limits;
mod listening;
mod record;
mod report;
mod rules;
mod sim;
mod twelve;
mod words;
