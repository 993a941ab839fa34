//! Keys of practice: which key does what in a drill, in the window and in a browser.

use eframe::egui::Key;

use super::model::action::{HearAct, ListenAct, PractiseAct, TryAct, Work};
use super::model::answers::Who;
use super::model::practice::PracticeStage;
use super::tap::{TAP, digit};

/// How practice stands when a key comes.
#[derive(Debug, Clone, Copy)]
pub struct PracticeKeys {
    /// The key of the tap.
    pub tap: Key,
    /// A target has the keys.
    pub focused: bool,
    /// What runs.
    pub stage: PracticeStage,
}

/// What a key does in practice; none of a key that does nothing. A focused target keeps its own Enter and arrows.
pub fn meant(key: Key, at: &PracticeKeys) -> Option<PractiseAct> {
    let keeps = matches!(key, Key::Enter | Key::ArrowUp | Key::ArrowDown);
    if at.stage != PracticeStage::Drill {
        return match key {
            _ if at.focused && keeps => None,
            Key::H => Some(PractiseAct::Hush),
            _ if at.stage == PracticeStage::Listening => listening(key),
            _ if at.stage == PracticeStage::Trying => trying(key),
            Key::Enter => Some(PractiseAct::Enter),
            _ => again(key).map(PractiseAct::Hear),
        };
    }
    if key == at.tap || key == TAP {
        return Some(PractiseAct::Work(Work::Tap(Who::Student)));
    }
    if at.focused && keeps {
        return None;
    }
    Some(match key {
        Key::H => PractiseAct::Hush,
        Key::Enter => PractiseAct::Enter,
        _ => PractiseAct::Work(by_hand(key)?),
    })
}

/// In the guided hour.
fn listening(key: Key) -> Option<PractiseAct> {
    Some(PractiseAct::Listen(match key {
        Key::A => ListenAct::Sound(0),
        Key::B => ListenAct::Sound(1),
        Key::C => ListenAct::Sound(2),
        Key::Enter => ListenAct::On,
        Key::Backspace => ListenAct::Back,
        Key::Escape => ListenAct::Leave,
        _ => return again(key).map(PractiseAct::Hear),
    }))
}

/// With a sound of one's own.
fn trying(key: Key) -> Option<PractiseAct> {
    match key {
        Key::Escape => Some(PractiseAct::Try(TryAct::Leave)),
        _ => again(key).map(PractiseAct::Hear),
    }
}

/// With a sound that is heard again.
fn again(key: Key) -> Option<HearAct> {
    Some(match key {
        Key::Space => HearAct::Play,
        Key::S => HearAct::Half,
        Key::ArrowLeft => HearAct::Step(false),
        Key::ArrowRight => HearAct::Step(true),
        Key::Home => HearAct::Start,
        Key::R => HearAct::ToTruth,
        Key::T => HearAct::ToTap,
        _ => return None,
    })
}

/// Whether a key that is held does it again and again.
pub fn repeats(act: &PractiseAct) -> bool {
    matches!(act, PractiseAct::Work(Work::Turn(_)))
}

fn by_hand(key: Key) -> Option<Work> {
    if let Some(digit) = digit(key) {
        return Some(Work::Digit(digit));
    }
    Some(match key {
        Key::B => Work::Squeeze,
        Key::ArrowUp => Work::Turn(1),
        Key::ArrowDown => Work::Turn(-1),
        Key::S => Work::Valve(0.0),
        Key::Escape => Work::Valve(1.0),
        Key::T => Work::Tap(Who::Teacher),
        Key::X => Work::Say("nothing"),
        Key::Backspace => Work::Erase,
        _ => return None,
    })
}
