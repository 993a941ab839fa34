//! Keys and pedals: which key does what at the bedside. A pedal is a key to the computer.

use eframe::egui::Key;

use super::model::action::{Action, PutRight, ReplayAct, Screen, ShelfAct, VisitAct};
use super::model::choices::Change;
use super::model::practice::PracticeStage;
use super::practice_keys::{self, PracticeKeys};
use super::tap::{TAP, digit};
use crate::clinical::event::{Made, WaveformWord};
use crate::clinical::reasons;
use crate::conduct::AtSite;
use crate::words::{Words, id};

/// The keys of the measuring screen, with what each does, for the program and for the page that lists them.
pub const BEDSIDE: [(Key, &str); 19] = [
    (Key::Enter, id!("key-enter")),
    (Key::Escape, id!("key-stop")),
    (Key::Z, id!("key-undo")),
    (Key::I, id!("key-inflated")),
    (Key::R, id!("key-repeat")),
    (Key::N, id!("key-needle")),
    (Key::PageDown, id!("key-stage-on")),
    (Key::PageUp, id!("key-stage-back")),
    (Key::X, id!("key-no-signal")),
    (Key::C, id!("key-not-compressible")),
    (Key::K, id!("key-not-measured")),
    (Key::M, id!("key-multiphasic")),
    (Key::O, id!("key-monophasic")),
    (Key::D, id!("key-damped")),
    (Key::A, id!("key-absent")),
    (Key::U, id!("key-unclear")),
    (Key::E, id!("key-correct")),
    (Key::F, id!("key-finish")),
    (Key::L, id!("key-lock")),
];

/// The name of a key as people know it.
pub fn named(words: Words, key: Key) -> &'static str {
    match key {
        Key::Space => words.plain(id!("window-key-space")),
        key => key.name(),
    }
}

/// The language that is offered after this one.
fn next_language(now: Words) -> Words {
    let after = Words::all().skip_while(|words| *words != now).nth(1);
    after.unwrap_or_else(Words::english)
}

/// How the window stands when a key comes.
#[derive(Debug, Clone, Copy)]
pub struct KeyContext {
    /// The screen that is shown.
    pub screen: Screen,
    /// The key of the tap.
    pub tap: Key,
    /// The language of the window.
    pub words: Words,
    /// A field for text has the keys.
    pub typing: bool,
    /// A target has them.
    pub focused: bool,
    /// The screen is locked.
    pub locked: bool,
    /// A reason for not measuring is asked for.
    pub asking: bool,
    /// A reason for finishing is asked for.
    pub finishing: bool,
    /// A visit is in hand.
    pub in_hand: bool,
    /// What runs in practice.
    pub practising: Option<PracticeStage>,
}

/// What a key does here; none of a key that does nothing, or that a field or target keeps.
pub fn meant(key: Key, at: &KeyContext) -> Option<Action> {
    match at.screen {
        Screen::Again => replay(key),
        _ if at.typing => None,
        Screen::Measure => measuring(key, at),
        Screen::Practise => {
            let (tap, focused) = (at.tap, at.focused);
            let keys = at.practising.map(|stage| PracticeKeys { tap, focused, stage });
            keys.and_then(|keys| practice_keys::meant(key, &keys)).map(Action::Practise)
        }
        Screen::Visits => (key == Key::N).then_some(Action::Go(Screen::Begin)),
        Screen::Result => (key == Key::Escape).then_some(match at.in_hand {
            true => Action::Go(Screen::Measure),
            false => Action::Visit(VisitAct::Leave),
        }),
        Screen::Correct => (key == Key::Escape).then_some(Action::PutRight(PutRight::Back)),
        Screen::Cautions | Screen::SetUp if key == Key::F2 => {
            Some(Action::Choose(Change::Language(next_language(at.words))))
        }
        Screen::Cautions | Screen::Begin | Screen::Prepare | Screen::History | Screen::SetUp => {
            None
        }
    }
}

/// Whether a key that is held does it again and again.
pub fn repeats(action: &Action) -> bool {
    matches!(action, Action::Practise(act) if practice_keys::repeats(act))
}

/// What a key does while measuring. A focused target keeps its own Enter; the tap is taken always.
fn measuring(key: Key, at: &KeyContext) -> Option<Action> {
    if at.locked {
        return match bedside(key, at.tap)? {
            Action::Lock => Some(Action::Unlock),
            found @ Action::Site(AtSite::Tap(_) | AtSite::Stop) => Some(found),
            _ => None,
        };
    }
    if let Some(reason) = reason(key) {
        if at.finishing {
            return Some(Action::Visit(VisitAct::Finish(reason.into())));
        }
        if at.asking {
            return Some(Action::Site(AtSite::NotMeasured(reason.into())));
        }
    }
    if at.focused && matches!(key, Key::Enter | Key::ArrowUp | Key::ArrowDown) {
        return None;
    }
    bedside(key, at.tap)
}

/// The reason of a key while one is asked for, as the record has it.
fn reason(key: Key) -> Option<&'static str> {
    let n = digit(key)?.to_digit(10)? as usize;
    reasons::NOT_MEASURED.get(n.checked_sub(1)?).map(|id| reasons::kept(id))
}

/// What a key does on the measuring screen; none of a key that does nothing.
fn bedside(key: Key, tap: Key) -> Option<Action> {
    match key {
        Key::L if key != tap => Some(Action::Lock),
        Key::F1 if key != tap => Some(Action::Go(Screen::SetUp)),
        Key::F if key != tap => Some(Action::Visit(VisitAct::AskFinish)),
        _ => at_site(key, tap).map(Action::Site),
    }
}

fn at_site(key: Key, tap: Key) -> Option<AtSite> {
    if key == tap {
        let made = if tap == TAP { Made::Key } else { Made::Pedal };
        return Some(AtSite::Tap(made));
    }
    if let Some(digit) = digit(key) {
        return Some(AtSite::Digit(digit));
    }
    Some(match key {
        Key::Enter => AtSite::Enter,
        Key::Backspace => AtSite::Erase,
        Key::ArrowUp => AtSite::Arrow(1),
        Key::ArrowDown => AtSite::Arrow(-1),
        Key::Escape => AtSite::Stop,
        Key::Z => AtSite::Undo,
        Key::I => AtSite::InflatedTo,
        Key::R => AtSite::Repeat,
        Key::N => AtSite::NeedleMark,
        Key::PageDown => AtSite::StageOn,
        Key::PageUp => AtSite::StageBack,
        Key::X => AtSite::NoSignal,
        Key::C => AtSite::NotCompressible,
        Key::K => AtSite::AskWhy,
        Key::M => AtSite::Word(WaveformWord::Multiphasic),
        Key::O => AtSite::Word(WaveformWord::Monophasic),
        Key::D => AtSite::Word(WaveformWord::Damped),
        Key::A => AtSite::Word(WaveformWord::Absent),
        Key::U => AtSite::Word(WaveformWord::Unclear),
        Key::E => AtSite::CorrectReading,
        _ => return None,
    })
}

/// What a key does in second hearing; none of a key that does nothing.
fn replay(key: Key) -> Option<Action> {
    let act = match key {
        Key::Space => ReplayAct::Play,
        Key::H => ReplayAct::Half,
        Key::L => ReplayAct::Loop,
        Key::ArrowLeft => ReplayAct::Step(false),
        Key::ArrowRight => ReplayAct::Step(true),
        Key::T => ReplayAct::ToMark,
        Key::M => ReplayAct::Move,
        Key::Escape => return Some(Action::Go(Screen::Result)),
        _ => return None,
    };
    Some(Action::Shelf(ShelfAct::Replay(act)))
}

#[cfg(test)]
mod tests {
    use super::super::tap::may_be_tap;
    use super::*;

    #[test]
    fn the_tap_never_keeps_and_no_listed_key_does_nothing() {
        for (key, _) in BEDSIDE {
            assert!(bedside(key, TAP).is_some(), "{key:?}");
        }
        assert_eq!(bedside(TAP, TAP), Some(Action::Site(AtSite::Tap(Made::Key))));
        let pedal = Action::Site(AtSite::Tap(Made::Pedal));
        assert_eq!(bedside(Key::F9, Key::F9), Some(pedal));
        assert!(!may_be_tap(Key::Enter) && !may_be_tap(Key::Num5) && !may_be_tap(Key::Escape));
        assert!(may_be_tap(Key::F9) && may_be_tap(Key::PageDown));
    }
}
