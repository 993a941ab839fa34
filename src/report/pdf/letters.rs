//! Type for the PDF: text to lines of glyphs, with the embedded spare face for letters that the first lacks.
//!
//! What is measured is what is drawn: both come from one shaping. Text in mixed directions is put in its
//! order of reading by the Unicode bidirectional rules.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, UnicodeBuffer};
use unicode_bidi::{BidiInfo, Level};

use crate::report::fonts::{BOLD, REGULAR, SPARE};

/// How heavy letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// As in running text.
    Regular,
    /// Heavy.
    Bold,
}

const SPARE_FACE: usize = 2;
/// What is drawn for a letter that no embedded face has; the letter itself is what copies out.
const MISSING: char = '\u{FFFD}';

/// The three embedded faces.
pub(super) struct Faces {
    shapers: [rustybuzz::Face<'static>; 3],
    inks: [Font; 3],
}

/// One line, ready to be drawn; widths are in ems, so that a line serves every size.
#[derive(Debug, Clone, Default)]
pub(super) struct Line {
    /// Pieces of one face each, from left to right.
    pub runs: Vec<Run>,
}

/// Glyphs of one face with the text that they stand for.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// Which face.
    pub face: usize,
    /// The text.
    pub text: String,
    /// The glyphs, in visual order.
    pub glyphs: Vec<KrillaGlyph>,
    /// Advance of all glyphs, ems.
    pub width_em: f32,
}

impl Line {
    /// Width, ems.
    pub(super) fn width_em(&self) -> f32 {
        self.runs.iter().map(|run| run.width_em).sum()
    }
}

/// Text of one weight.
pub(super) type Span<'a> = (Weight, &'a str);

impl Faces {
    /// The embedded faces; `None` never, unless the program was built with broken fonts.
    pub(super) fn load() -> Option<Self> {
        let shaper = |data| rustybuzz::Face::from_slice(data, 0);
        let ink = |data: &'static [u8]| Font::new(data.to_vec().into(), 0);
        Some(Self {
            shapers: [shaper(REGULAR)?, shaper(BOLD)?, shaper(SPARE)?],
            inks: [ink(REGULAR)?, ink(BOLD)?, ink(SPARE)?],
        })
    }

    /// The face as krilla draws it.
    pub(super) fn ink(&self, face: usize) -> Font {
        self.inks[face].clone()
    }

    /// Breaks spans into lines of at most `width` at this size; a word that is too long is broken.
    pub(super) fn wrap(&self, spans: &[Span<'_>], size: f32, width: f32) -> Vec<Line> {
        let mut lines = Vec::new();
        let mut held: Vec<(Weight, String)> = Vec::new();
        let mut used = 0.0;
        for (weight, text) in spans {
            for word in text.split(breakable).filter(|word| !word.is_empty()) {
                for part in self.fitting(word, *weight, width / size) {
                    let space = if held.is_empty() { 0.0 } else { self.width(" ", *weight) };
                    let wide = self.width(&part, *weight);
                    if !held.is_empty() && (used + space + wide) * size > width {
                        lines.push(self.line(&std::mem::take(&mut held)));
                        used = 0.0;
                    }
                    let gap = if held.is_empty() { "" } else { " " };
                    used += wide + if gap.is_empty() { 0.0 } else { space };
                    held.push((*weight, format!("{gap}{part}")));
                }
            }
        }
        if !held.is_empty() {
            lines.push(self.line(&held));
        }
        lines
    }

    /// A word whole, or in pieces that fit.
    fn fitting(&self, word: &str, weight: Weight, width_em: f32) -> Vec<String> {
        if self.width(word, weight) <= width_em {
            return vec![word.to_owned()];
        }
        let mut parts = vec![String::new()];
        let mut used = 0.0;
        for c in word.chars() {
            let wide = self.width(c.encode_utf8(&mut [0; 4]), weight);
            if used + wide > width_em && used > 0.0 {
                parts.push(String::new());
                used = 0.0;
            }
            used += wide;
            if let Some(last) = parts.last_mut() {
                last.push(c);
            }
        }
        parts
    }

    fn line(&self, words: &[(Weight, String)]) -> Line {
        let mut joined: Vec<(Weight, String)> = Vec::new();
        for (weight, word) in words {
            match joined.last_mut() {
                Some((last, text)) if last == weight => text.push_str(word),
                _ => joined.push((*weight, word.clone())),
            }
        }
        let runs = joined.iter().flat_map(|(weight, text)| self.shape(text, *weight));
        Line { runs: runs.collect() }
    }

    /// Width of a text, ems.
    pub(super) fn width(&self, text: &str, weight: Weight) -> f32 {
        self.shape(text, weight).iter().map(|run| run.width_em).sum()
    }

    /// One text as one line, not broken.
    pub(super) fn single(&self, text: &str, weight: Weight) -> Line {
        Line { runs: self.shape(text, weight) }
    }

    fn shape(&self, text: &str, weight: Weight) -> Vec<Run> {
        let text: String = text.chars().filter(|c| !unseen(*c)).collect();
        let order = BidiInfo::new(&text, Some(Level::ltr()));
        let mut runs = Vec::new();
        for paragraph in &order.paragraphs {
            let (levels, visual) = order.visual_runs(paragraph, paragraph.range.clone());
            for range in visual {
                let backwards = levels.get(range.start).is_some_and(|level| level.is_rtl());
                let mut parts = self.parts(&text[range], weight, backwards);
                if backwards {
                    parts.reverse();
                }
                runs.extend(parts);
            }
        }
        runs
    }

    /// Text of one direction, cut where the face changes.
    fn parts(&self, text: &str, weight: Weight, backwards: bool) -> Vec<Run> {
        let mut cut: Vec<(Option<usize>, String)> = Vec::new();
        for c in text.chars() {
            let face = self.face_of(c, weight);
            match cut.last_mut() {
                Some((last, text)) if *last == face && face.is_some() => text.push(c),
                _ => cut.push((face, c.to_string())),
            }
        }
        let shaped = cut.into_iter().map(|(face, text)| match face {
            Some(face) => self.run(face, text, backwards),
            None => self.missing(text),
        });
        shaped.collect()
    }

    fn face_of(&self, c: char, weight: Weight) -> Option<usize> {
        let first = if weight == Weight::Bold { 1 } else { 0 };
        [first, SPARE_FACE].into_iter().find(|face| self.shapers[*face].glyph_index(c).is_some())
    }

    fn run(&self, face: usize, text: String, backwards: bool) -> Run {
        let shaper = &self.shapers[face];
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&text);
        buffer.guess_segment_properties();
        buffer.set_direction(if backwards {
            Direction::RightToLeft
        } else {
            Direction::LeftToRight
        });
        let shaped = rustybuzz::shape(shaper, &[], buffer);
        let em = shaper.units_per_em() as f32;
        let mut starts: Vec<usize> =
            shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        starts.dedup();
        let end = |start: usize| starts.iter().copied().find(|s| *s > start).unwrap_or(text.len());
        let pairs = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
        let glyphs: Vec<KrillaGlyph> = pairs
            .map(|(info, at)| {
                let start = info.cluster as usize;
                let part = |units: i32| units as f32 / em;
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    part(at.x_advance),
                    part(at.x_offset),
                    part(at.y_offset),
                    part(at.y_advance),
                    start..end(start),
                    None,
                )
            })
            .collect();
        let width = shaped.glyph_positions().iter().map(|at| at.x_advance as f32).sum::<f32>();
        Run { face, glyphs, width_em: width / em, text }
    }

    /// A letter that no face has: a sign in its place, which copies out as the letter.
    fn missing(&self, letter: String) -> Run {
        let sign = self.run(SPARE_FACE, MISSING.to_string(), false);
        let glyphs = sign.glyphs.iter().map(|g| {
            KrillaGlyph::new(g.glyph_id, g.x_advance, 0.0, 0.0, 0.0, 0..letter.len(), None)
        });
        Run { face: SPARE_FACE, glyphs: glyphs.collect(), width_em: sign.width_em, text: letter }
    }
}

/// Where a line may end: at white space that is not meant to hold words together.
fn breakable(c: char) -> bool {
    c.is_whitespace() && !['\u{A0}', '\u{2007}', '\u{202F}'].contains(&c)
}

/// Characters that are never seen (Unicode's default-ignorable ones that can occur in typed text).
fn unseen(c: char) -> bool {
    matches!(c, '\u{AD}' | '\u{180E}' | '\u{200B}'..='\u{200F}' | '\u{2060}'..='\u{206F}'
        | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E0FFF}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_their_width_and_lose_no_letter() {
        let faces = Faces::load().unwrap();
        let text = "Straße zum Şişli Ārlingtonweg Ωmega Жук שלום עולם 文字 and_a_word_that_is_far_too_long_for_any_line";
        let lines = faces.wrap(&[(Weight::Regular, text)], 10.0, 90.0);
        let mut kept = String::new();
        for line in &lines {
            assert!(line.width_em() * 10.0 <= 91.0, "{}", line.width_em());
            line.runs.iter().for_each(|run| kept.push_str(&run.text));
        }
        let sorted = |text: &str| {
            let mut letters: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
            letters.sort_unstable();
            letters
        };
        assert_eq!(sorted(&kept), sorted(text));
    }

    /// What each face holds was read with fontTools 4.68.0.
    #[test]
    fn every_letter_finds_a_face() {
        let faces = Faces::load().unwrap();
        for (letter, face) in
            [('a', Some(0)), ('ş', Some(2)), ('Ж', Some(2)), ('ש', Some(2)), ('文', None)]
        {
            assert_eq!(faces.face_of(letter, Weight::Regular), face, "{letter}");
        }
        assert_eq!(faces.face_of('a', Weight::Bold), Some(1));
    }
}
