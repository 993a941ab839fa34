//! The weights of second hearing, read once from the one binary file that is compiled in.
//!
//! The file holds half-precision numbers in the order in which the layers are built here (`tests/train/export.py` writes
//! it); its SHA-256 is held by a test.

use std::sync::OnceLock;

use super::layers::{LANES, Norm, Product};

/// Lanes of the network.
pub const WIDTH: usize = 128;
/// Heads of attention, and the lanes of each.
pub const HEADS: usize = 4;
/// Lanes of a head.
pub const HEAD: usize = WIDTH / HEADS;
/// How far apart the three taps of each block are, steps; attention follows the first and the second group.
pub const GROUPS: [&[usize]; 3] = [&[1, 2, 4, 8, 16, 32], &[1, 4, 16, 64, 128], &[1, 2, 8, 32]];
/// Channels after each of the three convolutions.
pub const CHANNELS: [usize; 3] = [16, 24, 32];
/// Of a frame's bands eight are left after them.
const LEFT: usize = 8;

static FILE: &[u8] = include_bytes!("weights.f16");

/// A residual block.
#[derive(Debug)]
pub struct ResidualBlock {
    /// Steps from tap to tap.
    pub apart: usize,
    /// Of what enters.
    pub norm: Norm,
    /// Three taps to the width.
    pub taps: Product,
    /// The width to itself.
    pub out: Product,
}

/// A block of attention.
#[derive(Debug)]
pub struct Look {
    /// Of what enters.
    pub norm: Norm,
    /// Queries, keys and values.
    pub asked: Product,
    /// What was seen, to the width.
    pub out: Product,
}

/// All weights.
#[derive(Debug)]
pub struct Weights {
    /// The three convolutions over bands and time.
    pub front: [Product; 3],
    /// To steps of two frames.
    pub enter: Product,
    /// The blocks of all groups, in order.
    pub blocks: Vec<ResidualBlock>,
    /// After the first and the second group.
    pub looks: [Look; 2],
    /// Of the last.
    pub norm: Norm,
    /// The heads: a returned pulse begins, the pointer, and four that heed.
    pub heads: [Vec<f32>; 6],
    /// Their biases.
    pub head_bias: [f32; 6],
    /// What was heeded, to the log-odds that something returned; and its bias.
    pub any: (Vec<f32>, f32),
}

/// The shipped weights.
pub fn shipped() -> &'static Weights {
    static HELD: OnceLock<Weights> = OnceLock::new();
    HELD.get_or_init(|| {
        let mut reader = WeightReader::new(FILE);
        let weights = reader.weights();
        reader.finish();
        weights
    })
}

/// Reads weights in the order in which they are asked for. Files and networks are compiled in together: a file that
/// is not the network's is a fault of the build, and stops the program at its first use.
pub struct WeightReader<'a> {
    rest: &'a [u8],
}

impl<'a> WeightReader<'a> {
    /// At the beginning of a file.
    pub fn new(file: &'a [u8]) -> Self {
        Self { rest: file }
    }

    /// Everything must have been read.
    pub fn finish(self) {
        assert!(
            self.rest.is_empty(),
            "the weights compiled into this program are not this network's"
        );
    }

    /// So many numbers.
    pub fn numbers(&mut self, count: usize) -> Vec<f32> {
        assert!(self.rest.len() >= 2 * count, "the weights compiled into this program end early");
        let (these, rest) = self.rest.split_at(2 * count);
        self.rest = rest;
        these.as_chunks().0.iter().map(|&bytes| from_half(u16::from_le_bytes(bytes))).collect()
    }

    /// Gains and shifts of a width.
    pub fn norm(&mut self, width: usize) -> Norm {
        Norm { gain: self.numbers(width), shift: self.numbers(width) }
    }

    fn product(&mut self, inputs: usize, outputs: usize) -> Product {
        debug_assert!(outputs.is_multiple_of(LANES) || outputs % LANES == LANES / 2);
        let weights = self.numbers(inputs * outputs);
        Product::new(weights, self.numbers(outputs))
    }

    /// A residual block of a width.
    pub fn block(&mut self, width: usize, apart: usize) -> ResidualBlock {
        let (norm, taps) = (self.norm(width), self.product(3 * width, width));
        ResidualBlock { apart, norm, taps, out: self.product(width, width) }
    }

    fn look(&mut self) -> Look {
        let (norm, asked) = (self.norm(WIDTH), self.product(WIDTH, 3 * WIDTH));
        Look { norm, asked, out: self.product(WIDTH, WIDTH) }
    }

    /// The three convolutions over bands and time, with so many channels, and what brings them to steps of a width.
    pub fn front(&mut self, [a, b, c]: [usize; 3], width: usize) -> [Product; 4] {
        [(5 * 5 * 4, a), (3 * 5 * a, b), (3 * 3 * b, c), (4 * LEFT * c, width)]
            .map(|(inputs, outputs)| self.product(inputs, outputs))
    }

    fn weights(&mut self) -> Weights {
        let [first, second, third, enter] = self.front(CHANNELS, WIDTH);
        let blocks =
            GROUPS.iter().flat_map(|group| *group).map(|&apart| self.block(WIDTH, apart)).collect();
        let looks = [self.look(), self.look()];
        let norm = self.norm(WIDTH);
        let heads = std::array::from_fn(|_| self.numbers(WIDTH));
        let biases = self.numbers(6);
        let any = (self.numbers(4 * WIDTH), self.numbers(1)[0]);
        Weights {
            front: [first, second, third],
            enter,
            blocks,
            looks,
            norm,
            heads,
            head_bias: std::array::from_fn(|n| biases[n]),
            any,
        }
    }
}

/// A half-precision number (IEEE 754 binary16); there are no infinities among weights. Without a branch, so that many are
/// turned at a time: its bits are those of a single-precision number that is 2^112 times too small.
fn from_half(bits: u16) -> f32 {
    let sign = u32::from(bits & 0x8000) << 16;
    let size = f32::from_bits(u32::from(bits & 0x7fff) << 13) * f32::from_bits((127 + 112) << 23);
    f32::from_bits(sign | size.to_bits())
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::*;

    #[test]
    fn the_shipped_weights_are_whole() {
        let sum = Sha256::digest(FILE);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(sum, include_str!("weights.sha256").trim());
        assert_eq!(shipped().blocks.len(), 15);
    }

    #[test]
    fn halves_are_read() {
        for (bits, value) in [
            (0x3c00, 1.0),
            (0xc000, -2.0),
            (0x3555, 0.333_251_95),
            (0x8001, -5.960_464_5e-8),
            (0, 0.0),
        ] {
            assert!((from_half(bits) - value).abs() < 1e-12 + 1e-6 * value.abs(), "{bits:x}");
        }
    }
}
