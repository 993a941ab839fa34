//! From the device's samples to the listener's: faults counted and silenced, channels mixed, and the
//! rate brought to 8 kHz by a polyphase filter.
//!
//! A filter of our own, not a library's: it is exact to the sample whatever the size of the blocks,
//! needs no chunk of its own, and costs a tenth of the listener's budget (docs/decisions.md).

use crate::units::SampleRate;

/// The rate at which the listener works, hertz.
pub const WORKING_HZ: u32 = 8_000;
/// Width of the transition band, hertz: flat to 3,450 Hz, 50 dB down from 4,550 Hz. What folds back lies
/// above 3,450 Hz and is weakened as much as the signal there; the learned background evens both out.
const TRANSITION_HZ: f64 = 1_100.0;
/// Kaiser window parameter for 50 dB (Kaiser 1974: 0.1102 (A - 8.7)).
const KAISER_BETA: f64 = 4.55;
/// The most filter phases kept; beyond it the nearest phase is taken (below -60 dB at these rates).
const PHASES_MAX: u64 = 640;

/// What the intake noticed about the samples themselves.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Faults {
    /// Samples that were no number, replaced by zero.
    pub not_numbers: u64,
    /// Samples at or beyond full scale.
    pub full_scale: u64,
}

/// Mixes interleaved frames to mono and resamples them to 8 kHz.
#[derive(Debug)]
pub struct Intake {
    channels: usize,
    /// Output rate over input rate, in lowest terms.
    up: u64,
    down: u64,
    phases: u64,
    taps: usize,
    /// `phases + 1` rows of `taps` coefficients, oldest sample first.
    table: Vec<f32>,
    /// The last `taps - 1` mono samples, then room for one block.
    mono: Vec<f32>,
    /// Where the next output lies after the next input sample, in 1 / `up` of a sample.
    until_next: u64,
    /// Samples of a frame whose other channels have not come yet.
    partial: Vec<f32>,
    faults: Faults,
}

/// Frames mixed at a time.
const BLOCK: usize = 512;

impl Intake {
    /// Everything is allocated here; `channels` is at least 1.
    pub fn new(rate: SampleRate, channels: usize) -> Self {
        let divisor = gcd(u64::from(rate.hz()), u64::from(WORKING_HZ));
        let up = u64::from(WORKING_HZ) / divisor;
        let down = u64::from(rate.hz()) / divisor;
        let phases = up.min(PHASES_MAX);
        // From a lower rate nothing folds; what the filter removes is its sound's mirror above half that rate.
        let ratio = (f64::from(rate.hz()) / f64::from(WORKING_HZ)).max(1.0);
        // Kaiser's length for this attenuation; at 8 kHz there is nothing to remove.
        let kaiser = (50.0 - 7.95) / 14.36 * f64::from(rate.hz()) / TRANSITION_HZ;
        let taps = if down == up { 1 } else { (kaiser.ceil() as usize).next_multiple_of(8) };
        Self {
            channels,
            up,
            down,
            phases,
            taps,
            table: table(taps, phases, ratio),
            mono: vec![0.0; taps - 1 + BLOCK],
            until_next: 0,
            partial: Vec::with_capacity(channels),
            faults: Faults::default(),
        }
    }

    /// The filter's delay, in input samples: output `m` stands for input time `m * rate / 8000 - delay`.
    pub fn delay(&self) -> f64 {
        if self.taps == 1 { 0.0 } else { self.taps as f64 / 2.0 }
    }

    /// What was wrong with the samples so far.
    pub fn faults(&self) -> Faults {
        self.faults
    }

    /// Takes interleaved samples in pieces of any size and hands on each working-rate sample with
    /// the number of frames of this call that had been taken when it was complete. Returns the
    /// number of frames taken in all.
    pub fn push(&mut self, interleaved: &[f32], mut each: impl FnMut(u64, f32)) -> u64 {
        let mut rest = interleaved;
        let mut taken = 0;
        if !self.partial.is_empty() {
            let missing = (self.channels - self.partial.len()).min(rest.len());
            self.partial.extend_from_slice(&rest[..missing]);
            rest = &rest[missing..];
            if self.partial.len() < self.channels {
                return 0;
            }
            let frame = std::mem::take(&mut self.partial);
            self.push_block(&frame, 0, &mut each);
            self.partial = frame;
            self.partial.clear();
            taken = 1;
        }
        let whole = rest.len() - rest.len() % self.channels;
        for block in rest[..whole].chunks(BLOCK * self.channels) {
            self.push_block(block, taken, &mut each);
            taken += (block.len() / self.channels) as u64;
        }
        self.partial.extend_from_slice(&rest[whole..]);
        taken
    }

    fn push_block(&mut self, frames: &[f32], before: u64, each: &mut impl FnMut(u64, f32)) {
        let count = frames.len() / self.channels;
        self.mix(frames);
        let mut at = 0u64;
        loop {
            let ahead = self.until_next / self.up;
            if at + ahead >= count as u64 {
                self.until_next -= (count as u64 - at) * self.up;
                break;
            }
            at += ahead;
            let fraction = self.until_next % self.up;
            let phase = (fraction * self.phases + self.up / 2) / self.up;
            let row = &self.table[phase as usize * self.taps..][..self.taps];
            each(before + at + 1, dot(row, &self.mono[at as usize..][..self.taps]));
            self.until_next = fraction + self.down;
        }
        self.mono.copy_within(count..count + self.taps - 1, 0);
    }

    /// Puts the channels' mean behind the kept samples. What is no number becomes silence; a level
    /// far beyond full scale is no sound either.
    fn mix(&mut self, frames: &[f32]) {
        let (mut not_numbers, mut full_scale) = (0u32, 0u32);
        for &x in frames {
            not_numbers += u32::from(!x.is_finite());
            full_scale += u32::from(x.abs() >= 0.999);
        }
        self.faults.not_numbers += u64::from(not_numbers);
        self.faults.full_scale += u64::from(full_scale);
        let share = 1.0 / self.channels as f32;
        let clean = |x: f32| if x.abs() < 8.0 { x } else { 0.0 };
        let mono = &mut self.mono[self.taps - 1..];
        if self.channels == 1 {
            for (to, &x) in mono.iter_mut().zip(frames) {
                *to = clean(x);
            }
        } else {
            for (to, frame) in mono.iter_mut().zip(frames.chunks_exact(self.channels)) {
                *to = frame.iter().map(|&x| clean(x)).sum::<f32>() * share;
            }
        }
    }
}

/// A sum of products in eight lanes, which the compiler turns into vector instructions.
#[inline]
fn dot(a: &[f32], b: &[f32]) -> f32 {
    let mut lanes = [0.0f32; 8];
    let (a8, b8) = (a.chunks_exact(8), b.chunks_exact(8));
    let tail: f32 = a8.remainder().iter().zip(b8.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a8.zip(b8) {
        for lane in 0..8 {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    lanes.iter().sum::<f32>() + tail
}

/// Kaiser-windowed sinc with its half-power point at half the working rate, one row a phase.
fn table(taps: usize, phases: u64, ratio: f64) -> Vec<f32> {
    if taps == 1 {
        return vec![1.0; phases as usize + 1];
    }
    let half = taps as f64 / 2.0;
    let mut table = Vec::with_capacity(taps * (phases as usize + 1));
    for phase in 0..=phases {
        let shift = phase as f64 / phases as f64;
        let row: Vec<f64> = (0..taps)
            .map(|tap| {
                let x = tap as f64 - (half - 1.0) - shift;
                sinc(x / ratio) * kaiser(x / half)
            })
            .collect();
        let gain: f64 = row.iter().sum();
        table.extend(row.iter().map(|c| (c / gain) as f32));
    }
    table
}

fn sinc(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { (std::f64::consts::PI * x).sin() / (std::f64::consts::PI * x) }
}

fn kaiser(x: f64) -> f64 {
    if x.abs() >= 1.0 { 0.0 } else { bessel_i0(KAISER_BETA * (1.0 - x * x).sqrt()) }
}

/// Modified Bessel function of the first kind, order 0, by its power series (Abramowitz & Stegun 9.6.12).
fn bessel_i0(x: f64) -> f64 {
    let quarter = x * x / 4.0;
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..40 {
        term *= quarter / f64::from(k * k);
        sum += term;
    }
    sum
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn resampled(rate: u32, samples: &[f32], block: usize) -> Vec<f32> {
        let mut intake = Intake::new(SampleRate::new(rate).unwrap(), 1);
        let mut out = Vec::new();
        for piece in samples.chunks(block) {
            intake.push(piece, |_, x| out.push(x));
        }
        out
    }

    fn tone(rate: u32, hz: f64, seconds: f64) -> Vec<f32> {
        let count = (seconds * f64::from(rate)) as usize;
        let step = std::f64::consts::TAU * hz / f64::from(rate);
        (0..count).map(|n| (n as f64 * step).sin() as f32).collect()
    }

    fn rms(samples: &[f32]) -> f32 {
        (samples.iter().map(|x| x * x).sum::<f32>() / samples.len() as f32).sqrt()
    }

    #[test]
    fn tones_in_the_band_pass_and_those_that_would_fold_into_it_do_not() {
        for rate in [11_025, 16_000, 22_050, 44_100, 48_000, 96_000, 192_000, 384_000] {
            let kept = resampled(rate, &tone(rate, 1_000.0, 0.5), 4096);
            assert!((kept.len() as i64 - 4_000).abs() <= 1, "{rate}: {}", kept.len());
            assert!(
                (rms(&kept[400..]) - std::f32::consts::FRAC_1_SQRT_2).abs() < 0.005,
                "{rate}: {}",
                rms(&kept[400..])
            );
            let folded = resampled(rate, &tone(rate, 5_200.0, 0.5), 4096);
            assert!(rms(&folded[400..]) < 0.004, "{rate}: {}", rms(&folded[400..]));
        }
    }

    /// The listener's rate is the higher one: the tone stays, and its mirror above half the lower rate does not come.
    #[test]
    fn a_lower_rate_is_raised_without_a_mirror() {
        for rate in [4_000, 5_512, 6_000, 7_350] {
            let out = resampled(rate, &tone(rate, 900.0, 0.5), 4096);
            assert!((out.len() as i64 - 4_000).abs() <= 2, "{rate}: {}", out.len());
            let part = |hz: f64| {
                let sum = |of: fn(f64) -> f64| -> f64 {
                    let turn = std::f64::consts::TAU * hz / 8_000.0;
                    (800..3_200).map(|n| f64::from(out[n]) * of(n as f64 * turn)).sum()
                };
                sum(f64::sin).hypot(sum(f64::cos)) / 1_200.0
            };
            let (kept, mirror) = (part(900.0), part(f64::from(rate) - 900.0));
            assert!((kept - 1.0).abs() < 0.02 && mirror < 0.02, "{rate}: {kept}, {mirror}");
        }
    }

    /// SciPy's `resample_poly` with a filter of its own: within its band both must give the same sound,
    /// ours half a filter later.
    #[test]
    fn resampling_agrees_with_scipy() {
        let reference = include_str!("../../tests/reference/scipy.txt");
        let line = reference.lines().find_map(|l| l.strip_prefix("resample ")).unwrap();
        let theirs: Vec<f32> = line.split(' ').map(|w| w.parse().unwrap()).collect();
        let raw: Vec<f32> = (0..24_000i64)
            .map(|n| ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) as f32 / 2000.0)
            .collect();
        // The same low-pass at 3 kHz that the script uses (`firwin`: Hamming-windowed sinc, unit gain).
        let taps: Vec<f64> = (0..401)
            .map(|i| {
                let x = f64::from(i) - 200.0;
                let hamming = 0.54 - 0.46 * (std::f64::consts::TAU * f64::from(i) / 400.0).cos();
                sinc(x / 8.0) * hamming
            })
            .collect();
        let gain: f64 = taps.iter().sum();
        let low: Vec<f32> = (0..raw.len())
            .map(|n| {
                let sum: f64 = (0..=n.min(400)).map(|i| taps[i] * f64::from(raw[n - i])).sum();
                (sum / gain) as f32
            })
            .collect();
        let ours = resampled(48_000, &low, 4_096);
        let delay = Intake::new(SampleRate::new(48_000).unwrap(), 1).delay() / 6.0;
        let (whole, part) = (delay.floor() as usize, (delay - delay.floor()) as f32);
        let power = theirs.iter().map(|x| x * x).sum::<f32>() / 40.0;
        let off: f32 = theirs
            .iter()
            .enumerate()
            .map(|(i, t)| {
                // The delay is a fraction of a working sample: a cubic through four neighbours.
                let y = |k: usize| ours[1000 + i + whole - 1 + k];
                let u = part;
                let cubic = -u * (u - 1.0) * (u - 2.0) / 6.0 * y(0)
                    + (u + 1.0) * (u - 1.0) * (u - 2.0) / 2.0 * y(1)
                    - (u + 1.0) * u * (u - 2.0) / 2.0 * y(2)
                    + (u + 1.0) * u * (u - 1.0) / 6.0 * y(3);
                (cubic - t) * (cubic - t)
            })
            .sum::<f32>()
            / 40.0;
        assert!(off < 0.05 * power, "{off} of {power}");
    }

    #[test]
    fn the_delay_is_what_it_says() {
        for rate in [16_000u32, 44_100, 48_000] {
            let mut click = vec![0.0; rate as usize];
            click[rate as usize / 2] = 1.0;
            let out = resampled(rate, &click, 999);
            let peak = (0..out.len()).max_by(|&a, &b| out[a].total_cmp(&out[b])).unwrap();
            let intake = Intake::new(SampleRate::new(rate).unwrap(), 1);
            let at = peak as f64 * f64::from(rate) / 8_000.0 - intake.delay();
            let off = (at - f64::from(rate) / 2.0).abs() / f64::from(rate);
            assert!(off <= 0.5 / 8_000.0 + 1e-9, "{rate}: {off} s");
        }
    }

    #[test]
    fn blocks_of_any_size_give_the_same_samples() {
        let sound = tone(44_100, 700.0, 0.3);
        let whole = resampled(44_100, &sound, sound.len());
        for block in [1, 7, 64, 1000] {
            assert_eq!(resampled(44_100, &sound, block), whole);
        }
    }

    #[test]
    fn broken_samples_are_counted_and_silenced() {
        let mut intake = Intake::new(SampleRate::new(8_000).unwrap(), 2);
        let mut out = Vec::new();
        intake.push(&[f32::NAN, 0.5, f32::INFINITY], |_, x| out.push(x));
        intake.push(&[1.0, 0.2, 0.4], |_, x| out.push(x));
        assert_eq!(out, [0.25, 0.5, 0.3]);
        assert_eq!(intake.faults(), Faults { not_numbers: 2, full_scale: 2 });
    }
}
