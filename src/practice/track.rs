//! What the cuff really did: its pressure, block by block, so that a tap can be turned into a pressure.

use crate::sim::BLOCK_S;

/// The cuff's pressure over a drill.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Track {
    mmhg: Vec<f32>,
}

impl From<Vec<f32>> for Track {
    /// One pressure for each 4 ms, mmHg.
    fn from(mmhg: Vec<f32>) -> Self {
        Self { mmhg }
    }
}

impl Track {
    /// The pressure during the next 4 ms.
    pub fn push(&mut self, mmhg: f64) {
        self.mmhg.push(mmhg as f32);
    }

    /// Seconds that are known.
    pub fn seconds(&self) -> f64 {
        self.mmhg.len() as f64 * BLOCK_S
    }

    /// The pressure at a time, mmHg; the nearest known one outside.
    pub fn at(&self, seconds: f64) -> f64 {
        let Some(last) = self.mmhg.len().checked_sub(1) else { return 0.0 };
        let place = (seconds / BLOCK_S).clamp(0.0, last as f64);
        let (low, part) = (place as usize, place.fract());
        let (a, b) = (f64::from(self.mmhg[low]), f64::from(self.mmhg[(low + 1).min(last)]));
        a + (b - a) * part
    }

    /// How fast it fell on the average between two times, mmHg a second; nothing where they do not differ.
    pub fn fall_mmhg_s(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let seconds = to_s - from_s;
        (seconds > 0.2).then(|| (self.at(from_s) - self.at(to_s)) / seconds)
    }

    /// When it was last at least this high before a time, seconds; nothing where it never was.
    pub fn last_at_least_s(&self, mmhg: f64, before_s: f64) -> Option<f64> {
        let until = ((before_s / BLOCK_S) as usize).min(self.mmhg.len());
        let at = self.mmhg[..until].iter().rposition(|p| f64::from(*p) >= mmhg)?;
        Some(at as f64 * BLOCK_S)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pressures_lie_between_the_blocks_and_a_fall_is_a_mean() {
        let mut track = Track::default();
        assert_eq!((track.at(3.0), track.seconds()), (0.0, 0.0));
        for n in 0..1_000 {
            track.push(150.0 - f64::from(n) * 0.01);
        }
        assert!((track.at(1.0) - 147.5).abs() < 1e-3);
        assert!((track.at(1.002) - 147.495).abs() < 1e-3);
        assert!((track.fall_mmhg_s(1.0, 3.0).unwrap() - 2.5).abs() < 1e-3);
        assert_eq!(track.fall_mmhg_s(1.0, 1.1), None);
        assert!((track.last_at_least_s(145.0, 4.0).unwrap() - 2.0).abs() < 0.01);
        assert_eq!(track.last_at_least_s(151.0, 4.0), None);
    }
}
