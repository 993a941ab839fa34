//! Pieces drawn on pages, with their roles.

use krilla::color::rgb;
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagTree,
};
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};

use super::format::{BOTTOM, Paper, PdfFault, SIDE, TOP};
use super::letters::{Faces, Line, Weight};
use super::pieces::{Mark, Part, Piece, Role};
use crate::report::content::Content;
use crate::report::paint::{LINE, QUIET};
use crate::report::raster::options;
use crate::words::{id, say};

/// Size of the words at the foot of a page, points.
const FOOT_SIZE: f32 = 7.0;

/// What is needed to draw pages.
pub(super) struct Pages<'a> {
    pub faces: &'a Faces,
    pub paper: Paper,
    pub content: &'a Content,
}

impl Pages<'_> {
    /// Draws all pages; each page is a list of pieces with their places.
    pub(super) fn write(
        &self,
        pieces: &[Piece],
        pages: &[Vec<(usize, f32)>],
    ) -> Result<Vec<u8>, PdfFault> {
        let mut document = Document::new_with(SerializeSettings::default());
        let title = self.content.name();
        document.set_metadata(
            Metadata::new()
                .title(title)
                .language(self.content.language.tag().into())
                .creator(format!("cuffnote {}", env!("CARGO_PKG_VERSION")))
                .document_id(self.content.record.clone()),
        );
        let (width, height) = self.paper.size_pt();
        let options = options();
        let mut tree = Tree::default();
        for (number, page) in (1..).zip(pages) {
            let settings = PageSettings::from_wh(width, height)
                .ok_or_else(|| PdfFault::Writer("no page of this size".into()))?;
            let mut sheet = document.start_page_with(settings);
            let mut surface = sheet.surface();
            for (i, y) in page {
                surface.push_transform(&Transform::from_translate(SIDE, TOP + y));
                for part in &pieces[*i].parts {
                    self.part(&mut surface, part, &options, &mut tree)?;
                }
                surface.pop();
            }
            self.foot(&mut surface, number, pages.len());
            surface.finish();
            sheet.finish();
        }
        document.set_tag_tree(tree.finish());
        document.finish().map_err(|fault| PdfFault::Writer(format!("{fault:?}")))
    }

    fn part(
        &self,
        surface: &mut Surface<'_>,
        part: &Part,
        options: &usvg::Options<'_>,
        tree: &mut Tree,
    ) -> Result<(), PdfFault> {
        for mark in &part.marks {
            let (tag, cell) = match (&part.role, mark) {
                (Role::Ornament, _) => (ornament(ArtifactType::Layout), 0),
                (_, Mark::Text { cell, .. }) => (ContentTag::Span(SpanTag::empty()), *cell),
                _ => (ContentTag::Other, 0),
            };
            let id = surface.start_tagged(tag);
            let drawn = self.mark(surface, mark, options);
            surface.end_tagged();
            if part.role != Role::Ornament {
                tree.add(part, cell, id);
            }
            drawn?;
        }
        Ok(())
    }

    fn mark(
        &self,
        surface: &mut Surface<'_>,
        mark: &Mark,
        options: &usvg::Options<'_>,
    ) -> Result<(), PdfFault> {
        match mark {
            Mark::Text { x, y, size, colour, line, .. } => {
                self.text(surface, line, (*x, *y), *size, colour);
            }
            Mark::Rule { from, to, width, colour } => {
                let mut path = PathBuilder::new();
                path.move_to(from.0, from.1);
                path.line_to(to.0, to.1);
                stroke(surface, path, *width, colour, None);
            }
            Mark::Frame { x, y, w, h } => {
                let mut path = PathBuilder::new();
                if let Some(frame) = Rect::from_xywh(*x, *y, *w, *h) {
                    path.push_rect(frame);
                }
                let dash = StrokeDash { array: vec![4.0, 3.0], offset: 0.0 };
                stroke(surface, path, 0.9, LINE, Some(dash));
            }
            Mark::Drawing { x, y, w, h, svg } => {
                let tree = usvg::Tree::from_str(svg, options)
                    .map_err(|fault| PdfFault::Figure(fault.to_string()))?;
                surface.push_transform(&Transform::from_translate(*x, *y));
                if let Some(size) = Size::from_wh(*w, *h) {
                    surface.draw_svg(&tree, size, SvgSettings::default());
                }
                surface.pop();
            }
        }
        Ok(())
    }

    fn text(
        &self,
        surface: &mut Surface<'_>,
        line: &Line,
        (mut x, y): (f32, f32),
        size: f32,
        colour: &str,
    ) {
        surface.set_stroke(None);
        surface.set_fill(Some(Fill { paint: paint(colour).into(), ..Fill::default() }));
        for run in line.runs.iter().filter(|run| !run.glyphs.is_empty()) {
            let face = self.faces.ink(run.face);
            surface.draw_glyphs(Point::from_xy(x, y), &run.glyphs, face, &run.text, size, false);
            x += run.width_em * size;
        }
    }

    /// What stands at the foot of every page: record, purpose, number; the chain below.
    fn foot(&self, surface: &mut Surface<'_>, number: usize, count: usize) {
        let (width, height) = self.paper.size_pt();
        let y = height - BOTTOM + 18.0;
        let free = width - 2.0 * SIDE;
        surface.start_tagged(ornament(ArtifactType::Footer));
        let words = self.content.language;
        let record = say!(words, "report-record", record = self.content.record);
        let record = self.faces.wrap(&[(Weight::Regular, &record)], FOOT_SIZE, free * 0.32);
        if let Some(line) = record.first() {
            self.text(surface, line, (SIDE, y), FOOT_SIZE, QUIET);
        }
        for (said, place) in [
            (words.plain(id!("report-foot-page")).to_owned(), 0.5),
            (say!(words, "report-page", page = number, pages = count), 1.0),
        ] {
            let line = self.faces.single(&said, Weight::Regular);
            let left = free - line.width_em() * FOOT_SIZE;
            self.text(surface, &line, (SIDE + left * place, y), FOOT_SIZE, QUIET);
        }
        if let Some(head) = &self.content.chain {
            let head: String = head.chars().take(16).collect();
            let head = say!(words, "report-hash-chain", head = head);
            let line = self.faces.single(&head, Weight::Regular);
            self.text(surface, &line, (SIDE, y + 9.0), FOOT_SIZE, QUIET);
        }
        surface.end_tagged();
    }
}

fn ornament(kind: ArtifactType) -> ContentTag<'static> {
    ContentTag::Artifact(Artifact::with_kind(kind))
}

fn stroke(
    surface: &mut Surface<'_>,
    path: PathBuilder,
    width: f32,
    colour: &str,
    dash: Option<StrokeDash>,
) {
    surface.set_fill(None);
    let paint = paint(colour).into();
    surface.set_stroke(Some(Stroke { paint, width, dash, ..Stroke::default() }));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

/// `#RRGGBB` as a colour; black of anything else.
fn paint(colour: &str) -> rgb::Color {
    let channel = |at: usize| colour.get(at..at + 2).and_then(|d| u8::from_str_radix(d, 16).ok());
    match (channel(1), channel(3), channel(5)) {
        (Some(r), Some(g), Some(b)) => rgb::Color::new(r, g, b),
        _ => rgb::Color::new(0, 0, 0),
    }
}

/// The roles as they are gathered while pages are drawn.
#[derive(Default)]
struct Tree {
    done: Vec<TagGroup>,
    /// The part being gathered: its group, its role, and what was drawn of it by cell.
    open: Option<(u32, Role, Vec<Vec<Identifier>>)>,
    rows: Vec<TagGroup>,
}

impl Tree {
    fn add(&mut self, part: &Part, cell: usize, id: Identifier) {
        if self.open.as_ref().is_none_or(|(group, ..)| *group != part.group) {
            self.close();
            self.open = Some((part.group, part.role.clone(), Vec::new()));
        }
        if let Some((_, _, cells)) = &mut self.open {
            while cells.len() <= cell {
                cells.push(Vec::new());
            }
            cells[cell].push(id);
        }
    }

    fn close(&mut self) {
        let Some((_, role, cells)) = self.open.take() else { return };
        let whole = |mut group: TagGroup, cells: Vec<Vec<Identifier>>| {
            cells.into_iter().flatten().for_each(|id| group.push(id));
            group
        };
        let group = match role {
            Role::Row(head) => {
                let mut row = TagGroup::new(Tag::TR);
                for (i, ids) in cells.into_iter().enumerate().filter(|(_, ids)| !ids.is_empty()) {
                    let cell = match (head, i) {
                        (true, _) => TagGroup::new(Tag::TH(TableHeaderScope::Column)),
                        (false, 0) => TagGroup::new(Tag::TH(TableHeaderScope::Row)),
                        _ => TagGroup::new(Tag::TD),
                    };
                    row.push(whole(cell, vec![ids]));
                }
                self.rows.push(row);
                return;
            }
            Role::Title => TagGroup::new(Tag::Hn(std::num::NonZeroU16::MIN, None)),
            Role::Heading(level) => {
                let level = std::num::NonZeroU16::new(u16::from(level));
                TagGroup::new(Tag::Hn(level.unwrap_or(std::num::NonZeroU16::MIN), None))
            }
            Role::Figure(alt) => TagGroup::new(Tag::Figure(Some(alt))),
            Role::Words | Role::Ornament => TagGroup::new(Tag::P),
        };
        self.table();
        self.done.push(whole(group, cells));
    }

    /// Ends a table that is being gathered.
    fn table(&mut self) {
        if !self.rows.is_empty() {
            let mut table = TagGroup::new(Tag::Table);
            self.rows.drain(..).for_each(|row| table.push(row));
            self.done.push(table);
        }
    }

    fn finish(mut self) -> TagTree {
        self.close();
        self.table();
        let mut tree = TagTree::new();
        self.done.into_iter().for_each(|group| tree.push(group));
        tree
    }
}
