//! What a report says, in its order, as typed blocks: one model for every form that is written of it.

use crate::clinical::guidance::Set;
use crate::clinical::result::VisitResult;
use crate::clinical::visit::Visit;
use crate::units::Sonogram;

use super::{legs, parts, trail};

/// What a report is made from.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// The visit.
    pub visit: &'a Visit,
    /// The same visit, worked out.
    pub result: &'a VisitResult,
    /// The sets of guidance that were asked, the one whose limits are drawn first.
    pub sets: &'a [Set],
    /// The sounds that were kept.
    pub sounds: &'a [Sound],
    /// The service that measured, as it wants to be called.
    pub service: &'a str,
    /// How much of the trail is wanted.
    pub trail: Trail,
    /// The head of the record's hash chain, where the record has one.
    pub chain: Option<&'a str>,
}

/// How much stands behind the first page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Trail {
    /// Only what the first page cannot say in short: attempts that do not count, amendments, sounds.
    #[default]
    Needed,
    /// Every attempt.
    Full,
}

/// The picture of one attempt's sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// The attempt's number in the visit.
    pub attempt: u32,
    /// The picture.
    pub sonogram: Sonogram,
}

/// A whole report.
#[derive(Debug, Clone, PartialEq)]
pub struct Content {
    /// The document's title.
    pub title: String,
    /// What stands on every page: the record's code.
    pub record: String,
    /// The facts in the head: name and value.
    pub head: Vec<(String, String)>,
    /// The head of the record's hash chain; none where the record has none.
    pub chain: Option<String>,
    /// The parts, in order: those of the first page, then the trail.
    pub sections: Vec<Section>,
    /// The cautions in the foot.
    pub foot: Vec<String>,
}

/// One part under a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// A name for links and styles, unique in the report.
    pub id: &'static str,
    /// The heading.
    pub title: String,
    /// What stands under it.
    pub blocks: Vec<Block>,
    /// True of the trail: it follows what matters first, on pages of its own.
    pub trail: bool,
}

/// One thing that is said.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Sentences.
    Words(String),
    /// Sentences that stand each for itself.
    List(Vec<String>),
    /// A red flag or caution.
    Warning(Warning),
    /// One leg's number.
    Leg(Leg),
    /// What one set of guidance says.
    Guidance(Guidance),
    /// Readings as a table.
    Table(Table),
    /// The sound of one attempt.
    Sound(SoundShown),
    /// Lines to be filled in by hand.
    Blanks(Vec<&'static str>),
}

/// A red flag or caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// "Red flag" or "Caution".
    pub label: &'static str,
    /// What was recorded and what its source says.
    pub words: String,
}

/// One leg's number, or the words in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Whose leg.
    pub name: String,
    /// `0.70`, `above 2.03` or `no index`.
    pub number: String,
    /// The interval in words; none where there is none.
    pub interval: Option<String>,
    /// What it was made of.
    pub made_of: String,
    /// What has to be said first: a limit inside the doubt, a provisional number.
    pub first: Vec<String>,
    /// What else has to be known of it.
    pub further: Vec<String>,
    /// Its place on a line.
    pub line: Option<Line>,
}

/// A number and its interval among the limits of one set.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Whose number, for those who cannot see it.
    pub name: String,
    /// The number; none where only its lower bound is known.
    pub at: Option<f64>,
    /// Its interval.
    pub ends: Option<(f64, f64)>,
    /// It lies above this.
    pub above: Option<f64>,
    /// The set whose limits are drawn.
    pub set: String,
    /// Its bands.
    pub bands: Vec<LineBand>,
}

/// A range of the line with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct LineBand {
    /// Lower limit.
    pub from: Option<f64>,
    /// Upper limit.
    pub to: Option<f64>,
    /// Range and name in words.
    pub name: String,
}

/// What one set says of each leg.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guidance {
    /// The set's name.
    pub set: String,
    /// Where it was published and how sure that is.
    pub source: String,
    /// Of which leg, and what it says; a limit inside the doubt first.
    pub says: Vec<(String, Vec<String>)>,
}

/// A table with its caption; the first cell of each row names the row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// The caption.
    pub caption: String,
    /// The heads of the columns.
    pub columns: Vec<&'static str>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// As many as there are columns.
    pub cells: Vec<String>,
    /// True where the indexes are made of it.
    pub marked: bool,
}

/// The sound of one attempt with what was heard and done.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundShown {
    /// Where, and which attempt.
    pub name: String,
    /// What is seen, in sentences.
    pub caption: String,
    /// The picture.
    pub sonogram: Sonogram,
    /// When the pulse was lost, seconds.
    pub lost_s: Option<f64>,
    /// When the first pulse was heard to return, seconds.
    pub return_s: Option<f64>,
    /// When the clinician tapped, seconds.
    pub tap_s: Option<f64>,
}

impl Content {
    /// What the report of this visit says.
    pub fn of(source: &Source<'_>) -> Self {
        let sections = [
            parts::warnings(source),
            legs::indexes(source),
            legs::guidance(source),
            parts::readings(source),
            parts::notes(source),
            parts::cannot_tell(source),
            parts::versions(source),
            parts::signature(),
            trail::attempts(source),
            trail::sounds(source),
        ];
        let mut content = Self {
            title: "Ankle-brachial index: record of a measurement".into(),
            record: source.result.record.clone(),
            chain: source.chain.map(str::to_owned),
            head: parts::head(source),
            sections: sections.into_iter().filter(|s| !s.blocks.is_empty()).collect(),
            foot: parts::foot(),
        };
        content.clean();
        content
    }

    /// Says where the visit is kept, under "Versions": such as the record book's chain and its head, by which a
    /// later check can find this state of the book.
    pub fn kept_in(&mut self, words: &str) {
        let words: String = words.chars().filter_map(plain).collect();
        if let Some(versions) = self.sections.iter_mut().find(|section| section.id == "versions") {
            versions.blocks.push(Block::Words(words));
        }
    }

    /// Every text of the report.
    fn texts(&mut self) -> Vec<&mut String> {
        let mut texts = vec![&mut self.title, &mut self.record];
        texts.extend(&mut self.chain);
        texts.extend(self.head.iter_mut().flat_map(|(name, value)| [name, value]));
        texts.extend(&mut self.foot);
        for section in &mut self.sections {
            texts.push(&mut section.title);
            section.blocks.iter_mut().for_each(|block| block.texts(&mut texts));
        }
        texts
    }

    /// All texts that can hold typed words, run together.
    pub fn text(&self) -> String {
        let mut copy = self.clone();
        copy.texts().into_iter().map(|text| text.as_str()).collect()
    }

    fn clean(&mut self) {
        for text in self.texts() {
            if text.chars().any(|c| plain(c) != Some(c)) {
                *text = text.chars().filter_map(plain).collect();
            }
        }
    }
}

impl Block {
    fn texts<'a>(&'a mut self, texts: &mut Vec<&'a mut String>) {
        match self {
            Block::Words(words) => texts.push(words),
            Block::List(list) => texts.extend(list),
            Block::Warning(warning) => texts.push(&mut warning.words),
            Block::Leg(leg) => {
                texts.extend([&mut leg.name, &mut leg.number, &mut leg.made_of]);
                texts.extend(leg.interval.iter_mut().chain(&mut leg.first).chain(&mut leg.further));
                if let Some(line) = &mut leg.line {
                    texts.extend([&mut line.name, &mut line.set]);
                    texts.extend(line.bands.iter_mut().map(|band| &mut band.name));
                }
            }
            Block::Guidance(guidance) => {
                texts.extend([&mut guidance.set, &mut guidance.source]);
                for (leg, says) in &mut guidance.says {
                    texts.push(leg);
                    texts.extend(says);
                }
            }
            Block::Table(table) => {
                texts.push(&mut table.caption);
                texts.extend(table.rows.iter_mut().flat_map(|row| &mut row.cells));
            }
            Block::Sound(sound) => texts.extend([&mut sound.name, &mut sound.caption]),
            Block::Blanks(_) => {}
        }
    }
}

/// Characters that no document form can hold, or that turn the order of the text around them, are not let
/// in: controls become spaces, marks of direction go, what XML 1.0 does not allow becomes U+FFFD.
fn plain(c: char) -> Option<char> {
    match c {
        '\u{202A}'..='\u{202E}'
        | '\u{2066}'..='\u{2069}'
        | '\u{200E}'
        | '\u{200F}'
        | '\u{061C}' => None,
        '\u{FFFE}' | '\u{FFFF}' => Some('\u{FFFD}'),
        c if c.is_control() => Some(' '),
        c => Some(c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn controls_and_turned_text_are_not_let_in() {
        let typed = "K-1\u{202E}gnorw\u{0}\n\u{FFFE}é";
        let kept: String = typed.chars().filter_map(plain).collect();
        assert_eq!(kept, "K-1gnorw  \u{FFFD}é");
    }
}
