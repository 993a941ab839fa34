//! What a report is made from.

use crate::clinical::guidance::GuidanceSet;
use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;
use crate::units::Sonogram;

/// What a report is made from.
#[derive(Debug, Clone, Copy)]
pub struct ReportSource<'a> {
    /// The visit.
    pub visit: &'a Visit,
    /// The same visit, worked out.
    pub result: &'a VisitResult,
    /// The sets of guidance that were asked, the one whose limits are drawn first.
    pub sets: &'a [GuidanceSet],
    /// The sounds that were kept.
    pub sounds: &'a [SoundPicture],
    /// The service that measured, as it wants to be called.
    pub service: &'a str,
    /// How much of the trail is wanted.
    pub trail: Trail,
    /// The head of the record's hash chain, where the record has one.
    pub chain: Option<&'a str>,
}

/// How much stands behind the first page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Trail {
    /// Only what the first page cannot say in short: attempts that do not count, amendments, sounds.
    #[default]
    Needed,
    /// Every attempt.
    Full,
}

/// The picture of one attempt's sound.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundPicture {
    /// The attempt's number in the visit.
    pub attempt: u32,
    /// The picture.
    pub sonogram: Sonogram,
}
