//! The network of the cue, four steps of 20 ms at a time so that its weights are fetched once for all of them: three convolutions over bands and time, then residual blocks of three taps, all of
//! the past alone (`tests/train/cue.py` is the same in PyTorch).

use std::sync::OnceLock;

use fearless_simd::{Level, Simd, dispatch};

use super::super::second::layers::{LANES, Norm, Product, bend, dot, piece};
use super::super::second::network::{FRONT, MARGINS, ROWS, convolve};
use super::super::second::spectra::ROW;
use super::super::second::weights::{ResidualBlock, WIDTH, WeightReader};

/// How far apart the three taps of each block are, steps: together they look back over 41 s.
const APART: [usize; 13] = [1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1, 8, 64];
/// Steps that are worked out at a time, and frames of each.
pub const STEPS: usize = 4;
const FRAMES: usize = 2;
/// Rows that the convolutions keep: more than the steps of one time look back.
const KEPT: usize = 16;

static FILE: &[u8] = include_bytes!("weights.f16");

/// All weights.
struct CueWeights {
    front: [Product; 3],
    enter: Product,
    blocks: Vec<ResidualBlock>,
    norm: Norm,
    /// The heads, with their biases: a pulse came back, and a pulse begins.
    heads: [(Vec<f32>, f32); 2],
}

/// What it says of a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CueLogits {
    /// Log-odds that a pulse came back.
    pub back: f32,
    /// Log-odds that a pulse of the return begins, two steps before.
    pub begins: f32,
}

fn shipped() -> &'static CueWeights {
    static HELD: OnceLock<CueWeights> = OnceLock::new();
    HELD.get_or_init(|| {
        let mut reader = WeightReader::new(FILE);
        let [first, second, third, enter] = reader.front();
        let blocks = APART.iter().map(|&apart| reader.block(apart)).collect();
        let norm = reader.norm();
        let (back, begins, bias) =
            (reader.numbers(WIDTH), reader.numbers(WIDTH), reader.numbers(2));
        reader.finish();
        let heads = [(back, bias[0]), (begins, bias[1])];
        CueWeights { front: [first, second, third], enter, blocks, norm, heads }
    })
}

/// What was heard, as far as it matters to what comes. Everything is allocated in `new`.
pub struct CueNetwork {
    weights: &'static CueWeights,
    level: Level,
    frames: usize,
    input: Vec<f32>,
    rings: [Vec<f32>; 2],
    front: Vec<f32>,
    /// What enters each block, of as many steps as it looks back: rings.
    entered: Vec<Vec<f32>>,
    said: [CueLogits; STEPS],
}

impl CueNetwork {
    /// With the shipped weights; nothing heard yet.
    pub fn new() -> Self {
        let ring = |apart: &usize| vec![0.0; (2 * apart + STEPS) * WIDTH];
        Self {
            weights: shipped(),
            level: Level::new(),
            frames: 0,
            input: vec![0.0; KEPT * ROW],
            rings: ROWS.map(|row| vec![0.0; KEPT * row]),
            front: vec![0.0; KEPT * FRONT],
            entered: APART.iter().map(ring).collect(),
            said: [CueLogits::default(); STEPS],
        }
    }

    /// As if nothing had been heard.
    pub fn start_over(&mut self) {
        self.frames = 0;
        self.input.fill(0.0);
        self.rings.iter_mut().for_each(|ring| ring.fill(0.0));
        self.front.fill(0.0);
        self.entered.iter_mut().for_each(|ring| ring.fill(0.0));
    }

    /// Takes a frame's row; what is said of the steps that it completes, oldest first.
    pub fn push(&mut self, row: &[f32; ROW]) -> Option<[CueLogits; STEPS]> {
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
fn frame<S: Simd>(_: S, net: &mut CueNetwork) {
    let (t, weights) = (net.frames, net.weights);
    let (first, second) = net.rings.split_at_mut(1);
    let to = &mut first[0][t % KEPT * ROWS[0]..][..ROWS[0]];
    convolve::<6, 5, 20>(&weights.front[0], last(&net.input, ROW, t), 2 * 4, &mut to[MARGINS[0]..]);
    let to = &mut second[0][t % KEPT * ROWS[1]..][..ROWS[1]];
    convolve::<5, 3, 80>(
        &weights.front[1],
        last(&first[0], ROWS[0], t),
        2 * 16,
        &mut to[MARGINS[1]..],
    );
    let to = &mut net.front[t % KEPT * FRONT..][..FRONT];
    convolve::<4, 3, 72>(&weights.front[2], last(&second[0], ROWS[1], t), 2 * 24, to);
    if (t + 1).is_multiple_of(FRAMES * STEPS) {
        steps(net);
    }
}

/// The residual blocks and the heads.
#[inline(always)]
fn steps(net: &mut CueNetwork) {
    let (weights, first) = (net.weights, (net.frames + 1) / FRAMES - STEPS);
    let mut h = [[0.0f32; WIDTH]; STEPS];
    let frames = |n: usize| {
        last::<4>(&net.front, FRONT, FRAMES * (first + n) + 1).map(|row| piece::<FRONT>(row, 0))
    };
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
            block.norm.run(h, &mut ring[(first + n) % length * WIDTH..][..WIDTH]);
        }
        let tap = |n: usize, ago: usize| {
            piece::<WIDTH>(ring, (first + n + length - ago) % length * WIDTH)
        };
        let taps = |n: usize| [tap(n, 2 * block.apart), tap(n, block.apart), tap(n, 0)];
        let mut middle = [[0.0f32; WIDTH]; STEPS];
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
        let mut y = [0.0f32; WIDTH];
        weights.norm.run(h, &mut y);
        let [back, begins] = weights.heads.each_ref().map(|(head, bias)| dot(&y, head) + bias);
        *said = CueLogits { back, begins };
    }
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::*;

    #[test]
    fn the_shipped_weights_of_the_cue_are_whole() {
        let sum = Sha256::digest(FILE);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(sum, include_str!("weights.sha256").trim());
        assert_eq!(shipped().blocks.len(), APART.len());
    }
}
