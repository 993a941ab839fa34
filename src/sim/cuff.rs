//! A hand at bulb and valve: strokes, a hold, an uneven bleed, a pause, pumping again, letting go.

use super::case::{Case, Hand, Never};
use super::chance::Chance;

/// The cuff's pressure over time, as a hand would work it: straight lines between knots.
#[derive(Debug, Clone)]
pub struct Script {
    knots: Vec<(f64, f64)>,
    at: usize,
}

struct Writer<'a> {
    knots: Vec<(f64, f64)>,
    hand: &'a Hand,
    chance: Chance,
}

impl Writer<'_> {
    fn now(&self) -> (f64, f64) {
        *self.knots.last().unwrap_or(&(0.0, 0.0))
    }

    fn hold(&mut self, seconds: f64, sag_mmhg: f64) {
        let (s, mmhg) = self.now();
        self.knots.push((s + seconds.max(0.0), (mmhg - sag_mmhg).max(0.0)));
    }

    /// Strokes up to a pressure; each overshoots a little and sags.
    fn pump(&mut self, target_mmhg: f64) {
        while self.now().1 < target_mmhg - 1.0 {
            let (s, mmhg) = self.now();
            let stroke = self.hand.stroke_mmhg * self.chance.between(0.6, 1.35);
            let top = (mmhg + stroke.max(2.0)).min(target_mmhg + 2.0);
            let squeeze_s = self.hand.stroke_s * self.chance.between(0.3, 0.5);
            self.knots.push((s + squeeze_s, top));
            let sag = self.chance.between(0.0, 0.08) * (top - mmhg);
            let pause_s = self.hand.stroke_s * self.chance.between(0.45, 0.75);
            self.hold(pause_s, sag);
        }
    }

    /// Bleeds down to a pressure in short pieces of uneven rate.
    fn bleed(&mut self, to_mmhg: f64) {
        let (rate, wobble) = (self.hand.bleed_mmhg_s.max(0.2), self.hand.wobble);
        let drift = self.chance.around(0.0, 0.12 * wobble);
        while self.now().1 > to_mmhg + 0.01 {
            let (s, mmhg) = self.now();
            let piece_s = self.chance.between(0.15, 0.9);
            let uneven = libm::exp(wobble * self.chance.normal() * 0.6 - 0.18 * wobble * wobble);
            let step = if self.chance.happens(0.25 * wobble) {
                self.chance.between(0.2, 1.6) * wobble
            } else {
                0.0
            };
            let fall = rate * (1.0 + drift) * uneven * piece_s;
            let next = (mmhg - fall).max(to_mmhg);
            self.knots.push((s + piece_s * (mmhg - next) / fall.max(1e-6), next));
            if step > 0.0 {
                self.knots.push((self.now().0 + 0.06, (next - step).max(to_mmhg)));
            }
        }
    }

    fn let_go(&mut self) {
        let (mut s, mut mmhg) = self.now();
        let constant_s = self.chance.between(0.3, 0.9);
        while mmhg > 1.5 {
            s += 0.1;
            mmhg *= libm::exp(-0.1 / constant_s);
            self.knots.push((s, mmhg));
        }
        self.knots.push((s + 0.2, 0.0));
    }

    fn inflation(&mut self, case: &Case, target_mmhg: f64) {
        self.pump(target_mmhg);
        let sag = self.chance.between(0.0, 1.5);
        self.hold(self.hand.hold_s, sag);
        let stop_mmhg = (case.systolic_mmhg + self.hand.stop_mmhg).max(0.0);
        if let Some(again) = self.hand.pump_again {
            self.bleed((case.systolic_mmhg + again.at_mmhg).max(stop_mmhg));
            let from = self.now().1;
            self.hold(0.3, 0.0);
            self.pump(from + again.by_mmhg);
            self.hold(0.8, 0.2);
        }
        if self.hand.pause_s > 0.0 {
            let share = self.chance.between(0.2, 0.9);
            let above = self.now().1 - case.systolic_mmhg;
            self.bleed(case.systolic_mmhg + above * share);
            self.hold(self.hand.pause_s, 0.1);
        }
        self.bleed(stop_mmhg);
        if self.hand.release && case.never != Some(Never::CuffHigh) {
            self.let_go();
        }
    }
}

impl Script {
    /// The hand of this case.
    pub fn new(case: &Case, seed: u64) -> Self {
        let mut chance = Chance::new(seed, 30);
        let hand = effective_hand(case);
        let above = chance.between(20.0, 40.0);
        let high = if case.never == Some(Never::CuffHigh) { 25.0 } else { 0.0 };
        let target = hand.target_mmhg.unwrap_or(case.systolic_mmhg + above) + high;
        let mut writer = Writer { knots: vec![(0.0, 0.0)], hand: &hand, chance };
        writer.hold(hand.baseline_s, 0.0);
        for inflation in 0..hand.inflations.max(1) {
            if inflation > 0 {
                if !hand.release {
                    writer.let_go();
                }
                writer.hold(hand.rest_s, 0.0);
            }
            writer.inflation(case, target.min(300.0));
        }
        writer.hold(hand.tail_s, 0.0);
        Self { knots: writer.knots, at: 0 }
    }

    /// When the script ends, seconds.
    pub fn ends_s(&self) -> f64 {
        self.knots.last().map_or(0.0, |knot| knot.0)
    }

    /// The pressure at a time that never goes back, mmHg.
    pub fn at(&mut self, now_s: f64) -> f64 {
        while self.at + 2 < self.knots.len() && self.knots[self.at + 1].0 <= now_s {
            self.at += 1;
        }
        let (from, to) = (self.knots[self.at], self.knots[(self.at + 1).min(self.knots.len() - 1)]);
        let part = ((now_s - from.0) / (to.0 - from.0).max(1e-9)).clamp(0.0, 1.0);
        from.1 + (to.1 - from.1) * part
    }

    /// The highest knot's time: the top of the first inflation.
    pub fn top_s(&self) -> f64 {
        let mut top = (0.0, 0.0);
        for knot in &self.knots {
            if knot.1 > top.1 {
                top = *knot;
            }
        }
        top.0
    }
}

/// The hand, stopped well above the artery where the case says that the cuff stays high.
fn effective_hand(case: &Case) -> Hand {
    let mut hand = case.hand.clone();
    if case.never == Some(Never::CuffHigh) {
        hand.stop_mmhg = hand.stop_mmhg.max(20.0 + 2.0 * case.breathing_mmhg);
        hand.release = false;
    }
    hand
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::case::PumpAgain;

    fn track(case: &Case, seed: u64) -> Vec<f64> {
        let mut script = Script::new(case, seed);
        let count = (script.ends_s() * 50.0) as usize;
        (0..count).map(|i| script.at(i as f64 / 50.0)).collect()
    }

    #[test]
    fn a_plain_inflation_rises_above_falls_slowly_and_is_let_out() {
        for seed in 0..20 {
            let case = Case::default();
            let track = track(&case, seed);
            let top = track.iter().copied().fold(0.0, f64::max);
            assert!((148.0..175.0).contains(&top), "{top}");
            assert_eq!(track[0], 0.0);
            assert!(*track.last().unwrap() < 1.0);
            let between =
                track.iter().filter(|p| (100.0..140.0).contains(*p)).count() as f64 / 50.0;
            assert!((6.0..24.0).contains(&between), "{between}");
        }
    }

    #[test]
    fn pumping_again_shows_as_a_second_rise() {
        let mut case = Case::default();
        case.hand.target_mmhg = Some(170.0);
        case.hand.pump_again = Some(PumpAgain { at_mmhg: 10.0, by_mmhg: 25.0 });
        let track = track(&case, 1);
        let top = (0..track.len()).max_by(|a, b| track[*a].total_cmp(&track[*b])).unwrap();
        let later = track[top..].windows(100).any(|w| w[99] - w[0] > 15.0);
        assert!(later);
    }

    #[test]
    fn a_cuff_that_stays_high_never_reaches_the_artery() {
        let case = Case { never: Some(Never::CuffHigh), ..Case::default() };
        assert!(*track(&case, 3).last().unwrap() > 148.0);
    }
}
