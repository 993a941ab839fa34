//! Where the needle was: the marks the clinician gave, the pressure inflated to, and how fast it fell by them.

use crate::clinical::uncertainty::{Assumed, FALL_MMHG_PER_S};
use crate::units::Mmhg;

/// How fast the cuff's pressure fell, and from what that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    /// mmHg a second.
    pub mmhg_per_s: f64,
    /// From what.
    pub from: FallFrom,
}

/// From what a fall is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FallFrom {
    /// Needle marks.
    Needle,
    /// The pressure inflated to, the reading and the time between.
    InflatedToAndReading,
    /// Not known: assumed.
    Assumed,
}

/// The needle of one attempt. All times are seconds on the visit's clock.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Needle {
    marks: Vec<(Mmhg, f64)>,
    inflated_to: Option<(Mmhg, f64)>,
}

impl Needle {
    /// It stood at this pressure now.
    pub fn mark(&mut self, mmhg: Mmhg, at_s: f64) {
        self.marks.push((mmhg, at_s));
    }

    /// The last mark, mmHg.
    pub fn last(&self) -> Option<Mmhg> {
        self.marks.last().map(|(mmhg, _)| *mmhg)
    }

    /// The last mark did not happen.
    pub fn take_back(&mut self) {
        self.marks.pop();
    }

    /// The cuff was inflated to this pressure; deflation begins now.
    pub fn start_from(&mut self, mmhg: Mmhg, at_s: f64) {
        self.inflated_to = Some((mmhg, at_s));
    }

    /// The pressure inflated to was not given.
    pub fn take_start_back(&mut self) {
        self.inflated_to = None;
    }

    /// The pressure inflated to, mmHg, and when deflation began, seconds.
    pub fn inflated_at(&self) -> Option<(Mmhg, f64)> {
        self.inflated_to
    }

    /// The fall, as well as it is known; a reading and its time help where there are no marks.
    pub fn fall(&self, read: Option<(Mmhg, f64)>, assumed: Assumed) -> Fall {
        let slope = |(from, from_s): (Mmhg, f64), (to, to_s): (Mmhg, f64)| {
            let rate = (from.as_f64() - to.as_f64()) / (to_s - from_s);
            (to_s > from_s && rate > 0.0).then_some(rate)
        };
        let marks = self.marks.first().zip(self.marks.last());
        let by_marks = marks.and_then(|(first, last)| slope(*first, *last));
        let by_start = self.inflated_to.zip(read).and_then(|(start, read)| slope(start, read));
        let known = by_marks.map(|r| (r, FallFrom::Needle));
        let known = known.or(by_start.map(|r| (r, FallFrom::InflatedToAndReading)));
        let (mmhg_per_s, from) = known.unwrap_or((assumed.deflation_mmhg_per_s, FallFrom::Assumed));
        Fall { mmhg_per_s, from }
    }

    /// Where it should be at a time, mmHg, if it falls as asked from the pressure inflated to: low and high end.
    pub fn due(&self, now_s: f64) -> Option<(f64, f64)> {
        let (start, at_s) = self.inflated_to?;
        let at = |rate: f64| (start.as_f64() - rate * (now_s - at_s)).max(0.0);
        Some((at(FALL_MMHG_PER_S.1), at(FALL_MMHG_PER_S.0)))
    }

    /// The lowest that it can stand at, at a time, if it falls no faster than this, mmHg.
    pub fn at_least(&self, at_s: f64, fastest_mmhg_per_s: f64) -> Option<f64> {
        let (start, since_s) = self.inflated_to?;
        Some(start.as_f64() - fastest_mmhg_per_s * (at_s - since_s).max(0.0))
    }
}
