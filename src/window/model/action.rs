//! What can be done in the window, by area. Screens only emit these; the model applies them in one place, and each area is
//! matched without a wildcard: a new act that nobody handles does not compile.

#[cfg(feature = "bedside")]
use crate::clinical::event::{Answer, Posture};
#[cfg(feature = "bedside")]
use crate::clinical::site::{Side, Site};
#[cfg(feature = "bedside")]
use crate::conduct::{AtSite, Preparing};
#[cfg(feature = "bedside")]
use crate::logbook::VisitId;
use crate::practice::cases::CaseKind;
use crate::practice::lesson::Feedback;
#[cfg(feature = "bedside")]
use crate::words::{Words, id, say};

use super::answers::Who;
#[cfg(feature = "bedside")]
use super::choices::Change;
use super::given::GivenFile;

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
    /// What was recorded at a site is put right.
    Correct,
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
    /// The next key becomes the tap.
    #[cfg(feature = "bedside")]
    LearnTap,
    /// A choice was changed.
    #[cfg(feature = "bedside")]
    Choose(Change),
    /// Before a visit.
    #[cfg(feature = "bedside")]
    Open(OpeningAct),
    /// While the patient rests.
    #[cfg(feature = "bedside")]
    Prepare(Preparing),
    /// At a site.
    #[cfg(feature = "bedside")]
    Site(AtSite),
    /// What concerns the visit as a whole.
    #[cfg(feature = "bedside")]
    Visit(VisitAct),
    /// What was recorded is put right.
    #[cfg(feature = "bedside")]
    PutRight(PutRight),
    /// Among the visits there are.
    #[cfg(feature = "bedside")]
    Shelf(ShelfAct),
    /// In practice.
    Practise(PractiseAct),
}

/// Before a visit.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningAct {
    /// A field of the form.
    Fill(FormField),
    /// The patient lies down: the visit begins with what the form says.
    Begin,
    /// An unfinished visit goes on.
    Resume(VisitId),
}

/// What is measured, as the form offers it.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    /// Both legs.
    #[default]
    BothLegs,
    /// One leg.
    OneLeg(Side),
    /// One artery.
    OneArtery,
    /// Both toes.
    Toes,
    /// Both legs at rest and after exercise.
    Exercise,
    /// No pressures.
    NoPressures,
    /// An earlier measurement, from paper.
    OnPaper,
}

#[cfg(feature = "bedside")]
impl What {
    /// All, in the order they are offered.
    pub const ALL: [What; 8] = [
        What::BothLegs,
        What::OneLeg(Side::Right),
        What::OneLeg(Side::Left),
        What::OneArtery,
        What::Toes,
        What::Exercise,
        What::NoPressures,
        What::OnPaper,
    ];

    /// In the words of a language, as the form offers it.
    pub fn said(self, words: Words) -> String {
        let id = match self {
            What::BothLegs => id!("clinical-kind-full"),
            What::OneLeg(side) => return say!(words, "clinical-kind-one-leg", side = side.code()),
            What::OneArtery => id!("begin-what-artery"),
            What::Toes => id!("clinical-kind-toes"),
            What::Exercise => id!("begin-what-exercise"),
            What::NoPressures => id!("clinical-kind-without-index"),
            What::OnPaper => id!("begin-what-paper"),
        };
        words.plain(id).to_owned()
    }
}

/// A field of the form before a visit.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum FormField {
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
    /// What is measured.
    What(What),
    /// The one artery that is measured.
    Artery(Site),
    /// The day of a measurement on paper.
    PaperDay(String),
    /// Who measured then.
    PaperBy(String),
    /// The side of the ulcer; none where there is none.
    UlcerSide(Option<Side>),
    /// The place of the ulcer.
    UlcerPlace(String),
}

/// What concerns the visit as a whole.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum VisitAct {
    /// A supervisor countersigns.
    Countersign(String),
    /// When the next test is due.
    NextDue(String),
    /// What is to be done next.
    Plan(String),
    /// Another operator measures from here on.
    Operator(String),
    /// The patient stops exercising now; what was done.
    Exercised(String),
    /// The patient moved: rest begins again.
    Moved,
    /// A reason for finishing is asked for, or no longer.
    AskFinish,
    /// Measuring ends here; what was not done is not measured, for this reason.
    Finish(String),
    /// The visit's report is written.
    SaveReport,
    /// The report is written, and shown by the system's viewer.
    ShowReport,
    /// The report is written, and printed by the system.
    PrintReport,
    /// The visit is over.
    Close,
    /// Back to the visits.
    Leave,
}

/// What was recorded is put right.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum PutRight {
    /// At this site.
    Begin(Site),
    /// A field of it.
    Fill(CorrectingAct),
    /// The attempt becomes what was typed.
    Correct,
    /// The attempt does not count.
    Withdraw,
    /// The site is measured again.
    MeasureAgain,
    /// Back to where it was begun.
    Back,
}

/// A field of what is put right.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum CorrectingAct {
    /// The attempt.
    Choose(u32),
    /// What the reading should be.
    Reading(String),
    /// Why.
    Why(String),
    /// Whose decision.
    Who(String),
}

/// Among the visits there are.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, PartialEq)]
pub enum ShelfAct {
    /// The visits are looked through for this.
    Search(String),
    /// A visit is opened to look at.
    LookAt(VisitId),
    /// All visits of a record are looked at.
    LookBack(String),
    /// A visit of the record is held against another, or no longer.
    Compare(VisitId),
    /// An unfinished visit is closed as it stands.
    CloseUnfinished(VisitId),
    /// The readings of the visit that is looked at are heard again.
    HearAgain,
    /// An act of second hearing.
    Replay(ReplayAct),
}

/// What can be done in second hearing.
#[cfg(feature = "bedside")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReplayAct {
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

/// In practice.
#[derive(Debug, Clone, PartialEq)]
pub enum PractiseAct {
    /// The student's code.
    Student(String),
    /// What is practised.
    Kind(CaseKind),
    /// When it is told how it went.
    Feedback(Feedback),
    /// How many drills.
    Count(u32),
    /// Same seed, same lesson.
    Seed(String),
    /// Two listen.
    TwoEars(bool),
    /// The path of a teacher's lesson.
    File(String),
    /// The opening code of a sealed examination.
    Code(String),
    /// The teacher's word, which opens what was done in an examination.
    Word(String),
    /// The teacher's lesson is sealed as an examination.
    Seal,
    /// A file was given.
    Given(GivenFile),
    /// The browser asks for a file.
    AskFile,
    /// Begins the lesson that was chosen.
    Begin,
    /// Begins the lesson of the teacher's file.
    BeginFile,
    /// Begins the day's lesson of the course.
    BeginCourse,
    /// Two ears on what is heard now.
    BeginLive,
    /// What hands and words do to the drill that runs.
    Work(Work),
    /// Keep the reading, or go on.
    Enter,
    /// Silence.
    Hush,
    /// Listen first: the guided hour begins.
    ListenFirst,
    /// What is done in it.
    Listen(ListenAct),
    /// What is done with a sound that is heard again.
    Hear(HearAct),
    /// A drill of the lesson that is over is heard again, from 0.
    HearCase(usize),
    /// A sound of one's own is tried.
    Try(TryAct),
    /// The student's own page is written.
    OwnPage,
    /// The class, as its teacher looks at it.
    Class(ClassAct),
    /// The class file is given out.
    ClassFile,
    /// The lesson is ended here; what was done is kept.
    End,
}

/// What a teacher does with the class.
#[derive(Debug, Clone, PartialEq)]
pub enum ClassAct {
    /// The class is looked at.
    Open,
    /// The path of a folder of class files.
    Folder(String),
    /// The class files of that folder are taken in.
    Read,
    /// The teacher's word.
    Word(String),
    /// The examinations that the word opens are opened.
    Unseal,
    /// The table is given out.
    Csv,
    /// The page is given out.
    Page,
    /// The page of an examination that was opened is given out, from 0.
    Examination(usize),
    /// Back to the lessons.
    Leave,
}

/// What is done to try a sound.
#[derive(Debug, Clone, PartialEq)]
pub enum TryAct {
    /// The screen comes.
    Begin,
    /// The path of a sound.
    File(String),
    /// The sound of that path is read.
    Read,
    /// Back to the lessons.
    Leave,
}

/// What is done in the guided hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListenAct {
    /// To this step, from 0.
    Step(usize),
    /// The next step; after the last the hour is over.
    On,
    /// The step before.
    Back,
    /// This sound of the step, from 0.
    Sound(usize),
    /// The hour is left.
    Leave,
}

/// What is done with a sound that is heard again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HearAct {
    /// Play from the cursor, or stop.
    Play,
    /// Silence.
    Stop,
    /// At half speed, or not.
    Half,
    /// To the beat before (`false`) or after.
    Step(bool),
    /// To this moment, seconds of the sound.
    To(f64),
    /// To the beginning.
    Start,
    /// To the first pulse that came back.
    ToTruth,
    /// To the tap.
    ToTap,
}

/// What hands and words do to a drill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Work {
    /// A squeeze of the bulb.
    Squeeze,
    /// The valve, 0 to 1.
    Valve(f64),
    /// The valve a little, up or down.
    Turn(i32),
    /// A tap.
    Tap(Who),
    /// A digit.
    Digit(char),
    /// The last digit is taken back.
    Erase,
    /// The word that was chosen.
    Say(&'static str),
}
