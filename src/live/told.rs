//! What the worker tells: epochs, findings, gaps, oddities and faults, each with its wall time.

use std::fmt;

use jiff::Timestamp;

use super::watch::Odd;
use crate::clinical::sound::{Sound, Trouble};
use crate::signal::{self, Finding};
use crate::units::{SampleCount, SampleIndex, SampleRate};

/// Something that happened, and when it was reported.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Wall time of the telling; positions in the sound are in the event.
    pub at: Timestamp,
    /// What happened.
    pub event: LiveEvent,
}

/// One stream of sound. Within it the only clock is the frame count over the rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Epoch {
    /// Its number, from 1.
    pub id: u32,
    /// Samples a second.
    pub rate: SampleRate,
    /// Interleaved channels.
    pub channels: usize,
    /// Wall time of its first frame.
    pub began: Timestamp,
}

/// What can happen.
#[derive(Debug, Clone, PartialEq)]
pub enum LiveEvent {
    /// Sound began to arrive.
    Began(Epoch),
    /// The listener found something.
    Heard {
        /// In which epoch.
        epoch: u32,
        /// What.
        finding: Finding,
    },
    /// Frames were lost; silence of the same length stands for them.
    Gap {
        /// In which epoch.
        epoch: u32,
        /// The first lost frame.
        start: SampleIndex,
        /// How many.
        frames: SampleCount,
        /// Lost on the way to the recording; otherwise on the way to the listener.
        recording: bool,
    },
    /// Something about the samples themselves is odd, or no longer is.
    Odd {
        /// In which epoch.
        epoch: u32,
        /// What.
        odd: Odd,
        /// Whether it is there from now on, or over.
        present: bool,
        /// Where it was noticed.
        at: SampleIndex,
    },
    /// A file of the recording was begun.
    Recording {
        /// In which epoch.
        epoch: u32,
        /// The file's number in the recording, from 1.
        file: u32,
        /// The frame of the epoch that it begins with.
        start: SampleIndex,
    },
    /// Nothing is recorded from here on; the sound goes on.
    NotRecording {
        /// In which epoch.
        epoch: u32,
        /// Why.
        said: String,
    },
    /// The sound is passed through to an output.
    Through {
        /// The output.
        to: String,
        /// The delay planned from ring to ear, seconds.
        planned_s: f64,
    },
    /// The sound is not, or no longer, passed through.
    NotThrough(String),
    /// The stream was lost or could not be had.
    Fault(Fault),
    /// An epoch is over; its recording is whole.
    Ended {
        /// Which.
        epoch: u32,
        /// Frames heard, silence for lost ones included.
        frames: SampleCount,
        /// How much faster the device's clock ran than the computer's, parts per million.
        drift_ppm: Option<f64>,
    },
    /// The source has come to its end.
    Over,
}

impl LiveEvent {
    /// What was heard, in the words of an attempt's course; times are seconds from the epoch's start.
    pub fn sound(&self, rate: SampleRate) -> Option<Sound> {
        let LiveEvent::Heard { finding, .. } = self else { return None };
        Some(match finding {
            Finding::Pulse(pulse) => Sound::Pulse {
                at_s: pulse.onset.seconds(rate),
                strength_db: f64::from(pulse.strength_db),
            },
            Finding::Lost { at } => Sound::Lost { at_s: at.seconds(rate) },
            Finding::Cue(cue) => Sound::Cue { at_s: cue.at.seconds(rate) },
            Finding::Return(back) => Sound::Return {
                at_s: back.onset.seconds(rate),
                confidence: f64::from(back.confidence),
            },
            Finding::Quality(quality) => {
                Sound::Trouble { what: trouble(quality.trouble), present: quality.present }
            }
        })
    }
}

/// The same difficulty in the words of a visit.
pub(super) fn trouble(found: signal::Difficulty) -> Trouble {
    match found {
        signal::Difficulty::TooQuiet => Trouble::TooQuiet,
        signal::Difficulty::Clipped => Trouble::Clipped,
        signal::Difficulty::Hum => Trouble::Hum,
        signal::Difficulty::TalkOver => Trouble::Talk,
        signal::Difficulty::ProbeMoved => Trouble::ProbeMoved,
        signal::Difficulty::NoPulseYet | signal::Difficulty::Broken => Trouble::Other,
    }
}

/// Why there is no sound.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// The device went away.
    DeviceGone,
    /// The sound system went away.
    SystemGone,
    /// The device is there, but no sound has come for seconds.
    Stalled,
    /// Sound was lost on the way, more than a hiccup.
    Lost {
        /// Seconds that are missing.
        seconds: f64,
    },
    /// The computer slept, or the program was stopped.
    Slept {
        /// For how long, seconds.
        seconds: f64,
    },
    /// No stream could be had.
    CannotOpen(String),
}

impl fmt::Display for Fault {
    /// One sentence: what happened, and what is done about it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DeviceGone => f.write_str(
                "the sound device is unplugged: plug it in again, and listening continues",
            ),
            Self::SystemGone => f.write_str(
                "the computer's sound system stopped: listening continues when it restarts",
            ),
            Self::Stalled => f.write_str("no sound from the device: Cuffnote keeps trying"),
            Self::Lost { seconds } => {
                write!(f, "{seconds:.1} s of sound were lost: listening has restarted")
            }
            Self::Slept { seconds } => {
                write!(
                    f,
                    "the computer or program was paused for {seconds:.0} s: listening has restarted"
                )
            }
            Self::CannotOpen(why) => f.write_str(why),
        }
    }
}
