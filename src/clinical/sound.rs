//! What was heard, in plain numbers: what a listener tells of a sound without this room knowing any listener.
//!
//! All times are seconds on one clock, that of the sound where there is sound.

use crate::words::{Words, id};

/// What was heard, in plain numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sound {
    /// A beat of the pulse.
    Pulse {
        /// Where it begins.
        at_s: f64,
        /// How strong, decibels above the background.
        strength_db: f64,
    },
    /// The pulse is no longer heard.
    Lost {
        /// End of the last beat.
        at_s: f64,
    },
    /// The pulse seems to be back, by what was heard until now.
    Cue {
        /// When it could be said.
        at_s: f64,
    },
    /// The pulse came back, in second hearing.
    Return {
        /// Where the first pulse begins.
        at_s: f64,
        /// 0 to 1.
        confidence: f64,
    },
    /// Something makes hearing harder, or no longer does.
    Trouble {
        /// What.
        what: Trouble,
        /// Whether it is there from now on.
        present: bool,
    },
    /// The pulse's rate.
    Rate {
        /// Beats a minute.
        bpm: f64,
        /// The listener's verdict on the rhythm; `None` where it gave none.
        regular: Option<bool>,
    },
}

impl Sound {
    /// When it was heard, seconds; 0 of what holds for the whole sound.
    pub const fn at_s(&self) -> f64 {
        match self {
            Sound::Pulse { at_s, .. }
            | Sound::Lost { at_s }
            | Sound::Cue { at_s }
            | Sound::Return { at_s, .. } => *at_s,
            Sound::Trouble { .. } | Sound::Rate { .. } => 0.0,
        }
    }

    /// The same on a clock that is ahead by this much.
    #[must_use]
    pub fn shifted(mut self, by_s: f64) -> Self {
        match &mut self {
            Sound::Pulse { at_s, .. }
            | Sound::Lost { at_s }
            | Sound::Cue { at_s }
            | Sound::Return { at_s, .. } => *at_s += by_s,
            Sound::Trouble { .. } | Sound::Rate { .. } => {}
        }
        self
    }
}

/// What makes hearing harder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trouble {
    /// Hardly any sound.
    TooQuiet,
    /// The sound reaches full scale.
    Clipped,
    /// Mains hum.
    Hum,
    /// Talk or a tone over the signal.
    Talk,
    /// The pulse after release is much weaker than before pumping.
    ProbeMoved,
    /// Anything else that the listener calls a difficulty.
    Other,
}

impl Trouble {
    /// A sentence; none of what needs none.
    pub fn said(self, words: Words) -> Option<&'static str> {
        let id = match self {
            Trouble::TooQuiet => id!("bedside-too-quiet"),
            Trouble::Clipped => id!("bedside-clipped"),
            Trouble::Hum => id!("bedside-hum"),
            Trouble::Talk => id!("bedside-talk"),
            Trouble::ProbeMoved => id!("bedside-probe-moved"),
            Trouble::Other => return None,
        };
        Some(words.plain(id))
    }

    /// As a record has it: in English, whatever the language of who measured.
    pub fn recorded(self) -> Option<String> {
        self.said(Words::english()).map(str::to_owned)
    }
}
