//! Practice: drills on the simulated patient, scores that teach, and how well readers agree.
//!
//! A [`lesson`] is a row of drills; [`score`] says how far a tap lay from the truth; a [`session`] is what a student
//! did, a [`class`] many of them; [`staircase`] finds the threshold in noise; [`student`] is a scripted one, for
//! tests; [`agreement`] holds the statistics.
//!
//! An [`examination`] is set and sealed by a [`seal`], a [`sealed_session`] is what a student did in it; an [`overview`] is
//! how a class stands.
//!
//! Pure: no clock, no file, no sound card; whoever runs a drill passes time and taps in. The seal alone draws chance.

pub mod agreement;
pub mod cases;
pub mod class;
pub mod comfort;
pub mod confusion;
pub mod course;
pub mod drill;
pub mod effect;
pub mod examination;
#[cfg(test)]
mod known_students;
pub mod lesson;
pub mod level;
pub mod listen_first;
pub mod made_sound;
pub mod named;
pub mod overread;
pub mod overview;
pub mod page;
pub mod proof;
pub mod recording;
pub mod score;
pub mod seal;
pub mod sealed_session;
pub mod session;
pub mod staircase;
pub mod student;
pub mod student_page;
mod track;
pub mod whole;

pub use track::Track;
