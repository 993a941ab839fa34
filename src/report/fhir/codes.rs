//! The codes that are sent, each seen in a public source (docs/exchange.md); where none was seen, our own published
//! code system (docs/fhir), or words.
//!
//! A code of another's system that is not here is not sent: a wrong code says something else about a patient.

use serde_json::{Value, json};

use crate::clinical::event::Posture;
use crate::clinical::method::Method;
use crate::clinical::site::{Artery, Side, Site};

const LOINC: &str = "http://loinc.org";
pub(super) const SNOMED: &str = "http://snomed.info/sct";
/// The code system of docs/fhir. An OID from a UUID (ITU-T X.667) needs no registry and no address.
pub const OWN: &str = "urn:oid:2.25.98942220250634306669399400258056981222";
/// What a visit's resources are told by.
pub const RESULTS: &str = "urn:oid:2.25.292825999172014449940206570873913372533";
/// What gauges and programs are told by.
pub const DEVICES: &str = "urn:oid:2.25.262454566870087176020315136793870670376";
/// Our profiles: a pressure, an index, the examination, the report.
pub const PROFILES: [(&str, &str); 4] = [
    ("pressure", "urn:oid:2.25.202854015916613850750301482758639489533"),
    ("index", "urn:oid:2.25.70021100764122662610030851892108007262"),
    ("examination", "urn:oid:2.25.66257387296893144125240591254978782921"),
    ("report", "urn:oid:2.25.260720707508784663144529012135554283091"),
];

/// Ankle-brachial index, no side (LOINC); fits the higher of two ankle arteries.
pub const INDEX: &str = "77194-9";
/// Posterior tibial over brachial, left and right (LOINC): true only where that artery is the numerator.
pub const TIBIAL: [&str; 2] = ["8579-5", "8580-3"];
/// Toe over brachial, left and right (LOINC).
pub const TOE: [&str; 2] = ["77617-9", "77618-7"];
/// Systolic pressure of the brachial artery (LOINC). The general code 8480-6 is not sent: HL7 holds every Observation
/// that has it against its profile of a blood pressure, which an ankle's pressure is not.
pub const ARM: &str = "8508-4";
/// Every LOINC code that may leave this program.
pub const LOINC_SENT: [&str; 6] = [INDEX, TIBIAL[0], TIBIAL[1], TOE[0], TOE[1], ARM];
/// Every SNOMED CT code that may leave this program.
pub const SNOMED_SENT: [&str; 14] = [
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
    "40199007",
    "62175007",
    "32153003",
];

/// What our own codes mean; docs/fhir/CodeSystem.json is held against this by a test.
pub const OWN_CODES: [(&str, &str); 15] = [
    (
        "arm-systolic",
        "Systolic pressure of the brachial artery, by Doppler at the return of the pulse",
    ),
    (
        "ankle-systolic",
        "Systolic pressure of an ankle artery, by Doppler at the return of the pulse",
    ),
    ("toe-systolic", "Systolic pressure of the great toe"),
    ("examination", "Ankle-brachial index, both legs: the examination as a whole"),
    ("report", "Ankle-brachial index: report of a measurement"),
    ("recording", "Recording of the Doppler's sound in an attempt"),
    ("low", "Lower end of the 95 % interval of the measurement"),
    ("high", "Upper end of the 95 % interval of the measurement"),
    ("program", "Program that records an examination"),
    ("closed", "The visit was closed: its results are final"),
    ("amended", "An earlier act was replaced by another"),
    ("withdrawn", "An attempt was taken back: it does not count"),
    ("undone", "An earlier act was undone"),
    ("noted", "Words were added"),
    ("other", "Another act after the closing"),
];

fn coded(system: &str, code: &str, text: &str) -> Value {
    json!({"coding": [{"system": system, "code": code}], "text": text})
}

/// A concept of our own code system.
pub fn own(code: &str, text: &str) -> Value {
    coded(OWN, code, text)
}

/// A concept of our own code system in its own words.
pub fn own_plain(code: &str) -> Value {
    let words = OWN_CODES.iter().find(|(own, _)| *own == code).map_or(code, |(_, words)| words);
    own(code, words)
}

/// Words alone.
pub fn words(text: &str) -> Value {
    json!({ "text": super::words::clean(text).unwrap_or_else(|| "not said".into()) })
}

/// A pressure at a site.
pub fn pressure(site: Site) -> Value {
    match site.artery {
        Artery::GreatToe => own_plain("toe-systolic"),
        Artery::Brachial => {
            let mut code = own_plain("arm-systolic");
            if let Some(all) = code["coding"].as_array_mut() {
                all.push(json!({"system": LOINC, "code": ARM}));
            }
            code
        }
        _ => own_plain("ankle-systolic"),
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

/// A leg: the lower limb of a side.
pub fn leg(side: Side) -> Value {
    let code = if side == Side::Left { "32153003" } else { "62175007" };
    coded(SNOMED, code, &format!("{} leg", side.words()))
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

/// How the patient lay; a code only where one was seen.
pub fn posture(posture: Posture) -> Value {
    match posture {
        Posture::Supine => coded(SNOMED, "40199007", posture.words()),
        Posture::Sitting => coded(SNOMED, "33586001", posture.words()),
        _ => words(posture.words()),
    }
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
pub fn category(code: &str) -> Value {
    json!({"coding": [{"system": "http://terminology.hl7.org/CodeSystem/observation-category", "code": code}]})
}
