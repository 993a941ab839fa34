//! What is odd about the samples themselves, whatever they mean: silence, stuck values, no numbers, full scale, a dead
//! channel. Told within a second or so, because the clinician can mend it at once.

use crate::units::{SampleIndex, SampleRate};

/// More channels than this are not watched one by one.
const CHANNELS: usize = 8;
/// Windows a second.
const WINDOWS_PER_S: u32 = 4;
/// Windows in a row before silence, stuck values or a dead channel are reported: 1 s.
const PATIENCE: u32 = 4;
/// The share of samples at full scale that is reported.
const FULL: f64 = 0.02;
/// A channel this much weaker than the strongest is dead: -80 dB in amplitude.
const DEAD: f32 = 1e-4;

/// An oddity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// Every sample is zero.
    Silent,
    /// Every sample has the same value, not zero.
    Stuck,
    /// Samples are no numbers.
    NotNumbers,
    /// Many samples are at full scale.
    FullScale,
    /// One channel carries nothing while another sounds.
    DeadChannel,
    /// Nothing comes, not even silence; what comes later may be whole.
    NoSound,
    /// The system says that it lost some sound, and not how much.
    Missed,
}

impl Odd {
    /// All that the samples themselves show.
    pub const ALL: [Odd; 5] =
        [Odd::Silent, Odd::Stuck, Odd::NotNumbers, Odd::FullScale, Odd::DeadChannel];

    /// A word for machine-readable output.
    pub fn name(self) -> &'static str {
        match self {
            Odd::Silent => "silent",
            Odd::Stuck => "stuck",
            Odd::NotNumbers => "not numbers",
            Odd::FullScale => "full scale",
            Odd::DeadChannel => "dead channel",
            Odd::NoSound => "no sound",
            Odd::Missed => "sound missed",
        }
    }

    /// One sentence for the clinician.
    pub fn sentence(self) -> &'static str {
        match self {
            Odd::Silent => {
                "no signal at all from the device, not even noise: is it muted or unplugged?"
            }
            Odd::Stuck => "the device is stuck on one value: unplug it and plug it in again",
            Odd::NotNumbers => {
                "the device sends invalid values, taken as silence: unplug it and plug it in again"
            }
            Odd::FullScale => {
                "the sound is too loud for the input: turn the Doppler or the input down"
            }
            Odd::DeadChannel => "one channel carries nothing: is the plug in all the way?",
            Odd::NoSound => {
                "no sound from the device for one second: if a cable is in use, unplug it to hear the Doppler"
            }
            Odd::Missed => {
                "a little sound was lost, perhaps with a pulse in it: close other programs"
            }
        }
    }
}

/// Watches one stream.
#[derive(Debug, Clone)]
pub struct StreamWatch {
    channels: usize,
    window: u64,
    seen: u64,
    first: [f32; CHANNELS],
    tally: [Tally; CHANNELS],
    not_numbers: u64,
    full: u64,
    /// Windows in a row in which each oddity was there.
    lasting: [u32; Odd::ALL.len()],
    present: [bool; Odd::ALL.len()],
}

#[derive(Debug, Clone, Copy, Default)]
struct Tally {
    low: f32,
    high: f32,
    last: f32,
}

impl StreamWatch {
    /// A watch for a stream of this rate and number of interleaved channels.
    pub fn new(rate: SampleRate, channels: usize) -> Self {
        Self {
            channels: channels.max(1),
            window: u64::from(rate.hz() / WINDOWS_PER_S),
            seen: 0,
            first: [0.0; CHANNELS],
            tally: [Tally::default(); CHANNELS],
            not_numbers: 0,
            full: 0,
            lasting: [0; Odd::ALL.len()],
            present: [false; Odd::ALL.len()],
        }
    }

    /// Takes interleaved samples that begin at frame `start`; `tell` gets each change.
    pub fn push(
        &mut self,
        interleaved: &[f32],
        start: SampleIndex,
        mut tell: impl FnMut(Odd, bool, SampleIndex),
    ) {
        for (n, frame) in interleaved.chunks_exact(self.channels).enumerate() {
            for (channel, &sample) in frame.iter().take(CHANNELS).enumerate() {
                self.count(channel, sample);
            }
            self.seen += 1;
            if self.seen >= self.window {
                self.close(SampleIndex(start.0 + n as u64), &mut tell);
            }
        }
    }

    fn count(&mut self, channel: usize, sample: f32) {
        let finite = sample.is_finite();
        self.not_numbers += u64::from(!finite);
        self.full += u64::from(sample.abs() >= 0.999);
        let value = if finite { sample } else { 0.0 };
        let tally = &mut self.tally[channel];
        if self.seen == 0 {
            self.first[channel] = value;
            *tally = Tally { low: value, high: value, last: value };
        }
        tally.low = tally.low.min(value);
        tally.high = tally.high.max(value);
        tally.last = value;
    }

    fn close(&mut self, at: SampleIndex, tell: &mut impl FnMut(Odd, bool, SampleIndex)) {
        let watched = self.channels.min(CHANNELS);
        let swing = |t: &Tally| t.high - t.low;
        let tally = &self.tally[..watched];
        let widest = tally.iter().map(swing).fold(0.0f32, f32::max);
        let still = widest == 0.0 && self.not_numbers == 0;
        let zero = tally.iter().all(|t| t.last == 0.0);
        let dead = widest > 1e-3 && tally.iter().any(|t| swing(t) <= widest * DEAD);
        let samples = (self.seen * watched as u64).max(1) as f64;
        let now = [
            still && zero,
            still && !zero,
            self.not_numbers > 0,
            !still && self.full as f64 / samples > FULL,
            dead,
        ];
        for (n, odd) in Odd::ALL.into_iter().enumerate() {
            self.lasting[n] = if now[n] { self.lasting[n] + 1 } else { 0 };
            let patience = match odd {
                Odd::NotNumbers | Odd::FullScale => 1,
                _ => PATIENCE,
            };
            let present = self.lasting[n] >= patience;
            if std::mem::replace(&mut self.present[n], present) != present {
                tell(odd, present, at);
            }
        }
        (self.seen, self.not_numbers, self.full) = (0, 0, 0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is reported about two seconds of `odd` after one second of plain sound, and one second after it.
    fn told(channels: usize, odd: impl Fn(usize) -> f32) -> Vec<(Odd, bool, f64)> {
        let rate = SampleRate::new(8_000).unwrap();
        let mut watch = StreamWatch::new(rate, channels);
        let mut all = Vec::new();
        let plain = |n: usize| 0.1 * (n as f32 * 0.7).sin();
        let samples: Vec<f32> = (0..4 * 8_000 * channels)
            .map(|n| if (8_000..24_000).contains(&(n / channels)) { odd(n) } else { plain(n) })
            .collect();
        for (n, piece) in samples.chunks(80 * channels).enumerate() {
            watch.push(piece, SampleIndex(n as u64 * 80), |odd, present, at| {
                all.push((odd, present, at.seconds(rate)));
            });
        }
        all
    }

    #[test]
    fn each_oddity_is_told_within_two_seconds_and_taken_back() {
        fn noise(n: usize) -> f32 {
            0.1 * (n as f32 * 1.3).sin()
        }
        type Sound = fn(usize) -> f32;
        let cases: [(Odd, usize, Sound); 5] = [
            (Odd::Silent, 1, |_| 0.0),
            (Odd::Stuck, 2, |_| -0.3),
            (Odd::NotNumbers, 1, |n| if n % 9 == 0 { f32::NAN } else { noise(n) }),
            (Odd::FullScale, 1, |n| if n % 40 < 20 { 1.0 } else { -1.0 }),
            (Odd::DeadChannel, 2, |n| if n % 2 == 0 { 0.0 } else { noise(n) }),
        ];
        for (odd, channels, sound) in cases {
            let all = told(channels, sound);
            assert_eq!(all.len(), 2, "{odd:?}: {all:?}");
            assert!(all[0].0 == odd && all[0].1 && all[0].2 < 2.6, "{all:?}");
            assert!(all[1].0 == odd && !all[1].1, "{all:?}");
        }
    }

    #[test]
    fn plain_sound_is_not_odd() {
        assert_eq!(told(2, |n| 0.1 * (n as f32 * 1.3).sin()), []);
    }
}
