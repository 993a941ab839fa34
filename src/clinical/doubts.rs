//! What is known about each attempt's deflation, pulse, gauge and tap, for the doubt; and what is assumed.

use super::event::{Gauge, SoundTime};
use super::index::Part;
use super::repeats::Pressures;
use super::site::Site;
use super::uncertainty::{Assumed, LAG_WITH_TAP_S, LAG_WITHOUT_TAP_S, OWN_SD_MMHG, SiteInput};
use super::visit::{Attempt, Visit};
use crate::units::Mmhg;
use crate::words::{Words, id, say};

/// The facts of one visit that the doubt needs.
pub struct Doubts<'a> {
    visit: &'a Visit,
    assumed: Assumed,
}

impl<'a> Doubts<'a> {
    /// The facts of a visit, and what to assume where it has none.
    pub const fn of(visit: &'a Visit, assumed: Assumed) -> Self {
        Self { visit, assumed }
    }

    /// One input for each site of a part.
    pub fn inputs(&self, part: &Part, pressures: &Pressures) -> Vec<SiteInput> {
        part.sites.iter().filter_map(|site| self.input(*site, pressures)).collect()
    }

    fn input(&self, site: Site, pressures: &Pressures) -> Option<SiteInput> {
        let counted = &pressures.settled(site)?.counted;
        let attempts: Vec<&Attempt> =
            counted.iter().filter_map(|n| self.visit.attempt(*n)).collect();
        let readings_mmhg: Vec<f64> =
            attempts.iter().filter_map(|a| Some(a.reading()?.as_f64())).collect();
        let worst =
            |of: &dyn Fn(&Attempt) -> f64| attempts.iter().map(|a| of(a)).fold(0.0, f64::max);
        (!readings_mmhg.is_empty()).then(|| SiteInput {
            site,
            graduation_mmhg: worst(&|a| self.graduation(a)),
            beat_mmhg: worst(&|a| self.beat_mmhg(a)),
            lag_mmhg: worst(&|a| self.lag_mmhg(a)),
            own_sd_mmhg: if self.irregular() { OWN_SD_MMHG.1 } else { OWN_SD_MMHG.0 },
            gauge: attempts.first().map(|a| self.gauge_code(a)).unwrap_or_default(),
            readings_mmhg,
        })
    }

    fn gauge(&self, attempt: &Attempt) -> &Gauge {
        let named = attempt.gauge.as_ref().and_then(|code| {
            self.visit.opened.other_gauges.iter().find(|gauge| gauge.code == *code)
        });
        named.unwrap_or(&self.visit.opened.gauge)
    }

    fn gauge_code(&self, attempt: &Attempt) -> String {
        match (&attempt.gauge, attempt.entered()) {
            (Some(code), _) => code.clone(),
            (None, true) => "of another instrument".into(),
            (None, false) => self.visit.opened.gauge.code.clone(),
        }
    }

    /// An instrument that shows digits is taken to show whole mmHg.
    pub(super) fn graduation(&self, attempt: &Attempt) -> f64 {
        if attempt.entered() { 1.0 } else { self.gauge(attempt).graduation_mmhg.as_f64() }
    }

    fn rate(&self, attempt: &Attempt) -> f64 {
        deflation(attempt).unwrap_or(self.assumed.deflation_mmhg_per_s)
    }

    /// Of another instrument nothing is known, and nothing is assumed but its gauge.
    fn beat_mmhg(&self, attempt: &Attempt) -> f64 {
        if attempt.entered() { 0.0 } else { self.rate(attempt) * self.beat_s(attempt) }
    }

    fn lag_mmhg(&self, attempt: &Attempt) -> f64 {
        let lag_s = if attempt.mark.is_some() { LAG_WITH_TAP_S } else { LAG_WITHOUT_TAP_S };
        if attempt.entered() { 0.0 } else { self.rate(attempt) * lag_s }
    }

    /// The longest interval to wait for a beat; an irregular rhythm may pause for two (own assumption).
    fn beat_s(&self, attempt: &Attempt) -> f64 {
        let heard =
            |a: &Attempt| a.heard.as_ref().and_then(|h| h.heart_rate_bpm).filter(|r| *r > 0.0);
        let others = self.visit.attempts.iter().filter_map(heard).reduce(f64::min);
        let rate = heard(attempt).or(others).unwrap_or(self.assumed.heart_rate_bpm);
        let beats = if self.irregular() { 2.0 } else { 1.0 };
        beats * 60.0 / rate
    }

    fn irregular(&self) -> bool {
        let irregular = |a: &Attempt| a.heard.as_ref().and_then(|h| h.irregular) == Some(true);
        self.visit.attempts.iter().any(irregular)
    }

    /// What was assumed and what was measured, in sentences.
    pub fn notes(&self, words: Words) -> Vec<String> {
        let read = |a: &&Attempt| a.reading().is_some() && a.withdrawn.is_none() && !a.entered();
        let attempts: Vec<&Attempt> = self.visit.attempts.iter().filter(read).collect();
        let measured = attempts.iter().filter(|a| deflation(a).is_some()).count();
        let heard =
            attempts.iter().any(|a| a.heard.as_ref().is_some_and(|h| h.heart_rate_bpm.is_some()));
        let untapped = attempts.iter().filter(|a| a.mark.is_none()).count();
        let mut notes = Vec::new();
        if measured < attempts.len() {
            let rate = words.number(self.assumed.deflation_mmhg_per_s);
            notes.push(say!(
                words,
                "clinical-note-rate-assumed",
                rate = rate,
                measured = measured,
                all = attempts.len()
            ));
        } else if measured > 0 {
            notes.push(words.plain(id!("clinical-note-rate-measured")).into());
        }
        let rate = words.number(self.assumed.heart_rate_bpm);
        notes.push(match heard {
            true => words.plain(id!("clinical-note-beat-heard")).into(),
            false => say!(words, "clinical-note-beat-assumed", rate = rate),
        });
        let own = if self.irregular() { OWN_SD_MMHG.1 } else { OWN_SD_MMHG.0 };
        notes.push(say!(words, "clinical-note-own-pressure", own = words.number(own)));
        if untapped > 0 {
            notes.push(say!(
                words,
                "clinical-note-untapped",
                untapped = untapped,
                all = attempts.len(),
                without = words.decimal(LAG_WITHOUT_TAP_S, 0),
                with = words.number(LAG_WITH_TAP_S)
            ));
        }
        notes
    }
}

/// Deflation of one attempt, mmHg a second: between its first and last needle mark, or from the one
/// needle mark to the reading at the clinician's mark. None where the cuff did not fall.
pub fn deflation(attempt: &Attempt) -> Option<f64> {
    let fall = |(p, t): (Mmhg, SoundTime), (q, u): (Mmhg, SoundTime)| {
        let (mmhg, s) = (p.as_f64() - q.as_f64(), u.seconds() - t.seconds());
        (t.epoch == u.epoch && mmhg > 0.0 && s > 0.0).then(|| mmhg / s)
    };
    match attempt.needles[..] {
        [] => None,
        [one] => fall(one, (attempt.reading()?, attempt.tapped?)),
        [first, .., last] => fall(first, last),
    }
}
