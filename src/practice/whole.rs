//! A whole visit as drills: every site of one simulated patient, and the index as read and as it was.

use super::cases::{CaseKind, Stock};
use super::drill::Drill;
use super::session::Done;
use crate::clinical::event::Posture;
use crate::clinical::exact::Hundredths;
use crate::clinical::guidance::GuidanceSet;
use crate::clinical::method::Method;
use crate::clinical::moment::Moment;
use crate::clinical::site::{Side, Site};
use crate::clinical::typed::{Given, events, opening};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::clinical::working::work_out;
use crate::sim::scenario::{self, site_seed};
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// The patients whose arteries all close.
pub(super) const PATIENTS: [&str; 2] = ["visit", "visit-poor"];

/// The drills of a whole visit, a site each, in the order of an examination; toes are left out. The two patients are the
/// same in practice and in examinations; their sound is not.
pub fn drills(stock: Stock, seed: u64) -> Vec<Drill> {
    let own = if stock == Stock::Examination { stock.seed(seed, 0) } else { seed };
    let name = PATIENTS[(seed % PATIENTS.len() as u64) as usize];
    let Ok(patient) = scenario::load(name) else { return Vec::new() };
    let sites = patient.sites().filter(|site| !site.ends_with("toe"));
    let drill = |site: &str| {
        let case = patient.case(Some(site)).ok()?.clone();
        let seed = site_seed(own, Some(site));
        let name = format!("{name}, {site}");
        Some(Drill { name, kind: CaseKind::WholeVisit, case, seed, recording: None })
    };
    sites.filter_map(drill).collect()
}

/// The index of each leg as it was read, and as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Indexes {
    /// Which leg.
    pub side: Side,
    /// From the readings.
    pub read: Option<Hundredths>,
    /// From the true pressures.
    pub truth: Option<Hundredths>,
    /// Whether a set of guidance would have said something else.
    pub other_advice: bool,
}

/// Works both indexes out, by the standard method, from what was done at the sites.
pub fn indexes(done: &[Done], at: Moment, sets: &[GuidanceSet]) -> Vec<Indexes> {
    let site = |done: &Done| done.case.rsplit(", ").next()?.parse::<Site>().ok();
    let given = |truth: bool| -> Vec<(Site, Given)> {
        let one = |done: &Done| {
            let score = done.score.as_ref()?;
            let mmhg = if truth { score.truth_mmhg } else { score.read_mmhg }?;
            Some((site(done)?, Given::Pressure(Mmhg::try_from(mmhg).ok()?)))
        };
        done.iter().filter_map(one).collect()
    };
    let work = |truth: bool| {
        let graduation = Mmhg::whole(2).unwrap_or(Mmhg::LIMIT);
        let opened = opening(Method::Higher, graduation, Posture::Supine);
        let visit = Visit::from_events(&events(opened, at, &given(truth))).ok()?;
        Some(work_out(&visit, sets, Assumed::default()))
    };
    let (Some(read), Some(truth)) = (work(false), work(true)) else { return Vec::new() };
    let leg = |side: Side| {
        let (read, truth) = (read.leg(side), truth.leg(side));
        let names = |hits: &[crate::clinical::result::BandHit]| {
            hits.iter().map(|hit| hit.name.clone()).collect::<Vec<_>>()
        };
        let other_advice = names(&read.bands) != names(&truth.bands);
        Indexes { side, read: read.index, truth: truth.index, other_advice }
    };
    Side::BOTH.map(leg).into()
}

impl Indexes {
    /// One sentence or two, in the words of a language.
    pub fn said(&self, words: Words) -> String {
        let number = |index: Option<Hundredths>| match index {
            Some(index) => words.number(index),
            None => words.plain(id!("drill-not-formed")).to_owned(),
        };
        let (read, truth) = (number(self.read), number(self.truth));
        let side = self.side.code();
        let said = say!(words, "drill-index", side = side, read = read, truth = truth);
        match self.other_advice {
            true => format!("{said} {}", words.plain(id!("drill-index-other"))),
            false => said,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::session::tests::done;

    #[test]
    fn a_visit_has_six_sites_and_its_indexes_follow_the_readings() {
        let drills = drills(Stock::Practice, 2);
        assert_eq!(drills.len(), 6);
        let at = Moment::new(jiff::Timestamp::UNIX_EPOCH, jiff::tz::Offset::UTC);
        let all: Vec<Done> = drills
            .iter()
            .map(|drill| {
                // The truth stands at 120 everywhere; ankles are read 12 too low.
                done(&drill.name, 100.0, if drill.name.ends_with("arm") { 120.0 } else { 108.0 })
            })
            .collect();
        let found = indexes(&all, at, &[]);
        assert_eq!(found.len(), 2);
        for leg in found {
            assert_eq!((leg.read, leg.truth), (Some(Hundredths(90)), Some(Hundredths(100))));
        }
    }
}
