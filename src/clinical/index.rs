//! The index of one leg: which ankle over which arm, by a named method. Exact; says what it lacked.

use super::exact::{Mean, Ratio};
use super::method::Method;
use super::repeats::{Conflict, Pressures, State};
use super::site::{Artery, Side, Site};
use crate::units::Mmhg;

/// One half of the ratio: the sites it is made of, and their pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// One site, or two where the method takes a mean.
    pub sites: Vec<Site>,
    /// The pressure, mmHg.
    pub pressure: Mean,
}

/// What was missing or out of the ordinary.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// The other artery gave no pressure; this one stands alone.
    OneArtery {
        /// The artery used.
        used: Site,
        /// The one that is missing, and why.
        missing: Vec<(Site, State)>,
    },
    /// No ankle artery gave a pressure.
    NoAnkle(Vec<(Site, State)>),
    /// Signals were looked for in both arteries and not found.
    NoSignalAtAll(Side),
    /// An artery stayed open at the limit.
    NotCompressible {
        /// Where.
        sites: Vec<Site>,
        /// The pressure reached, mmHg.
        limit: Mmhg,
    },
    /// What stands at a site contradicts itself: nothing is formed until it is put right.
    Conflict(Site, Conflict),
    /// Only one arm could be used.
    OneArm {
        /// The arm used.
        used: Site,
        /// The other, and why not.
        missing: (Site, State),
    },
    /// An arm that stayed open at the limit: the true denominator is unknown and higher.
    ArmOpen(Site),
    /// The other arm is still to come.
    Provisional(Site),
    /// No arm gave a pressure.
    NoArm(Vec<(Site, State)>),
}

/// What could be formed for one leg.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Formed {
    /// The ankle's half.
    pub ankle: Option<Part>,
    /// The arms' half.
    pub arm: Option<Part>,
    /// The index before rounding.
    pub ratio: Option<Ratio>,
    /// Where the artery could not be closed: the index is above this.
    pub more_than: Option<Ratio>,
    /// True while the other arm is still to come: no band yet.
    pub provisional: bool,
    /// True where the index cannot carry a band: provisional, or an arm that could not be compressed.
    pub bandless: bool,
    /// In the order found.
    pub remarks: Vec<Remark>,
}

/// Forms the index of one leg.
pub fn form(side: Side, method: Method, pressures: &Pressures) -> Formed {
    let mut formed = Formed::default();
    formed.ankle = ankle(side, method, pressures, &mut formed.remarks);
    formed.arm = arm(side, method, pressures, &mut formed.remarks);
    formed.provisional = formed.remarks.iter().any(|r| matches!(r, Remark::Provisional(_)));
    formed.bandless =
        formed.provisional || formed.remarks.iter().any(|r| matches!(r, Remark::ArmOpen(_)));
    if let Some(arm) = &formed.arm {
        let over = |ankle: Mean| Ratio::of(ankle, arm.pressure);
        formed.ratio = formed.ankle.as_ref().and_then(|part| over(part.pressure));
        formed.more_than = formed.remarks.iter().find_map(|remark| match remark {
            Remark::NotCompressible { limit, .. } if formed.ratio.is_none() => {
                Mean::of(&[*limit]).and_then(over)
            }
            _ => None,
        });
    }
    formed
}

/// The arteries a method looks at.
fn arteries(method: Method) -> &'static [Artery] {
    match method {
        Method::Higher | Method::SameSideArm => &Artery::ANKLE,
        Method::Lower | Method::Mean => &[Artery::DorsalisPedis, Artery::PosteriorTibial],
        Method::PtOnly => &[Artery::PosteriorTibial],
    }
}

fn ankle(
    side: Side,
    method: Method,
    pressures: &Pressures,
    remarks: &mut Vec<Remark>,
) -> Option<Part> {
    let sites: Vec<Site> = arteries(method).iter().map(|a| Site::new(side, *a)).collect();
    if contradicted(&sites, pressures, remarks) {
        return None;
    }
    let found = pressures.values(&sites);
    let missing = pressures.missing(&sites);
    let open = pressures.not_compressible(&sites);
    if let Some((_, limit)) = open.first() {
        let sites = open.iter().map(|(site, _)| *site).collect();
        remarks.push(Remark::NotCompressible { sites, limit: *limit });
        if method != Method::Lower || found.is_empty() {
            return None;
        }
    }
    let Some(part) = choose(method, &found) else {
        let searched = [Artery::DorsalisPedis, Artery::PosteriorTibial]
            .iter()
            .all(|a| *pressures.at(Site::new(side, *a)) == State::NoSignal);
        let missing = missing.into_iter().filter(|(site, _)| expected(*site, pressures)).collect();
        remarks.push(if searched { Remark::NoSignalAtAll(side) } else { Remark::NoAnkle(missing) });
        return None;
    };
    let missing: Vec<_> =
        missing.into_iter().filter(|(site, _)| expected(*site, pressures)).collect();
    if !missing.is_empty() {
        remarks.push(Remark::OneArtery { used: part.sites[0], missing });
    }
    Some(part)
}

/// The peroneal is optional: it is missed only where it was tried.
fn expected(site: Site, pressures: &Pressures) -> bool {
    site.artery != Artery::Peroneal || *pressures.at(site) != State::NotYet
}

/// The ankle's pressure out of those found; the first of equals.
fn choose(method: Method, found: &[(Site, Mean)]) -> Option<Part> {
    let one = |(site, pressure): &(Site, Mean)| Part { sites: vec![*site], pressure: *pressure };
    match (method, found) {
        (Method::Mean, [(a, x), (b, y)]) => {
            Some(Part { sites: vec![*a, *b], pressure: x.halfway(*y) })
        }
        (Method::Lower, _) => found.iter().min_by_key(|(_, p)| *p).map(one),
        _ => found.iter().rev().max_by_key(|(_, p)| *p).map(one),
    }
}

/// Whether what stands at one of the sites contradicts itself, which is remarked.
fn contradicted(sites: &[Site], pressures: &Pressures, remarks: &mut Vec<Remark>) -> bool {
    let found = sites.iter().find_map(|site| match pressures.at(*site) {
        State::Conflict(conflict) => Some(Remark::Conflict(*site, *conflict)),
        _ => None,
    });
    let any = found.is_some();
    remarks.extend(found);
    any
}

fn arm(
    side: Side,
    method: Method,
    pressures: &Pressures,
    remarks: &mut Vec<Remark>,
) -> Option<Part> {
    let both = Side::BOTH.map(|side| Site::new(side, Artery::Brachial));
    let same = [Site::new(side, Artery::Brachial)];
    let sites: &[Site] = if method == Method::SameSideArm { &same } else { &both };
    if contradicted(sites, pressures, remarks) {
        return None;
    }
    let found = pressures.values(sites);
    match (found.as_slice(), sites.len()) {
        ([], _) => {
            remarks.push(Remark::NoArm(pressures.missing(sites)));
            None
        }
        ([(a, x), (b, y)], _) if method == Method::PtOnly => {
            Some(Part { sites: vec![*a, *b], pressure: x.halfway(*y) })
        }
        ([(used, pressure)], 2) => {
            let other = Site::new(used.side.other(), Artery::Brachial);
            let state = pressures.at(other);
            remarks.push(match state {
                State::NotYet => Remark::Provisional(other),
                state => Remark::OneArm { used: *used, missing: (other, state.clone()) },
            });
            if matches!(state, State::NotCompressible(_)) {
                remarks.push(Remark::ArmOpen(other));
            }
            Some(Part { sites: vec![*used], pressure: *pressure })
        }
        _ => choose(Method::Higher, &found),
    }
}
