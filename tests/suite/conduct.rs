//! A visit under way as a plain object: no window, no thread, no disk. Acts, sounds and the time go in; events come out.

use cuffnote::clinical::cautions::{self, Weight};
use cuffnote::clinical::event::{
    Act, Answer, Answered, Event, Gauge, Made, Opened, Outcome, Posture, Source, Stage, VisitKind,
    WoundCare,
};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::repeat_rules::Repeats;
use cuffnote::clinical::sequence;
use cuffnote::clinical::site::{Side, Site};
use cuffnote::clinical::sound::Sound;
use cuffnote::clinical::visit::Visit;
use cuffnote::conduct::{
    At, AtSite, Command, Conduct, Correction, Doubt, Field, Notice, OfVisit, Output, Preparing,
    Prompt, Question, Refusal, Rules,
};
use cuffnote::units::Mmhg;

/// Drives a visit in virtual time, as a shell does.
pub struct Drive {
    pub conduct: Conduct,
    pub s: f64,
    /// What came out to be kept.
    pub kept: Vec<Event>,
    /// Sites that were turned to.
    pub turned: Vec<Site>,
    pub finished: bool,
    /// False while the disk refuses.
    pub disk: bool,
}

pub fn mmhg(whole: i32) -> Mmhg {
    Mmhg::whole(whole).unwrap()
}

pub fn opened() -> Opened {
    Opened {
        record: "K204Q".into(),
        operator: "op-7".into(),
        method: Method::Higher,
        order: sequence::DEFAULT.into(),
        repeats: Repeats::default(),
        gauge: Gauge { code: "G-2".into(), graduation_mmhg: mmhg(2) },
        other_gauges: Vec::new(),
        posture: Posture::Supine,
        scope: VisitKind::Full,
        reason: String::new(),
        ulcer: None,
        diabetes: Answer::No,
        kidney: Answer::No,
        rested_min: None,
        program: "test".into(),
        listener: None,
    }
}

pub fn at(s: f64) -> At {
    let began = Moment::parse("2026-11-25T09:00:00+01:00").unwrap();
    let by = jiff::SignedDuration::from_millis((s * 1e3) as i64);
    let utc = began.utc().checked_add(by).unwrap();
    At { s, wall: Moment::new(utc, jiff::tz::Offset::constant(1)), sound: None }
}

impl Drive {
    pub fn new() -> Self {
        Self::of(opened())
    }

    pub fn of(opened: Opened) -> Self {
        let rules = Rules { ceiling: mmhg(280), rest_min: 10, sites_known: true };
        let conduct = Conduct::open(opened, rules, at(0.0)).unwrap();
        let (kept, turned) = (Vec::new(), Vec::new());
        let mut drive = Self { conduct, s: 0.0, kept, turned, finished: false, disk: true };
        drive.drain();
        drive
    }

    fn drain(&mut self) {
        while let Some(output) = self.conduct.poll() {
            match output {
                Output::Keep(event) => self.kept.push(event),
                Output::Turned(site) => self.turned.push(site),
                Output::OpenValve => {}
                Output::Finished => self.finished = true,
            }
        }
        if self.disk {
            self.conduct.committed(self.kept.last().map_or(0, |e| e.n));
        }
    }

    pub fn act(&mut self, command: Command) -> Result<(), Refusal> {
        let done = self.conduct.act(command, at(self.s));
        self.drain();
        done
    }

    pub fn site(&mut self, deed: AtSite) {
        self.act(Command::Site(deed)).unwrap();
    }

    pub fn wait(&mut self, seconds: f64) {
        let until = self.s + seconds;
        while self.s < until {
            self.s = (self.s + 0.1).min(until);
            self.conduct.tick(at(self.s)).unwrap();
            self.drain();
        }
    }

    pub fn digits(&mut self, digits: &str) {
        digits.chars().for_each(|digit| self.site(AtSite::Digit(digit)));
    }

    /// A pulse for some seconds, sixty a minute.
    pub fn pulse(&mut self, seconds: u32) {
        for _ in 0..seconds {
            self.conduct.hear(Sound::Pulse { at_s: self.s, strength_db: 12.0 });
            self.wait(1.0);
        }
        self.conduct.hear(Sound::Rate { bpm: 60.0, regular: Some(true) });
    }

    /// Through an inflation until the pulse is back, with the pressure inflated to where it is given.
    pub fn until_return(&mut self, inflated_to: Option<&str>) {
        self.pulse(5);
        self.conduct.hear(Sound::Lost { at_s: self.s });
        self.wait(2.0);
        if let Some(digits) = inflated_to {
            self.digits(digits);
            self.site(AtSite::Enter);
        }
        self.wait(16.0);
        self.conduct.hear(Sound::Return { at_s: self.s, confidence: 0.97 });
        self.pulse(1);
    }

    pub fn measure(&mut self) {
        self.act(Command::Prepare(Preparing::NoneApplies)).unwrap();
        self.act(Command::Prepare(Preparing::EndRest)).unwrap();
    }

    pub fn question(&self) -> Option<Question> {
        self.conduct.current().and_then(|c| c.question)
    }

    pub fn visit(&self) -> &Visit {
        self.conduct.visit()
    }

    fn outcomes(&self) -> Vec<Outcome> {
        self.visit().attempts.iter().filter_map(|a| a.outcome.clone()).collect()
    }
}

fn reading(whole: i32) -> Outcome {
    Outcome::Reading { cuff_mmhg: mmhg(whole), source: Source::EarAndGauge }
}

#[test]
fn a_whole_visit_runs_without_window_thread_or_disk() {
    let mut drive = Drive::new();
    drive.measure();
    for number in ["148", "104", "96", "146", "150", "142"] {
        drive.until_return(Some("180"));
        drive.site(AtSite::Tap(Made::Key));
        drive.wait(0.5);
        drive.digits(number);
        drive.site(AtSite::Enter);
        if drive.question().is_some() {
            drive.site(AtSite::Enter);
        }
        assert_eq!(drive.conduct.prompt(drive.s), Some(Prompt::KeptReading));
        drive.site(AtSite::Enter);
    }
    assert!(drive.finished);
    let result = drive.conduct.result(&[]);
    assert_eq!(result.right.index.unwrap().to_string(), "0.70");
    assert_eq!(result.left.index.unwrap().to_string(), "1.01");
    drive.act(Command::Visit(OfVisit::Close)).unwrap();
    assert_eq!(Visit::from_events(&drive.kept).unwrap(), *drive.visit());
    let sites: Vec<String> = drive.turned.iter().map(|s| s.code()).collect();
    assert_eq!(sites, ["right-arm", "right-pt", "right-dp", "left-pt", "left-dp", "left-arm"]);
}

#[test]
fn a_pressure_inflated_to_never_becomes_a_reading() {
    let mut drive = Drive::new();
    drive.measure();
    drive.pulse(5);
    drive.conduct.hear(Sound::Lost { at_s: drive.s });
    drive.wait(4.5);
    drive.digits("18");
    // The stage goes on by itself between the digits, as it did when 180 was kept as a systolic pressure.
    drive.wait(2.0);
    assert_eq!(drive.conduct.current().unwrap().stage(), Some(Stage::Release));
    drive.digits("0");
    assert_eq!(drive.conduct.current().unwrap().field(), Field::InflatedTo);
    drive.site(AtSite::Enter);
    assert_eq!(drive.outcomes(), []);
    assert_eq!(drive.visit().attempts[0].inflated_to, Some(mmhg(180)));
    // Typed after the change of stage it is a reading, and is asked about: no tap, no return.
    drive.digits("190");
    drive.site(AtSite::Enter);
    assert_eq!(
        drive.question(),
        Some(Question::Keep(mmhg(190), Doubt::AboveInflatedTo(mmhg(180))))
    );
    assert_eq!(drive.outcomes(), []);
    // The key of the other field takes the same digits for what they are.
    drive.site(AtSite::InflatedTo);
    assert_eq!(drive.visit().attempts[0].inflated_to, Some(mmhg(190)));
    drive.digits("150");
    drive.site(AtSite::Enter);
    assert_eq!(drive.question(), Some(Question::Keep(mmhg(150), Doubt::NothingHeard)));
    drive.site(AtSite::Enter);
    assert_eq!(drive.outcomes(), [reading(150)], "one key goes on");
}

#[test]
fn not_compressible_needs_a_pressure_that_was_reached_and_is_asked() {
    let mut drive = Drive::new();
    drive.measure();
    drive.site(AtSite::NotCompressible);
    assert_eq!(drive.outcomes(), [], "the cuff was never inflated");
    drive.pulse(5);
    drive.site(AtSite::NotCompressible);
    assert_eq!(drive.conduct.current().unwrap().notice, Some(Notice::GivePressureReached));
    drive.digits("280");
    drive.site(AtSite::NotCompressible);
    assert_eq!(drive.question(), Some(Question::NotCompressible(mmhg(280))));
    assert_eq!(drive.outcomes(), []);
    drive.site(AtSite::NotCompressible);
    assert_eq!(drive.outcomes(), [Outcome::NotCompressible { limit_mmhg: mmhg(280) }]);
    drive.site(AtSite::Undo);
    assert_eq!(drive.outcomes(), []);
    assert!(drive.conduct.current().unwrap().ended.is_none(), "the attempt is open again");
}

#[test]
fn what_is_unlikely_is_asked_about_with_its_reason() {
    let asked = |first: &[&str], number: &str| {
        let mut drive = Drive::new();
        drive.measure();
        for number in first {
            drive.until_return(None);
            drive.site(AtSite::Tap(Made::Key));
            drive.digits(number);
            drive.site(AtSite::Enter);
            drive.site(AtSite::Enter);
        }
        drive.until_return(None);
        drive.site(AtSite::Tap(Made::Key));
        drive.digits(number);
        drive.site(AtSite::Enter);
        match drive.question() {
            Some(Question::Keep(_, doubt)) => Some(doubt),
            _ => None,
        }
    };
    assert_eq!(asked(&[], "138"), None);
    assert_eq!(asked(&[], "38"), Some(Doubt::Unusual));
    assert_eq!(asked(&[], "262"), Some(Doubt::Unusual));
    assert_eq!(asked(&[], "139"), Some(Doubt::BetweenLines(mmhg(2))));
    let foot = asked(&["148", "104"], "160");
    assert!(matches!(foot, Some(Doubt::OffFoot(..))), "{foot:?}");
    assert_eq!(asked(&["148", "104"], "150"), None);
    let arm = asked(&["148", "104", "96", "146", "150"], "110");
    assert!(matches!(arm, Some(Doubt::OffArm(..))), "{arm:?}");
}

#[test]
fn a_reading_is_held_against_the_needle_and_the_last_visit() {
    let mut drive = Drive::new();
    drive.conduct.set_last_visit(vec![("right-arm".parse().unwrap(), mmhg(200))]);
    drive.measure();
    drive.until_return(Some("180"));
    drive.site(AtSite::Tap(Made::Key));
    // 17 s at no more than 10 mmHg a second cannot have taken the needle from 280 to 60.
    drive.digits("140");
    drive.site(AtSite::Enter);
    assert_eq!(drive.question(), Some(Question::Keep(mmhg(140), Doubt::OffLastVisit(mmhg(200)))));
    let mut drive = Drive::new();
    drive.measure();
    drive.until_return(Some("280"));
    drive.site(AtSite::Tap(Made::Key));
    drive.digits("60");
    drive.site(AtSite::Enter);
    let doubt = drive.question();
    assert!(matches!(doubt, Some(Question::Keep(_, Doubt::BelowNeedle(_)))), "{doubt:?}");
}

#[test]
fn nothing_is_shown_as_kept_before_it_is_on_the_disk() {
    let mut drive = Drive::new();
    drive.measure();
    drive.until_return(None);
    drive.site(AtSite::Tap(Made::Key));
    drive.digits("138");
    drive.disk = false;
    drive.site(AtSite::Enter);
    assert_eq!(drive.conduct.prompt(drive.s), Some(Prompt::Saving));
    assert!(!drive.conduct.all_committed());
    drive.disk = true;
    drive.wait(0.1);
    assert_eq!(drive.conduct.prompt(drive.s), Some(Prompt::KeptReading));
}

#[test]
fn a_pulse_that_was_heard_makes_no_signal_a_question() {
    let mut drive = Drive::new();
    drive.measure();
    drive.pulse(5);
    drive.site(AtSite::NoSignal);
    assert_eq!(drive.question(), Some(Question::NoSignal));
    drive.site(AtSite::Tap(Made::Key));
    assert_eq!(drive.question(), None, "another act takes the question back");
    drive.site(AtSite::NoSignal);
    drive.site(AtSite::NoSignal);
    assert_eq!(drive.outcomes(), [Outcome::NoSignal]);
}

#[test]
fn undo_takes_back_one_act_after_another_and_leaves_the_trail() {
    let mut drive = Drive::new();
    drive.measure();
    let before = drive.visit().clone();
    drive.until_return(Some("180"));
    drive.site(AtSite::Tap(Made::Key));
    drive.digits("138");
    drive.site(AtSite::Enter);
    assert_eq!(drive.outcomes(), [reading(138)]);
    for _ in 0..3 {
        drive.site(AtSite::Undo);
    }
    let attempt = &drive.visit().attempts[0];
    assert_eq!((&attempt.outcome, attempt.mark, attempt.inflated_to), (&None, None, None));
    assert_eq!(drive.visit().answers, before.answers);
    let trail = drive.kept.iter().filter(|e| matches!(e.act, Act::Undone { .. })).count();
    assert_eq!(trail, 2, "the outcome and the pressure; a tap has a word of its own");
    let written = serde_json::to_string(&drive.kept).unwrap();
    let read: Vec<Event> = serde_json::from_str(&written).unwrap();
    assert_eq!(Visit::from_events(&read).unwrap(), *drive.visit());
}

#[test]
fn measuring_can_be_finished_at_any_moment_with_one_reason_for_the_rest() {
    let mut drive = Drive::new();
    drive.measure();
    drive.until_return(None);
    drive.site(AtSite::Tap(Made::Key));
    drive.digits("148");
    drive.site(AtSite::Enter);
    drive.site(AtSite::Enter);
    let nothing = drive.act(Command::Visit(OfVisit::Finish("  ".into())));
    assert_eq!(nothing, Err(Refusal::NoReason));
    drive.act(Command::Visit(OfVisit::Finish("patient tired".into()))).unwrap();
    assert!(drive.finished && drive.conduct.not_done().is_empty());
    let reason = "patient tired".to_owned();
    let rest = vec![Outcome::NotMeasured { reason }; 5];
    assert_eq!(drive.outcomes(), [vec![reading(148)], rest].concat());
}

#[test]
fn readings_that_contradict_each_other_give_no_index_until_one_is_withdrawn() {
    let mut drive = Drive::new();
    drive.measure();
    let keep = |drive: &mut Drive, number: &str| {
        drive.until_return(None);
        drive.site(AtSite::Tap(Made::Key));
        drive.digits(number);
        drive.site(AtSite::Enter);
        if drive.question().is_some() {
            drive.site(AtSite::Enter);
        }
    };
    for number in ["148", "104", "96", "146", "150"] {
        keep(&mut drive, number);
        drive.site(AtSite::Enter);
    }
    keep(&mut drive, "142");
    drive.site(AtSite::Repeat);
    keep(&mut drive, "100");
    let result = drive.conduct.result(&[]);
    assert_eq!((result.left.index, result.right.index), (None, None), "142 and 100 are no 121");
    let wanted = result.wanted.iter().find(|w| w.site.code() == "left-arm").unwrap();
    assert!(wanted.why.contains("contradict"), "{}", wanted.why);
    let attempt = drive.conduct.current().unwrap().number;
    let withdraw = |who: &str, why: &str| {
        let (who, why) = (who.to_owned(), why.to_owned());
        Command::Correct(Correction::Withdraw { attempt, who, why })
    };
    assert_eq!(drive.act(withdraw("", "typing error")), Err(Refusal::NobodyOrNoReason));
    assert_eq!(drive.act(withdraw("op-7", " ")), Err(Refusal::NobodyOrNoReason));
    drive.act(withdraw("op-7", "typing error")).unwrap();
    assert_eq!(drive.conduct.result(&[]).right.index.unwrap().to_string(), "0.70");
    drive.site(AtSite::Undo);
    assert_eq!(drive.conduct.result(&[]).right.index, None, "undone, both stand again");
}

#[test]
fn where_a_reading_came_from_never_changes_by_itself() {
    let mut drive = Drive::new();
    drive.measure();
    drive.site(AtSite::TurnTo("right-toe".parse().unwrap()));
    drive.digits("90");
    drive.site(AtSite::Enter);
    drive.site(AtSite::CorrectReading);
    drive.digits("92");
    drive.site(AtSite::Enter);
    let outcome = Outcome::Reading { cuff_mmhg: mmhg(92), source: Source::Entered };
    assert_eq!(drive.outcomes(), [outcome]);
    assert_eq!(drive.visit().amended.len(), 1);
}

/// One of everything that hands and sound can do, drawn.
fn anything(drive: &mut Drive, draw: &mut impl FnMut(u32) -> u32) {
    let sites =
        ["right-arm", "left-arm", "right-dp", "right-pt", "left-dp", "left-pt", "right-toe"];
    let site: Site = sites[draw(7) as usize].parse().unwrap();
    let at_s = drive.s;
    let deed = match draw(26) {
        0 => AtSite::TurnTo(site),
        1 => AtSite::Next,
        2 => AtSite::Repeat,
        3..=5 => AtSite::Tap(Made::Key),
        6 => AtSite::Undo,
        7..=11 => AtSite::Digit(char::from(b'0' + draw(10) as u8)),
        12 => AtSite::Erase,
        13 => AtSite::InflatedTo,
        14..=16 => AtSite::Enter,
        17 => AtSite::NoSignal,
        18 => AtSite::NotCompressible,
        19 => AtSite::NotMeasured("no time".into()),
        20 => AtSite::StageOn,
        21 => AtSite::Stop,
        22 => AtSite::NeedleMark,
        23 => AtSite::CorrectReading,
        24 => {
            drive.conduct.hear(Sound::Pulse { at_s, strength_db: 12.0 });
            return drive.wait(f64::from(draw(20)) / 10.0);
        }
        _ => {
            let sound = match draw(3) {
                0 => Sound::Lost { at_s },
                1 => Sound::Return { at_s, confidence: 0.9 },
                _ => Sound::Rate { bpm: 70.0, regular: Some(draw(2) == 0) },
            };
            drive.conduct.hear(sound);
            return drive.wait(f64::from(draw(60)) / 10.0);
        }
    };
    let _ = drive.act(Command::Site(deed));
}

/// What a visit says, without what time alone adds: stages and what the listener heard.
fn said_by_hand(visit: &Visit) -> String {
    let attempts = visit.attempts.iter().map(|a| {
        format!(
            "{} {} {:?} {:?} {:?} {:?}",
            a.number, a.site, a.outcome, a.marks, a.needles, a.stopped
        )
    });
    let attempts: Vec<String> = attempts.collect();
    format!("{attempts:?} {:?} {:?}", visit.answers, visit.waveforms)
}

/// Random hands at random times: no reading without digits that were typed for it, no outcome that no act gave, no
/// contradicted value in an index, and everything undone again gives what stood before.
#[test]
fn random_hands_make_no_number_that_was_not_typed() {
    let visits: u64 = std::env::var("CUFFNOTE_MONKEY").map_or(400, |n| n.parse().unwrap());
    let mut readings = 0;
    for seed in 0..visits {
        let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        let mut draw = |below: u32| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state % u64::from(below)) as u32
        };
        let mut drive = Drive::new();
        drive.measure();
        let before = said_by_hand(drive.visit());
        for _ in 0..40 + draw(160) {
            let typed = drive.conduct.current().map(|c| (c.entry.text().to_owned(), c.field()));
            let had = drive.kept.len();
            anything(&mut drive, &mut draw);
            for event in &drive.kept[had..] {
                let outcome = match &event.act {
                    Act::Outcome { outcome, .. } => outcome,
                    Act::Amendment { new, .. } => match &**new {
                        Act::Outcome { outcome, .. } => outcome,
                        _ => continue,
                    },
                    _ => continue,
                };
                if let Outcome::Reading { cuff_mmhg, .. } = outcome {
                    let (text, field) = typed.clone().unwrap();
                    assert_eq!(field, Field::Reading, "seed {seed}");
                    assert_eq!(text.parse::<f64>().unwrap(), cuff_mmhg.as_f64(), "seed {seed}");
                    readings += 1;
                }
            }
        }
        let visit = Visit::from_events(&drive.kept).unwrap();
        assert_eq!(visit, *drive.visit(), "seed {seed}: what was kept is what is shown");
        while drive.act(Command::Site(AtSite::Undo)).is_ok() {}
        let left = said_by_hand(drive.visit());
        let turned = drive.visit().attempts.len();
        let bare = drive.visit().attempts.iter().all(|a| {
            a.outcome.is_none()
                && a.marks.is_empty()
                && a.needles.is_empty()
                && a.withdrawn.is_none()
        });
        assert!(bare, "seed {seed}: {left}\nafter {turned} attempts; before {before}");
    }
    assert!(readings > visits / 10, "{readings} readings in {visits} visits: too few to tell");
}

#[test]
fn a_wound_where_the_cuff_goes_leaves_the_leg_out_only_where_nothing_else_was_decided() {
    let turned = |care: Option<WoundCare>| {
        let mut drive = Drive::new();
        let (id, side) = (cautions::WOUND.to_owned(), Side::Left);
        let answered = Answered { id, answer: Answer::Yes, side: Some(side) };
        drive.act(Command::Prepare(Preparing::Answer(Weight::Caution, answered))).unwrap();
        if let Some(care) = care {
            drive.act(Command::Prepare(Preparing::Wound(side, care))).unwrap();
        }
        drive.measure();
        drive.conduct.not_done().into_iter().filter(|s| !s.is_arm() && s.side == side).count()
    };
    assert_eq!(turned(None), 0);
    assert_eq!(turned(Some(WoundCare::LeftOut)), 0);
    assert_eq!(turned(Some(WoundCare::Covered)), 2, "a leg ulcer does not lose its leg");
    assert_eq!(turned(Some(WoundCare::CuffElsewhere)), 2);
}
