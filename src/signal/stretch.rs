//! Slower at the same pitch, for hearing again.
//!
//! Overlap and add with waveform similarity (Verhelst & Roelands, ICASSP 1993, 554-557): pieces of 40 ms are laid down
//! half overlapping; each is taken from near where it belongs, at the place that continues the piece before best.
//! It keeps the grain of a Doppler's noise better than a phase vocoder, which smears its onsets.

use crate::units::SampleRate;

/// A piece, seconds; half of it overlaps.
const PIECE_S: f64 = 0.040;
/// How far from its own place a piece may be taken, seconds. Onsets are off by no more than this.
const NEAR_S: f64 = 0.008;

/// Stretches mono sound to `times` its length, 0.5 to 4, at the same pitch. What is no number becomes silence.
/// Where the second `s` of the sound lies in the result: at `times * s`.
pub fn stretched(samples: &[f32], rate: SampleRate, times: f64) -> Vec<f32> {
    let times = if times.is_finite() { times.clamp(0.5, 4.0) } else { 1.0 };
    let hop = (f64::from(rate.hz()) * PIECE_S / 2.0) as usize;
    let near = (f64::from(rate.hz()) * NEAR_S) as usize;
    let length = (samples.len() as f64 * times) as usize;
    let at = |place: i64| match usize::try_from(place).ok().and_then(|p| samples.get(p)) {
        Some(x) if x.is_finite() => *x,
        _ => 0.0,
    };
    let window: Vec<f32> = (0..2 * hop).map(|n| hann(n, 2 * hop)).collect();
    let mut out = vec![0.0_f32; length + 2 * hop];
    // The first piece begins before the sound, so that the sound's own beginning is not faded in.
    let mut from = -(hop as i64);
    for piece in 0..length.div_ceil(hop) + 1 {
        if piece > 0 {
            // A piece's middle lies where it belongs.
            let own = (piece as f64 * hop as f64 / times) as i64 - hop as i64;
            from = best(from + hop as i64, own, (hop, near), at);
        }
        // Piece 0 lies one hop before the result's first sample.
        for (n, w) in window.iter().enumerate() {
            if let Some(place) = (piece * hop + n).checked_sub(hop)
                && let Some(sample) = out.get_mut(place)
            {
                *sample += w * at(from + n as i64);
            }
        }
    }
    out.truncate(length);
    out
}

/// The place near `own` whose sound is most like what would follow by itself at `follows`.
fn best(follows: i64, own: i64, (hop, near): (usize, usize), at: impl Fn(i64) -> f32) -> i64 {
    let target: Vec<f32> = (0..hop as i64).map(|n| at(follows + n)).collect();
    let likeness = |place: i64| {
        let (mut both, mut power) = (0.0_f32, 1e-9_f32);
        // Every second sample will do to find the place.
        for n in (0..hop).step_by(2) {
            let x = at(place + n as i64);
            both += x * target[n];
            power += x * x;
        }
        both / power.sqrt()
    };
    let places = own - near as i64..=own + near as i64;
    let mut found = (own, likeness(own));
    for place in places {
        let like = likeness(place);
        if like > found.1 + 1e-9 {
            found = (place, like);
        }
    }
    found.0
}

fn hann(n: usize, length: usize) -> f32 {
    let turn = std::f64::consts::TAU * n as f64 / length as f64;
    (0.5 - 0.5 * turn.cos()) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    const HZ: u32 = 8_000;

    fn rate() -> SampleRate {
        SampleRate::new(HZ).unwrap()
    }

    fn tone(hz: f64, seconds: f64) -> Vec<f32> {
        let count = (seconds * f64::from(HZ)) as usize;
        let step = std::f64::consts::TAU * hz / f64::from(HZ);
        (0..count).map(|n| (0.5 * (n as f64 * step).sin()) as f32).collect()
    }

    /// Rising crossings of zero a second, after the first tenth.
    fn pitch_hz(sound: &[f32]) -> f64 {
        let sound = &sound[HZ as usize / 10..];
        let rises = sound.windows(2).filter(|w| w[0] < 0.0 && w[1] >= 0.0).count();
        rises as f64 * f64::from(HZ) / sound.len() as f64
    }

    #[test]
    fn a_tone_lasts_twice_as_long_at_the_same_pitch_and_loudness() {
        for hz in [180.0, 700.0, 1_500.0] {
            let slow = stretched(&tone(hz, 1.0), rate(), 2.0);
            assert_eq!(slow.len(), 2 * HZ as usize);
            assert!((pitch_hz(&slow) / hz - 1.0).abs() < 0.02, "{hz}: {}", pitch_hz(&slow));
            let power = slow[800..15_000].iter().map(|x| x * x).sum::<f32>() / 14_200.0;
            assert!((power / 0.125 - 1.0).abs() < 0.1, "{hz}: {power}");
        }
    }

    #[test]
    fn onsets_lie_at_twice_their_time() {
        let mut sound = vec![0.0_f32; 4 * HZ as usize];
        let burst = tone(900.0, 0.15);
        let onsets_s = [0.5, 1.31, 2.1, 3.05];
        for onset_s in onsets_s {
            let from = (onset_s * f64::from(HZ)) as usize;
            sound[from..from + burst.len()].copy_from_slice(&burst);
        }
        let slow = stretched(&sound, rate(), 2.0);
        let loud: Vec<bool> = slow.chunks(40).map(|c| c.iter().any(|x| x.abs() > 0.1)).collect();
        let found: Vec<f64> = (10..loud.len())
            .filter(|&n| loud[n] && loud[n - 10..n].iter().all(|l| !l))
            .map(|n| n as f64 * 0.005)
            .collect();
        assert_eq!(found.len(), 4, "{found:?}");
        for (found, onset_s) in found.iter().zip(onsets_s) {
            // One overlap and one search.
            assert!((found - 2.0 * onset_s).abs() < 0.030, "{found} {onset_s}");
        }
    }

    #[test]
    fn nothing_and_nonsense_are_borne() {
        assert!(stretched(&[], rate(), 2.0).is_empty());
        let odd = stretched(&[f32::NAN; 4_000], rate(), f64::NAN);
        assert!(odd.len() == 4_000 && odd.iter().all(|x| *x == 0.0));
    }
}
