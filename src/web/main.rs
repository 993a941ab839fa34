//! The page for browsers: starts practice, and gives tests what they compare with the program (`tests/web`).

use wasm_bindgen::prelude::wasm_bindgen;

fn main() {
    cuffnote::web::start();
}

/// SHA-256 of the sound of a drill of this kind and seed, the cuff worked by the case's own hand.
#[wasm_bindgen]
pub fn sound_sum(kind: &str, seed: u32) -> String {
    cuffnote::practice::proof::sound_sum(kind, seed.into())
}

/// The score of a tap this long after the truth, as text.
#[wasm_bindgen]
pub fn scored(kind: &str, seed: u32, late_ms: f64) -> String {
    cuffnote::practice::proof::scored(kind, seed.into(), late_ms)
}

/// What was played in the drill that was last over, and how it was scored, as text.
#[wasm_bindgen]
pub fn last_drill() -> String {
    cuffnote::web::last_drill()
}

/// How many seconds of sound are simulated and heard in one second, over so many seconds.
#[wasm_bindgen]
pub fn speed(seconds: f64) -> f64 {
    cuffnote::web::speed(seconds)
}

/// Seconds for which the page has simulated, listened and laid out until now.
#[wasm_bindgen]
pub fn worked_s() -> f64 {
    cuffnote::web::worked_s()
}

/// The delay from making to hearing as the page measured it, seconds; no number before a sound.
#[wasm_bindgen]
pub fn delay_s() -> f64 {
    cuffnote::web::delay_s()
}

/// How often the sound has had a gap since the page began.
#[wasm_bindgen]
pub fn gaps() -> u32 {
    cuffnote::web::gaps()
}

/// How much of the sound was left out since the page began, as it had waited too long, seconds.
#[wasm_bindgen]
pub fn left_out_s() -> f64 {
    cuffnote::web::left_out_s()
}
