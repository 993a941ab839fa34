//! One drill: which patient, and what is asked.

use super::cases::CaseKind;
use super::recording::ConfirmedRecording;
use crate::sim::Case;

/// One drill as it is set.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// The case's name: the same name is the same case, for every student.
    pub name: String,
    /// What is asked.
    pub kind: CaseKind,
    /// The patient.
    pub case: Case,
    /// The sound's seed.
    pub seed: u64,
    /// A recording in place of the patient.
    pub recording: Option<ConfirmedRecording>,
}
