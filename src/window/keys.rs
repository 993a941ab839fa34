//! Keys and pedals: which key does what at the bedside. A pedal is a key to the computer.

use eframe::egui::Key;

use super::action::{Action, Again, Screen};
use super::drill::Who;
use super::practice::Do;
use crate::clinical::event::{Made, Stage, WaveformWord};

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

/// The keys of the measuring screen, with what each does, for the program and for the page that lists them.
pub const BEDSIDE: [(Key, &str); 17] = [
    (Key::Enter, "keep what was typed; then go on to the next site"),
    (Key::Escape, "stop: open the valve fully"),
    (Key::Z, "take the last tap back"),
    (Key::R, "repeat this site"),
    (Key::N, "the needle passes the next ten"),
    (Key::PageDown, "the next stage"),
    (Key::PageUp, "the stage before"),
    (Key::X, "no signal found"),
    (Key::C, "not compressible"),
    (Key::K, "not measured"),
    (Key::M, "sounds multiphasic"),
    (Key::O, "sounds monophasic"),
    (Key::D, "sounds damped"),
    (Key::A, "absent"),
    (Key::U, "unclear"),
    (Key::E, "change the reading just kept"),
    (Key::L, "lock the screen for wiping"),
];

/// What a key does on the measuring screen; none of a key that does nothing.
pub fn bedside(key: Key, tap: Key) -> Option<Action> {
    if key == tap {
        let made = if tap == TAP { Made::Key } else { Made::Pedal };
        return Some(Action::Tap(made));
    }
    if let Some(digit) = digit(key) {
        return Some(Action::Digit(digit));
    }
    Some(match key {
        Key::Enter => Action::Enter,
        Key::Backspace => Action::Erase,
        Key::ArrowUp => Action::Arrow(1),
        Key::ArrowDown => Action::Arrow(-1),
        Key::Escape => Action::Stop,
        Key::Z => Action::TakeBack,
        Key::R => Action::Repeat,
        Key::N => Action::NeedleMark,
        Key::PageDown => Action::StageOn,
        Key::PageUp => Action::StageBack,
        Key::X => Action::NoSignal,
        Key::C => Action::NotCompressible,
        Key::K => Action::AskWhy,
        Key::M => Action::Word(WaveformWord::Multiphasic),
        Key::O => Action::Word(WaveformWord::Monophasic),
        Key::D => Action::Word(WaveformWord::Damped),
        Key::A => Action::Word(WaveformWord::Absent),
        Key::U => Action::Word(WaveformWord::Unclear),
        Key::E => Action::ChangeReading,
        Key::L => Action::Lock,
        Key::F1 => Action::Go(Screen::SetUp),
        _ => return None,
    })
}

/// What a key does in a drill; none of a key that does nothing. A focused target keeps its own Enter and arrows.
pub fn practice(key: Key, tap: Key, focused: bool) -> Option<Do> {
    if key == tap || key == TAP {
        return Some(Do::Tap(Who::Student));
    }
    if focused && matches!(key, Key::Enter | Key::ArrowUp | Key::ArrowDown) {
        return None;
    }
    if let Some(digit) = digit(key) {
        return Some(Do::Digit(digit));
    }
    Some(match key {
        Key::B => Do::Squeeze,
        Key::ArrowUp => Do::Turn(1),
        Key::ArrowDown => Do::Turn(-1),
        Key::S => Do::Valve(0.0),
        Key::Escape => Do::Valve(1.0),
        Key::T => Do::Tap(Who::Teacher),
        Key::X => Do::Say("nothing"),
        Key::H => Do::Hush,
        Key::Backspace => Do::Erase,
        Key::Enter => Do::Enter,
        _ => return None,
    })
}

/// What a key does in second hearing; none of a key that does nothing.
pub fn again(key: Key) -> Option<Action> {
    Some(Action::Again(match key {
        Key::Space => Again::Play,
        Key::H => Again::Half,
        Key::L => Again::Loop,
        Key::ArrowLeft => Again::Step(false),
        Key::ArrowRight => Again::Step(true),
        Key::T => Again::ToMark,
        Key::M => Again::Move,
        Key::Escape => return Some(Action::Go(Screen::Result)),
        _ => return None,
    }))
}

/// The stage after, and the stage before.
pub const fn beside(stage: Stage, on: bool) -> Stage {
    match (stage, on) {
        (Stage::Find, true) | (Stage::Release, false) => Stage::Inflate,
        (Stage::Inflate, true) | (Stage::Read, false) => Stage::Release,
        (Stage::Release | Stage::Read, true) => Stage::Read,
        (Stage::Find | Stage::Inflate, false) => Stage::Find,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tap_never_keeps_and_no_listed_key_does_nothing() {
        for (key, _) in BEDSIDE {
            assert!(bedside(key, TAP).is_some(), "{key:?}");
        }
        assert_eq!(bedside(TAP, TAP), Some(Action::Tap(Made::Key)));
        assert_eq!(bedside(Key::F9, Key::F9), Some(Action::Tap(Made::Pedal)));
        assert!(!may_be_tap(Key::Enter) && !may_be_tap(Key::Num5) && !may_be_tap(Key::Escape));
        assert!(may_be_tap(Key::F9) && may_be_tap(Key::PageDown));
    }
}
