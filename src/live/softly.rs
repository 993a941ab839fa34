//! A source whose sound waits to be taken by whoever has the output: mono, softly begun, limited, never above the ceiling,
//! and silent at once when it is hushed. For an output that is not opened here, such as a browser's.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex};

use super::hush::Hush;
use super::lock::held;
use super::supply::{OpenStream, OpeningStage, Pull, Supply};
use super::told::LiveEvent;
use crate::audio::tone::Tone;
use crate::units::{Instant, SampleRate};

/// More than this is not kept waiting, seconds: nobody takes it.
const WAITING_S: usize = 4;
/// A delay that differs from the one told by more than this is told anew, seconds.
const WORTH_TELLING_S: f64 = 0.01;

/// Sound that waits for an output; whoever holds a copy takes it.
#[derive(Debug, Clone, Default)]
pub struct WaitingSound(Arc<Mutex<Piled>>);

#[derive(Debug, Default)]
struct Piled {
    rate: Option<SampleRate>,
    samples: Vec<f32>,
    streams: u64,
    /// What was taken before is to be silent now.
    cut: bool,
    /// From making to hearing as it was last measured, seconds.
    delay_s: Option<f64>,
}

/// What waited.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenSound {
    /// Samples a second.
    pub rate: SampleRate,
    /// Mono samples, within the ceiling.
    pub samples: Vec<f32>,
    /// The number of the stream that they belong to: with a new one another sound begins.
    pub stream: u64,
    /// What was taken before and does not sound yet is to be silent: it was hushed, or stopped before its end.
    pub cut: bool,
}

impl WaitingSound {
    /// How long it is from making to hearing, measured while it plays, seconds.
    pub fn set_delay(&self, seconds: f64) {
        held(&self.0).delay_s = Some(seconds);
    }

    /// What waits now, once; none before a stream.
    pub fn take(&self) -> Option<TakenSound> {
        let mut piled = held(&self.0);
        let (rate, stream) = (piled.rate?, piled.streams);
        let (samples, cut) = (std::mem::take(&mut piled.samples), std::mem::take(&mut piled.cut));
        Some(TakenSound { rate, samples, stream, cut })
    }
}

/// See the file's purpose.
pub struct Softly {
    source: Box<dyn Supply>,
    hush: Hush,
    into: WaitingSound,
    tone: Option<(Tone, usize)>,
    notes: VecDeque<LiveEvent>,
    to: String,
    planned_s: f64,
    over: bool,
}

impl Softly {
    /// This source, played on the output of this name, `planned_s` after it is made.
    pub fn new(
        source: Box<dyn Supply>,
        hush: Hush,
        into: WaitingSound,
        (to, planned_s): (String, f64),
    ) -> Self {
        let notes = VecDeque::new();
        Self { source, hush, into, tone: None, notes, to, planned_s, over: false }
    }

    fn begin(&mut self, opened: OpenStream) {
        self.tone = Some((Tone::new(opened.rate), opened.channels.max(1)));
        let mut piled = held(&self.into.0);
        piled.streams += 1;
        (piled.rate, piled.samples) = (Some(opened.rate), Vec::new());
        drop(piled);
        let (to, planned_s) = (self.to.clone(), self.planned_s);
        self.notes.push_back(LiveEvent::Through { to, planned_s });
    }

    /// Tells where the delay turned out to be another than planned.
    fn look(&mut self) {
        let measured = held(&self.into.0).delay_s;
        let Some(delay_s) = measured.filter(|_| self.tone.is_some() && !self.hush.is_set()) else {
            return;
        };
        if (delay_s - self.planned_s).abs() > WORTH_TELLING_S {
            self.planned_s = delay_s;
            self.notes.push_back(LiveEvent::Through { to: self.to.clone(), planned_s: delay_s });
        }
    }

    fn pile(&mut self, samples: &[f32]) {
        let Some((tone, channels)) = &mut self.tone else { return };
        let mut piled = held(&self.into.0);
        if self.hush.is_set() {
            // What waits goes with it, and what is set ahead: silence now.
            piled.samples.clear();
            piled.cut = true;
            return;
        }
        for frame in samples.chunks_exact(*channels) {
            let mono = frame.iter().sum::<f32>() / *channels as f32;
            let shaped = tone.shape(mono);
            piled.samples.push(tone.hold(shaped));
        }
        let most = piled.rate.map_or(0, |rate| rate.hz() as usize) * WAITING_S;
        let excess = piled.samples.len().saturating_sub(most);
        piled.samples.drain(..excess);
    }
}

impl Supply for Softly {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let opening = self.source.open(now);
        if let OpeningStage::Ready(opened) = opening {
            self.begin(opened);
        }
        opening
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let pulled = self.source.pull(now, samples);
        match &pulled {
            Pull::Block(_) => self.pile(samples),
            Pull::Over => self.over = true,
            Pull::Nothing | Pull::Lost(_) => {}
        }
        pulled
    }

    fn close(&mut self) {
        self.source.close();
        // What came to its own end is heard to its end.
        if self.tone.is_some() && !self.over {
            let mut piled = held(&self.into.0);
            piled.samples.clear();
            piled.cut = true;
        }
    }

    fn told(&mut self) -> Option<LiveEvent> {
        self.look();
        self.notes.pop_front().or_else(|| self.source.told())
    }

    fn comes_back(&self) -> bool {
        self.source.comes_back()
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;
    use crate::audio::tone::CEILING;
    use crate::live::{Bench, Pace, SimBench};
    use crate::sim::Case;

    #[test]
    fn what_waits_begins_softly_keeps_the_ceiling_and_is_gone_at_once_when_hushed() {
        let case = Case { level_dbfs: -2.0, ..Case::default() };
        let bench = Arc::new(Bench::by_hand());
        let patient = Box::new(SimBench::of_case(case, 3, Pace::RealTime, bench));
        let (hush, waiting) = (Hush::default(), WaitingSound::default());
        let mut softly = Softly::new(patient, hush.clone(), waiting.clone(), ("here".into(), 0.12));
        assert_eq!(waiting.take(), None);
        let (start, mut samples) = (Instant::now(), Vec::new());
        assert!(matches!(softly.open(start), OpeningStage::Ready(_)));
        assert!(matches!(softly.told(), Some(LiveEvent::Through { planned_s: 0.12, .. })));
        let mut play = |from_s: u64, to_s: u64| {
            for ms in (from_s * 1000)..(to_s * 1000) {
                while let Pull::Block(_) =
                    softly.pull(start + Duration::from_millis(ms), &mut samples)
                {}
            }
        };
        play(0, 3);
        let taken = waiting.take().unwrap();
        assert_eq!((taken.rate.hz(), taken.stream), (16_000, 1));
        let peak = |samples: &[f32]| samples.iter().fold(0.0_f32, |a, x| a.max(x.abs()));
        assert!(peak(&taken.samples[..160]) < 0.001, "it begins softly");

        let loudest = peak(&taken.samples);
        assert!(loudest <= CEILING && loudest > 0.9 * CEILING, "{loudest}");
        play(3, 4);
        hush.set(true);
        play(4, 5);
        let taken = waiting.take().unwrap();
        assert!(taken.samples.is_empty() && taken.cut, "silence at once");
        assert!(!waiting.take().unwrap().cut, "once");
        softly.close();
        assert!(waiting.take().unwrap().cut, "what is stopped before its end is silent at once");
    }
}
