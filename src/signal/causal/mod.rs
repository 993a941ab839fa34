//! A network that knows the past alone, for the cue and for pulses: three convolutions over bands and time, then residual blocks
//! of three taps (`tests/train/cue.py` is the same in PyTorch).
//!
//! It works out four steps of 20 ms at a time, so that its weights are fetched once for all of them. What it sees are levels
//! over what was heard until then ([`levels`]).

pub(super) mod levels;

use fearless_simd::{Level, Simd, dispatch};

use super::second::layers::{LANES, Norm, Product, bend, dot, piece};
use super::second::network::convolve;
use super::second::spectra::ROW;
use super::second::weights::{ResidualBlock, WeightReader};

/// How far apart the three taps of each block are, steps: together they look back over 41 s.
const APART: [usize; 13] = [1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1, 8, 64];
/// Steps that are worked out at a time, and frames of each.
pub const STEPS: usize = 4;
/// Frames of a step.
pub const FRAMES: usize = 2;
/// Rows that the convolutions keep: more than the steps of one time look back.
const KEPT: usize = 16;
/// Of a frame's bands fifteen are left after the second convolution, eight after the third.
const LEFT: [usize; 3] = [30, 15, 8];

/// All weights.
pub struct CausalWeights {
    front: [Product; 3],
    enter: Product,
    blocks: Vec<ResidualBlock>,
    norm: Norm,
    /// The heads, with their biases.
    heads: [(Vec<f32>, f32); 2],
}

impl CausalWeights {
    /// From a file that is compiled in: of this width, with so many channels after each convolution.
    pub fn read(file: &[u8], width: usize, channels: [usize; 3]) -> Self {
        let mut reader = WeightReader::new(file);
        let [first, second, third, enter] = reader.front(channels, width);
        let blocks = APART.iter().map(|&apart| reader.block(width, apart)).collect();
        let norm = reader.norm(width);
        let (is, begins, bias) = (reader.numbers(width), reader.numbers(width), reader.numbers(2));
        reader.finish();
        let heads = [(is, bias[0]), (begins, bias[1])];
        Self { front: [first, second, third], enter, blocks, norm, heads }
    }
}

/// What a causal network says of a step, or the quick way of a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepLogits {
    /// Log-odds of what it was trained for: a pulse came back; a pulse sounds.
    pub is: f32,
    /// Log-odds that such a pulse begins.
    pub begins: f32,
}

/// What was heard, as far as it matters to what comes; `W` lanes, `A`, `B` and `F` lanes of a window of the second and the
/// third convolution and of a frame after it. Everything is allocated in `new`.
pub struct CausalNetwork<const W: usize, const A: usize, const B: usize, const F: usize> {
    weights: &'static CausalWeights,
    level: Level,
    frames: usize,
    input: Vec<f32>,
    /// After the first and the second convolution, with a margin of zeros for the next.
    rings: [Vec<f32>; 2],
    front: Vec<f32>,
    /// What enters each block, of as many steps as it looks back: rings.
    entered: Vec<Vec<f32>>,
    /// The step at which the sound ended, if it did.
    ended: usize,
    said: [StepLogits; STEPS],
}

impl<const W: usize, const A: usize, const B: usize, const F: usize> CausalNetwork<W, A, B, F> {
    /// Channels after each convolution.
    pub const CHANNELS: [usize; 3] = [A / 5, B / 3, F / LEFT[2]];
    /// Lanes of a row after the first two, and where it begins within its margins.
    const ROWS: [usize; 2] =
        [(2 + LEFT[0] + 2) * Self::CHANNELS[0], (1 + LEFT[1] + 1) * Self::CHANNELS[1]];
    const MARGINS: [usize; 2] = [2 * Self::CHANNELS[0], Self::CHANNELS[1]];

    /// With these weights; nothing heard yet.
    pub fn new(weights: &'static CausalWeights) -> Self {
        let ring = |apart: &usize| vec![0.0; (2 * apart + STEPS) * W];
        Self {
            weights,
            level: Level::new(),
            frames: 0,
            input: vec![0.0; KEPT * ROW],
            rings: Self::ROWS.map(|row| vec![0.0; KEPT * row]),
            front: vec![0.0; KEPT * F],
            entered: APART.iter().map(ring).collect(),
            ended: usize::MAX,
            said: [StepLogits { is: 0.0, begins: 0.0 }; STEPS],
        }
    }

    /// As if nothing had been heard.
    pub fn start_over(&mut self) {
        (self.frames, self.ended) = (0, usize::MAX);
        self.input.fill(0.0);
        self.rings.iter_mut().for_each(|ring| ring.fill(0.0));
        self.front.fill(0.0);
        self.entered.iter_mut().for_each(|ring| ring.fill(0.0));
    }

    /// The sound has ended: what is pushed from here on is no sound.
    pub fn end(&mut self) {
        self.ended = self.frames.div_ceil(FRAMES);
    }

    /// Takes a frame's row; what is said of the steps that it completes, oldest first.
    pub fn push(&mut self, row: &[f32; ROW]) -> Option<[StepLogits; STEPS]> {
        self.input[self.frames % KEPT * ROW..][..ROW].copy_from_slice(row);
        let level = self.level;
        dispatch!(level, simd => frame(simd, self));
        self.frames += 1;
        self.frames.is_multiple_of(FRAMES * STEPS).then_some(self.said)
    }
}

/// The last `S` rows of a ring, oldest first, at frame `t`.
#[inline(always)]
fn last<const S: usize>(ring: &[f32], width: usize, t: usize) -> [&[f32]; S] {
    std::array::from_fn(|n| &ring[(t + KEPT + 1 + n - S) % KEPT * width..][..width])
}

/// The convolutions of a frame, and the steps that it completes.
#[inline(always)]
fn frame<S: Simd, const W: usize, const A: usize, const B: usize, const F: usize>(
    _: S,
    net: &mut CausalNetwork<W, A, B, F>,
) {
    let (t, weights) = (net.frames, net.weights);
    let [first_row, second_row] = CausalNetwork::<W, A, B, F>::ROWS;
    let margins = CausalNetwork::<W, A, B, F>::MARGINS;
    let (first, second) = net.rings.split_at_mut(1);
    let to = &mut first[0][t % KEPT * first_row..][..first_row];
    convolve::<6, 5, 20>(&weights.front[0], last(&net.input, ROW, t), 2 * 4, &mut to[margins[0]..]);
    let to = &mut second[0][t % KEPT * second_row..][..second_row];
    let rows = last(&first[0], first_row, t);
    convolve::<5, 3, A>(&weights.front[1], rows, 2 * A / 5, &mut to[margins[1]..]);
    let to = &mut net.front[t % KEPT * F..][..F];
    convolve::<4, 3, B>(&weights.front[2], last(&second[0], second_row, t), 2 * B / 3, to);
    if (t + 1).is_multiple_of(FRAMES * STEPS) {
        steps(net);
    }
}

/// The residual blocks and the heads.
#[inline(always)]
fn steps<const W: usize, const A: usize, const B: usize, const F: usize>(
    net: &mut CausalNetwork<W, A, B, F>,
) {
    let (weights, first) = (net.weights, (net.frames + 1) / FRAMES - STEPS);
    let mut h = [[0.0f32; W]; STEPS];
    let frames =
        |n: usize| last::<4>(&net.front, F, FRAMES * (first + n) + 1).map(|row| piece::<F>(row, 0));
    weights.enter.run(
        std::array::from_fn::<_, STEPS, _>(frames),
        #[inline(always)]
        |n, from, values| {
            h[n][from..from + LANES].copy_from_slice(values);
        },
    );
    for (block, ring) in weights.blocks.iter().zip(&mut net.entered) {
        let length = 2 * block.apart + STEPS;
        for (n, h) in h.iter().enumerate() {
            let to = &mut ring[(first + n) % length * W..][..W];
            if first + n < net.ended {
                block.norm.run(h, to);
            } else {
                to.fill(0.0);
            }
        }
        let tap = |n: usize, ago: usize| piece::<W>(ring, (first + n + length - ago) % length * W);
        let taps = |n: usize| [tap(n, 2 * block.apart), tap(n, block.apart), tap(n, 0)];
        let mut middle = [[0.0f32; W]; STEPS];
        block.taps.run(
            std::array::from_fn::<_, STEPS, _>(taps),
            #[inline(always)]
            |n, from, values| {
                let to = &mut middle[n][from..from + LANES];
                for (to, x) in to.iter_mut().zip(values) {
                    *to = bend(*x);
                }
            },
        );
        block.out.run(
            middle.each_ref().map(|row| [row]),
            #[inline(always)]
            |n, from, values| {
                for (to, x) in h[n][from..from + LANES].iter_mut().zip(values) {
                    *to += x;
                }
            },
        );
    }
    for (h, said) in h.iter().zip(&mut net.said) {
        let mut y = [0.0f32; W];
        weights.norm.run(h, &mut y);
        let [is, begins] = weights.heads.each_ref().map(|(head, bias)| dot(&y, head) + bias);
        *said = StepLogits { is, begins };
    }
}
