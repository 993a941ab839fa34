//! The suite: house rules and whole-program tests, one binary for a lean build.

mod allocations;
mod bedside;
mod book;
mod book_carry;
mod book_faults;
mod book_kill;
mod book_verb;
mod demo;
mod doubt;
mod examples;
mod fake;
mod house;
mod index_verb;
mod limits;
mod listening;
mod live_sound;
mod pulse;
mod raster;
mod record;
mod report;
mod rules;
mod sim;
mod trend;
mod twelve;
mod window;
mod words;
