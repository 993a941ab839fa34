//! The network of second hearing, worked out in small pieces.
//!
//! It sees a stretch of spectra, both directions: three convolutions over bands and time, fifteen residual blocks of
//! three taps, two blocks of attention over the whole (`tests/train/network.py` is the same in PyTorch). A piece takes
//! about a millisecond, so that live sound goes on while it works.

use fearless_simd::{Level, Simd, dispatch};

use super::layers::{LANES, Product, bend, dot, exp, piece, sum, tile};
use super::spectra::{MOST, ROW, Stretch};
use super::weights::{GROUPS, HEAD, HEADS, Look, WIDTH, Weights, shipped};

const STEPS: usize = MOST / 2;
const PAIRS: usize = STEPS / 2;
/// Pairs of steps, filled up to whole tiles.
const PADDED: usize = PAIRS.next_multiple_of(LANES);
/// Rows that the convolutions keep: more than any of them looks back.
const KEPT: usize = 8;
/// Lanes of one row after each convolution, with a margin of zeros for the next.
pub const ROWS: [usize; 2] = [(2 + 30 + 2) * 16, (1 + 15 + 1) * 24];
/// Where a row begins within its margins.
pub const MARGINS: [usize; 2] = [2 * 16, 24];
/// Lanes of a frame after the third convolution.
pub const FRONT: usize = 8 * 32;
/// Frames of the convolutions, steps of a block, rows of attention in one piece of work.
const PIECES: (usize, usize, usize) = (64, 256, 96);

/// What it says of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetworkOutput {
    /// Log-odds that a pulse came back.
    pub returned: f32,
    /// Steps of two frames that were seen.
    pub steps: usize,
}

/// Where the work stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Front(usize),
    Enter(usize),
    Norm(usize),
    Block(usize, usize),
    Ask(usize),
    See(usize, usize, usize),
    Tell(usize),
    Heads,
    Done,
}

/// Room for one run; everything is allocated in `new`.
pub struct Network {
    weights: &'static Weights,
    level: Level,
    stage: Stage,
    frames: usize,
    input: Vec<f32>,
    rings: [Vec<f32>; 2],
    zeros: Vec<f32>,
    front: Vec<f32>,
    h: Vec<f32>,
    y: Vec<f32>,
    /// Queries and what they saw; keys and values of each head in tiles.
    queries: Vec<f32>,
    keys: Vec<f32>,
    values: Vec<f32>,
    scores: Vec<f32>,
    turns: Vec<(f32, f32)>,
    onset: Vec<f32>,
    pointer: Vec<f32>,
    returned: f32,
}

impl Network {
    /// With the shipped weights.
    pub fn new() -> Self {
        Self {
            weights: shipped(),
            level: Level::new(),
            stage: Stage::Done,
            frames: 0,
            input: vec![0.0; KEPT * ROW],
            rings: ROWS.map(|row| vec![0.0; KEPT * row]),
            zeros: vec![0.0; ROW.max(ROWS[0]).max(ROWS[1])],
            front: vec![0.0; MOST * FRONT],
            h: vec![0.0; STEPS * WIDTH],
            y: vec![0.0; STEPS * WIDTH],
            queries: vec![0.0; PAIRS * WIDTH],
            keys: vec![0.0; PADDED * WIDTH],
            values: vec![0.0; PADDED * WIDTH],
            scores: vec![0.0; 6 * PADDED],
            turns: turns(),
            onset: vec![0.0; STEPS],
            pointer: vec![0.0; STEPS],
            returned: 0.0,
        }
    }

    /// Begins with a stretch of so many frames, a multiple of four and at most [`MOST`].
    pub fn begin(&mut self, frames: usize) {
        debug_assert!(frames.is_multiple_of(4) && frames <= MOST);
        self.frames = frames;
        self.stage = if frames >= 4 { Stage::Front(0) } else { Stage::Done };
    }

    /// Does one piece of the work; what was said, once it is done.
    pub fn work(&mut self, stretch: &Stretch) -> Option<NetworkOutput> {
        let level = self.level;
        dispatch!(level, simd => work(simd, self, stretch));
        (self.stage == Stage::Done)
            .then_some(NetworkOutput { returned: self.returned, steps: self.frames / 2 })
    }

    /// The pointer's logits over steps.
    pub fn pointer(&self) -> &[f32] {
        &self.pointer[..self.frames / 2]
    }

    /// Log-odds that a returned pulse begins, over steps.
    #[cfg(test)]
    pub fn onset(&self) -> &[f32] {
        &self.onset[..self.frames / 2]
    }

    fn steps(&self) -> usize {
        self.frames / 2
    }

    fn pairs(&self) -> usize {
        self.frames / 4
    }
}

/// Runs a body over a range of rows, six at a time and then one by one; the body knows how many as a constant.
macro_rules! for_rows {
    ($range:expr, $rows:ident, $first:ident => $body:block) => {{
        let std::ops::Range { start: mut at, end } = $range;
        while at + 6 <= end {
            const $rows: usize = 6;
            let $first = at;
            $body
            at += 6;
        }
        while at < end {
            const $rows: usize = 1;
            let $first = at;
            $body
            at += 1;
        }
    }};
}

/// Cosine and sine by which the lanes of a head are turned at each pair of steps.
fn turns() -> Vec<(f32, f32)> {
    let half = HEAD / 2;
    let rate = |i: usize| libm::exp(-libm::log(2000.0) * i as f64 / half as f64) as f32;
    let each = |n: usize| {
        (0..half).map(move |i| {
            let phase = f64::from(n as f32 * rate(i));
            (libm::cos(phase) as f32, libm::sin(phase) as f32)
        })
    };
    (0..PAIRS).flat_map(each).collect()
}

#[inline(always)]
fn work<S: Simd>(_: S, net: &mut Network, stretch: &Stretch) {
    net.stage = match net.stage {
        Stage::Front(at) => front(net, stretch, at),
        Stage::Enter(at) => enter(net, at),
        Stage::Norm(block) => {
            let (n, norm) = (net.steps() * WIDTH, &net.weights.blocks[block].norm);
            let rows = net.h[..n].chunks_exact(WIDTH).zip(net.y.chunks_exact_mut(WIDTH));
            for (row, to) in rows {
                norm.run(row, to);
            }
            Stage::Block(block, 0)
        }
        Stage::Block(block, at) => steps_of_block(net, block, at),
        Stage::Ask(look) => ask(net, look),
        Stage::See(look, head, at) => see(net, look, head, at),
        Stage::Tell(look) => tell(net, look),
        Stage::Heads => {
            heads(net);
            Stage::Done
        }
        Stage::Done => Stage::Done,
    };
}

/// Row `t` of a ring, or zeros where there is none.
#[inline(always)]
fn row<'a>(ring: &'a [f32], zeros: &'a [f32], width: usize, t: isize, frames: usize) -> &'a [f32] {
    if t < 0 || t >= frames as isize {
        return &zeros[..width];
    }
    &ring[t as usize % KEPT * width..][..width]
}

/// The three convolutions over some frames; each lags the one before.
#[inline(always)]
fn front(net: &mut Network, stretch: &Stretch, at: usize) -> Stage {
    let (frames, weights) = (net.frames, net.weights);
    let end = (at + PIECES.0).min(frames + 4);
    for t in at..end {
        if t < frames {
            stretch.row(t, &mut net.input[t % KEPT * ROW..][..ROW]);
        }
        let now = t as isize;
        if (0..frames as isize).contains(&(now - 2)) {
            let rows: [&[f32]; 5] = std::array::from_fn(|dt| {
                row(&net.input, &net.zeros, ROW, now - 4 + dt as isize, frames)
            });
            let to = &mut net.rings[0][(t - 2) % KEPT * ROWS[0]..][..ROWS[0]];
            convolve::<6, 5, 20>(&weights.front[0], rows, 2 * 4, &mut to[MARGINS[0]..]);
        }
        if (0..frames as isize).contains(&(now - 3)) {
            let (first, second) = net.rings.split_at_mut(1);
            let rows: [&[f32]; 3] = std::array::from_fn(|dt| {
                row(&first[0], &net.zeros, ROWS[0], now - 4 + dt as isize, frames)
            });
            let to = &mut second[0][(t - 3) % KEPT * ROWS[1]..][..ROWS[1]];
            convolve::<5, 3, 80>(&weights.front[1], rows, 2 * 16, &mut to[MARGINS[1]..]);
        }
        if (0..frames as isize).contains(&(now - 4)) {
            let rows: [&[f32]; 3] = std::array::from_fn(|dt| {
                row(&net.rings[1], &net.zeros, ROWS[1], now - 5 + dt as isize, frames)
            });
            let to = &mut net.front[(t - 4) * FRONT..][..FRONT];
            convolve::<4, 3, 72>(&weights.front[2], rows, 2 * 24, to);
        }
    }
    if end < frames + 4 { Stage::Front(end) } else { Stage::Enter(0) }
}

/// One row of a convolution: windows of `L` inputs, `stride` apart, over `S` rows; `R` windows at a time.
#[inline(always)]
pub fn convolve<const R: usize, const S: usize, const L: usize>(
    product: &Product,
    rows: [&[f32]; S],
    stride: usize,
    to: &mut [f32],
) {
    let outputs = product.outputs();
    let windows = (rows[0].len() - L) / stride + 1;
    for first in (0..windows).step_by(R) {
        let inputs: [[&[f32; L]; S]; R] =
            std::array::from_fn(|r| rows.map(|row| piece(row, (first + r) * stride)));
        product.run(
            inputs,
            #[inline(always)]
            |r, from, values| {
                let to = &mut to[(first + r) * outputs + from..][..values.len()];
                for (to, x) in to.iter_mut().zip(values) {
                    *to = bend(*x);
                }
            },
        );
    }
}

/// Four frames to a step.
#[inline(always)]
fn enter(net: &mut Network, at: usize) -> Stage {
    let (frames, end) = (net.frames, (at + PIECES.1).min(net.steps()));
    let product = &net.weights.enter;
    let frame = |step: usize, tap: usize| {
        let t = (2 * step + tap).wrapping_sub(1);
        if t < frames { piece(&net.front, t * FRONT) } else { &[0.0; FRONT] }
    };
    for_rows!(at..end, R, first => {
        let inputs: [[&[f32; FRONT]; 4]; R] =
            std::array::from_fn(|r| std::array::from_fn(|tap| frame(first + r, tap)));
        product.run(inputs, #[inline(always)] |r, from, values| {
            net.h[(first + r) * WIDTH + from..][..LANES].copy_from_slice(values);
        });
    });
    if end < net.steps() { Stage::Enter(end) } else { Stage::Norm(0) }
}

/// What follows a block.
fn after(block: usize) -> Stage {
    let (first, second) = (GROUPS[0].len(), GROUPS[0].len() + GROUPS[1].len());
    match block + 1 {
        n if n == first => Stage::Ask(0),
        n if n == second => Stage::Ask(1),
        n if n == second + GROUPS[2].len() => Stage::Heads,
        n => Stage::Norm(n),
    }
}

#[inline(always)]
fn steps_of_block(net: &mut Network, number: usize, at: usize) -> Stage {
    let (steps, end) = (net.steps(), (at + PIECES.1).min(net.steps()));
    let block = &net.weights.blocks[number];
    let tap = |step: usize, tap: usize| {
        let t = (step + tap * block.apart).wrapping_sub(block.apart);
        if t < steps { piece(&net.y, t * WIDTH) } else { &[0.0; WIDTH] }
    };
    for_rows!(at..end, R, first => {
        let inputs: [[&[f32; WIDTH]; 3]; R] =
            std::array::from_fn(|r| std::array::from_fn(|n| tap(first + r, n)));
        let mut middle = [[0.0f32; WIDTH]; R];
        block.taps.run(inputs, #[inline(always)] |r, from, values| {
            let to = &mut middle[r][from..from + LANES];
            for (to, x) in to.iter_mut().zip(values) { *to = bend(*x); }
        });
        block.out.run(middle.each_ref().map(|row| [row]), #[inline(always)] |r, from, values| {
            let to = &mut net.h[(first + r) * WIDTH + from..][..LANES];
            for (to, x) in to.iter_mut().zip(values) { *to += x; }
        });
    });
    if end < steps { Stage::Block(number, end) } else { after(number) }
}

/// Queries, keys and values of all pairs of steps.
#[inline(always)]
fn ask(net: &mut Network, look: usize) -> Stage {
    let Look { norm, asked, .. } = &net.weights.looks[look];
    let pairs = net.pairs();
    net.keys.fill(0.0);
    net.values.fill(0.0);
    for n in 0..pairs {
        let two = &net.h[2 * n * WIDTH..][..2 * WIDTH];
        let mut mean = [0.0f32; WIDTH];
        for (lane, to) in mean.iter_mut().enumerate() {
            *to = 0.5 * (two[lane] + two[WIDTH + lane]);
        }
        norm.run(&mean, &mut net.y[n * WIDTH..][..WIDTH]);
    }
    for_rows!(0..pairs, R, first => {
        let inputs: [[&[f32; WIDTH]; 1]; R] =
            std::array::from_fn(|r| [piece(&net.y, (first + r) * WIDTH)]);
        let mut all = [[0.0f32; 3 * WIDTH]; R];
        asked.run(inputs, #[inline(always)] |r, from, values| all[r][from..from + LANES].copy_from_slice(values));
        for (r, all) in all.iter_mut().enumerate() {
            let n = first + r;
            let turns = &net.turns[n * HEAD / 2..][..HEAD / 2];
            let (query, rest) = all.split_at_mut(WIDTH);
            let (key, value) = rest.split_at_mut(WIDTH);
            for head in query.chunks_exact_mut(HEAD).chain(key.chunks_exact_mut(HEAD)) {
                turn(head, turns);
            }
            net.queries[n * WIDTH..][..WIDTH].copy_from_slice(query);
            let (block, lane) = (n / LANES, n % LANES);
            for (i, k) in key.iter().enumerate() {
                // Tiles of one head after the other: in each the lanes of 16 keys beside each other.
                let (head, i) = (i / HEAD, i % HEAD);
                net.keys[((head * PADDED / LANES + block) * HEAD + i) * LANES + lane] = *k;
            }
            for (i, v) in value.chunks_exact(LANES).enumerate() {
                net.values[(i * PADDED + n) * LANES..][..LANES].copy_from_slice(v);
            }
        }
    });
    Stage::See(look, 0, 0)
}

#[inline(always)]
fn turn(head: &mut [f32], turns: &[(f32, f32)]) {
    let (first, second) = head.split_at_mut(HEAD / 2);
    for ((a, b), (cos, sin)) in first.iter_mut().zip(second).zip(turns) {
        (*a, *b) = (*a * cos - *b * sin, *a * sin + *b * cos);
    }
}

/// What some queries see with one head; it takes the queries' place.
#[inline(always)]
fn see(net: &mut Network, look: usize, head: usize, at: usize) -> Stage {
    let pairs = net.pairs();
    let (end, padded) = ((at + PIECES.2).min(pairs), pairs.next_multiple_of(LANES));
    let keys = &net.keys[head * PADDED * HEAD..][..padded * HEAD];
    let scale = 1.0 / (HEAD as f32).sqrt();
    for_rows!(at..end, R, first => {
        let inputs: [[&[f32; HEAD]; 1]; R] =
            std::array::from_fn(|r| [piece(&net.queries, (first + r) * WIDTH + head * HEAD)]);
        for (block, weights) in keys.chunks_exact(HEAD * LANES).enumerate() {
            let scores = tile::<R, 1, HEAD, LANES>(&inputs, weights, [[0.0; LANES]; R]);
            for (r, values) in scores.iter().enumerate() {
                net.scores[r * PADDED + block * LANES..][..LANES].copy_from_slice(values);
            }
        }
        let mut shares = [0.0f32; R];
        for (r, share) in shares.iter_mut().enumerate() {
            let row = &mut net.scores[r * PADDED..][..padded];
            row[pairs..].fill(f32::NEG_INFINITY);
            let highest = row.iter().fold(f32::NEG_INFINITY, |a, &b| a.max(b));
            for x in row.iter_mut() { *x = exp(scale * (*x - highest)); }
            row[pairs..].fill(0.0);
            *share = 1.0 / sum(row);
        }
        for part in 0..HEAD / LANES {
            let block = head * HEAD / LANES + part;
            let values = &net.values[block * PADDED * LANES..][..padded * LANES];
            let mut seen = [[0.0; LANES]; R];
            for (n, values) in values.chunks_exact(LANES * LANES).enumerate() {
                let scores: [[&[f32; LANES]; 1]; R] =
                    std::array::from_fn(|r| [piece(&net.scores, r * PADDED + n * LANES)]);
                seen = tile::<R, 1, LANES, LANES>(&scores, values, seen);
            }
            for (r, values) in seen.iter().enumerate() {
                let to = &mut net.queries[(first + r) * WIDTH + block * LANES..][..LANES];
                for (to, x) in to.iter_mut().zip(values) { *to = x * shares[r]; }
            }
        }
    });
    match (end < pairs, head + 1 < HEADS) {
        (true, _) => Stage::See(look, head, end),
        (false, true) => Stage::See(look, head + 1, 0),
        (false, false) => Stage::Tell(look),
    }
}

/// What was seen, added to both steps of each pair.
#[inline(always)]
fn tell(net: &mut Network, look: usize) -> Stage {
    let out = &net.weights.looks[look].out;
    for_rows!(0..net.pairs(), R, first => {
        let inputs: [[&[f32; WIDTH]; 1]; R] =
            std::array::from_fn(|r| [piece(&net.queries, (first + r) * WIDTH)]);
        out.run(inputs, #[inline(always)] |r, from, values| {
            for step in 2 * (first + r)..2 * (first + r) + 2 {
                let to = &mut net.h[step * WIDTH + from..][..LANES];
                for (to, x) in to.iter_mut().zip(values) { *to += x; }
            }
        });
    });
    Stage::Norm([GROUPS[0].len(), GROUPS[0].len() + GROUPS[1].len()][look])
}

/// The six heads over all steps, and the log-odds that something returned.
#[inline(always)]
fn heads(net: &mut Network) {
    let (weights, steps) = (net.weights, net.steps());
    // The four that heed: their logits lie in what was the first convolution's room.
    let heed = &mut net.front[..4 * STEPS];
    for step in 0..steps {
        let y = &mut net.y[step * WIDTH..][..WIDTH];
        weights.norm.run(&net.h[step * WIDTH..][..WIDTH], y);
        let said = |head: usize| dot(y, &weights.heads[head]) + weights.head_bias[head];
        net.onset[step] = said(0);
        net.pointer[step] = said(1);
        for n in 0..4 {
            heed[n * STEPS + step] = said(2 + n);
        }
    }
    let mut returned = weights.any.1;
    for n in 0..4 {
        let row = &mut heed[n * STEPS..][..steps];
        let highest = row.iter().fold(f32::NEG_INFINITY, |a, &b| a.max(b));
        for x in row.iter_mut() {
            *x = exp(*x - highest);
        }
        let all: f32 = row.iter().sum();
        let mut seen = [0.0f32; WIDTH];
        for (share, y) in row.iter().zip(net.y.chunks_exact(WIDTH)) {
            for (to, y) in seen.iter_mut().zip(y) {
                *to += share * y;
            }
        }
        returned += dot(&seen, &weights.any.0[n * WIDTH..][..WIDTH]) / all;
    }
    net.returned = returned;
}
