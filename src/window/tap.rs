//! The key of the tap: a key or a pedal, which is a key to the computer.

use eframe::egui::Key;

/// The key of the tap unless another was learned.
pub const TAP: Key = Key::Space;

/// Whether a key may become the tap: digits and the keys that keep or stop may not.
pub fn may_be_tap(key: Key) -> bool {
    let taken = [
        Key::Enter,
        Key::Escape,
        Key::Backspace,
        Key::Tab,
        Key::ArrowUp,
        Key::ArrowDown,
        Key::Comma,
        Key::Period,
    ];
    !taken.contains(&key) && digit(key).is_none()
}

/// The digit of a key, or the decimal mark.
pub fn digit(key: Key) -> Option<char> {
    Some(match key {
        Key::Num0 => '0',
        Key::Num1 => '1',
        Key::Num2 => '2',
        Key::Num3 => '3',
        Key::Num4 => '4',
        Key::Num5 => '5',
        Key::Num6 => '6',
        Key::Num7 => '7',
        Key::Num8 => '8',
        Key::Num9 => '9',
        Key::Comma | Key::Period => ',',
        _ => return None,
    })
}
