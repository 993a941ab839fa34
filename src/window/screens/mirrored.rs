//! What a screen says, part by part, for whoever shows it in another way too: a browser's screen reader.

use eframe::egui::Rect;

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartRole {
    /// Words, or a picture's name.
    Words,
    /// A target or choice.
    Button,
}

/// One part of a screen.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenPart {
    /// What it is.
    pub role: PartRole,
    /// What it says.
    pub text: String,
    /// Left, top, width and height, points.
    pub at: [f32; 4],
}

/// The parts of the screen that is painted, and what was pressed by name.
#[derive(Debug, Default)]
pub struct MirroredScreen {
    /// In order.
    pub parts: Vec<ScreenPart>,
    /// Names of buttons that were pressed there.
    pub pressed: Vec<String>,
}

impl MirroredScreen {
    /// Takes a part; true where it was pressed by name.
    pub fn take(&mut self, role: PartRole, text: &str, rect: Rect) -> bool {
        let at = [rect.left(), rect.top(), rect.width(), rect.height()];
        if text.trim().is_empty() {
            return false;
        }
        self.parts.push(ScreenPart { role, text: text.to_owned(), at });
        let found = self.pressed.iter().position(|name| name == text);
        let pressed = found.filter(|_| role == PartRole::Button);
        pressed.map(|place| self.pressed.swap_remove(place)).is_some()
    }
}
