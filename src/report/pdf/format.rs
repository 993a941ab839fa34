//! The paper, its margins, and why no PDF could be made.

/// Margin at the sides, points.
pub(super) const SIDE: f32 = 42.0;
/// Margin at the top, points.
pub(super) const TOP: f32 = 30.0;
/// Margin at the bottom with its line, points.
pub(super) const BOTTOM: f32 = 42.0;

/// The paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    #[default]
    A4,
    /// North American Letter, 8.5 by 11 inches.
    Letter,
}

impl Paper {
    /// Both.
    pub const ALL: [Paper; 2] = [Paper::A4, Paper::Letter];

    /// As it stands in settings and in the words of a command.
    pub const fn code(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::Letter => "letter",
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }

    /// The paper of this code, whatever its case.
    pub fn of(code: &str) -> Option<Paper> {
        Self::ALL.into_iter().find(|paper| paper.code().eq_ignore_ascii_case(code.trim()))
    }

    /// Width and height, points (1/72 inch).
    pub const fn size_pt(self) -> (f32, f32) {
        match self {
            Paper::A4 => (595.28, 841.89),
            Paper::Letter => (612.0, 792.0),
        }
    }
}

/// Why no PDF could be made. None of these comes from what was typed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PdfFault {
    /// The program was built with broken fonts.
    #[error("the embedded type could not be read")]
    Type,
    /// A figure of ours could not be read back.
    #[error("a figure could not be drawn: {0}")]
    Figure(String),
    /// The writer refused.
    #[error("the PDF could not be written: {0}")]
    Writer(String),
}
