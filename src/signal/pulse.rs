//! Candidate beats: where the frame score rises and falls again, with what the sound was like there.

use super::bands::BANDS;
use super::repeats::REPEATS;
use super::spectrum::{AGAIN, FEATURES};

/// A stretch of sound that may be one beat of an artery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beat {
    /// First frame of the rise, the highest frame, the last frame.
    pub onset: u64,
    /// The frame with the highest score.
    pub peak: u64,
    /// The last frame.
    pub end: u64,
    /// The highest log-odds.
    pub height: f32,
    /// Log-odds that a pulse begins at the onset, as far as they are known so soon.
    pub begins: f32,
    /// Sum of the log-odds' excess over [`ENTER`], in units of 100 ms.
    pub mass: f32,
    /// Mean level of each band above background over the beat, natural log of power.
    pub levels: [f32; BANDS],
    /// The same less the mean of the 250 ms before the onset.
    pub rise: [f32; BANDS],
    /// Mean tonality (three ranges) and voicing over the beat.
    pub tone: [f32; 4],
    /// How the beat compares with the seconds before it, means over the beat; see `repeats`.
    pub again: [f32; REPEATS],
}

impl Beat {
    /// Mean level above background over all bands, decibels.
    pub fn strength_db(&self) -> f32 {
        10.0 / std::f32::consts::LN_10 * self.levels.iter().sum::<f32>() / BANDS as f32
    }
}

/// Log-odds at which a candidate opens.
pub const ENTER: f32 = -2.0;
/// A fall of this much from the peak closes it; a rise of this much within it begins another.
const FALL: f32 = 3.0;
/// Frames of fall before it counts.
const PATIENCE: u64 = 2;
/// A candidate is handed on at this length at the latest, even while it sounds: 1.2 s.
const LONGEST: u64 = 120;
/// Frames of features kept: what a beat and the time before it can need.
const KEPT: usize = 512;
/// Frames before the onset that a rise is measured against: 250 ms, ending 30 ms before it.
const BEFORE: std::ops::Range<u64> = 3..28;

/// The beginning is looked for from this many frames before the rise to this many after.
const ONSET_BEFORE: u64 = 6;
const ONSET_AFTER: u64 = 25;
/// Log-odds of a beginning that are worth heeding.
const ONSET_LEAST: f32 = -4.0;

#[derive(Debug, Clone, Copy)]
struct Open {
    onset: u64,
    peak: u64,
    height: f32,
    lowest_since: f32,
    falling: u64,
    mass: f32,
}

impl Open {
    /// A candidate that begins in this frame.
    fn at(frame: u64, score: f32) -> Self {
        let mass = (score - ENTER) * 0.1;
        Self { onset: frame, peak: frame, height: score, lowest_since: score, falling: 0, mass }
    }
}

/// Picks candidate beats from a stream of scores that lags the frames by a fixed delay.
#[derive(Debug)]
pub struct Picker {
    delay: u64,
    /// A candidate is handed on once it has lasted this long, even while it still sounds.
    ripe: u64,
    features: Vec<[f32; FEATURES]>,
    begins: Vec<f32>,
    open: Option<Open>,
    /// The candidate that is open was handed on already.
    handed: bool,
    frames: u64,
}

impl Picker {
    /// A picker for scores `delay` frames late, which hands on a candidate after `ripe` frames even
    /// if it still sounds.
    pub fn new(delay: usize, ripe: u64) -> Self {
        Self {
            delay: delay as u64,
            ripe: ripe.min(LONGEST),
            features: vec![[0.0; FEATURES]; KEPT],
            begins: vec![f32::NEG_INFINITY; KEPT],
            open: None,
            handed: false,
            frames: 0,
        }
    }

    /// Takes the newest frame's features, the score of the frame `delay` before it, and, where it is
    /// known so soon, the log-odds that a pulse begins there.
    pub fn push(
        &mut self,
        features: &[f32; FEATURES],
        score: f32,
        begins: Option<f32>,
    ) -> Option<Beat> {
        self.features[(self.frames % KEPT as u64) as usize] = *features;
        let newest = self.frames;
        self.frames += 1;
        let frame = newest.checked_sub(self.delay)?;
        self.begins[(frame % KEPT as u64) as usize] = begins.unwrap_or(f32::NEG_INFINITY);
        let Some(open) = &mut self.open else {
            if score > ENTER {
                self.handed = false;
                self.open = Some(Open::at(frame, score));
            }
            return None;
        };
        let splits = score > open.lowest_since + FALL && open.height > open.lowest_since + FALL;
        if splits {
            let done = *open;
            let handed = std::mem::replace(&mut self.handed, false);
            self.open = Some(Open::at(frame, score));
            return (!handed).then(|| self.beat(&done, frame - 1));
        }
        if score > open.height {
            open.height = score;
            open.peak = frame;
            open.lowest_since = score;
        }
        open.lowest_since = open.lowest_since.min(score);
        open.mass += (score - ENTER).max(0.0) * 0.1;
        let fallen = score < ENTER || score < open.height - FALL;
        open.falling = if fallen { open.falling + 1 } else { 0 };
        let length = frame - open.onset;
        let closes = open.falling > PATIENCE && score < ENTER.max(open.height - 2.0 * FALL)
            || length >= LONGEST;
        let ripe = open.falling > PATIENCE || length >= self.ripe;
        let copy = *open;
        let hand_on = (ripe || closes) && !self.handed;
        if hand_on {
            self.handed = true;
        }
        if closes {
            self.open = None;
        }
        hand_on.then(|| self.beat(&copy, frame - copy.falling.min(frame - copy.peak)))
    }

    fn beat(&self, open: &Open, end: u64) -> Beat {
        let at = |frame: u64| &self.features[(frame % KEPT as u64) as usize];
        let oldest = self.frames.saturating_sub(KEPT as u64);
        let inside = open.onset.max(oldest)..end.max(open.onset) + 1;
        let count = (inside.end - inside.start).max(1) as f32;
        let mut levels = [0.0; BANDS];
        let mut tone = [0.0; 4];
        let mut again = [0.0; REPEATS];
        for frame in inside {
            let features = at(frame);
            levels.iter_mut().zip(features).for_each(|(sum, f)| *sum += f / count);
            tone.iter_mut().zip(&features[BANDS..]).for_each(|(sum, f)| *sum += f / count);
            again.iter_mut().zip(&features[AGAIN..]).for_each(|(sum, f)| *sum += f / count);
        }
        let from = open.onset.saturating_sub(BEFORE.end).max(oldest);
        let until = open.onset.saturating_sub(BEFORE.start);
        let before = until.saturating_sub(from).max(1) as f32;
        let mut rise = levels;
        for frame in from..until {
            rise.iter_mut().zip(at(frame)).for_each(|(sum, f)| *sum -= f / before);
        }
        let (onset, begins) = self.beginning(open);
        Beat {
            onset,
            peak: open.peak,
            end,
            height: open.height,
            begins,
            mass: open.mass,
            levels,
            rise,
            tone,
            again,
        }
    }

    /// The frame near the rise at which a pulse most plainly begins, and the log-odds that it does; the rise itself where none does.
    fn beginning(&self, open: &Open) -> (u64, f32) {
        let oldest = self.frames.saturating_sub(KEPT as u64);
        let from = open.onset.saturating_sub(ONSET_BEFORE).max(oldest);
        let until = (open.onset + ONSET_AFTER).min(open.peak).max(open.onset);
        let at = |frame: u64| self.begins[(frame % KEPT as u64) as usize];
        let best = (from..=until).max_by(|&a, &b| at(a).total_cmp(&at(b))).unwrap_or(open.onset);
        (if at(best) > ONSET_LEAST { best } else { open.onset }, at(best))
    }

    /// Where an open candidate began, for those who wait for silence.
    pub fn sounding_since(&self) -> Option<u64> {
        self.open.as_ref().map(|open| open.onset)
    }
}
