//! A short, soft tone that is ready to sound at once: an output that plays silence until it is rung.

use std::f32::consts::{PI, TAU};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use super::supply::{OpenStream, OpeningStage, Pace, Pacer, Pull, Supply};
use crate::units::{Instant, SampleRate};

/// Samples a second.
const RATE_HZ: u32 = 8_000;
/// Frames given at a time: 4 ms.
const BLOCK: usize = 32;
/// The tone: hertz, seconds, seconds of its rise and of its fall, and how loud (own choices: between two beats, and well
/// below the ceiling of all sound here).
const TONE_HZ: f32 = 700.0;
const TONE_S: f32 = 0.25;
const EDGE_S: f32 = 0.03;
const LOUD: f32 = 0.1;

/// Rings; shared with whoever hears the return.
#[derive(Debug, Clone, Default)]
pub struct Bell(Arc<AtomicU32>);

impl Bell {
    /// Rings once.
    pub fn ring(&self) {
        self.0.fetch_add(1, Ordering::Release);
    }

    /// How often it was rung.
    pub fn rung(&self) -> u32 {
        self.0.load(Ordering::Acquire)
    }
}

/// The sound of a bell.
pub struct BellSupply {
    bell: Bell,
    heard: u32,
    /// Frames into the tone; none while it is silent.
    at: Option<usize>,
    pacer: Option<Pacer>,
}

impl BellSupply {
    /// Silent until this bell is rung.
    pub fn new(bell: Bell) -> Self {
        Self { heard: bell.rung(), bell, at: None, pacer: None }
    }

    fn next(&mut self) -> f32 {
        let Some(n) = self.at else { return 0.0 };
        let s = n as f32 / RATE_HZ as f32;
        self.at = (s < TONE_S).then_some(n + 1);
        let edge = (s.min(TONE_S - s).max(0.0) / EDGE_S).min(1.0);
        LOUD * (TAU * TONE_HZ * s).sin() * (0.5 - 0.5 * (PI * edge).cos())
    }
}

impl Supply for BellSupply {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let Some(rate) = SampleRate::new(RATE_HZ) else { return OpeningStage::Pending };
        self.pacer = Some(Pacer { pace: Pace::RealTime, rate, origin: now, given: 0 });
        OpeningStage::Ready(OpenStream { rate, channels: 1, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let Some(mut pacer) = self.pacer else { return Pull::Nothing };
        if !pacer.due(now, BLOCK) {
            return Pull::Nothing;
        }
        if self.bell.rung() != self.heard {
            (self.heard, self.at) = (self.bell.rung(), Some(0));
        }
        samples.clear();
        samples.extend((0..BLOCK).map(|_| self.next()));
        let block = pacer.block(BLOCK);
        self.pacer = Some(pacer);
        Pull::Block(block)
    }

    fn close(&mut self) {
        self.pacer = None;
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;
    use crate::audio::callback;
    use crate::audio::spout::Spout;
    use crate::audio::tone::CEILING;
    use crate::units::SampleCount;

    /// The bell through the chain of all sound here, into an output that is a vector.
    #[test]
    fn it_is_silent_until_it_is_rung_and_then_soft_short_and_at_once() {
        let (bell, start) = (Bell::default(), Instant::now());
        let mut supply = BellSupply::new(bell.clone());
        assert!(matches!(supply.open(start), OpeningStage::Ready(_)));
        let rate = SampleRate::new(RATE_HZ).unwrap();
        let (mut ear, readers) = callback::open(rate, 1, true);
        let (from, ahead) = (readers.through.unwrap(), SampleCount(240));
        let mut spout = Spout::new(from, (rate, 1), rate, ahead, None).unwrap();
        let (mut samples, mut out) = (Vec::new(), Vec::new());
        for ms in (0..4_000).step_by(4) {
            if ms == 2_000 {
                bell.ring();
            }
            let now = start + Duration::from_millis(ms + 4);
            while let Pull::Block(block) = supply.pull(now, &mut samples) {
                ear.take(&samples, block.arrived_ns, block.captured_ns);
            }
            let mut piece = [0.0_f32; BLOCK];
            spout.fill(&mut piece, 1);
            out.extend_from_slice(&piece);
        }
        let loud = |level: f32| out.iter().position(|x| x.abs() > level);
        let ms = |frame: usize| 1_000.0 * frame as f64 / f64::from(RATE_HZ);
        let first = ms(loud(1e-4).unwrap());
        assert!((2_000.0..2_060.0).contains(&first), "begins at {first} ms");
        let full = ms(loud(0.09).unwrap());
        assert!(full - first > 10.0, "softly: {first}, {full}");
        let last = ms(out.iter().rposition(|x| x.abs() > 1e-3).unwrap());
        assert!(last - first < 330.0, "short: {first} to {last}");
        assert!(out.iter().all(|x| x.abs() < CEILING / 2.0), "never near the ceiling");
        assert_eq!(bell.rung(), 1);
    }
}
