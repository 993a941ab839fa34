//! The beat-averaged picture of a recording: one mean beat out of many, its outline, and what can be read off it.
//!
//! Offered beside the clinician's own word, never instead of it. From one channel direction cannot be told, so it
//! is called unsigned and no reverse phase is claimed.

use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{RealFftPlanner, RealToComplex};
use serde::Serialize;

use crate::units::{SampleRate, Sonogram};

/// A frame, seconds, and from one to the next.
const FRAME_S: f64 = 0.020;
const HOP_S: f64 = 0.005;
/// What is shown before the foot of the beat, seconds.
const BEFORE_S: f64 = 0.10;
/// The longest beat shown, seconds.
const LONGEST_S: f64 = 1.5;
/// The picture's top, and where its outline begins to be looked for, hertz.
const TOP_HZ: f64 = 4_000.0;
const LOW_HZ: f64 = 150.0;
/// The outline is the frequency below which this share of the power over the background lies (own choice, near the
/// trade's maximum frequency follower without following single specks).
const EDGE: f64 = 0.90;
/// Power over background under which there is no flow, of the loudest frame's (-20 dB, own choice).
const SILENT: f64 = 0.01;
/// A reverse or late phase counts from this share of the peak (own choice).
const PHASE: f64 = 0.08;
/// And from this length, seconds.
const PHASE_S: f64 = 0.025;
/// A beat this much weaker than the strongest was not free, decibels (own choice).
const WEAK_DB: f64 = 6.0;
/// A second sound this soon after the first is the same beat's, seconds (own choice).
const SAME_BEAT_S: f64 = 0.3;
/// Fewer beats make no mean.
pub const LEAST_BEATS: usize = 3;

/// One mean beat.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct MeanBeat {
    /// Beats that it is the mean of.
    pub beats: usize,
    /// False where there is one channel: forward and reverse flow look alike.
    pub signed: bool,
    /// The averaged sonogram, both directions together.
    pub picture: Sonogram,
    /// Time of the outline's first value before the beat's foot, seconds (negative).
    pub start_s: f64,
    /// From one value to the next, seconds.
    pub step_s: f64,
    /// The outline, hertz; reverse flow below zero where it is signed.
    pub outline_hz: Vec<f64>,
    /// Phases seen: 1 forward only, 2 with a reverse one, 3 with a late forward one; nothing where unsigned.
    pub phases: Option<usize>,
    /// From a tenth to nine tenths of the way from foot to peak, seconds.
    pub upstroke_s: Option<f64>,
    /// (highest - lowest) / mean of the outline over the beat (Gosling & King 1974).
    pub pulsatility: Option<f64>,
}

impl MeanBeat {
    /// What can be read off it, in words.
    pub fn words(&self) -> String {
        let phases = match self.phases {
            Some(count) => format!("{count} phase(s) seen, forward flow in the first channel"),
            None => "unsigned: one channel cannot tell forward from reverse flow".into(),
        };
        let number =
            |v: Option<f64>, unit: &str| v.map_or("not known".into(), |v| format!("{v:.2}{unit}"));
        format!(
            "mean of {} beats; {phases}; upstroke (10 to 90 %) {}; pulsatility {}{}.",
            self.beats,
            number(self.upstroke_s, " s"),
            number(self.pulsatility, ""),
            if self.signed { "" } else { " (unsigned)" }
        )
    }
}

/// The onsets of the free artery's beats among these (seconds and decibels): before the signal went, and nearly as
/// strong as the strongest of those.
pub fn free_beats(beats: &[(f64, f64)], lost_s: Option<f64>) -> Vec<f64> {
    let before = || beats.iter().filter(|(s, _)| lost_s.is_none_or(|lost| *s < lost));
    let strongest = before().map(|(_, db)| *db).fold(f64::MIN, f64::max);
    let strong = before().filter(|(_, db)| *db > strongest - WEAK_DB);
    let mut onsets: Vec<f64> = strong.map(|(s, _)| *s).collect();
    onsets.dedup_by(|next, first| *next - *first < SAME_BEAT_S);
    onsets
}

/// Why there is no mean beat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoMean {
    /// Too few whole beats.
    #[error("{0} whole beats; at least 3 make a mean")]
    TooFew(usize),
    /// Only silence.
    #[error("no flow stands out of the background")]
    Silent,
}

/// The mean beat of interleaved samples at these onsets (seconds from the first sample). With two channels, forward flow is in
/// the first and reverse flow in the second, as a directional Doppler gives them.
///
/// # Errors
/// See [`NoMean`].
pub fn mean_beat(
    interleaved: &[f32],
    (rate, channels): (SampleRate, usize),
    onsets_s: &[f64],
) -> Result<MeanBeat, NoMean> {
    let channels = channels.max(1);
    let seconds = interleaved.len() as f64 / channels as f64 / f64::from(rate.hz());
    let mut gaps: Vec<f64> = onsets_s.windows(2).map(|w| w[1] - w[0]).collect();
    gaps.sort_by(f64::total_cmp);
    let beat_s = gaps.get(gaps.len() / 2).copied().unwrap_or(1.0).clamp(0.3, LONGEST_S);
    let whole = |s: &&f64| **s - BEFORE_S >= 0.0 && **s + beat_s + FRAME_S <= seconds;
    let onsets: Vec<f64> = onsets_s.iter().filter(whole).copied().collect();
    if onsets.len() < LEAST_BEATS {
        return Err(NoMean::TooFew(onsets.len()));
    }
    let steps = ((BEFORE_S + beat_s) / HOP_S) as usize;
    let mut lens = Lens::new(rate);
    let used = channels.min(2);
    let mut sums = vec![vec![vec![0.0_f64; lens.bins]; steps]; used];
    for onset_s in &onsets {
        for step in 0..steps {
            let from_s = onset_s - BEFORE_S + step as f64 * HOP_S;
            for (channel, sum) in sums.iter_mut().enumerate() {
                lens.add(interleaved, (channels, channel), from_s, &mut sum[step]);
            }
        }
    }
    for column in sums.iter_mut().flatten() {
        column.iter_mut().for_each(|power| *power /= onsets.len() as f64);
    }
    let above: Vec<Vec<Vec<f64>>> = sums.iter().map(|c| over_background(c)).collect();
    read(&above, &sums, &lens, (onsets.len(), beat_s))
}

/// Cuts frames and takes their spectra.
struct Lens {
    rate_hz: f64,
    transform: Arc<dyn RealToComplex<f32>>,
    window: Vec<f32>,
    frame: Vec<f32>,
    out: Vec<Complex32>,
    bins: usize,
    bin_hz: f64,
}

impl Lens {
    fn new(rate: SampleRate) -> Self {
        let rate_hz = f64::from(rate.hz());
        let length = (rate_hz * FRAME_S) as usize;
        let transform = RealFftPlanner::<f32>::new().plan_fft_forward(length);
        let turn = std::f64::consts::TAU / length as f64;
        let window = (0..length).map(|n| (0.5 - 0.5 * (n as f64 * turn).cos()) as f32).collect();
        let bin_hz = rate_hz / length as f64;
        let out = transform.make_output_vec();
        let bins = ((TOP_HZ / bin_hz) as usize).min(out.len());
        Self { rate_hz, window, frame: vec![0.0; length], out, bins, bin_hz, transform }
    }

    fn add(
        &mut self,
        interleaved: &[f32],
        (channels, channel): (usize, usize),
        from_s: f64,
        sum: &mut [f64],
    ) {
        let from = (from_s * self.rate_hz).max(0.0) as usize;
        for (n, (sample, w)) in self.frame.iter_mut().zip(&self.window).enumerate() {
            let x = interleaved.get((from + n) * channels + channel).copied().unwrap_or(0.0);
            *sample = if x.is_finite() { x * w } else { 0.0 };
        }
        // Both lengths are the plan's own, so this cannot fail.
        if self.transform.process(&mut self.frame, &mut self.out).is_ok() {
            let powers = self.out.iter().map(|bin| f64::from(bin.norm_sqr()));
            sum.iter_mut().zip(powers).for_each(|(sum, power)| *sum += power);
        }
    }
}

/// Takes each bin's own background out: its quietest tenth over the mean beat.
fn over_background(columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let bins = columns.first().map_or(0, Vec::len);
    let background = |bin: usize| {
        let mut all: Vec<f64> = columns.iter().map(|c| c[bin]).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 10]
    };
    let floor: Vec<f64> = (0..bins).map(background).collect();
    let over = |c: &Vec<f64>| c.iter().zip(&floor).map(|(p, f)| (p - 1.5 * f).max(0.0)).collect();
    columns.iter().map(over).collect()
}

fn read(
    above: &[Vec<Vec<f64>>],
    sums: &[Vec<Vec<f64>>],
    lens: &Lens,
    (beats, beat_s): (usize, f64),
) -> Result<MeanBeat, NoMean> {
    let low = (LOW_HZ / lens.bin_hz) as usize;
    let power = |c: &Vec<f64>| c[low.min(c.len())..].iter().sum::<f64>();
    let loudest = above.iter().flatten().map(power).fold(0.0, f64::max);
    if loudest <= 1e-12 {
        return Err(NoMean::Silent);
    }
    let signed = above.len() == 2;
    let edge = |column: &Vec<f64>| edge_hz(column, low, lens.bin_hz);
    let steps = above[0].len();
    let outline: Vec<f64> = (0..steps)
        .map(|step| {
            let powers: Vec<f64> = above.iter().map(|channel| power(&channel[step])).collect();
            let reverse = signed && powers[1] > powers[0];
            let loud = if reverse { powers[1] } else { powers[0] };
            match (loud < SILENT * loudest, reverse) {
                (true, _) => 0.0,
                (false, true) => -edge(&above[1][step]),
                (false, false) => edge(&above[0][step]),
            }
        })
        .collect();
    let outline_hz = smooth(&outline);
    let of_beat = &outline_hz[((BEFORE_S / HOP_S) as usize).min(steps)..];
    Ok(MeanBeat {
        beats,
        signed,
        picture: picture(sums, lens),
        start_s: FRAME_S / 2.0 - BEFORE_S,
        step_s: HOP_S,
        phases: signed.then(|| phases(of_beat)),
        upstroke_s: upstroke_s(&outline_hz),
        pulsatility: pulsatility(of_beat, beat_s),
        outline_hz,
    })
}

/// The frequency below which most of a column's power lies, hertz.
fn edge_hz(column: &[f64], low: usize, bin_hz: f64) -> f64 {
    let total: f64 = column[low.min(column.len())..].iter().sum();
    let mut sum = 0.0;
    for (bin, power) in column.iter().enumerate().skip(low) {
        sum += power;
        if sum >= EDGE * total {
            return bin as f64 * bin_hz;
        }
    }
    0.0
}

/// The median of five values: single specks go, edges stay.
fn smooth(outline: &[f64]) -> Vec<f64> {
    let at = |n: usize| {
        let mut near: Vec<f64> = outline[n.saturating_sub(2)..(n + 3).min(outline.len())].to_vec();
        near.sort_by(f64::total_cmp);
        near[near.len() / 2]
    };
    (0..outline.len()).map(at).collect()
}

fn peak(outline: &[f64]) -> Option<(usize, f64)> {
    let found = outline.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
    found.filter(|(_, hz)| *hz > 0.0)
}

/// Forward alone, with a reverse phase after it, with a late forward one after that.
fn phases(outline: &[f64]) -> usize {
    let Some((top, peak_hz)) = peak(outline) else { return 0 };
    let long = (PHASE_S / HOP_S) as usize;
    let run = |from: usize, sign: f64| {
        let there = |hz: &f64| sign * hz > PHASE * peak_hz;
        let rest = outline.get(from..).unwrap_or_default();
        rest.windows(long).position(|w| w.iter().all(there)).map(|at| from + at + long)
    };
    match run(top, -1.0) {
        None => 1,
        Some(after) if run(after, 1.0).is_none() => 2,
        Some(_) => 3,
    }
}

/// From the foot before the peak, which with flow through diastole does not lie at nought.
fn upstroke_s(outline: &[f64]) -> Option<f64> {
    let (top, peak_hz) = peak(outline)?;
    let foot_hz = outline[..top].iter().copied().fold(f64::MAX, f64::min);
    let level = |share: f64| foot_hz + share * (peak_hz - foot_hz);
    // A flat top wavers: its first arrival counts, and the last departure before that.
    let arrives = outline[..=top].iter().position(|hz| *hz >= level(0.9))?;
    let leaves = outline[..arrives].iter().rposition(|hz| *hz < level(0.1))?;
    let between = |below: usize, level: f64| {
        let (a, b) = (outline[below], outline[below + 1]);
        below as f64 + (level - a) / (b - a).max(1e-9)
    };
    let from = between(leaves, level(0.1));
    Some((between(arrives.checked_sub(1)?, level(0.9)) - from) * HOP_S)
}

fn pulsatility(outline: &[f64], beat_s: f64) -> Option<f64> {
    let steps = ((beat_s / HOP_S) as usize).min(outline.len());
    let beat = outline.get(..steps).filter(|beat| !beat.is_empty())?;
    let mean = beat.iter().sum::<f64>() / steps as f64;
    let (low, high) =
        beat.iter().fold((f64::MAX, f64::MIN), |(low, high), hz| (low.min(*hz), high.max(*hz)));
    (mean > 1.0).then(|| (high - low) / mean)
}

/// Levels over each row's own background, 0 to 255 for 0 to 30 dB.
fn picture(sums: &[Vec<Vec<f64>>], lens: &Lens) -> Sonogram {
    let both: Vec<Vec<f64>> = (0..sums[0].len())
        .map(|step| (0..lens.bins).map(|bin| sums.iter().map(|c| c[step][bin]).sum()).collect())
        .collect();
    let floor: Vec<f64> = (0..lens.bins)
        .map(|bin| both.iter().map(|c| c[bin]).fold(f64::MAX, f64::min).max(1e-15))
        .collect();
    let level = |(power, floor): (&f64, &f64)| {
        (10.0 * (power / floor).max(1.0).log10() / 30.0 * 255.0).min(255.0) as u8
    };
    let levels = both.iter().flat_map(|c| c.iter().zip(&floor).map(level)).collect();
    Sonogram {
        start_s: FRAME_S / 2.0 - BEFORE_S,
        column_s: HOP_S,
        top_hz: lens.bins as f64 * lens.bin_hz,
        rows: lens.bins,
        levels,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phases_are_counted_from_a_signed_outline() {
        let lobe = |hz: f64, steps: usize| vec![hz; steps];
        let one = [lobe(0.0, 5), lobe(1_000.0, 20), lobe(0.0, 60)].concat();
        let two = [lobe(1_000.0, 20), lobe(-250.0, 12), lobe(0.0, 60)].concat();
        let three = [lobe(1_000.0, 20), lobe(-250.0, 12), lobe(150.0, 10), lobe(0.0, 9)].concat();
        let speck = [lobe(1_000.0, 20), lobe(-250.0, 2), lobe(0.0, 60)].concat();
        assert_eq!([&one, &two, &three, &speck].map(|o| phases(o)), [1, 2, 3, 1]);
        assert_eq!(phases(&[0.0; 20]), 0);
    }

    /// By hand: a ramp of 100 ms to 1,000 Hz takes 80 ms from a tenth to nine tenths; a beat of 1 s that stands at 1,000 Hz for
    /// a fifth and at nought otherwise has a pulsatility of 1,000 / 200.
    #[test]
    fn upstroke_and_pulsatility_are_those_of_a_known_outline() {
        let ramp: Vec<f64> = (0..=20).map(|n| f64::from(n) * 50.0).chain([990.0; 20]).collect();
        assert!((upstroke_s(&ramp).unwrap() - 0.080).abs() < 1e-9);
        let square: Vec<f64> = (0..200).map(|n| if n < 40 { 1_000.0 } else { 0.0 }).collect();
        assert!((pulsatility(&square, 1.0).unwrap() - 5.0).abs() < 1e-9);
        assert_eq!(pulsatility(&[0.0; 100], 0.5), None);
    }

    #[test]
    fn too_few_beats_and_silence_have_no_mean() {
        let rate = SampleRate::new(8_000).unwrap();
        let quiet = vec![0.0; 8_000 * 6];
        assert_eq!(mean_beat(&quiet, (rate, 1), &[1.0, 2.0]), Err(NoMean::TooFew(2)));
        assert_eq!(mean_beat(&quiet, (rate, 1), &[1.0, 2.0, 3.0, 4.0]), Err(NoMean::Silent));
        assert_eq!(mean_beat(&[], (rate, 0), &[]), Err(NoMean::TooFew(0)));
    }
}
