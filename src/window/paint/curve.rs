//! The velocity of the blood over one beat, as a curve over its line of zero.

use eframe::egui::{Align2, CornerRadius, Shape, Stroke, pos2, vec2};

use super::plot::Pen;
use super::theme::{self, size};
use crate::words::{Words, id};

/// Paints the curve of velocities, cm/s, one a millisecond.
pub fn velocity(pen: &Pen<'_>, words: Words, cm_s: &[f64]) {
    let Pen { ui, roles, rect } = *pen;
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(8), roles.panel);
    let inner = rect.shrink2(vec2(12.0, 10.0));
    let most = cm_s.iter().copied().fold(1.0, f64::max) * 1.1;
    let least = cm_s.iter().copied().fold(0.0, f64::min).min(-0.15 * most) * 1.1;
    let y_of = |v: f64| inner.bottom() - ((v - least) / (most - least)) as f32 * inner.height();
    let last = cm_s.len().saturating_sub(1).max(1) as f32;
    let x_of = |n: usize| inner.left() + n as f32 / last * inner.width();
    let zero = y_of(0.0);
    let ends = [pos2(inner.left(), zero), pos2(inner.right(), zero)];
    painter.extend(Shape::dashed_line(&ends, Stroke::new(2.0, roles.line), 6.0, 5.0));
    let points = cm_s.iter().enumerate().map(|(n, v)| pos2(x_of(n), y_of(*v))).collect();
    painter.add(Shape::line(points, Stroke::new(3.0, roles.heard)));
    let font = theme::plain(size::SMALL);
    // Right of the beat's peak there is room; what is longer than half of the picture goes on below.
    let said = words.plain(id!("listen-curve-line")).to_owned();
    let wide = inner.width() * 0.55;
    let said = painter.layout(said, font, roles.quiet, wide);
    let at = Align2::RIGHT_TOP.align_size_within_rect(said.size(), inner);
    painter.galley(at.min, said, roles.quiet);
}
