//! Why something could not be read as sound: what it is, and what to do.

/// More channels than any device for this purpose has; a header that claims more is nonsense.
pub const CHANNELS_MAX: usize = 256;
/// The longest compressed file that is held, bytes: some hours of a telephone's sound.
pub const PACKED_MAX: u64 = 256 << 20;

/// Why something could not be read as sound.
#[derive(Debug, thiserror::Error)]
pub enum SoundFault {
    /// The file system's answer.
    #[error("cannot be read: {0}")]
    File(std::io::Error),
    /// The bytes are not those of a sound that is read here.
    #[error(
        "is no sound that can be read ({0}): record or convert it as WAV, FLAC, Ogg Vorbis, MP3 or M4A"
    )]
    NotSound(String),
    /// A form that is known and not read here.
    #[error("holds {0}, which is not read here: convert it, as with `ffmpeg -i FILE FILE.wav`")]
    Format(String),
    /// A rate that the listener does not take.
    #[error("has {0} samples a second: 4,000 to 384,000 are understood; convert it")]
    Rate(u32),
    /// More channels than are read.
    #[error(
        "has {0} channels: at most {CHANNELS_MAX} are read; write those that matter to a file of their own"
    )]
    Channels(usize),
    /// The channel that was asked for is not there.
    #[error("has no channel {asked}: it has {there}")]
    NoChannel {
        /// From 1.
        asked: usize,
        /// How many there are.
        there: usize,
    },
    /// A compressed file that is too long to be held.
    #[error("is a compressed file of more than {} MiB: cut it, or convert it to WAV", PACKED_MAX >> 20)]
    TooLong,
    /// There are no samples.
    #[error("holds no sound at all: record again")]
    Empty,
    /// It breaks off in a way that nothing after it can be trusted.
    #[error("is damaged after {0:.1} s: copy or record it again")]
    Damaged(f64),
}
