//! What the worker tells, in words and as JSON: one line an event.

use jiff::Timestamp;
use serde_json::{Value, json};

use crate::clinical::event::{Act, Event as VisitEvent, Outcome};
use crate::live::{Epoch, LiveEvent, Told};
use crate::signal::{Cue, Finding, Pulse, Quality, Return};
use crate::units::{SampleIndex, SampleRate};

/// What a line calls itself, and its version.
pub(super) const FORMAT: &str = "cuffnote-listen-live";
pub(super) const VERSION: u32 = 1;

/// Puts name and version into a line.
fn named(mut line: Value) -> Value {
    line["format"] = json!(FORMAT);
    line["version"] = json!(VERSION);
    line
}

/// A moment to the millisecond, with this machine's offset.
fn moment(at: Timestamp) -> String {
    let offset = jiff::tz::TimeZone::system().to_offset(at);
    format!("{:.3}", at.display_with_offset(offset))
}

/// Follows the epochs, because positions become seconds by the epoch's rate.
#[derive(Debug, Default)]
pub(super) struct Teller {
    rates: Vec<(u32, SampleRate)>,
}

impl Teller {
    fn seconds(&self, epoch: u32, at: SampleIndex) -> f64 {
        let rate = self.rates.iter().rev().find(|(id, _)| *id == epoch);
        rate.map_or(0.0, |(_, rate)| at.seconds(*rate))
    }

    /// Notes a new epoch; to be called with every event before its words are asked for.
    pub(super) fn note(&mut self, told: &Told) {
        if let LiveEvent::Began(Epoch { id, rate, .. }) = told.event {
            self.rates.push((id, rate));
        }
    }

    /// One sentence or line; `None` for what only machines want.
    pub(super) fn words(&self, told: &Told) -> Option<String> {
        let at = |epoch, sample| format!("{:7.2} s", self.seconds(epoch, sample));
        Some(match &told.event {
            LiveEvent::Began(epoch) => {
                format!("listening: {} Hz, {} channel(s)", epoch.rate.hz(), epoch.channels)
            }
            LiveEvent::Heard { epoch, finding } => {
                let (sample, words) = heard(finding)?;
                format!("{}  {words}", at(*epoch, sample))
            }
            LiveEvent::Gap { epoch, start, frames, recording } => {
                let long = self.seconds(*epoch, SampleIndex(frames.0));
                let place = if *recording { "the recording" } else { "what is heard" };
                format!(
                    "{}  {long:.2} s of sound were lost; silence stands in {place}",
                    at(*epoch, *start)
                )
            }
            LiveEvent::Odd { odd, present: true, .. } => odd.sentence().to_owned(),
            LiveEvent::Odd { odd, .. } => format!("over: {}", odd.name()),
            LiveEvent::Recording { .. } => return None,
            LiveEvent::NotRecording { said, .. } => format!("NOT RECORDING: {said}"),
            LiveEvent::Through { to, planned_s } => {
                format!("passed through to {to}, planned delay {:.0} ms", planned_s * 1e3)
            }
            LiveEvent::NotThrough(said) => {
                format!("the sound is not passed through ({said}): unplug the cable to hear")
            }
            LiveEvent::Fault(fault) => fault.to_string(),
            LiveEvent::Ended { .. } => return None,
            LiveEvent::Over => "the sound has ended".to_owned(),
        })
    }

    /// One JSON object.
    pub(super) fn json(&self, told: &Told) -> Value {
        let mut value = self.fields(&told.event);
        value["at"] = json!(moment(told.at));
        named(value)
    }

    fn fields(&self, event: &LiveEvent) -> Value {
        let s = |epoch: &u32, at: SampleIndex| round(self.seconds(*epoch, at));
        match event {
            LiveEvent::Began(e) => json!({
                "kind": "began", "epoch": e.id, "rate_hz": e.rate.hz(),
                "channels": e.channels, "began": moment(e.began),
            }),
            LiveEvent::Heard { epoch, finding } => self.finding(*epoch, finding),
            LiveEvent::Gap { epoch, start, frames, recording } => json!({
                "kind": "gap", "epoch": epoch, "start_s": s(epoch, *start),
                "start": start.0, "frames": frames.0, "recording": recording,
            }),
            LiveEvent::Odd { epoch, odd, present, at } => json!({
                "kind": "odd", "epoch": epoch, "odd": odd.name(), "present": present,
                "at_s": s(epoch, *at), "says": odd.sentence(),
            }),
            LiveEvent::Recording { epoch, file, start } => json!({
                "kind": "recording", "epoch": epoch, "file": file, "start": start.0,
            }),
            LiveEvent::NotRecording { epoch, said } => {
                json!({"kind": "not-recording", "epoch": epoch, "says": said})
            }
            LiveEvent::Through { to, planned_s } => {
                json!({"kind": "through", "to": to, "planned_s": planned_s})
            }
            LiveEvent::NotThrough(said) => json!({"kind": "not-through", "says": said}),
            LiveEvent::Fault(fault) => json!({"kind": "fault", "says": fault.to_string()}),
            LiveEvent::Ended { epoch, frames, drift_ppm } => json!({
                "kind": "ended", "epoch": epoch, "frames": frames.0,
                "drift_ppm": drift_ppm.map(|d| (d * 10.0).round() / 10.0),
            }),
            LiveEvent::Over => json!({"kind": "over"}),
        }
    }

    fn finding(&self, epoch: u32, finding: &Finding) -> Value {
        let s = |at: SampleIndex| round(self.seconds(epoch, at));
        match finding {
            Finding::Pulse(Pulse { onset, end, strength_db }) => json!({
                "kind": "pulse", "epoch": epoch, "onset_s": s(*onset), "end_s": s(*end),
                "strength_db": (f64::from(*strength_db) * 10.0).round() / 10.0,
            }),
            Finding::Lost { at } => json!({"kind": "lost", "epoch": epoch, "lost_s": s(*at)}),
            Finding::Cue(Cue { at, onset, confidence }) => json!({
                "kind": "cue", "epoch": epoch, "cue_s": s(*at), "onset_s": s(*onset),
                "confidence": share(*confidence),
            }),
            Finding::Return(Return { lost, onset, cue, confidence, evidence }) => json!({
                "kind": "return", "epoch": epoch, "lost_s": lost.map(s), "return_s": s(*onset),
                "cue_s": cue.map(|cue| s(cue.at)),
                "confidence": share(*confidence), "share": share(evidence.share()),
            }),
            Finding::Quality(Quality { trouble, present, at }) => json!({
                "kind": "quality", "epoch": epoch, "trouble": trouble.name(),
                "present": present, "at_s": s(*at),
            }),
        }
    }
}

fn round(seconds: f64) -> f64 {
    (seconds * 10_000.0).round() / 10_000.0
}

fn share(confidence: f32) -> f64 {
    (f64::from(confidence) * 1e3).round() / 1e3
}

/// A finding's place and words; beats are painted, not told.
fn heard(finding: &Finding) -> Option<(SampleIndex, String)> {
    Some(match finding {
        Finding::Pulse(_) => return None,
        Finding::Lost { at } => (*at, "the pulse is no longer heard".into()),
        Finding::Cue(cue) => (cue.onset, "the pulse seems to be back".into()),
        Finding::Return(found) => (
            found.onset,
            format!(
                "the pulse came back here, heard again with what followed (confidence {:.0} %)",
                found.confidence * 100.0
            ),
        ),
        Finding::Quality(quality) => {
            let state = if quality.present { "hard to hear" } else { "no longer" };
            (quality.at, format!("{state}: {}", quality.trouble.name()))
        }
    })
}

/// An act of the clinician in words.
pub(super) fn act_words(event: &VisitEvent) -> String {
    match &event.act {
        Act::Mark { at, .. } => format!("{:7.2} s  marked by the clinician", at.seconds()),
        Act::Outcome { outcome: Outcome::Reading { cuff_mmhg, .. }, .. } => {
            format!("           read by the clinician: {cuff_mmhg} mmHg")
        }
        Act::Inflated { cuff_mmhg, at, .. } => {
            format!("{:7.2} s  inflated to {cuff_mmhg} mmHg", at.seconds())
        }
        Act::MarkTakenBack { .. } => "           the last mark was undone".into(),
        Act::Undone { .. } => "           the last act was undone".into(),
        _ => String::new(),
    }
}

/// An act as JSON: the visit event, as a file of events holds it.
pub(super) fn act_json(event: &VisitEvent) -> Value {
    named(json!({"kind": "act", "event": event}))
}

/// The last line: what was heard in all.
pub(super) fn summary(frames_s: f64, epochs: usize, lost: u64, at: Timestamp) -> Value {
    named(json!({
        "kind": "summary", "sound_s": round(frames_s), "epochs": epochs,
        "lost_frames": lost, "at": moment(at),
    }))
}
