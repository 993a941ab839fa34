//! The window's words: chosen at once and by the system, confirmed by name, kept in English, and on every screen in every
//! language and a stranger one without a word cut or over another; and none left in code.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use cuffnote::clinical::event::{Act, Outcome, Posture};
use cuffnote::clinical::reasons;
use cuffnote::conduct::Preparing;
use cuffnote::settings::Settings;
use cuffnote::window::model::action::{Action, FormField, OpeningAct, PutRight, Screen, VisitAct};
use cuffnote::window::model::choices::Change;
use cuffnote::words::Words;
use eframe::egui::accesskit::Role;
use eframe::egui::epaint::{Shape, TextShape};
use eframe::egui::{Key, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};

use super::catalogue::{is_sentence, literals, sources, src};
use super::languages::pseudo;
use super::window::{Bedside, RECORD, USUAL, known, walk};

/// Files whose words are still in code, and what they are. Whoever moves them strikes them off here.
const NOT_YET: [&str; 15] = [
    "model/answers.rs",
    "model/class_view.rs",
    "model/drill.rs",
    "model/examined.rs",
    "model/practice.rs",
    "model/practice_files.rs",
    "model/teacher.rs",
    "model/tried.rs",
    "paint/curve.rs",
    "screens/class_view.rs",
    "screens/lesson_over.rs",
    "screens/lessons.rs",
    "screens/listen_first.rs",
    "screens/practice.rs",
    "screens/tried.rs",
];

/// Texts of two words that nobody reads on a screen, and why.
const NO_WORDS: [(&str, &str); 3] = [
    ("in use", "the code of a gauge that none was named for, in the record"),
    ("not named", "in the record, in place of a code"),
    ("a visit runs", "to the system, why it is to stay awake"),
];

/// What a canvas takes as words: a text that stands there in code is a word of its own, however short.
const SAYS: [&str; 11] = [
    "words(",
    "strong(",
    "target(",
    "pressed(",
    "likely(",
    "finger(",
    "choice(",
    "choice_named(",
    "field(",
    "entry(",
    "banner(",
];

#[test]
fn no_sentence_of_the_bedside_is_left_in_code() {
    let window = src().join("window");
    let mut faults = Vec::new();
    let mut pending = BTreeSet::from(NOT_YET);
    for path in sources(&window) {
        let name = path.strip_prefix(&window).unwrap().to_str().unwrap().to_owned();
        // A unit is the same in every language.
        let text = fs::read_to_string(&path).unwrap().replace("c.words(\"mmHg\"", "");
        let found: Vec<String> = literals(&text)
            .into_iter()
            .filter(|(line, literal)| {
                let before =
                    text.lines().take(*line).skip(line.saturating_sub(3)).collect::<String>();
                let developers = ["#[error", "#[allow", ".expect(", "reason =", "panic!"];
                let known = NO_WORDS.iter().any(|(text, _)| text == literal);
                is_sentence(literal)
                    && !known
                    && !developers.iter().any(|mark| before.contains(mark))
            })
            .map(|(line, literal)| format!("{name}, line {line}: {literal}"))
            .collect();
        let bare = |call: &&&str| {
            [format!("c.{call}\""), format!("c.{call}&format!(\"")].iter().any(|b| text.contains(b))
        };
        let said = SAYS.iter().filter(bare);
        let said: Vec<String> = said.map(|call| format!("{name}: c.{call}\"...\"")).collect();
        if pending.contains(name.as_str()) {
            // A file that is done is struck off the list.
            if found.is_empty() && said.is_empty() {
                faults.push(format!("{name} holds no words any more: strike it off NOT_YET"));
            }
            pending.remove(name.as_str());
            continue;
        }
        faults.extend(found.into_iter().chain(said));
    }
    assert!(pending.is_empty(), "{pending:?} are not there");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_language_changes_at_once_by_touch_and_by_key_and_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    bedside.click("Set-up");
    bedside.click("Deutsch");
    assert!(bedside.window.query_by_label("Einstellungen").is_some());
    let kept = bedside.model().choices.settings().clone();
    assert_eq!(kept.text("window.language"), Some("de"));
    let german = Words::of("de").unwrap();
    let shown = |b: &Bedside, id| b.window.query_by_label(german.plain(id)).is_some();
    assert!(shown(&bedside, "setup-unreviewed"));
    // A field that nobody filled in confirms nothing.
    bedside.click(german.plain("setup-confirm"));
    assert!(shown(&bedside, "setup-unreviewed"));
    bedside.write(german.plain("setup-confirms"), "K-7");
    bedside.click(german.plain("setup-confirm"));
    assert!(!shown(&bedside, "setup-unreviewed"));
    assert_eq!(bedside.model().choices.confirmed_by(german), Some("K-7"));
    // F2 goes round all of them and comes back, whatever can be read.
    let languages = Words::all().count();
    for n in 1..=languages {
        bedside.key(Key::F2);
        assert_eq!(bedside.model().words().tag() == "de", n == languages);
    }
    drop(bedside);
    let again = Bedside::new(folder.path(), "visit", kept, USUAL);
    assert!(again.window.query_by_label(german.plain("begin-title")).is_some());
}

#[test]
fn the_system_chooses_a_language_and_the_computers_settings_can_hold_it() {
    let folder = tempfile::tempdir().unwrap();
    let french = Words::of("fr").unwrap();
    let here = known(vec![]).with_locale(Some("fr-CA".into()));
    let bedside = Bedside::new(folder.path(), "visit", here, USUAL);
    assert!(bedside.window.query_by_label(french.plain("begin-title")).is_some());
    drop(bedside);
    let machine = folder.path().join("machine.toml");
    fs::write(
        &machine,
        "version = 1\nlocked = [\"window.language\"]\n[window]\nlanguage = \"nl\"\n",
    )
    .unwrap();
    let held = known(vec![]).with_machine(&machine).unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", held, USUAL);
    bedside.act(Action::Go(Screen::SetUp));
    bedside.click("Deutsch");
    assert_eq!(bedside.model().words().tag(), "nl");
    let notice = bedside.model().notice.clone().unwrap();
    assert!(notice.starts_with("window.language ligt vast"), "{notice}");
    // The cautions can be read in another language before anything was chosen.
    let new = Settings::default().with_locale(Some("de-DE".into()));
    let mut first = Bedside::new(&folder.path().join("new"), "visit", new, USUAL);
    assert!(first.window.query_by_label("Bevor Sie beginnen").is_some());
    first.click("English");
    assert!(first.window.query_by_label("Before you begin").is_some());
}

#[test]
fn what_is_chosen_in_another_language_is_kept_in_english() {
    let folder = tempfile::tempdir().unwrap();
    let words = Words::of("es").unwrap();
    let mut bedside =
        Bedside::new(folder.path(), "visit", known(vec![Change::Language(words)]), USUAL);
    bedside.click(words.plain("begin-title"));
    bedside.click(words.plain("begin-start"));
    assert_eq!(bedside.model().notice.as_deref(), Some(words.plain("fault-record")));
    bedside.write(words.plain("begin-record"), RECORD);
    bedside.click(words.plain("clinical-posture-supine"));
    bedside.click(words.plain(reasons::TEST[1]));
    bedside.click(words.plain("begin-start"));
    bedside.click(words.plain("prepare-none"));
    bedside.click(words.plain("prepare-start-early"));
    bedside.click(words.plain("measure-not-measured"));
    bedside.click(words.plain(reasons::NOT_MEASURED[1]));
    let visit = bedside.model().visit.conduct().unwrap().visit();
    assert_eq!(visit.opened.reason, "foot ulcer");
    let said = bedside.events().into_iter().find_map(|act| match act {
        Act::Outcome { outcome: Outcome::NotMeasured { reason }, .. } => Some(reason),
        _ => None,
    });
    assert_eq!(said.as_deref(), Some("too painful"));
    bedside.wait(0.3);
    let shown = format!("no medido: {}", words.plain(reasons::NOT_MEASURED[1]));
    assert!(bedside.window.query_all_by_label_contains(&shown).next().is_some(), "{shown}");
    assert_eq!(words.missed(), 0);
}

/// A row of words as it is painted: where it is, and where it may be seen.
struct Row {
    text: String,
    at: Rect,
    seen: Rect,
}

fn collect(shape: &Shape, clip: Rect, rows: &mut Vec<Row>, faults: &mut Vec<String>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| collect(shape, clip, rows, faults)),
        Shape::Text(text) => take(text, clip, rows, faults),
        _ => {}
    }
}

fn take(text: &TextShape, clip: Rect, rows: &mut Vec<Row>, faults: &mut Vec<String>) {
    if text.galley.elided {
        faults.push(format!("`{}` is shortened", text.galley.text()));
    }
    for row in &text.galley.rows {
        let words = row.text();
        if words.trim().is_empty() {
            continue;
        }
        // A line is taller than its letters.
        let at = row.rect_without_leading_space().translate(text.pos.to_vec2());
        let at = at.shrink2(vec2(0.0, 0.18 * at.height()));
        rows.push(Row { text: words, at, seen: at.intersect(clip) });
    }
}

/// Words that are cut at a side, shortened, or lie over others; targets that leave the screen at a side.
fn faults(bedside: &Bedside, width: f32) -> Vec<String> {
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let nodes = bedside.window.root().children_recursive();
    for node in nodes.filter(|node| node.accesskit_node().role() == Role::Button) {
        let rect = node.rect();
        if rect.left() < -1.0 || rect.right() > width + 1.0 {
            let name = node.accesskit_node().label();
            faults.push(format!("the target {name:?} leaves the screen"));
        }
    }
    let output = bedside.window.output();
    for clipped in &output.shapes {
        collect(&clipped.shape, clipped.clip_rect, &mut rows, &mut faults);
    }
    assert!(rows.len() > 2, "words are painted");
    // What is scrolled out of sight, by its greater part, is not looked at.
    rows.retain(|row| row.seen.height() > 0.6 * row.at.height() && row.seen.width() > 0.0);
    for (n, row) in rows.iter().enumerate() {
        if row.at.left() < row.seen.left() - 1.0 || row.at.right() > row.seen.right() + 1.0 {
            faults.push(format!("`{}` is cut at a side", row.text));
        }
        for other in &rows[n + 1..] {
            let both = row.seen.intersect(other.seen);
            let least = row.at.height().min(other.at.height());
            if both.width() > 1.5 && both.height() > 0.2 * least {
                faults.push(format!("`{}` and `{}` lie over one another", row.text, other.text));
            }
        }
    }
    faults
}

/// Sizes in points that a screen of 1024 x 600, 1280 x 800, and the latter at 250 %, gives.
const SIZES: [Vec2; 3] = [vec2(1024.0, 600.0), vec2(1280.0, 800.0), vec2(512.0, 320.0)];

/// One visit, looked at from every side at every step: time stands still meanwhile.
#[test]
fn no_word_on_any_screen_is_cut_or_lies_on_another_in_any_language() {
    let folder = tempfile::tempdir().unwrap();
    let on = Change::GuidanceOn {
        by: "Clinician 7".into(),
        at: super::bedside::at(),
        sets: vec!["nice-cks".into(), "acc-aha-2024".into()],
    };
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![on]), USUAL);
    let mut all = BTreeSet::new();
    let languages: Vec<Words> = Words::all().chain([pseudo()]).collect();
    let mut look = |bedside: &mut Bedside, screen: &str| {
        for words in &languages {
            for size in SIZES {
                bedside.window.state_mut().model.words = *words;
                bedside.window.set_size(size);
                (0..3).for_each(|_| bedside.window.step());
                let found = faults(bedside, size.x).into_iter();
                let at = format!("{} {}x{} {screen}", words.tag(), size.x, size.y);
                all.extend(found.map(|fault| format!("{at}: {fault}")));
            }
        }
        bedside.window.state_mut().model.words = Words::english();
        bedside.window.set_size(USUAL);
        bedside.window.step();
    };
    walk(&mut bedside, &mut look);
    bedside.window.state_mut().model.locked = false;
    // Where reasons are asked for, where a value is put right, and the record from visit to visit.
    bedside.act(Action::PutRight(PutRight::Begin("right-arm".parse().unwrap())));
    look(&mut bedside, "13-correct");
    bedside.act(Action::PutRight(PutRight::Back));
    bedside.act(Action::Visit(VisitAct::Close));
    bedside.click(&format!("All of {RECORD}"));
    look(&mut bedside, "14-history");
    bedside.act(Action::Go(Screen::Begin));
    bedside.act(Action::Open(OpeningAct::Fill(FormField::Record("S-07".into()))));
    bedside.act(Action::Open(OpeningAct::Fill(FormField::Posture(Posture::Sitting))));
    bedside.act(Action::Open(OpeningAct::Begin));
    bedside.act(Action::Prepare(Preparing::NoneApplies));
    look(&mut bedside, "15-asked");
    bedside.act(Action::Prepare(Preparing::EndRest));
    bedside.act(Action::Visit(VisitAct::AskFinish));
    look(&mut bedside, "16-finish");
    for words in &languages {
        assert_eq!(words.missed(), 0, "{}: said in English", words.tag());
    }
    let shown: Vec<&String> = all.iter().take(200).collect();
    assert!(all.is_empty(), "{} faults:\n{shown:#?}", all.len());
}

/// Every screen in every language: `CUFFNOTE_PICTURES=DIR CUFFNOTE_LANGUAGE=de cargo test ... -- pictures`.
#[test]
fn pictures_in_a_language() {
    let Some(out) = std::env::var_os("CUFFNOTE_PICTURES") else { return };
    let tag = std::env::var("CUFFNOTE_LANGUAGE").unwrap_or("en".into());
    let words = Words::of(&tag).unwrap_or_else(pseudo);
    for size in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), size);
        bedside.window.state_mut().model.words = words;
        bedside.wait(0.1);
        let name = format!("{tag}-{}x{}", size.x, size.y);
        walk(&mut bedside, &mut |b: &mut Bedside, screen: &str| {
            b.picture(&Path::new(&out).join(format!("{name}-{screen}.png")));
        });
    }
}
