//! How it looks now: the latest state, for painting only. Whoever misses one misses nothing that counts.

use std::collections::VecDeque;

use crate::signal::ROWS;
use crate::units::SampleCount;

/// From one column to the next, seconds.
pub const COLUMN_S: f64 = crate::signal::Listener::COLUMN_S;
/// From one row of a column to the next, hertz.
pub const ROW_HZ: f64 = crate::signal::Listener::ROW_HZ;
/// Columns of the picture that are kept: 12 s.
pub const COLUMNS: usize = 1_200;

/// Level of the last tenth of a second or so, decibels below full scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Of the mean power.
    pub mean_dbfs: f32,
    /// Of the highest sample.
    pub peak_dbfs: f32,
    /// Of the room and the device when nothing else sounds: the 30 % quantile of the last 3 s.
    pub background_dbfs: f32,
}

/// The latest state.
#[derive(Debug, PartialEq)]
pub struct Snapshot {
    /// The epoch that runs; none while there is no sound.
    pub epoch: Option<u32>,
    /// Seconds of sound in this epoch.
    pub sound_s: f64,
    /// Its level.
    pub level: Level,
    /// The newest columns of the sonogram, oldest first, at most [`COLUMNS`].
    pub columns: VecDeque<[u8; ROWS]>,
    /// Columns ever made, so that a painter knows how many are new.
    pub columns_made: u64,
    /// Beats a minute and whether they are regular, while a pulse was last heard.
    pub heart_rate: Option<(f32, bool)>,
    /// Frames lost on the way to the listener in this epoch.
    pub lost: SampleCount,
    /// How much faster the device's clock runs than the computer's, parts per million.
    pub drift_ppm: Option<f64>,
    /// Age of the newest frame at the earliest callbacks, as the host tells it, seconds.
    pub age_s: f64,
    /// Frames in the recording of this epoch; none where nothing is recorded.
    pub recorded: Option<SampleCount>,
    /// Events that nobody fetched in time and that were not taken down.
    pub untold: u64,
}

impl Snapshot {
    /// The state before any sound; everything is allocated here.
    pub fn new() -> Self {
        Self {
            epoch: None,
            sound_s: 0.0,
            level: Level { mean_dbfs: -120.0, peak_dbfs: -120.0, background_dbfs: -120.0 },
            columns: VecDeque::with_capacity(COLUMNS),
            columns_made: 0,
            heart_rate: None,
            lost: SampleCount(0),
            drift_ppm: None,
            age_s: 0.0,
            recorded: None,
            untold: 0,
        }
    }

    pub(super) fn add_column(&mut self, column: [u8; ROWS]) {
        if self.columns.len() >= COLUMNS {
            self.columns.pop_front();
        }
        self.columns.push_back(column);
        self.columns_made += 1;
    }
}

impl Default for Snapshot {
    fn default() -> Self {
        Self::new()
    }
}

impl Clone for Snapshot {
    fn clone(&self) -> Self {
        let mut copy = Self::new();
        copy.clone_from(self);
        copy
    }

    /// Copies into what is there, without allocating.
    fn clone_from(&mut self, from: &Self) {
        let mut columns = std::mem::take(&mut self.columns);
        columns.clear();
        columns.extend(from.columns.iter());
        *self = Self { columns, ..*from };
    }
}
