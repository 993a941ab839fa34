//! A visit under way as a plain object: no window, no thread, no disk. Acts, sounds and the time go in; events come out.

use cuffnote::clinical::event::{
    Act, Answer, Event, Gauge, Made, Opened, Outcome, Posture, Source, Stage,
};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::repeat_rules::Repeats;
use cuffnote::clinical::sequence;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::sound::Sound;
use cuffnote::clinical::visit::Visit;
use cuffnote::conduct::{
    At, AtSite, Command, Conduct, Doubt, Field, Notice, OfVisit, Output, Preparing, Prompt,
    Question, Refusal, Rules,
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
        reason: String::new(),
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
        let rules = Rules { ceiling: mmhg(280), rest_min: 10, sites_known: true };
        let conduct = Conduct::open(opened(), rules, at(0.0)).unwrap();
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
