//! How sound is cut for the listener: frames in time, bands and rows in pitch.

/// Samples a frame at the working rate: 32 ms.
pub const FRAME: usize = 256;
/// Samples from one frame to the next: 10 ms.
pub const HOP: usize = 80;
/// Bins of one spectrum, 31.25 Hz apart.
pub const BINS: usize = FRAME / 2 + 1;
/// First bin of each band, and the end of the last: 94 to 3,844 Hz, about a third of an octave each.
pub const EDGES: [usize; BANDS + 1] =
    [3, 5, 7, 9, 12, 15, 19, 24, 30, 37, 46, 57, 70, 85, 103, 123];
/// Bands that the scorer sees.
pub const BANDS: usize = 15;
/// Rows of a sonogram's column: two bins each.
pub const ROWS: usize = 64;
