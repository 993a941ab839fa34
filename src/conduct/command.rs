//! What a clinician can do in a visit, by area. Whoever shows a visit turns keys and touches into these.

use crate::clinical::cautions::Weight;
use crate::clinical::event::{
    Answer, Answered, Cuff, Foot, Made, Outcome, Stage, Step, WaveformWord, WoundCare,
};
use crate::clinical::moment::Day;
use crate::clinical::shown::Shown;
use crate::clinical::site::{Side, Site};

/// One deed of the clinician.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Before the first inflation.
    Prepare(Preparing),
    /// At a site.
    Site(AtSite),
    /// An earlier act is put right.
    Correct(Correction),
    /// About the visit as a whole.
    Visit(OfVisit),
}

/// What is done before the first inflation.
#[derive(Debug, Clone, PartialEq)]
pub enum Preparing {
    /// A question was answered.
    Answer(Weight, Answered),
    /// None of the questions without an answer applies.
    NoneApplies,
    /// A cuff was put on.
    PutCuff(Cuff),
    /// Cuffs, needle at zero and probe are as last time.
    AsLastTime(LastTime),
    /// The needle at zero.
    NeedleAtZero(Answer),
    /// A foot.
    Feel(Foot),
    /// What is done about a wound where the cuff goes.
    Wound(Side, WoundCare),
    /// The sound was checked and found so, in words.
    SoundChecked(String),
    /// The patient moved: rest begins again.
    RestAgain,
    /// A step is left out.
    LeaveOut(Step),
    /// The rest is over, kept or cut short.
    EndRest,
}

/// What was in use at the last visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LastTime {
    /// Width and length of the arm's bladder, then of the ankle's, millimetres.
    pub cuffs_mm: [u32; 4],
    /// Round this patient's arms and ankles, millimetres, where it was measured: a limb is never as last time.
    pub around_mm: [Option<u32>; 2],
    /// The probe, tenths of a megahertz.
    pub probe: Option<u32>,
}

/// What is done at a site.
#[derive(Debug, Clone, PartialEq)]
pub enum AtSite {
    /// To a site, out of turn or in it.
    TurnTo(Site),
    /// On to the next site, or to the result.
    Next,
    /// This site again.
    Repeat,
    /// A tap: the sound is back.
    Tap(Made),
    /// The last act is undone.
    Undo,
    /// A digit, or a decimal mark.
    Digit(char),
    /// The last digit is taken back.
    Erase,
    /// So many graduations up or down.
    Arrow(i32),
    /// What is typed, or will be, is the pressure inflated to.
    InflatedTo,
    /// Keep, or go on.
    Enter,
    /// No signal found here.
    NoSignal,
    /// Still heard at the highest pressure.
    NotCompressible,
    /// A reason for not measuring is asked for, or no longer.
    AskWhy,
    /// Not measured, for this reason.
    NotMeasured(String),
    /// The stage after.
    StageOn,
    /// The stage before.
    StageBack,
    /// To this stage.
    SetStage(Stage),
    /// The valve is opened at once.
    Stop,
    /// The needle passes the next ten below the last mark.
    NeedleMark,
    /// The needle stood at a pressure: an instrument or a script tells it.
    Needle(crate::units::Mmhg),
    /// A word for the sound of the artery.
    Word(WaveformWord),
    /// The reading just kept is to be corrected, or no longer.
    CorrectReading,
}

/// How an earlier act is put right. Nothing is overwritten: each is one more event.
#[derive(Debug, Clone, PartialEq)]
pub enum Correction {
    /// The outcome of an attempt becomes another.
    Outcome {
        /// The attempt.
        attempt: u32,
        /// How it ended in truth.
        outcome: Outcome,
        /// Whose decision.
        who: String,
        /// Why.
        why: String,
    },
    /// An attempt does not count.
    Withdraw {
        /// The attempt.
        attempt: u32,
        /// Whose decision.
        who: String,
        /// Why.
        why: String,
    },
}

/// What concerns the visit as a whole.
#[derive(Debug, Clone, PartialEq)]
pub enum OfVisit {
    /// On to measuring, from wherever the visit stands.
    Measure,
    /// Measuring ends here; what was not done is not measured, for this reason.
    Finish(String),
    /// These numbers and words were shown.
    Show(Shown),
    /// What is to be done next, in words.
    Plan(String),
    /// Another operator measures from here on.
    Operator(String),
    /// The patient exercised, and stops now: what was done, in words. The sites of both indexes are measured again.
    Exercised(String),
    /// A supervisor countersigns.
    Countersign(String),
    /// When the next test is due.
    NextTest(Day),
    /// The visit is over.
    Close,
}
