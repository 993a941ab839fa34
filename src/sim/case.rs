//! One simulated examination of one artery as plain parameters: patient, probe, hand, room, device.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// The heart's rhythm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rhythm {
    /// Sinus rhythm with breathing arrhythmia.
    Regular,
    /// Atrial fibrillation: no beat predicts the next; the fuller the ventricle the stronger the beat.
    Fibrillation,
    /// Regular with premature weak beats, each followed by a compensatory pause.
    Premature,
}

/// What the artery under the probe carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FlowKind {
    /// Forward, then reverse, then often a small late forward flow.
    Multiphasic,
    /// Forward only, with some flow through diastole.
    Monophasic,
    /// Behind severe disease: slow upstroke, low velocity, low pulse pressure.
    Damped,
    /// No flow at all is found.
    Absent,
}

/// How the first openings under the cuff sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OpeningSound {
    /// Short and faint first, longer and louder with each beat.
    Growing,
    /// A plain fast jet from the first.
    Jet,
}

/// How the sound reaches the recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Path {
    /// By cable.
    Line,
    /// A microphone in front of the device's loudspeaker, in a room.
    Microphone,
}

/// A kind of noise made here, without recordings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Noise {
    /// White to gently tilted amplifier noise.
    Hiss,
    /// Mains hum with harmonics.
    Hum,
    /// Air moving: low, slowly swelling.
    Ventilation,
    /// One talker: voiced syllables with formants, unvoiced bursts, pauses.
    Speech,
    /// Several talkers at once.
    Babble,
    /// Tonal patterns.
    Alarm,
    /// Knocks and scrapes.
    Handling,
    /// Steps that pass.
    Footsteps,
    /// A machine with a beat of its own.
    Machine,
    /// Notes and drums.
    Music,
}

/// Why the pulse is never heard to return.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Never {
    /// The probe slid off while the cuff was closed.
    ProbeMoved,
    /// The recording ends before the cuff is low enough.
    CuffHigh,
    /// No artery was under the probe at any time.
    NoArtery,
}

/// A slip of the probe.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Slip {
    /// When it starts, seconds.
    pub at_s: f64,
    /// How long it lasts, seconds.
    pub for_s: f64,
    /// The signal's loss meanwhile, decibels (positive).
    pub loss_db: f64,
}

/// Pumping again on the way down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PumpAgain {
    /// The cuff pressure at which the hand pumps again, relative to the systolic pressure, mmHg.
    pub at_mmhg: f64,
    /// By how much it pumps the cuff up, mmHg.
    pub by_mmhg: f64,
}

/// The hand at the bulb and valve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Hand {
    /// The free pulse before the first stroke, seconds.
    pub baseline_s: f64,
    /// The pressure pumped to, mmHg; `None`: 20-40 above systolic, as drawn from the seed.
    pub target_mmhg: Option<f64>,
    /// One stroke of the bulb, mmHg.
    pub stroke_mmhg: f64,
    /// From stroke to stroke, seconds.
    pub stroke_s: f64,
    /// Closed and still before the bleed, seconds.
    pub hold_s: f64,
    /// Deflation, mmHg a second.
    pub bleed_mmhg_s: f64,
    /// Unsteadiness of the deflation: 0 even, 1 in plain steps.
    pub wobble: f64,
    /// A pause in the bleed, seconds (0: none).
    pub pause_s: f64,
    /// Pumping again on the way down.
    pub pump_again: Option<PumpAgain>,
    /// The pressure at which the slow bleed ends, relative to the systolic pressure, mmHg (negative: below).
    pub stop_mmhg: f64,
    /// Whether the rest is then let out at once.
    pub release: bool,
    /// Recording after that, seconds.
    pub tail_s: f64,
    /// How many inflations the file holds.
    pub inflations: u32,
    /// Rest between inflations, seconds.
    pub rest_s: f64,
}

impl Default for Hand {
    fn default() -> Self {
        Self {
            baseline_s: 5.0,
            target_mmhg: None,
            stroke_mmhg: 18.0,
            stroke_s: 0.5,
            hold_s: 1.5,
            bleed_mmhg_s: 3.0,
            wobble: 0.3,
            pause_s: 0.0,
            pump_again: None,
            stop_mmhg: -35.0,
            release: true,
            tail_s: 2.0,
            inflations: 1,
            rest_s: 6.0,
        }
    }
}

/// A room sound from outside, mono at 16 kHz, any level.
#[derive(Debug, Clone, PartialEq)]
pub struct Recorded {
    /// What it is called in the truth.
    pub name: String,
    /// Samples at 16 kHz.
    pub samples: Arc<[f32]>,
}

/// A recorded arterial pressure that drives the artery in place of the simulated heart.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedPressure {
    /// The pressure; rescaled so that its beats reach the case's systolic and diastolic pressures.
    pub mmhg: Arc<[f64]>,
    /// Values a second.
    pub rate_hz: f64,
    /// Where to begin, seconds.
    pub from_s: f64,
}

/// Automatic gain, as in a telephone or recorder.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AutoGain {
    /// Time constant when it grows louder, milliseconds.
    pub attack_ms: f64,
    /// Time constant when it grows quieter, milliseconds.
    pub release_ms: f64,
    /// The most that silence is raised, decibels.
    pub most_db: f64,
}

/// A gate in the device that mutes it under a level.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Squelch {
    /// Its threshold under the fully open pulse, decibels (positive).
    pub under_db: f64,
    /// How long it stays open after the level falls, milliseconds.
    pub hang_ms: f64,
}

/// Everything about one examination that is chosen rather than left to the seed.
///
/// The finer points (pulse shapes, noise colours, the hand's tremor) come from the seed alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Case {
    /// What it is called in the truth.
    pub scenario: String,
    /// The heart's rhythm.
    pub rhythm: Rhythm,
    /// Mean heart rate, beats a minute.
    pub heart_rate_bpm: f64,
    /// Mean systolic pressure under the cuff, mmHg.
    pub systolic_mmhg: f64,
    /// Mean diastolic pressure, mmHg.
    pub diastolic_mmhg: f64,
    /// Half the swing of systolic pressure with breathing, mmHg.
    pub breathing_mmhg: f64,
    /// Breaths a minute.
    pub breaths_per_min: f64,
    /// Beat-to-beat noise of systolic pressure, standard deviation, mmHg.
    pub beat_noise_mmhg: f64,
    /// What the artery carries.
    pub artery: FlowKind,
    /// How the first openings sound.
    pub opening: OpeningSound,
    /// The transmural pressure over which an opening grows to 63 %, mmHg.
    pub growth_mmhg: f64,
    /// How long flow runs on after the artery closes, milliseconds.
    pub run_on_ms: f64,
    /// The probe's frequency, MHz.
    pub probe_mhz: f64,
    /// Between beam and vessel, degrees.
    pub angle_deg: f64,
    /// Peak velocity of the free pulse, cm/s.
    pub peak_cm_s: f64,
    /// Power of the velocity profile: 2 parabolic, 9 nearly flat.
    pub profile: f64,
    /// A vein beside it, decibels relative to the free pulse; `None`: no vein.
    pub venous_db: Option<f64>,
    /// The probe slips.
    pub slip: Option<Slip>,
    /// Why nothing returns, where nothing does.
    pub never: Option<Never>,
    /// The hand at bulb and valve.
    pub hand: Hand,
    /// How the sound reaches the recording.
    pub path: Path,
    /// The noises made here; together at `snr_db`.
    pub noise: Vec<Noise>,
    /// The free pulse over those noises, decibels (defined at [`crate::sim::render`]).
    pub snr_db: f64,
    /// The free pulse over the device's own noise, decibels.
    pub device_snr_db: f64,
    /// The free pulse over the hand's sounds (strokes, hiss of the valve, rubbing), decibels.
    pub hand_snr_db: f64,
    /// The device passes only these frequencies, hertz.
    pub narrow_band_hz: Option<(f64, f64)>,
    /// Two channels: forward flow left, reverse right.
    pub stereo: bool,
    /// Automatic gain at the end of the path.
    pub auto_gain: Option<AutoGain>,
    /// A gate in the device.
    pub squelch: Option<Squelch>,
    /// Gain beyond full scale before hard clipping, decibels; `None`: level as `level_dbfs` says.
    pub clip_db: Option<f64>,
    /// The free pulse with its noise, root mean square, dB re full scale.
    pub level_dbfs: f64,
    /// A constant offset, in parts of full scale.
    pub offset: f64,
    /// Samples a second of the result, 8,000 to 192,000.
    pub rate_hz: u32,
    /// Room sounds from outside; with `noise` they share `snr_db`.
    #[serde(skip)]
    pub recorded: Vec<Recorded>,
    /// A recorded pressure in place of the simulated one.
    #[serde(skip)]
    pub pressure: Option<RecordedPressure>,
    /// Recorded beat intervals in place of the rhythm, seconds, repeated as needed.
    #[serde(skip)]
    pub intervals_s: Option<Arc<[f64]>>,
}

impl Default for Case {
    /// A quiet, healthy arm on the line.
    fn default() -> Self {
        Self {
            scenario: "plain".into(),
            rhythm: Rhythm::Regular,
            heart_rate_bpm: 70.0,
            systolic_mmhg: 130.0,
            diastolic_mmhg: 78.0,
            breathing_mmhg: 3.0,
            breaths_per_min: 14.0,
            beat_noise_mmhg: 1.0,
            artery: FlowKind::Multiphasic,
            opening: OpeningSound::Growing,
            growth_mmhg: 12.0,
            run_on_ms: 25.0,
            probe_mhz: 8.0,
            angle_deg: 52.0,
            peak_cm_s: 45.0,
            profile: 4.0,
            venous_db: None,
            slip: None,
            never: None,
            hand: Hand::default(),
            path: Path::Line,
            noise: vec![Noise::Hiss],
            snr_db: 20.0,
            device_snr_db: 30.0,
            hand_snr_db: 12.0,
            narrow_band_hz: None,
            stereo: false,
            auto_gain: None,
            squelch: None,
            clip_db: None,
            level_dbfs: -18.0,
            offset: 0.0,
            rate_hz: 16_000,
            recorded: Vec::new(),
            pressure: None,
            intervals_s: None,
        }
    }
}
