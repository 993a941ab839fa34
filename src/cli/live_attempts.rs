//! Attempts in the terminal: marks and readings on live sound, by the same rules as at the bedside. The terminal does not
//! know which artery is heard, so readings are not held against each other, and no index comes of them.

use std::time::Instant;

use crate::clinical::event::{
    Act, Answer, Event, Gauge, Made, Opened, Posture, SoundTime, VisitKind,
};
use crate::clinical::method::Method;
use crate::clinical::moment::Moment;
use crate::clinical::repeat_rules::Repeats;
use crate::clinical::sequence;
use crate::clinical::site::{Artery, Side, Site};
use crate::clinical::sound::Sound;
use crate::clinical::working::PROGRAM;
use crate::conduct::{
    At, AtSite, Command, Conduct, Field, Notice, Output, Refusal, Rules, Stream, wording,
};
use crate::units::{Mmhg, SampleRate};
use crate::words::Words;

/// The attempts of one session.
pub(super) struct Attempts {
    conduct: Conduct,
    began: Instant,
    /// What was typed last and is no pressure.
    refused: Option<String>,
}

impl Attempts {
    /// The first attempt begins now.
    pub(super) fn begin(now: Instant) -> Result<Self, Refusal> {
        let rules = Rules { ceiling: Mmhg::LIMIT, rest_min: 0, sites_known: false };
        let conduct = Conduct::open(opened(), rules, at(0.0, None))?;
        let mut attempts = Self { conduct, began: now, refused: None };
        // Which site stands here does not matter: it goes nowhere.
        let site = Site::new(Side::Right, Artery::Brachial);
        attempts.does(AtSite::TurnTo(site), now, None)?;
        Ok(attempts)
    }

    fn clock_s(&self, now: Instant) -> f64 {
        now.saturating_duration_since(self.began).as_secs_f64()
    }

    /// Carries out what the clinician does; `sound` is where that lies in the sound.
    pub(super) fn does(
        &mut self,
        deed: AtSite,
        now: Instant,
        sound: Option<SoundTime>,
    ) -> Result<(), Refusal> {
        let at = at(self.clock_s(now), sound);
        self.conduct.act(Command::Site(deed), at)?;
        self.refuse(at)?;
        let ended = self.conduct.current().is_some_and(|current| current.ended.is_some());
        if ended { self.conduct.act(Command::Site(AtSite::Repeat), at) } else { Ok(()) }
    }

    /// What is no pressure is refused with a sentence, and the line is empty for the next number.
    fn refuse(&mut self, at: At) -> Result<(), Refusal> {
        self.refused = None;
        let Some(current) = self.conduct.current() else { return Ok(()) };
        if let Some(notice @ Notice::NoPressure(_)) = &current.notice {
            let typed = current.entry.text();
            self.refused = Some(format!(
                "{typed} was not kept: {}",
                wording::notice(Words::english(), notice)
            ));
        }
        let letters = self.refused.as_ref().map_or(0, |_| current.entry.text().len());
        (0..letters).try_for_each(|_| self.conduct.act(Command::Site(AtSite::Erase), at))
    }

    /// Marks the return of the sound.
    pub(super) fn mark(&mut self, now: Instant, sound: SoundTime) -> Result<(), Refusal> {
        self.does(AtSite::Tap(Made::Key), now, Some(sound))
    }

    /// Takes what was heard in a stream that is this far along now, seconds.
    pub(super) fn hear(&mut self, sound: Sound, (epoch, rate): (u32, SampleRate), along_s: f64) {
        let ahead_s = self.clock_s(Instant::now()) - along_s;
        self.conduct.set_stream(Stream { epoch, rate, ahead_s });
        self.conduct.hear(sound);
    }

    /// Lets time pass.
    pub(super) fn tick(&mut self, now: Instant) -> Result<(), Refusal> {
        self.conduct.tick(at(self.clock_s(now), None))
    }

    /// What the clinician did, to be written down: the numbers are those within the session.
    pub(super) fn done(&mut self) -> Vec<Event> {
        let mut done = Vec::new();
        while let Some(output) = self.conduct.poll() {
            if let Output::Keep(event) = output {
                self.conduct.committed(event.n);
                done.extend(Some(event).filter(|event| is_the_clinicians(&event.act)));
            }
        }
        done
    }

    /// What was typed, behind the name of its field; empty while nothing is.
    pub(super) fn typed(&self) -> String {
        let Some(current) = self.conduct.current().filter(|c| !c.entry.is_empty()) else {
            return String::new();
        };
        let name = match current.field() {
            Field::InflatedTo => "inflated to",
            Field::Reading => "reading",
        };
        format!("{name}: {}", current.entry.text())
    }

    /// What must be said: a question, or why something was not taken.
    pub(super) fn said(&self) -> Option<String> {
        if self.refused.is_some() {
            return self.refused.clone();
        }
        let current = self.conduct.current()?;
        let question =
            current.question.map(|question| wording::question(Words::english(), question));
        let notice = current.notice.as_ref();
        question.or_else(|| notice.map(|notice| wording::notice(Words::english(), notice)))
    }
}

fn is_the_clinicians(act: &Act) -> bool {
    matches!(
        act,
        Act::Mark { .. }
            | Act::MarkTakenBack { .. }
            | Act::Inflated { .. }
            | Act::Undone { .. }
            | Act::Outcome { .. }
    )
}

fn at(s: f64, sound: Option<SoundTime>) -> At {
    let utc = crate::units::wall_clock();
    At { s, wall: Moment::new(utc, jiff::tz::TimeZone::system().to_offset(utc)), sound }
}

/// What a visit must open with; none of it leaves the program.
fn opened() -> Opened {
    Opened {
        record: String::new(),
        operator: String::new(),
        method: Method::Higher,
        order: sequence::DEFAULT.into(),
        repeats: Repeats::default(),
        gauge: Gauge {
            code: String::new(),
            graduation_mmhg: Mmhg::whole(1).unwrap_or(Mmhg::LIMIT),
        },
        other_gauges: Vec::new(),
        posture: Posture::Other,
        scope: VisitKind::Full,
        reason: String::new(),
        ulcer: None,
        diabetes: Answer::Unknown,
        kidney: Answer::Unknown,
        rested_min: None,
        program: PROGRAM.into(),
        listener: Some(PROGRAM.into()),
    }
}
