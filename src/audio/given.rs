//! A WAV file that somebody gives a page or window to try: read from its bytes, as one channel; nothing is trusted.

use std::io::Cursor;

use hound::{SampleFormat, WavReader};

use crate::units::SampleRate;

/// A file larger than this is refused, bytes.
pub const MOST_BYTES: u64 = 64 << 20;
/// A sound longer than this is refused, minutes.
const MOST_MINUTES: f64 = 10.0;
/// A sound shorter than this tells nothing, seconds.
const LEAST_S: f64 = 1.0;

/// Why there is no sound in a file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoGivenSound {
    /// Give a WAV file.
    #[error("this is no WAV file that can be read ({0})")]
    GiveAWav(String),
    /// Give a smaller one.
    #[error("this file has {:.0} MB: give one of {} MB or less", *.0 as f64 / 1e6, MOST_BYTES >> 20)]
    GiveASmaller(u64),
    /// Give a shorter one.
    #[error("this sound lasts {0:.0} minutes: give one of {MOST_MINUTES} minutes or less")]
    GiveAShorter(f64),
    /// Give a longer one.
    #[error("this sound lasts {0:.1} s: give one of {LEAST_S} s or more")]
    GiveALonger(f64),
    /// Give one of another rate.
    #[error("this sound has {0} samples a second, which the listener does not take")]
    GiveAnotherRate(u32),
}

/// The sound of a WAV file, its channels mixed to one, and its samples a second.
///
/// # Errors
/// See [`NoGivenSound`]; one sentence each.
pub fn given_sound(bytes: &[u8]) -> Result<(Vec<f32>, SampleRate), NoGivenSound> {
    if bytes.len() as u64 > MOST_BYTES {
        return Err(NoGivenSound::GiveASmaller(bytes.len() as u64));
    }
    let wrong = |e: hound::Error| NoGivenSound::GiveAWav(e.to_string());
    let mut wav = WavReader::new(Cursor::new(bytes)).map_err(wrong)?;
    let spec = wav.spec();
    let rate =
        SampleRate::new(spec.sample_rate).ok_or(NoGivenSound::GiveAnotherRate(spec.sample_rate))?;
    let channels = usize::from(spec.channels.max(1));
    let seconds = f64::from(wav.duration()) / f64::from(rate.hz());
    if seconds > 60.0 * MOST_MINUTES {
        return Err(NoGivenSound::GiveAShorter(seconds / 60.0));
    }
    if seconds < LEAST_S {
        return Err(NoGivenSound::GiveALonger(seconds));
    }
    let samples: Result<Vec<f32>, hound::Error> = match spec.sample_format {
        SampleFormat::Float => wav.samples::<f32>().collect(),
        SampleFormat::Int => {
            let full = 2.0_f32.powi(i32::from(spec.bits_per_sample.max(1)) - 1);
            wav.samples::<i32>().map(|sample| sample.map(|s| s as f32 / full)).collect()
        }
    };
    // A number that is none is silence; what is beyond full scale is cut.
    let clean = |x: f32| if x.is_finite() { x.clamp(-1.0, 1.0) } else { 0.0 };
    let samples = samples.map_err(wrong)?;
    let mono = samples
        .chunks_exact(channels)
        .map(|frame| frame.iter().map(|x| clean(*x)).sum::<f32>() / channels as f32);
    Ok((mono.collect(), rate))
}

#[cfg(all(test, feature = "bedside"))]
mod tests {
    use super::super::wav::encode_16;
    use super::*;

    #[test]
    fn a_wav_is_read_and_whatever_else_is_refused_in_one_sentence() {
        let rate = SampleRate::new(16_000).unwrap();
        let tone: Vec<f32> = (0..32_000).map(|n| 0.4 * (n as f32 * 0.1).sin()).collect();
        let bytes = encode_16(&tone, rate, 1);
        let (mono, found) = given_sound(&bytes).unwrap();
        assert_eq!((mono.len(), found), (32_000, rate));
        assert!(mono.iter().zip(&tone).all(|(a, b)| (a - b).abs() < 1e-4));
        let stereo: Vec<f32> = tone.iter().flat_map(|x| [*x, -*x]).collect();
        let (mixed, _) = given_sound(&encode_16(&stereo, rate, 2)).unwrap();
        assert!(mixed.iter().all(|x| x.abs() < 1e-3));
        let refused = |bytes: &[u8]| given_sound(bytes).unwrap_err();
        for cut in [0, 3, 12, 30, 43] {
            assert!(matches!(refused(&bytes[..cut]), NoGivenSound::GiveAWav(_)), "{cut}");
        }
        assert!(matches!(refused(&bytes[..bytes.len() / 2]), NoGivenSound::GiveAWav(_)));
        assert!(matches!(refused(b"ID3 this is music"), NoGivenSound::GiveAWav(_)));
        assert!(matches!(refused(&encode_16(&tone[..800], rate, 1)), NoGivenSound::GiveALonger(_)));
        let long = encode_16(&vec![0.0; 16_000 * 601], rate, 1);
        assert!(matches!(refused(&long), NoGivenSound::GiveAShorter(_)));
        let huge = vec![0_u8; MOST_BYTES as usize + 1];
        assert!(matches!(refused(&huge), NoGivenSound::GiveASmaller(_)));
    }
}
