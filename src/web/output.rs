//! The browser's output: what waits is set end to end on its clock, a little ahead, in pieces of a frame.
//!
//! No worklet and no callback: a page from a school's plain web server, or from a stick, is given neither by every
//! browser, and pieces set ahead need none.

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{AudioContext, AudioContextOptions, AudioContextState};

use super::language;
use crate::live::TakenSound;
use crate::words::id;

/// From making a sample to its sounding, seconds: more than two frames.
pub const AHEAD_S: f64 = 0.12;
/// More than this ahead is too much delay: what comes is left out until it is less.
const MOST_AHEAD_S: f64 = 0.4;
/// The measured delay follows by this share each time: pieces come unevenly.
const FOLLOWS: f64 = 0.1;
/// The samples a second that practice has.
const RATE_HZ: f32 = 16_000.0;

/// See the file's purpose.
#[derive(Default)]
pub struct PageOutput {
    context: Option<AudioContext>,
    stream: u64,
    next_s: f64,
    delay_s: Option<f64>,
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
        let planned_s = self.delay_s.unwrap_or(AHEAD_S + latency.clamp(0.0, 0.5));
        (named(id!("practice-output")), planned_s)
    }

    /// From making to hearing as it was measured until now, seconds.
    pub fn delay_s(&self) -> Option<f64> {
        self.delay_s
    }

    /// Measures: what was made just now is heard when the ear's clock comes to the end of what is set.
    fn measure(&mut self) {
        let Some(context) = &self.context else { return };
        let found_s = (self.next_s - ear_s(context)).clamp(0.0, 1.0);
        let before_s = self.delay_s.unwrap_or(found_s);
        self.delay_s = Some(before_s + FOLLOWS * (found_s - before_s));
    }

    /// Sets what waited to be played.
    pub fn play(&mut self, taken: &TakenSound) {
        let Some(context) = &self.context else { return };
        if context.state() != AudioContextState::Running {
            // Nothing waits for it: what was set meanwhile would be heard later and later.
            let _ = context.resume();
            self.next_s = 0.0;
            return;
        }
        if taken.samples.is_empty() {
            return;
        }
        let now_s = context.current_time();
        let long_s = taken.samples.len() as f64 / f64::from(taken.rate.hz());
        let fresh = taken.stream != self.stream;
        self.stream = taken.stream;
        if fresh || self.next_s < now_s {
            // The newest sample sounds the planned time after it was made.
            self.next_s = now_s + (AHEAD_S - long_s).max(0.0);
        }
        if self.next_s - now_s > MOST_AHEAD_S {
            return;
        }
        if set(context, taken, self.next_s).is_ok() {
            self.next_s += long_s;
        }
        self.measure();
    }
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

fn set(context: &AudioContext, taken: &TakenSound, at_s: f64) -> Result<(), JsValue> {
    let frames = taken.samples.len() as u32;
    let buffer = context.create_buffer(1, frames, taken.rate.hz() as f32)?;
    buffer.copy_to_channel(&taken.samples, 0)?;
    let source = context.create_buffer_source()?;
    source.set_buffer(Some(&buffer));
    source.connect_with_audio_node(&context.destination())?;
    source.start_with_when(at_s)
}
