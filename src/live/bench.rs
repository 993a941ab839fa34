//! A simulated or recorded patient on the bench: the sound goes on all the time, and follows the site that the
//! clinician has turned to.

use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use std::time::Instant;

use super::held;
use super::supply::{Opened, Opening, Pace, Pacer, Pull, Supply, WavSupply};
use super::told::Fault;
use crate::clinical::site::Site;
use crate::sim::scenario::{Scenario, ScenarioFault, site_seed};
use crate::sim::{Bedside, Case, Script};
use crate::units::SampleRate;

/// Seconds after which the room's noise may repeat itself.
const ROOM_S: f64 = 120.0;
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
}

impl Bench {
    /// The probe goes to this site, and a new attempt begins.
    pub fn turn_to(&self, site: Site) {
        let mut state = held(&self.state);
        state.turn += 1;
        state.site = Some(site);
        state.valve_open = false;
    }

    /// The valve is opened fully.
    pub fn open_valve(&self) {
        held(&self.state).valve_open = true;
    }

    /// What the simulated gauge shows, mmHg.
    pub fn cuff_mmhg(&self) -> f64 {
        held(&self.state).cuff_mmhg
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
}

impl SimBench {
    /// The patient of this scenario. A scenario of a single artery has it at every site.
    pub fn new(scenario: Scenario, seed: u64, pace: Pace, bench: Arc<Bench>) -> Self {
        Self { scenario, seed, pace, bench, turn: 0, now: None, pacer: None }
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
        self.now = Some(Now { bedside, script, pressed: turn > 0, cuff_mmhg: 0.0 });
        self.turn = turn;
        Ok(())
    }
}

impl Now {
    /// The cuff's pressure for the next 4 ms.
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
    fn open(&mut self, now: Instant) -> Opening {
        let failed = |said: String| Opening::Failed(Fault::CannotOpen(said));
        if let Err(fault) = self.turn() {
            return failed(fault.to_string());
        }
        let Some(bench) = &self.now else { return failed("no patient".into()) };
        let hz = bench.bedside.rate_hz();
        let Some(rate) = SampleRate::new(hz) else { return failed(format!("a rate of {hz}")) };
        let channels = bench.bedside.channels();
        self.pacer = Some(Pacer { pace: self.pace, rate, origin: now, given: 0 });
        Opening::Ready(Opened { rate, channels, origin: now })
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
        let valve_open = held(&self.bench.state).valve_open;
        let cuff_mmhg = bench.press(valve_open);
        held(&self.bench.state).cuff_mmhg = cuff_mmhg;
        samples.clear();
        samples.extend_from_slice(bench.bedside.step(cuff_mmhg));
        Pull::Block(pacer.block(samples.len() / bench.bedside.channels()))
    }

    fn close(&mut self) {
        (self.now, self.pacer) = (None, None);
    }
}

/// Recordings, one for each site turned to, in the order given; silence between them, and after the last.
pub struct FilesBench {
    files: std::collections::VecDeque<PathBuf>,
    bench: Arc<Bench>,
    turn: u64,
    now: Option<WavSupply>,
    opened: Option<Opened>,
    pacer: Option<Pacer>,
}

impl FilesBench {
    /// These recordings, in order.
    pub fn new(files: Vec<PathBuf>, bench: Arc<Bench>) -> Self {
        Self { files: files.into(), bench, turn: 0, now: None, opened: None, pacer: None }
    }

    fn next(&mut self, now: Instant) -> Opening {
        let Some(file) = self.files.pop_front() else {
            return Opening::Failed(Fault::CannotOpen("there is no further recording".into()));
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

impl Supply for FilesBench {
    fn open(&mut self, now: Instant) -> Opening {
        // The first file tells the format; it begins to sound at the first site.
        let Some(first) = self.files.front() else {
            return Opening::Failed(Fault::CannotOpen("no recording was named".into()));
        };
        let opening = WavSupply::new(first, Pace::RealTime).open(now);
        if let Opening::Ready(opened) = opening {
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
            if let (Opening::Ready(next), Some(first)) = (self.next(now), self.opened)
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
