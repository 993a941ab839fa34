//! Practice: drills on the simulated patient, scores that teach, and how well readers agree.
//!
//! A [`lesson`] is a row of drills; [`score`] says how far a tap lay from the truth; a [`session`] is what a student
//! did, a [`class`] many of them; [`staircase`] finds the threshold in noise; [`student`] is a scripted one, for
//! tests; [`agreement`] holds the statistics.
//!
//! Pure: no clock, no file, no sound card. Whoever runs a drill passes time and taps in.

pub mod agreement;
pub mod cases;
pub mod class;
pub mod comfort;
pub mod confusion;
pub mod course;
pub mod drill;
pub mod effect;
pub mod lesson;
pub mod level;
pub mod listen_first;
pub mod made_sound;
pub mod overread;
pub mod page;
pub mod proof;
pub mod recording;
pub mod score;
pub mod session;
pub mod staircase;
pub mod student;
mod track;
pub mod whole;

pub use track::Track;
