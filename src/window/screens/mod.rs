//! The screens, one file each: `show` lays the model out on a canvas and emits acts; nothing is decided here.

pub mod begin;
pub mod canvas;
pub mod cautions;
pub mod correct;
pub mod desk;
pub mod history;
pub mod ledger;
pub mod measure;
pub mod measure_small;
pub mod practice;
pub mod prepare;
pub mod replay;
pub mod result;
pub mod setup;
pub mod visits;
