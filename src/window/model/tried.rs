//! Try it on a sound: a WAV file that somebody gives, its picture, and what the listener finds in it. All on this computer.

use super::heard_again::{HeardAgain, HeardMarks};
use crate::live::{Piece, PieceInMaking, given_sound};
use crate::words::{Spoken, Words, id, say};

/// So much of the sound is heard between two frames, seconds: a tenth of real time at most on two cores.
const AT_A_TIME_S: f64 = 2.0;

/// See the file's purpose.
pub struct Tried {
    /// The file's name.
    pub name: String,
    /// What is amiss with it, or what was found, in sentences.
    pub said: Vec<Spoken>,
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
            Err(fault) => {
                let (name, said) = (name.to_owned(), fault.to_string());
                (vec![Spoken::of(move |w| say!(w, "tried-fault", name = name, said = said))], None)
            }
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
        heard.return_words = Some(id!("tried-return"));
        self.heard = Some(heard);
    }
}

/// What the listener found, in sentences.
fn found(piece: &Piece) -> Vec<Spoken> {
    let (count, long_s) = (piece.onsets().len(), piece.to_s - piece.from_s);
    let marks = (piece.lost_s, piece.return_s);
    vec![
        Spoken::of(move |w| say!(w, "tried-pulses", count = count, seconds = w.decimal(long_s, 0))),
        Spoken::of(move |w| gone_and_back(w, marks)),
        Spoken::plain(id!("tried-wrong")),
    ]
}

fn gone_and_back(w: Words, marks: (Option<f64>, Option<f64>)) -> String {
    let at = |at_s: f64| w.decimal(at_s, 1);
    match marks {
        (Some(gone_s), Some(back_s)) => {
            say!(w, "tried-both", gone = at(gone_s), back = at(back_s))
        }
        (Some(gone_s), None) => say!(w, "tried-gone", gone = at(gone_s)),
        (None, Some(back_s)) => say!(w, "tried-back", back = at(back_s)),
        (None, None) => w.plain(id!("tried-neither")).to_owned(),
    }
}
