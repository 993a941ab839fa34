//! How each part of the content becomes pieces of the PDF.

use super::letters::Weight::{Bold, Regular};
use super::pieces::{BODY, Look, Maker, Mark, Part, Piece, Role, RowKind, SMALL};
use crate::report::blocks::{Block, Guidance, Leg, Section, SoundShown, Table};
use crate::report::content::Content;
use crate::report::figure::{self, Figure};
use crate::report::paint::{INK, QUIET};
use crate::words::{Words, id, say};

/// Size of the great numbers, points.
const GREAT: f32 = 27.0;
/// Width of the column with the number, points.
const NUMBER_WIDE: f32 = 158.0;
/// A figure's unit in points: its letters of 12 units become 8 points.
const UNIT: f32 = 2.0 / 3.0;
/// Where a patient's label goes, points.
const LABEL: (f32, f32) = (190.0, 66.0);

/// The first page's pieces, then those of the trail.
pub(super) fn first(maker: &mut Maker<'_>, content: &Content) {
    head(maker, content);
    for section in content.sections.iter().filter(|s| !s.trail) {
        one(maker, content.language, section);
    }
    maker.gap(3.0);
    for words in &content.foot {
        maker.paragraph(&Role::Words, &[(Regular, words)], Look { size: 7.4, after: 0.5, ..SMALL });
    }
}

/// The trail, on pages of its own where the first part left no page begun.
pub(super) fn trail(maker: &mut Maker<'_>, content: &Content, own_page: bool) {
    let start = maker.pieces.len();
    for section in content.sections.iter().filter(|s| s.trail) {
        one(maker, content.language, section);
    }
    if let Some(piece) = maker.pieces.get_mut(start) {
        piece.new_page = own_page;
    }
}

/// Title, facts at the left, room for a label at the right.
fn head(maker: &mut Maker<'_>, content: &Content) {
    let title = Look { size: 14.0, after: 4.0, ..BODY };
    maker.paragraph(&Role::Title, &[(Bold, &content.title)], title);
    let size = BODY.size * maker.scale;
    let facts_wide = maker.width - LABEL.0 - 14.0;
    let mut marks = Vec::new();
    let mut y: f32 = 0.0;
    for (name, value) in &content.head {
        maker.lines(&mut marks, &[(Regular, name)], (size, QUIET), (0.0, y, 56.0));
        let value = [(Regular, value.as_str())];
        y += maker.lines(&mut marks, &value, (size, INK), (58.0, y, facts_wide - 58.0)) + 1.0;
    }
    let x = maker.width - LABEL.0;
    let mut label = vec![Mark::Frame { x, y: 0.0, w: LABEL.0, h: LABEL.1 }];
    maker.lines(
        &mut label,
        &[(Regular, content.language.plain(id!("report-label")))],
        (7.6, QUIET),
        (x + 6.0, 4.0, 100.0),
    );
    let text = label.split_off(1);
    let group = [maker.group(), maker.group()];
    let parts = vec![
        Part { role: Role::Words, group: group[0], marks },
        Part { role: Role::Ornament, group: 0, marks: label },
        Part { role: Role::Words, group: group[1], marks: text },
    ];
    let height = y.max(LABEL.1) + 2.0;
    maker.pieces.push(Piece { height, parts, ..Piece::default() });
}

/// Small parts that run on where room is short.
const SMALL_PARTS: [&str; 3] = ["notes", "cannot-tell", "versions"];

fn one(maker: &mut Maker<'_>, words: Words, section: &Section) {
    if maker.compact && SMALL_PARTS.contains(&section.id) {
        return run_on(maker, section);
    }
    if !(maker.compact && section.id == "signature") {
        maker.heading(&section.title);
    }
    for block in &section.blocks {
        match block {
            Block::Words(said) => maker.paragraph(&Role::Words, &[(Regular, said)], SMALL),
            Block::List(list) => list.iter().for_each(|words| item(maker, words)),
            Block::Warning(warning) => {
                let look = Look { indent: 12.0, bar: true, after: 3.0, ..BODY };
                let label = format!("{}:", warning.label);
                let spans = [(Bold, label.as_str()), (Regular, warning.words.as_str())];
                maker.paragraph(&Role::Words, &spans, look);
            }
            Block::Leg(leg) => leg_block(maker, leg),
            Block::Guidance(guidance) => guidance_block(maker, words, guidance),
            Block::Table(table) => table_block(maker, table),
            Block::Sound(sound) => sound_block(maker, sound),
            Block::Blanks(blanks) => blanks_block(maker, blanks),
        }
    }
}

/// Heading and sentences as one paragraph.
fn run_on(maker: &mut Maker<'_>, section: &Section) {
    let each = section.blocks.iter().flat_map(|block| match block {
        Block::Words(words) => vec![words.as_str()],
        Block::List(list) => list.iter().map(String::as_str).collect(),
        _ => Vec::new(),
    });
    let words = each.collect::<Vec<_>>().join(" \u{b7} ");
    let title = format!("{}.", section.title);
    let look = Look { size: 7.8, after: 3.0, ..BODY };
    maker.paragraph(&Role::Words, &[(Bold, &title), (Regular, &words)], look);
}

/// A sentence that stands for itself, behind a short line.
fn item(maker: &mut Maker<'_>, words: &str) {
    let look = Look { size: 7.8, indent: 9.0, after: 1.0, ..BODY };
    let before = maker.pieces.len();
    maker.paragraph(&Role::Words, &[(Regular, words)], look);
    if let Some(piece) = maker.pieces.get_mut(before) {
        let rule = Mark::Rule { from: (1.0, 5.0), to: (5.0, 5.0), width: 1.0, colour: QUIET };
        piece.parts.push(Part { role: Role::Ornament, group: 0, marks: vec![rule] });
    }
}

fn leg_block(maker: &mut Maker<'_>, leg: &Leg) {
    let name = Look { size: 9.4, after: 0.5, ..BODY };
    maker.paragraph(&Role::Heading(3), &[(Bold, &leg.name)], name);
    for words in &leg.first {
        maker.paragraph(&Role::Words, &[(Bold, words)], BODY);
        keep_last(maker);
    }
    number(maker, leg);
    for words in &leg.further {
        item(maker, words);
    }
}

fn keep_last(maker: &mut Maker<'_>) {
    if let Some(last) = maker.pieces.last_mut() {
        last.keep = true;
    }
}

/// The number with interval and makings at the left, its place on the line at the right.
fn number(maker: &mut Maker<'_>, leg: &Leg) {
    let mut marks = Vec::new();
    let great = if leg.number.starts_with(|c: char| c.is_ascii_digit()) { GREAT } else { 15.0 };
    let size = BODY.size * maker.scale;
    let wide = if leg.line.is_some() { NUMBER_WIDE } else { maker.width };
    let mut y = maker.lines(&mut marks, &[(Bold, &leg.number)], (great, INK), (0.0, -3.0, wide));
    y -= 4.0;
    if let Some(interval) = &leg.interval {
        y += maker.lines(&mut marks, &[(Bold, interval)], (size, INK), (0.0, y, wide));
    }
    y += maker.lines(&mut marks, &[(Regular, &leg.made_of)], (size, INK), (0.0, y, wide));
    let group = maker.group();
    let mut parts = vec![Part { role: Role::Words, group, marks }];
    if let Some(line) = &leg.line {
        let wide = maker.width - NUMBER_WIDE - 10.0;
        let drawn = figure::index_line("line", line, f64::from(wide / UNIT));
        let (part, height) = drawing(maker, &drawn, (NUMBER_WIDE + 10.0, -2.0), wide);
        parts.push(part);
        y = y.max(height);
    }
    maker.pieces.push(Piece { height: y + 3.0, parts, ..Piece::default() });
}

/// A figure as a part, and its height.
fn drawing(maker: &mut Maker<'_>, figure: &Figure, (x, y): (f32, f32), w: f32) -> (Part, f32) {
    let h = w * (figure.height / figure.width) as f32;
    let mark = Mark::Drawing { x, y, w, h, svg: figure.svg.clone() };
    let alt = format!("{}. {}", figure.title, figure.description);
    (Part { role: Role::Figure(alt), group: maker.group(), marks: vec![mark] }, h)
}

fn guidance_block(maker: &mut Maker<'_>, words: Words, guidance: &Guidance) {
    let source = say!(words, "report-source", source = guidance.source) + ".";
    let name = format!("{}.", guidance.set);
    maker.paragraph(
        &Role::Words,
        &[(Bold, &name), (Regular, &source)],
        Look { indent: 4.0, ..SMALL },
    );
    keep_last(maker);
    for (leg, says) in &guidance.says {
        let label = format!("{leg}:");
        for (i, words) in says.iter().enumerate() {
            let look = Look { indent: 12.0, after: 1.5, ..BODY };
            match i {
                0 => maker.paragraph(&Role::Words, &[(Bold, &label), (Regular, words)], look),
                _ => maker.paragraph(&Role::Words, &[(Regular, words)], look),
            }
        }
    }
}

fn table_block(maker: &mut Maker<'_>, table: &Table) {
    if !maker.compact {
        maker.paragraph(&Role::Words, &[(Regular, &table.caption)], SMALL);
        keep_last(maker);
    }
    let shares: &[f32] = match table.columns.len() {
        5 => &[0.2, 0.16, 0.2, 0.12, 0.32],
        _ => &[0.22, 0.39, 0.39],
    };
    let head: Vec<&str> = table.columns.iter().map(String::as_str).collect();
    maker.row(&head, shares, RowKind::Head);
    for row in &table.rows {
        let cells: Vec<&str> = row.cells.iter().map(String::as_str).collect();
        maker.row(&cells, shares, if row.marked { RowKind::Marked } else { RowKind::Plain });
    }
    maker.gap(2.5);
}

fn sound_block(maker: &mut Maker<'_>, sound: &SoundShown) {
    let name = format!("{}.", sound.name);
    maker.paragraph(&Role::Words, &[(Bold, &name), (Regular, &sound.caption)], SMALL);
    keep_last(maker);
    let drawn = figure::sonogram("sound", sound);
    let width = maker.width;
    let (part, height) = drawing(maker, &drawn, (0.0, 0.0), width);
    maker.pieces.push(Piece { height: height + 5.0, parts: vec![part], ..Piece::default() });
}

/// Lines to be filled in by hand, side by side.
fn blanks_block(maker: &mut Maker<'_>, blanks: &[String]) {
    let each = maker.width / blanks.len().max(1) as f32;
    let (mut rules, mut words) = (Vec::new(), Vec::new());
    for (i, blank) in blanks.iter().enumerate() {
        let x = i as f32 * each;
        rules.push(Mark::Rule {
            from: (x, 20.0),
            to: (x + each - 12.0, 20.0),
            width: 0.8,
            colour: INK,
        });
        maker.lines(&mut words, &[(Regular, blank)], (7.6, QUIET), (x, 21.5, each - 12.0));
    }
    let group = maker.group();
    let parts = vec![
        Part { role: Role::Ornament, group: 0, marks: rules },
        Part { role: Role::Words, group, marks: words },
    ];
    maker.pieces.push(Piece { height: 33.0, parts, ..Piece::default() });
}
