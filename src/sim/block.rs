//! One block of sound: how long it is, and the flow that is sung in it.

use super::filter::INNER_HZ;
use super::flow::Flow;
use super::sound::BLOCK;

/// Seconds in a block.
pub const BLOCK_S: f64 = BLOCK as f64 / INNER_HZ;
/// Steps of pressure and flow in a block: one a millisecond.
pub const STEPS: usize = 4;

/// The flow of one block, split by direction.
#[derive(Debug, Clone, Copy, Default)]
pub struct BlockFlow {
    /// Amplitude at each step, forward.
    pub forward: [f32; STEPS],
    /// Amplitude at each step, reverse.
    pub reverse: [f32; STEPS],
    /// Peak shift of the forward part, weighted by power, hertz.
    pub forward_hz: f64,
    /// The same of the reverse part.
    pub reverse_hz: f64,
}

impl BlockFlow {
    /// Of the flow at each step: what sounds is its amplitude, times `gain`, by direction.
    pub fn new(flows: &[Flow; STEPS], gain: f64, hz_per_cm_s: f64) -> Self {
        let mut block = Self::default();
        let (mut forward, mut reverse) = ((0.0, 0.0), (0.0, 0.0));
        for (step, flow) in flows.iter().enumerate() {
            let amplitude = flow.amplitude * gain;
            let power = amplitude * amplitude;
            let (track, sums) = if flow.velocity_cm_s >= 0.0 {
                (&mut block.forward, &mut forward)
            } else {
                (&mut block.reverse, &mut reverse)
            };
            track[step] = amplitude as f32;
            sums.0 += power;
            sums.1 += power * flow.velocity_cm_s.abs();
        }
        let shift =
            |sums: (f64, f64)| if sums.0 > 0.0 { sums.1 / sums.0 * hz_per_cm_s } else { 0.0 };
        (block.forward_hz, block.reverse_hz) = (shift(forward), shift(reverse));
        block
    }
}

/// Blocks that `seconds` take.
pub fn blocks_in(seconds: f64) -> u64 {
    (seconds / BLOCK_S).ceil() as u64
}
