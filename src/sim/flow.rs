//! What flows under the probe: nothing while the cuff exceeds the artery, short jets or faint growing
//! pulses when it just does not, and the artery's own free pulse when the cuff is well open.

use super::case::{Case, FlowKind, OpeningSound};
use super::chance::Chance;
use super::patient::PressurePulse;

/// Seconds from one step of flow to the next.
pub const STEP_S: f64 = 0.001;

/// The flow at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flow {
    /// Peak velocity over the vessel's width, towards the probe positive, cm/s.
    pub velocity_cm_s: f64,
    /// Amplitude of its echo relative to the free pulse.
    pub amplitude: f64,
    /// The artery conducts.
    pub open: bool,
}

/// The artery under the cuff and the probe.
#[derive(Debug, Clone)]
pub struct Vessel {
    artery: FlowKind,
    peak_cm_s: f64,
    jet: bool,
    jet_cm_s: f64,
    growth_mmhg: f64,
    /// How amplitude follows the share by which an opening is open.
    amplitude_power: f64,
    /// How amplitude follows velocity.
    velocity_power: f64,
    least_velocity: f64,
    /// What is kept of the old flow in a millisecond, while it rises and while it runs on.
    keep: (f64, f64),
    shape: Shape,
    flow: Flow,
}

/// The free pulse: lobes after the upstroke.
#[derive(Debug, Clone)]
struct Shape {
    delay_s: f64,
    rise_s: f64,
    fall_s: f64,
    sharpness: f64,
    reverse: f64,
    reverse_at_s: f64,
    reverse_s: f64,
    late: f64,
    late_at_s: f64,
    late_s: f64,
    diastolic: f64,
}

impl Shape {
    fn drawn(artery: FlowKind, chance: &mut Chance) -> Self {
        let (rise, fall, diastolic) = match artery {
            FlowKind::Multiphasic | FlowKind::Absent => ((0.05, 0.11), (0.09, 0.20), (0.0, 0.04)),
            FlowKind::Monophasic => ((0.07, 0.15), (0.18, 0.36), (0.04, 0.25)),
            FlowKind::Damped => ((0.14, 0.26), (0.28, 0.50), (0.12, 0.45)),
        };
        let phases = if artery == FlowKind::Multiphasic { 1.0 } else { 0.0 };
        let rise_s = chance.between(rise.0, rise.1);
        let fall_s = chance.between(fall.0, fall.1);
        let reverse_at_s = rise_s + fall_s + chance.between(0.02, 0.08);
        let reverse_s = chance.between(0.05, 0.09);
        Self {
            delay_s: chance.between(0.0, 0.03),
            rise_s,
            fall_s,
            sharpness: chance.between(1.1, 2.2),
            reverse: phases * chance.between(0.10, 0.40),
            reverse_at_s,
            reverse_s,
            late: phases * chance.between(0.0, 0.22),
            late_at_s: reverse_at_s + reverse_s * chance.between(1.8, 2.8),
            late_s: chance.between(0.05, 0.10),
            diastolic: chance.between(diastolic.0, diastolic.1),
        }
    }

    /// Velocity relative to the peak, `since_s` after the foot of a beat that lasts `interval_s`.
    fn at(&self, since_s: f64, interval_s: f64) -> f64 {
        let t = since_s - self.delay_s;
        if t <= 0.0 {
            return self.diastolic * 0.6;
        }
        let forward = if t < self.rise_s {
            let s = libm::sin(std::f64::consts::FRAC_PI_2 * t / self.rise_s);
            s * s
        } else {
            libm::exp(-libm::pow((t - self.rise_s) / self.fall_s, self.sharpness))
        };
        let late = self.diastolic * (1.0 - 0.4 * (t / interval_s).min(1.0));
        forward.max(late) - self.reverse * lobe(t, self.reverse_at_s, self.reverse_s)
            + self.late * lobe(t, self.late_at_s, self.late_s)
    }
}

fn lobe(t: f64, at_s: f64, width_s: f64) -> f64 {
    let x = (t - at_s) / width_s;
    if x.abs() >= 1.5 { 0.0 } else { 0.5 + 0.5 * libm::cos(std::f64::consts::PI * x / 1.5) }
}

impl Vessel {
    /// The vessel of this case.
    pub fn new(case: &Case, seed: u64) -> Self {
        let mut chance = Chance::new(seed, 20);
        let jet = case.opening == OpeningSound::Jet;
        Self {
            artery: case.artery,
            peak_cm_s: case.peak_cm_s,
            jet,
            jet_cm_s: case.peak_cm_s * chance.between(0.7, 1.5),
            growth_mmhg: case.growth_mmhg.max(0.5),
            amplitude_power: if jet { 0.25 } else { chance.between(0.35, 1.1) },
            velocity_power: chance.between(0.2, 0.8),
            least_velocity: if jet { 0.75 } else { chance.between(0.08, 0.45) },
            keep: {
                let each = |ms: f64| libm::exp(-1000.0 * STEP_S / ms);
                (each(chance.log_between(2.0, 14.0)), each(case.run_on_ms.max(2.0)))
            },
            shape: Shape::drawn(case.artery, &mut chance),
            flow: Flow::default(),
        }
    }

    /// One step of [`STEP_S`]: the artery's pressure and beat, the cuff's pressure; the flow that follows.
    pub fn step(
        &mut self,
        now_s: f64,
        artery_mmhg: f64,
        pulse: &PressurePulse,
        cuff_mmhg: f64,
    ) -> Flow {
        let open = artery_mmhg > cuff_mmhg && self.artery != FlowKind::Absent;
        let (velocity, amplitude) = if open {
            self.target(now_s - pulse.onset_s, artery_mmhg, pulse, cuff_mmhg)
        } else {
            (0.0, 0.0)
        };
        self.follow(velocity, amplitude);
        self.flow.open = open;
        self.flow
    }

    /// Flow follows its target quickly on the way up and runs on after on the way down.
    fn follow(&mut self, velocity: f64, amplitude: f64) {
        let toward = |from: f64, to: f64, rising: bool| {
            let keep = if rising { self.keep.0 } else { self.keep.1 };
            to + (from - to) * keep
        };
        let now = self.flow;
        let same_way = now.velocity_cm_s * velocity > 0.0;
        let faster = velocity.abs() > now.velocity_cm_s.abs() || !same_way && velocity != 0.0;
        let mut next = toward(now.velocity_cm_s, velocity, faster);
        if amplitude > 0.0 && now.amplitude < 1e-4 {
            next = velocity;
        }
        let mut loud = toward(now.amplitude, amplitude, amplitude > now.amplitude);
        if loud < 1e-3 && amplitude == 0.0 {
            (next, loud) = (0.0, 0.0);
        }
        self.flow = Flow { velocity_cm_s: next, amplitude: loud, open: now.open };
    }

    /// Velocity and amplitude that an open artery tends to.
    fn target(
        &self,
        since_s: f64,
        artery_mmhg: f64,
        pulse: &PressurePulse,
        cuff_mmhg: f64,
    ) -> (f64, f64) {
        let free = self.free(since_s, pulse.interval_s);
        let height = (pulse.systolic_mmhg - pulse.foot_mmhg).max(1.0);
        let lifted = ((pulse.systolic_mmhg - cuff_mmhg) / height).clamp(0.0, 1.0);
        let weight = lifted * lifted * (3.0 - 2.0 * lifted);
        let (pinched_v, pinched_a) = self.pinched(artery_mmhg - cuff_mmhg);
        let velocity = weight * free.0 + (1.0 - weight) * pinched_v;
        (velocity, weight * free.1 + (1.0 - weight) * pinched_a)
    }

    /// The free pulse's velocity and amplitude.
    pub fn free(&self, since_s: f64, interval_s: f64) -> (f64, f64) {
        let relative = self.shape.at(since_s, interval_s);
        (relative * self.peak_cm_s, libm::pow(relative.abs().min(1.5), self.velocity_power))
    }

    /// Flow through an artery that the cuff has all but closed.
    fn pinched(&self, transmural_mmhg: f64) -> (f64, f64) {
        let share = 1.0 - libm::exp(-transmural_mmhg / self.growth_mmhg);
        let reach = self.least_velocity + (1.0 - self.least_velocity) * share;
        let peak = if self.jet { self.jet_cm_s } else { self.peak_cm_s };
        let opened = if self.jet { 1.0 - libm::exp(-transmural_mmhg / 1.2) } else { share };
        (peak * reach, libm::pow(opened, self.amplitude_power))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PULSE: PressurePulse = PressurePulse {
        onset_s: 0.0,
        interval_s: 0.9,
        systolic_mmhg: 130.0,
        foot_mmhg: 80.0,
        premature: false,
    };

    /// Peak amplitude and duration of one triangular beat under a still cuff.
    fn opened(case: &Case, cuff_mmhg: f64) -> (f64, f64) {
        let mut vessel = Vessel::new(case, 1);
        let (mut loudest, mut open_s) = (0.0_f64, 0.0);
        for ms in 0..900 {
            let t = f64::from(ms) / 1000.0;
            let rise = (t / 0.12).min(1.0) - ((t - 0.12) / 0.6).clamp(0.0, 1.0);
            let flow = vessel.step(t, 80.0 + 50.0 * rise, &PULSE, cuff_mmhg);
            loudest = loudest.max(flow.amplitude);
            open_s += if flow.open { 0.001 } else { 0.0 };
        }
        (loudest, open_s)
    }

    #[test]
    fn nothing_flows_while_the_cuff_exceeds_the_artery() {
        assert_eq!(opened(&Case::default(), 130.1), (0.0, 0.0));
        let absent = Case { artery: FlowKind::Absent, ..Case::default() };
        assert_eq!(opened(&absent, 0.0), (0.0, 0.0));
    }

    #[test]
    fn openings_grow_longer_and_louder_as_the_cuff_falls() {
        let beats: Vec<_> =
            [129.0, 126.0, 120.0, 110.0, 95.0].map(|cuff| opened(&Case::default(), cuff)).into();
        assert!(beats.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 > w[0].1), "{beats:?}");
    }

    #[test]
    fn a_jet_is_plain_from_the_first() {
        let jet = opened(&Case { opening: OpeningSound::Jet, ..Case::default() }, 127.0).0;
        let growing = opened(&Case::default(), 127.0).0;
        assert!(jet > 0.8 && jet > 1.2 * growing, "{jet} {growing}");
    }
}
