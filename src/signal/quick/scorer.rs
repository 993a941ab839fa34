//! The learned frame scorer: how much this instant sounds like blood pulsing through an artery.
//!
//! A small causal temporal convolution network (dilated, residual) over the frame's features. Its
//! weights are a readable text file that one command trains from seeds and room sounds; running it
//! takes a few thousand multiplications a frame and no library.

use fearless_simd::{Level, Simd, dispatch};

use super::super::causal::StepLogits;
use super::super::spectrum::FEATURES;
use super::weights::{BrokenWeights, SCORER, WeightsReader};

/// Width of the network.
const WIDTH: usize = 32;
/// Frames between the taps of each block; the network sees 5.11 s.
const DILATIONS: [usize; 8] = [1, 2, 4, 8, 16, 32, 64, 128];
/// Taps of each block.
const TAPS: usize = 3;
/// Frames that the near score waits for after the frame that it judges: 80 ms.
pub const NEAR_FRAMES: usize = 8;
/// Frames that the late score waits for, so that it sees the beats that follow: 2.8 s.
pub const LATE_FRAMES: usize = 280;

/// Log-odds that a pulse sounds, for three frames of the past.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameScore {
    /// For the frame 80 ms ago.
    pub near: f32,
    /// For the frame 400 ms ago, and that one begins there.
    pub far: StepLogits,
    /// For the frame 2.8 s ago.
    pub late: f32,
}

/// One residual block: `x + relu(conv(x))`.
#[derive(Debug)]
struct Block {
    dilation: usize,
    /// `[tap][input][output]`, the oldest tap first.
    weights: Vec<[f32; WIDTH]>,
    bias: [f32; WIDTH],
    /// Inputs of the last `(TAPS - 1) * dilation + 1` frames, a ring.
    past: Vec<[f32; WIDTH]>,
    write: usize,
}

impl Block {
    #[inline(always)]
    fn step(&mut self, x: &mut [f32; WIDTH]) {
        self.past[self.write] = *x;
        let length = self.past.len();
        let mut sum = self.bias;
        for tap in 0..TAPS {
            let back = (TAPS - 1 - tap) * self.dilation;
            let input = &self.past[(self.write + length - back) % length];
            add_products(&mut sum, input, &self.weights[tap * WIDTH..][..WIDTH]);
        }
        self.write = (self.write + 1) % length;
        for lane in 0..WIDTH {
            x[lane] += sum[lane].max(0.0);
        }
    }
}

/// So many sums stay in registers while the inputs pass.
const LANES: usize = 32;

/// Adds `input` times `rows` to `sum`.
#[inline(always)]
fn add_products(sum: &mut [f32; WIDTH], input: &[f32], rows: &[[f32; WIDTH]]) {
    for (part, to) in sum.as_chunks_mut::<LANES>().0.iter_mut().enumerate() {
        let mut own = *to;
        for (value, row) in input.iter().zip(rows) {
            let row = &row.as_chunks::<LANES>().0[part];
            for lane in 0..LANES {
                own[lane] += value * row[lane];
            }
        }
        *to = own;
    }
}

/// The network with its memory of the last frames.
#[derive(Debug)]
pub struct Scorer {
    level: Level,
    centre: [f32; FEATURES],
    scale: [f32; FEATURES],
    entry: Vec<[f32; WIDTH]>,
    entry_bias: [f32; WIDTH],
    blocks: Vec<Block>,
    heads: [([f32; WIDTH], f32); 4],
}

impl Default for Scorer {
    /// The scorer with the shipped weights; everything is allocated here. Panics where the shipped file
    /// is broken, which a test excludes.
    fn default() -> Self {
        match Self::parse(SCORER) {
            Ok(scorer) => scorer,
            Err(fault) => panic!("the weights compiled into this program are broken: {fault}"),
        }
    }
}

impl Scorer {
    /// Reads weights: named sections, each followed by its numbers.
    fn parse(text: &str) -> Result<Self, BrokenWeights> {
        let mut reader = WeightsReader::new(text);
        let centre = reader.row("centre")?;
        let scale = reader.row("scale")?;
        let entry = reader.rows("entry", FEATURES)?;
        let entry_bias = reader.row("entry_bias")?;
        let mut blocks = Vec::new();
        for dilation in DILATIONS {
            blocks.push(Block {
                dilation,
                weights: reader.rows("block", TAPS * WIDTH)?,
                bias: reader.row("block_bias")?,
                past: vec![[0.0; WIDTH]; (TAPS - 1) * dilation + 1],
                write: 0,
            });
        }
        let mut head =
            || Ok::<_, BrokenWeights>((reader.row("head")?, reader.row::<1>("head_bias")?[0]));
        let heads = [head()?, head()?, head()?, head()?];
        let level = Level::new();
        Ok(Self { level, centre, scale, entry, entry_bias, blocks, heads })
    }

    /// Takes one frame's features and scores the past.
    pub fn push(&mut self, features: &[f32; FEATURES]) -> FrameScore {
        let level = self.level;
        dispatch!(level, simd => frame(simd, self, features))
    }
}

#[inline(always)]
fn frame<S: Simd>(_: S, scorer: &mut Scorer, features: &[f32; FEATURES]) -> FrameScore {
    let mut x = scorer.entry_bias;
    let mut input = [0.0; FEATURES];
    for (i, to) in input.iter_mut().enumerate() {
        *to = (features[i] - scorer.centre[i]) * scorer.scale[i];
    }
    add_products(&mut x, &input, &scorer.entry);
    x.iter_mut().for_each(|v| *v = v.max(0.0));
    for block in &mut scorer.blocks {
        block.step(&mut x);
    }
    let [near, far, onset, late] = scorer.heads.each_ref().map(
        #[inline(always)]
        |(row, bias)| row.iter().zip(&x).map(|(w, v)| w * v).sum::<f32>() + bias,
    );
    FrameScore { near, far: StepLogits { is: far, begins: onset }, late }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_weights_are_whole() {
        Scorer::parse(SCORER).unwrap();
        assert!(Scorer::parse("centre 1 2").is_err());
    }
}
