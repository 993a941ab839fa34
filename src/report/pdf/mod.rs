//! The report as PDF: the content's parts as pieces, pieces on pages, pages as bytes.
//!
//! What matters first stands on the first page; the trail begins a page of its own, unless there are two pages already. Type is embedded, text
//! copies out in its order of reading, parts carry their role (heading, paragraph, table, figure) for
//! readers who cannot see. No clock and no chance: the same content gives the same bytes.

use super::content::Content;

mod blocks;
mod format;
mod letters;
mod paper;
mod pieces;

pub use format::{Paper, PdfFault};

use format::{BOTTOM, SIDE, TOP};
use letters::Faces;
use paper::Pages;
use pieces::{Maker, Piece};

/// Sizes, and whether lists run on, tried in turn so that the first part becomes one page; the smallest type
/// is still 7 points high. Where none of them does, the second is taken.
const TRIED: [(f32, bool); 5] =
    [(1.0, false), (0.96, false), (0.96, true), (0.93, true), (0.9, true)];

/// The bytes of the PDF.
///
/// # Errors
/// Only a fault of the program itself; no content is refused.
pub fn document(content: &Content, paper: Paper) -> Result<Vec<u8>, PdfFault> {
    let faces = Faces::load().ok_or(PdfFault::Type)?;
    let (page_w, page_h) = paper.size_pt();
    let (width, height) = (page_w - 2.0 * SIDE, page_h - TOP - BOTTOM);
    let made = |look| {
        let mut maker = Maker::new(&faces, width, look);
        blocks::first(&mut maker, content);
        let one_page = on_pages(&maker.pieces, height).len() <= 1;
        maker.compact = false;
        blocks::trail(&mut maker, content, one_page);
        (one_page, maker.pieces)
    };
    let fitting = TRIED.into_iter().map(made).find(|(one_page, _)| *one_page);
    let (_, pieces) = fitting.unwrap_or_else(|| made(TRIED[1]));
    let pages = on_pages(&pieces, height);
    Pages { faces: &faces, paper, content }.write(&pieces, &pages)
}

/// Puts pieces on pages: for each page, the pieces with their places from the top.
fn on_pages(pieces: &[Piece], height: f32) -> Vec<Vec<(usize, f32)>> {
    let mut pages: Vec<Vec<(usize, f32)>> = vec![Vec::new()];
    let mut y = 0.0;
    for (i, piece) in pieces.iter().enumerate() {
        let begun = pages.last().is_some_and(|page| !page.is_empty());
        let chained = i > 0 && pieces[i - 1].keep;
        let wanted = if chained { piece.height } else { together(&pieces[i..], height) };
        if begun && (piece.new_page || y + wanted > height) {
            pages.push(Vec::new());
            y = 0.0;
        }
        if let Some(page) = pages.last_mut() {
            page.push((i, y));
        }
        y += piece.height;
    }
    pages
}

/// The height of the first piece and all that it is kept with, as far as one page can hold them.
fn together(pieces: &[Piece], height: f32) -> f32 {
    let kept = pieces.iter().take_while(|piece| piece.keep).count();
    let whole: f32 = pieces.iter().take(kept + 1).map(|piece| piece.height).sum();
    if whole <= height { whole } else { pieces.first().map_or(0.0, |piece| piece.height) }
}
