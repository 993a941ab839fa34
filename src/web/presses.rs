//! When keys and pointers went down, by the browser's own stamps: a frame comes later, and painting may hold it up, but a tap
//! counts when it was made.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::time::Duration;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Event, KeyboardEvent};

use crate::window::Now;
use crate::window::model::action::{PractiseAct, Work};
use crate::window::model::answers::Who;

/// A pointer, among the letters of keys.
const POINTER: &str = "pointer";
/// A press is not taken for one that came longer ago, seconds.
const LONG_AGO_S: f64 = 2.0;

/// The stamps of the latest presses by the letter of their key, milliseconds of the page's clock.
#[derive(Clone, Default)]
pub struct Presses(Rc<RefCell<BTreeMap<String, f64>>>);

impl Presses {
    /// Watches the page from now on, before anything else sees a press.
    pub fn watched() -> Self {
        let presses = Self::default();
        for name in ["keydown", "pointerdown"] {
            let stamps = presses.0.clone();
            let keep = Closure::<dyn FnMut(Event)>::new(move |event: Event| {
                let key = event.dyn_ref::<KeyboardEvent>();
                if key.is_some_and(KeyboardEvent::repeat) {
                    return;
                }
                let of = key.map_or(POINTER.into(), |key| key.key().to_lowercase());
                stamps.borrow_mut().insert(of, event.time_stamp());
            });
            if let Some(window) = web_sys::window() {
                let heard = keep.as_ref().unchecked_ref();
                let _ = window.add_event_listener_with_callback_and_bool(name, heard, true);
            }
            // The page's own life long.
            keep.forget();
        }
        presses
    }

    /// When this was done by a key: a tap when the key went down, all else now.
    pub fn by_key(&self, act: &PractiseAct) -> Now {
        match act {
            PractiseAct::Work(Work::Tap(Who::Student)) => self.moment(" "),
            PractiseAct::Work(Work::Tap(Who::Teacher)) => self.moment("t"),
            _ => Now::here(),
        }
    }

    /// When this was done by a pointer.
    pub fn by_pointer(&self, act: &PractiseAct) -> Now {
        match act {
            PractiseAct::Work(Work::Tap(_)) => self.moment(POINTER),
            _ => Now::here(),
        }
    }

    /// The latest press of this, once; now where there was none of late.
    fn moment(&self, of: &str) -> Now {
        let now = Now::here();
        let stamp_ms = self.0.borrow_mut().remove(of);
        let here_ms = web_sys::window().and_then(|window| Some(window.performance()?.now()));
        let late_s = stamp_ms.zip(here_ms).map(|(stamp_ms, here_ms)| (here_ms - stamp_ms) / 1000.0);
        let late_s = late_s.filter(|late_s| (0.0..LONG_AGO_S).contains(late_s)).unwrap_or(0.0);
        Now { at: now.at.checked_sub(Duration::from_secs_f64(late_s)).unwrap_or(now.at), ..now }
    }
}
