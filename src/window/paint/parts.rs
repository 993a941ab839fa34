//! The parts that screens are made of: targets, choices, panels, words.

use eframe::egui::{
    Align, Align2, Button, Color32, CornerRadius, Frame, Id, Layout, Margin, Rect, Response,
    RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, TextEdit, Ui, Vec2, WidgetInfo, vec2,
};

use super::theme::{self, Roles, size};

/// How a target stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Emphasis {
    /// One of several.
    Plain,
    /// The one thing to do now.
    Act,
}

/// Words that wrap.
pub fn words(ui: &mut Ui, text: &str, points: f32, colour: Color32) {
    ui.label(RichText::new(text).font(theme::plain(points)).color(colour));
}

/// Bold words that wrap.
pub fn strong(ui: &mut Ui, text: &str, points: f32, colour: Color32) {
    ui.label(RichText::new(text).font(theme::bold(points)).color(colour));
}

/// What has the keys comes into sight, and has a ring in the colour of its words, which its fill cannot swallow.
fn keyed(ui: &Ui, response: &Response, ink: Color32) {
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        let (rect, stroke) = (response.rect.shrink(4.0), Stroke::new(2.0, ink));
        ui.painter().rect_stroke(rect, CornerRadius::same(6), stroke, StrokeKind::Inside);
    }
}

/// A target for a finger or glove.
#[derive(Debug, Clone, Copy)]
pub struct Target<'a> {
    /// What it does.
    pub text: &'a str,
    /// Its key, shown small beside it; empty where it has none.
    pub key: &'a str,
    /// Its least size.
    pub least: Vec2,
    /// How it stands out.
    pub weight: Emphasis,
}

/// A target; clicked when it was pressed.
pub fn target(ui: &mut Ui, roles: Roles, what: &Target<'_>) -> Response {
    let Target { text, key: hint, least, weight } = *what;
    let (fill, ink, quiet) = match weight {
        Emphasis::Plain => (roles.raised, roles.ink, roles.quiet),
        Emphasis::Act => (roles.act, roles.ground, roles.ground),
    };
    let laid = |text: &str, font, ink| ui.painter().layout_no_wrap(text.to_owned(), font, ink);
    let key = laid(hint, theme::plain(size::SMALL), quiet);
    // Words wider than their place wrap: a target that left the screen could not be reached.
    let most = (ui.max_rect().width() - 28.0).max(size::GLOVE);
    let word = ui.painter().layout(text.to_owned(), theme::bold(size::BODY), ink, most);
    // A tall target has room for its key below the word, any other beside it.
    let below = least.y >= size::GLOVE && !hint.is_empty();
    let gap = if hint.is_empty() { 0.0 } else { size::GRID };
    let inside = match below {
        true => vec2(word.size().x.max(key.size().x), word.size().y + key.size().y),
        false => vec2(word.size().x + gap + key.size().x, word.size().y),
    };
    let whole = least.max(inside + vec2(28.0, 16.0));
    let edge = Stroke::new(1.0, if weight == Emphasis::Act { roles.act } else { roles.line });
    let button = Button::new("").min_size(whole).fill(fill);
    let button = if weight == Emphasis::Act { button.stroke(edge) } else { button };
    let response = ui.add(button);
    let at = response.rect.center() - inside / 2.0;
    let (word_at, key_at) = match below {
        true => (
            at + vec2((inside.x - word.size().x) / 2.0, 0.0),
            at + vec2((inside.x - key.size().x) / 2.0, word.size().y),
        ),
        false => (at, at + vec2(word.size().x + gap, (inside.y - key.size().y) / 2.0)),
    };
    keyed(ui, &response, ink);
    ui.painter().galley(word_at, word, ink);
    ui.painter().galley(key_at, key, quiet);
    let name = text.to_owned();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    response
}

/// The part of a screen that scrolls. Each screen has its own: one that was scrolled must not open the next in its middle.
pub fn scroll(screen: impl std::hash::Hash + std::fmt::Debug) -> ScrollArea {
    ScrollArea::vertical().id_salt(screen).auto_shrink([false, false])
}

/// True where so little height is left that what stands above the scrolling part must scroll with it.
pub fn low(ui: &Ui) -> bool {
    ui.available_height() < 480.0
}

/// A set-off area.
pub fn panel<R>(ui: &mut Ui, roles: Roles, inside: impl FnOnce(&mut Ui) -> R) -> R {
    Frame::new()
        .fill(roles.panel)
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::symmetric(20, 16))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            inside(ui)
        })
        .inner
}

/// A field for text with its name above it; true when it changed.
pub fn field(ui: &mut Ui, roles: Roles, name: &str, value: &mut String, width: f32) -> Response {
    typed(ui, roles, (name, false), value, width)
}

/// A field whose letters are not shown.
pub fn secret(ui: &mut Ui, roles: Roles, name: &str, value: &mut String, width: f32) -> Response {
    typed(ui, roles, (name, true), value, width)
}

/// Beside the letters of a field, and above and below them.
const SIDE: i8 = 12;
const ABOVE: i8 = 14;

fn typed(
    ui: &mut Ui,
    roles: Roles,
    (name, hidden): (&str, bool),
    value: &mut String,
    width: f32,
) -> Response {
    // Its room is asked for as a whole, so that it goes to the next line where it would leave the screen.
    let font = theme::plain(size::SMALL);
    let most = ui.max_rect().width();
    let typed = theme::plain(size::BODY + 2.0);
    let laid = |text: &str, font| ui.painter().layout_no_wrap(text.into(), font, roles.ink).size();
    let (named, letter) = (laid(name, font.clone()), laid("0", typed.clone()));
    let width = width.min(most - 2.0 * f32::from(SIDE));
    let high = named.y + ui.spacing().item_spacing.y + letter.y + 2.0 * f32::from(ABOVE);
    let room = vec2((width + 2.0 * f32::from(SIDE)).max(named.x + 1.0).min(most), high);
    ui.allocate_ui_with_layout(room, Layout::top_down(Align::LEFT), |ui| {
        let label = ui.label(RichText::new(name).font(font).color(roles.quiet));
        // Its own name, not its place: a notice above that goes at the first letter must not take the rest of them along.
        let edit = TextEdit::singleline(value)
            .id(Id::unique(("field", name)))
            .password(hidden)
            .desired_width(width)
            .font(typed)
            .margin(Margin::symmetric(SIDE, ABOVE))
            .background_color(roles.ground);
        let response = ui.add(edit).labelled_by(label.id);
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
        response
    })
    .inner
}

/// A line of an alarm across the screen: words on the act colour.
pub fn banner(ui: &mut Ui, roles: Roles, text: &str) {
    Frame::new()
        .fill(roles.act)
        .corner_radius(CornerRadius::same(8))
        .inner_margin(Margin::symmetric(16, 10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            strong(ui, text, size::BODY, roles.ground);
        });
}

/// Room for a picture with a name and no other function.
pub fn named_space(ui: &mut Ui, space: Vec2, name: &str) -> Rect {
    let (rect, response) = ui.allocate_exact_size(space, Sense::click());
    let name = name.to_owned();
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    rect
}

/// One of several choices, whose name may say more than its word. Chosen is told by fill, by weight, and by a bar at its
/// foot.
pub fn choice(ui: &mut Ui, roles: Roles, (text, name): (&str, &str), chosen: bool) -> Response {
    let (fill, ink) = if chosen { (roles.act, roles.ground) } else { (roles.raised, roles.ink) };
    let font = if chosen { theme::bold(size::BODY) } else { theme::plain(size::BODY) };
    // Words wider than their place wrap, as a target's do.
    let padding = 2.0 * ui.spacing().button_padding;
    let most = (ui.max_rect().width() - padding.x).max(size::GLOVE);
    let words = ui.painter().layout(text.to_owned(), font, ink, most);
    let whole = Vec2::splat(size::TARGET).max(words.size() + padding);
    let response = ui.add(Button::new("").min_size(whole).fill(fill));
    keyed(ui, &response, ink);
    let at = Align2::CENTER_CENTER.align_size_within_rect(words.size(), response.rect);
    ui.painter().galley(at.min, words, ink);
    if chosen {
        let foot = response.rect.shrink2(vec2(10.0, 0.0));
        let y = foot.bottom() - 6.0;
        ui.painter().hline(foot.x_range(), y, Stroke::new(3.0, roles.ground));
    }
    let name = name.to_owned();
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, &name));
    response
}
