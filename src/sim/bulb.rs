//! A cuff with its bulb and valve, for a hand that is not scripted: squeezes raise the pressure, the valve lets
//! it down.
//!
//! Boyle's law: the air in the cuff, pressure times volume, is what squeezes add and the valve takes. The cuff's volume
//! grows with its pressure; air leaves as through an orifice, by the root of the pressure (Bernoulli). The sizes are
//! our own choice, set so that ten squeezes or so close an arm and a small opening gives 2 to 3 mmHg/s.

/// Atmospheric pressure, mmHg.
const AIR_MMHG: f64 = 760.0;
/// The cuff's volume when it begins to press, ml.
const EMPTY_ML: f64 = 100.0;
/// What its volume grows by, ml for each mmHg.
const GIVES_ML_PER_MMHG: f64 = 1.0;
/// What a full squeeze moves, ml of air at atmospheric pressure.
const BULB_ML: f64 = 26.0;
/// In what time a full squeeze's air goes over, seconds.
const SQUEEZE_S: f64 = 0.2;
/// In what time the bulb fills again, seconds; a squeeze before that moves less.
const REFILL_S: f64 = 0.35;
/// What leaves by the fully open valve at 100 mmHg, ml a second.
const OPEN_ML_PER_S: f64 = 190.0;
/// What leaves through tubes and seams at 100 mmHg, ml a second: about 2 mmHg a minute. No cuff is tight.
const LEAK_ML_PER_S: f64 = 0.05;
/// The bulb gives no more here, mmHg: the end of the gauge.
const MOST_MMHG: f64 = 300.0;

/// A cuff, its bulb and its valve.
#[derive(Debug, Clone, PartialEq)]
pub struct Bulb {
    /// Air in the cuff, mmHg ml.
    air: f64,
    /// Air on its way from the bulb.
    coming: f64,
    since_squeeze_s: f64,
    valve: f64,
}

impl Default for Bulb {
    fn default() -> Self {
        Self { air: AIR_MMHG * EMPTY_ML, coming: 0.0, since_squeeze_s: 10.0, valve: 0.0 }
    }
}

impl Bulb {
    /// One squeeze. An open valve lets its air straight out again.
    pub fn squeeze(&mut self) {
        let full = (self.since_squeeze_s / REFILL_S).min(1.0);
        self.coming += AIR_MMHG * BULB_ML * full;
        self.since_squeeze_s = 0.0;
    }

    /// How far the valve is open, 0 to 1; its area grows with the third power, so that the fine end is fine.
    pub fn set_valve(&mut self, open: f64) {
        self.valve = if open.is_finite() { open.clamp(0.0, 1.0) } else { 0.0 };
    }

    /// Lets time pass and gives the pressure, mmHg.
    pub fn step(&mut self, seconds: f64) -> f64 {
        self.since_squeeze_s += seconds;
        let over = self.coming.min(AIR_MMHG * BULB_ML * seconds / SQUEEZE_S);
        self.coming -= over;
        if self.mmhg() < MOST_MMHG {
            self.air += over;
        }
        let area = self.valve * self.valve * self.valve;
        let leaves = (OPEN_ML_PER_S * area + LEAK_ML_PER_S) * (self.mmhg() / 100.0).sqrt();
        self.air = (self.air - AIR_MMHG * leaves * seconds).max(AIR_MMHG * EMPTY_ML);
        self.mmhg()
    }

    /// The pressure now, mmHg: (760 + p) (empty + gives p) = air, for p.
    pub fn mmhg(&self) -> f64 {
        let half = (EMPTY_ML + AIR_MMHG * GIVES_ML_PER_MMHG) / (2.0 * GIVES_ML_PER_MMHG);
        let rest = (self.air - AIR_MMHG * EMPTY_ML) / GIVES_ML_PER_MMHG;
        ((half * half + rest).sqrt() - half).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::BLOCK_S;

    fn run(bulb: &mut Bulb, seconds: f64) -> f64 {
        (0..(seconds / BLOCK_S) as usize).fold(bulb.mmhg(), |_, _| bulb.step(BLOCK_S))
    }

    #[test]
    fn squeezes_close_an_arm_and_a_still_cuff_stays() {
        let mut bulb = Bulb::default();
        let mut before = 0.0;
        for _ in 0..8 {
            bulb.squeeze();
            let now = run(&mut bulb, 0.6);
            assert!((10.0..30.0).contains(&(now - before)), "{before} {now}");
            before = now;
        }
        assert!((140.0..200.0).contains(&before), "{before}");
        let later = run(&mut bulb, 30.0);
        assert!((later - before).abs() < 2.0, "what was on its way has come: {before} {later}");
    }

    #[test]
    fn the_valve_goes_from_a_fine_bleed_to_letting_go() {
        let pumped = |open: f64| {
            let mut bulb = Bulb::default();
            while bulb.mmhg() < 150.0 {
                bulb.squeeze();
                run(&mut bulb, 0.6);
            }
            run(&mut bulb, 2.0);
            let from = bulb.mmhg();
            bulb.set_valve(open);
            from - run(&mut bulb, 1.0)
        };
        assert!((0.0..0.1).contains(&pumped(0.0)));
        assert!((1.0..5.0).contains(&pumped(0.27)), "{}", pumped(0.27));
        assert!(pumped(1.0) > 90.0, "{}", pumped(1.0));
        let falls: Vec<f64> = (0..=10).map(|tenth| pumped(f64::from(tenth) / 10.0)).collect();
        assert!(falls.windows(2).all(|w| w[1] > w[0] - 0.05), "{falls:?}");
    }

    #[test]
    fn hasty_squeezes_move_less_and_nothing_goes_past_the_gauge() {
        let (mut hasty, mut calm) = (Bulb::default(), Bulb::default());
        for _ in 0..5 {
            hasty.squeeze();
            run(&mut hasty, 0.1);
            calm.squeeze();
            run(&mut calm, 0.5);
        }
        assert!(run(&mut hasty, 2.0) < run(&mut calm, 2.0) - 20.0);
        for _ in 0..200 {
            calm.squeeze();
            assert!(run(&mut calm, 0.5) < 330.0);
        }
        calm.set_valve(f64::NAN);
        calm.set_valve(7.0);
        assert_eq!(run(&mut calm, 20.0), 0.0);
    }
}
