//! The suite: house rules and whole-program tests, one binary for a lean build.

mod allocations;
mod audit;
mod bedside;
mod demo;
mod doubt;
mod examples;
mod fake;
mod fhir;
mod house;
mod index_verb;
mod limits;
mod listening;
mod live_sound;
mod pdf;
mod pulse;
#[cfg(feature = "push")]
mod push;
mod record;
mod report;
mod rules;
mod sim;
mod tables;
mod twelve;
mod visits;
mod words;
