//! The arithmetic of the network: products of rows with weights, norms, and the two bends, in plain loops over f32.
//!
//! Each output adds its products in the order of the weights, whatever the width of the machine's vectors, and nothing is
//! fused: the same numbers come out on every machine. The loops are written so that the compiler keeps a tile of
//! outputs in registers; [`super::network`] runs them with the widest vectors there are.
//!
//! Whatever runs within its `dispatch!` is `#[inline(always)]`, closures too: a function of its own is built without those
//! vectors, and costs several times as much.

/// Outputs of a tile.
pub const LANES: usize = 16;

/// Weights of a product with `outputs` outputs: blocks of [`LANES`] outputs (the last may be half as wide), in each the
/// weights of one input after the other; and a bias for each output.
#[derive(Debug, Clone)]
pub struct Product {
    weights: Vec<f32>,
    bias: Vec<f32>,
    inputs: usize,
}

impl Product {
    /// From its parts; `weights` holds `inputs` times `bias.len()` numbers.
    pub fn new(weights: Vec<f32>, bias: Vec<f32>) -> Self {
        let inputs = weights.len() / bias.len();
        Self { weights, bias, inputs }
    }

    /// How many outputs there are.
    pub fn outputs(&self) -> usize {
        self.bias.len()
    }

    /// Outputs of `R` rows at a time; each row's inputs lie in `S` pieces of `L`. `give` gets row, first output and a block.
    #[inline(always)]
    pub fn run<const R: usize, const S: usize, const L: usize>(
        &self,
        rows: [[&[f32; L]; S]; R],
        mut give: impl FnMut(usize, usize, &[f32]),
    ) {
        debug_assert_eq!(S * L, self.inputs);
        let (whole, half) = self.weights.split_at(self.inputs * self.whole());
        for (block, weights) in whole.chunks_exact(LANES * self.inputs).enumerate() {
            let from = block * LANES;
            let sums = tile::<R, S, L, LANES>(&rows, weights, [*piece(&self.bias, from); R]);
            for (row, values) in sums.iter().enumerate() {
                give(row, from, values);
            }
        }
        if !half.is_empty() {
            let from = self.whole();
            let sums = tile::<R, S, L, { LANES / 2 }>(&rows, half, [*piece(&self.bias, from); R]);
            for (row, values) in sums.iter().enumerate() {
                give(row, from, values);
            }
        }
    }

    /// Outputs in whole blocks.
    fn whole(&self) -> usize {
        self.bias.len() / LANES * LANES
    }
}

/// `L` numbers of a row from here on.
#[inline(always)]
pub fn piece<const L: usize>(row: &[f32], from: usize) -> &[f32; L] {
    row[from..].first_chunk().expect("a row holds its pieces")
}

/// These sums plus products of `R` rows, in `S` pieces of `L`, with one block of weights.
#[inline(always)]
pub fn tile<const R: usize, const S: usize, const L: usize, const N: usize>(
    rows: &[[&[f32; L]; S]; R],
    weights: &[f32],
    mut sums: [[f32; N]; R],
) -> [[f32; N]; R] {
    for (s, weights) in weights.as_chunks::<N>().0.as_chunks::<L>().0.iter().take(S).enumerate() {
        for k in 0..L {
            for r in 0..R {
                let x = rows[r][s][k];
                for n in 0..N {
                    sums[r][n] += x * weights[k][n];
                }
            }
        }
    }
    sums
}

/// e to the x, to a relative error of 2e-7, without a call: a power of two and a polynomial (Cephes' `expf`).
#[inline(always)]
pub fn exp(x: f32) -> f32 {
    // Added to it, a number is rounded to a whole one and has it, 127 added, in its lowest bits.
    const ROUNDS: f32 = 12_582_912.0 + 127.0;
    let x = x.clamp(-87.0, 87.0);
    let rounded = x * std::f32::consts::LOG2_E + ROUNDS;
    let n = rounded - ROUNDS;
    let r = (x - n * 0.693_359_4) + n * 2.121_944_4e-4;
    let p = ((((1.987_569_2e-4 * r + 1.398_199_9e-3) * r + 8.333_452e-3) * r + 4.166_579_6e-2) * r
        + 1.666_666_5e-1)
        * r
        + 0.5;
    (p * r * r + r + 1.0) * f32::from_bits(rounded.to_bits() << 23)
}

/// The natural logarithm of a positive number, to 1e-6 (Cephes' `logf`).
#[inline(always)]
pub fn ln(x: f32) -> f32 {
    let bits = x.to_bits() as i32;
    // The mantissa between the roots of one half and of two.
    let e = (bits - 0x3f35_04f3) >> 23;
    let m = f32::from_bits((bits - (e << 23)) as u32) - 1.0;
    let z = m * m;
    let p = ((((((((7.037_683_6e-2 * m - 1.151_461e-1) * m + 1.167_699_9e-1) * m
        - 1.242_014_1e-1)
        * m
        + 1.424_932_3e-1)
        * m
        - 1.666_805_7e-1)
        * m
        + 2.000_071_5e-1)
        * m
        - 2.499_999_4e-1)
        * m
        + 3.333_333e-1)
        * m
        * z;
    let e = e as f32;
    p - 2.121_944_4e-4 * e - 0.5 * z + m + 0.693_359_4 * e
}

/// x times the logistic function of 1.702 x.
#[inline(always)]
pub fn bend(x: f32) -> f32 {
    x / (1.0 + exp(-1.702 * x))
}

/// A layer's norm: gain and shift of each lane.
#[derive(Debug, Clone)]
pub struct Norm {
    /// Gains.
    pub gain: Vec<f32>,
    /// Shifts.
    pub shift: Vec<f32>,
}

impl Norm {
    /// The row with its mean taken out and its spread brought to one, gained and shifted.
    #[inline(always)]
    pub fn run(&self, row: &[f32], to: &mut [f32]) {
        let share = 1.0 / row.len() as f32;
        let mean = sum(row) * share;
        for (to, x) in to.iter_mut().zip(row) {
            *to = (x - mean) * (x - mean);
        }
        let scale = 1.0 / (sum(to) * share + 1e-5).sqrt();
        for ((to, x), (gain, shift)) in
            to.iter_mut().zip(row).zip(self.gain.iter().zip(&self.shift))
        {
            *to = (x - mean) * scale * gain + shift;
        }
    }
}

/// A sum in sixteen lanes; the length is a multiple of them.
#[inline(always)]
pub fn sum(row: &[f32]) -> f32 {
    let mut lanes = [0.0f32; LANES];
    for part in row.chunks_exact(LANES) {
        for (lane, x) in lanes.iter_mut().zip(part) {
            *lane += x;
        }
    }
    lanes.iter().sum()
}

/// A sum of products in sixteen lanes; the length is a multiple of them.
#[inline(always)]
pub fn dot(a: &[f32], b: &[f32]) -> f32 {
    let mut lanes = [0.0f32; LANES];
    for (x, y) in a.chunks_exact(LANES).zip(b.chunks_exact(LANES)) {
        for lane in 0..LANES {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    lanes.iter().sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_product_is_the_sum_of_products() {
        // Four inputs in two pieces, 24 outputs: a whole block and a half one.
        let weight = |k: usize, n: usize| (k * 31 + n * 7) as f32 * 0.01 - 0.4;
        let mut weights = Vec::new();
        for block in [0..16, 16..24] {
            for k in 0..4 {
                weights.extend(block.clone().map(|n| weight(k, n)));
            }
        }
        let bias: Vec<f32> = (0..24).map(|n| n as f32).collect();
        let product = Product::new(weights, bias);
        let inputs = [[[1.0f32, -2.0], [0.5, 0.25]], [[0.0, 3.0], [4.0, -1.0]]];
        let rows = inputs.each_ref().map(|[a, b]| [a, b]);
        let mut given = 0;
        product.run(rows, |row, from, values| {
            for (n, value) in values.iter().enumerate() {
                let n = from + n;
                let right: f32 =
                    (0..4).map(|k| inputs[row][k / 2][k % 2] * weight(k, n)).sum::<f32>()
                        + n as f32;
                assert!((value - right).abs() < 1e-4, "{row} {n}: {value} {right}");
                given += 1;
            }
        });
        assert_eq!(given, 48);
    }

    #[test]
    fn the_quick_functions_are_the_exact_ones() {
        for i in -4000..4000 {
            let x = i as f32 * 0.02;
            assert!((exp(x) - x.exp()).abs() <= 4e-7 * x.exp(), "{x}: {} {}", exp(x), x.exp());
            let y = (i as f32 * 0.009).exp();
            assert!((ln(y) - y.ln()).abs() < 1e-5, "{y}: {} {}", ln(y), y.ln());
        }
    }

    #[test]
    fn a_norm_has_mean_and_spread() {
        let norm = Norm { gain: vec![2.0; 32], shift: vec![1.0; 32] };
        let row: Vec<f32> = (0..32).map(|n| (n * n) as f32).collect();
        let mut to = vec![0.0; 32];
        norm.run(&row, &mut to);
        let mean = sum(&to) / 32.0;
        let spread = to.iter().map(|x| (x - mean) * (x - mean)).sum::<f32>() / 32.0;
        assert!((mean - 1.0).abs() < 1e-5 && (spread - 4.0).abs() < 1e-3, "{mean} {spread}");
    }
}
