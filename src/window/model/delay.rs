//! How long a drill's sound is on its way to the ear, now and a moment ago: a tap counts by what was heard then, though a gap
//! may have changed the way since, before the program came to it.

use std::collections::VecDeque;
use std::time::Duration;

use crate::units::Instant;

/// A press comes no later than this.
const KEPT: Duration = Duration::from_secs(3);

/// From the sound's making to the ear, with since when; 0 until it is told.
#[derive(Debug, Default)]
pub struct HeardDelay(VecDeque<(Instant, f64)>);

impl HeardDelay {
    /// So long from now on, seconds.
    pub fn tell(&mut self, seconds: f64, now: Instant) {
        self.0.push_back((now, seconds));
        while self.0.get(1).is_some_and(|(since, _)| *since + KEPT < now) {
            self.0.pop_front();
        }
    }

    /// Now, seconds.
    pub fn now_s(&self) -> f64 {
        self.0.back().map_or(0.0, |(_, seconds)| *seconds)
    }

    /// At this instant, seconds; the oldest that is known for any earlier one.
    pub fn at_s(&self, at: Instant) -> f64 {
        let then = self.0.iter().rev().find(|(since, _)| *since <= at);
        then.or(self.0.front()).map_or(0.0, |(_, seconds)| *seconds)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tap_counts_by_the_delay_of_its_own_moment() {
        let start = Instant::now();
        let at = |ms: u64| start + Duration::from_millis(ms);
        let mut delay = HeardDelay::default();
        assert_eq!((delay.now_s(), delay.at_s(at(5))), (0.0, 0.0));
        delay.tell(0.2, at(1_000));
        // A gap, found at 6.4 s; the key went down before it.
        delay.tell(0.5, at(6_400));
        assert_eq!((delay.at_s(at(6_100)), delay.at_s(at(6_400)), delay.now_s()), (0.2, 0.5, 0.5));
        delay.tell(0.45, at(9_500));
        assert_eq!((delay.at_s(at(6_500)), delay.at_s(at(6_100)), delay.0.len()), (0.5, 0.5, 2));
    }
}
