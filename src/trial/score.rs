//! One answer against the truth.

use crate::signal::Evidence;
use crate::sim::{HEARD, TRACE, Truth};

/// A return lies within this of a real opening's onset, seconds.
const AT_AN_OPENING_S: f64 = 0.15;
/// A pulse that is plain to an ideal observer.
const PLAIN: f64 = 20.0;

/// What a listener said of one sound.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ListenerAnswer {
    /// Second hearing's return, seconds.
    pub return_s: Option<f64>,
    /// The cue, seconds.
    pub cue_s: Option<f64>,
    /// Its confidence.
    pub confidence: Option<f64>,
    /// What carried the return, where the method says so.
    pub evidence: Option<Evidence>,
}

/// How an answer fared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// From the first opening that leaves a trace to one beat after the first that can be heard, at
    /// a real opening.
    Hit,
    /// Later than that.
    Late,
    /// Before any trace, or at no opening.
    Early,
    /// Nothing was said though something returned.
    Missed,
    /// Something was said though nothing returned.
    False,
    /// Rightly nothing was said.
    Silent,
}

/// An answer judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// How it fared.
    pub verdict: Verdict,
    /// From the nearest opening's onset to the return, for hits, seconds.
    pub error_s: Option<f64>,
    /// From the first audible pulse to the return, in mmHg of the cuff's fall; negative: before it.
    pub lag_mmhg: Option<f64>,
    /// From the onset of the first plain pulse to the cue, seconds, where both are.
    pub cue_latency_s: Option<f64>,
    /// One beat at this heart rate, seconds.
    pub beat_s: f64,
    /// The cue came before any trace, or where nothing returned.
    pub cue_false: bool,
    /// What was claimed, where something was.
    pub confidence: Option<f64>,
}

/// What is to be found in a sound, whoever made it. Times in seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct Sought {
    /// Every opening, free ones before the closure too, in order of time.
    pub openings: Vec<SoughtOpening>,
    /// Where the cuff of the inflation that is judged had closed the artery, or was at its highest.
    pub closed_s: f64,
    /// The first opening that an ideal observer hears.
    pub audible_s: Option<f64>,
    /// The cuff's pressure at that moment, mmHg.
    pub audible_mmhg: Option<f64>,
    /// One beat.
    pub beat_s: f64,
}

/// One opening of the artery.
#[derive(Debug, Clone, Copy, PartialEq, serde::Deserialize)]
pub struct SoughtOpening {
    /// When flow begins, seconds.
    pub onset_s: f64,
    /// The cuff's pressure there, mmHg.
    pub cuff_mmhg: f64,
    /// How plainly an ideal observer hears it.
    pub d_prime: f64,
}

/// One inflation of the cuff.
#[derive(Debug, Clone, Copy, PartialEq, serde::Deserialize)]
pub struct SoughtInflation {
    /// Where the artery closed, seconds; none where it never did.
    pub closed_s: Option<f64>,
    /// Where the pressure was highest, seconds.
    pub top_s: f64,
    /// The first opening after it that an ideal observer hears, seconds.
    pub audible_s: Option<f64>,
}

/// Where the judged inflation had closed the artery, seconds: the first with a return, or the first of all.
pub fn closed_s(inflations: &[SoughtInflation]) -> f64 {
    let judged = inflations.iter().find(|i| i.audible_s.is_some()).or(inflations.first());
    judged.map_or(0.0, |i| i.closed_s.unwrap_or(i.top_s))
}

impl From<&Truth> for Sought {
    fn from(truth: &Truth) -> Self {
        let openings = truth.openings.iter().map(|o| SoughtOpening {
            onset_s: o.onset_s,
            cuff_mmhg: o.cuff_mmhg,
            d_prime: o.d_prime,
        });
        let inflations = truth.inflations.iter().map(|i| SoughtInflation {
            closed_s: i.closed_s,
            top_s: i.top_s,
            audible_s: i.audible_s,
        });
        Self {
            openings: openings.collect(),
            closed_s: closed_s(&inflations.collect::<Vec<_>>()),
            audible_s: truth.audible_s,
            audible_mmhg: truth.audible_mmhg,
            beat_s: 60.0 / truth.heart_rate_bpm.max(1.0),
        }
    }
}

/// Judges an answer.
pub fn judge(answer: &ListenerAnswer, truth: &Sought) -> Judged {
    let (beat_s, trace_s) = (truth.beat_s, trace_s(truth));
    let (verdict, error_s) = verdict(answer, truth, trace_s, beat_s);
    let plain_s = truth
        .audible_s
        .and_then(|a| truth.openings.iter().find(|o| o.onset_s >= a && o.d_prime >= PLAIN))
        .map(|o| o.onset_s);
    let cue_false = answer.cue_s.is_some_and(|cue| match (truth.audible_s, trace_s) {
        (Some(_), Some(trace)) => cue < trace,
        _ => true,
    });
    let cue_latency_s = match (answer.cue_s, plain_s) {
        (Some(cue), Some(plain)) if !cue_false => Some(cue - plain),
        _ => None,
    };
    let lag_mmhg = answer.return_s.zip(truth.audible_mmhg).and_then(|(at, audible)| {
        let near = truth
            .openings
            .iter()
            .min_by(|a, b| (a.onset_s - at).abs().total_cmp(&(b.onset_s - at).abs()))?;
        (verdict != Verdict::Early).then_some(audible - near.cuff_mmhg)
    });
    Judged {
        verdict,
        error_s,
        lag_mmhg,
        cue_latency_s,
        beat_s,
        cue_false,
        confidence: answer.return_s.and(answer.confidence),
    }
}

/// Openings of the inflation that is judged, from its closure on; the free pulse before it is none.
fn after_closure(truth: &Sought) -> impl Iterator<Item = &SoughtOpening> {
    truth.openings.iter().filter(|o| o.onset_s > truth.closed_s)
}

/// The first opening after the closure that leaves a trace, seconds.
pub fn trace_s(truth: &Sought) -> Option<f64> {
    after_closure(truth).find(|o| o.d_prime >= TRACE).map(|o| o.onset_s)
}

/// What an observer says who takes the first opening with d' >= 8 after the closure, and asks for no second.
pub fn ideal(truth: &Sought) -> ListenerAnswer {
    let first = after_closure(truth).find(|o| o.d_prime >= HEARD);
    ListenerAnswer { return_s: first.map(|o| o.onset_s), ..ListenerAnswer::default() }
}

fn verdict(
    answer: &ListenerAnswer,
    truth: &Sought,
    trace_s: Option<f64>,
    beat_s: f64,
) -> (Verdict, Option<f64>) {
    let (at, audible) = match (answer.return_s, truth.audible_s) {
        (None, None) => return (Verdict::Silent, None),
        (None, Some(_)) => return (Verdict::Missed, None),
        (Some(_), None) => return (Verdict::False, None),
        (Some(at), Some(audible)) => (at, audible),
    };
    let error = truth
        .openings
        .iter()
        .map(|o| at - o.onset_s)
        .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        .unwrap_or(f64::INFINITY);
    let first = trace_s.unwrap_or(audible);
    if at < first - AT_AN_OPENING_S || error.abs() > AT_AN_OPENING_S && at < audible {
        (Verdict::Early, None)
    } else if at > audible + beat_s + AT_AN_OPENING_S || error.abs() > AT_AN_OPENING_S {
        (Verdict::Late, None)
    } else {
        (Verdict::Hit, Some(error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::{Case, render};

    fn said(return_s: Option<f64>, cue_s: Option<f64>, truth: &Sought) -> Judged {
        judge(&ListenerAnswer { return_s, cue_s, ..ListenerAnswer::default() }, truth)
    }

    #[test]
    fn what_is_said_while_the_cuff_is_closed_is_early_and_the_free_pulse_is_no_trace() {
        let truth = Sought::from(&render(&Case::default(), 3).truth);
        let (closed, audible) = (truth.closed_s, truth.audible_s.unwrap());
        let free = truth.openings[1].onset_s;
        assert!(free < closed);
        let between = said(Some(closed + 0.5), Some(closed + 0.5), &truth);
        assert_eq!((between.verdict, between.cue_false), (Verdict::Early, true));
        assert_eq!(said(Some(free), None, &truth).verdict, Verdict::Early);
        let right = said(Some(audible), Some(audible + 0.3), &truth);
        assert_eq!((right.verdict, right.cue_false), (Verdict::Hit, false));
        assert_eq!(judge(&ideal(&truth), &truth).verdict, Verdict::Hit);
        assert_eq!(said(None, None, &truth).verdict, Verdict::Missed);
    }
}
