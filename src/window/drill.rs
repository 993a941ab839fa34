//! One drill under way: a simulated patient whose cuff is in the student's hand, the taps, the readings, and, once
//! these are in, the truth.

use std::sync::Arc;
use std::time::Instant;

use jiff::Timestamp;

use super::Now;
use super::ear::Ear;
use super::model::Drive;
use crate::clinical::guidance::Set;
use crate::live::{Aloud, Bench, Event, Hush, Pace, Plan, Played, SimBench, Snapshot, Supply};
use crate::practice::Track;
use crate::practice::cases::Kind;
use crate::practice::effect::Effect;
use crate::practice::lesson::Drill;
use crate::practice::score::{NoScore, Score, score};
use crate::practice::session::Done;
use crate::units::Mmhg;

/// Sound after the tap that is kept in the picture, seconds.
const AFTER_S: f64 = 7.0;
/// Digits that can be typed.
const TYPED: usize = 3;

/// Whose ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// The student, who also works the cuff.
    Student,
    /// The teacher, where two listen.
    Teacher,
}

impl Who {
    const fn place(self) -> usize {
        match self {
            Who::Student => 0,
            Who::Teacher => 1,
        }
    }
}

/// What is told once a drill is over.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// For the record.
    pub done: Done,
    /// Sentences.
    pub words: Vec<String>,
    /// The truth and the taps in the stream's time, seconds.
    pub marks: Marks,
}

/// Where things lie in the stream, seconds.
#[derive(Debug, Clone, Copy, Default)]
pub struct Marks {
    /// The first pulse that came back.
    pub truth_s: Option<f64>,
    /// The student's tap.
    pub tap_s: Option<f64>,
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
    pub outcome: Option<Outcome>,
    /// Why nothing is heard, or to where it plays.
    pub output: String,
    /// The patient's words.
    pub says: Option<&'static str>,
    plays: bool,
    two_ears: bool,
    bench: Arc<Bench>,
    hush: Hush,
    ear: Option<Ear>,
    /// From the sound's making to the ear, seconds.
    delay_s: f64,
    taps_s: [Option<f64>; 2],
    readings: [Option<f64>; 2],
    answer: Option<String>,
    waiting: bool,
    closed_since: Option<Instant>,
    frozen: bool,
}

/// How a drill is judged.
pub struct Measure<'a> {
    /// The arm that an index is formed with, mmHg.
    pub arm_mmhg: f64,
    /// The guidance that was chosen.
    pub set: Option<&'a Set>,
}

impl Drilling {
    /// Begins a drill. Its sound plays on this output where `aloud`.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn begin(
        set: Drill,
        two_ears: bool,
        output: Option<Option<String>>,
        drive: Drive,
        now: Now,
    ) -> Result<Self, String> {
        let bench = Arc::new(Bench::by_hand());
        let patient = SimBench::of_case(set.case.clone(), set.seed, Pace::RealTime, bench.clone());
        let hush = Hush::default();
        let silent = "Not played aloud: the picture and the clock go on.".to_owned();
        let (supply, words): (Box<dyn Supply>, String) = match output {
            Some(device) => {
                let aloud = Aloud::new(Box::new(patient), device, hush.clone());
                (Box::new(aloud), "The loudspeaker is being opened.".into())
            }
            None => (Box::new(patient), silent),
        };
        let ear = match drive {
            Drive::Thread => Ear::run(supply, Plan::default()).map_err(|e| e.to_string())?,
            Drive::Stepped => Ear::stepped(supply, Plan::default(), now.at),
        };
        Ok(Self {
            set,
            snapshot: Snapshot::new(),
            valve: 0.0,
            typed: String::new(),
            outcome: None,
            output: words,
            says: None,
            plays: false,
            two_ears,
            bench,
            hush,
            ear: Some(ear),
            delay_s: 0.0,
            taps_s: [None; 2],
            readings: [None; 2],
            answer: None,
            waiting: false,
            closed_since: None,
            frozen: false,
        })
    }

    /// What the gauge shows, mmHg.
    pub fn gauge_mmhg(&self) -> f64 {
        self.bench.cuff_mmhg()
    }

    /// Whether the sound is played on an output.
    pub fn plays(&self) -> bool {
        self.plays
    }

    /// Whether two listen.
    pub fn has_two_ears(&self) -> bool {
        self.two_ears
    }

    /// Whether sound is still made.
    pub fn sounds(&self) -> bool {
        self.ear.is_some()
    }

    /// Whose reading is asked for next; none once all are in.
    pub fn reads_next(&self) -> Option<Who> {
        let all = if self.two_ears { &[Who::Student, Who::Teacher][..] } else { &[Who::Student] };
        all.iter().copied().find(|who| self.readings[who.place()].is_none())
    }

    /// Whether this ear has tapped; where and when stays hidden until the readings are in.
    pub fn tapped(&self, who: Who) -> bool {
        self.taps_s[who.place()].is_some()
    }

    /// Silence at once.
    pub fn hush(&mut self) {
        self.hush.set(true);
        self.plays = false;
        self.output = "Silenced. The picture and the clock go on.".into();
    }

    /// One squeeze.
    pub fn squeeze(&self) {
        self.bench.squeeze();
    }

    /// The valve, 0 to 1.
    pub fn turn_valve(&mut self, open: f64) {
        self.valve = open.clamp(0.0, 1.0);
        self.bench.set_valve(self.valve);
    }

    /// A tap now. The last one before the reading counts.
    pub fn tap(&mut self, who: Who, now: Now) {
        let Some(at) = self.ear.as_ref().and_then(|ear| ear.locate(now.at)) else { return };
        if self.readings[who.place()].is_none() && !self.waiting {
            self.taps_s[who.place()] = Some((at.seconds() - self.delay_s).max(0.0));
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
    /// A sentence: what is missing.
    pub fn enter(&mut self) -> Result<(), String> {
        let Some(who) = self.reads_next().filter(|_| self.outcome.is_none()) else {
            return Ok(());
        };
        if !self.set.kind.has_return() {
            return Err("choose a word".into());
        }
        if self.taps_s[who.place()].is_none() {
            return Err(
                "tap first, at the first pulse that comes back; or say that none came".into()
            );
        }
        let mmhg: i32 = self.typed.parse().map_err(|_| "type what the needle showed".to_owned())?;
        let read = Mmhg::whole(mmhg).map_err(|e| e.to_string())?;
        self.readings[who.place()] = Some(read.as_f64());
        self.typed.clear();
        if self.reads_next().is_none() {
            self.ask();
        }
        Ok(())
    }

    /// The student's word for what is heard; or that nothing came back.
    pub fn say(&mut self, word: &str) {
        self.answer = Some(word.to_owned());
        self.ask();
    }

    fn ask(&mut self) {
        self.waiting = true;
        self.bench.ask();
    }

    /// Lets time pass; true when the outcome has just come.
    pub fn tick(&mut self, now: Now, measure: &Measure<'_>) -> bool {
        let Some(ear) = &mut self.ear else { return false };
        ear.step(now.at, now.wall.utc());
        while let Some(told) = ear.poll() {
            match told.event {
                Event::Through { to, planned_s } => {
                    self.delay_s = planned_s;
                    self.plays = true;
                    self.output = format!("Playing on {to}, never above a quarter of full scale.");
                }
                Event::NotThrough(said) => {
                    (self.plays, self.delay_s) = (false, 0.0);
                    self.output = super::model::sentence(&said);
                }
                Event::Fault(fault) => self.output = super::model::sentence(&fault.to_string()),
                _ => {}
            }
        }
        if !self.frozen {
            ear.look(&mut self.snapshot);
        }
        let tap_s = self.taps_s[0].filter(|_| self.set.kind.has_return());
        self.frozen = tap_s.is_some_and(|tap_s| self.snapshot.sound_s > tap_s + AFTER_S);
        self.complain(now.at);
        let Some(played) = self.bench.played().filter(|_| self.waiting) else { return false };
        self.outcome = Some(self.judge(played, measure));
        self.close(now.wall.utc());
        true
    }

    fn complain(&mut self, now: Instant) {
        let (cuff, systolic) = (self.bench.cuff_mmhg(), self.set.case.systolic_mmhg);
        self.closed_since = (cuff > systolic).then(|| self.closed_since.unwrap_or(now));
        let closed = self.closed_since.map_or(0.0, |since| (now - since).as_secs_f64());
        self.says = crate::practice::comfort::says(cuff, systolic, closed);
    }

    fn judge(&self, played: Played, measure: &Measure<'_>) -> Outcome {
        let Played { truth, cuff_mmhg, began_s } = played;
        let track = Track::from(cuff_mmhg);
        let scored = [Who::Student, Who::Teacher].map(|who| {
            let (tap_s, read) = (self.taps_s[who.place()]?, self.readings[who.place()]);
            Some(score(&truth, &track, tap_s - began_s, read))
        });
        let own = self.set.kind.has_return().then_some(scored[0].clone()).flatten();
        let mut done = Done {
            case: self.set.name.clone(),
            kind: self.set.kind,
            seed: self.set.seed,
            score: None,
            no_score: None,
            answer: None,
            right: None,
            effect: None,
            snr_db: (self.set.kind == Kind::RisingNoise).then_some(self.set.case.snr_db),
        };
        let mut words = Vec::new();
        match own {
            Some(Ok(score)) => {
                words = score.words();
                let read = score.read_mmhg.filter(|_| self.set.kind != Kind::WholeVisit);
                done.effect = read.and_then(|read| {
                    Effect::of(score.truth_mmhg, read, measure.arm_mmhg, measure.set)
                });
                words.extend(done.effect.as_ref().map(Effect::words));
                done.score = Some(score);
            }
            Some(Err(NoScore::NothingBack)) => {
                done.no_score =
                    Some("you tapped while the artery was closed: nothing had come back".into());
            }
            Some(Err(why)) => done.no_score = Some(why.to_string()),
            None if self.set.kind.has_return() => {
                done.no_score = Some(match truth.audible_s {
                    Some(_) => "a pulse came back, and was not tapped".into(),
                    None => "nothing came back while the cuff was in hand".into(),
                });
            }
            None => {
                done.answer.clone_from(&self.answer);
                done.right = right_word(&self.set).map(str::to_owned);
                words.extend(word_said(&done));
            }
        }
        words.extend(done.no_score.as_deref().map(super::model::sentence));
        if let (true, Some(Ok(one)), Some(Ok(other))) = (self.two_ears, &scored[0], &scored[1]) {
            words.insert(0, between(one, other));
        }
        let marks = Marks {
            truth_s: done
                .score
                .as_ref()
                .map(|s| s.truth_s)
                .or(truth.audible_s)
                .map(|s| s + began_s),
            tap_s: self.taps_s[0],
        };
        Outcome { done, words, marks }
    }

    /// Stops the sound.
    pub fn close(&mut self, wall: Timestamp) {
        self.hush.set(true);
        if let Some(mut ear) = self.ear.take() {
            ear.stop(wall);
        }
    }
}

/// The words that can be chosen in a drill without a return.
pub const fn choices(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Waveform => &["multiphasic", "monophasic", "damped"],
        Kind::Regularity => &["regular", "irregular"],
        _ => &[],
    }
}

fn right_word(drill: &Drill) -> Option<&'static str> {
    match drill.kind {
        Kind::Waveform => Some(crate::practice::cases::waveform_word(&drill.case)),
        Kind::Regularity => Some(crate::practice::cases::rhythm_word(&drill.case)),
        _ => None,
    }
}

fn word_said(done: &Done) -> Option<String> {
    let (answer, right) = (done.answer.as_ref()?, done.right.as_ref()?);
    let hint = crate::practice::cases::suggests(right);
    Some(match answer == right {
        true => format!("{}: right. {hint}", super::model::sentence(answer)),
        false => format!("You said {answer}; it was {right}. {hint}"),
    })
}

/// Two ears on one deflation.
fn between(student: &Score, teacher: &Score) -> String {
    let beats = student.beats_late - teacher.beats_late;
    let mmhg = student.read_mmhg.unwrap_or(student.tap_mmhg)
        - teacher.read_mmhg.unwrap_or(teacher.tap_mmhg);
    let ms = student.error_ms - teacher.error_ms;
    format!(
        "Student less teacher: {beats:+} beats ({ms:+.0} ms), {mmhg:+.0} mmHg by the readings, {:+.0} by the needle.",
        student.tap_mmhg - teacher.tap_mmhg
    )
}
