//! Arterial pressure, beat by beat: upstroke, rounded top, run-off, notch; breathing and chance move
//! each beat's pressures. Or a recorded pressure, rescaled.

use std::f64::consts::{PI, TAU};

use serde::Serialize;

use super::case::{Case, FlowKind, RecordedPressure};
use super::chance::Chance;
use super::rhythm::Beats;

/// One beat of the arterial pressure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PressurePulse {
    /// Foot of the upstroke, seconds.
    pub onset_s: f64,
    /// To the next one, seconds.
    pub interval_s: f64,
    /// Top of the beat, mmHg.
    pub systolic_mmhg: f64,
    /// The pressure it rises from, mmHg.
    pub foot_mmhg: f64,
    /// It came too early.
    pub premature: bool,
}

/// The heart and arteries upstream of the cuff.
#[derive(Debug, Clone)]
pub struct Patient {
    source: Source,
    pulse: PressurePulse,
}

#[derive(Debug, Clone)]
enum Source {
    Simulated(Box<Simulated>),
    Recorded { mmhg: Vec<f64>, rate_hz: f64, pulses: Vec<PressurePulse>, at: usize },
}

#[derive(Debug, Clone)]
struct Simulated {
    beats: Beats,
    chance: Chance,
    systolic_mmhg: f64,
    diastolic_mmhg: f64,
    breathing_mmhg: f64,
    breath_hz: f64,
    breath_phase: f64,
    noise_mmhg: f64,
    /// Systolic pressure gained with each second of filling beyond the mean, mmHg/s.
    filling_mmhg_s: f64,
    weak_mmhg: f64,
    upstroke_s: f64,
    round_s: f64,
    decay_s: f64,
    floor_mmhg: f64,
    notch: f64,
    notch_s: f64,
}

impl Patient {
    /// The patient of this case.
    pub fn new(case: &Case, seed: u64) -> Self {
        if let Some(recorded) = &case.pressure
            && let Some(patient) = Self::recorded(case, recorded)
        {
            return patient;
        }
        let mut simulated = Simulated::new(case, seed);
        let pulse = simulated.beat(0.0, case.diastolic_mmhg);
        Self { source: Source::Simulated(Box::new(simulated)), pulse }
    }

    /// Rescales a recording so that its median beat has the case's pressures; `None` without beats in it.
    fn recorded(case: &Case, recorded: &RecordedPressure) -> Option<Self> {
        let from = (recorded.from_s * recorded.rate_hz) as usize;
        let mut mmhg: Vec<f64> = recorded.mmhg.get(from..)?.to_vec();
        let raw = find_beats(&mmhg, recorded.rate_hz);
        let top = median(raw.iter().map(|p| p.systolic_mmhg).collect())?;
        let foot = median(raw.iter().map(|p| p.foot_mmhg).collect())?;
        let scale = (case.systolic_mmhg - case.diastolic_mmhg) / (top - foot).max(1.0);
        for value in &mut mmhg {
            *value = case.diastolic_mmhg + (*value - foot) * scale;
        }
        let pulses = find_beats(&mmhg, recorded.rate_hz);
        let pulse = *pulses.first()?;
        Some(Self {
            source: Source::Recorded { mmhg, rate_hz: recorded.rate_hz, pulses, at: 0 },
            pulse,
        })
    }

    /// Moves to `now_s`, which never goes back. Gives the arterial pressure in mmHg and the beat it
    /// belongs to.
    pub fn at(&mut self, now_s: f64) -> (f64, &PressurePulse) {
        match &mut self.source {
            Source::Simulated(simulated) => {
                while now_s >= self.pulse.onset_s + self.pulse.interval_s {
                    let next_s = self.pulse.onset_s + self.pulse.interval_s;
                    let foot_mmhg = simulated.pressure(&self.pulse, self.pulse.interval_s);
                    self.pulse = simulated.beat(next_s, foot_mmhg);
                }
                (simulated.pressure(&self.pulse, now_s - self.pulse.onset_s), &self.pulse)
            }
            Source::Recorded { mmhg, rate_hz, pulses, at } => {
                while *at + 1 < pulses.len() && now_s >= pulses[*at + 1].onset_s {
                    *at += 1;
                }
                self.pulse = pulses[*at];
                (between_samples(mmhg, now_s * *rate_hz), &self.pulse)
            }
        }
    }
}

impl Simulated {
    fn new(case: &Case, seed: u64) -> Self {
        let mut chance = Chance::new(seed, 11);
        let beats = Beats::new(case, Chance::new(seed, 10));
        let damped = case.artery == FlowKind::Damped;
        let upstroke_s =
            if damped { chance.between(0.19, 0.30) } else { chance.between(0.10, 0.19) };
        let round_s = chance.between(0.05, 0.22);
        let pulse_mmhg = (case.systolic_mmhg - case.diastolic_mmhg).max(4.0);
        // The run-off tends to a floor a quarter of the pulse pressure under the diastolic one, so that
        // it meets the diastolic pressure after the mean interval: exp(-x) = 0.2, x = 1.609.
        let run_s = (beats.mean_s() - upstroke_s).max(0.15);
        Self {
            systolic_mmhg: case.systolic_mmhg,
            diastolic_mmhg: case.diastolic_mmhg,
            breathing_mmhg: case.breathing_mmhg,
            breath_hz: case.breaths_per_min / 60.0,
            breath_phase: chance.uniform() * TAU,
            noise_mmhg: case.beat_noise_mmhg,
            filling_mmhg_s: chance.between(12.0, 40.0),
            weak_mmhg: chance.between(6.0, 26.0),
            upstroke_s,
            round_s,
            decay_s: run_s * run_s / (run_s + round_s) / 1.609,
            floor_mmhg: case.diastolic_mmhg - 0.25 * pulse_mmhg,
            notch: if damped { 0.0 } else { chance.between(0.0, 0.10) },
            notch_s: chance.between(0.17, 0.27),
            beats,
            chance,
        }
    }

    fn beat(&mut self, onset_s: f64, foot_mmhg: f64) -> PressurePulse {
        let beat = self.beats.next(onset_s);
        let breath = libm::sin(TAU * self.breath_hz * onset_s + self.breath_phase);
        let filling_s = (beat.filling_s - self.beats.mean_s()).clamp(-0.5, 0.5);
        let mut systolic_mmhg = self.systolic_mmhg
            + self.breathing_mmhg * breath
            + self.noise_mmhg * self.chance.normal()
            + self.filling_mmhg_s * filling_s;
        if beat.premature {
            systolic_mmhg -= self.weak_mmhg * self.chance.between(0.5, 1.3);
        }
        let least = foot_mmhg + 0.08 * (self.systolic_mmhg - self.diastolic_mmhg);
        PressurePulse {
            onset_s,
            interval_s: beat.interval_s,
            systolic_mmhg: systolic_mmhg.max(least),
            foot_mmhg,
            premature: beat.premature,
        }
    }

    /// The pressure `since_s` after a beat's foot, mmHg.
    fn pressure(&self, pulse: &PressurePulse, since_s: f64) -> f64 {
        let height = pulse.systolic_mmhg - pulse.foot_mmhg;
        if since_s < self.upstroke_s {
            let risen = 0.5 - 0.5 * libm::cos(PI * (since_s / self.upstroke_s).max(0.0));
            return pulse.foot_mmhg + height * risen;
        }
        let y = since_s - self.upstroke_s;
        let fallen = libm::exp(-(y / self.decay_s) * (y / (y + self.round_s)));
        let wave = (y - self.notch_s) / 0.05;
        let notch = if wave * wave < 16.0 { self.notch * libm::exp(-wave * wave) } else { 0.0 };
        let pressure = self.floor_mmhg + (pulse.systolic_mmhg - self.floor_mmhg) * fallen;
        (pressure + notch * height).min(pulse.systolic_mmhg)
    }
}

fn between_samples(series: &[f64], at: f64) -> f64 {
    let last = series.len().saturating_sub(1);
    let low = (at.max(0.0) as usize).min(last);
    let high = (low + 1).min(last);
    let part = (at - low as f64).clamp(0.0, 1.0);
    series[low] * (1.0 - part) + series[high] * part
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// Feet and tops in a recorded pressure: a rise of 40 % of the usual swing within 0.3 s, 0.3 s apart.
fn find_beats(mmhg: &[f64], rate_hz: f64) -> Vec<PressurePulse> {
    let reach = (0.3 * rate_hz) as usize;
    let mut sorted = mmhg.to_vec();
    sorted.sort_by(f64::total_cmp);
    let level =
        |share: f64| sorted.get((share * sorted.len() as f64) as usize).copied().unwrap_or(0.0);
    let need = 0.4 * (level(0.97) - level(0.05));
    let mut found: Vec<PressurePulse> = Vec::new();
    let mut at = 0;
    while at + reach < mmhg.len() && need > 0.0 {
        let ahead = &mmhg[at..at + reach];
        let top = (0..reach).max_by(|a, b| ahead[*a].total_cmp(&ahead[*b])).unwrap_or(0);
        let foot = (0..=top).min_by(|a, b| ahead[*a].total_cmp(&ahead[*b])).unwrap_or(0);
        let rises = ahead[top] - ahead[foot] > need && top + 1 < reach;
        if rises {
            let onset_s = (at + foot) as f64 / rate_hz;
            if let Some(last) = found.last_mut() {
                last.interval_s = onset_s - last.onset_s;
            }
            let (systolic_mmhg, foot_mmhg) = (ahead[top], ahead[foot]);
            found.push(PressurePulse {
                onset_s,
                interval_s: 1.0,
                systolic_mmhg,
                foot_mmhg,
                premature: false,
            });
            at += top + reach / 3;
        } else {
            at += 1;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pressures(case: &Case, seed: u64, seconds: usize) -> Vec<f64> {
        let mut patient = Patient::new(case, seed);
        (0..seconds * 200).map(|i| patient.at(i as f64 / 200.0).0).collect()
    }

    #[test]
    fn pressures_are_those_of_the_case() {
        for seed in 0..20 {
            let case = Case { breathing_mmhg: 3.0, ..Case::default() };
            let track = pressures(&case, seed, 60);
            let top = track.iter().copied().fold(0.0, f64::max);
            let low = track.iter().copied().fold(300.0, f64::min);
            assert!((128.0..142.0).contains(&top), "{top}");
            assert!((64.0..84.0).contains(&low), "{low}");
        }
    }

    #[test]
    fn pressure_never_jumps() {
        let track = pressures(&Case::default(), 4, 30);
        assert!(track.windows(2).all(|w| (w[1] - w[0]).abs() < 6.0));
    }

    #[test]
    fn a_recorded_pressure_is_rescaled_and_its_beats_are_found() {
        let mmhg: Vec<f64> = (0..125 * 20)
            .map(|i| {
                let since_s = (i as f64 / 125.0) % 0.8;
                40.0 + 20.0 * libm::exp(-since_s / 0.3) * (since_s / 0.08).min(1.0)
            })
            .collect();
        let pressure = Some(RecordedPressure { mmhg: mmhg.into(), rate_hz: 125.0, from_s: 1.0 });
        let mut patient = Patient::new(&Case { pressure, ..Case::default() }, 0);
        let mut onsets: Vec<f64> = Vec::new();
        let mut top: f64 = 0.0;
        for i in 0..3600 {
            let (mmhg, pulse) = patient.at(f64::from(i) / 200.0);
            top = top.max(mmhg);
            if onsets.last() != Some(&pulse.onset_s) {
                onsets.push(pulse.onset_s);
            }
        }
        assert!((top - 130.0).abs() < 1.0);
        assert!(onsets.windows(2).all(|w| (w[1] - w[0] - 0.8).abs() < 0.02));
        assert!(onsets.len() > 20);
    }
}
