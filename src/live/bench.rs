//! A simulated or recorded patient on the bench: the sound goes on all the time, and follows the site that the
//! clinician has turned to.

use std::collections::VecDeque;
#[cfg(feature = "bedside")]
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use super::lock::held;
#[cfg(feature = "bedside")]
use super::supply::WavSupply;
use super::supply::{OpenStream, OpeningStage, Pace, Pacer, Pull, Supply};
use super::told::Fault;
use crate::clinical::site::Site;
use crate::sim::scenario::{Scenario, ScenarioFault, site_seed};
use crate::sim::{Bedside, Bulb, Case, ROOM_S, Script, Truth};
use crate::units::{Instant, SampleIndex, SampleRate};

/// So much of a drill can be heard again, seconds.
const REMEMBERED_S: f64 = 600.0;
/// So many of the newest pressures are kept: two seconds.
const RECENT: usize = 500;
/// From full pressure to none through an open valve, mmHg a second.
const OPEN_MMHG_PER_S: f64 = 150.0;

/// What whoever turns to a site shares with the supply.
#[derive(Default)]
pub struct Bench {
    state: Mutex<State>,
}

#[derive(Default)]
struct State {
    /// How often a site was turned to.
    turn: u64,
    site: Option<Site>,
    valve_open: bool,
    cuff_mmhg: f64,
    /// The newest pressures, one for each 4 ms.
    recent: VecDeque<f32>,
    /// The cuff is worked by a hand outside, not by the case's own.
    by_hand: bool,
    squeezes: u32,
    valve: f64,
    asked: bool,
    played: Option<Played>,
}

/// What really happened at a simulated site until it was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// The truth; its times are seconds from when the site was turned to.
    pub truth: Truth,
    /// The cuff's pressure, mmHg, one value for each 4 ms.
    pub cuff_mmhg: Vec<f32>,
    /// The stream's time at which the site was turned to, seconds.
    pub began_s: f64,
    /// The sound itself, mono, from when the site was turned to; its first ten minutes.
    pub sound: Vec<f32>,
}

impl Bench {
    /// A bench whose cuff is worked by whoever holds it, not by a script.
    pub fn by_hand() -> Self {
        let state = State { by_hand: true, ..State::default() };
        Self { state: Mutex::new(state) }
    }

    /// One squeeze of the bulb; without effect where a script holds it.
    pub fn squeeze(&self) {
        held(&self.state).squeezes += 1;
    }

    /// How far the valve is open, 0 to 1.
    pub fn set_valve(&self, open: f64) {
        held(&self.state).valve = open;
    }

    /// Asks for the truth until now; it comes with the next sound.
    pub fn ask(&self) {
        held(&self.state).asked = true;
    }

    /// The truth that was asked for, once.
    pub fn played(&self) -> Option<Played> {
        held(&self.state).played.take()
    }

    /// The probe goes to this site, and a new attempt begins.
    pub fn turn_to(&self, site: Site) {
        let mut state = held(&self.state);
        state.turn += 1;
        state.site = Some(site);
        state.valve_open = false;
        (state.squeezes, state.valve) = (0, 0.0);
    }

    /// The valve is opened fully.
    pub fn open_valve(&self) {
        let mut state = held(&self.state);
        state.valve_open = true;
        state.valve = 1.0;
    }

    /// What the simulated gauge shows, mmHg.
    pub fn cuff_mmhg(&self) -> f64 {
        held(&self.state).cuff_mmhg
    }

    /// What it showed so many seconds ago (two at most): a sound that is played late is heard beside a needle as late.
    pub fn cuff_mmhg_ago(&self, seconds: f64) -> f64 {
        let state = held(&self.state);
        let back = (seconds.max(0.0) / crate::sim::BLOCK_S).round() as usize;
        let place = state.recent.len().checked_sub(1 + back);
        let known = place.or((!state.recent.is_empty()).then_some(0));
        known.map_or(state.cuff_mmhg, |place| f64::from(state.recent[place]))
    }
}

/// The sound of a simulated patient, site after site, with each case's own scripted hand on the cuff.
pub struct SimBench {
    scenario: Scenario,
    seed: u64,
    pace: Pace,
    bench: Arc<Bench>,
    turn: u64,
    now: Option<Now>,
    pacer: Option<Pacer>,
}

struct Now {
    bedside: Bedside,
    script: Script,
    pressed: bool,
    cuff_mmhg: f64,
    bulb: Bulb,
    track: Vec<f32>,
    began_s: f64,
    /// What has sounded, mono.
    made: Vec<f32>,
}

impl SimBench {
    /// The patient of this scenario. A scenario of a single artery has it at every site.
    pub fn new(scenario: Scenario, seed: u64, pace: Pace, bench: Arc<Bench>) -> Self {
        Self { scenario, seed, pace, bench, turn: 0, now: None, pacer: None }
    }

    /// A patient with this one artery everywhere.
    pub fn of_case(case: Case, seed: u64, pace: Pace, bench: Arc<Bench>) -> Self {
        Self::new(Scenario::of(case), seed, pace, bench)
    }

    fn case(&self, site: Option<Site>) -> Result<Case, ScenarioFault> {
        let code = site.map(Site::code).filter(|code| self.scenario.sites().any(|s| s == code));
        self.scenario.case(code.as_deref()).cloned()
    }

    /// Turns to a site where that was asked for.
    fn turn(&mut self) -> Result<(), ScenarioFault> {
        let (turn, site) = {
            let state = held(&self.bench.state);
            (state.turn, state.site)
        };
        if self.now.is_some() && turn == self.turn {
            return Ok(());
        }
        let case = self.case(site)?;
        // A repeat at a site sounds like the site, not like a recording of it.
        let seed = site_seed(self.seed, site.map(Site::code).as_deref()) ^ (turn << 40);
        let (bedside, script) = (Bedside::new(&case, seed, ROOM_S), Script::new(&case, seed));
        let began_s = self.pacer.map_or(0.0, |p| SampleIndex(p.given).seconds(p.rate));
        self.now = Some(Now {
            bedside,
            script,
            pressed: turn > 0,
            cuff_mmhg: 0.0,
            bulb: Bulb::default(),
            track: Vec::new(),
            began_s,
            made: Vec::new(),
        });
        self.turn = turn;
        Ok(())
    }
}

impl Now {
    /// The cuff's pressure for the next 4 ms, worked as the bench says.
    fn work(&mut self, state: &mut State) -> f64 {
        let squeezes = std::mem::take(&mut state.squeezes);
        if state.by_hand {
            (0..squeezes).for_each(|_| self.bulb.squeeze());
            self.bulb.set_valve(state.valve);
            // As exactly as it is kept: what was played can then be played again, sample by sample.
            self.cuff_mmhg = f64::from(self.bulb.step(crate::sim::BLOCK_S) as f32);
        } else {
            self.press(state.valve_open);
        }
        self.track.push(self.cuff_mmhg as f32);
        state.cuff_mmhg = self.cuff_mmhg;
        state.recent.push_back(self.cuff_mmhg as f32);
        if state.recent.len() > RECENT {
            state.recent.pop_front();
        }
        self.cuff_mmhg
    }

    /// Keeps what has sounded, mono, so that it can be heard again.
    fn remember(&mut self, samples: &[f32]) {
        let channels = self.bedside.channels();
        let most = (REMEMBERED_S * f64::from(self.bedside.rate_hz())) as usize;
        if self.made.len() < most {
            let mono = samples.chunks_exact(channels);
            self.made.extend(mono.map(|f| f.iter().sum::<f32>() / channels as f32));
        }
    }

    fn played(&self) -> Played {
        let truth = self.bedside.clone().finish();
        Played {
            truth,
            cuff_mmhg: self.track.clone(),
            began_s: self.began_s,
            sound: self.made.clone(),
        }
    }

    /// The cuff's pressure for the next 4 ms by the script.
    fn press(&mut self, valve_open: bool) -> f64 {
        self.pressed &= !valve_open;
        let now_s = self.bedside.now_s();
        self.cuff_mmhg = if self.pressed {
            self.script.at(now_s)
        } else {
            (self.cuff_mmhg - OPEN_MMHG_PER_S * crate::sim::BLOCK_S).max(0.0)
        };
        self.cuff_mmhg
    }
}

impl Supply for SimBench {
    fn open(&mut self, now: Instant) -> OpeningStage {
        let failed = |said: String| OpeningStage::Failed(Fault::CannotOpen(said));
        if let Err(fault) = self.turn() {
            return failed(fault.to_string());
        }
        let Some(bench) = &self.now else { return failed("no patient".into()) };
        let hz = bench.bedside.rate_hz();
        let Some(rate) = SampleRate::new(hz) else { return failed(format!("a rate of {hz}")) };
        let channels = bench.bedside.channels();
        self.pacer = Some(Pacer { pace: self.pace, rate, origin: now, given: 0 });
        OpeningStage::Ready(OpenStream { rate, channels, origin: now })
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let was = self.now.as_ref().map(|n| (n.bedside.rate_hz(), n.bedside.channels()));
        if let Err(fault) = self.turn() {
            return Pull::Lost(Fault::CannotOpen(fault.to_string()));
        }
        let (Some(bench), Some(pacer)) = (&mut self.now, &mut self.pacer) else {
            return Pull::Nothing;
        };
        if was != Some((bench.bedside.rate_hz(), bench.bedside.channels())) {
            return Pull::Lost(Fault::CannotOpen(
                "the sites differ in their format of sound".into(),
            ));
        }
        if !pacer.due(now, bench.bedside.rate_hz() as usize / 250) {
            return Pull::Nothing;
        }
        let (cuff_mmhg, asked, by_hand) = {
            let mut state = held(&self.bench.state);
            (bench.work(&mut state), std::mem::take(&mut state.asked), state.by_hand)
        };
        if asked {
            let played = bench.played();
            held(&self.bench.state).played = Some(played);
        }
        samples.clear();
        samples.extend_from_slice(bench.bedside.step(cuff_mmhg));
        if by_hand {
            bench.remember(samples);
        }
        Pull::Block(pacer.block(samples.len() / bench.bedside.channels()))
    }

    fn close(&mut self) {
        (self.now, self.pacer) = (None, None);
    }
}

/// Recordings, one for each site turned to, in the order given; silence between them, and after the last.
#[cfg(feature = "bedside")]
pub struct FilesBench {
    files: VecDeque<PathBuf>,
    bench: Arc<Bench>,
    turn: u64,
    now: Option<WavSupply>,
    opened: Option<OpenStream>,
    pacer: Option<Pacer>,
}

#[cfg(feature = "bedside")]
impl FilesBench {
    /// These recordings, in order.
    pub fn new(files: Vec<PathBuf>, bench: Arc<Bench>) -> Self {
        Self { files: files.into(), bench, turn: 0, now: None, opened: None, pacer: None }
    }

    fn next(&mut self, now: Instant) -> OpeningStage {
        let Some(file) = self.files.pop_front() else {
            return OpeningStage::Failed(Fault::CannotOpen("there is no further recording".into()));
        };
        let mut supply = WavSupply::new(&file, Pace::RealTime);
        let opening = supply.open(now);
        self.now = Some(supply);
        opening
    }

    /// Nothing sounds: silence of the length that has passed.
    fn silence(pacer: &mut Pacer, channels: usize, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let frames = pacer.rate.hz() as usize / 100;
        if !pacer.due(now, frames) {
            return Pull::Nothing;
        }
        samples.clear();
        samples.resize(frames * channels, 0.0);
        Pull::Block(pacer.block(frames))
    }
}

#[cfg(feature = "bedside")]
impl Supply for FilesBench {
    fn open(&mut self, now: Instant) -> OpeningStage {
        // The first file tells the format; it begins to sound at the first site.
        let Some(first) = self.files.front() else {
            return OpeningStage::Failed(Fault::CannotOpen("no recording was named".into()));
        };
        let opening = WavSupply::new(first, Pace::RealTime).open(now);
        if let OpeningStage::Ready(opened) = opening {
            self.opened = Some(opened);
            let pacer = Pacer { pace: Pace::RealTime, rate: opened.rate, origin: now, given: 0 };
            self.pacer = Some(pacer);
        }
        opening
    }

    fn pull(&mut self, now: Instant, samples: &mut Vec<f32>) -> Pull {
        let turn = held(&self.bench.state).turn;
        if turn != self.turn {
            self.turn = turn;
            self.now = None;
            if let (OpeningStage::Ready(next), Some(first)) = (self.next(now), self.opened)
                && (next.rate, next.channels) != (first.rate, first.channels)
            {
                return Pull::Lost(Fault::CannotOpen(
                    "the recordings differ in their format".into(),
                ));
            }
        }
        let (Some(opened), Some(pacer)) = (self.opened, &mut self.pacer) else {
            return Pull::Nothing;
        };
        let Some(file) = &mut self.now else {
            return Self::silence(pacer, opened.channels, now, samples);
        };
        match file.pull(now, samples) {
            Pull::Block(_) => Pull::Block(pacer.block(samples.len() / opened.channels)),
            Pull::Over => {
                self.now = None;
                Pull::Nothing
            }
            other => other,
        }
    }

    fn close(&mut self) {
        (self.now, self.pacer) = (None, None);
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    /// Runs the bench with a hand for so many seconds of virtual time.
    fn run(supply: &mut SimBench, clock: &mut Instant, seconds: f64) {
        let mut samples = Vec::new();
        let until = *clock + Duration::from_secs_f64(seconds);
        while *clock < until {
            *clock += Duration::from_millis(4);
            while let Pull::Block(_) = supply.pull(*clock, &mut samples) {}
        }
    }

    #[test]
    fn a_hand_closes_the_artery_and_lets_the_pulse_come_back() {
        let bench = Arc::new(Bench::by_hand());
        let scenario = Scenario::of(Case::default());
        let mut supply = SimBench::new(scenario, 5, Pace::RealTime, bench.clone());
        let mut clock = Instant::now();
        assert!(matches!(supply.open(clock), OpeningStage::Ready(_)));
        run(&mut supply, &mut clock, 3.0);
        for _ in 0..9 {
            bench.squeeze();
            run(&mut supply, &mut clock, 0.5);
        }
        assert!(bench.cuff_mmhg() > 150.0, "{}", bench.cuff_mmhg());
        bench.set_valve(0.28);
        run(&mut supply, &mut clock, 30.0);
        bench.ask();
        run(&mut supply, &mut clock, 0.1);
        let played = bench.played().unwrap();
        assert_eq!(bench.played(), None);
        // What the gauge showed a while ago is what the cuff did then.
        run(&mut supply, &mut clock, 0.2);
        let ago = bench.cuff_mmhg_ago(0.2);
        assert!((ago - f64::from(*played.cuff_mmhg.last().unwrap())).abs() < 0.3, "{ago}");
        assert!(bench.cuff_mmhg_ago(1.0) > ago + 1.0 && bench.cuff_mmhg_ago(0.0) < ago);
        let back_mmhg = played.truth.audible_mmhg.unwrap();
        assert!((115.0..140.0).contains(&back_mmhg), "{back_mmhg}");
        let block = (played.truth.audible_s.unwrap() / crate::sim::BLOCK_S) as usize;
        assert!((f64::from(played.cuff_mmhg[block]) - back_mmhg).abs() < 0.5);
    }

    #[test]
    fn pumping_too_little_never_closes_it() {
        let bench = Arc::new(Bench::by_hand());
        let scenario = Scenario::of(Case::default());
        let mut supply = SimBench::new(scenario, 5, Pace::RealTime, bench.clone());
        let mut clock = Instant::now();
        supply.open(clock);
        for _ in 0..4 {
            bench.squeeze();
            run(&mut supply, &mut clock, 0.5);
        }
        run(&mut supply, &mut clock, 6.0);
        bench.ask();
        run(&mut supply, &mut clock, 0.1);
        let truth = bench.played().unwrap().truth;
        let closed = truth.inflations.iter().any(|i| i.closed_s.is_some());
        assert!(
            truth.audible_s.is_none() && !closed,
            "{:?} {}",
            truth.inflations,
            bench.cuff_mmhg()
        );
    }
}
