//! What a report can say, as typed blocks: what the builders give and every writer takes.

use crate::units::Sonogram;
use crate::words::Words;

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
    Warning(CautionBlock),
    /// One leg's number.
    Leg(Leg),
    /// What one set of guidance says.
    Guidance(Guidance),
    /// Readings as a table.
    Table(Table),
    /// The sound of one attempt.
    Sound(SoundShown),
    /// Lines to be filled in by hand.
    Blanks(Vec<String>),
}

/// A red flag or caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CautionBlock {
    /// "Red flag" or "Caution", in the report's language.
    pub label: String,
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
    /// What has to be said first: a limit within the measurement uncertainty, a provisional number.
    pub first: Vec<String>,
    /// What else has to be known of it.
    pub further: Vec<String>,
    /// Its place on a line.
    pub line: Option<Line>,
}

/// A number and its interval among the limits of one set.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The language of the words that the figure adds.
    pub language: Words,
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
    /// Of which leg, and what it says; a limit within the measurement uncertainty first.
    pub says: Vec<(String, Vec<String>)>,
}

/// A table with its caption; the first cell of each row names the row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// The caption.
    pub caption: String,
    /// The heads of the columns.
    pub columns: Vec<String>,
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
    /// The language of the words that the figure adds.
    pub language: Words,
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

impl Block {
    /// Every text of the block, to be cleaned or read.
    pub(super) fn texts<'a>(&'a mut self, texts: &mut Vec<&'a mut String>) {
        match self {
            Block::Words(words) => texts.push(words),
            Block::List(list) => texts.extend(list),
            Block::Warning(warning) => texts.extend([&mut warning.label, &mut warning.words]),
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
                texts.extend(&mut table.columns);
                texts.extend(table.rows.iter_mut().flat_map(|row| &mut row.cells));
            }
            Block::Sound(sound) => texts.extend([&mut sound.name, &mut sound.caption]),
            Block::Blanks(blanks) => texts.extend(blanks),
        }
    }
}
