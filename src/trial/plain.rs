//! Two general-purpose methods, run on the same sounds so that the listener's gain shows.
//!
//! Both are given the listener's own band levels above the learned background, which is more than such
//! a method usually has. Frames are 10 ms apart.

use crate::signal::{BANDS, FEATURES};

use super::score::ListenerAnswer;

/// Frames a second.
const FRAMES_S: f64 = 100.0;
/// Silence that counts as a closed cuff, frames.
const CLOSED: usize = 200;

/// Band energy: the first 60 ms that stand 6 dB above the background after 2 s that did not.
pub fn band_energy(features: &[[f32; FEATURES]]) -> ListenerAnswer {
    let level = |f: &[f32; FEATURES]| f[2..12].iter().sum::<f32>() / 10.0;
    let loud: Vec<bool> = features.iter().map(|f| level(f) > 1.38).collect();
    let runs = runs(&loud, 6);
    let closed = runs.windows(2).find(|pair| pair[1].0 >= pair[0].1 + CLOSED);
    answer(closed.map(|pair| pair[1].0))
}

/// Spectral flux with periodicity: onsets where the rise over all bands stands out, kept where another
/// follows after one period of the sound before the cuff closed.
pub fn flux_with_rhythm(features: &[[f32; FEATURES]]) -> ListenerAnswer {
    let flux = flux(features);
    let mean = flux.iter().sum::<f32>() / flux.len().max(1) as f32;
    let spread =
        (flux.iter().map(|x| (x - mean).powi(2)).sum::<f32>() / flux.len().max(1) as f32).sqrt();
    let onsets: Vec<usize> = (3..flux.len().saturating_sub(3))
        .filter(|&i| flux[i] > mean + 2.0 * spread)
        .filter(|&i| (i - 3..=i + 3).all(|k| flux[k] <= flux[i]))
        .collect();
    let Some(period) = period(&flux[..flux.len().min(500)]) else {
        return ListenerAnswer::default();
    };
    let follows = |onset: usize| {
        onsets.iter().any(|&next| {
            let gap = next as f64 - onset as f64;
            (0.8 * period..1.25 * period).contains(&gap)
        })
    };
    let gap = onsets.windows(2).position(|pair| pair[1] >= pair[0] + CLOSED);
    let after = gap.map_or(&[][..], |i| &onsets[i + 1..]);
    answer(after.iter().copied().find(|&onset| follows(onset)))
}

fn answer(frame: Option<usize>) -> ListenerAnswer {
    let seconds = frame.map(|f| f as f64 / FRAMES_S + 0.016);
    ListenerAnswer { return_s: seconds, cue_s: seconds, ..ListenerAnswer::default() }
}

/// Stretches of at least `least` true values, first and last frame.
fn runs(loud: &[bool], least: usize) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut from = None;
    for (i, &on) in loud.iter().chain(std::iter::once(&false)).enumerate() {
        match (on, from) {
            (true, None) => from = Some(i),
            (false, Some(start)) => {
                if i - start >= least {
                    found.push((start, i - 1));
                }
                from = None;
            }
            _ => {}
        }
    }
    found
}

fn flux(features: &[[f32; FEATURES]]) -> Vec<f32> {
    let rise = |pair: &[[f32; FEATURES]]| {
        (0..BANDS).map(|b| (pair[4][b] - pair[0][b]).max(0.0)).sum::<f32>()
    };
    let mut flux = vec![0.0; 4.min(features.len())];
    flux.extend(features.windows(5).map(rise));
    flux
}

fn period(flux: &[f32]) -> Option<f64> {
    let mean = flux.iter().sum::<f32>() / flux.len().max(1) as f32;
    let at = |lag: usize| -> f32 {
        flux.iter().zip(&flux[lag..]).map(|(a, b)| (a - mean) * (b - mean)).sum()
    };
    let lags = 45..145.min(flux.len() / 2);
    lags.max_by(|&a, &b| at(a).total_cmp(&at(b))).map(|lag| lag as f64)
}
