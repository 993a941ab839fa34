//! The doubt of one measurement by the law of propagation (JCGM 100:2008, "GUM"), 95 % coverage.
//!
//! A late reading is one-sided: the true pressure is higher than the gauge showed. So the best estimate
//! lies off the index, and the interval is asymmetric about it. The index itself is never corrected: the
//! clinician's reading is the record. Selecting the higher of two close pressures is not modelled.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::exact::Hundredths;
use super::site::Site;

/// The cuff's fall that is asked for, mmHg a second (BIHS 2019).
pub const FALL_MMHG_PER_S: (f64, f64) = (2.0, 3.0);
/// Largest error of a gauge, mmHg: the 3 mmHg of ISO 81060-1 (limit from memory). Taken as a zero offset
/// (common to all sites of a gauge) and, again in full, as a gain error reached at 300 mmHg.
pub const GAUGE_LIMIT_MMHG: f64 = 3.0;
/// The gain error that the same limit allows at the end of the scale.
pub const GAIN_LIMIT: f64 = GAUGE_LIMIT_MMHG / 300.0;
/// Longest lag from hearing to reading with a tap at the sound, seconds. Simple reaction to sound takes
/// 0.186 s (Nihon Jibiinkoka 1990 93:746); the glance at the gauge, 0.2 to 0.4 s, is from memory.
pub const LAG_WITH_TAP_S: f64 = 0.5;
/// The same without a tap: nothing bounds it but care. An assumption of this program.
pub const LAG_WITHOUT_TAP_S: f64 = 1.0;

/// How far a systolic pressure of one person moves within a visit, standard deviation, mmHg: in sinus rhythm, and in
/// atrial fibrillation (2.4 and 4.9, by way of a secondary source).
pub const OWN_SD_MMHG: (f64, f64) = (2.4, 4.9);

/// What is assumed where nothing was recorded.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Assumed {
    /// The cuff's deflation, mmHg a second: the upper end of the usual 2 to 3 (BIHS 2019; Zheng 2011).
    pub deflation_mmhg_per_s: f64,
    /// Beats a minute; a slow pulse, for a late reading grows with the beat interval.
    pub heart_rate_bpm: f64,
}

impl Default for Assumed {
    fn default() -> Self {
        Self { deflation_mmhg_per_s: FALL_MMHG_PER_S.1, heart_rate_bpm: 60.0 }
    }
}

/// One site's readings and how late or coarse each may be.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteInput {
    /// Where.
    pub site: Site,
    /// The readings that count, mmHg.
    pub readings_mmhg: Vec<f64>,
    /// The gauge's graduation, mmHg.
    pub graduation_mmhg: f64,
    /// Deflation rate times beat interval: the pulse may have returned up to this much earlier, mmHg.
    pub beat_mmhg: f64,
    /// Deflation rate times the longest lag, mmHg.
    pub lag_mmhg: f64,
    /// How far the patient's own pressure moves from beat to beat and minute to minute, standard deviation, mmHg.
    pub own_sd_mmhg: f64,
    /// The gauge's code; sites with the same code share its errors.
    pub gauge: String,
}

impl SiteInput {
    fn count(&self) -> f64 {
        self.readings_mmhg.len() as f64
    }

    fn mean(&self) -> f64 {
        self.readings_mmhg.iter().sum::<f64>() / self.count()
    }

    /// The best estimate of the true pressure: a reading is late by half of what it can be.
    fn best(&self) -> f64 {
        self.mean() + (self.beat_mmhg + self.lag_mmhg) / 2.0
    }

    /// What this site's readings add by themselves, mmHg: name, standard uncertainty, degrees of freedom.
    ///
    /// The scatter of repeats (Type A) already holds all of them, so the larger of the two
    /// accounts is taken, never both.
    fn own(&self) -> Vec<(&'static str, f64, f64)> {
        let rectangle = |width: f64| width / 12f64.sqrt();
        let parts = [
            ("gauge graduation", rectangle(self.graduation_mmhg)),
            ("deflation and beat", rectangle(self.beat_mmhg)),
            ("reaction", rectangle(self.lag_mmhg)),
            ("pressure from beat to beat", self.own_sd_mmhg),
        ];
        let stated = (parts.iter().map(|(_, u)| u * u).sum::<f64>() / self.count()).sqrt();
        match self.scatter() {
            Some((u, dof)) if u > stated => vec![("scatter of repeats", u, dof)],
            _ => parts.map(|(name, u)| (name, u / self.count().sqrt(), f64::INFINITY)).to_vec(),
        }
    }

    /// Type A: standard error of the mean from three readings on; of two, a rectangle between them.
    fn scatter(&self) -> Option<(f64, f64)> {
        let n = self.count();
        match self.readings_mmhg[..] {
            [] | [_] => None,
            [a, b] => Some(((a - b).abs() / 12f64.sqrt(), f64::INFINITY)),
            _ => {
                let mean = self.mean();
                let squares: f64 = self.readings_mmhg.iter().map(|r| (r - mean).powi(2)).sum();
                Some(((squares / (n - 1.0) / n).sqrt(), n - 1.0))
            }
        }
    }
}

/// One contribution to the doubt, in the unit of the result.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Component {
    /// What it comes from.
    pub name: String,
    /// The site, where it belongs to one.
    pub site: Option<Site>,
    /// Sensitivity times standard uncertainty.
    pub standard: f64,
    /// Degrees of freedom; none where they are not limited.
    pub dof: Option<f64>,
}

/// The combined doubt.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Combined {
    /// Root of the sum of squares.
    pub standard: f64,
    /// Effective degrees of freedom (Welch-Satterthwaite); none where they are not limited.
    pub dof: Option<f64>,
    /// The factor for 95 % coverage.
    pub coverage_factor: f64,
}

/// Adds independent contributions (GUM 5.1.2) and takes the factor for 95 % from Student's t (GUM G.4.1).
pub fn combine(components: &[Component]) -> Combined {
    let variance: f64 = components.iter().map(|c| c.standard.powi(2)).sum();
    let fourth: f64 =
        components.iter().filter_map(|c| c.dof.map(|dof| c.standard.powi(4) / dof)).sum();
    let dof = (fourth > 0.0).then(|| variance.powi(2) / fourth);
    Combined { standard: variance.sqrt(), dof, coverage_factor: student_95(dof) }
}

/// Student's t for 95 % coverage (GUM table G.2), degrees of freedom truncated to those tabulated.
pub fn student_95(dof: Option<f64>) -> f64 {
    const TABLE: [(f64, f64); 26] = [
        (1.0, 12.71),
        (2.0, 4.30),
        (3.0, 3.18),
        (4.0, 2.78),
        (5.0, 2.57),
        (6.0, 2.45),
        (7.0, 2.36),
        (8.0, 2.31),
        (9.0, 2.26),
        (10.0, 2.23),
        (11.0, 2.20),
        (12.0, 2.18),
        (13.0, 2.16),
        (14.0, 2.14),
        (15.0, 2.13),
        (16.0, 2.12),
        (17.0, 2.11),
        (18.0, 2.10),
        (19.0, 2.09),
        (20.0, 2.09),
        (25.0, 2.06),
        (30.0, 2.04),
        (35.0, 2.03),
        (40.0, 2.02),
        (50.0, 2.01),
        (100.0, 1.984),
    ];
    let Some(dof) = dof else { return 1.96 };
    TABLE.iter().rev().find(|(tabulated, _)| *tabulated <= dof).map_or(12.71, |(_, t)| *t)
}

/// The interval of one result.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ResultInterval {
    /// The best estimate of the true value, lateness allowed for.
    pub best: f64,
    /// Lower end before rounding outward.
    pub low: f64,
    /// Upper end before rounding outward.
    pub high: f64,
    /// The parts.
    pub components: Vec<Component>,
    /// Their sum.
    pub combined: Combined,
}

impl ResultInterval {
    fn of(best: f64, reported: f64, components: Vec<Component>) -> Self {
        let combined = combine(&components);
        let half = combined.coverage_factor * combined.standard;
        let (low, high) = ((best - half).min(reported).max(0.0), (best + half).max(reported));
        Self { best, low, high, components, combined }
    }

    /// The ends rounded outward to hundredths, `reported` always inside.
    pub fn hundredths(&self, reported: Hundredths) -> (Hundredths, Hundredths) {
        let low = Hundredths((self.low * 100.0 + 1e-9).floor() as i32);
        let high = Hundredths((self.high * 100.0 - 1e-9).ceil() as i32);
        (low.min(reported), high.max(reported))
    }

    /// The ends rounded outward to whole units.
    pub fn whole(&self) -> (i32, i32) {
        ((self.low + 1e-9).floor() as i32, (self.high - 1e-9).ceil() as i32)
    }

    /// The site whose own readings add most, so that a repeat there narrows the doubt most.
    pub fn widest_site(&self) -> Option<Site> {
        let sites: BTreeSet<Site> = self.components.iter().filter_map(|c| c.site).collect();
        let share = |site: &Site| -> f64 {
            let own = self.components.iter().filter(|c| c.site == Some(*site));
            own.map(|c| c.standard.powi(2)).sum()
        };
        sites.into_iter().max_by(|a, b| share(a).total_cmp(&share(b)))
    }
}

/// The doubt of an index: mean of the ankle inputs over mean of the arm inputs (usually one each).
/// `reported` is the index as shown. None where a side has no reading.
pub fn of_ratio(
    over: &[SiteInput],
    under: &[SiteInput],
    reported: Hundredths,
) -> Option<ResultInterval> {
    let best = |inputs: &[SiteInput]| {
        inputs.iter().map(SiteInput::best).sum::<f64>() / inputs.len() as f64
    };
    if over.is_empty() || under.is_empty() || best(under) <= 0.0 {
        return None;
    }
    let (a, b) = (best(over), best(under));
    let up = 1.0 / (b * over.len() as f64);
    let down = -a / (b * b * under.len() as f64);
    let terms = over.iter().map(|i| (up, i)).chain(under.iter().map(|i| (down, i)));
    Some(ResultInterval::of(a / b, reported.as_f64(), propagate(&terms.collect::<Vec<_>>())))
}

/// The doubt of a pressure, mmHg: the mean of the inputs (usually one). None of none.
pub fn of_pressure(inputs: &[SiteInput], reported_mmhg: f64) -> Option<ResultInterval> {
    let share = 1.0 / inputs.len() as f64;
    let terms: Vec<(f64, &SiteInput)> = inputs.iter().map(|i| (share, i)).collect();
    let best = inputs.iter().map(|i| i.best() * share).sum();
    (!inputs.is_empty()).then(|| ResultInterval::of(best, reported_mmhg, propagate(&terms)))
}

/// Each input's own parts, and each gauge's two, which its sites share: with one gauge the gain cancels
/// in a ratio, and the zero offset does not.
fn propagate(terms: &[(f64, &SiteInput)]) -> Vec<Component> {
    let mut components = Vec::new();
    for (sensitivity, input) in terms {
        for (name, u, dof) in input.own() {
            components.push(Component {
                name: name.to_owned(),
                site: Some(input.site),
                standard: (sensitivity * u).abs(),
                dof: dof.is_finite().then_some(dof),
            });
        }
    }
    let gauges: BTreeSet<&str> = terms.iter().map(|(_, input)| input.gauge.as_str()).collect();
    for gauge in gauges {
        let shared = || terms.iter().filter(|(_, input)| input.gauge == gauge);
        let zero: f64 = shared().map(|(sensitivity, _)| sensitivity).sum();
        let gain: f64 = shared().map(|(sensitivity, input)| sensitivity * input.best()).sum();
        for (name, standard) in [
            ("zero offset", zero.abs() * GAUGE_LIMIT_MMHG / 3f64.sqrt()),
            ("gain", gain.abs() * GAIN_LIMIT / 3f64.sqrt()),
        ] {
            let name = format!("{name} of gauge {gauge}");
            components.push(Component { name, site: None, standard, dof: None });
        }
    }
    components
}
