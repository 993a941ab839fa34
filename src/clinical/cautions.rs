//! Cautions and red flags: questions before the first inflation, and what stands above every number.

use serde::{Deserialize, Serialize};

use super::guidance::Status;
use super::opened::Answer;
use super::prepared::{Prepared, WoundCare};
use super::site::{Side, Site};
use super::visit::Visit;
use crate::words::{Words, id, say};

/// How heavy an item weighs.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// Overrides every number.
    RedFlag,
    /// Bears on one limb or on how a number is read.
    Caution,
}

/// What an item is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CautionAbout {
    /// A leg.
    Leg,
    /// An arm.
    Arm,
    /// The whole patient.
    Patient,
}

/// One item of the list.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Its name in events.
    pub id: String,
    /// How heavy it weighs.
    pub weight: Weight,
    /// What it is about.
    pub about: CautionAbout,
    /// True where it is asked before the first inflation.
    #[serde(default)]
    pub ask: bool,
    /// True where a yes takes the limb's sites out of the order, unless the clinician turns to them all the same.
    #[serde(default)]
    pub leaves_out: bool,
    /// The question, or what is looked for.
    #[serde(skip)]
    pub question: String,
    /// What stands above the result where the answer is yes.
    #[serde(skip)]
    pub words: String,
    /// Where it comes from.
    #[serde(skip)]
    pub source: String,
    /// How sure that is.
    pub status: Status,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "the version is checked by a test; the file is built in")]
    version: u32,
    item: Vec<Item>,
}

/// The list that comes with the program, in English.
pub fn list() -> Vec<Item> {
    said(Words::english())
}

/// The list in the words of a language.
///
/// # Panics
/// If the built-in file does not read, which a test rules out: an empty list would be worse.
pub fn said(words: Words) -> Vec<Item> {
    let file: Result<File, _> = toml::from_str(include_str!("cautions.toml"));
    let mut items = file.expect("the built-in list of cautions reads").item;
    for item in &mut items {
        let part = |part: &str| words.message(&format!("caution-{}{part}", item.id), &[]);
        let [question, about, source] = ["", ".words", ".source"].map(part);
        (item.question, item.words, item.source) = (question, about, source);
    }
    items
}

/// An item that applies.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Flag {
    /// The item.
    pub id: String,
    /// How heavy it weighs.
    pub weight: Weight,
    /// The side; none for the whole patient.
    pub side: Option<Side>,
    /// What to say, source first.
    pub words: String,
    /// Where it comes from, and how sure that is.
    pub source: String,
}

impl Flag {
    fn of(item: &Item, words: Words, side: Option<Side>) -> Self {
        let limb = match item.about {
            CautionAbout::Leg => "leg",
            CautionAbout::Arm => "arm",
            CautionAbout::Patient => "patient",
        };
        let status = item.status.said(words);
        let source = say!(words, "caution-source", source = item.source, status = status);
        let said = match side {
            Some(side) => say!(
                words,
                "caution-of-limb",
                side = side.code(),
                limb = limb,
                words = item.words,
                source = source
            ),
            None => say!(words, "caution-of-patient", words = item.words, source = source),
        };
        Self { id: item.id.clone(), weight: item.weight, side, words: said, source }
    }

    /// True where the flag bears on this leg: a leg's own, or the whole patient's.
    pub fn concerns(&self, side: Side) -> bool {
        self.side.is_none_or(|s| s == side)
    }
}

/// What the visit's answers raise, red flags first.
pub fn raised(visit: &Visit, words: Words) -> Vec<Flag> {
    let items = said(words);
    let yes = visit.answers.iter().filter(|a| a.answer == Answer::Yes);
    let mut flags: Vec<Flag> = yes
        .map(|answer| match items.iter().find(|item| item.id == answer.id) {
            Some(item) => Flag::of(item, words, answer.side),
            None => unknown(&answer.id, words, answer.side),
        })
        .collect();
    for (id, answer) in [("diabetes", visit.opened.diabetes), ("kidney", visit.opened.kidney)] {
        let item = items.iter().find(|item| item.id == id);
        if answer == Answer::Yes && !flags.iter().any(|f| f.id == id) {
            flags.extend(item.map(|item| Flag::of(item, words, None)));
        }
    }
    flags.sort_by_key(|flag| flag.weight);
    flags
}

/// The questions to be put before the first inflation that have no answer yet.
pub fn to_ask(visit: &Visit) -> Vec<Item> {
    let asked = |item: &Item| visit.answers.iter().any(|answer| answer.id == item.id);
    list().into_iter().filter(|item| item.ask && !asked(item)).collect()
}

/// Why a site is out of the order, by the visit's answers; none where it is in.
pub fn left_out(visit: &Visit, site: Site) -> Option<String> {
    let bears = |item: &Item| match item.about {
        CautionAbout::Leg => !site.is_arm(),
        CautionAbout::Arm => site.is_arm(),
        CautionAbout::Patient => true,
    };
    let items = list();
    let yes = visit.answers.iter().filter(|a| a.answer == Answer::Yes);
    let of_side = yes.filter(|a| a.side.is_none_or(|side| side == site.side));
    let item = of_side
        .filter_map(|a| items.iter().find(|item| item.id == a.id))
        .find(|item| item.leaves_out && bears(item) && !measured_with_wound(visit, item, site))?;
    Some(item.question.trim_end_matches('?').to_owned())
}

/// A wound where the cuff goes leaves the leg out only where nothing else was decided.
fn measured_with_wound(visit: &Visit, item: &Item, site: Site) -> bool {
    let care = visit.prepared.iter().rev().find_map(|p| match p {
        Prepared::Wound { side, care } if *side == site.side => Some(*care),
        _ => None,
    });
    item.id == WOUND && matches!(care, Some(WoundCare::Covered | WoundCare::CuffElsewhere))
}

/// The item of a wound where the cuff goes.
pub const WOUND: &str = "wound-under-cuff";

/// The legs for which such a wound was named.
pub fn wounds(visit: &Visit) -> Vec<Side> {
    let named = visit.answers.iter().filter(|a| a.id == WOUND && a.answer == Answer::Yes);
    named.filter_map(|a| a.side).collect()
}

/// An item found by the measurement itself, such as no signal in either artery.
pub fn found(id: &str, words: Words, side: Side) -> Option<Flag> {
    said(words).iter().find(|item| item.id == id).map(|item| Flag::of(item, words, Some(side)))
}

/// An id that this version does not know is never dropped.
fn unknown(id: &str, words: Words, side: Option<Side>) -> Flag {
    Flag {
        id: id.to_owned(),
        weight: Weight::RedFlag,
        side,
        words: say!(words, "caution-unknown", id = id),
        source: words.plain(id!("caution-unknown-source")).into(),
    }
}
