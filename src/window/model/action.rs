//! What can be done in the window. Screens only emit these; [`super::model::Model`] applies them in one place.

use crate::clinical::cautions::Weight;
use crate::clinical::event::{
    Answer, Answered, Cuff, Foot, Made, Posture, Stage, Step, WaveformWord,
};
use crate::clinical::site::Site;
use crate::logbook::VisitId;

use super::choices::Change;
use super::practice::Do;

/// The screens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// What must be known first, shown once.
    Cautions,
    /// The visits there are.
    Visits,
    /// Who and why: before a visit begins.
    Begin,
    /// While the patient rests.
    Prepare,
    /// Site by site.
    Measure,
    /// What it comes to.
    Result,
    /// One record from visit to visit.
    History,
    /// A visit's readings heard again.
    Again,
    /// Choices of the user and the service.
    SetUp,
    /// Simulated patients to learn on.
    Practise,
}

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// The cautions were read.
    AgreeCautions,
    /// To a screen.
    Go(Screen),
    /// The screen takes no touch until it is unlocked.
    Lock,
    /// It takes them again.
    Unlock,
    /// A choice was changed.
    Choose(Change),
    /// An act of practice.
    Practise(Do),
    /// The next key becomes the tap.
    LearnTap,
    /// The visits are looked through for this.
    Search(String),
    /// A visit is opened to look at.
    Open(VisitId),
    /// All visits of a record are looked at.
    History(String),
    /// The readings of the visit that is looked at are heard again.
    HearAgain,
    /// An act of second hearing.
    Again(Again),
    /// A visit of the record is held against another, or no longer.
    Compare(VisitId),
    /// An unfinished visit goes on.
    Resume(VisitId),
    /// An unfinished visit is closed as it stands.
    CloseUnfinished(VisitId),

    /// The patient lies down: the visit begins with what the form says.
    Begin,
    /// A field of the form.
    Fill(Field),

    /// A question was answered.
    Answer(Weight, Answered),
    /// None of the questions applies: one act for all that have no answer.
    NoneApplies,
    /// A cuff was put on.
    PutCuff(Cuff),
    /// Cuffs, needle at zero and probe are as last time.
    AsLastTime,
    /// The needle at zero.
    NeedleAtZero(Answer),
    /// A foot.
    Feel(Foot),
    /// The sound was checked and found as it is now.
    SoundChecked,
    /// A step is left out.
    LeaveOut(Step),
    /// The rest is over, kept or cut short.
    EndRest,

    /// To a site, out of turn or in it.
    TurnTo(Site),
    /// A tap.
    Tap(Made),
    /// The last tap is taken back.
    TakeBack,
    /// A digit, or a decimal mark.
    Digit(char),
    /// The last digit is taken back.
    Erase,
    /// One graduation up or down.
    Arrow(i32),
    /// Keep, or go on.
    Enter,
    /// This site again.
    Repeat,
    /// No signal found here.
    NoSignal,
    /// Still heard at the highest pressure.
    NotCompressible,
    /// A reason is asked for.
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
    /// The needle passes the next ten.
    NeedleMark,
    /// A word for the sound of the artery.
    Word(WaveformWord),
    /// The reading just kept is changed.
    ChangeReading,
    /// On to the next site, or the result.
    Next,

    /// A supervisor countersigns.
    Countersign(String),
    /// When the next test is due.
    NextDue(String),
    /// The visit's report is written.
    SaveReport,
    /// The visit is over.
    CloseVisit,
    /// Back to the visits.
    Leave,
}

/// What can be done in second hearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again {
    /// To this reading.
    Choose(usize),
    /// Play from the cursor, or stop.
    Play,
    /// At half speed, or not.
    Half,
    /// One beat over and over, or not.
    Loop,
    /// To the beat before (`false`) or after.
    Step(bool),
    /// Back to the tap.
    ToMark,
    /// The mark to the cursor; must be done twice.
    Move,
}

/// A field of the form before a visit.
#[derive(Debug, Clone, PartialEq)]
pub enum Field {
    /// The record's code.
    Record(String),
    /// The operator's code.
    Operator(String),
    /// Why the test is done.
    Reason(String),
    /// Diabetes.
    Diabetes(Answer),
    /// Kidney disease.
    Kidney(Answer),
    /// How the patient lies.
    Posture(Posture),
}
