//! How the pulses that were told, their loss and their rate compare with what was in the sound.

use crate::sim::{HEARD, TRACE, Truth};

/// A told pulse this near to an opening's onset has found it, seconds.
const AT_AN_ONSET_S: f64 = 0.15;
/// Flow is heard this long at least, seconds: what is told within it is no invention.
const FLOWS_S: f64 = 0.3;
/// Pulses of the first seconds, while the room is unknown, and of the last are not asked for.
const AFTER_S: f64 = 3.0;
const BEFORE_END_S: f64 = 1.0;
/// Plain pulses that are enough for a rate, and the share by which it may differ.
const RATE_PULSES: usize = 12;
const RATE_WITHIN: f64 = 0.05;

/// A loss is asked for after so many plain pulses, where nothing plain is heard for so long, seconds.
const LOSS_PULSES: usize = 6;
const LOST_FOR_S: f64 = 4.0;

/// What was told of pulses, times in seconds.
#[derive(Debug, Clone, Default)]
pub struct PulsesTold {
    /// Their onsets.
    pub onsets_s: Vec<f64>,
    /// Up to where the sound was heard when the first loss was told.
    pub lost_s: Option<f64>,
    /// The heart rate at the end.
    pub bpm: Option<f64>,
}

/// Counts of one sound, or of many.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PulseCounts {
    /// Pulses with d' of 8 or more, and how many of them were told.
    pub plain: usize,
    /// See `plain`.
    pub found: usize,
    /// Pulses told, and how many of them at no opening that leaves a trace.
    pub told: usize,
    /// See `told`.
    pub wrong: usize,
    /// Length of the sound, seconds.
    pub seconds: f64,
    /// Sounds with twelve plain pulses or more, how many of them have a rate, and in how many it is within 5 %.
    pub with_rate: usize,
    /// See `with_rate`.
    pub rates: usize,
    /// See `with_rate`.
    pub right_rates: usize,
    /// Sounds without an opening that leaves a trace, and how many of them have a rate.
    pub without: usize,
    /// See `without`.
    pub false_rates: usize,
}

impl PulseCounts {
    /// Of one sound.
    pub fn of(truth: &Truth, told: &PulsesTold) -> Self {
        let end_s = truth.duration_s - BEFORE_END_S;
        let plain = || truth.openings.iter().filter(|o| o.d_prime >= HEARD);
        let asked = || plain().filter(|o| (AFTER_S..end_s).contains(&o.onset_s));
        let is_told = |at: f64| told.onsets_s.iter().any(|t| (t - at).abs() < AT_AN_ONSET_S);
        let real = |at: f64| {
            truth.openings.iter().filter(|o| o.d_prime >= TRACE).any(|o| {
                let until = o.end_s.max(o.onset_s + FLOWS_S) + AT_AN_ONSET_S;
                (o.onset_s - AT_AN_ONSET_S..until).contains(&at)
            })
        };
        let silent = truth.openings.iter().all(|o| o.d_prime < TRACE);
        let enough = plain().count() >= RATE_PULSES;
        let right = |bpm: f64| (bpm / truth.heart_rate_bpm - 1.0).abs() < RATE_WITHIN;
        let one = |yes: bool| usize::from(yes);
        Self {
            plain: asked().count(),
            found: asked().filter(|o| is_told(o.onset_s)).count(),
            told: told.onsets_s.len(),
            wrong: told.onsets_s.iter().filter(|at| !real(**at)).count(),
            seconds: truth.duration_s,
            with_rate: one(enough),
            rates: one(enough && told.bpm.is_some()),
            right_rates: one(enough && told.bpm.is_some_and(right)),
            without: one(silent),
            false_rates: one(silent && told.bpm.is_some()),
        }
    }

    /// Both together.
    pub fn and(self, other: &Self) -> Self {
        Self {
            plain: self.plain + other.plain,
            found: self.found + other.found,
            told: self.told + other.told,
            wrong: self.wrong + other.wrong,
            seconds: self.seconds + other.seconds,
            with_rate: self.with_rate + other.with_rate,
            rates: self.rates + other.rates,
            right_rates: self.right_rates + other.right_rates,
            without: self.without + other.without,
            false_rates: self.false_rates + other.false_rates,
        }
    }
}

/// What became of the first closure of a sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LossTold {
    /// Told so long after the last plain pulse ended, seconds, and before the next.
    After(f64),
    /// Told while plain pulses went on.
    Early,
    /// Not told before the pulse came back or the sound ended.
    Never,
}

impl LossTold {
    /// Of one sound; `None` where too few pulses are plain before its first closure, or the next come too soon.
    pub fn of(truth: &Truth, told: &PulsesTold) -> Option<Self> {
        let closed_s = truth.inflations.first()?.closed_s?;
        let plain = || truth.openings.iter().filter(|o| o.d_prime >= HEARD);
        let before = || plain().filter(|o| o.onset_s <= closed_s);
        let last = before().next_back()?;
        let gone_s = last.end_s.max(last.onset_s + FLOWS_S);
        let back_s = plain().find(|o| o.onset_s > closed_s).map_or(truth.duration_s, |o| o.onset_s);
        if before().count() < LOSS_PULSES || back_s - gone_s < LOST_FOR_S {
            return None;
        }
        Some(match told.lost_s {
            Some(lost_s) if lost_s < last.onset_s => Self::Early,
            Some(lost_s) if lost_s < back_s => Self::After(lost_s - gone_s),
            _ => Self::Never,
        })
    }

    /// Seconds from the last plain pulse's end, where it was told after it.
    pub fn after_s(self) -> Option<f64> {
        match self {
            Self::After(after_s) => Some(after_s),
            Self::Early | Self::Never => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::{Case, Inflation, render};

    #[test]
    fn a_pulse_is_found_where_it_begins_and_wrong_where_there_is_none() {
        let truth = render(&Case::default(), 3).truth;
        let inflation = &truth.inflations[0];
        let (closed_s, back_s) = (inflation.closed_s.unwrap(), inflation.audible_s.unwrap());
        let onsets_s = truth.openings.iter().map(|o| o.onset_s + 0.02).collect::<Vec<_>>();
        let all = PulsesTold { onsets_s, lost_s: None, bpm: Some(truth.heart_rate_bpm * 1.03) };
        let counts = PulseCounts::of(&truth, &all);
        assert!(counts.plain > 12 && counts.found == counts.plain, "{counts:?}");
        assert_eq!((counts.with_rate, counts.right_rates, counts.without), (1, 1, 0));
        let middle_s = 0.5 * (closed_s + 0.5 + back_s);
        let bpm = Some(truth.heart_rate_bpm * 1.2);
        let wrong = PulsesTold { onsets_s: vec![middle_s], bpm, ..PulsesTold::default() };
        let counts = PulseCounts::of(&truth, &wrong);
        assert_eq!((counts.told, counts.wrong, counts.found), (1, 1, 0), "{counts:?}");
        assert_eq!((counts.rates, counts.right_rates), (1, 0));
        let both = counts.and(&counts);
        assert_eq!((both.wrong, both.plain), (2, 2 * counts.plain));
    }

    #[test]
    fn a_loss_is_told_after_the_last_plain_pulse_or_early_or_never() {
        let truth = render(&Case::default(), 3).truth;
        let inflation = &truth.inflations[0];
        let (closed_s, back_s) = (inflation.closed_s.unwrap(), inflation.audible_s.unwrap());
        let told = |lost_s| LossTold::of(&truth, &PulsesTold { lost_s, ..PulsesTold::default() });
        let Some(LossTold::After(after_s)) = told(Some(closed_s + 2.0)) else {
            panic!("{:?}", told(Some(closed_s + 2.0)))
        };
        assert!((1.5..4.0).contains(&after_s), "{after_s}");
        assert_eq!(told(Some(closed_s - 3.0)), Some(LossTold::Early));
        assert_eq!(told(Some(back_s + 1.0)), Some(LossTold::Never));
        assert_eq!(told(None), Some(LossTold::Never));
        let open = |inflation: &Inflation| Inflation { closed_s: None, ..inflation.clone() };
        let never = truth.inflations.iter().map(open).collect();
        assert_eq!(
            LossTold::of(&Truth { inflations: never, ..truth }, &PulsesTold::default()),
            None
        );
    }
}
