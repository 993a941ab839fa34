//! What whoever listens to a drill has answered, and what that comes to against the truth, or against another ear.

use crate::clinical::guidance::GuidanceSet;
use crate::practice::cases::{self, CaseKind};
use crate::practice::effect::IndexEffect;
use crate::practice::lesson::Drill;
use crate::practice::score::{NoScore, Score, beats_between};
use crate::practice::session::Done;
use crate::window::sentence::sentence;

/// The listener's beats around two taps are known after this long, seconds.
pub const HEARD_S: f64 = 4.0;

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
pub struct DrillOutcome {
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

/// How a drill is judged.
pub struct Measure<'a> {
    /// The arm that an index is formed with, mmHg.
    pub arm_mmhg: f64,
    /// The guidance that was chosen.
    pub set: Option<&'a GuidanceSet>,
}

/// A tap's score, where that ear tapped.
type Scored = Option<Result<Score, NoScore>>;

/// The truth of a drill, and how the taps lie to it.
pub struct DrillTruth {
    /// When the first pulse came back, seconds of the stream.
    pub at_s: Option<f64>,
    /// The scores of both ears.
    pub scored: [Scored; 2],
    /// By how much the stream is ahead of the scores' own time, seconds.
    pub began_s: f64,
}

/// The answers of one drill, each at its ear's place.
#[derive(Debug, Clone, Default)]
pub struct Answers {
    /// Two listen.
    pub two_ears: bool,
    /// The word that was chosen; or that nothing came back.
    pub word: Option<String>,
    taps_s: [Option<f64>; 2],
    readings: [Option<f64>; 2],
    read: [bool; 2],
}

impl Answers {
    /// Of one ear, or of two.
    pub fn of(two_ears: bool) -> Self {
        Self { two_ears, ..Self::default() }
    }

    /// Whose reading is asked for next; none once all are in.
    pub fn reads_next(&self) -> Option<Who> {
        let all = if self.two_ears { &[Who::Student, Who::Teacher][..] } else { &[Who::Student] };
        all.iter().copied().find(|who| !self.read[who.place()])
    }

    /// When this ear tapped, seconds of the stream.
    pub fn tap_s(&self, who: Who) -> Option<f64> {
        self.taps_s[who.place()]
    }

    /// The last tap of either ear, seconds of the stream.
    pub fn last_tap_s(&self) -> f64 {
        self.taps_s.into_iter().flatten().fold(0.0, f64::max)
    }

    /// A tap; after the reading of the same ear none counts.
    pub fn tap(&mut self, who: Who, at_s: f64) {
        if !self.read[who.place()] {
            self.taps_s[who.place()] = Some(at_s.max(0.0));
        }
    }

    /// This ear's reading is in, mmHg; none where no needle can be read.
    pub fn read(&mut self, who: Who, mmhg: Option<f64>) {
        (self.readings[who.place()], self.read[who.place()]) = (mmhg, true);
    }

    /// Each tap with its reading, scored.
    pub fn scored(
        &self,
        score: impl Fn(f64, Option<f64>) -> Result<Score, NoScore>,
    ) -> [Scored; 2] {
        [0, 1].map(|place| Some(score(self.taps_s[place]?, self.readings[place])))
    }

    fn done(&self, set: &Drill) -> Done {
        Done {
            case: set.name.clone(),
            kind: set.kind,
            seed: set.seed,
            confirmed: set.recording.as_ref().map(|recording| recording.confirmed),
            score: None,
            no_score: None,
            answer: None,
            right: None,
            effect: None,
            snr_db: (set.kind == CaseKind::RisingNoise).then_some(set.case.snr_db),
        }
    }

    /// What it comes to against the truth.
    pub fn judge(&self, set: &Drill, truth: DrillTruth, measure: &Measure<'_>) -> DrillOutcome {
        let DrillTruth { at_s: truth_s, scored, began_s } = truth;
        let own = set.kind.has_return().then_some(scored[0].clone()).flatten();
        let mut done = self.done(set);
        let mut words = Vec::new();
        match own {
            Some(Ok(score)) => {
                words = score.words();
                let read = score.read_mmhg.filter(|_| set.kind != CaseKind::WholeVisit);
                done.effect = score.truth_mmhg.zip(read).and_then(|(truth, read)| {
                    IndexEffect::of(truth, read, measure.arm_mmhg, measure.set)
                });
                words.extend(done.effect.as_ref().map(IndexEffect::words));
                done.score = Some(score);
            }
            Some(Err(NoScore::NothingBack)) => {
                done.no_score =
                    Some("you tapped while the artery was occluded: no pulse had returned".into());
            }
            Some(Err(why)) => done.no_score = Some(why.to_string()),
            None if set.kind.has_return() => {
                done.no_score = Some(match truth_s {
                    Some(_) => "the pulse returned and you did not tap".into(),
                    None => "no pulse returned during this deflation".into(),
                });
            }
            None => {
                done.answer.clone_from(&self.word);
                done.right = cases::right_word(set.kind, &set.case).map(str::to_owned);
                words.extend(word_said(&done));
            }
        }
        words.extend(done.no_score.as_deref().map(|why| sentence(why) + "."));
        if let (true, Some(Ok(one)), Some(Ok(other))) = (self.two_ears, &scored[0], &scored[1]) {
            let beats = Some(one.beats_late - other.beats_late);
            let needle = one.tap_mmhg.zip(other.tap_mmhg).map(|(one, other)| one - other);
            words.insert(0, self.between(beats, needle));
        }
        let own_s = done.score.as_ref().map(|s| s.truth_s + began_s);
        let marks = Marks { truth_s: own_s.or(truth_s), tap_s: self.taps_s[0] };
        DrillOutcome { done, words, marks }
    }

    /// Two ears on live sound: no truth, only how they differ.
    pub fn compared(&self, set: &Drill, beats: &[f64]) -> DrillOutcome {
        let [student_s, teacher_s] = self.taps_s;
        let marks = Marks { truth_s: teacher_s, tap_s: student_s };
        let words = match student_s.zip(teacher_s).filter(|_| self.read == [true; 2]) {
            Some((student_s, teacher_s)) => {
                let near =
                    |s: &&f64| (**s - student_s).abs().min((**s - teacher_s).abs()) < HEARD_S;
                let known = beats.iter().any(|s| near(&s));
                let passed = known.then(|| beats_between(beats, student_s, teacher_s));
                let counted = "Beats are those the listener detected. Neither tap is the truth.";
                vec![self.between(passed, None), counted.into()]
            }
            None => vec!["Ended: one or both readings are missing.".into()],
        };
        DrillOutcome { done: self.done(set), words, marks }
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
}

fn word_said(done: &Done) -> Option<String> {
    let (answer, right) = (done.answer.as_ref()?, done.right.as_ref()?);
    let hint = cases::suggests(right);
    Some(match answer == right {
        true => format!("{}: right. {hint}", sentence(answer)),
        false => format!("You said {answer}; it was {right}. {hint}"),
    })
}
