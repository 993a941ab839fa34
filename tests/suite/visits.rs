//! Ten visits of an invented clinic, for every form that leaves the program: as events, made in code.

use cuffnote::clinical::event::{
    Act, Answer, Answered, Event, Heard, Made, Outcome, Phase, Posture, SoundTime, WaveformWord,
};
use cuffnote::clinical::guidance::{self, GuidanceSet};
use cuffnote::clinical::method::Method;
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::result::VisitResult;
use cuffnote::clinical::site::{Side, Site};
use cuffnote::clinical::typed::{self, Given};
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::{work_out, work_out_in};
use cuffnote::logbook::{Head, VisitId};
use cuffnote::report::content::{Content, ReportSource, SoundPicture, Trail};
use cuffnote::report::fhir;
use cuffnote::units::{Mmhg, SampleIndex, Sonogram};
use cuffnote::words::Words;

/// A visit being made.
pub struct Maker {
    acts: Vec<Act>,
    attempts: u32,
    sound: bool,
}

impl Maker {
    /// A visit that is open, on the patient's back, with a listener.
    pub fn open(record: &str) -> Self {
        let mut opened = typed::opening(Method::Higher, mmhg(2), Posture::Supine);
        opened.record = record.into();
        opened.operator = "op-3".into();
        opened.gauge.code = "G-5".into();
        opened.order = "counter-clockwise".into();
        opened.reason = "leg ulcer, before compression".into();
        opened.rested_min = Some(10);
        opened.diabetes = Answer::No;
        opened.kidney = Answer::No;
        opened.listener = Some(opened.program.clone());
        Self { acts: vec![Act::VisitOpened(opened)], attempts: 0, sound: true }
    }

    /// Readings by ear and gauge alone.
    pub fn without_sound(mut self) -> Self {
        self.sound = false;
        if let Some(Act::VisitOpened(opened)) = self.acts.first_mut() {
            opened.listener = None;
        }
        self
    }

    pub fn act(mut self, act: Act) -> Self {
        self.acts.push(act);
        self
    }

    /// Every question of the list answered with no, for both sides.
    pub fn all_asked(mut self) -> Self {
        for id in ["acute-limb", "rest-pain", "gangrene", "spreading-infection", "suspected-clot"] {
            for side in Side::BOTH {
                let answer = Answered { id: id.into(), answer: Answer::No, side: Some(side) };
                self.acts.push(Act::RedFlag(answer));
            }
        }
        self
    }

    /// An attempt: a pressure, `nc`, `none`, `skipped` or `skipped: why`.
    pub fn site(self, site: &str, outcome: &str) -> Self {
        self.site_in(Phase::Rest, site, outcome)
    }

    pub fn site_in(mut self, phase: Phase, site: &str, outcome: &str) -> Self {
        self.attempts += 1;
        let attempt = self.attempts;
        let site: Site = site.parse().unwrap();
        self.acts.push(Act::SiteChosen { attempt, site, phase, gauge: None });
        let outcome = match outcome.strip_prefix("skipped: ") {
            Some(why) => Outcome::NotMeasured { reason: why.into() },
            None => typed_outcome(outcome, site),
        };
        if let (true, Outcome::Reading { cuff_mmhg, .. }) = (self.sound, &outcome) {
            self.heard(*cuff_mmhg, 12.0 + f64::from(attempt) / 4.0);
        }
        self.acts.push(Act::Outcome { attempt, outcome });
        self
    }

    /// What the listener heard, the needle twice, and a tap 0.4 s after the first pulse.
    fn heard(&mut self, cuff_mmhg: Mmhg, return_s: f64) {
        let attempt = self.attempts;
        let at = |s: f64| SoundTime {
            epoch: attempt,
            sample: SampleIndex((s * 16_000.0) as u64),
            rate_hz: 16_000,
        };
        let above = Mmhg::tenths((cuff_mmhg.as_tenths() + 300).min(3000)).unwrap();
        self.acts.push(Act::Needle { attempt, cuff_mmhg: above, at: at(return_s + 0.4 - 10.0) });
        let heard = Heard {
            epoch: attempt,
            lost_s: Some(1.5),
            return_s: Some(return_s),
            cue_s: Some(return_s + 0.2),
            confidence: Some(0.93),
            heart_rate_bpm: Some(71.0),
            irregular: Some(false),
            rhythm: "regular".into(),
            quality: Vec::new(),
            listener: "0.1.0".into(),
        };
        self.acts.push(Act::Finding { attempt, heard });
        self.acts.push(Act::Mark { attempt, at: at(return_s + 0.4), made: Made::Pedal });
    }

    /// The events, closed.
    pub fn closed(self) -> Vec<Event> {
        self.act(Act::VisitClosed).events()
    }

    /// The events, as they stand.
    pub fn events(self) -> Vec<Event> {
        let at = Moment::parse("2026-11-24T14:22:00+01:00").unwrap();
        (1..).zip(self.acts).map(|(n, act)| Event::new(n, at, act)).collect()
    }
}

fn mmhg(whole: i32) -> Mmhg {
    Mmhg::whole(whole).unwrap()
}

fn typed_outcome(words: &str, site: Site) -> Outcome {
    let at = Moment::parse("2026-11-24T14:22:00+01:00").unwrap();
    let opened = typed::opening(Method::Higher, mmhg(2), Posture::Supine);
    let given: Given = words.parse().unwrap();
    match typed::events(opened, at, &[(site, given)]).pop().unwrap().act {
        Act::Outcome { outcome, .. } => outcome,
        _ => unreachable!("the last event of one reading is its outcome"),
    }
}

fn six(maker: Maker, readings: [&str; 6]) -> Maker {
    let sites = ["right-arm", "right-pt", "right-dp", "left-pt", "left-dp", "left-arm"];
    sites.iter().zip(readings).fold(maker, |maker, (site, reading)| maker.site(site, reading))
}

const PLAIN: [&str; 6] = ["148", "104", "96", "146", "152", "142"];

/// The ten, each with its name.
pub fn ten() -> Vec<(&'static str, Vec<Event>)> {
    let open = |record| Maker::open(record).all_asked();
    let long = "The patient found lying flat hard and the wound over the left ankle was covered with a dressing that could not be moved. ";
    vec![
        ("plain", six(open("K-2001"), PLAIN).closed()),
        (
            "one-arm",
            six(
                open("K-2002"),
                ["148", "104", "96", "146", "152", "skipped: arteriovenous fistula"],
            )
            .closed(),
        ),
        (
            "absent-artery",
            six(open("K-2003"), ["148", "104", "none", "none", "152", "142"]).closed(),
        ),
        ("not-compressible", six(open("K-2004"), ["148", "nc", "nc", "146", "nc", "142"]).closed()),
        ("repeats", repeats(open("K-2005"))),
        ("exercise", exercise(open("K-2006"))),
        (
            "toe-only",
            open("K-2007")
                .site("right-arm", "148")
                .site("left-arm", "142")
                .site("right-toe", "62")
                .site("left-toe", "88")
                .closed(),
        ),
        (
            "provisional",
            open("K-2008")
                .site("right-arm", "148")
                .site("right-pt", "104")
                .site("left-dp", "152")
                .events(),
        ),
        (
            "long-notes",
            six(
                open("K-2009 Şişli Ωμέγα Жук שלום"),
                ["148", "104", "skipped: dressing", "146", "152", "142"],
            )
            .act(Act::RedFlag(Answered {
                id: "rest-pain".into(),
                answer: Answer::Yes,
                side: Some(Side::Left),
            }))
            .act(Act::Note { who: "op-3".into(), words: long.repeat(14) })
            .closed(),
        ),
        ("no-sound", six(open("K-2010").without_sound(), PLAIN).closed()),
    ]
}

/// The first arm twice, an attempt taken back, an artery taken three times.
fn repeats(maker: Maker) -> Vec<Event> {
    let withdrawn = Act::AttemptWithdrawn {
        attempt: 2,
        who: "op-3".into(),
        why: "the patient coughed as the cuff came down".into(),
    };
    let maker = maker.site("right-arm", "152").site("right-pt", "118").act(withdrawn);
    let readings = [
        ("right-pt", "104"),
        ("right-dp", "96"),
        ("left-pt", "146"),
        ("left-dp", "152"),
        ("left-dp", "148"),
        ("left-arm", "142"),
        ("right-arm", "146"),
    ];
    readings.into_iter().fold(maker, |maker, (site, reading)| maker.site(site, reading)).closed()
}

fn exercise(maker: Maker) -> Vec<Event> {
    let rest = six(maker, ["138", "140", "134", "136", "142", "136"]);
    let word = Act::Waveform { site: "right-pt".parse().unwrap(), word: WaveformWord::Multiphasic };
    let after = Phase::AfterExercise;
    rest.act(word)
        .site_in(after, "right-arm", "162")
        .site_in(after, "right-pt", "104")
        .site_in(after, "left-dp", "158")
        .closed()
}

/// A visit and its result under the default guidance.
pub fn worked(events: &[Event]) -> (Visit, VisitResult) {
    let visit = Visit::from_events(events).unwrap();
    let result = work_out(&visit, &sets(), Assumed::default());
    (visit, result)
}

/// The default guidance.
pub fn sets() -> Vec<GuidanceSet> {
    vec![guidance::shipped(guidance::DEFAULT).unwrap().unwrap()]
}

/// A made-up sound for each attempt that was heard.
pub fn sounds(visit: &Visit) -> Vec<SoundPicture> {
    let levels: Vec<u8> = (0..2000 * 64).map(|i| ((i * 7919) % 256) as u8).collect();
    let sonogram = Sonogram { start_s: 0.005, column_s: 0.01, top_hz: 4000.0, rows: 64, levels };
    let heard = visit.attempts.iter().filter(|attempt| attempt.heard.is_some());
    heard.map(|a| SoundPicture { attempt: a.number, sonogram: sonogram.clone() }).collect()
}

/// The report of a visit.
pub fn content(events: &[Event], trail: Trail) -> Content {
    made(events, trail, Some("9f2c61f0b7a94d0e8c3a51d2e6f7081900112233445566778899aabbccddeeff"))
}

/// The report of a visit from the book, with the longest sentence on where it is kept.
pub fn content_in_book(events: &[Event]) -> Content {
    let mut content = made(events, Trail::Needed, None);
    let head =
        Head { chain: String::new(), entries: 10_000_000, hash: "9f2c61f0b7a94d0e".repeat(4) };
    content.kept_in(&head.of_visit(Words::english(), VisitId::new()));
    content
}

fn made(events: &[Event], trail: Trail, chain: Option<&str>) -> Content {
    made_in(Words::english(), &sets(), (events, trail), chain)
}

/// The report of a visit in a language, under every set that is shipped.
pub fn content_in(words: Words, events: &[Event], trail: Trail) -> Content {
    made_in(words, &super::bedside::all_sets(), (events, trail), None)
}

fn made_in(
    words: Words,
    sets: &[GuidanceSet],
    (events, trail): (&[Event], Trail),
    chain: Option<&str>,
) -> Content {
    let visit = Visit::from_events(events).unwrap();
    let result = work_out_in(words, &visit, sets, Assumed::default());
    let sounds = if trail == Trail::Full { sounds(&visit) } else { Vec::new() };
    Content::of(&ReportSource {
        visit: &visit,
        result: &result,
        sets,
        sounds: &sounds,
        service: "Tidemill leg clinic (invented)",
        trail,
        chain,
    })
}

/// The bundle of a visit, with a small document.
pub fn bundle(events: &[Event]) -> Vec<u8> {
    bundle_by(events, &sets(), fhir::ServiceContext::default())
}

/// The same by these sets, for a service that chose so.
pub fn bundle_by(events: &[Event], sets: &[GuidanceSet], context: fhir::ServiceContext) -> Vec<u8> {
    let visit = Visit::from_events(events).unwrap();
    let result = work_out_in(Words::english(), &visit, sets, Assumed::default());
    let documents = [fhir::Document {
        title: "Report",
        language: "en",
        content_type: "application/pdf",
        bytes: b"%PDF-1.7",
    }];
    let id = fhir::identity(events).unwrap();
    let service = "Tidemill leg clinic (invented)".to_owned();
    let parcel = fhir::Parcel {
        events,
        visit: &visit,
        result: &result,
        sets,
        id,
        kept_as: "",
        context: &fhir::ServiceContext { service, ..context },
        documents: &documents,
    };
    fhir::bundle(&parcel).unwrap()
}
