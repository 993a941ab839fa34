//! The browser's output: what waits is set end to end on its clock, ahead of the ear, in pieces of a step.
//!
//! No worklet and no callback: a page from a school's plain web server, or from a stick, is given neither by every
//! browser, and pieces set ahead need none. How far ahead follows the page's own thread ([`SetAhead`]).

use std::collections::VecDeque;

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{AudioBufferSourceNode, AudioContext, AudioContextOptions, AudioContextState};

use super::language;
use crate::live::{PiecePlace, SetAhead, TakenSound};
use crate::units::{Instant, SampleRate};
use crate::words::id;

/// The measured delay follows by this share each time: pieces come unevenly.
const FOLLOWS: f64 = 0.1;
/// A piece that joins no other rises to its own level in this time, seconds.
const RISE_S: f64 = 0.05;
/// The samples a second that practice has.
const RATE_HZ: f32 = 16_000.0;

/// See the file's purpose.
#[derive(Default)]
pub struct PageOutput {
    context: Option<AudioContext>,
    ahead: SetAhead,
    delay_s: Option<f64>,
    /// What is set, with where each piece ends.
    set: VecDeque<(AudioBufferSourceNode, f64)>,
}

impl PageOutput {
    /// Opens the output, which a browser allows after a touch or key; gives its name and the delay from making to
    /// hearing, seconds.
    pub fn open(&mut self) -> (String, f64) {
        if self.context.is_none() {
            let options = AudioContextOptions::new();
            options.set_sample_rate(RATE_HZ);
            self.context = AudioContext::new_with_context_options(&options).ok();
        }
        let named = |id: &'static str| language::of_browser().plain(id).to_owned();
        let Some(context) = &self.context else { return (named(id!("practice-no-output")), 0.0) };
        let own = |name: &str| Reflect::get(context, &JsValue::from_str(name)).ok()?.as_f64();
        let latency = own("outputLatency").or(own("baseLatency")).unwrap_or(0.0);
        let planned_s = self.ahead.planned_s() + latency.clamp(0.0, 0.5);
        (named(id!("practice-output")), planned_s)
    }

    /// From making to hearing as it was measured until now, seconds.
    pub fn delay_s(&self) -> Option<f64> {
        self.delay_s
    }

    /// How often the sound had a gap, since a piece came late.
    pub fn gaps(&self) -> u32 {
        self.ahead.gaps()
    }

    /// How much of the sound was left out, since it had waited too long, seconds.
    pub fn left_out_s(&self) -> f64 {
        self.ahead.left_out_s()
    }

    /// The page's thread came back after this long, seconds.
    pub fn waited(&mut self, seconds: f64) {
        self.ahead.waited(seconds);
    }

    /// Sets what waited to be played, the newest of it made at this instant.
    pub fn play(&mut self, taken: &TakenSound, made: Instant) {
        let Some(context) = self.context.clone() else { return };
        if taken.cut {
            self.cut();
        }
        if context.state() != AudioContextState::Running {
            // Nothing waits for it: what was set meanwhile would be heard later and later.
            let _ = context.resume();
            return self.cut();
        }
        if taken.samples.is_empty() {
            return;
        }
        let now_s = context.current_time();
        let long_s = taken.samples.len() as f64 / f64::from(taken.rate.hz());
        let place = self.ahead.place(now_s, long_s, taken.stream);
        // What begins anew has a delay of its own; what is left out brings the rest to the ear sooner by as much.
        self.delay_s = self.delay_s.filter(|_| !place.anew).map(|delay_s| delay_s - place.out_s);
        self.set.retain(|(_, end_s)| *end_s > now_s);
        let samples = placed(taken, &place);
        if let Some(end_s) = self.ahead.end_s().filter(|_| !samples.is_empty())
            && let Ok(source) = set(&context, (&samples, taken.rate), place.at_s)
        {
            self.set.push_back((source, end_s));
        }
        self.measure(&context, made);
    }

    /// Silence now: what is set and does not sound yet never will.
    fn cut(&mut self) {
        for (source, _) in self.set.drain(..) {
            let _ = source.disconnect();
        }
        self.ahead.cut();
    }

    /// Measures: what was made then is heard when the ear's clock comes to the end of what is set. Simulating and hearing it
    /// took a while, which counts.
    fn measure(&mut self, context: &AudioContext, made: Instant) {
        let Some(end_s) = self.ahead.end_s() else { return };
        let found_s = end_s - ear_s(context) + made.elapsed().as_secs_f64();
        let found_s = found_s.clamp(0.0, 1.5);
        let before_s = self.delay_s.unwrap_or(found_s);
        self.delay_s = Some(before_s + FOLLOWS * (found_s - before_s));
    }
}

/// What of a piece is set; begun softly where it joins nothing and its own soft beginning may be gone.
fn placed(taken: &TakenSound, place: &PiecePlace) -> Vec<f32> {
    let frames = |seconds: f64| (seconds * f64::from(taken.rate.hz())) as usize;
    let mut samples = taken.samples[frames(place.out_s).min(taken.samples.len())..].to_vec();
    if place.anew {
        let rise = frames(RISE_S).max(1);
        for (n, sample) in samples.iter_mut().take(rise).enumerate() {
            *sample *= n as f32 / rise as f32;
        }
    }
    samples
}

/// What of the context's time is at the ear now, seconds: by the output's own stamp, which knows the device's delay; without
/// one by the delay that the context states.
fn ear_s(context: &AudioContext) -> f64 {
    let now_s = context.current_time();
    let stamped = || {
        let name = JsValue::from_str("getOutputTimestamp");
        let stamp = Reflect::get(context, &name).ok()?.dyn_into::<Function>().ok()?;
        let stamp = stamp.call0(context).ok()?;
        let of = |name: &str| Reflect::get(&stamp, &JsValue::from_str(name)).ok()?.as_f64();
        let (at_s, at_ms) = (of("contextTime")?, of("performanceTime")?);
        let here_ms = web_sys::window()?.performance()?.now();
        let ear_s = at_s + (here_ms - at_ms) / 1000.0;
        // A stamp that was never set, or is old, tells nothing.
        (at_s > 0.0 && (now_s - 1.0..=now_s + 0.05).contains(&ear_s)).then_some(ear_s)
    };
    let latency = Reflect::get(context, &JsValue::from_str("outputLatency")).ok();
    let stated_s = latency.and_then(|s| s.as_f64()).unwrap_or(0.0).clamp(0.0, 0.5);
    stamped().unwrap_or(now_s - stated_s)
}

fn set(
    context: &AudioContext,
    (samples, rate): (&[f32], SampleRate),
    at_s: f64,
) -> Result<AudioBufferSourceNode, JsValue> {
    let buffer = context.create_buffer(1, samples.len() as u32, rate.hz() as f32)?;
    buffer.copy_to_channel(samples, 0)?;
    let source = context.create_buffer_source()?;
    source.set_buffer(Some(&buffer));
    source.connect_with_audio_node(&context.destination())?;
    source.start_with_when(at_s)?;
    Ok(source)
}
