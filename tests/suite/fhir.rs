//! Visits as FHIR: structure, references, identity, and only codes that were seen in a public source.

use std::collections::BTreeSet;
use std::process::Command;

use cuffnote::clinical::event::{Act, Event};
use cuffnote::report::fhir::codes::{LOINC_SENT, SNOMED_SENT};
use cuffnote::report::fhir::identity;
use proptest::prelude::*;
use serde_json::Value;

use super::visits::{Maker, bundle, ten};

fn parsed(events: &[Event]) -> Value {
    serde_json::from_slice(&bundle(events)).unwrap()
}

fn resources(bundle: &Value) -> Vec<&Value> {
    bundle["entry"].as_array().unwrap().iter().map(|entry| &entry["resource"]).collect()
}

fn observations(bundle: &Value) -> Vec<&Value> {
    let all = resources(bundle).into_iter();
    all.filter(|r| r["resourceType"] == "Observation").collect()
}

/// Every `{system, code}` below a value.
fn codes(value: &Value, found: &mut BTreeSet<(String, String)>) {
    if let (Some(system), Some(code)) = (value["system"].as_str(), value["code"].as_str()) {
        found.insert((system.into(), code.into()));
    }
    match value {
        Value::Object(fields) => fields.values().for_each(|inside| codes(inside, found)),
        Value::Array(all) => all.iter().for_each(|inside| codes(inside, found)),
        _ => {}
    }
}

fn all_codes() -> BTreeSet<(String, String)> {
    let mut found = BTreeSet::new();
    let mut visits = ten();
    // Every method, and a patient who sits.
    for method in ["higher", "lower", "mean", "pt-only", "same-side-arm"] {
        let mut events = visits[0].1.clone();
        if let Act::VisitOpened(opened) = &mut events[0].act {
            opened.method = method.parse().unwrap();
            opened.posture = cuffnote::clinical::event::Posture::Sitting;
        }
        visits.push(("method", events));
    }
    let peroneal = Maker::open("K-1").site("right-arm", "140").site("right-peroneal", "90");
    visits.push(("peroneal", peroneal.closed()));
    for (_, events) in &visits {
        codes(&parsed(events), &mut found);
    }
    found
}

#[test]
fn only_codes_that_were_seen_in_a_public_source_leave() {
    let found = all_codes();
    let of = |system: &str| -> BTreeSet<&str> {
        found.iter().filter(|(s, _)| s == system).map(|(_, code)| code.as_str()).collect()
    };
    // The list of the verified codes, typed here anew: docs/exchange.md names each source.
    let loinc = ["77194-9", "8579-5", "8580-3", "77617-9", "77618-7", "8508-4"];
    assert_eq!(of("http://loinc.org"), BTreeSet::from(loinc));
    assert_eq!(BTreeSet::from(LOINC_SENT), BTreeSet::from(loinc));
    assert!(of("http://snomed.info/sct").is_subset(&BTreeSet::from(SNOMED_SENT)));
    assert!(of("http://snomed.info/sct").len() >= 10);
    assert_eq!(of("http://unitsofmeasure.org"), BTreeSet::from(["mm[Hg]", "{ratio}"]));
    // Codes that public programs send for an index by mistake: calories, body mass index, pulse intensity, QT
    // interval; and codes whose meaning was not seen.
    for wrong in [
        "41979-6",
        "59574-4",
        "44974-4",
        "44975-1",
        "8546-4",
        "8547-2",
        "8567-0",
        "8568-8",
        "8885-6",
        "87541000000108",
        // HL7 holds every Observation with these against its profiles of vital signs.
        "8480-6",
        "8462-4",
        "85354-9",
        "85353-1",
    ] {
        assert!(found.iter().all(|(_, code)| code != wrong), "{wrong} was sent");
    }
}

/// LOINC's check digit is Luhn's over the number; SNOMED CT's is Verhoeff's.
#[test]
fn every_code_has_a_true_check_digit() {
    for code in LOINC_SENT {
        let (number, check) = code.split_once('-').unwrap();
        let sum: u32 = number
            .bytes()
            .rev()
            .enumerate()
            .map(|(i, b)| {
                let d = u32::from(b - b'0') * if i % 2 == 0 { 2 } else { 1 };
                d / 10 + d % 10
            })
            .sum();
        assert_eq!(check.parse::<u32>().unwrap(), (10 - sum % 10) % 10, "{code}");
    }
    for code in SNOMED_SENT {
        let sum = code.bytes().rev().enumerate().fold(0, |c, (i, b)| {
            let mut digit = usize::from(b - b'0');
            for _ in 0..i % 8 {
                digit = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4][digit];
            }
            dihedral(c, digit)
        });
        assert_eq!(sum, 0, "{code}");
    }
}

/// The product in the dihedral group of order ten, as Verhoeff's scheme uses it.
fn dihedral(a: usize, b: usize) -> usize {
    match (a < 5, b < 5) {
        (true, true) => (a + b) % 5,
        (true, false) => 5 + (a + b) % 5,
        (false, true) => 5 + (a + 5 - b) % 5,
        (false, false) => (a + 5 - b) % 5,
    }
}

/// The kind of a resource, and its identifier: system and value.
fn identity_of(resource: &Value) -> (String, (String, String)) {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let kind = text(&resource["resourceType"]);
    let own = match kind.as_str() {
        "Provenance" => &resource["meta"]["tag"][0],
        _ => &resource["identifier"][0],
    };
    let value = if kind == "Provenance" { &own["code"] } else { &own["value"] };
    (kind, (text(&own["system"]), text(value)))
}

#[test]
fn every_reference_points_at_something_before_it() {
    for (name, events) in ten() {
        let bundle = parsed(&events);
        let mut known = BTreeSet::new();
        for entry in bundle["entry"].as_array().unwrap() {
            let text = entry["resource"].to_string();
            for part in text.split("\"reference\":\"").skip(1) {
                let reference = part.split('"').next().unwrap();
                assert!(known.contains(reference), "{name}: {reference} is not before its use");
            }
            let url = entry["fullUrl"].as_str().unwrap().to_owned();
            assert!(url.starts_with("urn:uuid:"));
            let (kind, own) = identity_of(&entry["resource"]);
            assert_ne!(url, own.1, "a server may rewrite every text that equals it");
            let by = if kind == "Provenance" { "_tag" } else { "identifier" };
            let condition = format!("{kind}?{by}={}|{}", own.0, own.1);
            assert_eq!(entry["request"]["url"], condition.as_str());
            assert_eq!(entry["request"]["method"], "PUT");
            assert!(known.insert(url), "{name}: an identity twice");
        }
    }
}

#[test]
fn the_plain_visit_says_what_was_measured() {
    let (_, events) = ten().remove(0);
    let bundle = parsed(&events);
    let all = observations(&bundle);
    assert_eq!(all.len(), 6 + 2 + 1, "six pressures, two indexes, the panel");
    let text = String::from_utf8(super::visits::bundle(&events)).unwrap();
    assert!(text.contains("\"value\": 0.70"), "two decimals, the zero kept");
    let right = all.iter().find(|o| o["bodySite"]["text"] == "patient's right leg").unwrap();
    assert_eq!(right["code"]["coding"][1]["code"], "77194-9");
    assert_eq!(right["derivedFrom"].as_array().unwrap().len(), 2);
    assert_eq!(right["component"].as_array().unwrap().len(), 2);
    assert_eq!(right["valueQuantity"]["code"], "{ratio}");
    assert_eq!(right["status"], "final");
    let panel = all.last().unwrap();
    assert_eq!(panel["hasMember"].as_array().unwrap().len(), 8);
    assert!(panel.get("valueQuantity").is_none());
    let arm = all.iter().find(|o| o["bodySite"]["text"] == "patient's left, brachial").unwrap();
    assert_eq!(arm["bodySite"]["coding"][0]["code"], "723961002");
    assert_eq!(arm["valueQuantity"]["value"], 142);
    assert_eq!(arm["method"]["coding"][0]["code"], "765172009");
    assert_eq!(arm["extension"][0]["valueCodeableConcept"]["text"], "lying flat");
    assert_eq!(arm["subject"]["identifier"]["value"], "K-2001");
    let report = resources(&bundle).into_iter().find(|r| r["resourceType"] == "DiagnosticReport");
    let report = report.unwrap();
    assert_eq!(report["result"].as_array().unwrap().len(), 9);
    assert_eq!(report["presentedForm"][0]["contentType"], "application/pdf");
    let origin = resources(&bundle).into_iter().find(|r| r["resourceType"] == "Provenance");
    assert_eq!(origin.unwrap()["target"].as_array().unwrap().len(), 10);
    assert_eq!(right["bodySite"]["coding"][0]["code"], "62175007");
    assert_eq!(arm["code"]["coding"][1]["code"], "8508-4");
    assert_eq!(arm["extension"][0]["valueCodeableConcept"]["coding"][0]["code"], "40199007");
    assert!(resources(&bundle).iter().all(|r| r["resourceType"] != "Patient"));
}

#[test]
fn what_was_not_obtained_has_its_reason_and_no_value() {
    let visits = ten();
    let of = |name: &str| parsed(&visits.iter().find(|(n, _)| *n == name).unwrap().1);
    let mut seen = 0;
    for (name, site, code, words) in [
        ("absent-artery", "patient's right, dorsalis pedis", "unknown", "no signal found"),
        (
            "not-compressible",
            "patient's right, posterior tibial",
            "unknown",
            "not compressible at 300 mmHg",
        ),
        ("one-arm", "patient's left, brachial", "not-performed", "arteriovenous fistula"),
    ] {
        let bundle = of(name);
        let all = observations(&bundle);
        let one = all.iter().find(|o| o["bodySite"]["text"] == site).unwrap();
        assert!(one.get("valueQuantity").is_none(), "{name}");
        let reason = &one["dataAbsentReason"];
        assert_eq!(reason["coding"][0]["code"], code, "{name}");
        assert!(reason["text"].as_str().unwrap().contains(words), "{reason}");
        seen += 1;
    }
    assert_eq!(seen, 3);
    let above = of("not-compressible");
    let all = observations(&above);
    let one = all.iter().find(|o| o["bodySite"]["text"] == "patient's right leg").unwrap();
    assert_eq!(one["valueQuantity"]["comparator"], ">");
    assert_eq!(one["valueQuantity"]["value"], 2.02);
    let open = of("provisional");
    let all = observations(&open);
    assert!(all.iter().all(|o| o["status"] == "preliminary"));
    let repeats = of("repeats");
    let all = observations(&repeats);
    assert!(all.iter().any(|o| o["status"] == "entered-in-error"));
    let mean = all.iter().find(|o| {
        o["bodySite"]["text"] == "patient's left, dorsalis pedis" && o.get("derivedFrom").is_some()
    });
    assert_eq!(mean.unwrap()["derivedFrom"].as_array().unwrap().len(), 2);
}

#[test]
fn the_same_visit_is_the_same_bundle_and_another_one_is_not() {
    let visits = ten();
    assert!(bundle(&visits[0].1) == bundle(&visits[0].1));
    let ids: BTreeSet<_> = visits.iter().map(|(_, events)| identity(events).unwrap()).collect();
    assert_eq!(ids.len(), 10);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Typed text stays text: the same fields, and no empty or control-only string (FHIR allows none).
    #[test]
    fn no_typed_text_changes_the_bundle(words in any::<String>()) {
        let (_, mut events) = ten().remove(0);
        if let Act::VisitOpened(opened) = &mut events[0].act {
            opened.operator.clone_from(&words);
            opened.record = format!("K{words}");
            opened.gauge.code = format!("G{words}");
        }
        let bundle = parsed(&events);
        prop_assert_eq!(observations(&bundle).len(), 9);
        check_texts(&bundle);
    }
}

/// What follows a closing, each by itself: the resources of the visit by the last word of their identifiers.
fn after(acts: Vec<Act>) -> std::collections::BTreeMap<String, Value> {
    let (_, mut events) = ten().remove(0);
    for act in acts {
        let (n, at) = (events.len() as u64 + 1, events[0].at);
        events.push(Event::after_closing(n, at, act));
    }
    let bundle = parsed(&events);
    let id = identity(&events).unwrap().to_string();
    resources(&bundle)
        .into_iter()
        .map(|r| (identity_of(r).1.1.replace(&format!("{id}."), ""), r.clone()))
        .collect()
}

fn amended(wanted: impl Fn(&Act) -> bool, change: impl Fn(&mut Act)) -> Act {
    let (_, events) = ten().remove(0);
    let event = events.iter().find(|event| wanted(&event.act)).unwrap();
    let mut new = event.act.clone();
    change(&mut new);
    let (old, new) = (Box::new(event.act.clone()), Box::new(new));
    Act::Amendment { of: event.n, old, new, who: "op-7".into(), why: "misread".into() }
}

/// The statuses of one visit's resources, in the order of their identifiers; origins are left out.
fn statuses(all: &std::collections::BTreeMap<String, Value>) -> Vec<(String, String)> {
    let told = all.iter().filter(|(_, r)| {
        ["Observation", "DiagnosticReport"].contains(&r["resourceType"].as_str().unwrap())
    });
    told.map(|(name, r)| (name.clone(), r["status"].as_str().unwrap().to_owned())).collect()
}

#[test]
fn a_corrected_reading_keeps_its_identity_and_changes_what_hangs_on_it() {
    let before = after(Vec::new());
    assert!(statuses(&before).iter().all(|(_, status)| status == "final"));
    let is_reading = |act: &Act| matches!(act, Act::Outcome { attempt: 2, .. });
    let corrected = after(vec![amended(is_reading, |act| {
        if let Act::Outcome { outcome, .. } = act {
            *outcome =
                serde_json::from_value(serde_json::json!({"is": "reading", "cuff_mmhg": 114.0}))
                    .unwrap();
        }
    })]);
    let changed: Vec<String> =
        statuses(&corrected).into_iter().filter(|(_, s)| s != "final").map(|(n, _)| n).collect();
    assert_eq!(changed, ["examination", "index-right", "report", "site-right-pt"]);
    assert_eq!(corrected["site-right-pt"]["valueQuantity"]["value"], 114);
    assert_eq!(corrected["index-right"]["valueQuantity"]["value"], 0.77);
    assert_eq!(
        corrected["index-left"], before["index-left"],
        "what did not change is the same to a byte"
    );
    assert_eq!(before.len() + 1, corrected.len(), "one origin more");
    let why: Vec<&Value> =
        corrected.values().filter(|r| r["reason"][0]["text"] == "misread").collect();
    assert_eq!(why.len(), 1);
    assert_eq!(why[0]["target"].as_array().unwrap().len(), 4);
    assert_eq!(why[0]["agent"][0]["who"]["display"], "Operator op-7");
}

#[test]
fn another_record_leaves_the_old_one_entered_in_error() {
    let is_opening = |act: &Act| matches!(act, Act::VisitOpened(_));
    let all = after(vec![amended(is_opening, |act| {
        if let Act::VisitOpened(opened) = act {
            opened.record = "K-9999".into();
        }
    })]);
    let of = |record: &str| -> Vec<&Value> {
        all.values().filter(|r| r["subject"]["identifier"]["value"] == record).collect()
    };
    let (old, new) = (of("K-2001"), of("K-9999"));
    assert_eq!((old.len(), new.len()), (10, 10));
    assert!(old.iter().all(|r| r["status"] == "entered-in-error"));
    assert!(new.iter().all(|r| r["status"] == "final"));
    assert_eq!(all["index-right"]["status"], "entered-in-error");
    assert_eq!(all["2.index-right"]["status"], "final");
    assert!(
        all["2.report"]["presentedForm"].is_array() && all["report"].get("presentedForm").is_none()
    );
}

#[test]
fn a_withdrawn_attempt_takes_the_index_away_and_a_note_leaves_it() {
    let all = after(vec![
        Act::AttemptWithdrawn { attempt: 2, who: "op-7".into(), why: "cuff slipped".into() },
        Act::AttemptWithdrawn { attempt: 3, who: "op-7".into(), why: "cuff slipped".into() },
    ]);
    let right = &all["index-right"];
    assert_eq!(right["status"], "amended");
    assert!(right.get("valueQuantity").is_none() && right["dataAbsentReason"].is_object());
    assert_eq!(all["index-left"]["status"], "final");
    let noted =
        after(vec![Act::Note { who: "op-7".into(), words: "Seen again on Monday.".into() }]);
    let changed: Vec<String> =
        statuses(&noted).into_iter().filter(|(_, s)| s != "final").map(|(n, _)| n).collect();
    assert_eq!(changed, ["examination", "report"]);
    assert!(noted["examination"]["note"].to_string().contains("Seen again on Monday."));
}

/// docs/fhir is what the program means by its own codes and profiles.
#[test]
fn the_published_definitions_are_those_of_the_program() {
    use cuffnote::report::fhir::codes::{OWN, OWN_CODES, PROFILES};
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/fhir");
    let read = |name: &str| -> Value {
        serde_json::from_slice(&std::fs::read(folder.join(name)).unwrap()).unwrap()
    };
    let system = read("CodeSystem.json");
    assert_eq!(system["url"], OWN);
    let told: Vec<(&str, &str)> = system["concept"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| (c["code"].as_str().unwrap(), c["definition"].as_str().unwrap()))
        .collect();
    assert_eq!(told, OWN_CODES);
    for (name, url) in PROFILES {
        let profile = read(&format!("StructureDefinition-{name}.json"));
        assert_eq!(profile["url"], url, "{name}");
    }
}

fn check_texts(value: &Value) {
    match value {
        Value::String(text) => {
            assert!(!text.trim().is_empty() && !text.chars().any(char::is_control), "{text:?}");
        }
        Value::Object(fields) => fields.values().for_each(check_texts),
        Value::Array(all) => {
            assert!(!all.is_empty());
            all.iter().for_each(check_texts);
        }
        _ => {}
    }
}

/// Needs the validators: `tests/run` installs them and runs this. Without them it fails.
#[test]
#[ignore = "needs the FHIR validators, which tests/run installs"]
fn both_validators_accept_the_bundles_and_refuse_broken_copies() {
    let wanted = |name: &str| std::env::var(name).unwrap_or_else(|_| panic!("{name} is not set"));
    let (python, schema) = (wanted("CUFFNOTE_FHIR_PYTHON"), wanted("CUFFNOTE_FHIR_SCHEMA"));
    let folder = tempfile::tempdir().unwrap();
    for (name, events) in ten() {
        std::fs::write(folder.path().join(format!("{name}.fhir.json")), bundle(&events)).unwrap();
    }
    // The demonstration's visit too, from its book by the program itself, with its sounds.
    let demo = tempfile::tempdir().unwrap();
    let place = demo.path().join("book");
    let run = |words: &[&std::ffi::OsStr]| {
        let mut command = assert_cmd::Command::cargo_bin("cuffnote").unwrap();
        command.env("XDG_STATE_HOME", demo.path()).args(words).assert().success();
    };
    run(&["demo".as_ref(), "--out".as_ref(), demo.path().as_os_str()]);
    let [book, out] = [place.as_os_str(), folder.path().as_os_str()];
    let words = ["book", "export", "--format", "fhir", "--sounds", "--out"].map(AsRef::as_ref);
    run(&[&words[..], &[out, "--book".as_ref(), book]].concat());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fhir/check.py");
    let definitions = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/fhir");
    let mut check = Command::new(python);
    let done = check.arg(script).arg(schema).arg(folder.path()).arg(definitions).output().unwrap();
    let told = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success(), "{told}{}", String::from_utf8_lossy(&done.stderr));
    println!("{told}");
}
