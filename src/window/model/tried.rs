//! Try it on a sound: a WAV file that somebody gives, its picture, and what the listener finds in it. All on this computer.

use super::heard_again::{HeardAgain, HeardMarks};
use crate::live::{Piece, PieceInMaking, given_sound};

/// So much of the sound is heard between two frames, seconds: a tenth of real time at most on two cores.
const AT_A_TIME_S: f64 = 2.0;

/// See the file's purpose.
pub struct Tried {
    /// The file's name.
    pub name: String,
    /// What is amiss with it, or what was found, in sentences.
    pub said: Vec<String>,
    /// The sound, once it was heard.
    pub heard: Option<HeardAgain>,
    making: Option<PieceInMaking>,
}

impl Tried {
    /// Nothing was given yet.
    pub fn empty() -> Self {
        Self { name: String::new(), said: Vec::new(), heard: None, making: None }
    }

    /// This file.
    pub fn of(name: &str, bytes: &[u8]) -> Self {
        let (said, making) = match given_sound(bytes) {
            Ok((mono, rate)) => (Vec::new(), Some(PieceInMaking::of(mono, rate, 0.0))),
            Err(fault) => (vec![format!("{name}: {fault}.")], None),
        };
        Self { name: name.to_owned(), said, heard: None, making }
    }

    /// How much of it was heard, 0 to 1; none where nothing is being heard.
    pub fn share(&self) -> Option<f64> {
        self.making.as_ref().map(PieceInMaking::share)
    }

    /// Hears on.
    pub fn tick(&mut self) {
        let Some(mut making) = self.making.take() else { return };
        making.go_on(AT_A_TIME_S);
        if making.share() < 1.0 {
            self.making = Some(making);
            return;
        }
        let piece = making.done();
        self.said = found(&piece);
        let marks = HeardMarks { truth_s: piece.return_s, tap_s: None };
        let mut heard = HeardAgain::recording(piece, marks);
        heard.return_words = "the listener's return";
        self.heard = Some(heard);
    }
}

/// What the listener found, in sentences.
fn found(piece: &Piece) -> Vec<String> {
    let (count, long_s) = (piece.onsets().len(), piece.to_s - piece.from_s);
    let mut said = vec![match count {
        0 => format!("The listener found no pulse in {long_s:.0} s."),
        1 => format!("The listener found one pulse in {long_s:.0} s."),
        _ => format!("The listener found {count} pulses in {long_s:.0} s."),
    }];
    said.push(match (piece.lost_s, piece.return_s) {
        (Some(lost_s), Some(back_s)) => {
            format!("It heard the pulse go at {lost_s:.1} s and come back at {back_s:.1} s.")
        }
        (Some(lost_s), None) => {
            format!("It heard the pulse go at {lost_s:.1} s, and no return after that.")
        }
        (None, Some(back_s)) => format!("It heard a pulse come back at {back_s:.1} s."),
        (None, None) => "It heard no pulse go and come back.".into(),
    });
    said.push("It may be wrong: listen yourself, beat by beat.".into());
    said
}
