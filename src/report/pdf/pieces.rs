//! The report cut into pieces that each stay whole on a page: what is drawn where, before any page exists.
//!
//! Places are points (1/72 inch) from the piece's left upper corner; text lies on its base line.

use super::letters::{Faces, Line, Span, Weight};
use crate::report::paint::{INK, LINE, QUIET};

/// What a piece is to a reader who cannot see it.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Role {
    /// The document's title.
    Title,
    /// A heading, 2 or 3.
    Heading(u8),
    /// A paragraph.
    Words,
    /// A table's row; true of its head.
    Row(bool),
    /// A figure, and what it shows.
    Figure(String),
    /// Lines and boxes without meaning of their own.
    Ornament,
}

/// Something to draw.
#[derive(Debug, Clone)]
pub(super) enum Mark {
    /// A line of text; `cell` counts the columns of a row.
    Text { x: f32, y: f32, size: f32, colour: &'static str, line: Line, cell: usize },
    /// A straight line.
    Rule { from: (f32, f32), to: (f32, f32), width: f32, colour: &'static str },
    /// The outline of a box.
    Frame { x: f32, y: f32, w: f32, h: f32 },
    /// A whole SVG document.
    Drawing { x: f32, y: f32, w: f32, h: f32, svg: String },
}

/// Marks of one role; parts with the same group belong together across pieces.
#[derive(Debug, Clone)]
pub(super) struct Part {
    pub role: Role,
    pub group: u32,
    pub marks: Vec<Mark>,
}

/// What stays together on one page.
#[derive(Debug, Clone, Default)]
pub(super) struct Piece {
    /// Height, points.
    pub height: f32,
    /// Never the last on its page: the next piece belongs to it.
    pub keep: bool,
    /// Begins a page.
    pub new_page: bool,
    pub parts: Vec<Part>,
}

/// Makes pieces in a column of one width.
pub(super) struct Maker<'a> {
    pub faces: &'a Faces,
    /// Width of the column, points.
    pub width: f32,
    /// All sizes but that of the great numbers are multiplied by this.
    pub scale: f32,
    /// Lists run on, and small parts have their heading before their words.
    pub compact: bool,
    pub pieces: Vec<Piece>,
    groups: u32,
}

/// The look of a paragraph.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    pub size: f32,
    pub colour: &'static str,
    /// From the left, points.
    pub indent: f32,
    /// A heavy bar at the left.
    pub bar: bool,
    /// Space below, points.
    pub after: f32,
}

pub(super) const BODY: Look = Look { size: 8.6, colour: INK, indent: 0.0, bar: false, after: 2.5 };
pub(super) const SMALL: Look =
    Look { size: 7.8, colour: QUIET, indent: 0.0, bar: false, after: 2.0 };
/// From base line to base line, in sizes.
const LEADING: f32 = 1.21;
/// From the top of a line to its base line, in sizes.
const RISE: f32 = 0.95;

impl<'a> Maker<'a> {
    pub(super) fn new(faces: &'a Faces, width: f32, (scale, compact): (f32, bool)) -> Self {
        Self { faces, width, scale, compact, pieces: Vec::new(), groups: 0 }
    }

    pub(super) fn group(&mut self) -> u32 {
        self.groups += 1;
        self.groups
    }

    /// A paragraph, one piece a line; its first and last two lines stay together.
    pub(super) fn paragraph(&mut self, role: &Role, spans: &[Span<'_>], look: Look) {
        let size = look.size * self.scale;
        let lines = self.faces.wrap(spans, size, self.width - look.indent);
        let (group, count) = (self.group(), lines.len());
        for (i, line) in lines.into_iter().enumerate() {
            let last = i + 1 == count;
            let height = size * LEADING + if last { look.after } else { 0.0 };
            let text = Mark::Text {
                x: look.indent,
                y: size * RISE,
                size,
                colour: look.colour,
                line,
                cell: 0,
            };
            let mut parts = vec![Part { role: role.clone(), group, marks: vec![text] }];
            if look.bar {
                parts.push(self.bar(0.0, size * LEADING + 0.5));
            }
            let heading = matches!(role, Role::Title | Role::Heading(_));
            let keep = heading || (!last && (i == 0 || i + 2 == count));
            self.pieces.push(Piece { height, keep, new_page: false, parts });
        }
    }

    fn bar(&self, from: f32, to: f32) -> Part {
        let rule = Mark::Rule { from: (2.0, from), to: (2.0, to), width: 4.0, colour: INK };
        Part { role: Role::Ornament, group: 0, marks: vec![rule] }
    }

    /// A heading with a line above it.
    pub(super) fn heading(&mut self, words: &str) {
        let rule = Mark::Rule { from: (0.0, 3.0), to: (self.width, 3.0), width: 0.8, colour: LINE };
        let parts = vec![Part { role: Role::Ornament, group: 0, marks: vec![rule] }];
        self.pieces.push(Piece { height: 5.0, keep: true, new_page: false, parts });
        let look = Look { size: 10.2, after: 1.5, ..BODY };
        self.paragraph(&Role::Heading(2), &[(Weight::Bold, words)], look);
    }

    /// Lines of text at a place within a piece that is being made; returns the height they take.
    pub(super) fn lines(
        &self,
        marks: &mut Vec<Mark>,
        spans: &[Span<'_>],
        (size, colour): (f32, &'static str),
        (x, y, width): (f32, f32, f32),
    ) -> f32 {
        let lines = self.faces.wrap(spans, size, width);
        let height = lines.len() as f32 * size * LEADING;
        marks.extend(lines.into_iter().enumerate().map(|(i, line)| Mark::Text {
            x,
            y: y + i as f32 * size * LEADING + size * RISE,
            size,
            colour,
            line,
            cell: 0,
        }));
        height
    }

    /// A row of a table; shares are parts of the width. A very tall row is cut.
    pub(super) fn row(&mut self, cells: &[&str], shares: &[f32], kind: RowKind) {
        const TALLEST: usize = 24;
        let size = SMALL.size * self.scale;
        let weight = if kind == RowKind::Plain { Weight::Regular } else { Weight::Bold };
        let mut x = if kind == RowKind::Marked { 8.0 } else { 6.0 };
        let mut columns: Vec<(f32, Vec<Line>)> = Vec::new();
        for (cell, share) in cells.iter().zip(shares) {
            let width = share * self.width;
            let spans = [(weight, *cell)];
            // The first column begins inside its share, and ends before the next one.
            let room = if columns.is_empty() { width - x - 4.0 } else { width - 8.0 };
            columns.push((x, self.faces.wrap(&spans, size, room.max(20.0))));
            x = shares[..columns.len()].iter().sum::<f32>() * self.width;
        }
        let tall = columns.iter().map(|(_, lines)| lines.len()).max().unwrap_or(0);
        for from in (0..tall).step_by(TALLEST) {
            let count = (tall - from).min(TALLEST);
            let height = count as f32 * size * LEADING + 3.2;
            let mut marks = Vec::new();
            for (cell, (x, lines)) in columns.iter().enumerate() {
                for (i, line) in lines.iter().skip(from).take(count).enumerate() {
                    let y = 1.2 + i as f32 * size * LEADING + size * RISE;
                    marks.push(Mark::Text {
                        x: *x,
                        y,
                        size,
                        colour: INK,
                        line: line.clone(),
                        cell,
                    });
                }
            }
            let group = self.group();
            let mut parts = vec![Part { role: Role::Row(kind == RowKind::Head), group, marks }];
            let (below, colour) = if kind == RowKind::Head { (1.2, INK) } else { (0.5, LINE) };
            let rule = Mark::Rule {
                from: (0.0, height - 0.6),
                to: (self.width, height - 0.6),
                width: below,
                colour,
            };
            parts.push(Part { role: Role::Ornament, group: 0, marks: vec![rule] });
            if kind == RowKind::Marked {
                parts.push(self.bar(0.5, height - 1.0));
            }
            let keep = kind == RowKind::Head;
            self.pieces.push(Piece { height, keep, new_page: false, parts });
        }
    }

    /// Empty room.
    pub(super) fn gap(&mut self, height: f32) {
        self.pieces.push(Piece { height, ..Piece::default() });
    }
}

/// What a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RowKind {
    Head,
    Plain,
    /// Part of an index.
    Marked,
}
