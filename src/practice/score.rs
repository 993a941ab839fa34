//! A score that teaches: how far a tap lay from the truth, in time, beats and pressure, and how the cuff fell.

use serde::{Deserialize, Serialize};

use super::recording::ConfirmedRecording;
use super::track::Track;
use crate::sim::Truth;
use crate::words::{Words, id, say};

/// A tap this soon after a pulse did not follow from hearing it, seconds: nobody reacts faster (own choice, as starts in
/// athletics are judged).
const REACTION_S: f64 = 0.1;
/// How far back before the return the cuff's fall is measured, seconds (own choice).
const FALL_FROM_S: f64 = 5.0;
/// And from how far above, mmHg: whichever is nearer.
const FALL_FROM_MMHG: f64 = 10.0;
/// A fall that is called too fast or too slow, mmHg a second: outside 2 to 3 (BIHS 2019) by a third (own choice).
const TOO_FAST: f64 = 4.0;
const TOO_SLOW: f64 = 1.3;

/// One tap against the truth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Score {
    /// The first pulse that an ideal observer hears, seconds from the drill's start.
    pub truth_s: f64,
    /// The tap, seconds from the drill's start.
    pub tap_s: f64,
    /// Tap less truth, milliseconds: positive is late.
    pub error_ms: f64,
    /// Further pulses that came before the tap; negative: beats by which the tap was early.
    pub beats_late: i32,
    /// The cuff's pressure at the truth, mmHg; of a recording, where its needle is known.
    pub truth_mmhg: Option<f64>,
    /// The cuff's pressure at the tap, mmHg.
    pub tap_mmhg: Option<f64>,
    /// What the student read, mmHg, where something was typed.
    pub read_mmhg: Option<f64>,
    /// What the student would write down, less the truth, mmHg: the reading where there is one, else the tap's pressure.
    pub error_mmhg: Option<f64>,
    /// How fast the cuff fell before the return, mmHg a second.
    pub fall_mmhg_s: Option<f64>,
}

/// Why there is no score.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoScore {
    /// The artery was never closed.
    NeverClosed,
    /// It was closed, and nothing came back that can be heard.
    NothingBack,
}

impl NoScore {
    const fn id(self) -> &'static str {
        match self {
            NoScore::NeverClosed => id!("drill-no-closed"),
            NoScore::NothingBack => id!("drill-no-back"),
        }
    }

    /// As files have it: in English.
    pub fn kept(self) -> &'static str {
        Words::english().plain(self.id())
    }

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(self.id())
    }
}

/// Scores a tap at `tap_s` of a drill with this truth and this cuff.
///
/// # Errors
/// There was nothing to tap at.
pub fn score(
    truth: &Truth,
    track: &Track,
    tap_s: f64,
    read_mmhg: Option<f64>,
) -> Result<Score, NoScore> {
    let truth_s = target(truth, tap_s)?;
    let (truth_mmhg, tap_mmhg) = (track.at(truth_s), track.at(tap_s));
    let from_s = track.last_at_least_s(truth_mmhg + FALL_FROM_MMHG, truth_s).unwrap_or(0.0);
    Ok(Score {
        truth_s,
        tap_s,
        error_ms: (tap_s - truth_s) * 1000.0,
        beats_late: beats_late(
            &mut truth.openings.iter().map(|o| o.onset_s),
            &mut truth.beats.iter().copied(),
            (truth_s, tap_s),
        ),
        truth_mmhg: Some(truth_mmhg),
        tap_mmhg: Some(tap_mmhg),
        read_mmhg,
        error_mmhg: Some(read_mmhg.unwrap_or(tap_mmhg) - truth_mmhg),
        fall_mmhg_s: track.fall_mmhg_s(from_s.max(truth_s - FALL_FROM_S), truth_s),
    })
}

/// The return that a tap belongs to: of the inflation that it falls in, or else the first there is.
fn target(truth: &Truth, tap_s: f64) -> Result<f64, NoScore> {
    let own = truth.inflations.iter().rfind(|i| i.pump_start_s <= tap_s);
    own.and_then(|i| i.audible_s).or(truth.audible_s).ok_or(
        if truth.inflations.iter().any(|i| i.closed_s.is_some()) {
            NoScore::NothingBack
        } else {
            NoScore::NeverClosed
        },
    )
}

/// Scores a tap on a recording in which the listener found these beats. Pulses that an early tap came before were not
/// heard, so they are counted at the interval of those that followed.
pub fn score_recording(
    recording: &ConfirmedRecording,
    beats_s: &[f64],
    tap_s: f64,
    read_mmhg: Option<f64>,
) -> Score {
    let truth_s = recording.return_s;
    let mut gaps: Vec<f64> = beats_s.windows(2).map(|w| w[1] - w[0]).collect();
    gaps.sort_by(f64::total_cmp);
    let beat_s = gaps.get(gaps.len() / 2).copied().unwrap_or(1.0).max(0.3);
    let silent = (truth_s - tap_s).max(0.0) / beat_s;
    let mut earlier = (0..=silent as u32).map(|n| truth_s - f64::from(n) * beat_s);
    let (truth_mmhg, tap_mmhg) = (recording.needle_mmhg(truth_s), recording.needle_mmhg(tap_s));
    let shown = read_mmhg.or(tap_mmhg);
    Score {
        truth_s,
        tap_s,
        error_ms: (tap_s - truth_s) * 1000.0,
        beats_late: beats_late(&mut beats_s.iter().copied(), &mut earlier, (truth_s, tap_s)),
        truth_mmhg,
        tap_mmhg,
        read_mmhg,
        error_mmhg: shown.zip(truth_mmhg).map(|(shown, truth)| shown - truth),
        fall_mmhg_s: None,
    }
}

/// How many of these beats one tap let pass after the other; negative where it came first.
pub fn beats_between(beats_s: &[f64], tap_s: f64, other_s: f64) -> i32 {
    let (first_s, last_s) = (tap_s.min(other_s) + REACTION_S, tap_s.max(other_s) + REACTION_S);
    let passed = beats_s.iter().filter(|s| **s > first_s && **s <= last_s).count() as i32;
    if tap_s < other_s { -passed } else { passed }
}

fn beats_late(
    openings: &mut dyn Iterator<Item = f64>,
    beats: &mut dyn Iterator<Item = f64>,
    (truth_s, tap_s): (f64, f64),
) -> i32 {
    let between = |times: &mut dyn Iterator<Item = f64>, from: f64, to: f64| {
        times.filter(|t| *t > from && *t <= to).count() as i32
    };
    if tap_s >= truth_s {
        // A tap within a reaction's time before a pulse came by the rhythm, not by the ear: that pulse is meant.
        between(openings, truth_s + REACTION_S, tap_s + REACTION_S)
    } else {
        -between(beats, tap_s, truth_s - REACTION_S)
    }
}

impl Score {
    /// True where the tap is for the first pulse that came back.
    pub fn on_the_beat(&self) -> bool {
        self.beats_late == 0 && self.error_ms > -1000.0 * REACTION_S
    }

    /// What a teacher would say, in the words of a language: a sentence each about the tap, the needle and the valve.
    pub fn said(&self, words: Words) -> Vec<String> {
        let mut said = vec![self.tap_said(words)];
        said.extend(self.needle_said(words));
        said.extend(self.valve_said(words));
        said
    }

    fn tap_said(&self, words: Words) -> String {
        let ms = self.error_ms.abs();
        let time = match ms < 1000.0 {
            true => say!(words, "drill-ms", n = words.decimal(ms, 0)),
            false => say!(words, "replay-seconds", n = words.decimal(ms / 1000.0, 1)),
        };
        match self.beats_late {
            0 if self.on_the_beat() && self.error_ms >= 0.0 => {
                say!(words, "drill-tap-right", time = time)
            }
            0 => say!(words, "drill-tap-before", time = time),
            late @ 1.. => say!(words, "drill-tap-late", beats = late, time = time),
            early => say!(words, "drill-tap-early", beats = -early, time = time),
        }
    }

    fn needle_said(&self, words: Words) -> Option<String> {
        let number = |mmhg: f64| words.decimal(mmhg, 0);
        let (truth, tap) = (number(self.truth_mmhg?), number(self.tap_mmhg?));
        let off = match self.error_mmhg?.round() {
            0.0 => words.plain(id!("drill-off-none")).to_owned(),
            e if e < 0.0 => say!(words, "drill-off-low", n = number(-e)),
            e => say!(words, "drill-off-high", n = number(e)),
        };
        let Some(read) = self.read_mmhg.map(number) else {
            return Some(say!(words, "drill-needle", truth = truth, tap = tap, off = off));
        };
        Some(say!(words, "drill-needle-read", truth = truth, tap = tap, read = read, off = off))
    }

    fn valve_said(&self, words: Words) -> Option<String> {
        let fall = self.fall_mmhg_s?;
        let rate = words.decimal(fall, 1);
        Some(match fall {
            f if f > TOO_FAST => say!(words, "drill-fall-fast", rate = rate),
            f if f < TOO_SLOW => say!(words, "drill-fall-slow", rate = rate),
            _ => say!(words, "drill-fall-right", rate = rate),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::recording::{Confirmed, Whence, falling};
    use crate::practice::student::played;
    use crate::sim::Case;

    /// Truth of a plain case, and a score of a tap so many seconds after a pulse counted from the first.
    fn tapped(pulse: usize, after_s: f64) -> Score {
        let (truth, track) = played(&Case::default(), 5);
        let first = truth.audible_s.unwrap();
        let later: Vec<f64> =
            truth.openings.iter().map(|o| o.onset_s).filter(|s| *s >= first).collect();
        score(&truth, &track, later[pulse] + after_s, None).unwrap()
    }

    #[test]
    fn two_beats_late_is_said_as_two_beats() {
        for after_s in [-0.05, 0.0, 0.25, 0.6] {
            let found = tapped(2, after_s);
            assert_eq!(found.beats_late, 2, "{after_s}");
            let said = found.said(Words::english());
            assert!(said[0].contains("two beats late"), "{said:?}");
            assert!(found.error_mmhg.unwrap() < 0.0, "late reads low");
        }
        assert_eq!(tapped(0, 0.3).beats_late, 0);
        assert!(tapped(0, 0.3).on_the_beat());
        assert_eq!(tapped(1, 0.1).beats_late, 1);
        let early = tapped(0, -2.0);
        assert!(early.beats_late < 0 && !early.on_the_beat() && early.error_mmhg.unwrap() > 0.0);
    }

    #[test]
    fn the_fall_is_that_of_the_cuff_and_a_fast_one_is_said() {
        let mut case = Case::default();
        case.hand.bleed_mmhg_s = 8.0;
        case.hand.wobble = 0.0;
        let (truth, track) = played(&case, 5);
        let found = score(&truth, &track, truth.audible_s.unwrap() + 0.2, Some(120.0)).unwrap();
        assert!((found.fall_mmhg_s.unwrap() - 8.0).abs() < 0.5, "{found:?}");
        assert!(found.said(Words::english())[2].contains("too fast"));
        assert_eq!(found.error_mmhg, Some(120.0 - found.truth_mmhg.unwrap()));
    }

    #[test]
    fn a_recordings_mmhg_are_told_only_where_its_needle_is_known() {
        let recording = |needle: Vec<(f64, f64)>| ConfirmedRecording {
            whence: Whence::Beside("a.wav".into()),
            confirmed: Confirmed::KeptTap,
            return_s: 30.0,
            needle,
        };
        let beats = [10.0, 11.0, 30.0, 31.0, 32.0, 33.0];
        let bare = score_recording(&recording(vec![]), &beats, 32.2, None);
        assert_eq!((bare.beats_late, bare.error_mmhg), (2, None));
        assert!((bare.error_ms - 2_200.0).abs() < 1e-6 && bare.said(Words::english()).len() == 1);
        let fell = recording(falling((30.0, 118.0), 2.5));
        let late = score_recording(&fell, &beats, 32.2, Some(112.0));
        assert_eq!((late.error_mmhg, late.truth_mmhg), (Some(-6.0), Some(118.0)));
        assert!(
            (late.tap_mmhg.unwrap() - 112.5).abs() < 1e-9 && late.said(Words::english()).len() == 2
        );
        assert_eq!(score_recording(&fell, &beats, 27.5, None).beats_late, -2);
        assert!(score_recording(&fell, &beats, 29.95, None).on_the_beat());
    }

    #[test]
    fn without_a_return_there_is_no_score() {
        let mut case = Case::default();
        case.hand.target_mmhg = Some(60.0);
        let (truth, track) = played(&case, 5);
        assert_eq!(score(&truth, &track, 10.0, None), Err(NoScore::NeverClosed));
        let held = Case { never: Some(crate::sim::Never::CuffHigh), ..Case::default() };
        let (truth, track) = played(&held, 5);
        assert_eq!(score(&truth, &track, 10.0, None), Err(NoScore::NothingBack));
    }
}
