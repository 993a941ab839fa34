//! One drill under way: a simulated patient whose cuff is in the student's hand, a recording, or what is heard now; the
//! taps, the readings, and, once these are in, the truth where there is one.

use std::sync::Arc;

use jiff::Timestamp;

use super::answers::{Answers, DrillOutcome, DrillTruth, HEARD_S, Measure, Who};
use super::delay::HeardDelay;
use super::heard_again::{HeardAgain, HeardMarks, not_through};
use super::kept_drill::KeptDrill;
use super::loud::Loud;
use super::recorded::{NoDrill, read};
use crate::clinical::sound::Sound;
use crate::live::{
    Bench, Hush, LiveEvent, Pace, Piece, Plan, Played, SimBench, Snapshot, Supply, one_a_beat,
};
use crate::practice::Track;
use crate::practice::lesson::{Drill, Lesson};
use crate::practice::made_sound::MadeSound;
use crate::practice::recording::{ConfirmedRecording, Whence};
use crate::practice::score::{score, score_recording};
use crate::units::{Instant, Mmhg, PressureRefused, SampleRate};
use crate::window::ear::{Drive, Ear};
use crate::window::now::Now;
use crate::words::{Spoken, Words, id, say};

/// Sound after the tap that is kept in the picture, seconds.
const AFTER_S: f64 = 7.0;
/// A recording begins this long before its return, seconds, and up to as much again, so that nobody can count.
const LEAD_S: f64 = 28.0;
/// A recording's gauge is shown this long after its pulse went: by then the cuff is at its top.
const TOP_S: f64 = 3.0;
/// Digits that can be typed.
const TYPED: usize = 3;

/// What is missing before a reading is kept.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Missing {
    /// Choose a word.
    #[error("no word was chosen")]
    Word,
    /// Tap.
    #[error("nobody tapped, or said that nothing came back")]
    Tap,
    /// Type the reading.
    #[error("no pressure was typed")]
    Reading,
    /// Type a pressure that a gauge can show.
    #[error(transparent)]
    Pressure(#[from] PressureRefused),
}

impl Missing {
    /// In the words of a language.
    pub fn said(&self, words: Words) -> &'static str {
        words.plain(match self {
            Missing::Word => id!("drill-missing-word"),
            Missing::Tap => id!("drill-missing-tap"),
            Missing::Reading => id!("drill-missing-reading"),
            Missing::Pressure(_) => id!("drill-missing-pressure"),
        })
    }
}

/// What a drill sounds from.
enum Sounding {
    /// A simulated patient whose cuff is in the student's hand.
    Cuff(Arc<Bench>),
    /// A recording, and the piece of it that is played from this second on.
    Recording(ConfirmedRecording, Box<Piece>, f64),
    /// What is heard now, with the beats that the listener finds.
    Live(Vec<f64>),
}

/// A drill under way.
pub struct Drilling {
    /// As it was set.
    pub set: Drill,
    /// The latest of the sound; frozen some time after the tap.
    pub snapshot: Snapshot,
    /// How far the valve is open, 0 to 1.
    pub valve: f64,
    /// What is being typed.
    pub typed: String,
    /// What came of it.
    pub outcome: Option<DrillOutcome>,
    /// Why nothing is heard, or to where it plays.
    pub output: Spoken,
    /// What was played and really happened, once the truth is out.
    pub played: Option<Played>,
    /// It heard again, where that is offered.
    pub heard: Option<HeardAgain>,
    /// The patient's words, a message of the catalogue.
    pub says: Option<&'static str>,
    plays: bool,
    answers: Answers,
    from: Sounding,
    hush: Hush,
    ear: Option<Ear>,
    delay: HeardDelay,
    heard_s: f64,
    rate: Option<SampleRate>,
    waiting: bool,
    closed_since: Option<Instant>,
    frozen: bool,
}

impl Drilling {
    /// Begins a drill for one ear, or for two.
    ///
    /// # Errors
    /// The system gives no thread, or the recording cannot be read.
    pub fn begin(set: Drill, two_ears: bool, loud: &Loud, now: Now) -> Result<Self, NoDrill> {
        let (from, patient) = match &set.recording {
            Some(recording) => played_from(recording, set.seed)?,
            None => {
                let bench = Arc::new(Bench::by_hand());
                let (case, seed) = (set.case.clone(), set.seed);
                let patient = SimBench::of_case(case, seed, Pace::RealTime, bench.clone());
                (Sounding::Cuff(bench), Box::new(patient) as Box<dyn Supply>)
            }
        };
        let hush = Hush::default();
        let words = if loud.speaker.is_some() { id!("drill-opening") } else { id!("drill-silent") };
        let supply = loud.played(patient, hush.clone());
        let ear = Ear::start(supply, Plan::default(), loud.drive, now.at)?;
        let output = Spoken::plain(words);
        Ok(Self { hush, answers: Answers::of(two_ears), ..Self::with(set, from, ear, output) })
    }

    /// Two ears on what is heard now.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn live(
        supply: Box<dyn Supply>,
        plan: Plan,
        drive: Drive,
        now: Now,
    ) -> Result<Self, NoDrill> {
        let set = Lesson::live().drills.pop().ok_or(NoDrill::ChooseAnother)?;
        let output = Spoken::plain(id!("drill-live"));
        let ear = Ear::start(supply, plan, drive, now.at)?;
        let live = Self::with(set, Sounding::Live(Vec::new()), ear, output);
        Ok(Self { answers: Answers::of(true), ..live })
    }

    fn with(set: Drill, from: Sounding, ear: Ear, output: Spoken) -> Self {
        Self {
            set,
            snapshot: Snapshot::new(),
            valve: 0.0,
            typed: String::new(),
            outcome: None,
            output,
            played: None,
            heard: None,
            says: None,
            plays: false,
            answers: Answers::default(),
            from,
            hush: Hush::default(),
            ear: Some(ear),
            delay: HeardDelay::default(),
            heard_s: 0.0,
            rate: None,
            waiting: false,
            closed_since: None,
            frozen: false,
        }
    }

    /// Whether bulb and valve are in the student's hand.
    pub fn has_cuff(&self) -> bool {
        matches!(self.from, Sounding::Cuff(_))
    }

    /// Whether it is heard from a patient now.
    pub fn is_live(&self) -> bool {
        matches!(self.from, Sounding::Live(_))
    }

    /// Whether a reading is asked for: where a needle can be read, here or beside the screen.
    pub fn asks_reading(&self) -> bool {
        !matches!(&self.from, Sounding::Recording(recording, ..) if recording.needle.is_empty())
    }

    /// What is asked of whoever listens, in the words of a language.
    pub fn task(&self, words: Words) -> &'static str {
        match self.from {
            Sounding::Cuff(_) => self.set.kind.task(words),
            Sounding::Recording(..) => words.plain(id!("drill-task-recording")),
            Sounding::Live(_) => words.plain(id!("drill-task-live")),
        }
    }

    /// What is known of the truth, in the words of a language.
    pub fn truth_said(&self, words: Words) -> String {
        match &self.from {
            Sounding::Cuff(_) => words.plain(id!("drill-truth-simulated")).into(),
            Sounding::Recording(recording, ..) => {
                let who = recording.confirmed.said(words);
                say!(words, "drill-truth-recording", who = who)
            }
            Sounding::Live(_) => words.plain(id!("drill-truth-live")).into(),
        }
    }

    /// What the gauge shows, mmHg, where one is known.
    pub fn gauge_mmhg(&self) -> Option<f64> {
        match &self.from {
            // Beside the needle stands what is heard, not what is made: a hand reads both together.
            Sounding::Cuff(bench) => Some(bench.cuff_mmhg_ago(self.delay.now_s())),
            Sounding::Recording(recording, piece, from_s) => {
                let at_s = from_s + (self.heard_s - self.delay.now_s()).max(0.0);
                let up = piece.lost_s.is_some_and(|lost_s| at_s > lost_s + TOP_S);
                recording.needle_mmhg(at_s).filter(|_| up)
            }
            Sounding::Live(_) => None,
        }
    }

    /// Whether the sound is played on an output.
    pub fn plays(&self) -> bool {
        self.plays
    }

    /// Whether two listen.
    pub fn has_two_ears(&self) -> bool {
        self.answers.two_ears
    }

    /// Whether sound is still made.
    pub fn sounds(&self) -> bool {
        self.ear.is_some()
    }

    /// Whose reading is asked for next; none once all are in.
    pub fn reads_next(&self) -> Option<Who> {
        self.answers.reads_next()
    }

    /// Whether this ear has tapped; where and when stays hidden until the readings are in.
    pub fn tapped(&self, who: Who) -> bool {
        self.answers.tap_s(who).is_some()
    }

    /// Silence at once.
    pub fn hush(&mut self) {
        self.hush.set(true);
        self.plays = false;
        self.output = Spoken::plain(id!("drill-silenced"));
    }

    /// One squeeze.
    pub fn squeeze(&self) {
        if let Sounding::Cuff(bench) = &self.from {
            bench.squeeze();
        }
    }

    /// The valve, 0 to 1.
    pub fn turn_valve(&mut self, open: f64) {
        let Sounding::Cuff(bench) = &self.from else { return };
        self.valve = open.clamp(0.0, 1.0);
        bench.set_valve(self.valve);
    }

    /// A tap now. The last one before the reading counts.
    pub fn tap(&mut self, who: Who, now: Now) {
        let Some(at) = self.ear.as_ref().and_then(|ear| ear.locate(now.at)) else { return };
        if !self.waiting {
            self.answers.tap(who, at.seconds() - self.delay.at_s(now.at));
        }
    }

    /// A digit.
    pub fn digit(&mut self, digit: char) {
        if digit.is_ascii_digit() && self.typed.len() < TYPED {
            self.typed.push(digit);
        }
    }

    /// Keeps what was typed; with the last reading, the truth is asked for.
    ///
    /// # Errors
    /// What is missing.
    pub fn enter(&mut self) -> Result<(), Missing> {
        let Some(who) = self.reads_next().filter(|_| self.outcome.is_none()) else {
            return Ok(());
        };
        if !self.set.kind.has_return() {
            return Err(Missing::Word);
        }
        if !self.tapped(who) {
            return Err(Missing::Tap);
        }
        let read = match self.asks_reading() {
            true => Some(Mmhg::whole(self.typed.parse().map_err(|_| Missing::Reading)?)?),
            false => None,
        };
        self.answers.read(who, read.map(Mmhg::as_f64));
        self.typed.clear();
        if self.reads_next().is_none() {
            self.ask();
        }
        Ok(())
    }

    /// The student's word for what is heard; or that nothing came back.
    pub fn say(&mut self, word: &str) {
        self.answers.word = Some(word.to_owned());
        self.ask();
    }

    fn ask(&mut self) {
        self.waiting = true;
        if let Sounding::Cuff(bench) = &self.from {
            bench.ask();
        }
    }

    /// Lets time pass; true when the outcome has just come.
    pub fn tick(&mut self, now: Now, measure: &Measure<'_>) -> bool {
        let Some(mut ear) = self.ear.take() else { return false };
        ear.step(now.at, now.wall.utc());
        while let Some(told) = ear.poll() {
            self.take(&told.event, now.at);
        }
        if !self.frozen {
            ear.look(&mut self.snapshot);
        }
        self.heard_s = ear.locate(now.at).map_or(self.heard_s, |at| at.seconds());
        self.ear = Some(ear);
        let tap_s = self.answers.tap_s(Who::Student).filter(|_| self.set.kind.has_return());
        self.frozen = tap_s.is_some_and(|tap_s| self.snapshot.sound_s > tap_s + AFTER_S);
        self.complain(now.at);
        self.outcome = if self.waiting { self.judged(measure) } else { None };
        if self.outcome.is_some() {
            self.close(now.wall.utc());
        }
        self.outcome.is_some()
    }

    fn take(&mut self, event: &LiveEvent, now: Instant) {
        match event {
            LiveEvent::Began(epoch) => self.rate = Some(epoch.rate),
            LiveEvent::Through { to, planned_s } => {
                self.delay.tell(*planned_s, now);
                self.plays = true;
                let to = to.clone();
                self.output = Spoken::of(move |w| say!(w, "drill-playing", to = to));
            }
            LiveEvent::NotThrough(said) => {
                (self.plays, self.delay) = (false, HeardDelay::default());
                self.output = not_through(said.clone());
            }
            LiveEvent::Fault(fault) => self.output = not_through(fault.to_string()),
            LiveEvent::Heard { .. } => {
                let sound = self.rate.and_then(|rate| event.sound(rate));
                if let (Sounding::Live(beats), Some(Sound::Pulse { at_s, .. })) =
                    (&mut self.from, sound)
                {
                    beats.push(at_s);
                }
            }
            LiveEvent::Gap { .. }
            | LiveEvent::Odd { .. }
            | LiveEvent::Recording { .. }
            | LiveEvent::NotRecording { .. }
            | LiveEvent::Ended { .. }
            | LiveEvent::Over => {}
        }
    }

    fn complain(&mut self, now: Instant) {
        let Sounding::Cuff(bench) = &self.from else { return };
        let (cuff, systolic) = (bench.cuff_mmhg(), self.set.case.systolic_mmhg);
        self.closed_since = (cuff > systolic).then(|| self.closed_since.unwrap_or(now));
        let closed = self.closed_since.map_or(0.0, |since| (now - since).as_secs_f64());
        self.says = crate::practice::comfort::says(cuff, systolic, closed);
    }

    /// What came of it, once that can be known.
    fn judged(&mut self, measure: &Measure<'_>) -> Option<DrillOutcome> {
        let answers = &self.answers;
        let truth = match &self.from {
            Sounding::Cuff(bench) => {
                let played = self.played.insert(bench.played()?);
                let Played { truth, cuff_mmhg, began_s, .. } = &*played;
                let (began_s, track) = (*began_s, Track::from(cuff_mmhg.clone()));
                let scored =
                    answers.scored(|tap_s, read| score(truth, &track, tap_s - began_s, read));
                DrillTruth { at_s: truth.audible_s.map(|s| s + began_s), scored, began_s }
            }
            Sounding::Recording(recording, piece, from_s) => {
                let beats = piece.onsets();
                let scored = answers.scored(|tap_s, read| {
                    Ok(score_recording(recording, &beats, tap_s + from_s, read))
                });
                DrillTruth { at_s: Some(recording.return_s - from_s), scored, began_s: -from_s }
            }
            Sounding::Live(beats) => {
                let known = self.heard_s > answers.last_tap_s() + HEARD_S;
                return known.then(|| answers.compared(&self.set, &one_a_beat(beats.clone())));
            }
        };
        Some(answers.judge(&self.set, truth, measure))
    }

    /// The sound that was judged, to be heard again with truth and tap.
    pub fn hear_again(&mut self) {
        let Some(marks) = self.own_marks() else { return };
        self.heard = match &self.from {
            Sounding::Cuff(_) => self.played.as_ref().and_then(|played| {
                let Played { truth, cuff_mmhg, sound, .. } = played;
                let (samples, rate_hz) = (sound.clone(), self.set.case.rate_hz);
                let (truth, track) = (truth.clone(), Track::from(cuff_mmhg.clone()));
                HeardAgain::of(MadeSound { samples, rate_hz, truth, track }, marks)
            }),
            Sounding::Recording(_, piece, _) => {
                Some(HeardAgain::recording((**piece).clone(), marks))
            }
            Sounding::Live(_) => None,
        };
    }

    /// Truth and tap in the sound's own time, once the truth is out.
    fn own_marks(&self) -> Option<HeardMarks> {
        let marks = self.outcome.as_ref()?.marks;
        let before_s = match &self.from {
            Sounding::Cuff(_) => -self.played.as_ref()?.began_s,
            Sounding::Recording(_, _, from_s) => *from_s,
            Sounding::Live(_) => return None,
        };
        let own = |at_s: Option<f64>| at_s.map(|s| s + before_s);
        Some(match self.set.kind.has_return() {
            true => HeardMarks { truth_s: own(marks.truth_s), tap_s: own(marks.tap_s) },
            false => HeardMarks::default(),
        })
    }

    /// What is needed to make its sound again later; none of live sound.
    pub fn kept(&self) -> Option<KeptDrill> {
        let marks = self.own_marks()?;
        let cuff_mmhg = self.played.as_ref().map(|p| p.cuff_mmhg.clone()).unwrap_or_default();
        Some(KeptDrill { set: self.set.clone(), cuff_mmhg, marks })
    }

    /// Stops the sound.
    pub fn close(&mut self, wall: Timestamp) {
        self.hush.set(true);
        if let Some(mut ear) = self.ear.take() {
            ear.stop(wall);
        }
    }
}

/// The piece of a recording around its return; where it begins hangs on the seed.
fn played_from(
    recording: &ConfirmedRecording,
    seed: u64,
) -> Result<(Sounding, Box<dyn Supply>), NoDrill> {
    let Whence::Found(file) = &recording.whence else {
        return Err(NoDrill::FindTheRecording);
    };
    let piece = read(file, recording.return_s)?;
    let lead_s = LEAD_S * (1.0 + (seed % 100) as f64 / 100.0);
    let from_s = (recording.return_s - lead_s).max(piece.from_s);
    let clip = Box::new(piece.clip((from_s, piece.to_s), 1.0, false));
    Ok((Sounding::Recording(recording.clone(), Box::new(piece), from_s), clip))
}
