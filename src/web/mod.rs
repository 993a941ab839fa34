//! Practice in a browser: one page, nothing to install, no request to anywhere.
//!
//! A shell for `wasm32-unknown-unknown`. [`page`] is the program around the practice of [`crate::window`], stepped in the
//! time of the browser's frames; [`steps`] steps it, frame or no frame; [`output`] plays what waits; [`presses`] knows when
//! a tap was made; [`given`] takes files; [`place`] keeps the class file in the browser's own store and gives files out;
//! [`mirror`] sets what the screen says as plain elements, for screen readers.

mod given;
mod language;
mod last;
mod mirror;
mod output;
mod page;
mod place;
mod presses;
mod steps;

pub use last::{delay_s, gaps, last_drill, left_out_s, worked_s};

use wasm_bindgen::JsCast;

use crate::sim::{Bedside, Case};
use crate::units::{Instant, SampleRate};
use crate::window::paint::theme;
use crate::words::say;

/// The canvas of the page.
const CANVAS: &str = "practice";

/// Starts the page on its canvas.
pub fn start() {
    let document = web_sys::window().and_then(|window| window.document());
    let canvas = document.and_then(|document| document.get_element_by_id(CANVAS));
    let Some(canvas) = canvas.and_then(|e| e.dyn_into::<web_sys::HtmlCanvasElement>().ok()) else {
        return;
    };
    let options = eframe::WebOptions { dithering: false, ..eframe::WebOptions::default() };
    wasm_bindgen_futures::spawn_local(async move {
        let made: eframe::AppCreator<'static> = Box::new(|context| {
            theme::install_fonts(&context.egui_ctx);
            Ok(Box::new(page::Page::new()))
        });
        let started = eframe::WebRunner::new().start(canvas, options, made).await;
        let said = match started {
            Ok(()) => String::new(),
            Err(fault) => {
                say!(language::of_browser(), "practice-no-page", said = format!("{fault:?}"))
            }
        };
        mirror::say_start(&said);
    });
}

/// How many seconds of sound are simulated and heard in one second, over so many seconds of a plain case.
pub fn speed(seconds: f64) -> f64 {
    let mut bedside = Bedside::new(&Case::default(), 1, crate::sim::ROOM_S);
    let Some(rate) = SampleRate::new(bedside.rate_hz()) else { return 0.0 };
    let mut listener = crate::signal::Listener::new(rate, 1);
    let began = Instant::now();
    while bedside.now_s() < seconds {
        listener.push(bedside.step(0.0));
        while listener.poll().is_some() {}
        while listener.poll_column().is_some() {}
    }
    seconds / began.elapsed().as_secs_f64().max(1e-6)
}
