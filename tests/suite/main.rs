//! The suite: house rules and whole-program tests, one binary for a lean build.

mod allocations;
mod audit;
mod bedside;
mod book;
mod book_carry;
mod book_faults;
mod book_kill;
mod book_verb;
mod circles;
mod conduct;
mod demo;
mod doubt;
mod examples;
mod fake;
mod fhir;
mod hazards;
mod hostile;
mod house;
mod index_verb;
mod limits;
mod listening;
mod live_sound;
mod measured;
mod newcomer;
mod pdf;
mod practise;
mod practise_real;
mod privacy;
mod pulse;
#[cfg(feature = "push")]
mod push;
mod raster;
mod record;
mod report;
mod rules;
mod second;
mod sim;
mod supply;
mod tables;
mod trend;
mod unlost;
mod twelve;
mod visits;
mod window;
mod window_again;
#[cfg(target_os = "linux")]
mod window_awake;
#[cfg(target_os = "linux")]
mod window_real;
mod window_ways;
mod words;
