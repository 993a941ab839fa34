//! One drill under way: a simulated patient whose cuff is in the student's hand, a recording, or what is heard now; the
//! taps, the readings, and, once these are in, the truth where there is one.

use std::sync::Arc;
use std::time::Instant;

use jiff::Timestamp;

use super::Now;
use super::ear::Ear;
use super::model::Drive;
use crate::clinical::guidance::Set;
use crate::clinical::sound::Sound;
use crate::live::{
    Aloud, Bench, Event, Hush, Pace, Piece, Plan, Played, SimBench, Snapshot, Supply, one_a_beat,
};
use crate::practice::Track;
use crate::practice::cases::Kind;
use crate::practice::effect::Effect;
use crate::practice::lesson::{Drill, Lesson};
use crate::practice::recording::{Recording, Whence};
use crate::practice::score::{NoScore, Score, beats_between, score, score_recording};
use crate::practice::session::Done;
use crate::units::{Mmhg, SampleRate};

/// Sound after the tap that is kept in the picture, seconds.
const AFTER_S: f64 = 7.0;
/// A recording begins this long before its return, seconds, and up to as much again, so that nobody can count.
const LEAD_S: f64 = 28.0;
/// A recording's gauge is shown this long after its pulse went: by then the cuff is at its top.
const TOP_S: f64 = 3.0;
/// The listener's beats around two taps are known after this long, seconds.
const HEARD_S: f64 = 4.0;
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
    /// The first pulse that came back; on live sound, the teacher's tap.
    pub truth_s: Option<f64>,
    /// The student's tap.
    pub tap_s: Option<f64>,
}

/// What a drill sounds from.
enum From {
    /// A simulated patient whose cuff is in the student's hand.
    Cuff(Arc<Bench>),
    /// A recording, and the piece of it that is played from this second on.
    Recording(Recording, Box<Piece>, f64),
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
    pub outcome: Option<Outcome>,
    /// Why nothing is heard, or to where it plays.
    pub output: String,
    /// The patient's words.
    pub says: Option<&'static str>,
    plays: bool,
    two_ears: bool,
    from: From,
    hush: Hush,
    ear: Option<Ear>,
    /// From the sound's making to the ear, seconds.
    delay_s: f64,
    taps_s: [Option<f64>; 2],
    readings: [Option<f64>; 2],
    read: [bool; 2],
    heard_s: f64,
    rate: Option<SampleRate>,
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
    /// The system gives no thread, or the recording cannot be read.
    pub fn begin(
        set: Drill,
        two_ears: bool,
        output: Option<Option<String>>,
        drive: Drive,
        now: Now,
    ) -> Result<Self, String> {
        let (from, patient) = match &set.recording {
            Some(recording) => played_from(recording, set.seed)?,
            None => {
                let bench = Arc::new(Bench::by_hand());
                let (case, seed) = (set.case.clone(), set.seed);
                let patient = SimBench::of_case(case, seed, Pace::RealTime, bench.clone());
                (From::Cuff(bench), Box::new(patient) as Box<dyn Supply>)
            }
        };
        let hush = Hush::default();
        let silent = "Not played aloud: the picture and the clock go on.".to_owned();
        let (supply, words): (Box<dyn Supply>, String) = match output {
            Some(device) => {
                let aloud = Aloud::new(patient, device, hush.clone());
                (Box::new(aloud), "The loudspeaker is being opened.".into())
            }
            None => (patient, silent),
        };
        let ear = ear(supply, Plan::default(), drive, now)?;
        Ok(Self { hush, two_ears, ..Self::with(set, from, ear, words) })
    }

    /// Two ears on what is heard now.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn live(
        (supply, plan): (Box<dyn Supply>, Plan),
        drive: Drive,
        now: Now,
    ) -> Result<Self, String> {
        let set = Lesson::live().drills.pop().ok_or("no drill")?;
        let words = "Live sound: nobody knows the truth. Work the patient's own cuff.".into();
        let ear = ear(supply, plan, drive, now)?;
        Ok(Self { two_ears: true, ..Self::with(set, From::Live(Vec::new()), ear, words) })
    }

    fn with(set: Drill, from: From, ear: Ear, output: String) -> Self {
        Self {
            set,
            snapshot: Snapshot::new(),
            valve: 0.0,
            typed: String::new(),
            outcome: None,
            output,
            says: None,
            plays: false,
            two_ears: false,
            from,
            hush: Hush::default(),
            ear: Some(ear),
            delay_s: 0.0,
            taps_s: [None; 2],
            readings: [None; 2],
            read: [false; 2],
            heard_s: 0.0,
            rate: None,
            answer: None,
            waiting: false,
            closed_since: None,
            frozen: false,
        }
    }

    /// Whether bulb and valve are in the student's hand.
    pub fn has_cuff(&self) -> bool {
        matches!(self.from, From::Cuff(_))
    }

    /// Whether it is heard from a patient now.
    pub fn is_live(&self) -> bool {
        matches!(self.from, From::Live(_))
    }

    /// Whether a reading is asked for: where a needle can be read, here or beside the screen.
    pub fn asks_reading(&self) -> bool {
        !matches!(&self.from, From::Recording(recording, ..) if recording.needle.is_empty())
    }

    /// What is asked of whoever listens.
    pub fn task(&self) -> &'static str {
        match self.from {
            From::Cuff(_) => self.set.kind.task(),
            From::Recording(..) => {
                "A recording: the cuff is in somebody else's hand. Tap at the first of two pulses in rhythm that come back."
            }
            From::Live(_) => {
                "Close the artery, release slowly. Each taps at the first pulse that comes back; then type both readings."
            }
        }
    }

    /// What is known of the truth, in words.
    pub fn truth_words(&self) -> String {
        match &self.from {
            From::Cuff(_) => "simulated: the truth is known".into(),
            From::Recording(recording, ..) => {
                format!("recording: the truth is {}", recording.confirmed.words())
            }
            From::Live(_) => "live sound: nobody knows the truth".into(),
        }
    }

    /// What the gauge shows, mmHg, where one is known.
    pub fn gauge_mmhg(&self) -> Option<f64> {
        match &self.from {
            From::Cuff(bench) => Some(bench.cuff_mmhg()),
            From::Recording(recording, piece, from_s) => {
                let at_s = from_s + (self.heard_s - self.delay_s).max(0.0);
                let up = piece.lost_s.is_some_and(|lost_s| at_s > lost_s + TOP_S);
                recording.needle_mmhg(at_s).filter(|_| up)
            }
            From::Live(_) => None,
        }
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
        all.iter().copied().find(|who| !self.read[who.place()])
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
        if let From::Cuff(bench) = &self.from {
            bench.squeeze();
        }
    }

    /// The valve, 0 to 1.
    pub fn turn_valve(&mut self, open: f64) {
        let From::Cuff(bench) = &self.from else { return };
        self.valve = open.clamp(0.0, 1.0);
        bench.set_valve(self.valve);
    }

    /// A tap now. The last one before the reading counts.
    pub fn tap(&mut self, who: Who, now: Now) {
        let Some(at) = self.ear.as_ref().and_then(|ear| ear.locate(now.at)) else { return };
        if !self.read[who.place()] && !self.waiting {
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
        if self.asks_reading() {
            let mmhg = self.typed.parse().map_err(|_| "type what the needle showed".to_owned())?;
            let read = Mmhg::whole(mmhg).map_err(|e| e.to_string())?;
            self.readings[who.place()] = Some(read.as_f64());
        }
        self.read[who.place()] = true;
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
        if let From::Cuff(bench) = &self.from {
            bench.ask();
        }
    }

    /// Lets time pass; true when the outcome has just come.
    pub fn tick(&mut self, now: Now, measure: &Measure<'_>) -> bool {
        let Some(mut ear) = self.ear.take() else { return false };
        ear.step(now.at, now.wall.utc());
        while let Some(told) = ear.poll() {
            self.take(&told.event);
        }
        if !self.frozen {
            ear.look(&mut self.snapshot);
        }
        self.heard_s = ear.locate(now.at).map_or(self.heard_s, |at| at.seconds());
        self.ear = Some(ear);
        let tap_s = self.taps_s[0].filter(|_| self.set.kind.has_return());
        self.frozen = tap_s.is_some_and(|tap_s| self.snapshot.sound_s > tap_s + AFTER_S);
        self.complain(now.at);
        self.outcome = self.waiting.then(|| self.judged(measure)).flatten();
        if self.outcome.is_some() {
            self.close(now.wall.utc());
        }
        self.outcome.is_some()
    }

    fn take(&mut self, event: &Event) {
        match event {
            Event::Began(epoch) => self.rate = Some(epoch.rate),
            Event::Through { to, planned_s } => {
                self.delay_s = *planned_s;
                self.plays = true;
                self.output = format!("Playing on {to}, never above a quarter of full scale.");
            }
            Event::NotThrough(said) => {
                (self.plays, self.delay_s) = (false, 0.0);
                self.output = super::model::sentence(said);
            }
            Event::Fault(fault) => self.output = super::model::sentence(&fault.to_string()),
            Event::Heard { .. } => {
                let sound = self.rate.and_then(|rate| event.sound(rate));
                if let (From::Live(beats), Some(Sound::Pulse { at_s, .. })) =
                    (&mut self.from, sound)
                {
                    beats.push(at_s);
                }
            }
            _ => {}
        }
    }

    fn complain(&mut self, now: Instant) {
        let From::Cuff(bench) = &self.from else { return };
        let (cuff, systolic) = (bench.cuff_mmhg(), self.set.case.systolic_mmhg);
        self.closed_since = (cuff > systolic).then(|| self.closed_since.unwrap_or(now));
        let closed = self.closed_since.map_or(0.0, |since| (now - since).as_secs_f64());
        self.says = crate::practice::comfort::says(cuff, systolic, closed);
    }

    /// What came of it, once that can be known.
    fn judged(&self, measure: &Measure<'_>) -> Option<Outcome> {
        match &self.from {
            From::Cuff(bench) => {
                let Played { truth, cuff_mmhg, began_s } = bench.played()?;
                let track = Track::from(cuff_mmhg);
                let scored = self.each(|tap_s, read| score(&truth, &track, tap_s - began_s, read));
                Some(self.judge(scored, truth.audible_s.map(|s| s + began_s), began_s, measure))
            }
            From::Recording(recording, piece, from_s) => {
                let beats = piece.onsets();
                let scored = self.each(|tap_s, read| {
                    Ok(score_recording(recording, &beats, tap_s + from_s, read))
                });
                let truth_s = recording.return_s - from_s;
                Some(self.judge(scored, Some(truth_s), -from_s, measure))
            }
            From::Live(beats) => {
                let last_s = self.taps_s.into_iter().flatten().fold(0.0, f64::max);
                (self.heard_s > last_s + HEARD_S).then(|| self.compared(&one_a_beat(beats.clone())))
            }
        }
    }

    fn each(
        &self,
        score: impl Fn(f64, Option<f64>) -> Result<Score, NoScore>,
    ) -> [Option<Result<Score, NoScore>>; 2] {
        [0, 1].map(|place| Some(score(self.taps_s[place]?, self.readings[place])))
    }

    fn done(&self) -> Done {
        Done {
            case: self.set.name.clone(),
            kind: self.set.kind,
            seed: self.set.seed,
            confirmed: self.set.recording.as_ref().map(|recording| recording.confirmed),
            score: None,
            no_score: None,
            answer: None,
            right: None,
            effect: None,
            snr_db: (self.set.kind == Kind::RisingNoise).then_some(self.set.case.snr_db),
        }
    }

    /// `truth_s` is in the stream's time, and so are the scores less `began_s`.
    fn judge(
        &self,
        scored: [Option<Result<Score, NoScore>>; 2],
        truth_s: Option<f64>,
        began_s: f64,
        measure: &Measure<'_>,
    ) -> Outcome {
        let own = self.set.kind.has_return().then_some(scored[0].clone()).flatten();
        let mut done = self.done();
        let mut words = Vec::new();
        match own {
            Some(Ok(score)) => {
                words = score.words();
                let read = score.read_mmhg.filter(|_| self.set.kind != Kind::WholeVisit);
                done.effect = score.truth_mmhg.zip(read).and_then(|(truth, read)| {
                    Effect::of(truth, read, measure.arm_mmhg, measure.set)
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
                done.no_score = Some(match truth_s {
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
        words.extend(done.no_score.as_deref().map(|why| super::model::sentence(why) + "."));
        if let (true, Some(Ok(one)), Some(Ok(other))) = (self.two_ears, &scored[0], &scored[1]) {
            let beats = Some(one.beats_late - other.beats_late);
            let needle = one.tap_mmhg.zip(other.tap_mmhg).map(|(one, other)| one - other);
            words.insert(0, self.between(beats, needle));
        }
        let own_s = done.score.as_ref().map(|s| s.truth_s + began_s);
        let marks = Marks { truth_s: own_s.or(truth_s), tap_s: self.taps_s[0] };
        Outcome { done, words, marks }
    }

    /// Two ears on live sound: no truth, only how they differ.
    fn compared(&self, beats: &[f64]) -> Outcome {
        let [student_s, teacher_s] = self.taps_s;
        let marks = Marks { truth_s: teacher_s, tap_s: student_s };
        let words = match student_s.zip(teacher_s).filter(|_| self.read == [true; 2]) {
            Some((student_s, teacher_s)) => {
                let near =
                    |s: &&f64| (**s - student_s).abs().min((**s - teacher_s).abs()) < HEARD_S;
                let known = beats.iter().any(|s| near(&s));
                let passed = known.then(|| beats_between(beats, student_s, teacher_s));
                let counted = "Beats are those that the listener found. Neither tap is the truth.";
                vec![self.between(passed, None), counted.into()]
            }
            None => vec!["Ended: the two readings are not both in.".into()],
        };
        Outcome { done: self.done(), words, marks }
    }

    /// Two ears on one deflation.
    fn between(&self, beats: Option<i32>, needle: Option<f64>) -> String {
        let ms = match self.taps_s {
            [Some(student), Some(teacher)] => 1000.0 * (student - teacher),
            _ => 0.0,
        };
        let beats = beats.map_or("beats not known".into(), |beats| format!("{beats:+} beats"));
        let read = match self.readings {
            [Some(student), Some(teacher)] => {
                format!(", {:+.0} mmHg by the readings", student - teacher)
            }
            _ => String::new(),
        };
        let needle = needle.map_or(String::new(), |mmhg| format!(", {mmhg:+.0} by the needle"));
        format!("Student less teacher: {beats} ({ms:+.0} ms){read}{needle}.")
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

fn ear(supply: Box<dyn Supply>, plan: Plan, drive: Drive, now: Now) -> Result<Ear, String> {
    match drive {
        Drive::Thread => Ear::run(supply, plan).map_err(|e| e.to_string()),
        Drive::Stepped => Ok(Ear::stepped(supply, plan, now.at)),
    }
}

/// The piece of a recording around its return; where it begins hangs on the seed.
fn played_from(recording: &Recording, seed: u64) -> Result<(From, Box<dyn Supply>), String> {
    let Whence::Found(file) = &recording.whence else {
        return Err("the recording was not looked for".into());
    };
    let piece = Piece::read(file, recording.return_s)?;
    let lead_s = LEAD_S * (1.0 + (seed % 100) as f64 / 100.0);
    let from_s = (recording.return_s - lead_s).max(piece.from_s);
    let clip = Box::new(piece.clip((from_s, piece.to_s), 1.0, false));
    Ok((From::Recording(recording.clone(), Box::new(piece), from_s), clip))
}
