//! What really happened in a simulated sound: beats, openings, inflations, and the first opening that an
//! ideal observer hears.

use serde::Serialize;

use super::case::{Case, FlowKind, Never, Path, Rhythm};
use super::observer::{TRACE, first_heard, follows};

/// One opening of the artery: the flow of one beat.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Opening {
    /// When flow begins, seconds.
    pub onset_s: f64,
    /// When it has fallen under a tenth of its greatest amplitude, seconds.
    pub end_s: f64,
    /// The cuff's pressure at the onset, mmHg.
    pub cuff_mmhg: f64,
    /// How plainly an ideal observer hears it (see `sim::observer`).
    pub d_prime: f64,
    /// The artery had not closed before it: the cuff was below the diastolic pressure.
    pub free: bool,
}

/// One inflation of the cuff and what followed.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Inflation {
    /// First stroke, seconds.
    pub pump_start_s: f64,
    /// End of the last flow before the artery stayed closed; `None` where it never did.
    pub closed_s: Option<f64>,
    /// The highest pressure, mmHg.
    pub target_mmhg: f64,
    /// When that was reached, seconds: the bleed begins after it.
    pub top_s: f64,
    /// When the rest was let out at once, seconds.
    pub release_s: Option<f64>,
    /// The hand pumped again before anything was heard, seconds.
    pub again_s: Vec<f64>,
    /// The first opening after the closure, heard or not, seconds.
    pub first_opening_s: Option<f64>,
    /// The first opening that an ideal observer hears, seconds.
    pub audible_s: Option<f64>,
    /// The cuff's pressure at that moment, mmHg.
    pub audible_mmhg: Option<f64>,
}

/// The truth of one sound.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Truth {
    /// Always `cuffnote-truth`.
    pub format: &'static str,
    /// Version of this layout.
    pub version: u32,
    /// Always `true`: this sound is made, not recorded.
    pub simulated: bool,
    /// The seed it came from.
    pub seed: u64,
    /// The scenario's name, with the site where there is one.
    pub scenario: String,
    /// Length, seconds.
    pub duration_s: f64,
    /// Samples a second.
    pub rate_hz: u32,
    /// 1, or 2 with forward flow left and reverse right.
    pub channels: usize,
    /// The mean systolic pressure under the cuff, mmHg.
    pub systolic_mmhg: f64,
    /// The mean diastolic pressure, mmHg.
    pub diastolic_mmhg: f64,
    /// Heart rate from the beats in this sound, beats a minute.
    pub heart_rate_bpm: f64,
    /// The rhythm.
    pub rhythm: Rhythm,
    /// The artery.
    pub artery: FlowKind,
    /// Why nothing returns, where nothing was to return.
    pub never: Option<Never>,
    /// The path to the recording.
    pub path: Path,
    /// The names of the noises.
    pub noise: Vec<String>,
    /// The free pulse over those noises, decibels.
    pub snr_db: f64,
    /// Feet of the arterial pressure, seconds.
    pub beats: Vec<f64>,
    /// Every opening, in order of time.
    pub openings: Vec<Opening>,
    /// Every inflation, in order of time.
    pub inflations: Vec<Inflation>,
    /// `audible_s` of each inflation.
    pub returns: Vec<Option<f64>>,
    /// Of the first inflation with a return: the first opening that an ideal observer hears, seconds.
    pub audible_s: Option<f64>,
    /// The cuff's pressure at that moment, mmHg.
    pub audible_mmhg: Option<f64>,
}

impl Truth {
    /// What a truth file calls itself.
    pub const FORMAT: &'static str = "cuffnote-truth";
    /// Its version.
    pub const VERSION: u32 = 1;
}

/// One rise of the cuff's pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pumping {
    /// Where the rise begins, seconds.
    pub start_s: f64,
    /// Where it ends, seconds.
    pub top_s: f64,
    /// The pressure there, mmHg.
    pub top_mmhg: f64,
    /// Where a fast fall follows, seconds.
    pub release_s: Option<f64>,
}

/// Watches the cuff's pressure for pumping and letting go.
#[derive(Debug, Clone, Default)]
pub struct PumpWatch {
    found: Vec<Pumping>,
    pumping: bool,
    low: (f64, f64),
    high: (f64, f64),
    before: (f64, f64),
}

impl PumpWatch {
    /// The pressure now; time never goes back.
    pub fn step(&mut self, now_s: f64, mmhg: f64) {
        let here = (now_s, mmhg);
        if self.pumping {
            self.while_pumping(here);
        } else {
            self.while_falling(here);
        }
    }

    fn while_falling(&mut self, here: (f64, f64)) {
        if here.1 <= self.low.1 {
            self.low = here;
        }
        if here.1 > self.low.1 + 4.0 {
            let start = Pumping { start_s: self.low.0, top_s: 0.0, top_mmhg: 0.0, release_s: None };
            self.found.push(start);
            (self.pumping, self.high) = (true, here);
        } else if here.0 - self.before.0 >= 0.25 {
            let fast = self.before.1 - here.1 > 5.0;
            if let Some(last) = self.found.last_mut().filter(|p| fast && p.release_s.is_none()) {
                last.release_s = Some(self.before.0);
            }
            self.before = here;
        }
    }

    fn while_pumping(&mut self, here: (f64, f64)) {
        if here.1 >= self.high.1 {
            self.high = here;
        }
        if here.1 < self.high.1 - 4.0 || here.0 - self.high.0 > 1.5 {
            self.close();
            (self.pumping, self.low, self.before) = (false, here, here);
        }
    }

    fn close(&mut self) {
        if let Some(last) = self.found.last_mut() {
            (last.top_s, last.top_mmhg) = self.high;
        }
    }

    /// All that was seen.
    pub fn finish(mut self) -> Vec<Pumping> {
        if self.pumping {
            self.close();
        }
        self.found
    }
}

/// Puts pumpings and openings together: an inflation begins where the artery is closed for more than a
/// beat and a half, as far as anyone could tell; pumping again before anything was heard belongs to the same one.
pub fn inflations(pumpings: &[Pumping], openings: &[Opening], beat_s: f64) -> Vec<Inflation> {
    let mut found: Vec<Inflation> = Vec::new();
    for (i, pumping) in pumpings.iter().enumerate() {
        let until_s = pumpings.get(i + 1).map_or(f64::INFINITY, |next| next.start_s);
        let within = |o: &&Opening, from_s: f64| o.onset_s > from_s && o.onset_s < until_s;
        let mut after: Vec<&Opening> =
            openings.iter().filter(|o| within(o, pumping.top_s)).collect();
        let shut_s = shut(pumping.top_s, &after, beat_s);
        let occluded = shut_s.is_some();
        after.retain(|o| shut_s.is_none_or(|shut_s| o.onset_s > shut_s));
        let goes_on = found.last().is_some_and(|last| {
            last.audible_s.is_none() && last.release_s.is_none()
                || !occluded && last.release_s.is_none()
        });
        if goes_on && let Some(last) = found.last_mut() {
            last.again_s.push(pumping.start_s);
            last.release_s = pumping.release_s;
            last.target_mmhg = last.target_mmhg.max(pumping.top_mmhg);
            if last.audible_s.is_none() && last.closed_s.is_some() {
                hear(last, &after, beat_s);
            } else if let Some(shut_s) = shut_s.filter(|_| last.audible_s.is_none()) {
                last.closed_s = closed_before(openings, shut_s);
                hear(last, &after, beat_s);
            }
            continue;
        }
        let mut inflation = Inflation {
            pump_start_s: pumping.start_s,
            closed_s: shut_s.and_then(|shut_s| closed_before(openings, shut_s)),
            target_mmhg: pumping.top_mmhg,
            top_s: pumping.top_s,
            release_s: pumping.release_s,
            again_s: Vec::new(),
            first_opening_s: None,
            audible_s: None,
            audible_mmhg: None,
        };
        if occluded {
            hear(&mut inflation, &after, beat_s);
        }
        found.push(inflation);
    }
    found
}

/// From when the artery is closed after the highest pressure, as far as anyone could tell, seconds; `None` where it stays open.
///
/// An opening that leaves no trace does not tell that it is open, nor does a lone one, as it does not tell of a return.
fn shut(top_s: f64, after: &[&Opening], beat_s: f64) -> Option<f64> {
    let heard: Vec<f64> = after.iter().filter(|o| o.d_prime >= TRACE).map(|o| o.onset_s).collect();
    let soon = heard.iter().filter(|s| **s <= top_s + 1.5 * beat_s).count();
    match (soon, heard.as_slice()) {
        _ if top_s <= 0.0 => None,
        (0, _) => Some(top_s),
        (1, &[lone]) => Some(lone),
        (1, &[lone, next, ..]) if !follows(lone, next, beat_s) => Some(lone),
        _ => None,
    }
}

fn closed_before(openings: &[Opening], top_s: f64) -> Option<f64> {
    openings.iter().rfind(|o| o.onset_s <= top_s).map(|o| o.end_s)
}

fn hear(inflation: &mut Inflation, after: &[&Opening], beat_s: f64) {
    let onsets: Vec<f64> = after.iter().map(|o| o.onset_s).collect();
    let plain: Vec<f64> = after.iter().map(|o| o.d_prime).collect();
    inflation.first_opening_s = inflation.first_opening_s.or(onsets.first().copied());
    if let Some(first) = first_heard(&onsets, &plain, beat_s) {
        inflation.audible_s = Some(after[first].onset_s);
        inflation.audible_mmhg = Some(after[first].cuff_mmhg);
    }
}

impl Truth {
    /// The parts of the truth that the case alone tells.
    pub fn of_case(case: &Case, seed: u64) -> Self {
        let made = case.noise.iter().map(|kind| format!("{kind:?}").to_lowercase());
        let recorded = case.recorded.iter().map(|sound| sound.name.clone());
        Self {
            format: Self::FORMAT,
            version: Self::VERSION,
            simulated: true,
            seed,
            scenario: case.scenario.clone(),
            duration_s: 0.0,
            rate_hz: case.rate_hz,
            channels: if case.stereo { 2 } else { 1 },
            systolic_mmhg: case.systolic_mmhg,
            diastolic_mmhg: case.diastolic_mmhg,
            heart_rate_bpm: case.heart_rate_bpm,
            rhythm: case.rhythm,
            artery: case.artery,
            never: case.never,
            path: case.path,
            noise: made.chain(recorded).collect(),
            snr_db: case.snr_db,
            beats: Vec::new(),
            openings: Vec::new(),
            inflations: Vec::new(),
            returns: Vec::new(),
            audible_s: None,
            audible_mmhg: None,
        }
    }

    /// Fills in what was seen while the sound was made.
    pub fn complete(&mut self, beats: Vec<f64>, openings: Vec<Opening>, pumpings: &[Pumping]) {
        let beat_s = 60.0 / self.heart_rate_bpm;
        let mean_s = match beats.as_slice() {
            [first, .., last] => (last - first) / (beats.len() - 1) as f64,
            _ => beat_s,
        };
        self.heart_rate_bpm = (600.0 / mean_s.max(0.1)).round() / 10.0;
        self.inflations = inflations(pumpings, &openings, mean_s);
        self.returns = self.inflations.iter().map(|i| i.audible_s).collect();
        if let Some(first) = self.inflations.iter().find(|i| i.audible_s.is_some()) {
            (self.audible_s, self.audible_mmhg) = (first.audible_s, first.audible_mmhg);
        }
        (self.beats, self.openings) = (beats, openings);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opening(onset_s: f64, d_prime: f64) -> Opening {
        Opening { onset_s, end_s: onset_s + 0.2, cuff_mmhg: 100.0, d_prime, free: false }
    }

    fn pumping(start_s: f64, top_s: f64) -> Pumping {
        Pumping { start_s, top_s, top_mmhg: 160.0, release_s: None }
    }

    #[test]
    fn pumping_and_letting_go_are_seen_in_the_pressure() {
        let mut watch = PumpWatch::default();
        for i in 0..2000 {
            let t = f64::from(i) * 0.01;
            let strokes = ((t - 2.0) / 0.5).clamp(0.0, 6.0).floor() * 25.0;
            let bled = strokes - (t - 6.5).clamp(0.0, 8.0) * 3.0;
            watch.step(t, if t > 15.0 { bled * libm::exp(-(t - 15.0) * 2.0) } else { bled });
        }
        let found = watch.finish();
        assert_eq!(found.len(), 1);
        assert!((found[0].start_s - 2.5).abs() < 0.02 && (found[0].top_mmhg - 150.0).abs() < 0.1);
        assert!((found[0].release_s.unwrap() - 15.0).abs() < 0.3);
    }

    #[test]
    fn the_return_is_the_first_of_two_that_are_heard() {
        let openings =
            [1.0, 2.0, 8.0, 10.0, 11.0].map(|t| opening(t, if t == 8.0 { 2.0 } else { 20.0 }));
        let found = inflations(&[pumping(2.5, 4.0)], &openings, 1.0);
        assert_eq!(found[0].closed_s, Some(2.2));
        assert_eq!(found[0].first_opening_s, Some(8.0));
        assert_eq!(found[0].audible_s, Some(10.0));
    }

    #[test]
    fn pumping_again_before_anything_is_heard_is_the_same_inflation() {
        let openings = [1.0, 2.0, 18.0, 19.0].map(|t| opening(t, 20.0));
        let found = inflations(&[pumping(2.5, 4.0), pumping(9.0, 9.5)], &openings, 1.0);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].audible_s, found[0].again_s.as_slice()), (Some(18.0), &[9.0][..]));
    }

    #[test]
    fn pumping_again_after_a_return_is_another_inflation_if_it_closes_the_artery() {
        let openings = [1.0, 2.0, 8.0, 9.0, 18.0, 19.0].map(|t| opening(t, 20.0));
        let found = inflations(&[pumping(2.5, 4.0), pumping(9.5, 10.5)], &openings, 1.0);
        let heard: Vec<_> = found.iter().map(|i| i.audible_s).collect();
        assert_eq!(heard, [Some(8.0), Some(18.0)]);
    }

    /// At 4.5 s the artery opens, too faintly for anyone.
    #[test]
    fn an_opening_that_leaves_no_trace_does_not_tell_that_the_artery_is_open() {
        let with = |d_prime: f64| {
            let openings = [(1.0, 20.0), (2.0, 20.0), (4.5, d_prime), (10.0, 20.0), (11.0, 20.0)];
            inflations(&[pumping(2.5, 4.0)], &openings.map(|(t, d)| opening(t, d)), 1.0)[0]
                .audible_s
        };
        // Plain, it is a lone one all the same.
        assert_eq!((with(0.4), with(20.0)), (Some(10.0), Some(10.0)));
    }

    #[test]
    fn a_beat_that_breaks_through_at_the_top_is_no_return_and_no_open_artery() {
        let heard = |onsets: &[f64]| {
            let openings: Vec<_> = onsets.iter().map(|t| opening(*t, 20.0)).collect();
            let found = inflations(&[pumping(2.5, 4.0)], &openings, 1.0);
            (found[0].closed_s, found[0].first_opening_s, found[0].audible_s)
        };
        assert_eq!(heard(&[1.0, 2.0, 4.5, 10.0, 11.0]), (Some(4.7), Some(10.0), Some(10.0)));
        assert_eq!(heard(&[1.0, 2.0, 4.5]), (Some(4.7), None, None));
        assert_eq!(heard(&[1.0, 2.0, 4.5, 6.0, 10.0, 11.0]), (None, None, None));
    }

    #[test]
    fn a_cuff_that_does_not_close_the_artery_has_no_return() {
        let openings: Vec<_> = (1..20).map(|t| opening(f64::from(t), 20.0)).collect();
        let found = inflations(&[pumping(2.5, 4.0)], &openings, 1.0);
        assert_eq!((found[0].closed_s, found[0].audible_s), (None, None));
    }
}
