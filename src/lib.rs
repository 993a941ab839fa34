#![doc = include_str!("../README.md")]
//!
//! # The map
//! Pure rooms (no clock, no input or output): [`signal`] hears, [`clinical`] says what a measurement
//! means, [`sim`] is a seeded patient, [`trial`] scores the listener, [`practice`] the learner, [`report`] turns a visit into
//! bytes. Shells: [`audio`], [`logbook`], [`window`], [`cli`], and `service` (a program of its own, by the feature `service`). [`live`] is the one joint between sound and the
//! rest. Below them all stands [`words`]: what is said to people, in their language. Who may import whom is a table in `tests/suite/house.rs`, and a test.
#![forbid(unsafe_code)]
#![deny(missing_docs)]
// The page for browsers uses a part of what the window's own parts offer.
#![cfg_attr(not(feature = "bedside"), allow(dead_code, unused_imports))]

pub mod files;
#[cfg(feature = "bedside")]
pub mod settings;
pub mod units;
pub mod words;

pub mod clinical;
pub mod conduct;
pub mod practice;
pub mod report;
pub mod signal;
pub mod sim;
#[cfg(feature = "bedside")]
pub mod trial;

pub mod audio;
#[cfg(feature = "bedside")]
pub mod cli;
pub mod live;
#[cfg(feature = "bedside")]
pub mod logbook;
#[cfg(feature = "service")]
pub mod service;
#[cfg(all(feature = "web", target_arch = "wasm32"))]
pub mod web;
pub mod window;
