//! How far ahead of the ear sound is set on an output that is given pieces by a thread with other work to do, such as a
//! browser's page: by how long that thread was held lately. A piece that comes late is a gap.

/// From making a sample to its sounding, at least and at most, seconds: what is worked by hands is heard that much later.
const LEAST_S: f64 = 0.12;
const MOST_S: f64 = 0.45;
/// So many times the longest hold of late is set ahead, and this much besides, seconds (own choice): the next hold may be
/// longer, and pieces come unevenly.
const TIMES: f64 = 1.5;
const BESIDES_S: f64 = 0.06;
/// A hold is forgotten by and by, seconds.
const FADES_S: f64 = 120.0;
/// What holds a thread while its page begins says nothing of later, seconds.
const BEGINS_S: f64 = 3.0;
/// An output takes no piece that is nearer to its clock than this, seconds.
const NEAR_S: f64 = 0.004;
/// A sound begins at least this much after the clock, seconds: the clock goes on while a piece is handed over.
const BEGIN_S: f64 = 0.03;
/// An output's clock goes in steps, so that a sound under way may seem further ahead than planned by this much, seconds.
const STEPS_S: f64 = 0.2;

/// See the file's purpose. Times are seconds of the output's clock.
#[derive(Debug, Clone, Default)]
pub struct SetAhead {
    stream: u64,
    end_s: Option<f64>,
    lived_s: f64,
    longest_s: f64,
    gaps: u32,
    left_out_s: f64,
}

/// Where a piece is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PiecePlace {
    /// Where it begins.
    pub at_s: f64,
    /// How much of its beginning is left out, seconds: it waited for longer than anything may.
    pub out_s: f64,
    /// It joins no piece before it, so it must begin softly.
    pub anew: bool,
}

impl SetAhead {
    /// The thread came back after this long, seconds; its own work for this sound left out.
    pub fn waited(&mut self, seconds: f64) {
        self.lived_s += seconds;
        if self.lived_s > BEGINS_S {
            let faded_s = self.longest_s * (1.0 - (seconds / FADES_S).min(1.0));
            self.longest_s = faded_s.max(seconds.min(MOST_S));
        }
    }

    /// From making to sounding, for a sound that begins now, seconds.
    pub fn planned_s(&self) -> f64 {
        (TIMES * self.longest_s + BESIDES_S).clamp(LEAST_S, MOST_S)
    }

    /// Where a piece is set that was made until now. A stream begins, and goes on after a gap, so far ahead as is planned; of
    /// a piece that waited for longer than anything may, the end is heard.
    pub fn place(&mut self, now_s: f64, long_s: f64, stream: u64) -> PiecePlace {
        let before = self.end_s.filter(|_| stream == self.stream);
        self.stream = stream;
        let joins = before.filter(|end_s| *end_s >= now_s + NEAR_S);
        self.gaps += u32::from(before.is_some() && joins.is_none());
        let at_s = joins.unwrap_or(now_s + (self.planned_s() - long_s).max(BEGIN_S));
        let spare_s = if joins.is_some() { STEPS_S } else { BEGIN_S };
        let out_s = (at_s + long_s - now_s - MOST_S - spare_s).clamp(0.0, long_s);
        self.end_s = Some(at_s + long_s - out_s);
        self.left_out_s += out_s;
        PiecePlace { at_s, out_s, anew: joins.is_none() }
    }

    /// Where what is set ends; none before a sound.
    pub fn end_s(&self) -> Option<f64> {
        self.end_s
    }

    /// What was set is gone: the next piece begins anew, and that is no gap.
    pub fn cut(&mut self) {
        self.end_s = None;
    }

    /// How often a piece came too late for the one before it.
    pub fn gaps(&self) -> u32 {
        self.gaps
    }

    /// How much was left out, seconds.
    pub fn left_out_s(&self) -> f64 {
        self.left_out_s
    }
}

#[cfg(test)]
mod tests {
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    use super::*;

    /// A thread that steps every 20 ms and is now and then held by painting, up to `hold_s`; gaps within a sound of 60 s that
    /// begins 10 s after the page, and the longest delay.
    fn played(ahead: &mut SetAhead, hold_s: f64, seed: u64) -> (u32, f64) {
        let mut chance = ChaCha8Rng::seed_from_u64(seed);
        let (mut now_s, mut made_s, mut longest_s) = (0.0_f64, 10.0_f64, 0.0_f64);
        while now_s < 70.0 {
            let draw = f64::from(chance.next_u32()) / f64::from(u32::MAX);
            let held_s = if draw < 0.25 { hold_s * 4.0 * draw } else { 0.0 };
            ahead.waited(0.02 + held_s);
            now_s += 0.02 + held_s;
            if now_s > made_s {
                ahead.place(now_s, now_s - made_s, 1);
                made_s = now_s;
                longest_s = longest_s.max(ahead.end_s().unwrap() - now_s);
            }
        }
        (ahead.gaps(), longest_s)
    }

    #[test]
    fn a_thread_that_is_held_leaves_no_gap_and_one_that_is_free_little_delay() {
        for (hold_s, most_s) in [(0.01, 0.13), (0.1, 0.26), (0.2, 0.41), (0.25, 0.47)] {
            for seed in 0..40 {
                let (gaps, delay_s) = played(&mut SetAhead::default(), hold_s, seed);
                assert_eq!(gaps, 0, "{hold_s} {seed}");
                assert!(delay_s < most_s, "{hold_s}: {delay_s}");
            }
        }
    }

    #[test]
    fn a_gap_is_counted_and_the_sound_goes_on_further_ahead() {
        let mut ahead = SetAhead { lived_s: 10.0, ..SetAhead::default() };
        assert!((ahead.place(1.0, 0.02, 1).at_s - 1.1).abs() < 1e-9, "0.12 s after its making");
        ahead.waited(0.3);
        let PiecePlace { at_s, out_s, anew } = ahead.place(1.32, 0.3, 1);
        assert_eq!((ahead.gaps(), out_s, anew), (1, 0.0, true));
        assert!((at_s + 0.3 - 1.32 - MOST_S).abs() < 1e-9, "{at_s}");
        // Another sound, and one after silence, begin anew without a gap.
        ahead.place(9.0, 0.02, 2);
        ahead.cut();
        ahead.place(12.0, 0.02, 2);
        assert_eq!((ahead.gaps(), ahead.left_out_s()), (1, 0.0));
        assert!(!ahead.place(12.02, 0.02, 2).anew, "joined");
        // Of what waited for two seconds the end is heard, as late as anything may be.
        let PiecePlace { at_s, out_s, .. } = ahead.place(20.0, 2.0, 3);
        assert!((at_s - 20.0 - BEGIN_S).abs() < 1e-9 && (out_s - 2.0 + MOST_S).abs() < 1e-9);
        assert!((ahead.end_s().unwrap() - 20.0 - MOST_S - BEGIN_S).abs() < 1e-9);
    }
}
