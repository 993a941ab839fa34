//! WAV files written whole; reading is [`super::sound`]'s.

use std::io::Cursor;

use hound::{SampleFormat, WavSpec, WavWriter};

use crate::units::SampleRate;

/// The bytes of a 16-bit WAV file of interleaved samples, full scale ±1; louder ones are clipped.
///
/// # Panics
/// Never: the bytes are kept in memory, and the count of samples fits a WAV file for any sound made here.
pub fn encode_16(samples: &[f32], rate: SampleRate, channels: u16) -> Vec<u8> {
    let spec = WavSpec {
        channels,
        sample_rate: rate.hz(),
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut bytes = Vec::with_capacity(samples.len() * 2 + 44);
    let written = (|| {
        let mut writer = WavWriter::new(Cursor::new(&mut bytes), spec)?;
        for &sample in samples {
            writer.write_sample((sample * 32_768.0).round().clamp(-32_768.0, 32_767.0) as i16)?;
        }
        writer.finalize()
    })();
    debug_assert!(written.is_ok());
    bytes
}
