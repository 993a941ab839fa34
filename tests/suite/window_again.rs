//! Second hearing in the window: a reading of the book heard again, beat by beat, its mark moved.

use std::path::Path;

use cuffnote::clinical::event::{Act, Made, Opened, Outcome, Phase, SoundTime, Source};
use cuffnote::logbook::{Book, Keeper, Search};
use cuffnote::sim::{self, scenario};
use cuffnote::units::{Mmhg, SampleIndex};
use cuffnote::window::model::action::Screen;
use eframe::egui::{Key, Vec2, vec2};
use egui_kittest::kittest::Queryable;

use super::rules::standard;
use super::window::{Bedside, RECORD, known};

const RATE_HZ: u32 = 16_000;

/// A book with one closed visit: three readings, the ankle's with its recording and a tap two beats late. Gives the
/// instant of the first opening that can be heard, and that of the tap.
pub fn book_with_sound(folder: &Path) -> (f64, f64) {
    let mut case = scenario::load("plain").unwrap().case(None).unwrap().clone();
    case.rate_hz = RATE_HZ;
    let made = sim::render(&case, 3);
    let audible_s = made.truth.audible_s.unwrap();
    let tap_s = audible_s + 2.0 * 60.0 / made.truth.heart_rate_bpm;
    let keeper = Keeper::start(folder).unwrap();
    let visit = keeper.begin();
    let at = cuffnote::clinical::moment::Moment::parse("2026-11-25T09:00:00+01:00").unwrap();
    let keep = |act| {
        let _ = keeper.keep(visit, at, act);
    };
    keep(Act::VisitOpened(Opened { record: RECORD.into(), ..standard() }));
    let reading = |mmhg| Outcome::Reading {
        cuff_mmhg: Mmhg::whole(mmhg).unwrap(),
        source: Source::EarAndGauge,
    };
    for (attempt, code, mmhg) in [(1, "right-arm", 148), (2, "left-arm", 144), (3, "right-dp", 100)]
    {
        let site = code.parse().unwrap();
        keep(Act::SiteChosen { attempt, site, phase: Phase::Rest, gauge: None });
        if attempt == 3 {
            let sample = SampleIndex((tap_s * f64::from(RATE_HZ)) as u64);
            let at = SoundTime { epoch: 1, sample, rate_hz: RATE_HZ };
            keep(Act::Mark { attempt, at, made: Made::Key });
        }
        keep(Act::Outcome { attempt, outcome: reading(mmhg) });
    }
    keep(Act::VisitClosed);
    let file = keeper.recording_file(visit, "sound.wav").unwrap();
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE_HZ,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut wav = hound::WavWriter::create(&file, spec).unwrap();
    made.samples.iter().for_each(|s| wav.write_sample((s * 32_767.0) as i16).unwrap());
    wav.finalize().unwrap();
    keeper.recorded(visit, file, 1, None);
    super::pulse::wait_for("the recording in the book", || {
        let recordings = Book::open(folder).unwrap().book.recordings(visit).unwrap();
        recordings.first().is_some_and(|r| r.sha256.is_some())
    });
    keeper.finish().unwrap();
    (audible_s, tap_s)
}

fn hear_again(folder: &Path, size: Vec2) -> Bedside {
    let mut bedside = Bedside::new(folder, "visit", known(vec![]), size);
    bedside.click(&format!("Open {RECORD}, 2026-11-25"));
    bedside.click("Replay recording");
    assert_eq!(bedside.model().screen, Screen::Again);
    bedside
}

fn cursor_s(bedside: &Bedside) -> f64 {
    bedside.model().shelf.replay.as_ref().unwrap().cursor_s
}

#[test]
fn a_reading_is_heard_again_beat_by_beat_and_says_what_the_index_would_be() {
    let folder = tempfile::tempdir().unwrap();
    let (audible_s, tap_s) = book_with_sound(folder.path());
    let mut bedside = hear_again(folder.path(), vec2(1280.0, 800.0));
    let again = bedside.model().shelf.replay.as_ref().unwrap();
    assert_eq!(again.readings.len(), 1, "only what has a tap and a recording");
    let found_s = again.piece.as_ref().unwrap().return_s.unwrap();
    assert!((found_s - audible_s).abs() < 1.0, "found {found_s}, true {audible_s}");
    assert!((cursor_s(&bedside) - tap_s).abs() < 0.001, "it begins at the tap");
    assert!(bedside.window.query_by_label("Your tap is here.").is_some());
    // To the first pulse, by beats.
    for _ in 0..12 {
        if cursor_s(&bedside) < found_s + 0.05 {
            break;
        }
        bedside.key(Key::ArrowLeft);
    }
    let here_s = cursor_s(&bedside);
    assert!((here_s - found_s).abs() < 0.05, "at {here_s}, the first pulse at {found_s}");
    let there = (100.0 + 3.0 * (tap_s - here_s)).round();
    let said = format!("the needle stood at about {there} mmHg");
    assert!(bedside.window.query_by_label_contains(&said).is_some(), "{said}");
    let index = (there * 100.0 / 148.0 + 0.5).floor() / 100.0;
    let said = format!("right leg would have {index:.2}");
    assert!(bedside.window.query_by_label_contains(&said).is_some(), "{said}");
    if let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") {
        bedside.picture(&Path::new(&out).join("dim-1280x800-100-14-again.png"));
        bedside.picture_at(250, &Path::new(&out).join("dim-1280x800-250-14-again.png"));
        let mut small = {
            drop(bedside);
            hear_again(folder.path(), vec2(1024.0, 600.0))
        };
        small.key(Key::ArrowLeft);
        small.picture(&Path::new(&out).join("dim-1024x600-100-14-again.png"));
    }
}

#[test]
fn it_plays_at_half_speed_and_one_beat_over_and_over_without_a_sound_card() {
    let folder = tempfile::tempdir().unwrap();
    book_with_sound(folder.path());
    let mut bedside = hear_again(folder.path(), vec2(1280.0, 800.0));
    let from_s = cursor_s(&bedside);
    bedside.key(Key::Space);
    bedside.wait(1.0);
    let whole_s = cursor_s(&bedside) - from_s;
    assert!((0.8..1.3).contains(&whole_s), "{whole_s} s in about 1.1");
    bedside.key(Key::Space);
    assert!(!bedside.model().shelf.replay.as_ref().unwrap().plays());
    bedside.key(Key::T);
    bedside.key(Key::H);
    bedside.key(Key::Space);
    bedside.wait(1.0);
    let half_s = cursor_s(&bedside) - from_s;
    assert!((0.35..0.7).contains(&half_s), "{half_s} s in about 1.1 at half speed");
    bedside.key(Key::H);
    bedside.key(Key::L);
    bedside.key(Key::T);
    bedside.key(Key::Space);
    bedside.wait(4.0);
    let off_s = (cursor_s(&bedside) - from_s).abs();
    assert!(bedside.model().shelf.replay.as_ref().unwrap().plays() && off_s < 1.6, "{off_s}");
}

#[test]
fn a_mark_is_moved_only_when_asked_twice_and_the_old_one_stays_on_the_trail() {
    let folder = tempfile::tempdir().unwrap();
    let (_, tap_s) = book_with_sound(folder.path());
    let mut bedside = hear_again(folder.path(), vec2(1280.0, 800.0));
    bedside.key(Key::ArrowLeft);
    let to_s = cursor_s(&bedside);
    bedside.key(Key::M);
    bedside.key(Key::ArrowRight);
    bedside.key(Key::ArrowLeft);
    bedside.key(Key::M);
    let visit = |b: &Bedside| b.model().shelf.looked_at.as_ref().unwrap().visit.clone();
    assert!(visit(&bedside).amended.is_empty(), "another act takes the question back");
    bedside.key(Key::M);
    let now = visit(&bedside);
    assert_eq!(now.amended.len(), 1);
    let mark_s = now.attempts[2].mark.unwrap().0.seconds();
    assert!((mark_s - to_s).abs() < 0.001, "{mark_s}, {to_s}");
    let tapped_s = now.attempts[2].tapped.unwrap().seconds();
    assert!((tapped_s - tap_s).abs() < 0.001, "the reading still belongs to the tap");
    assert_eq!(now.attempts[2].reading().unwrap().to_string(), "100", "the reading stays");
    assert_eq!(bedside.model().screen, Screen::Again);
    let book = Book::open(folder.path()).unwrap().book;
    let id = book.visits(&Search::default()).unwrap()[0].id;
    let marks = book.events(id).unwrap().into_iter().filter(|e| matches!(e.act, Act::Mark { .. }));
    assert_eq!(marks.count(), 1, "the old mark is still there");
}
