//! What a visit under way says to the clinician, as values: the shell puts them into words.

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
