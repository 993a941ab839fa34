//! What a visit under way says to the clinician, as values: the shell puts them into words.

use super::needle::Fall;
use crate::clinical::sound::Trouble;
use crate::clinical::typed::NotGiven;
use crate::units::Mmhg;

/// The one thing to do now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Prompt {
    /// Find the artery's sound.
    Find,
    /// Inflate until the sound is gone.
    Inflate {
        /// Beats a minute, where known.
        bpm: Option<f64>,
    },
    /// The sound is gone: inflate somewhat more.
    InflateMore,
    /// Deflate slowly and tap when the sound is back.
    Deflate {
        /// Between what the needle should stand now, mmHg, where the pressure inflated to is known.
        due: Option<(f64, f64)>,
    },
    /// Type what the needle showed.
    Read {
        /// Whether the return was tapped.
        tapped: bool,
    },
    /// Type the pressure that another instrument gave.
    TypeEntered,
    /// Type the pressure on the paper.
    TypeFromPaper,
    /// Type what the reading should be.
    TypeCorrection,
    /// What was kept is being written to the disk.
    Saving,
    /// A reading was kept.
    KeptReading,
    /// A pressure from another instrument was kept.
    KeptEntered,
    /// Another outcome was kept.
    Kept,
    /// Say why it is not measured.
    WhyNotMeasured,
    /// Stopped: open the valve.
    Stopped,
}

/// Why something was not taken, or what is missing for it.
#[derive(Debug, Clone, PartialEq)]
pub enum Notice {
    /// A reading was to be kept, and none is typed.
    TypeReadingFirst,
    /// The pressure reached was not given.
    GivePressureReached,
    /// A needle mark needs the pressure inflated to.
    GiveInflatedToFirst,
    /// Above the service's ceiling, mmHg.
    AboveCeiling(Mmhg),
    /// What was typed is no pressure.
    NoPressure(NotGiven),
}

/// What is amiss, by hearing and clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warning {
    /// Something makes hearing harder.
    Trouble(Trouble),
    /// The signal was lost before the cuff was inflated.
    LostWhileFinding,
    /// The pulse is still heard while the cuff should be closed.
    NotClosed {
        /// The highest pressure that may be inflated to, mmHg.
        highest: Mmhg,
    },
    /// The listener calls the rhythm irregular.
    Irregular,
    /// The pressure falls too fast.
    TooFast {
        /// mmHg a second.
        mmhg_per_s: f64,
    },
    /// The needle should be low by now, and no return was heard.
    NoReturn {
        /// mmHg.
        below_mmhg: f64,
    },
    /// The cuff has been closed for long.
    ClosedLong {
        /// Seconds.
        for_s: f64,
    },
}

/// A tap held against the first pulse heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// From the first pulse to the tap, seconds; negative where the tap came first.
    pub late_s: f64,
    /// The same in beats; `None` where the rate is not known.
    pub beats: Option<f64>,
    /// By how much the needle was higher at the first pulse, mmHg.
    pub mmhg: f64,
    /// The fall that was used.
    pub fall: Fall,
}
