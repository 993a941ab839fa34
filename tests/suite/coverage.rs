//! Whole visits by scripted hands on simulated arteries: how often the 95 % interval holds the index of the patient's own
//! mean pressures. No sound is made: beats and cuff are the simulator's, the hands and the gauge are drawn here.

use std::collections::BTreeMap;

use cuffnote::clinical::event::{Gauge, Made};
use cuffnote::clinical::site::{Side, Site};
use cuffnote::clinical::sound::Sound;
use cuffnote::conduct::{At, AtSite, Command, Conduct, OfVisit, Preparing, Rules};
use cuffnote::sim::{Case, Patient, Rhythm};
use cuffnote::units::Mmhg;

use super::conduct::{at, mmhg, opened};

/// Draws that replay by seed (SplitMix64).
struct Draw(u64);

impl Draw {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[(self.share() * all.len() as f64) as usize]
    }
}

/// One visit's hands, gauge and heart.
struct Hands {
    graduation: f64,
    zero: f64,
    gain: f64,
    fall_mmhg_s: f64,
    /// From the sound to the glance at the gauge, seconds: the middle and half the spread.
    lag_s: (f64, f64),
    taps: bool,
    marks: bool,
    irregular: bool,
    bpm: f64,
}

impl Hands {
    fn drawn(draw: &mut Draw) -> Self {
        let taps = draw.share() < 0.7;
        Self {
            graduation: draw.one_of(&[1.0, 2.0, 2.0, 5.0]),
            // A gauge within the limit of 3 mmHg at zero, and 1 % of gain.
            zero: draw.between(-2.0, 2.0),
            gain: draw.between(-0.01, 0.01),
            fall_mmhg_s: draw.between(2.0, 6.0),
            lag_s: if taps { (draw.between(0.2, 0.4), 0.1) } else { (draw.between(0.3, 0.8), 0.2) },
            taps,
            marks: draw.share() < 0.5,
            irregular: draw.share() < 0.25,
            bpm: draw.between(48.0, 100.0),
        }
    }
}

/// A gauge's face: its errors, then the nearest line.
fn shown(hands: &Hands, cuff_mmhg: f64) -> i32 {
    let needle = (cuff_mmhg - hands.zero) / (1.0 + hands.gain);
    ((needle / hands.graduation).round() * hands.graduation) as i32
}

/// A site's heart and artery, its beats and the mean of their tops.
fn beats(hands: &Hands, systolic_mmhg: f64, seed: u64) -> (Vec<(f64, f64)>, f64) {
    let rhythm = if hands.irregular { Rhythm::Fibrillation } else { Rhythm::Regular };
    let case = Case {
        rhythm,
        heart_rate_bpm: hands.bpm,
        systolic_mmhg,
        diastolic_mmhg: systolic_mmhg * 0.6,
        ..Case::default()
    };
    let mut patient = Patient::new(&case, seed);
    let mut beats: Vec<(f64, f64)> = Vec::new();
    for step in 0..24_000 {
        let (_, pulse) = patient.at(f64::from(step) / 200.0);
        if beats.last().is_none_or(|last| last.0 < pulse.onset_s) {
            beats.push((pulse.onset_s, pulse.systolic_mmhg));
        }
    }
    let mean = beats.iter().map(|beat| beat.1).sum::<f64>() / beats.len() as f64;
    (beats, mean)
}

struct Visit {
    conduct: Conduct,
    s: f64,
}

impl Visit {
    fn begin(graduation: f64) -> Self {
        let mut opening = opened();
        opening.gauge = Gauge { code: "G-2".into(), graduation_mmhg: mmhg(graduation as i32) };
        let rules = Rules { ceiling: mmhg(280), rest_min: 0, sites_known: true };
        let conduct = Conduct::open(opening, rules, at(0.0)).unwrap();
        let mut visit = Self { conduct, s: 0.0 };
        visit.act(Command::Prepare(Preparing::NoneApplies));
        visit.act(Command::Prepare(Preparing::EndRest));
        visit
    }

    fn now(&self) -> At {
        at(self.s)
    }

    fn act(&mut self, command: Command) {
        self.conduct.act(command, self.now()).unwrap();
        while let Some(output) = self.conduct.poll() {
            if let cuffnote::conduct::Output::Keep(event) = output {
                self.conduct.committed(event.n);
            }
        }
    }

    fn site(&mut self, deed: AtSite) {
        self.act(Command::Site(deed));
    }

    /// Keeps what was typed, confirming what is asked.
    fn keep(&mut self, value: i32) {
        value.to_string().chars().for_each(|digit| self.site(AtSite::Digit(digit)));
        for _ in 0..3 {
            if self.conduct.current().is_some_and(|c| c.ended.is_none()) {
                self.site(AtSite::Enter);
            }
        }
    }

    /// One inflation and its reading.
    fn measure(&mut self, hands: &Hands, beats: &[(f64, f64)], mean: f64, draw: &mut Draw) {
        let start_s = self.s;
        for beat in 0..5 {
            let at_s = start_s + f64::from(beat) * 60.0 / hands.bpm;
            self.conduct.hear(Sound::Pulse { at_s, strength_db: 12.0 });
        }
        self.conduct.hear(Sound::Rate { bpm: hands.bpm, regular: Some(!hands.irregular) });
        let top = mean + 30.0;
        self.s = start_s + 6.0;
        self.conduct.hear(Sound::Lost { at_s: self.s });
        let cuff = |s: f64| top - hands.fall_mmhg_s * s;
        if hands.marks {
            let reached = shown(hands, top);
            reached.to_string().chars().for_each(|d| self.site(AtSite::Digit(d)));
            self.site(AtSite::InflatedTo);
        }
        // The first beat that opens the artery, or the second where the first is too faint.
        let missed = usize::from(draw.share() < 0.1);
        let phase = draw.between(0.0, 40.0);
        let back = beats
            .iter()
            .filter(|(onset, _)| *onset >= phase)
            .map(|(onset, top)| (onset - phase, *top))
            .filter(|(s, top)| *top > cuff(*s))
            .nth(missed);
        let Some((back, _)) = back else { return };
        let lag = hands.lag_s.0 + draw.between(-hands.lag_s.1, hands.lag_s.1);
        let down_s = self.s;
        if hands.marks {
            let half = back / 2.0;
            self.s = down_s + half;
            let needle = Mmhg::whole(shown(hands, cuff(half))).unwrap();
            self.site(AtSite::Needle(needle));
        }
        self.s = down_s + back;
        self.conduct.hear(Sound::Return { at_s: self.s, confidence: 0.97 });
        self.conduct.hear(Sound::Pulse { at_s: self.s, strength_db: 8.0 });
        self.s = down_s + back + lag;
        if hands.taps {
            self.site(AtSite::Tap(Made::Key));
        } else {
            self.site(AtSite::SetStage(cuffnote::clinical::event::Stage::Read));
        }
        let value = shown(hands, cuff(back + lag));
        self.s += 2.0;
        self.keep(value);
        self.s += 20.0;
    }
}

/// How many of how many, and the mean width.
#[derive(Default)]
struct Held {
    held: u32,
    of: u32,
    width: f64,
}

fn visits() -> u64 {
    std::env::var("CUFFNOTE_COVERAGE").map_or(2_000, |n| n.parse().unwrap())
}

/// 2,000 visits: the interval holds the index of the patient's own pressures in 94 to 99 of 100 legs.
#[test]
fn the_interval_holds_the_index_of_the_patients_own_pressures() {
    let mut kinds: BTreeMap<String, Held> = BTreeMap::new();
    for seed in 0..visits() {
        let mut draw = Draw(seed.wrapping_mul(7919) ^ 0xC0FF_EE00);
        let hands = Hands::drawn(&mut draw);
        let mut visit = Visit::begin(hands.graduation);
        let arm = draw.between(105.0, 175.0);
        let mut truth: BTreeMap<Site, f64> = BTreeMap::new();
        for number in 0..40u64 {
            let Some(site) = visit.conduct.current().map(|c| c.site) else { break };
            let systolic = *truth.entry(site).or_insert_with(|| match site.is_arm() {
                true => arm + draw.between(-6.0, 6.0),
                false => arm * draw.between(0.45, 1.25),
            });
            let (beats, mean) = beats(&hands, systolic, seed * 64 + number);
            truth.insert(site, mean);
            visit.measure(&hands, &beats, mean, &mut draw);
            visit.site(AtSite::Next);
        }
        visit.act(Command::Visit(OfVisit::Close));
        let result = visit.conduct.result(&[]);
        for side in Side::BOTH {
            let leg = result.leg(side);
            let (Some((low, high)), Some(_)) = (leg.low.zip(leg.high), leg.index) else { continue };
            let of = |arm: bool| {
                let sites =
                    truth.iter().filter(|(s, _)| s.is_arm() == arm && (arm || s.side == side));
                sites.map(|(_, mean)| *mean).fold(0.0, f64::max)
            };
            let index = of(false) / of(true);
            let (low, high) = (low.as_f64(), high.as_f64());
            for kind in [
                "all".to_owned(),
                format!("graduation {}", hands.graduation),
                format!("fall {:.0}", (hands.fall_mmhg_s / 2.0).floor() * 2.0),
                (if hands.irregular { "irregular" } else { "regular" }).to_owned(),
                (if hands.taps { "tap" } else { "no tap" }).to_owned(),
                (if hands.marks { "needle marks" } else { "no marks" }).to_owned(),
            ] {
                let held = kinds.entry(kind).or_default();
                held.of += 1;
                held.held += u32::from((low..=high).contains(&index));
                held.width += high - low;
            }
        }
    }
    for (kind, Held { held, of, width }) in &kinds {
        let (share, width) = (f64::from(*held) / f64::from(*of), width / f64::from(*of));
        println!("{kind}: {held} of {of}, {:.1} %, mean width {width:.3}", share * 100.0);
    }
    let all = &kinds["all"];
    let share = f64::from(all.held) / f64::from(all.of);
    assert!(all.of > visits() as u32, "{} legs: too few", all.of);
    assert!((0.94..=0.99).contains(&share), "{share}");
}
