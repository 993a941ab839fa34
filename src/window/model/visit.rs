//! The visit in hand: everything that acts, sound and time do to it. It says what follows for the rest of the window;
//! it moves no screen itself.

use super::action::{PreparingAct, SiteAct};
use super::choices::{Change, Choices};
use super::listening::Listening;
use crate::clinical::cautions::{self, About, Weight};
use crate::clinical::event::{
    Act, Answer, Answered, Cuff, Limb, Made, Outcome, Prepared, Source, Stage, Step, WaveformWord,
};
use crate::clinical::guidance::Set;
use crate::clinical::moment::{Day, NoDay};
use crate::clinical::site::{Side, Site};
use crate::clinical::sound::Sound;
use crate::clinical::typed::Given;
use crate::clinical::visit::VisitFault;
use crate::live::{COLUMN_S, Event as Told};
use crate::logbook::Keeper;
use crate::units::Mmhg;
use crate::window::awake::Awake;
use crate::window::exam::{Asked, Attempting, Exam, Stream};
use crate::window::now::Now;
use crate::window::sentence::sentence;
use crate::window::tone::AtReturn;

/// Digits that can be typed: `280,5`.
const TYPED: usize = 5;
/// Where the first arrow step begins, mmHg; nothing is filled in before it.
const ARROW_FROM: i32 = 100;
/// Cuffs that are remembered where only some were put on: width and length, arm and ankle, millimetres.
const USUAL_CUFFS: [u32; 4] = [120, 240, 120, 240];

/// Why an act of the visit is not done.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotDone {
    /// Begin a visit, or go on with one.
    #[error("no visit is open")]
    BeginOne,
    /// Keep a reading first.
    #[error("there is no reading to change")]
    KeepOneFirst,
    /// Put the cuffs on one by one, this once.
    #[error("no cuffs are remembered yet")]
    PutThemOn,
    /// Type the day anew.
    #[error(transparent)]
    TypeADay(#[from] NoDay),
    /// Nothing: it has no place in this visit.
    #[error(transparent)]
    HasNoPlace(#[from] VisitFault),
}

/// What follows in the rest of the window.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// Nothing.
    Stay,
    /// This site is measured now.
    Turned(Site),
    /// The valve is opened fully.
    ValveOpened,
    /// The rest is over.
    Measure,
    /// No site is left: the result. What could not be written down, if anything.
    Over(Option<NotDone>),
    /// This is chosen again next time.
    Remember(Change),
}

/// What lies beside a visit.
pub struct Beside<'a> {
    /// Where acts are kept.
    pub keeper: &'a Keeper,
    /// What the service chose.
    pub choices: &'a Choices,
    /// The guidance in use.
    pub sets: &'a [Set],
    /// The sound.
    pub listening: &'a Listening,
    /// The time.
    pub now: Now,
}

/// The visit in hand, if there is one.
#[derive(Default)]
pub struct InHand {
    /// The visit.
    pub exam: Option<Exam>,
    awake: Option<Awake>,
}

impl InHand {
    fn open(&mut self) -> Result<&mut Exam, NotDone> {
        self.exam.as_mut().ok_or(NotDone::BeginOne)
    }

    /// The attempt that runs, or has just ended.
    pub fn attempt(&self) -> Option<&Attempting> {
        self.exam.as_ref().and_then(|exam| exam.at.as_ref())
    }

    /// Adds an act.
    ///
    /// # Errors
    /// No visit is open, or the act does not fit.
    pub fn act(&mut self, act: Act, beside: &Beside<'_>) -> Result<Then, NotDone> {
        self.open()?.act(beside.keeper, beside.now, act)?;
        Ok(Then::Stay)
    }

    /// What the attempt that runs knows of the return.
    pub fn at_return(&self, now: Now) -> Option<AtReturn> {
        let exam = self.exam.as_ref()?;
        let at = exam.at.as_ref()?;
        Some(AtReturn {
            attempt: at.number,
            cue_s: at.course.cue_s(),
            now_s: exam.clock_s(now.at),
            ended: at.kept.is_some(),
        })
    }

    /// No sleep and no lock while a visit runs; gives what the system refused.
    pub fn stay_awake(&mut self, wanted: bool) -> Option<String> {
        let runs = self.exam.is_some() && wanted;
        if runs != self.awake.is_some() {
            self.awake = runs.then(Awake::hold);
        }
        self.awake.as_ref().and_then(Awake::refused)
    }

    /// Lets time pass. `Turned` or `Over` where the lifted probe says that the next site may come.
    ///
    /// # Errors
    /// An act does not fit.
    pub fn tick(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(exam) = &mut self.exam else { return Ok(Then::Stay) };
        match exam.tick(beside.keeper, beside.now)? {
            true => self.next(beside),
            false => Ok(Then::Stay),
        }
    }

    /// By how much the visit's clock is ahead of the sound's, as the sound is found now.
    pub fn keep_time(&mut self, found_s: f64, now: Now) {
        let Some(exam) = &mut self.exam else { return };
        let ahead_s = exam.clock_s(now.at) - found_s;
        exam.stream = exam.stream.map(|stream| Stream { ahead_s, ..stream });
    }

    /// Takes what happened in the sound.
    pub fn hear(&mut self, told: &Told) {
        let Some(exam) = &mut self.exam else { return };
        if let Told::Began(epoch) = told {
            let ahead_s = exam.stream.map_or(0.0, |stream| stream.ahead_s);
            exam.stream = Some(Stream { epoch: epoch.id, rate: epoch.rate, ahead_s });
        }
        if let Some(sound) = exam.stream.and_then(|stream| told.sound(stream.rate)) {
            exam.hear(sound);
        }
    }

    /// Takes the rate of the heart, beats a minute.
    pub fn hear_rate(&mut self, bpm: f64) {
        self.exam.iter_mut().for_each(|exam| exam.hear(Sound::Rate { bpm, regular: None }));
    }

    /// The sound is over: what was heard in an attempt that was left goes to the record.
    ///
    /// # Errors
    /// It does not fit.
    pub fn settle(&mut self, keeper: &Keeper, now: Now) -> Result<(), NotDone> {
        let Some(exam) = &mut self.exam else { return Ok(()) };
        Ok(exam.settle(keeper, now)?)
    }

    /// The result is shown, and what is shown goes to the record, each time it says something new.
    ///
    /// # Errors
    /// It does not fit.
    pub fn show_result(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(exam) = &mut self.exam else { return Ok(Then::Stay) };
        let shown = exam.result(beside.sets).shown();
        if exam.visit.shown.last() != Some(&shown) {
            exam.act(beside.keeper, beside.now, Act::GuidanceShown(shown))?;
        }
        Ok(Then::Stay)
    }

    /// A supervisor countersigns; nobody's name is no signature.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn countersign(&mut self, who: &str, beside: &Beside<'_>) -> Result<Then, NotDone> {
        match who.trim() {
            "" => Ok(Then::Stay),
            who => self.act(Act::Countersigned { who: who.to_owned() }, beside),
        }
    }

    /// When the next test is due.
    ///
    /// # Errors
    /// No day, or as [`InHand::act`].
    pub fn next_due(&mut self, on: &str, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let on: Day = on.trim().parse()?;
        let who = self.open()?.visit.opened.operator.clone();
        self.act(Act::NextTest { on, who }, beside)
    }

    /// An act of the preparation.
    ///
    /// # Errors
    /// As [`InHand::act`]; no cuffs are remembered.
    pub fn prepare(&mut self, act: PreparingAct, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let prepared = match act {
            PreparingAct::Answer(weight, answered) => {
                return self.act(answered_act(weight, answered), beside);
            }
            PreparingAct::NoneApplies => return self.none_applies(beside),
            PreparingAct::PutCuff(cuff) => return self.put_cuff(cuff, beside),
            PreparingAct::AsLastTime => return self.as_last_time(beside),
            PreparingAct::EndRest => return self.end_rest(beside),
            PreparingAct::NeedleAtZero(answer) => Prepared::NeedleAtZero { answer },
            PreparingAct::Feel(foot) => Prepared::Foot(foot),
            PreparingAct::SoundChecked => Prepared::Sound { words: beside.listening.check_words() },
            PreparingAct::LeaveOut(step) => Prepared::LeftOut { step },
        };
        self.act(Act::Prepared(prepared), beside)
    }

    fn none_applies(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        for item in cautions::to_ask(&self.open()?.visit) {
            let sides: Vec<Option<Side>> = match item.about {
                About::Patient => vec![None],
                About::Leg | About::Arm => Side::BOTH.map(Some).to_vec(),
            };
            for side in sides {
                let answered = Answered { id: item.id.clone(), answer: Answer::No, side };
                self.act(answered_act(item.weight, answered), beside)?;
            }
        }
        Ok(Then::Stay)
    }

    fn put_cuff(&mut self, cuff: Cuff, beside: &Beside<'_>) -> Result<Then, NotDone> {
        self.act(Act::Prepared(Prepared::Cuff(cuff)), beside)?;
        let mut sizes = beside.choices.cuffs().unwrap_or(USUAL_CUFFS);
        for prepared in &self.open()?.visit.prepared {
            if let Prepared::Cuff(cuff) = prepared {
                let at = if cuff.limb == Limb::Arm { 0 } else { 2 };
                (sizes[at], sizes[at + 1]) = (cuff.width_mm, cuff.length_mm);
            }
        }
        Ok(Then::Remember(Change::Cuffs(sizes)))
    }

    /// Cuffs and instruments as last time, in one act; the needle at zero is part of it.
    fn as_last_time(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let [arm_width, arm_length, ankle_width, ankle_length] =
            beside.choices.cuffs().ok_or(NotDone::PutThemOn)?;
        for side in Side::BOTH {
            for (limb, width_mm, length_mm) in
                [(Limb::Arm, arm_width, arm_length), (Limb::Ankle, ankle_width, ankle_length)]
            {
                let cuff = Cuff { side, limb, circumference_mm: None, width_mm, length_mm };
                self.act(Act::Prepared(Prepared::Cuff(cuff)), beside)?;
            }
        }
        self.act(Act::Prepared(Prepared::NeedleAtZero { answer: Answer::Yes }), beside)?;
        if let Some(tenths) = beside.choices.probe() {
            let mhz = f64::from(tenths) / 10.0;
            self.act(Act::Prepared(Prepared::Probe { mhz }), beside)?;
        }
        Ok(Then::Stay)
    }

    fn end_rest(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        if exam.rest_recorded().is_none() {
            let minutes = u32::try_from(exam.rested_s(beside.now) / 60).unwrap_or(u32::MAX);
            let wanted_min = beside.choices.rest_min();
            self.act(Act::Prepared(Prepared::Rested { minutes, wanted_min }), beside)?;
        }
        Ok(Then::Measure)
    }

    /// Makes measuring ready: what was not said in the preparation is recorded as left out, limbs with a caution are
    /// out of the order, and the next site is turned to.
    ///
    /// # Errors
    /// As [`InHand::act`].
    pub fn measure(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        if exam.at.is_some() {
            return Ok(Then::Stay);
        }
        let open: Vec<Step> = Step::ALL.into_iter().filter(|s| !exam.step_done(*s)).collect();
        for step in open {
            self.act(Act::Prepared(Prepared::LeftOut { step }), beside)?;
        }
        self.take_out_of_order(beside)?;
        self.next(beside)
    }

    fn take_out_of_order(&mut self, beside: &Beside<'_>) -> Result<(), NotDone> {
        let exam = self.open()?;
        let sites: Vec<Site> = exam.order.round(false).collect();
        for site in sites {
            let tried = exam.visit.attempts.iter().any(|a| a.site == site);
            if let (false, Some(why)) = (tried, cautions::left_out(&exam.visit, site)) {
                let reason = why.to_lowercase();
                let attempt = exam.visit.attempts.iter().map(|a| a.number).max().unwrap_or(0) + 1;
                let phase = Default::default();
                let chosen = Act::SiteChosen { attempt, site, phase, gauge: None };
                let outcome = Act::Outcome { attempt, outcome: Outcome::NotMeasured { reason } };
                for act in [chosen, outcome] {
                    exam.act(beside.keeper, beside.now, act)?;
                }
            }
        }
        Ok(())
    }

    /// On to the next site, or to the result where there is none.
    fn next(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        match exam.next_site() {
            Some(site) => self.turn_to(site, beside),
            None => Ok(Then::Over(exam.leave(beside.keeper, beside.now).err().map(Into::into))),
        }
    }

    fn turn_to(&mut self, site: Site, beside: &Beside<'_>) -> Result<Then, NotDone> {
        self.open()?.turn_to(beside.keeper, beside.now, site)?;
        Ok(Then::Turned(site))
    }

    /// An act at a site.
    ///
    /// # Errors
    /// As [`InHand::act`]; there is no reading to change.
    pub fn at_site(&mut self, act: SiteAct, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        let now_s = exam.clock_s(beside.now.at);
        if !matches!(act, SiteAct::NoSignal | SiteAct::Enter) {
            exam.at.iter_mut().for_each(|at| (at.asked, at.said) = (None, None));
        }
        match act {
            SiteAct::TurnTo(site) => return self.turn_to(site, beside),
            SiteAct::Tap(made) => return self.tap(made, beside),
            SiteAct::TakeBack => return self.take_back(beside),
            SiteAct::Enter => return self.enter(beside),
            SiteAct::Repeat => return self.repeat(beside),
            SiteAct::NoSignal => return self.no_signal(beside),
            SiteAct::NotCompressible => return self.not_compressible(beside),
            SiteAct::NotMeasured(reason) => {
                return self.end(Outcome::NotMeasured { reason }, beside);
            }
            SiteAct::Stop => return self.stop(beside),
            SiteAct::NeedleMark => return self.needle_mark(beside),
            SiteAct::Word(word) => return self.word(word, beside),
            SiteAct::Next => return self.go_on(beside),
            SiteAct::Digit(typed) => self.alter(|at| digit(at, typed)),
            SiteAct::Erase => self.alter(|at| {
                at.typed.pop();
            }),
            SiteAct::Arrow(steps) => {
                self.alter(|at| arrow(at, steps, beside.choices.graduation()));
            }
            SiteAct::AskWhy => self.alter(|at| at.asking_why = at.kept.is_none() && !at.asking_why),
            SiteAct::SetStage(stage) => self.alter(|at| at.course.set_stage(stage, now_s)),
            SiteAct::StageOn => self.alter(|at| {
                at.course.set_stage(stage_beside(at.course.stage(), true), now_s);
            }),
            SiteAct::StageBack => self.alter(|at| {
                at.course.set_stage(stage_beside(at.course.stage(), false), now_s);
            }),
            SiteAct::ChangeReading => self.alter(|at| {
                at.changing = at.kept.as_ref().is_some_and(|k| k.reading.is_some()) && !at.changing;
                at.typed.clear();
            }),
        }
        Ok(Then::Stay)
    }

    /// Changes the attempt that runs, where one does.
    fn alter(&mut self, change: impl FnOnce(&mut Attempting)) {
        if let Some(at) = self.exam.as_mut().and_then(|exam| exam.at.as_mut()) {
            change(at);
        }
    }

    fn tap(&mut self, made: Made, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let found = beside.listening.locate(beside.now.at);
        self.open()?.tap(beside.keeper, beside.now, found, made)?;
        Ok(Then::Stay)
    }

    fn take_back(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        let now_s = exam.clock_s(beside.now.at);
        let Some(at) = exam.at.as_mut().filter(|at| at.kept.is_none()) else {
            return Ok(Then::Stay);
        };
        if at.course.take_back(now_s) {
            let attempt = at.number;
            exam.act(beside.keeper, beside.now, Act::MarkTakenBack { attempt })?;
            exam.note_stage(beside.keeper, beside.now)?;
        }
        Ok(Then::Stay)
    }

    fn repeat(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        match self.attempt().map(|at| at.site) {
            Some(site) => self.turn_to(site, beside),
            None => Ok(Then::Stay),
        }
    }

    fn go_on(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        match self.attempt() {
            Some(at) if at.kept.is_some() || at.stopped => self.next(beside),
            _ => Ok(Then::Stay),
        }
    }

    fn no_signal(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(at) = self.open()?.at.as_mut() else { return Ok(Then::Stay) };
        let heard = at.course.pulses().len() >= 4 && at.asked != Some(Asked::NoSignal);
        if heard {
            at.asked = Some(Asked::NoSignal);
            let said = "A pulse was heard here. Once more: no signal found all the same.";
            at.said = Some(said.into());
            return Ok(Then::Stay);
        }
        self.end(Outcome::NoSignal, beside)
    }

    fn not_compressible(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(at) = self.attempt() else { return Ok(Then::Stay) };
        let limit_mmhg = at.start.unwrap_or(beside.choices.ceiling());
        self.end(Outcome::NotCompressible { limit_mmhg }, beside)
    }

    fn stop(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        if exam.at.is_none() {
            return Ok(Then::Stay);
        }
        exam.stop(beside.keeper, beside.now)?;
        Ok(Then::ValveOpened)
    }

    fn word(&mut self, word: WaveformWord, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        let Some(at) = exam.at.as_mut() else { return Ok(Then::Stay) };
        let site = at.site;
        at.kept.iter_mut().for_each(|kept| kept.word = Some(word));
        exam.act(beside.keeper, beside.now, Act::Waveform { site, word })?;
        Ok(Then::Stay)
    }

    fn end(&mut self, outcome: Outcome, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        if exam.at.as_ref().is_none_or(|at| at.kept.is_some()) {
            return Ok(Then::Stay);
        }
        let sound = &beside.listening.snapshot;
        exam.keep_picture(sound.columns.iter(), COLUMN_S, sound.sound_s);
        exam.end(beside.keeper, beside.now, outcome)?;
        Ok(Then::ValveOpened)
    }

    /// The key or target that keeps: what it means depends on where the attempt stands.
    fn enter(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(at) = self.open()?.at.as_mut() else { return Ok(Then::Stay) };
        if at.kept.is_some() && !at.changing {
            return self.next(beside);
        }
        if at.typed.is_empty() {
            if at.course.stage() == Stage::Read {
                at.said = Some("Type what the needle showed first.".into());
            }
            return Ok(Then::Stay);
        }
        let mmhg = match at.typed.parse() {
            Ok(Given::Pressure(mmhg)) => mmhg,
            Ok(_) => return Ok(Then::Stay),
            Err(refused) => {
                at.said = Some(sentence(&format!("{refused}.")));
                return Ok(Then::Stay);
            }
        };
        if at.stage() == Some(Stage::Inflate) {
            return self.pumped_to(mmhg, beside);
        }
        if let Some(question) = question(at, mmhg, beside.choices.graduation())
            && at.asked != Some(Asked::Keep(mmhg))
        {
            (at.asked, at.said) = (Some(Asked::Keep(mmhg)), Some(question));
            return Ok(Then::Stay);
        }
        if at.changing {
            return self.amend(mmhg, beside);
        }
        let source = if at.entered() { Source::Entered } else { Source::EarAndGauge };
        self.end(Outcome::Reading { cuff_mmhg: mmhg, source }, beside)
    }

    /// The pressure that was pumped to: it begins the release, and is a needle mark.
    fn pumped_to(&mut self, mmhg: Mmhg, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let ceiling = beside.choices.ceiling();
        let exam = self.open()?;
        let now_s = exam.clock_s(beside.now.at);
        let Some(at) = exam.at.as_mut() else { return Ok(Then::Stay) };
        if mmhg > ceiling {
            at.said =
                Some(format!("Above this service's ceiling of {ceiling} mmHg: let it down now."));
        }
        at.typed.clear();
        at.start = Some(mmhg);
        at.course.start_from(mmhg, now_s);
        at.course.set_stage(Stage::Release, now_s);
        self.needle(mmhg, beside)
    }

    fn needle(&mut self, cuff_mmhg: Mmhg, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let now = beside.now;
        let found = beside.listening.locate(now.at);
        let exam = self.open()?;
        let (now_s, sound) = (exam.clock_s(now.at), exam.sound_time(found, now.at));
        let Some(at) = exam.at.as_mut() else { return Ok(Then::Stay) };
        at.course.needle(cuff_mmhg, now_s);
        at.mark = Some(cuff_mmhg);
        let act = Act::Needle { attempt: at.number, cuff_mmhg, at: sound };
        exam.act(beside.keeper, now, act)?;
        Ok(Then::Stay)
    }

    /// The needle passes the next ten below the last mark.
    fn needle_mark(&mut self, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let Some(at) = self.open()?.at.as_mut() else { return Ok(Then::Stay) };
        let Some(last) = at.mark else {
            at.said =
                Some("Type the pressure you pumped to first: then each mark is ten lower.".into());
            return Ok(Then::Stay);
        };
        let next = (last.as_tenths() - 1).div_euclid(100) * 100;
        match Mmhg::tenths(next) {
            Ok(mmhg) if next > 0 => self.needle(mmhg, beside),
            _ => Ok(Then::Stay),
        }
    }

    fn amend(&mut self, mmhg: Mmhg, beside: &Beside<'_>) -> Result<Then, NotDone> {
        let exam = self.open()?;
        let Some(at) = exam.at.as_ref() else { return Ok(Then::Stay) };
        let (attempt, Some(kept)) = (at.number, at.kept.clone()) else { return Ok(Then::Stay) };
        let place = usize::try_from(kept.event).ok().and_then(|n| n.checked_sub(1));
        let old = place.and_then(|p| exam.visit_act(p)).ok_or(NotDone::KeepOneFirst)?;
        let Act::Outcome { outcome: Outcome::Reading { source, .. }, .. } = old else {
            return Err(NotDone::KeepOneFirst);
        };
        let outcome = Outcome::Reading { cuff_mmhg: mmhg, source };
        let shown = kept.comparison.is_some();
        let why = if shown { "changed after the comparison was shown" } else { "typed wrongly" };
        let act = Act::Amendment {
            of: kept.event,
            old: Box::new(old),
            new: Box::new(Act::Outcome { attempt, outcome }),
            who: exam.visit.opened.operator.clone(),
            why: why.into(),
        };
        exam.act(beside.keeper, beside.now, act)?;
        let ticket = exam.last();
        self.alter(|at| {
            at.changing = false;
            at.typed.clear();
            (at.said, at.asked) = (None, None);
            if let Some(kept) = &mut at.kept {
                (kept.ticket, kept.reading) = (ticket, Some(mmhg));
                kept.words = format!("{mmhg} mmHg, changed");
            }
        });
        Ok(Then::Stay)
    }
}

fn answered_act(weight: Weight, answered: Answered) -> Act {
    match weight {
        Weight::RedFlag => Act::RedFlag(answered),
        Weight::Caution => Act::Caution(answered),
    }
}

/// The stage after, and the stage before.
const fn stage_beside(stage: Stage, on: bool) -> Stage {
    match (stage, on) {
        (Stage::Find, true) | (Stage::Release, false) => Stage::Inflate,
        (Stage::Inflate, true) | (Stage::Read, false) => Stage::Release,
        (Stage::Release | Stage::Read, true) => Stage::Read,
        (Stage::Find | Stage::Inflate, false) => Stage::Find,
    }
}

fn digit(at: &mut Attempting, digit: char) {
    let ended = at.kept.is_some() && !at.changing;
    if ended || at.stopped || at.typed.len() >= TYPED {
        return;
    }
    if digit == ',' && (at.typed.is_empty() || at.typed.contains(',')) {
        return;
    }
    at.typed.push(digit);
}

/// One graduation up or down; the first step from an empty field begins at a round number.
fn arrow(at: &mut Attempting, steps: i32, graduation: Mmhg) {
    let ended = at.kept.is_some() && !at.changing;
    if ended || at.stopped {
        return;
    }
    let tenths = match at.typed.parse::<Given>() {
        Ok(Given::Pressure(mmhg)) => mmhg.as_tenths() + steps * graduation.as_tenths(),
        _ => ARROW_FROM * 10,
    };
    if let Ok(mmhg) = Mmhg::tenths(tenths) {
        at.typed = mmhg.to_string();
    }
}

/// What is asked once before this pressure is kept.
fn question(at: &Attempting, mmhg: Mmhg, graduation: Mmhg) -> Option<String> {
    if at.start.is_some_and(|start| mmhg > start) {
        return Some("Higher than you pumped to. Keep it all the same? Once more.".into());
    }
    let between = mmhg.as_tenths() % graduation.as_tenths().max(1) != 0;
    let between = between && !at.entered();
    between.then(|| {
        format!("{mmhg} lies between the gauge's lines, {graduation} mmHg apart. Keep it all the same? Once more.")
    })
}
