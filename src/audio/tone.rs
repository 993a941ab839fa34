//! What is done to the sound that is passed through: band limit, soft start, limiter. Sample by sample,
//! without delay, without allocation, and never louder than the ceiling.

use crate::units::SampleRate;

/// No sample passed through is louder: a quarter of full scale, -12 dBFS. How loud that is in the ear is for the
/// output's own volume to say; the listener's own threshold of comfort is not known here.
pub const CEILING: f32 = 0.25;
/// The band that passes, hertz: what a hand-held Doppler sounds in (common practice), without rumble
/// or hiss.
pub const BAND_HZ: (f64, f64) = (100.0, 4_500.0);
/// Seconds from silence to full level when sound begins.
pub const SOFT_START_S: f32 = 0.5;
/// Seconds from silence to full level after a short hole: enough against a crack, and no pulse is lost in it.
const AGAIN_S: f32 = 0.01;
/// Seconds in which the limiter lets go.
const RELEASE_S: f32 = 0.2;

/// Two-pole section, direct form 1; coefficients by R. Bristow-Johnson's "Cookbook formulae for audio
/// equalizer biquad filter coefficients" (W3C note), Q = 1/sqrt(2).
#[derive(Debug, Clone, Copy)]
struct Section {
    b: [f32; 3],
    a: [f32; 2],
    x: [f32; 2],
    y: [f32; 2],
}

impl Section {
    fn new(hz: f64, rate: SampleRate, high: bool) -> Self {
        let w = std::f64::consts::TAU * hz / f64::from(rate.hz());
        let (cos, alpha) = (w.cos(), w.sin() / std::f64::consts::SQRT_2);
        let a0 = 1.0 + alpha;
        let edge = if high { 1.0 + cos } else { 1.0 - cos };
        let middle = if high { -edge } else { edge };
        Self {
            b: [edge / 2.0, middle, edge / 2.0].map(|b| (b / a0) as f32),
            a: [-2.0 * cos / a0, (1.0 - alpha) / a0].map(|a| a as f32),
            x: [0.0; 2],
            y: [0.0; 2],
        }
    }

    fn run(&mut self, x: f32) -> f32 {
        let fed = self.b[0] * x + self.b[1] * self.x[0] + self.b[2] * self.x[1];
        let y = fed - self.a[0] * self.y[0] - self.a[1] * self.y[1];
        self.x = [x, self.x[0]];
        self.y = [y, self.y[0]];
        y
    }
}

/// The chain for one mono sound.
#[derive(Debug, Clone)]
pub struct Tone {
    low: Section,
    high: Section,
    /// 0 to 1 during the soft start.
    rise: f32,
    rise_step: f32,
    /// The step of a soft start, and the one after a short hole.
    steps: (f32, f32),
    peak: f32,
    release: f32,
}

impl Tone {
    /// A chain that begins silent.
    pub fn new(rate: SampleRate) -> Self {
        let per_s = rate.hz() as f32;
        // A low-pass above the band that the rate can carry would be unstable.
        let steps = (1.0 / (SOFT_START_S * per_s), 1.0 / (AGAIN_S * per_s));
        let top_hz = BAND_HZ.1.min(0.45 * f64::from(rate.hz()));
        Self {
            low: Section::new(top_hz, rate, false),
            high: Section::new(BAND_HZ.0, rate, true),
            rise: 0.0,
            rise_step: steps.0,
            steps,
            peak: 0.0,
            release: (-1.0 / (RELEASE_S * per_s)).exp(),
        }
    }

    /// Begins again from silence: softly, or at once after a hole so short that the ear still expects the sound.
    pub fn restart(&mut self, softly: bool) {
        self.rise = 0.0;
        self.rise_step = if softly { self.steps.0 } else { self.steps.1 };
    }

    /// The band limit, for one sample; what is no number becomes silence.
    pub fn shape(&mut self, sample: f32) -> f32 {
        let clean = if sample.abs() < 8.0 { sample } else { 0.0 };
        self.high.run(self.low.run(clean))
    }

    /// Soft start and limiter, for one sample.
    pub fn hold(&mut self, sample: f32) -> f32 {
        self.rise = (self.rise + self.rise_step).min(1.0);
        let sample = sample * self.rise * self.rise;
        self.peak = sample.abs().max(self.peak * self.release);
        let gain = if self.peak > CEILING { CEILING / self.peak } else { 1.0 };
        (sample * gain).clamp(-CEILING, CEILING)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(hz: f64, gain: f64) -> Vec<f32> {
        let rate = SampleRate::new(48_000).unwrap();
        let mut tone = Tone::new(rate);
        let step = std::f64::consts::TAU * hz / 48_000.0;
        (0..96_000)
            .map(|n| {
                let x = tone.shape((gain * (f64::from(n) * step).sin()) as f32);
                tone.hold(x)
            })
            .collect()
    }

    fn peak(samples: &[f32]) -> f32 {
        samples.iter().fold(0.0, |a, x| a.max(x.abs()))
    }

    #[test]
    fn the_band_passes_and_the_rest_does_not() {
        assert!((peak(&run(1_000.0, 0.1)[48_000..]) - 0.1).abs() < 0.003);
        assert!(peak(&run(15.0, 0.1)[48_000..]) < 0.004);
        assert!(peak(&run(18_000.0, 0.1)[48_000..]) < 0.006);
        // Half power at both edges, by the definition of the filter.
        for edge in [BAND_HZ.0, BAND_HZ.1] {
            assert!((peak(&run(edge, 0.1)[48_000..]) - 0.0707).abs() < 0.003, "{edge}");
        }
    }

    #[test]
    fn nothing_is_louder_than_the_ceiling_and_it_begins_softly() {
        let loud = run(500.0, 5.0);
        assert!(peak(&loud) <= CEILING);
        assert!(peak(&loud[48_000..]) > 0.2);
        assert!(peak(&run(500.0, 0.2)[..480]) < 0.001);
        let mut tone = Tone::new(SampleRate::new(48_000).unwrap());
        for x in [f32::NAN, f32::INFINITY, 1e30, -1e30, 7.9, -7.9] {
            let shaped = tone.shape(x);
            assert!(tone.hold(shaped).abs() <= CEILING);
        }
    }
}
