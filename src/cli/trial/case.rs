//! The cases of a trial: where each comes from, and what the listener answers to it.

use crate::signal::{FEATURES, Finding, Listener};
use crate::sim::{Rendered, render};
use crate::trial::beats::PulsesTold;
use crate::trial::{Half, ListenerAnswer, Rooms, Stratum, grid, wide};
use crate::units::SampleRate;

/// Which cases are drawn.
#[derive(Debug, Clone, Copy, clap::Args)]
pub(super) struct Draw {
    /// Seed of the grid
    #[arg(long, default_value_t = 1)]
    pub(super) seed: u64,
    /// Cases a stratum
    #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    pub(super) count: u64,
}

/// Where a case comes from.
#[derive(Debug, Clone, Copy)]
pub(super) enum Source {
    /// The grid that reports.
    Grid(Stratum, u64),
    /// A stranger: drawn far wider than the grid.
    Stranger(u64),
}

impl Source {
    /// Its number in the stratum.
    pub(super) fn number(self) -> u64 {
        match self {
            Source::Grid(_, number) | Source::Stranger(number) => number,
        }
    }

    /// The sound and its truth.
    pub(super) fn make(self, seed: u64, half: Half, rooms: &Rooms) -> Rendered {
        match self {
            Source::Grid(stratum, number) => {
                let (case, seed) = grid::draw(stratum, seed, number, half, rooms);
                render(&case, seed)
            }
            Source::Stranger(number) => wide::make(seed, number, half, rooms),
        }
    }
}

/// What the rows of a trial are called: its strata, and the families of strangers.
pub(super) fn families() -> impl Iterator<Item = &'static str> {
    Stratum::ALL.map(Stratum::name).into_iter().chain(wide::FAMILIES)
}

/// Every stratum's cases, turn by turn.
pub(super) fn on_grid(count: u64) -> Vec<Source> {
    (0..count).flat_map(|n| Stratum::ALL.map(|stratum| Source::Grid(stratum, n))).collect()
}

/// For training and tuning: half of the cases from the grid, the hard rooms `often` times as often, half strangers.
pub(super) fn half_strangers(count: u64, often: u64) -> Vec<Source> {
    let hard = [Stratum::MicTalk, Stratum::MicNoise];
    let again = (1..often).flat_map(|turn| hard.map(|stratum| (stratum, turn)));
    let strata: Vec<_> =
        Stratum::ALL.map(|stratum| (stratum, 0)).into_iter().chain(again).collect();
    let grid = (0..count).flat_map(|n| strata.iter().map(move |&(s, turn)| (s, turn * count + n)));
    // Strata in number are odd, so that each comes at even places and at odd ones.
    let each = |(at, (stratum, number)): (usize, (Stratum, u64))| {
        if at % 2 == 0 { Source::Grid(stratum, number) } else { Source::Stranger(at as u64) }
    };
    grid.enumerate().map(each).collect()
}

/// What the listener made of a sound.
#[derive(Default)]
pub(super) struct Heard {
    /// Its answer.
    pub(super) answer: ListenerAnswer,
    /// The pulses that it told.
    pub(super) pulses: PulsesTold,
    /// The frames that it saw.
    pub(super) frames: Vec<[f32; FEATURES]>,
}

/// Has the listener hear a sound.
pub(super) fn hear(rendered: &Rendered, quick: bool) -> Heard {
    let mut heard = Heard::default();
    let Some(rate) = SampleRate::new(rendered.rate_hz) else { return heard };
    let mut listener = match quick {
        true => Listener::quick(rate, rendered.channels),
        false => Listener::new(rate, rendered.channels),
    };
    for block in rendered.samples.chunks(512) {
        listener.push_examined(block, |frame| heard.frames.push(*frame.features));
        take_answer(&mut listener, rate, &mut heard);
    }
    listener.finish();
    take_answer(&mut listener, rate, &mut heard);
    heard.pulses.bpm = listener.heart_rate().map(|rate| f64::from(rate.bpm));
    heard
}

/// Notes the first return, the first cue that was given before it, and every pulse.
pub(super) fn take_answer(listener: &mut Listener, rate: SampleRate, heard: &mut Heard) {
    let Heard { answer, pulses, .. } = heard;
    while let Some(finding) = listener.poll() {
        match finding {
            Finding::Pulse(pulse) => pulses.onsets_s.push(pulse.onset.seconds(rate)),
            Finding::Lost { .. } => {
                pulses.lost_s.get_or_insert(listener.taken().seconds(rate));
            }
            Finding::Cue(cue) if answer.return_s.is_none() && answer.cue_s.is_none() => {
                answer.cue_s = Some(cue.at.seconds(rate));
            }
            Finding::Return(found) if answer.return_s.is_none() => {
                answer.return_s = Some(found.onset.seconds(rate));
                answer.confidence = Some(f64::from(found.confidence));
                answer.evidence = Some(found.evidence);
                answer.cue_s = found.cue.map(|cue| cue.at.seconds(rate));
            }
            _ => {}
        }
    }
}
