//! Kinds of visit: what is to be measured in one, fixed when it opens.

use serde::{Deserialize, Serialize};

use super::moment::Day;
use super::site::{Artery, Side, Site};
use crate::words::{Words, id, say};

/// What a visit is for.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum VisitKind {
    /// Both arms and both legs.
    #[default]
    Full,
    /// Both arms and one leg.
    OneLeg {
        /// The patient's side.
        side: Side,
    },
    /// One artery is looked at again.
    OneArtery {
        /// Which.
        site: Site,
    },
    /// Both arms and both great toes.
    Toes,
    /// No pressures: findings, sounds and words, such as at a dressing visit.
    WithoutIndex,
    /// Both arms and both legs at rest, then again after exercise.
    Exercise,
    /// Both arms and both legs as they were measured earlier, taken over from paper.
    OnPaper {
        /// The day of the measurement.
        on: Day,
        /// Who measured, by code.
        by: String,
    },
}

impl VisitKind {
    /// True of the kind that every program knows.
    pub const fn is_full(&self) -> bool {
        matches!(self, VisitKind::Full)
    }

    /// True where values are taken over from paper.
    pub const fn is_paper(&self) -> bool {
        matches!(self, VisitKind::OnPaper { .. })
    }

    /// Whether a site belongs to the visit's round.
    pub fn wants(&self, site: Site) -> bool {
        match self {
            VisitKind::Full | VisitKind::Exercise | VisitKind::OnPaper { .. } => {
                site.artery != Artery::GreatToe
            }
            VisitKind::OneLeg { side } => {
                site.is_arm() || (site.side == *side && site.artery != Artery::GreatToe)
            }
            VisitKind::OneArtery { site: only } => site == *only,
            VisitKind::Toes => site.is_arm() || site.artery == Artery::GreatToe,
            VisitKind::WithoutIndex => false,
        }
    }

    /// In words, for a form and a report.
    pub fn words(&self) -> String {
        self.said(Words::english())
    }

    /// In the words of a language.
    pub fn said(&self, words: Words) -> String {
        match self {
            VisitKind::Full => words.plain(id!("clinical-kind-full")).into(),
            VisitKind::OneLeg { side } => say!(words, "clinical-kind-one-leg", side = side.code()),
            VisitKind::OneArtery { site } => {
                say!(words, "clinical-kind-one-artery", site = site.said(words))
            }
            VisitKind::Toes => words.plain(id!("clinical-kind-toes")).into(),
            VisitKind::WithoutIndex => words.plain(id!("clinical-kind-without-index")).into(),
            VisitKind::Exercise => words.plain(id!("clinical-kind-exercise")).into(),
            VisitKind::OnPaper { on, by } if by.is_empty() => {
                say!(words, "clinical-kind-paper", on = words.short_day(on.0))
            }
            VisitKind::OnPaper { on, by } => {
                say!(words, "clinical-kind-paper-by", on = words.short_day(on.0), by = by)
            }
        }
    }
}

/// The ulcer that the measurement is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Ulcer {
    /// The patient's side.
    pub side: Side,
    /// Where, in the clinician's words.
    pub place: String,
}

impl Ulcer {
    /// In words.
    pub fn words(&self) -> String {
        self.said(Words::english())
    }

    /// In the words of a language; the place as it was typed.
    pub fn said(&self, words: Words) -> String {
        let side = self.side.code();
        match self.place.trim() {
            "" => say!(words, "clinical-ulcer", side = side),
            place => say!(words, "clinical-ulcer-at", side = side, place = place),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_wants_its_own_sites() {
        let count = |kind: &VisitKind| Site::all().filter(|site| kind.wants(*site)).count();
        let right = Side::Right;
        assert_eq!(count(&VisitKind::Full), 8, "two arms, three arteries of each ankle");
        assert_eq!(count(&VisitKind::OneLeg { side: right }), 5);
        assert_eq!(count(&VisitKind::OneArtery { site: "left-pt".parse().unwrap() }), 1);
        assert_eq!(count(&VisitKind::Toes), 4);
        assert_eq!(count(&VisitKind::WithoutIndex), 0);
    }

    #[test]
    fn a_visit_of_the_usual_kind_is_written_as_before() {
        let kind = serde_json::to_string(&VisitKind::OneLeg { side: Side::Left }).unwrap();
        assert_eq!(kind, r#"{"is":"one-leg","side":"left"}"#);
    }
}
