//! The scripted clinician of the demonstration: taps a human lag after what the listener heard, reads the
//! gauge in even numbers, and says so where there is nothing to read. Never knows the truth.

use crate::clinical::event::{Act, Heard, Made, Outcome, Phase, SoundTime, Source, Stage};
use crate::clinical::site::Site;
use crate::live::recording::HeardRecording;
use crate::units::{Mmhg, SampleIndex, SampleRate};

use super::recordings::Gauge;

/// From the first pulse to the tap, seconds: reaction to sound (0.19 s) with the hand on its way (own choice).
const LAG_S: f64 = 0.4;
/// From the tap to a second look at the needle, seconds: the two looks give the deflation.
const SECOND_LOOK_S: f64 = 4.0;
/// Beats that make a signal; fewer are noise.
const BEATS: usize = 3;

/// What one attempt amounts to, as the acts of a visit.
pub(super) fn attempt(
    number: u32,
    site: Site,
    heard: &HeardRecording,
    gauge: Option<&Gauge>,
) -> Vec<Act> {
    let stage = |stage| Act::Stage { attempt: number, stage };
    let mut acts = vec![chosen(number, site), stage(Stage::Find)];
    if heard.pulses.len() >= BEATS || heard.return_s.is_some() {
        acts.extend([stage(Stage::Inflate), stage(Stage::Release)]);
    }
    acts.push(Act::Finding { attempt: number, heard: finding(number, heard) });
    let outcome = match heard.return_s {
        Some(back) => {
            let tap_s = (back + LAG_S).min(heard.duration_s);
            let at = |s| sound_time(number, s, heard.rate_hz);
            acts.push(Act::Mark { attempt: number, at: at(tap_s), made: Made::Script });
            acts.push(stage(Stage::Read));
            let needle = |s: f64| Some((gauge?.read(s)?, at(s)));
            let looks = [needle(tap_s), needle(tap_s + SECOND_LOOK_S)];
            for (mmhg, at) in looks.into_iter().flatten() {
                let cuff = Mmhg::whole(mmhg).ok();
                acts.extend(cuff.map(|cuff_mmhg| Act::Needle { attempt: number, cuff_mmhg, at }));
            }
            reading(looks[0].map(|(mmhg, _)| mmhg))
        }
        None => without_return(heard),
    };
    acts.push(Act::Outcome { attempt: number, outcome });
    acts
}

/// An attempt whose recording could not be had.
pub(super) fn unheard(number: u32, site: Site) -> Vec<Act> {
    let reason = "its recording could not be read".to_owned();
    let outcome = Outcome::NotMeasured { reason };
    vec![chosen(number, site), Act::Outcome { attempt: number, outcome }]
}

fn chosen(number: u32, site: Site) -> Act {
    Act::SiteChosen { attempt: number, site, phase: Phase::Rest, gauge: None }
}

fn reading(mmhg: Option<i32>) -> Outcome {
    match mmhg.and_then(|mmhg| Mmhg::whole(mmhg).ok()).filter(|mmhg| mmhg.as_tenths() > 0) {
        Some(cuff_mmhg) => Outcome::Reading { cuff_mmhg, source: Source::EarAndGauge },
        None => not_measured("the gauge could not be read at the tap"),
    }
}

fn without_return(heard: &HeardRecording) -> Outcome {
    match heard.lost_s {
        _ if heard.pulses.len() < BEATS => Outcome::NoSignal,
        Some(_) => not_measured("the pulse did not come back before the recording ended"),
        None => not_measured("the pulse was never lost under the cuff"),
    }
}

fn not_measured(reason: &str) -> Outcome {
    Outcome::NotMeasured { reason: reason.into() }
}

fn sound_time(epoch: u32, seconds: f64, rate_hz: u32) -> SoundTime {
    let sample =
        SampleRate::new(rate_hz).map_or(SampleIndex(0), |rate| SampleIndex::at(seconds, rate));
    SoundTime { epoch, sample, rate_hz }
}

fn finding(number: u32, heard: &HeardRecording) -> Heard {
    Heard {
        epoch: number,
        lost_s: heard.lost_s,
        return_s: heard.return_s,
        cue_s: heard.cue_s,
        confidence: heard.confidence,
        heart_rate_bpm: heard.heart_rate_bpm,
        irregular: heard.rhythm.map(|rhythm| rhythm == "irregular"),
        rhythm: heard.rhythm.unwrap_or_default().into(),
        quality: heard.quality.iter().map(|q| (*q).to_owned()).collect(),
        listener: env!("CARGO_PKG_VERSION").into(),
    }
}
