//! The codes that are sent, each seen in a public source (docs/exchange.md); where none was seen, words.
//!
//! A code that is not here is not sent: a wrong code says something else about a patient.

use serde_json::{Value, json};

use crate::clinical::method::Method;
use crate::clinical::site::{Artery, Side, Site};

const LOINC: &str = "http://loinc.org";
const SNOMED: &str = "http://snomed.info/sct";

/// Ankle-brachial index, no side (LOINC); fits the higher of two ankle arteries.
pub const INDEX: &str = "77194-9";
/// Posterior tibial over brachial, left and right (LOINC): true only where that artery is the numerator.
pub const TIBIAL: [&str; 2] = ["8579-5", "8580-3"];
/// Toe over brachial, left and right (LOINC).
pub const TOE: [&str; 2] = ["77617-9", "77618-7"];
/// Systolic blood pressure, the site by `bodySite` (LOINC).
pub const SYSTOLIC: &str = "8480-6";
/// Every LOINC code that may leave this program.
pub const LOINC_SENT: [&str; 6] = [INDEX, TIBIAL[0], TIBIAL[1], TOE[0], TOE[1], SYSTOLIC];
/// Every SNOMED CT code that may leave this program.
pub const SNOMED_SENT: [&str; 11] = [
    "446841001",
    "723961002",
    "723962009",
    "214912001",
    "214811007",
    "792817008",
    "792816004",
    "8821006",
    "765172009",
    "309641003",
    "33586001",
];

fn coded(system: &str, code: &str, text: &str) -> Value {
    json!({"coding": [{"system": system, "code": code}], "text": text})
}

/// Words alone.
pub fn words(text: &str) -> Value {
    json!({ "text": super::resource::clean(text).unwrap_or_else(|| "not said".into()) })
}

/// A pressure at a site.
pub fn pressure(site: Site) -> Value {
    match site.artery {
        // No code was seen for a toe's systolic pressure.
        Artery::GreatToe => words("Systolic pressure of the great toe"),
        _ => {
            coded(LOINC, SYSTOLIC, "Systolic blood pressure, by Doppler at the return of the pulse")
        }
    }
}

/// The side and the artery.
pub fn body_site(site: Site) -> Value {
    let text = site.to_string();
    let by_side = |left: &str, right: &str| {
        coded(SNOMED, if site.side == Side::Left { left } else { right }, &text)
    };
    match site.artery {
        Artery::Brachial => by_side("723961002", "723962009"),
        Artery::PosteriorTibial => by_side("214912001", "214811007"),
        Artery::DorsalisPedis => by_side("792817008", "792816004"),
        // The code has no side: the side is in the words.
        Artery::Peroneal => coded(SNOMED, "8821006", &text),
        Artery::GreatToe => words(&text),
    }
}

/// A leg, in words: no lateralised code for the leg as a whole was seen.
pub fn leg(side: Side) -> Value {
    words(&format!("{} leg", side.words()))
}

/// The index of a leg.
pub fn index(method: Method, side: Side) -> Value {
    let text = format!("Ankle-brachial index, {} leg: {}", side.words(), method.words());
    let loinc = match method {
        Method::Higher => Some(INDEX),
        Method::PtOnly => Some(TIBIAL[usize::from(side == Side::Right)]),
        Method::Lower | Method::Mean | Method::SameSideArm => None,
    };
    let mut coding: Vec<Value> = vec![json!({"system": SNOMED, "code": "446841001"})];
    coding.extend(loinc.map(|code| json!({"system": LOINC, "code": code})));
    json!({"coding": coding, "text": text})
}

/// The toe-brachial index of a leg.
pub fn toe_index(side: Side) -> Value {
    let text = format!("Toe-brachial index, {} leg", side.words());
    coded(LOINC, TOE[usize::from(side == Side::Right)], &text)
}

/// The way of measuring.
pub fn method() -> Value {
    coded(
        SNOMED,
        "765172009",
        "Continuous-wave Doppler ultrasound, cuff let down to the first returning pulse",
    )
}

/// A gauge.
pub fn gauge() -> Value {
    coded(SNOMED, "309641003", "Aneroid sphygmomanometer")
}

/// Why a value is absent: a code of the FHIR value set and our words.
pub fn absent(code: &str, text: &str) -> Value {
    coded("http://terminology.hl7.org/CodeSystem/data-absent-reason", code, text)
}

/// The category of an examination result.
pub fn category() -> Value {
    coded("http://terminology.hl7.org/CodeSystem/observation-category", "exam", "Exam")
}
