//! What a report says, in its order: one model for every form that is written of it.

use super::blocks::{Block, Section};
pub use super::source::{ReportSource, SoundPicture, Trail};
use super::{findings, legs, marked, parts, trail};
use crate::words::{Words, id, say};

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
    /// The parts, in order: those of the first page, then what stands behind it.
    pub sections: Vec<Section>,
    /// The cautions in the foot.
    pub foot: Vec<String>,
    /// The language, for the words that a form adds: page numbers, frames.
    pub language: Words,
}

impl Content {
    /// What the report of this visit says.
    pub fn of(source: &ReportSource<'_>) -> Self {
        let words = source.result.language;
        let sections = [
            parts::warnings(source),
            parts::summary(source),
            legs::indexes(source),
            parts::readings(source),
            findings::findings(source),
            parts::plan(source),
            parts::signature(source),
            legs::guidance(source),
            parts::cannot_tell(source),
            parts::notes(source),
            trail::attempts(source),
            trail::sounds(source),
            parts::versions(source),
        ];
        let mut content = Self {
            title: words.plain(id!("report-title")).into(),
            record: source.result.record.clone(),
            chain: source.chain.map(str::to_owned),
            head: parts::head(source),
            sections: sections.into_iter().filter(|s| !s.blocks.is_empty()).collect(),
            foot: parts::foot(words),
            language: words,
        };
        marked::move_behind(words, &mut content.sections);
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

    /// Says who confirmed the translation for the service, in place of the words that nobody has. English is no
    /// translation.
    pub fn confirmed_by(&mut self, who: &str) {
        let words = self.language;
        let unreviewed = words.plain(id!("report-foot-unreviewed"));
        for line in self.foot.iter_mut().filter(|line| *line == unreviewed) {
            let who: String = who.chars().filter_map(plain).collect();
            *line = say!(words, "report-foot-confirmed", who = who);
        }
    }

    /// The document's name: title and record.
    pub fn name(&self) -> String {
        let (title, record) = (&self.title, &self.record);
        say!(self.language, "report-document", title = title, record = record)
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
