//! A course: by all that a student has done it says what to practise next and why, when each kind is due again, and sets
//! the day's lesson, as hard as this student's own threshold.
//!
//! Kinds are mixed within a lesson and come back after growing gaps: practice that is spread out and interleaved is
//! remembered longer (Cepeda NJ et al., Psychol Sci 2008;19:1095; Rohrer D, Taylor K, Instr Sci 2007;35:481; both from
//! memory). The gaps, shares and limits below are own choices.

use jiff::{Timestamp, ToSpan};

use super::agreement::{mean, sd};
use super::cases::{self, CaseKind, Stock};
use super::confusion::{Confusion, Share, share};
use super::lesson::{Drill, Feedback, Lesson};
use super::level::HearingLevel;
use super::named::COURSE;
use super::session::{Done, Session};
use crate::words::{Words, id, say};

/// The kinds of the course, in the order in which they are begun.
pub const KINDS: [CaseKind; 5] = [
    CaseKind::Waveform,
    CaseKind::FirstReturn,
    CaseKind::Damped,
    CaseKind::Regularity,
    CaseKind::BesideVein,
];
/// The gaps from one day of a kind to the next, days.
const GAPS_D: [i64; 6] = [1, 2, 4, 8, 16, 32];
/// Of the last so many drills of a kind this share must be right for a longer gap, and for no advice. By ten, guessing
/// passes for knowing once in eighteen times; by twenty once in fifty (binomial).
const LOOKED_AT: usize = 20;
const ENOUGH: f64 = 0.75;
/// Fewer drills than this say nothing.
const FEWEST: usize = 5;
/// A mean lag above this costs a reading more than two even numbers at 3 mmHg a second: 0.5 s are 1.5 mmHg.
const LATE_MS: f64 = 500.0;
/// Taps for the first pulse that scatter more than this: taps spread evenly over a beat have some 250 ms.
const SPREAD_MS: f64 = 180.0;
/// More than this share of taps before the first pulse.
const EARLY: f64 = 0.2;
/// Drills of one day's lesson, and how many of them are of what is advised.
const LESSON: usize = 8;
const ADVISED: usize = 4;

/// What to practise next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Advice {
    /// Nothing was done yet: listen first.
    ListenFirst,
    /// This kind was not begun yet.
    Begin(CaseKind),
    /// A sound is often taken for another.
    HearApart(CaseKind),
    /// Taps come before the first pulse.
    WaitForTwo,
    /// Taps come late.
    TapSooner,
    /// Taps scatter.
    TapSteadily,
    /// This kind is due again.
    Due(CaseKind),
    /// Nothing is due.
    Rest,
}

impl Advice {
    /// One sentence or two, in the words of a language.
    pub fn said(self, words: Words) -> String {
        let id = match self {
            Advice::ListenFirst => id!("practice-next-listen"),
            Advice::Begin(kind) => {
                return say!(words, "practice-next-begin", kind = kind.said(words));
            }
            Advice::HearApart(kind) => {
                return say!(words, "practice-next-apart", kind = kind.said(words));
            }
            Advice::WaitForTwo => id!("practice-next-wait"),
            Advice::TapSooner => id!("practice-next-sooner"),
            Advice::TapSteadily => id!("practice-next-steadily"),
            Advice::Due(kind) => {
                return say!(words, "practice-next-due", kind = kind.said(words));
            }
            Advice::Rest => id!("practice-next-rest"),
        };
        words.plain(id).to_owned()
    }
}

/// When a kind is due again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DueKind {
    /// Which.
    pub kind: CaseKind,
    /// When; none where it was not begun.
    pub at: Option<Timestamp>,
    /// What of the last drills was right.
    pub share: Option<Share>,
}

/// How late a student taps, of the taps that were meant for the first pulse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudentLag {
    /// Mean, milliseconds.
    pub mean_ms: f64,
    /// Half of its 95 % interval, by the normal law, milliseconds.
    pub half_ms: f64,
    /// Standard deviation, milliseconds.
    pub sd_ms: f64,
    /// Taps.
    pub taps: usize,
}

impl StudentLag {
    /// One sentence, in the words of a language.
    fn said(self, words: Words) -> String {
        let number = |ms: f64| words.decimal(ms, 0);
        let (low, high) = (self.mean_ms - self.half_ms, self.mean_ms + self.half_ms);
        say!(
            words,
            "practice-lag",
            mean = number(self.mean_ms),
            low = number(low),
            high = number(high),
            spread = number(self.sd_ms),
            taps = self.taps
        )
    }
}

/// Where a student stands.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseState {
    /// The threshold in noise.
    pub level: HearingLevel,
    /// The lag.
    pub lag: Option<StudentLag>,
    /// Each kind.
    pub due: Vec<DueKind>,
    /// What to do next.
    pub advice: Advice,
    confused: Vec<(CaseKind, Confusion)>,
    early: Option<Share>,
}

/// The lag of these drills.
pub fn lag<'a>(drills: impl IntoIterator<Item = &'a Done>) -> Option<StudentLag> {
    let scores = drills.into_iter().filter_map(|done| done.score.as_ref());
    let ms: Vec<f64> = scores.filter(|s| s.on_the_beat()).map(|s| s.error_ms).collect();
    let sd_ms = sd(&ms)?;
    let half_ms = 1.96 * sd_ms / (ms.len() as f64).sqrt();
    Some(StudentLag { mean_ms: mean(&ms), half_ms, sd_ms, taps: ms.len() })
}

impl CourseState {
    /// Where a student with these sessions stands now.
    pub fn of<'a>(sessions: impl IntoIterator<Item = &'a Session>, now: Timestamp) -> Self {
        let mut sessions: Vec<&Session> = sessions.into_iter().filter(|s| !s.examination).collect();
        sessions.sort_by(|a, b| a.begun.cmp(&b.begun));
        let drills: Vec<&Done> = sessions.iter().flat_map(|s| &s.drills).collect();
        let mut level = HearingLevel::default();
        for done in drills.iter().filter(|done| done.kind.has_return()) {
            if let Some(snr_db) = done.snr_db {
                level.answer(snr_db, done.passed());
            }
        }
        let returns: Vec<&Done> =
            last(drills.iter().copied().filter(|d| d.score.is_some()), 2 * LOOKED_AT);
        let early = returns.iter().filter(|d| d.score.as_ref().is_some_and(|s| s.beats_late < 0));
        let due = KINDS.map(|kind| due(kind, &sessions)).to_vec();
        let confused = KINDS.iter().map(|kind| {
            let of = last(drills.iter().copied().filter(|done| done.kind == *kind), LOOKED_AT);
            (*kind, Confusion::of(*kind, of))
        });
        let mut state = Self {
            level,
            lag: lag(returns.iter().copied()),
            due,
            advice: Advice::Rest,
            confused: confused.collect(),
            early: share(early.count(), returns.len()),
        };
        state.advice = state.advised(drills.is_empty(), now);
        state
    }

    fn advised(&self, fresh: bool, now: Timestamp) -> Advice {
        let poor = |due: &&DueKind| {
            let known = due.share.filter(|share| share.of >= FEWEST);
            known.is_some_and(|share| (share.right as f64) < ENOUGH * share.of as f64)
        };
        let words = |due: &&DueKind| !due.kind.has_return();
        let often_early =
            |share: Share| share.of >= FEWEST && share.right as f64 > EARLY * share.of as f64;
        let tapped = self.lag.filter(|lag| lag.taps >= FEWEST);
        if fresh {
            return Advice::ListenFirst;
        }
        if let Some(due) = self.due.iter().filter(words).find(poor) {
            return Advice::HearApart(due.kind);
        }
        if self.early.is_some_and(often_early) {
            return Advice::WaitForTwo;
        }
        if tapped.is_some_and(|lag| lag.mean_ms > LATE_MS) {
            return Advice::TapSooner;
        }
        if tapped.is_some_and(|lag| lag.sd_ms > SPREAD_MS) {
            return Advice::TapSteadily;
        }
        if let Some(due) = self.due.iter().find(|due| due.at.is_none()) {
            return Advice::Begin(due.kind);
        }
        let ready = self.due.iter().filter(|due| due.at.is_some_and(|at| at <= now));
        ready.min_by_key(|due| due.at).map_or(Advice::Rest, |due| Advice::Due(due.kind))
    }

    /// What to practise next and why, in the words of a language.
    pub fn said(&self, words: Words) -> Vec<String> {
        let mut said = vec![self.advice.said(words)];
        let confused =
            self.confused.iter().find(|(kind, _)| self.advice == Advice::HearApart(*kind));
        said.extend(confused.map(|(_, found)| found.sentences(words)).unwrap_or_default());
        said.extend(self.lag.map(|lag| lag.said(words)));
        if self.level.trials() >= FEWEST as u32 {
            let (at_db, sd_db) = self.level.threshold_db();
            let (db, range) = (words.decimal(at_db, 1), words.decimal(1.96 * sd_db, 1));
            let trials = self.level.trials();
            said.push(say!(words, "practice-level", db = db, range = range, trials = trials));
        }
        said
    }

    /// The kind that is practised next.
    pub fn next_kind(&self) -> CaseKind {
        match self.advice {
            Advice::Begin(kind) | Advice::HearApart(kind) | Advice::Due(kind) => kind,
            Advice::ListenFirst => CaseKind::Waveform,
            Advice::WaitForTwo | Advice::TapSooner | Advice::TapSteadily => CaseKind::FirstReturn,
            Advice::Rest => self
                .due
                .iter()
                .min_by_key(|due| due.at)
                .map_or(CaseKind::FirstReturn, |due| due.kind),
        }
    }

    /// Today's lesson: half of what is advised. Of the others one is what is due next, and the rest are returns, which it is
    /// all for: threshold and lag are known by them alone.
    pub fn lesson(&self, seed: u64) -> Lesson {
        let next = self.next_kind();
        let mut others: Vec<&DueKind> =
            self.due.iter().filter(|due| due.kind != next && due.at.is_some()).collect();
        others.sort_by_key(|due| due.at);
        let begun = |kind| others.iter().any(|due| due.kind == kind).then_some(kind);
        let turn = |n: usize| others.get(n % others.len().max(1)).map(|due| due.kind);
        let back = begun(CaseKind::FirstReturn);
        let kinds = (0..LESSON).filter_map(|n| match n {
            1 | 5 => back.or(turn(n / 4)),
            3 => begun(CaseKind::BesideVein).or(back).or(turn(1)),
            7 => turn(0),
            _ => (n < ADVISED || !others.is_empty()).then_some(next),
        });
        let kinds: Vec<CaseKind> = kinds.collect();
        let drills = kinds.iter().enumerate().map(|(place, kind)| self.drill(*kind, seed, place));
        let drills = drills.collect();
        Lesson {
            name: Words::english().plain(COURSE).into(),
            drills,
            ..Lesson::of(next, 1, seed, Feedback::AtOnce)
        }
    }

    fn drill(&self, kind: CaseKind, seed: u64, place: usize) -> Drill {
        // Each place has a row of its own, so that both words of a question occur in turn.
        let drawn = cases::seeds(kind, Stock::Practice, seed, place as u32 + 1);
        let own = drawn.last().copied().unwrap_or(seed);
        let mut case = cases::draw(kind, own);
        if kind.has_return() {
            case.noise = cases::draw(CaseKind::RisingNoise, own).noise;
        }
        let (english, seed_said) = (Words::english(), seed.to_string());
        let course = english.plain(COURSE);
        let name =
            say!(english, "practice-case", kind = course, seed = seed_said, number = place + 1);
        Drill { name, kind, case, seed: own, recording: None }
    }
}

/// The last so many of them, oldest first.
fn last<'a>(drills: impl Iterator<Item = &'a Done>, many: usize) -> Vec<&'a Done> {
    let all: Vec<&Done> = drills.collect();
    all[all.len().saturating_sub(many)..].to_vec()
}

/// Each day of a kind whose last drills were right lengthens the gap; another shortens it to the first.
fn due(kind: CaseKind, sessions: &[&Session]) -> DueKind {
    let (mut gap, mut at, mut seen) = (0_usize, None, Vec::new());
    for session in sessions {
        let own: Vec<&Done> = session.drills.iter().filter(|done| done.kind == kind).collect();
        let Ok(begun) = session.begun.parse::<Timestamp>() else { continue };
        if own.is_empty() {
            continue;
        }
        seen.extend(own);
        let found = share_of(&seen);
        let good = found.is_some_and(|s| s.of >= FEWEST && s.right as f64 >= ENOUGH * s.of as f64);
        let fresh = at.is_none_or(|at| begun >= at);
        gap = match (good, fresh) {
            (true, true) => (gap + 1).min(GAPS_D.len()),
            (true, false) => gap,
            (false, _) => 0,
        };
        let days = GAPS_D[gap.saturating_sub(1)];
        at = begun.checked_add((24 * days).hours()).ok();
    }
    DueKind { kind, at, share: share_of(&seen) }
}

fn share_of(seen: &[&Done]) -> Option<Share> {
    let recent = &seen[seen.len().saturating_sub(LOOKED_AT)..];
    share(recent.iter().filter(|done| done.passed()).count(), recent.len())
}

#[cfg(test)]
mod tests {
    use super::super::session::tests::{said, session};
    use super::*;

    #[test]
    fn a_new_student_hears_first_and_gaps_grow_with_what_is_right() {
        let now: Timestamp = "2027-01-20T10:00:00Z".parse().unwrap();
        assert_eq!(CourseState::of([], now).advice, Advice::ListenFirst);
        let on_day = |day: u32, answer: &str| {
            let drills = vec![said(CaseKind::Waveform, "multiphasic", answer); 6];
            let begun = format!("2027-01-{day:02}T10:00:00Z");
            Session { begun, ..session(&day.to_string(), "S", drills) }
        };
        let at = |sessions: &[Session]| {
            let state = CourseState::of(sessions, now);
            state.due[0].at.unwrap().to_string()
        };
        let good = [on_day(1, "multiphasic"), on_day(2, "multiphasic"), on_day(4, "multiphasic")];
        assert_eq!(at(&good[..1]), "2027-01-02T10:00:00Z");
        assert_eq!(at(&good[..2]), "2027-01-04T10:00:00Z");
        assert_eq!(at(&good), "2027-01-08T10:00:00Z");
        let worse = [good.clone().to_vec(), vec![on_day(8, "monophasic")]].concat();
        assert_eq!(at(&worse), "2027-01-09T10:00:00Z");
        let state = CourseState::of(&worse, now);
        assert_eq!(state.advice, Advice::HearApart(CaseKind::Waveform));
        assert!(
            state.said(Words::english())[1].contains("Of multiphasic sounds you called"),
            "{:?}",
            state.said(Words::english())
        );
        assert_eq!(state.lesson(3), state.lesson(3));
    }
}
