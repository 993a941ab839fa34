//! One attempt under way, or just ended: its course, what was typed, how it ended.

use super::course::Course;
use super::entry::{Entry, Field};
use super::question::Question;
use super::say::{Comparison, Notice, Prompt};
use crate::clinical::event::{Act, Outcome, Phase, Source, Stage, WaveformWord};
use crate::clinical::site::{Artery, Site};
use crate::units::Mmhg;

/// After this long the listener has decided when the pulse came back: 7.4 s from its first beat, and some room.
const DECIDED_S: f64 = 9.0;
/// After a kept reading the next site may come once the lifted probe has been silent for this long, seconds.
const LIFTED_S: f64 = 5.0;

/// One attempt that runs, or has just ended.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentAttempt {
    /// Its number in the visit.
    pub number: u32,
    /// Where.
    pub site: Site,
    /// At rest or after exercise.
    pub phase: Phase,
    /// Its course.
    pub course: Course,
    /// What was typed so far.
    pub entry: Entry,
    /// What must be said beside the prompt: why something was not taken.
    pub notice: Option<Notice>,
    /// What must be done once more to be done.
    pub question: Option<Question>,
    /// The reason for not measuring is being asked for.
    pub asking_why: bool,
    /// The valve was opened at once.
    pub stopped: bool,
    /// How it ended.
    pub ended: Option<Ended>,
    /// The reading just kept is being corrected.
    pub correcting: bool,
    /// The value is taken over from paper.
    paper: bool,
}

/// How an attempt ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Ended {
    /// The number of the outcome's event.
    pub event: u64,
    /// How.
    pub outcome: Outcome,
    /// When, on the visit's clock, seconds.
    pub at_s: f64,
    /// Whether it was corrected since.
    pub corrected: bool,
    /// The tap against the first pulse heard, once both are known.
    pub comparison: Option<Comparison>,
    /// The clinician's word for the sound.
    pub word: Option<WaveformWord>,
}

impl Ended {
    /// The reading, where it ended with one.
    pub fn reading(&self) -> Option<Mmhg> {
        match self.outcome {
            Outcome::Reading { cuff_mmhg, .. } => Some(cuff_mmhg),
            Outcome::NotCompressible { .. } | Outcome::NoSignal | Outcome::NotMeasured { .. } => {
                None
            }
        }
    }
}

impl CurrentAttempt {
    /// An attempt that begins now; `paper` where its value is taken over from paper.
    pub fn new(number: u32, site: Site, phase: Phase, now_s: f64, paper: bool) -> Self {
        Self {
            number,
            site,
            phase,
            course: Course::new(now_s),
            entry: Entry::default(),
            notice: None,
            question: None,
            asking_why: false,
            stopped: false,
            ended: None,
            correcting: false,
            paper,
        }
    }

    /// True of a value that is typed and not heard: from paper, or from another instrument at the toe.
    pub fn entered(&self) -> bool {
        self.paper || self.site.artery == Artery::GreatToe
    }

    /// Where a reading of this attempt comes from.
    pub fn source(&self) -> Source {
        match (self.site.artery == Artery::GreatToe, self.paper) {
            (true, _) => Source::Entered,
            (false, true) => Source::Paper,
            (false, false) => Source::EarAndGauge,
        }
    }

    /// The stage, as far as one runs.
    pub fn stage(&self) -> Option<Stage> {
        (self.ended.is_none() && !self.stopped && !self.entered()).then(|| self.course.stage())
    }

    /// The field that a digit goes to now.
    pub fn field(&self) -> Field {
        match self.correcting || self.entered() {
            true => Field::Reading,
            false => self.entry.field(self.stage()),
        }
    }

    /// Whether digits are taken now.
    pub fn takes_digits(&self) -> bool {
        !self.stopped && (self.ended.is_none() || self.correcting)
    }

    /// What to do now; `saved` tells whether the end is on the disk.
    pub fn prompt(&self, now_s: f64, saved: bool) -> Prompt {
        match &self.ended {
            Some(_) if self.correcting => Prompt::TypeCorrection,
            Some(_) if !saved => Prompt::Saving,
            Some(ended) if ended.reading().is_some() && !self.entered() => Prompt::KeptReading,
            Some(_) if self.entered() => Prompt::KeptEntered,
            Some(_) => Prompt::Kept,
            None if self.asking_why => Prompt::WhyNotMeasured,
            None if self.stopped => Prompt::Stopped,
            None if self.paper => Prompt::TypeFromPaper,
            None if self.entered() => Prompt::TypeEntered,
            None => self.prompt_of_stage(now_s),
        }
    }

    fn prompt_of_stage(&self, now_s: f64) -> Prompt {
        let course = &self.course;
        match course.stage() {
            Stage::Find => Prompt::Find,
            Stage::Inflate if course.lost_s().is_some() => Prompt::InflateMore,
            Stage::Inflate => Prompt::Inflate { bpm: course.bpm() },
            Stage::Release => Prompt::Deflate { due: course.needle_due(now_s) },
            Stage::Read => Prompt::Read { tapped: course.tap_s().is_some() },
        }
    }

    /// Whether the probe was lifted after a reading whose signal was there again: time for the next site.
    pub fn lifted(&self, now_s: f64) -> bool {
        let ended = self.ended.as_ref().filter(|e| e.reading().is_some() && !self.correcting);
        let Some(ended) = ended else { return false };
        let last_s = self.course.pulses().last().map_or(ended.at_s, |p| p.0.max(ended.at_s));
        self.course.probe_stayed(now_s) == Some(true) && now_s - last_s > LIFTED_S
    }

    /// Whether the listener may still say when the pulse came back.
    pub fn undecided(&self, now_s: f64) -> bool {
        let ended = self.ended.as_ref().filter(|ended| ended.reading().is_some());
        ended
            .is_some_and(|ended| self.course.return_s().is_none() && now_s - ended.at_s < DECIDED_S)
    }

    /// Forgets what was asked and said: the clinician did something else.
    pub fn hush(&mut self) {
        (self.notice, self.question) = (None, None);
    }

    /// Takes an undone act out of the attempt, where it is its own.
    pub fn forget(&mut self, act: &Act, now_s: f64) {
        match act {
            Act::Mark { attempt, .. } if *attempt == self.number => {
                self.course.take_back(now_s);
            }
            Act::Needle { attempt, .. } if *attempt == self.number => {
                self.course.take_needle_back();
            }
            Act::Inflated { attempt, .. } if *attempt == self.number => {
                self.course.take_needle_back();
                self.course.take_start_back();
            }
            Act::Outcome { attempt, .. } if *attempt == self.number => {
                (self.ended, self.correcting) = (None, false);
                self.course.take_opened_back();
            }
            Act::Stopped { attempt, .. } if *attempt == self.number => {
                self.stopped = false;
                self.course.take_opened_back();
            }
            Act::Waveform { site, .. } if *site == self.site => {
                self.ended.iter_mut().for_each(|ended| ended.word = None);
            }
            _ => {}
        }
    }
}
