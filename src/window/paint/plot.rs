//! Pictures painted by hand: the sound with its beats and marks, and the line on which an index lies.

use std::hash::{DefaultHasher, Hash, Hasher};

use eframe::egui::{
    Align2, Color32, ColorImage, Context, CornerRadius, Pos2, Rect, Shape, Stroke, StrokeKind,
    TextureHandle, TextureOptions, Ui, pos2, vec2,
};

use super::theme::{self, MARK, MARK_EDGE, MARK_TAP, Roles, size, sonogram_colour};
use crate::clinical::exact::Hundredths;
use crate::clinical::moment::Moment;
use crate::clinical::result::LegResult;
use crate::clinical::trend::LegAtVisit;
use crate::live::{COLUMN_S, COLUMNS, ROW_HZ, Snapshot};
use crate::units::Sonogram;
use crate::words::{Words, id};

/// The greatest index on the line.
const MOST: f32 = 1.6;
/// Room for names of frequencies at the left edge, points.
const NAMES: f32 = 76.0;
/// Frequencies named at the side, hertz.
const NAMED_HZ: [f32; 3] = [1_000.0, 2_000.0, 3_000.0];

/// With what, and where, a picture is painted.
#[derive(Clone, Copy)]
pub struct Pen<'a> {
    /// The place.
    pub ui: &'a Ui,
    /// The colours.
    pub roles: Roles,
    /// Its edges.
    pub rect: Rect,
}

impl Pen<'_> {
    /// The same in other edges.
    fn in_rect(&self, rect: Rect) -> Self {
        Self { rect, ..*self }
    }

    /// The same on a panel.
    fn on_panel(&self) -> Self {
        Self { roles: Roles { ground: self.roles.panel, ..self.roles }, ..*self }
    }

    /// A label at a place, in this ink, on a ground of its own so that sound behind it does not hide it.
    fn label(&self, at: Pos2, anchor: Align2, text: &str, ink: Color32) {
        let painter = self.ui.painter();
        let galley = painter.layout_no_wrap(text.to_owned(), theme::plain(size::SMALL), ink);
        let rect = anchor.anchor_size(at, galley.size());
        let around = rect.expand2(vec2(6.0, 3.0));
        painter.rect_filled(around, CornerRadius::same(4), self.roles.ground);
        painter.galley(rect.min, galley, ink);
    }
}

/// The picture of the last 12 s.
#[derive(Default)]
pub struct Picture {
    texture: Option<TextureHandle>,
    of: u64,
}

/// What a picture shows, as a number: another sound may have made as many columns.
fn shown(now: &Snapshot) -> u64 {
    let mut hasher = DefaultHasher::new();
    now.columns.hash(&mut hasher);
    hasher.finish()
}

impl Picture {
    /// Brings the texture up to date with the sound.
    fn update(&mut self, ctx: &Context, now: &Snapshot) -> Option<&TextureHandle> {
        let rows = now.columns.front()?.len();
        let shown = shown(now);
        if self.texture.is_none() || self.of != shown {
            self.of = shown;
            let mut image = ColorImage::filled([COLUMNS, rows], sonogram_colour(0));
            let empty = COLUMNS - now.columns.len();
            let colours: [Color32; 256] = std::array::from_fn(|level| sonogram_colour(level as u8));
            for (x, column) in now.columns.iter().enumerate() {
                for (y, level) in column.iter().enumerate() {
                    let at = (rows - 1 - y) * COLUMNS + empty + x;
                    image.pixels[at] = colours[usize::from(*level)];
                }
            }
            match &mut self.texture {
                Some(texture) => texture.set(image, TextureOptions::LINEAR),
                None => {
                    self.texture = Some(ctx.load_texture("sound", image, TextureOptions::LINEAR));
                }
            }
        }
        self.texture.as_ref()
    }
}

/// A picture that stands still, such as a mean beat; made anew where it is another one.
#[derive(Default)]
pub struct Still {
    texture: Option<TextureHandle>,
    of: Vec<u8>,
}

impl Still {
    /// Paints it, its top frequency and its length beside the edges.
    pub fn show(&mut self, pen: &Pen<'_>, picture: &Sonogram) {
        let Pen { ui, roles, rect } = *pen;
        let (columns, rows) = (picture.columns(), picture.rows);
        if self.texture.is_none() || self.of != picture.levels {
            self.of.clone_from(&picture.levels);
            let mut image = ColorImage::filled([columns.max(1), rows.max(1)], sonogram_colour(0));
            for (n, level) in picture.levels.iter().enumerate() {
                let (x, y) = (n / rows, rows - 1 - n % rows);
                image.pixels[y * columns + x] = sonogram_colour(*level);
            }
            self.texture = Some(ui.ctx().load_texture("still", image, TextureOptions::LINEAR));
        }
        let Some(texture) = &self.texture else { return };
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(texture.id(), rect, uv, Color32::WHITE);
        let top = format!("{:.0} kHz", picture.top_hz / 1000.0);
        pen.label(rect.left_top() + vec2(8.0, 5.0), Align2::LEFT_TOP, &top, roles.quiet);
        let long = format!("{:.1} s", columns as f64 * picture.column_s);
        let corner = rect.right_bottom() - vec2(8.0, 5.0);
        pen.label(corner, Align2::RIGHT_BOTTOM, &long, roles.quiet);
    }
}

/// What is drawn over the sound; times in seconds of the stream.
#[derive(Debug, Clone, Default)]
pub struct Overlay {
    /// Beats: when, and how strong in decibels.
    pub beats: Vec<(f64, f64)>,
    /// When the signal went.
    pub lost_s: Option<f64>,
    /// The first pulse that came back: shown only after the reading was kept.
    pub return_s: Option<f64>,
    /// What that mark is called; empty: `first pulse heard`.
    pub return_words: &'static str,
    /// The tap that counts.
    pub tap_s: Option<f64>,
    /// The moment that is looked at.
    pub cursor_s: Option<f64>,
    /// The language of the words within it.
    pub words: Words,
    /// Words at the beats' row.
    pub row_words: String,
    /// The frame lights up: the listener says that the pulse is back.
    pub lit: bool,
}

/// Paints the sound with its beats below, 12 s, the newest at the right.
pub fn sound(pen: &Pen<'_>, picture: &mut Picture, now: &Snapshot, overlay: &Overlay) {
    let Pen { ui, roles, rect } = *pen;
    let beats_height = 40.0_f32.min(rect.height() * 0.25);
    let (above, below) = rect.split_top_bottom_at_y(rect.bottom() - beats_height);
    ui.painter().rect_filled(above, 8.0, sonogram_colour(0));
    if let Some(texture) = picture.update(ui.ctx(), now) {
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(texture.id(), above, uv, Color32::WHITE);
    }
    ui.painter().rect_filled(below, 8.0, roles.panel);
    let span_s = COLUMNS as f64 * COLUMN_S;
    let x_of = |at_s: f64| {
        let back = (now.sound_s - at_s) / span_s;
        (0.0..=1.0).contains(&back).then(|| rect.right() - (back as f32) * rect.width())
    };
    frequencies(&pen.in_rect(above), now);
    for (at_s, strength_db) in &overlay.beats {
        if let Some(x) = x_of(*at_s) {
            let tall = (*strength_db as f32 / 24.0).clamp(0.15, 1.0) * (below.height() - 8.0);
            let bar = Rect::from_min_max(
                pos2(x - 3.0, below.bottom() - 4.0 - tall),
                pos2(x + 3.0, below.bottom() - 4.0),
            );
            ui.painter().rect_filled(bar, 2.0, roles.heard);
        }
    }
    if !overlay.row_words.is_empty() {
        let at = below.left_center() + vec2(10.0, 0.0);
        pen.on_panel().label(at, Align2::LEFT_CENTER, &overlay.row_words, roles.quiet);
    }
    marks(pen, above, overlay, x_of);
    if overlay.lit {
        ui.painter().rect_stroke(above, 8.0, Stroke::new(6.0, roles.heard), StrokeKind::Inside);
        let at = above.center_top() + vec2(0.0, 16.0);
        pen.label(
            at,
            Align2::CENTER_TOP,
            overlay.words.plain(id!("sound-pulse-heard")),
            roles.heard,
        );
    }
}

/// Names of frequencies stand left of the newest sound, on their own ground.
fn frequencies(pen: &Pen<'_>, now: &Snapshot) {
    let Pen { ui, roles, rect: above } = *pen;
    let Some(rows) = now.columns.front().map(|c| c.len() as f32) else { return };
    let top_hz = ROW_HZ as f32 * rows;
    // Of names that would lie on one another, in a low picture, the lowest stands.
    let mut last = f32::INFINITY;
    for hz in NAMED_HZ.into_iter().filter(|hz| *hz < top_hz * 0.97) {
        let y = above.bottom() - hz / top_hz * above.height();
        let tick = above.left()..=above.left() + 10.0;
        ui.painter().hline(tick.clone(), y, Stroke::new(5.0, MARK_EDGE));
        ui.painter().hline(tick, y, Stroke::new(2.0, MARK));
        let at = pos2(above.left() + 16.0, y);
        if last - y < size::SMALL + size::GRID {
            continue;
        }
        last = y;
        let name = format!("{:.0} kHz", hz / 1000.0);
        pen.label(at, Align2::LEFT_CENTER, &name, roles.quiet);
    }
}

fn marks(pen: &Pen<'_>, above: Rect, overlay: &Overlay, x_of: impl Fn(f64) -> Option<f32>) {
    let Pen { ui, roles, rect: whole } = *pen;
    let w = overlay.words;
    let wide = |name: &str| {
        let font = theme::plain(size::SMALL);
        ui.painter().layout_no_wrap(name.to_owned(), font, roles.ink).size().x + 24.0
    };
    // Names of frequencies stand at the left edge.
    let side = |x: f32, right: bool, name: &str| {
        if right {
            let last = whole.right() - wide(name) + 18.0;
            let left = (x + 12.0).min(last).max(whole.left() + NAMES);
            (pos2(left, above.top() + 14.0), Align2::LEFT_TOP)
        } else {
            (pos2(x - 12.0, above.top() + 14.0), Align2::RIGHT_TOP)
        }
    };
    // Every line first, then the names: no line runs through a name.
    let at = |s: Option<f64>| s.and_then(&x_of);
    let (lost, back, cursor, tap) =
        (at(overlay.lost_s), at(overlay.return_s), at(overlay.cursor_s), at(overlay.tap_s));
    lost.iter().for_each(|x| dotted(pen, *x, 10.0));
    back.iter().for_each(|x| dotted(pen, *x, 4.0));
    for (x, core, width) in
        cursor.map(|x| (x, MARK, 2.0)).into_iter().chain(tap.map(|x| (x, MARK_TAP, 3.0)))
    {
        ui.painter().vline(x, whole.y_range(), Stroke::new(width + 4.0, MARK_EDGE));
        ui.painter().vline(x, whole.y_range(), Stroke::new(width, core));
    }
    if let Some(x) = lost {
        let name = w.plain(id!("sound-gone"));
        let (at, anchor) = side(x, x + wide(name) < whole.right(), name);
        pen.label(at, anchor, name, roles.heard);
    }
    if let Some(x) = back {
        let named = overlay.return_words;
        let named = if named.is_empty() { w.plain(id!("figure-return")) } else { named };
        let (at, anchor) = side(x, x - wide(named) < whole.left() + NAMES, named);
        pen.label(at, anchor, named, roles.heard);
    }
    // Close to the tap its name would lie under the other's.
    let apart = tap.is_none_or(|tap| cursor.is_none_or(|x| (tap - x).abs() > 120.0));
    if let Some(x) = cursor.filter(|_| above.height() > 140.0 || apart) {
        // At an edge the name stands beside its line, whole.
        let x = x.clamp(whole.left() + 26.0, (whole.right() - 26.0).max(whole.left() + 26.0));
        let at = pos2(x, above.bottom() - 8.0);
        pen.label(at, Align2::CENTER_BOTTOM, w.plain(id!("sound-here")), roles.ink);
    }
    if let Some(x) = tap {
        let name = w.plain(id!("sound-your-tap"));
        let (at, anchor) = side(x, x + wide(name) < whole.right(), name);
        pen.label(at + vec2(0.0, 34.0), anchor, name, roles.act);
    }
}

fn dotted(pen: &Pen<'_>, x: f32, dash: f32) {
    let ends = [pos2(x, pen.rect.top()), pos2(x, pen.rect.bottom())];
    pen.ui.painter().line_segment(ends, Stroke::new(7.0, MARK_EDGE));
    pen.ui.painter().extend(Shape::dashed_line(&ends, Stroke::new(3.0, MARK), dash, 5.0));
}

/// A limit on the line, with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLine {
    /// Where.
    pub at: f32,
    /// Its name, such as `0.90`.
    pub name: String,
}

/// Paints an index with its interval on a line from 0.0 to 1.6. Position and words tell it, not colour.
pub fn index_line(pen: &Pen<'_>, w: Words, leg: &LegResult, limits: &[LimitLine]) {
    let Pen { ui, roles, rect } = *pen;
    let painter = ui.painter();
    let x_of = |value: f32| rect.left() + value.clamp(0.0, MOST) / MOST * rect.width();
    let axis = rect.bottom() - 26.0;
    painter.hline(rect.x_range(), axis, Stroke::new(3.0, roles.ink));
    for tenth in (0..=16).step_by(2) {
        let value = tenth as f32 / 10.0;
        painter.vline(x_of(value), axis..=axis + 7.0, Stroke::new(2.0, roles.ink));
        let at = pos2(x_of(value), axis + 9.0);
        let anchor = match tenth {
            0 => Align2::LEFT_TOP,
            16 => Align2::RIGHT_TOP,
            _ => Align2::CENTER_TOP,
        };
        painter.text(
            at,
            anchor,
            w.decimal(f64::from(value), 1),
            theme::plain(size::SMALL),
            roles.quiet,
        );
    }
    for (n, limit) in limits.iter().enumerate() {
        let x = x_of(limit.at);
        let top = rect.top() + if n % 2 == 0 { 18.0 } else { 2.0 };
        let ends = [pos2(x, top + 18.0), pos2(x, axis)];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(2.0, roles.line), 4.0, 4.0));
        painter.text(
            pos2(x, top),
            Align2::CENTER_TOP,
            &limit.name,
            theme::plain(size::SMALL),
            roles.quiet,
        );
    }
    let y = axis - 14.0;
    if let (Some(low), Some(high)) = (leg.low.map(number), leg.high.map(number)) {
        let bar = Rect::from_min_max(pos2(x_of(low), y - 5.0), pos2(x_of(high), y + 5.0));
        painter.rect_filled(bar, 4.0, roles.act);
        for end in [low, high] {
            painter.vline(x_of(end), y - 10.0..=y + 10.0, Stroke::new(3.0, roles.act));
        }
    }
    if let Some(index) = leg.index.map(number) {
        diamond(pen, pos2(x_of(index), y), 13.0);
        if index > MOST {
            let at = pos2(rect.right(), y - 34.0);
            let (said, font) = (w.plain(id!("sound-beyond")), theme::plain(size::SMALL));
            painter.text(at, Align2::RIGHT_TOP, said, font, roles.ink);
        }
    }
    if let Some(above) = leg.more_than.map(number) {
        let ends = [pos2(x_of(above), y), pos2(rect.right(), y)];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(4.0, roles.act), 8.0, 5.0));
        let at = pos2(rect.right(), y - 26.0);
        painter.text(
            at,
            Align2::RIGHT_TOP,
            w.plain(id!("sound-above")),
            theme::plain(size::SMALL),
            roles.ink,
        );
    }
}

fn number(hundredths: Hundredths) -> f32 {
    hundredths.0 as f32 / 100.0
}

/// When a step was measured, seconds; of a paper, which gives only a day, noon.
fn when_s(at: &str) -> Option<i64> {
    let moment = Moment::parse(at).ok().map(|moment| moment.utc().as_second());
    let noon = || Moment::parse(&format!("{at}T12:00:00Z")).ok().map(|m| m.utc().as_second());
    moment.or_else(noon)
}

/// Paints an index over time: a diamond and its interval a visit, the time to scale, the date below. A visit that is
/// not like the one before is not joined to it.
pub fn trend(pen: &Pen<'_>, w: Words, steps: &[LegAtVisit]) {
    let Pen { ui, roles, rect } = *pen;
    let painter = ui.painter();
    let inner = Rect::from_min_max(rect.min + vec2(44.0, 8.0), rect.max - vec2(56.0, 28.0));
    let y_of = |value: f32| inner.bottom() - value.clamp(0.0, MOST) / MOST * inner.height();
    for fifth in [0.0_f32, 0.4, 0.8, 1.2, 1.6] {
        let y = y_of(fifth);
        painter.hline(inner.x_range(), y, Stroke::new(1.0, roles.line));
        let at = pos2(inner.left() - 8.0, y);
        let font = theme::plain(size::SMALL);
        painter.text(at, Align2::RIGHT_CENTER, w.decimal(f64::from(fifth), 1), font, roles.quiet);
    }
    let seconds = |step: &LegAtVisit| when_s(&step.at).unwrap_or(0);
    let (first, last) = match (steps.first(), steps.last()) {
        (Some(first), Some(last)) => (seconds(first), seconds(last)),
        _ => return,
    };
    let span = (last - first).max(1) as f32;
    let x_of = |step: &LegAtVisit| match first == last {
        true => inner.center().x,
        false => {
            inner.left() + 32.0 + (seconds(step) - first) as f32 / span * (inner.width() - 64.0)
        }
    };
    let mut before: Option<Pos2> = None;
    let mut dated = f32::NEG_INFINITY;
    for step in steps {
        let x = x_of(step);
        if let Some((low, high)) = step.interval {
            let ends = y_of(number(high))..=y_of(number(low));
            for end in [*ends.start(), *ends.end()] {
                painter.hline(x - 9.0..=x + 9.0, end, Stroke::new(3.0, roles.act));
            }
            painter.vline(x, ends, Stroke::new(4.0, roles.act));
        }
        if let Some(above) = step.more_than {
            let ends = [pos2(x, y_of(number(above))), pos2(x, inner.top())];
            painter.extend(Shape::dashed_line(&ends, Stroke::new(4.0, roles.act), 8.0, 5.0));
        }
        if let Some(index) = step.index.map(number) {
            let at = pos2(x, y_of(index));
            if let Some(from) = before.filter(|_| step.unlike.is_empty()) {
                painter.line_segment([from, at], Stroke::new(2.0, roles.quiet));
            }
            before = Some(at);
            diamond(pen, at, 8.0);
        }
        // Dates that would run into each other are left out.
        if x - dated > 110.0 {
            dated = x;
            let at = pos2(x, inner.bottom() + 6.0);
            let day = step.at.get(..10).unwrap_or(&step.at);
            let day = day.parse().map_or_else(|_| day.to_owned(), |day| w.short_day(day));
            painter.text(at, Align2::CENTER_TOP, day, theme::plain(size::SMALL), roles.quiet);
        }
    }
}

fn diamond(pen: &Pen<'_>, at: Pos2, half: f32) {
    let points = [vec2(0.0, -half), vec2(half, 0.0), vec2(0.0, half), vec2(-half, 0.0)];
    let points = points.map(|d| at + d).to_vec();
    let edge = Stroke::new((half / 4.0).min(3.0), pen.roles.ground);
    pen.ui.painter().add(Shape::convex_polygon(points, pen.roles.ink, edge));
}

/// A gauge with a needle, 0 to 300 mmHg, graduated every 2: for a simulated patient only.
pub fn gauge(pen: &Pen<'_>, mmhg: f64) {
    let Pen { ui, roles, rect } = *pen;
    let painter = ui.painter();
    let centre = rect.center();
    let radius = rect.width().min(rect.height()) / 2.0 - 4.0;
    painter.circle(centre, radius, roles.panel, Stroke::new(3.0, roles.line));
    let turn = |mmhg: f32| {
        let angle = (-225.0 + mmhg / 300.0 * 270.0_f32).to_radians();
        vec2(angle.cos(), angle.sin())
    };
    for two in 0..=150 {
        let value = two as f32 * 2.0;
        let long = if two % 25 == 0 {
            0.16
        } else if two % 5 == 0 {
            0.11
        } else {
            0.06
        };
        let width = if two % 5 == 0 { 2.0 } else { 1.0 };
        let way = turn(value);
        let ends = [centre + way * radius * 0.97, centre + way * radius * (0.97 - long)];
        painter.line_segment(ends, Stroke::new(width, roles.ink));
        // A small gauge keeps every second number.
        let small = radius <= 70.0;
        if two % if small { 50 } else { 25 } == 0 {
            let at = centre + way * radius * if small { 0.6 } else { 0.66 };
            let font = theme::plain(if small { 11.0 } else { size::SMALL });
            painter.text(at, Align2::CENTER_CENTER, format!("{value:.0}"), font, roles.ink);
        }
    }
    let way = turn(mmhg.clamp(0.0, 300.0) as f32);
    painter.line_segment(
        [centre - way * radius * 0.15, centre + way * radius * 0.9],
        Stroke::new(4.0, roles.act),
    );
    painter.circle_filled(centre, 7.0, roles.act);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_sound_of_the_same_length_is_another_picture() {
        let context = Context::default();
        let mut picture = Picture::default();
        let mut painted = |level: u8| {
            let mut sound = Snapshot::new();
            sound.columns.push_back([level; _]);
            sound.columns_made = 1;
            picture.update(&context, &sound).unwrap();
            context.tex_manager().write().take_delta().set.len()
        };
        painted(7);
        assert_eq!([painted(7), painted(9), painted(9)], [0, 1, 0]);
    }
}
