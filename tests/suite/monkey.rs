//! Random hands on the window's state: any act on any screen at any time, over whole visits with a real record book. No
//! reading without digits typed for it, nothing kept that is not in the book, and the book is whole.

use std::sync::Arc;
use std::time::{Duration, Instant};

use cuffnote::clinical::cautions;
use cuffnote::clinical::event::{
    Act, Answer, Answered, Cuff, Foot, Limb, Made, Outcome, Posture, Stage, Step, Temperature,
    WaveformWord, WoundCare,
};
use cuffnote::clinical::moment::Moment;
use cuffnote::clinical::site::{Side, Site};
use cuffnote::clinical::visit::Visit;
use cuffnote::conduct::{AtSite, Field as Typed, Preparing};
use cuffnote::live::{Bench, OpenStream, OpeningStage, Pull, Supply};
use cuffnote::logbook::{Book, Search};
use cuffnote::units::SampleRate;
use cuffnote::window::model::action::{
    Action, CorrectingAct, FormField, OpeningAct, PutRight, Screen, ShelfAct, VisitAct, What,
};
use cuffnote::window::model::{Model, Start};
use cuffnote::window::{Drive, Now, SoundSource};

use super::window::known;

/// A device that gives no sound.
struct Silence;

impl Supply for Silence {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let rate = SampleRate::new(8_000).unwrap();
        OpeningStage::Ready(OpenStream { rate, channels: 1, origin: now })
    }

    fn pull(&mut self, _: Instant, _: &mut Vec<f32>) -> Pull {
        Pull::Nothing
    }

    fn close(&mut self) {}
}

/// Draws that replay by seed (xorshift).
struct Draw(u64);

impl Draw {
    fn below(&mut self, end: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % u64::from(end)) as u32
    }

    fn one_of<T: Clone>(&mut self, all: &[T]) -> T {
        all[self.below(all.len() as u32) as usize].clone()
    }

    fn side(&mut self) -> Side {
        self.one_of(&Side::BOTH)
    }

    fn site(&mut self) -> Site {
        let all: Vec<Site> = Site::all().collect();
        self.one_of(&all)
    }

    fn words(&mut self) -> String {
        self.one_of(&["", "no time", "typed 38 for 138", "op-9", "=1+1", "ulcer, \"left\"\n"])
            .into()
    }
}

fn at_site(draw: &mut Draw) -> AtSite {
    match draw.below(26) {
        0 => AtSite::TurnTo(draw.site()),
        1 => AtSite::Next,
        2 => AtSite::Repeat,
        3 | 4 => AtSite::Tap(draw.one_of(&[Made::Key, Made::Pointer, Made::Pedal])),
        5 => AtSite::Undo,
        6..=12 => AtSite::Digit(draw.one_of(&['0', '1', '1', '2', '4', '8', ','])),
        13 => AtSite::Erase,
        14 => AtSite::Arrow(draw.below(5) as i32 - 2),
        15 => AtSite::InflatedTo,
        16..=18 => AtSite::Enter,
        19 => AtSite::NoSignal,
        20 => AtSite::NotCompressible,
        21 => draw.one_of(&[AtSite::AskWhy, AtSite::NotMeasured("no time".into())]),
        22 => draw.one_of(&[AtSite::StageOn, AtSite::StageBack]),
        23 => AtSite::Stop,
        24 => draw.one_of(&[AtSite::NeedleMark, AtSite::CorrectReading]),
        _ => AtSite::Word(draw.one_of(&[WaveformWord::Monophasic, WaveformWord::Damped])),
    }
}

fn preparing(draw: &mut Draw) -> Preparing {
    let side = draw.side();
    match draw.below(9) {
        0 => {
            let item = draw.one_of(&cautions::list());
            let answer = draw.one_of(&[Answer::Yes, Answer::No, Answer::Unknown]);
            Preparing::Answer(item.weight, Answered { id: item.id, answer, side: Some(side) })
        }
        1 => Preparing::NoneApplies,
        2 => Preparing::PutCuff(Cuff {
            side,
            limb: draw.one_of(&[Limb::Arm, Limb::Ankle]),
            circumference_mm: draw.one_of(&[None, Some(280), Some(420)]),
            width_mm: 120,
            length_mm: 240,
        }),
        3 => Preparing::NeedleAtZero(Answer::No),
        4 => {
            Preparing::Feel(Foot { side, temperature: Temperature::Cold, pulse_felt: Answer::Yes })
        }
        5 => Preparing::Wound(side, draw.one_of(&WoundCare::ALL)),
        6 => Preparing::LeaveOut(draw.one_of(&Step::ALL)),
        7 => Preparing::RestAgain,
        _ => Preparing::EndRest,
    }
}

fn put_right(draw: &mut Draw) -> PutRight {
    match draw.below(8) {
        0 | 1 => PutRight::Begin(draw.site()),
        2 => PutRight::Fill(CorrectingAct::Choose(draw.below(9))),
        3 => {
            let reading = draw.one_of(&["138", "nc", "none", "", "999", "1e3"]);
            PutRight::Fill(CorrectingAct::Reading(reading.into()))
        }
        4 => PutRight::Fill(CorrectingAct::Why(draw.words())),
        5 => PutRight::Correct,
        6 => PutRight::Withdraw,
        _ => draw.one_of(&[PutRight::MeasureAgain, PutRight::Back]),
    }
}

fn of_visit(draw: &mut Draw) -> VisitAct {
    match draw.below(11) {
        0 => VisitAct::Countersign(draw.words()),
        1 => VisitAct::NextDue(draw.one_of(&["2027-02-25", "soon"]).into()),
        2 => VisitAct::Plan(draw.words()),
        3 => VisitAct::Operator(draw.words()),
        4 => VisitAct::Exercised(draw.words()),
        5 => VisitAct::Moved,
        6 => VisitAct::AskFinish,
        7 => VisitAct::Finish(draw.words()),
        8 => VisitAct::Leave,
        _ => VisitAct::Close,
    }
}

/// Any act of any screen.
fn anything(draw: &mut Draw, model: &Model) -> Action {
    let rows = &model.shelf.found;
    let id = (!rows.is_empty()).then(|| rows[draw.below(rows.len() as u32) as usize].id);
    match draw.below(100) {
        0..=62 => Action::Site(at_site(draw)),
        63..=74 => Action::Prepare(preparing(draw)),
        75..=84 => Action::PutRight(put_right(draw)),
        85..=88 => Action::Visit(of_visit(draw)),
        89 => Action::Lock,
        90..=92 => Action::Unlock,
        93 => Action::Go(draw.one_of(&[Screen::Measure, Screen::Prepare, Screen::Result])),
        94 => Action::Shelf(ShelfAct::Search(String::new())),
        95 => id.map_or(Action::Unlock, |id| Action::Open(OpeningAct::Resume(id))),
        96 => id.map_or(Action::Unlock, |id| Action::Shelf(ShelfAct::LookAt(id))),
        97 => id.map_or(Action::Unlock, |id| Action::Shelf(ShelfAct::CloseUnfinished(id))),
        98 => Action::Shelf(ShelfAct::LookBack("K204Q".into())),
        _ => Action::Go(Screen::Visits),
    }
}

/// Opens a visit of a kind that is drawn.
fn begin(model: &mut Model, draw: &mut Draw, now: Now) {
    let what = draw.one_of(&What::ALL);
    let mut fill = |field| model.apply(Action::Open(OpeningAct::Fill(field)), now);
    fill(FormField::Record(draw.one_of(&["K204Q", "K205R"]).into()));
    fill(FormField::Posture(draw.one_of(&[Posture::Supine, Posture::Sitting])));
    fill(FormField::What(what));
    fill(FormField::Artery(draw.site()));
    fill(FormField::PaperDay("2026-08-03".into()));
    model.apply(Action::Open(OpeningAct::Begin), now);
}

/// A reading that an event holds, first or corrected.
fn reading(act: &Act) -> Option<f64> {
    match act {
        Act::Outcome { outcome: Outcome::Reading { cuff_mmhg, .. }, .. } => {
            Some(cuff_mmhg.as_f64())
        }
        Act::Amendment { new, .. } => reading(new),
        _ => None,
    }
}

/// What stands typed where a reading is typed: at the site, or where a value is put right.
fn typed(model: &Model) -> [Option<String>; 2] {
    let here = model.visit.attempt().filter(|at| at.field() == Typed::Reading);
    let put_right = model.correcting.as_ref().map(|correcting| correcting.reading.clone());
    [here.map(|at| at.entry.text().to_owned()), put_right]
}

/// The acts that type a number and keep it, last first.
fn a_number(draw: &mut Draw) -> Vec<Action> {
    let site = |deed| Action::Site(deed);
    let digits = draw.one_of(&["148", "96", "138", "38", "210", "250", "104"]);
    let mut acts = vec![site(AtSite::Enter), site(AtSite::Enter), site(AtSite::Enter)];
    acts.extend(digits.chars().rev().map(|digit| site(AtSite::Digit(digit))));
    acts.push(site(AtSite::SetStage(Stage::Read)));
    acts.push(Action::Go(Screen::Measure));
    acts
}

/// One visit's worth of random acts; gives how many readings came of them.
fn one(model: &mut Model, draw: &mut Draw, now: &mut Now, seed: u64) -> u32 {
    let mut readings = 0;
    begin(model, draw, *now);
    let mut typing: Vec<Action> = Vec::new();
    for _ in 0..30 + draw.below(120) {
        // Now and then a number is typed on purpose, so that readings come; what comes between is chance.
        if typing.is_empty() && draw.below(8) == 0 {
            typing = a_number(draw);
        }
        let action = match draw.below(10) {
            0..=7 => typing.pop().unwrap_or_else(|| anything(draw, model)),
            _ => anything(draw, model),
        };
        let stood = typed(model);
        let had = model.visit.held.as_ref().map(|held| (held.id, held.conduct.events().len()));
        model.apply(action.clone(), *now);
        if let (Some(held), Some((id, had))) = (&model.visit.held, had)
            && held.id == id
        {
            for event in &held.conduct.events()[had..] {
                let Some(value) = reading(&event.act) else { continue };
                let said = |text: &Option<String>| {
                    text.as_ref().and_then(|t| t.trim().replace(',', ".").parse::<f64>().ok())
                };
                let meant = stood.iter().any(|text| said(text) == Some(value));
                assert!(meant, "seed {seed}: {action:?} made {value} of {stood:?}");
                readings += 1;
            }
        }
        let by = Duration::from_millis(100 + u64::from(draw.below(4_000)));
        now.at += by;
        let utc = now.wall.utc().checked_add(jiff::SignedDuration::try_from(by).unwrap()).unwrap();
        now.wall = Moment::new(utc, jiff::tz::Offset::constant(1));
        model.tick(*now);
    }
    model.apply(Action::Unlock, *now);
    let id = model.visit.held.as_ref().map(|held| held.id);
    let shown = model.visit.conduct().map(|conduct| conduct.visit().clone());
    model.apply(Action::Visit(VisitAct::Leave), *now);
    if let (Some(id), Some(shown)) = (id, shown) {
        let kept = Visit::read(&model.shelf.events(id).unwrap()).unwrap();
        // What the listener heard in the last attempt is settled on leaving.
        let bare = |mut visit: Visit| {
            visit.attempts.iter_mut().for_each(|attempt| attempt.heard = None);
            visit
        };
        assert_eq!(bare(kept), bare(shown), "seed {seed}: what was shown is what is kept");
    }
    readings
}

/// `CUFFNOTE_MONKEY` says how many visits, `CUFFNOTE_FROM` from which seed; 120 from 0 in the gate.
#[test]
fn random_hands_on_every_screen_make_no_number_and_lose_none() {
    let visits: u64 = std::env::var("CUFFNOTE_MONKEY").map_or(120, |n| n.parse().unwrap());
    let from: u64 = std::env::var("CUFFNOTE_FROM").map_or(0, |n| n.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let make = || Box::new(Silence) as Box<dyn Supply>;
    let source = SoundSource::Bench {
        words: "silence".into(),
        bench: Arc::new(Bench::default()),
        make: Box::new(make),
    };
    let mut model = Model::new(Start {
        settings: known(Vec::new()),
        settings_path: None,
        book: folder.path().to_owned(),
        source,
        drive: Drive::Stepped,
        ask: |_, _| Ok(()),
    })
    .unwrap();
    let wall = Moment::parse("2026-11-25T09:00:00+01:00").unwrap();
    let mut now = Now { at: Instant::now(), wall };
    let mut readings = 0;
    for seed in from..from + visits {
        let mut draw = Draw(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        (0..8).for_each(|_| {
            draw.below(2);
        });
        readings += one(&mut model, &mut draw, &mut now, seed);
    }
    model.close(now);
    drop(model);
    assert!(
        readings > visits as u32 / 10,
        "{readings} readings in {visits} visits: too few to tell"
    );
    let book = Book::open(folder.path()).unwrap().book;
    let all = book.visits(&Search::default()).unwrap();
    assert!(all.len() as u64 >= visits / 2, "{} visits", all.len());
    for row in all {
        let visit = Visit::read(&book.events(row.id).unwrap()).unwrap();
        assert!(visit.aside.is_empty(), "{}: {:?}", row.id, visit.aside);
    }
    let checked = book.check(&[]).unwrap();
    assert_eq!((checked.damage, checked.aside), (Vec::new(), 0), "the book is whole");
}
