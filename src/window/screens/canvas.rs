//! What a screen is painted on: the place, the colours, the time, and where acts go. Its parts are `paint`'s, laid out
//! here so that a screen only says what stands where.

use eframe::egui::{Align, Color32, Layout, Rect, Response, ScrollArea, Ui, UiBuilder, Vec2};

use super::desk::Desk;
use super::mirrored::PartRole;
use crate::window::model::action::Action;
use crate::window::now::Now;
use crate::window::paint::parts::{self, Emphasis, Target};
use crate::window::paint::plot::Pen;
use crate::window::paint::theme::{Roles, size};
use crate::words::Words;

/// What a screen is painted on.
pub struct Canvas<'a> {
    /// The place.
    pub ui: &'a mut Ui,
    /// The colours.
    pub roles: Roles,
    /// The time.
    pub now: Now,
    /// What was done in this frame.
    pub out: &'a mut Vec<Action>,
    /// Entries and pictures that are nobody's state but the screens'.
    pub desk: &'a mut Desk,
}

impl Canvas<'_> {
    /// The language of the screens.
    pub fn lang(&self) -> Words {
        self.desk.words
    }

    /// Something was done.
    pub fn act(&mut self, action: Action) {
        self.out.push(action);
    }

    /// The same on a place that `lay` makes and puts it on, once.
    fn laid<L>(
        &mut self,
        lay: impl FnOnce(&mut Ui, &mut dyn FnMut(&mut Ui)) -> L,
        inside: impl FnOnce(&mut Canvas<'_>),
    ) {
        let Self { ui, roles, now, out, desk } = self;
        let mut inside = Some(inside);
        lay(ui, &mut |ui| {
            if let Some(inside) = inside.take() {
                inside(&mut Canvas { ui, roles: *roles, now: *now, out, desk });
            }
        });
    }

    /// Side by side, in further lines where one is full.
    pub fn row(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(|ui, put| ui.horizontal_wrapped(|ui| put(ui)), inside);
    }

    /// Side by side in one line.
    pub fn line(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(|ui, put| ui.horizontal(|ui| put(ui)), inside);
    }

    /// Side by side in one line, from the top.
    pub fn line_top(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(|ui, put| ui.horizontal_top(|ui| put(ui)), inside);
    }

    /// One below the other.
    pub fn column(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(|ui, put| ui.vertical(|ui| put(ui)), inside);
    }

    /// A set-off area.
    pub fn panel(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        let roles = self.roles;
        self.laid(|ui, put| parts::panel(ui, roles, |ui| put(ui)), inside);
    }

    /// The part of a screen that scrolls; each screen has its own, by this name.
    pub fn scroll(
        &mut self,
        screen: impl std::hash::Hash + std::fmt::Debug,
        inside: impl FnOnce(&mut Canvas<'_>),
    ) {
        self.scrolled(parts::scroll(screen), inside);
    }

    /// In this scrolled area.
    pub fn scrolled(&mut self, area: ScrollArea, inside: impl FnOnce(&mut Canvas<'_>)) {
        // A screen that has just come stands at its top, wherever it was left the last time.
        let area = if self.desk.fresh { area.vertical_scroll_offset(0.0) } else { area };
        self.laid(|ui, put| area.show(ui, |ui| put(ui)), inside);
    }

    /// In this rectangle.
    pub fn within(&mut self, rect: Rect, inside: impl FnOnce(&mut Canvas<'_>)) {
        let place = UiBuilder::new().max_rect(rect);
        self.laid(|ui, put| ui.scope_builder(place, |ui| put(ui)), inside);
    }

    /// In the middle, one below the other.
    pub fn centred(&mut self, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(
            |ui, put| ui.centered_and_justified(|ui| ui.vertical_centered(|ui| put(ui))),
            inside,
        );
    }

    /// In a space of this size, as wide at least.
    pub fn sized(&mut self, space: Vec2, inside: impl FnOnce(&mut Canvas<'_>)) {
        self.laid(
            |ui, put| ui.allocate_ui(space, |ui| put(ui)),
            |c| {
                c.ui.set_min_width(space.x);
                inside(c);
            },
        );
    }

    /// In so many columns, each given its number. A column of its own would set its words in block.
    pub fn columns(&mut self, count: usize, mut inside: impl FnMut(&mut Canvas<'_>, usize)) {
        let Self { ui, roles, now, out, desk } = self;
        let mut each = |ui: &mut Ui, n| {
            inside(&mut Canvas { ui, roles: *roles, now: *now, out, desk }, n);
        };
        ui.columns(count, |columns| {
            for (n, column) in columns.iter_mut().enumerate() {
                column.with_layout(Layout::top_down(Align::LEFT), |ui| each(ui, n));
            }
        });
    }

    /// Where pictures are painted by hand.
    pub fn pen(&self, rect: Rect) -> Pen<'_> {
        Pen { ui: self.ui, roles: self.roles, rect }
    }

    /// Room of this height, or width in a row.
    pub fn space(&mut self, points: f32) {
        self.ui.add_space(points);
    }

    /// True where so little height is left that what stands above the scrolling part must scroll with it.
    pub fn low(&self) -> bool {
        parts::low(self.ui)
    }

    /// Takes a part into the mirror, where there is one; true where it was pressed there.
    fn mirrored(&mut self, role: PartRole, text: &str, rect: Rect) -> bool {
        self.desk.mirror.as_mut().is_some_and(|mirror| mirror.take(role, text, rect))
    }

    /// Words that wrap.
    pub fn words(&mut self, text: &str, points: f32, colour: Color32) {
        let rect = self.ui.cursor();
        self.mirrored(PartRole::Words, text, Rect::from_min_size(rect.min, Vec2::ZERO));
        parts::words(self.ui, text, points, colour);
    }

    /// Bold words that wrap.
    pub fn strong(&mut self, text: &str, points: f32, colour: Color32) {
        let rect = self.ui.cursor();
        self.mirrored(PartRole::Words, text, Rect::from_min_size(rect.min, Vec2::ZERO));
        parts::strong(self.ui, text, points, colour);
    }

    fn targeted(&mut self, text: &str, key: &str, least: Vec2, weight: Emphasis) -> Response {
        parts::target(self.ui, self.roles, &Target { text, key, least, weight })
    }

    /// A target for a finger or glove, with its key.
    pub fn target(&mut self, text: &str, key: &str, least: Vec2, weight: Emphasis) -> bool {
        let response = self.targeted(text, key, least, weight);
        response.clicked() || self.mirrored(PartRole::Button, text, response.rect)
    }

    /// A target that is pressed as soon as a pointer goes down on it: a finger lifts a tenth of a second later.
    pub fn pressed(&mut self, text: &str, key: &str, least: Vec2, weight: Emphasis) -> bool {
        let response = self.targeted(text, key, least, weight);
        let mirrored = self.mirrored(PartRole::Button, text, response.rect);
        let by_name =
            mirrored || response.clicked() && !self.ui.input(|i| i.pointer.primary_released());
        let down = self.ui.input(|i| i.pointer.primary_pressed()) && response.contains_pointer();
        down || by_name
    }

    /// The one likely target of a screen: it has the keys when the screen comes.
    pub fn likely(&mut self, text: &str, key: &str, least: Vec2, weight: Emphasis) -> bool {
        let pressed = parts::target(self.ui, self.roles, &Target { text, key, least, weight });
        self.first(&pressed);
        pressed.clicked()
    }

    /// Gives this the keys when the screen has just come.
    pub fn first(&self, response: &Response) {
        if self.desk.fresh {
            response.request_focus();
        }
    }

    /// A target of the least size for a finger.
    pub fn finger(&mut self, text: &str, weight: Emphasis) -> bool {
        self.target(text, "", Vec2::splat(size::TARGET), weight)
    }

    /// One of several choices.
    pub fn choice(&mut self, text: &str, chosen: bool) -> bool {
        self.choice_named(text, text, chosen)
    }

    /// A choice whose name says more than its word.
    pub fn choice_named(&mut self, text: &str, name: &str, chosen: bool) -> bool {
        let response = parts::choice(self.ui, self.roles, (text, name), chosen);
        self.mirrored(PartRole::Button, name, response.rect) || response.clicked()
    }

    /// A field for text with its name above it.
    pub fn field(&mut self, name: &str, value: &mut String, width: f32) -> Response {
        let response = parts::field(self.ui, self.roles, name, value, width);
        self.mirrored(PartRole::Words, name, response.rect);
        response
    }

    /// A field whose letters are not shown.
    pub fn secret(&mut self, name: &str, value: &mut String, width: f32) -> Response {
        let response = parts::secret(self.ui, self.roles, name, value, width);
        self.mirrored(PartRole::Words, name, response.rect);
        response
    }

    /// A field for one of the desk's entries.
    pub fn entry(
        &mut self,
        name: &str,
        width: f32,
        of: impl FnOnce(&mut Desk) -> &mut String,
    ) -> Response {
        parts::field(self.ui, self.roles, name, of(self.desk), width)
    }

    /// A line of an alarm across the screen.
    pub fn banner(&mut self, text: &str) {
        parts::banner(self.ui, self.roles, text);
    }

    /// Room for a picture with a name and no other function.
    pub fn named_space(&mut self, space: Vec2, name: &str) -> Rect {
        let rect = parts::named_space(self.ui, space, name);
        self.mirrored(PartRole::Words, name, rect);
        rect
    }
}
