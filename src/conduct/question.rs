//! What is asked once before a number is kept: a value that is unlikely where it was typed. The limits are own
//! choices, written down in docs/clinical.md; a question never changes a number and is answered by one key.

use super::course::Course;
use super::needle::FallFrom;
use crate::clinical::event::Phase;
use crate::clinical::exact::Mean;
use crate::clinical::site::{Artery, Site};
use crate::clinical::uncertainty::Assumed;
use crate::clinical::visit::Visit;
use crate::units::Mmhg;

/// A reading outside these is asked about, mmHg (own choice).
const USUAL_MMHG: (i32, i32) = (40, 260);
/// Two readings of one site further apart than this, mmHg (own choice; a study manual repeats from 5 on).
const SITE_MMHG: i32 = 15;
/// The two arteries of a foot further apart than this, mmHg (own choice).
const FOOT_MMHG: i32 = 50;
/// The two arms further apart than this, mmHg (own choice; NICE NG136 repeats from 15 on).
const ARMS_MMHG: i32 = 30;
/// Further than this from the last visit's pressure at the site, mmHg (own choice).
const LAST_VISIT_MMHG: i32 = 50;
/// Further than this from where the needle was at the detected return, mmHg (own choice).
const DETECTED_MMHG: f64 = 15.0;
/// No cuff that is read at all falls faster than this, mmHg a second (own choice).
const FASTEST_MMHG_PER_S: f64 = 10.0;

/// Why a number is asked about. Each carries the number it is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// There is no tap, and no return was detected.
    NothingHeard,
    /// It lies above the pressure inflated to.
    AboveInflatedTo(Mmhg),
    /// The needle cannot have come down to it yet; it stood at this or higher, mmHg.
    BelowNeedle(f64),
    /// The needle was elsewhere when the return was detected, mmHg.
    OffDetected(f64),
    /// Another reading of the same site lies far away.
    OffSite(Mmhg),
    /// The other artery of the foot lies far away.
    OffFoot(Site, Mean),
    /// The other arm lies far away.
    OffArm(Site, Mean),
    /// The last visit's pressure at the site lies far away.
    OffLastVisit(Mmhg),
    /// Pressures this low or high are rare.
    Unusual,
    /// It lies between two lines of the gauge, so far apart.
    BetweenLines(Mmhg),
}

/// What must be done twice to be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Question {
    /// Keep this reading, though.
    Keep(Mmhg, Doubt),
    /// No signal, though a pulse was heard.
    NoSignal,
    /// Not compressible at this pressure.
    NotCompressible(Mmhg),
}

/// What a reading is held against.
#[derive(Debug, Clone, Copy)]
pub struct ReadingContext<'a> {
    /// The visit so far.
    pub visit: &'a Visit,
    /// The attempt's course, where it runs here and now; `None` of a correction.
    pub course: Option<&'a Course>,
    /// The number of the attempt.
    pub attempt: u32,
    /// Where.
    pub site: Site,
    /// Pressures of this record's last visit.
    pub last_visit: &'a [(Site, Mmhg)],
    /// Whether the site is known, so that other readings say something.
    pub sites_known: bool,
}

impl ReadingContext<'_> {
    /// The first reason to ask about this reading, the gravest first; `None` where nothing speaks against it.
    pub fn doubt(&self, mmhg: Mmhg) -> Option<Doubt> {
        let heard = || self.course.and_then(|course| of_course(course, mmhg));
        let toe = self.site.artery == Artery::GreatToe;
        if toe {
            return self.off_others(mmhg);
        }
        let own = heard().or_else(|| self.above_recorded(mmhg)).or_else(|| self.unusual(mmhg));
        own.or_else(|| self.off_others(mmhg)).or_else(|| self.between_lines(mmhg))
    }

    fn off_others(&self, mmhg: Mmhg) -> Option<Doubt> {
        if !self.sites_known {
            return None;
        }
        self.off_site(mmhg)
            .or_else(|| self.off_arm(mmhg))
            .or_else(|| self.off_foot(mmhg))
            .or_else(|| self.off_last_visit(mmhg))
    }

    /// A correction has no course any more; what the cuff was pumped to is in the record.
    fn above_recorded(&self, mmhg: Mmhg) -> Option<Doubt> {
        let start = self.visit.attempt(self.attempt)?.inflated_to?;
        (mmhg > start).then_some(Doubt::AboveInflatedTo(start))
    }

    fn unusual(&self, mmhg: Mmhg) -> Option<Doubt> {
        let (low, high) = USUAL_MMHG;
        let usual = (low * 10..=high * 10).contains(&mmhg.as_tenths());
        (!usual).then_some(Doubt::Unusual)
    }

    /// The readings of a site that stand, other than this attempt's.
    fn readings(&self, site: Site) -> Vec<Mmhg> {
        let own = self.visit.attempt(self.attempt).map_or(Phase::Rest, |a| a.phase);
        let others = self.visit.attempts.iter().filter(|a| {
            a.site == site && a.phase == own && a.number != self.attempt && a.withdrawn.is_none()
        });
        others.filter_map(|a| a.reading()).collect()
    }

    fn off_site(&self, mmhg: Mmhg) -> Option<Doubt> {
        let readings = self.readings(self.site);
        let far = |other: &Mmhg| apart(mmhg, *other) > SITE_MMHG * 10;
        readings.into_iter().find(far).map(Doubt::OffSite)
    }

    fn off_arm(&self, mmhg: Mmhg) -> Option<Doubt> {
        let other = Site::new(self.site.side.other(), Artery::Brachial);
        let mean = Mean::of(&self.readings(other)).filter(|_| self.site.is_arm())?;
        far(mmhg, mean, ARMS_MMHG).then_some(Doubt::OffArm(other, mean))
    }

    fn off_foot(&self, mmhg: Mmhg) -> Option<Doubt> {
        let own = self.site.artery;
        let ankle = Artery::ANKLE.contains(&own);
        let same_foot = Artery::ANKLE.into_iter().filter(|a| ankle && *a != own);
        let mut others = same_foot.map(|artery| Site::new(self.site.side, artery));
        let far = |site: Site| {
            let mean = Mean::of(&self.readings(site))?;
            far(mmhg, mean, FOOT_MMHG).then_some(Doubt::OffFoot(site, mean))
        };
        others.find_map(far)
    }

    fn off_last_visit(&self, mmhg: Mmhg) -> Option<Doubt> {
        let (_, then) = self.last_visit.iter().find(|(site, _)| *site == self.site)?;
        (apart(mmhg, *then) > LAST_VISIT_MMHG * 10).then_some(Doubt::OffLastVisit(*then))
    }

    fn between_lines(&self, mmhg: Mmhg) -> Option<Doubt> {
        let graduation = self.visit.opened.gauge.graduation_mmhg;
        let between = mmhg.as_tenths() % graduation.as_tenths().max(1) != 0;
        between.then_some(Doubt::BetweenLines(graduation))
    }
}

/// What the sound, the tap and the pressure inflated to say against a reading.
fn of_course(course: &Course, mmhg: Mmhg) -> Option<Doubt> {
    if let Some(start) = course.inflated_to().filter(|start| mmhg > *start) {
        return Some(Doubt::AboveInflatedTo(start));
    }
    let Some(moment_s) = course.tap_s().or(course.return_s()) else {
        return Some(Doubt::NothingHeard);
    };
    let least = course.needle_at_least(moment_s, FASTEST_MMHG_PER_S);
    if let Some(least) = least.filter(|least| mmhg.as_f64() < *least) {
        return Some(Doubt::BelowNeedle(least));
    }
    let fall = course.fall(None, Assumed::default());
    let (start, since_s) = course.inflated_at()?;
    let known = (fall.from == FallFrom::Needle).then_some(fall.mmhg_per_s)?;
    let there = start.as_f64() - known * (course.return_s()? - since_s);
    ((mmhg.as_f64() - there).abs() > DETECTED_MMHG).then_some(Doubt::OffDetected(there))
}

fn apart(a: Mmhg, b: Mmhg) -> i32 {
    (a.as_tenths() - b.as_tenths()).abs()
}

fn far(mmhg: Mmhg, mean: Mean, limit_mmhg: i32) -> bool {
    (mmhg.as_f64() - mean.as_f64()).abs() > f64::from(limit_mmhg)
}
