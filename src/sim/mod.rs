//! A seeded patient: arterial pressure, a cuff worked by hand, the sound of the artery below it, the
//! room and the device, and the truth of it all.
//!
//! A [`Case`] says what is chosen, a seed decides the rest. [`Bedside`] makes the sound stepwise under any
//! cuff pressure; [`render`] drives it with the case's own scripted hand.
//!
//! Pure. Same seed, same sound on every machine: a named generator (ChaCha8), no platform mathematics
//! (`libm`), the scalar FFT planner, sums in a fixed order.

mod bedside;
mod block;
mod bulb;
mod case;
mod chance;
mod cuff;
mod device;
mod filter;
mod flow;
mod knocks;
mod ledger;
mod observer;
mod patient;
mod rhythm;
mod room;
pub mod scenario;
mod sound;
mod truth;
mod voices;

pub use bedside::Bedside;
pub use block::BLOCK_S;
pub use bulb::Bulb;
pub use case::{
    AutoGain, Case, FlowKind, Hand, Never, Noise, OpeningSound, Path, PumpAgain, Recorded,
    RecordedPressure, Rhythm, Slip, Squelch,
};
pub use chance::Chance;
pub use cuff::Script;
pub use filter::Biquad;
pub use observer::{CELL_S, CellMeter, HEARD, NoiseRecord, TRACE, d_prime_squared, first_heard};
pub use patient::{Patient, PressurePulse};
pub use sound::doppler_shift_hz;
pub use truth::{Inflation, Opening as TrueOpening, Truth};

/// Seconds after which the noise of the room may repeat itself where a hand outside works the cuff.
pub const ROOM_S: f64 = 120.0;

/// A finished sound and its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Rendered {
    /// Samples within -1 to 1, interleaved.
    pub samples: Vec<f32>,
    /// Samples a second of one channel.
    pub rate_hz: u32,
    /// 1, or 2 with forward flow left and reverse right.
    pub channels: usize,
    /// What really happened.
    pub truth: Truth,
}

/// The velocity of the free artery over one beat, cm/s towards the probe, one value a millisecond from the foot.
pub fn free_beat(case: &Case, seed: u64) -> Vec<f64> {
    let (vessel, interval_s) = (flow::Vessel::new(case, seed), 60.0 / case.heart_rate_bpm);
    (0..(interval_s * 1000.0) as usize)
        .map(|ms| vessel.free(ms as f64 / 1000.0, interval_s).0)
        .collect()
}

/// Renders a case with its scripted hand.
///
/// The ratio of signal to noise is the power of the free, fully open pulse in its loudest 100 ms between 200
/// and 4000 Hz (expected, from the model) over the noise's power in the same band, measured in the rendered noise
/// while it is active: the mean of the 32 ms frames within 15 dB of the 98 % quantile. For steady noise that is its
/// mean; for speech and knocks it is the level while they sound.
pub fn render(case: &Case, seed: u64) -> Rendered {
    let mut script = Script::new(case, seed);
    let mut case = case.clone();
    if case.never == Some(Never::ProbeMoved) {
        let at_s = script.top_s() + 0.8 * case.hand.hold_s;
        case.slip = Some(Slip { at_s, for_s: 1e6, loss_db: 80.0 });
    }
    let seconds = script.ends_s();
    let mut bedside = Bedside::new(&case, seed, seconds);
    let mut samples = Vec::with_capacity((seconds * f64::from(case.rate_hz)) as usize * 2);
    for _ in 0..block::blocks_in(seconds) {
        let cuff_mmhg = script.at(bedside.now_s());
        samples.extend_from_slice(bedside.step(cuff_mmhg));
    }
    let channels = bedside.channels();
    Rendered { samples, rate_hz: case.rate_hz, channels, truth: bedside.finish() }
}
