//! The suite: house rules and whole-program tests, one binary for a lean build.

mod allocations;
mod audit;
mod bedside;
mod book;
mod book_apart;
mod book_carry;
mod book_faults;
mod book_kill;
mod book_kill_verbs;
mod book_leaks;
mod book_old;
mod book_states;
mod book_verb;
mod catalogue;
mod circles;
mod conduct;
mod coverage;
mod demo;
mod described;
mod doctor;
mod doubt;
mod examination;
mod examples;
mod fake;
mod fhir;
mod fhir_bands;
mod first_hour;
mod five_real;
#[cfg(target_os = "linux")]
mod full_disk;
mod hazards;
mod hostile;
mod house;
mod index_verb;
mod kinds;
mod languages;
mod laptops;
mod limits;
mod listen_first;
mod listening;
mod live_sound;
#[cfg(unix)]
mod long_work;
mod measured;
mod monkey;
mod newcomer;
mod odd_by_hand;
#[cfg(target_os = "linux")]
mod odd_clock;
mod odd_sounds;
mod outputs;
#[cfg(target_os = "linux")]
mod outside;
mod painted;
mod pdf;
mod practise;
mod practise_real;
mod privacy;
mod prose;
mod pulse;
mod raster;
mod record;
mod report;
mod rules;
mod second;
#[cfg(feature = "service")]
mod service;
mod settings;
mod shop;
mod sim;
mod sizes;
mod supply;
mod tables;
mod tampering;
mod ten;
#[cfg(target_os = "linux")]
mod ten_real;
mod trend;
mod trial_book;
mod trial_made;
mod twelve;
mod unlost;
mod visits;
mod web;
mod window;
mod window_again;
#[cfg(target_os = "linux")]
mod window_awake;
mod window_book;
#[cfg(target_os = "linux")]
mod window_real;
mod window_ways;
mod window_words;
mod words;
