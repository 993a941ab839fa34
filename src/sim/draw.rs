//! Natural variation: a case drawn as patients, probes, hands and devices vary.

use super::case::{Artery, Case, Hand, Noise, Opening, Path, PumpAgain, Slip};
use super::chance::Chance;

impl Case {
    /// A patient with this artery, on the line at 20 dB, in regular rhythm: everything else varies as widely
    /// as it does at bedsides. A caller then sets what a stratum asks for.
    pub fn drawn(chance: &mut Chance, artery: Artery) -> Self {
        let mut case = Self { artery, scenario: "drawn".into(), ..Self::default() };
        case.draw_patient(chance);
        case.draw_probe(chance);
        case.hand = Hand::drawn(chance);
        case.draw_device(chance);
        case
    }

    fn draw_patient(&mut self, chance: &mut Chance) {
        self.heart_rate_bpm = chance.around(74.0, 17.0).clamp(42.0, 130.0);
        let (systolic, least_pulse, most_pulse) = match self.artery {
            Artery::Damped => (chance.between(40.0, 95.0), 8.0, 26.0),
            Artery::Monophasic => (chance.between(60.0, 150.0), 18.0, 50.0),
            Artery::Multiphasic | Artery::Absent => (chance.between(92.0, 190.0), 30.0, 85.0),
        };
        self.systolic_mmhg = systolic;
        let pulse = chance.between(least_pulse, most_pulse).min(0.6 * systolic);
        self.diastolic_mmhg = systolic - pulse;
        self.breathing_mmhg = chance.between(0.5, 5.0);
        self.breaths_per_min = chance.between(9.0, 22.0);
        self.beat_noise_mmhg = chance.between(0.3, 2.0);
        self.opening = if chance.happens(0.15) { Opening::Jet } else { Opening::Growing };
        self.growth_mmhg = chance.log_between(3.0, 30.0);
        let longest = if chance.happens(0.12) { 200.0 } else { 60.0 };
        self.run_on_ms = chance.log_between(6.0, longest);
        self.venous_db = chance.happens(0.15).then(|| chance.between(-30.0, -15.0));
    }

    fn draw_probe(&mut self, chance: &mut Chance) {
        self.probe_mhz = chance.pick(&[5.0, 8.0, 8.0, 10.0]);
        self.angle_deg = chance.between(40.0, 65.0);
        let (low, high) = match self.artery {
            Artery::Damped => (9.0, 28.0),
            Artery::Monophasic => (14.0, 50.0),
            Artery::Multiphasic | Artery::Absent => (18.0, 95.0),
        };
        self.peak_cm_s = chance.log_between(low, high);
        self.profile = chance.log_between(2.0, 9.0);
    }

    fn draw_device(&mut self, chance: &mut Chance) {
        self.level_dbfs = chance.between(-40.0, -12.0);
        self.device_snr_db = chance.between(24.0, 42.0);
        self.hand_snr_db = chance.between(4.0, 28.0);
        self.offset = if chance.happens(0.15) { chance.around(0.0, 0.01) } else { 0.0 };
    }

    /// Puts a microphone in a room before the device.
    pub fn by_microphone(&mut self, noise: Vec<Noise>, snr_db: f64) {
        self.path = Path::Microphone;
        self.noise = noise;
        self.snr_db = snr_db;
    }

    /// A slip of the probe somewhere in the baseline or the bleed, short and partial.
    pub fn slip_somewhere(&mut self, chance: &mut Chance) {
        let (at_s, for_s) = (chance.between(1.0, 30.0), chance.log_between(0.3, 4.0));
        self.slip = Some(Slip { at_s, for_s, loss_db: chance.between(6.0, 40.0) });
    }
}

impl Hand {
    /// A hand as hands vary.
    pub fn drawn(chance: &mut Chance) -> Self {
        Self {
            baseline_s: chance.between(3.5, 8.0),
            target_mmhg: None,
            stroke_mmhg: chance.between(9.0, 30.0),
            stroke_s: chance.between(0.35, 0.8),
            hold_s: chance.between(0.3, 3.5),
            bleed_mmhg_s: chance.between(2.0, 6.0),
            wobble: chance.between(0.0, 0.9),
            pause_s: if chance.happens(0.12) { chance.between(1.0, 5.0) } else { 0.0 },
            pump_again: None,
            stop_mmhg: chance.between(-60.0, -18.0),
            release: chance.happens(0.7),
            tail_s: chance.between(0.3, 5.0),
            inflations: 1,
            rest_s: 6.0,
        }
    }

    /// Pumps again on the way down, mostly before the artery opens.
    pub fn pumps_again(&mut self, chance: &mut Chance) {
        let (at_mmhg, by_mmhg) = (chance.between(-4.0, 18.0), chance.between(10.0, 40.0));
        self.pump_again = Some(PumpAgain { at_mmhg, by_mmhg });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drawn_cases_are_plausible() {
        let mut chance = Chance::new(5, 0);
        for artery in [Artery::Multiphasic, Artery::Monophasic, Artery::Damped] {
            for _ in 0..200 {
                let case = Case::drawn(&mut chance, artery);
                assert!((42.0..=130.0).contains(&case.heart_rate_bpm));
                assert!(case.diastolic_mmhg > 10.0 && case.diastolic_mmhg < case.systolic_mmhg);
                assert!((40.0..=190.0).contains(&case.systolic_mmhg));
            }
        }
    }
}
