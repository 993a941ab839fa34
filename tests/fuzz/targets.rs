//! Everything that takes bytes or text from outside, each as one plain function of bytes. Two drivers call them: the
//! suite (`tests/suite/hostile.rs`) and, guided by coverage, libFuzzer (`tests/fuzz/libfuzzer.rs`). A target fails by
//! panicking; what it asserts is named beside it.

use std::ffi::OsString;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use cuffnote::audio::sound::SoundFile;
use cuffnote::clinical::event::Event;
use cuffnote::clinical::guidance::{self, GuidanceSet, Values};
use cuffnote::clinical::moment::{Day, Moment};
use cuffnote::clinical::record_code;
use cuffnote::clinical::sequence::Order;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::typed::Given;
use cuffnote::clinical::uncertainty::Assumed;
use cuffnote::clinical::visit::Visit;
use cuffnote::clinical::working::work_out;
use cuffnote::live::Choice;
use cuffnote::logbook::{Keeper, VisitId, Writer, restore};
use cuffnote::practice::{class::Class, lesson::Lesson, seal::TeacherKey};
use cuffnote::report::audit::Gauges;
use cuffnote::report::content::{Content, ReportSource, Trail};
use cuffnote::report::table::{self, Dialect};
use cuffnote::report::{fhir, html, json, pdf};
use cuffnote::settings::Settings;
use cuffnote::sim::scenario;
use cuffnote::window::model::choices::Choices;

/// A target by its name.
pub type Target = (&'static str, fn(&[u8]));

/// All targets.
pub const TARGETS: &[Target] = &[
    ("sound", sound),
    ("sheet", sheet),
    ("guidance", guidance_set),
    ("order", order),
    ("scenario", scenario_file),
    ("lesson", lesson),
    ("settings", settings),
    ("import", import),
    ("event", event),
    ("visit", visit),
    ("typed", typed),
    ("words", words),
    ("class", class),
    ("path", path),
    ("merge", merge),
    ("restore", restored),
];

fn text(bytes: &[u8]) -> std::borrow::Cow<'_, str> {
    String::from_utf8_lossy(bytes)
}

/// Sounds of every form. Whole frames only, never more than promised; of plain samples never more than there are bytes.
fn sound(bytes: &[u8]) {
    given(bytes);
    let Ok(mut sound) = SoundFile::read(Box::new(Cursor::new(bytes.to_vec()))) else { return };
    let plain = !sound.lossy() && sound.words().starts_with("WAV");
    let mut block = Vec::new();
    let mut samples = 0;
    while sound.read_block(&mut block).is_ok() && !block.is_empty() {
        samples += block.len();
        assert_eq!(block.len() % sound.channels(), 0);
        // A header of silence may stand for hours: a minute of it tells enough.
        if samples > 60 * 48_000 {
            return;
        }
    }
    assert!(!plain || samples <= bytes.len());
    assert!(
        !plain || sound.promised_frames().is_none_or(|promised| sound.read_frames() <= promised)
    );
}

/// The tables of `index`, `agree` and the sheets of a second reader: a row is whole or refused.
fn sheet(bytes: &[u8]) {
    let Ok(sheet) = table::Sheet::read(bytes, str::to_lowercase) else { return };
    let mut before = sheet.head_line;
    for row in &sheet.rows {
        assert!(row.line > before, "lines go up");
        before = row.line;
        assert!(
            row.cells.as_ref().is_ok_and(|cells| cells.len() == sheet.names.len())
                || row.cells.is_err()
        );
    }
    let ends = bytes.iter().filter(|b| matches!(b, b'\r' | b'\n')).count() as u64;
    assert!(before <= ends + 1);
}

fn guidance_set(bytes: &[u8]) {
    let text = text(bytes);
    match GuidanceSet::parse("own.toml", &text) {
        Ok(set) => drop(set.bands_at(&Values::default())),
        Err(fault) => assert!(fault.line >= 1 && fault.line <= text.matches('\n').count() + 1),
    }
}

fn order(bytes: &[u8]) {
    let Ok(order) = Order::parse("own.toml", &text(bytes)) else { return };
    assert!(order.round(true).count() <= Site::all().count());
}

fn scenario_file(bytes: &[u8]) {
    let Ok(scenario) = scenario::parse("own", &text(bytes)) else { return };
    for site in scenario.sites() {
        scenario::check_case(scenario.case(Some(site)).unwrap()).unwrap();
    }
}

/// A sound that somebody gives a page to try: mono, within full scale, never longer than allowed.
fn given(bytes: &[u8]) {
    if let Ok((mono, rate)) = cuffnote::live::given_sound(bytes) {
        assert!(mono.len() as f64 / f64::from(rate.hz()) <= 601.0);
        assert!(mono.iter().all(|x| x.abs() <= 1.0));
    }
}

fn lesson(bytes: &[u8]) {
    let text = text(bytes);
    let _ = Gauges::parse(&text);
    let _ = cuffnote::practice::examination::SealedExamination::parse(&text);
    if let Ok(lesson) = Lesson::parse("own", &text) {
        assert!((1..=500).contains(&lesson.drills.len()));
    }
}

/// A place that lives in memory where there is one, so that no disk is worn.
fn place() -> tempfile::TempDir {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() }.unwrap()
}

/// Key bindings, device, theme and all else that the settings hold; they can be changed and read again.
fn settings(bytes: &[u8]) {
    static PLACE: LazyLock<tempfile::TempDir> = LazyLock::new(place);
    let path = PLACE.path().join("settings.toml");
    std::fs::write(&path, bytes).unwrap();
    let Ok(opened) = Settings::open(&path) else { return };
    let mut settings = opened.settings;
    let choices = Choices::new(settings.clone());
    assert!(cuffnote::window::tap::may_be_tap(choices.tap()));
    let _ = (choices.theme(), choices.scale(), choices.say(), choices.order(), choices.guidance());
    let _ = (choices.cuffs(), choices.probe(), choices.sound(), Choice::remembered(&settings));
    settings.set_text("sound.device", "Line in");
    settings.save(&path).unwrap();
    assert_eq!(Settings::open(&path).unwrap().settings.text("sound.device"), Some("Line in"));
}

/// Every row that is taken is a visit that can be worked out.
fn import(bytes: &[u8]) {
    let Ok(table) = table::read(bytes) else { return };
    for taken in table.taken.iter().take(4) {
        work_out(&Visit::from_events(&taken.events).unwrap(), &[], Assumed::default());
    }
}

/// What was read is written and read again as the same.
fn event(bytes: &[u8]) {
    let Ok(event) = Event::from_json(&text(bytes)) else { return };
    let again = serde_json::to_string(&event).unwrap();
    assert_eq!(serde_json::to_string(&Event::from_json(&again).unwrap()).unwrap(), again);
}

/// A visit from outside goes all the way to result, page, table and bundle.
fn visit(bytes: &[u8]) {
    static SETS: LazyLock<Vec<GuidanceSet>> = LazyLock::new(|| {
        guidance::ids().map(|id| guidance::shipped(id).unwrap().unwrap()).collect()
    });
    let Ok(events) = json::events(bytes) else { return };
    let Ok(visit) = Visit::from_events(&events) else { return };
    let result = work_out(&visit, &SETS, Assumed::default());
    let source = ReportSource {
        visit: &visit,
        result: &result,
        sets: &SETS,
        sounds: &[],
        service: "",
        trail: Trail::Full,
        chain: None,
    };
    let content = Content::of(&source);
    // A document takes a hundred times as long as a page.
    if bytes.len().is_multiple_of(64) {
        drop(pdf::document(&content, pdf::Paper::A4));
    }
    let page = html::page(&content);
    assert!(!text(&page).to_ascii_lowercase().contains("<script"));
    table::csv(&[(&visit, &result, table::Origin::default())], Dialect::Comma);
    let id = fhir::identity(&events).unwrap();
    let parcel = fhir::Parcel {
        events: &events,
        visit: &visit,
        result: &result,
        sets: &SETS,
        id,
        kept_as: "",
        context: &fhir::ServiceContext::default(),
        documents: &[],
    };
    fhir::bundle(&parcel).unwrap();
    json::visit("", None, &result, &events).unwrap();
}

/// Pressures, sites, record codes, days and moments, as they are typed.
fn typed(bytes: &[u8]) {
    let text = text(bytes);
    if let Ok(Given::Pressure(mmhg)) = text.parse() {
        assert!((1..=3000).contains(&mmhg.as_tenths()));
    }
    let _ = (text.parse::<Site>(), text.parse::<Day>(), text.parse::<VisitId>());
    if let Ok(moment) = Moment::parse(&text) {
        assert_eq!(Moment::parse(&moment.to_string()), Ok(moment));
    }
    if let Ok(code) = record_code::with_check(&text) {
        assert_eq!(record_code::check(&code), Ok(()));
    }
    record_code::did_you_mean(&text, ["TM-0142-7", &text]);
}

/// The words of a command, one a line. They are only understood: nothing is done.
fn words(bytes: &[u8]) {
    let text = text(bytes);
    let words = std::iter::once("cuffnote").chain(text.lines()).map(OsString::from);
    let _ = cuffnote::cli::understood(words);
}

fn class(bytes: &[u8]) {
    // Of an examination under seal the key is known, so that what is tried comes behind the label.
    static KEY: LazyLock<TeacherKey> = LazyLock::new(|| {
        let class = Class::parse(include_str!("corpus/class/sealed.jsonl")).unwrap();
        class.sealed().next().unwrap().lock.key("lantern orchard seven").unwrap()
    });
    let Ok(class) = Class::parse(&text(bytes)) else { return };
    for sealed in class.sealed() {
        if let Ok(session) = sealed.open_by(&KEY) {
            assert_eq!((&session.student, session.drills.len()), (&sealed.student, sealed.done));
        }
    }
    let text = class.text().unwrap();
    assert_eq!(Class::parse(&text).unwrap().text().unwrap(), text);
}

/// No name leads a recording out of its visit's folder.
fn path(bytes: &[u8]) {
    static BOOK: LazyLock<(tempfile::TempDir, Keeper, VisitId)> = LazyLock::new(|| {
        let place = place();
        let keeper = Keeper::start(&place.path().join("book")).unwrap();
        (place, keeper, VisitId::new())
    });
    let (_, keeper, visit) = &*BOOK;
    let path = keeper.recording_file(*visit, &text(bytes)).unwrap();
    let folder = keeper.folder().join("recordings").join(visit.to_string());
    assert_eq!(path.parent(), Some(&*folder), "{}", path.display());
    let name = path.file_name().unwrap().to_str().unwrap();
    assert!(!name.starts_with('.') && !name.contains(['/', '\\', ':', '\0']) && name.len() <= 255);
}

/// Files and folders of a folder, sorted.
fn inside(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    found.sort();
    found
}

/// A foreign book's bytes: refused or taken, this book stays whole, and nothing appears outside of it.
fn merge(bytes: &[u8]) {
    let place = place();
    let (own, other) = (place.path().join("own"), place.path().join("other"));
    std::fs::create_dir(&other).unwrap();
    std::fs::write(other.join("book.sqlite"), bytes).unwrap();
    let mut writer = Writer::open(&own).unwrap();
    let _ = writer.merge(&other);
    drop(writer);
    let book = cuffnote::logbook::Book::open(&own).unwrap().book;
    // Recordings that the other book names and does not bring are told, as they should be.
    let damage = book.check(&[]).unwrap().damage;
    assert!(damage.iter().all(|damage| damage.kind == "recording"), "{damage:?}");
    assert_eq!(inside(place.path()), [other, own.clone()]);
    assert!(!own.join("incoming").exists() || Writer::open(&own).is_ok());
}

/// A backup's bytes: nothing appears outside of the folder, and where it is refused nothing stays.
fn restored(bytes: &[u8]) {
    let place = place();
    let (backup, book) = (place.path().join("backup"), place.path().join("book"));
    std::fs::write(&backup, bytes).unwrap();
    match restore(&backup, &book, None) {
        Ok(()) => assert_eq!(inside(place.path()), [backup, book]),
        Err(_) => assert_eq!(inside(place.path()), [backup]),
    }
}
