//! The window's words: chosen at once and by the system, confirmed by name, kept in English, and on every screen in every
//! language and a stranger one without a word cut or over another; and none left in code.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use cuffnote::clinical::event::{Act, Outcome, Posture};
use cuffnote::clinical::reasons;
use cuffnote::conduct::Preparing;
use cuffnote::practice::cases::CaseKind;
use cuffnote::practice::lesson::Feedback;
use cuffnote::settings::Settings;
use cuffnote::window::model::action::{
    Action, ClassAct, FormField, HearAct, ListenAct, OpeningAct, PractiseAct, PutRight, Screen,
    ShelfAct, TryAct, VisitAct, Work,
};
use cuffnote::window::model::answers::Who;
use cuffnote::window::model::choices::Change;
use cuffnote::words::Words;
use eframe::egui::accesskit::Role;
use eframe::egui::epaint::{Shape, TextShape};
use eframe::egui::{Key, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};

use super::catalogue::{is_sentence, literals, sources, src};
use super::languages::pseudo;
use super::window::{Bedside, RECORD, USUAL, known, walk};

/// Texts of two words that nobody reads on a screen, and why.
const NO_WORDS: [(&str, &str); 4] = [
    ("in use", "the code of a gauge that none was named for, in the record"),
    ("not named", "in the record, in place of a code"),
    ("a visit runs", "to the system, why it is to stay awake"),
    ("not damped", "an answer, as class files have it"),
];

/// Files that hold sentences no screen shows by themselves, and why.
const MAY_HOLD_WORDS: [(&str, &str); 6] = [
    (
        "practice/class.rs",
        "what is wrong in a line of a file: English within a translated sentence",
    ),
    ("practice/examination.rs", "what is wrong in a file, as above"),
    ("practice/known_students.rs", "a test"),
    ("practice/lesson.rs", "what is wrong in a teacher's file, as above"),
    ("web/given.rs", "what a browser said, as above"),
    ("web/place.rs", "the same"),
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
fn no_sentence_of_the_window_of_practice_or_its_page_is_left_in_code() {
    let mut faults = Vec::new();
    let mut holding = BTreeSet::new();
    for path in ["window", "practice", "web"].iter().flat_map(|room| sources(&src().join(room))) {
        let name = path.strip_prefix(src()).unwrap().to_str().unwrap().to_owned();
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
        let said = said.map(|call| format!("{name}: c.{call}\"...\""));
        let all: Vec<String> = found.into_iter().chain(said).collect();
        match MAY_HOLD_WORDS.iter().find(|(may, _)| name.starts_with(may)) {
            Some((may, _)) if !all.is_empty() => drop(holding.insert(*may)),
            _ => faults.extend(all),
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // An exception that nothing needs any more is struck off.
    for (may, _) in MAY_HOLD_WORDS {
        assert!(holding.contains(may), "{may} holds no words any more");
    }
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

/// Words that are cut at a side, shortened, lie over others or leave their own target; targets that leave the screen at a
/// side.
fn faults(bedside: &Bedside, width: f32) -> Vec<String> {
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let (mut targets, mut fields) = (Vec::new(), Vec::new());
    for node in bedside.window.root().children_recursive() {
        let role = node.accesskit_node().role();
        let target = matches!(role, Role::Button | Role::RadioButton);
        if !target && !matches!(role, Role::TextInput | Role::PasswordInput) {
            continue;
        }
        let (rect, name) = (node.rect(), node.accesskit_node().label().unwrap_or_default());
        if rect.left() < -1.0 || rect.right() > width + 1.0 {
            faults.push(format!("{role:?} `{name}` leaves the screen"));
        }
        // What is typed may be longer than its field, and is scrolled in it.
        match target {
            true => targets.push((rect, name)),
            false => fields.push(rect),
        }
    }
    let output = bedside.window.output();
    for clipped in &output.shapes {
        collect(&clipped.shape, clipped.clip_rect, &mut rows, &mut faults);
    }
    assert!(rows.len() > 2, "words are painted");
    // What is scrolled out of sight, by its greater part, is not looked at.
    rows.retain(|row| row.seen.height() > 0.6 * row.at.height() && row.seen.width() > 0.0);
    rows.retain(|row| !fields.iter().any(|field| field.contains_rect(row.seen)));
    for (n, row) in rows.iter().enumerate() {
        if row.at.left() < row.seen.left() - 1.0 || row.at.right() > row.seen.right() + 1.0 {
            faults.push(format!("`{}` is cut at a side", row.text));
        }
        let own = targets.iter().filter(|(target, name)| {
            target.contains(row.at.center()) && name.contains(row.text.trim())
        });
        for (target, _) in own.filter(|(target, _)| !target.expand(1.0).contains_rect(row.at)) {
            faults.push(format!("`{}` leaves its target, {:.0} of {target:.0}", row.text, row.at));
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

/// So tall that nothing is scrolled out of sight, as wide as 250 % leaves it, and as a telephone in hand.
const TALL: [Vec2; 2] = [vec2(512.0, 2400.0), vec2(390.0, 2400.0)];

/// Looks at a screen in every language and size, and keeps what is amiss.
struct Looks {
    languages: Vec<Words>,
    sizes: Vec<Vec2>,
    faults: BTreeSet<String>,
}

impl Looks {
    fn new(sizes: &[Vec2]) -> Self {
        let languages = Words::all().chain([pseudo()]).collect();
        Self { languages, sizes: sizes.to_vec(), faults: BTreeSet::new() }
    }

    /// Time stands still meanwhile.
    fn look(&mut self, bedside: &mut Bedside, screen: &str) {
        for words in &self.languages {
            for size in self.sizes.clone() {
                bedside.window.state_mut().model.words = *words;
                bedside.window.set_size(size);
                (0..3).for_each(|_| bedside.window.step());
                let found = faults(bedside, size.x).into_iter();
                let at = format!("{} {}x{} {screen}", words.tag(), size.x, size.y);
                self.faults.extend(found.map(|fault| format!("{at}: {fault}")));
            }
        }
        bedside.window.state_mut().model.words = Words::english();
        bedside.window.set_size(USUAL);
        bedside.window.step();
    }

    fn done(&self) {
        for words in &self.languages {
            assert_eq!(words.missed(), 0, "{}: said in English", words.tag());
        }
        let shown: Vec<&String> = self.faults.iter().take(200).collect();
        assert!(shown.is_empty(), "{} faults:\n{shown:#?}", self.faults.len());
    }
}

/// One visit, looked at from every side at every step.
#[test]
fn no_word_on_any_screen_is_cut_or_lies_on_another_in_any_language() {
    let folder = tempfile::tempdir().unwrap();
    let on = Change::GuidanceOn {
        by: "Clinician 7".into(),
        at: super::bedside::at(),
        sets: vec!["nice-cks".into(), "acc-aha-2024".into()],
    };
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![on]), USUAL);
    let mut looks = Looks::new(&SIZES);
    let mut look = |bedside: &mut Bedside, screen: &str| looks.look(bedside, screen);
    walk(&mut bedside, &mut look);
    bedside.window.state_mut().model.locked = false;
    // Where reasons are asked for, where a value is put right, and the record from visit to visit.
    bedside.act(Action::PutRight(PutRight::Begin("right-arm".parse().unwrap())));
    look(&mut bedside, "13-correct");
    bedside.act(Action::PutRight(PutRight::Back));
    bedside.act(Action::Shelf(ShelfAct::HearAgain));
    look(&mut bedside, "17-replay");
    bedside.act(Action::Go(Screen::Result));
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
    looks.done();
}

/// The teacher's word of these examinations.
const WORD: &str = "lantern orchard seven";

fn practise(bedside: &mut Bedside, act: PractiseAct) {
    bedside.act(Action::Practise(act));
}

/// Lessons of practice from the list to their end: what each drill is, told, and heard again.
fn walk_lessons(bedside: &mut Bedside, look: &mut impl FnMut(&mut Bedside, &str)) {
    bedside.act(Action::Go(Screen::Practise));
    look(bedside, "20-practise");
    practise(bedside, PractiseAct::ListenFirst);
    let steps = bedside.model().practice.listen.as_ref().unwrap().steps.len();
    for step in 0..steps {
        practise(bedside, PractiseAct::Listen(ListenAct::Step(step)));
        look(bedside, &format!("21-listen-{}", step + 1));
    }
    practise(bedside, PractiseAct::Listen(ListenAct::Step(5)));
    let back_s = bedside.model().practice.listen.as_ref().unwrap().heard.as_ref().unwrap();
    let back_s = back_s.marks.truth_s.unwrap();
    practise(bedside, PractiseAct::Hear(HearAct::To(back_s + 0.1)));
    look(bedside, "21-listen-return");
    practise(bedside, PractiseAct::Listen(ListenAct::Leave));
    practise(bedside, PractiseAct::Student("S-07".into()));
    practise(bedside, PractiseAct::Count(3));
    practise(bedside, PractiseAct::Kind(CaseKind::Waveform));
    practise(bedside, PractiseAct::Begin);
    for drill in 0..3 {
        bedside.wait(4.0);
        if drill == 0 {
            look(bedside, "22-word");
        }
        practise(bedside, PractiseAct::Work(Work::Say("multiphasic")));
        bedside.wait(0.5);
        if drill == 0 {
            look(bedside, "23-word-told");
        }
        practise(bedside, PractiseAct::Enter);
    }
    look(bedside, "24-over");
    practise(bedside, PractiseAct::HearCase(0));
    look(bedside, "25-over-again");
    practise(bedside, PractiseAct::Enter);
    practise(bedside, PractiseAct::TwoEars(true));
    practise(bedside, PractiseAct::Kind(CaseKind::FirstReturn));
    practise(bedside, PractiseAct::Begin);
    bedside.wait(2.0);
    look(bedside, "26-drill");
    for _ in 0..16 {
        practise(bedside, PractiseAct::Work(Work::Squeeze));
        bedside.wait(0.2);
    }
    look(bedside, "27-tight");
    practise(bedside, PractiseAct::Work(Work::Valve(0.3)));
    bedside.wait(40.0);
    for who in [Who::Teacher, Who::Student] {
        practise(bedside, PractiseAct::Work(Work::Tap(who)));
        bedside.wait(1.0);
    }
    look(bedside, "28-tapped");
    for digit in "100".chars() {
        practise(bedside, PractiseAct::Work(Work::Digit(digit)));
    }
    practise(bedside, PractiseAct::Enter);
    look(bedside, "29-teacher");
    for digit in "112".chars() {
        practise(bedside, PractiseAct::Work(Work::Digit(digit)));
    }
    practise(bedside, PractiseAct::Enter);
    bedside.wait(1.0);
    look(bedside, "30-told");
    practise(bedside, PractiseAct::End);
    look(bedside, "31-over");
    practise(bedside, PractiseAct::End);
    practise(bedside, PractiseAct::TwoEars(false));
    look(bedside, "32-course");
}

/// A teacher's part: an examination set, sat and opened, the class, and a sound of one's own.
fn walk_teaching(bedside: &mut Bedside, folder: &Path, look: &mut impl FnMut(&mut Bedside, &str)) {
    practise(bedside, PractiseAct::Feedback(Feedback::Hidden));
    practise(bedside, PractiseAct::Kind(CaseKind::Regularity));
    look(bedside, "33-examination");
    let lesson = folder.join("spring.toml");
    let text = "version = 1\nname = \"Spring\"\n[[drill]]\nkind = \"damped\"\n";
    fs::write(&lesson, text).unwrap();
    practise(bedside, PractiseAct::File(lesson.display().to_string()));
    practise(bedside, PractiseAct::Seal);
    look(bedside, "34-refused");
    practise(bedside, PractiseAct::Word(WORD.into()));
    practise(bedside, PractiseAct::Seal);
    look(bedside, "35-sealed");
    practise(bedside, PractiseAct::Word(WORD.into()));
    practise(bedside, PractiseAct::Begin);
    for drill in 0..3 {
        bedside.wait(4.0);
        practise(bedside, PractiseAct::Work(Work::Say("regular")));
        bedside.wait(0.5);
        if drill == 0 {
            look(bedside, "36-kept");
        }
        practise(bedside, PractiseAct::Enter);
    }
    look(bedside, "37-examination-over");
    practise(bedside, PractiseAct::End);
    practise(bedside, PractiseAct::Class(ClassAct::Open));
    look(bedside, "38-class");
    practise(bedside, PractiseAct::Class(ClassAct::Word(WORD.into())));
    practise(bedside, PractiseAct::Class(ClassAct::Unseal));
    look(bedside, "39-opened");
    practise(bedside, PractiseAct::Class(ClassAct::Leave));
    practise(bedside, PractiseAct::Try(TryAct::Begin));
    look(bedside, "40-try");
    let wav = fs::read_dir("audio-fixtures").unwrap().map(|entry| entry.unwrap().path());
    let wav = wav.filter(|path| path.extension().is_some_and(|e| e == "wav")).min().unwrap();
    practise(bedside, PractiseAct::Try(TryAct::File(wav.display().to_string())));
    practise(bedside, PractiseAct::Try(TryAct::Read));
    bedside.until(60.0, "the listener's end", |m| {
        m.practice.tried.as_ref().is_some_and(|tried| tried.heard.is_some())
    });
    look(bedside, "41-tried");
}

/// Practice, looked at from every side at every step.
#[test]
fn no_word_of_practice_is_cut_or_lies_on_another_in_any_language() {
    let folder = tempfile::tempdir().unwrap();
    let mut bedside = Bedside::new(folder.path(), "visit", known(vec![]), USUAL);
    let mut looks = Looks::new(&[&SIZES[..], &TALL].concat());
    let mut look = |bedside: &mut Bedside, screen: &str| looks.look(bedside, screen);
    walk_lessons(&mut bedside, &mut look);
    walk_teaching(&mut bedside, folder.path(), &mut look);
    looks.done();
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
        let mut bedside = Bedside::new(&folder.path().join("b"), "visit", known(vec![]), size);
        bedside.window.state_mut().model.words = words;
        let mut keep = |b: &mut Bedside, screen: &str| {
            b.picture(&Path::new(&out).join(format!("{name}-{screen}.png")));
        };
        walk_lessons(&mut bedside, &mut keep);
        walk_teaching(&mut bedside, folder.path(), &mut keep);
    }
}
