//! How a student's lag changes: the mean of each stretch of drills with its interval, oldest at the left.

use eframe::egui::{Align2, CornerRadius, Stroke, pos2, vec2};

use super::plot::Pen;
use super::theme::{self, size};

/// Paints means with half of their intervals, milliseconds.
pub fn lag(pen: &Pen<'_>, stretches: &[(f64, f64)]) {
    let Pen { ui, roles, rect } = *pen;
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(8), roles.ground);
    let inner = rect.shrink2(vec2(76.0, 16.0));
    let high = stretches.iter().map(|(mean, half)| mean + half).fold(500.0, f64::max);
    let low = stretches.iter().map(|(mean, half)| mean - half).fold(0.0, f64::min);
    let y_of = |ms: f64| inner.bottom() - ((ms - low) / (high - low)) as f32 * inner.height();
    // Lines that would lie on each other's names are left out.
    let near = y_of(0.0) - y_of(250.0) < size::SMALL + 2.0;
    let lines = [0.0, 250.0, 500.0].into_iter().filter(|ms| !near || *ms != 250.0);
    for ms in lines.filter(|ms| (low..=high).contains(ms)) {
        painter.hline(inner.x_range(), y_of(ms), Stroke::new(1.0, roles.line));
        let at = pos2(inner.left() - 8.0, y_of(ms));
        let font = theme::plain(size::SMALL);
        painter.text(at, Align2::RIGHT_CENTER, format!("{ms:.0} ms"), font, roles.quiet);
    }
    let step = inner.width() / stretches.len().max(1) as f32;
    for (n, (mean, half)) in stretches.iter().enumerate() {
        let x = inner.left() + (n as f32 + 0.5) * step;
        let (top, foot) = (y_of(mean + half), y_of(mean - half));
        painter.vline(x, top..=foot, Stroke::new(3.0, roles.act));
        for end in [top, foot] {
            painter.hline(x - 7.0..=x + 7.0, end, Stroke::new(3.0, roles.act));
        }
        painter.circle_filled(pos2(x, y_of(*mean)), 6.0, roles.ink);
    }
}
