//! What whoever listens to a drill has answered, and what that comes to against the truth, or against another ear.

use crate::clinical::guidance::GuidanceSet;
use crate::practice::cases::{self, CaseKind, answer_said};
use crate::practice::effect::IndexEffect;
use crate::practice::lesson::Drill;
use crate::practice::named;
use crate::practice::score::{NoScore, Score, beats_between};
use crate::practice::session::Done;
use crate::window::sentence::sentence;
use crate::words::{Words, id, say};

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
    /// How two ears differ.
    pub ears: Ears,
    /// The truth and the taps in the stream's time, seconds.
    pub marks: Marks,
}

/// How two ears differ, where two listened.
#[derive(Debug, Clone, Copy)]
pub enum Ears {
    /// One listened.
    One,
    /// Two, of a known truth.
    Two(EarsApart),
    /// Two on live sound: neither is the truth.
    Live(EarsApart),
    /// Two on live sound, and a reading is missing.
    Missing,
}

/// The student's less the teacher's.
#[derive(Debug, Clone, Copy)]
pub struct EarsApart {
    /// Beats, where they are known.
    beats: Option<i32>,
    /// Milliseconds between the taps.
    ms: f64,
    /// Between the readings, mmHg.
    read_mmhg: Option<f64>,
    /// Between the needle at one tap and at the other, mmHg.
    needle_mmhg: Option<f64>,
}

impl EarsApart {
    fn said(self, words: Words) -> String {
        let signed = |number: f64| words.number(format_args!("{number:+.0}"));
        let ms = signed(self.ms);
        let mut all = vec![match self.beats {
            Some(beats) => {
                let beats = format!("{beats:+}");
                say!(words, "drill-between-beats", beats = beats, ms = ms)
            }
            None => say!(words, "drill-between-unknown", ms = ms),
        }];
        let read = self.read_mmhg.map(signed);
        all.extend(read.map(|mmhg| say!(words, "drill-between-read", mmhg = mmhg)));
        let needle = self.needle_mmhg.map(signed);
        all.extend(needle.map(|mmhg| say!(words, "drill-between-needle", mmhg = mmhg)));
        say!(words, "drill-between", all = all.join(", "))
    }
}

impl DrillOutcome {
    /// What is told of it, a sentence each, in the words of a language.
    pub fn said(&self, words: Words) -> Vec<String> {
        let done = &self.done;
        let mut all = match self.ears {
            Ears::One => Vec::new(),
            Ears::Two(apart) => vec![apart.said(words)],
            Ears::Live(apart) => {
                vec![apart.said(words), words.plain(id!("drill-compared")).to_owned()]
            }
            Ears::Missing => vec![words.plain(id!("drill-ended-early")).to_owned()],
        };
        all.extend(done.score.iter().flat_map(|score| score.said(words)));
        all.extend(done.effect.as_ref().map(|effect| effect.said(words)));
        all.extend(word_said(words, done));
        let why = done.no_score.as_deref().map(|why| named::no_score(words, why));
        all.extend(why.map(|why| sentence(why) + "."));
        all
    }
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
        match own {
            Some(Ok(score)) => {
                let read = score.read_mmhg.filter(|_| set.kind != CaseKind::WholeVisit);
                done.effect = score.truth_mmhg.zip(read).and_then(|(truth, read)| {
                    IndexEffect::of(truth, read, measure.arm_mmhg, measure.set)
                });
                done.score = Some(score);
            }
            Some(Err(NoScore::NothingBack)) => {
                done.no_score = Some(named::kept(id!("drill-no-occluded")).into());
            }
            Some(Err(why)) => done.no_score = Some(why.kept().into()),
            None if set.kind.has_return() => {
                let why = match truth_s {
                    Some(_) => id!("drill-no-tap"),
                    None => id!("drill-no-return"),
                };
                done.no_score = Some(named::kept(why).into());
            }
            None => {
                done.answer.clone_from(&self.word);
                done.right = cases::right_word(set.kind, &set.case).map(str::to_owned);
            }
        }
        let mut ears = Ears::One;
        if let (true, Some(Ok(one)), Some(Ok(other))) = (self.two_ears, &scored[0], &scored[1]) {
            let beats = Some(one.beats_late - other.beats_late);
            let needle = one.tap_mmhg.zip(other.tap_mmhg).map(|(one, other)| one - other);
            ears = Ears::Two(self.apart(beats, needle));
        }
        let own_s = done.score.as_ref().map(|s| s.truth_s + began_s);
        let marks = Marks { truth_s: own_s.or(truth_s), tap_s: self.taps_s[0] };
        DrillOutcome { done, ears, marks }
    }

    /// Two ears on live sound: no truth, only how they differ.
    pub fn compared(&self, set: &Drill, beats: &[f64]) -> DrillOutcome {
        let [student_s, teacher_s] = self.taps_s;
        let marks = Marks { truth_s: teacher_s, tap_s: student_s };
        let ears = match student_s.zip(teacher_s).filter(|_| self.read == [true; 2]) {
            Some((student_s, teacher_s)) => {
                let near =
                    |s: &&f64| (**s - student_s).abs().min((**s - teacher_s).abs()) < HEARD_S;
                let known = beats.iter().any(|s| near(&s));
                let passed = known.then(|| beats_between(beats, student_s, teacher_s));
                Ears::Live(self.apart(passed, None))
            }
            None => Ears::Missing,
        };
        DrillOutcome { done: self.done(set), ears, marks }
    }

    /// Two ears on one deflation.
    fn apart(&self, beats: Option<i32>, needle_mmhg: Option<f64>) -> EarsApart {
        let ms = match self.taps_s {
            [Some(student), Some(teacher)] => 1000.0 * (student - teacher),
            _ => 0.0,
        };
        let read_mmhg = match self.readings {
            [Some(student), Some(teacher)] => Some(student - teacher),
            _ => None,
        };
        EarsApart { beats, ms, read_mmhg, needle_mmhg }
    }
}

/// Whether the word was right, and what the right one suggests.
fn word_said(words: Words, done: &Done) -> Option<String> {
    let (answer, right) = (done.answer.as_deref()?, done.right.as_deref()?);
    let hint = cases::suggests(words, right);
    let [answer_said, right_said] = [answer, right].map(|kept| answer_said(words, kept));
    let said = match answer == right {
        true => say!(words, "drill-word-right", word = sentence(answer_said)),
        false => say!(words, "drill-word-wrong", answer = answer_said, right = right_said),
    };
    Some(format!("{said} {hint}"))
}
